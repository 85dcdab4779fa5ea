//! Tables set on pages: columns as wide as their contents need, the head repeated on every page, text broken into lines
//! and never cut. A table that is wider than the sheet is set in parts, its first column repeated; tables that fill less
//! than half of the width stand side by side.

mod columns;

use super::contents::Contents;
use super::page::{LEADING, Page, Role, letter, weight, wrapped};
use super::table::{Align as Side, Row, RowKind, Source, Table, Tone, Value};
use crate::diagram::{Align, Ink, Shape, Stroke, Weight};
use crate::installation::{Point, Rect};
use columns::Part;

/// Height of capitals in tables.
const TEXT: f64 = letter::TEXT;
/// Distance of base lines.
const PITCH: f64 = LEADING * TEXT;
/// Room above and below the lines of a cell.
const AIR: f64 = 1.25;
/// A row that is filled by hand is at least this high.
const BY_HAND: f64 = 8.0;
/// Lines under a row stand in by so much.
const BELOW: f64 = 8.0;
/// Height of a title.
const TITLE: f64 = 8.5;
/// Room between tables.
const BETWEEN: f64 = 9.0;
/// Tables stand side by side where each has at least this much.
const NARROWEST: f64 = 120.0;
/// Room between tables side by side.
const BESIDE: f64 = 12.0;
/// A table is not divided, and what stands below it goes with its last row, unless that is higher than this share of a page.
const TOGETHER: f64 = 0.4;
/// So many rows at the end of a table stay together.
const LAST: usize = 3;

/// Sets tables one after the other under one heading, from a new page on.
#[must_use]
pub fn set(tables: &[&Table], heading: &str, under: &str, body: Rect) -> Vec<Contents> {
    let mut flow = Flow { heading, under, body, out: Vec::new(), y: f64::INFINITY, beside: None };
    let alone = tables.len() == 1;
    let half = (body.width() - BESIDE) / 2.0;
    // Tables alike have their columns below each other; they are measured once.
    let mut measured: Vec<(&Table, Vec<Part>)> = Vec::new();
    for table in tables {
        let known = measured.iter().position(|(first, _)| alike(first, table));
        let number = known.unwrap_or_else(|| {
            let like: Vec<&Table> = tables.iter().copied().filter(|t| alike(t, table)).collect();
            measured.push((table, columns::parts(&like, body.width(), TEXT)));
            measured.len() - 1
        });
        let parts = measured.get(number).map_or(&[][..], |(_, parts)| parts);
        let narrow = !table.rows.is_empty()
            && half > NARROWEST
            && matches!(parts, [one] if one.below.is_empty() && one.width() <= half);
        flow.go(narrow);
        flow.table(table, parts, alone);
    }
    flow.out
}

/// True where two tables have the same columns, the first aside.
fn alike(a: &Table, b: &Table) -> bool {
    a.columns.len() == b.columns.len() && a.columns.iter().zip(&b.columns).skip(1).all(|(a, b)| a == b)
}

/// Where the next thing goes.
struct Flow<'a> {
    heading: &'a str,
    under: &'a str,
    body: Rect,
    out: Vec<Contents>,
    y: f64,
    /// Tables stand side by side.
    beside: Option<Beside>,
}

/// Two columns of tables.
#[derive(Clone, Copy)]
struct Beside {
    /// Where both begin.
    top: f64,
    /// The lowest that the left one came to.
    left_to: f64,
    right: bool,
}

/// A row with its lines, cell by cell.
struct Broken<'a> {
    row: &'a Row,
    cells: Vec<Vec<String>>,
    /// What stands under the cells, as wide as the row.
    below: Vec<String>,
}

impl Broken<'_> {
    /// Lines of the cells alone.
    fn beside(&self) -> usize {
        self.cells.iter().map(Vec::len).max().unwrap_or(1).max(1)
    }

    fn lines(&self) -> usize {
        self.beside() + self.below.len()
    }

    fn height(&self) -> f64 {
        row_height(self.lines(), self.row.kind)
    }
}

