//! Whether one set of appliances can run: by the solve of the drawing and by the starts, exactly.

use super::estimate::{Estimate, Guess};
use super::model::{Check, LEAST_VOLTS, Model, Of, Set, Starts, Stop, first, members};
use super::starts::{start_stop, starts};
use crate::installation::{Leg, PartId, PartKind};
use crate::network::{Bounds, Frame, Outcome, PhasorRange, State};
use crate::units::{Complex, above, below};
use std::collections::HashMap;

/// What stops a set, with its figure and the limit.
#[derive(Clone, Debug, PartialEq)]
pub struct Stopped {
    /// What.
    pub by: Stop,
    /// The part whose limit it is.
    pub part: PartId,
    /// What it would come to; `None` where the solve finds no solution, or only volt-amperes are too many.
    pub figure: Option<f64>,
    /// The limit.
    pub limit: f64,
    /// W, A or V (VA where volt-amperes stop a start that watts would allow).
    pub unit: &'static str,
    /// The appliance that starts last and is too much, or that restarts by itself; only with [`Stop::Starting`].
    pub starter: Option<PartId>,
    /// True where it is a restart by itself while all runs.
    pub restart: bool,
}

/// Currents of every unit where no cable has impedance: they only add up.
#[derive(Debug)]
struct Sums {
    base: Vec<Complex>,
    /// By unit, then by check.
    of: Vec<Vec<Complex>>,
    /// Units, and must-run appliances, that have too few volts whatever is on.
    low: Set,
    base_low: bool,
}

/// Asks a model about sets, and remembers the answers.
#[derive(Debug)]
pub(super) struct Judge<'m, 'a> {
    pub(super) model: &'m Model<'a>,
    state: State,
    /// Of sets that were solved: whether the drawing carries them, and whether a source's watts are too many.
    known: HashMap<Set, (bool, bool)>,
    sums: Option<Sums>,
    bounds: Bounds,
    estimate: Option<Estimate>,
    /// Share of nominal that every load has at least, in a set that is one appliance more than one that runs.
    lowest: f64,
    must: Vec<bool>,
    may: Vec<bool>,
    least_v: Vec<f64>,
    /// Most amperes in a set that is one appliance more than a set that runs.
    near: Vec<(f64, f64)>,
    /// Most amperes in a set that runs.
    within: Vec<(f64, f64)>,
    /// Solves and enclosures so far.
    pub(super) work: usize,
}

impl<'m, 'a> Judge<'m, 'a> {
    pub(super) fn new(model: &'m Model<'a>) -> Self {
        let network = &model.network;
        let state = network.state();
        let count = model.walk.order.len();
        let mut judge = Self {
            model,
            known: HashMap::new(),
            sums: None,
            bounds: network.bounds(),
            estimate: None,
            lowest: LEAST_VOLTS,
            must: state.on.clone(),
            may: vec![false; count],
            least_v: vec![0.0; count],
            near: vec![(f64::INFINITY, f64::INFINITY); count],
            within: vec![(f64::INFINITY, f64::INFINITY); count],
            work: 0,
            state,
        };
        judge.settle_limits();
        judge.put(0);
        if network.is_without_impedance() {
            judge.sums = Some(judge.add_up());
        } else {
            let all = first(model.units.len());
            judge.enclose(0, all, false);
            judge.estimate = Estimate::new(model, &judge.bounds);
            let share = |c: &&Check| LEAST_VOLTS * judge.bounds.volts(c.at).least / c.limit;
            let volts = model.checks.iter().filter(|c| c.of == Of::Volts);
            judge.lowest = volts.map(|c| share(&c)).fold(1.0, f64::min).max(LEAST_VOLTS);
        }
        judge
    }

