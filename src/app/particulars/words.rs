//! Words for what is chosen from a list, and what stands in an empty field.

use crate::installation::{Origin, Part, PartKind, Property, SpaceKind, System};
use crate::units::trimmed;

/// A word of a file as a person reads it.
#[must_use]
pub fn choice(property: Property, slug: &str) -> String {
    let words = match (property, slug) {
        (_, "") => "not stated",
        (Property::Status, "remove") => "to be removed",
        (Property::LoadKind, "power") => "constant power",
        (Property::LoadKind, "impedance") => "heater",
        (Property::Trip, "us") => "US, UL 489",
        (Property::Trip, "B") => "IEC type B",
        (Property::Trip, "C") => "IEC type C",
        (Property::Trip, "D") => "IEC type D",
        (Property::Protection, "gfci") => "5 mA (GFCI)",
        (Property::Protection, "elci") => "30 mA (ELCI)",
        (Property::Protection, "rcd10") => "10 mA (RCD)",
        (Property::Protection, "rcd30") => "30 mA (RCD)",
        (Property::Leg, "L1-L2") => "L1-L2, no neutral",
        (Property::Leg, "L1-L2-N") => "L1-L2-N, three wires",
        (Property::Hz, n) => return format!("{n} Hz"),
        (Property::InsulationC, n) => return format!("{n} °C"),
        (Property::Through, slug) => {
            return SpaceKind::from_slug(slug).map_or_else(|| slug.to_owned(), |k| k.name().to_owned());
        }
        _ => slug,
    };
    words.to_owned()
}

/// The name of a property of this kind of part, as it stands beside its field.
#[must_use]
pub fn name(property: Property, kind: Option<PartKind>) -> String {
    let source = kind.is_some_and(PartKind::is_source);
    let name = match property {
        Property::StartW if source => "peak power",
        Property::StartVa if source => "peak volt-amperes",
        Property::RunW if source => "continuous power",
        Property::RatingA if matches!(kind, Some(PartKind::Generator | PartKind::Inverter)) => "output breaker",
        Property::Volts if kind == Some(PartKind::IsolationTransformer) => "secondary volts",
        Property::Bundled => "bundled conductors",
        Property::Bonded => "neutral bonded",
        Property::Continuous => "runs 3 h or more",
        Property::Protection => "leakage protection",
        Property::InsulationC => "insulation",
        other => other.name(),
    };
    crate::app::widgets::sentence(name)
}

/// What an empty field stands for.
#[must_use]
pub fn empty(property: Property, part: Option<&Part>, system: System) -> String {
    match (property, part) {
        (Property::Pf, _) => "1 if not stated".to_owned(),
        (Property::Volts, _) => format!("{} V, nominal", trimmed(system.nominal_v(), 0)),
        (Property::Bundled, _) => "its own alone".to_owned(),
        (Property::Label, _) => "the tag".to_owned(),
        (Property::InsulationC, _) => {
            if system.frequency_hz() < 55.0 { "70 °C, usual" } else { "75 °C, usual" }.to_owned()
        }
        (Property::StartW, Some(p)) => match p.start_w(system) {
            Some(_) => "as it runs".to_owned(),
            None => "not known".to_owned(),
        },
        (Property::RunW, Some(p)) => match p.run_w(system) {
            Some(w) => format!("{}, by rating", crate::units::watts(w)),
            None => "not known".to_owned(),
        },
        (Property::Poles, Some(p)) => p.poles(system).map_or_else(|| "not known".to_owned(), |n| format!("{n}, usual")),
        (Property::Trip, Some(p)) => format!("{}, usual", choice(Property::Trip, p.trip(system).slug())),
        (Property::Leg, _) => "as what feeds it".to_owned(),
        (Property::Through, _) => "no further space".to_owned(),
        (Property::FuelCurve, _) => "0:0.2|100:0.9".to_owned(),
        (Property::Tag, None) => "none".to_owned(),
        _ => "not known".to_owned(),
    }
}

/// Where a value comes from, in words.
#[must_use]
pub const fn origin(origin: Origin) -> &'static str {
    match origin {
        Origin::Measured => "measured",
        Origin::NamePlate => "read from the name plate",
        Origin::Typical => "typical, read the name plate",
        Origin::Assumed => "assumed",
    }
}

/// What a property means, where its name does not say it.
#[must_use]
pub const fn explain(property: Property) -> &'static str {
    match property {
        Property::RunW => "Watts, such as 1.5 kW. An appliance takes name-plate amperes too: 10 A.",
        Property::StartW => "Watts while it starts (appliance) or at its peak (source). Empty for a motor: not known.",
        Property::StartVa => {
            "Volt-amperes while it starts, or at the peak of a source. Without it starts are judged by watts only."
        }
        Property::StartS => {
            "Seconds that a start lasts. Empty: 1 s is taken, which is common practice without a source."
        }
        Property::VoltsMin | Property::VoltsMax => {
            "Volts for which it is made, by its name plate or handbook. Empty: nominal less or more 10 %."
        }
        Property::Hz => "Frequency for which it is made, by its name plate. Most electronics and heaters take either.",
        Property::Pf => "Power factor while running, above 0, at most 1.",
        Property::LoadKind => "A heater follows the voltage; electronics and running motors draw constant power.",
        Property::Cycles => "Yes where a thermostat or a pressure switch starts it, unasked.",
        Property::Continuous => "Yes where it runs three hours or more.",
        Property::Duty => "Share of the time that it is on while switched on, 0 to 1.",
        Property::MustRun => "Never up for choice in the question what runs together.",
        Property::LengthM => "One way, such as 6 m or 20 ft.",
        Property::Conductor => "12 AWG, 2.5 mm², or none where the part is bolted on or plugged in.",
        Property::Bundled => "Current-carrying conductors in the bundle, this cable's own included.",
        Property::Bonded => "Whether this part joins neutral and earth.",
        Property::FuelCurve => "Points load percent:litres per hour, separated by |, such as 0:0.19|25:0.222|100:0.9.",
        Property::TankL => "Usable fuel, such as 40 L or 10 gal.",
        Property::Poles => "Conductors opened together, neutral included.",
        Property::InterruptingKa => "Greatest fault current that it can open, by its marking, such as 10 kA.",
        Property::Lighting => "Yes where the drop limit for lighting holds.",
        Property::Leg => "Which live conductors it is connected to.",
        Property::Status => {
            "To be removed: drawn, and left out of figures and checks. It may be live until it is gone."
        }
        Property::Through => "A further space that the cable leads through.",
        Property::ChargeW => "Watts drawn from its feed while it charges.",
        _ => "",
    }
}
