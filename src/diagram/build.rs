//! The scene of an installation: geometry, routes, symbols, labels, marks, in that order.

mod edges;
mod spaces;

use super::font::{fitted, text_width};
use super::geometry::{Footprint, Geometry};
use super::index::Index;
use super::labels::{Block, Label, NUMBER, Span, Taken, Words, cable_label, part_labels};
use super::overlay::{Options, Overlay};
use super::pen::{Pen, size, weight};
use super::refit;
use super::routing::{Piece, Route, pieces, routes, stretch_rect};
use super::scene::{CablePath, Ink, Layer, Note, PartArea, Scene, Stroke, Target, Weight};
use super::status::{Status, finite};
use super::symbols::{self, Look, MARK_HALF, mark};
use crate::installation::{CableId, Installation, PartId, PartKind, Point, Rect, SpaceId, Status as Marked};
use crate::network::Solution;
use std::collections::BTreeMap;

/// Room between words and a bar, a bare end or what is new.
const AIR: f64 = 1.2;

/// The drawing of an installation in millimetres, with the figures of a solved condition. Parts that have no position yet
/// are left out; figures that are missing are not drawn. The same arguments give the same scene.
#[must_use]
pub fn scene(installation: &Installation, solution: &Solution, overlay: &Overlay, options: &Options) -> Scene {
    let geometry = Geometry::of(installation);
    let words = Words { installation, solution, overlay, options: *options, tight: false };
    let labels: BTreeMap<PartId, Vec<Label>> = geometry
        .parts
        .iter()
        .filter_map(|(id, foot)| {
            let next = next_of(&words, &geometry, foot);
            Some((*id, part_labels(&words, *id, installation.parts.get(id)?, foot, next)))
        })
        .collect();
    let mut bodies = Index::default();
    let mut soft = Index::default();
    for (id, foot) in &geometry.parts {
        bodies.add(foot.body(), *id);
        for rect in labels.get(id).into_iter().flatten().filter_map(Label::first_rect) {
            soft.add(rect, *id);
        }
    }
    let routes = routes(installation, &geometry, &bodies, &soft);
    let edges = spaces::edges(words, &geometry, &labels, &routes);
    let mut draw = Drawing::new(words, &geometry, edges);
    draw.spaces();
    draw.take_symbols_and_routes(&routes);
    draw.cables(&routes);
    draw.parts();
    let anchors = draw.part_labels(&labels);
    draw.space_names();
    let cable_anchors = draw.cable_labels(&routes);
    draw.marks(&anchors, &routes, &cable_anchors);
    draw.broken_edges();
    refit::draw(&mut draw.pen, installation, &geometry, &routes);
    draw.finish(routes)
}

struct Drawing<'a> {
    words: Words<'a>,
    geometry: &'a Geometry,
    pen: Pen,
    taken: Taken,
    full: BTreeMap<PartId, Rect>,
    bounds: Option<Rect>,
    notes: Vec<Note>,
    /// Rectangles of spaces.
    edges: BTreeMap<SpaceId, Rect>,
    /// Where labels stand.
    said: Vec<Rect>,
}

impl<'a> Drawing<'a> {
    fn new(words: Words<'a>, geometry: &'a Geometry, edges: BTreeMap<SpaceId, Rect>) -> Self {
        Self {
            words,
            geometry,
            pen: Pen::default(),
            taken: Taken::default(),
            full: geometry.parts.iter().map(|(id, foot)| (*id, foot.body())).collect(),
            bounds: None,
            notes: Vec::new(),
            edges,
            said: Vec::new(),
        }
    }
}

