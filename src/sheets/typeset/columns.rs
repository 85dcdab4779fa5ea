//! Widths of columns: what is to stand on one line gets its width, sentences share what is left.

use super::super::table::{Align, RowKind, Table, Value};
use crate::diagram::{Weight, text_width};

/// Room beside the text of a cell.
pub const PAD: f64 = 1.4;
/// A word is broken rather than that it makes a column wider than this.
const LONGEST: f64 = 46.0;
/// A sentence is not set narrower than this where that can be.
const SENTENCE: f64 = 42.0;
/// What a column that is filled by hand gets at most besides.
const HAND: f64 = 45.0;

/// Columns that are set beside each other, with their widths in millimetres.
#[derive(Clone, Debug, PartialEq)]
pub struct Part {
    /// Number of the column in the table, and its width.
    pub columns: Vec<(usize, f64)>,
    /// Columns that have no room beside the others: they stand in lines under each row, each after its heading.
    pub below: Vec<usize>,
    /// Width of all: of the columns, or more where lines stand below.
    width: f64,
}

impl Part {
    fn of(columns: Vec<(usize, f64)>) -> Self {
        let width = columns.iter().map(|c| c.1).sum();
        Self { columns, below: Vec::new(), width }
    }

    /// Width of all columns, and of the lines below.
    #[must_use]
    pub const fn width(&self) -> f64 {
        self.width
    }
}

/// What a column asks for.
#[derive(Clone, Copy)]
struct Need {
    /// So that no word is broken.
    least: f64,
    /// So that no line is broken.
    most: f64,
    wraps: bool,
    /// It is filled by hand.
    blank: bool,
}

fn needs(table: &Table, size: f64) -> Vec<Need> {
    table
        .columns
        .iter()
        .enumerate()
        .map(|(i, column)| {
            let width = |t: &str, w| text_width(t, size, w) + 2.0 * PAD + 0.05;
            let longest = |t: &str, w| t.split_whitespace().map(|t| width(t, w)).fold(0.0, f64::max);
            let heading = column.heading();
            let mut need =
                Need { least: longest(&heading, Weight::Bold), most: 0.0, wraps: column.wraps, blank: false };
            for row in table.rows.iter().filter(|r| r.kind != RowKind::Heading) {
                let Some(cell) = row.cells.get(i) else { continue };
                let text = cell.text();
                need.blank |= cell.value == Value::Blank;
                // Bold is the wider of the two.
                need.least = need.least.max(longest(&text, Weight::Bold));
                need.most = need.most.max(width(&text, Weight::Bold));
            }
            need.least = need.least.min(LONGEST);
            need.most = need.most.max(need.least);
            if need.blank {
                need.most = need.most.max(20.0);
            }
            need
        })
        .collect()
}

/// The parts in which a table is set so that each is at most `room` wide.
#[must_use]
pub fn parts(table: &Table, room: f64, size: f64) -> Vec<Part> {
    let needs = needs(table, size);
    let all: Vec<usize> = (0..needs.len()).collect();
    let bare = |columns: &[usize]| {
        columns
            .iter()
            .filter_map(|i| needs.get(*i))
            .map(|n| if n.wraps { n.least.max(SENTENCE.min(n.most)) } else { n.least })
            .sum::<f64>()
    };
    if bare(&all) <= room || needs.len() < 3 {
        return vec![Part::of(widths(&needs, &all, room))];
    }
    if let Some(part) = with_lines_below(table, &needs, room, &bare) {
        return vec![part];
    }
    // Too wide: as many columns as fit, the first one again in each part.
    let mut parts = Vec::new();
    let mut next = 1;
    while next < needs.len() {
        let mut columns = vec![0, next];
        while next + columns.len() - 1 < needs.len() {
            let more: Vec<usize> = columns.iter().copied().chain([next + columns.len() - 1]).collect();
            if bare(&more) > room {
                break;
            }
            columns = more;
        }
        next += columns.len() - 1;
        parts.push(Part::of(widths(&needs, &columns, room)));
    }
    parts
}

