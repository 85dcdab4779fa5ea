//! The order in which a person lists tags.

/// A sort key under which `Q2` comes before `Q10`.
#[must_use]
pub fn natural(tag: &str) -> (String, u64, String) {
    let digits = tag.find(|c: char| c.is_ascii_digit()).unwrap_or(tag.len());
    let (letters, rest) = tag.split_at(digits);
    let end = rest.find(|c: char| !c.is_ascii_digit()).unwrap_or(rest.len());
    let (number, tail) = rest.split_at(end);
    (letters.to_owned(), number.parse().unwrap_or(0), tail.to_owned())
}

#[cfg(test)]
mod tests {
    use super::natural;

    #[test]
    fn numbers_in_tags_count() {
        let mut tags = vec!["Q10", "Q2", "A1", "Q2.1", "Q"];
        tags.sort_by_key(|t| natural(t));
        assert_eq!(tags, ["A1", "Q", "Q2", "Q2.1", "Q10"]);
    }
}
