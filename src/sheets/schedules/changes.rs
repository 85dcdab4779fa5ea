//! What the last issue changed: parts and cables that came or went, values from old to new, and moved symbols apart.

use crate::diagram::Target;
use crate::installation::{About, Comparison, Installation, Issue, issues};
use crate::sheets::table::{Cell, Column, Row, RowKind, Table, Tone};

/// What the last revision changed, and what was changed since and is not issued yet. Nothing where there was no issue
/// before.
pub(super) fn tables(installation: &Installation) -> Vec<Table> {
    let all = issues(installation);
    let unissued = all.iter().filter(|i| i.revision.is_none());
    let last = all.iter().rev().find(|i| i.revision.is_some());
    last.into_iter().chain(unissued).filter_map(|issue| table(installation, issue)).collect()
}

fn table(installation: &Installation, issue: &Issue<'_>) -> Option<Table> {
    let since = issue.since?.letter.as_str();
    let (id, title) = match issue.revision {
        Some(revision) => ("changes", format!("Changes in revision {} since {since}", revision.letter)),
        None => ("changes-not-issued", format!("Changed since revision {since} and not issued yet")),
    };
    let columns =
        vec![Column::words("Tag"), Column::sentences("What"), Column::sentences("Old"), Column::sentences("New")];
    let mut table = Table::new(id, title, columns);
    fill(&mut table, installation, &issue.changes);
    if table.rows.is_empty() {
        table.instead = "Nothing was changed.".to_owned();
    }
    table.notes.push(
        "Parts and cables are compared by what they are, not by their place in the file. A symbol that was only moved is no \
         electrical change. What was changed bears the letter of the revision on the diagram."
            .to_owned(),
    );
    Some(table)
}

fn heading(words: &str) -> Row {
    Row::of(vec![Cell::words(words), Cell::none(), Cell::none(), Cell::none()]).kind(RowKind::Heading)
}

/// The part or cable of the drawing as it is now that a line is about.
fn target(installation: &Installation, about: About) -> Option<Target> {
    match about {
        About::Part(id) => installation.parts.contains_key(&id).then_some(Target::Part(id)),
        About::Cable(id) => installation.cables.contains_key(&id).then_some(Target::Cable(id)),
        About::Space(_) | About::Condition(_) | About::Document => None,
    }
}

fn fill(table: &mut Table, installation: &Installation, changes: &Comparison) {
    let mut put = |about: About, cells: Vec<Cell>, tone: Tone| {
        let row = Row::of(cells).toned(tone);
        table.rows.push(match target(installation, about) {
            Some(target) => row.about(target),
            None => row,
        });
    };
    let line = |e: &crate::installation::Entry, old: Cell, new: Cell| {
        vec![Cell::words(e.tag.as_str()), Cell::words(e.name.as_str()), old, new]
    };
    for entry in changes.come() {
        put(entry.about, line(entry, Cell::words("not there"), Cell::words("added")), Tone::New);
    }
    for entry in changes.gone() {
        put(entry.about, line(entry, Cell::words("there"), Cell::words("taken away")), Tone::Removed);
    }
    for change in &changes.changed {
        let tag = if change.tag.is_empty() { "(drawing)" } else { change.tag.as_str() };
        let cells = vec![
            Cell::words(tag),
            Cell::words(change.what()),
            Cell::words(change.old_words()),
            Cell::words(change.new_words()),
        ];
        put(change.about, cells, Tone::Plain);
    }
    if !changes.moved.is_empty() {
        table.rows.push(heading("Moved on the drawing, no electrical change by it"));
        for entry in &changes.moved {
            let cells = line(entry, Cell::none(), Cell::words("moved"));
            let row = Row::of(cells).toned(Tone::Quiet);
            table.rows.push(match target(installation, entry.about) {
                Some(target) => row.about(target),
                None => row,
            });
        }
    }
}