/// All figures beside each other; the last sentences, and where that is not enough the last columns of words, in lines
/// under each row. `None` where a column is filled by hand or the figures alone are too wide.
fn with_lines_below(table: &Table, needs: &[Need], room: f64, bare: &dyn Fn(&[usize]) -> f64) -> Option<Part> {
    if needs.iter().any(|n| n.blank) {
        return None;
    }
    let (mut beside, mut below): (Vec<usize>, Vec<usize>) = ((0..needs.len()).collect(), Vec::new());
    while bare(&beside) > room {
        let wraps = |i: &usize| *i > 0 && needs.get(*i).is_some_and(|n| n.wraps);
        let words = |i: &usize| *i > 0 && table.columns.get(*i).is_some_and(|c| c.align != Align::Right);
        let last = beside.iter().rposition(wraps).or_else(|| beside.iter().rposition(words))?;
        below.push(beside.remove(last));
    }
    below.sort_unstable();
    let columns = widths(needs, &beside, room);
    let width = columns.iter().map(|c| c.1).sum::<f64>().max(room);
    Some(Part { columns, below, width })
}

/// Shares the room out.
fn widths(needs: &[Need], columns: &[usize], room: f64) -> Vec<(usize, f64)> {
    let of: Vec<(usize, Need)> = columns.iter().filter_map(|i| needs.get(*i).map(|n| (*i, *n))).collect();
    let most: f64 = of.iter().map(|(_, n)| n.most).sum();
    if most <= room {
        // What is filled by hand gets what is left, up to a hand's width.
        let blanks = of.iter().filter(|(_, n)| n.blank).count().max(1) as f64;
        let more = ((room - most) / blanks).min(HAND);
        return of.iter().map(|(i, n)| (*i, n.most + if n.blank { more } else { 0.0 })).collect();
    }
    let firm: f64 = of.iter().map(|(_, n)| if n.wraps { n.least.max(SENTENCE.min(n.most)) } else { n.most }).sum();
    // Where even one line for each figure is too much, all columns give way.
    let base = |n: &Need| match (firm <= room, n.wraps) {
        (true, true) => n.least.max(SENTENCE.min(n.most)),
        (true, false) => n.most,
        (false, _) => n.least,
    };
    let used: f64 = of.iter().map(|(_, n)| base(n)).sum();
    let wanted: f64 = of.iter().map(|(_, n)| n.most - base(n)).sum();
    if used > room {
        // Not even words fit: in proportion, words are broken.
        return of.iter().map(|(i, n)| (*i, base(n) * room / used)).collect();
    }
    let share = if wanted > 0.0 { ((room - used) / wanted).min(1.0) } else { 0.0 };
    of.iter().map(|(i, n)| (*i, base(n) + (n.most - base(n)) * share)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sheets::table::{Cell, Column, Row};

    fn table(columns: usize, wraps: bool, text: &str) -> Table {
        let column = |_| if wraps { Column::sentences("Head") } else { Column::words("Head") };
        let mut table = Table::new("t", "T", (0..columns).map(column).collect());
        table.rows.push(Row::of((0..columns).map(|_| Cell::words(text)).collect()));
        table
    }

    #[test]
    fn what_has_no_room_stands_in_lines_below() {
        let mut wide =
            Table::new("t", "T", vec![Column::words("Tag"), Column::sentences("How"), Column::words("State")]);
        wide.columns.extend((0..6).map(|_| Column::numbers("Figure", "A")));
        let mut cells =
            vec![Cell::words("Q1"), Cell::words("a sentence of some words that goes on"), Cell::words("fed")];
        cells.extend((0..6).map(|n| Cell::figure(Some(f64::from(n)), 0)));
        wide.rows.push(Row::of(cells));
        let all = parts(&wide, 400.0, 2.5);
        assert!(all.len() == 1 && all[0].below.is_empty());
        let some = parts(&wide, 130.0, 2.5);
        assert!(some.len() == 1 && some[0].below.contains(&1) && some[0].columns[0].0 == 0, "{some:?}");
        assert!(some[0].columns.iter().filter(|c| c.0 > 2).count() == 6, "figures stay beside each other");
    }

    #[test]
    fn no_part_is_wider_than_its_room_and_each_column_is_set_once() {
        for (n, wraps, text) in
            [(3, false, "short"), (30, false, "a word"), (8, true, "many words in a sentence of some length")]
        {
            for room in [60.0, 170.0, 390.0] {
                let parts = parts(&table(n, wraps, text), room, 2.5);
                let mut set: Vec<usize> = Vec::new();
                for (k, part) in parts.iter().enumerate() {
                    assert!(part.width() <= room + 1e-6, "{n} {room}: {}", part.width());
                    set.extend(part.columns.iter().map(|c| c.0).skip(usize::from(k > 0)));
                    set.extend(&part.below);
                }
                set.sort_unstable();
                assert_eq!(set, (0..n).collect::<Vec<_>>());
            }
        }
    }
}
