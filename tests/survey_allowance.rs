//! The step up to the next standard breaker: NOTICE inside the allowance of the US rule, WARNING above it, none elsewhere.
//! Ampacities by 33 CFR 183.425 table 5 with its notes; the cases are hand-computed from them.

use hullwire::network::solve;
use hullwire::store::list::import;
use hullwire::survey::run;
use hullwire::units::Severity;

fn verdict(system: &str, breaker: &str, cable: &str, space: &str) -> Option<(Severity, f64)> {
    let list = format!(
        "# system: {system}\ntag,kind,fed_from,rating_a,run_w,space,conductor,length_m,insulation_c,bundled\n\
         G1,generator,,100,12000,,,,,\nQ1,breaker,G1,{breaker},,accommodation,none,,,\nE1,appliance,Q1,,50,{space},{cable}\n"
    );
    let installation = import(&list).unwrap_or_else(|problems| panic!("{problems:?}")).installation;
    let survey = run(&installation, &solve(&installation, 0));
    let found =
        survey.findings.iter().find(|f| f.rule == "breaker-above-cable" && installation.tag(f.parts[0]) == "Q1");
    found.map(|f| (f.severity, f.limit.unwrap_or(f64::NAN)))
}

#[test]
fn the_allowance_ends_at_the_next_size_and_at_150_percent() {
    let (notice, warning) = (Some(Severity::Notice), Some(Severity::Warning));
    // Breaker, cable (size, length, insulation, bundle), space, ampacity, what is found.
    let cases = [
        ("45", "12 AWG,3,105,2", "accommodation", 45.0, None),
        ("50", "12 AWG,3,105,2", "accommodation", 45.0, warning),
        ("35", "12 AWG,3,105,2", "engine-space", 38.25, None),
        ("40", "12 AWG,3,105,2", "engine-space", 38.25, notice),
        ("45", "12 AWG,3,105,2", "engine-space", 38.25, warning),
        ("20", "12 AWG,3,105,5", "engine-space", 22.95, None),
        ("25", "12 AWG,3,105,5", "engine-space", 22.95, notice),
        ("30", "12 AWG,3,105,5", "engine-space", 22.95, warning),
        ("15", "14 AWG,3,60,2", "engine-space", 11.6, notice),
        ("20", "14 AWG,3,60,2", "engine-space", 11.6, warning),
        // 15 A is 259 % of 5.8 A: no standard breaker may stand at all.
        ("15", "18 AWG,3,60,2", "engine-space", 5.8, warning),
        ("8", "18 AWG,3,60,2", "engine-space", 5.8, warning),
        // 15 A is 150 % of 10 A, which is within.
        ("15", "18 AWG,3,75,2", "accommodation", 10.0, notice),
        ("25", "10 AWG,3,75,3", "accommodation", 28.0, None),
        ("30", "10 AWG,3,75,3", "accommodation", 28.0, notice),
    ];
    for (breaker, cable, space, ampacity, expected) in cases {
        let found = verdict("120V60Hz", breaker, cable, space);
        assert_eq!(found.map(|f| f.0), expected, "{breaker} A on {cable} in {space}");
        assert!(found.is_none_or(|f| (f.1 - ampacity).abs() < 1e-9), "{found:?} for {cable} in {space}");
    }
}

#[test]
fn international_rules_have_no_step_up() {
    assert_eq!(verdict("230V50Hz", "25", "2.5 mm2,3,70,2", "accommodation"), None, "25 A by annex A, from memory");
    let found = verdict("230V50Hz", "32", "2.5 mm2,3,70,2", "accommodation");
    assert_eq!(found.map(|f| f.0), Some(Severity::Warning));
    let found = verdict("230V50Hz", "16", "2.5 mm2,3,70,2", "engine-space");
    assert_eq!(found.map(|f| f.0), Some(Severity::Warning), "the next size above 14.5 A");
}
