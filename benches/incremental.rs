//! One edit in a drawing of 10,000 parts: the solve that remembers the last one against a whole solve, in one run. The answers
//! must be equal to the last bit.

#[path = "../tests/support/large.rs"]
mod large;

use divan::Bencher;
use hullwire::installation::{Cable, Edit, Installation, Part, PartKind, Place, Property, SpaceKind};
use hullwire::network::{Effort, Solver, solve};
use std::hint::black_box;
use std::time::{Duration, Instant};

const PARTS: usize = 10_000;

/// The edits: what is changed, and the drawing before and after.
fn edits() -> Vec<(&'static str, [Installation; 2])> {
    let boat = large::boat(PARTS);
    let Some(leaf) = boat.parts.iter().find(|(_, p)| p.kind == PartKind::Appliance).map(|(id, _)| *id) else {
        return Vec::new();
    };
    let Some(panel) = boat.parts.iter().find(|(_, p)| p.kind == PartKind::Panel).map(|(id, _)| *id) else {
        return Vec::new();
    };
    let set = |property, text: &str| {
        let edit = Edit::SetPart { parts: vec![leaf], property, text: text.to_owned(), origin: None };
        boat.apply(&edit).map_or_else(|_| boat.clone(), |edited| edited.installation)
    };
    let mut loose = boat.clone();
    let new = loose.add_part(Part::new(PartKind::Appliance, "E99999", Place::In(SpaceKind::Other)));
    let mut joined = loose.clone();
    joined.add_cable(Cable::between(panel, new));
    vec![
        ("label", [boat.clone(), set(Property::Label, "Kettle")]),
        ("leaf load", [boat.clone(), set(Property::RunW, "75")]),
        ("new cable", [loose, joined]),
    ]
}

fn main() {
    println!("| edit in {PARTS} parts | remembering | whole | whole / remembering | did |");
    println!("| --- | ---: | ---: | ---: | --- |");
    for (name, states) in edits() {
        let mut solver = Solver::default();
        let _ = solver.solve(&states[0], 0);
        let mut times = [Vec::new(), Vec::new()];
        for turn in 1..=40 {
            let state = &states[turn % 2];
            let start = Instant::now();
            let remembered = black_box(solver.solve(black_box(state), 0));
            times[0].push(start.elapsed());
            let start = Instant::now();
            let whole = black_box(solve(black_box(state), 0));
            times[1].push(start.elapsed());
            assert!(*remembered == whole, "{name}: another answer");
        }
        let [quick, whole] = times.map(median);
        let did = match solver.effort() {
            Effort::Nothing => "nothing",
            Effort::Again => "sweeps on the same network",
            Effort::Whole => "all of it",
        };
        let ratio = whole.as_secs_f64() / quick.as_secs_f64();
        println!("| {name} | {quick:.1?} | {whole:.1?} | {ratio:.1} | {did} |");
    }
    divan::main();
}

fn median(mut times: Vec<Duration>) -> Duration {
    times.sort_unstable();
    times.get(times.len() / 2).copied().unwrap_or_default()
}

#[divan::bench(args = ["label", "leaf load", "new cable"], sample_count = 20)]
fn remembering(bencher: Bencher<'_, '_>, name: &str) {
    let Some((_, states)) = edits().into_iter().find(|(edit, _)| *edit == name) else { return };
    let mut solver = Solver::default();
    let mut turn = 0;
    bencher.bench_local(|| {
        turn = 1 - turn;
        solver.solve(&states[turn], 0)
    });
}

#[divan::bench(sample_count = 20)]
fn whole(bencher: Bencher<'_, '_>) {
    let boat = large::boat(PARTS);
    bencher.bench_local(|| solve(&boat, 0));
}
