//! Cures that can be applied: edits that were tried on a copy of the drawing and create nothing as bad.

use super::context::Context;
use super::finding::{Finding, Survey};
use super::run::{Surveyor, rule};
use crate::installation::{CableId, Edit, Installation, PartId, PartKind, Property};
use crate::network::{Solver, solve};
use crate::units::Severity;
use std::collections::BTreeMap;

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

/// How many checks were not made of the parts of a drawing; parts that a change added do not count.
fn not_made(survey: &Survey, of: &Installation) -> usize {
    survey.not_checked.iter().map(|n| n.parts.iter().filter(|p| of.parts.contains_key(p)).count()).sum()
}

/// What tells one finding from another: the rule, the first part and the cables.
type Identity = (&'static str, Option<PartId>, Vec<CableId>);

fn identity(finding: &Finding) -> Identity {
    (finding.rule, finding.parts.first().copied(), finding.cables.clone())
}

/// What was found before a change.
struct Known {
    /// How severe each finding is.
    severities: BTreeMap<Identity, Severity>,
    not_made: usize,
}

impl Known {
    fn of(survey: &Survey, installation: &Installation) -> Self {
        let mut severities: BTreeMap<Identity, Severity> = BTreeMap::new();
        for f in &survey.findings {
            let known = severities.entry(identity(f)).or_insert(f.severity);
            *known = f.severity.max(*known);
        }
        Self { severities, not_made: not_made(survey, installation) }
    }

    /// True where `after` has a finding of this severity or worse that was not there or was less severe, or where fewer
    /// checks could be made.
    fn is_worsened_by(&self, after: &Survey, severity: Severity, installation: &Installation) -> bool {
        let is_new = |f: &Finding| self.severities.get(&identity(f)).is_none_or(|old| *old < f.severity);
        after.findings.iter().any(|f| f.severity >= severity && is_new(f))
            || not_made(after, installation) > self.not_made
    }
}

/// One condition of a drawing in which changes are tried one after another; what none of them reaches is solved and
/// surveyed once.
#[derive(Default)]
struct Bench {
    solver: Solver,
    surveyor: Surveyor,
    known: Option<Known>,
}

impl Bench {
    fn survey(&mut self, installation: &Installation, condition: usize) -> Survey {
        let solution = self.solver.solve(installation, condition);
        self.surveyor.survey(installation, &solution)
    }

    /// The survey of a changed drawing, and whether it is worse than that of the drawing.
    fn tried(
        &mut self,
        (installation, changed): (&Installation, &Installation),
        condition: usize,
        severity: Severity,
    ) -> (Survey, bool) {
        let known = match self.known.take() {
            Some(known) => known,
            None => Known::of(&self.survey(installation, condition), installation),
        };
        let after = self.survey(changed, condition);
        let worse = known.is_worsened_by(&after, severity, installation);
        self.known = Some(known);
        (after, worse)
    }
}

/// Tries cures on copies of a drawing.
pub(super) struct Trials<'a> {
    cx: &'a Context<'a>,
    /// With one condition more where something is switched off: the same with every appliance on. What is off today is not
    /// left to trip tomorrow.
    installation: Installation,
    condition: usize,
    /// One a condition.
    benches: Vec<Bench>,
}

impl<'a> Trials<'a> {
    fn new(cx: &'a Context<'a>, installation: &'a Installation, condition: usize) -> Self {
        let mut installation = installation.clone();
        let appliance = |id: &PartId| installation.parts.get(id).is_some_and(|p| p.kind == PartKind::Appliance);
        if let Some(now) = installation.conditions.get(condition)
            && now.off.iter().any(appliance)
        {
            let mut all_on = now.clone();
            all_on.off.retain(|id| !appliance(id));
            installation.conditions.push(all_on);
        }
        let count = installation.conditions.len().max(condition + 1);
        Self { cx, installation, condition, benches: (0..count).map(|_| Bench::default()).collect() }
    }

