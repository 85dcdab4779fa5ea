//! Origins: every value can have one, and what nobody has measured or read is listed for the electrician.

use hullwire::installation::{Doubt, Edit, Installation, Origin, PartKind, Property, Status, ToMeasure, to_measure};
use hullwire::store::list::import;

const LIST: &str = "# system: 120V60Hz
tag,kind,fed_from,rating_a,run_w,pf,poles,trip,conductor,length_m,insulation_c,bonded,load_kind
X1,shore-inlet,,30,,,,,,,,no,
A1,panel,X1,60,,,,,10 AWG,3,105,,
Q1,breaker,A1,15,,,1,us,none,,,,
E1,appliance,Q1,,1200,1,,,14 AWG,5,105,,
";

fn read(text: &str) -> Installation {
    import(text).unwrap_or_else(|p| panic!("{p:?}")).installation
}

fn lines(doc: &Installation) -> Vec<String> {
    let line = |m: &ToMeasure| format!("{} {} {} {:?}", m.tag, m.property.slug(), m.value, m.doubt);
    to_measure(doc).iter().map(line).collect()
}

fn set(doc: &Installation, tag: &str, property: Property, text: &str, origin: Option<Origin>) -> Installation {
    let parts = vec![doc.part_by_tag(tag).unwrap()];
    doc.apply(&Edit::SetPart { parts, property, text: text.to_owned(), origin }).unwrap().installation
}

#[test]
fn what_is_stated_without_doubt_is_not_listed() {
    assert!(lines(&read(LIST)).is_empty(), "{:?}", lines(&read(LIST)));
}

#[test]
fn what_is_not_known_comes_first_then_assumed_typical_and_usual() {
    let doc = read(&LIST.replace("14 AWG,5,105", ",5,").replace("1,us", ",us"));
    let doc = set(&doc, "E1", Property::RunW, "1200", Some(Origin::Typical));
    let doc = set(&doc, "Q1", Property::RatingA, "15", Some(Origin::Assumed));
    assert_eq!(
        lines(&doc),
        [
            "E1 conductor  NotKnown",
            "Q1 rating_a 15 Assumed",
            "E1 run_w 1200 Typical",
            "Q1 poles 1 Usual",
            "E1 insulation_c 75 Usual"
        ]
    );
    assert!(to_measure(&doc).iter().any(|m| m.doubt == Doubt::NotKnown && m.from == "Q1"));
    let measured = set(&doc, "E1", Property::RunW, "1150", Some(Origin::Measured));
    assert!(!lines(&measured).iter().any(|l| l.contains("run_w")));
}

#[test]
fn what_goes_is_not_worth_measuring() {
    let doc = read(&LIST.replace("14 AWG,5,105", ",,"));
    assert_eq!(lines(&doc).len(), 3);
    let doc = set(&doc, "E1", Property::Status, Status::Remove.slug(), None);
    assert!(lines(&doc).is_empty(), "{:?}", lines(&doc));
}

#[test]
fn every_value_of_every_kind_can_have_each_origin_and_none_without_a_value() {
    let mut doc = Installation::new(hullwire::installation::System::SplitPhase);
    for &kind in PartKind::ALL {
        let place = hullwire::installation::Place::At(Default::default());
        let tag = format!("T{}", doc.parts.len());
        let id = doc.add_part(hullwire::installation::Part::new(kind, tag, place));
        for &property in kind.properties() {
            let texts =
                ["5", "yes", "12 AWG", "us", "gfci", "L1", "motor", "diesel", "0:1|100:2", "galley", "60", "0.5", "1"];
            for &origin in Origin::ALL {
                let edit = |text: &str| Edit::SetPart {
                    parts: vec![id],
                    property,
                    text: text.to_owned(),
                    origin: Some(origin),
                };
                let Some(with) = texts.iter().find_map(|text| doc.apply(&edit(text)).ok()) else {
                    continue;
                };
                assert_eq!(with.installation.parts[&id].origins.get(&property), Some(&origin), "{kind:?} {property:?}");
                let without = with.installation.apply(&edit("")).unwrap().installation;
                let part = &without.parts[&id];
                assert_eq!(part.origins.contains_key(&property), !part.get(property).is_empty(), "{property:?}");
            }
        }
    }
}