    /// Least volts of every load, and most amperes of every line, from what running means.
    fn settle_limits(&mut self) {
        let model = self.model;
        let system = model.installation.system;
        let nominal = system.nominal_v();
        let mut highest = nominal;
        for (at, id) in model.walk.order.iter().enumerate() {
            let Some(part) = model.installation.parts.get(id) else { continue };
            let both = system.is_split_phase() && matches!(model.walk.legs.get(id), Some(Leg::L1L2 | Leg::L1L2N));
            let share = if part.kind == PartKind::Appliance { LEAST_VOLTS * (1.0 - 1e-9) } else { 0.5 };
            self.least_v[at] = share * if both { 2.0 } else { 1.0 } * nominal;
            if part.kind.is_source() {
                highest = highest.max(part.volts(system));
            }
            if model.not_checked.iter().any(|n| n.check == Stop::Voltage && n.parts.contains(id)) {
                // Its volts are not judged: less is thought possible.
                self.least_v[at] *= 0.5;
            }
        }
        let grown = 1.3 * highest / (LEAST_VOLTS * nominal);
        for check in &model.checks {
            let below = members(model.under[check.at]).map(|n| model.units[n].va).fold(0.0, f64::max);
            let item = 1.3 * below / (LEAST_VOLTS * nominal);
            let put = |most: &mut [(f64, f64)], real: f64, all: f64| {
                let here = &mut most[check.at];
                *here = (here.0.min(real), here.1.min(all));
            };
            match check.of {
                Of::Watts => {
                    let volts = model.installation.parts.get(&check.part).map_or(nominal, |p| p.volts(system));
                    put(&mut self.within, check.limit * (1.0 + 1e-6) / volts, f64::INFINITY);
                    put(&mut self.near, grown * check.limit / volts + item, f64::INFINITY);
                }
                Of::Amps(_) => {
                    put(&mut self.within, f64::INFINITY, check.limit * (1.0 + 1e-6));
                    put(&mut self.near, f64::INFINITY, grown * check.limit + item);
                }
                Of::AmpsOut(_) | Of::Volts => {}
            }
        }
    }

    /// Switches the model to a set.
    fn put(&mut self, set: Set) {
        for &at in &self.model.choice {
            self.state.on[at] = false;
        }
        for &id in &self.model.always {
            if let Some(at) = self.model.network.position(id) {
                self.state.on[at] = true;
            }
        }
        for n in members(set) {
            self.state.on[self.model.units[n].at] = true;
        }
        if set == 0 {
            self.must.clone_from(&self.state.on);
        }
    }

    fn solve(&mut self, set: Set) -> Outcome {
        self.work += 1;
        self.put(set);
        self.model.network.solve(&mut self.state)
    }

    fn phasor(&self, check: &Check) -> Complex {
        let network = &self.model.network;
        let into = |at: usize, line: usize| {
            network.currents(&self.state, at).map_or(Complex::default(), |(a, b)| if line == 0 { a } else { b })
        };
        match check.of {
            Of::Amps(line) => into(check.at, line),
            Of::AmpsOut(line) => self.model.children[check.at].iter().map(|&c| into(c, line)).sum(),
            Of::Watts => {
                let system = self.model.installation.system;
                let volts = self.model.installation.parts.get(&check.part).map_or(0.0, |p| p.volts(system));
                Complex::new(volts * (into(check.at, 0).re - into(check.at, 1).re), 0.0)
            }
            Of::Volts => {
                let (l1, l2) = network.voltages(&self.state, check.at).unwrap_or_default();
                let leg = self.model.walk.legs.get(&check.part).copied().unwrap_or(Leg::L1);
                match leg {
                    Leg::L1 => l1,
                    Leg::L2 => l2,
                    Leg::L1L2 | Leg::L1L2N => l1 - l2,
                }
            }
        }
    }

    /// The figure of a check for a set; `None` where there is no solution.
    pub(super) fn figure(&mut self, check: &Check, set: Set) -> Option<f64> {
        match self.solve(set) {
            Outcome::Settled { .. } => Some(self.phasor(check).norm()),
            Outcome::NoSolution { .. } | Outcome::Refused => None,
        }
    }

