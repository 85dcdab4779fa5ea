//! Cures that can be applied: edits that were tried on a copy of the drawing and create nothing as bad.

use super::context::Context;
use super::finding::{Finding, Survey};
use super::run::{rule, run};
use crate::installation::{Edit, Installation, PartId, Property};
use crate::network::solve;
use crate::units::Severity;

/// A cure for one finding, as one undoable edit.
#[derive(Clone, Debug)]
pub struct Remedy {
    /// What changes: `cable to E5: 12 AWG in place of 14 AWG`.
    pub label: String,
    /// The change.
    pub edit: Edit,
    /// Never part of a list of cures that is confirmed at once: it raises a breaker.
    pub alone: bool,
    /// How many findings are left after it.
    pub findings_left: usize,
}

/// What tells one finding from another: the rule and the parts.
fn same(a: &Finding, b: &Finding) -> bool {
    a.rule == b.rule && a.parts.first() == b.parts.first() && a.cables == b.cables
}

/// True where `after` has a finding of this severity or worse that `before` did not have, or had less severe.
fn is_worse(before: &Survey, after: &Survey, severity: Severity) -> bool {
    after.findings.iter().filter(|f| f.severity >= severity).any(|new| {
        let old = before.findings.iter().filter(|old| same(old, new)).map(|old| old.severity).max();
        old.is_none_or(|old| old < new.severity)
    })
}

/// The survey of a drawing in one condition.
fn surveyed(installation: &Installation, condition: usize) -> Survey {
    run(installation, &solve(installation, condition))
}

/// How many checks were not made of the parts of a drawing; parts that a change added do not count.
fn not_made(survey: &Survey, of: &Installation) -> usize {
    survey.not_checked.iter().map(|n| n.parts.iter().filter(|p| of.parts.contains_key(p)).count()).sum()
}

/// The smallest change that makes a finding go away without creating another of the same or a higher severity, in this
/// condition or in any other of the drawing, and without a check that can no longer be made. `None` where the rule has no
/// such cure. Tries each candidate with a solve and a survey of a copy.
#[must_use]
pub fn remedy(installation: &Installation, condition: usize, finding: &Finding) -> Option<Remedy> {
    let rule = rule(finding.rule)?;
    let solution = solve(installation, condition);
    let planned = installation.planned();
    let cx = Context::new(&planned, &solution).within(installation);
    let candidates = rule.edits(&cx, finding);
    if candidates.is_empty() {
        return None;
    }
    let before = run(installation, &solution);
    let others: Vec<usize> = (0..installation.conditions.len()).filter(|&c| c != condition).collect();
    let mut before_others: Option<Vec<Survey>> = None;
    candidates.into_iter().find_map(|edit| {
        let changed = installation.apply(&edit).ok()?.installation;
        let after = surveyed(&changed, condition);
        let gone = !after.findings.iter().any(|f| same(f, finding));
        if !gone
            || not_made(&after, installation) > not_made(&before, installation)
            || is_worse(&before, &after, finding.severity)
        {
            return None;
        }
        let known = before_others.get_or_insert_with(|| others.iter().map(|&c| surveyed(installation, c)).collect());
        let elsewhere = others.iter().zip(known.iter()).all(|(&c, was)| {
            let is = surveyed(&changed, c);
            not_made(&is, installation) <= not_made(was, installation) && !is_worse(was, &is, finding.severity)
        });
        elsewhere.then(|| Remedy {
            label: label(&cx, &edit),
            alone: raises_breaker(&cx, &edit),
            findings_left: after.findings.len(),
            edit,
        })
    })
}

/// The cures for all findings of a survey that have one, in the order of the findings. Each is for the drawing as it is:
/// applied one after another they are to be asked for anew.
#[must_use]
pub fn remedies(installation: &Installation, condition: usize, survey: &Survey) -> Vec<(Finding, Remedy)> {
    let with = |f: &Finding| remedy(installation, condition, f).map(|r| (f.clone(), r));
    survey.findings.iter().filter_map(with).collect()
}

/// True for an edit that gives a breaker a higher rating.
fn raises_breaker(cx: &Context<'_>, edit: &Edit) -> bool {
    match edit {
        Edit::SetPart { parts, property: Property::RatingA, text, .. } => parts.iter().any(|&id| {
            let new: Option<f64> = text.parse().ok();
            new.zip(cx.part(id).and_then(|p| p.rating_a)).is_none_or(|(new, old)| new > old)
        }),
        _ => false,
    }
}

/// An edit in words.
fn label(cx: &Context<'_>, edit: &Edit) -> String {
    let name = |parts: &[PartId]| parts.first().map_or_else(String::new, |&p| cx.name(p));
    let unit = |property: Property, text: &str| crate::installation::with_unit(property, text);
    match edit {
        Edit::SetPart { parts, property, text, .. } => {
            let first = parts.first().copied();
            let old = match first.filter(|_| *property == Property::Leg) {
                Some(part) => cx.leg(part).slug().to_owned(),
                None => first.and_then(|p| cx.part(p)).map_or_else(String::new, |p| p.get(*property)),
            };
            let old = if old.is_empty() { "what was not stated".to_owned() } else { unit(*property, &old) };
            format!("{}: {} {} in place of {old}", name(parts), property.name(), unit(*property, text))
        }
        Edit::SetCable { cables, property, text, .. } => {
            let cable = cables.first().and_then(|&c| cx.cable(c));
            let to = cable.map_or_else(String::new, |c| cx.name(c.to));
            let old = cable.map_or_else(String::new, |c| c.data.get(*property));
            format!("cable to {to}: {} in place of {}", unit(*property, text), unit(*property, &old))
        }
        Edit::Many { label, .. } => label.clone(),
        _ => String::new(),
    }
}