    /// The smallest change that cures a finding; else why there is none, for the person who is told that it is for the
    /// electrician.
    pub(super) fn remedy(&mut self, finding: &Finding) -> Result<Remedy, &'static str> {
        let rule = rule(finding.rule).ok_or("the rule is not known")?;
        let edits = rule.edits(self.cx, finding);
        if edits.is_empty() {
            return Err("no change of a single value in the drawing cures it");
        }
        let mut why = "no single change that was tried cures it";
        for edit in edits {
            let Ok(changed) = self.installation.apply(&edit) else { continue };
            match self.tried(finding, &changed.installation) {
                Tried::Stays => {}
                Tried::Worse => {
                    why = "what cures it creates another finding that is as severe, or leaves a check that can no longer be made";
                }
                Tried::Cures { findings_left } => {
                    let (label, alone) = (label(self.cx, &edit), raises_breaker(self.cx, &edit));
                    return Ok(Remedy { label, edit, alone, findings_left });
                }
            }
        }
        Err(why)
    }

    fn tried(&mut self, finding: &Finding, changed: &Installation) -> Tried {
        let (both, severity) = ((&self.installation, changed), finding.severity);
        let Some(here) = self.benches.get_mut(self.condition) else { return Tried::Stays };
        let (after, worse) = here.tried(both, self.condition, severity);
        if after.findings.iter().any(|f| identity(f) == identity(finding)) {
            return Tried::Stays;
        }
        let others = self.benches.iter_mut().enumerate().filter(|(c, _)| *c != self.condition);
        if worse || others.into_iter().any(|(c, bench)| bench.tried(both, c, severity).1) {
            return Tried::Worse;
        }
        Tried::Cures { findings_left: after.findings.len() }
    }
}

/// What became of a finding.
enum Tried {
    /// It is still there.
    Stays,
    /// It is gone, but something else is worse, here or in another condition.
    Worse,
    /// It is gone, and nothing is worse.
    Cures { findings_left: usize },
}

/// The smallest change that makes a finding go away without creating another of the same or a higher severity, in this
/// condition, in any other of the drawing or with every appliance switched on, and without a check that can no longer be
/// made. `None` where the rule has no such cure. Tries each candidate with a solve and a survey of a copy.
#[must_use]
pub fn remedy(installation: &Installation, condition: usize, finding: &Finding) -> Option<Remedy> {
    with_trials(installation, condition, |trials| trials.remedy(finding).ok())
}

/// The cures for all findings of a survey that have one, in the order of the findings. Each is for the drawing as it is:
/// applied one after another they are to be asked for anew.
#[must_use]
pub fn remedies(installation: &Installation, condition: usize, survey: &Survey) -> Vec<(Finding, Remedy)> {
    with_trials(installation, condition, |trials| {
        let with = |f: &Finding| Some((f.clone(), trials.remedy(f).ok()?));
        survey.findings.iter().filter_map(with).collect()
    })
}

/// Gives what tries cures of the findings of one condition.
pub(super) fn with_trials<T>(
    installation: &Installation,
    condition: usize,
    what: impl FnOnce(&mut Trials<'_>) -> T,
) -> T {
    let solution = solve(installation, condition);
    let planned = installation.planned();
    let cx = Context::new(&planned, &solution).within(installation);
    what(&mut Trials::new(&cx, installation, condition))
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::store::list::boat;
    use crate::survey::run;

    fn why(list: &str, rule: &str) -> &'static str {
        let boat = boat(list);
        let found = run(&boat, &solve(&boat, 0)).findings.into_iter().find(|f| f.rule == rule).unwrap();
        with_trials(&boat, 0, |trials| trials.remedy(&found)).unwrap_err()
    }

    #[test]
    fn why_no_cure_is_offered_tells_what_was_tried() {
        let list = |awg: &str, metres: &str| {
            format!(
                "# system: 120V60Hz\ntag,kind,fed_from,rating_a,run_w,load_kind,conductor,length_m,insulation_c\nG1,generator,,,9000,,,,\n\
                 A1,panel,G1,,,,none,,\nQ1,breaker,A1,15,,,none,,\nE1,appliance,Q1,,1200,impedance,{awg},{metres},105\n"
            )
        };
        assert_eq!(why(&list("4/0 AWG", "4000"), "drop-branch"), "no change of a single value in the drawing cures it");
        assert_eq!(why(&list("14 AWG", "4000"), "drop-branch"), "no single change that was tried cures it");
    }
}
