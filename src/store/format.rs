//! The `.hullwire` file: what is in it, and the pieces that reading and writing share.
//!
//! Pretty-printed JSON in UTF-8, one object. References are by id; ids are whole numbers from 1 that are never used again
//! in the same file. A value that is not known, or the default, is left out. Fields that this version does not know are
//! kept in the top object, in parts, cables, spaces and conditions, and are written back. Lengths on the drawing are
//! millimetres, x to the right, y downwards.
//!
//! What is refused, with the old file and what is in memory untouched: more than 64 MB, more than 127 levels of nesting,
//! more than 250,000 parts, 500,000 cables, 10,000 spaces or 1,000 conditions; a key that stands twice in one object; an
//! id that stands twice among parts, among cables or among spaces; a reference to a part that is not there; a number that
//! is not finite; a newer version.
//!
//! | field | value |
//! | --- | --- |
//! | `version` | `1`, required; a newer one is refused |
//! | `name` | text |
//! | `system` | `120V60Hz`, `120/240V60Hz`, `230V50Hz`; required |
//! | `rules` | `us`, `international`; default by frequency |
//! | `resistance` | `published` (default), `formula` |
//! | `co_alarms` | `true`: each sleeping space has an alarm for carbon monoxide; `false`: not each; left out: not known |
//! | `petrol` | list of kinds of space with a petrol engine or tank, those of the generators aside; `[]`: none; left out: not known |
//! | `title` | object of texts, ISO 7200: `title`, `legal_owner`, `identification_number`, `revision_index`, `date_of_issue`, `creator`, `approval_person`, `document_type`, `language` |
//! | `parts` | list of objects: `id`, `tag`, `kind` (required), `label`; `status` (`existing`, the default, `new`, `remove`); its place as `at` (`[x, y]`, centre of the symbol) or, before a layout, `in` (kind of space); `mirrored` (default false: its symbol is drawn the other way round, fed from the right); `cord` of a shore inlet (an object like a cable without `id`, `from`, `to`); `origins` (property: `measured`, `name-plate`, `typical`, `assumed`); and the properties of the circuit list under the names of its columns: figures as numbers without unit, `yes`/`no` as `true`/`false`, `fuel_curve` as a list of `[load percent, litres per hour]`, everything else as text |
//! | `cables` | list of objects: `id`, `from`, `to` (ids of parts, required), `tag`, `status`, `conductor` (text such as `12 AWG`, `2.5 mm2`, `none`; left out: not known), `length_m`, `insulation_c`, `bundled`, `sheathed` (default true), `through` (kind of space), `origins`. A selector's inlets are in the order of their ids |
//! | `spaces` | list of objects: `id`, `kind`, `name`, `rect` (`[x1, y1, x2, y2]`) |
//! | `accepted` | list of objects: `rule`, `parts` and `cables` (ids; one that nothing has any more is kept), `severity` (signal word), `reason`, `by`, `date`, `figure` |
//! | `revisions` | list of objects, oldest first: `letter`, `date`, `author`, `note`, `state` (an object like the top one, without `version` and `revisions`) |
//! | `conditions` | list of objects: `name`, `feeding` (ids of the sources that feed), `off` (ids of what is switched off or open), `hours` (list of `[from, to]`, hours of the day in which it holds, 0 to 24) |
//! | `trays` | list of objects: `name`, `inner_mm` (text such as `600x400x450`), `open_above` (default false) |
//! | `readings` | list of objects: `on` (ids of the appliances that were on), `at` (id of the source or part read), `quantity` (`watts`, `percent`, `volts`, `amps`), `value`, `step` (0), `rounding` (`down`, `nearest`, `unknown`), `rated_w` |
//! | `next_id` | the next id to give out |
//!
//! `status`, `accepted`, `revisions`, `mirrored`, `co_alarms` and `petrol` came to version 1 later. A file without them reads
//! as before: everything stands, nothing is accepted, nothing was issued, nothing is known of alarms and petrol. An older
//! program keeps what it does not know at the top, and counts what is to be removed as if it stayed.

