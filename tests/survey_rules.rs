//! Every rule against the examples in its own file: each list under "Fires" fires it, each under "Must not fire" does not.

use hullwire::installation::{Installation, Origin, Part, PartKind, Place, Point, Property, RuleSet, System};
use hullwire::network::solve;
use hullwire::store::list::import;
use hullwire::survey::{RuleInfo, Survey, rules, run};
use std::collections::BTreeSet;

/// The survey of a circuit list.
fn check(list: &str) -> (Installation, Survey) {
    let imported = match import(list) {
        Ok(imported) => imported,
        Err(problems) => panic!("{problems:?}\nin the list\n{list}"),
    };
    let installation = imported.installation;
    let solution = solve(&installation, 0);
    let survey = run(&installation, &solution);
    (installation, survey)
}

/// The lists under a heading of a rule's explanation.
fn lists(explanation: &str, heading: &str) -> Vec<String> {
    let Some((_, rest)) = explanation.split_once(&format!("# {heading}\n")) else { return Vec::new() };
    let mut found = Vec::new();
    let mut current: Option<String> = None;
    for line in rest.lines() {
        match (&mut current, line) {
            (None, "```csv") => current = Some(String::new()),
            (None, heading) if heading.starts_with("# ") => break,
            (Some(_), "```") => found.extend(current.take()),
            (Some(text), other) => {
                text.push_str(other);
                text.push('\n');
            }
            _ => {}
        }
    }
    found
}

/// Rules that a circuit list cannot show, each with a test of its own below.
const BUILT_BY_HAND: &[&str] = &["tag-duplicate", "figures-typical", "title-block-incomplete"];

fn describe(installation: &Installation, survey: &Survey) -> String {
    let mut text = String::new();
    for f in &survey.findings {
        let tags: Vec<&str> = f.parts.iter().map(|&p| installation.tag(p)).collect();
        text.push_str(&format!("  {} {} {tags:?} {}\n", f.severity, f.rule, f.message));
    }
    for n in &survey.not_checked {
        let tags: Vec<&str> = n.parts.iter().map(|&p| installation.tag(p)).collect();
        text.push_str(&format!("  not checked {} {tags:?} {}\n", n.rule, n.because));
    }
    text
}

#[test]
fn every_rule_fires_where_it_should_and_stays_quiet_where_it_should() {
    let mut faults = Vec::new();
    for rule in rules() {
        let info = rule.info();
        if BUILT_BY_HAND.contains(&info.id) {
            continue;
        }
        let text = info.explanation();
        let mut sets = BTreeSet::new();
        for list in lists(&text, "Fires") {
            let (installation, survey) = check(&list);
            sets.insert(installation.rules.slug());
            let severity = survey.findings.iter().filter(|f| f.rule == info.id).map(|f| f.severity).max();
            if severity.is_none() {
                faults.push(format!("{} does not fire:\n{list}{}", info.id, describe(&installation, &survey)));
            }
            if severity.is_some_and(|s| s > info.severity) {
                faults.push(format!("{} is worse than it says: {severity:?}", info.id));
            }
        }
        for set in info.sets {
            if !sets.contains(set.slug()) {
                faults.push(format!("{} has no case that fires under the rule set {}", info.id, set.slug()));
            }
        }
        let mut quiet = BTreeSet::new();
        for list in lists(&text, "Must not fire") {
            let (installation, survey) = check(&list);
            quiet.insert(installation.rules.slug());
            if survey.findings.iter().any(|f| f.rule == info.id) {
                faults.push(format!("{} fires and must not:\n{list}{}", info.id, describe(&installation, &survey)));
            }
            // Quiet for want of data would prove nothing; what is judged "by watts only" is judged.
            let unjudged =
                survey.not_checked.iter().find(|n| n.rule == info.id && !n.because.contains("by watts only"));
            if let Some(n) = unjudged {
                faults.push(format!("{} is quiet only because {}:\n{list}", info.id, n.because));
            }
        }
        for set in info.sets {
            if !quiet.contains(set.slug()) {
                faults.push(format!("{} has no case that must not fire under the rule set {}", info.id, set.slug()));
            }
        }
    }
    assert!(faults.is_empty(), "{} faults:\n{}", faults.len(), faults.join("\n"));
}

/// Units of figures that come in steps: the next step beyond a limit may lie far beyond it.
const STEPS: [&str; 3] = ["poles", "mm²", "mA"];

/// The two lists of a boundary, which has `{at the limit -> just beyond}` in one cell.
fn sides(list: &str) -> Option<[String; 2]> {
    let (before, rest) = list.split_once('{')?;
    let (cell, after) = rest.split_once('}')?;
    let (at, beyond) = cell.split_once(" -> ")?;
    (!after.contains('{')).then(|| [at, beyond].map(|value| format!("{before}{value}{after}")))
}

