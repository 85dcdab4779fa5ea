//! Properties as text: the one place where a typed or listed value becomes a figure, with its range, and back.

use super::cable::{Cable, CableData, Conductor, INSULATIONS_C, Size};
use super::document::SpaceKind;
use super::part::{Fuel, Leg, LoadKind, MadeForHz, Part, Protection, Trip};
use super::property::Property as P;
use super::record::Status;
use super::set_data::{Mode, Turns};
use super::system::System;
use crate::units::{Quantity, parse_number, parse_quantity};
use thiserror::Error;

/// Why a value was not taken.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
pub enum ValueError {
    /// The text is no such value.
    #[error("“{found}” is not valid; valid: {valid}")]
    Bad {
        /// What was typed.
        found: String,
        /// What would be valid.
        valid: String,
    },
    /// The part has no such property.
    #[error("a {kind} has no {property}")]
    NotApplicable {
        /// The kind of part.
        kind: &'static str,
        /// The property.
        property: &'static str,
    },
}

pub(super) fn bad(found: &str, valid: impl Into<String>) -> ValueError {
    ValueError::Bad { found: found.trim().to_owned(), valid: valid.into() }
}

/// Inclusive or exclusive lower bound of a figure.
#[derive(Clone, Copy)]
pub(super) enum Low {
    Above(f64),
    From(f64),
}

pub(super) fn figure(
    text: &str,
    quantity: Quantity,
    low: Low,
    high: f64,
    valid: &str,
) -> Result<Option<f64>, ValueError> {
    if text.trim().is_empty() {
        return Ok(None);
    }
    let value = parse_quantity(text, quantity).map_err(|_| bad(text, valid))?;
    let low_enough = match low {
        Low::Above(l) => value > l,
        Low::From(l) => value >= l,
    };
    if low_enough && value <= high { Ok(Some(value)) } else { Err(bad(text, valid)) }
}

/// Largest figure that is taken for watts, amperes, volts, metres or litres: beyond any small vessel.
const MOST: f64 = 1e7;

pub(super) fn positive(text: &str, quantity: Quantity) -> Result<Option<f64>, ValueError> {
    figure(text, quantity, Low::Above(0.0), MOST, &format!("{}, above 0", quantity.hint()))
}

pub(super) fn not_negative(text: &str, quantity: Quantity) -> Result<Option<f64>, ValueError> {
    figure(text, quantity, Low::From(0.0), MOST, &format!("{}, 0 or above", quantity.hint()))
}

fn flag(text: &str) -> Result<Option<bool>, ValueError> {
    match text.trim().to_lowercase().as_str() {
        "" => Ok(None),
        "yes" => Ok(Some(true)),
        "no" => Ok(Some(false)),
        _ => Err(bad(text, "yes or no")),
    }
}

fn whole(text: &str, range: std::ops::RangeInclusive<u16>, valid: &str) -> Result<Option<u16>, ValueError> {
    if text.trim().is_empty() {
        return Ok(None);
    }
    text.trim().parse::<u16>().ok().filter(|n| range.contains(n)).map(Some).ok_or_else(|| bad(text, valid))
}

macro_rules! choice {
    ($type:ty, $text:expr) => {{
        let text = $text.trim();
        if text.is_empty() {
            Ok(None)
        } else {
            let valid = || <$type>::ALL.iter().map(|v| v.slug()).collect::<Vec<_>>().join(", ");
            <$type>::from_slug(text).map(Some).ok_or_else(|| $crate::installation::values::bad(text, valid()))
        }
    }};
}
pub(super) use choice;

pub(super) fn number_text(value: Option<f64>) -> String {
    value.map_or_else(String::new, |v| v.to_string())
}

fn flag_text(value: bool) -> String {
    if value { "yes" } else { "no" }.to_owned()
}

