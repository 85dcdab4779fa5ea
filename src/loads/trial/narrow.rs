//! Narrowing: the range of each appliance's power that several readings leave.
//!
//! What a meter shows grows with every power behind it, losses included. So the most that one appliance can draw is where
//! all others draw their least and the meter its most, and the other way round: the solve itself says where (interval
//! propagation). Sums of several readings that share appliances say more together; a linear programme over the same
//! ranges, with the losses and the effect of the voltage as coefficients and constants that hold for the whole range,
//! finds it. Both only ever take away what no powers leave.

use super::case::Case;
use super::simplex::{Outcome, most};
use crate::installation::PartId;
use std::collections::{BTreeMap, BTreeSet};

/// Least and most watts of each appliance; infinite where no reading says.
pub(super) type Ranges = BTreeMap<PartId, (f64, f64)>;

/// Share of a figure by which an end is set outwards: what the solve itself may be off by.
const ROOM: f64 = 1e-8;
/// Rounds; each takes off most of what the one before left to take.
const ROUNDS: usize = 12;
/// Most watts of one appliance that are looked at.
const MOST_W: f64 = 1e7;

/// No powers agree with all the readings.
#[derive(Debug)]
pub(super) struct Contradiction;

fn room(x: f64) -> f64 {
    ROOM * x.abs().max(1.0)
}

fn above(x: f64, limit: f64) -> bool {
    x > limit + room(limit)
}

fn below(x: f64, limit: f64) -> bool {
    x < limit - room(limit)
}

/// The ranges that the cases leave.
pub(super) fn narrow(cases: &mut [&mut Case], split_phase: bool) -> Result<Ranges, Contradiction> {
    let mut ranges: Ranges =
        cases.iter().flat_map(|c| c.behind.iter().chain(&c.beside)).map(|id| (*id, (0.0, f64::INFINITY))).collect();
    for _ in 0..ROUNDS {
        let before = ranges.clone();
        for case in cases.iter_mut().filter(|c| c.tells()) {
            propagate(case, &mut ranges)?;
        }
        programme(cases, &mut ranges, split_phase)?;
        if ranges.iter().all(|(id, now)| has_settled(before[id], *now)) {
            break;
        }
    }
    Ok(ranges)
}

/// True where a round took so little off a range that another is not worth its while.
fn has_settled(before: (f64, f64), now: (f64, f64)) -> bool {
    let same = |a: f64, b: f64| a == b || (a - b).abs() <= 1e-7 * a.max(1.0);
    same(now.0, before.0) && same(now.1, before.1)
}

/// Powers at one end of the ranges: those behind the meter at `high` or low, those beside it at `beside_high` or low.
fn corner<'a>(ranges: &'a Ranges, beside: &'a [PartId], high: bool, beside_high: bool) -> impl Fn(PartId) -> f64 + 'a {
    move |id| {
        let (low, most) = ranges.get(&id).copied().unwrap_or((0.0, 0.0));
        match if beside.contains(&id) { beside_high } else { high } {
            false => low,
            true if most.is_finite() => most,
            true => MOST_W,
        }
    }
}

/// How what is beside the meter acts on the voltage at it.
#[derive(Clone, Copy, PartialEq)]
enum Beside {
    /// All draw their least.
    Least,
    /// All draw their most: the voltage is low.
    Most,
    /// Three wires: the other line draws its most and this one its least, so that the neutral lifts the voltage.
    Lifting,
}

