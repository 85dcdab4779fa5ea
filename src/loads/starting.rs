//! Starting: "some run, and one more starts", in three forms.
//!
//! Watts are sums of the appliances' rated running and starting watts, cable losses aside; volt-amperes are judged beside
//! them where both the appliance and the source state them, watts and vars added as phasors.

use crate::installation::{Installation, LoadKind, Part, PartId, PartKind, System};
use crate::network::{Reach, Solution};
use crate::units::above;

/// Locked-rotor over full-load current of a small single-phase motor, for an estimate where no starting figure is known.
/// Source: NEC (NFPA 70) Tables 430.248 and 430.251(A), whose single-phase figures stand at six to one (read).
pub const ESTIMATED_START_MULTIPLE: f64 = 6.0;

/// What a source would have to deliver, and whether its peak rating covers it.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Peaks {
    /// Watts of all that runs on the source.
    pub running_w: Option<f64>,
    /// Peak watts in the order that needs the least; `None` where a motor's starting watts are not known.
    pub best_order_w: Option<f64>,
    /// Running total plus the largest increment of what cycles; `None` where nothing cycles or one is not known.
    pub worst_restart_w: Option<f64>,
    /// Peak watts where everything starts at once.
    pub all_at_once_w: Option<f64>,
    /// An order that needs the least peak: largest (start − run) first.
    pub order: Vec<PartId>,
    /// What makes the worst restart.
    pub worst_restart: Option<PartId>,
    /// Whether some order stays within the peak rating, in watts and, where known, in volt-amperes.
    pub starts_best_order: Option<bool>,
    /// Whether the worst restart stays within it; `None` where nothing cycles.
    pub starts_worst_restart: Option<bool>,
    /// Whether all at once stays within it.
    pub starts_all_at_once: Option<bool>,
    /// True where volt-amperes could not be judged for want of a figure.
    pub by_watts_only: bool,
    /// Motors whose starting watts are not known, each with six times its running watts as an estimate.
    pub estimated: Vec<(PartId, f64)>,
    /// Appliances whose running watts are not known: counted as 0 W.
    pub unknown: Vec<PartId>,
}

/// One appliance that runs on the source, in rated figures.
#[derive(Clone, Copy, Debug)]
pub(super) struct Load {
    pub(super) part: PartId,
    pub(super) run_w: f64,
    pub(super) run_var: f64,
    pub(super) start_w: f64,
    /// Reactive power while starting; `None` where starting volt-amperes are not known.
    pub(super) start_var: Option<f64>,
    pub(super) cycles: bool,
}

impl Load {
    /// Watts that its start takes beyond its running.
    pub(super) fn increment(&self) -> f64 {
        (self.start_w - self.run_w).max(0.0)
    }

    /// Watts and, where known, vars of the moment in which it starts while `others` run.
    pub(super) fn moment(&self, others: (f64, f64)) -> (f64, Option<f64>) {
        (others.0 + self.start_w.max(self.run_w), self.start_var.map(|q| others.1 + q.max(self.run_var)))
    }

    /// What a part draws, counted as running where its starting watts are not known: the second figure is then the
    /// estimate. `None` where its running watts are not known.
    pub(super) fn of(part: &Part, id: PartId, system: System) -> Option<(Self, Option<f64>)> {
        let run_w = part.run_w?;
        let known = part.start_w(system);
        let start_w = known.unwrap_or(run_w);
        let run_var = vars(run_w, part.pf());
        let steady = part.load_kind != LoadKind::Motor && start_w <= run_w;
        let start_var = match part.start_va {
            Some(va) => Some((va * va - start_w * start_w).max(0.0).sqrt()),
            None if steady => Some(run_var),
            None => None,
        };
        let estimate = known.is_none().then_some(ESTIMATED_START_MULTIPLE * run_w);
        Some((Self { part: id, run_w, run_var, start_w, start_var, cycles: part.cycles }, estimate))
    }
}

/// Reactive power of a load, lagging positive.
pub(super) fn vars(watts: f64, pf: f64) -> f64 {
    watts * pf.acos().tan()
}

fn load(installation: &Installation, id: PartId, peaks: &mut Peaks, system: System) -> Option<Load> {
    let part = installation.parts.get(&id)?;
    let Some((load, estimate)) = Load::of(part, id, system) else {
        peaks.unknown.push(id);
        return None;
    };
    peaks.estimated.extend(estimate.map(|watts| (id, watts)));
    Some(load)
}

