//! One sheet of the diagram: the scene in the scale in which it fits, signs, and the blocks that belong to it.

use super::super::page::{LEADING, Page, Role, letter, lines_height, placed, weight, wrapped};
use super::fragment::Fragment;
use super::legend::{Legend, Used, shows_not_fed};
use super::room::Room;
use super::sign;
use crate::diagram::{self, Align, Geometry, Ink, Item, Layer, Note, Overlay, Scene, Shape, Stroke, Target, Weight};
use crate::installation::{Point, Rect, Revision};

/// Lettering is 2.5 mm high at this scale of the drawing's own 2 mm.
const USUAL: f64 = 1.25;

/// Share of the room's width that a label may have.
const WIDEST: f64 = 0.4;

/// A mark further than this from what it is of has a line to it.
const LEADER: f64 = 4.5;

/// Rounds in which the scale settles.
const ROUNDS: usize = 24;

/// A scene with the scale in which it goes on the sheet.
#[derive(Clone, Debug)]
pub struct Drawn {
    /// The scene, in millimetres of the drawing.
    pub scene: Scene,
    /// Millimetres of paper to one of the drawing.
    pub scale: f64,
    /// Where the scene's origin lies on the page.
    pub origin: Point,
}

/// What is drawn on a sheet besides the installation.
#[derive(Clone, Copy, Debug)]
pub struct Extras<'a> {
    /// Findings and gauges.
    pub overlay: &'a Overlay,
    /// Lengths in feet.
    pub feet: bool,
    /// What was changed, with the letter of the revision.
    pub revised: &'a [(Target, String)],
    /// Revisions for a table on this sheet.
    pub revisions: &'a [Revision],
}

/// A block that goes where there is room.
pub enum Extra {
    /// The symbols.
    Legend(Legend),
    /// Labels that had no room.
    Notes(Vec<(String, String)>),
    /// The revisions.
    Revisions(Vec<[String; 4]>),
}

impl Drawn {
    /// Draws a fragment as large as the room allows, lettering never below 2.5 mm. `before` notes have their numbers already.
    #[must_use]
    pub fn of(fragment: &Fragment, extras: &Extras<'_>, room: Rect, before: usize) -> Self {
        let geometry = Geometry::of(&fragment.installation);
        let bare = geometry.parts.values().map(|f| f.body()).reduce(Rect::union);
        let fit = |r: Rect| (room.width() / r.width().max(1.0)).min(room.height() / r.height().max(1.0));
        let mut scale = bare.map_or(USUAL, |r| fit(r.grown(8.0))).clamp(0.05, USUAL);
        let draw = |scale: f64| {
            let options = diagram::Options {
                feet: extras.feet,
                breakers_open: true,
                text_percent: (100.0 * USUAL / scale - 1e-6).ceil().clamp(100.0, 60_000.0) as u16,
                numbered: true,
                notes_before: before,
                widest: Some((WIDEST * room.width() / scale) as u16),
                ..diagram::Options::default()
            };
            diagram::scene(&fragment.installation, &fragment.solution, extras.overlay, &options)
        };
        let mut scene = draw(scale);
        for round in 0..ROUNDS {
            let most = scene.bounds.map_or(USUAL, |r| fit(r.grown(0.6)));
            if most >= scale - 1e-9 {
                break;
            }
            // Lettering does not shrink with the scale, so that a smaller scale may ask for a smaller one yet.
            let step = if round < ROUNDS / 2 { 0.985 } else { 0.9 };
            scale = (most.max(scale * 0.6) * step).max(0.02);
            scene = draw(scale);
        }
        let bounds = scene.bounds.unwrap_or_default();
        let slack = room.height() - bounds.height() * scale;
        let left = room.centre().x - bounds.centre().x * scale;
        let top = room.min.y - bounds.min.y * scale + (slack / 3.0).clamp(0.6 * scale, 8.0);
        Self { scene, scale, origin: Point::new(left, top) }
    }

    /// A point of the scene on the page.
    #[must_use]
    pub fn on_page(&self, at: Point) -> Point {
        Point::new(at.x * self.scale + self.origin.x, at.y * self.scale + self.origin.y)
    }

