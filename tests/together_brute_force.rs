//! What runs together against brute force: every subset of random drawings, each solved by itself as `hullwire solve` does.

use hullwire::installation::{
    Cable, CableData, Conductor, Installation, Leg, LoadKind, Part, PartId, PartKind, Place, Point, Size, System,
};
use hullwire::loads::starting::peaks;
use hullwire::loads::together::{EFFORT, together};
use hullwire::network::solve;
use hullwire::units::{above, below};
use proptest::prelude::*;
use proptest::test_runner::TestRunner;
use std::collections::BTreeSet;

fn part(kind: PartKind, tag: &str) -> Part {
    Part::new(kind, tag, Place::At(Point::default()))
}

/// What a random drawing is made of; shares are of what would be just enough.
#[derive(Clone, Debug)]
struct Plan {
    system: System,
    shore: bool,
    run_share: f64,
    start_share: f64,
    va_share: Option<f64>,
    breaker_share: f64,
    /// Room that a breaker has above its largest load.
    tight: f64,
    feeder_m: f64,
    branch_m: f64,
    twins: bool,
    charger: bool,
    transformer: bool,
    must_run: bool,
    loads: Vec<Item>,
}

#[derive(Clone, Copy, Debug)]
struct Item {
    watts: f64,
    start: f64,
    start_va: Option<f64>,
    pf: f64,
    kind: u8,
    cycles: bool,
    leg: u8,
    circuit: u8,
}

fn item() -> impl Strategy<Value = Item> {
    (
        prop_oneof![20.0..2000.0f64, (1..20u32).prop_map(|n| f64::from(n) * 100.0)],
        1.0..5.0f64,
        proptest::option::weighted(0.5, 1.0..2.5f64),
        0.5..=1.0f64,
        0..3u8,
        any::<bool>(),
        0..4u8,
        0..4u8,
    )
        .prop_map(|(watts, start, start_va, pf, kind, cycles, leg, circuit)| Item {
            watts,
            start: watts * if kind == 2 { start } else { 1.0 },
            start_va: start_va.map(|k| k * watts * start),
            pf: if kind == 1 { 1.0 } else { pf },
            kind,
            cycles,
            leg,
            circuit,
        })
}

fn plan(most: usize) -> impl Strategy<Value = Plan> {
    let shares = (0.2..1.2f64, 0.3..1.6f64, proptest::option::weighted(0.4, 0.4..1.8f64), 0.5..1.3f64);
    let lengths = (0.0..25.0f64, 0.0..25.0f64);
    let flags = (any::<bool>(), any::<bool>(), any::<bool>(), any::<bool>(), any::<bool>());
    let system = prop_oneof![Just(System::TwoWire120), Just(System::SplitPhase), Just(System::TwoWire230)];
    (system, shares, lengths, flags, prop::collection::vec(item(), 2..=most)).prop_map(
        |(system, (run_share, start_share, va_share, breaker_share), (feeder_m, branch_m), flags, loads)| Plan {
            system,
            shore: flags.0,
            run_share,
            start_share,
            va_share,
            breaker_share,
            tight: 1.01,
            feeder_m,
            branch_m,
            twins: flags.1,
            charger: flags.2,
            transformer: flags.3,
            must_run: flags.4,
            loads,
        },
    )
}

fn cable(installation: &mut Installation, from: PartId, to: PartId, awg: i8, metres: f64) {
    let mut cable = Cable::between(from, to);
    let size = Size::AWG.iter().copied().find(|&n| i64::from(n) == i64::from(awg)).unwrap_or(Size::AWG[0]);
    let mut data = CableData::none();
    if metres > 0.0 {
        data = CableData::unknown();
        data.conductor = Conductor::Size(Size::Awg(size));
        data.length_m = Some(metres);
    }
    cable.data = data;
    installation.add_cable(cable);
}

