//! Readings in words, the same on screen and in the terminal.

use crate::installation::ReadQuantity;
use crate::units;

/// Per cent are worked out in watts.
#[must_use]
pub fn shown_as(quantity: ReadQuantity) -> ReadQuantity {
    if quantity == ReadQuantity::Percent { ReadQuantity::Watts } else { quantity }
}

/// A figure of a reading with its unit.
#[must_use]
pub fn amount(quantity: ReadQuantity, value: f64) -> String {
    match shown_as(quantity) {
        ReadQuantity::Volts => units::volts(value),
        ReadQuantity::Amps => units::amps(value),
        _ => units::watts(value),
    }
}

/// A range in words; one figure where the ends are shown alike.
#[must_use]
pub fn range(quantity: ReadQuantity, (low, high): (f64, f64)) -> String {
    let (low, high) = (amount(quantity, low), amount(quantity, high));
    if low == high { low } else { format!("{low} to {high}") }
}