    fn counts(&self, check: &Check) -> bool {
        check.of != Of::Volts || self.state.on[check.at]
    }

    fn fails(check: &Check, figure: f64) -> bool {
        if check.of == Of::Volts { below(figure, check.limit) } else { above(figure, check.limit) }
    }

    fn add_up(&mut self) -> Sums {
        let all = |judge: &Self| judge.model.checks.iter().map(|c| judge.phasor(c)).collect::<Vec<_>>();
        let low = |judge: &Self| {
            judge
                .model
                .checks
                .iter()
                .any(|c| c.of == Of::Volts && judge.counts(c) && Self::fails(c, judge.phasor(c).norm()))
        };
        self.solve(0);
        let base = all(self);
        let mut sums = Sums { base_low: low(self), of: Vec::new(), low: 0, base };
        for n in 0..self.model.units.len() {
            self.solve(1 << n);
            let own = all(self).iter().zip(&sums.base).map(|(with, without)| with - without).collect();
            sums.of.push(own);
            if low(self) {
                sums.low |= 1 << n;
            }
        }
        sums
    }

    /// True where the drawing carries the set; starts aside.
    pub(super) fn carries(&mut self, set: Set) -> bool {
        if let Some(sums) = &self.sums {
            return !sums.base_low
                && set & sums.low == 0
                && self.model.checks.iter().enumerate().filter(|(_, c)| c.of != Of::Volts).all(|(i, check)| {
                    !above(members(set).fold(sums.base[i], |sum, n| sum + sums.of[n][i]).norm(), check.limit)
                });
        }
        if let Some(&(carried, _)) = self.known.get(&set) {
            return carried;
        }
        if let Some(estimate) = &self.estimate {
            let mut near = !estimate.volts_hold;
            for (index, check) in self.model.checks.iter().enumerate().filter(|(_, c)| c.of != Of::Volts) {
                match estimate.of_set(index, check, set) {
                    Guess::Fails => return false,
                    Guess::Holds => {}
                    Guess::Near => near = true,
                }
            }
            if !near {
                return true;
            }
        }
        self.solved(set).0
    }

    /// Solves a set: whether the drawing carries it, and whether a source's watts are too many.
    fn solved(&mut self, set: Set) -> (bool, bool) {
        if let Some(&known) = self.known.get(&set) {
            return known;
        }
        let settled = matches!(self.solve(set), Outcome::Settled { .. });
        let mut found = (settled, false);
        if settled {
            for check in &self.model.checks {
                if self.counts(check) && Self::fails(check, self.phasor(check).norm()) {
                    found = (false, found.1 || check.of == Of::Watts);
                }
            }
        }
        self.known.insert(set, found);
        found
    }

    /// True where no further load can help a set that cannot run: a start is too much, or, where watts only grow, the
    /// source's watts are.
    pub(super) fn is_hopeless(&mut self, set: Set, watts_grow: bool) -> bool {
        let model = self.model;
        if !model.starts.iter().all(|s| starts(s, set)) {
            return true;
        }
        let running = |c: &&Check| watts_grow && c.of == Of::Watts;
        if let Some(estimate) = &self.estimate {
            let mut checks = model.checks.iter().enumerate().filter(|(_, c)| running(c));
            if checks.any(|(i, c)| estimate.of_set(i, c, set) == Guess::Fails) {
                return true;
            }
        }
        watts_grow && self.solved(set).1
    }

    /// True where nothing that can be judged stops the set.
    pub(super) fn runs(&mut self, set: Set) -> bool {
        let model = self.model;
        model.starts.iter().all(|s| starts(s, set)) && self.carries(set)
    }

