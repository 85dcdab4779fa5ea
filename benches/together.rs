//! What runs together, for 24 and for 30 appliances: conflicts, combinations and their number; with many alike, and all
//! different. The counts must be exact, which the bench checks.

use divan::{Bencher, black_box};
use hullwire::installation::Installation;
use hullwire::loads::together::{EFFORT, together};
use hullwire::store::list::import;
use std::fmt::Write as _;

fn main() {
    divan::main();
}

/// A boat with so many appliances on cables: eight lamps and four fans that are equal each and the rest all different, or
/// all of them different.
fn boat(count: usize, alike: bool) -> Option<Installation> {
    let mut list = String::from(
        "# system: 120V60Hz\n# feeding: G1\n\
         tag,kind,fed_from,run_w,start_w,load_kind,cycles,rating_a,conductor,length_m\n\
         G1,generator,,5000,8000,,,45,,\nA1,panel,G1,,,,,,6 AWG,3\n",
    );
    for n in 0..count {
        let (watts, kind) = match n {
            0..8 if alike => (20, "power"),
            8..12 if alike => (60, "motor"),
            0..12 => (20 + 17 * n, ["power", "motor"][n / 8]),
            _ => (200 + (n * 271) % 1300, ["impedance", "power", "motor"][n % 3]),
        };
        let start = if kind == "motor" { watts * 3 } else { watts };
        let cycles = if kind == "motor" && n % 2 == 0 { "yes" } else { "no" };
        let metres = if n < 12 { 4 } else { 3 + n % 6 };
        let _ = write!(
            list,
            "Q{n},breaker,A1,,,,,20,none,\nE{n},appliance,Q{n},{watts},{start},{kind},{cycles},,12 AWG,{metres}\n"
        );
    }
    import(&list).ok().map(|list| list.installation)
}

#[divan::bench(args = [24, 30], sample_count = 3, sample_size = 1)]
fn many_alike(bencher: Bencher<'_, '_>, count: usize) {
    measure(bencher, count, true);
}

#[divan::bench(args = [24, 30], sample_count = 3, sample_size = 1)]
fn all_different(bencher: Bencher<'_, '_>, count: usize) {
    measure(bencher, count, false);
}

fn measure(bencher: Bencher<'_, '_>, count: usize, alike: bool) {
    let Some(boat) = boat(count, alike) else { return };
    bencher.bench_local(|| {
        let found = together(black_box(&boat), 0, EFFORT);
        assert!(found.count.is_some() && found.conflict_count.is_some(), "{count} appliances: not counted");
        found
    });
}
