//! Tests of the walk and the solve through the room's own calls.

use super::{Fault, Network, Reach, Solution, solve};
use crate::installation::{
    Cable, CableData, Conductor, Installation, Leg, LoadKind, Part, PartId, PartKind, Place, ResistanceBasis, Size,
    System,
};

/// A drawing under construction.
pub(super) struct Draft {
    pub(super) installation: Installation,
}

impl Draft {
    pub(super) fn new(system: System) -> Self {
        let mut installation = Installation::new(system);
        installation.resistance = ResistanceBasis::Formula;
        Self { installation }
    }

    pub(super) fn part(&mut self, kind: PartKind, tag: &str, set: impl FnOnce(&mut Part)) -> PartId {
        let mut part = Part::new(kind, tag, Place::In(Default::default()));
        set(&mut part);
        self.installation.add_part(part)
    }

    pub(super) fn plain(&mut self, kind: PartKind, tag: &str) -> PartId {
        self.part(kind, tag, |_| {})
    }

    /// A cable of 12 AWG whose loop has these ohms; zero is bolted on.
    pub(super) fn join(&mut self, from: PartId, to: PartId, loop_ohms: f64) {
        let mut cable = Cable::between(from, to);
        cable.data = if loop_ohms == 0.0 { CableData::none() } else { wire(loop_ohms) };
        self.installation.add_cable(cable);
    }

    pub(super) fn feed(&mut self, sources: &[PartId]) {
        self.installation.conditions[0].feeding = sources.to_vec();
    }

    pub(super) fn solve(&self) -> Solution {
        solve(&self.installation, 0)
    }
}

fn wire(loop_ohms: f64) -> CableData {
    let per_m = super::conductor_ohm_per_m(Size::Awg(12), 75, System::TwoWire120, ResistanceBasis::Formula);
    CableData {
        conductor: Conductor::Size(Size::Awg(12)),
        length_m: Some(loop_ohms / 2.0 / per_m.expect("12 AWG is in the tables").re),
        ..CableData::unknown()
    }
}

fn one_load(loop_ohms: f64, set: impl FnOnce(&mut Part)) -> (Draft, PartId, PartId) {
    let mut draft = Draft::new(System::TwoWire120);
    let source = draft.part(PartKind::Generator, "G1", |p| p.run_w = Some(2000.0));
    let load = draft.part(PartKind::Appliance, "E1", set);
    draft.join(source, load, loop_ohms);
    draft.feed(&[source]);
    (draft, source, load)
}

fn near(found: Option<f64>, wanted: f64, within: f64) {
    assert!(found.is_some_and(|f| (f - wanted).abs() <= within), "{found:?}, not {wanted}");
}

/// Volts of a load of constant power behind ohms out and back: the upper root of U² − Us·U + R·P = 0.
pub(super) fn behind(source_v: f64, loop_ohms: f64, watts: f64) -> f64 {
    f64::midpoint(source_v, (source_v * source_v - 4.0 * loop_ohms * watts).sqrt())
}

#[test]
fn constant_power_takes_the_upper_root() {
    let (draft, source, load) = one_load(0.2, |p| p.run_w = Some(1500.0));
    let s = draft.solve();
    let wanted = behind(120.0, 0.2, 1500.0);
    near(s.parts[&load].volts, wanted, 1e-9);
    near(s.parts[&load].amps, 1500.0 / wanted, 1e-9);
    near(s.parts[&load].watts, 1500.0, 1e-9);
    near(s.sources[&source].load_percent, s.sources[&source].watts.expect("solved") / 20.0, 1e-9);
    assert!(s.converged);
}

