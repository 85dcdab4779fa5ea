//! Symbols after IEC 60617, drawn by our own hand with strokes and arcs: one file a kind.
//!
//! Each draws around the centre of its footprint, touches its terminals, and holds no label but what belongs to the
//! symbol itself (the letter in a circle, the name in a box).

mod appliance;
mod breaker;
mod conversion;
mod galvanic_isolator;
mod generator;
mod junction;
mod marks;
mod outlet;
mod panel;
mod polarity_indicator;
mod selector;
mod shore_inlet;

pub use appliance::name_room;
pub use marks::{MARK_HALF, mark};

use super::geometry::{Footprint, Geometry};
use super::pen::{Pen, size};
use super::scene::{Ink, Item, Layer, Stroke, Target};
use crate::installation::{Installation, LoadKind, Part, PartId, PartKind, Place, Point, Protection, System};
use crate::units::Severity;

/// All that a symbol needs to know.
#[derive(Clone, Debug)]
pub struct Look<'a> {
    /// Its id.
    pub id: PartId,
    /// The part.
    pub part: &'a Part,
    /// Where it is.
    pub foot: &'a Footprint,
    /// Pen of its strokes.
    pub ink: Ink,
    /// Ink of what carries current.
    pub live: Ink,
    /// Closed or switched on.
    pub on: bool,
    /// Above its own limit.
    pub over: bool,
    /// Close to a limit.
    pub close: bool,
    /// Load in parts of its rating, where known.
    pub load: Option<f64>,
    /// Selector: the inlet that it passes.
    pub chosen: Option<usize>,
    /// Inverter: has a feed, so that it is an inverter-charger.
    pub charger: bool,
    /// Something is connected downstream.
    pub feeds: bool,
    /// Appliance: the lines of its name, cut to [`name_room`].
    pub name: Vec<String>,
    /// Appliance: height of the capitals of its name.
    pub name_size: f64,
    /// Height of letters that belong to a symbol.
    pub letter_size: f64,
}

impl Look<'_> {
    fn pen(&self, width: f64) -> Stroke {
        Stroke::solid(width, self.ink)
    }

    fn at(&self, dx: f64, dy: f64) -> Point {
        self.foot.at.moved(dx, dy)
    }
}

pub use outlet::base as outlet_base;

/// Draws a part's symbol.
pub fn draw(pen: &mut Pen, look: &Look<'_>) {
    if look.foot.mirrored {
        pen.mirror = Some(look.foot.at.x);
        let plain = look.foot.plain();
        draw(pen, &Look { foot: &plain, ..look.clone() });
        pen.mirror = None;
        return;
    }
    pen.on(Layer::Symbol, Some(Target::Part(look.id)));
    match look.part.kind {
        PartKind::ShoreInlet => shore_inlet::draw(pen, look),
        PartKind::Generator => generator::draw(pen, look),
        PartKind::Inverter => conversion::inverter(pen, look),
        PartKind::Selector => selector::draw(pen, look),
        PartKind::Panel => panel::draw(pen, look),
        PartKind::Breaker => breaker::draw(pen, look),
        PartKind::Outlet => outlet::draw(pen, look),
        PartKind::Appliance => appliance::draw(pen, look),
        PartKind::IsolationTransformer => conversion::transformer(pen, look),
        PartKind::GalvanicIsolator => galvanic_isolator::draw(pen, look),
        PartKind::PolarityIndicator => polarity_indicator::draw(pen, look),
        PartKind::Junction => junction::draw(pen, look),
    }
}

/// The symbol of a kind alone, around the origin: for the locker and for legends. Its target is of no meaning.
#[must_use]
pub fn sample(kind: PartKind, load_kind: LoadKind, protection: Protection) -> Vec<Item> {
    let mut installation = Installation::new(System::TwoWire120);
    let mut part = Part::new(kind, "", Place::At(Point::default()));
    part.load_kind = load_kind;
    part.protection = protection;
    let id = installation.add_part(part.clone());
    let geometry = Geometry::of(&installation);
    let mut pen = Pen::default();
    if let Some(foot) = geometry.parts.get(&id) {
        let look = Look {
            id,
            part: &part,
            foot,
            ink: Ink::Line,
            live: Ink::Line,
            on: !matches!(kind, PartKind::Breaker),
            over: false,
            close: false,
            load: None,
            chosen: Some(0),
            charger: false,
            feeds: true,
            name: Vec::new(),
            name_size: size::NAME,
            letter_size: size::SMALL,
        };
        draw(&mut pen, &look);
    }
    for item in &mut pen.items {
        item.target = None;
    }
    pen.items
}

/// The mark of a finding alone, around the origin: for legends.
#[must_use]
pub fn mark_sample(severity: Severity) -> Vec<Item> {
    let mut pen = Pen::default();
    pen.on(Layer::Mark, None);
    mark(&mut pen, severity, Point::default());
    pen.items
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::diagram::geometry::{Footprint, extents};
    use crate::diagram::scene::Shape;
    use crate::installation::Rect;

    #[test]
    fn each_symbol_stays_in_its_footprint_and_reaches_its_terminals() {
        for &kind in PartKind::ALL {
            let items = sample(kind, LoadKind::Motor, Protection::None);
            assert!(!items.is_empty(), "{kind:?}");
            // What is written under an outlet is placed as words are.
            let strokes = items.iter().filter(|i| !matches!(i.shape, Shape::Text { .. }));
            let drawn = strokes.map(|i| i.shape.extent()).reduce(Rect::union).unwrap();
            let foot = Footprint {
                kind,
                at: Point::default(),
                mirrored: false,
                outline: extents(kind),
                terminals: Vec::new(),
                feeds: Vec::new(),
                leaving: Vec::new(),
            };
            let body = foot.body().grown(0.01);
            assert!(body.contains(drawn.min) && body.contains(drawn.max), "{kind:?}: {drawn:?} outside {body:?}");
            if kind != PartKind::Panel {
                // A panel is reached by the stroke of the cable itself.
                let outline = extents(kind);
                assert!(drawn.min.x <= outline.min.x + 1e-9, "{kind:?} does not reach its left terminal");
                assert!(drawn.max.x >= outline.max.x - 0.7, "{kind:?} does not reach its right terminal");
            }
        }
    }

    #[test]
    fn marks_differ_in_shape() {
        use crate::units::Severity;
        let outline = |severity| {
            let mut pen = Pen::default();
            mark(&mut pen, severity, Point::default());
            match &pen.items[0].shape {
                Shape::Path { points, .. } => points.len(),
                _ => 0,
            }
        };
        assert_eq!(Severity::ALL.map(outline), [8, 3, 4, 0]);
    }

    #[test]
    fn a_breaker_shows_its_position() {
        let mut installation = Installation::new(System::TwoWire120);
        let part = Part::new(PartKind::Breaker, "Q1", Place::At(Point::default()));
        let id = installation.add_part(part.clone());
        let geometry = Geometry::of(&installation);
        let drawn = |on| {
            let mut pen = Pen::default();
            let look = Look {
                id,
                part: &part,
                foot: &geometry.parts[&id],
                ink: Ink::Line,
                live: Ink::Fed,
                on,
                over: false,
                close: false,
                load: Some(0.5),
                chosen: None,
                charger: false,
                feeds: false,
                name: Vec::new(),
                name_size: size::NAME,
                letter_size: size::SMALL,
            };
            draw(&mut pen, &look);
            pen.items
        };
        assert_ne!(drawn(true), drawn(false));
    }
}