/// Litres per hour as typed: `0.22`, or hours on so many litres, `9h/2L` and `9 h on 2 L`.
fn fuel_rate(text: &str) -> Option<f64> {
    let lower = text.trim().to_lowercase();
    let Some((hours, litres)) = lower.split_once("h/").or_else(|| lower.split_once(" on ")) else {
        return parse_number(&lower).ok();
    };
    let hours = parse_number(hours.trim().trim_end_matches('h')).ok().filter(|h| *h > 0.0)?;
    let litres = parse_number(litres.trim().trim_end_matches('l')).ok()?;
    Some(litres / hours)
}

pub(super) fn fuel_curve(text: &str) -> Result<Vec<(f64, f64)>, ValueError> {
    const VALID: &str = "points load percent:litres per hour, load from 0 to 100 and rising, separated by “|”, such as 0:0.19|25:0.222|100:0.9; or hours on so many litres at that load, such as 25:9h/2L";
    if text.trim().is_empty() {
        return Ok(Vec::new());
    }
    let mut points: Vec<(f64, f64)> = Vec::new();
    for point in text.split('|') {
        let (load, rate) = point.split_once(':').ok_or_else(|| bad(text, VALID))?;
        let load = parse_number(load.trim().trim_end_matches('%')).map_err(|_| bad(text, VALID))?;
        let rate = fuel_rate(rate).ok_or_else(|| bad(text, VALID))?;
        let rising = points.last().is_none_or(|last| load > last.0);
        if !(0.0..=100.0).contains(&load) || rate <= 0.0 || !rising || rate > MOST {
            return Err(bad(text, VALID));
        }
        points.push((load, rate));
    }
    Ok(points)
}

pub(super) fn fuel_curve_text(points: &[(f64, f64)]) -> String {
    points.iter().map(|(load, rate)| format!("{load}:{rate}")).collect::<Vec<_>>().join("|")
}

/// Reads a tag: at least one character, none of them a control character or `|`, and not the word `off`, which in a
/// circuit list means that no source feeds.
///
/// # Errors
/// Names what was found and what would be valid.
pub fn valid_tag(text: &str) -> Result<String, ValueError> {
    let tag = text.trim();
    if tag.is_empty() || tag.contains('|') || tag.chars().any(char::is_control) || tag.eq_ignore_ascii_case("off") {
        return Err(bad(text, "at least one character, no “|”, no line break and not the word off, such as Q3"));
    }
    Ok(tag.to_owned())
}

