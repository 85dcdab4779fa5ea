//! The starting sequence: an order that needs the least peak, with the peak after each step, and as a curve over time.

use super::starting::{Limits, Load, vars};
use crate::installation::{Installation, PartId, PartKind};
use crate::network::walk;
use crate::units::watts;
use std::collections::BTreeSet;

/// Seconds from one start to the next in the curve. Common practice, no source: a small motor is up to speed within a few
/// seconds; what counts is that one has started before the next does.
pub const STEP_S: f64 = 5.0;
/// Seconds that a start takes in the curve. Common practice, no source.
pub const START_S: f64 = 1.0;

/// One start.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Step {
    /// What starts.
    pub part: PartId,
    /// Watts at the moment of the start.
    pub peak_w: f64,
    /// Volt-amperes at that moment; `None` where its starting volt-amperes are not known.
    pub peak_va: Option<f64>,
    /// Watts once it runs.
    pub running_w: f64,
    /// True where its starting watts are not known: the moment is counted as running, which is a lower bound.
    pub unknown: bool,
}

/// The order in which a set starts on one source.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Sequence {
    /// What runs before the first start: chargers.
    pub base_w: f64,
    /// The starts in order.
    pub steps: Vec<Step>,
    /// The source's starting watts; `None` where not known.
    pub limit_w: Option<f64>,
    /// The source's peak volt-amperes; `None` where not known.
    pub limit_va: Option<f64>,
    /// Whether each start stays within them; `None` where a figure that it needs is not known.
    pub within: Option<bool>,
    /// The restart by itself that needs most while all runs, apart from the order.
    pub restart: Option<Step>,
    /// Whether every such restart stays within; `None` where nothing cycles or a figure is not known.
    pub restart_within: Option<bool>,
    /// Everything at once, as when a source comes back or the selector is turned.
    pub at_once_w: f64,
    /// Whether that stays within; `None` where a figure is not known.
    pub at_once_within: Option<bool>,
    /// Motors in it, which are to be switched off before the source is changed.
    pub motors: Vec<PartId>,
    /// Appliances left out because their running watts are not known.
    pub left_out: Vec<PartId>,
    /// True where some volt-amperes are not known.
    pub by_watts_only: bool,
}

impl Sequence {
    /// The order of least peak for a set on one source in a condition; what must always run is part of it, and what the
    /// source does not feed is not. Where volt-amperes ask for another order than watts, theirs is taken.
    #[must_use]
    pub fn new(installation: &Installation, condition: usize, source: PartId, set: &BTreeSet<PartId>) -> Self {
        let system = installation.system;
        let mut out = Self::default();
        let Some(rated) = installation.parts.get(&source) else { return out };
        let walk = walk(installation, condition);
        let limits = Limits::of(rated, system);
        (out.limit_w, out.limit_va) = (limits.watts, limits.va);
        let mut base = (0.0, 0.0);
        let mut loads = Vec::new();
        let mut unknown = BTreeSet::new();
        for id in walk.order.iter().filter(|id| walk.root_of(**id) == Some(source) && **id != source) {
            let Some(part) = installation.parts.get(id) else { continue };
            match part.kind {
                PartKind::Inverter => {
                    base.0 += part.charge_w;
                    base.1 += vars(part.charge_w, part.pf());
                }
                PartKind::Appliance if part.must_run || set.contains(id) => match Load::of(part, *id, system) {
                    Some((load, estimate)) => {
                        if estimate.is_some() {
                            unknown.insert(*id);
                        }
                        loads.push(load);
                    }
                    None => out.left_out.push(*id),
                },
                _ => {}
            }
        }
        loads.sort_by(|a, b| b.increment().total_cmp(&a.increment()).then(a.part.cmp(&b.part)));
        if let Some(order) = limits.find_order(&loads, base) {
            loads.sort_by_key(|l| order.iter().position(|p| *p == l.part));
        }
        out.base_w = base.0;
        out.by_watts_only = !loads.is_empty() && (limits.va.is_none() || loads.iter().any(|l| l.start_var.is_none()));
        out.order(&loads, base, &unknown, limits);
        out
    }

    fn order(&mut self, loads: &[Load], base: (f64, f64), unknown: &BTreeSet<PartId>, limits: Limits) {
        let step = |l: &Load, others: (f64, f64)| {
            let (peak_w, var) = l.moment(others);
            Step {
                part: l.part,
                peak_w,
                peak_va: var.map(|q| peak_w.hypot(q)),
                running_w: others.0 + l.run_w,
                unknown: unknown.contains(&l.part),
            }
        };
        // What is not known can only make it worse: a "no" stands, a "yes" does not.
        let known = unknown.is_empty() && self.left_out.is_empty();
        let verdict = |held: Option<bool>| held.filter(|yes| known || !yes);
        let mut running = base;
        let mut within = limits.holds(base.0, Some(base.1));
        for l in loads {
            self.steps.push(step(l, running));
            let (w, q) = l.moment(running);
            within = within.zip(limits.holds(w, q)).map(|(a, b)| a && b);
            running = (running.0 + l.run_w, running.1 + l.run_var);
            if l.start_w > l.run_w || unknown.contains(&l.part) {
                self.motors.push(l.part);
            }
        }
        self.within = verdict(within);
        let again = |l: &Load| (running.0 - l.run_w, running.1 - l.run_var);
        let cycling: Vec<&Load> = loads.iter().filter(|l| l.cycles).collect();
        self.restart = cycling.iter().map(|l| step(l, again(l))).max_by(|a, b| a.peak_w.total_cmp(&b.peak_w));
        let held = |l: &&Load| {
            let (w, q) = l.moment(again(l));
            limits.holds(w, q)
        };
        let all: Option<bool> = cycling.iter().map(held).try_fold(true, |all, one| one.map(|o| all && o));
        self.restart_within = verdict(all.filter(|_| !cycling.is_empty()));
        self.at_once_w = loads.iter().fold(base.0, |w, l| w + l.start_w.max(l.run_w));
        let var: Option<f64> = loads.iter().map(|l| l.start_var.map(|q| q.max(l.run_var))).sum();
        self.at_once_within = verdict(limits.holds(self.at_once_w, var.map(|q| q + base.1)));
    }

