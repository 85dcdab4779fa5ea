//! Revisions, blank test records and the sign-off: what is filled in by hand.

use super::Subject;
use super::cells::{self, part_row};
use super::changes;
use crate::installation::{Part, PartId, PartKind, Protection};
use crate::sheets::issue;
use crate::sheets::table::{Cell, Column, Row, RowKind, Source, Table};
use crate::survey::Context;
use crate::tables::{self, ResidualDevice};
use crate::units::trimmed;

/// Blank rows for what a hand adds.
const SPARE_ROWS: usize = 3;

/// Revisions, test records, sign-off.
pub(super) fn tables(subject: &Subject<'_>, cx: &Context<'_>) -> Vec<Table> {
    let parts = cells::by_tag(cx);
    let mut all = vec![revisions(subject)];
    all.extend(changes::tables(subject.installation));
    all.extend([
        earth_continuity(&parts),
        insulation_resistance(&parts),
        polarity(&parts),
        residual_trip(&parts),
        neutral_to_earth(&parts),
        sign_off(subject),
        corrections(),
    ]);
    all
}

fn blank(width: usize) -> Row {
    Row::of(vec![Cell::blank(); width]).kind(RowKind::ByHand)
}

/// A record: one row a part with what is known in front, blank cells behind.
fn record<'a>(
    id: &str,
    title: &str,
    columns: Vec<Column>,
    parts: impl Iterator<Item = (PartId, &'a Part, Vec<Cell>)>,
) -> Table {
    let mut table = Table::new(id, title, columns);
    let width = table.columns.len();
    for (id, part, known) in parts {
        let mut cells = vec![Cell::words(part.tag.as_str()), cells::label(part)];
        cells.extend(known);
        cells.resize(width, Cell::blank());
        table.rows.push(part_row(id, cells).kind(RowKind::ByHand));
    }
    if !table.rows.is_empty() {
        table.notes.push("Blank: nothing on this sheet was measured by the program.".to_owned());
    }
    table
}

/// Tag, part, then these, then remarks and signature.
fn columns(between: Vec<Column>) -> Vec<Column> {
    let mut all = vec![Column::words("Tag"), Column::words("Part")];
    all.extend(between);
    all.extend([Column::words("Instrument"), Column::words("By, date"), Column::sentences("Remarks")]);
    all
}

fn revisions(subject: &Subject<'_>) -> Table {
    let columns =
        vec![Column::words("Revision"), Column::words("Date"), Column::words("Author"), Column::sentences("Note")];
    let mut table = Table::new("revisions", "Revisions", columns);
    let issued = &subject.installation.revisions;
    for revision in issued {
        let cells = [&revision.letter, &revision.date, &revision.author, &revision.note];
        table.rows.push(Row::of(cells.into_iter().map(|t| Cell::words(t.as_str())).collect()));
    }
    if issued.is_empty() {
        table.notes.push(match issue::revision(subject.installation) {
            (index, date) if index.is_empty() && date.is_empty() => "No revision was issued.".to_owned(),
            (index, date) => {
                let stated = [index, date].join(" ");
                format!("No revision is recorded in the drawing; its title block states {}.", stated.trim())
            }
        });
    }
    table.rows.extend((0..SPARE_ROWS).map(|_| blank(4)));
    table
}

fn earth_continuity(parts: &[(PartId, &Part)]) -> Table {
    let columns = columns(vec![Column::words("Measured to"), Column::numbers("Earth continuity", "Ω")]);
    // Everything with a metal case or an earth contact: all but what sits inside a panel.
    let exposed = parts.iter().filter(|(_, p)| !matches!(p.kind, PartKind::Breaker | PartKind::PolarityIndicator));
    record("earth-continuity", "Test record: earth continuity", columns, exposed.map(|&(id, p)| (id, p, Vec::new())))
}

fn insulation_resistance(parts: &[(PartId, &Part)]) -> Table {
    let between = vec![
        Column::numbers("Test voltage", "V"),
        Column::numbers("Line to earth", "MΩ"),
        Column::numbers("Neutral to earth", "MΩ"),
        Column::numbers("Line to neutral", "MΩ"),
    ];
    // A source stands for the cable that leaves it, a transformer for its secondary.
    let begins = |p: &Part| {
        p.kind.is_source() || matches!(p.kind, PartKind::Breaker | PartKind::Panel | PartKind::IsolationTransformer)
    };
    let circuits = parts.iter().filter(|(_, p)| begins(p));
    let title = "Test record: insulation resistance";
    let mut table =
        record("insulation-resistance", title, columns(between), circuits.map(|&(id, p)| (id, p, Vec::new())));
    if !table.rows.is_empty() {
        table.notes.push(
            "At a source or transformer: the cable that leaves it. Every source unplugged, stopped and locked off, and electronics disconnected, before a test voltage is put on."
                .to_owned(),
        );
    }
    table
}