#[test]
fn the_knee_is_found_from_both_sides() {
    for (share, solvable) in [
        (0.5, true),
        (0.9, true),
        (0.99, true),
        (0.999_9, true),
        (1.0 - 1e-7, true),
        (1.0 - 1e-9, true),
        (1.0 + 1e-9, false),
        (1.0 + 1e-6, false),
        (1.1, false),
        (50.0, false),
        (500.0, false),
    ] {
        let watts = 18_000.0 * share;
        let (draft, _, load) = one_load(0.2, |p| p.run_w = Some(watts));
        let s = draft.solve();
        assert_eq!(s.converged, solvable, "{share}");
        if solvable {
            let wanted = 60.0 + (60.0f64 * 60.0 - 0.2 * watts).max(0.0).sqrt();
            near(s.parts[&load].volts, wanted, 1e-7 * 120.0 * (1.0 - share).max(1e-9).sqrt().recip() * 1e-3 + 1e-9);
        } else {
            assert_eq!(s.no_solution, Some(load));
            assert_eq!(s.parts[&load].volts, None);
        }
    }
}

#[test]
fn a_heater_of_any_size_is_solved() {
    for watts in [1500.0, 1e5, 1e7] {
        let (draft, _, load) = one_load(0.2, |p| {
            p.run_w = Some(watts);
            p.load_kind = LoadKind::Impedance;
        });
        let s = draft.solve();
        let r = 120.0 * 120.0 / watts;
        near(s.parts[&load].volts, 120.0 * r / (r + 0.2), 1e-9);
    }
}

#[test]
fn open_breakers_and_what_is_off() {
    let mut d = Draft::new(System::TwoWire120);
    let g = d.plain(PartKind::Generator, "G1");
    let q = d.plain(PartKind::Breaker, "Q1");
    let e = d.part(PartKind::Appliance, "E1", |p| p.run_w = Some(100.0));
    d.join(g, q, 0.0);
    d.join(q, e, 0.1);
    d.feed(&[g]);
    d.installation.conditions[0].off.insert(e);
    let s = d.solve();
    assert!(s.parts[&e].energised);
    near(s.parts[&e].amps, 0.0, 0.0);
    near(s.parts[&e].volts, 120.0, 1e-12);
    d.installation.conditions[0].off.insert(q);
    let s = d.solve();
    assert!(!s.parts[&e].energised && s.parts[&q].energised && s.converged);
    assert_eq!(s.parts[&e].volts, None);
    assert_eq!(s.walk.reach[&e], Reach::NotFed);
}

#[test]
fn a_selector_takes_the_source_that_feeds() {
    let mut d = Draft::new(System::TwoWire120);
    let shore = d.plain(PartKind::ShoreInlet, "X1");
    let g = d.plain(PartKind::Generator, "G1");
    let q = d.plain(PartKind::Breaker, "Q1");
    let sel = d.plain(PartKind::Selector, "Q2");
    let e = d.part(PartKind::Appliance, "E1", |p| p.run_w = Some(100.0));
    d.join(shore, q, 0.0);
    d.join(q, sel, 0.1);
    d.join(g, sel, 0.1);
    d.join(sel, e, 0.0);
    d.feed(&[g]);
    let s = d.solve();
    assert_eq!(s.walk.root_of(e), Some(g));
    assert_eq!(s.walk.reach[&q], Reach::MayBeLive);
    assert_eq!(s.walk.reach[&shore], Reach::MayBeLive);
    d.feed(&[]);
    let s = d.solve();
    assert_eq!(s.walk.reach[&sel], Reach::NotFed);
    assert!(s.converged && s.sources.is_empty() && s.walk.chosen.is_empty());
    d.feed(&[shore, g]);
    let s = d.solve();
    assert_eq!(s.walk.faults, vec![Fault::Parallel { sources: vec![shore, g], at: sel }]);
    assert!(!s.converged);
}

#[test]
fn an_inverter_charger_passes_through_or_feeds() {
    let mut d = Draft::new(System::TwoWire120);
    let shore = d.plain(PartKind::ShoreInlet, "X1");
    let t = d.part(PartKind::Inverter, "T1", |p| p.charge_w = 600.0);
    let e = d.part(PartKind::Appliance, "E1", |p| p.run_w = Some(100.0));
    d.join(shore, t, 0.0);
    d.join(t, e, 0.0);
    d.feed(&[shore]);
    let s = d.solve();
    near(s.sources[&shore].watts, 700.0, 1e-9);
    near(s.parts[&t].watts, 600.0, 1e-9);
    d.feed(&[t]);
    let s = d.solve();
    assert_eq!(s.walk.root_of(e), Some(t));
    near(s.sources[&t].watts, 100.0, 1e-9);
    assert_eq!(s.parts[&t].watts, None, "what feeds from its battery charges nothing");
    assert_eq!(s.walk.reach[&shore], Reach::MayBeLive);
    assert!(s.walk.faults.is_empty());
    d.feed(&[shore, t]);
    assert_eq!(d.solve().walk.roots, vec![shore]);
    d.feed(&[]);
    let s = d.solve();
    assert_eq!(s.walk.reach[&e], Reach::MayBeLive);
    assert!(s.walk.faults.is_empty());
}

