//! Selectors, and sources that lie behind one another.

use super::walk;
use crate::installation::PartKind::{Breaker, Generator, Inverter, Panel, Selector};
use crate::network::boats::draft;
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
