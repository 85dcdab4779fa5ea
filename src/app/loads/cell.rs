//! One cell of the table of loads as text: how an appliance is used in a condition.

use crate::installation::{Installation, PartId, Usage};
use crate::units::{parse_number, trimmed};

/// What was typed into a cell.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Entry {
    /// Switched off; how it is used while on stays.
    Off,
    /// Switched on and used so.
    On(Usage),
}

/// What would be valid, for a refusal.
pub const HINT: &str = "off, on, a share of the time such as 40 %, or that with how many run at once: 40 %, 2 at once";

/// The text of a cell: `off`, `60 %`, `100 %, 2 at once`.
#[must_use]
pub fn shown(doc: &Installation, condition: usize, part: PartId) -> String {
    if !doc.is_on(part, condition) {
        return "off".to_owned();
    }
    let usage = doc.conditions.get(condition).and_then(|c| c.usage.get(&part)).copied().unwrap_or_default();
    let most = usage.at_once.map_or_else(String::new, |n| format!(", {n} at once"));
    format!("{} %{most}", trimmed(100.0 * doc.share(part, condition), 1))
}

/// Reads what a person types. A bare number up to 1 is a share, above it per cent. `None` where it is nothing of the kind.
#[must_use]
pub fn read(text: &str) -> Option<Entry> {
    let text = text.trim().to_lowercase();
    match text.as_str() {
        "off" | "no" | "–" | "-" => return Some(Entry::Off),
        "" | "on" | "yes" => return Some(Entry::On(Usage::default())),
        _ => {}
    }
    let mut usage = Usage::default();
    for piece in text.split([',', ';']).map(str::trim).filter(|p| !p.is_empty()) {
        if let Some(count) = piece.strip_suffix("at once") {
            usage.at_once = Some(count.trim().parse().ok()?);
        } else if let Some(percent) = piece.strip_suffix('%') {
            usage.share = Some(parse_number(percent).ok()? / 100.0);
        } else {
            let number = parse_number(piece).ok()?;
            usage.share = Some(if number > 1.0 { number / 100.0 } else { number });
        }
    }
    usage.share.is_none_or(|s| (0.0..=1.0).contains(&s)).then_some(Entry::On(usage))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_a_person_types() {
        let on = |share, at_once| Some(Entry::On(Usage { share, at_once }));
        assert_eq!(read("off"), Some(Entry::Off));
        assert_eq!(read(""), on(None, None));
        assert_eq!(read("On"), on(None, None));
        assert_eq!(read("40 %"), on(Some(0.4), None));
        assert_eq!(read("40"), on(Some(0.4), None));
        assert_eq!(read("0.25"), on(Some(0.25), None));
        assert_eq!(read("1"), on(Some(1.0), None));
        assert_eq!(read("1 %"), on(Some(0.01), None));
        assert_eq!(read("50 %, 2 at once"), on(Some(0.5), Some(2)));
        assert_eq!(read("3 at once"), on(None, Some(3)));
        for bad in ["140 %", "-3", "x", "two at once", "40 %, x"] {
            assert_eq!(read(bad), None, "{bad}");
        }
    }
}