/// Both lists of a boundary.
fn both_sides(id: &str, list: &str) -> Result<[String; 2], String> {
    sides(list).ok_or_else(|| format!("{id}: a boundary needs one cell {{at the limit -> just beyond}}:\n{list}"))
}

/// At the limit there is no finding, just beyond it there is one, and its figure lies within 1 % of the limit. Gives the
/// rule set and the limit.
fn boundary(id: &str, list: &str) -> Result<(RuleSet, f64), String> {
    let [at, beyond] = both_sides(id, list)?;
    let (installation, survey) = check(&at);
    let quiet = !survey.findings.iter().any(|f| f.rule == id)
        && !survey.not_checked.iter().any(|n| n.rule == id && !n.because.contains("by watts only"));
    if !quiet {
        return Err(format!("{id} is not quiet at its limit:\n{at}{}", describe(&installation, &survey)));
    }
    let (installation, survey) = check(&beyond);
    let found = survey.findings.iter().filter(|f| f.rule == id).find_map(|f| Some((f.figure?, f.limit?, f.unit)));
    let Some((figure, limit, unit)) = found else {
        return Err(format!("{id} has no figure beyond its limit:\n{beyond}{}", describe(&installation, &survey)));
    };
    let off = (figure - limit).abs() / limit.abs();
    if figure == limit || off > 0.01 && !STEPS.contains(&unit) {
        return Err(format!("{id}: {figure} {unit} is not just beyond {limit}:\n{beyond}"));
    }
    Ok((installation.rules, limit))
}

/// At the limit there is a finding, just beyond it a more severe one.
fn fault_at_severity(id: &str, list: &str) -> Result<(), String> {
    let [at, beyond] = both_sides(id, list)?.map(|list| {
        let found = check(&list).1.findings;
        found.iter().filter(|f| f.rule == id).map(|f| f.severity).max()
    });
    match (at, beyond) {
        (Some(at), Some(beyond)) if beyond > at => Ok(()),
        _ => Err(format!("{id} is {at:?} at the limit and {beyond:?} beyond it:\n{list}")),
    }
}

/// Further limits of rules with more than one, each with a boundary of its own.
const FURTHER: &[(&str, &[f64])] = &[
    ("volts-out-of-band", &[108.0, 132.0, 207.0, 253.0, 105.1, 124.9, 225.1, 239.9]),
    ("start-trips-breaker", &[15.3, 6.78]),
    ("breaker-far-from-source", &[0.1778, 1.016, 0.5]),
    ("small-conductor", &[15.0, 20.0, 30.0]),
    ("drop-own-source", &[6.0, 8.0]),
    ("drop-shore", &[3.0, 5.0]),
    ("wrong-voltage", &[144.0, 184.0]),
];

/// Rules whose severity has a limit of its own.
const SEVERITY: [&str; 2] = ["breaker-above-cable", "start-trips-breaker"];

/// Rules that compare figures and have no boundary under a rule set, and why.
const NO_BOUNDARY: &[(&str, RuleSet, &str)] = &[(
    "shore-leakage-missing",
    RuleSet::International,
    "protection comes in 5, 10 and 30 mA, all within 30 mA, or none; the distance of a transformer is a US limit",
)];

/// True where a rule compares a figure with a limit: by what its examples give, or by its code.
fn measures(info: &RuleInfo) -> bool {
    let code: String = info.file.lines().filter(|line| !line.starts_with("//")).collect();
    let called = |name: &str| code.match_indices(name).any(|(at, _)| !code[..at].ends_with('_'));
    ["above(", "below(", "measured("].into_iter().any(called)
        || lists(&info.explanation(), "Fires").iter().any(|list| {
            check(list).1.findings.iter().any(|f| f.rule == info.id && f.figure.is_some() && f.limit.is_some())
        })
}

