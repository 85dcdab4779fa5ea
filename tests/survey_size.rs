//! The survey of a very large drawing: its time grows in proportion to the size, and what is missing stays one line.

use hullwire::installation::{Cable, Conductor, Installation, Part, PartId, PartKind, Place, Size, SpaceKind, System};
use hullwire::network::solve;
use hullwire::survey::run;
use std::time::{Duration, Instant};

/// A generator, panels of forty circuits each behind a breaker, and an appliance on each circuit.
fn boat(parts: usize) -> Installation {
    let mut installation = Installation::new(System::TwoWire120);
    let add = |installation: &mut Installation, kind, tag: String, from: Option<PartId>, fill: &dyn Fn(&mut Part)| {
        let mut part = Part::new(kind, tag, Place::In(SpaceKind::Accommodation));
        fill(&mut part);
        let id = installation.add_part(part);
        if let Some(from) = from {
            let mut cable = Cable::between(from, id);
            if kind == PartKind::Appliance {
                cable.data.conductor = Conductor::Size(Size::Awg(14));
                cable.data.length_m = Some(3.0);
                cable.data.insulation_c = Some(105);
            } else {
                cable.data.conductor = Conductor::None;
            }
            installation.add_cable(cable);
        }
        id
    };
    let source = add(&mut installation, PartKind::Generator, "G1".to_owned(), None, &|p| {
        p.run_w = Some(1e6);
        p.start_w = Some(2e6);
        p.rating_a = Some(9000.0);
        p.bonded = Some(true);
    });
    installation.conditions[0].feeding = vec![source];
    let mut panel = source;
    let mut n = 0;
    while installation.parts.len() < parts {
        if n % 40 == 0 {
            panel = add(&mut installation, PartKind::Panel, format!("A{n}"), Some(source), &|p| p.rating_a = Some(1e4));
        }
        let breaker = add(&mut installation, PartKind::Breaker, format!("Q{n}"), Some(panel), &|p| {
            p.rating_a = Some(15.0);
            p.label = format!("Circuit {n}");
        });
        add(&mut installation, PartKind::Appliance, format!("E{n}"), Some(breaker), &|p| p.run_w = Some(50.0));
        n += 1;
    }
    installation
}

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
fn star(ways: usize) -> Installation {
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
