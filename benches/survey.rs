//! Time of the survey: of a whole drawing, and after one edit of a drawing that is being edited. The solve is not counted.

#[path = "../tests/support/large.rs"]
mod large;

use divan::Bencher;
use hullwire::installation::{Edit, Installation, PartId, PartKind, Property};
use hullwire::network::solve;
use hullwire::survey::{Surveyor, run};

const SIZES: [usize; 4] = [100, 1_000, 10_000, 100_000];

fn main() {
    divan::main();
}

#[divan::bench(args = SIZES)]
fn whole(bencher: Bencher, parts: usize) {
    let boat = large::boat(parts);
    let solution = solve(&boat, 0);
    bencher.bench_local(|| run(&boat, &solution));
}

/// There and back again between two states of a drawing that differ by one edit.
fn between(bencher: Bencher, boat: &Installation, edit: &Edit) {
    let Ok(edited) = boat.apply(edit) else { return };
    let states = [boat.clone(), edited.installation].map(|i| (solve(&i, 0), i));
    let mut surveyor = Surveyor::default();
    let mut at = 0;
    bencher.bench_local(|| {
        at = 1 - at;
        let (solution, installation) = &states[at];
        surveyor.survey(installation, solution)
    });
}

fn first(boat: &Installation, kind: PartKind) -> Vec<PartId> {
    boat.parts.iter().filter(|(_, p)| p.kind == kind).map(|(id, _)| *id).take(1).collect()
}

#[divan::bench(args = SIZES)]
fn after_moving_a_part(bencher: Bencher, parts: usize) {
    let boat = large::boat(parts);
    let what = hullwire::installation::Selection::of_parts(first(&boat, PartKind::Panel));
    between(bencher, &boat, &Edit::Move { what, dx: 5.0, dy: 0.0 });
}

#[divan::bench(args = SIZES)]
fn after_a_switch(bencher: Bencher, parts: usize) {
    let boat = large::boat(parts);
    let parts = first(&boat, PartKind::Appliance);
    between(bencher, &boat, &Edit::Switch { condition: 0, parts, on: false });
}

#[divan::bench(args = SIZES)]
fn after_a_breaker_rating(bencher: Bencher, parts: usize) {
    let boat = large::boat(parts);
    let parts = first(&boat, PartKind::Breaker);
    between(bencher, &boat, &Edit::SetPart { parts, property: Property::RatingA, text: "20".to_owned(), origin: None });
}