fn polarity(parts: &[(PartId, &Part)]) -> Table {
    let between = vec![
        Column::words("Line on the line contact"),
        Column::words("Neutral on its contact"),
        Column::numbers("Line to neutral", "V"),
        Column::numbers("Neutral to earth", "V"),
    ];
    let points = parts.iter().filter(|(_, p)| {
        matches!(p.kind, PartKind::Outlet | PartKind::ShoreInlet | PartKind::PolarityIndicator | PartKind::Panel)
    });
    record("polarity", "Test record: polarity", columns(between), points.map(|&(id, p)| (id, p, Vec::new())))
}

/// The published row that says at which current a protection must trip, and within which time.
fn published(protection: Protection) -> Option<&'static ResidualDevice> {
    let name = match protection {
        Protection::None => return None,
        Protection::Gfci => "gfci_class_a",
        Protection::Elci => "gfpe_elci",
        Protection::Rcd10 => "rcd10_general_1x",
        Protection::Rcd30 => "rcd30_general_1x",
    };
    tables::get().residual_devices().iter().find(|d| d.device == name)
}

fn residual_trip(parts: &[(PartId, &Part)]) -> Table {
    let between = vec![
        Column::words("Protection"),
        Column::numbers("Must trip at", "mA"),
        Column::words("Within"),
        Column::numbers("Tripped at", "mA"),
        Column::numbers("Tripped in", "ms"),
        Column::words("Test button"),
    ];
    let guarded: Vec<_> = parts.iter().filter(|(_, p)| p.protection != Protection::None).collect();
    let known = |part: &Part| {
        let device = published(part.protection);
        vec![
            Cell::words(cells::protection_words(part.protection)),
            Cell::figure(device.map(|d| d.trip_ma), 1),
            match device.and_then(|d| d.within_s(d.trip_ma)) {
                Some(seconds) if seconds < 1.0 => Cell::words(format!("{} ms", trimmed(seconds * 1000.0, 0))),
                Some(seconds) => Cell::words(format!("{} s", trimmed(seconds, 2))),
                None => Cell::not_known(),
            },
        ]
    };
    let title = "Test record: trip of residual-current devices";
    let rows = guarded.iter().map(|&&(id, p)| (id, p, known(p)));
    let mut table = record("residual-trip", title, columns(between), rows);
    let mut devices: Vec<&ResidualDevice> = guarded.iter().filter_map(|(_, p)| published(p.protection)).collect();
    devices.sort_by(|a, b| a.device.cmp(&b.device));
    devices.dedup();
    for device in devices {
        if device.time_s.is_none() {
            table.notes.push(format!("{}: {}.", device.source, device.time_rule));
        }
        let source = Source { text: device.source.clone(), mark: device.mark };
        if !table.sources.contains(&source) {
            table.sources.push(source);
        }
    }
    table
}

fn neutral_to_earth(parts: &[(PartId, &Part)]) -> Table {
    let between = vec![
        Column::words("Bond as drawn"),
        Column::words("Bond found"),
        Column::numbers("Feeding: neutral to earth", "V"),
        Column::numbers("Stopped: neutral to earth", "Ω"),
    ];
    let bonds = parts.iter().filter(|(_, p)| p.kind.is_source() || p.kind == PartKind::IsolationTransformer);
    let mut table = record(
        "neutral-to-earth",
        "Test record: neutral to earth on each source",
        columns(between),
        bonds.map(|&(id, p)| (id, p, vec![cells::yes_no(p.bonded)])),
    );
    if !table.rows.is_empty() {
        table.notes.push("One bond of neutral to earth, at the source that feeds, and nowhere else.".to_owned());
    }
    table
}

fn sign_off(subject: &Subject<'_>) -> Table {
    let columns = vec![Column::words("Item"), Column::sentences("Entry")];
    let mut table = Table::new("sign-off", "Sign-off", columns);
    for item in [
        "Checked by",
        "Licence number, where the local code has one",
        "Company",
        "Date",
        "Signature",
        "Remarks",
        "Corrected, rejected or signed as drawn",
    ] {
        table.rows.push(Row::of(vec![Cell::words(item), Cell::blank()]).kind(RowKind::ByHand));
    }
    let title = &subject.installation.title;
    let drawn = if title.creator.is_empty() { "not stated" } else { &title.creator };
    table.notes.push(format!("Drawn by: {drawn}. The approval person is left empty for the electrician."));
    table.notes.push(
        "Not for construction until checked and signed by a licensed marine electrician under the local code."
            .to_owned(),
    );
    table
}

fn corrections() -> Table {
    let columns = vec![
        Column::words("Sheet"),
        Column::words("Tag"),
        Column::sentences("Correction by hand"),
        Column::words("By, date"),
    ];
    let mut table = Table::new("corrections", "Corrections by hand", columns);
    table.rows.extend((0..8).map(|_| blank(4)));
    table
}