impl P {
    /// Name on screen and paper, lower case.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            P::Tag => "tag",
            P::Label => "label",
            P::Volts => "volts at no load",
            P::RunW => "running power",
            P::StartW => "starting power",
            P::StartVa => "starting volt-amperes",
            P::StartS => "start lasts",
            P::VoltsMin => "least volts",
            P::VoltsMax => "most volts",
            P::Hz => "frequency",
            P::Pf => "power factor",
            P::LoadKind => "kind of load",
            P::Cycles => "starts by itself",
            P::Continuous => "runs three hours or more",
            P::Lighting => "lighting",
            P::Duty => "share of time on",
            P::ChargeW => "charging power",
            P::RatingA => "rated current",
            P::Poles => "poles",
            P::Trip => "trip class",
            P::InterruptingKa => "interrupting rating",
            P::Protection => "leakage protection",
            P::Leg => "leg",
            P::Bonded => "neutral bonded to earth",
            P::Portable => "portable",
            P::MustRun => "must always run",
            P::Fuel => "fuel",
            P::TankL => "usable fuel",
            P::FuelCurve => "fuel curve",
            P::Conductor => "conductor",
            P::LengthM => "length, one way",
            P::InsulationC => "insulation rating",
            P::Bundled => "bundled with",
            P::Sheathed => "in a sheath",
            P::Through => "leads through",
            P::Status => "status",
            P::Note => "note",
            P::FuelAboardL => "fuel aboard in all",
            P::ReserveL => "fuel kept back",
            P::Mode => "engine speed",
            P::FuelCurveConstant => "fuel curve at constant speed",
            P::HoursRun => "hour meter",
            P::HoursDate => "hour meter read on",
            P::ServiceAtH => "next service at",
            P::SizeMm => "size, length × width × height",
            P::AirGapMm => "clearance for air",
            P::ExhaustGapMm => "clearance at the exhaust end",
            P::Turns => "may stand",
            P::WeightKg => "mass",
            P::NoiseDb => "sound pressure level",
            P::NoiseM => "sound level stated at",
            P::BatteryAh => "battery capacity",
            P::BatteryV => "battery volts",
            P::BatteryKwh => "battery energy",
            P::BatteryUsable => "usable share of the battery",
            P::Efficiency => "conversion efficiency",
        }
    }

    /// True where the value is a number, so that a circuit list has it bare, without a unit.
    #[must_use]
    pub const fn is_number(self) -> bool {
        matches!(
            self,
            P::Volts
                | P::RunW
                | P::StartW
                | P::StartVa
                | P::StartS
                | P::VoltsMin
                | P::VoltsMax
                | P::Pf
                | P::Duty
                | P::ChargeW
                | P::RatingA
                | P::InterruptingKa
                | P::Poles
                | P::TankL
                | P::LengthM
                | P::InsulationC
                | P::Bundled
                | P::FuelAboardL
                | P::ReserveL
                | P::HoursRun
                | P::ServiceAtH
                | P::AirGapMm
                | P::ExhaustGapMm
                | P::WeightKg
                | P::NoiseDb
                | P::NoiseM
                | P::BatteryAh
                | P::BatteryV
                | P::BatteryKwh
                | P::BatteryUsable
                | P::Efficiency
        )
    }

    /// The words to choose from, for a property that has a fixed set.
    #[must_use]
    pub fn choices(self) -> Option<Vec<&'static str>> {
        Some(match self {
            P::LoadKind => LoadKind::ALL.iter().map(|v| v.slug()).collect(),
            P::Hz => MadeForHz::ALL.iter().map(|v| v.slug()).collect(),
            P::Trip => Trip::ALL.iter().map(|v| v.slug()).collect(),
            P::Protection => Protection::ALL.iter().map(|v| v.slug()).collect(),
            P::Leg => Leg::ALL.iter().map(|v| v.slug()).collect(),
            P::Fuel => Fuel::ALL.iter().map(|v| v.slug()).collect(),
            P::Through => SpaceKind::ALL.iter().map(|v| v.slug()).collect(),
            P::Status => Status::ALL.iter().map(|v| v.slug()).collect(),
            P::Mode => Mode::ALL.iter().map(|v| v.slug()).collect(),
            P::Turns => Turns::ALL.iter().map(|v| v.slug()).collect(),
            P::Cycles | P::Continuous | P::Lighting | P::Bonded | P::Portable | P::MustRun | P::Sheathed => {
                vec!["yes", "no"]
            }
            P::Poles => vec!["1", "2", "3"],
            P::InsulationC => vec!["60", "70", "75", "80", "85", "90", "105", "125", "200"],
            _ => return None,
        })
    }
}

impl Part {
    /// Sets a property from text as a person types it, units included; empty text takes the default. The running power
    /// of an appliance may be typed as name-plate amperes: `10 A` is amperes × nominal volts (twice that between L1 and
    /// L2) × power factor.
    ///
    /// # Errors
    /// Names what was found and what would be valid; the part is unchanged then.
    pub fn set(&mut self, property: P, text: &str, system: System) -> Result<(), ValueError> {
        if !self.kind.may_have(property) {
            return Err(ValueError::NotApplicable { kind: self.kind.name(), property: property.name() });
        }
        self.set_any(property, text, system)
    }