#[test]
fn rings_parallel_cables_and_sources_that_meet_are_named() {
    let mut d = Draft::new(System::TwoWire120);
    let g = d.plain(PartKind::Generator, "G1");
    let a = d.plain(PartKind::Panel, "A1");
    let b = d.plain(PartKind::Panel, "A2");
    let q = d.plain(PartKind::Breaker, "Q1");
    d.join(g, a, 0.1);
    d.join(a, b, 0.1);
    d.join(a, q, 0.1);
    d.join(q, b, 0.1);
    d.feed(&[g]);
    let s = d.solve();
    let [Fault::Loop { parts }] = s.walk.faults.as_slice() else { panic!("{:?}", s.walk.faults) };
    let mut parts = parts.clone();
    parts.sort();
    assert_eq!(parts, vec![a, b, q]);
    assert!(s.sources[&g].watts.is_none() && s.parts[&a].energised);
    d.installation.conditions[0].off.insert(q);
    assert!(d.solve().walk.faults.is_empty());
    d.join(g, a, 0.1);
    assert_eq!(d.solve().walk.faults, vec![Fault::Loop { parts: vec![g, a] }]);
    let shore = d.plain(PartKind::ShoreInlet, "X1");
    d.join(shore, b, 0.0);
    assert!(d.solve().walk.faults.contains(&Fault::Parallel { sources: vec![g, shore], at: b }));
}

#[test]
fn islands_and_parts_without_feed() {
    let mut d = Draft::new(System::TwoWire120);
    let g = d.plain(PartKind::Generator, "G1");
    let e = d.part(PartKind::Appliance, "E1", |p| p.run_w = Some(100.0));
    d.join(g, e, 0.1);
    let a = d.plain(PartKind::Panel, "A1");
    let f = d.part(PartKind::Appliance, "E2", |p| p.run_w = Some(100.0));
    d.join(a, f, 0.1);
    let alone = d.plain(PartKind::Outlet, "X1");
    d.feed(&[g]);
    let s = d.solve();
    assert_eq!(s.walk.islands, vec![vec![a, f]]);
    assert_eq!(s.walk.without_feed, vec![a, alone]);
    assert!(s.converged);
    near(s.parts[&e].amps, 100.0 / s.parts[&e].volts.expect("solved"), 1e-9);
}

#[test]
fn beyond_an_unknown_cable_there_are_amps_and_no_volts() {
    let mut d = Draft::new(System::TwoWire120);
    let g = d.plain(PartKind::Generator, "G1");
    let a = d.plain(PartKind::Panel, "A1");
    let e = d.part(PartKind::Appliance, "E1", |p| p.run_w = Some(120.0));
    let u = d.plain(PartKind::Appliance, "E2");
    d.installation.add_cable(Cable::between(g, a));
    d.join(a, e, 0.0);
    d.join(a, u, 0.0);
    d.feed(&[g]);
    let s = d.solve();
    near(s.parts[&e].amps, 1.0, 1e-9);
    assert_eq!((s.parts[&e].volts, s.parts[&a].drop_percent, s.parts[&u].watts), (None, None, None));
    assert_eq!(s.feed_of(a).and_then(|(_, c)| c.ohms), None);
    near(s.parts[&g].volts, 120.0, 0.0);
}

