//! How figures are shown: one rule per quantity, the same on screen, in the terminal and on paper.

/// A number with at most `decimals` decimals, trailing zeros removed, never "-0". Not-a-number gives "not known".
#[must_use]
pub fn trimmed(value: f64, decimals: usize) -> String {
    if !value.is_finite() {
        return "not known".to_owned();
    }
    let mut text = format!("{value:.decimals$}");
    if text.contains('.') {
        text.truncate(text.trim_end_matches('0').trim_end_matches('.').len());
    }
    if text == "-0" { "0".to_owned() } else { text }
}

/// Groups the digits before the decimal point of [`trimmed`] in threes: `12,340`, `1,234.5`.
fn grouped(value: f64, decimals: usize) -> String {
    let text = trimmed(value, decimals);
    let (sign, rest) = text.strip_prefix('-').map_or(("", text.as_str()), |d| ("-", d));
    let digits = rest.split('.').next().unwrap_or_default();
    if !digits.bytes().all(|b| b.is_ascii_digit()) {
        return text;
    }
    let mut out = String::from(sign);
    for (i, c) in digits.chars().enumerate() {
        if i > 0 && (digits.len() - i).is_multiple_of(3) {
            out.push(',');
        }
        out.push(c);
    }
    out + &rest[digits.len()..]
}

/// A figure in any unit with at most `decimals` decimals: `12,340 W`, `145.51 V`; without a unit the number alone.
#[must_use]
pub fn quantity(value: f64, decimals: usize, unit: &str) -> String {
    format!("{} {unit}", grouped(value, decimals)).trim_end().to_owned()
}

/// A figure against its limit in one unit, with as many decimals as it takes to tell them apart: `10.3 A`, `10 A`.
#[must_use]
pub fn pair(figure: f64, limit: f64, unit: &str) -> (String, String) {
    let few = if figure.abs() >= 1000.0 { 0 } else { 1 };
    let decimals = (few..=9).find(|&d| trimmed(figure, d) != trimmed(limit, d)).unwrap_or(few);
    let show = |value: f64| quantity(value, decimals, unit);
    (show(figure), show(limit))
}

/// Amperes: `0 A`, `10.3 A`, `104 A`.
#[must_use]
pub fn amps(value: f64) -> String {
    if !value.is_finite() {
        return "not known".to_owned();
    }
    if value.abs() >= 99.95 {
        format!("{value:.0} A")
    } else if value.abs() < 0.05 {
        "0 A".to_owned()
    } else {
        format!("{value:.1} A")
    }
}

/// Volts: `119.4 V`.
#[must_use]
pub fn volts(value: f64) -> String {
    if value.is_finite() { format!("{value:.1} V") } else { "not known".to_owned() }
}

/// Watts: `1,980 W`.
#[must_use]
pub fn watts(value: f64) -> String {
    if value.is_finite() { format!("{} W", grouped(value, 0)) } else { "not known".to_owned() }
}

/// Volt-amperes: `2,400 VA`.
#[must_use]
pub fn va(value: f64) -> String {
    if value.is_finite() { format!("{} VA", grouped(value, 0)) } else { "not known".to_owned() }
}

/// Per cent with one decimal: `1.1 %`.
#[must_use]
pub fn percent(value: f64) -> String {
    if value.is_finite() { format!("{value:.1} %") } else { "not known".to_owned() }
}

/// Per cent with a sign: `−1.6 %`, `+0.4 %`.
#[must_use]
pub fn signed_percent(value: f64) -> String {
    if !value.is_finite() {
        return "not known".to_owned();
    }
    let shown = format!("{:.1}", value.abs());
    let sign = if shown == "0.0" {
        ""
    } else if value < 0.0 {
        "−"
    } else {
        "+"
    };
    format!("{sign}{shown} %")
}

/// A band in one unit: `11.8 to 12.9 A`; one figure where both ends are shown alike.
#[must_use]
pub fn band(least: f64, most: f64, unit: fn(f64) -> String) -> String {
    let (low, high) = (unit(least), unit(most));
    if low == high {
        return low;
    }
    match (low.rsplit_once(' '), high.rsplit_once(' ')) {
        (Some((number, a)), Some((_, b))) if a == b => format!("{number} to {high}"),
        _ => format!("{low} to {high}"),
    }
}