use crate::installation::{Property, TitleBlock};

/// The version that is written, and the newest that is read.
pub const VERSION: u64 = 1;

/// Largest id that is taken, so that there is always a next one.
pub(super) const MAX_ID: u64 = 1 << 31;

/// How a property looks in JSON.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Shape {
    Number,
    Flag,
    Curve,
    Text,
}

pub(super) fn shape(property: Property) -> Shape {
    use Property as P;
    match property {
        P::FuelCurve | P::FuelCurveConstant => Shape::Curve,
        P::Cycles | P::Continuous | P::Lighting | P::Bonded | P::Portable | P::MustRun | P::Sheathed => Shape::Flag,
        p if p.is_number() => Shape::Number,
        _ => Shape::Text,
    }
}

/// The properties of a part that stand under their own name: all but the tag, the label and the cord's.
pub(super) fn part_properties() -> impl Iterator<Item = Property> {
    Property::ALL
        .iter()
        .copied()
        .filter(|p| !matches!(p, Property::Tag | Property::Label) && !Property::OF_CABLE.contains(p))
}

/// What a number without unit has to be, for an error message.
pub(super) fn bare_hint(property: Property) -> &'static str {
    use Property as P;
    match property {
        P::Volts => "volts, a bare number above 0 such as 120",
        P::VoltsMin | P::VoltsMax => "volts, a bare number above 0 such as 108",
        P::StartS => "seconds, a bare number above 0 such as 0.8",
        P::RunW | P::StartW => "watts, a bare number above 0 such as 1500",
        P::ChargeW => "watts, a bare number from 0 such as 600",
        P::StartVa => "volt-amperes, a bare number above 0 such as 2400",
        P::Pf => "a bare number above 0, at most 1",
        P::Duty => "a bare number from 0 to 1",
        P::RatingA => "amperes, a bare number above 0 such as 15",
        P::InterruptingKa => "kiloamperes, a bare number above 0 such as 10",
        P::LengthM => "metres one way, a bare number from 0 such as 6.5",
        P::TankL | P::FuelAboardL | P::ReserveL => "litres, a bare number from 0 such as 40",
        P::HoursRun => "hours, a bare number from 0 such as 350",
        P::ServiceAtH => "hours, a bare number above 0 such as 400",
        P::AirGapMm | P::ExhaustGapMm => "millimetres, a bare number from 0 such as 50",
        P::WeightKg => "kilograms, a bare number above 0 such as 21",
        P::NoiseDb => "dB(A), a bare number above 0, at most 150, such as 58",
        P::NoiseM => "metres, a bare number above 0 such as 7",
        P::BatteryAh => "ampere-hours, a bare number above 0 such as 200",
        P::BatteryV => "volts, a bare number above 0 such as 12.8",
        P::BatteryKwh => "kilowatt-hours, a bare number above 0 such as 5.1",
        P::BatteryUsable | P::Efficiency => "a bare number above 0, at most 1",
        P::Poles => "1, 2 or 3",
        P::InsulationC => "degrees Celsius: 60, 70, 75, 80, 85, 90, 105, 125 or 200",
        P::Bundled => "a whole number of conductors, 1 or more",
        _ => "a bare number",
    }
}

/// Name and value of each field of the title block.
pub(super) fn title_fields(title: &mut TitleBlock) -> [(&'static str, &mut String); 9] {
    [
        ("title", &mut title.title),
        ("legal_owner", &mut title.legal_owner),
        ("identification_number", &mut title.identification_number),
        ("revision_index", &mut title.revision_index),
        ("date_of_issue", &mut title.date_of_issue),
        ("creator", &mut title.creator),
        ("approval_person", &mut title.approval_person),
        ("document_type", &mut title.document_type),
        ("language", &mut title.language),
    ]
}
