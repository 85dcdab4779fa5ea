//! What lies under the pointer. Terminals come first and have areas of their own that do not shrink with the drawing.

use super::Lookup;
use super::paint::extent;
use super::view::Map;
use crate::diagram::{Align, CablePath, Item, Layer, PartArea, Scene, Shape, Target, Terminal, text_width};
use crate::installation::{CableId, Installation, PartId, Point, Rect, SpaceId};
use egui::Pos2;

/// Side of the area of a terminal, in points, at any zoom.
pub const TERMINAL_PT: f32 = 14.0;
/// How near a cable is taken for it, in points to either side.
pub const CABLE_PT: f32 = 5.0;
/// How near the edge of a space is taken for it, in points to either side.
pub const EDGE_PT: f32 = 5.0;
/// Height of the strip at the top of a space by which it is taken, in millimetres.
const HEADER_MM: f64 = 7.0;
/// A text is taken this far beside its letters, at most, in millimetres.
const NEAR_MM: f64 = 4.0;

/// Which end of a cable.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum End {
    /// Where the current comes from.
    Upstream,
    /// Where it goes to.
    Downstream,
}

/// Which edges of a space are held.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Edges {
    /// Left.
    pub left: bool,
    /// Right.
    pub right: bool,
    /// Top.
    pub top: bool,
    /// Bottom.
    pub bottom: bool,
}

impl Edges {
    /// True where any edge is held.
    #[must_use]
    pub fn any(self) -> bool {
        self.left || self.right || self.top || self.bottom
    }

    /// The rectangle with the held edges moved; never smaller than a grid square.
    #[must_use]
    pub fn moved(self, rect: Rect, dx: f64, dy: f64) -> Rect {
        let least = 2.0 * Point::GRID_MM;
        let mut r = rect;
        if self.left {
            r.min.x = (r.min.x + dx).min(r.max.x - least);
        }
        if self.right {
            r.max.x = (r.max.x + dx).max(r.min.x + least);
        }
        if self.top {
            r.min.y = (r.min.y + dy).min(r.max.y - least);
        }
        if self.bottom {
            r.max.y = (r.max.y + dy).max(r.min.y + least);
        }
        r
    }
}

/// What lies under the pointer.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Hit {
    /// An end of a selected cable.
    CableEnd(CableId, End),
    /// The switch of a part.
    Switch(PartId),
    /// A terminal.
    Terminal(PartId, Terminal),
    /// A part.
    Part(PartId),
    /// A cable.
    Cable(CableId),
    /// The edge of a space.
    SpaceEdge(SpaceId, Edges),
    /// The name of a space, or the ground of one that is selected.
    Space(SpaceId),
    /// Nothing.
    Sheet,
}

impl Hit {
    /// The part that it belongs to.
    #[must_use]
    pub fn part(self) -> Option<PartId> {
        match self {
            Self::Switch(p) | Self::Terminal(p, _) | Self::Part(p) => Some(p),
            _ => None,
        }
    }
}

/// The area of a terminal on the screen: moved outwards where the symbol is too small to leave room between two.
#[must_use]
pub fn terminal_area(map: &Map, area: &PartArea, at: Point) -> egui::Rect {
    let symbol = map.rect(area.symbol);
    let centre = map.pos(at);
    let mut out = centre - symbol.center();
    // A terminal is at the end of a symbol; on a bar, which is high and narrow, it is at the side.
    if out.x.abs() * symbol.height() >= out.y.abs() * symbol.width() {
        out.y = 0.0
    } else {
        out.x = 0.0
    }
    let crowded = symbol.width().min(200.0) < 4.0 * TERMINAL_PT;
    let shift =
        if crowded && out != egui::Vec2::ZERO { out.normalized() * (TERMINAL_PT * 0.4) } else { egui::Vec2::ZERO };
    egui::Rect::from_center_size(centre + shift, egui::Vec2::splat(TERMINAL_PT))
}

