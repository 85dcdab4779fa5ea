//! Single-phase motors as published: what they draw at full load and with the rotor held, and the code letters.

use super::parse::Row;
use crate::units::Mark;

/// A single-phase motor of NEC (NFPA 70) table 430.248.
#[derive(Clone, Debug, PartialEq)]
pub struct Motor {
    /// Rated horsepower.
    pub horsepower: f64,
    /// Rated volts.
    pub volts: f64,
    /// Amperes at full load; high on purpose, for the choice of wire, not for the running load.
    pub full_load_a: f64,
    /// Amperes with the rotor held, where table 430.251(A) has the motor.
    pub locked_rotor_a: Option<f64>,
    /// Standard and tables.
    pub source: String,
    /// How it was come by.
    pub mark: Mark,
}

/// A code letter of NEC (NFPA 70) table 430.7(B): volt-amperes with the rotor held.
#[derive(Clone, Debug, PartialEq)]
pub struct CodeLetter {
    /// The letter on the name plate.
    pub letter: String,
    /// Least kilovolt-amperes for each horsepower.
    pub least_kva: f64,
    /// Most kilovolt-amperes for each horsepower; `None` for the last letter, which has no upper end.
    pub most_kva: Option<f64>,
    /// Standard and table.
    pub source: String,
    /// How it was come by.
    pub mark: Mark,
}

impl Motor {
    pub(super) fn read(row: &Row<'_>) -> Result<Self, String> {
        let motor = Self {
            horsepower: row.number("horsepower")?,
            volts: row.number("volts")?,
            full_load_a: row.number("full_load_a")?,
            locked_rotor_a: row.optional("locked_rotor_a")?,
            source: row.source()?,
            mark: row.mark("mark")?,
        };
        let sound = motor.horsepower > 0.0 && motor.volts > 0.0 && motor.full_load_a > 0.0;
        if sound && motor.locked_rotor_a.is_none_or(|a| a > motor.full_load_a) {
            Ok(motor)
        } else {
            Err(row.fault("figures out of range"))
        }
    }
}

impl CodeLetter {
    pub(super) fn read(row: &Row<'_>) -> Result<Self, String> {
        let letter = Self {
            letter: row.text("letter")?.to_owned(),
            least_kva: row.number("kva_per_hp_min")?,
            most_kva: row.optional("kva_per_hp_max")?,
            source: row.source()?,
            mark: row.mark("mark")?,
        };
        if letter.most_kva.is_none_or(|most| most > letter.least_kva) {
            Ok(letter)
        } else {
            Err(row.fault("figures out of range"))
        }
    }

    /// Least and most amperes with the rotor held of a motor of so many horsepower at so many volts, single-phase.
    #[must_use]
    pub fn locked_rotor_a(&self, horsepower: f64, volts: f64) -> (f64, Option<f64>) {
        let amps = |kva: f64| kva * horsepower * 1000.0 / volts;
        (amps(self.least_kva), self.most_kva.map(amps))
    }
}
