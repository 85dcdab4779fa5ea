//! Widths of columns: what is to stand on one line gets its width, sentences share what is left.

use super::super::table::{RowKind, Table, Value};
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
}

impl Part {
    /// Width of all columns.
    #[must_use]
    pub fn width(&self) -> f64 {
        self.columns.iter().map(|c| c.1).sum()
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
        return vec![Part { columns: widths(&needs, &all, room) }];
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
        parts.push(Part { columns: widths(&needs, &columns, room) });
    }
    parts
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
                }
                assert_eq!(set, (0..n).collect::<Vec<_>>());
            }
        }
    }
}