/// A length in metres: `6.0 m`, `0.5 m`.
#[must_use]
pub fn metres(value: f64) -> String {
    if value.is_finite() { format!("{value:.1} m") } else { "not known".to_owned() }
}

/// Metres in a foot.
pub const FOOT_M: f64 = 0.3048;

/// A length in metres or, where `feet` is set, in feet.
#[must_use]
pub fn length(metres_value: f64, feet: bool) -> String {
    if feet && metres_value.is_finite() { format!("{:.1} ft", metres_value / FOOT_M) } else { metres(metres_value) }
}

/// A length for a field, as exactly as it is worth: `6.25 m`, `20.5 ft`.
#[must_use]
pub fn exact_length(metres_value: f64, feet: bool) -> String {
    match feet {
        true => format!("{} ft", super::trimmed(metres_value / FOOT_M, 2)),
        false => format!("{} m", super::trimmed(metres_value, 2)),
    }
}

/// A length as a person types it where `feet` are shown: a bare number is in feet.
#[must_use]
pub fn typed_length(text: &str, feet: bool) -> String {
    if feet && super::parse_number(text).is_ok() { format!("{text} ft") } else { text.to_owned() }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_figure_just_above_its_limit_can_be_told_from_it() {
        assert_eq!(pair(10.3, 10.0, "A"), ("10.3 A".to_owned(), "10 A".to_owned()));
        assert_eq!(pair(10.001, 10.0, "A"), ("10.001 A".to_owned(), "10 A".to_owned()));
        assert_eq!(pair(2100.4, 2000.0, "W"), ("2,100 W".to_owned(), "2,000 W".to_owned()));
    }

    #[test]
    fn figures_line_up() {
        assert_eq!(amps(10.3), "10.3 A");
        assert_eq!(amps(104.4), "104 A");
        assert_eq!(amps(0.01), "0 A");
        assert_eq!(watts(1980.4), "1,980 W");
        assert_eq!(band(11.81, 12.94, amps), "11.8 to 12.9 A");
        assert_eq!(band(11.81, 11.82, amps), "11.8 A");
        assert_eq!(band(f64::NAN, 1.0, amps), "not known to 1.0 A");
        assert_eq!(watts(123.0), "123 W");
        assert_eq!(watts(-1_234_567.0), "-1,234,567 W");
        assert_eq!(signed_percent(-1.62), "−1.6 %");
        assert_eq!(signed_percent(-0.01), "0.0 %");
        assert_eq!(trimmed(2.50, 2), "2.5");
        assert_eq!(trimmed(-0.001, 1), "0");
        assert_eq!(trimmed(f64::NAN, 1), "not known");
        assert_eq!(length(6.096, true), "20.0 ft");
    }

    #[test]
    fn each_quantity_has_its_unit_and_its_decimals() {
        assert_eq!(volts(119.44), "119.4 V");
        assert_eq!(va(2400.4), "2,400 VA");
        assert_eq!(percent(1.14), "1.1 %");
        assert_eq!(amps(0.05), "0.1 A");
        for unit in [volts, va, percent, amps, watts] {
            assert_eq!(unit(f64::INFINITY), "not known");
        }
        assert_eq!(length(f64::NAN, true), "not known");
        assert_eq!((length(6.0, false), exact_length(6.25, false)), ("6.0 m".to_owned(), "6.25 m".to_owned()));
        // A foot is 0.3048 m exactly (international yard and pound agreement of 1959).
        assert_eq!(exact_length(6.2484, true), "20.5 ft");
    }

    #[test]
    fn a_bare_number_is_in_feet_where_feet_are_shown() {
        assert_eq!(typed_length("20", true), "20 ft");
        assert_eq!(typed_length("20 m", true), "20 m");
        assert_eq!(typed_length("20", false), "20");
        assert_eq!(typed_length("long", false), "long");
    }
}