fn build(plan: &Plan) -> Installation {
    let split = plan.system.is_split_phase();
    let mut out = Installation::new(plan.system);
    let mut loads = plan.loads.clone();
    if plan.twins && loads.len() > 2 {
        // Equal appliances, each on a way of its own or on the same.
        loads[1] = loads[0];
        let last = loads.len() - 1;
        loads[last] = loads[0];
    }
    let total: f64 = loads.iter().map(|l| l.watts).sum();
    let volts = plan.system.nominal_v() * if split { 2.0 } else { 1.0 };
    let mut source = part(if plan.shore { PartKind::ShoreInlet } else { PartKind::Generator }, "G1");
    source.rating_a = Some(total * plan.run_share * 1.05 / volts);
    if plan.shore {
        source.cord = CableData::unknown();
        source.cord.conductor = Conductor::Size(Size::Awg(8));
        source.cord.length_m = Some(plan.feeder_m);
        source.start_w = (plan.start_share > 1.0).then_some(total * plan.start_share);
    } else {
        source.run_w = Some(total * plan.run_share);
        source.start_w = Some(total * plan.start_share.max(plan.run_share));
        source.start_va = plan.va_share.map(|k| k * total * 1.5);
    }
    let source = out.add_part(source);
    let mut top = out.add_part(part(PartKind::Panel, "A1"));
    cable(&mut out, source, top, 8, plan.feeder_m);
    if plan.transformer {
        let t = out.add_part(part(PartKind::IsolationTransformer, "T9"));
        cable(&mut out, top, t, 8, plan.feeder_m / 3.0);
        let a = out.add_part(part(PartKind::Panel, "A9"));
        cable(&mut out, t, a, 8, plan.feeder_m / 3.0);
        top = a;
    }
    let mut circuits = Vec::new();
    for n in 0..4 {
        let mut q = part(PartKind::Breaker, &format!("Q{n}"));
        let own: Vec<f64> = loads.iter().filter(|l| l.circuit == n).map(|l| l.watts).collect();
        let largest = own.iter().copied().fold(0.0, f64::max);
        let sum: f64 = own.iter().sum();
        q.leg = split.then_some(Leg::L1L2N);
        q.rating_a =
            (sum > 0.0).then(|| f64::max(largest, sum * plan.breaker_share) * plan.tight / plan.system.nominal_v());
        let q = out.add_part(q);
        cable(&mut out, top, q, 10, 0.0);
        let j = out.add_part(part(PartKind::Junction, &format!("J{n}")));
        cable(&mut out, q, j, 12, plan.branch_m);
        circuits.push(j);
    }
    if plan.charger && !split {
        let mut t = part(PartKind::Inverter, "T1");
        t.charge_w = total * 0.05;
        t.run_w = Some(total);
        t.rating_a = Some(total * 0.4 / volts);
        let t = out.add_part(t);
        cable(&mut out, circuits[3], t, 10, plan.branch_m / 4.0);
        let j = out.add_part(part(PartKind::Junction, "J9"));
        cable(&mut out, t, j, 10, 2.0);
        circuits[3] = j;
    }
    for (n, l) in loads.iter().enumerate() {
        let mut e = part(PartKind::Appliance, &format!("E{n}"));
        e.run_w = Some(l.watts);
        e.start_w = Some(l.start);
        e.start_va = l.start_va;
        e.pf = Some(l.pf);
        e.load_kind = [LoadKind::Power, LoadKind::Impedance, LoadKind::Motor][usize::from(l.kind)];
        e.cycles = l.cycles;
        e.must_run = plan.must_run && n == 3;
        e.leg = split.then_some([Leg::L1, Leg::L2, Leg::L1L2, Leg::L1][usize::from(l.leg)]);
        let e = out.add_part(e);
        cable(&mut out, circuits[usize::from(l.circuit)], e, 14, plan.branch_m / 2.0);
    }
    out.conditions[0].feeding = vec![source];
    out
}

