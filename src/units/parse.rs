//! What a person types: a number with an optional unit.

use thiserror::Error;

/// What kind of quantity a field takes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Quantity {
    /// Metres; `m`, `cm`, `mm`, `ft`, `in` are understood.
    Length,
    /// Watts; `W`, `kW`.
    Watts,
    /// Volt-amperes; `VA`, `kVA`.
    VoltAmps,
    /// Amperes; `A`, `mA`.
    Amps,
    /// Kiloamperes; `kA`, `A`.
    KiloAmps,
    /// Volts; `V`.
    Volts,
    /// Seconds; `s`, `ms`.
    Seconds,
    /// Litres; `L`, `gal` (US).
    Litres,
    /// A plain number.
    Plain,
}

impl Quantity {
    /// Unit names and how many of the base unit one of them is. The first is the base unit.
    const fn units(self) -> &'static [(&'static str, f64)] {
        match self {
            Self::Length => &[
                ("m", 1.0),
                ("cm", 0.01),
                ("mm", 0.001),
                ("ft", 0.3048),
                ("'", 0.3048),
                ("in", 0.0254),
                ("\"", 0.0254),
            ],
            Self::Watts => &[("w", 1.0), ("kw", 1000.0)],
            Self::VoltAmps => &[("va", 1.0), ("kva", 1000.0)],
            Self::Amps => &[("a", 1.0), ("ma", 0.001)],
            Self::KiloAmps => &[("ka", 1.0), ("a", 0.001)],
            Self::Volts => &[("v", 1.0)],
            Self::Seconds => &[("s", 1.0), ("ms", 0.001)],
            Self::Litres => &[("l", 1.0), ("gal", 3.785_411_784)],
            Self::Plain => &[("", 1.0)],
        }
    }

    /// What would be valid, for an error message.
    #[must_use]
    pub const fn hint(self) -> &'static str {
        match self {
            Self::Length => "a length such as 6 m, 450 cm or 20 ft",
            Self::Watts => "a power such as 1200 W or 1.5 kW",
            Self::VoltAmps => "an apparent power such as 2400 VA or 2.4 kVA",
            Self::Amps => "a current such as 10 A",
            Self::KiloAmps => "a fault current such as 10 kA",
            Self::Volts => "a voltage such as 120 V",
            Self::Seconds => "a time such as 0.8 s",
            Self::Litres => "a volume such as 40 L or 10 gal",
            Self::Plain => "a number",
        }
    }
}

/// Why a typed quantity was not understood.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
#[error("“{found}” is not {valid}")]
pub struct QuantityError {
    /// What was typed.
    pub found: String,
    /// What would be valid.
    pub valid: String,
}

/// Reads a finite number: digits, one decimal point (or a decimal comma), an exponent. No thousands separators: a comma
/// before exactly three digits could be either, and is refused rather than guessed at.
///
/// # Errors
/// Anything else, and numbers that are not finite.
pub fn parse_number(text: &str) -> Result<f64, QuantityError> {
    let error = || QuantityError { found: text.trim().to_owned(), valid: "a number".to_owned() };
    let cleaned = text.trim().replace(',', ".").replace('−', "-");
    let plain = cleaned.bytes().all(|b| b.is_ascii_digit() || matches!(b, b'.' | b'-' | b'+' | b'e' | b'E'));
    let thousands =
        text.trim().split(',').skip(1).any(|rest| rest.chars().take_while(char::is_ascii_digit).count() == 3);
    if cleaned.is_empty() || !plain || thousands {
        return Err(error());
    }
    cleaned.parse::<f64>().ok().filter(|v| v.is_finite()).ok_or_else(error)
}

/// Reads a quantity in its base unit. A bare number is taken in the base unit.
///
/// ```
/// use hullwire::units::{Quantity, parse_quantity};
/// assert_eq!(parse_quantity("1.5 kW", Quantity::Watts).unwrap(), 1500.0);
/// assert!(parse_quantity("1.5 kW", Quantity::Length).is_err());
/// ```
///
/// # Errors
/// Names what was found and what would be valid.
pub fn parse_quantity(text: &str, quantity: Quantity) -> Result<f64, QuantityError> {
    let trimmed = text.trim();
    let split = trimmed
        .char_indices()
        .find(|&(i, c)| {
            let exponent = matches!(c, 'e' | 'E')
                && trimmed[i + 1..].starts_with(|d: char| d.is_ascii_digit() || d == '-' || d == '+');
            !(c.is_ascii_digit() || matches!(c, '.' | ',' | '-' | '+' | '−') || exponent)
        })
        .map_or(trimmed.len(), |(i, _)| i);
    let (number, unit) = trimmed.split_at(split);
    let unit = unit.trim().to_lowercase();
    let error = || QuantityError { found: trimmed.to_owned(), valid: quantity.hint().to_owned() };
    let value = parse_number(number).map_err(|_| error())?;
    let factor = if unit.is_empty() {
        1.0
    } else {
        quantity.units().iter().find(|(name, _)| *name == unit).map(|(_, f)| *f).ok_or_else(error)?
    };
    Some(value * factor).filter(|v| v.is_finite()).ok_or_else(error)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn units_that_a_person_types() {
        assert_eq!(parse_quantity("6 m", Quantity::Length), Ok(6.0));
        assert!((parse_quantity("20 ft", Quantity::Length).unwrap_or(0.0) - 6.096).abs() < 1e-12);
        assert_eq!(parse_quantity("1.5kW", Quantity::Watts), Ok(1500.0));
        assert_eq!(parse_quantity("2,5 A", Quantity::Amps), Ok(2.5));
        assert_eq!(parse_quantity("1e3 W", Quantity::Watts), Ok(1000.0));
        for bad in ["", "m", "1,200 m", "6 parsecs", "1.2.3", "inf", "nan", "1e999", "0x10"] {
            assert!(parse_quantity(bad, Quantity::Length).is_err(), "{bad}");
        }
    }

    #[test]
    fn exponents_and_units_that_begin_with_e_are_told_apart() {
        assert_eq!(parse_quantity("1e-3 A", Quantity::Amps), Ok(0.001));
        assert_eq!(parse_quantity("1e+3 W", Quantity::Watts), Ok(1000.0));
        assert_eq!(parse_quantity("1E3", Quantity::Plain), Ok(1000.0));
        assert!(parse_quantity("1 e", Quantity::Plain).is_err());
        assert!(parse_number("").is_err() && parse_number("1 2").is_err() && parse_number("1,200").is_err());
    }

    #[test]
    fn what_would_be_valid_is_said() {
        for quantity in [
            Quantity::Length,
            Quantity::Watts,
            Quantity::VoltAmps,
            Quantity::Amps,
            Quantity::KiloAmps,
            Quantity::Volts,
            Quantity::Seconds,
            Quantity::Litres,
        ] {
            let example = quantity.hint().split_once("such as ").map_or("", |(_, e)| e.split(" or ").next().unwrap());
            let example = example.split(", ").next().unwrap();
            assert!(parse_quantity(example, quantity).is_ok(), "{}", quantity.hint());
        }
    }

    #[test]
    fn signs_of_more_than_one_byte_are_read_or_refused() {
        assert_eq!(parse_quantity("−2 A", Quantity::Amps), Ok(-2.0));
        for bad in ["5 µA", "5 Ω", "e3"] {
            assert!(parse_quantity(bad, Quantity::Amps).is_err(), "{bad}");
        }
    }
}
