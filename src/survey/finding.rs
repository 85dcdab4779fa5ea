//! What a rule reports.

use crate::installation::{CableId, PartId};
use crate::units::{Mark, Severity};

/// One result of the survey.
#[derive(Clone, Debug, PartialEq)]
pub struct Finding {
    /// Id of the rule.
    pub rule: &'static str,
    /// How bad.
    pub severity: Severity,
    /// The parts, the one at fault first.
    pub parts: Vec<PartId>,
    /// The cables, where it is about a cable.
    pub cables: Vec<CableId>,
    /// What, where, how much against how much: one or two sentences.
    pub message: String,
    /// The figure, where there is one.
    pub figure: Option<f64>,
    /// The limit, where there is one.
    pub limit: Option<f64>,
    /// Unit of both; empty where there is none.
    pub unit: &'static str,
    /// Standard and clause of the limit.
    pub source: String,
    /// How the limit was come by.
    pub mark: Mark,
    /// What other published sources ask for that disagree and are not used, each a sentence without its full stop.
    pub not_used: Vec<&'static str>,
    /// What would cure it, in words.
    pub cure: Option<String>,
}

impl Finding {
    /// With the figure, its limit and the unit of both.
    #[must_use]
    pub fn measured(mut self, figure: f64, limit: f64, unit: &'static str) -> Self {
        self.figure = Some(figure);
        self.limit = Some(limit);
        self.unit = unit;
        self
    }

    /// With a severity other than the rule's own.
    #[must_use]
    pub fn at(mut self, severity: Severity) -> Self {
        self.severity = severity;
        self
    }

    /// With the cables that it is about.
    #[must_use]
    pub fn on(mut self, cables: impl IntoIterator<Item = CableId>) -> Self {
        self.cables = cables.into_iter().collect();
        self
    }

    /// With a source and mark other than the rule's own.
    #[must_use]
    pub fn by(mut self, source: impl Into<String>, mark: Mark) -> Self {
        self.source = source.into();
        self.mark = mark;
        self
    }

    /// With another published source that disagrees and is not used.
    #[must_use]
    pub fn not_using(mut self, words: impl IntoIterator<Item = &'static str>) -> Self {
        self.not_used.extend(words);
        self
    }

    /// The source of the limit with its mark, and which others disagree and are not used: `33 CFR 183.455(c)(2) (read);
    /// ISO 13297:2020 13.1.5 lets no step up stand and is not used`.
    #[must_use]
    pub fn source_words(&self) -> String {
        let used = format!("{} ({})", self.source, self.mark.words());
        std::iter::once(used.as_str()).chain(self.not_used.iter().copied()).collect::<Vec<_>>().join("; ")
    }

    /// Without a cure: it is no fault.
    #[must_use]
    pub fn without_cure(mut self) -> Self {
        self.cure = None;
        self
    }

    /// With a cure that was worked out for this case; `None` leaves the rule's own.
    #[must_use]
    pub fn cured(mut self, cure: Option<String>) -> Self {
        if cure.is_some() {
            self.cure = cure;
        }
        self
    }
}

/// A check that could not be made. Silence would read as approval.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NotChecked {
    /// Id of the rule.
    pub rule: &'static str,
    /// The parts.
    pub parts: Vec<PartId>,
    /// What is missing.
    pub because: String,
}

/// The outcome of all rules, findings worst first.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Survey {
    /// Sorted by severity (worst first), then rule, then tag.
    pub findings: Vec<Finding>,
    /// Sorted by rule, then tag.
    pub not_checked: Vec<NotChecked>,
}

impl Survey {
    /// The worst severity among the findings; `None` where there is no finding.
    #[must_use]
    pub fn worst(&self) -> Option<Severity> {
        self.findings.iter().map(|f| f.severity).max()
    }

    /// How many findings have this severity.
    #[must_use]
    pub fn count(&self, severity: Severity) -> usize {
        self.findings.iter().filter(|f| f.severity == severity).count()
    }
}
