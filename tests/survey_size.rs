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

/// What there is much of, and the rows of a circuit list with about so many parts.
type Shape = (&'static str, fn(usize) -> String);

/// Drawings in which one thing has very many of another: each a place where a rule could look at all for each.
const SHAPES: [Shape; 9] = [
    ("ways without a breaker", |n| {
        format!("A1,panel,G1,,,none,,,,\n{}", rows(n, |i| format!("E{i},appliance,A1,0.5,,12 AWG,5,,,")))
    }),
    ("panels in a row", |n| {
        rows(n, |i| {
            format!("A{i},panel,{},,60,6 AWG,0.001,,,", if i == 0 { "G1".to_owned() } else { format!("A{}", i - 1) })
        })
    }),
    ("inlets of a selector", |n| {
        let inlets: Vec<String> = (2..n).map(|i| format!("G{i}")).collect();
        let sources: String = inlets.iter().map(|g| format!("{g},generator,,1000,20,,,,,\n")).collect();
        format!("{sources}Q1,selector,G1|{},,60,12 AWG,1,1,,\nE1,appliance,Q1,1,,12 AWG,5,,,\n", inlets.join("|"))
    }),
    ("sources with a load", |n| {
        rows(n / 2, |i| format!("G{i}x,generator,,1000,20,,,,,galley\nE{i},appliance,G{i}x,1,,12 AWG,5,,,galley"))
    }),
    ("inlets with a breaker", |n| {
        rows(n / 2, |i| format!("X{i},shore-inlet,,,20,,,,,\nQ{i},breaker,X{i},,30,none,,1,,"))
    }),
    ("parts without a feed", |n| rows(n, |i| format!("E{i},appliance,,1,,,,,,"))),
    ("islands", |n| rows(n / 2, |i| format!("A{i},panel,,,,,,,,\nE{i},appliance,A{i},1,,12 AWG,5,,,"))),
    ("petrol beside everything", |n| {
        rows(n / 2, |i| format!("G{i}x,generator,,1000,20,,,,,lazarette\nX{i},outlet,G1,,15,12 AWG,1,,,lazarette"))
    }),
    ("leakage breakers of one source", |n| rows(n, |i| format!("Q{i},breaker,G1,,15,none,,1,gfci,"))),
];

fn rows(n: usize, row: impl Fn(usize) -> String) -> String {
    (0..n).map(|i| row(i) + "\n").collect()
}

#[test]
fn what_there_is_much_of_takes_in_proportion() {
    for (shape, list) in SHAPES {
        let time_of = |n| {
            let head = "# system: 120V60Hz\n# feeding: G1\ntag,kind,fed_from,run_w,rating_a,conductor,length_m,poles,\
                        protection,space\nG1,generator,,1000000,,,,,,\n";
            let installation = hullwire::store::list::import(&(head.to_owned() + &list(n)));
            let installation = installation.unwrap_or_else(|problems| panic!("{shape}: {problems:?}")).installation;
            let solution = solve(&installation, 0);
            let runs = (0..3).map(|_| {
                let start = Instant::now();
                let survey = run(&installation, &solution);
                assert!(!survey.not_checked.is_empty() || !survey.findings.is_empty(), "{shape}");
                start.elapsed()
            });
            runs.min().unwrap_or_default()
        };
        let (small, large) = (time_of(1_500), time_of(6_000));
        assert!(large < small * 10 + Duration::from_millis(100), "{shape}: 1,500 {small:?}, 6,000 {large:?}");
        eprintln!("{shape}: 1,500 {small:?}, 6,000 {large:?}");
    }
}
