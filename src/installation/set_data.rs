//! What is known of a generator or an inverter beyond its electrical ratings: fuel aboard, hour meter, size, noise, battery.

use super::property::Property as P;
use super::system::slugs;
use super::tray::Size;
use super::values::{
    Low, ValueError, choice, figure, fuel_curve, fuel_curve_text, not_negative, number_text, positive,
};
use crate::units::{Date, Quantity};

/// In which turns a set may be put into a tray.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum Turns {
    /// Upright, turned about the vertical by 0° or 90° only: what an engine's oil and carburettor ask for.
    #[default]
    Upright,
    /// Lying on any side as well.
    Any,
}
slugs!(Turns { Upright => "upright", Any => "any" });

/// Whether a set lets its engine slow down with the load.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Mode {
    /// Speed follows the load.
    Economy,
    /// The engine turns at one speed.
    ConstantSpeed,
}
slugs!(Mode { Economy => "economy", ConstantSpeed => "constant-speed" });

/// Figures of use. `None` and empty mean "not known", never zero.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct SetData {
    /// Generator: usable litres aboard in all, the set's own tank included.
    pub fuel_aboard_l: Option<f64>,
    /// Generator: litres that are kept back.
    pub reserve_l: Option<f64>,
    /// Generator: in which mode it runs. The fuel curve of the part holds for economy mode where
    /// `fuel_curve_constant` is stated too, else for whatever mode the set runs in.
    pub mode: Option<Mode>,
    /// Generator: points (load per cent, litres per hour) at constant speed, ascending in load.
    pub fuel_curve_constant: Vec<(f64, f64)>,
    /// Reading of the hour meter.
    pub hours_run: Option<f64>,
    /// The day on which the hour meter was read.
    pub hours_date: Option<Date>,
    /// Reading of the hour meter at which the next service is due.
    pub service_at_h: Option<f64>,
    /// Length, width and height in millimetres; the exhaust leaves at one end of the length.
    pub size: Option<Size>,
    /// Clearance for cooling air at every other side and above, millimetres.
    pub air_gap_mm: Option<f64>,
    /// Clearance at the exhaust end, millimetres.
    pub exhaust_gap_mm: Option<f64>,
    /// In which turns it may stand.
    pub turns: Turns,
    /// Mass ready to run, kilograms.
    pub weight_kg: Option<f64>,
    /// Sound pressure level in dB(A) as stated, at `noise_m`.
    pub noise_db: Option<f64>,
    /// Distance at which `noise_db` holds, metres; `None`: not stated, and then the level says nothing.
    pub noise_m: Option<f64>,
    /// Inverter: capacity of the battery, ampere-hours; with `battery_v` it gives energy.
    pub battery_ah: Option<f64>,
    /// Inverter: nominal volts of the battery.
    pub battery_v: Option<f64>,
    /// Inverter: energy of the battery in kWh, where stated so.
    pub battery_kwh: Option<f64>,
    /// Inverter: share of the capacity that may be used, 0 to 1.
    pub battery_usable: Option<f64>,
    /// Inverter: AC out over DC in, 0 to 1.
    pub efficiency: Option<f64>,
}

