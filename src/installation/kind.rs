//! The kinds of part: one row each in [`PartKind::info`] is all that the document knows of a kind.

use super::property::Property as P;
use super::system::slugs;
use serde::{Deserialize, Serialize};

/// What a part is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
#[expect(missing_docs, reason = "the trade's own words, explained in the README")]
pub enum PartKind {
    ShoreInlet,
    Generator,
    Inverter,
    Selector,
    Panel,
    Breaker,
    Outlet,
    Appliance,
    IsolationTransformer,
    GalvanicIsolator,
    PolarityIndicator,
    Junction,
}
slugs!(PartKind {
    ShoreInlet => "shore-inlet", Generator => "generator", Inverter => "inverter", Selector => "selector", Panel => "panel",
    Breaker => "breaker", Outlet => "outlet", Appliance => "appliance", IsolationTransformer => "isolation-transformer",
    GalvanicIsolator => "galvanic-isolator", PolarityIndicator => "polarity-indicator", Junction => "junction",
});

/// How many cables may feed a part of a kind.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Feeds {
    /// None: a source that takes no input.
    None,
    /// At most one.
    One,
    /// Several, of which one is chosen.
    Many,
}

/// What the document knows of a kind.
#[derive(Clone, Copy, Debug)]
pub struct KindInfo {
    /// Name on screen and paper, lower case.
    pub name: &'static str,
    /// Letter of the tag, classes of IEC 81346-2. An appliance takes M where its load is a motor.
    pub letter: char,
    /// How many cables may feed it.
    pub feeds: Feeds,
    /// False for parts that end a branch.
    pub feeds_others: bool,
    /// Properties that apply, besides tag and label and the cable's own, in the order in which they are edited.
    pub properties: &'static [P],
}

impl PartKind {
    /// The one row that the document knows of this kind.
    #[must_use]
    pub const fn info(self) -> KindInfo {
        let (name, letter, feeds, feeds_others, properties): (_, _, _, _, &'static [P]) = match self {
            Self::ShoreInlet => (
                "shore inlet",
                'X',
                Feeds::None,
                true,
                &[
                    P::RatingA,
                    P::Volts,
                    P::RunW,
                    P::Protection,
                    P::Poles,
                    P::Trip,
                    P::Leg,
                    P::Bonded,
                    P::Conductor,
                    P::LengthM,
                    P::InsulationC,
                    P::Bundled,
                    P::Sheathed,
                    P::Through,
                ],
            ),
            Self::Generator => (
                "generator",
                'G',
                Feeds::None,
                true,
                &[
                    P::RunW,
                    P::StartW,
                    P::StartVa,
                    P::RatingA,
                    P::Volts,
                    P::Pf,
                    P::Portable,
                    P::Bonded,
                    P::Fuel,
                    P::TankL,
                    P::FuelCurve,
                    P::Protection,
                    P::Poles,
                    P::Trip,
                    P::Leg,
                    P::FuelAboardL,
                    P::ReserveL,
                    P::Mode,
                    P::FuelCurveConstant,
                    P::HoursRun,
                    P::HoursDate,
                    P::ServiceAtH,
                    P::SizeMm,
                    P::AirGapMm,
                    P::ExhaustGapMm,
                    P::Turns,
                    P::WeightKg,
                    P::NoiseDb,
                    P::NoiseM,
                ],
            ),
            Self::Inverter => (
                "inverter",
                'T',
                Feeds::One,
                true,
                &[
                    P::RunW,
                    P::StartW,
                    P::StartVa,
                    P::ChargeW,
                    P::RatingA,
                    P::Volts,
                    P::Pf,
                    P::Bonded,
                    P::Protection,
                    P::Poles,
                    P::Trip,
                    P::Leg,
                    P::BatteryAh,
                    P::BatteryV,
                    P::BatteryKwh,
                    P::BatteryUsable,
                    P::Efficiency,
                    P::SizeMm,
                    P::AirGapMm,
                    P::Turns,
                    P::WeightKg,
                    P::NoiseDb,
                    P::NoiseM,
                ],
            ),
            Self::Selector => {
                ("source selector", 'Q', Feeds::Many, true, &[P::RatingA, P::Poles, P::Protection, P::Leg])
            }
            Self::Panel => ("panel", 'A', Feeds::One, true, &[P::RatingA, P::Leg]),
            Self::Breaker => (
                "breaker",
                'Q',
                Feeds::One,
                true,
                &[P::RatingA, P::Poles, P::Trip, P::InterruptingKa, P::Protection, P::Leg],
            ),
            Self::Outlet => ("outlet", 'X', Feeds::One, true, &[P::RatingA, P::Protection, P::Leg]),
            Self::Appliance => (
                "appliance",
                'E',
                Feeds::One,
                false,
                &[
                    P::RunW,
                    P::StartW,
                    P::StartVa,
                    P::StartS,
                    P::VoltsMin,
                    P::VoltsMax,
                    P::Hz,
                    P::Pf,
                    P::LoadKind,
                    P::Cycles,
                    P::Continuous,
                    P::Lighting,
                    P::Duty,
                    P::MustRun,
                    P::Protection,
                    P::Leg,
                ],
            ),
            Self::IsolationTransformer => {
                ("isolation transformer", 'T', Feeds::One, true, &[P::Volts, P::RatingA, P::Bonded, P::Leg])
            }
            Self::GalvanicIsolator => ("galvanic isolator", 'R', Feeds::One, true, &[P::RatingA, P::Leg]),
            Self::PolarityIndicator => ("polarity indicator", 'P', Feeds::One, false, &[P::Leg]),
            Self::Junction => ("junction", 'X', Feeds::One, true, &[P::RatingA, P::Leg]),
        };
        KindInfo { name, letter, feeds, feeds_others, properties }
    }

    /// Name on screen and paper, lower case.
    #[must_use]
    pub const fn name(self) -> &'static str {
        self.info().name
    }

    /// Properties that apply to this kind, the shore cord's included.
    #[must_use]
    pub const fn properties(self) -> &'static [P] {
        self.info().properties
    }

    /// True where the circuit list's column may hold a value for this kind: what applies, and what the list's own words
    /// do not keep to certain kinds, such as the rating of a panel or the protection of any part. A value that does not
    /// apply is kept, and has no effect.
    #[must_use]
    pub fn may_have(self, property: P) -> bool {
        match property {
            P::Poles | P::Trip | P::Protection | P::Leg | P::MustRun | P::Status => true,
            P::Tag | P::Label | P::Note | P::Pf | P::LoadKind | P::Cycles | P::Continuous | P::Lighting | P::Duty => {
                true
            }
            P::RatingA => self != Self::Appliance,
            P::StartW | P::StartVa if self.is_source() => true,
            _ => self.properties().contains(&property),
        }
    }

    /// True for shore inlet, generator and inverter.
    #[must_use]
    pub const fn is_source(self) -> bool {
        matches!(self, Self::ShoreInlet | Self::Generator | Self::Inverter)
    }

    /// True where a position or switch of the part is stored in a condition: appliances are on or off, breakers closed or
    /// open.
    #[must_use]
    pub const fn has_switch(self) -> bool {
        matches!(self, Self::Appliance | Self::Breaker)
    }
}