    /// True where no two texts cover each other.
    #[must_use]
    pub fn is_clear(&self) -> bool {
        let texts: Vec<Rect> = self
            .scene
            .items
            .iter()
            .filter(|i| matches!(i.shape, Shape::Text { .. }))
            .map(|i| i.shape.extent().grown(-0.05))
            .collect();
        let symbols: Vec<Rect> = self.scene.parts.iter().map(|p| p.symbol.grown(-0.05)).collect();
        let apart = |all: &[Rect]| all.iter().enumerate().all(|(i, a)| all.iter().skip(i + 1).all(|b| !a.overlaps(*b)));
        apart(&texts) && apart(&symbols)
    }

    /// Height on paper.
    #[must_use]
    pub fn height(&self) -> f64 {
        self.scene.bounds.map_or(0.0, |r| r.height() * self.scale)
    }

    /// Draws the scene on a page as a figure of its own, and takes the room that it covers; gives what it uses.
    pub fn draw(
        &self,
        (page, room): (&mut Page, &mut Room),
        fragment: &Fragment,
        extras: &Extras<'_>,
    ) -> (usize, Used) {
        let figure = page.open(Role::Figure, None, room.body());
        if let Some(block) = page.blocks.get_mut(figure) {
            block.alt = alt(fragment);
        }
        let mut used =
            Used { joints: !fragment.stand_ins.is_empty(), notes: !self.scene.notes.is_empty(), ..Used::default() };
        // Spaces first: what is in them lies over them.
        let edge = |i: &&Item| i.layer == Layer::Space && !matches!(i.shape, Shape::Text { .. });
        let items = self.scene.items.iter();
        for item in items.clone().filter(edge).chain(items.filter(|i| !edge(i))) {
            let target = match item.target {
                Some(Target::Part(id) | Target::Switch(id)) if fragment.stand_ins.contains_key(&id) => {
                    if item.layer == Layer::Symbol && fragment.is_flag(id) {
                        continue;
                    }
                    None
                }
                Some(Target::Cable(id)) if !fragment.is_own_cable(id) => None,
                target => target,
            };
            used.not_fed |= shows_not_fed(item);
            used.over |= matches!(item.shape, Shape::Hatch { .. });
            let shape = placed(&item.shape, self.scale, self.origin.x, self.origin.y);
            // Beside the edge of a space a block would read as part of it.
            take(room, &shape, if edge(&item) { 2.2 } else { 0.4 });
            page.marks.push(super::super::page::Mark { block: figure, target, shape });
        }
        for area in &self.scene.parts {
            if fragment.is_flag(area.part) {
                for shape in sign::flag(area.symbol.centre()) {
                    page.put(figure, placed(&shape, self.scale, self.origin.x, self.origin.y));
                }
            }
        }
        used.marks.extend(extras.overlay.worst.iter().filter(|(id, _)| fragment.shows(**id)).map(|(_, s)| *s));
        let cables = extras.overlay.worst_cables.iter();
        used.marks.extend(cables.filter(|(id, _)| fragment.installation.cables.contains_key(id)).map(|(_, s)| *s));
        (figure, used)
    }

    /// The notes of the scene.
    #[must_use]
    pub fn notes(&self, fragment: &Fragment) -> Vec<(String, String)> {
        self.scene.notes.iter().map(|n| note(fragment, n)).collect()
    }

    /// Marks what a revision changed; gives the letter of the revision where there is any of it.
    pub fn deltas(&self, (page, room): (&mut Page, &mut Room), figure: usize, extras: &Extras<'_>) -> Option<String> {
        let mut marked = None;
        for (target, letter) in extras.revised {
            let near = match target {
                Target::Part(id) | Target::Switch(id) => {
                    self.scene.parts.iter().find(|a| a.part == *id).map(|a| Point::new(a.symbol.max.x, a.symbol.min.y))
                }
                Target::Cable(id) => self.scene.cables.iter().find(|c| c.cable == *id).and_then(|c| {
                    let middle = c.points.len() / 2;
                    let (a, b) = (c.points.get(middle.checked_sub(1)?)?, c.points.get(middle)?);
                    Some(Rect::between(*a, *b).centre())
                }),
                Target::Space(_) => None,
            };
            let Some(near) = near.map(|p| self.on_page(p)) else { continue };
            let Some(at) = room.nearest(near, sign::DELTA_HALF + 0.3) else { continue };
            marked = Some(letter.clone());
            let (across, down) = (at.x - near.x, at.y - near.y);
            let away = across.hypot(down);
            if away > LEADER {
                // Ends where the triangle begins.
                let share = (away - sign::DELTA_HALF) / away;
                let points = vec![near, near.moved(across * share, down * share)];
                let stroke = Some(Stroke::solid(weight::FINE, Ink::Line));
                page.put(figure, Shape::Path { points, closed: false, stroke, fill: None });
            }
            for shape in sign::delta(at, letter) {
                page.put(figure, shape);
            }
        }
        marked
    }
}

