//! The title block: the fields of ISO 7200 (`assets/tables/title_block_iso7200.csv`), with room for the electrician.

use super::issue;
use super::page::{Page, Role, letter, lines_height, weight, wrapped};
use super::paper::Paper;
use crate::diagram::{Ink, Weight};
use crate::installation::{Installation, Point, Rect};

/// Width in millimetres (ISO 7200, from memory).
pub const WIDTH: f64 = 180.0;
/// Room inside a field.
const PAD: f64 = 1.6;

/// What the title block says, sheet number aside.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Title {
    /// Title of the drawing.
    pub title: String,
    /// Identification number.
    pub number: String,
    /// Revision index.
    pub revision: String,
    /// Date of issue.
    pub date: String,
    /// Legal owner.
    pub owner: String,
    /// Creator.
    pub creator: String,
    /// Type of document.
    pub document_type: String,
    /// Language code.
    pub language: String,
    /// Who approved: stands under "checked by", empty until somebody signs.
    pub approval: String,
    /// What it was computed with.
    pub program: String,
    /// The short block of sheets that follow, without room for remarks.
    pub short: bool,
}

impl Title {
    /// Read from the document; the last revision that was issued gives letter and date where there is one, and a `+`
    /// behind the letter where the drawing was changed since.
    #[must_use]
    pub fn of(installation: &Installation, document_type: &str) -> Self {
        let block = &installation.title;
        let issued = installation.revisions.last();
        let own =
            |text: &str, other: &str| if text.trim().is_empty() { other.to_owned() } else { text.trim().to_owned() };
        let (revision, date) = issue::revision(installation);
        let title = own(&block.title, &own(&installation.name, "Untitled installation"));
        Self {
            title,
            number: own(&block.identification_number, ""),
            revision,
            date,
            owner: own(&block.legal_owner, ""),
            creator: own(&block.creator, issued.map_or("", |r| r.author.as_str())),
            document_type: own(&block.document_type, document_type),
            language: own(&block.language, "en"),
            approval: own(&block.approval_person, ""),
            program: concat!("Hullwire ", env!("CARGO_PKG_VERSION")).to_owned(),
            short: false,
        }
    }
}

/// A field: its name, what stands in it, its share of the width, the height of its capitals.
struct Field<'a> {
    name: &'a str,
    text: String,
    width: f64,
    size: f64,
    weight: Weight,
}

fn stated(text: &str) -> String {
    if text.is_empty() { "not stated".to_owned() } else { text.to_owned() }
}