fn row_height(lines: usize, kind: RowKind) -> f64 {
    let least = if kind == RowKind::ByHand { BY_HAND } else { 0.0 };
    ((lines.max(1) as f64 - 1.0) * PITCH + TEXT + 2.0 * AIR + 0.3).max(least)
}

impl Flow<'_> {
    fn room(&self) -> f64 {
        self.body.max.y - self.y
    }

    /// Where things go now: the page, or one of its halves.
    fn area(&self) -> Rect {
        let Some(beside) = self.beside else { return self.body };
        let half = (self.body.width() - BESIDE) / 2.0;
        let left = if beside.right { self.body.max.x - half } else { self.body.min.x };
        Rect { min: Point::new(left, self.body.min.y), max: Point::new(left + half, self.body.max.y) }
    }

    /// From here on tables stand side by side, or take the width.
    fn go(&mut self, narrow: bool) {
        match (self.beside, narrow) {
            (None, true) => self.beside = Some(Beside { top: self.y, left_to: self.y, right: false }),
            (Some(beside), false) => {
                self.y = if beside.right { self.y.max(beside.left_to) } else { self.y };
                self.beside = None;
            }
            _ => {}
        }
    }

    /// Goes to the right half where there is so much room in it, else to a new page.
    fn next(&mut self, height: f64) {
        if let Some(beside) = self.beside.as_mut().filter(|b| !b.right && b.top.is_finite()) {
            beside.left_to = if self.y.is_finite() { self.y } else { self.body.max.y };
            beside.right = true;
            self.y = beside.top;
            if self.room() >= height.min(self.body.height()) - 1e-9 {
                return;
            }
        }
        let more = if self.out.is_empty() { "" } else { ", continued" };
        self.out.push(Contents {
            heading: format!("{}{more}", self.heading),
            under: self.under.to_owned(),
            bookmark: format!("{}{more}", self.heading),
            page: Page::default(),
        });
        self.y = self.body.min.y;
        if let Some(beside) = self.beside.as_mut() {
            *beside = Beside { top: self.y, left_to: self.y, right: false };
        }
    }

    /// Goes on where less than this is left.
    fn need(&mut self, height: f64) -> bool {
        if self.room() >= height.min(self.body.height()) - 1e-9 {
            return false;
        }
        self.next(height);
        true
    }

    fn page(&mut self) -> Option<&mut Page> {
        self.out.last_mut().map(|c| &mut c.page)
    }

    fn table(&mut self, table: &Table, parts: &[Part], alone: bool) {
        let foot = self.foot_lines(table);
        let high: f64 = foot.iter().map(|(lines, _)| lines.len() as f64 * PITCH + 0.5).sum::<f64>() + 2.2;
        let with = if high <= TOGETHER * self.body.height() { high } else { 0.0 };
        if table.rows.is_empty() {
            self.need(TITLE + with.max(2.0 * PITCH));
            self.title(&table.title);
        }
        for (n, part) in parts.iter().enumerate().filter(|_| !table.rows.is_empty()) {
            let of = if parts.len() > 1 { format!(", columns {} of {}", n + 1, parts.len()) } else { String::new() };
            let with = if n + 1 == parts.len() { with } else { 0.0 };
            self.part(table, part, (&of, alone), with);
        }
        self.foot(&foot);
        self.y += BETWEEN;
    }

    /// One part of a table: all rows, some columns. What stands below it is so high, and goes with the last row.
    fn part(&mut self, table: &Table, part: &Part, (of, alone): (&str, bool), foot: f64) {
        let head: Vec<Vec<String>> = part
            .columns
            .iter()
            .filter_map(|(i, w)| {
                table.columns.get(*i).map(|c| wrapped(&c.heading(), TEXT, Weight::Bold, w - 2.0 * columns::PAD))
            })
            .collect();
        let head_height = row_height(head.iter().map(Vec::len).max().unwrap_or(1), RowKind::Data);
        let rows: Vec<Broken<'_>> = table.rows.iter().map(|row| broken(table, row, part)).collect();
        let titled = !alone || !of.is_empty() || table.title != self.heading;
        let title_height = if titled { TITLE } else { 0.0 };
        let first: f64 = rows.iter().take(2).map(Broken::height).sum();
        let below = if rows.len() <= 2 { foot } else { 0.0 };
        // A low table is not divided, such as that for the signature.
        let whole = title_height + head_height + rows.iter().map(Broken::height).sum::<f64>() + foot;
        let begins = title_height + head_height + first.min(40.0) + below;
        self.need(if whole <= TOGETHER * self.body.height() { whole } else { begins });
        let mut state = None;
        let mut start = 0;
        while start < rows.len() {
            let Some(row) = rows.get(start) else { break };
            let fresh = state.is_none();
            // A heading goes with the row after it, a sum with the row before it, and the last row with what stands below.
            let next = rows.get(start + 1).filter(|n| row.row.kind == RowKind::Heading || n.row.kind == RowKind::Total);
            let end = start + 1 + usize::from(next.is_some());
            let mut wanted =
                row.height() + next.map_or(0.0, Broken::height) + if end == rows.len() { foot } else { 0.0 };
            // The last row does not stand alone on a sheet: two go with it.
            let rest = rows.get(start..).unwrap_or_default();
            let tail: f64 = rest.iter().map(Broken::height).sum();
            if rest.len() == LAST && tail <= TOGETHER * self.body.height() {
                wanted = wanted.max(tail + foot);
            }
            let fits = row.height() + head_height + title_height <= self.body.height();
            if (!fresh && self.room() < wanted && fits) || self.room() < row_height(1, row.row.kind) {
                self.next(title_height + head_height + wanted);
                state = None;
            }
            if state.is_none() {
                let again = if start > 0 { ", continued" } else { "" };
                if titled || start > 0 {
                    self.title(&format!("{}{of}{again}", table.title));
                }
                state = self.head(table, part, &head, head_height);
            }
            let Some(block) = state else { break };
            // A row that no page holds is set in pieces.
            let mut from = 0;
            while from < row.lines() {
                let fit = ((self.room() - TEXT - 2.0 * AIR - 0.3) / PITCH).floor().max(0.0) as usize + 1;
                let to = if self.room() >= row.height() { row.lines() } else { (from + fit).min(row.lines()) };
                let target = if from == 0 { block } else { state.unwrap_or(block) };
                self.row(table, part, row, (from, to), target);
                from = to;
                if from < row.lines() {
                    self.next(self.body.height() / 3.0);
                    self.title(&format!("{}{of}, continued", table.title));
                    state = self.head(table, part, &head, head_height);
                }
            }
            start += 1;
        }
    }

    /// A title over a table.
    fn title(&mut self, text: &str) {
        let body = self.area();
        let y = self.y;
        let lines = wrapped(text, letter::LARGE, Weight::Bold, body.width());
        let Some(page) = self.page() else { return };
        let rect = Rect { min: Point::new(body.min.x, y), max: body.max };
        let block = page.open(Role::Heading(2), None, rect);
        let end = page.lines(block, rect.min, &lines, letter::LARGE, Weight::Bold, Ink::Line);
        self.y = end + 1.2;
    }

    /// The head of a part; gives the block of the table.
    fn head(&mut self, table: &Table, part: &Part, head: &[Vec<String>], height: f64) -> Option<usize> {
        let (body, y) = (self.area(), self.y);
        let page = self.page()?;
        let rect = Rect { min: Point::new(body.min.x, y), max: Point::new(body.min.x + part.width(), body.max.y) };
        let block = page.open(Role::Table, None, rect);
        let line = page.open(Role::Row, Some(block), rect);
        let mut x = rect.min.x;
        for (lines, (i, width)) in head.iter().zip(&part.columns) {
            let cell = Rect::between(Point::new(x, y), Point::new(x + width, y + height));
            let own = page.open(Role::HeadCell, Some(line), cell);
            let side = table.columns.get(*i).map(|c| c.align).unwrap_or_default();
            let top = y + height - AIR - 0.2 - (lines.len().max(1) as f64 - 1.0) * PITCH - TEXT;
            cell_lines(page, own, cell, top, lines, (side, Weight::Bold, Ink::Line));
            x += width;
        }
        let y = y + height;
        page.line(block, Point::new(rect.min.x, y), Point::new(rect.max.x, y), weight::MEDIUM);
        self.y = y;
        Some(block)
    }

    /// Some lines of a row.
    fn row(&mut self, table: &Table, part: &Part, row: &Broken<'_>, (from, to): (usize, usize), table_block: usize) {
        let (body, y) = (self.area(), self.y);
        let kind = row.row.kind;
        let height = row_height(to - from, kind);
        let Some(page) = self.page() else { return };
        let rect = Rect { min: Point::new(body.min.x, y), max: Point::new(body.min.x + part.width(), y + height) };
        let line = page.open(Role::Row, Some(table_block), rect);
        let ink = if matches!(row.row.tone, Tone::Quiet | Tone::Removed) { Ink::NotFed } else { Ink::Line };
        let bold = matches!(kind, RowKind::Heading | RowKind::Total) || row.row.tone == Tone::Over;
        let weight_of = if bold { Weight::Bold } else { Weight::Regular };
        let strip = Rect { min: rect.min.moved(-3.0, 0.8), max: Point::new(rect.min.x - 0.8, rect.max.y - 0.8) };
        let edge = page.open(Role::Artifact, None, Rect { min: Point::new(strip.min.x, y), max: rect.max });
        match row.row.tone {
            Tone::Over => page
                .put(edge, Shape::Hatch { rect: strip, pitch: 0.9, stroke: Stroke::solid(weight::MEDIUM, Ink::Line) }),
            Tone::Close => {
                let stroke = Some(Stroke::solid(weight::FINE, Ink::Line));
                page.put(edge, Shape::Box { rect: strip, radius: 0.0, stroke, fill: None });
            }
            _ => {}
        }
        if kind == RowKind::Total {
            page.line(edge, rect.min, Point::new(rect.max.x, y), weight::THIN);
        }
        let mut x = rect.min.x;
        for (n, (i, width)) in part.columns.iter().enumerate() {
            let wide = if kind == RowKind::Heading { part.width() } else { *width };
            let cell = Rect::between(Point::new(x, y), Point::new(x + wide, y + height));
            if kind == RowKind::ByHand {
                page.outline(edge, cell, weight::FINE);
            }
            let own = page.open(Role::Cell, Some(line), cell);
            if let Some(all) = row.cells.get(n) {
                let some = all.get(from.min(all.len())..to.min(all.len())).unwrap_or_default();
                let side = table.columns.get(*i).map(|c| c.align).unwrap_or_default();
                let side = if kind == RowKind::Heading { Side::Left } else { side };
                cell_lines(page, own, cell, y + AIR, some, (side, weight_of, ink));
            }
            if kind == RowKind::Heading {
                break;
            }
            x += width;
        }
        let beside = row.beside();
        let under = row.below.iter().enumerate().filter(|(n, _)| (from..to).contains(&(beside + n)));
        let mut own = None;
        for (n, text) in under {
            // A row of one cell, for a reader that cannot see the page.
            let block = *own.get_or_insert_with(|| {
                let line = page.open(Role::Row, Some(table_block), rect);
                page.open(Role::Cell, Some(line), rect)
            });
            let base = y + AIR + TEXT + (beside + n - from) as f64 * PITCH;
            let at = Point::new(rect.min.x + BELOW, base);
            page.text(block, at, text, (TEXT, Weight::Regular, ink), Align::Left);
        }
        if kind != RowKind::ByHand {
            let under = if kind == RowKind::Heading { weight::THIN } else { weight::FINE };
            page.line(edge, Point::new(rect.min.x, rect.max.y), rect.max, under);
        }
        self.y = rect.max.y;
    }

    /// Notes and sources below a table, in lines.
    fn foot_lines(&self, table: &Table) -> Vec<(Vec<String>, Weight)> {
        let mut texts: Vec<(String, Weight)> = table.foot().into_iter().map(|t| (t, Weight::Regular)).collect();
        let mut sources: Vec<String> = table.sources.iter().map(Source::line).collect();
        sources.dedup();
        if !sources.is_empty() {
            texts.push(("Sources".to_owned(), Weight::Bold));
            texts.extend(sources.into_iter().map(|s| (s, Weight::Regular)));
        }
        // Long lines are hard to read: no wider than this.
        let room = self.area().width().min(250.0);
        texts.into_iter().map(|(text, weight)| (wrapped(&text, TEXT, weight, room), weight)).collect()
    }

    /// Notes and sources below a table: a paragraph is not divided, and a heading not left alone.
    fn foot(&mut self, texts: &[(Vec<String>, Weight)]) {
        self.y += 2.2;
        for (n, (lines, weight)) in texts.iter().enumerate() {
            let heads = *weight == Weight::Bold;
            let after = texts.get(n + 1).filter(|_| heads).map_or(0, |(lines, _)| lines.len());
            let together = (lines.len() + after) as f64 * PITCH;
            if together <= TOGETHER * self.body.height() {
                self.need(together);
            }
            let mut block = None;
            for line in lines {
                if self.need(PITCH) {
                    block = None;
                }
                let (body, y) = (self.area(), self.y);
                let Some(page) = self.page() else { return };
                let rect = Rect { min: Point::new(body.min.x, y), max: body.max };
                let own = *block.get_or_insert_with(|| page.open(Role::Paragraph, None, rect));
                let at = Point::new(body.min.x, y + TEXT);
                page.text(own, at, line, (TEXT, *weight, Ink::Line), Align::Left);
                self.y += PITCH;
            }
            self.y += 0.5;
        }
    }
}

