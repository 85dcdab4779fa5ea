//! What can be done about a finding at once: the change with what it does to the figures, or why there is none to offer;
//! and the list of changes for several findings.

use super::cure::{Remedy, remedy, with_trials};
use super::effect::{Effect, effects};
use super::finding::{Finding, Survey};
use super::run::run;
use super::words;
use crate::installation::{Edit, Installation};
use crate::network::solve;

/// What a person can have done about a finding.
#[derive(Clone, Debug)]
pub enum Offer {
    /// A change that was tried, with the figures that it moves.
    Change(Box<Remedy>, Vec<Effect>),
    /// It is for the electrician; why no change is offered.
    Electrician(String),
}

/// Works out what can be done about findings of the survey of this condition, one after the other, and tells `each` of
/// them with its place in the list; ends where it says no. Solves and surveys a copy of the drawing for each change that is
/// tried, as far as the change reaches.
pub fn offers(
    installation: &Installation,
    condition: usize,
    findings: &[Finding],
    mut each: impl FnMut(usize, Offer) -> bool,
) {
    with_trials(installation, condition, |trials| {
        for (n, finding) in findings.iter().enumerate() {
            let offer = match trials.remedy(finding) {
                Ok(remedy) => {
                    let effects = effects(installation, condition, finding, &remedy);
                    Offer::Change(Box::new(remedy), effects)
                }
                Err(why) => Offer::Electrician(why.to_owned()),
            };
            if !each(n, offer) {
                return;
            }
        }
    });
}

/// One step of a list of cures.
#[derive(Clone, Debug)]
pub struct Step {
    /// The finding that it cures.
    pub finding: Finding,
    /// The change, for the drawing as the steps before it leave it.
    pub remedy: Remedy,
}

/// A list of cures that is confirmed at once.
#[derive(Clone, Debug, Default)]
pub struct Plan {
    /// In the order in which they are applied.
    pub steps: Vec<Step>,
    /// How many findings there are before the first.
    pub findings_before: usize,
    /// How many are left after the last.
    pub findings_after: usize,
}

impl Plan {
    /// All steps as one edit; `None` where there is none.
    #[must_use]
    pub fn edit(&self) -> Option<Edit> {
        let edits: Vec<Edit> = self.steps.iter().map(|step| step.remedy.edit.clone()).collect();
        let label = format!("cure of {}", words::count(edits.len(), "finding", "findings"));
        (!edits.is_empty()).then_some(Edit::Many { label, edits })
    }
}

/// Cures for the findings of a survey that `wanted` names, one after the other, each tried on the drawing that those
/// before it leave. What may not be part of a list, such as a breaker that is raised, is left out. Stops where `go_on`
/// says no, and gives `None` then.
#[must_use]
pub fn plan(
    installation: &Installation,
    condition: usize,
    survey: &Survey,
    wanted: &dyn Fn(&Finding) -> bool,
    go_on: &dyn Fn() -> bool,
) -> Option<Plan> {
    let mut now = installation.clone();
    let mut plan =
        Plan { steps: Vec::new(), findings_before: survey.findings.len(), findings_after: survey.findings.len() };
    for finding in survey.findings.iter().filter(|f| wanted(f)) {
        if !go_on() {
            return None;
        }
        let current = run(&now, &solve(&now, condition));
        let same = |f: &&Finding| f.rule == finding.rule && f.parts.first() == finding.parts.first();
        // A change for another finding may have cured this one as well.
        let Some(same) = current.findings.iter().filter(same).find(|f| f.cables == finding.cables) else { continue };
        let Some(remedy) = remedy(&now, condition, same).filter(|r| !r.alone) else { continue };
        let Ok(edited) = now.apply(&remedy.edit) else { continue };
        now = edited.installation;
        plan.findings_after = remedy.findings_left;
        plan.steps.push(Step { finding: finding.clone(), remedy });
    }
    Some(plan)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_plan_without_steps_is_no_edit() {
        assert_eq!(Plan::default().edit(), None);
    }
}
