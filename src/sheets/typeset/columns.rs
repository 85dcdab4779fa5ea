//! Widths of columns: what is to stand on one line gets its width, what is broken into lines shares what is left so that
//! rows are low, and what a hand fills in takes the rest.

use super::super::table::{Align, RowKind, Table, Value};
use crate::diagram::{Weight, text_width};

/// Room beside the text of a cell.
pub const PAD: f64 = 1.4;
/// A word is broken rather than that it makes a column wider than this.
const LONGEST: f64 = 46.0;
/// Columns stand beside each other where a sentence need not be narrower than this.
const SENTENCE: f64 = 42.0;
/// From this width on a sentence gets what makes its rows lower; a few words need no more.
const NARROW: f64 = 20.0;
/// What is no longer than this on one line is a few words.
const FEW: f64 = 48.0;
/// So many characters are not broken: a figure with its unit.
const SHORT: usize = 8;
/// What the height of a heading counts against that of a row.
const HEADING: usize = 4;
/// What a column that is filled by hand gets at least.
const HAND: f64 = 14.0;
/// By so much columns grow, in millimetres.
const STEP: f64 = 0.5;

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
#[derive(Clone, Copy, Default)]
struct Need {
    /// So that no word is broken.
    least: f64,
    /// So that no line is broken.
    most: f64,
    /// The same, and its heading has two lines at most.
    ease: f64,
    /// So that its heading has two lines at most.
    head: f64,
    wraps: bool,
    /// It is filled by hand.
    blank: bool,
    /// What it gets of the room for a hand, against the others, and how much of it at most.
    hand: (f64, f64),
}

impl Need {
    /// What it must have for the columns to stand beside each other.
    fn beside(&self) -> f64 {
        match self.wraps {
            true if self.most > FEW => self.least.max(SENTENCE),
            true => self.least.max(NARROW.min(self.most)),
            false => self.least,
        }
    }
}

/// Tables whose columns are to stand below each other, measured.
struct Measured<'a> {
    tables: &'a [&'a Table],
    needs: Vec<Need>,
    /// Rows as the widths of the words of their cells; headings of columns are rows too.
    rows: Vec<Words>,
    space: f64,
}

/// A row, and how many lines it may have without being higher.
struct Words {
    cells: Vec<Vec<f64>>,
    free: usize,
    counts: usize,
}

impl Words {
    /// Lines of a cell at a width.
    fn lines(&self, column: usize, width: f64, space: f64) -> usize {
        let room = width - 2.0 * PAD + 1e-9;
        let (mut lines, mut used) = (0_usize, f64::INFINITY);
        for word in self.cells.get(column).into_iter().flatten() {
            if used + space + word <= room {
                used += space + word;
            } else {
                lines += (word / room.max(1.0)).ceil().max(1.0) as usize;
                used = *word;
            }
        }
        lines.max(1)
    }
}

fn bold(text: &str, size: f64) -> f64 {
    text_width(text, size, Weight::Bold)
}

/// The least width at which a heading has two lines at most.
fn in_two(heading: &str, size: f64) -> f64 {
    let words: Vec<&str> = heading.split_whitespace().collect();
    let all = (1..words.len()).map(|n| bold(&words[..n].join(" "), size).max(bold(&words[n..].join(" "), size)));
    all.reduce(f64::min).unwrap_or_else(|| bold(heading, size))
}

impl<'a> Measured<'a> {
    fn of(tables: &'a [&'a Table], size: f64) -> Self {
        let wide = tables.iter().map(|t| t.columns.len()).max().unwrap_or(0);
        let needs = (0..wide).map(|i| need(tables, i, size)).collect();
        // Bold is the wider of the two weights.
        let words = |text: &str| text.split_whitespace().map(|w| bold(w, size)).collect::<Vec<f64>>();
        let mut rows = Vec::new();
        for table in tables {
            rows.push(Words {
                cells: table.columns.iter().map(|c| words(&c.heading())).collect(),
                free: 2,
                counts: HEADING,
            });
            let data = table.rows.iter().filter(|r| r.kind != RowKind::Heading);
            rows.extend(data.map(|row| Words {
                cells: row.cells.iter().map(|c| words(&c.text())).collect(),
                // A row for a hand is high enough for two.
                free: if row.kind == RowKind::ByHand { 2 } else { 1 },
                counts: 1,
            }));
        }
        Self { tables, needs, rows, space: bold(" ", size) }
    }

    fn need(&self, column: usize) -> Need {
        self.needs.get(column).copied().unwrap_or_default()
    }
}