/// What the meter would show with those behind it at given powers and those beside it as said. Where they have no most, or
/// one that cannot be supplied, the voltage is taken at the least or the most that any supply can have.
fn shown(case: &mut Case, ranges: &Ranges, far: Beside, power: &dyn Fn(PartId) -> f64) -> Option<f64> {
    let beside = case.beside.clone();
    let lifting: Vec<PartId> = beside.iter().copied().filter(|id| case.lifts(*id)).collect();
    let with = |far: Beside| {
        let (beside, lifting) = (&beside, &lifting);
        move |id: PartId| {
            let (low, most) = ranges.get(&id).copied().unwrap_or((0.0, 0.0));
            match far {
                _ if !beside.contains(&id) => power(id),
                Beside::Most => most,
                Beside::Lifting if lifting.contains(&id) => most,
                Beside::Least | Beside::Lifting => low,
            }
        }
    };
    if far == Beside::Least {
        return case.value(&with(far));
    }
    let bounded = beside.iter().all(|id| ranges.get(id).is_some_and(|r| r.1.is_finite()));
    let at_most = if bounded { case.value(&with(far)) } else { None };
    // Half of the source's voltage is the least, since beyond it more current brings less power; the neutral can lift the
    // other line by as much at most (textbook physics).
    let share = if far == Beside::Most { 0.5 } else { 1.5 };
    at_most.or_else(|| case.at_share_of_voltage(share, &with(Beside::Least)))
}

/// Narrows each appliance behind the meter by this reading alone.
fn propagate(case: &mut Case, ranges: &mut Ranges) -> Result<(), Contradiction> {
    let (least, most) = case.range;
    let corners: &[Beside] = match (case.beside.is_empty(), case.has_two_lines()) {
        (true, _) => &[Beside::Least],
        (false, false) => &[Beside::Least, Beside::Most],
        (false, true) => &[Beside::Least, Beside::Most, Beside::Lifting],
    };
    let fits = |case: &mut Case, ranges: &Ranges, high: bool| {
        corners.iter().any(|&far| {
            let value = shown(case, ranges, far, &corner(ranges, &[], high, high));
            // What cannot be supplied is more than any meter shows.
            if high { value.is_none_or(|v| !below(v, least)) } else { value.is_some_and(|v| !above(v, most)) }
        })
    };
    let bounded = case.behind.iter().all(|id| ranges[id].1.is_finite());
    if !fits(case, ranges, false) || bounded && !fits(case, ranges, true) {
        return Err(Contradiction);
    }
    for id in case.behind.clone() {
        let (low, high) = ranges[&id];
        // Without a most, the others may draw all that the meter shows.
        let others = case.behind.iter().filter(|other| **other != id).all(|other| ranges[other].1.is_finite());
        let (mut at_least, mut at_most) = (if others { f64::INFINITY } else { low }, 0.0_f64);
        for &far in corners {
            if far != Beside::Least && shown(case, ranges, far, &corner(ranges, &[], false, false)).is_none() {
                // Not even the least can be worked out at the least voltage: nothing is taken away.
                (at_least, at_most) = (low, f64::INFINITY);
                break;
            }
            let mut find = |others_high: bool, target: f64| {
                let others = corner(ranges, &[], others_high, others_high);
                let one = |x: f64| shown(case, ranges, far, &|p| if p == id { x } else { others(p) });
                crossing(low, high, target, one)
            };
            at_most = at_most.max(find(false, most).map_or(0.0, |x| x + room(x)));
            if others {
                at_least = at_least.min(find(true, least).map_or(low, |x| (x - room(x)).max(0.0)));
            }
        }
        let narrowed = (low.max(at_least), high.min(at_most));
        if narrowed.0 > narrowed.1 + 2.0 * room(narrowed.1) {
            return Err(Contradiction);
        }
        ranges.insert(id, (narrowed.0.min(narrowed.1), narrowed.1));
    }
    Ok(())
}

/// Where a growing function of one power passes `target` between `low` and `high`: `None` where it lies above the target
/// at `low` already, `high` where it stays below. What cannot be supplied lies above.
fn crossing(low: f64, high: f64, target: f64, mut f: impl FnMut(f64) -> Option<f64>) -> Option<f64> {
    let mut at = |x: f64| f(x).map_or(f64::INFINITY, |v| v - target);
    let (mut a, mut fa) = (low, at(low));
    if fa > room(target) {
        return None;
    }
    let mut b = if high.is_finite() { high } else { (low + target.abs()).max(1.0) };
    let mut fb = at(b);
    while fb <= 0.0 {
        if high.is_finite() || b >= MOST_W {
            return Some(high);
        }
        (a, fa) = (b, fb);
        b *= 2.0;
        fb = at(b);
    }
    for round in 0..200 {
        if b - a <= room(b) / 8.0 {
            break;
        }
        // The secant, a step to either side of it by turns so that both ends close in, and at times the middle.
        let secant = if fb.is_finite() { a + (b - a) * fa / (fa - fb) } else { f64::NAN };
        let x = if round % 3 == 2 || !secant.is_finite() {
            f64::midpoint(a, b)
        } else {
            let step = room(b) / 20.0;
            (secant + if round % 3 == 0 { step } else { -step }).clamp(a, b)
        };
        let fx = at(x);
        if fx <= 0.0 {
            (a, fa) = (x, fx);
        } else {
            (b, fb) = (x, fx);
        }
    }
    Some(f64::midpoint(a, b))
}