/// What the drawing shows, in words.
fn alt(fragment: &Fragment) -> String {
    let parts = fragment.installation.parts.iter().filter(|(id, _)| fragment.shows(**id));
    let names: Vec<String> = parts.map(|(_, p)| p.name()).collect();
    format!("Single-line diagram of {} parts: {}.", names.len(), names.join(", "))
}

/// Takes what a shape covers: paths stretch by stretch, with some air beside them.
fn take(room: &mut Room, shape: &Shape, air: f64) {
    match shape {
        Shape::Path { points, fill: None, .. } => {
            for pair in points.windows(2) {
                if let [a, b] = pair {
                    room.take(Rect::between(*a, *b).grown(air));
                }
            }
        }
        // Words keep some air to a block beside them.
        Shape::Text { .. } => room.take(shape.extent().grown(1.5)),
        _ => room.take(shape.extent().grown(air - 0.4)),
    }
}

/// A line of the numbered list.
fn note(fragment: &Fragment, note: &Note) -> (String, String) {
    let tag = match note.target {
        Target::Part(id) | Target::Switch(id) => fragment.installation.tag(id).to_owned(),
        Target::Cable(id) => fragment.installation.cables.get(&id).map_or_else(String::new, |c| {
            let (from, to) = (fragment.installation.tag(c.from), fragment.installation.tag(c.to));
            // What stands for a part of another sheet says itself whether it comes or goes.
            match (from.starts_with("from "), to.starts_with("to ")) {
                (true, _) => format!("{to} {from}"),
                (_, true) => format!("{from} {to}"),
                _ => format!("{from} to {to}"),
            }
        }),
        Target::Space(_) => String::new(),
    };
    let text =
        if tag.is_empty() || note.text.starts_with(&tag) { note.text.clone() } else { format!("{tag}: {}", note.text) };
    (format!("({})", note.number), text)
}

/// Room inside a block.
const PAD: f64 = 3.0;
/// Room for the number of a note.
const NUMBER: f64 = 12.0;
/// Columns of the table of revisions.
const REVISION: [(f64, &str); 4] = [(12.0, "rev"), (26.0, "date"), (102.0, "what changed"), (40.0, "by")];

impl Extra {
    /// What it is called where a sheet refers to it.
    #[must_use]
    pub const fn name(&self) -> &'static str {
        match self {
            Self::Legend(_) => "symbols",
            Self::Notes(_) => "labels by number",
            Self::Revisions(_) => "revisions",
        }
    }

    /// Sizes in which it can be set, best first.
    #[must_use]
    pub fn sizes(&self, room: f64) -> Vec<(f64, f64)> {
        match self {
            Self::Legend(legend) => legend.sizes(room),
            Self::Notes(notes) => [120.0, 80.0, 160.0_f64, 240.0]
                .into_iter()
                .map(|w| w.min(room))
                .map(|w| (w, 2.0 * PAD + 1.8 * letter::TEXT + lines_height(notes_lines(notes, w), letter::TEXT)))
                .collect(),
            Self::Revisions(rows) => {
                let width = REVISION.iter().map(|c| c.0).sum::<f64>().min(room);
                let high: f64 = rows.iter().map(|r| revision_height(r, width)).sum();
                vec![(width, high + ROW)]
            }
        }
    }

    /// The lowest of its sizes.
    #[must_use]
    pub fn lowest(&self, room: f64) -> (f64, f64) {
        self.sizes(room).into_iter().min_by(|a, b| a.1.total_cmp(&b.1)).unwrap_or((10.0, 10.0))
    }

    /// The same in as many blocks as are needed for none to be higher than `high`; what cannot be parted stays whole.
    #[must_use]
    pub fn in_pieces(self, room: f64, high: f64) -> Vec<Self> {
        if self.lowest(room).1 <= high {
            return vec![self];
        }
        match self {
            Self::Notes(mut notes) if notes.len() > 1 => {
                let rest = notes.split_off(notes.len() / 2);
                [notes, rest].into_iter().flat_map(|half| Self::Notes(half).in_pieces(room, high)).collect()
            }
            Self::Revisions(mut rows) if rows.len() > 1 => {
                let rest = rows.split_off(rows.len() / 2);
                [rows, rest].into_iter().flat_map(|half| Self::Revisions(half).in_pieces(room, high)).collect()
            }
            whole => vec![whole],
        }
    }

    /// Draws it.
    pub fn draw(&self, page: &mut Page, rect: Rect) {
        match self {
            Self::Legend(legend) => legend.draw(page, rect),
            Self::Notes(notes) => draw_notes(page, notes, rect),
            Self::Revisions(rows) => draw_revisions(page, rows, rect),
        }
    }
}

