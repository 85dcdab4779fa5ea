//! Findings, what was not checked and the standing cautions, as text.

use super::found::Found;
use super::subject::count;
use super::text::{heading, paragraph, signalled};
use crate::installation::{Accepted, Installation, PartId};
use crate::survey::{Caution, Finding, Survey};
use std::collections::BTreeMap;

/// The counts of open findings in a sentence.
fn counted(found: &Found) -> String {
    let some: Vec<String> =
        found.counts().into_iter().filter(|(_, n)| *n > 0).map(|(s, n)| format!("{n} {}", s.word())).collect();
    if some.is_empty() { "No finding.".to_owned() } else { format!("Findings: {}.", some.join(", ")) }
}

fn tags(installation: &Installation, parts: &[PartId]) -> String {
    parts.iter().map(|id| installation.tag(*id)).collect::<Vec<_>>().join(", ")
}

/// Columns under a signal word.
const INDENT: usize = 9;

/// Every finding in full, what is accepted apart.
pub fn full(installation: &Installation, found: &Found) -> String {
    let mut out = heading(&counted(found));
    for (i, finding) in found.judged.open.iter().enumerate() {
        out += &one(installation, finding);
        out += &returned(installation, found, i);
    }
    out += &until_removed(found, |finding| one(installation, finding));
    if !found.judged.accepted.is_empty() {
        out += &heading("Accepted");
        for held in &found.judged.accepted {
            out += &one(installation, &held.finding);
            if let Some(accepted) = installation.accepted.get(held.index) {
                out += &paragraph(&words(accepted), INDENT);
            }
        }
    }
    if !found.judged.unmatched.is_empty() {
        out += &heading("Accepted, without such a finding now");
        for accepted in found.judged.unmatched.iter().filter_map(|&i| installation.accepted.get(i)) {
            let parts = tags(installation, &accepted.parts);
            let parts = if parts.is_empty() { String::new() } else { format!(" on {parts}") };
            out += &paragraph(&format!("{}{parts}. {}", accepted.rule, words(accepted)), 2);
        }
    }
    out
}

/// Who accepted a finding, and why.
fn words(accepted: &Accepted) -> String {
    let date = if accepted.date.is_empty() { String::new() } else { format!(", {}", accepted.date) };
    let stated = |text: &str| if text.trim().is_empty() { "not stated".to_owned() } else { text.to_owned() };
    format!("Accepted by {}{date}: {}", stated(&accepted.by), stated(&accepted.reason))
}

/// That a finding was accepted and is open again.
fn returned(installation: &Installation, found: &Found, index: usize) -> String {
    let again = found.judged.returned(index).and_then(|r| Some((r, installation.accepted.get(r.index)?)));
    again.map_or_else(String::new, |(r, accepted)| {
        paragraph(&format!("Open though accepted: {}. {}", r.because, words(accepted)), INDENT)
    })
}

/// What is wrong until what is to be removed is gone.
fn until_removed(found: &Found, show: impl Fn(&Finding) -> String) -> String {
    if found.until_removed.is_empty() {
        return String::new();
    }
    let head = "Until the work is done (what stands now; these do not set the exit status)";
    found.until_removed.iter().fold(heading(head), |out, finding| out + &show(finding))
}

fn one(installation: &Installation, finding: &Finding) -> String {
    let mut out = signalled(finding.severity, &finding.message);
    let parts = tags(installation, &finding.parts);
    let parts = if parts.is_empty() { String::new() } else { format!("{parts}; ") };
    let limit = finding
        .limit
        .map_or_else(String::new, |limit| format!("; limit {}", crate::units::quantity(limit, 3, finding.unit)));
    out += &paragraph(&format!("{parts}rule {}{limit}; source: {}", finding.rule, finding.source_words()), INDENT);
    if let Some(cure) = &finding.cure {
        out += &paragraph(&format!("Cure: {cure}"), INDENT);
    }
    out
}

/// One line a finding.
pub fn brief(installation: &Installation, found: &Found) -> String {
    let mut out = heading(&counted(found));
    for (i, finding) in found.judged.open.iter().enumerate() {
        out += &signalled(finding.severity, &finding.message);
        out += &returned(installation, found, i);
    }
    out += &until_removed(found, |finding| signalled(finding.severity, &finding.message));
    if !found.judged.accepted.is_empty() {
        out += &heading("Accepted");
        for held in &found.judged.accepted {
            out += &signalled(held.finding.severity, &held.finding.message);
        }
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
pub fn last_line(found: &Found) -> String {
    let (checks, held) = (found.survey.not_checked.len(), found.judged.accepted.len());
    let were = if checks == 1 { "was" } else { "were" };
    let are = if held == 1 { "is" } else { "are" };
    format!("\n{} {were} not made; {} {are} accepted.\n", count(checks, "check"), count(held, "finding"))
}