/// The peak ratings that an order has to stay within.
#[derive(Clone, Copy, Debug)]
pub(super) struct Limits {
    pub(super) watts: Option<f64>,
    pub(super) va: Option<f64>,
}

impl Limits {
    /// The ratings of a source.
    pub(super) fn of(source: &Part, system: System) -> Self {
        Self { watts: source.start_w(system), va: source.start_va }
    }

    /// Whether a moment stays within them; volt-amperes count where both are known.
    pub(super) fn holds(&self, watts: f64, var: Option<f64>) -> Option<bool> {
        let by_watts = !above(watts, self.watts?);
        Some(match (self.va, var) {
            (Some(limit), Some(var)) => by_watts && !above(watts.hypot(var), limit),
            _ => by_watts,
        })
    }

    /// An order in which every start stays within the limits, and the rest runs; an empty answer where there is none.
    /// Exact: of a set that runs, anything that can start with all the others running may as well start last, since
    /// every sum only grows.
    pub(super) fn find_order(&self, loads: &[Load], base: (f64, f64)) -> Option<Vec<PartId>> {
        let mut left = loads.to_vec();
        // The smallest increment is tried first as the last to start: it fits soonest, so the search is mostly short.
        left.sort_by(|a, b| b.increment().total_cmp(&a.increment()).then(a.part.cmp(&b.part)));
        let mut running = left.iter().fold(base, |(w, q), l| (w + l.run_w, q + l.run_var));
        let mut order = Vec::with_capacity(left.len());
        while !left.is_empty() {
            let last = left.iter().rposition(|l| {
                let (watts, var) = l.moment((running.0 - l.run_w, running.1 - l.run_var));
                self.holds(watts, var) == Some(true)
            })?;
            let started = left.remove(last);
            order.push(started.part);
            running = (running.0 - started.run_w, running.1 - started.run_var);
        }
        order.reverse();
        (self.holds(base.0, Some(base.1)) == Some(true)).then_some(order)
    }

    /// Whether some order stays within the limits; `None` where the limit in watts is not known.
    pub(super) fn some_order(&self, loads: &[Load], base: (f64, f64)) -> Option<bool> {
        self.watts?;
        Some(self.find_order(loads, base).is_some())
    }
}