#[test]
fn split_phase_neutral_carries_the_difference() {
    let mut d = Draft::new(System::SplitPhase);
    let g = d.plain(PartKind::Generator, "G1");
    let a = d.plain(PartKind::Panel, "A1");
    let e1 = d.part(PartKind::Appliance, "E1", |p| p.run_w = Some(2400.0));
    let e2 = d.part(PartKind::Appliance, "E2", |p| {
        p.run_w = Some(12.0 * 120.0 * 0.8);
        p.pf = Some(0.8);
        p.leg = Some(Leg::L2);
    });
    let e3 = d.part(PartKind::Appliance, "E3", |p| {
        p.run_w = Some(2400.0);
        p.leg = Some(Leg::L1L2);
        p.load_kind = LoadKind::Impedance;
    });
    d.join(g, a, 0.0);
    for e in [e1, e2, e3] {
        d.join(a, e, 0.0);
    }
    d.feed(&[g]);
    let s = d.solve();
    let i = s.parts[&a].currents.expect("solved");
    assert!((i.n.norm() - 12.649_11).abs() < 1e-5, "{i:?}");
    near(s.parts[&e3].amps, 10.0, 1e-9);
    near(s.parts[&a].volts, 240.0, 1e-9);
    near(s.sources[&g].watts, 4800.0 + 1152.0, 1e-6);
    near(s.parts[&e2].angle_deg.map(f64::abs), 180.0, 1e-9);
}

#[test]
fn a_missing_conductor_is_no_feed() {
    let mut d = Draft::new(System::SplitPhase);
    let g = d.part(PartKind::Generator, "G1", |p| p.leg = Some(Leg::L1));
    let a = d.plain(PartKind::Panel, "A1");
    let e = d.part(PartKind::Appliance, "E1", |p| p.leg = Some(Leg::L2));
    d.join(g, a, 0.0);
    d.join(a, e, 0.0);
    d.feed(&[g]);
    let s = d.solve();
    assert_eq!(s.walk.missing_conductors, vec![e]);
    assert_eq!(s.walk.reach[&e], Reach::NotFed);
    assert!(s.converged && s.parts[&a].energised);
}

#[test]
fn a_centre_tapped_transformer_makes_its_own_neutral() {
    let mut d = Draft::new(System::SplitPhase);
    let g = d.plain(PartKind::Generator, "G1");
    let t = d.plain(PartKind::IsolationTransformer, "T1");
    let e = d.part(PartKind::Appliance, "E1", |p| p.run_w = Some(1200.0));
    d.join(g, t, 0.0);
    d.join(t, e, 0.0);
    d.feed(&[g]);
    let s = d.solve();
    near(s.parts[&e].amps, 10.0, 1e-9);
    let i = s.parts[&t].currents.expect("solved");
    assert!((i.l1.re - 5.0).abs() < 1e-9 && (i.l2.re + 5.0).abs() < 1e-9 && i.n.norm() < 1e-12);
    assert_eq!(s.parts[&t].leg, Leg::L1L2);
}

#[test]
fn a_long_chain_does_not_overflow() {
    let mut d = Draft::new(System::TwoWire120);
    let g = d.plain(PartKind::Generator, "G1");
    let mut at = g;
    for n in 0..100_000 {
        let next = d.plain(PartKind::Junction, &format!("X{n}"));
        d.join(at, next, 1e-6);
        at = next;
    }
    let e = d.part(PartKind::Appliance, "E1", |p| p.run_w = Some(1500.0));
    d.join(at, e, 0.1);
    d.feed(&[g]);
    let s = d.solve();
    near(s.parts[&e].volts, behind(120.0, 0.2, 1500.0), 1e-8);
}