/// Lines of a cell from `top` on.
fn cell_lines(
    page: &mut Page,
    block: usize,
    cell: Rect,
    top: f64,
    lines: &[String],
    (side, weight, ink): (Side, Weight, Ink),
) {
    let (x, align) = match side {
        Side::Left => (cell.min.x + columns::PAD, Align::Left),
        Side::Centre => (cell.centre().x, Align::Centre),
        Side::Right => (cell.max.x - columns::PAD, Align::Right),
    };
    let mut y = top + TEXT;
    for line in lines {
        page.text(block, Point::new(x, y), line, (TEXT, weight, ink), align);
        y += PITCH;
    }
}

fn broken<'a>(table: &Table, row: &'a Row, part: &Part) -> Broken<'a> {
    let bold = matches!(row.kind, RowKind::Heading | RowKind::Total) || row.tone == Tone::Over;
    let weight = if bold { Weight::Bold } else { Weight::Regular };
    let lines = |i: usize, width: f64| {
        row.cells.get(i).map(|c| wrapped(&c.text(), TEXT, weight, width - 2.0 * columns::PAD)).unwrap_or_default()
    };
    let cells = if row.kind == RowKind::Heading {
        vec![lines(0, part.width())]
    } else {
        part.columns.iter().map(|(i, width)| lines(*i, *width)).collect()
    };
    let said: Vec<String> = part
        .below
        .iter()
        .filter(|_| row.kind != RowKind::Heading)
        .filter_map(|i| table.columns.get(*i).zip(row.cells.get(*i)))
        .filter(|(_, cell)| cell.value != Value::None)
        .map(|(column, cell)| format!("{}: {}", column.heading(), cell.text()))
        .collect();
    let below = wrapped(&said.join(" · "), TEXT, Weight::Regular, part.width() - BELOW - columns::PAD);
    Broken { row, cells, below }
}
