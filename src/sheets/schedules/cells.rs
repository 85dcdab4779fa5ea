//! Cells that several tables have: names, sizes, figures with their origins, figures of the solve.

use crate::diagram::Target;
use crate::installation::{
    Cable, CableData, Conductor, Origin, Part, PartId, Property, Protection, SpaceKind, Trip, natural,
};
use crate::sheets::table::{Cell, Row};
use crate::survey::Context;
use crate::units;
use std::collections::BTreeMap;

/// The parts of an installation by tag.
pub(super) fn by_tag<'a>(cx: &Context<'a>) -> Vec<(PartId, &'a Part)> {
    let mut parts: Vec<_> = cx.parts().collect();
    parts.sort_by_cached_key(|(id, part)| (natural(&part.tag), *id));
    parts
}

/// A sum of watts; above it where a load of unknown power is in it.
pub(super) fn bound(watts: Option<f64>, unknown: bool) -> Cell {
    match watts.filter(|_| unknown) {
        None => Cell::number(watts, units::watts, "W"),
        Some(known) if known > 0.5 => Cell::words(format!("above {}", units::watts(known))),
        Some(_) => Cell::not_known(),
    }
}

/// A row about a part.
pub(super) fn part_row(part: PartId, cells: Vec<Cell>) -> Row {
    Row::of(cells).about(Target::Part(part))
}

/// The label of a part; does not apply where it has none.
pub(super) fn label(part: &Part) -> Cell {
    Cell::words(part.label.as_str())
}

/// A size on paper.
pub(super) fn size_words(data: &CableData) -> Option<String> {
    data.size().map(|size| size.to_string().replace("mm2", "mm²"))
}

/// The conductor size of a cable.
pub(super) fn size(data: &CableData, origin: Option<Origin>) -> Cell {
    match data.conductor {
        Conductor::None => Cell::words("bolted on or plugged in"),
        Conductor::Unknown => Cell::not_known(),
        Conductor::Size(_) => Cell::words(size_words(data).unwrap_or_default()).from_origin(origin),
    }
}

/// The length of a cable.
pub(super) fn length(data: &CableData, origin: Option<Origin>) -> Cell {
    Cell::number(data.length_m, units::metres, "m").from_origin(origin)
}

/// A cable in a few words, with the signs of its origins: `12 AWG, 6.0 m *`.
pub(super) fn cable_words(cable: &Cable) -> String {
    if !cable.data.is_fitted() {
        return "bolted on".to_owned();
    }
    let signed = |words: Option<String>, property: Property, missing: &str| {
        words.map_or_else(|| missing.to_owned(), |w| Origin::signed(origin(&cable.origins, property), w))
    };
    let size = signed(size_words(&cable.data), Property::Conductor, "size not known");
    let length = signed(cable.data.length_m.map(units::metres), Property::LengthM, "length not known");
    format!("{size}, {length}")
}

/// The origin of a property.
pub(super) fn origin(origins: &BTreeMap<Property, Origin>, property: Property) -> Option<Origin> {
    origins.get(&property).copied()
}

/// The space of a part; does not apply where none is drawn.
pub(super) fn space(cx: &Context<'_>, part: PartId) -> Cell {
    match cx.space(part) {
        SpaceKind::Other => Cell::none(),
        kind => Cell::words(kind.name()),
    }
}

/// A trip characteristic in words.
pub(super) const fn trip_words(trip: Trip) -> &'static str {
    match trip {
        Trip::Us => "US thermal-magnetic",
        Trip::B => "B",
        Trip::C => "C",
        Trip::D => "D",
        Trip::Fuse => "fuse",
    }
}

/// A protection in words.
pub(super) const fn protection_words(protection: Protection) -> &'static str {
    match protection {
        Protection::None => "none",
        Protection::Gfci => "GFCI 5 mA",
        Protection::Elci => "ELCI 30 mA",
        Protection::Rcd10 => "RCD 10 mA",
        Protection::Rcd30 => "RCD 30 mA",
    }
}

/// Yes, no or not known.
pub(super) fn yes_no(value: Option<bool>) -> Cell {
    match value {
        Some(true) => Cell::words("yes"),
        Some(false) => Cell::words("no"),
        None => Cell::not_known(),
    }
}

/// A figure of the solve for something that is fed; does not apply to what is not.
pub(super) fn solved(fed: bool, value: Option<f64>, show: fn(f64) -> String, unit: &str) -> Cell {
    if fed { Cell::number(value, show, unit) } else { Cell::none() }
}

/// How a part stands in the condition, in words.
pub(super) fn state(cx: &Context<'_>, part: PartId) -> String {
    use crate::network::Reach;
    let reach = match cx.reach(part) {
        Reach::Fed(_) => "fed",
        Reach::MayBeLive => "may be live",
        Reach::NotFed => "not fed",
    };
    let Some(p) = cx.part(part).filter(|p| p.kind.has_switch() && !cx.is_on(part)) else { return reach.to_owned() };
    let position = if p.kind == crate::installation::PartKind::Breaker { "open" } else { "off" };
    format!("{reach}, {position}")
}
