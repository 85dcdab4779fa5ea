//! Cures are tried before they are offered, and keep what they promise.

use hullwire::installation::{Edit, Installation};
use hullwire::network::{Solution, solve};
use hullwire::store::list::import;
use hullwire::survey::{Survey, remedies, remedy, run};

fn read(text: &str) -> Installation {
    import(text).unwrap_or_else(|problems| panic!("{problems:?}")).installation
}

fn sample(name: &str) -> Installation {
    let path = format!("{}/samples/{name}.csv", env!("CARGO_MANIFEST_DIR"));
    read(&std::fs::read_to_string(path).unwrap_or_else(|e| panic!("{name}: {e}")))
}

fn surveyed(installation: &Installation) -> (Solution, Survey) {
    let solution = solve(installation, 0);
    let survey = run(installation, &solution);
    (solution, survey)
}

/// Applies every cure of a drawing by itself and holds each to what it promises.
fn hold_to_promise(installation: &Installation) -> Vec<(&'static str, String, bool)> {
    let (_, before) = surveyed(installation);
    let mut seen = Vec::new();
    for (finding, cure) in remedies(installation, 0, &before) {
        let changed = installation.apply(&cure.edit).map(|e| e.installation);
        let Ok(changed) = changed else { panic!("{}: {:?}", finding.rule, cure.edit) };
        let (_, after) = surveyed(&changed);
        let of = |s: &Survey| s.findings.iter().filter(|f| f.severity >= finding.severity).count();
        assert!(of(&after) < of(&before), "{} by {} leaves as many as bad", finding.rule, cure.label);
        let alike = |f: &&hullwire::survey::Finding| f.rule == finding.rule && f.parts == finding.parts;
        let (was, is) = (before.findings.iter().filter(alike).count(), after.findings.iter().filter(alike).count());
        assert!(is < was, "{} by {} is still there", finding.rule, cure.label);
        seen.push((finding.rule, cure.label, cure.alone));
    }
    seen
}

#[test]
fn the_boat_before_its_refit_can_be_cured_in_part() {
    let cures = hold_to_promise(&sample("trawler-before"));
    let of = |rule: &str| cures.iter().filter(|c| c.0 == rule).map(|c| c.1.as_str()).collect::<Vec<_>>();
    assert_eq!(of("gfci-missing").len(), 2, "{cures:#?}");
    assert_eq!(of("breaker-overload"), ["Q3 Coffee machine: rated current 15 A in place of 8 A"]);
    assert_eq!(of("drop-branch"), ["cable to E5 Fan heater: 14 AWG in place of 16 AWG"]);
    for electrician in ["bond-missing", "portable-set-aboard", "cable-unprotected", "source-starting"] {
        assert!(of(electrician).is_empty(), "{electrician} is not for one click");
    }
    assert!(
        cures.iter().all(|c| c.2 == (c.0 == "breaker-overload")),
        "only raising a breaker stands alone: {cures:#?}"
    );
}

#[test]
fn a_breaker_is_not_raised_while_something_behind_it_is_not_known() {
    let list = |cable: &str, outlet: &str| {
        format!(
            "# system: 120V60Hz\ntag,kind,fed_from,rating_a,run_w,conductor,length_m,insulation_c,continuous\n\
             X1,shore-inlet,,30,,,,,\nQ0,breaker,X1,30,,none,,,\nA1,panel,Q0,60,,none,,,\nQ1,breaker,A1,10,,none,,,\n\
             X2,outlet,Q1,{outlet},,{cable},\nE1,appliance,X2,,1300,,,,no\n"
        )
    };
    let raised = |text: &str| {
        let installation = read(text);
        let (_, survey) = surveyed(&installation);
        let Some(finding) = survey.findings.iter().find(|f| f.rule == "breaker-overload") else {
            panic!("{:?}", survey.findings)
        };
        (remedy(&installation, 0, finding).map(|r| r.label), finding.cure.clone())
    };
    let (cure, words) = raised(&list("14 AWG,4,105", "15"));
    assert_eq!(cure.as_deref(), Some("Q1: rated current 15 A in place of 10 A"));
    assert!(words.is_some_and(|w| w.starts_with("15 A: cable and outlet carry it")));
    for (cable, outlet) in
        [("14 AWG,4,", "15"), (",4,105", "15"), ("14 AWG,4,105", ""), ("18 AWG,4,60", "15"), ("14 AWG,4,105", "10")]
    {
        let (cure, words) = raised(&list(cable, outlet));
        assert_eq!(cure, None, "cable {cable}, outlet {outlet}");
        assert!(words.is_some_and(|w| !w.contains("15 A")), "cable {cable}, outlet {outlet}");
    }
}

#[test]
fn an_edit_that_cures_is_one_step() {
    let installation = sample("trawler-before");
    let (_, survey) = surveyed(&installation);
    for (_, cure) in remedies(&installation, 0, &survey) {
        assert!(matches!(cure.edit, Edit::SetPart { .. } | Edit::SetCable { .. }), "{:?}", cure.edit);
    }
}
