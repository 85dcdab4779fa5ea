//! Readings of meters on the real boat: what was on, where and what was read, and how the display rounds.

use super::ids::PartId;
use super::system::slugs;

/// What a meter shows.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum ReadQuantity {
    /// Watts.
    #[default]
    Watts,
    /// Load in per cent of a rating.
    Percent,
    /// Volts.
    Volts,
    /// Amperes.
    Amps,
}
slugs!(ReadQuantity { Watts => "watts", Percent => "percent", Volts => "volts", Amps => "amps" });

impl ReadQuantity {
    /// The unit.
    #[must_use]
    pub const fn unit(self) -> &'static str {
        match self {
            Self::Watts => "W",
            Self::Percent => "%",
            Self::Volts => "V",
            Self::Amps => "A",
        }
    }
}

/// How a display rounds to its step.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum Rounding {
    /// To the step below: the true value is from the value to the value + step.
    Down,
    /// To the nearest: half a step either way.
    Nearest,
    /// Not known: a step either way.
    #[default]
    Unknown,
}
slugs!(Rounding { Down => "down", Nearest => "nearest", Unknown => "unknown" });

/// One reading.
#[derive(Clone, Debug, PartialEq)]
pub struct Reading {
    /// Appliances that were on; all others were off.
    pub on: Vec<PartId>,
    /// The source or part that was read.
    pub at: PartId,
    /// What was read.
    pub quantity: ReadQuantity,
    /// What the display showed, ≥ 0.
    pub value: f64,
    /// Step of the display, ≥ 0; 0 is exact.
    pub step: f64,
    /// How the display rounds.
    pub rounding: Rounding,
    /// For per cent: watts that are 100 %; `None` takes the running watts of the source that was read.
    pub rated_w: Option<f64>,
}

impl Reading {
    /// The range that holds the true value, in the unit of the quantity; never below 0.
    #[must_use]
    pub fn range(&self) -> (f64, f64) {
        let (down, up) = match self.rounding {
            Rounding::Down => (0.0, self.step),
            Rounding::Nearest => (self.step / 2.0, self.step / 2.0),
            Rounding::Unknown => (self.step, self.step),
        };
        ((self.value - down).max(0.0), self.value + up)
    }
}