/// Distance of a point from a polyline, in millimetres, and the place on it.
#[must_use]
pub fn distance_to_path(points: &[Point], p: Point) -> Option<(f64, Point)> {
    let on_segment = |a: Point, b: Point| {
        let (dx, dy) = (b.x - a.x, b.y - a.y);
        let length2 = dx * dx + dy * dy;
        let t = if length2 > 0.0 { (((p.x - a.x) * dx + (p.y - a.y) * dy) / length2).clamp(0.0, 1.0) } else { 0.0 };
        let q = a.moved(t * dx, t * dy);
        (q.distance(p), q)
    };
    points.windows(2).map(|w| on_segment(w[0], w[1])).min_by(|a, b| a.0.total_cmp(&b.0))
}

/// The nearest cable within `reach` millimetres, and the place on it.
#[must_use]
pub fn cable_at(cables: &[CablePath], p: Point, reach: f64) -> Option<(CableId, Point)> {
    cables
        .iter()
        .filter_map(|c| distance_to_path(&c.points, p).map(|(d, q)| (d, c.cable, q)))
        .filter(|(d, _, _)| *d <= reach)
        .min_by(|a, b| a.0.total_cmp(&b.0))
        .map(|(_, id, q)| (id, q))
}

/// The longest straight piece of a cable, by which it is named and reached.
#[must_use]
pub fn longest_piece(points: &[Point]) -> Option<(Point, Point)> {
    points.windows(2).map(|w| (w[0], w[1])).max_by(|a, b| a.0.distance(a.1).total_cmp(&b.0.distance(b.1)))
}

/// The edges of a rectangle that lie within reach.
fn edges_at(rect: Rect, p: Point, reach: f64) -> Edges {
    if !rect.grown(reach).contains(p) {
        return Edges::default();
    }
    Edges {
        left: (p.x - rect.min.x).abs() <= reach,
        right: (p.x - rect.max.x).abs() <= reach,
        top: (p.y - rect.min.y).abs() <= reach,
        bottom: (p.y - rect.max.y).abs() <= reach,
    }
}

/// The part whose symbol, labels or load bar lie under the pointer; symbols first, then what was drawn last.
#[must_use]
pub fn part_at(scene: &Scene, lookup: &Lookup, p: Point) -> Option<PartId> {
    let symbol = scene.parts.iter().rev().find(|a| a.symbol.contains(p)).map(|a| a.part);
    symbol.or_else(|| match written_at(scene, lookup, p) {
        Some(Target::Part(id) | Target::Switch(id)) => Some(id),
        _ => None,
    })
}

/// What the text or mark under the pointer belongs to, the last drawn first.
fn written_at(scene: &Scene, lookup: &Lookup, p: Point) -> Option<Target> {
    let of_part = |t: &Target| !matches!(t, Target::Space(_));
    let near = |item: &Item| match item.target {
        // A cable's own line has a reach of its own.
        Some(Target::Cable(_)) => item.layer >= Layer::Text && covers(&item.shape, p),
        _ => covers(&item.shape, p),
    };
    // What is far away is told by a rectangle; only the rest is measured.
    let wide = |covers: &Option<Rect>| covers.is_some_and(|r| r.grown(NEAR_MM).contains(p));
    let items = scene.items.iter().zip(&lookup.extents).rev().filter(|(_, covers)| wide(covers)).map(|(item, _)| item);
    items.filter(|item| near(item)).find_map(|item| item.target.filter(of_part))
}

/// True where a shape lies under a point; a text by its true width.
fn covers(shape: &Shape, p: Point) -> bool {
    match shape {
        Shape::Text { at, text, size, align, weight, .. } => {
            let width = text_width(text, *size, *weight);
            let left = match align {
                Align::Left => 0.0,
                Align::Centre => width / 2.0,
                Align::Right => width,
            };
            // Half a space to either side, so that there is no gap between the words of a label.
            let (near, far) = (left + 0.4 * size, width - left + 0.4 * size);
            Rect::between(at.moved(-near, -1.3 * size), at.moved(far, 0.4 * size)).contains(p)
        }
        other => extent(other).is_some_and(|r| r.contains(p)),
    }
}

