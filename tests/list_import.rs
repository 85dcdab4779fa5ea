//! Circuit lists as spreadsheets write them: what is taken, what is refused, and where each error is said to be.

use hullwire::installation::{Conductor, Installation, PartKind, Protection, Size, SpaceKind, System, Trip};
use hullwire::store::list::import;

fn taken(text: &str) -> Installation {
    import(text)
        .unwrap_or_else(|p| panic!("{}", p.iter().map(ToString::to_string).collect::<Vec<_>>().join("\n")))
        .installation
}

/// The problems of a list, as `line|place|found|valid`.
fn refused(text: &str) -> Vec<String> {
    let problems = import(text).expect_err("the list should be refused");
    problems.iter().map(ToString::to_string).collect()
}

/// Checks that there is exactly this one problem, by pieces of its text.
fn only(text: &str, pieces: &[&str]) {
    let problems = refused(text);
    assert_eq!(problems.len(), 1, "{problems:#?}");
    for piece in pieces {
        assert!(problems[0].contains(piece), "{piece:?} is not in {:?}", problems[0]);
    }
}

fn list(rows: &str) -> String {
    format!("# system: 120V60Hz\n{rows}")
}

fn conductor(installation: &Installation, to: &str) -> Conductor {
    let to = installation.part_by_tag(to).unwrap();
    installation.feeds_of(to).next().unwrap().1.data.conductor
}

#[test]
fn a_spreadsheet_export_is_taken_as_it_is() {
    let text = "\u{FEFF}\"# name: Tern, the second\",,,,\r\n# system: 230V50Hz,,,,\r\n# condition: In harbour,,,,\r\n\r\n\
        label,kind,tag,fed_from,\r\n\"Inlet, port\",Shore-Inlet,X1,,\r\n,,,,\r\n\"two\nlines\",breaker,Q1,X1,\r\n";
    let installation = taken(text);
    assert_eq!(installation.name, "Tern, the second");
    assert_eq!(installation.system, System::TwoWire230);
    assert_eq!(installation.conditions[0].name, "In harbour");
    let labels: Vec<&str> = installation.parts.values().map(|p| p.label.as_str()).collect();
    assert_eq!(labels, ["Inlet, port", "two\nlines"]);
    assert_eq!(installation.conditions[0].feeding, [installation.part_by_tag("X1").unwrap()]);
}

#[test]
fn the_hours_of_the_condition_are_read_and_refused_where_they_are_none() {
    let text = "# system: 230V50Hz\n# hours: 18:30-22, 7-9\ntag,kind\nX1,shore-inlet\n";
    let hours: Vec<(f64, f64)> = taken(text).conditions[0].hours.iter().map(|s| (s.from, s.to)).collect();
    assert_eq!(hours, [(7.0, 9.0), (18.5, 22.0)]);
    let problems = import(&text.replace("18:30-22", "18:30-26")).unwrap_err();
    assert_eq!((problems.len(), problems[0].line), (1, Some(2)));
}

#[test]
fn empty_cells_take_the_defaults_of_the_contract() {
    let rows = "tag,kind,fed_from,conductor,length_m,sheathed,on,protection\nX1,shore-inlet,,,,,,\nA1,panel,X1,12 AWG,3,no,,elci\n\
        Q1,breaker,A1,,,,no,\nX2,outlet,Q1,,,,,\nE1,appliance,X2,,,,,\nP1,polarity-indicator,A1,,,,,\nE2,appliance,Q1,,,,,\n";
    let installation = taken(&list(rows));
    let part = |tag: &str| &installation.parts[&installation.part_by_tag(tag).unwrap()];
    assert_eq!(part("Q1").poles(System::TwoWire120), Some(1));
    assert_eq!(part("Q1").trip(System::TwoWire120), Trip::Us);
    assert_eq!(part("A1").protection, Protection::Elci, "protection is for any part");
    assert_eq!(installation.space_of(installation.part_by_tag("A1").unwrap()), SpaceKind::Other);
    assert!(!part("X1").cord.is_fitted(), "a cord that is not listed is not counted");
    assert_eq!(conductor(&installation, "A1"), Conductor::Size(Size::Awg(12)));
    for tag in ["Q1", "E1", "P1"] {
        assert_eq!(conductor(&installation, tag), Conductor::None, "{tag}");
    }
    for tag in ["X2", "E2"] {
        assert_eq!(conductor(&installation, tag), Conductor::Unknown, "{tag}");
    }
    assert!(!installation.is_on(installation.part_by_tag("Q1").unwrap(), 0));
    assert_eq!(installation.conditions[0].name, "as listed");
}