impl SetData {
    /// The properties that are kept here.
    pub const PROPERTIES: &'static [P] = &[
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
        P::BatteryAh,
        P::BatteryV,
        P::BatteryKwh,
        P::BatteryUsable,
        P::Efficiency,
    ];

    /// Energy of the battery in kWh: as stated, else ampere-hours × volts.
    #[must_use]
    pub fn energy_kwh(&self) -> Option<f64> {
        self.battery_kwh.or_else(|| Some(self.battery_ah? * self.battery_v? / 1000.0))
    }

    pub(super) fn set(&mut self, property: P, text: &str) -> Result<(), ValueError> {
        let share = |text: &str| figure(text, Quantity::Plain, Low::Above(0.0), 1.0, "a number above 0, at most 1");
        let bare = |text: &str, low: Low, high: f64, valid: &str| figure(text, Quantity::Plain, low, high, valid);
        const HOURS: &str = "hours, a number from 0 such as 350";
        const GAP: &str = "millimetres, a number from 0 to 10000 such as 50";
        match property {
            P::FuelAboardL => self.fuel_aboard_l = not_negative(text, Quantity::Litres)?,
            P::ReserveL => self.reserve_l = not_negative(text, Quantity::Litres)?,
            P::Mode => self.mode = choice!(Mode, text)?,
            P::FuelCurveConstant => self.fuel_curve_constant = fuel_curve(text)?,
            P::HoursRun => self.hours_run = bare(text, Low::From(0.0), 1e6, HOURS)?,
            P::HoursDate => {
                self.hours_date = match text.trim() {
                    "" => None,
                    day => Some(Date::parse(day).ok_or_else(|| super::values::bad(day, Date::HINT))?),
                }
            }
            P::ServiceAtH => self.service_at_h = bare(text, Low::Above(0.0), 1e6, "hours, a number above 0")?,
            P::SizeMm => {
                self.size = match text.trim() {
                    "" => None,
                    size => Some(Size::parse(size).ok_or_else(|| super::values::bad(size, Size::HINT))?),
                }
            }
            P::AirGapMm => self.air_gap_mm = bare(text, Low::From(0.0), 1e4, GAP)?,
            P::ExhaustGapMm => self.exhaust_gap_mm = bare(text, Low::From(0.0), 1e4, GAP)?,
            P::Turns => self.turns = choice!(Turns, text)?.unwrap_or_default(),
            P::WeightKg => {
                self.weight_kg = bare(text, Low::Above(0.0), 1e5, "kilograms, a number above 0 such as 21")?;
            }
            P::NoiseDb => {
                self.noise_db = bare(text, Low::Above(0.0), 150.0, "dB(A), a number above 0, at most 150, such as 58")?;
            }
            P::NoiseM => self.noise_m = positive(text, Quantity::Length)?,
            P::BatteryAh => {
                self.battery_ah = bare(text, Low::Above(0.0), 1e6, "ampere-hours, a number above 0 such as 200")?;
            }
            P::BatteryV => self.battery_v = positive(text, Quantity::Volts)?,
            P::BatteryKwh => {
                self.battery_kwh = bare(text, Low::Above(0.0), 1e4, "kilowatt-hours, a number above 0 such as 5.1")?;
            }
            P::BatteryUsable => self.battery_usable = share(text)?,
            P::Efficiency => self.efficiency = share(text)?,
            _ => {}
        }
        Ok(())
    }

    pub(super) fn get(&self, property: P) -> String {
        match property {
            P::FuelAboardL => number_text(self.fuel_aboard_l),
            P::ReserveL => number_text(self.reserve_l),
            P::Mode => self.mode.map_or_else(String::new, |m| m.slug().to_owned()),
            P::FuelCurveConstant => fuel_curve_text(&self.fuel_curve_constant),
            P::HoursRun => number_text(self.hours_run),
            P::HoursDate => self.hours_date.map_or_else(String::new, |d| d.to_string()),
            P::ServiceAtH => number_text(self.service_at_h),
            P::SizeMm => self.size.map_or_else(String::new, |s| s.to_string()),
            P::AirGapMm => number_text(self.air_gap_mm),
            P::ExhaustGapMm => number_text(self.exhaust_gap_mm),
            P::Turns => self.turns.slug().to_owned(),
            P::WeightKg => number_text(self.weight_kg),
            P::NoiseDb => number_text(self.noise_db),
            P::NoiseM => number_text(self.noise_m),
            P::BatteryAh => number_text(self.battery_ah),
            P::BatteryV => number_text(self.battery_v),
            P::BatteryKwh => number_text(self.battery_kwh),
            P::BatteryUsable => number_text(self.battery_usable),
            P::Efficiency => number_text(self.efficiency),
            _ => String::new(),
        }
    }
}
