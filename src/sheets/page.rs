//! A page as plain data: marks in millimetres from its upper left corner, each in a block that says what it means.
//!
//! Layout never thinks of a file format, and no writer lays anything out: PDF, the preview in the window and the tests
//! read this alone.

use crate::diagram::{Align, Ink, Shape, Stroke, Target, Weight, text_width};
use crate::installation::{Point, Rect};

pub use crate::diagram::{DESCENT, weight};

/// Heights of capitals on the sheets, in millimetres.
pub mod letter {
    /// Names of fields.
    pub const CAPTION: f64 = 1.8;
    /// Text and figures: the least that is legible at arm's length.
    pub const TEXT: f64 = 2.5;
    /// What is to be found first.
    pub const LARGE: f64 = 3.5;
    /// Titles.
    pub const TITLE: f64 = 5.0;
}

/// Distance of base lines, against the height of capitals.
pub const LEADING: f64 = 1.6;

/// What a block means to a reader that cannot see the page.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Role {
    /// Nothing: border, rules.
    Artifact,
    /// A part of the page that holds other blocks.
    Section,
    /// A heading of this level, from 1.
    Heading(u8),
    /// A paragraph.
    Paragraph,
    /// A drawing; see [`Block::alt`].
    Figure,
    /// A table of rows.
    Table,
    /// A row of cells.
    Row,
    /// A cell at the head of a column.
    HeadCell,
    /// A cell.
    Cell,
}

/// What belongs together on a page.
#[derive(Clone, Debug, PartialEq)]
pub struct Block {
    /// What it means.
    pub role: Role,
    /// The block that it is part of.
    pub parent: Option<usize>,
    /// What a drawing shows, in words.
    pub alt: String,
    /// Its box: no mark of it reaches out.
    pub rect: Rect,
}

/// One mark with its block.
#[derive(Clone, Debug, PartialEq)]
pub struct Mark {
    /// Number of its block.
    pub block: usize,
    /// The part, cable or space that it belongs to.
    pub target: Option<Target>,
    /// What is drawn.
    pub shape: Shape,
}

/// A page.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Page {
    /// Width in millimetres.
    pub width: f64,
    /// Height in millimetres.
    pub height: f64,
    /// Its name in the list of bookmarks.
    pub title: String,
    /// Its number in the whole pack, from 1.
    pub number: usize,
    /// Blocks in the order in which they are read, parents first.
    pub blocks: Vec<Block>,
    /// Marks, bottom first.
    pub marks: Vec<Mark>,
}

impl Page {
    /// A new block; gives its number.
    pub fn open(&mut self, role: Role, parent: Option<usize>, rect: Rect) -> usize {
        self.blocks.push(Block { role, parent, alt: String::new(), rect });
        self.blocks.len() - 1
    }

    /// Adds a mark.
    pub fn put(&mut self, block: usize, shape: Shape) {
        self.marks.push(Mark { block, target: None, shape });
    }

    /// A straight stroke.
    pub fn line(&mut self, block: usize, a: Point, b: Point, width: f64) {
        let stroke = Some(Stroke::solid(width, Ink::Line));
        self.put(block, Shape::Path { points: vec![a, b], closed: false, stroke, fill: None });
    }

    /// The outline of a rectangle.
    pub fn outline(&mut self, block: usize, rect: Rect, width: f64) {
        self.put(block, Shape::Box { rect, radius: 0.0, stroke: Some(Stroke::solid(width, Ink::Line)), fill: None });
    }

    /// A line of text on its base line, its capitals so many millimetres high.
    pub fn text(&mut self, block: usize, at: Point, text: &str, (size, weight, ink): (f64, Weight, Ink), align: Align) {
        if !text.trim().is_empty() {
            self.put(block, Shape::Text { at, text: text.to_owned(), size, align, weight, ink });
        }
    }

    /// Lines of text below each other, the first base line a capital below `at`; gives the y below the last.
    pub fn lines(&mut self, block: usize, at: Point, lines: &[String], size: f64, weight: Weight, ink: Ink) -> f64 {
        let mut y = at.y;
        for line in lines {
            self.text(block, Point::new(at.x, y + size), line, (size, weight, ink), Align::Left);
            y += LEADING * size;
        }
        y
    }
}

/// Height that lines of text take, descenders included.
#[must_use]
pub fn lines_height(count: usize, size: f64) -> f64 {
    if count == 0 { 0.0 } else { (count as f64 - 1.0) * LEADING * size + (1.0 + DESCENT) * size }
}

/// The text in lines that are at most `room` wide; a word that is wider is broken where it has to be.
#[must_use]
pub fn wrapped(text: &str, size: f64, weight: Weight, room: f64) -> Vec<String> {
    let fits = |t: &str| text_width(t, size, weight) <= room + 1e-9;
    let mut out: Vec<String> = Vec::new();
    let mut line = String::new();
    for word in text.split_whitespace() {
        let longer = if line.is_empty() { word.to_owned() } else { format!("{line} {word}") };
        if fits(&longer) {
            line = longer;
            continue;
        }
        if !line.is_empty() {
            out.push(std::mem::take(&mut line));
        }
        for c in word.chars() {
            line.push(c);
            if !fits(&line) && line.chars().count() > 1 {
                line.pop();
                out.push(std::mem::replace(&mut line, c.to_string()));
            }
        }
    }
    if !line.is_empty() {
        out.push(line);
    }
    out
}

/// A shape of the drawing on a sheet: scaled about the origin, then moved. Pens do not scale; each takes the nearest line
/// weight of the series.
#[must_use]
pub fn placed(shape: &Shape, scale: f64, dx: f64, dy: f64) -> Shape {
    let point = |p: &Point| Point::new(p.x * scale + dx, p.y * scale + dy);
    let area = |r: &Rect| Rect { min: point(&r.min), max: point(&r.max) };
    let pen = |stroke: &mut Stroke| stroke.width = weight::nearest(stroke.width);
    let mut out = shape.clone();
    match &mut out {
        Shape::Path { points, stroke, .. } => {
            points.iter_mut().for_each(|p| *p = point(p));
            stroke.iter_mut().for_each(pen);
        }
        Shape::Arc { centre, radius, stroke, .. } => {
            *centre = point(centre);
            *radius *= scale;
            stroke.iter_mut().for_each(pen);
        }
        Shape::Box { rect, radius, stroke, .. } => {
            *rect = area(rect);
            *radius *= scale;
            stroke.iter_mut().for_each(pen);
        }
        Shape::Hatch { rect, pitch, stroke } => {
            *rect = area(rect);
            *pitch *= scale;
            pen(stroke);
        }
        Shape::Text { at, size, .. } => {
            *at = point(at);
            *size *= scale;
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_are_never_wider_than_their_room() {
        let text = "Water heater, engine space, port side with averyveryverylongwordthatmustbebroken in it";
        for room in [5.0, 12.0, 30.0, 200.0] {
            let lines = wrapped(text, 2.5, Weight::Regular, room);
            assert!(lines.iter().all(|l| text_width(l, 2.5, Weight::Regular) <= room + 1e-6 || l.chars().count() == 1));
            let letters = |t: &str| t.chars().filter(|c| !c.is_whitespace()).collect::<String>();
            assert_eq!(letters(&lines.concat()), letters(text));
        }
        assert!(wrapped("  ", 2.5, Weight::Regular, 10.0).is_empty());
    }
}