#[test]
fn a_selectors_inlets_may_differ() {
    let rows = "# feeding: G1\ntag,kind,fed_from,conductor,length_m,insulation_c\nX1,shore-inlet,,,,\nG1,generator,,,,\n\
        Q10,selector,X1|G1,10 AWG|6 AWG,3|,105\n";
    let installation = taken(&list(rows));
    let feeds: Vec<_> = installation.feeds_of(installation.part_by_tag("Q10").unwrap()).map(|(_, c)| &c.data).collect();
    assert_eq!(feeds[0].conductor, Conductor::Size(Size::Awg(10)));
    assert_eq!(feeds[1].conductor, Conductor::Size(Size::Awg(6)));
    assert_eq!((feeds[0].length_m, feeds[1].length_m), (Some(3.0), None));
    assert!(feeds.iter().all(|c| c.insulation_c == Some(105)));
    only(
        &list(&rows.replace("10 AWG|6 AWG", "10 AWG|6 AWG|4 AWG")),
        &["line 6, column conductor", "3 values", "2 in the order"],
    );
}

#[test]
fn columns_of_an_inlet_are_its_cord() {
    let rows = "tag,kind,conductor,length_m,volts,rating_a\nX1,shore-inlet,10 AWG,15,121,30\n";
    let installation = taken(&list(rows));
    let inlet = installation.parts.values().next().unwrap();
    assert_eq!((inlet.cord.conductor, inlet.cord.length_m), (Conductor::Size(Size::Awg(10)), Some(15.0)));
    assert_eq!((inlet.volts, inlet.run_w(System::TwoWire120)), (Some(121.0), Some(3630.0)));
}

#[test]
fn all_errors_are_reported_at_once_with_line_column_found_and_valid() {
    let text = include_str!("data/many_errors.csv");
    let problems = refused(text);
    let expected = [
        ("line 2, column # system", "“400V50Hz”", "120V60Hz"),
        ("line 3", "“# colour:”", "# feeding"),
        ("line 5, column colour", "a column of this name", "fed_from"),
        ("line 7, column kind", "“toaster”", "shore-inlet"),
        ("line 8, column tag", "“Q1”, which line 6 has already", "no other row"),
        ("line 8, column fed_from", "“A9”", "the tag of a row"),
        ("line 9, column run_w", "“1.5 kW”", "watts, a bare number above 0 such as 1500"),
        ("line 9, column pf", "“1.2”", "at most 1"),
        ("line 12, column on", "“maybe”", "yes or no"),
        ("line 12, column conductor", "“13 AWG”", "a standard size"),
    ];
    assert_eq!(problems.len(), expected.len(), "{problems:#?}");
    for (problem, (place, found, valid)) in problems.iter().zip(expected) {
        assert!(problem.starts_with(&format!("{place}: ")), "{place}: {problem}");
        assert!(problem.contains(found) && problem.contains(valid), "{place}: {problem}");
    }
}

#[test]
fn feeding_is_required_where_several_could_be_meant() {
    let rows = "tag,kind,fed_from\nX1,shore-inlet,\nG1,generator,\nQ1,selector,X1|G1\nA1,panel,Q1\n";
    only(&list(rows), &["# feeding", "2 sources", "X1, G1", "off"]);
    only(&format!("# feeding: A1\n{}", list(rows)), &["line 1, column # feeding", "“A1”, which is a panel"]);
    only(&format!("# feeding: X1|G7\n{}", list(rows)), &["line 1, column # feeding", "“G7”"]);
    let off = taken(&format!("# feeding: off\n{}", list(rows)));
    assert!(off.conditions[0].feeding.is_empty());
    let both = taken(&format!("# feeding: X1 | G1\n{}", list(rows)));
    assert_eq!(both.conditions[0].feeding.len(), 2);
    let charger = "tag,kind,fed_from\nX1,shore-inlet,\nT1,inverter,X1\n";
    let charger = taken(&list(charger));
    assert_eq!(charger.conditions[0].feeding, [charger.part_by_tag("X1").unwrap()]);
}

