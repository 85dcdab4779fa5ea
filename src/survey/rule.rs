//! What a rule is.

use super::context::Context;
use super::finding::Finding;
use super::report::Report;
use crate::installation::{Edit, PartId, RuleSet};
use crate::units::{Mark, Severity};

/// Both rule sets, for a rule that holds in each.
pub const BOTH: &[RuleSet] = &[RuleSet::Us, RuleSet::International];

/// What would cure a finding of a rule, or why the survey names no cure.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Cure {
    /// In words; a finding may carry a more exact one with figures.
    Words(&'static str),
    /// The reason why there is none to name.
    None(&'static str),
}

impl Cure {
    /// The cure, where there is one.
    #[must_use]
    pub const fn words(self) -> Option<&'static str> {
        match self {
            Self::Words(text) => Some(text),
            Self::None(_) => None,
        }
    }

    /// The cure, or the reason why there is none.
    #[must_use]
    pub const fn text(self) -> &'static str {
        match self {
            Self::Words(text) | Self::None(text) => text,
        }
    }
}

/// All that is fixed about a rule.
#[derive(Clone, Copy, Debug)]
pub struct RuleInfo {
    /// Named for the fault; never reused for another.
    pub id: &'static str,
    /// The worst that the rule reports.
    pub severity: Severity,
    /// The rule sets in which it holds.
    pub sets: &'static [RuleSet],
    /// What is asked for, in our own words.
    pub demand: &'static str,
    /// Standard and clause. Where it differs between rule sets, a finding names the one that was used.
    pub source: &'static str,
    /// How the limit was come by.
    pub mark: Mark,
    /// What would cure it.
    pub cure: Cure,
    /// True where nothing can be said without solved figures; not run then, and reported as not checked.
    pub needs_figures: bool,
    /// The text of the rule's own file, whose opening lines explain it. See [`RuleInfo::explanation`].
    pub file: &'static str,
}

impl RuleInfo {
    /// The rule sets in which it holds: the name of the one, or `both`.
    #[must_use]
    pub const fn sets_word(&self) -> &'static str {
        match self.sets {
            [one] => one.name(),
            _ => "both",
        }
    }

    /// What the rule finds, why it matters, where its limit comes from, an example that fires, one that must not, and
    /// the cure: the opening lines of the rule's own file, as Markdown.
    #[must_use]
    pub fn explanation(&self) -> String {
        let mut text = String::new();
        for line in self.file.lines().map_while(|line| line.strip_prefix("//!")) {
            text.push_str(line.strip_prefix(' ').unwrap_or(line));
            text.push('\n');
        }
        text
    }

    /// True where the rule holds in this rule set.
    #[must_use]
    pub fn holds_in(&self, set: RuleSet) -> bool {
        self.sets.contains(&set)
    }

    /// A finding of this rule about these parts, the one at fault first, with the rule's own severity, source, mark and
    /// cure.
    #[must_use]
    pub fn finding(&self, parts: impl IntoIterator<Item = PartId>, message: impl Into<String>) -> Finding {
        Finding {
            rule: self.id,
            severity: self.severity,
            parts: parts.into_iter().collect(),
            cables: Vec::new(),
            message: message.into(),
            figure: None,
            limit: None,
            unit: "",
            source: self.source.to_owned(),
            mark: self.mark,
            not_used: Vec::new(),
            cure: self.cure.words().map(str::to_owned),
        }
    }
}

/// One rule of the survey.
pub trait Rule: Sync {
    /// All that is fixed about it.
    fn info(&self) -> &'static RuleInfo;

    /// Looks at the installation and reports. Called only where the rule holds in the installation's rule set and, if it
    /// needs figures, where there are some.
    fn check(&self, cx: &Context<'_>, report: &mut Report);

    /// Whether the rule knows edits that may cure a finding; what cures the others is said in words.
    fn has_edits(&self) -> bool {
        false
    }

    /// Edits that may cure a finding of this rule, the smallest change first. Each is tried on a copy of the drawing
    /// before it is offered, see [`super::remedy`]. Earthing, bonding, transfer, ignition and carbon monoxide have none:
    /// they are for the electrician.
    fn edits(&self, cx: &Context<'_>, finding: &Finding) -> Vec<Edit> {
        let _ = (cx, finding);
        Vec::new()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_reason_why_there_is_no_cure_is_never_given_out_as_one() {
        assert_eq!((Cure::Words("Draw it.").words(), Cure::Words("Draw it.").text()), (Some("Draw it."), "Draw it."));
        assert_eq!(
            (Cure::None("It is no fault.").words(), Cure::None("It is no fault.").text()),
            (None, "It is no fault.")
        );
        for info in crate::survey::rules().iter().map(|rule| *rule.info()) {
            let none = RuleInfo { cure: Cure::None("It is no fault."), ..info };
            assert_eq!(none.finding([], "").cure, None, "{}", info.id);
            assert_eq!(info.finding([], "").cure.as_deref(), info.cure.words(), "{}", info.id);
        }
    }
}