fn need(tables: &[&Table], column: usize, size: f64) -> Need {
    let cell_width = |t: &str| bold(t, size) + 2.0 * PAD + 0.05;
    let longest = |t: &str| t.split_whitespace().map(cell_width).fold(0.0, f64::max);
    let mut need = Need::default();
    for (table, head) in tables.iter().filter_map(|t| Some((t, t.columns.get(column)?))) {
        let heading = head.heading();
        need.wraps |= head.wraps;
        need.least = need.least.max(longest(&heading));
        need.head = need.head.max(in_two(&heading, size) + 2.0 * PAD + 0.05);
        for row in table.rows.iter().filter(|r| r.kind != RowKind::Heading) {
            let Some(cell) = row.cells.get(column) else { continue };
            let text = cell.text();
            need.blank |= cell.value == Value::Blank;
            let short = !head.wraps && text.chars().count() <= SHORT;
            need.least = need.least.max(if short { cell_width(&text) } else { longest(&text) });
            need.most = need.most.max(cell_width(&text));
        }
        need.hand = match (head.wraps, head.align) {
            (true, _) => (3.0, f64::INFINITY),
            (false, Align::Right) => (1.0, 35.0),
            (false, _) => (1.3, 60.0),
        };
    }
    need.least = need.least.min(LONGEST);
    if need.blank {
        need.least = need.least.max(HAND);
    }
    need.most = need.most.max(need.least);
    need.ease = need.head.max(need.most);
    need
}

/// The parts in which tables are set so that each is at most `room` wide. The tables have columns alike, which come to
/// stand below each other.
#[must_use]
pub fn parts(tables: &[&Table], room: f64, size: f64) -> Vec<Part> {
    let sheet = Measured::of(tables, size);
    let all: Vec<usize> = (0..sheet.needs.len()).collect();
    let bare = |columns: &[usize]| columns.iter().map(|i| sheet.need(*i).beside()).sum::<f64>();
    if bare(&all) <= room || sheet.needs.len() < 3 {
        return vec![Part::of(sheet.widths(&all, room))];
    }
    if let Some(part) = with_lines_below(&sheet, room, &bare) {
        return vec![part];
    }
    // Too wide: as many columns as fit, the first one again in each part.
    let mut parts = Vec::new();
    let mut next = 1;
    while next < all.len() {
        let mut columns = vec![0, next];
        while next + columns.len() - 1 < all.len() {
            let more: Vec<usize> = columns.iter().copied().chain([next + columns.len() - 1]).collect();
            if bare(&more) > room {
                break;
            }
            columns = more;
        }
        next += columns.len() - 1;
        parts.push(Part::of(sheet.widths(&columns, room)));
    }
    parts
}

/// All figures beside each other; the last sentences, and where that is not enough the last columns of words, in lines
/// under each row. `None` where a column is filled by hand or the figures alone are too wide.
fn with_lines_below(sheet: &Measured<'_>, room: f64, bare: &dyn Fn(&[usize]) -> f64) -> Option<Part> {
    if sheet.needs.iter().any(|n| n.blank) {
        return None;
    }
    let first = sheet.tables.first()?;
    let (mut beside, mut below): (Vec<usize>, Vec<usize>) = ((0..sheet.needs.len()).collect(), Vec::new());
    while bare(&beside) > room {
        let wraps = |i: &usize| *i > 0 && sheet.need(*i).wraps;
        let words = |i: &usize| *i > 0 && first.columns.get(*i).is_some_and(|c| c.align != Align::Right);
        let last = beside.iter().rposition(wraps).or_else(|| beside.iter().rposition(words))?;
        below.push(beside.remove(last));
    }
    below.sort_unstable();
    let columns = sheet.widths(&beside, room);
    let width = columns.iter().map(|c| c.1).sum::<f64>().max(room);
    Some(Part { columns, below, width })
}