impl Drawing<'_> {
    fn cover(&mut self, rect: Rect) {
        self.bounds = Some(self.bounds.map_or(rect, |b| b.union(rect)));
    }

    /// The number of a new note.
    fn note(&mut self, target: Target, text: String) -> usize {
        let number = self.words.options.notes_before + self.notes.len() + 1;
        self.notes.push(Note { number, target, text });
        number
    }

    /// Leaves the number of a note in the free place nearest to `near`; gives the place.
    fn number_only(&mut self, target: Target, layer: Layer, text: &str, near: Point) -> Rect {
        let number = self.note(target, text.to_owned());
        let capital = self.words.size(size::SMALL);
        let block = Block::line(vec![Span::bold(format!("({number})"), capital, Ink::Line)]);
        let at = self.taken.nearest(near, block.width(), block.height());
        self.pen.on(layer, Some(target));
        block.draw(&mut self.pen, at, Ink::Fed);
        let rect = block.rect(at);
        self.taken.add(rect);
        self.said.push(rect);
        self.cover(rect);
        rect
    }

    /// Draws a label where it has room: as it is, else in the smaller form, else as the number of a note (only where
    /// nothing may be covered). Gives where it stands.
    fn put(&mut self, target: Target, label: &Label, tight: impl FnOnce() -> Option<Label>) -> Option<Rect> {
        let smaller;
        let (block, at) = if self.words.options.numbered {
            let widest = self.words.options.widest.map_or(f64::INFINITY, f64::from);
            match self.taken.place_free(label, widest) {
                Some(placed) => placed,
                None => {
                    smaller = tight().unwrap_or_default();
                    match self.taken.place_free(&smaller, widest) {
                        Some(placed) => placed,
                        None => {
                            let near = label.first_rect().map_or(Point::default(), |r| r.min);
                            let said = label.blocks.first().map(Block::words).unwrap_or_default();
                            let whole = match &label.note {
                                Some(note) if said.contains(NUMBER) => said.replace(NUMBER, note),
                                _ => said,
                            };
                            return Some(self.number_only(target, Layer::Text, &whole, near));
                        }
                    }
                }
            }
        } else {
            self.taken.place(label)?
        };
        let rect = block.rect(at);
        self.said.push(rect);
        self.pen.on(Layer::Text, Some(target));
        match &label.note {
            Some(note) if block.is_numbered() => {
                let number = self.note(target, note.clone());
                block.with_number(number).draw(&mut self.pen, at, Ink::Fed);
            }
            _ => block.draw(&mut self.pen, at, Ink::Fed),
        }
        Some(rect)
    }

    fn take_symbols_and_routes(&mut self, routes: &BTreeMap<CableId, Route>) {
        for (id, foot) in &self.geometry.parts {
            let body = foot.body();
            let guarded = self.words.installation.parts.get(id).is_some_and(|p| p.protection.trip_ma().is_some());
            if foot.kind == PartKind::Outlet && guarded {
                let capital = self.words.size(size::SMALL);
                let base = symbols::outlet_base(capital);
                let wide = text_width("30 mA", capital, Weight::Regular) + 0.4;
                let high = capital * 1.3 + 0.6;
                let middle = foot.at.moved(1.0_f64.min(4.8 - wide / 2.0), base + 0.3 + 0.3 * capital - high / 2.0);
                let words = Rect::around(middle, wide.max(7.0), high.max(3.2));
                self.taken.add(words);
                self.said.push(words);
                self.cover(words);
            }
            // On paper a bar is as black as letters, which do not touch it, a bare end may bear a flag, and what is new has
            // corners around it.
            let new = self.words.installation.parts.get(id).is_some_and(|p| p.status == Marked::New);
            let airy = new || matches!(foot.kind, PartKind::Panel | PartKind::Junction);
            let air = if airy && self.words.options.numbered { AIR } else { 0.0 };
            self.taken.add(body.grown(air));
        }
        for route in routes.values() {
            for (a, b) in route.stretches() {
                self.taken.add(stretch_rect(a, b, 0.55));
            }
        }
    }

    fn cables(&mut self, routes: &BTreeMap<CableId, Route>) {
        let strokes = pieces(routes);
        let mut dots = Vec::new();
        for (id, route) in routes {
            let Some(cable) = self.words.installation.cables.get(id) else { continue };
            let status = Status::of_cable(self.words.installation, self.words.solution, *id);
            let amps = self.words.solution.cables.get(id).and_then(|f| f.amps);
            let stroke = status.cable_pen(finite(amps));
            self.pen.on(Layer::Cable, Some(Target::Cable(*id)));
            for (part, end) in [(cable.from, route.points.first()), (cable.to, route.points.last())] {
                let reach =
                    self.geometry.parts.get(&part).zip(end).and_then(|(foot, at)| foot.reach(*at).zip(Some(*at)));
                if let Some((bar, at)) = reach {
                    self.pen.line(bar, at, stroke);
                }
            }
            let over = self.words.overlay.over_cables.contains(id);
            if over {
                for (a, b) in route.stretches().filter(|(a, b)| a.distance(*b) > 2.0) {
                    let hatch = Stroke::solid(weight::THIN, Ink::Over);
                    self.pen.hatch(stretch_rect(a, b, 0.0).grown(1.1), 1.3, hatch);
                }
            }
            for piece in strokes.get(id).into_iter().flatten() {
                match piece {
                    Piece::Line(points) => self.pen.path(points.clone(), stroke),
                    Piece::Hop { centre, radius } => self.pen.arc(*centre, *radius, 180.0, 180.0, stroke),
                }
            }
            dots.extend(branches(*id, route, routes, self.geometry, cable.from).map(|at| (at, stroke.ink, *id)));
            if let (Some(first), Some(last)) = (route.points.first(), route.points.last()) {
                let rect =
                    route.points.iter().fold(Rect::between(*first, *last), |r, p| r.union(Rect::between(*p, *p)));
                self.cover(rect);
            }
        }
        for (at, ink, id) in dots {
            self.pen.on(Layer::Cable, Some(Target::Cable(id)));
            self.pen.circle(at, 0.8, None, Some(ink));
        }
    }

    fn parts(&mut self) {
        let words = self.words;
        let Words { installation, solution, overlay, options, .. } = words;
        for (id, foot) in &self.geometry.parts {
            let Some(part) = installation.parts.get(id) else { continue };
            let status = Status::of_part(solution, *id);
            let on = installation.is_on(*id, solution.walk.condition);
            let amps = finite(solution.parts.get(id).and_then(|f| f.amps));
            let load = amps.zip(part.rating_a.filter(|r| *r > 0.0)).map(|(a, r)| a / r);
            let chosen = solution.walk.chosen.get(id).and_then(|c| foot.feeds.iter().position(|f| f == c));
            let mut look = Look {
                id: *id,
                part,
                foot,
                ink: status.ink(),
                live: if status == Status::Fed { Ink::Fed } else { status.ink() },
                on: on && !(part.kind == PartKind::Breaker && options.breakers_open),
                over: overlay.over_parts.contains(id),
                close: overlay.close_parts.contains(id),
                load: load.filter(|_| !options.without_figures),
                chosen,
                charger: part.kind == PartKind::Inverter && !foot.feeds.is_empty(),
                feeds: !foot.leaving.is_empty(),
                name: Vec::new(),
                name_size: words.size(size::NAME),
                letter_size: if part.kind == PartKind::Appliance {
                    words.size(size::SMALL).min(2.6)
                } else {
                    words.size(size::SMALL)
                },
            };
            if part.kind == PartKind::Appliance {
                self.name_in_box(&mut look);
            }
            symbols::draw(&mut self.pen, &look);
        }
    }

    /// The name of an appliance as it stands in its box: on one line, on two small ones, or with the number of a note.
    fn name_in_box(&mut self, look: &mut Look<'_>) {
        let title = look.part.title();
        let room = symbols::name_room(look);
        let fits = |text: &str, capital: f64| text_width(text, capital, Weight::Regular) <= room;
        if !self.words.options.numbered {
            look.name = vec![fitted(title, look.name_size, Weight::Regular, room)];
            return;
        }
        if fits(title, look.name_size) {
            look.name = vec![title.to_owned()];
            return;
        }
        look.name_size = self.words.size(size::SMALL);
        if fits(title, look.name_size) {
            look.name = vec![title.to_owned()];
            return;
        }
        let words: Vec<&str> = title.split_whitespace().collect();
        let capital = look.name_size;
        // Two lines of this height keep inside the box.
        if 2.62 * capital < 7.2 {
            let halves = (1..words.len()).rev().find_map(|n| {
                let (a, b) = words.split_at_checked(n)?;
                let (a, b) = (a.join(" "), b.join(" "));
                (fits(&a, capital) && fits(&b, capital)).then(|| vec![a, b])
            });
            if let Some(halves) = halves {
                look.name = halves;
                return;
            }
        }
        let number = self.note(Target::Part(look.id), title.to_owned());
        let with = |n: usize| format!("{} ({number})", words.get(..n).unwrap_or_default().join(" "));
        let shown =
            (1..words.len()).rev().map(with).find(|t| fits(t, capital)).unwrap_or_else(|| format!("({number})"));
        look.name = vec![shown];
    }

    /// Draws the labels of parts; gives where the first of each stands.
    fn part_labels(&mut self, labels: &BTreeMap<PartId, Vec<Label>>) -> BTreeMap<PartId, Rect> {
        let mut anchors = BTreeMap::new();
        for (id, labels) in labels {
            for (number, label) in labels.iter().enumerate() {
                let words = Words { tight: true, ..self.words };
                let foot = self.geometry.parts.get(id);
                let tight = || {
                    let part = words.installation.parts.get(id)?;
                    let foot = foot?;
                    part_labels(&words, *id, part, foot, next_of(&words, self.geometry, foot)).into_iter().nth(number)
                };
                let Some(rect) = self.put(Target::Part(*id), label, tight) else { continue };
                if number == 0 {
                    anchors.insert(*id, rect);
                }
                if let Some(full) = self.full.get_mut(id) {
                    *full = full.union(rect);
                }
            }
        }
        anchors
    }

    fn cable_labels(&mut self, routes: &BTreeMap<CableId, Route>) -> BTreeMap<CableId, Rect> {
        let mut anchors = BTreeMap::new();
        for (id, route) in routes {
            let Some(cable) = self.words.installation.cables.get(id) else { continue };
            let Some(label) = cable_label(&self.words, *id, cable, route) else { continue };
            let words = Words { tight: true, ..self.words };
            let Some(rect) = self.put(Target::Cable(*id), &label, || cable_label(&words, *id, cable, route)) else {
                continue;
            };
            anchors.insert(*id, rect);
            self.cover(rect);
        }
        anchors
    }

    fn marks(
        &mut self,
        anchors: &BTreeMap<PartId, Rect>,
        routes: &BTreeMap<CableId, Route>,
        cable_anchors: &BTreeMap<CableId, Rect>,
    ) {
        let room = MARK_HALF + 0.6;
        for (id, severity) in &self.words.overlay.worst {
            let Some(foot) = self.geometry.parts.get(id) else { continue };
            let centres = mark_places(foot, anchors.get(id).copied(), room);
            let Some(at) = self.place_mark(&centres) else { continue };
            self.pen.on(Layer::Mark, Some(Target::Part(*id)));
            mark(&mut self.pen, *severity, at);
            if let Some(full) = self.full.get_mut(id) {
                *full = full.union(Rect::around(at, 2.0 * MARK_HALF, 2.0 * MARK_HALF));
            }
        }
        for (id, severity) in &self.words.overlay.worst_cables {
            let Some(route) = routes.get(id) else { continue };
            let mut centres = Vec::new();
            if let Some(label) = cable_anchors.get(id) {
                centres.push(Point::new(label.max.x + room, label.centre().y));
                centres.push(Point::new(label.min.x - room, label.centre().y));
            }
            for (a, b) in route.stretches() {
                let middle = Rect::between(a, b).centre();
                centres.extend([
                    middle.moved(0.0, -room - 0.6),
                    middle.moved(0.0, room + 0.6),
                    middle.moved(room, 0.0),
                ]);
            }
            let Some(at) = self.place_mark(&centres) else { continue };
            self.pen.on(Layer::Mark, Some(Target::Cable(*id)));
            mark(&mut self.pen, *severity, at);
            self.cover(Rect::around(at, 2.0 * MARK_HALF, 2.0 * MARK_HALF));
        }
    }

    /// A place for a mark: where nothing may be covered, the nearest free one at worst.
    fn place_mark(&mut self, centres: &[Point]) -> Option<Point> {
        let square = |c: Point| Rect::around(c, 2.0 * MARK_HALF, 2.0 * MARK_HALF);
        let first = *centres.first()?;
        let numbered = self.words.options.numbered;
        let at = if numbered && !centres.iter().any(|c| self.taken.is_free(square(*c))) {
            let corner = self.taken.nearest(square(first).min, 2.0 * MARK_HALF, 2.0 * MARK_HALF);
            self.taken.place_mark(&[corner.moved(MARK_HALF, MARK_HALF)], MARK_HALF)?
        } else {
            self.taken.place_mark(centres, MARK_HALF)?
        };
        self.said.push(square(at));
        Some(at)
    }

    fn finish(mut self, routes: BTreeMap<CableId, Route>) -> Scene {
        let fulls: Vec<Rect> = self.full.values().copied().collect();
        for full in fulls {
            self.cover(full);
        }
        let mut items = self.pen.items;
        items.sort_by_key(|item| item.layer);
        let parts = self
            .geometry
            .parts
            .iter()
            .map(|(id, foot)| PartArea {
                part: *id,
                symbol: foot.outline,
                full: self.full.get(id).copied().unwrap_or(foot.outline),
                switch: foot.switch(),
                terminals: foot.terminals.clone(),
            })
            .collect();
        let cables = routes.into_iter().map(|(cable, route)| CablePath { cable, points: route.points }).collect();
        Scene { items, parts, cables, bounds: self.bounds, notes: self.notes }
    }
}

