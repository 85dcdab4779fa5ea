//! Tests of the tables as a whole: every sample, every part and cable, figures against the solve.

use super::{Subject, tables};
use crate::diagram::Target;
use crate::installation::{Cable, CableData, Conductor, Installation, Part, PartKind, Place, Size, System};
use crate::sheets::table::{RowKind, Table, Value};
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
    assert_eq!(cell(table(&all, "loads-1"), "E1", "Running"), "not known");
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
            assert!(!table.title.is_empty() && !table.rows.is_empty());
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
        assert_eq!(table(&all, "findings").rows.len(), subject.judged.open.len().max(1));
        let same = tables(&Subject::new(&installation, 0));
        assert_eq!(all, same);
    }
}
