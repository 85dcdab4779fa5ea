//! Tests of the tables as a whole: every sample, every part and cable, figures against the solve.

use super::{Subject, tables};
use crate::diagram::Target;
use crate::installation::{Cable, CableData, Conductor, Installation, Part, PartKind, Place, Size, System};
use crate::sheets::table::{Cell, RowKind, Table, Value};
use std::collections::BTreeSet;

/// A selector-less drawing: inlet, panel, breakers, a heater behind 8 m and a spare breaker.
fn drawing(system: System) -> Installation {
    let mut out = Installation::new(system);
    let mut add = |kind, tag: &str, with: &dyn Fn(&mut Part)| {
        let mut part = Part::new(kind, tag, Place::In(crate::installation::SpaceKind::Other));
        with(&mut part);
        out.add_part(part)
    };
    let inlet = add(PartKind::ShoreInlet, "X1", &|p| p.rating_a = Some(30.0));
    let panel = add(PartKind::Panel, "A1", &|_| {});
    let breaker = add(PartKind::Breaker, "Q1", &|p| {
        p.rating_a = Some(10.0);
        p.interrupting_ka = Some(5.0);
    });
    let spare = add(PartKind::Breaker, "Q2", &|p| p.rating_a = Some(15.0));
    let heater = add(PartKind::Appliance, "E1", &|p| {
        p.run_w = Some(1000.0);
        p.label = "Heater".to_owned();
    });
    let mut join = |from, to, length: Option<f64>| {
        let mut cable = Cable::between(from, to);
        cable.data = match length {
            Some(metres) => {
                CableData { conductor: Conductor::Size(Size::Awg(12)), length_m: Some(metres), ..CableData::unknown() }
            }
            None => CableData::none(),
        };
        out.add_cable(cable)
    };
    join(inlet, panel, Some(3.0));
    join(panel, breaker, None);
    join(panel, spare, None);
    join(breaker, heater, Some(8.0));
    out.conditions[0].feeding = vec![inlet];
    out
}

fn table<'a>(all: &'a [Table], id: &str) -> &'a Table {
    all.iter().find(|t| t.id == id).unwrap_or_else(|| panic!("no table {id}"))
}

/// The text of a cell by the row's tag and the column's head.
fn cell(table: &Table, tag: &str, head: &str) -> String {
    let column = table.columns.iter().position(|c| c.head == head).unwrap_or_else(|| panic!("no column {head}"));
    let row = table.rows.iter().find(|r| r.cells.iter().any(|c| c.text() == tag));
    row.unwrap_or_else(|| panic!("no row {tag}")).cells[column].text()
}

#[test]
fn a_panel_schedule_says_what_each_breaker_feeds() {
    let installation = drawing(System::TwoWire120);
    let all = tables(&Subject::new(&installation, 0));
    let panel = table(&all, "panel-a1");
    assert_eq!(cell(panel, "Q1", "Feeds"), "E1 Heater");
    assert_eq!(cell(panel, "Q1", "Interrupting"), "5");
    assert_eq!(cell(panel, "Q2", "Interrupting"), "not known");
    assert_eq!(cell(panel, "Q1", "Connected"), "1,000");
    assert_eq!(cell(panel, "Q1", "Cable"), "12 AWG, 8.0 m");
    assert!(cell(panel, "Q2", "Feeds").starts_with("spare"));
    assert_eq!(panel.rows.last().map(|r| r.kind), Some(RowKind::Total));
}

#[test]
fn what_is_not_known_is_never_a_number() {
    let mut installation = drawing(System::TwoWire120);
    let heater = installation.part_by_tag("E1").unwrap();
    std::sync::Arc::make_mut(installation.parts.get_mut(&heater).unwrap()).run_w = None;
    let all = tables(&Subject::new(&installation, 0));
    let panel = table(&all, "panel-a1");
    assert_eq!(cell(panel, "Q1", "Connected"), "not known");
    assert_eq!(cell(panel, "Q1", "Running"), "not known");
    assert_eq!(cell(table(&all, "loads-use"), "E1", "Running"), "not known");
    let loads = table(&all, "loads-1");
    assert_eq!(cell(loads, "Q1", "Connected"), "not known");
    assert!(loads.notes.iter().any(|n| n.contains("every sum with it is a lower bound: E1")), "{:?}", loads.notes);
    let wanted = table(&all, "measure-first");
    assert_eq!(cell(wanted, "E1", "Counted as"), "not known");
}

