//! Accepted findings set apart from open ones, and when an accepted finding comes back.

use super::finding::{Finding, Survey};
use super::run::run;
use crate::installation::{Accepted, Installation};
use crate::network::solve;
use crate::units::{Severity, above, below, trimmed};

/// A finding that a person accepted.
#[derive(Clone, Debug, PartialEq)]
pub struct AcceptedFinding {
    /// The finding as it is now.
    pub finding: Finding,
    /// Index in [`Installation::accepted`]: the reason, the name, the date, the figure that was accepted.
    pub index: usize,
}

/// A finding that was accepted and is open all the same.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Returned {
    /// Index in [`Judged::open`].
    pub finding: usize,
    /// Index in [`Installation::accepted`].
    pub index: usize,
    /// Why, as the end of a sentence: `the figure was 5.5 % and is 6.2 %`.
    pub because: String,
}

/// The findings of a survey, those that are accepted set apart.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Judged {
    /// What is open, in the order of the survey.
    pub open: Vec<Finding>,
    /// What is accepted, in the order of the survey.
    pub accepted: Vec<AcceptedFinding>,
    /// What was accepted and is open again.
    pub returned: Vec<Returned>,
    /// Indices of acceptances that no finding answers to: it is cured, belongs to another operating condition, or its
    /// part was deleted.
    pub unmatched: Vec<usize>,
}

impl Judged {
    /// The worst severity among the open findings; `None` where there is none.
    #[must_use]
    pub fn worst(&self) -> Option<Severity> {
        self.open.iter().map(|f| f.severity).max()
    }

    /// How many open findings have this severity.
    #[must_use]
    pub fn count(&self, severity: Severity) -> usize {
        self.open.iter().filter(|f| f.severity == severity).count()
    }

    /// Why an open finding, by its index, was accepted and is open again.
    #[must_use]
    pub fn returned(&self, finding: usize) -> Option<&Returned> {
        self.returned.iter().find(|r| r.finding == finding)
    }
}

/// Sets accepted findings apart. An acceptance holds for a finding of the same rule about the same parts and cables, in
/// any order. DANGER stays open whatever a file says; so does a finding that has become more severe, and one whose figure
/// is worse than the one that was accepted by more than 1e-9 of it: further from its limit, or no longer known.
#[must_use]
pub fn judge(installation: &Installation, survey: &Survey) -> Judged {
    let mut judged = Judged::default();
    let mut answered = vec![false; installation.accepted.len()];
    for finding in &survey.findings {
        let found = installation
            .accepted
            .iter()
            .enumerate()
            .filter(|(_, a)| a.is_about(finding.rule, &finding.parts, &finding.cables))
            .map(|(index, accepted)| (index, why_open(accepted, finding)))
            .min_by_key(|(_, why)| why.is_some());
        if let Some((index, _)) = &found {
            answered[*index] = true;
        }
        match found {
            Some((index, None)) => judged.accepted.push(AcceptedFinding { finding: finding.clone(), index }),
            other => {
                if let Some((index, Some(because))) = other {
                    judged.returned.push(Returned { finding: judged.open.len(), index, because });
                }
                judged.open.push(finding.clone());
            }
        }
    }
    let about_same = |index: usize| {
        let one = &installation.accepted[index];
        let same = |(i, other): (usize, &Accepted)| answered[i] && other.is_about(&one.rule, &one.parts, &one.cables);
        installation.accepted.iter().enumerate().any(same)
    };
    judged.unmatched = (0..answered.len()).filter(|&i| !answered[i] && !about_same(i)).collect();
    judged
}

/// Why a finding is open though it was accepted; `None` where it is accepted.
fn why_open(accepted: &Accepted, finding: &Finding) -> Option<String> {
    if finding.severity == Severity::Danger {
        return Some("DANGER cannot be accepted".to_owned());
    }
    if let Some(was) = accepted.severity.filter(|&was| finding.severity > was) {
        return Some(format!("it was {was} and is {}", finding.severity));
    }
    let show = |value: f64| format!("{} {}", trimmed(value, 3), finding.unit).trim_end().to_owned();
    match (accepted.figure, finding.figure) {
        (None, None) => None,
        (None, Some(now)) => Some(format!("it was accepted without a figure, which is now {}", show(now))),
        (Some(was), None) => Some(format!("the figure was {} and is not known now", show(was))),
        (Some(was), Some(now)) => {
            let worse = match finding.limit {
                Some(limit) if now > limit && was >= limit => above(now, was),
                Some(limit) if now < limit && was <= limit => below(now, was),
                // On the other side of the limit than it was, or no limit that says which way is worse.
                _ => above(now, was) || below(now, was),
            };
            worse.then(|| format!("the figure was {} and is {}", show(was), show(now)))
        }
    }
}

impl Finding {
    /// What accepting this finding as it is now puts into the document.
    #[must_use]
    pub fn acceptance(&self, reason: &str, by: &str, date: &str) -> Accepted {
        Accepted {
            rule: self.rule.to_owned(),
            parts: self.parts.clone(),
            cables: self.cables.clone(),
            severity: Some(self.severity),
            reason: reason.to_owned(),
            by: by.to_owned(),
            date: date.to_owned(),
            figure: self.figure.filter(|f| f.is_finite()),
            extra: Default::default(),
        }
    }
}

/// What is wrong until what is to be removed is gone: findings above NOTICE of the installation as it stands
/// ([`Installation::as_is`]) that the survey of the installation as it will be does not have. Empty where nothing is to be
/// removed. Takes a solve and a survey of its own.
#[must_use]
pub fn until_removed(installation: &Installation, condition: usize, planned: &Survey) -> Vec<Finding> {
    if !installation.has_removals() {
        return Vec::new();
    }
    let now = installation.as_is();
    let mut findings = judge(&now, &run(&now, &solve(&now, condition))).open;
    let same = |a: &Finding, b: &Finding| a.rule == b.rule && a.parts == b.parts && a.cables == b.cables;
    findings.retain(|f| f.severity > Severity::Notice && !planned.findings.iter().any(|p| same(f, p)));
    findings
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::store::list::boat;

    /// Breakers of 10 A: 15 A on the first now and later; on the second until what draws half of it is gone.
    #[test]
    fn until_a_removal_is_done_only_what_it_cures_is_wrong_besides() {
        let boat = boat(
            "# system: 120V60Hz\ntag,kind,fed_from,rating_a,run_w,conductor,status\nG1,generator,,,9000,,\n\
             A1,panel,G1,,,none,\nQ1,breaker,A1,10,,none,\nE1,appliance,Q1,,1800,none,\n\
             Q2,breaker,A1,10,,none,\nE2,appliance,Q2,,900,none,\nE3,appliance,Q2,,900,none,remove\n",
        );
        let planned = run(&boat, &solve(&boat, 0));
        let overloads = |findings: &[Finding]| -> Vec<String> {
            let all = findings.iter().filter(|f| f.rule == "breaker-overload");
            all.map(|f| boat.tag(f.parts[0]).to_owned()).collect()
        };
        assert_eq!(overloads(&planned.findings), ["Q1"]);
        assert_eq!(overloads(&until_removed(&boat, 0, &planned)), ["Q2"]);
    }
}
