//! The drawing is made anew in each frame in which something changed: it must be quick, and grow evenly.

#[path = "support/drawings.rs"]
#[allow(dead_code, reason = "a part of it is used here")]
mod drawings;

use hullwire::diagram::{Options, Overlay, scene};
use hullwire::network::solve;
use std::time::{Duration, Instant};

/// The best of several runs.
fn quickest(circuits: usize) -> Duration {
    let installation = drawings::laid_out(&drawings::circuits(circuits));
    let solution = solve(&installation, 0);
    (0..7)
        .map(|_| {
            let start = Instant::now();
            std::hint::black_box(scene(&installation, &solution, &Overlay::default(), &Options::default()));
            start.elapsed()
        })
        .min()
        .unwrap_or_default()
}

#[test]
fn a_large_drawing_takes_about_as_much_longer_as_it_is_larger() {
    let (small, large) = (quickest(24), quickest(240));
    println!("60 parts {small:?}, 600 parts {large:?}");
    // Ten times the parts: well below the hundredfold of work that grows with the square.
    assert!(large < small * 40, "60 parts {small:?}, 600 parts {large:?}");
    // Debug builds are some ten times slower than what people run.
    let most = Duration::from_millis(if cfg!(debug_assertions) { 1500 } else { 60 });
    assert!(large < most, "600 parts {large:?}");
}
