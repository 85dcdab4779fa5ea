//! Drawings: what is saved opens again as it was, foreign fields included, and nothing makes the reader panic.

mod support;

use hullwire::store::{Form, parse, to_text};
use proptest::prelude::*;

proptest! {
    #![proptest_config(ProptestConfig { cases: 300, ..ProptestConfig::default() })]

    #[test]
    fn what_is_saved_opens_again(installation in support::installation(), decorate in any::<bool>()) {
        let installation = if decorate { support::decorated(installation) } else { installation };
        let text = to_text(&installation).unwrap();
        let again = parse(text.as_bytes(), "x.hullwire", Some("hullwire")).unwrap_or_else(|e| panic!("{e}\n{text}"));
        prop_assert_eq!(again.form, Form::Drawing);
        prop_assert_eq!(&again.installation, &installation);
        prop_assert_eq!(to_text(&again.installation).unwrap(), text);
    }

    #[test]
    fn any_bytes_are_read_or_refused(bytes in prop::collection::vec(any::<u8>(), 0..200)) {
        for ending in [None, Some("hullwire"), Some("csv")] {
            let _ = parse(&bytes, "x", ending);
        }
    }

    #[test]
    fn a_file_that_is_cut_or_altered_never_panics(
        installation in support::installation(), at in any::<prop::sample::Index>(), byte in any::<u8>(), cut in any::<bool>(),
    ) {
        let mut bytes = to_text(&installation).unwrap().into_bytes();
        let at = at.index(bytes.len() - 1);
        if cut {
            bytes.truncate(at);
            prop_assert!(parse(&bytes, "x", Some("hullwire")).is_err());
        } else {
            bytes[at] = byte;
            let _ = parse(&bytes, "x", Some("hullwire"));
        }
    }
}
