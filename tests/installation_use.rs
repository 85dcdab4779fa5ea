//! What the document holds of use: hours of conditions, trays, readings, sets. Edits, undo, file and list.

use hullwire::installation::{
    BoxSize, Edit, EditError, History, Installation, PartId, Property, ReadQuantity, Reading, Rounding, Selection,
    Span, Tray, plan,
};
use hullwire::store::{list, parse, to_text};

const BOAT: &str = "# system: 120V60Hz\n\
    tag,kind,fed_from,run_w,fuel_aboard_l,reserve_l,mode,fuel_curve_constant,hours_run,hours_date,service_at_h,size_mm,\
    air_gap_mm,exhaust_gap_mm,turns,weight_kg,noise_db,noise_m,note\n\
    G1,generator,,1800,20,5,constant-speed,0:0.4|100:1.1,350.5,2027-05-31,400,512x290x425,50,150,any,21,58,7,\"bought, used\"\n\
    E1,appliance,G1,900,,,,,,,,,,,,,,,\n";

fn boat() -> Installation {
    list::import(BOAT).unwrap().installation
}

fn id(boat: &Installation, tag: &str) -> PartId {
    boat.part_by_tag(tag).unwrap()
}

fn spans(text: &str) -> Vec<Span> {
    plan::parse_spans(text).unwrap()
}

fn reading(boat: &Installation) -> Reading {
    Reading {
        on: vec![id(boat, "E1")],
        at: id(boat, "G1"),
        quantity: ReadQuantity::Percent,
        value: 50.0,
        step: 25.0,
        rounding: Rounding::Down,
        rated_w: Some(1800.0),
    }
}

#[test]
fn file_and_list_hold_it() {
    let mut boat = boat();
    boat.conditions[0].hours = spans("7-9, 18:30-22");
    boat.trays.push(Tray { name: "Stern".to_owned(), inner: BoxSize::parse("600x400x450").unwrap(), open_above: true });
    boat.readings = vec![reading(&boat), Reading { rated_w: None, ..reading(&boat) }];
    let text = to_text(&boat).unwrap();
    assert_eq!(parse(text.as_bytes(), "x", None).unwrap().installation, boat);

    let exported = list::export(&boat, 0);
    assert!(exported.contains("hours_date") && !exported.contains("battery_ah"), "only columns with something in them");
    let again = list::import(&exported).unwrap().installation;
    for property in Property::ALL {
        assert_eq!(again.parts[&id(&again, "G1")].get(*property), boat.parts[&id(&boat, "G1")].get(*property));
    }
    let plain = list::export(&list::import("# system: 120V60Hz\ntag,kind\nG1,generator\n").unwrap().installation, 0);
    assert!(!plain.contains("size_mm") && !plain.contains("note"), "{plain}");
}

#[test]
fn wrong_values_in_a_file_are_named() {
    let mut boat = boat();
    boat.conditions[0].hours = spans("7-9");
    boat.trays.push(Tray {
        name: "Stern".to_owned(),
        inner: BoxSize::parse("600x400x450").unwrap(),
        open_above: false,
    });
    boat.readings = vec![reading(&boat)];
    let text = to_text(&boat).unwrap();
    for (from, to, place) in [
        ("600x400x450", "600x400", "trays, entry 1, inner_mm"),
        ("\"quantity\": \"percent\"", "\"quantity\": \"horses\"", "readings, entry 1, quantity"),
        ("\"value\": 50", "\"value\": -1", "readings, entry 1, value"),
    ] {
        assert!(text.contains(from), "{from}");
        let error = parse(text.replacen(from, to, 1).as_bytes(), "x", None).unwrap_err().to_string();
        assert!(error.contains(place), "{error}");
    }
    let flat: String = text.split_whitespace().collect::<Vec<_>>().join(" ");
    let error = parse(flat.replace("[ 7, 9 ]", "[ 9, 7 ]").as_bytes(), "x", None).unwrap_err().to_string();
    assert!(error.contains("conditions, entry 1, hours"), "{error}");
}

#[test]
fn edits_apply_and_are_undone() {
    let mut history = History::new(boat());
    let before = history.installation().clone();
    let apply = |history: &mut History, edit: Edit| history.apply(&edit, None).unwrap();
    apply(&mut history, Edit::SetHours { condition: 0, hours: spans("18-22, 7-9, 8-10") });
    assert_eq!(plan::spans_text(&history.installation().conditions[0].hours), "07:00–10:00, 18:00–22:00");
    apply(&mut history, Edit::AddCondition { name: "Night".to_owned(), like: 0 });
    assert!(history.installation().conditions[1].hours.is_empty(), "an hour belongs to one condition");
    apply(&mut history, Edit::SetHours { condition: 1, hours: spans("21-24") });
    assert_eq!(plan::spans_text(&history.installation().conditions[0].hours), "07:00–10:00, 18:00–21:00");
    apply(&mut history, Edit::SetReadings(vec![reading(&before)]));
    let tray = Tray { name: "Stern".to_owned(), inner: BoxSize::parse("600x400x450").unwrap(), open_above: false };
    apply(&mut history, Edit::SetTrays(vec![tray]));
    apply(&mut history, Edit::Remove(Selection::part(id(&before, "E1"))));
    assert!(history.installation().readings.is_empty(), "a reading with a removed part says nothing any more");
    let gone = history.apply(&Edit::SetReadings(vec![reading(&before)]), None);
    assert!(matches!(gone, Err(EditError::Gone(_))), "{gone:?}");
    assert!(history.apply(&Edit::SetHours { condition: 7, hours: Vec::new() }, None).is_err());
    while history.undo() {}
    assert_eq!(history.installation(), &before);
}
