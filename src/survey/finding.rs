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
    /// What would cure it, in words.
    pub cure: Option<String>,
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