/// The three peaks of a source that feeds, for what is switched on and fed from it. Time: O(n log n) in the
/// appliances on it, O(n²) where volt-amperes make the order hard to find.
#[must_use]
pub fn peaks(installation: &Installation, solution: &Solution, source: PartId) -> Peaks {
    let system = installation.system;
    let mut peaks = Peaks::default();
    let Some(rated) = installation.parts.get(&source) else { return peaks };
    if !solution.converged {
        return peaks;
    }
    let mut loads = Vec::new();
    let mut base = (0.0, 0.0);
    for &id in &solution.walk.order {
        if solution.walk.reach.get(&id) != Some(&Reach::Fed(source)) || id == source {
            continue;
        }
        match installation.parts.get(&id) {
            Some(p) if p.kind == PartKind::Appliance && installation.is_on(id, solution.walk.condition) => {
                loads.extend(load(installation, id, &mut peaks, system));
            }
            // An inverter-charger that passes its input through draws its charger's watts besides.
            Some(p) if p.kind == PartKind::Inverter => {
                base.0 += p.charge_w;
                base.1 += vars(p.charge_w, p.pf());
            }
            _ => {}
        }
    }
    loads.sort_by(|a, b| b.increment().total_cmp(&a.increment()).then(a.part.cmp(&b.part)));
    peaks.order = loads.iter().map(|l| l.part).collect();
    let total = loads.iter().fold(base, |(w, q), l| (w + l.run_w, q + l.run_var));
    peaks.running_w = Some(total.0);

    let limits = Limits::of(rated, system);
    let vars_known = loads.iter().all(|l| l.start_var.is_some());
    peaks.by_watts_only = limits.va.is_none() || !vars_known;
    if !peaks.estimated.is_empty() {
        return peaks;
    }
    let mut running = base.0;
    let mut best = base.0;
    for l in &loads {
        best = f64::max(best, running + l.start_w.max(l.run_w));
        running += l.run_w;
    }
    peaks.best_order_w = Some(best);
    let at_once = loads.iter().fold(base.0, |w, l| w + l.start_w.max(l.run_w));
    let at_once_var =
        loads.iter().map(|l| l.start_var.map(|q| q.max(l.run_var))).sum::<Option<f64>>().map(|q| q + base.1);
    peaks.all_at_once_w = Some(at_once);
    peaks.starts_best_order = limits.some_order(&loads, base);
    peaks.starts_all_at_once = limits.holds(at_once, at_once_var);

    if let Some(worst) = loads.iter().filter(|l| l.cycles).max_by(|a, b| a.increment().total_cmp(&b.increment())) {
        peaks.worst_restart = Some(worst.part);
        peaks.worst_restart_w = Some(total.0 + worst.increment());
        // The worst in watts need not be the worst in volt-amperes: each restart is judged.
        peaks.starts_worst_restart = loads
            .iter()
            .filter(|l| l.cycles)
            .map(|l| limits.holds(total.0 + l.increment(), l.start_var.map(|q| total.1 - l.run_var + q.max(l.run_var))))
            .try_fold(true, |all, one| one.map(|o| all && o));
    }
    if !peaks.unknown.is_empty() {
        // What is counted as 0 W can only make it worse: "no" stands, "yes" is not known.
        for verdict in [&mut peaks.starts_best_order, &mut peaks.starts_worst_restart, &mut peaks.starts_all_at_once] {
            *verdict = verdict.filter(|starts| !starts);
        }
    }
    peaks
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::installation::{Part, Place, Point, System};
    use crate::network::Walk;
    use std::sync::Arc;

    /// A source with appliances straight on it: (run W, start W, cycles).
    fn on_one_source(start_w: Option<f64>, loads: &[(f64, Option<f64>, bool)]) -> (Installation, Solution, PartId) {
        let mut installation = Installation::new(System::TwoWire120);
        let mut part = Part::new(PartKind::Generator, "G1", Place::At(Point::default()));
        part.start_w = start_w;
        part.run_w = Some(5000.0);
        let source = installation.add_part(part);
        let mut walk = Walk { roots: vec![source], order: vec![source], ..Walk::default() };
        walk.reach.insert(source, Reach::Fed(source));
        for (i, &(run, start, cycles)) in loads.iter().enumerate() {
            let mut part = Part::new(PartKind::Appliance, format!("E{i}"), Place::At(Point::default()));
            part.run_w = Some(run);
            part.start_w = start;
            part.cycles = cycles;
            part.load_kind = LoadKind::Motor;
            let id = installation.add_part(part);
            walk.order.push(id);
            walk.reach.insert(id, Reach::Fed(source));
        }
        (installation, Solution { walk: walk.into(), converged: true, ..Solution::default() }, source)
    }

    fn peaks_of(start_w: f64, loads: &[(f64, f64, bool)]) -> Peaks {
        let loads: Vec<_> = loads.iter().map(|&(r, s, c)| (r, Some(s), c)).collect();
        let (installation, solution, source) = on_one_source(Some(start_w), &loads);
        peaks(&installation, &solution, source)
    }

    /// Worked example start-order: all permutations, derived.
    #[test]
    fn largest_increment_first_needs_the_least() {
        let p = peaks_of(4000.0, &[(1000.0, 4000.0, true), (800.0, 2600.0, true), (600.0, 600.0, true)]);
        assert_eq!(p.best_order_w, Some(4000.0));
        assert_eq!(p.worst_restart_w, Some(5400.0));
        assert_eq!(p.running_w, Some(2400.0));
        assert_eq!(p.all_at_once_w, Some(7200.0));
        assert_eq!(
            (p.starts_best_order, p.starts_worst_restart, p.starts_all_at_once),
            (Some(true), Some(false), Some(false))
        );
    }

    /// Worked example start-order-cycling: all is well until the thermostat calls.
    #[test]
    fn a_restart_may_fail_where_the_best_order_holds() {
        let p = peaks_of(
            5500.0,
            &[
                (1500.0, 4500.0, true),
                (150.0, 600.0, true),
                (1500.0, 1500.0, false),
                (1100.0, 1100.0, false),
                (500.0, 500.0, false),
            ],
        );
        assert_eq!(p.best_order_w, Some(4750.0));
        assert_eq!(p.worst_restart_w, Some(7750.0));
        assert_eq!((p.starts_best_order, p.starts_worst_restart), (Some(true), Some(false)));
    }

    /// Worked example start-order-not-by-start-watts: the increment is the rule.
    #[test]
    fn neither_start_watts_nor_running_watts_give_the_order() {
        let p = peaks_of(1500.0, &[(900.0, 900.0, false), (300.0, 1500.0, false), (200.0, 1100.0, false)]);
        assert_eq!(p.best_order_w, Some(1500.0));
        assert_eq!(p.starts_best_order, Some(true));
        assert_eq!(p.starts_worst_restart, None, "nothing cycles");
    }

    #[test]
    fn a_motor_without_a_figure_is_not_judged() {
        let (installation, solution, source) = on_one_source(Some(9000.0), &[(500.0, None, true)]);
        let p = peaks(&installation, &solution, source);
        assert_eq!(p.best_order_w, None);
        assert_eq!((p.starts_best_order, p.starts_worst_restart, p.starts_all_at_once), (None, None, None));
        assert_eq!(p.estimated.iter().map(|e| e.1).collect::<Vec<_>>(), [3000.0]);
    }

    #[test]
    fn an_appliance_of_unknown_power_leaves_yes_open_and_no_standing() {
        let (mut installation, solution, source) =
            on_one_source(Some(3000.0), &[(1000.0, Some(2500.0), true), (5.0, Some(5.0), false)]);
        let second = solution.walk.order[2];
        Arc::make_mut(installation.parts.get_mut(&second).unwrap()).run_w = None;
        let p = peaks(&installation, &solution, source);
        assert_eq!((p.starts_best_order, p.unknown.as_slice()), (None, [second].as_slice()));
        Arc::make_mut(installation.parts.get_mut(&source).unwrap()).start_w = Some(2000.0);
        assert_eq!(peaks(&installation, &solution, source).starts_best_order, Some(false));
    }

    /// A charger of 300 W and 400 var beside 700 W: 1,000 W and 400 var.
    #[test]
    fn a_charger_runs_beside_all_starts_with_its_watts_and_vars() {
        let starts = |start_va: f64| {
            let boat = crate::store::list::boat(&format!(
                "# system: 120V60Hz\ntag,kind,fed_from,run_w,start_w,start_va,pf,charge_w,conductor\n\
                 G1,generator,,5000,9000,{start_va},,,\nT1,inverter,G1,2000,,,0.6,300,none\nE1,appliance,G1,700,,,,,none\n"
            ));
            let found = peaks(&boat, &crate::network::solve(&boat, 0), boat.part_by_tag("G1").unwrap());
            assert_eq!(found.running_w, Some(1000.0));
            found.starts_best_order
        };
        let by_hand = 1000_f64.hypot(400.0);
        assert_eq!((starts(by_hand + 0.1), starts(by_hand - 0.1)), (Some(true), Some(false)));
    }

    #[test]
    fn volt_amperes_stall_a_set_that_watts_would_let_start() {
        let (mut installation, solution, source) = on_one_source(Some(3000.0), &[(1000.0, Some(2500.0), true)]);
        let motor = solution.walk.order[1];
        let set = |installation: &mut Installation, id, va| {
            Arc::make_mut(installation.parts.get_mut(&id).unwrap()).start_va = va
        };
        assert!(peaks(&installation, &solution, source).by_watts_only);
        set(&mut installation, motor, Some(5000.0));
        set(&mut installation, source, Some(5000.0));
        let p = peaks(&installation, &solution, source);
        assert!(!p.by_watts_only);
        assert_eq!(
            (p.starts_best_order, p.starts_worst_restart),
            (Some(true), Some(true)),
            "equal to the rating is within it"
        );
        set(&mut installation, source, Some(4999.0));
        let p = peaks(&installation, &solution, source);
        assert_eq!(
            (p.starts_best_order, p.starts_worst_restart, p.starts_all_at_once),
            (Some(false), Some(false), Some(false))
        );
    }
}

