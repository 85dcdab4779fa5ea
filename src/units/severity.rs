//! The severity of a finding and the mark of a figure.

use std::fmt;

/// The signal words of ANSI Z535 / ISO 3864, worst first. `Ord` follows the hazard: `Notice < Caution < Warning < Danger`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Severity {
    /// Worth knowing; no hazard by itself.
    Notice,
    /// May lead to damage, a trip or minor injury.
    Caution,
    /// May lead to serious injury or fire.
    Warning,
    /// Will lead to serious injury, fire or death if not avoided.
    Danger,
}

impl Severity {
    /// All four, worst first.
    pub const ALL: [Self; 4] = [Self::Danger, Self::Warning, Self::Caution, Self::Notice];

    /// The signal word.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Notice => "NOTICE",
            Self::Caution => "CAUTION",
            Self::Warning => "WARNING",
            Self::Danger => "DANGER",
        }
    }
}

impl fmt::Display for Severity {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(self.word())
    }
}

/// How a published figure was come by.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Mark {
    /// Seen in print: a reprint, an annual code edition, or an article that quotes the clause.
    Read,
    /// Computed from a formula or table that the source names.
    Derived,
    /// From memory, not seen. Printed as "from memory".
    Memory,
    /// A fact of the trade that has no published source.
    CommonPractice,
}

impl Mark {
    /// The word used in files and JSON.
    #[must_use]
    pub const fn slug(self) -> &'static str {
        match self {
            Self::Read => "read",
            Self::Derived => "derived",
            Self::Memory => "memory",
            Self::CommonPractice => "common-practice",
        }
    }

    /// The words used on screen and on paper.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Read => "read",
            Self::Derived => "derived",
            Self::Memory => "from memory",
            Self::CommonPractice => "common practice, no source",
        }
    }

    /// The mark for a slug.
    #[must_use]
    pub fn from_slug(slug: &str) -> Option<Self> {
        [Self::Read, Self::Derived, Self::Memory, Self::CommonPractice].into_iter().find(|m| m.slug() == slug)
    }
}

#[cfg(test)]
mod tests {
    use super::Severity;

    #[test]
    fn signal_words_are_those_of_the_standard() {
        assert_eq!(Severity::ALL.map(Severity::word), ["DANGER", "WARNING", "CAUTION", "NOTICE"]);
        assert_eq!(format!("{:>8}", Severity::Danger), "  DANGER");
    }
}