    /// Like [`Self::set`], but takes a property that does not apply to the kind as well: what a file holds is kept.
    ///
    /// # Errors
    /// Names what was found and what would be valid; the part is unchanged then.
    pub fn set_any(&mut self, property: P, text: &str, system: System) -> Result<(), ValueError> {
        match property {
            P::Tag => self.tag = valid_tag(text)?,
            P::Label => text.trim().clone_into(&mut self.label),
            P::Note => text.trim().clone_into(&mut self.note),
            P::Volts => self.volts = positive(text, Quantity::Volts)?,
            P::RunW => self.run_w = self.running_power(text, system)?,
            P::StartW => self.start_w = positive(text, Quantity::Watts)?,
            P::StartVa => self.start_va = positive(text, Quantity::VoltAmps)?,
            P::StartS => self.start_s = positive(text, Quantity::Seconds)?,
            P::VoltsMin => self.volts_min = positive(text, Quantity::Volts)?,
            P::VoltsMax => self.volts_max = positive(text, Quantity::Volts)?,
            P::Hz => self.hz = choice!(MadeForHz, text)?,
            P::Pf => self.pf = figure(text, Quantity::Plain, Low::Above(0.0), 1.0, "a number above 0, at most 1")?,
            P::LoadKind => self.load_kind = choice!(LoadKind, text)?.unwrap_or_default(),
            P::Cycles => self.cycles = flag(text)?.unwrap_or(false),
            P::Continuous => self.continuous = flag(text)?,
            P::Lighting => self.lighting = flag(text)?.unwrap_or(false),
            P::Duty => {
                self.duty = figure(text, Quantity::Plain, Low::From(0.0), 1.0, "a number from 0 to 1")?.unwrap_or(1.0)
            }
            P::ChargeW => self.charge_w = not_negative(text, Quantity::Watts)?.unwrap_or(0.0),
            P::RatingA => self.rating_a = positive(text, Quantity::Amps)?,
            P::Poles => self.poles = whole(text, 1..=3, "1, 2 or 3")?.map(|n| n as u8),
            P::InterruptingKa => self.interrupting_ka = positive(text, Quantity::KiloAmps)?,
            P::Trip => self.trip = choice!(Trip, text)?,
            P::Protection => self.protection = choice!(Protection, text)?.unwrap_or_default(),
            P::Leg => self.leg = choice!(Leg, text)?,
            P::Bonded => self.bonded = flag(text)?,
            P::Portable => self.portable = flag(text)?.unwrap_or(false),
            P::MustRun => self.must_run = flag(text)?.unwrap_or(false),
            P::Fuel => self.fuel = choice!(Fuel, text)?.unwrap_or_default(),
            P::TankL => self.tank_l = not_negative(text, Quantity::Litres)?,
            P::FuelCurve => self.fuel_curve = fuel_curve(text)?,
            P::Status => self.status = choice!(Status, text)?.unwrap_or_default(),
            P::Conductor | P::LengthM | P::InsulationC | P::Bundled | P::Sheathed | P::Through => {
                self.cord.set(property, text)?
            }
            of_set => self.set_data.set(of_set, text)?,
        }
        Ok(())
    }

    fn running_power(&self, text: &str, system: System) -> Result<Option<f64>, ValueError> {
        const VALID: &str = "a power such as 1200 W or 1.5 kW, or name-plate amperes such as 10 A, above 0";
        if let Ok(amps) = parse_quantity(text, Quantity::Amps)
            && text.trim().ends_with(['a', 'A'])
            && amps > 0.0
            && amps <= MOST
        {
            let lines = if self.leg == Some(Leg::L1L2) { 2.0 } else { 1.0 };
            let watts = amps * system.nominal_v() * lines * self.pf();
            return if watts <= MOST { Ok(Some(watts)) } else { Err(bad(text, VALID)) };
        }
        figure(text, Quantity::Watts, Low::Above(0.0), MOST, VALID)
    }

