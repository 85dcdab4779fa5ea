//! Where parts, their terminals and their hit areas are: the one place that knows, for symbols, routing and layout.
//!
//! Positions are centres of symbols on a grid of 5 mm; terminals lie on that grid, inlets left and outlets right. A
//! panel's bar stretches over all that it feeds; a selector has an inlet for each cable and one more.

use crate::installation::{CableId, Installation, PartId, PartKind, Place, Point, Rect};
use std::collections::BTreeMap;

use super::scene::Terminal;

/// The grid, in millimetres.
const G: f64 = Point::GRID_MM;
/// Drawings are cut off at this distance from the origin, in millimetres, so that a stray figure cannot hang a frame.
const FAR: f64 = 50_000.0;

/// What an appliance's box reaches to the left and to the right of its centre.
pub const APPLIANCE: (f64, f64) = (20.0, 15.0);
/// The switch of an appliance, against its centre.
pub const SWITCH: Rect = Rect { min: Point::new(17.0, -2.0), max: Point::new(24.0, 2.0) };
/// Half the width of a panel's bar.
pub const BAR_HALF: f64 = 1.0;

/// Extents of a symbol against its centre, in millimetres: left, right, up, down. Panels and selectors stretch.
#[must_use]
pub fn extents(kind: PartKind) -> Rect {
    let (left, right, up, down) = match kind {
        PartKind::ShoreInlet | PartKind::Breaker | PartKind::Outlet | PartKind::GalvanicIsolator => {
            (5.0, 5.0, 3.0, 3.0)
        }
        PartKind::Generator | PartKind::Inverter | PartKind::Selector => (5.0, 5.0, 5.0, 5.0),
        PartKind::Panel => (BAR_HALF, BAR_HALF, 5.0, 5.0),
        PartKind::Appliance => (APPLIANCE.0, APPLIANCE.1, 4.0, 4.0),
        PartKind::IsolationTransformer => (10.0, 10.0, 4.0, 4.0),
        PartKind::PolarityIndicator => (5.0, 2.5, 2.5, 2.5),
        PartKind::Junction => (5.0, 5.0, 1.0, 1.0),
    };
    Rect { min: Point::new(-left, -up), max: Point::new(right, down) }
}

/// By how much the contacts of a selector stick out, pens and all.
pub const SELECTOR_CONTACT: f64 = 0.9;

/// Distance of the outlet from the centre; `None` where the kind feeds nothing.
#[must_use]
pub fn outlet_x(kind: PartKind) -> Option<f64> {
    match kind {
        PartKind::Appliance | PartKind::PolarityIndicator => None,
        PartKind::IsolationTransformer => Some(2.0 * G),
        _ => Some(G),
    }
}

/// Distance of the inlets from the centre, to the left; `None` where the kind takes no feed.
#[must_use]
pub fn inlet_x(kind: PartKind) -> Option<f64> {
    match kind {
        PartKind::ShoreInlet | PartKind::Generator => None,
        PartKind::Appliance => Some(APPLIANCE.0),
        PartKind::IsolationTransformer => Some(2.0 * G),
        _ => Some(G),
    }
}

/// A rectangle turned about an upright line.
fn mirrored(rect: Rect, x: f64) -> Rect {
    Rect { min: Point::new(2.0 * x - rect.max.x, rect.min.y), max: Point::new(2.0 * x - rect.min.x, rect.max.y) }
}

/// Height of an inlet of a selector against its centre, with `cables` feeding it: they and the free one are spread
/// evenly on the grid.
#[must_use]
pub fn selector_inlet_y(index: usize, cables: usize) -> f64 {
    (index as f64 - (cables / 2) as f64) * G
}

/// Where a part is drawn.
#[derive(Clone, Debug, PartialEq)]
pub struct Footprint {
    /// Kind of the part.
    pub kind: PartKind,
    /// Centre.
    pub at: Point,
    /// Drawn the other way round: inlets right, outlets left.
    pub mirrored: bool,
    /// The symbol's outline.
    pub outline: Rect,
    /// Terminals for new cables and for hit areas.
    pub terminals: Vec<(Terminal, Point)>,
    /// Cables that feed it, in the order of their ids.
    pub feeds: Vec<CableId>,
    /// Cables that leave it, in the order of their ids.
    pub leaving: Vec<CableId>,
}

impl Footprint {
    /// Which way it feeds: 1 to the right, -1 to the left.
    #[must_use]
    pub fn side(&self) -> f64 {
        if self.mirrored { -1.0 } else { 1.0 }
    }

    /// A rectangle against the centre, turned where the symbol is.
    fn turned(&self, rect: Rect) -> Rect {
        if self.mirrored { mirrored(rect, 0.0) } else { rect }
    }

