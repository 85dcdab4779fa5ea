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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tables::parse::{Sheet, fixture};

    const MOTOR: [(&str, &str); 6] = [
        ("horsepower", "1"),
        ("volts", "115"),
        ("full_load_a", "16"),
        ("locked_rotor_a", "96"),
        ("source", "S"),
        ("mark", "read"),
    ];
    const LETTER: [(&str, &str); 5] =
        [("letter", "B"), ("kva_per_hp_min", "3.15"), ("kva_per_hp_max", "3.54"), ("source", "S"), ("mark", "read")];

    #[test]
    fn figures_of_a_motor_that_cannot_be_are_faults() {
        assert_eq!(Sheet::read("t", &fixture(&MOTOR, &[])).map(Motor::read).len(), 1);
        for (column, bad) in [
            ("horsepower", "0"),
            ("horsepower", "-1"),
            ("volts", "0"),
            ("volts", "-115"),
            ("full_load_a", "0"),
            ("full_load_a", "-16"),
            ("locked_rotor_a", "16"),
            ("locked_rotor_a", "15"),
        ] {
            let mut sheet = Sheet::read("t", &fixture(&MOTOR, &[(column, bad)]));
            assert_eq!(sheet.map(Motor::read), [], "{column} {bad}");
            assert_eq!(sheet.faults, ["t line 2: figures out of range"], "{column} {bad}");
        }
    }

    #[test]
    fn a_code_letter_ends_above_where_it_begins() {
        assert_eq!(Sheet::read("t", &fixture(&LETTER, &[("kva_per_hp_max", "")])).map(CodeLetter::read).len(), 1);
        for bad in ["3.15", "3.14"] {
            let mut sheet = Sheet::read("t", &fixture(&LETTER, &[("kva_per_hp_max", bad)]));
            assert_eq!(sheet.map(CodeLetter::read), [], "{bad}");
        }
    }

    #[test]
    fn locked_rotor_amps_by_hand() {
        // Letter B, 2 hp at 230 V: 3.15 kVA · 2 / 230 V = 27.391 A to 3.54 · 2 / 230 = 30.783 A.
        let tables = crate::tables::get();
        let of = |name: &str| tables.code_letters().iter().find(|l| l.letter == name).expect("is in the table");
        let (least, most) = of("B").locked_rotor_a(2.0, 230.0);
        assert!((least - 27.391_304).abs() < 1e-5, "{least}");
        assert!(most.is_some_and(|a| (a - 30.782_609).abs() < 1e-5), "{most:?}");
        let (least, most) = of("V").locked_rotor_a(1.0, 115.0);
        assert!((least - 194.782_609).abs() < 1e-5 && most.is_none(), "{least} {most:?}");
        assert_eq!(tables.motors().len(), 48);
    }
}