/// The rows of fields, each with its least height.
fn rows(title: &Title, paper: &str, sheet: (usize, usize)) -> Vec<(f64, Vec<Field<'static>>)> {
    let field = |name: &'static str, text: String, width: f64| Field {
        name,
        text,
        width,
        size: letter::TEXT,
        weight: Weight::Regular,
    };
    let large = |f: Field<'static>, size: f64, weight: Weight| Field { size, weight, ..f };
    let date = if title.date.is_empty() { issue::NOT_ISSUED.to_owned() } else { title.date.clone() };
    let size = format!("{paper}, {}", title.language);
    if title.short {
        return vec![
            (
                9.5,
                vec![
                    large(field("title", title.title.clone(), 84.0), letter::LARGE, Weight::Bold),
                    field("identification number", stated(&title.number), 38.0),
                    large(field("rev", title.revision.clone(), 12.0), letter::LARGE, Weight::Bold),
                    field("date of issue", date, 24.0),
                    large(field("sheet", format!("{} / {}", sheet.0, sheet.1), 22.0), letter::LARGE, Weight::Bold),
                ],
            ),
            (
                8.5,
                vec![
                    field("legal owner", stated(&title.owner), 44.0),
                    field("created by", stated(&title.creator), 28.0),
                    field("document type", title.document_type.clone(), 36.0),
                    field("size, language", size, 26.0),
                    field("checked by (licensed)", title.approval.clone(), 46.0),
                ],
            ),
        ];
    }
    let short = title.title.chars().count() <= 26;
    let title_size = if short { letter::TITLE } else { letter::LARGE };
    vec![
        (
            12.0,
            vec![
                large(field("title", title.title.clone(), 104.0), title_size, Weight::Bold),
                large(field("identification number", stated(&title.number), 40.0), letter::TEXT, Weight::Regular),
                large(field("rev", title.revision.clone(), 14.0), letter::LARGE, Weight::Bold),
                large(field("sheet", format!("{} / {}", sheet.0, sheet.1), 22.0), letter::LARGE, Weight::Bold),
            ],
        ),
        (
            8.5,
            vec![
                field("legal owner", stated(&title.owner), 52.0),
                field("created by", stated(&title.creator), 30.0),
                field("document type", title.document_type.clone(), 40.0),
                field("date of issue", date, 31.0),
                field("size, language", size, 27.0),
            ],
        ),
        (
            10.0,
            vec![
                field("checked by (licensed)", title.approval.clone(), 52.0),
                field("licence number", String::new(), 44.0),
                field("date", String::new(), 30.0),
                field("signature", String::new(), 54.0),
            ],
        ),
        (
            8.5,
            vec![
                field("remarks of the electrician", String::new(), 126.0),
                field("computed with", title.program.clone(), 54.0),
            ],
        ),
    ]
}

fn row_height(least: f64, fields: &[Field<'_>], scale: f64) -> f64 {
    let of = |f: &Field<'_>| {
        let lines = wrapped(&f.text, f.size, f.weight, f.width * scale - 2.0 * PAD).len();
        PAD + letter::CAPTION + 1.4 + lines_height(lines, f.size) + 0.8
    };
    fields.iter().map(of).fold(least, f64::max)
}

/// Height of the block at this width.
#[must_use]
pub fn height(title: &Title, width: f64) -> f64 {
    let scale = width / WIDTH;
    rows(title, "Tabloid", (8888, 8888)).iter().map(|(least, fields)| row_height(*least, fields, scale)).sum()
}

/// Draws the block; `sheet` is the number of the sheet and how many there are.
pub fn draw(page: &mut Page, title: &Title, paper: Paper, rect: Rect, sheet: (usize, usize)) {
    let scale = rect.width() / WIDTH;
    let edge = page.open(Role::Artifact, None, rect);
    page.outline(edge, rect, weight::HEAVY);
    let section = page.open(Role::Section, None, rect);
    let mut y = rect.min.y;
    let plan = rows(title, "Tabloid", (8888, 8888));
    let heights: Vec<f64> = plan.iter().map(|(least, fields)| row_height(*least, fields, scale)).collect();
    for ((_, fields), high) in rows(title, paper.size.name(), sheet).iter().zip(heights) {
        if y > rect.min.y {
            page.line(edge, Point::new(rect.min.x, y), Point::new(rect.max.x, y), weight::THIN);
        }
        let mut x = rect.min.x;
        for field in fields {
            let width = field.width * scale;
            let cell = Rect { min: Point::new(x, y), max: Point::new(x + width, y + high) };
            if x > rect.min.x {
                page.line(edge, cell.min, Point::new(x, y + high), weight::THIN);
            }
            let block = page.open(Role::Paragraph, Some(section), cell);
            let caption = [field.name.to_owned()];
            page.lines(block, cell.min.moved(PAD, PAD - 0.4), &caption, letter::CAPTION, Weight::Regular, Ink::Faint);
            let lines = wrapped(&field.text, field.size, field.weight, width - 2.0 * PAD);
            let top = cell.max.y - 1.2 - lines_height(lines.len(), field.size);
            page.lines(block, Point::new(x + PAD, top), &lines, field.size, field.weight, Ink::Line);
            x += width;
        }
        y += high;
    }
}