#[test]
fn headers_and_rows_that_do_not_fit_are_named() {
    only("tag,kind\nX1,shore-inlet\n", &["# system", "120V60Hz | 120/240V60Hz | 230V50Hz"]);
    only(&list("tag,kind,tag\nX1,shore-inlet,\n"), &["line 2, column tag", "second time"]);
    only(&list("tag,label\nX1,a\n"), &["line 2, column kind", "required"]);
    only(&list("tag,kind,\nX1,shore-inlet,7\n"), &["line 3, column 3", "“7”", "without a name"]);
    only(&list("tag,kind\nX1,shore-inlet,left,over\n"), &["line 3", "“left”", "in quotes"]);
    only(&list("tag;kind\nX1;shore-inlet\n"), &["line 2", "commas"]);
    only(&list(""), &["header", "tag"]);
    only(&list("tag,kind\nX1,\"shore-inlet\n"), &["line 3", "quote"]);
    only(&list("tag,kind,fed_from\nX1,shore-inlet,\nG,panel,X1|Y\n"), &["line 4, column fed_from", "“Y”"]);
    only(&list("tag,kind,fed_from\nX1,shore-inlet,X2\nX2,outlet,X1\n"), &["line 3, column fed_from", "nothing feeds"]);
    only(&list("# system: 120V60Hz\ntag,kind\nX1,shore-inlet\n"), &["line 2", "second time"]);
    only(&list("# feeding X1\ntag,kind\nX1,shore-inlet\n"), &["line 2", "# feeding: …"]);
}

#[test]
fn values_in_columns_that_do_not_apply() {
    let neutral = "tag,kind,fed_from,volts,pf,cycles,poles,on,bonded,portable,fuel,rating_a,continuous,charge_w\n\
        X1,shore-inlet,,,,,,,,,,,,\nA1,panel,X1,120,1,no,2,yes,no,no,petrol,50,yes,0\n";
    assert_eq!(taken(&list(neutral)).parts.len(), 2);
    for (column, value, kind) in [
        ("run_w", "500", "panel"),
        ("tank_l", "20", "panel"),
        ("bonded", "yes", "breaker"),
        ("portable", "yes", "inverter"),
        ("fuel", "diesel", "outlet"),
        ("rating_a", "10", "appliance"),
        ("on", "no", "panel"),
        ("leg", "L2", "panel"),
    ] {
        let rows = format!("tag,kind,{column}\nX1,{kind},{value}\n");
        only(&list(&rows), &[&format!("line 3, column {column}"), value, "nothing"]);
    }
}

#[test]
fn data_of_a_cable_that_is_not_there_are_noted() {
    let rows = "tag,kind,fed_from,conductor,length_m\nG1,generator,,10 AWG,3\nE1,appliance,,12 AWG,\nE2,appliance,G1,12 AWG,4\n";
    let imported = import(&list(rows)).unwrap();
    assert_eq!(imported.notes.iter().filter_map(|n| n.line).collect::<Vec<_>>(), [3, 4]);
    assert_eq!(imported.installation.cables.len(), 1);
}

#[test]
fn several_feeds_are_read_as_drawn() {
    let rows = "# feeding: X1|G1\ntag,kind,fed_from,conductor,length_m\nX1,shore-inlet,,,\nG1,generator,,,\nA1,panel,X1|G1,6 AWG,2\nA2,panel,A3,,\nA3,panel,A2,,\n";
    let installation = taken(&list(rows));
    let feeds: Vec<_> = installation.feeds_of(installation.part_by_tag("A1").unwrap()).map(|(_, c)| &c.data).collect();
    assert_eq!(feeds.len(), 2);
    assert!(feeds.iter().all(|c| c.size() == Some(Size::Awg(6)) && c.length_m == Some(2.0)));
    assert_eq!(installation.cables.len(), 4);
}

#[test]
fn the_samples_import() {
    for (name, text) in [
        ("trawler", include_str!("../samples/trawler.csv")),
        ("before", include_str!("../samples/trawler-before.csv")),
        ("sailing", include_str!("../samples/sailing-boat.csv")),
        ("motor yacht", include_str!("../samples/motor-yacht.csv")),
    ] {
        let imported = import(text).unwrap_or_else(|p| panic!("{name}: {p:#?}"));
        assert!(imported.notes.is_empty(), "{name}: {:#?}", imported.notes);
        assert!(imported.installation.parts.values().any(|p| p.kind == PartKind::ShoreInlet));
    }
}
