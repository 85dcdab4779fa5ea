//! The search for minimal conflicts: sets that cannot run, of which every smaller part can.
//!
//! A minimal conflict fails some one limit, and so it is minimal among the sets that fail that limit. Each limit is
//! therefore searched by itself, largest contribution first, adding one appliance at a time to a set that runs; a branch
//! ends where no set that is left in it can fail the limit (an enclosure of all of them says so). What a limit does not
//! carry can still tip it through the voltage: such appliances come last, and only those that push the right way.

use super::judge::Judge;
use super::model::{Of, Set, Stop, members};
use super::starts::{Start, start_holds};
use std::collections::BTreeSet;

/// What is searched: one limit.
#[derive(Clone, Copy, Debug)]
enum Aim {
    Check(usize),
    Start(usize, Start),
}

/// Conflicts as they are found. Of equal appliances the first ones stand for any others.
#[derive(Debug)]
pub(super) struct Search<'j, 'm, 'a> {
    judge: &'j mut Judge<'m, 'a>,
    effort: usize,
    conflicts: BTreeSet<Set>,
    /// Units that can run alone.
    alive: Set,
    /// False where the effort was not enough.
    complete: bool,
}

/// All minimal conflicts in terms of first ones of a group, and whether these are all.
pub(super) fn conflicts(judge: &mut Judge<'_, '_>, effort: usize) -> (Vec<Set>, bool) {
    let mut search = Search { judge, effort, conflicts: BTreeSet::new(), alive: 0, complete: true };
    search.run();
    let complete = search.complete;
    let mut found: Vec<Set> = search.conflicts.into_iter().collect();
    found.sort_by_key(|c| (c.count_ones(), *c));
    (found, complete)
}

