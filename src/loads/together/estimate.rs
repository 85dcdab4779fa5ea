//! Sums in place of a solve: each load draws between this and that whatever else is on, as long as the set is no further from
//! running than one appliance. Most sets are far enough from every limit to be judged so; the rest are solved.

use super::model::{Check, Model, Of, Set, members};
use crate::installation::{Leg, PartKind};
use crate::network::Bounds;
use crate::units::Complex;

/// A current between two corners: real parts, imaginary parts.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Range {
    pub(super) re: [f64; 2],
    pub(super) im: [f64; 2],
}

impl Range {
    /// One figure.
    pub(super) fn point(c: Complex) -> Self {
        Self { re: [c.re; 2], im: [c.im; 2] }
    }

    /// From nothing to all of it.
    pub(super) fn or_nothing(&self) -> Self {
        let with_zero = |s: [f64; 2]| [s[0].min(0.0), s[1].max(0.0)];
        Self { re: with_zero(self.re), im: with_zero(self.im) }
    }

    /// Ends less the other's ends, so that adding it to a sum that holds the other puts this in the other's place.
    pub(super) fn minus_ends(&self, other: &Self) -> Self {
        let less = |a: [f64; 2], b: [f64; 2]| [a[0] - b[0], a[1] - b[1]];
        Self { re: less(self.re, other.re), im: less(self.im, other.im) }
    }

    /// Times a phasor.
    pub(super) fn times(&self, c: Complex) -> Self {
        let by = |s: [f64; 2], k: f64| {
            let (a, b) = (s[0] * k, s[1] * k);
            [a.min(b), a.max(b)]
        };
        let sum = |a: [f64; 2], b: [f64; 2]| [a[0] + b[0], a[1] + b[1]];
        Self { re: sum(by(self.re, c.re), by(self.im, -c.im)), im: sum(by(self.re, c.im), by(self.im, c.re)) }
    }

    pub(super) fn add(&mut self, other: &Self) {
        for k in 0..2 {
            self.re[k] += other.re[k];
            self.im[k] += other.im[k];
        }
    }

    /// With what only may be there: from nothing to all of it.
    fn add_some(&mut self, other: &Self) {
        self.re = [self.re[0] + other.re[0].min(0.0), self.re[1] + other.re[1].max(0.0)];
        self.im = [self.im[0] + other.im[0].min(0.0), self.im[1] + other.im[1].max(0.0)];
    }

    pub(super) fn least(&self) -> f64 {
        let near = |s: [f64; 2]| if s[0] <= 0.0 && s[1] >= 0.0 { 0.0 } else { s[0].abs().min(s[1].abs()) };
        near(self.re).hypot(near(self.im))
    }

    pub(super) fn most(&self) -> f64 {
        let far = |s: [f64; 2]| s[0].abs().max(s[1].abs());
        far(self.re).hypot(far(self.im))
    }
}

/// What the sums say of a check.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Guess {
    /// Surely within.
    Holds,
    /// Surely beyond.
    Fails,
    /// Too near to say.
    Near,
}

/// Ranges of every load, by check. Watts are kept as the real part.
#[derive(Debug)]
pub(super) struct Estimate {
    base: Vec<Range>,
    units: Vec<Vec<Option<Range>>>,
    /// True where no appliance can have too few volts.
    pub(super) volts_hold: bool,
}

/// Room for rounding, well above it and well below any figure that matters.
const ROOM: f64 = 1e-8;

