//! The legend of the symbols that a sheet uses, and what else its signs mean.

use super::super::page::{Page, Role, letter, placed, weight};
use super::sign;
use crate::diagram::{self, Align, Ink, Item, Layer, Shape, Stroke, Weight, text_width};
use crate::installation::{Installation, LoadKind, Origin, PartKind, Point, Protection, Rect, SpaceKind, Status};
use crate::units::Severity;
use std::collections::BTreeSet;

/// Height of an entry.
const HIGH: f64 = 8.0;
/// Room of a symbol in its entry.
const SYMBOL: f64 = 14.0;
/// Room inside the block.
const PAD: f64 = 3.0;

/// Its heading.
const HEAD: &str = "SYMBOLS (after IEC 60617)";

/// One entry: its shapes around the origin, and its words.
struct Entry {
    shapes: Vec<Shape>,
    words: String,
}

/// What a sheet uses.
#[derive(Clone, Debug, Default)]
pub struct Used {
    /// Marks of findings.
    pub marks: BTreeSet<Severity>,
    /// Something is above its own limit.
    pub over: bool,
    /// Something is not fed.
    pub not_fed: bool,
    /// Something goes on on another sheet.
    pub joints: bool,
    /// The letter of the revision by which something is marked as changed.
    pub revised: Option<String>,
    /// A label is in the numbered list.
    pub notes: bool,
}

/// A legend, measured.
pub struct Legend {
    entries: Vec<Entry>,
    /// Width of an entry.
    wide: f64,
}

fn shapes(items: &[Item]) -> Vec<Shape> {
    items.iter().map(|i| i.shape.clone()).collect()
}

fn stroke(pen: Stroke) -> Vec<Shape> {
    let points = vec![Point::new(-6.0, 0.0), Point::new(6.0, 0.0)];
    vec![Shape::Path { points, closed: false, stroke: Some(pen), fill: None }]
}

/// A sign that is written.
fn text_sign(text: &str) -> Vec<Shape> {
    vec![Shape::Text {
        at: Point::new(0.0, letter::TEXT / 2.0),
        text: text.to_owned(),
        size: letter::TEXT,
        align: Align::Centre,
        weight: Weight::Bold,
        ink: Ink::Line,
    }]
}

impl Legend {
    /// The legends of several sheets in one: each entry once.
    #[must_use]
    pub fn merged(legends: Vec<Self>) -> Self {
        let mut out = Self { entries: Vec::new(), wide: 0.0 };
        for legend in legends {
            out.wide = out.wide.max(legend.wide);
            for entry in legend.entries {
                if !out.entries.iter().any(|e| e.words == entry.words) {
                    out.entries.push(entry);
                }
            }
        }
        out
    }

    /// Reads what a sheet uses.
    #[must_use]
    pub fn of(installation: &Installation, used: &Used, ignore: &dyn Fn(crate::installation::PartId) -> bool) -> Self {
        let mut kinds = BTreeSet::new();
        let mut guarded = BTreeSet::new();
        let mut statuses = BTreeSet::new();
        for (id, part) in &installation.parts {
            if ignore(*id) {
                continue;
            }
            let load = if part.kind == PartKind::Appliance { part.load_kind as u8 } else { 0 };
            kinds.insert((part.kind, load));
            if part.protection != Protection::None && matches!(part.kind, PartKind::Breaker | PartKind::Outlet) {
                guarded.insert(part.kind);
            }
            statuses.insert(part.status as u8);
        }
        statuses.extend(installation.cables.values().map(|c| c.status as u8));
        let mut entries = Vec::new();
        for (kind, load) in kinds {
            let load = [LoadKind::Power, LoadKind::Impedance, LoadKind::Motor]
                .into_iter()
                .find(|l| *l as u8 == load)
                .unwrap_or_default();
            let words = match (kind, load) {
                (PartKind::Appliance, LoadKind::Impedance) => "appliance, heater".to_owned(),
                (PartKind::Appliance, LoadKind::Motor) => "appliance, motor".to_owned(),
                (PartKind::Appliance, LoadKind::Power) => "appliance with switch".to_owned(),
                (PartKind::Breaker, _) => "breaker, bar of its load".to_owned(),
                (PartKind::Panel, _) => "panel, busbar".to_owned(),
                _ => kind.info().name.to_owned(),
            };
            entries.push(Entry { shapes: shapes(&diagram::sample(kind, load, Protection::None)), words });
            if guarded.contains(&kind) {
                let words = format!("{} with leakage trip", kind.info().name);
                let sample = diagram::sample(kind, load, Protection::Rcd30);
                entries.push(Entry { shapes: shapes(&sample), words });
            }
        }
        if used.not_fed {
            let shapes = stroke(Stroke::dashed(weight::THIN, Ink::NotFed));
            entries.push(Entry { shapes, words: "not fed here; may be live".to_owned() });
        }
        if !installation.spaces.is_empty() {
            let shapes = stroke(Stroke::chain(weight::THIN, Ink::SpaceEdge(SpaceKind::Other)));
            entries.push(Entry { shapes, words: "edge of a space".to_owned() });
        }
        if used.over {
            let rect = Rect::around(Point::default(), 12.0, 3.0);
            let hatch = Shape::Hatch { rect, pitch: 1.3, stroke: Stroke::solid(weight::THIN, Ink::Over) };
            entries.push(Entry { shapes: vec![hatch], words: "above its own limit".to_owned() });
        }
        for severity in used.marks.iter().rev() {
            let words = format!("finding: {}", severity.word());
            entries.push(Entry { shapes: shapes(&diagram::mark_sample(*severity)), words });
        }
        let symbol = Rect::around(Point::default(), 8.0, 5.0);
        if statuses.contains(&(Status::New as u8)) {
            entries.push(Entry { shapes: diagram::refit::new(symbol), words: "new".to_owned() });
        }
        if statuses.contains(&(Status::Remove as u8)) {
            entries.push(Entry { shapes: diagram::refit::remove(symbol), words: "to be removed".to_owned() });
        }
        if used.joints {
            entries.push(Entry { shapes: sign::flag(Point::default()), words: "continued on that sheet".to_owned() });
        }
        if let Some(letter) = &used.revised {
            let words = if letter.ends_with('+') { "changed, not issued yet" } else { "changed in that revision" };
            entries.push(Entry { shapes: sign::delta(Point::default(), letter), words: words.to_owned() });
        }
        for origin in [Origin::Assumed, Origin::Typical] {
            let of_parts = installation.parts.iter().filter(|(id, _)| !ignore(**id)).map(|(_, p)| &p.origins);
            let mut all = of_parts.chain(installation.cables.values().map(|c| &c.origins));
            let words = if origin == Origin::Assumed { "assumed: measure it" } else { "typical: read the plate" };
            if let Some(sign) = origin.sign().filter(|_| all.any(|o| o.values().any(|o| *o == origin))) {
                entries.push(Entry { shapes: text_sign(sign), words: words.to_owned() });
            }
        }
        if used.notes {
            entries.push(Entry { shapes: text_sign("(1)"), words: "see the numbered list".to_owned() });
        }
        let text = |e: &Entry| text_width(&e.words, letter::TEXT, Weight::Regular);
        let wide = SYMBOL + 2.5 + entries.iter().map(text).fold(0.0, f64::max) + 4.0;
        Self { entries, wide }
    }

