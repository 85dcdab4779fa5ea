//! Where rules put what they find, and what they could not check.

use super::clash::clash;
use super::finding::{Finding, NotChecked, Survey};
use super::rule::RuleInfo;
use crate::installation::{Installation, PartId, natural};
use std::collections::BTreeMap;

/// Collects findings and checks that could not be made. The latter are gathered by rule and reason, so that one missing
/// value of a large drawing is one line and not hundreds.
#[derive(Debug, Default)]
pub struct Report {
    findings: Vec<Finding>,
    not_checked: BTreeMap<(&'static str, String), Vec<PartId>>,
}

impl Report {
    /// Adds a finding.
    pub fn add(&mut self, finding: Finding) {
        self.findings.push(finding);
    }

    /// Says that a rule could not check a part, and what is missing: the end of a sentence that starts with "not
    /// checked, because".
    pub fn not_checked(
        &mut self,
        rule: &RuleInfo,
        parts: impl IntoIterator<Item = PartId>,
        because: impl Into<String>,
    ) {
        self.not_checked.entry((rule.id, because.into())).or_default().extend(parts);
    }

    /// Takes over what another report holds.
    pub(super) fn take(&mut self, other: &Self) {
        self.findings.extend_from_slice(&other.findings);
        for (why, parts) in &other.not_checked {
            self.not_checked.entry(why.clone()).or_default().extend_from_slice(parts);
        }
    }

    /// Everything in its order: findings worst first, then by rule and tag; what was not checked by rule and tag.
    #[must_use]
    pub fn into_survey(self, installation: &Installation) -> Survey {
        let tag = |parts: &[PartId]| parts.first().map_or("", |&p| installation.tag(p)).to_owned();
        let mut findings = self.findings;
        for finding in &mut findings {
            finding.not_used.extend(clash(finding.rule, installation.rules));
        }
        findings.sort_by_cached_key(|f| (std::cmp::Reverse(f.severity), f.rule, natural(&tag(&f.parts))));
        let mut not_checked: Vec<NotChecked> = self
            .not_checked
            .into_iter()
            .map(|((rule, because), mut parts)| {
                parts.sort_by_cached_key(|&p| (natural(installation.tag(p)), p));
                parts.dedup();
                NotChecked { rule, parts, because }
            })
            .collect();
        not_checked.sort_by_cached_key(|n| (n.rule, natural(&tag(&n.parts)), n.because.clone()));
        Survey { findings, not_checked }
    }
}
