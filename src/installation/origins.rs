//! What to measure first: values that are typical, assumed, taken by default or not known, for the electrician.

use super::cable::{Cable, CableData};
use super::compare::About;
use super::document::Installation;
use super::kind::PartKind;
use super::part::{LoadKind, Origin, Part};
use super::property::Property;
use super::record::Status;

/// Why a value wants to be measured or read.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Doubt {
    /// It is not known, and figures depend on it.
    NotKnown,
    /// It was assumed.
    Assumed,
    /// It is a typical figure.
    Typical,
    /// It was not stated; the program takes the usual value.
    Usual,
}

impl Doubt {
    /// The words on screen and paper.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::NotKnown => "not known",
            Self::Assumed => "assumed",
            Self::Typical => "typical",
            Self::Usual => "not stated, usual value taken",
        }
    }
}

/// One value to be measured or read.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ToMeasure {
    /// The part, or the cable.
    pub about: About,
    /// Tag of the part, or of the part that the cable feeds.
    pub tag: String,
    /// Of a cable: tag of the part upstream; `shore` for a cord; empty for a part's own value.
    pub from: String,
    /// Which value.
    pub property: Property,
    /// The value that is taken now, in the form of the circuit list; empty where it is not known.
    pub value: String,
    /// Why it is listed.
    pub doubt: Doubt,
}

/// Everything in a document that figures rest on and that nobody has measured or read: what is not known first, then what
/// is assumed, typical, and taken by default; each in the order of the parts. What is to be removed is left out, and so is
/// a cable where there is none.
#[must_use]
pub fn to_measure(installation: &Installation) -> Vec<ToMeasure> {
    let mut out = Vec::new();
    for (id, part) in installation.parts.iter().filter(|(_, p)| p.status != Status::Remove) {
        for &property in Property::ALL {
            let of_cord = Property::OF_CABLE.contains(&property);
            let applies = part.kind.may_have(property) && (!of_cord || part.cord.is_fitted());
            if let Some((value, doubt)) = doubt_of_part(installation, part, property).filter(|_| applies) {
                let from = if of_cord { "shore" } else { "" }.to_owned();
                out.push(ToMeasure { about: About::Part(*id), tag: part.tag.clone(), from, property, value, doubt });
            }
        }
    }
    for (id, cable) in &installation.cables {
        if installation.cable_is_going(cable) || !cable.data.is_fitted() {
            continue;
        }
        let (tag, from) = (installation.tag(cable.to), installation.tag(cable.from));
        for &property in Property::OF_CABLE {
            if let Some((value, doubt)) = doubt_of_cable(installation, cable, property) {
                let about = About::Cable(*id);
                let (tag, from) = (tag.to_owned(), from.to_owned());
                out.push(ToMeasure { about, tag, from, property, value, doubt });
            }
        }
    }
    out.sort_by_key(|m| m.doubt);
    out
}

/// The doubt that an origin leads to.
const fn by_origin(origin: Option<Origin>) -> Option<Doubt> {
    match origin {
        Some(Origin::Typical) => Some(Doubt::Typical),
        Some(Origin::Assumed) => Some(Doubt::Assumed),
        Some(Origin::Measured | Origin::NamePlate) | None => None,
    }
}

fn doubt_of_part(installation: &Installation, part: &Part, property: Property) -> Option<(String, Doubt)> {
    let system = installation.system;
    let value = part.get(property);
    if let Some(doubt) = by_origin(part.origins.get(&property).copied())
        && !value.is_empty()
    {
        return Some((value, doubt));
    }
    if Property::OF_CABLE.contains(&property) {
        return doubt_of_data(installation, &part.cord, property);
    }
    let motor = part.kind == PartKind::Appliance && part.load_kind == LoadKind::Motor;
    let set = matches!(part.kind, PartKind::Generator | PartKind::Inverter);
    let missing = value.is_empty()
        && match property {
            Property::RunW => part.kind == PartKind::Appliance || set,
            Property::StartW => motor || set,
            Property::RatingA => {
                matches!(part.kind, PartKind::Breaker | PartKind::ShoreInlet | PartKind::Selector | PartKind::Outlet)
            }
            Property::Bonded => part.kind.is_source() || part.kind == PartKind::IsolationTransformer,
            _ => false,
        };
    if missing {
        return Some((String::new(), Doubt::NotKnown));
    }
    let usual = match property {
        Property::Poles if part.kind == PartKind::Breaker => part.poles(system).map(|n| n.to_string()),
        Property::Trip if part.kind == PartKind::Breaker => Some(part.trip(system).slug().to_owned()),
        Property::Pf if part.kind == PartKind::Appliance && part.load_kind != LoadKind::Impedance => {
            Some(part.pf().to_string())
        }
        _ => None,
    };
    usual.filter(|_| value.is_empty()).map(|usual| (usual, Doubt::Usual))
}

fn doubt_of_cable(installation: &Installation, cable: &Cable, property: Property) -> Option<(String, Doubt)> {
    let value = cable.data.get(property);
    match by_origin(cable.origins.get(&property).copied()) {
        Some(doubt) if !value.is_empty() => Some((value, doubt)),
        _ => doubt_of_data(installation, &cable.data, property),
    }
}

fn doubt_of_data(installation: &Installation, data: &CableData, property: Property) -> Option<(String, Doubt)> {
    if !data.get(property).is_empty() {
        return None;
    }
    match property {
        Property::Conductor | Property::LengthM => Some((String::new(), Doubt::NotKnown)),
        Property::InsulationC => Some((data.insulation_c(installation.system).to_string(), Doubt::Usual)),
        _ => None,
    }
}
