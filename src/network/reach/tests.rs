//! Selectors, and sources that lie behind one another.

use super::walk;
use crate::installation::PartKind::{Appliance, Breaker, Generator, Inverter, Panel, Selector, ShoreInlet};
use crate::installation::{Leg, System};
use crate::network::boats::draft;
use crate::network::solve_tests::Draft;
use crate::network::{Fault, Reach};

/// The inlet with fewer parts before it is taken, though the other was drawn first.
#[test]
fn a_selector_takes_the_nearer_inlet() {
    let parts = [(Generator, "G1"), (Breaker, "Q1"), (Breaker, "Q2"), (Breaker, "Q3"), (Selector, "S1")];
    let (d, ids) = draft(&parts, &[(0, 1), (1, 2), (2, 4), (0, 3), (3, 4)], &[0]);
    let w = walk(&d.installation, 0);
    let wanted = d.installation.cables.iter().find(|(_, c)| (c.from, c.to) == (ids[3], ids[4])).map(|(id, _)| *id);
    assert_eq!(w.chosen.get(&ids[4]).copied(), wanted);
    assert_eq!(w.path_to_source(ids[4]), [ids[4], ids[3], ids[0]]);
}

#[test]
fn two_sources_at_a_selector_meet_unless_one_feeds_the_other() {
    let parts = [(Generator, "G1"), (Generator, "G2"), (Selector, "S1"), (Panel, "P1")];
    let (d, ids) = draft(&parts, &[(0, 2), (1, 2), (2, 3)], &[0, 1]);
    assert_eq!(walk(&d.installation, 0).faults, [Fault::Parallel { sources: vec![ids[0], ids[1]], at: ids[2] }]);

    // In both orders of the drawing.
    for [first, second] in [[0, 1], [1, 0]] {
        let mut parts = [(Generator, "G1"), (Generator, "G1"), (Selector, "S1"), (Panel, "P1")];
        parts[second] = (Inverter, "V1");
        let (d, ids) = draft(&parts, &[(first, second), (first, 2), (second, 2), (2, 3)], &[0, 1]);
        let w = walk(&d.installation, 0);
        assert_eq!(w.faults, []);
        assert_eq!(w.root_of(ids[3]), Some(ids[first]));
    }
}

/// Two inverters in a row, neither of which has its input fed: the upper one feeds, the lower one passes on.
#[test]
fn of_inverters_in_a_row_the_upper_one_feeds() {
    for [upper, lower] in [[0, 1], [1, 0]] {
        let parts = [(Inverter, "V1"), (Inverter, "V2"), (Panel, "P1"), (Generator, "G1")];
        let (d, ids) = draft(&parts, &[(3, upper), (upper, lower), (lower, 2)], &[0, 1]);
        let w = walk(&d.installation, 0);
        assert_eq!(w.roots, [ids[upper]]);
        assert_eq!(w.reach[&ids[lower]], Reach::Fed(ids[upper]));
        assert_eq!(w.path_to_source(ids[2]), [ids[2], ids[lower], ids[upper]]);
    }
    // One alone feeds what stands behind it.
    let (d, ids) = draft(&[(Generator, "G1"), (Inverter, "V1"), (Panel, "P1")], &[(0, 1), (1, 2)], &[1]);
    assert_eq!(walk(&d.installation, 0).roots, [ids[1]]);
}

/// Only an inverter takes an input and feeds by itself where that is not fed.
#[test]
fn a_generator_that_another_one_feeds_is_parallel_to_it() {
    for (from, to) in [(0, 1), (1, 0)] {
        let (d, ids) = draft(&[(Generator, "G1"), (Generator, "G2")], &[(from, to)], &[0, 1]);
        assert_eq!(walk(&d.installation, 0).faults, [Fault::Parallel { sources: ids.clone(), at: ids[to] }]);
    }
}

/// It has a battery of its own, whatever its input.
#[test]
fn behind_an_inverter_that_is_not_chosen_there_may_be_voltage() {
    let parts = [(ShoreInlet, "X1"), (Breaker, "Q1"), (Inverter, "T1"), (Appliance, "E1")];
    let (mut d, ids) = draft(&parts, &[(0, 1), (1, 2), (2, 3)], &[]);
    d.installation.conditions[0].off.insert(ids[1]);
    let w = walk(&d.installation, 0);
    assert!(ids.iter().all(|id| w.reach[id] == Reach::MayBeLive), "{:?}", w.reach);
}

#[test]
fn what_an_inverter_passes_on_meets_another_source() {
    let parts = [(ShoreInlet, "X1"), (Inverter, "T1"), (Panel, "P1"), (Generator, "G1")];
    let (d, ids) = draft(&parts, &[(0, 1), (1, 2), (3, 2)], &[0]);
    assert_eq!(walk(&d.installation, 0).faults, [Fault::Parallel { sources: vec![ids[0], ids[3]], at: ids[2] }]);
}

/// One generator has L1 alone; the other has three wires and stands behind an open breaker.
#[test]
fn what_is_not_fed_has_the_leg_of_the_first_cable_or_of_the_inlet_in_use() {
    let mut d = Draft::new(System::SplitPhase);
    let one = d.part(Generator, "G1", |p| p.leg = Some(Leg::L1));
    let both = d.plain(Generator, "G2");
    let breaker = d.part(Breaker, "Q1", |p| p.leg = Some(Leg::L1L2N));
    let selector = d.plain(Selector, "Q2");
    let panel = d.plain(Panel, "P1");
    for (from, to) in [(one, selector), (both, breaker), (breaker, selector), (selector, panel)] {
        d.join(from, to, 0.1);
    }
    d.installation.conditions[0].off.insert(breaker);
    for (feeding, leg) in [(vec![], Leg::L1), (vec![both], Leg::L1L2N)] {
        d.feed(&feeding);
        let w = walk(&d.installation, 0);
        assert!(!w.is_fed(panel));
        assert_eq!((w.legs[&selector], w.legs[&panel]), (leg, leg), "{feeding:?}");
    }
}