#[test]
fn figures_are_those_of_the_solve() {
    let installation = drawing(System::TwoWire120);
    let subject = Subject::new(&installation, 0);
    let all = tables(&subject);
    let heater = installation.part_by_tag("E1").unwrap();
    let (id, flow) = subject.solution.feed_of(heater).unwrap();
    let cables = table(&all, "cables");
    let row = cables.rows.iter().find(|r| r.about == Some(Target::Cable(id))).unwrap();
    let number = |head: &str| {
        let at = cables.columns.iter().position(|c| c.head == head).unwrap();
        match row.cells[at].value {
            Value::Number { value, .. } => Some(value),
            _ => None,
        }
    };
    assert_eq!(number("Current"), flow.amps);
    assert_eq!(number("Drop"), flow.drop_volts);
    assert_eq!(number("Drop to here"), subject.solution.parts[&heater].drop_percent);
    assert_eq!(number("Length"), Some(8.0));
    let text = row.cells.iter().map(|c| c.text()).collect::<Vec<_>>().join(" | ");
    assert!(text.contains("L black; N white or grey; PE green"), "{text}");
    assert!(text.contains("75 °C column"), "the ampacity is spelled out: {text}");
}

#[test]
fn colours_follow_the_system() {
    let installation = drawing(System::TwoWire230);
    let all = tables(&Subject::new(&installation, 0));
    let conductors = cell(table(&all, "cables"), "E1 Heater", "Conductors");
    assert_eq!(conductors, "L brown; N blue; PE green-and-yellow");
}

#[test]
fn every_sample_gives_whole_tables() {
    for text in [
        include_str!("../../../samples/trawler.hullwire"),
        include_str!("../../../samples/trawler-before.hullwire"),
        include_str!("../../../samples/motor-yacht.hullwire"),
        include_str!("../../../samples/sailing-boat.hullwire"),
    ] {
        let opened = crate::store::parse(text.as_bytes(), "sample", None).unwrap();
        let installation = opened.installation;
        let subject = Subject::new(&installation, 0);
        let all = tables(&subject);
        let mut ids = BTreeSet::new();
        for table in &all {
            assert!(ids.insert(table.id.clone()), "{} twice", table.id);
            assert!(!table.title.is_empty() && !table.is_empty());
            for row in &table.rows {
                assert_eq!(row.cells.len(), table.columns.len(), "{}", table.id);
                for cell in &row.cells {
                    assert!(
                        !cell.text().contains("NaN") && !cell.text().contains("inf "),
                        "{}: {}",
                        table.id,
                        cell.text()
                    );
                    if let Value::Number { value, .. } = cell.value {
                        assert!(value.is_finite());
                    }
                }
            }
        }
        let rows = &table(&all, "cables").rows;
        for (id, cable) in installation.cables.iter().filter(|(_, c)| c.data.is_fitted()) {
            let n = rows.iter().filter(|r| r.about == Some(Target::Cable(*id))).count();
            assert_eq!(n, 1, "cable to {}", installation.tag(cable.to));
        }
        for (id, part) in &installation.parts {
            let listed = |t: &&Table| t.id.starts_with("panel-") || t.id == "breakers-elsewhere";
            let rows = all.iter().filter(listed).flat_map(|t| &t.rows).filter(|r| r.kind == RowKind::Data);
            let n = rows.filter(|r| r.about == Some(Target::Part(*id))).count();
            if part.kind == PartKind::Breaker {
                assert_eq!(n, 1, "breaker {} stands in one schedule", part.tag);
            }
        }
        let findings = table(&all, "findings");
        assert_eq!(findings.rows.len(), subject.judged.open.len());
        assert_eq!(findings.rows.is_empty(), findings.instead.starts_with("No finding; accepted: "));
        let same = tables(&Subject::new(&installation, 0));
        assert_eq!(all, same);
    }
}

#[test]
fn the_load_sheets_are_those_of_the_load_analysis() {
    let installation = crate::store::sample().unwrap().installation;
    let all = tables(&Subject::new(&installation, 0));
    let analysed = crate::loads::analysis::analysis(&installation);
    assert!(analysed.len() > 1);
    let mut compared = 0;
    for (n, condition) in analysed.iter().enumerate() {
        let sheet = table(&all, &format!("loads-{}", n + 1));
        for (id, bus) in condition.carried().into_iter().flat_map(|(_, map)| map) {
            let row = sheet.rows.iter().find(|r| r.about == Some(Target::Part(*id))).unwrap();
            for (head, figure) in [
                ("Connected", Some(bus.connected_w)),
                ("Running", bus.running_w),
                ("Apparent power", bus.running_va),
                ("Mean", bus.mean_w),
                ("Current", bus.amps.map(|a| a.0)),
                ("Rating", bus.rating),
                ("Reserve", bus.reserve),
                ("Load", bus.load_percent),
            ] {
                let at = sheet.columns.iter().position(|c| c.head == head).unwrap();
                let value = match row.cells[at].value {
                    Value::Number { value, .. } => Some(value),
                    _ => None,
                };
                if bus.unknown.is_empty() {
                    assert_eq!(value, figure, "{head} of {}", installation.tag(*id));
                    compared += usize::from(figure.is_some());
                }
            }
        }
        for one in &condition.uses {
            let used = table(&all, "loads-use");
            let at = used.columns.iter().position(|c| c.head == condition.name).unwrap();
            let row = used.rows.iter().find(|r| r.about == Some(Target::Part(one.part))).unwrap();
            assert_eq!(row.cells[at].text().ends_with('%'), one.on && one.fed);
        }
    }
    assert!(compared > 100, "{compared}");
}

