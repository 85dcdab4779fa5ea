//! The hand-over pack of the built-in sample: pages alone, and all the way to the bytes of the PDF.

use divan::Bencher;
use hullwire::installation::Installation;
use hullwire::sheets::{Options, pack, pdf};
use hullwire::store;

fn main() {
    divan::main();
}

fn sample() -> Installation {
    match store::sample() {
        Ok(opened) => opened.installation,
        Err(error) => panic!("the sample is not read: {error}"),
    }
}

/// Solve, survey, schedules, diagram, typesetting.
#[divan::bench]
fn pages(bencher: Bencher<'_, '_>) {
    let installation = sample();
    bencher.bench_local(|| pack(&installation, &Options::default(), &mut |_, _| true));
}

/// The same and the PDF.
#[divan::bench]
fn whole(bencher: Bencher<'_, '_>) {
    let installation = sample();
    let drawing = store::to_text(&installation).unwrap_or_default();
    bencher.bench_local(|| {
        let pack = pack(&installation, &Options::default(), &mut |_, _| true).unwrap_or_default();
        pdf::write(&pack, &drawing)
    });
}