/// Whether a set runs, in the words of the contract, from the figures of `hullwire solve`.
fn runs(installation: &Installation) -> bool {
    let system = installation.system;
    let solution = solve(installation, 0);
    if !solution.converged {
        return false;
    }
    for (id, p) in &installation.parts {
        let Some(flow) = solution.parts.get(id).filter(|f| f.energised) else { continue };
        let over = |amps: Option<f64>| p.rating_a.zip(amps).is_some_and(|(limit, a)| above(a, limit));
        match p.kind {
            PartKind::ShoreInlet | PartKind::Breaker | PartKind::Generator if over(flow.amps) => return false,
            PartKind::Inverter => {
                let mut sum = (hullwire::units::Complex::default(), hullwire::units::Complex::default());
                for child in solution.walk.children(*id) {
                    let i = solution.feed_of(child).and_then(|(_, f)| f.currents).unwrap_or_default();
                    sum = (sum.0 + i.l1, sum.1 + i.l2);
                }
                if over(Some(sum.0.norm().max(sum.1.norm()))) {
                    return false;
                }
            }
            PartKind::Appliance if installation.is_on(*id, 0) => {
                let both = system.is_split_phase() && p.leg == Some(Leg::L1L2);
                let least = 0.9 * system.nominal_v() * if both { 2.0 } else { 1.0 };
                if flow.volts.is_some_and(|v| below(v, least)) {
                    return false;
                }
            }
            _ => {}
        }
    }
    solution.sources.iter().all(|(id, flow)| {
        let p = &installation.parts[id];
        let running = p.run_w.zip(flow.watts).is_none_or(|(limit, w)| !above(w, limit));
        let peaks = peaks(installation, &solution, *id);
        running && peaks.starts_best_order != Some(false) && peaks.starts_worst_restart != Some(false)
    })
}

type Lists = (BTreeSet<BTreeSet<PartId>>, BTreeSet<BTreeSet<PartId>>, bool);

/// Conflicts and combinations from every subset, by their definitions; and whether a set runs of which a part cannot.
fn brute(installation: &Installation) -> Lists {
    let choice: Vec<PartId> = installation
        .parts
        .iter()
        .filter(|(_, p)| p.kind == PartKind::Appliance && !p.must_run)
        .map(|(id, _)| *id)
        .collect();
    let n = choice.len();
    let mut asked = installation.clone();
    let can: Vec<bool> = (0..1_usize << n)
        .map(|set| {
            asked.conditions[0].off = (0..n).filter(|i| set & (1 << i) == 0).map(|i| choice[i]).collect();
            runs(&asked)
        })
        .collect();
    let ids = |set: usize| (0..n).filter(|i| set & (1 << i) != 0).map(|i| choice[i]).collect::<BTreeSet<_>>();
    // All smaller parts run; some larger set runs: passed on along single steps.
    let mut all_below = vec![true; 1 << n];
    for set in 0..1_usize << n {
        all_below[set] = (0..n).filter(|i| set & (1 << i) != 0).all(|i| {
            let less = set & !(1 << i);
            can[less] && all_below[less]
        });
    }
    let mut some_above = vec![false; 1 << n];
    for set in (0..1_usize << n).rev() {
        some_above[set] = (0..n).filter(|i| set & (1 << i) == 0).any(|i| {
            let more = set | 1 << i;
            can[more] || some_above[more]
        });
    }
    let conflicts = (0..1 << n).filter(|&s| !can[s] && all_below[s]).map(ids).collect();
    let combinations = (0..1 << n).filter(|&s| can[s] && !some_above[s]).map(ids).collect();
    let relieved = (0..1 << n).any(|s: usize| can[s] && !all_below[s]);
    (conflicts, combinations, relieved)
}

