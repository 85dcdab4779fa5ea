//! What is aboard that no symbol shows, but that rules ask for.

use super::SpaceKind;
use std::collections::BTreeSet;

/// Alarms and petrol, as a person states them.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Aboard {
    /// Whether each sleeping space has an alarm for carbon monoxide; `None` where it is not known.
    pub co_alarms: Option<bool>,
    /// The kinds of space in which a petrol engine or a petrol tank stands, those of the generators in the drawing aside;
    /// empty where there is none, `None` where it is not known.
    pub petrol: Option<BTreeSet<SpaceKind>>,
}

impl Aboard {
    /// The spaces with petrol as words: `none`, or the words of circuit lists joined by `|`; empty where it is not known.
    #[must_use]
    pub fn petrol_words(&self) -> String {
        match &self.petrol {
            None => String::new(),
            Some(spaces) if spaces.is_empty() => "none".to_owned(),
            Some(spaces) => spaces.iter().map(|s| s.slug()).collect::<Vec<_>>().join("|"),
        }
    }

    /// Reads those words; `None` where one of them is no kind of space.
    #[must_use]
    pub fn parse_petrol(words: &str) -> Option<BTreeSet<SpaceKind>> {
        let words = words.trim().to_lowercase();
        if words == "none" {
            return Some(BTreeSet::new());
        }
        words.split('|').map(|w| SpaceKind::from_slug(w.trim())).collect()
    }

    /// `yes`, `no`, or empty where it is not known.
    #[must_use]
    pub const fn co_alarms_word(&self) -> &'static str {
        match self.co_alarms {
            None => "",
            Some(true) => "yes",
            Some(false) => "no",
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_of_petrol_read_back() {
        for petrol in [vec![], vec![SpaceKind::EngineSpace], vec![SpaceKind::EngineSpace, SpaceKind::Lazarette]] {
            let aboard = Aboard { petrol: Some(petrol.into_iter().collect()), ..Aboard::default() };
            assert_eq!(Aboard::parse_petrol(&aboard.petrol_words()), aboard.petrol);
        }
        assert_eq!(Aboard::default().petrol_words(), "");
        assert_eq!(Aboard::parse_petrol(" Lazarette | engine-space").map(|s| s.len()), Some(2));
        for bad in ["", "bilge", "none|galley", "galley|"] {
            assert_eq!(Aboard::parse_petrol(bad), None, "{bad}");
        }
    }
}
