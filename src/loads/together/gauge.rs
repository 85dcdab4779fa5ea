//! A quick verdict on a set: sums of what each load adds to a limit, between the least and the most that it can; only what
//! lies too near to a limit is left to a solve.
//!
//! A set surely runs where all that it may add keeps within every limit: raised slowly from nothing to all of it, no limit
//! is ever reached, and so the ranges hold all the way. A set surely fails, and with it every set that holds it, where what
//! it adds at the least is too much whatever else is on.

use super::fine::Fine;
use super::judge::Judge;
use super::model::{Check, Model, Of, Set, Starts, first, members};
use super::starts::starts;
use crate::installation::Leg;
use crate::network::{Bounds, PhasorRange};
use crate::units::{Complex, above};

/// Room for rounding, well above it and well below any figure that matters.
const ROOM: f64 = 1e-8;

/// What the sums say of a set.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Verdict {
    /// It runs.
    Runs,
    /// It does not, and nothing that holds it does.
    Fails,
    /// Too near to a limit to say.
    Near,
}

/// One limit that some set may fail.
#[derive(Debug)]
struct Line {
    limit: f64,
    /// True for a least limit, of volts.
    least: bool,
    /// Counts only with these on; none where it always counts.
    with: Set,
    base: PhasorRange,
    /// With all that may lighten it or make it worse.
    wide: PhasorRange,
    /// What each unit may add, from nothing to all of it.
    may: Vec<PhasorRange>,
    /// What each unit adds for sure, beyond what it may add.
    must: Vec<PhasorRange>,
    /// Closer sums, for sets near the limit.
    fine: Option<Fine>,
}

/// Starts by watts alone, as plain figures: largest increment first.
#[derive(Debug)]
struct Order {
    base: f64,
    limit: f64,
    /// Unit, running watts, watts of the start, increment, and whether it cycles.
    loads: Vec<(Option<usize>, f64, f64, f64, bool)>,
}

/// Limits and starts of a model, ready for many sets.
#[derive(Debug)]
pub(super) struct Gauge<'m> {
    lines: Vec<Line>,
    orders: Vec<Order>,
    /// Sources whose starts are judged in volt-amperes too.
    phasors: Vec<&'m Starts>,
}

impl<'m> Gauge<'m> {
    /// From what the enclosure of all says, or from plain sums. `None` where neither can be had.
    pub(super) fn new(judge: &mut Judge<'m, '_>) -> Option<Self> {
        let model = judge.model;
        let all = first(model.units.len());
        let mut out = Self { lines: Vec::new(), orders: Vec::new(), phasors: Vec::new() };
        let mut open = Vec::new();
        for (index, check) in model.checks.iter().enumerate() {
            let always = model.fixed.iter().any(|(at, _)| *at == check.at);
            if check.of == Of::Volts && !always && !model.units.iter().any(|u| u.at == check.at) {
                continue;
            }
            let (base, units) = match (judge.point_sums(index), judge.estimate()) {
                (Some(_), _) if check.of == Of::Volts => continue,
                (Some((base, units)), _) => (base, units),
                (None, Some(e)) if check.of == Of::Volts && e.volts_hold => continue,
                (None, Some(_)) if check.of == Of::Volts => volts(model, check, judge.bounds()),
                (None, Some(e)) => (e.base(index), e.of_units(index).to_vec()),
                (None, None) => return None,
            };
            let line = Line::new(model, check, base, &units);
            if !line.holds(all) {
                out.lines.push(line);
                open.push((index, base, units));
            }
        }
        if !judge.only_adds_up() {
            for (line, (index, base, units)) in out.lines.iter_mut().zip(open) {
                line.fine = Fine::new(judge, &model.checks[index], base, &units);
            }
        }
        for s in &model.starts {
            match (s.limits.watts, s.limits.va) {
                (None, _) => {}
                (Some(_), Some(_)) => out.phasors.push(s),
                (Some(limit), None) => out.orders.push(Order {
                    base: s.base.0,
                    limit,
                    loads: s
                        .loads
                        .iter()
                        .map(|(unit, l)| (*unit, l.run_w, l.start_w.max(l.run_w), l.increment(), l.cycles))
                        .collect(),
                }),
            }
        }
        out.orders.retain(|o| !o.holds(all));
        out.phasors.retain(|s| !starts(s, all));
        Some(out)
    }

    /// True where the starts of a set stay within, by the best order and the worst restart.
    fn starts(&self, set: Set) -> bool {
        self.orders.iter().all(|o| o.holds(set)) && self.phasors.iter().all(|s| starts(s, set))
    }

    /// What the sums say of a set.
    pub(super) fn verdict(&self, set: Set) -> Verdict {
        if self.lines.iter().any(|l| l.fails(set)) || !self.starts(set) {
            return Verdict::Fails;
        }
        let mut verdict = Verdict::Runs;
        for line in self.lines.iter().filter(|l| !l.holds(set)) {
            match line.fine.as_ref().and_then(|f| f.holds(set, line.limit)) {
                Some(true) => {}
                Some(false) => return Verdict::Fails,
                None => verdict = Verdict::Near,
            }
        }
        verdict
    }

    /// True where the set surely runs, and every part of it.
    pub(super) fn surely_runs(&self, set: Set) -> bool {
        self.lines.iter().all(|l| l.holds(set)) && self.starts(set)
    }
}

impl Order {
    fn holds(&self, set: Set) -> bool {
        let (mut running, mut worst) = (self.base, f64::NEG_INFINITY);
        if above(running, self.limit) {
            return false;
        }
        for &(unit, run, start, increment, cycles) in &self.loads {
            if unit.is_some_and(|n| set & (1 << n) == 0) {
                continue;
            }
            if above(running + start, self.limit) {
                return false;
            }
            running += run;
            if cycles && increment > worst {
                worst = increment;
            }
        }
        !above(running + worst, self.limit)
    }
}

