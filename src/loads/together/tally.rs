//! Counts of minimal conflicts and maximal combinations by branch and bound, without keeping them: appliances are taken
//! largest first, and a branch ends where all that is left in it surely runs. Every branch that goes on leads to an answer
//! of its own where one limit counts, so that the time is in proportion to the answers.
//!
//! Conflicts: each set that runs is widened by what comes after its last one. All parts of a set below such a branch have
//! been judged on the way, so that none is overlooked. Combinations: each appliance is taken or left out; what was left out
//! must not fit in the end.
//!
//! Both rest on this: nothing that holds a set which fails can run. The sums say so of most sets; of those near a limit it
//! is shown one by one. Where it cannot be shown, the tally gives up, and the slower search that allows for relief answers.

use super::cover::ways;
use super::gauge::{Gauge, Verdict};
use super::judge::Judge;
use super::model::{Set, members};
use super::{MOST_LISTED, relief};
use std::collections::HashMap;

/// Sets that are judged by sums at the price of one solve.
const SUMS_A_SOLVE: usize = 200;
/// Sets that are looked at to show that nothing above one of them runs.
const MOST_ABOVE: usize = 4_000;

/// Sets in first ones of a group, and how many they stand for.
#[derive(Debug, Default)]
pub(super) struct Part {
    /// How many; `None` where the effort was not enough.
    pub(super) count: Option<u128>,
    /// The first that were found.
    pub(super) listed: Vec<Set>,
}

/// Conflicts and combinations.
#[derive(Debug, Default)]
pub(super) struct Tally {
    pub(super) conflicts: Part,
    pub(super) combinations: Part,
}

/// Why a branch was not followed to its end.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum End {
    /// The effort is spent.
    Spent,
    /// A set that cannot run may be part of one that can.
    Relieved,
}

struct Count<'j, 'm, 'a> {
    judge: &'j mut Judge<'m, 'a>,
    gauge: Gauge<'m>,
    /// Units that can run alone, largest first, groups together.
    order: Vec<usize>,
    /// All from each place of the order on.
    rest: Vec<Set>,
    /// Of sets near a limit that do not run: whether nothing above them runs.
    hopeless: HashMap<Set, bool>,
    grows: bool,
    sums: usize,
    /// Of solves: those spent when this began.
    from: usize,
    effort: usize,
    count: u128,
    listed: Vec<Set>,
}

/// Counts and lists both. `None` where some load may help another to run, or where the sums cannot be had. `known` are the
/// units that may stand in a combination.
pub(super) fn tally(judge: &mut Judge<'_, '_>, known: Set, effort: usize) -> Option<Tally> {
    let model = judge.model;
    let mut count = Count::new(judge, effort)?;
    if !count.judge.runs(0) {
        return None;
    }
    let mut alive: Set = 0;
    for (n, unit) in model.units.iter().enumerate().filter(|(_, u)| u.below == 0) {
        if count.verdict(1 << n).ok()? {
            alive |= unit.group;
        } else {
            count.found(1 << n);
        }
    }
    let conflicts = count.part(alive, |c| c.widen(0, 0))?;
    let combinations = count.part(alive & known, |c| c.fill(0, 0, 0))?;
    Some(Tally { conflicts, combinations })
}

impl<'j, 'm, 'a> Count<'j, 'm, 'a> {
    /// `None` where the sums cannot be had.
    fn new(judge: &'j mut Judge<'m, 'a>, effort: usize) -> Option<Self> {
        Some(Self {
            gauge: Gauge::new(judge)?,
            order: Vec::new(),
            rest: Vec::new(),
            hopeless: HashMap::new(),
            grows: judge.model.watts_only_grow(),
            sums: 0,
            from: judge.work,
            effort,
            count: 0,
            listed: Vec::new(),
            judge,
        })
    }
}