/// The terminal under the pointer, the nearest first.
#[must_use]
pub fn terminal_at(map: &Map, scene: &Scene, pos: Pos2) -> Option<(PartId, Terminal)> {
    let mut best: Option<(f32, PartId, Terminal)> = None;
    for area in &scene.parts {
        for (terminal, at) in &area.terminals {
            let rect = terminal_area(map, area, *at);
            let distance = rect.center().distance(pos);
            if rect.contains(pos) && best.is_none_or(|(d, _, _)| distance < d) {
                best = Some((distance, area.part, *terminal));
            }
        }
    }
    best.map(|(_, part, terminal)| (part, terminal))
}

/// What lies under the pointer.
#[must_use]
pub fn at(
    map: &Map,
    (scene, lookup): (&Scene, &Lookup),
    installation: &Installation,
    selection: &crate::installation::Selection,
    pos: Pos2,
) -> Hit {
    let p = map.point(pos);
    for path in scene.cables.iter().filter(|c| selection.cables.contains(&c.cable)) {
        for (end, at) in [(End::Upstream, path.points.first()), (End::Downstream, path.points.last())] {
            if at.is_some_and(|q| map.pos(*q).distance(pos) <= TERMINAL_PT / 2.0) {
                return Hit::CableEnd(path.cable, end);
            }
        }
    }
    if let Some((part, terminal)) = terminal_at(map, scene, pos) {
        return Hit::Terminal(part, terminal);
    }
    if let Some(area) = scene.parts.iter().rev().find(|a| a.switch.is_some_and(|r| r.contains(p))) {
        return Hit::Switch(area.part);
    }
    if let Some(area) = scene.parts.iter().rev().find(|a| a.symbol.contains(p)) {
        return Hit::Part(area.part);
    }
    if let Some((cable, _)) = cable_at(&scene.cables, p, map.mm(CABLE_PT)) {
        return Hit::Cable(cable);
    }
    match written_at(scene, lookup, p) {
        Some(Target::Part(part) | Target::Switch(part)) => return Hit::Part(part),
        Some(Target::Cable(cable)) => return Hit::Cable(cable),
        Some(Target::Space(_)) | None => {}
    }
    for (id, space) in installation.spaces.iter().rev() {
        let edges = edges_at(space.rect, p, map.mm(EDGE_PT));
        if edges.any() {
            return Hit::SpaceEdge(*id, edges);
        }
    }
    let under = installation.space_at(p).and_then(|id| installation.spaces.get(&id).map(|s| (id, s)));
    match under {
        Some((id, space)) if p.y <= space.rect.min.y + HEADER_MM || selection.spaces.contains(&id) => Hit::Space(id),
        _ => Hit::Sheet,
    }
}

#[cfg(test)]
mod tests {
    use super::super::view::View;
    use super::*;
    use crate::installation::{Selection, Space, SpaceKind, System};
    use egui::{Vec2, vec2};

    fn scene() -> Scene {
        let symbol = Rect::around(Point::new(50.0, 50.0), 15.0, 8.0);
        let label = Shape::Text {
            at: Point::new(50.0, 42.0),
            text: "Q3".into(),
            size: 2.5,
            align: Align::Centre,
            weight: crate::diagram::Weight::Bold,
            ink: crate::diagram::Ink::Line,
        };
        let target = Some(Target::Part(PartId::new(1)));
        Scene {
            items: vec![crate::diagram::Item { layer: crate::diagram::Layer::Text, target, shape: label }],
            parts: vec![PartArea {
                part: PartId::new(1),
                symbol,
                full: symbol.grown(6.0),
                switch: Some(Rect::around(Point::new(50.0, 50.0), 5.0, 5.0)),
                terminals: vec![
                    (Terminal::Inlet(0), Point::new(42.5, 50.0)),
                    (Terminal::Outlet, Point::new(57.5, 50.0)),
                ],
            }],
            cables: vec![CablePath {
                cable: CableId::new(2),
                points: vec![Point::new(57.5, 50.0), Point::new(100.0, 50.0), Point::new(100.0, 90.0)],
            }],
            ..Scene::default()
        }
    }