impl Estimate {
    /// From an enclosure in which every unit may be on. `None` where a transformer stands between loads and limits.
    pub(super) fn new(model: &Model<'_>, bounds: &Bounds) -> Option<Self> {
        let transformer =
            |id| model.installation.parts.get(id).is_some_and(|p| p.kind == PartKind::IsolationTransformer);
        if model.walk.order.iter().any(transformer) {
            return None;
        }
        let volts_hold =
            model.checks.iter().all(|c| c.of != Of::Volts || bounds.volts(c.at).least > c.limit * (1.0 + ROOM));
        let mut out = Self { base: Vec::new(), units: Vec::new(), volts_hold };
        for check in &model.checks {
            let mut base = Range::default();
            for &(at, leg) in model.fixed.iter().filter(|(at, _)| model.is_below(*at, check.at)) {
                let own = check.of != Of::Volts && !(matches!(check.of, Of::AmpsOut(_)) && at == check.at);
                if own && let Some(range) = in_check(model, check, leg, bounds.load(at)) {
                    base.add(&range);
                }
            }
            out.base.push(base);
            let of = |n: usize| {
                let unit = &model.units[n];
                let carried = check.of != Of::Volts && model.under[check.at] & (1 << n) != 0;
                carried.then(|| in_check(model, check, unit.leg, bounds.load(unit.at))).flatten()
            };
            out.units.push((0..model.units.len()).map(of).collect());
        }
        Some(out)
    }

    /// What always draws, in a check other than volts.
    pub(super) fn base(&self, index: usize) -> Range {
        self.base[index]
    }

    /// What each unit adds to a check other than volts.
    pub(super) fn of_units(&self, index: usize) -> &[Option<Range>] {
        &self.units[index]
    }

    fn sum(&self, index: usize, sure: Set, possible: Set) -> Range {
        let mut sum = self.base[index];
        let own = &self.units[index];
        for n in members(sure | possible) {
            match &own[n] {
                Some(range) if sure & (1 << n) != 0 => sum.add(range),
                Some(range) => sum.add_some(range),
                None => {}
            }
        }
        sum
    }

    /// A check other than volts, for one set.
    pub(super) fn of_set(&self, index: usize, check: &Check, set: Set) -> Guess {
        let sum = self.sum(index, set, 0);
        if sum.least() > check.limit * (1.0 + ROOM) {
            Guess::Fails
        } else if sum.most() < check.limit * (1.0 - ROOM) {
            Guess::Holds
        } else {
            Guess::Near
        }
    }

    /// A check other than volts, for all sets between two: `Fails` where the largest surely does.
    pub(super) fn of_family(&self, index: usize, check: &Check, least: Set, most: Set) -> Guess {
        if self.sum(index, most, 0).least() > check.limit * (1.0 + ROOM) {
            Guess::Fails
        } else if self.sum(index, least, most).most() < check.limit * (1.0 - ROOM) {
            Guess::Holds
        } else {
            Guess::Near
        }
    }
}

/// What a load adds to the figure of a check.
pub(super) fn in_check(model: &Model<'_>, check: &Check, leg: Leg, load: [[f64; 2]; 2]) -> Option<Range> {
    let range = Range { re: load[0], im: load[1] };
    let turned = Range { re: [-range.re[1], -range.re[0]], im: [-range.im[1], -range.im[0]] };
    let split = model.installation.system.is_split_phase();
    let in_line = |line: usize| match (leg, line) {
        _ if !split => Some(range),
        (Leg::L1, 0) | (Leg::L2, 1) | (Leg::L1L2 | Leg::L1L2N, 0) => Some(range),
        (Leg::L1L2 | Leg::L1L2N, 1) => Some(turned),
        _ => None,
    };
    match check.of {
        Of::Amps(line) | Of::AmpsOut(line) => in_line(line),
        Of::Watts => {
            let volts = model.installation.parts.get(&check.part).map_or(0.0, |p| p.volts(model.installation.system));
            let scaled = |r: Range, by: f64| {
                let (a, b) = (r.re[0] * by, r.re[1] * by);
                Range { re: [a.min(b), a.max(b)], im: [0.0; 2] }
            };
            let mut sum = Range::default();
            if let Some(r) = in_line(0) {
                sum.add(&scaled(r, volts));
            }
            if let Some(r) = in_line(1).filter(|_| split) {
                sum.add(&scaled(r, -volts));
            }
            Some(sum)
        }
        Of::Volts => None,
    }
}
