//! The properties of parts and cables by name, so that lists, editors, comparison and origins speak of the same things.

use super::system::slugs;
use crate::units::trimmed;
use serde::{Deserialize, Serialize};

/// A property of a part or of a cable. The slug is the column of the circuit list.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[expect(missing_docs, reason = "each is the field of the same name in Part, CableData or SetData")]
pub enum Property {
    Tag,
    Label,
    Volts,
    RunW,
    StartW,
    StartVa,
    StartS,
    Pf,
    LoadKind,
    Cycles,
    Continuous,
    Lighting,
    Duty,
    ChargeW,
    RatingA,
    Poles,
    Trip,
    InterruptingKa,
    Protection,
    Leg,
    Bonded,
    Portable,
    MustRun,
    Fuel,
    TankL,
    FuelCurve,
    Conductor,
    LengthM,
    InsulationC,
    Bundled,
    Sheathed,
    Through,
    Status,
    Note,
    FuelAboardL,
    ReserveL,
    Mode,
    FuelCurveConstant,
    HoursRun,
    HoursDate,
    ServiceAtH,
    SizeMm,
    AirGapMm,
    ExhaustGapMm,
    Turns,
    WeightKg,
    NoiseDb,
    NoiseM,
    BatteryAh,
    BatteryV,
    BatteryKwh,
    BatteryUsable,
    Efficiency,
    VoltsMin,
    VoltsMax,
    Hz,
}
slugs!(Property {
    Tag => "tag", Label => "label", Volts => "volts", RunW => "run_w", StartW => "start_w", StartVa => "start_va",
    StartS => "start_s", VoltsMin => "volts_min", VoltsMax => "volts_max", Hz => "hz", Pf => "pf",
    LoadKind => "load_kind", Cycles => "cycles", Continuous => "continuous", Lighting => "lighting", Duty => "duty",
    ChargeW => "charge_w", RatingA => "rating_a", Poles => "poles", Trip => "trip",
    InterruptingKa => "interrupting_ka", Protection => "protection", Leg => "leg",
    Bonded => "bonded", Portable => "portable", MustRun => "must_run", Fuel => "fuel", TankL => "tank_l",
    FuelCurve => "fuel_curve", Conductor => "conductor", LengthM => "length_m", InsulationC => "insulation_c",
    Bundled => "bundled", Sheathed => "sheathed", Through => "through", Status => "status",
    Note => "note",
    FuelAboardL => "fuel_aboard_l",
    ReserveL => "reserve_l",
    Mode => "mode",
    FuelCurveConstant => "fuel_curve_constant",
    HoursRun => "hours_run",
    HoursDate => "hours_date",
    ServiceAtH => "service_at_h",
    SizeMm => "size_mm",
    AirGapMm => "air_gap_mm",
    ExhaustGapMm => "exhaust_gap_mm",
    Turns => "turns",
    WeightKg => "weight_kg",
    NoiseDb => "noise_db",
    NoiseM => "noise_m",
    BatteryAh => "battery_ah",
    BatteryV => "battery_v",
    BatteryKwh => "battery_kwh",
    BatteryUsable => "battery_usable",
    Efficiency => "efficiency",
});

impl Property {
    /// The properties of a cable (or a shore cord).
    pub const OF_CABLE: &'static [Self] =
        &[Self::Conductor, Self::LengthM, Self::InsulationC, Self::Bundled, Self::Sheathed, Self::Through];
}

/// A figure with its unit, for showing a typed field again: `6 m`, `1500 W`.
#[must_use]
pub fn with_unit(property: Property, value: &str) -> String {
    let unit = match property {
        Property::Volts | Property::VoltsMin | Property::VoltsMax | Property::BatteryV => "V",
        Property::StartS => "s",
        Property::Hz => "Hz",
        Property::RunW | Property::StartW | Property::ChargeW => "W",
        Property::StartVa => "VA",
        Property::RatingA => "A",
        Property::InterruptingKa => "kA",
        Property::LengthM | Property::NoiseM => "m",
        Property::TankL | Property::FuelAboardL | Property::ReserveL => "L",
        Property::HoursRun | Property::ServiceAtH => "h",
        Property::AirGapMm | Property::ExhaustGapMm => "mm",
        Property::WeightKg => "kg",
        Property::NoiseDb => "dB(A)",
        Property::BatteryAh => "Ah",
        Property::BatteryKwh => "kWh",
        Property::InsulationC => "°C",
        _ => return value.replace("mm2", "mm²"),
    };
    match value.parse::<f64>() {
        Ok(v) => format!("{} {unit}", trimmed(v, 3)),
        Err(_) => value.to_owned(),
    }
}