#[test]
fn a_cable_behind_a_transformer_drops_what_it_carries_times_its_ohms() {
    let mut d = Draft::new(System::TwoWire120);
    let g = d.plain(PartKind::Generator, "G1");
    let t = d.part(PartKind::IsolationTransformer, "T1", |p| p.volts = Some(60.0));
    let e = d.part(PartKind::Appliance, "E1", |p| p.run_w = Some(500.0));
    d.join(g, t, 0.0);
    d.join(t, e, 0.2);
    d.feed(&[g]);
    let s = d.solve();
    let volts = behind(60.0, 0.2, 500.0);
    near(s.parts[&e].volts, volts, 1e-9);
    near(s.parts[&e].drop_percent, 100.0 * (120.0 - 2.0 * volts) / 120.0, 1e-9);
    assert_eq!(s.parts[&e].drop_percent_legs, None);
    let (_, cable) = s.feed_of(e).expect("has a cable");
    near(cable.drop_volts, 60.0 - volts, 1e-9);
    near(cable.loss_watts, 0.2 * (500.0 / volts).powi(2), 1e-9);
    near(cable.ohms, 0.2, 1e-12);
    near(s.sources[&g].watts, 500.0 + 0.2 * (500.0 / volts).powi(2), 1e-9);
    let i = s.parts[&e].currents.expect("solved");
    near(Some(i.n.re), -500.0 / volts, 1e-9);
}

#[test]
fn each_line_behind_a_centre_tap_has_its_own_drop() {
    // Three wires of 0.05 Ω behind the transformer and 1200 W from L1 to neutral: L1 falls by both wires, and the neutral
    // lifts L2 by one.
    let mut d = Draft::new(System::SplitPhase);
    let g = d.plain(PartKind::Generator, "G1");
    let t = d.plain(PartKind::IsolationTransformer, "T1");
    let a = d.plain(PartKind::Panel, "A1");
    let e = d.part(PartKind::Appliance, "E1", |p| p.run_w = Some(1200.0));
    let f = d.part(PartKind::Appliance, "E2", |p| {
        p.run_w = Some(0.0);
        p.leg = Some(Leg::L2);
    });
    d.join(g, t, 0.0);
    d.join(t, a, 0.1);
    d.join(a, e, 0.0);
    d.join(a, f, 0.0);
    d.feed(&[g]);
    let s = d.solve();
    let volts = behind(120.0, 0.1, 1200.0);
    let amps = 1200.0 / volts;
    near(s.parts[&e].volts, volts, 1e-9);
    near(s.parts[&f].volts, 120.0 + 0.05 * amps, 1e-9);
    let (first, second) = s.parts[&a].drop_percent_legs.expect("has three wires");
    near(Some(first), 100.0 * 0.1 * amps / 120.0, 1e-9);
    near(Some(second), -100.0 * 0.05 * amps / 120.0, 1e-9);
    near(s.parts[&a].drop_percent, 100.0 * 0.05 * amps / 240.0, 1e-9);
    let (_, cable) = s.feed_of(a).expect("has a cable");
    near(cable.drop_volts, 0.05 * amps, 1e-9);
    near(cable.loss_watts, 0.1 * amps * amps, 1e-9);
}

/// To 60 V a line, and 300 W from L2 to neutral behind 0.1 Ω.
#[test]
fn a_drop_behind_a_centre_tap_is_counted_from_the_secondary() {
    let mut d = Draft::new(System::SplitPhase);
    let g = d.plain(PartKind::Generator, "G1");
    let t = d.part(PartKind::IsolationTransformer, "T1", |p| p.volts = Some(60.0));
    let e = d.part(PartKind::Appliance, "E1", |p| (p.run_w, p.leg) = (Some(300.0), Some(Leg::L2)));
    d.join(g, t, 0.0);
    d.join(t, e, 0.1);
    d.feed(&[g]);
    let s = d.solve();
    let (_, cable) = s.feed_of(e).expect("has a cable");
    near(cable.drop_volts, 60.0 - behind(60.0, 0.1, 300.0), 1e-9);
    near(s.parts[&e].volts, behind(60.0, 0.1, 300.0), 1e-9);
}