    /// A property as text without a unit, in the form of the circuit list; empty where it is not known or the default of
    /// an optional value.
    #[must_use]
    pub fn get(&self, property: P) -> String {
        let optional = |v: Option<bool>| v.map_or_else(String::new, flag_text);
        match property {
            P::Tag => self.tag.clone(),
            P::Label => self.label.clone(),
            P::Note => self.note.clone(),
            P::Volts => number_text(self.volts),
            P::RunW => number_text(self.run_w),
            P::StartW => number_text(self.start_w),
            P::StartVa => number_text(self.start_va),
            P::StartS => number_text(self.start_s),
            P::VoltsMin => number_text(self.volts_min),
            P::VoltsMax => number_text(self.volts_max),
            P::Hz => self.hz.map_or_else(String::new, |h| h.slug().to_owned()),
            P::Pf => number_text(self.pf),
            P::LoadKind => self.load_kind.slug().to_owned(),
            P::Cycles => flag_text(self.cycles),
            P::Continuous => optional(self.continuous),
            P::Lighting => flag_text(self.lighting),
            P::Duty => self.duty.to_string(),
            P::ChargeW => self.charge_w.to_string(),
            P::RatingA => number_text(self.rating_a),
            P::Poles => self.poles.map_or_else(String::new, |n| n.to_string()),
            P::InterruptingKa => number_text(self.interrupting_ka),
            P::Trip => self.trip.map_or_else(String::new, |t| t.slug().to_owned()),
            P::Protection => self.protection.slug().to_owned(),
            P::Leg => self.leg.map_or_else(String::new, |l| l.slug().to_owned()),
            P::Bonded => optional(self.bonded),
            P::Portable => flag_text(self.portable),
            P::MustRun => flag_text(self.must_run),
            P::Fuel => self.fuel.slug().to_owned(),
            P::TankL => number_text(self.tank_l),
            P::Status => self.status.slug().to_owned(),
            P::FuelCurve => fuel_curve_text(&self.fuel_curve),
            P::Conductor | P::LengthM | P::InsulationC | P::Bundled | P::Sheathed | P::Through => {
                self.cord.get(property)
            }
            of_set => self.set_data.get(of_set),
        }
    }
}

impl CableData {
    /// Sets a property of the cable from text as a person types it; empty text takes the default.
    ///
    /// # Errors
    /// Names what was found and what would be valid; nothing is changed then.
    pub fn set(&mut self, property: P, text: &str) -> Result<(), ValueError> {
        match property {
            P::Conductor => {
                self.conductor = match text.trim() {
                    "" => Conductor::Unknown,
                    "none" => Conductor::None,
                    other => Size::parse(other)
                        .map(Conductor::Size)
                        .ok_or_else(|| bad(other, format!("none, or {}", Size::hint())))?,
                }
            }
            P::LengthM => self.length_m = not_negative(text, Quantity::Length)?,
            P::InsulationC => {
                let valid = "one of 60, 70, 75, 80, 85, 90, 105, 125, 200 (°C)";
                let bare = text.trim().trim_end_matches("°C").trim_end_matches(" C");
                self.insulation_c = whole(bare, 0..=999, valid)?
                    .map(|n| if INSULATIONS_C.contains(&n) { Ok(n) } else { Err(bad(text, valid)) })
                    .transpose()?;
            }
            P::Bundled => self.bundled = whole(text, 1..=999, "a whole number of conductors, 1 or more")?,
            P::Sheathed => self.sheathed = flag(text)?.unwrap_or(true),
            P::Through => self.through = choice!(SpaceKind, text)?,
            _ => return Err(ValueError::NotApplicable { kind: "cable", property: property.name() }),
        }
        Ok(())
    }

    /// A property of the cable as text, in the form of the circuit list; empty where it is not known or the default.
    #[must_use]
    pub fn get(&self, property: P) -> String {
        match property {
            P::Conductor => match self.conductor {
                Conductor::None => "none".to_owned(),
                Conductor::Unknown => String::new(),
                Conductor::Size(size) => size.to_string(),
            },
            P::LengthM => number_text(self.length_m),
            P::InsulationC => self.insulation_c.map_or_else(String::new, |n| n.to_string()),
            P::Bundled => self.bundled.map_or_else(String::new, |n| n.to_string()),
            P::Sheathed => flag_text(self.sheathed),
            P::Through => self.through.map_or_else(String::new, |s| s.slug().to_owned()),
            _ => String::new(),
        }
    }
}