    /// Whether a check may be failed by some set between two. Where voltages do not move it is known, else enclosed.
    pub(super) fn may_fail(&mut self, index: usize, least: Set, most: Set) -> bool {
        let check = &self.model.checks[index];
        if let Some(sums) = &self.sums {
            return check.of != Of::Volts
                && above(members(most).fold(sums.base[index], |sum, n| sum + sums.of[n][index]).norm(), check.limit);
        }
        if check.of != Of::Volts
            && let Some(estimate) = &self.estimate
        {
            match estimate.of_family(index, check, least, most) {
                Guess::Holds => return false,
                Guess::Fails => return true,
                Guess::Near => {}
            }
        }
        self.enclose(least, most, false);
        let room = 1e-9;
        match check.of {
            Of::Watts => self.bounds.watts(check.at).most > check.limit * (1.0 - room),
            Of::Amps(line) => self.bounds.amps(check.at, line).most > check.limit * (1.0 - room),
            Of::AmpsOut(line) => self.bounds.amps_out(check.at, line).most > check.limit * (1.0 - room),
            Of::Volts => self.bounds.volts(check.at).least < check.limit * (1.0 + room),
        }
    }

    /// True where no set between two can run, as far as enclosures show.
    pub(super) fn all_fail(&mut self, least: Set, most: Set) -> bool {
        let model = self.model;
        if !model.starts.iter().all(|s| starts(s, least)) {
            return true;
        }
        if self.sums.is_some() {
            return !self.carries(least);
        }
        self.enclose(least, most, true);
        let room = 1e-8;
        model.checks.iter().any(|check| match check.of {
            Of::Watts => self.bounds.watts(check.at).least > check.limit * (1.0 + room),
            Of::Amps(line) => self.bounds.amps(check.at, line).least > check.limit * (1.0 + room),
            Of::AmpsOut(line) => self.bounds.amps_out(check.at, line).least > check.limit * (1.0 + room),
            Of::Volts => self.must[check.at] && self.bounds.volts(check.at).most < check.limit * (1.0 - room),
        })
    }

    fn enclose(&mut self, least: Set, most: Set, running: bool) {
        self.work += 1;
        for unit in &self.model.units {
            self.must[unit.at] = false;
            self.may[unit.at] = false;
        }
        for n in members(most) {
            self.may[self.model.units[n].at] = true;
        }
        for n in members(least) {
            self.must[self.model.units[n].at] = true;
        }
        // With limits taken for granted an enclosure could contradict itself; where it is to show that all fail, only what
        // a source or a breaker above can never exceed in a set that runs is used.
        let most_a = if running { &self.within } else { &self.near };
        let frame = Frame { must: &self.must, may: &self.may, least_v: &self.least_v, most_a, least_re: &[] };
        self.model.network.enclose(&frame, &mut self.bounds);
    }

    /// Encloses all sets whose real amperes at some positions lie in a window.
    pub(super) fn enclose_within(&mut self, at: &[usize], window: [f64; 2], all: Set) -> &Bounds {
        self.enclose(0, all, false);
        let mut most_a = self.near.clone();
        let mut least_re = vec![f64::NEG_INFINITY; most_a.len()];
        for &position in at {
            most_a[position].0 = most_a[position].0.min(window[1]);
            least_re[position] = window[0];
        }
        let (must, may, least_v) = (&self.must, &self.may, &self.least_v);
        let frame = Frame { must, may, least_v, most_a: &most_a, least_re: &least_re };
        self.model.network.enclose(&frame, &mut self.bounds);
        &self.bounds
    }

    /// A check whose conflicts are all found: from now on only sets that keep within it are of interest.
    pub(super) fn is_searched(&mut self, index: usize) {
        let check = &self.model.checks[index];
        let system = self.model.installation.system;
        let here = &mut self.near[check.at];
        match check.of {
            Of::Watts => {
                let volts = self.model.installation.parts.get(&check.part).map_or(1.0, |p| p.volts(system));
                here.0 = here.0.min(check.limit * (1.0 + 1e-6) / volts);
            }
            Of::Amps(line) if line + 1 == if system.is_split_phase() { 2 } else { 1 } => {
                here.1 = here.1.min(check.limit * (1.0 + 1e-6));
            }
            Of::Amps(_) | Of::AmpsOut(_) | Of::Volts => {}
        }
    }

