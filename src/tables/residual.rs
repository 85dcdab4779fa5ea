//! Residual-current devices as published: at what they must trip, and how soon.

use super::parse::Row;
use crate::units::Mark;

/// A residual-current device as published.
#[derive(Clone, Debug, PartialEq)]
pub struct ResidualDevice {
    /// Name of the row.
    pub device: String,
    /// Must trip at this, in milliamperes.
    pub trip_ma: f64,
    /// Must not trip at this, where the source says.
    pub must_not_trip_ma: Option<f64>,
    /// Within this time in seconds, where it is one figure.
    pub time_s: Option<f64>,
    /// The time in words.
    pub time_rule: String,
    /// Standard and clause.
    pub source: String,
    /// How it was come by.
    pub mark: Mark,
}

impl ResidualDevice {
    pub(super) fn read(row: &Row<'_>) -> Result<Self, String> {
        Ok(Self {
            device: row.text("device")?.to_owned(),
            trip_ma: row.number("trip_ma")?,
            must_not_trip_ma: row.optional("must_not_trip_ma")?,
            time_s: row.optional("time_s")?,
            time_rule: row.text("time_rule")?.to_owned(),
            source: row.source()?,
            mark: row.mark("mark")?,
        })
    }

    /// Seconds within which it must trip at so many milliamperes: the one figure, or for a ground-fault circuit
    /// interrupter of class A the formula of its row, (20/I)^1.43 s and never less than 0.02 s. `None` below what it must
    /// trip at and where the source gives no time.
    #[must_use]
    pub fn within_s(&self, ma: f64) -> Option<f64> {
        if ma < self.trip_ma {
            return None;
        }
        self.time_s.or_else(|| (self.device == "gfci_class_a").then(|| (20.0 / ma).powf(1.43).max(0.02)))
    }
}
