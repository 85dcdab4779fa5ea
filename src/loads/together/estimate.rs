//! Sums in place of a solve: each load draws between this and that whatever else is on, as long as the set is no further from
//! running than one appliance. Most sets are far enough from every limit to be judged so; the rest are solved.

use super::model::{Check, Model, Of, Set, members};
use crate::installation::{Leg, PartKind};
use crate::network::{Bounds, PhasorRange};

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
    base: Vec<PhasorRange>,
    units: Vec<Vec<Option<PhasorRange>>>,
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
            let mut base = PhasorRange::default();
            for &(at, leg) in model.fixed.iter().filter(|(at, _)| model.is_below(*at, check.at)) {
                let own = check.of != Of::Volts && !(matches!(check.of, Of::AmpsOut(_)) && at == check.at);
                if own && let Some(range) = in_check(model, check, leg, bounds.load(at)) {
                    base = base.plus(&range);
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
    pub(super) fn base(&self, index: usize) -> PhasorRange {
        self.base[index]
    }

    /// What each unit adds to a check other than volts.
    pub(super) fn of_units(&self, index: usize) -> &[Option<PhasorRange>] {
        &self.units[index]
    }

    fn sum(&self, index: usize, sure: Set, possible: Set) -> PhasorRange {
        let mut sum = self.base[index];
        let own = &self.units[index];
        for n in members(sure | possible) {
            match &own[n] {
                Some(range) if sure & (1 << n) != 0 => sum = sum.plus(range),
                Some(range) => sum = sum.plus(&range.with_zero()),
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
pub(super) fn in_check(model: &Model<'_>, check: &Check, leg: Leg, range: PhasorRange) -> Option<PhasorRange> {
    let turned = range.scaled(-1.0);
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
            let watts = |r: PhasorRange, volts: f64| PhasorRange { im: [0.0; 2], ..r.scaled(volts) };
            let mut sum = PhasorRange::default();
            if let Some(r) = in_line(0) {
                sum = sum.plus(&watts(r, volts));
            }
            if let Some(r) = in_line(1).filter(|_| split) {
                sum = sum.plus(&watts(r, -volts));
            }
            Some(sum)
        }
        Of::Volts => None,
    }
}

#[cfg(test)]
mod tests {
    use super::super::model::Stop;
    use super::*;
    use crate::installation::PartId;
    use crate::units::Complex;

    fn amps(re: f64) -> PhasorRange {
        PhasorRange::point(Complex::new(re, 0.0))
    }

    fn breaker(limit: f64) -> Check {
        Check { stop: Stop::Breaker, part: PartId::new(0), at: 0, limit, of: Of::Amps(0) }
    }

    /// 10 A always, 4 A more with the first, 3 A less with the second.
    fn ten_and() -> Estimate {
        let units = vec![vec![Some(amps(4.0)), Some(amps(-3.0)), None]];
        Estimate { base: vec![amps(10.0)], units, volts_hold: true }
    }

    #[test]
    fn the_sum_of_a_set_is_told_from_its_limit_by_half_an_ampere() {
        let sums = ten_and();
        for (set, amps) in [(0b000, 10.0), (0b001, 14.0), (0b010, 7.0), (0b011, 11.0), (0b100, 10.0)] {
            assert_eq!(sums.of_set(0, &breaker(amps + 0.5), set), Guess::Holds, "{set:b}");
            assert_eq!(sums.of_set(0, &breaker(amps - 0.5), set), Guess::Fails, "{set:b}");
            assert_eq!(sums.of_set(0, &breaker(amps), set), Guess::Near, "{set:b}");
        }
    }

    #[test]
    fn a_load_that_may_be_off_is_not_counted_on_to_lighten_a_limit() {
        let sums = ten_and();
        assert_eq!(sums.of_family(0, &breaker(8.0), 0b000, 0b010), Guess::Near, "10 A without it, 7 A with it");
        assert_eq!(sums.of_family(0, &breaker(8.0), 0b010, 0b010), Guess::Holds, "it is on: 7 A");
        assert_eq!(sums.of_family(0, &breaker(12.0), 0b000, 0b011), Guess::Near, "14 A with the first alone");
        assert_eq!(sums.of_family(0, &breaker(14.5), 0b000, 0b011), Guess::Holds, "14 A at most");
        assert_eq!(sums.of_family(0, &breaker(13.5), 0b000, 0b001), Guess::Fails, "14 A with all of it");
    }
}