    /// The sizes in which it can be set, wide ones first.
    #[must_use]
    pub fn sizes(&self, room: f64) -> Vec<(f64, f64)> {
        let most = (((room - 2.0 * PAD) / self.wide).floor().max(1.0) as usize).min(self.entries.len().max(1));
        let mut out: Vec<(f64, f64)> = Vec::new();
        let head = text_width(HEAD, letter::TEXT, Weight::Bold) + 0.2;
        for columns in (1..=most).rev() {
            let rows = self.entries.len().div_ceil(columns);
            let size = (
                (columns as f64 * self.wide).max(head) + 2.0 * PAD,
                rows as f64 * HIGH + 2.0 * PAD + letter::TEXT + 2.0,
            );
            out.push(size);
        }
        out
    }

    /// Draws it.
    pub fn draw(&self, page: &mut Page, rect: Rect) {
        let edge = page.open(Role::Artifact, None, rect);
        page.put(
            edge,
            Shape::Box {
                rect,
                radius: 0.0,
                stroke: Some(Stroke::solid(weight::THIN, Ink::Line)),
                fill: Some(Ink::Paper),
            },
        );
        let section = page.open(Role::Section, None, rect);
        let head = page.open(Role::Heading(2), Some(section), rect);
        let at = rect.min.moved(PAD, PAD + letter::TEXT);
        page.text(head, at, HEAD, (letter::TEXT, Weight::Bold, Ink::Line), Align::Left);
        let columns = ((rect.width() - 2.0 * PAD) / self.wide + 0.01).floor().max(1.0) as usize;
        let rows = self.entries.len().div_ceil(columns).max(1);
        for (i, entry) in self.entries.iter().enumerate() {
            let (column, row) = (i / rows, i % rows);
            let left = rect.min.x + PAD + column as f64 * self.wide;
            let middle = rect.min.y + PAD + letter::TEXT + 2.0 + (row as f64 + 0.5) * HIGH;
            let Some(all) = entry.shapes.iter().map(Shape::extent).reduce(Rect::union) else { continue };
            let scale = (SYMBOL / all.width().max(0.1)).min((HIGH - 1.0) / all.height().max(0.1)).min(1.0);
            let (dx, dy) = (left + SYMBOL / 2.0 - all.centre().x * scale, middle - all.centre().y * scale);
            for shape in &entry.shapes {
                let small = placed(shape, scale, dx, dy);
                page.put(edge, small);
            }
            let block = page.open(Role::Paragraph, Some(section), rect);
            let at = Point::new(left + SYMBOL + 2.5, middle + letter::TEXT / 2.0);
            page.text(block, at, &entry.words, (letter::TEXT, Weight::Regular, Ink::Line), Align::Left);
        }
    }
}

/// True where an item says that something is not fed.
#[must_use]
pub fn shows_not_fed(item: &Item) -> bool {
    match &item.shape {
        Shape::Path { stroke: Some(pen), .. } => item.layer == Layer::Cable && pen.ink == Ink::NotFed,
        _ => false,
    }
}
