//! The solve of a drawing that is being edited: after any edit it gives what a whole solve gives, to the last bit, and does
//! no more than the edit asks for. Random boats of all three systems, random edits.

#[path = "support/large.rs"]
mod large;
#[path = "support/random_boats.rs"]
mod random_boats;
#[path = "support/wired_boats.rs"]
mod wired_boats;

use hullwire::installation::{
    Cable, Conductor, Edit, Installation, LoadKind, Part, PartId, PartKind, Place, Property, Size, SpaceKind, Status,
};
use hullwire::network::{Effort, Solver, solve};
use proptest::prelude::*;
use random_boats::seed;
use std::sync::Arc;
use wired_boats::{boat, wire};

/// One random change of a drawing.
fn edit(boat: &mut Installation, kind: u8, which: u32, size: f64) {
    let pick = |count: usize| which as usize % count.max(1);
    let ids: Vec<PartId> = boat.parts.keys().copied().collect();
    if ids.is_empty() {
        return;
    }
    let id = ids[pick(ids.len())];
    let part = Arc::make_mut(boat.parts.get_mut(&id).unwrap());
    match kind {
        0 => part.label = format!("Label {which}"),
        1 => part.run_w = Some(2000.0 * size),
        2 => part.pf = Some(0.5 + 0.5 * size),
        3 => part.load_kind = if part.load_kind == LoadKind::Impedance { LoadKind::Power } else { LoadKind::Impedance },
        4 => part.charge_w = 800.0 * size,
        5 => part.rating_a = Some(40.0 * size),
        6 => part.volts = Some(boat.system.nominal_v() * (0.9 + 0.2 * size)),
        7 => part.status = if part.status == Status::Remove { Status::Existing } else { Status::Remove },
        8 => part.tag = format!("Z{which}"),
        9 => part.cord = wire(10.0 * size),
        10 | 11 => {
            let off = &mut boat.conditions[0].off;
            if !off.remove(&id) {
                off.insert(id);
            }
        }
        12 => {
            boat.conditions[0].feeding = vec![id];
        }
        13 => {
            let mut part = Part::new(PartKind::Appliance, format!("N{}", boat.next_id), Place::In(SpaceKind::Other));
            part.run_w = Some(500.0 * size);
            let new = boat.add_part(part);
            let mut cable = Cable::between(id, new);
            cable.data = wire(8.0 * size);
            boat.add_cable(cable);
        }
        14 => {
            boat.parts.remove(&id);
            boat.cables.retain(|_, c| c.from != id && c.to != id);
            boat.conditions[0].feeding.retain(|source| *source != id);
        }
        _ => {
            let cables: Vec<_> = boat.cables.keys().copied().collect();
            let Some(id) = cables.get(pick(cables.len())) else { return };
            let data = &mut Arc::make_mut(boat.cables.get_mut(id).unwrap()).data;
            match kind {
                15 => data.length_m = Some(12.0 * size),
                16 => data.length_m = None,
                17 => data.conductor = Conductor::Size(Size::Awg(if size > 0.5 { 8 } else { 14 })),
                18 => data.bundled = Some(4),
                _ => {
                    boat.cables.remove(id);
                }
            }
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 256, ..ProptestConfig::default() })]

    #[test]
    fn any_edits_in_any_order_give_the_whole_solve(seed in seed(40),
            edits in prop::collection::vec((0u8..20, any::<u32>(), 0.0..1.0f64), 1..24)) {
        let mut now = boat(&seed);
        let mut solver = Solver::default();
        prop_assert_eq!(&*solver.solve(&now, 0), &solve(&now, 0));
        prop_assert_eq!(solver.effort(), Effort::Whole);
        for (kind, which, size) in edits {
            edit(&mut now, kind, which, size);
            prop_assert_eq!(&*solver.solve(&now, 0), &solve(&now, 0), "edit {}", kind);
            if kind == 0 {
                prop_assert_eq!(solver.effort(), Effort::Nothing);
            }
        }
    }

    /// From light to more than can be supplied and back.
    #[test]
    fn near_the_knee_and_beyond(watts in prop::collection::vec(0.0..9000.0f64, 2..12), metres in 5.0..60.0f64) {
        let mut now = Installation::new(hullwire::installation::System::TwoWire120);
        let source = now.add_part(Part::new(PartKind::Generator, "G1", Place::In(SpaceKind::Other)));
        let load = now.add_part(Part::new(PartKind::Appliance, "E1", Place::In(SpaceKind::Other)));
        let mut cable = Cable::between(source, load);
        cable.data = wire(metres);
        now.add_cable(cable);
        now.conditions[0].feeding = vec![source];
        let mut solver = Solver::default();
        for w in watts {
            Arc::make_mut(now.parts.get_mut(&load).unwrap()).run_w = Some(w);
            prop_assert_eq!(&*solver.solve(&now, 0), &solve(&now, 0));
        }
    }
}

/// What the edits of the program ask for.
#[test]
fn an_edit_does_no_more_than_it_must() {
    let boat = large::boat(300);
    let first = |kind| boat.parts.iter().find(|(_, p)| p.kind == kind).map(|(id, _)| *id).expect("one of each");
    let (appliance, breaker, panel) = (first(PartKind::Appliance), first(PartKind::Breaker), first(PartKind::Panel));
    let set =
        |part, property, text: &str| Edit::SetPart { parts: vec![part], property, text: text.to_owned(), origin: None };
    let cable = boat.feeds_of(appliance).next().expect("a cable").0;
    let length =
        Edit::SetCable { cables: vec![cable], property: Property::LengthM, text: "4".to_owned(), origin: None };
    let switch = |part| Edit::Switch { condition: 0, parts: vec![part], on: false };
    for (edit, effort) in [
        (set(appliance, Property::Label, "Heater"), Effort::Nothing),
        (set(breaker, Property::RatingA, "20"), Effort::Nothing),
        (set(appliance, Property::RunW, "75"), Effort::Again),
        (switch(appliance), Effort::Again),
        (length, Effort::Again),
        (switch(breaker), Effort::Whole),
        (set(panel, Property::Tag, "A99"), Effort::Whole),
    ] {
        let edited = boat.apply(&edit).expect("a valid edit").installation;
        let mut solver = Solver::default();
        let before = solver.solve(&boat, 0);
        let after = solver.solve(&edited, 0);
        assert_eq!(solver.effort(), effort, "{edit:?}");
        assert_eq!(Arc::ptr_eq(&before, &after), effort == Effort::Nothing, "{edit:?}");
        let _ = solver.solve(&boat, 1);
        assert_eq!(solver.effort(), Effort::Whole, "another condition");
    }
}
