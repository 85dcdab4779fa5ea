//! The survey of a very large drawing: its time grows in proportion to the size, and what is missing stays one line.

#[path = "support/large.rs"]
mod large;

use hullwire::network::solve;
use hullwire::survey::run;
use large::boat;
use std::time::{Duration, Instant};

fn time_of(parts: usize) -> Duration {
    let installation = boat(parts);
    let solution = solve(&installation, 0);
    assert!(solution.converged);
    let best = (0..3).map(|_| {
        let start = Instant::now();
        let survey = run(&installation, &solution);
        let time = start.elapsed();
        assert!(survey.findings.len() < 20 && survey.not_checked.len() < 20, "{} findings", survey.findings.len());
        time
    });
    best.min().unwrap_or_default()
}

#[test]
fn ten_thousand_parts_take_in_proportion() {
    let (small, large) = (time_of(2_500), time_of(10_000));
    // Four times the size: in proportion is four, a square would be sixteen. Logarithms and a busy machine have room.
    assert!(large < small * 10 + Duration::from_millis(100), "2,500 parts {small:?}, 10,000 parts {large:?}");
    eprintln!("2,500 parts {small:?}, 10,000 parts {large:?}");
}

/// One panel with so many ways and no breaker at all: every way asks what the others are guarded by.
fn star(ways: usize) -> hullwire::installation::Installation {
    let mut list =
        "# system: 120V60Hz\ntag,kind,fed_from,run_w,conductor,length_m\nG1,generator,,50000,,\nA1,panel,G1,,none,\n"
            .to_owned();
    for n in 0..ways {
        list.push_str(&format!("E{n},appliance,A1,0.5,12 AWG,5\n"));
    }
    hullwire::store::list::import(&list).unwrap().installation
}

#[test]
fn a_star_without_breakers_takes_in_proportion() {
    let time_of = |ways| {
        let installation = star(ways);
        let solution = solve(&installation, 0);
        let runs = (0..3).map(|_| {
            let start = Instant::now();
            assert!(!run(&installation, &solution).not_checked.is_empty());
            start.elapsed()
        });
        runs.min().unwrap_or_default()
    };
    let (small, large) = (time_of(1_000), time_of(4_000));
    assert!(large < small * 10 + Duration::from_millis(100), "1,000 ways {small:?}, 4,000 ways {large:?}");
}
