//! The supply system, the rule set and the resistance basis.

use serde::{Deserialize, Serialize};

macro_rules! slugs {
    ($name:ty { $($variant:ident => $slug:literal),+ $(,)? }) => {
        impl $name {
            /// All values, in the order in which they are offered.
            pub const ALL: &'static [Self] = &[$(Self::$variant),+];

            /// The word used in files.
            #[must_use]
            pub const fn slug(self) -> &'static str {
                match self { $(Self::$variant => $slug),+ }
            }

            /// The value for a word, if it is one.
            #[must_use]
            pub fn from_slug(text: &str) -> Option<Self> {
                Self::ALL.iter().copied().find(|v| v.slug() == text)
            }
        }
    };
}
pub(super) use slugs;

/// The systems that can be computed.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub enum System {
    /// 120 V 60 Hz, two-wire: line and neutral.
    #[default]
    #[serde(rename = "120V60Hz")]
    TwoWire120,
    /// 120/240 V 60 Hz, split-phase, three-wire: two lines in opposition and a shared neutral.
    #[serde(rename = "120/240V60Hz")]
    SplitPhase,
    /// 230 V 50 Hz, two-wire.
    #[serde(rename = "230V50Hz")]
    TwoWire230,
}
slugs!(System { TwoWire120 => "120V60Hz", SplitPhase => "120/240V60Hz", TwoWire230 => "230V50Hz" });

impl System {
    /// Nominal volts, line to neutral.
    #[must_use]
    pub const fn nominal_v(self) -> f64 {
        match self {
            Self::TwoWire120 | Self::SplitPhase => 120.0,
            Self::TwoWire230 => 230.0,
        }
    }

    /// Frequency in hertz.
    #[must_use]
    pub const fn frequency_hz(self) -> f64 {
        match self {
            Self::TwoWire120 | Self::SplitPhase => 60.0,
            Self::TwoWire230 => 50.0,
        }
    }

    /// True for the three-wire system.
    #[must_use]
    pub const fn is_split_phase(self) -> bool {
        matches!(self, Self::SplitPhase)
    }

    /// The rule set that is taken where none is chosen.
    #[must_use]
    pub const fn usual_rules(self) -> RuleSet {
        match self {
            Self::TwoWire120 | Self::SplitPhase => RuleSet::Us,
            Self::TwoWire230 => RuleSet::International,
        }
    }

    /// The name on screen and paper.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::TwoWire120 => "120 V 60 Hz, two-wire",
            Self::SplitPhase => "120/240 V 60 Hz, split-phase, three-wire",
            Self::TwoWire230 => "230 V 50 Hz, two-wire",
        }
    }
}

/// Which published rules the survey holds the installation against.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum RuleSet {
    /// 33 CFR 183 subpart I, 46 CFR where it applies, NEC figures as information.
    #[default]
    Us,
    /// ISO 13297 and IEC 60364 as far as known; from memory unless read.
    International,
}
slugs!(RuleSet { Us => "us", International => "international" });

impl RuleSet {
    /// Name for people.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Us => "US",
            Self::International => "international",
        }
    }
}

/// Where conductor resistance comes from.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum ResistanceBasis {
    /// Published tables for stranded, coated conductors.
    #[default]
    Published,
    /// The gauge law and the resistivity of solid annealed copper, no reactance.
    Formula,
}
slugs!(ResistanceBasis { Published => "published", Formula => "formula" });