#[test]
fn a_heater_beyond_a_cord_draws_by_its_voltage() {
    // 10 Ω behind 0.5 Ω of cord: nothing else stands between the pedestal and the heater.
    let mut d = Draft::new(System::TwoWire120);
    let x = d.part(PartKind::ShoreInlet, "X1", |p| p.cord = wire(0.5));
    let g = d.part(PartKind::Generator, "G1", |p| p.cord = wire(0.5));
    let heater = |p: &mut Part| {
        p.run_w = Some(1440.0);
        p.load_kind = LoadKind::Impedance;
    };
    let e = d.part(PartKind::Appliance, "E1", heater);
    let f = d.part(PartKind::Appliance, "E2", heater);
    d.join(x, e, 0.0);
    d.join(g, f, 0.0);
    d.feed(&[x, g]);
    let s = d.solve();
    let amps = 120.0 / 10.5;
    near(s.parts[&e].amps, amps, 1e-9);
    near(s.parts[&e].watts, 10.0 * amps * amps, 1e-9);
    near(s.sources[&x].watts, 120.0 * amps, 1e-9);
    near(s.parts[&f].watts, 1440.0, 1e-9);
    assert_eq!(s.cords.keys().collect::<Vec<_>>(), [&x], "a generator has no cord");
    near(s.cords[&x].drop_volts, 0.5 * amps, 1e-9);

    let walk = super::walk(&d.installation, 0);
    let network = Network::new(&d.installation, &walk);
    let mut state = network.state();
    let _ = network.solve(&mut state);
    for (id, watts) in [(x, 120.0 * amps), (g, 1440.0), (e, 10.0 * amps * amps), (f, 1440.0)] {
        let at = network.position(id).expect("is fed");
        near(network.source_watts(&state, at), watts, 1e-9);
    }
    let nowhere = d.plain(PartKind::Appliance, "E3");
    assert_eq!(network.position(nowhere), None);
}

#[test]
fn watts_of_a_source_are_those_of_both_lines() {
    let mut d = Draft::new(System::SplitPhase);
    let x = d.part(PartKind::ShoreInlet, "X1", |p| p.cord = wire(0.2));
    for (tag, leg, watts) in [("E1", Leg::L1, 600.0), ("E2", Leg::L2, 1200.0)] {
        let e = d.part(PartKind::Appliance, tag, |p| {
            p.run_w = Some(watts);
            p.leg = Some(leg);
        });
        d.join(x, e, 0.0);
    }
    d.feed(&[x]);
    let s = d.solve();
    let lost = s.cords[&x].loss_watts.expect("solved");
    assert!(lost > 1.0, "{lost}");
    let walk = super::walk(&d.installation, 0);
    let network = Network::new(&d.installation, &walk);
    let mut state = network.state();
    let _ = network.solve(&mut state);
    near(network.source_watts(&state, network.position(x).expect("is fed")), 1800.0 + lost, 1e-9);
}

#[test]
fn the_load_beyond_what_all_its_cables_carry_is_named() {
    // Too much is 4000 W over 1 Ω (the knee is at 120² / 4 = 3600 W); beside it 3900 W over 0.9 Ω, just before its knee
    // of 4000 W. Either way the ohms of the whole path decide, not those of one cable nor their number.
    for pieces in [2, 40] {
        let mut d = Draft::new(System::TwoWire120);
        let g = d.plain(PartKind::Generator, "G1");
        let beside = d.part(PartKind::Appliance, "E2", |p| p.run_w = Some(3900.0));
        d.join(g, beside, 0.9);
        let mut at = g;
        for n in 1..pieces {
            let next = d.plain(PartKind::Junction, &format!("X{n}"));
            d.join(at, next, 1.0 / f64::from(pieces));
            at = next;
        }
        let much = d.part(PartKind::Appliance, "E1", |p| p.run_w = Some(4000.0));
        d.join(at, much, 1.0 / f64::from(pieces));
        d.feed(&[g]);
        assert_eq!(d.solve().no_solution, Some(much), "{pieces}");
    }
    let mut d = Draft::new(System::TwoWire120);
    let g = d.plain(PartKind::Generator, "G1");
    let mut at = g;
    for n in 1..40 {
        let next = d.plain(PartKind::Junction, &format!("X{n}"));
        d.join(at, next, 0.01);
        at = next;
    }
    let little = d.part(PartKind::Appliance, "E1", |p| p.run_w = Some(4000.0));
    d.join(at, little, 0.01);
    let much = d.part(PartKind::Appliance, "E2", |p| p.run_w = Some(4000.0));
    d.join(g, much, 1.0);
    d.feed(&[g]);
    assert_eq!(d.solve().no_solution, Some(much), "many short cables");
}