impl Count<'_, '_, '_> {
    /// Runs one of the two searches over some units. `None` where relief is possible.
    fn part(&mut self, units: Set, search: impl FnOnce(&mut Self) -> Result<(), End>) -> Option<Part> {
        let all = &self.judge.model.units;
        self.order = members(units).collect();
        self.order.sort_by(|&a, &b| {
            let first = |n: usize| all[n].group.trailing_zeros();
            all[b].va.total_cmp(&all[a].va).then(first(a).cmp(&first(b))).then(a.cmp(&b))
        });
        self.rest = vec![0; self.order.len() + 1];
        for place in (0..self.order.len()).rev() {
            self.rest[place] = self.rest[place + 1] | 1 << self.order[place];
        }
        (self.sums, self.from) = (0, self.judge.work);
        let ended = search(self);
        let listed = std::mem::take(&mut self.listed);
        let count = std::mem::take(&mut self.count);
        match ended {
            Ok(()) => Some(Part { count: Some(count), listed }),
            Err(End::Spent) => Some(Part { count: None, listed }),
            Err(End::Relieved) => None,
        }
    }

    fn found(&mut self, set: Set) {
        self.count = self.count.saturating_add(ways(&self.judge.model.units, set));
        if self.listed.len() < MOST_LISTED {
            self.listed.push(set);
        }
    }

    /// True where a set runs, false where neither it nor anything that holds it does.
    fn verdict(&mut self, set: Set) -> Result<bool, End> {
        self.sums += 1;
        match self.gauge.verdict(set) {
            Verdict::Runs => return Ok(true),
            Verdict::Fails => return Ok(false),
            Verdict::Near => {}
        }
        if self.judge.carries(set) {
            return Ok(true);
        }
        if self.judge.work - self.from + self.sums / SUMS_A_SOLVE > self.effort {
            return Err(End::Spent);
        }
        let mut left = MOST_ABOVE;
        if self.is_hopeless(set, &mut left) { Ok(false) } else { Err(End::Relieved) }
    }

    /// Whether nothing above a set that does not run, near a limit, can run.
    fn is_hopeless(&mut self, set: Set, left: &mut usize) -> bool {
        if let Some(&known) = self.hopeless.get(&set) {
            return known;
        }
        let all = super::model::first(self.judge.model.units.len());
        let hopeless = self.judge.only_adds_up()
            || self.judge.is_hopeless(set, self.grows)
            || self.all_above_fail(set, all & !set, left)
            || relief::is_relieved(self.judge, set, all, self.judge.work + MOST_ABOVE) == Some(false);
        self.hopeless.insert(set, hopeless);
        hopeless
    }

    /// True where each set that holds `set` and more of `open` surely fails, or does not run by itself.
    fn all_above_fail(&mut self, set: Set, open: Set, left: &mut usize) -> bool {
        let units = &self.judge.model.units;
        let mut open = open;
        for n in members(open) {
            open &= !(1 << n);
            if units[n].below & !set != 0 {
                continue;
            }
            let with = set | 1 << n;
            match self.gauge.verdict(with) {
                Verdict::Fails => continue,
                Verdict::Runs => return false,
                Verdict::Near => {}
            }
            if *left == 0 || self.judge.carries(with) {
                return false;
            }
            *left -= 1;
            if !self.all_above_fail(with, open, left) {
                return false;
            }
        }
        true
    }

    /// Conflicts that hold a set which runs, and of the rest only what comes from a place in the order on.
    fn widen(&mut self, set: Set, from: usize) -> Result<(), End> {
        let model = self.judge.model;
        for place in from..self.order.len() {
            if self.spent() {
                return Err(End::Spent);
            }
            self.sums += 1;
            if self.gauge.surely_runs(set | self.rest[place]) {
                return Ok(());
            }
            let n = self.order[place];
            if model.units[n].below & !set != 0 {
                continue;
            }
            let with = set | 1 << n;
            if self.verdict(with)? {
                self.widen(with, place + 1)?;
            } else if self.is_minimal(with, n)? {
                self.found(with);
            }
        }
        Ok(())
    }

    /// Whether a set that fails runs without any one of it; without `last` it is known to.
    fn is_minimal(&mut self, set: Set, last: usize) -> Result<bool, End> {
        let units = &self.judge.model.units;
        for n in members(set & !(1 << last)) {
            let stands_for_its_group = units[n].group & set & !(units[n].below | 1 << n) == 0;
            if stands_for_its_group && !self.verdict(set & !(1 << n))? {
                return Ok(false);
            }
        }
        Ok(true)
    }

    /// Combinations that hold a set which runs, none of what was left out, and of the rest what comes from a place on.
    fn fill(&mut self, set: Set, from: usize, out: Set) -> Result<(), End> {
        if self.spent() {
            return Err(End::Spent);
        }
        let model = self.judge.model;
        let all = set | self.rest[from];
        self.sums += 1;
        let Some(&n) = self.order.get(from).filter(|_| !self.gauge.surely_runs(all)) else {
            // Nothing that was left out may fit; the smallest is the likeliest, and was left out last.
            let mut left = out;
            while left != 0 {
                let x = self.smallest(left);
                left &= !(1 << x);
                if self.verdict(all | 1 << x)? {
                    return Ok(());
                }
            }
            self.found(all);
            return Ok(());
        };
        let unit = &model.units[n];
        let with = set | 1 << n;
        if self.verdict(with)? {
            self.fill(with, from + 1, out)?;
        }
        // Left out, and with it those of its group that come after.
        let after = from + (unit.group & self.rest[from]).count_ones() as usize;
        self.fill(set, after, out | 1 << n)
    }

    /// The one of a set that comes last in the order.
    fn smallest(&self, set: Set) -> usize {
        self.order.iter().rev().copied().find(|n| set & (1 << n) != 0).unwrap_or_default()
    }

    fn spent(&self) -> bool {
        self.judge.work - self.from + self.sums / SUMS_A_SOLVE > self.effort
    }
}

#[cfg(test)]
mod tests {
    use super::super::model::first;
    use super::super::tests::{AT_THE_EDGE, at_the_edge};
    use super::super::{EFFORT, model::Model};
    use super::*;
    use crate::store::list::boat;

    /// Three small loads make seven sets above the pair, each of which is looked at once.
    #[test]
    fn every_set_above_one_at_the_edge_is_looked_at_once_or_nothing_is_said() {
        let installation = boat(AT_THE_EDGE);
        let (model, pair) = at_the_edge(&installation, 1.0 - 1e-7);
        let all_above_fail = |mut left: usize| {
            let mut judge = Judge::new(&model);
            let mut count = Count::new(&mut judge, EFFORT).unwrap();
            let answer = count.all_above_fail(pair, first(5) & !pair, &mut left);
            (answer, left)
        };
        assert_eq!(all_above_fail(9), (true, 2));
        assert_eq!(all_above_fail(7), (true, 0));
        assert_eq!(all_above_fail(6), (false, 0));
    }

    #[test]
    fn where_a_set_above_runs_it_is_said_so() {
        let installation = boat(AT_THE_EDGE);
        let model = Model::new(&installation, 0);
        let mut judge = Judge::new(&model);
        let mut count = Count::new(&mut judge, EFFORT).unwrap();
        assert!(!count.all_above_fail(0, first(5), &mut 1000), "the breaker holds them all");
    }
}