    /// Most rated watts on a source of a set that keeps within what the source and its breaker or inlet can carry;
    /// infinite where neither is known.
    pub(super) fn most_rated(&self, s: &Starts) -> f64 {
        let system = self.model.installation.system;
        let volts = self.model.installation.parts.get(&s.source).map_or(1.0, |p| p.volts(system));
        let lines = if system.is_split_phase() { 2.0 } else { 1.0 };
        let own = self.model.checks.iter().filter(|c| c.part == s.source);
        let watts = own.map(|c| match c.of {
            Of::Watts => c.limit,
            Of::Amps(_) => c.limit * volts * lines,
            Of::AmpsOut(_) | Of::Volts => f64::INFINITY,
        });
        // A heater draws its rated watts times the square of its share of nominal volts.
        let least = if self.sums.is_some() { (volts / system.nominal_v()).min(1.0) } else { self.lowest };
        watts.fold(f64::INFINITY, f64::min) * (1.0 + 1e-6) / (least * least)
    }

    /// What an enclosure of all says of each load, where sums can be judged by it.
    pub(super) fn estimate(&self) -> Option<&Estimate> {
        self.estimate.as_ref()
    }

    /// The enclosure that was last made.
    pub(super) fn bounds(&self) -> &Bounds {
        &self.bounds
    }

    /// Where no cable has impedance: what always draws and what each unit adds in a check, exactly.
    pub(super) fn point_sums(&self, index: usize) -> Option<(PhasorRange, Vec<Option<PhasorRange>>)> {
        let sums = self.sums.as_ref()?;
        let units = sums.of.iter().map(|of| Some(PhasorRange::point(of[index]))).collect();
        Some((PhasorRange::point(sums.base[index]), units))
    }

    /// True where no cable has impedance.
    pub(super) fn only_adds_up(&self) -> bool {
        self.sums.is_some()
    }

    /// Everything that stops a set, what counts most first; empty where nothing does.
    pub(super) fn stops(&mut self, set: Set) -> Vec<Stopped> {
        let model = self.model;
        let mut out = Vec::new();
        match self.solve(set) {
            Outcome::Settled { .. } => {
                for check in &model.checks {
                    let figure = self.phasor(check).norm();
                    if self.counts(check) && Self::fails(check, figure) {
                        let unit = match check.of {
                            Of::Watts => "W",
                            Of::Amps(_) | Of::AmpsOut(_) => "A",
                            Of::Volts => "V",
                        };
                        out.push(stopped(check.stop, check.part, Some(figure), check.limit, unit));
                    }
                }
            }
            Outcome::NoSolution { part } => {
                let nominal = LEAST_VOLTS * model.installation.system.nominal_v();
                out.push(stopped(Stop::Voltage, part, None, nominal, "V"));
            }
            Outcome::Refused => {}
        }
        for s in &model.starts {
            out.extend(start_stop(s, set));
        }
        let inlet_only = |s: &Stopped| {
            let part = model.installation.parts.get(&s.part);
            s.by == Stop::Inlet && part.is_some_and(|p| p.run_w.is_none())
        };
        // What an inlet carries for long says more than what it would have to give for a moment.
        let rank = |s: &Stopped| if inlet_only(s) { (0, Stop::Running) } else { (1, s.by) };
        let excess = |s: &Stopped| s.figure.map_or(f64::INFINITY, |f| (f / s.limit - 1.0).abs());
        out.sort_by(|a, b| {
            let (a0, b0) = (a.by == Stop::Running, b.by == Stop::Running);
            b0.cmp(&a0).then(rank(a).cmp(&rank(b))).then(excess(b).total_cmp(&excess(a)))
        });
        out
    }
}

pub(super) fn stopped(by: Stop, part: PartId, figure: Option<f64>, limit: f64, unit: &'static str) -> Stopped {
    Stopped { by, part, figure, limit, unit, starter: None, restart: false }
}
