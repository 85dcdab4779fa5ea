//! The columns of a circuit list.

use crate::installation::{Conductor, PartKind, Property, SetData};

/// A column.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Column {
    /// What a part is.
    Kind,
    /// Tags of the parts upstream, separated by `|`.
    FedFrom,
    /// The kind of space that the part is in.
    Space,
    /// Switched on or closed.
    On,
    /// Whether the feeding cable stands, comes or goes, where it differs from the part.
    CableStatus,
    /// A property of the part or its feeding cable.
    Of(Property),
}

impl Column {
    /// All columns, in the order in which they are written.
    pub const ALL: [Self; 61] = [
        Self::Of(Property::Tag),
        Self::Kind,
        Self::Of(Property::Label),
        Self::FedFrom,
        Self::Space,
        Self::Of(Property::Through),
        Self::Of(Property::Volts),
        Self::Of(Property::RunW),
        Self::Of(Property::StartW),
        Self::Of(Property::Pf),
        Self::Of(Property::StartVa),
        Self::Of(Property::LoadKind),
        Self::Of(Property::Cycles),
        Self::Of(Property::Continuous),
        Self::Of(Property::Lighting),
        Self::Of(Property::Duty),
        Self::Of(Property::ChargeW),
        Self::Of(Property::RatingA),
        Self::Of(Property::Poles),
        Self::Of(Property::Trip),
        Self::Of(Property::InterruptingKa),
        Self::Of(Property::Protection),
        Self::Of(Property::Leg),
        Self::Of(Property::Bonded),
        Self::Of(Property::Portable),
        Self::Of(Property::Conductor),
        Self::Of(Property::LengthM),
        Self::Of(Property::InsulationC),
        Self::Of(Property::Bundled),
        Self::Of(Property::Sheathed),
        Self::On,
        Self::Of(Property::MustRun),
        Self::Of(Property::Fuel),
        Self::Of(Property::TankL),
        Self::Of(Property::FuelCurve),
        Self::Of(Property::Status),
        Self::CableStatus,
        Self::Of(Property::Note),
        Self::Of(Property::FuelAboardL),
        Self::Of(Property::ReserveL),
        Self::Of(Property::Mode),
        Self::Of(Property::FuelCurveConstant),
        Self::Of(Property::HoursRun),
        Self::Of(Property::HoursDate),
        Self::Of(Property::ServiceAtH),
        Self::Of(Property::SizeMm),
        Self::Of(Property::AirGapMm),
        Self::Of(Property::ExhaustGapMm),
        Self::Of(Property::Turns),
        Self::Of(Property::WeightKg),
        Self::Of(Property::NoiseDb),
        Self::Of(Property::NoiseM),
        Self::Of(Property::BatteryAh),
        Self::Of(Property::BatteryV),
        Self::Of(Property::BatteryKwh),
        Self::Of(Property::BatteryUsable),
        Self::Of(Property::Efficiency),
        Self::Of(Property::StartS),
        Self::Of(Property::VoltsMin),
        Self::Of(Property::VoltsMax),
        Self::Of(Property::Hz),
    ];

    /// The name in the header row.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Kind => "kind",
            Self::FedFrom => "fed_from",
            Self::Space => "space",
            Self::On => "on",
            Self::CableStatus => "cable_status",
            Self::Of(property) => property.slug(),
        }
    }

    /// True for a column that is written only where a part has something in it.
    #[must_use]
    pub fn is_sparse(self) -> bool {
        use Property as P;
        matches!(self, Self::Of(P::Note | P::StartS | P::VoltsMin | P::VoltsMax | P::Hz))
            || matches!(self, Self::Of(property) if SetData::PROPERTIES.contains(&property))
    }

    /// The column of this name.
    #[must_use]
    pub fn from_name(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|c| c.name() == name)
    }
}

/// The conductor that an empty cell stands for: there is none to a source, from a panel to a breaker, to a polarity
/// indicator and from an outlet to an appliance; else it is not known.
pub(super) fn usual_conductor(from: PartKind, to: PartKind) -> Conductor {
    if to.is_source() { Conductor::None } else { crate::installation::Installation::usual_conductor(from, to) }
}

/// The word for a conductor of unknown size where an empty cell would mean that there is none.
pub(super) const UNKNOWN: &str = "unknown";
