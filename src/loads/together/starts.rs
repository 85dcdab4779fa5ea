//! Starts of a set on one source: the best order and the worst restart, as sums of rated watts and volt-amperes.

use super::judge::{Stopped, stopped};
use super::model::{Set, Starts, Stop};
use crate::installation::PartId;
use crate::loads::starting::Load;
use crate::units::above;

/// One question about a start, each of which only grows with the set.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Start {
    /// The load at this place of its source's list starts after all with an increment at least as large.
    Best(usize),
    /// All that runs; what the last of the loads that start as they run asks for.
    Total,
    /// Some order stays within the volt-amperes.
    Order,
    /// The load at this place restarts while all runs.
    Restart(usize),
}

/// The loads of a source that are in a set, those that always run included.
pub(super) fn in_use(s: &Starts, set: Set) -> impl Iterator<Item = (usize, &Load)> {
    s.loads
        .iter()
        .enumerate()
        .filter(move |(_, (unit, _))| unit.is_none_or(|n| set & (1 << n) != 0))
        .map(|(i, (_, load))| (i, load))
}

fn total(s: &Starts, set: Set) -> (f64, f64) {
    in_use(s, set).fold(s.base, |(w, q), (_, l)| (w + l.run_w, q + l.run_var))
}

/// True where one question about a start is answered well for a set that holds what it asks about.
pub(super) fn start_holds(s: &Starts, set: Set, start: Start) -> bool {
    let held = |watts: f64, var: Option<f64>| s.limits.holds(watts, var).unwrap_or(true);
    match start {
        Start::Best(k) => {
            let Some((_, last)) = s.loads.get(k) else { return true };
            let before = in_use(s, set)
                .filter(|(i, l)| *i != k && l.increment() >= last.increment())
                .fold(s.base, |(w, q), (_, l)| (w + l.run_w, q + l.run_var));
            held(last.moment(before).0, None)
        }
        Start::Total => held(total(s, set).0, None),
        Start::Order => {
            let loads: Vec<Load> = in_use(s, set).map(|(_, l)| *l).collect();
            s.limits.some_order(&loads, s.base).unwrap_or(true)
        }
        Start::Restart(k) => {
            let Some((_, l)) = s.loads.get(k) else { return true };
            let all = total(s, set);
            let (watts, var) = l.moment((all.0 - l.run_w, all.1 - l.run_var));
            held(watts, var)
        }
    }
}

/// True where the best order and the worst restart stay within a source's peak, as far as that is known.
pub(super) fn starts(s: &Starts, set: Set) -> bool {
    if s.limits.watts.is_none() {
        return true;
    }
    let mut running = s.base;
    let mut in_order = s.limits.holds(running.0, Some(running.1)) == Some(true);
    for (_, l) in in_use(s, set) {
        let (watts, var) = l.moment(running);
        if s.limits.holds(watts, None) == Some(false) {
            return false;
        }
        in_order &= s.limits.holds(watts, var) == Some(true);
        running = (running.0 + l.run_w, running.1 + l.run_var);
    }
    (in_order || start_holds(s, set, Start::Order))
        && in_use(s, set).filter(|(_, l)| l.cycles).all(|(i, _)| start_holds(s, set, Start::Restart(i)))
}

/// What stops the starts of a set on one source.
pub(super) fn start_stop(s: &Starts, set: Set) -> Option<Stopped> {
    let limit = s.limits.watts?;
    let make = |watts: f64, va: Option<f64>, starter: Option<PartId>, restart: bool| {
        let by_watts = above(watts, limit);
        let (figure, limit, unit) = match (by_watts, s.limits.va) {
            (false, Some(most)) => (va, most, "VA"),
            _ => (Some(watts), limit, "W"),
        };
        Stopped { starter, restart, ..stopped(Stop::Starting, s.source, figure, limit, unit) }
    };
    let mut running = s.base;
    let mut worst: Option<(f64, PartId)> = None;
    for (_, l) in in_use(s, set) {
        let (watts, _) = l.moment(running);
        if worst.is_none_or(|(w, _)| watts > w) {
            worst = Some((watts, l.part));
        }
        running = (running.0 + l.run_w, running.1 + l.run_var);
    }
    if let Some((watts, part)) = worst
        && above(watts, limit)
    {
        return Some(make(watts, None, Some(part), false));
    }
    if !start_holds(s, set, Start::Order) {
        return Some(make(worst.map_or(s.base.0, |w| w.0), None, worst.map(|w| w.1), false));
    }
    let all = total(s, set);
    let restart = |l: &Load| l.moment((all.0 - l.run_w, all.1 - l.run_var));
    let size = |l: &Load| {
        let (watts, var) = restart(l);
        let va = var.zip(s.limits.va).map_or(0.0, |(q, most)| watts.hypot(q) / most);
        (watts / limit).max(va)
    };
    in_use(s, set)
        .filter(|(i, l)| l.cycles && !start_holds(s, set, Start::Restart(*i)))
        .max_by(|(_, a), (_, b)| size(a).total_cmp(&size(b)))
        .map(|(_, l)| {
            let (watts, var) = restart(l);
            make(watts, var.map(|q| watts.hypot(q)), Some(l.part), true)
        })
}