    /// The same the usual way round.
    #[must_use]
    pub fn plain(&self) -> Self {
        let mut plain = self.clone();
        if plain.mirrored {
            plain.mirrored = false;
            plain.outline = mirrored(self.outline, self.at.x);
            plain.terminals =
                self.terminals.iter().map(|(t, p)| (*t, Point::new(2.0 * self.at.x - p.x, p.y))).collect();
        }
        plain
    }

    /// Where a cable that leaves for a terminal at `to` starts. A panel is left at that height where its bar reaches it.
    #[must_use]
    pub fn exit(&self, to: Point) -> Point {
        let dx = self.side() * outlet_x(self.kind).unwrap_or(0.0);
        if self.kind == PartKind::Panel {
            let y = to.y.clamp(self.outline.min.y + G, (self.outline.max.y - G).max(self.outline.min.y + G));
            return Point::new(self.at.x + dx, y);
        }
        self.at.moved(dx, 0.0)
    }

    /// Where a cable that feeds it arrives.
    #[must_use]
    pub fn entry(&self, cable: CableId) -> Point {
        let dx = -self.side() * inlet_x(self.kind).unwrap_or(0.0);
        if self.kind == PartKind::Selector {
            let index = self.feeds.iter().position(|c| *c == cable).unwrap_or(self.feeds.len());
            return self.at.moved(dx, selector_inlet_y(index, self.feeds.len()));
        }
        self.at.moved(dx, 0.0)
    }

    /// The point of the symbol to which the stroke of a cable is drawn beyond its terminal: a panel's bar.
    #[must_use]
    pub fn reach(&self, terminal: Point) -> Option<Point> {
        (self.kind == PartKind::Panel).then(|| Point::new(self.at.x, terminal.y))
    }

    /// The switch, where the part has one.
    #[must_use]
    pub fn switch(&self) -> Option<Rect> {
        match self.kind {
            PartKind::Appliance => Some(self.turned(SWITCH).moved(self.at.x, self.at.y)),
            PartKind::Breaker => Some(Rect::around(self.at, 8.0, 6.0)),
            _ => None,
        }
    }

    /// What other cables and labels keep out of: the outline, the switch and a breaker's load bar.
    #[must_use]
    pub fn body(&self) -> Rect {
        match self.kind {
            PartKind::Appliance => self.outline.union(self.turned(SWITCH).moved(self.at.x, self.at.y)),
            PartKind::Breaker => Rect { min: self.outline.min, max: self.outline.max.moved(0.0, 1.4) },
            PartKind::Selector => self.outline.grown(SELECTOR_CONTACT),
            // The screen between the windings, and its earth.
            PartKind::IsolationTransformer => {
                Rect { min: self.outline.min.moved(0.0, -0.8), max: self.outline.max.moved(0.0, 2.4) }
            }
            _ => self.outline,
        }
    }
}

/// Where all parts of an installation are drawn. Parts that have no position yet are missing.
#[derive(Clone, Debug, Default)]
pub struct Geometry {
    /// By part.
    pub parts: BTreeMap<PartId, Footprint>,
}

impl Geometry {
    /// Measures an installation; n log n.
    #[must_use]
    pub fn of(installation: &Installation) -> Self {
        let mut parts = BTreeMap::new();
        for (id, part) in &installation.parts {
            let Place::At(at) = part.place else { continue };
            if !at.is_finite() {
                continue;
            }
            let at = Point::new(at.x.clamp(-FAR, FAR), at.y.clamp(-FAR, FAR));
            let extents = extents(part.kind);
            let extents = if part.mirrored { mirrored(extents, 0.0) } else { extents };
            let footprint = Footprint {
                kind: part.kind,
                at,
                mirrored: part.mirrored,
                outline: extents.moved(at.x, at.y),
                terminals: Vec::new(),
                feeds: Vec::new(),
                leaving: Vec::new(),
            };
            parts.insert(*id, footprint);
        }
        for (id, cable) in &installation.cables {
            if cable.from == cable.to || !parts.contains_key(&cable.to) {
                continue;
            }
            let Some(from) = parts.get_mut(&cable.from) else { continue };
            from.leaving.push(*id);
            if let Some(to) = parts.get_mut(&cable.to) {
                to.feeds.push(*id);
            }
        }
        let mut this = Self { parts };
        this.stretch(installation);
        this.place_terminals();
        this
    }

