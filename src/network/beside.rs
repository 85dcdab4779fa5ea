//! A map that is gone through beside another one of the same keys.

use std::collections::BTreeMap;
use std::collections::btree_map::Iter;
use std::iter::Peekable;

/// Asked for keys in rising order, it takes a step a key in place of a search.
pub(super) struct Beside<'a, K, V> {
    rest: Peekable<Iter<'a, K, V>>,
}

impl<'a, K: Ord, V> Beside<'a, K, V> {
    pub(super) fn new(map: &'a BTreeMap<K, V>) -> Self {
        Self { rest: map.iter().peekable() }
    }

    /// The value of a key that is not before any that was asked for.
    pub(super) fn at(&mut self, key: &K) -> Option<&'a V> {
        while self.rest.next_if(|(other, _)| *other < key).is_some() {}
        self.rest.peek().filter(|(other, _)| *other == key).map(|(_, value)| *value)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn keys_are_found_and_missed_in_rising_order() {
        let map = BTreeMap::from([(2, 'a'), (3, 'b'), (7, 'c')]);
        let mut beside = Beside::new(&map);
        let found: Vec<Option<char>> = [1, 2, 2, 5, 7, 9].iter().map(|key| beside.at(key).copied()).collect();
        assert_eq!(found, [None, Some('a'), Some('a'), None, Some('c'), None]);
    }
}
