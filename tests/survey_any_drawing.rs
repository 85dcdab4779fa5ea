//! Whatever is drawn, the survey ends, names parts that exist, and says nothing that it may not say.

use hullwire::installation::{
    Cable, CableData, Conductor, Fuel, INSULATIONS_C, Installation, Leg, LoadKind, Part, PartKind, Place, Protection,
    Size, SpaceKind, System, Trip,
};
use hullwire::network::solve;
use hullwire::survey::{remedies, rule, run};
use hullwire::units::Severity;
use proptest::prelude::*;

/// The figures of a part, some not known.
fn any_part() -> impl Strategy<Value = Part> {
    let figure = |most: f64| prop::option::of(0.01..most);
    let figures = (figure(20_000.0), figure(40_000.0), figure(50_000.0), figure(200.0), prop::option::of(0.1..1.0_f64));
    let words = (
        prop::sample::select(PartKind::ALL),
        prop::sample::select(SpaceKind::ALL),
        prop::sample::select(LoadKind::ALL),
        prop::sample::select(Protection::ALL),
        prop::option::of(prop::sample::select(Trip::ALL)),
        prop::option::of(prop::sample::select(Leg::ALL)),
    );
    let flags =
        (any::<bool>(), any::<bool>(), any::<bool>(), prop::option::of(any::<bool>()), prop::option::of(any::<bool>()));
    (figures, words, flags, prop::option::of(1_u8..4), prop::option::of(50.0..300.0_f64), any_cable()).prop_map(
        |(
            (run_w, start_w, start_va, rating_a, pf),
            (kind, space, load, protection, trip, leg),
            flags,
            poles,
            volts,
            cord,
        )| {
            let mut part = Part::new(kind, "", Place::In(space));
            (part.run_w, part.start_w, part.start_va, part.rating_a, part.pf) =
                (run_w, start_w, start_va, rating_a, pf);
            (part.load_kind, part.protection, part.trip, part.leg, part.poles) = (load, protection, trip, leg, poles);
            (part.portable, part.cycles, part.lighting, part.bonded, part.continuous) = flags;
            part.fuel = if part.cycles { Fuel::Diesel } else { Fuel::Petrol };
            if kind.is_source() {
                part.volts = volts;
            }
            if kind == PartKind::Appliance {
                (part.start_s, part.volts_min, part.volts_max) = (pf, volts, rating_a.map(|a| a * 10.0));
            }
            if kind == PartKind::ShoreInlet {
                part.cord = cord;
            }
            part
        },
    )
}

fn any_cable() -> impl Strategy<Value = CableData> {
    let conductor = prop_oneof![
        Just(Conductor::None),
        Just(Conductor::Unknown),
        prop::sample::select(&Size::AWG[..]).prop_map(|n| Conductor::Size(Size::Awg(n))),
        prop::sample::select(&Size::MM2[..]).prop_map(|a| Conductor::Size(Size::Mm2(a))),
    ];
    (
        conductor,
        prop::option::of(0.0..60.0_f64),
        prop::option::of(prop::sample::select(&INSULATIONS_C[..])),
        any::<bool>(),
    )
        .prop_map(|(conductor, length_m, insulation_c, sheathed)| CableData {
            conductor,
            length_m,
            insulation_c,
            sheathed,
            ..CableData::unknown()
        })
}

fn any_installation() -> impl Strategy<Value = Installation> {
    let parts = prop::collection::vec(any_part(), 1..24);
    let cables =
        prop::collection::vec((any::<prop::sample::Index>(), any::<prop::sample::Index>(), any_cable()), 0..30);
    (prop::sample::select(System::ALL), parts, cables, any::<u32>(), any::<bool>()).prop_map(
        |(system, parts, cables, switches, other_rules)| {
            let mut installation = Installation::new(system);
            if other_rules {
                installation.rules = System::TwoWire230.usual_rules();
            }
            let ids: Vec<_> = parts
                .into_iter()
                .enumerate()
                .map(|(n, mut part)| {
                    part.tag = format!("K{n}");
                    installation.add_part(part)
                })
                .collect();
            for (from, to, data) in cables {
                let (from, to) = (*from.get(&ids), *to.get(&ids));
                // Mostly forwards, so that mostly there are figures; rings and self-feeding come up too.
                let (from, to) = if from > to && switches % 4 != 0 { (to, from) } else { (from, to) };
                let mut cable = Cable::between(from, to);
                cable.data = data;
                installation.add_cable(cable);
            }
            for (n, id) in ids.iter().enumerate() {
                let bit = switches.rotate_left(n as u32) & 1 == 1;
                if installation.parts[id].kind.is_source() {
                    if bit || installation.conditions[0].feeding.is_empty() {
                        installation.conditions[0].feeding.push(*id);
                    }
                } else if bit && installation.parts[id].kind.has_switch() {
                    installation.conditions[0].off.insert(*id);
                }
            }
            installation
        },
    )
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 300, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn the_survey_of_any_drawing_is_whole(installation in any_installation()) {
        const NEVER: &[&str] = &["safe", "ok", "passed", "passes", "compliant", "dead", "approved", "nan", "inf"];
        let solution = solve(&installation, 0);
        let survey = run(&installation, &solution);
        let texts = survey
            .findings
            .iter()
            .flat_map(|f| [f.message.clone(), f.source.clone(), f.cure.clone().unwrap_or_default()])
            .chain(survey.not_checked.iter().map(|n| n.because.clone()));
        for text in texts {
            for word in text.to_lowercase().split(|c: char| !(c.is_alphanumeric() || c == '-')) {
                prop_assert!(!NEVER.contains(&word), "“{word}” in “{text}”");
            }
        }
        for finding in &survey.findings {
            prop_assert!(rule(finding.rule).is_some_and(|r| r.info().holds_in(installation.rules)), "{finding:?}");
            prop_assert!(finding.parts.iter().all(|p| installation.parts.contains_key(p)), "{finding:?}");
            prop_assert!(finding.cables.iter().all(|c| installation.cables.contains_key(c)), "{finding:?}");
            prop_assert!(finding.figure.is_none_or(f64::is_finite) && finding.limit.is_none_or(f64::is_finite), "{finding:?}");
            prop_assert_eq!(finding.figure.is_some(), !finding.unit.is_empty());
            prop_assert!(!finding.source.is_empty());
        }
        prop_assert!(survey.findings.windows(2).all(|w| w[0].severity >= w[1].severity));
        if !solution.converged {
            prop_assert!(survey.findings.iter().any(|f| f.severity >= Severity::Warning));
        }
        // The same drawing gives the same survey.
        prop_assert_eq!(&survey, &run(&installation, &solve(&installation, 0)));
    }

    #[test]
    fn a_cure_makes_nothing_as_bad(installation in any_installation()) {
        let survey = run(&installation, &solve(&installation, 0));
        for (finding, cure) in remedies(&installation, 0, &survey).into_iter().take(6) {
            let changed = installation.apply(&cure.edit);
            prop_assert!(changed.is_ok(), "{:?}", cure.edit);
            let Ok(changed) = changed else { continue };
            let after = run(&changed.installation, &solve(&changed.installation, 0));
            let bad = |s: &hullwire::survey::Survey| s.findings.iter().filter(|f| f.severity >= finding.severity).count();
            prop_assert!(bad(&after) < bad(&survey), "{} by {}", finding.rule, cure.label);
        }
    }
}