fn notes_lines(notes: &[(String, String)], width: f64) -> usize {
    notes.iter().map(|(_, t)| wrapped(t, letter::TEXT, Weight::Regular, width - 2.0 * PAD - NUMBER).len().max(1)).sum()
}

fn ground(page: &mut Page, rect: Rect) -> usize {
    let edge = page.open(Role::Artifact, None, rect);
    let stroke = Some(Stroke::solid(weight::THIN, Ink::Line));
    page.put(edge, Shape::Box { rect, radius: 0.0, stroke, fill: Some(Ink::Paper) });
    edge
}

fn draw_notes(page: &mut Page, notes: &[(String, String)], rect: Rect) {
    ground(page, rect);
    let section = page.open(Role::Section, None, rect);
    let head = page.open(Role::Heading(2), Some(section), rect);
    let at = rect.min.moved(PAD, PAD + letter::TEXT);
    page.text(head, at, "LABELS BY NUMBER", (letter::TEXT, Weight::Bold, Ink::Line), Align::Left);
    let mut y = rect.min.y + PAD + 1.8 * letter::TEXT;
    for (number, text) in notes {
        let block = page.open(Role::Paragraph, Some(section), rect);
        let at = Point::new(rect.min.x + PAD, y + letter::TEXT);
        page.text(block, at, number, (letter::TEXT, Weight::Bold, Ink::Line), Align::Left);
        let lines = wrapped(text, letter::TEXT, Weight::Regular, rect.width() - 2.0 * PAD - NUMBER);
        let at = Point::new(rect.min.x + PAD + NUMBER, y);
        page.lines(block, at, &lines, letter::TEXT, Weight::Regular, Ink::Line);
        y += LEADING * letter::TEXT * lines.len().max(1) as f64;
    }
}

/// Height of a row of one line.
const ROW: f64 = 6.0;

fn revision_cells(row: &[String; 4], width: f64) -> Vec<Vec<String>> {
    let all: f64 = REVISION.iter().map(|c| c.0).sum();
    row.iter()
        .zip(REVISION)
        .map(|(text, (w, _))| wrapped(text, letter::TEXT, Weight::Regular, w * width / all - 3.0))
        .collect()
}

fn revision_height(row: &[String; 4], width: f64) -> f64 {
    let lines = revision_cells(row, width).iter().map(Vec::len).max().unwrap_or(1).max(1);
    ROW + (lines as f64 - 1.0) * LEADING * letter::TEXT
}

fn draw_revisions(page: &mut Page, rows: &[[String; 4]], rect: Rect) {
    let edge = ground(page, rect);
    let table = page.open(Role::Table, None, rect);
    let scale = rect.width() / REVISION.iter().map(|c| c.0).sum::<f64>();
    let mut y = rect.min.y;
    let head = REVISION.map(|c| c.1.to_owned());
    for (n, row) in std::iter::once(&head).chain(rows).enumerate() {
        let high = if n == 0 { ROW } else { revision_height(row, rect.width()) };
        let line = page.open(Role::Row, Some(table), rect);
        let mut x = rect.min.x;
        for (lines, (width, _)) in revision_cells(row, rect.width()).iter().zip(REVISION) {
            let (role, weight) = if n == 0 { (Role::HeadCell, Weight::Bold) } else { (Role::Cell, Weight::Regular) };
            let cell = page.open(role, Some(line), rect);
            page.lines(cell, Point::new(x + 1.5, y + 1.7), lines, letter::TEXT, weight, Ink::Line);
            x += width * scale;
        }
        y += high;
        if y < rect.max.y - 0.1 {
            page.line(edge, Point::new(rect.min.x, y), Point::new(rect.max.x, y), weight::FINE);
        }
    }
}