impl Cable {
    /// Sets a property of the cable, or its tag or status, from text.
    ///
    /// # Errors
    /// See [`CableData::set`].
    pub fn set(&mut self, property: P, text: &str) -> Result<(), ValueError> {
        match property {
            P::Tag => text.trim().clone_into(&mut self.tag),
            P::Status => self.status = choice!(Status, text)?.unwrap_or_default(),
            _ => self.data.set(property, text)?,
        }
        Ok(())
    }

    /// A property of the cable as text, its tag and status included; empty where it is not known or the default.
    #[must_use]
    pub fn get(&self, property: P) -> String {
        match property {
            P::Tag => self.tag.clone(),
            P::Status => self.status.slug().to_owned(),
            _ => self.data.get(property),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::installation::{PartKind, Place, Point};

    fn appliance() -> Part {
        Part::new(PartKind::Appliance, "E1", Place::At(Point::default()))
    }

    #[test]
    fn name_plate_amperes_become_watts() {
        let mut part = appliance();
        assert_eq!(part.set(P::RunW, "10 A", System::TwoWire120), Ok(()));
        assert_eq!(part.run_w, Some(1200.0));
        part.pf = Some(0.8);
        part.leg = Some(Leg::L1L2);
        assert_eq!(part.set(P::RunW, "5A", System::SplitPhase), Ok(()));
        assert!((part.run_w.unwrap_or(0.0) - 960.0).abs() < 1e-9);
    }

    #[test]
    fn bad_values_leave_what_was_there() {
        let mut part = appliance();
        part.run_w = Some(50.0);
        for text in ["-5", "0", "abc", "inf", "1e12", "12 V"] {
            assert!(part.set(P::RunW, text, System::TwoWire120).is_err(), "{text}");
            assert_eq!(part.run_w, Some(50.0));
        }
        assert!(part.set(P::Pf, "1.01", System::TwoWire120).is_err());
        assert!(part.set(P::TankL, "5", System::TwoWire120).is_err(), "an appliance has no tank");
        assert!(part.set(P::Duty, "1", System::TwoWire120).is_ok());
    }

    #[test]
    fn what_is_written_reads_back() {
        let mut generator = Part::new(PartKind::Generator, "G1", Place::At(Point::default()));
        assert!(generator.set(P::FuelCurve, "0:0.19|25:0.222|100:0.9", System::TwoWire120).is_ok());
        let text = generator.get(P::FuelCurve);
        assert_eq!(text, "0:0.19|25:0.222|100:0.9");
        assert!(generator.set(P::FuelCurve, "25:0.3|0:0.2", System::TwoWire120).is_err());
        assert!(generator.set(P::FuelCurve, "0:10.5h/2L|25 %: 9 h on 2 L", System::TwoWire120).is_ok());
        assert_eq!(generator.fuel_curve, [(0.0, 2.0 / 10.5), (25.0, 2.0 / 9.0)]);
        for bad in ["25:0h/2L", "25:9h/", "25:h/2L", "25:9h/-2L"] {
            assert!(generator.set(P::FuelCurve, bad, System::TwoWire120).is_err(), "{bad}");
        }
        for (property, text) in [
            (P::Mode, "economy"),
            (P::FuelCurveConstant, "0:0.5|100:1.1"),
            (P::HoursDate, "2027-05-31"),
            (P::SizeMm, "512x290x425"),
            (P::NoiseDb, "58"),
            (P::Turns, "any"),
            (P::Note, "measured"),
        ] {
            assert_eq!(generator.set(property, text, System::TwoWire120), Ok(()));
            assert_eq!(generator.get(property), text);
        }
        assert!(generator.set(P::BatteryAh, "200", System::TwoWire120).is_err(), "a generator has no battery");
        let mut cable = CableData::unknown();
        for (property, text) in
            [(P::Conductor, "12 AWG"), (P::LengthM, "6.5"), (P::InsulationC, "105"), (P::Through, "engine-space")]
        {
            assert_eq!(cable.set(property, text), Ok(()));
            assert_eq!(cable.get(property), text);
        }
        assert!(cable.set(P::InsulationC, "100").is_err());
    }
}