    /// The largest peak of the order, watts.
    #[must_use]
    pub fn peak_w(&self) -> f64 {
        self.steps.iter().map(|s| s.peak_w).fold(self.base_w, f64::max)
    }

    /// The sequence as a curve: (seconds, watts), each start [`START_S`] long and [`STEP_S`] after the one before.
    #[must_use]
    pub fn curve(&self) -> Vec<(f64, f64)> {
        let mut out = vec![(0.0, self.base_w)];
        let mut running = self.base_w;
        for (n, step) in self.steps.iter().enumerate() {
            let at = (n as f64 + 0.2) * STEP_S;
            out.extend([(at, running), (at, step.peak_w), (at + START_S, step.peak_w), (at + START_S, step.running_w)]);
            running = step.running_w;
        }
        out.push(((self.steps.len() as f64 + 0.2) * STEP_S, running));
        out
    }

    /// The starts in words: `1. Air conditioner: peak 3,600 W, then 1,000 W running`.
    #[must_use]
    pub fn step_lines(&self, installation: &Installation) -> Vec<String> {
        let line = |(n, step): (usize, &Step)| {
            let unknown = if step.unknown { ", its start not known" } else { "" };
            let (who, peak, after) = (title(installation, step.part), watts(step.peak_w), watts(step.running_w));
            format!("{}. {who}: peak {peak}, then {after} running{unknown}", n + 1)
        };
        self.steps.iter().enumerate().map(line).collect()
    }

    /// What the starts come to, each with whether it stays within what the source gives: the order, the restart by itself
    /// apart from it, and everything at once with what to switch off before the source is changed.
    #[must_use]
    pub fn verdict_lines(&self, installation: &Installation) -> Vec<(String, Option<bool>)> {
        let limit = self.limit_w.map_or_else(|| "a starting rating that is not known".to_owned(), watts);
        let mut out = Vec::new();
        let order = verdict(self.within, "every start is within it", "that is too much");
        out.push((format!("Largest peak {} of {limit}: {order}.", watts(self.peak_w())), self.within));
        if let Some(restart) = &self.restart {
            let held = verdict(self.restart_within, "within the starting rating", "too much for the source");
            let (who, peak) = (title(installation, restart.part), watts(restart.peak_w));
            let text = format!("Apart from the order, {who} may restart by itself while all runs: {peak}, {held}.");
            out.push((text, self.restart_within));
        }
        let held = verdict(self.at_once_within, "within the starting rating", "too much for the source");
        let motors: Vec<&str> = self.motors.iter().map(|id| title(installation, *id)).collect();
        let advice = if motors.is_empty() {
            String::new()
        } else {
            format!(" Switch off {} before changing source.", motors.join(", "))
        };
        let at_once = watts(self.at_once_w);
        let text = format!("Everything at once, as when a source comes back: {at_once}, {held}.{advice}");
        out.push((text, self.at_once_within));
        out
    }
}

fn title(installation: &Installation, id: PartId) -> &str {
    installation.parts.get(&id).map_or("?", |p| p.title())
}

/// A verdict in words.
fn verdict(holds: Option<bool>, yes: &str, no: &str) -> String {
    match holds {
        Some(true) => yes.to_owned(),
        Some(false) => no.to_owned(),
        None => "whether that is within the starting rating is not known".to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Two starts, five seconds apart, each a second long, on a base of 100 W.
    #[test]
    fn the_curve_rises_for_each_start_and_falls_to_what_runs() {
        let step = |peak_w, running_w| Step { part: PartId::new(0), peak_w, peak_va: None, running_w, unknown: false };
        let steps = vec![step(2600.0, 600.0), step(3100.0, 1300.0)];
        let sequence = Sequence { base_w: 100.0, steps, ..Sequence::default() };
        let curve = [
            (0.0, 100.0),
            (1.0, 100.0),
            (1.0, 2600.0),
            (2.0, 2600.0),
            (2.0, 600.0),
            (6.0, 600.0),
            (6.0, 3100.0),
            (7.0, 3100.0),
            (7.0, 1300.0),
            (11.0, 1300.0),
        ];
        assert_eq!(sequence.curve(), curve);
        assert!((sequence.peak_w() - 3100.0).abs() < 1e-9);
    }
}