impl Measured<'_> {
    /// Shares the room out.
    fn widths(&self, columns: &[usize], room: f64) -> Vec<(usize, f64)> {
        let of: Vec<(usize, Need)> = columns.iter().map(|i| (*i, self.need(*i))).collect();
        let sum = |width: &dyn Fn(&Need) -> f64| of.iter().map(|(_, n)| width(n)).sum::<f64>();
        if sum(&|n| n.ease) <= room {
            let mut widths: Vec<(usize, f64)> = of.iter().map(|(i, n)| (*i, n.ease)).collect();
            by_hand(&of, &mut widths, room);
            return widths;
        }
        let firm = |n: &Need| if n.wraps { n.least.max(NARROW.min(n.most)) } else { n.most };
        // Where even one line for each figure is too much, all columns give way.
        let fits = sum(&|n| firm(n).max(n.beside())) <= room;
        let base = |n: &Need| if fits { firm(n) } else { n.least };
        let used = sum(&base);
        if used > room {
            // Not even words fit: in proportion, words are broken.
            return of.iter().map(|(i, n)| (*i, base(n) * room / used)).collect();
        }
        let mut least: Vec<f64> = of.iter().map(|(_, n)| base(n)).collect();
        // Headings of two lines, those first that take the least room; sentences keep what they must have.
        let mut left = room - sum(&|n| base(n).max(n.beside()));
        let mut headings: Vec<(f64, usize)> =
            of.iter().enumerate().map(|(k, (_, n))| (n.head - base(n).max(n.beside()), k)).collect();
        headings.sort_by(|a, b| a.0.total_cmp(&b.0));
        for (more, k) in headings {
            if more > 0.0
                && more <= left
                && let Some(width) = least.get_mut(k)
            {
                *width += more;
                left -= more;
            }
        }
        let mut widths: Vec<(usize, f64)> = of.iter().zip(&least).map(|((i, _), width)| (*i, *width)).collect();
        self.lower(&mut widths, room);
        self.even(&mut widths, &least, room);
        by_hand(&of, &mut widths, room);
        widths
    }

    /// Lets columns grow into the room that is left, each time the one that makes most rows as high as they are.
    fn lower(&self, widths: &mut [(usize, f64)], room: f64) {
        let mut lines: Vec<Vec<usize>> = self
            .rows
            .iter()
            .map(|row| widths.iter().map(|(i, width)| row.lines(*i, *width, self.space)).collect())
            .collect();
        let mut left = room - widths.iter().map(|w| w.1).sum::<f64>();
        while left >= STEP {
            let mut pressure = vec![0_usize; widths.len()];
            for (row, lines) in self.rows.iter().zip(&lines) {
                let high = lines.iter().copied().max().unwrap_or(0);
                if high > row.free {
                    pressure
                        .iter_mut()
                        .zip(lines)
                        .filter(|(_, n)| **n == high)
                        .for_each(|(p, _)| *p += high * row.counts);
                }
            }
            let Some((n, most)) = pressure.into_iter().enumerate().max_by_key(|(n, p)| (*p, usize::MAX - n)) else {
                return;
            };
            let Some((column, width)) = widths.get_mut(n).filter(|_| most > 0) else { return };
            *width += STEP;
            left -= STEP;
            for (row, lines) in self.rows.iter().zip(&mut lines) {
                if let Some(own) = lines.get_mut(n) {
                    *own = row.lines(*column, *width, self.space);
                }
            }
        }
    }
}

impl Measured<'_> {
    /// Takes from each column what it has for nothing, no row growing higher, and shares that out so that fewer lines are
    /// broken.
    fn even(&self, widths: &mut [(usize, f64)], least: &[f64], room: f64) {
        let lines = |row: &Words, column: usize, width: f64| row.lines(column, width, self.space);
        let high: Vec<usize> = self
            .rows
            .iter()
            .map(|row| widths.iter().map(|(i, w)| lines(row, *i, *w)).max().unwrap_or(1).max(row.free))
            .collect();
        for ((column, width), least) in widths.iter_mut().zip(least) {
            let holds = |w: f64| self.rows.iter().zip(&high).all(|(row, high)| lines(row, *column, w) <= *high);
            while *width - STEP >= *least && holds(*width - STEP) {
                *width -= STEP;
            }
        }
        let left = room - widths.iter().map(|w| w.1).sum::<f64>();
        let wants = |(i, w): &(usize, f64)| (self.need(*i).most - w).max(0.0);
        let wanted: f64 = widths.iter().map(wants).sum();
        let share = if wanted > 0.0 { (left / wanted).clamp(0.0, 1.0) } else { 0.0 };
        for own in widths.iter_mut() {
            own.1 += wants(own) * share;
        }
    }
}