#[test]
fn status_and_assumed_values_stand_in_the_panel_schedule() {
    use crate::installation::{Origin, Property, Status};
    use std::sync::Arc;
    let mut installation = drawing(System::TwoWire120);
    let [breaker, heater] = ["Q1", "E1"].map(|tag| installation.part_by_tag(tag).unwrap());
    let part = Arc::make_mut(installation.parts.get_mut(&breaker).unwrap());
    part.status = Status::New;
    part.origins.insert(Property::RatingA, Origin::Assumed);
    part.origins.insert(Property::InterruptingKa, Origin::Typical);
    Arc::make_mut(installation.parts.get_mut(&heater).unwrap()).origins.insert(Property::RunW, Origin::Assumed);
    let feed = installation.feeds_of(heater).next().unwrap().0;
    Arc::make_mut(installation.cables.get_mut(&feed).unwrap()).origins.insert(Property::LengthM, Origin::Assumed);
    let all = tables(&Subject::new(&installation, 0));
    let panel = table(&all, "panel-a1");
    for (head, text) in [
        ("Status", "new"),
        ("Rating", "10 *"),
        ("Interrupting", "5 ~"),
        ("Connected", "1,000 *"),
        ("Cable", "12 AWG, 8.0 m *"),
        ("Trip class", "US thermal-magnetic"),
        ("Poles", "1"),
    ] {
        assert_eq!(cell(panel, "Q1", head), text, "{head}");
    }
    assert_eq!(cell(panel, "Q2", "Status"), "existing");
    assert!(panel.foot().iter().any(|n| n.contains("assumed: measure it first")));
}

#[test]
fn changes_since_the_last_revision_are_listed_old_to_new_and_moves_apart() {
    use crate::installation::{Edit, Point, Property};
    let mut installation = drawing(System::TwoWire120);
    let heater = installation.part_by_tag("E1").unwrap();
    std::sync::Arc::make_mut(installation.parts.get_mut(&heater).unwrap()).place = Place::At(Point::new(50.0, 5.0));
    let issue = |doc: &Installation, letter: &str| {
        let (letter, date) = (letter.to_owned(), "2027-05-31".to_owned());
        let edit = Edit::IssueRevision { letter, date, author: String::new(), note: String::new() };
        doc.apply(&edit).unwrap().installation
    };
    let mut first = issue(&installation, "A");
    let all = tables(&Subject::new(&first, 0));
    assert!(!all.iter().any(|t| t.id.starts_with("changes")), "the first issue has no changes to list");
    let ids = ["Q1", "E1", "Q2"].map(|tag| first.part_by_tag(tag).unwrap());
    first = first
        .apply(&Edit::SetPart { parts: vec![ids[0]], property: Property::RatingA, text: "15".to_owned(), origin: None })
        .unwrap()
        .installation;
    std::sync::Arc::make_mut(first.parts.get_mut(&ids[1]).unwrap()).place = Place::At(Point::new(5.0, 5.0));
    first.parts.remove(&ids[2]);
    first.cables.retain(|_, c| c.to != ids[2]);
    let unissued = tables(&Subject::new(&first, 0));
    assert!(table(&unissued, "changes-not-issued").title.contains("not issued yet"));
    let since = crate::sheets::revised(&first);
    assert!(
        !since.is_empty() && since.iter().all(|(_, letter)| letter == "A+"),
        "as the title block has it: {since:?}"
    );
    let second = issue(&first, "B");
    let all = tables(&Subject::new(&second, 0));
    let changes = table(&all, "changes");
    assert_eq!(changes.title, "Changes in revision B since A");
    let text = |tag: &str| {
        let row = changes.rows.iter().find(|r| r.cells[0].text() == tag).unwrap_or_else(|| panic!("no {tag}"));
        row.cells.iter().map(Cell::text).collect::<Vec<_>>().join(" | ")
    };
    assert_eq!(text("Q1"), "Q1 | rated current | 10 A | 15 A");
    assert!(text("Q2").ends_with("there | taken away"), "{}", text("Q2"));
    let moved = changes.rows.iter().position(|r| r.kind == RowKind::Heading).unwrap();
    assert!(changes.rows[moved + 1..].iter().any(|r| r.cells[0].text() == "E1"), "moves stand apart");
    assert!(changes.rows[..moved].iter().all(|r| r.cells[0].text() != "E1"));
    let marked = crate::sheets::revised(&second);
    assert_eq!(marked, [(Target::Part(ids[0]), "B".to_owned())], "what was changed is marked on the diagram");
}