    /// Stretches bars and selectors.
    fn stretch(&mut self, installation: &Installation) {
        let mut outlines = Vec::new();
        for (id, foot) in &self.parts {
            match foot.kind {
                PartKind::Panel => {
                    let (mut top, mut bottom) = (foot.at.y, foot.at.y);
                    for cable in &foot.leaving {
                        let child = installation.cables.get(cable).and_then(|c| self.parts.get(&c.to));
                        let Some(child) = child else { continue };
                        let entry = child.entry(*cable);
                        let alone = child.feeds.len() == 1;
                        if alone && (entry.x - foot.at.x) * foot.side() >= G {
                            top = top.min(entry.y);
                            bottom = bottom.max(entry.y);
                        }
                    }
                    let min = Point::new(foot.at.x - BAR_HALF, top - G);
                    outlines.push((*id, Rect { min, max: Point::new(foot.at.x + BAR_HALF, bottom + G) }));
                }
                PartKind::Selector => {
                    let n = foot.feeds.len();
                    let up = (-selector_inlet_y(0, n)).max(2.5) + 2.5;
                    let down = selector_inlet_y(n, n).max(2.5) + 2.5;
                    let mut outline = foot.outline;
                    outline.min.y = foot.at.y - up;
                    outline.max.y = foot.at.y + down;
                    outlines.push((*id, outline));
                }
                _ => {}
            }
        }
        for (id, outline) in outlines {
            if let Some(foot) = self.parts.get_mut(&id) {
                foot.outline = outline;
            }
        }
    }

    fn place_terminals(&mut self) {
        for foot in self.parts.values_mut() {
            let side = foot.side();
            if let Some(dx) = inlet_x(foot.kind).map(|dx| dx * side) {
                let n = foot.feeds.len();
                let heights: Vec<f64> = match foot.kind {
                    PartKind::Selector => (0..=n).map(|i| selector_inlet_y(i, n)).collect(),
                    _ => vec![0.0],
                };
                for (i, y) in heights.into_iter().enumerate() {
                    foot.terminals.push((Terminal::Inlet(i), foot.at.moved(-dx, y)));
                }
            }
            if let Some(dx) = outlet_x(foot.kind).map(|dx| dx * side) {
                let y = if foot.kind == PartKind::Panel { foot.outline.max.y } else { foot.at.y };
                foot.terminals.push((Terminal::Outlet, Point::new(foot.at.x + dx, y)));
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::installation::{Cable, Part, System};

    fn part(installation: &mut Installation, kind: PartKind, x: f64, y: f64) -> PartId {
        let tag = installation.free_tag(kind, crate::installation::LoadKind::Power);
        installation.add_part(Part::new(kind, tag, Place::At(Point::new(x, y))))
    }

    #[test]
    fn terminals_lie_on_the_grid_at_the_edges() {
        for &kind in PartKind::ALL {
            let mut installation = Installation::new(System::TwoWire120);
            let id = part(&mut installation, kind, 35.0, 50.0);
            let geometry = Geometry::of(&installation);
            let foot = &geometry.parts[&id];
            assert!(!foot.terminals.is_empty(), "{kind:?}");
            for (terminal, at) in &foot.terminals {
                assert_eq!(at.snapped(), *at, "{kind:?} {terminal:?}");
                assert_eq!(matches!(terminal, Terminal::Outlet), at.x > foot.at.x, "{kind:?}");
            }
        }
    }

    #[test]
    fn a_bar_stretches_over_what_it_feeds() {
        let mut installation = Installation::new(System::TwoWire120);
        let panel = part(&mut installation, PartKind::Panel, 0.0, 0.0);
        for y in [-20.0, 0.0, 60.0] {
            let breaker = part(&mut installation, PartKind::Breaker, 10.0, y);
            installation.add_cable(Cable::between(panel, breaker));
        }
        let geometry = Geometry::of(&installation);
        let bar = geometry.parts[&panel].outline;
        assert_eq!((bar.min.y, bar.max.y), (-25.0, 65.0));
        assert_eq!(geometry.parts[&panel].exit(Point::new(5.0, 60.0)), Point::new(5.0, 60.0));
        assert_eq!(geometry.parts[&panel].exit(Point::new(5.0, 500.0)), Point::new(5.0, 60.0));
    }

    #[test]
    fn a_selector_has_an_inlet_for_each_cable_and_one_more() {
        let mut installation = Installation::new(System::TwoWire120);
        let selector = part(&mut installation, PartKind::Selector, 50.0, 0.0);
        let mut cables = Vec::new();
        for y in [-20.0, 0.0, 20.0] {
            let source = part(&mut installation, PartKind::Generator, 0.0, y);
            cables.push(installation.add_cable(Cable::between(source, selector)));
        }
        let geometry = Geometry::of(&installation);
        let foot = &geometry.parts[&selector];
        let inlets = foot.terminals.iter().filter(|(t, _)| matches!(t, Terminal::Inlet(_))).count();
        assert_eq!(inlets, 4);
        assert_eq!(foot.entry(cables[0]), Point::new(45.0, -5.0));
        assert_eq!(foot.entry(cables[2]), Point::new(45.0, 5.0));
    }
}
