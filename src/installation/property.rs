//! The properties of parts and cables by name, so that lists, editors, comparison and origins speak of the same things.

use super::system::slugs;
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
}
slugs!(Property {
    Tag => "tag", Label => "label", Volts => "volts", RunW => "run_w", StartW => "start_w", StartVa => "start_va", Pf => "pf",
    LoadKind => "load_kind", Cycles => "cycles", Continuous => "continuous", Lighting => "lighting", Duty => "duty",
    ChargeW => "charge_w", RatingA => "rating_a", Poles => "poles", Trip => "trip", InterruptingKa => "interrupting_ka", Protection => "protection", Leg => "leg",
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
