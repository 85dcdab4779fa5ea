//! The block of standing cautions that is on every sheet and cannot be turned off.

use super::page::{LEADING, Page, Role, letter, lines_height, weight, wrapped};
use super::schedules::Subject;
use crate::diagram::{Align, Ink, Weight};
use crate::installation::{Point, Rect};
use crate::survey;

/// Room inside the block.
const PAD: f64 = 3.0;
/// A column of lines is at least this wide.
const COLUMN: f64 = 80.0;

/// What no sheet is without.
pub const NOT_FOR_CONSTRUCTION: &str =
    "Not for construction until checked and signed by a licensed marine electrician under the local code.";

/// The lines of the block: the cautions that come with what is drawn, then what the sheets are and are not.
#[must_use]
pub fn lines(subject: &Subject<'_>) -> Vec<String> {
    let mut out: Vec<String> = survey::cautions(subject.installation).iter().map(survey::Caution::line).collect();
    out.push(NOT_FOR_CONSTRUCTION.to_owned());
    let n = subject.survey.not_checked.len();
    let unchecked = match n {
        0 => "Only what the basis of calculation names was looked at.".to_owned(),
        1 => "1 check was not made: see the survey.".to_owned(),
        n => format!("{n} checks were not made: see the survey."),
    };
    out.push(format!("Computed from what was entered; it approves nothing. {unchecked} Breakers are drawn open."));
    out
}

/// Width of a column where there are so many.
fn column(width: f64, count: usize) -> f64 {
    (width - PAD) / count as f64 - PAD
}

/// The lines as they are broken, filled column by column: in as many columns as make the block lowest.
fn set(lines: &[String], width: f64) -> Vec<Vec<Vec<String>>> {
    let most = ((width - PAD) / (COLUMN + PAD)).floor().max(1.0) as usize;
    let all = (1..=most).map(|count| in_columns(lines, width, count));
    all.min_by_key(|columns| high(columns)).unwrap_or_default()
}

/// Lines of the longest column.
fn high(columns: &[Vec<Vec<String>>]) -> usize {
    columns.iter().map(|c| c.iter().map(Vec::len).sum()).max().unwrap_or(0)
}

fn in_columns(lines: &[String], width: f64, n: usize) -> Vec<Vec<Vec<String>>> {
    let room = column(width, n);
    let broken: Vec<Vec<String>> = lines.iter().map(|l| wrapped(l, letter::TEXT, Weight::Bold, room)).collect();
    let total: usize = broken.iter().map(Vec::len).sum();
    // The lowest height at which all fits into the columns.
    for high in total.div_ceil(n).max(1)..=total.max(1) {
        let mut out: Vec<Vec<Vec<String>>> = vec![Vec::new()];
        let mut used = 0;
        for line in &broken {
            if used + line.len() > high && used > 0 {
                out.push(Vec::new());
                used = 0;
            }
            used += line.len();
            if let Some(column) = out.last_mut() {
                column.push(line.clone());
            }
        }
        if out.len() <= n {
            // Columns that stay empty count for the width of the others.
            out.resize(n, Vec::new());
            return out;
        }
    }
    vec![broken]
}

/// Height of the block at this width.
#[must_use]
pub fn height(lines: &[String], width: f64) -> f64 {
    2.0 * PAD + LEADING * letter::TEXT + 0.8 + lines_height(high(&set(lines, width)), letter::TEXT)
}

/// Draws the block.
pub fn draw(page: &mut Page, lines: &[String], rect: Rect) {
    let edge = page.open(Role::Artifact, None, rect);
    page.outline(edge, rect, weight::MEDIUM);
    let section = page.open(Role::Section, None, rect);
    let columns = set(lines, rect.width());
    let room = column(rect.width(), columns.len().max(1));
    let top = rect.min.y + PAD;
    let head = page.open(Role::Heading(2), Some(section), rect);
    let at = Point::new(rect.min.x + PAD, top + letter::TEXT);
    page.text(head, at, "CAUTIONS", (letter::TEXT, Weight::Bold, Ink::Line), Align::Left);
    let top = top + LEADING * letter::TEXT + 0.8;
    for (i, column) in columns.iter().enumerate() {
        let x = rect.min.x + PAD + i as f64 * (room + PAD);
        let mut y = top;
        for broken in column {
            let block = page.open(Role::Paragraph, Some(section), rect);
            let heavy = broken.first().is_some_and(|l| l.starts_with("Not for construction"));
            for (n, line) in broken.iter().enumerate() {
                let base = y + letter::TEXT;
                // The signal word in bold.
                match line.split_once(": ").filter(|(word, _)| n == 0 && word.chars().all(char::is_uppercase)) {
                    Some((word, rest)) => {
                        let word = format!("{word}:");
                        let width = crate::diagram::text_width(&format!("{word} "), letter::TEXT, Weight::Bold);
                        let at = Point::new(x, base);
                        page.text(block, at, &word, (letter::TEXT, Weight::Bold, Ink::Line), Align::Left);
                        let at = at.moved(width, 0.0);
                        page.text(block, at, rest, (letter::TEXT, Weight::Regular, Ink::Line), Align::Left);
                    }
                    None => {
                        let weight = if heavy { Weight::Bold } else { Weight::Regular };
                        page.text(block, Point::new(x, base), line, (letter::TEXT, weight, Ink::Line), Align::Left);
                    }
                }
                y += LEADING * letter::TEXT;
            }
        }
    }
}
