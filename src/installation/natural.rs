//! The order in which a person lists tags.

use std::cmp::Ordering;

/// A sort key under which `Q2` comes before `Q10`.
#[must_use]
pub fn natural(tag: &str) -> (String, u64, String) {
    let (letters, number, tail) = split(tag);
    (letters.to_owned(), number, tail.to_owned())
}

/// How two tags stand in the order of [`natural`]; equal only where they are the same text.
#[must_use]
pub fn natural_order(a: &str, b: &str) -> Ordering {
    split(a).cmp(&split(b)).then_with(|| a.cmp(b))
}

fn split(tag: &str) -> (&str, u64, &str) {
    let digits = tag.find(|c: char| c.is_ascii_digit()).unwrap_or(tag.len());
    let (letters, rest) = tag.split_at(digits);
    let end = rest.find(|c: char| !c.is_ascii_digit()).unwrap_or(rest.len());
    let (number, tail) = rest.split_at(end);
    (letters, number.parse().unwrap_or(0), tail)
}

#[cfg(test)]
mod tests {
    use super::{natural, natural_order};

    #[test]
    fn numbers_in_tags_count() {
        let mut tags = vec!["Q10", "Q2", "A1", "Q2.1", "Q"];
        tags.sort_by_key(|t| natural(t));
        assert_eq!(tags, ["A1", "Q", "Q2", "Q2.1", "Q10"]);
        tags.sort_by(|a, b| natural_order(b, a));
        assert_eq!(tags, ["Q10", "Q2.1", "Q2", "Q", "A1"]);
        assert!(natural_order("Q2", "Q02").is_gt() && natural_order("Q2", "Q2").is_eq());
    }
}