fn agrees(plan: &Plan) -> Result<(usize, usize, bool), TestCaseError> {
    let installation = build(plan);
    let (conflicts, combinations, relieved) = brute(&installation);
    let found = together(&installation, 0, EFFORT);
    prop_assert!(found.exact, "not exact");
    let set = |list: &[PartId]| list.iter().copied().collect::<BTreeSet<_>>();
    let found_conflicts: BTreeSet<_> = found.conflicts.iter().map(|c| set(&c.parts)).collect();
    let found_combinations: BTreeSet<_> = found.combinations.iter().map(|c| set(c)).collect();
    prop_assert_eq!(found_conflicts.len(), found.conflicts.len(), "a conflict twice");
    prop_assert_eq!(found_combinations.len(), found.combinations.len(), "a combination twice");
    prop_assert_eq!(&found_conflicts, &conflicts, "conflicts, relieved {}", relieved);
    prop_assert_eq!(&found_combinations, &combinations, "combinations, relieved {}", relieved);
    prop_assert_eq!(found.count, Some(combinations.len() as u128));
    prop_assert!(found.conflicts.iter().all(|c| !c.stops.is_empty()), "a conflict without a reason");
    Ok((conflicts.len(), combinations.len(), relieved))
}

/// Many small drawings of all three systems. The counts at the end keep the test from passing on empty answers.
#[test]
fn every_subset_of_small_drawings() {
    let mut runner =
        TestRunner::new(ProptestConfig { cases: 150, failure_persistence: None, ..ProptestConfig::default() });
    let seen = std::cell::RefCell::new((0, 0));
    let result = runner.run(&plan(7), |plan| {
        let (conflicts, combinations, _) = agrees(&plan)?;
        let mut seen = seen.borrow_mut();
        seen.0 += usize::from(conflicts > 1);
        seen.1 += usize::from(combinations > 1);
        Ok(())
    });
    if let Err(error) = result {
        panic!("{error}");
    }
    let seen = seen.into_inner();
    assert!(seen.0 > 50 && seen.1 > 50, "several conflicts in {}, several combinations in {}", seen.0, seen.1);
}

/// Drawings in which one load helps another: heaters just above their breakers, and one leg that has too few volts.
#[test]
fn loads_that_relieve_others() {
    let mut runner =
        TestRunner::new(ProptestConfig { cases: 120, failure_persistence: None, ..ProptestConfig::default() });
    let seen = std::cell::Cell::new(0);
    let tight = (plan(7), 0.93..1.0f64, any::<bool>()).prop_map(|(mut plan, tight, split)| {
        (plan.tight, plan.run_share, plan.start_share, plan.va_share) = (tight, 3.0, 3.0, None);
        (plan.feeder_m, plan.branch_m) = (plan.feeder_m + 8.0, plan.branch_m / 3.0);
        plan.system = if split { System::SplitPhase } else { System::TwoWire120 };
        for load in &mut plan.loads {
            load.kind = u8::from(load.kind != 2) + u8::from(load.kind == 2) * 2;
            load.pf = if load.kind == 1 { 1.0 } else { load.pf };
        }
        plan
    });
    let result = runner.run(&tight, |plan| {
        let (_, _, relieved) = agrees(&plan)?;
        seen.set(seen.get() + usize::from(relieved));
        Ok(())
    });
    if let Err(error) = result {
        panic!("{error}");
    }
    assert!(seen.get() > 2, "a set runs of which a part cannot in {} drawings", seen.get());
}

/// Few drawings with up to fourteen appliances.
#[test]
fn every_subset_of_fourteen_appliances() {
    let mut runner = TestRunner::new(ProptestConfig {
        cases: 3,
        max_shrink_iters: 40,
        failure_persistence: None,
        ..ProptestConfig::default()
    });
    let large = plan(14).prop_filter("large", |p| p.loads.len() >= 12);
    if let Err(error) = runner.run(&large, |plan| agrees(&plan).map(|_| ())) {
        panic!("{error}");
    }
}