/// Gives what is left to the columns that a hand fills in.
fn by_hand(of: &[(usize, Need)], widths: &mut [(usize, f64)], room: f64) {
    let mut left = room - widths.iter().map(|w| w.1).sum::<f64>();
    // Those that take no more leave it to the others: one round for each.
    for _ in 0..of.len() {
        let open = |n: &Need, width: f64| n.blank && width < n.hand.1;
        let shares: f64 =
            of.iter().zip(widths.iter()).filter(|((_, n), w)| open(n, w.1)).map(|((_, n), _)| n.hand.0).sum();
        if left < 1e-6 || shares <= 0.0 {
            return;
        }
        let each = left / shares;
        for ((_, need), (_, width)) in of.iter().zip(widths.iter_mut()).filter(|((_, n), w)| open(n, w.1)) {
            let more = (each * need.hand.0).min(need.hand.1 - *width);
            *width += more;
            left -= more;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sheets::page::wrapped;
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
        let all = parts(&[&wide], 400.0, 2.5);
        assert!(all.len() == 1 && all[0].below.is_empty());
        let some = parts(&[&wide], 130.0, 2.5);
        assert!(some.len() == 1 && some[0].below.contains(&1) && some[0].columns[0].0 == 0, "{some:?}");
        assert!(some[0].columns.iter().filter(|c| c.0 > 2).count() == 6, "figures stay beside each other");
    }

    #[test]
    fn no_part_is_wider_than_its_room_and_each_column_is_set_once() {
        for (n, wraps, text) in
            [(3, false, "short"), (30, false, "a word"), (8, true, "many words in a sentence of some length")]
        {
            for room in [60.0, 170.0, 390.0] {
                let parts = parts(&[&table(n, wraps, text)], room, 2.5);
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

    #[test]
    fn a_heading_has_two_lines_at_most_where_there_is_room() {
        let mut table = Table::new("t", "T", vec![Column::words("Tag"), Column::numbers("Peak, all at once", "W")]);
        table.rows.push(Row::of(vec![Cell::words("Q1"), Cell::figure(Some(1.0), 0)]));
        let part = parts(&[&table], 300.0, 2.5).remove(0);
        let lines = wrapped(&table.columns[1].heading(), 2.5, Weight::Bold, part.columns[1].1 - 2.0 * PAD);
        assert_eq!(lines.len(), 2, "{lines:?}");
        assert!(part.width() < 60.0, "no wider than that needs");
    }

    #[test]
    fn beside_sentences_a_heading_has_two_lines_too() {
        let long = "a sentence of a good many words that goes on and on until it has said all that it had to say";
        let columns = vec![Column::words("Tag"), Column::numbers("Drop to here", "%"), Column::sentences("Why")];
        let mut table = Table::new("t", "T", columns);
        table
            .rows
            .extend((0..30).map(|_| Row::of(vec![Cell::words("Q1"), Cell::figure(Some(1.0), 0), Cell::words(long)])));
        let part = parts(&[&table], 120.0, 2.5).remove(0);
        let lines = wrapped(&table.columns[1].heading(), 2.5, Weight::Bold, part.columns[1].1 - 2.0 * PAD);
        assert!(lines.len() <= 2, "{lines:?} {part:?}");
        assert!(part.width() <= 120.0 + 1e-6);
    }

    #[test]
    fn sentences_share_the_room_so_that_rows_are_low() {
        let long = "a sentence of a good many words that goes on and on until it has said all that it had to say";
        let columns = vec![Column::words("Tag"), Column::sentences("Short"), Column::sentences("Long")];
        let mut table = Table::new("t", "T", columns);
        table.rows.push(Row::of(vec![Cell::words("Q1"), Cell::words("a few words only, no more"), Cell::words(long)]));
        let part = parts(&[&table], 120.0, 2.5).remove(0);
        let lines =
            |n: usize| wrapped(&table.rows[0].cells[n].text(), 2.5, Weight::Bold, part.columns[n].1 - 2.0 * PAD).len();
        assert!(lines(1) <= lines(2) && lines(2) <= 3, "{part:?}");
        assert!(part.width() <= 120.0 + 1e-6);
    }

    #[test]
    fn a_hand_gets_the_room_and_remarks_the_most_of_it() {
        let columns = vec![Column::words("Tag"), Column::numbers("Read", "V"), Column::sentences("Remarks")];
        let mut table = Table::new("t", "T", columns);
        table.rows.push(Row::of(vec![Cell::words("Q1"), Cell::blank(), Cell::blank()]).kind(RowKind::ByHand));
        let part = parts(&[&table], 200.0, 2.5).remove(0);
        assert!((part.width() - 200.0).abs() < 1e-6, "{part:?}");
        assert!(part.columns[1].1 <= 35.0 + 1e-6 && part.columns[2].1 > 100.0, "{part:?}");
    }

    #[test]
    fn tables_alike_have_their_columns_below_each_other() {
        let (short, long) = (table(4, false, "a"), table(4, false, "a good deal"));
        assert_eq!(parts(&[&short, &long], 300.0, 2.5), parts(&[&long], 300.0, 2.5));
        assert!(parts(&[&short], 300.0, 2.5)[0].width() < parts(&[&long], 300.0, 2.5)[0].width());
    }
}
