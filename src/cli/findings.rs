//! Findings, what was not checked and the standing cautions, as text.

use super::Status;
use super::subject::count;
use super::text::{heading, paragraph, signalled};
use crate::installation::{Installation, PartId};
use crate::survey::{Caution, Finding, Survey};
use crate::units::Severity;
use std::collections::BTreeMap;

/// The exit status that findings lead to.
pub fn status(survey: &Survey) -> Status {
    let worst = survey.findings.iter().map(|f| f.severity).max();
    if worst.is_some_and(|s| s >= Severity::Warning) { Status::Findings } else { Status::Clear }
}

/// How many findings of each severity, worst first.
pub fn counts(survey: &Survey) -> Vec<(Severity, usize)> {
    Severity::ALL.iter().map(|&s| (s, survey.findings.iter().filter(|f| f.severity == s).count())).collect()
}

/// The counts in a sentence.
pub fn counted(survey: &Survey) -> String {
    let some: Vec<String> =
        counts(survey).into_iter().filter(|(_, n)| *n > 0).map(|(s, n)| format!("{n} {}", s.word())).collect();
    if some.is_empty() { "No finding.".to_owned() } else { format!("Findings: {}.", some.join(", ")) }
}

fn tags(installation: &Installation, parts: &[PartId]) -> String {
    parts.iter().map(|id| installation.tag(*id)).collect::<Vec<_>>().join(", ")
}

/// Every finding in full.
pub fn full(installation: &Installation, survey: &Survey) -> String {
    let mut out = heading(&counted(survey));
    for finding in &survey.findings {
        out += &one(installation, finding);
    }
    out
}

fn one(installation: &Installation, finding: &Finding) -> String {
    const INDENT: usize = 9;
    let mut out = signalled(finding.severity, &finding.message);
    let parts = tags(installation, &finding.parts);
    let parts = if parts.is_empty() { String::new() } else { format!("{parts}; ") };
    let limit = finding.limit.map_or_else(String::new, |limit| {
        format!("; limit {} {}", crate::units::trimmed(limit, 3), finding.unit).trim_end().to_owned()
    });
    let source = format!("{} ({})", finding.source, finding.mark.words());
    out += &paragraph(&format!("{parts}rule {}{limit}; source: {source}", finding.rule), INDENT);
    if let Some(cure) = &finding.cure {
        out += &paragraph(&format!("Cure: {cure}"), INDENT);
    }
    out
}

/// One line a finding.
pub fn brief(survey: &Survey) -> String {
    let mut out = heading(&counted(survey));
    for finding in &survey.findings {
        out += &signalled(finding.severity, &finding.message);
    }
    out
}

/// What was not checked, by rule and reason.
pub fn not_checked(installation: &Installation, survey: &Survey) -> String {
    if survey.not_checked.is_empty() {
        return String::new();
    }
    let mut grouped: BTreeMap<(&str, &str), Vec<PartId>> = BTreeMap::new();
    for check in &survey.not_checked {
        grouped.entry((check.rule, check.because.as_str())).or_default().extend(&check.parts);
    }
    let mut out = heading("Not checked");
    for ((rule, because), mut parts) in grouped {
        parts.dedup();
        let parts = tags(installation, &parts);
        let parts = if parts.is_empty() { String::new() } else { format!(" ({parts})") };
        out += &paragraph(&format!("{rule}: {because}{parts}"), 2);
    }
    out
}

/// The standing cautions.
pub fn cautions(cautions: &[Caution]) -> String {
    let mut out = heading("Cautions");
    for caution in cautions {
        let text = format!("{} {} {}", caution.hazard, caution.consequence, caution.avoid);
        out += &signalled(caution.severity, &text);
    }
    out
}

/// The last line of an answer.
pub fn last_line(survey: &Survey) -> String {
    let checks = survey.not_checked.len();
    let were = if checks == 1 { "was" } else { "were" };
    format!("\n{} {were} not made; 0 findings are accepted.\n", count(checks, "check"))
}
