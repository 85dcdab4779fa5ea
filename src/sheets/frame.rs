//! What every sheet has: border with grid references, heading, standing cautions and title block; and the room between.

use super::cautions;
use super::page::{DESCENT, LEADING, Page, Role, letter, lines_height, weight, wrapped};
use super::paper::{Paper, row_letter};
use super::title::{self, Title};
use crate::diagram::{Align, Ink, Weight};
use crate::installation::{Point, Rect};

/// Width of the strip of grid references, outside the border.
const STRIP: f64 = 5.0;
/// Room between the border and what stands inside.
const PAD: f64 = 5.0;
/// The cautions stand beside the title block where they have this much room, else above it.
const BESIDE: f64 = 150.0;
/// On sheets at least this wide inside the border they do.
pub const WIDE: f64 = title::WIDTH + BESIDE;

/// What the frame of a sheet says.
#[derive(Clone, Debug)]
pub struct Frame<'a> {
    /// The sheet of paper.
    pub paper: Paper,
    /// The title block, sheet number aside.
    pub title: &'a Title,
    /// The standing cautions, one a line.
    pub cautions: &'a [String],
    /// The heading.
    pub heading: &'a str,
    /// What stands under the heading.
    pub under: &'a str,
}

impl Frame<'_> {
    /// The room for contents; the same for every sheet with this heading.
    #[must_use]
    pub fn body(&self) -> Rect {
        let inside = self.paper.inside();
        let top = inside.min.y + PAD + self.heading_height();
        let bottom = self.footer_top() - 3.0;
        Rect { min: Point::new(inside.min.x + PAD, top), max: Point::new(inside.max.x - PAD, bottom) }
    }

    fn under_lines(&self) -> Vec<String> {
        wrapped(self.under, letter::TEXT, Weight::Regular, self.paper.inside().width() - 2.0 * PAD)
    }

    fn heading_lines(&self) -> Vec<String> {
        wrapped(self.heading, letter::TITLE, Weight::Bold, self.paper.inside().width() - 2.0 * PAD)
    }

    fn heading_height(&self) -> f64 {
        let under = self.under_lines().len();
        let gap = if under > 0 { 2.2 } else { 0.0 };
        lines_height(self.heading_lines().len(), letter::TITLE) + gap + lines_height(under, letter::TEXT) + 3.5
    }

    /// Where title block and cautions lie.
    fn footer(&self) -> (Rect, Rect) {
        let inside = self.paper.inside();
        let width = title::WIDTH.min(inside.width());
        let height = title::height(self.title, width);
        let block = Rect { min: Point::new(inside.max.x - width, inside.max.y - height), max: inside.max };
        let room = inside.width() - width;
        if room >= BESIDE {
            let high = cautions::height(self.cautions, room).max(height);
            let top = inside.max.y - high;
            (block, Rect { min: Point::new(inside.min.x, top), max: Point::new(block.min.x, inside.max.y) })
        } else {
            let high = cautions::height(self.cautions, inside.width());
            let min = Point::new(inside.min.x, block.min.y - high);
            (block, Rect { min, max: Point::new(inside.max.x, block.min.y) })
        }
    }

    fn footer_top(&self) -> f64 {
        let (block, cautions) = self.footer();
        block.min.y.min(cautions.min.y)
    }

    /// The sheet of this number, with everything but its contents.
    #[must_use]
    pub fn sheet(&self, number: usize, of: usize) -> Page {
        let mut page = Page {
            width: self.paper.width(),
            height: self.paper.height(),
            title: self.heading.to_owned(),
            number,
            ..Page::default()
        };
        self.border(&mut page);
        let inside = self.paper.inside();
        let body = self.body();
        let mut y = inside.min.y + PAD;
        let corner = |y: f64| Point::new(inside.min.x + PAD, y);
        let room = Rect { min: corner(y), max: Point::new(inside.max.x - PAD, body.min.y) };
        let head = page.open(Role::Heading(1), None, room);
        y = page.lines(head, corner(y), &self.heading_lines(), letter::TITLE, Weight::Bold, Ink::Line);
        let under = page.open(Role::Paragraph, None, room);
        y += 2.2 - (LEADING - 1.0 - DESCENT) * letter::TITLE;
        page.lines(under, corner(y), &self.under_lines(), letter::TEXT, Weight::Regular, Ink::Line);
        let (block, cautions) = self.footer();
        cautions::draw(&mut page, self.cautions, cautions);
        title::draw(&mut page, self.title, self.paper, block, (number, of));
        page
    }

    /// Border, strip and grid references.
    fn border(&self, page: &mut Page) {
        let inside = self.paper.inside();
        let outside = inside.grown(STRIP);
        let block = page.open(Role::Artifact, None, self.paper.whole());
        page.outline(block, outside, weight::FINE);
        page.outline(block, inside, weight::HEAVY);
        let (columns, rows) = self.paper.fields();
        let mut write = |at: Point, text: String| {
            let at = at.moved(0.0, letter::CAPTION / 2.0);
            page.text(block, at, &text, (letter::CAPTION, Weight::Regular, Ink::Line), Align::Centre);
        };
        let x = |i: f64| inside.min.x + inside.width() * i / columns as f64;
        let y = |i: f64| inside.min.y + inside.height() * i / rows as f64;
        for column in 0..columns {
            for edge in [inside.min.y - STRIP / 2.0, inside.max.y + STRIP / 2.0] {
                write(Point::new(x(column as f64 + 0.5), edge), (column + 1).to_string());
            }
        }
        for row in 0..rows {
            for edge in [inside.min.x - STRIP / 2.0, inside.max.x + STRIP / 2.0] {
                write(Point::new(edge, y(row as f64 + 0.5)), row_letter(row).to_string());
            }
        }
        for column in 1..columns {
            let x = x(column as f64);
            page.line(block, Point::new(x, outside.min.y), Point::new(x, inside.min.y), weight::FINE);
            page.line(block, Point::new(x, inside.max.y), Point::new(x, outside.max.y), weight::FINE);
        }
        for row in 1..rows {
            let y = y(row as f64);
            page.line(block, Point::new(outside.min.x, y), Point::new(inside.min.x, y), weight::FINE);
            page.line(block, Point::new(inside.max.x, y), Point::new(outside.max.x, y), weight::FINE);
        }
    }
}