impl Search<'_, '_, '_> {
    fn run(&mut self) {
        if !self.judge.runs(0) {
            self.conflicts.insert(0);
            return;
        }
        let model = self.judge.model;
        for (n, unit) in model.units.iter().enumerate() {
            if unit.below == 0 {
                if self.judge.runs(1 << n) {
                    self.alive |= unit.group;
                } else {
                    self.conflicts.insert(1 << n);
                }
            }
        }
        for (index, check) in model.checks.iter().enumerate() {
            let root = self.root_of(check.at);
            let near = self.sorted(root, |n| model.units[n].va);
            if check.of == Of::Volts {
                if self.judge.only_adds_up() {
                    continue;
                }
                let own = model.units.iter().position(|u| u.at == check.at);
                let forced = match own {
                    Some(n) if model.units[n].below != 0 || self.alive & (1 << n) == 0 => continue,
                    Some(n) => 1 << n,
                    None => 0,
                };
                let others: Vec<usize> = near.into_iter().filter(|n| forced & (1 << n) == 0).collect();
                self.widen(Aim::Check(index), forced, &[], 0, &others);
                continue;
            }
            let line = match check.of {
                Of::Amps(line) | Of::AmpsOut(line) => Some(line),
                Of::Watts | Of::Volts => None,
            };
            let carried = |n: usize| {
                let leg = model.units[n].leg;
                let in_line = line.is_none_or(|l| {
                    use crate::installation::Leg;
                    !matches!((leg, l), (Leg::L1, 1) | (Leg::L2, 0))
                });
                model.under[check.at] & (1 << n) != 0 && in_line
            };
            let own: Vec<usize> = near.iter().copied().filter(|&n| carried(n)).collect();
            let others: Vec<usize> = if self.judge.only_adds_up() {
                Vec::new()
            } else {
                near.into_iter().filter(|&n| !carried(n)).collect()
            };
            self.widen(Aim::Check(index), 0, &own, 0, &others);
            self.judge.is_searched(index);
        }
        for (place, s) in model.starts.iter().enumerate() {
            if s.limits.watts.is_none() {
                continue;
            }
            let all = self.sorted(s.root, |n| load_of(s, n).map_or(0.0, |l| l.run_w));
            let most_rated = self.judge.most_rated(s);
            let mut steady = false;
            for (k, (unit, load)) in s.loads.iter().enumerate() {
                if s.limits.watts.is_some_and(|limit| most_rated + load.increment() <= limit) && s.limits.va.is_none() {
                    // What could not start by watts could not run either, and that is searched already.
                    continue;
                }
                let forced = match unit {
                    Some(n) if self.alive & (1 << n) == 0 || model.units[*n].below != 0 => continue,
                    Some(n) => 1 << n,
                    None => 0,
                };
                let rest = |least: f64| -> Vec<usize> {
                    let counts = |n: usize| load_of(s, n).is_some_and(|l| l.increment() >= least);
                    all.iter().copied().filter(|&n| forced & (1 << n) == 0 && counts(n)).collect()
                };
                // Loads that start as they run ask for the same, whichever of them comes last.
                if load.increment() > 0.0 {
                    self.widen(Aim::Start(place, Start::Best(k)), forced, &rest(load.increment()), 0, &[]);
                } else if !std::mem::replace(&mut steady, true) {
                    self.widen(Aim::Start(place, Start::Total), 0, &all, 0, &[]);
                }
                if load.cycles {
                    self.widen(Aim::Start(place, Start::Restart(k)), forced, &rest(0.0), 0, &[]);
                }
            }
            if s.limits.va.is_some() {
                let largest =
                    self.sorted(s.root, |n| load_of(s, n).map_or(0.0, |l| l.start_var.unwrap_or(0.0).hypot(l.start_w)));
                self.widen(Aim::Start(place, Start::Order), 0, &largest, 0, &[]);
            }
        }
    }

    fn root_of(&self, at: usize) -> usize {
        let model = self.judge.model;
        let id = model.walk.order[at];
        model.walk.root_of(id).and_then(|r| model.network.position(r)).unwrap_or(at)
    }

    /// Units on one source that can run alone, largest first, groups together.
    fn sorted(&self, root: usize, size: impl Fn(usize) -> f64) -> Vec<usize> {
        let model = self.judge.model;
        let mut out: Vec<usize> = members(self.alive).filter(|&n| model.units[n].root == root).collect();
        out.sort_by(|&a, &b| size(b).total_cmp(&size(a)).then(a.cmp(&b)));
        out
    }

    fn spent(&mut self) -> bool {
        if self.judge.work > self.effort || self.conflicts.len() > self.effort {
            self.complete = false;
        }
        !self.complete
    }

    fn may_fail(&mut self, aim: Aim, least: Set, most: Set) -> bool {
        match aim {
            Aim::Check(index) => self.judge.may_fail(index, least, most),
            Aim::Start(place, start) => !start_holds(&self.judge.model.starts[place], most, start),
        }
    }

    /// Adds to a set that runs, from a place in the order on, what the limit carries; then what it does not carry.
    fn widen(&mut self, aim: Aim, set: Set, own: &[usize], from: usize, others: &[usize]) {
        let model = self.judge.model;
        let outside = others.iter().fold(0, |s: Set, n| s | 1 << n);
        let mut rest = own[from..].iter().fold(outside, |s: Set, n| s | 1 << n);
        for (place, &n) in own.iter().enumerate().skip(from) {
            if self.spent() || !self.may_fail(aim, set, set | rest) {
                return;
            }
            rest &= !(1 << n);
            if model.units[n].below & !set != 0 {
                continue;
            }
            let with = set | 1 << n;
            if self.judge.runs(with) {
                self.widen(aim, with, own, place + 1, others);
            } else {
                self.candidate(with);
            }
        }
        if !others.is_empty() && !self.spent() && self.may_fail(aim, set, set | outside) {
            let Aim::Check(index) = aim else { return };
            let pushing = self.pushing(index, set, others);
            self.widen(aim, set, &pushing, 0, &[]);
        }
    }

    /// Of appliances that a limit does not carry, those that push it the wrong way, strongest first.
    fn pushing(&mut self, index: usize, set: Set, others: &[usize]) -> Vec<usize> {
        let model = self.judge.model;
        let check = model.checks[index];
        let Some(now) = self.judge.figure(&check, set) else { return others.to_vec() };
        let sign = if check.stop == Stop::Voltage { -1.0 } else { 1.0 };
        let mut pushing = Vec::new();
        let mut of_first = 0.0;
        for &n in others {
            // Equal ones do the same: the first of a group that is not in use is tried.
            if model.units[n].below & !set == 0 {
                of_first = self.judge.figure(&check, set | 1 << n).map_or(f64::INFINITY, |with| sign * (with - now));
            }
            if of_first > 0.0 {
                pushing.push((of_first, n));
            }
        }
        pushing.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(&b.1)));
        pushing.into_iter().map(|(_, n)| n).collect()
    }

    /// Takes a set that cannot run where it can without any one of its appliances.
    fn candidate(&mut self, set: Set) {
        let model = self.judge.model;
        if self.conflicts.contains(&set) {
            return;
        }
        let minimal = members(set).all(|n| {
            let last_of_group = model.units[n].group & set & !(model.units[n].below | 1 << n) == 0;
            !last_of_group || self.judge.runs(set & !(1 << n))
        });
        if minimal {
            self.conflicts.insert(set);
        }
    }
}

fn load_of(s: &super::model::Starts, unit: usize) -> Option<&crate::loads::starting::Load> {
    s.loads.iter().find(|(n, _)| *n == Some(unit)).map(|(_, l)| l)
}
