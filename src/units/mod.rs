//! Quantities, their marks and their display: the one place for rounding, formatting and reading what a person types.
//!
//! What lives here: number formatting, parsing of typed quantities, complex numbers, the severity scale and the mark
//! that says where a figure comes from. What must not: any knowledge of parts, tables, files or windows.

mod date;
mod format;
mod parse;
mod severity;

pub use date::Date;
pub use format::{
    FOOT_M, amps, band, exact_length, length, metres, pair, percent, quantity, signed_percent, trimmed, typed_length,
    va, volts, watts,
};
pub use parse::{Quantity, QuantityError, parse_number, parse_quantity};
pub use severity::{Mark, Severity};

/// A phasor: RMS magnitude and angle as a complex number.
pub type Complex = num_complex::Complex<f64>;

/// True where `figure` is above `limit` by more than 1e-9 of it. Equal to a limit is within it, in every comparison.
#[must_use]
pub fn above(figure: f64, limit: f64) -> bool {
    figure > limit + limit.abs() * 1e-9
}

/// True where `figure` is below `limit` by more than 1e-9 of it.
#[must_use]
pub fn below(figure: f64, limit: f64) -> bool {
    figure < limit - limit.abs() * 1e-9
}

#[cfg(test)]
mod tests {
    use super::{above, below};

    #[test]
    fn equal_to_a_limit_is_within_it() {
        assert!(!above(16.0, 16.0));
        assert!(!above(16.0 * (1.0 + 0.9e-9), 16.0));
        assert!(above(16.0 * (1.0 + 1.1e-9), 16.0));
        assert!(!below(108.0, 108.0));
        assert!(below(107.999, 108.0));
    }

    #[test]
    fn nothing_is_neither_above_nor_below_nothing() {
        assert!(!above(0.0, 0.0) && !below(0.0, 0.0));
    }
}