#[test]
fn every_rule_with_a_figure_is_tried_on_both_sides_of_its_limit() {
    let mut faults = Vec::new();
    let mut tried = 0;
    for rule in rules() {
        let info = rule.info();
        let text = info.explanation();
        let mut sets = Vec::new();
        let mut limits = Vec::new();
        for list in lists(&text, "Boundary") {
            tried += 1;
            match boundary(info.id, &list) {
                Ok((set, limit)) => {
                    sets.push(set);
                    limits.push(limit);
                }
                Err(fault) => faults.push(fault),
            }
        }
        let graded = lists(&text, "Boundary of severity");
        faults.extend(graded.iter().filter_map(|list| fault_at_severity(info.id, list).err()));
        if SEVERITY.contains(&info.id) == graded.is_empty() {
            faults.push(format!("{}: {} boundaries of severity", info.id, graded.len()));
        }
        let measures = measures(info);
        for &set in info.sets {
            let excused = NO_BOUNDARY.iter().any(|&(id, of, _)| id == info.id && of == set);
            match (measures && !sets.contains(&set), excused) {
                (true, false) => {
                    faults.push(format!("{} has a limit and no boundary under the rule set {}", info.id, set.slug()));
                }
                (false, true) => faults.push(format!("{} needs no excuse under {}", info.id, set.slug())),
                _ => {}
            }
        }
        for wanted in FURTHER.iter().filter(|(id, _)| *id == info.id).flat_map(|(_, limits)| *limits) {
            if !limits.iter().any(|limit| (limit / wanted - 1.0).abs() < 1e-9) {
                faults.push(format!("{} has no boundary at {wanted}, only at {limits:?}", info.id));
            }
        }
    }
    assert!(faults.is_empty(), "{} faults:\n{}", faults.len(), faults.join("\n"));
    assert!(tried >= 100, "{tried} boundaries");
}

#[test]
fn rules_are_complete() {
    const HEADINGS: [&str; 6] =
        ["What it finds", "Why it matters", "Source of the limit", "Fires", "Must not fire", "Cure"];
    const NEVER: &[&str] = &["safe", "ok", "passed", "passes", "compliant", "dead", "de-energised", "approved"];
    let mut ids = BTreeSet::new();
    assert!(rules().len() >= 60, "{} rules", rules().len());
    for rule in rules() {
        let info = rule.info();
        assert!(ids.insert(info.id), "{} twice", info.id);
        assert!(info.id.bytes().all(|b| b.is_ascii_lowercase() || b.is_ascii_digit() || b == b'-'), "{}", info.id);
        assert!(!info.sets.is_empty() && !info.demand.is_empty() && !info.source.is_empty(), "{}", info.id);
        assert!(!info.cure.text().is_empty(), "{}: no cure and no reason", info.id);
        assert_eq!(hullwire::survey::rule(info.id).map(|r| r.info().id), Some(info.id));
        let text = info.explanation();
        for heading in HEADINGS {
            assert!(text.contains(&format!("# {heading}\n")), "{}: no heading {heading}", info.id);
        }
        let all = format!("{text} {} {} {}", info.demand, info.source, info.cure.text()).to_lowercase();
        for word in all.split(|c: char| !(c.is_alphanumeric() || c == '-')) {
            assert!(!NEVER.contains(&word), "{}: “{word}”", info.id);
        }
    }
}

fn part(installation: &mut Installation, kind: PartKind, tag: &str) -> hullwire::installation::PartId {
    installation.add_part(Part::new(kind, tag, Place::At(Point::default())))
}

fn fires(installation: &Installation, id: &str) -> bool {
    run(installation, &solve(installation, 0)).findings.iter().any(|f| f.rule == id)
}

#[test]
fn two_parts_with_one_tag_are_named() {
    let mut installation = Installation::new(System::TwoWire120);
    part(&mut installation, PartKind::Generator, "G1");
    assert!(!fires(&installation, "tag-duplicate"));
    part(&mut installation, PartKind::Panel, "G1");
    for set in [RuleSet::Us, RuleSet::International] {
        installation.rules = set;
        assert!(fires(&installation, "tag-duplicate"));
    }
}

#[test]
fn typical_figures_are_named_until_the_name_plate_is_read() {
    let mut installation = Installation::new(System::TwoWire230);
    let mut appliance = Part::new(PartKind::Appliance, "E1", Place::At(Point::default()));
    appliance.run_w = Some(100.0);
    appliance.origins.insert(Property::RunW, Origin::Typical);
    let id = installation.add_part(appliance.clone());
    for set in [RuleSet::Us, RuleSet::International] {
        installation.rules = set;
        assert!(fires(&installation, "figures-typical"));
    }
    appliance.origins.insert(Property::RunW, Origin::NamePlate);
    installation.parts.insert(id, std::sync::Arc::new(appliance));
    assert!(!fires(&installation, "figures-typical"));
}

#[test]
fn a_title_block_that_was_begun_is_asked_for_the_rest() {
    let mut installation = Installation::new(System::TwoWire120);
    assert!(!fires(&installation, "title-block-incomplete"));
    installation.title.title = "AC installation".to_owned();
    for set in [RuleSet::Us, RuleSet::International] {
        installation.rules = set;
        assert!(fires(&installation, "title-block-incomplete"));
    }
    let block = &mut installation.title;
    for field in [
        &mut block.legal_owner,
        &mut block.identification_number,
        &mut block.date_of_issue,
        &mut block.creator,
        &mut block.document_type,
    ] {
        *field = "stated".to_owned();
    }
    assert!(!fires(&installation, "title-block-incomplete"), "the approval is the electrician's to fill in");
}
