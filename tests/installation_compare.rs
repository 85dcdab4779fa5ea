//! Comparison: by identity and not by position in the file, moves apart, the same whatever way a document came about.

mod support;

use hullwire::installation::{
    About, Change, Comparison, Edit, Installation, Origin, PartId, Property, Selection, compare, issues,
    since_last_revision,
};
use hullwire::store::list::{export, import};
use hullwire::store::{parse, to_text};
use proptest::prelude::*;
use std::collections::BTreeSet;

fn read(text: &str) -> Installation {
    import(text).unwrap_or_else(|p| panic!("{p:?}\n{text}")).installation
}

fn sample() -> Installation {
    parse(include_bytes!("../samples/trawler.hullwire"), "sample", None).unwrap().installation
}

fn at(doc: &Installation, tag: &str) -> PartId {
    doc.part_by_tag(tag).unwrap_or_else(|| panic!("no {tag}"))
}

fn apply(doc: &Installation, edit: Edit) -> Installation {
    doc.apply(&edit).unwrap_or_else(|e| panic!("{e}")).installation
}

fn set(doc: &Installation, tag: &str, property: Property, text: &str) -> Installation {
    apply(doc, Edit::SetPart { parts: vec![at(doc, tag)], property, text: text.to_owned(), origin: None })
}

fn lines(found: &Comparison) -> Vec<String> {
    let line = |c: &Change| format!("{} {} {} -> {}", c.tag, c.property, c.old, c.new);
    found.changed.iter().map(line).collect()
}

fn tags(entries: &[hullwire::installation::Entry]) -> Vec<&str> {
    entries.iter().map(|e| e.tag.as_str()).collect()
}

#[test]
fn a_value_a_cable_and_a_feed_are_named_by_tag_and_column() {
    let old = sample();
    let new = set(&old, "Q13", Property::RatingA, "25");
    assert_eq!(
        lines(&compare(&old, &new)),
        [format!("Q13 rating_a {} -> 25", old.parts[&at(&old, "Q13")].get(Property::RatingA))]
    );
    let (cable, _) = old.cables.iter().find(|(_, c)| c.data.size().is_some()).unwrap();
    let to = old.tag(old.cables[cable].to).to_owned();
    let was = old.cables[cable].data.get(Property::LengthM);
    let edit = Edit::SetCable {
        cables: vec![*cable],
        property: Property::LengthM,
        text: "31.5".to_owned(),
        origin: Some(Origin::Measured),
    };
    let new = apply(&old, edit);
    let found = compare(&old, &new);
    assert!(lines(&found).contains(&format!("{to} length_m {was} -> 31.5")), "{found:#?}");
    assert!(found.changed.iter().all(|c| c.about == About::Cable(*cable)));
    assert_eq!(found.touched().collect::<BTreeSet<_>>(), BTreeSet::from([About::Cable(*cable)]));
}

#[test]
fn a_moved_symbol_is_listed_apart() {
    let old = sample();
    let new = apply(&old, Edit::Move { what: Selection::part(at(&old, "Q13")), dx: 0.5, dy: 0.0 });
    let found = compare(&old, &new);
    assert_eq!(tags(&found.moved), ["Q13"]);
    assert!(found.is_only_moves() && !found.is_empty());
}

#[test]
fn a_renamed_part_stays_itself_and_its_tag_may_be_given_anew() {
    let old = sample();
    let renamed = set(&old, "Q13", Property::Tag, "Q93");
    assert_eq!(lines(&compare(&old, &renamed)), ["Q93 tag Q13 -> Q93"], "what it feeds has not changed");
    let mut part = old.parts[&at(&old, "Q14")].as_ref().clone();
    part.tag = "Q13".to_owned();
    let again = apply(&renamed, Edit::AddPart { part: Box::new(part), feed: Some(at(&renamed, "A1")) });
    let found = compare(&old, &again);
    assert_eq!((tags(&found.added), tags(&found.cables_added)), (vec!["Q13"], vec!["Q13"]));
    assert_eq!(lines(&found), ["Q93 tag Q13 -> Q93"]);
}

#[test]
fn what_is_removed_takes_its_cables_along() {
    let old = sample();
    let new = apply(&old, Edit::Remove(Selection::part(at(&old, "Q13"))));
    let found = compare(&old, &new);
    assert_eq!(tags(&found.removed), ["Q13"]);
    assert_eq!(found.cables_removed.len(), old.cables.len() - new.cables.len());
    let back = compare(&new, &old);
    assert_eq!((tags(&back.added), back.cables_added.len()), (vec!["Q13"], found.cables_removed.len()));
}

#[test]
fn a_drawing_and_its_own_list_do_not_differ() {
    for name in ["trawler", "trawler-before", "sailing-boat", "motor-yacht"] {
        let text = std::fs::read(format!("{}/samples/{name}.hullwire", env!("CARGO_MANIFEST_DIR"))).unwrap();
        let drawing = parse(&text, name, None).unwrap().installation;
        let listed = read(&export(&drawing, 0));
        for (old, new) in [(&drawing, &listed), (&listed, &drawing)] {
            let found = compare(old, new);
            assert!(found.is_empty(), "{name}: {found:#?}");
        }
    }
}