/// A sum of powers between two figures, coefficients for its least and its most.
struct Sum {
    least: Vec<(PartId, f64)>,
    at_most: f64,
    most: Vec<(PartId, f64)>,
    at_least: f64,
}

/// The reading as a sum over the ranges; `None` where they are too wide for the losses to be bounded.
fn sum(case: &mut Case, ranges: &Ranges, split_phase: bool) -> Option<Sum> {
    if !case.is_power() || case.behind.iter().chain(&case.beside).any(|id| !ranges[id].1.is_finite()) {
        return None;
    }
    let beside = case.beside.clone();
    let behind = case.behind.clone();
    let low = case.shown(&corner(ranges, &beside, false, false))?;
    let high = case.shown(&corner(ranges, &beside, true, true))?;
    let factor = |factors: &BTreeMap<PartId, f64>, id: PartId| factors.get(&id).copied().unwrap_or(1.0);
    let drawn = |factors: &BTreeMap<PartId, f64>, end: fn((f64, f64)) -> f64| -> f64 {
        behind.iter().map(|id| factor(factors, *id) * end(ranges[id])).sum()
    };
    let mut losses = (low.value - drawn(&low.factors, |r| r.0), high.value - drawn(&high.factors, |r| r.1));
    let (mut factor_least, mut factor_most) = (high.factors.clone(), low.factors.clone());
    if split_phase {
        // A load on one line takes current off the neutral of the other: neither end bounds the losses or the voltage.
        let spread = (losses.1 - losses.0).abs() + losses.1.abs();
        losses = (losses.0.min(losses.1) - spread, losses.1.max(losses.0) + spread);
        for (id, most) in &mut factor_most {
            let least = factor(&high.factors, *id);
            let spread = 2.0 * (*most - least).abs();
            factor_least.insert(*id, least - spread);
            *most += spread;
        }
    }
    let (least, most) = case.range;
    let slack = 1e-7 * most.max(1.0);
    let coefficients =
        |factors: &BTreeMap<PartId, f64>| behind.iter().map(|id| (*id, factor(factors, *id))).collect::<Vec<_>>();
    Some(Sum {
        least: coefficients(&factor_least),
        at_most: most - losses.0 + slack,
        most: coefficients(&factor_most),
        at_least: least - losses.1 - slack,
    })
}

