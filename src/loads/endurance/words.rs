//! Endurance in words, the same on screen and in the terminal.

use super::{DayFuel, Doubt};
use crate::units::trimmed;

/// A figure with its unit; `not known` where there is none.
#[must_use]
pub fn number(value: Option<f64>, decimals: usize, unit: &str) -> String {
    value.map_or_else(|| "not known".to_owned(), |v| format!("{} {unit}", trimmed(v, decimals)))
}

/// `9 h claimed, 6.2 h possible`, or the one figure.
#[must_use]
pub fn range(claimed: Option<f64>, bound: Option<f64>, decimals: usize, unit: &str) -> String {
    match (claimed, bound) {
        (Some(_), Some(_)) => {
            format!("{} claimed, {} possible", number(claimed, decimals, unit), number(bound, decimals, unit))
        }
        _ => number(claimed, decimals, unit),
    }
}

impl Doubt {
    /// Why a figure cannot be right.
    #[must_use]
    pub fn words(&self) -> String {
        let percent = |share: f64| trimmed(100.0 * share, 0);
        match *self {
            Self::Overall { load_percent, efficiency } => format!(
                "at {} % load it would turn {} % of the fuel’s energy into electricity",
                trimmed(load_percent, 1),
                percent(efficiency)
            ),
            Self::Slope { from_percent, to_percent, efficiency } if efficiency.is_finite() => format!(
                "from {} to {} % load the added fuel would give {} % of its energy as electricity",
                trimmed(from_percent, 1),
                trimmed(to_percent, 1),
                percent(efficiency)
            ),
            Self::Slope { from_percent, to_percent, .. } => format!(
                "from {} to {} % load it would deliver more for no more fuel",
                trimmed(from_percent, 1),
                trimmed(to_percent, 1)
            ),
        }
    }
}

impl DayFuel {
    /// What a day takes from the generator of this tag, in a sentence or two.
    #[must_use]
    pub fn sentence(&self, tag: &str) -> String {
        let mut text = format!(
            "{tag}: runs {} h a day and takes {}; {} of its tank a day; the fuel aboard less the reserve lasts {}.",
            trimmed(self.hours, 2),
            range(self.litres, self.litres_high, 2, "L"),
            number(self.refills, 2, "fillings"),
            range(self.days, self.days_low, 1, "days")
        );
        if let Some(s) = &self.service {
            if s.overdue {
                text += " The service is overdue by the hour meter.";
            } else {
                text += &format!(" Next service in {} h of running", trimmed(s.hours_to_go, 1));
                text += &s.days.map_or_else(String::new, |d| format!(", {} days of this plan", trimmed(d, 1)));
                text += &s.date.map_or_else(String::new, |d| format!(", on {d}"));
                text += ".";
            }
        }
        if !self.missing.is_empty() {
            text += &format!(" Not known: {}.", self.missing.join("; "));
        }
        text
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_doubt_says_how_much_of_the_fuel_would_be_electricity() {
        let slope = |efficiency| Doubt::Slope { from_percent: 25.0, to_percent: 50.0, efficiency };
        assert_eq!(
            slope(0.6).words(),
            "from 25 to 50 % load the added fuel would give 60 % of its energy as electricity"
        );
        assert_eq!(slope(f64::INFINITY).words(), "from 25 to 50 % load it would deliver more for no more fuel");
        assert_eq!(
            Doubt::Overall { load_percent: 75.0, efficiency: 0.55 }.words(),
            "at 75 % load it would turn 55 % of the fuel’s energy into electricity"
        );
    }
}
