//! Differences as a person reads them: on the terminal, in the window and on paper alike.

use super::{Change, Comparison, Entry};
use crate::installation::{Property, with_unit};

impl Change {
    /// What differs: `length of the cable from Q3`, `feeding, condition “At anchor”`.
    #[must_use]
    pub fn what(&self) -> String {
        let name = Property::from_slug(&self.property)
            .map_or_else(|| self.property.replace('_', " "), |p| p.name().to_owned());
        let condition =
            if self.condition.is_empty() { String::new() } else { format!(", condition “{}”", self.condition) };
        let cable = if self.from.is_empty() { String::new() } else { format!(" of the cable from {}", self.from) };
        format!("{name}{cable}{condition}")
    }

    /// The value before, with its unit.
    #[must_use]
    pub fn old_words(&self) -> String {
        self.words(&self.old)
    }

    /// The value after, with its unit.
    #[must_use]
    pub fn new_words(&self) -> String {
        self.words(&self.new)
    }

    fn words(&self, value: &str) -> String {
        let known = Property::from_slug(&self.property)
            .or_else(|| (self.property == "cable_status").then_some(Property::Status));
        match (known, value) {
            (_, "") => "not stated".to_owned(),
            (Some(property), value) => with_unit(property, value),
            (None, value) => value.to_owned(),
        }
    }
}

impl Comparison {
    /// What came: parts, then cables; a cable to a part that comes with it needs no line of its own.
    #[must_use]
    pub fn come(&self) -> Vec<&Entry> {
        own(&self.added, &self.cables_added)
    }

    /// What went, likewise.
    #[must_use]
    pub fn gone(&self) -> Vec<&Entry> {
        own(&self.removed, &self.cables_removed)
    }
}

fn own<'a>(parts: &'a [Entry], cables: &'a [Entry]) -> Vec<&'a Entry> {
    let own = cables.iter().filter(|c| !parts.iter().any(|p| p.tag == c.tag));
    parts.iter().chain(own).collect()
}
