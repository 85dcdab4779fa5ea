//! Edits and history: random sequences keep what always holds of a document, and undo leads back to what was before.

#[path = "support/steps.rs"]
mod steps;
mod support;

use hullwire::installation::{Edit, History, Installation, Leg, PartKind, Point, Property, Selection, System, compare};
use proptest::prelude::*;
use proptest::sample::select;
use std::collections::BTreeSet;
use steps::{check, edit, ids, new_part, step};

proptest! {
    #![proptest_config(ProptestConfig { cases: 200, ..ProptestConfig::default() })]

    #[test]
    fn edits_keep_what_always_holds_and_undo_leads_back(
        steps in prop::collection::vec((step(), any::<bool>()), 1..40), system in select(System::ALL),
    ) {
        let mut history = History::new(Installation::new(system));
        let mut past = vec![history.installation().as_ref().clone()];
        let mut given = BTreeSet::new();
        for (step, _) in &steps {
            let before = history.installation().as_ref().clone();
            let Some(edit) = edit(&before, step) else { continue };
            let depth = history.depth();
            match history.apply(&edit, None) {
                Err(error) => {
                    prop_assert!(!error.to_string().is_empty());
                    prop_assert_eq!(history.installation().as_ref(), &before, "a refused edit changes nothing");
                }
                Ok(()) => {
                    let after = history.installation().as_ref().clone();
                    check(&after);
                    let ids_given = Installation { next_id: after.next_id, ..before.clone() };
                    prop_assert_eq!(
                        compare(&before, &after).is_empty(), after == ids_given, "a comparison shows every edit: {:?}", &edit
                    );
                    let fresh: BTreeSet<u32> = ids(&after).difference(&ids(&before)).copied().collect();
                    prop_assert!(fresh.is_disjoint(&given), "an id is given out once");
                    given.extend(fresh);
                    prop_assert_eq!(history.depth() - depth, usize::from(after != before));
                    if after != before {
                        past.push(after);
                    }
                }
            }
        }
        let last = past.len() - 1;
        prop_assert_eq!(history.depth(), last);
        for state in past[..last].iter().rev() {
            prop_assert!(history.undo());
            prop_assert_eq!(history.installation().as_ref(), state, "undo leads back to what was before");
        }
        prop_assert!(!history.undo());
        for state in &past[1..] {
            prop_assert!(history.redo());
            prop_assert_eq!(history.installation().as_ref(), state, "redo leads forward again");
        }
        prop_assert!(!history.redo());
    }

    #[test]
    fn any_edit_of_any_drawing_can_be_taken_back(installation in support::installation(), step in step()) {
        let before = installation.clone();
        let Some(edit) = edit(&installation, &step) else { return Ok(()) };
        let mut history = History::new(installation);
        if history.apply(&edit, None).is_ok() && history.depth() == 1 {
            prop_assert!(history.is_changed());
            prop_assert!(history.undo());
            prop_assert!(!history.is_changed());
        }
        prop_assert_eq!(history.installation().as_ref(), &before);
    }
}

#[test]
fn a_drag_is_one_step_and_a_save_ends_it() {
    let mut history = History::new(Installation::new(System::SplitPhase));
    let add = Edit::AddPart { part: new_part(PartKind::Panel, ""), feed: None };
    history.apply(&add, None).unwrap();
    let panel = *history.installation().parts.keys().next().unwrap();
    let drag = Edit::Move { what: Selection::part(panel), dx: 5.0, dy: 0.0 };
    for _ in 0..10 {
        history.apply(&drag, Some("drag")).unwrap();
    }
    assert_eq!(history.depth(), 2);
    assert_eq!(history.installation().parts[&panel].position(), Point::new(65.0, 25.0));
    history.mark_saved();
    assert!(!history.is_changed());
    history.apply(&drag, Some("drag")).unwrap();
    assert_eq!(history.depth(), 3, "what is on disk stays a state of its own");
    assert!(history.is_changed());
    history.undo();
    assert!(!history.is_changed());
    assert_eq!(history.undo_label(), Some("move of A1"));
    history.undo();
    assert_eq!(history.installation().parts[&panel].position(), Point::new(15.0, 25.0));
    let leg = Edit::SetPart { parts: vec![panel], property: Property::Leg, text: "L2".to_owned(), origin: None };
    history.apply(&leg, None).unwrap();
    assert_eq!(history.redo_label(), None, "something new drops what could have been done again");
    assert!(history.is_changed(), "the saved state is gone with it");
    assert_eq!(history.installation().parts[&panel].leg, Some(Leg::L2));
}