#[cfg(test)]
mod orders {
    //! Starting orders against all permutations, of up to eight appliances.

    use super::*;

    /// Calls `each` with every order of the first `n` until it says that it is enough.
    fn permutations(n: usize, each: &mut impl FnMut(&[usize]) -> bool) -> bool {
        fn next(order: &mut Vec<usize>, at: usize, each: &mut impl FnMut(&[usize]) -> bool) -> bool {
            if at == order.len() {
                return each(order);
            }
            for other in at..order.len() {
                order.swap(at, other);
                if next(order, at + 1, each) {
                    return true;
                }
                order.swap(at, other);
            }
            false
        }
        next(&mut (0..n).collect(), 0, each)
    }

    struct Random(u64);

    impl Random {
        fn next(&mut self) -> f64 {
            self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1);
            (self.0 >> 33) as f64 / f64::from(u32::MAX >> 1)
        }

        /// Some loads; every second set has some equal increments and some loads that start as they run.
        fn loads(&mut self, n: usize, even: bool) -> Vec<Load> {
            (0..n)
                .map(|i| {
                    let (mut run_w, run_var) = (self.next() * 1000.0, self.next() * 600.0);
                    let mut start_w = run_w * (1.0 + self.next() * 3.0);
                    if even {
                        run_w = (run_w / 100.0).ceil() * 100.0;
                        start_w = run_w + (start_w / 800.0).floor() * 400.0;
                    }
                    let start_var = Some(run_var + self.next() * 3000.0);
                    Load { part: PartId::new(i as u32), run_w, run_var, start_w, start_var, cycles: false }
                })
                .collect()
        }
    }

    /// The least peak in watts: largest increment first, against every order.
    #[test]
    fn the_least_peak_is_that_of_all_permutations() {
        let mut random = Random(11);
        for n in 1..=8 {
            for case in 0..if n == 8 { 6 } else { 20 } {
                let mut loads = random.loads(n, case % 2 == 0);
                let mut least = f64::INFINITY;
                permutations(n, &mut |order| {
                    let (mut running, mut peak) = (0.0, 0.0_f64);
                    for &i in order {
                        peak = peak.max(running + loads[i].start_w.max(loads[i].run_w));
                        running += loads[i].run_w;
                    }
                    least = least.min(peak);
                    false
                });
                loads.sort_by(|a, b| b.increment().total_cmp(&a.increment()).then(a.part.cmp(&b.part)));
                let (mut running, mut best) = (0.0, 0.0_f64);
                for l in &loads {
                    best = best.max(l.moment((running, 0.0)).0);
                    running += l.run_w;
                }
                assert!((best - least).abs() < 1e-9 * least, "{n} appliances: {best} against {least}");
            }
        }
    }

    /// The backward choice, watts and vars together: it finds an order where any permutation is one, and what it finds
    /// keeps within the limits.
    #[test]
    fn some_order_agrees_with_all_permutations() {
        let mut random = Random(7);
        let (mut yes, mut no, mut of_eight) = (0, 0, 0);
        for case in 0..240 {
            let n = if case % 8 == 0 { 8 } else { 3 + case % 4 };
            let loads = random.loads(n, case % 3 == 0);
            let total: f64 = loads.iter().map(|l| l.run_w).sum();
            let limits = Limits {
                watts: Some(total * (0.9 + random.next() * 0.8)),
                va: Some(total * (1.2 + random.next() * 1.2)),
            };
            let within = |order: &[usize]| {
                let (mut w, mut q) = (0.0, 0.0);
                order.iter().all(|&i| {
                    let l = &loads[i];
                    let start = l.start_var.map(|s| q + s.max(l.run_var));
                    let holds = limits.holds(w + l.start_w.max(l.run_w), start) == Some(true);
                    (w, q) = (w + l.run_w, q + l.run_var);
                    holds
                }) && limits.holds(w, Some(q)) == Some(true)
            };
            let brute = permutations(n, &mut |order| within(order));
            let found = limits.find_order(&loads, (0.0, 0.0));
            assert_eq!(found.is_some(), brute, "{n} appliances");
            if let Some(order) = found {
                let place = |id: &PartId| loads.iter().position(|l| l.part == *id).unwrap();
                assert!(within(&order.iter().map(place).collect::<Vec<_>>()), "an order that does not hold");
                yes += 1;
            } else {
                no += 1;
            }
            of_eight += usize::from(n == 8 && brute);
        }
        assert!(yes > 20 && no > 20 && of_eight > 3, "{yes} {no} {of_eight}");
    }
}