/// Narrows all together by a linear programme for each end of each range.
fn programme(cases: &mut [&mut Case], ranges: &mut Ranges, split_phase: bool) -> Result<(), Contradiction> {
    let sums: Vec<Sum> = cases.iter_mut().filter_map(|case| sum(case, ranges, split_phase)).collect();
    let ids: BTreeSet<PartId> = sums.iter().flat_map(|s| s.least.iter().map(|(id, _)| *id)).collect();
    // Sums that share no appliance say nothing more together.
    let members: usize = sums.iter().map(|s| s.least.len()).sum();
    if members == ids.len() {
        return Ok(());
    }
    let ids: Vec<PartId> = ids.into_iter().collect();
    for goal in 0..ids.len() {
        for upper in [true, false] {
            // From the low ends of the ranges, so that everything is 0 or above.
            let low: Vec<f64> = ids.iter().map(|id| ranges[id].0).collect();
            let row = |of: &[(PartId, f64)], sign: f64, limit: f64| {
                let mut coefficients = vec![0.0; ids.len()];
                for (id, k) in of {
                    if let Some(at) = ids.iter().position(|i| i == id) {
                        coefficients[at] = sign * k;
                    }
                }
                let shift: f64 = coefficients.iter().zip(&low).map(|(k, l)| k * l).sum();
                (coefficients, sign * limit - shift)
            };
            let mut rows = Vec::new();
            for s in &sums {
                rows.push(row(&s.least, 1.0, s.at_most));
                rows.push(row(&s.most, -1.0, s.at_least));
            }
            rows.extend(ids.iter().map(|id| row(&[(*id, 1.0)], 1.0, ranges[id].1)));
            let mut aim = vec![0.0; ids.len()];
            aim[goal] = if upper { 1.0 } else { -1.0 };
            match most(&aim, &rows) {
                Outcome::Most(value) => {
                    let x = low[goal] + if upper { value } else { -value };
                    // What the programme itself may be off by.
                    let margin = 1e-6 * x.abs().max(1.0);
                    let (low, high) = ranges[&ids[goal]];
                    let narrowed = if upper { (low, high.min(x + margin)) } else { (low.max(x - margin), high) };
                    ranges.insert(ids[goal], (narrowed.0.min(narrowed.1), narrowed.1));
                }
                Outcome::Infeasible => return Err(Contradiction),
                // It found no answer: nothing is taken away.
                Outcome::NoAnswer => {}
            }
        }
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_off_by_no_more_than_the_solve_may_be_counts_as_equal() {
        for limit in [0.0, 0.5, 250.0, 9e6] {
            assert!(!below(limit - room(limit), limit) && !above(limit + room(limit), limit), "{limit}");
            assert!(below(limit - 1.5 * room(limit), limit) && above(limit + 1.5 * room(limit), limit), "{limit}");
        }
    }

    #[test]
    fn a_range_has_settled_where_neither_end_moved_by_a_ten_millionth() {
        let open = f64::INFINITY;
        assert!(has_settled((100.0, 200.0), (100.0, 200.0)));
        assert!(has_settled((100.0, 200.0), (100.000_005, 199.999_99)));
        assert!(has_settled((300.0, open), (300.0, open)) && has_settled((0.0, 0.5), (5e-8, 0.5 - 5e-8)));
        assert!(!has_settled((100.0, 200.0), (100.000_02, 200.0)), "two ten-millionths of 100");
        assert!(!has_settled((100.0, 200.0), (100.0, 199.999_9)));
        assert!(!has_settled((100.0, open), (100.0, 5000.0)) && !has_settled((100.0, 100.0), (0.0, 100.0)));
    }

    /// Where x² + 2x, x and a steep root pass a figure, each in a few steps.
    #[test]
    fn where_a_growing_figure_passes_a_target_is_found_in_few_steps() {
        type Curve = fn(f64) -> f64;
        let curves: [(Curve, Curve); 3] = [
            (|x| x, |y| y),
            (|x| x * x / 1000.0 + 2.0 * x, |y| 1000.0 * ((1.0 + y / 1000.0).sqrt() - 1.0)),
            (|x| 900.0 * x.sqrt(), |y| (y / 900.0) * (y / 900.0)),
        ];
        for (n, (curve, inverse)) in curves.into_iter().enumerate() {
            for target in [3.0, 450.0, 12_000.0] {
                for high in [1e6, f64::INFINITY] {
                    let mut steps = 0;
                    let found = crossing(0.0, high, target, |x| {
                        steps += 1;
                        Some(curve(x))
                    });
                    let by_hand = inverse(target);
                    let off = found.map(|x| (x - by_hand).abs());
                    assert!(off.is_some_and(|off| off <= room(by_hand)), "{n}: {found:?}, by hand {by_hand}");
                    assert!(steps < 60, "{steps} steps");
                }
            }
        }
        assert_eq!(crossing(5.0, 10.0, 3.0, Some), None, "above the target from the start");
        assert_eq!(crossing(0.0, 10.0, 30.0, Some), Some(10.0), "below it to the end");
        let supplied = |x: f64| (x <= 40.0).then_some(x);
        let limit = crossing(0.0, 100.0, 90.0, supplied);
        assert!(limit.is_some_and(|x| (x - 40.0).abs() < 1e-6), "what cannot be supplied lies above: {limit:?}");
    }
}