/// The first part downstream.
fn next_of<'a>(words: &Words<'_>, geometry: &'a Geometry, foot: &Footprint) -> Option<&'a Footprint> {
    let cable = foot.leaving.first().and_then(|c| words.installation.cables.get(c))?;
    geometry.parts.get(&cable.to)
}

/// Where a mark may stand: a source's at its left, others after their tag.
fn mark_places(foot: &Footprint, anchor: Option<Rect>, room: f64) -> Vec<Point> {
    let outline = foot.outline;
    let left = Point::new(outline.min.x - room, foot.at.y);
    let mut out = Vec::new();
    if matches!(foot.kind, PartKind::Generator | PartKind::ShoreInlet) {
        out.push(left);
    }
    if let Some(anchor) = anchor {
        // Level with the capitals of the first line.
        let y = if anchor.height() < 4.0 { anchor.centre().y - 0.4 } else { anchor.min.y + 1.0 };
        out.push(Point::new(anchor.max.x + room, y));
        out.push(Point::new(anchor.min.x - room, y));
    }
    out.extend([
        left,
        Point::new(outline.max.x + room, outline.min.y - room),
        Point::new(outline.min.x - room, outline.min.y - room),
        Point::new(foot.at.x, outline.min.y - room),
        Point::new(outline.max.x + room, outline.max.y + room),
        Point::new(outline.min.x - room, outline.max.y + room),
        Point::new(foot.at.x, outline.max.y + room),
    ]);
    out
}

/// Corners of a route that lie inside a stretch of another that leaves the same part: the two join there.
fn branches<'a>(
    id: CableId,
    route: &'a Route,
    routes: &'a BTreeMap<CableId, Route>,
    geometry: &'a Geometry,
    from: PartId,
) -> impl Iterator<Item = Point> + 'a {
    let siblings = geometry.parts.get(&from).filter(|f| f.leaving.len() > 1 && f.leaving.len() < 40);
    let others = siblings.into_iter().flat_map(move |f| f.leaving.iter().filter(move |c| **c != id));
    let others: Vec<&Route> = others.filter_map(|c| routes.get(c)).collect();
    let corners = route.points.get(1..route.points.len().saturating_sub(1)).unwrap_or(&[]);
    corners.iter().copied().filter(move |corner| {
        others.iter().any(|other| {
            other.stretches().any(|(a, b)| {
                let inside = Rect::between(a, b).grown(0.01).contains(*corner);
                inside && a.distance(*corner) > 0.1 && b.distance(*corner) > 0.1
            })
        })
    })
}
