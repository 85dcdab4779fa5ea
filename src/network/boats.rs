//! Small boats that tests of this room share.

use super::flat::Network;
use super::solve_tests::Draft;
use super::walk;
use crate::installation::{Leg, LoadKind, PartId, PartKind, System};

/// A boat with its network, its source and its loads.
pub(super) struct Boat {
    pub(super) name: &'static str,
    pub(super) draft: Draft,
    pub(super) source: PartId,
    pub(super) panel: PartId,
    pub(super) loads: Vec<PartId>,
}

impl Boat {
    pub(super) fn network(&self) -> Network {
        Network::new(&self.draft.installation, &walk(&self.draft.installation, 0))
    }

    /// A source, a panel behind 0.12 Ω a loop, four loads of both kinds behind cables of their own, and one more behind a
    /// transformer of these volts where there is one.
    fn new(name: &'static str, system: System, legs: [Option<Leg>; 5], transformer: Option<f64>) -> Self {
        let mut draft = Draft::new(system);
        let source = draft.plain(PartKind::Generator, "G1");
        let panel = draft.plain(PartKind::Panel, "P1");
        draft.join(source, panel, 0.12);
        let mut loads = Vec::new();
        for (at, (watts, pf, kind, ohms)) in [
            (500.0, 0.8, LoadKind::Power, 0.1),
            (800.0, 1.0, LoadKind::Impedance, 0.15),
            (300.0, 0.6, LoadKind::Motor, 0.0),
            (250.0, 0.9, LoadKind::Impedance, 0.2),
        ]
        .into_iter()
        .enumerate()
        {
            let load = draft.part(PartKind::Appliance, &format!("E{}", at + 1), |p| {
                (p.run_w, p.pf, p.load_kind, p.leg) = (Some(watts), Some(pf), kind, legs[at]);
            });
            draft.join(panel, load, ohms);
            loads.push(load);
        }
        let mut from = panel;
        if transformer.is_some() {
            from = draft.part(PartKind::IsolationTransformer, "T1", |p| p.volts = transformer);
            draft.join(panel, from, 0.1);
        }
        let last = draft.part(PartKind::Appliance, "E5", |p| {
            (p.run_w, p.pf, p.load_kind, p.leg) = (Some(200.0), Some(0.7), LoadKind::Power, legs[4]);
        });
        draft.join(from, last, 0.1);
        loads.push(last);
        draft.feed(&[source]);
        Self { name, draft, source, panel, loads }
    }
}

/// Two wires, the same with a transformer, both lines and a neutral.
pub(super) fn boats() -> [Boat; 3] {
    let split = [Some(Leg::L1), Some(Leg::L2), Some(Leg::L1L2), Some(Leg::L1), Some(Leg::L2)];
    [
        Boat::new("two wires", System::TwoWire120, [None; 5], None),
        Boat::new("transformer", System::TwoWire120, [None; 5], Some(110.0)),
        Boat::new("both lines", System::SplitPhase, split, None),
    ]
}

/// Two wires: parts, cables of 0.1 Ω a loop between them, and the sources that feed, by their numbers.
pub(super) fn draft(parts: &[(PartKind, &str)], cables: &[(usize, usize)], feeding: &[usize]) -> (Draft, Vec<PartId>) {
    let mut d = Draft::new(System::TwoWire120);
    let ids: Vec<PartId> = parts.iter().map(|(kind, tag)| d.plain(*kind, tag)).collect();
    for (from, to) in cables {
        d.join(ids[*from], ids[*to], 0.1);
    }
    let feeding: Vec<PartId> = feeding.iter().map(|n| ids[*n]).collect();
    d.feed(&feeding);
    (d, ids)
}
