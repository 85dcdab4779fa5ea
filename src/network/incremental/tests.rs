//! What an edit makes the solver do, and that the answer is the one of a whole solve.

use super::{Effort, Solver};
use crate::installation::{Cable, Installation, LoadKind, Part, PartId, PartKind, Place, ResistanceBasis, System};
use crate::network::boats::{Boat, boats};
use crate::network::solve;
use std::sync::Arc;

/// A solver that has seen the boat, and the boat.
fn begun() -> (Solver, Boat) {
    let [boat, ..] = boats();
    let mut solver = Solver::default();
    solver.solve(&boat.draft.installation, 0);
    assert_eq!(solver.effort(), Effort::Whole);
    (solver, boat)
}

/// Solves the drawing as it is now: the effort that it took, after the answer was compared with a whole solve.
fn effort(solver: &mut Solver, now: &Installation, condition: usize) -> Effort {
    let found = solver.solve(now, condition);
    assert_eq!(*found, solve(now, condition));
    solver.effort()
}

fn edit(now: &mut Installation, part: PartId, set: impl FnOnce(&mut Part)) {
    set(Arc::make_mut(now.parts.get_mut(&part).expect("is there")));
}

fn edit_feed(now: &mut Installation, part: PartId, set: impl FnOnce(&mut Cable)) {
    let cable = now.cables.values_mut().find(|c| c.to == part).expect("is fed");
    set(Arc::make_mut(cable));
}

/// After each edit: what it takes, and that the next solve takes nothing.
fn takes(wanted: Effort, change: impl FnOnce(&mut Installation, &Boat)) {
    let (mut solver, boat) = begun();
    let mut now = boat.draft.installation.clone();
    change(&mut now, &boat);
    assert_eq!(effort(&mut solver, &now, 0), wanted);
    assert_eq!(effort(&mut solver, &now, 0), Effort::Nothing);
}

#[test]
fn another_network_is_solved_from_the_beginning() {
    takes(Effort::Whole, |now, _| now.system = System::TwoWire230);
    takes(Effort::Whole, |now, _| now.resistance = ResistanceBasis::Published);
    takes(Effort::Whole, |now, _| {
        now.add_part(Part::new(PartKind::Appliance, "Z9", Place::In(Default::default())));
    });
    takes(Effort::Whole, |now, _| {
        let last = *now.cables.keys().next_back().expect("has cables");
        now.cables.remove(&last);
    });
    takes(Effort::Whole, |now, _| now.conditions[0].feeding.clear());
    takes(Effort::Whole, |now, boat| edit(now, boat.source, |p| p.run_w = Some(4000.0)));
    takes(Effort::Whole, |now, boat| edit(now, boat.source, |p| p.volts = Some(118.0)));
    takes(Effort::Whole, |now, boat| edit(now, boat.panel, |p| p.tag = "Z1".into()));
    takes(Effort::Whole, |now, boat| {
        edit_feed(now, boat.loads[1], |c| c.from = boat.loads[0]);
    });
}

#[test]
fn another_condition_is_another_network() {
    let (mut solver, boat) = begun();
    let mut now = boat.draft.installation.clone();
    let mut other = now.conditions[0].clone();
    other.off.insert(boat.loads[0]);
    now.conditions.push(other);
    assert_eq!(effort(&mut solver, &now, 1), Effort::Whole);
    assert_eq!(effort(&mut solver, &now, 0), Effort::Whole);
}

#[test]
fn loads_switches_and_ohms_are_solved_on_the_same_network() {
    takes(Effort::Again, |now, boat| edit(now, boat.loads[0], |p| p.run_w = Some(700.0)));
    takes(Effort::Again, |now, boat| edit(now, boat.loads[0], |p| p.pf = Some(0.5)));
    takes(Effort::Again, |now, boat| edit(now, boat.loads[0], |p| p.load_kind = LoadKind::Impedance));
    takes(Effort::Again, |now, boat| {
        now.conditions[0].off.insert(boat.loads[1]);
    });
    for at in 0..5 {
        takes(Effort::Again, |now, boat| edit_feed(now, boat.loads[at], |c| c.data.length_m = Some(9.0)));
    }
    takes(Effort::Again, |now, boat| edit_feed(now, boat.panel, |c| c.data.length_m = Some(9.0)));
}

#[test]
fn what_the_solve_does_not_read_takes_nothing() {
    takes(Effort::Nothing, |now, boat| edit(now, boat.source, |p| p.label = "in the lazarette".into()));
    takes(Effort::Nothing, |now, boat| edit(now, boat.loads[0], |p| p.start_w = Some(3000.0)));
    takes(Effort::Nothing, |now, boat| edit(now, boat.panel, |p| p.run_w = Some(1.0)));
    takes(Effort::Nothing, |now, boat| edit(now, boat.loads[0], |p| p.charge_w = 5.0));
    takes(Effort::Nothing, |now, boat| edit_feed(now, boat.loads[0], |c| c.tag = "W9".into()));
    takes(Effort::Nothing, |now, boat| {
        for part in boat.loads.iter().cycle().take(200) {
            edit(now, *part, |p| p.note.push('.'));
        }
    });
}

#[test]
fn a_switch_goes_back_and_forth() {
    let (mut solver, boat) = begun();
    let mut now = boat.draft.installation.clone();
    for _ in 0..2 {
        now.conditions[0].off.insert(boat.loads[0]);
        assert_eq!(effort(&mut solver, &now, 0), Effort::Again);
        assert_eq!(effort(&mut solver, &now, 0), Effort::Nothing);
        // Watts of what is off are taken over and not drawn.
        edit(&mut now, boat.loads[0], |p| p.run_w = p.run_w.map(|w| w + 50.0));
        assert_eq!(effort(&mut solver, &now, 0), Effort::Again);
        now.conditions[0].off.remove(&boat.loads[0]);
        assert_eq!(effort(&mut solver, &now, 0), Effort::Again);
        assert_eq!(effort(&mut solver, &now, 0), Effort::Nothing);
    }
}

/// An inverter that is fed charges: its watts are a load that no switch takes away.
#[test]
fn a_charger_draws_what_it_is_said_to() {
    let [boat, ..] = boats();
    let mut draft = boat.draft;
    let inverter = draft.part(PartKind::Inverter, "V1", |p| (p.charge_w, p.pf) = (400.0, Some(0.9)));
    draft.join(boat.panel, inverter, 0.1);
    let mut now = draft.installation;
    let mut solver = Solver::default();
    let before = solver.solve(&now, 0).parts[&boat.panel].volts;
    edit(&mut now, inverter, |p| p.charge_w = 900.0);
    assert_eq!(effort(&mut solver, &now, 0), Effort::Again);
    assert!(solver.solve(&now, 0).parts[&boat.panel].volts < before);
    edit(&mut now, inverter, |p| p.pf = Some(0.7));
    assert_eq!(effort(&mut solver, &now, 0), Effort::Again);
    edit(&mut now, inverter, |p| p.load_kind = LoadKind::Impedance);
    assert_eq!(effort(&mut solver, &now, 0), Effort::Nothing);
    now.conditions[0].off.insert(inverter);
    assert_eq!(effort(&mut solver, &now, 0), Effort::Nothing);
}