#[test]
fn what_is_fed_and_draws_is_not_drawn_as_idle() {
    use crate::sheets::table::Tone;
    let mut installation = drawing(System::TwoWire120);
    let panel = installation.part_by_tag("A1").unwrap();
    // An appliance without a breaker of its own, of which no power is known, and an indicator, which has no rating.
    let mut add = |kind, tag: &str| {
        let part = Part::new(kind, tag, Place::In(crate::installation::SpaceKind::Other));
        let id = installation.add_part(part);
        installation.add_cable(Cable::between(panel, id));
    };
    add(PartKind::Appliance, "E8");
    add(PartKind::PolarityIndicator, "P1");
    let all = tables(&Subject::new(&installation, 0));
    let panel = table(&all, "panel-a1");
    let tone = |tag: &str| panel.rows.iter().find(|r| r.cells.iter().any(|c| c.text() == tag)).map(|r| r.tone);
    assert_eq!(tone("E8"), Some(Tone::Plain));
    assert_eq!(tone("Q2"), Some(Tone::Quiet), "a spare breaker stays quiet");
    assert_eq!(cell(panel, "P1", "Rating"), "–");
    assert_eq!(cell(panel, "Q1", "Rating"), "10");
}

#[test]
fn a_finding_shows_its_figure_as_its_sentence_does() {
    let mut installation = drawing(System::TwoWire120);
    let heater = installation.part_by_tag("E1").unwrap();
    std::sync::Arc::make_mut(installation.parts.get_mut(&heater).unwrap()).run_w = Some(2362.8712);
    let subject = Subject::new(&installation, 0);
    let all = tables(&subject);
    let rows: Vec<_> =
        table(&all, "findings").rows.iter().map(|r| r.cells.iter().map(Cell::text).collect::<Vec<_>>()).collect();
    let over = rows.iter().find(|r| r.last().is_some_and(|rule| rule == "breaker-overload")).unwrap();
    let finding = subject.survey.findings.iter().find(|f| f.rule == "breaker-overload").unwrap();
    let figure = &over[3];
    assert!(finding.message.contains(figure.as_str()) && figure.ends_with(" A"), "{figure}: {}", finding.message);
    assert_eq!(over[4], "10 A");
}

/// The trawler's inverter-charger passes the generator through: its input carries the charger too, its own breaker does not.
#[test]
fn the_own_breaker_of_an_inverter_charger_carries_what_leaves_it() {
    let installation = crate::store::sample().unwrap().installation;
    let subject = Subject::new(&installation, 0);
    let all = tables(&subject);
    let amps = |tag: &str| {
        let (_, flow) = subject.solution.feed_of(installation.part_by_tag(tag).unwrap()).unwrap();
        flow.amps.unwrap()
    };
    let (into, out) = (amps("T1"), amps("A2"));
    assert!(into - out > 5.0, "{into} A and {out} A");
    let breakers = table(&all, "breakers-elsewhere");
    assert_eq!(cell(breakers, "T1", "Current"), crate::units::amps(out).replace(" A", ""));
    let watts: f64 = cell(breakers, "T1", "Running").replace(',', "").parse().unwrap();
    // What leaves it at about 118 V and a power factor a little below 1.
    assert!((out * 112.0..out * 119.0).contains(&watts), "{watts} W of {out} A");
}

#[test]
fn what_hangs_on_a_panel_without_a_breaker_names_its_own_cable() {
    let mut installation = drawing(System::TwoWire120);
    let (panel, heater) = (installation.part_by_tag("A1").unwrap(), installation.part_by_tag("E1").unwrap());
    installation.cables.retain(|_, c| c.to != heater);
    let mut cable = Cable::between(panel, heater);
    cable.data = CableData { conductor: Conductor::Size(Size::Awg(10)), length_m: Some(4.0), ..CableData::unknown() };
    installation.add_cable(cable);
    let all = tables(&Subject::new(&installation, 0));
    assert_eq!(cell(table(&all, "panel-a1"), "E1", "Cable"), "10 AWG, 4.0 m");
}