const LIST: &str = "# system: 120V60Hz
tag,kind,fed_from,rating_a,run_w,conductor,length_m
X1,shore-inlet,,30,,,
A1,panel,X1,,,10 AWG,3
Q1,breaker,A1,15,,none,
Q2,breaker,A1,20,,none,
E1,appliance,Q1,,1200,14 AWG,5
E2,appliance,Q2,,800,12 AWG,6
";

#[test]
fn lists_are_compared_by_tag_whatever_their_rows() {
    let old = read(LIST);
    let inserted = LIST.replace("Q1,breaker", "Q9,breaker,A1,10,,none,\nQ1,breaker");
    let found = compare(&old, &read(&inserted));
    assert_eq!((tags(&found.added), found.changed.len(), tags(&found.removed)), (vec!["Q9"], 0, vec![]));
    let refed = LIST.replace("E2,appliance,Q2", "E2,appliance,Q1");
    assert_eq!(lines(&compare(&old, &read(&refed))), ["E2 fed_from Q2 -> Q1"]);
    let thicker = LIST.replace("14 AWG,5", "12 AWG,5");
    assert_eq!(lines(&compare(&old, &read(&thicker))), ["E1 conductor 14 AWG -> 12 AWG"]);
    let off = LIST.replace("length_m\n", "length_m,on\n").replace("14 AWG,5", "14 AWG,5,no");
    let found = compare(&old, &read(&off));
    assert_eq!((lines(&found), found.changed[0].condition.as_str()), (vec!["E1 on yes -> no".to_owned()], "as listed"));
}

#[test]
fn changes_are_told_revision_by_revision() {
    let issue = |doc: &Installation, date: &str| {
        let (letter, author, note) = Default::default();
        apply(doc, Edit::IssueRevision { letter, date: date.to_owned(), author, note })
    };
    let first = sample();
    assert!(since_last_revision(&first).is_none() && issues(&first).is_empty());
    let a = issue(&first, "2026-05-30");
    assert!(since_last_revision(&a).is_some_and(|c| c.is_empty()), "issuing is no change by itself");
    let b = issue(&set(&a, "Q13", Property::RatingA, "25"), "2026-06-30");
    let c = set(&b, "Q14", Property::Label, "Something else");
    let told = issues(&c);
    let letters: Vec<Option<&str>> = told.iter().map(|i| i.revision.map(|r| r.letter.as_str())).collect();
    assert_eq!(letters, [Some("A"), Some("B"), None]);
    assert!(told[0].since.is_none() && told[0].changes.is_empty());
    assert_eq!((told[1].changes.changed.len(), told[2].changes.changed.len()), (1, 1));
    assert_eq!(told[2].changes.changed[0].property, "label");
}

fn shuffled(list: &str, seed: u64) -> String {
    let (head, rows): (Vec<&str>, Vec<&str>) = (
        list.lines().take_while(|l| l.starts_with('#')).collect(),
        list.lines().skip_while(|l| l.starts_with('#')).collect(),
    );
    let mut rest: Vec<&str> = rows[1..].to_vec();
    let mut state = seed | 1;
    for i in (1..rest.len()).rev() {
        state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        rest.swap(i, (state >> 33) as usize % (i + 1));
    }
    [head, vec![rows[0]], rest].concat().join("\n") + "\n"
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 150, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn a_document_does_not_differ_from_itself(doc in support::installation(), decorate in any::<bool>()) {
        let doc = if decorate { support::decorated(doc) } else { doc };
        prop_assert_eq!(compare(&doc, &doc), Comparison::default());
        let again = parse(to_text(&doc).unwrap().as_bytes(), "x", None).unwrap().installation;
        prop_assert_eq!(compare(&doc, &again), Comparison::default());
    }

    #[test]
    fn the_way_back_is_the_way_there_turned_round(a in support::installation(), b in support::installation()) {
        let (there, back) = (compare(&a, &b), compare(&b, &a));
        prop_assert_eq!(tags(&there.added).into_iter().collect::<BTreeSet<_>>(), tags(&back.removed).into_iter().collect());
        prop_assert_eq!(there.is_empty(), back.is_empty());
        prop_assert_eq!(there.moved.len(), back.moved.len());
    }

    #[test]
    fn the_order_of_rows_changes_nothing(seed in any::<u64>(), boat in 0_usize..3) {
        let name = ["trawler", "sailing-boat", "motor-yacht"][boat];
        let list = std::fs::read_to_string(format!("{}/samples/{name}.csv", env!("CARGO_MANIFEST_DIR"))).unwrap();
        let found = compare(&read(&list), &read(&shuffled(&list, seed)));
        prop_assert!(found.is_empty(), "{name}: {found:#?}");
    }
}