    fn lookup() -> Lookup {
        Lookup { extents: scene().items.iter().map(|i| extent(&i.shape)).collect(), ..Lookup::default() }
    }

    fn map(scale: f64) -> Map {
        let mut view = View::default();
        view.zoom(scale / View::NATURAL, Vec2::ZERO);
        view.centre(Point::new(60.0, 60.0), vec2(800.0, 600.0));
        view.on(egui::Rect::from_min_size(Pos2::ZERO, vec2(800.0, 600.0)))
    }

    fn hit(map: &Map, p: Point) -> Hit {
        at(map, (&scene(), &lookup()), &Installation::new(System::TwoWire120), &Selection::default(), map.pos(p))
    }

    #[test]
    fn terminals_keep_their_size_at_any_zoom() {
        for scale in [0.3, 0.6, 1.0, 3.0, 12.0] {
            let map = map(scale);
            let area = &scene().parts[0];
            for (terminal, at) in &area.terminals {
                let rect = terminal_area(&map, area, *at);
                assert!(rect.width() >= 12.0 && rect.height() >= 12.0);
                let found = terminal_at(&map, &scene(), rect.center());
                assert_eq!(found, Some((area.part, *terminal)), "at scale {scale}");
            }
        }
    }

    #[test]
    fn switch_symbol_label_and_cable_are_told_apart() {
        let map = map(4.0);
        assert_eq!(hit(&map, Point::new(50.0, 50.0)), Hit::Switch(PartId::new(1)));
        assert_eq!(hit(&map, Point::new(50.0, 46.8)), Hit::Part(PartId::new(1)));
        assert_eq!(hit(&map, Point::new(50.0, 41.0)), Hit::Part(PartId::new(1)), "by its label");
        assert_eq!(hit(&map, Point::new(56.0, 41.0)), Hit::Sheet, "beside its label");
        assert_eq!(hit(&map, Point::new(80.0, 50.5)), Hit::Cable(CableId::new(2)));
        assert_eq!(hit(&map, Point::new(100.5, 70.0)), Hit::Cable(CableId::new(2)));
        assert_eq!(hit(&map, Point::new(90.0, 60.0)), Hit::Sheet);
    }

    #[test]
    fn the_end_of_a_selected_cable_comes_before_the_terminal() {
        let map = map(4.0);
        let selection = Selection::cable(CableId::new(2));
        let doc = Installation::new(System::TwoWire120);
        let found = at(&map, (&scene(), &lookup()), &doc, &selection, map.pos(Point::new(100.0, 90.0)));
        assert_eq!(found, Hit::CableEnd(CableId::new(2), End::Downstream));
    }

    #[test]
    fn a_space_is_taken_by_its_name_and_its_edges() {
        let map = map(4.0);
        let mut doc = Installation::new(System::TwoWire120);
        let rect = Rect::between(Point::new(10.0, 0.0), Point::new(120.0, 30.0));
        let id =
            doc.add_space(Space { name: "Galley".into(), kind: SpaceKind::Galley, rect, extra: Default::default() });
        let at = |p| at(&map, (&scene(), &lookup()), &doc, &Selection::default(), map.pos(p));
        assert_eq!(at(Point::new(40.0, 4.0)), Hit::Space(id));
        assert_eq!(at(Point::new(40.0, 20.0)), Hit::Sheet);
        let Hit::SpaceEdge(found, edges) = at(Point::new(120.0, 30.0)) else { panic!("no edge") };
        assert!(found == id && edges.right && edges.bottom && !edges.left && !edges.top);
        let larger = edges.moved(rect, 10.0, -500.0);
        assert!((larger.width() - 120.0).abs() < 1e-9 && (larger.height() - 10.0).abs() < 1e-9);
    }
}