impl Line {
    fn new(model: &Model<'_>, check: &Check, base: PhasorRange, units: &[Option<PhasorRange>]) -> Self {
        let least = check.of == Of::Volts;
        let own = model.units.iter().position(|u| u.at == check.at);
        let mut out = Self {
            limit: check.limit,
            least,
            with: own.filter(|_| least).map_or(0, |n| 1 << n),
            base,
            wide: base,
            may: Vec::with_capacity(units.len()),
            must: Vec::with_capacity(units.len()),
            fine: None,
        };
        for unit in units {
            let whole = unit.unwrap_or_default();
            let may = whole.with_zero();
            out.wide = out.wide.plus(&may);
            out.may.push(may);
            out.must.push(whole.minus_ends(&may));
        }
        out
    }

    /// True where a set, and every part of it, surely keeps within.
    fn holds(&self, set: Set) -> bool {
        if set & self.with != self.with {
            return true;
        }
        let mut sum = self.base;
        for n in members(set) {
            sum = sum.plus(&self.may[n]);
        }
        if self.least { sum.least() > self.limit * (1.0 + ROOM) } else { sum.most() < self.limit * (1.0 - ROOM) }
    }

    /// True where a set, and every set that holds it, surely is beyond.
    fn fails(&self, set: Set) -> bool {
        if set & self.with != self.with {
            return false;
        }
        let mut sum = self.wide;
        for n in members(set) {
            sum = sum.plus(&self.must[n]);
        }
        if self.least { sum.most() < self.limit * (1.0 - ROOM) } else { sum.least() > self.limit * (1.0 + ROOM) }
    }
}

/// Volts across an appliance's leg as a sum: the source's, less what each load takes off along the way that both share.
fn volts(model: &Model<'_>, check: &Check, bounds: &Bounds) -> (PhasorRange, Vec<Option<PhasorRange>>) {
    let split = model.installation.system.is_split_phase();
    let own = model.walk.legs.get(&check.part).copied().unwrap_or(Leg::L1);
    let path: Vec<usize> = model.path(check.at).collect();
    let root = path.last().copied().unwrap_or(check.at);
    let source = model.walk.order.get(root).and_then(|id| model.installation.parts.get(id));
    let volts = source.map_or(0.0, |p| p.volts(model.installation.system));
    let at_source = match own {
        _ if !split => volts,
        Leg::L1 => volts,
        Leg::L2 => -volts,
        Leg::L1L2 | Leg::L1L2N => 2.0 * volts,
    };
    // What one ampere of a load takes off, as a multiple of the impedance of a conductor that both use.
    let share = |leg: Leg| {
        let (a, b) = match leg {
            _ if !split => return 2.0,
            Leg::L1 => (1.0, 0.0),
            Leg::L2 => (0.0, 1.0),
            Leg::L1L2 | Leg::L1L2N => (1.0, -1.0),
        };
        match own {
            Leg::L1 => 2.0 * a + b,
            Leg::L2 => a + 2.0 * b,
            Leg::L1L2 | Leg::L1L2N => a - b,
        }
    };
    let fall = |at: usize, leg: Leg, shared: &dyn Fn(usize) -> bool| {
        let z: Complex = path.iter().filter(|&&p| shared(p)).map(|&p| model.network.impedance(p)).sum();
        bounds.load(at).times(z * -share(leg))
    };
    let mut base = PhasorRange::point(Complex::new(at_source, 0.0));
    for &(at, leg) in &model.fixed {
        base = base.plus(&fall(at, leg, &|p| model.is_below(at, p)));
    }
    let units = model
        .units
        .iter()
        .enumerate()
        .map(|(n, u)| (u.root == root).then(|| fall(u.at, u.leg, &|p| model.under[p] & (1 << n) != 0)))
        .collect();
    (base, units)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn amps(re: f64) -> PhasorRange {
        PhasorRange::point(Complex::new(re, 0.0))
    }

    /// A limit of 10 A, to which the units add amperes as given.
    fn line(limit: f64, units: &[f64]) -> Line {
        let (mut wide, mut may, mut must) = (amps(10.0), Vec::new(), Vec::new());
        for &unit in units {
            let some = amps(unit).with_zero();
            wide = wide.plus(&some);
            must.push(amps(unit).minus_ends(&some));
            may.push(some);
        }
        Line { limit, least: false, with: 0, base: amps(10.0), wide, may, must, fine: None }
    }

    #[test]
    fn a_sum_is_told_from_its_limit_by_half_an_ampere() {
        // 10 A, 14 A with the first, 15 A with the second, 19 A with both.
        for (set, sum) in [(0b00, 10.0), (0b01, 14.0), (0b10, 15.0), (0b11, 19.0)] {
            let (within, beyond) = (line(sum + 0.5, &[4.0, 5.0]), line(sum - 0.5, &[4.0, 5.0]));
            assert!(within.holds(set) && !within.fails(set), "{set:b} of {sum} A");
            assert!(beyond.fails(set) && !beyond.holds(set), "{set:b} of {sum} A");
        }
    }

    #[test]
    fn a_set_fails_only_where_nothing_that_is_added_can_lighten_it() {
        let lightened = line(12.0, &[4.0, -3.0]);
        assert!(!lightened.fails(0b01), "14 A, but 11 A with the second besides");
        assert!(!lightened.holds(0b11), "11 A, but 14 A with the first alone");
        assert!(line(10.5, &[4.0, -3.0]).fails(0b11), "11 A, and nothing else to add");
    }
}
