//! Collects the items of a scene; all distances in millimetres.

use super::scene::{Align, Ink, Item, Layer, Shape, Stroke, Target, Weight};
use crate::installation::{Point, Rect};

/// Line weights of the drawing and the sheets, in millimetres: those of technical drawings (ISO 128-20, from memory).
pub mod weight {
    /// Fine: dashes of spaces, ticks, rules of tables.
    pub const FINE: f64 = 0.25;
    /// Thin: secondary strokes, boxes.
    pub const THIN: f64 = 0.35;
    /// Medium: symbols, outlines of blocks.
    pub const MEDIUM: f64 = 0.5;
    /// Heavy: emphasis, the border.
    pub const HEAVY: f64 = 0.7;
    /// All that a pen can draw on paper; the two widest are for cables that carry much.
    pub const SERIES: [f64; 6] = [FINE, THIN, MEDIUM, HEAVY, 1.0, 1.4];

    /// The weight of the series that is nearest to a width.
    #[must_use]
    pub fn nearest(width: f64) -> f64 {
        let off = |w: &f64| (w - width).abs();
        SERIES.into_iter().min_by(|a, b| off(a).total_cmp(&off(b))).unwrap_or(FINE)
    }
}

/// Heights of capitals, in millimetres.
pub mod size {
    /// Tags.
    pub const TAG: f64 = 2.4;
    /// Names in boxes and labels beside tags.
    pub const NAME: f64 = 2.3;
    /// Figures on cables.
    pub const DATA: f64 = 2.1;
    /// What is secondary.
    pub const SMALL: f64 = 2.0;
    /// Titles of panels.
    pub const TITLE: f64 = 2.6;
}

/// Where items are put.
#[derive(Debug, Default)]
pub struct Pen {
    /// What was drawn so far.
    pub items: Vec<Item>,
    layer: Option<Layer>,
    target: Option<Target>,
    /// Shapes are turned about this upright line; their letters are not.
    pub mirror: Option<f64>,
}

impl Pen {
    /// From here on, items belong to this layer and target.
    pub fn on(&mut self, layer: Layer, target: Option<Target>) -> &mut Self {
        self.layer = Some(layer);
        self.target = target;
        self
    }

    /// Adds a shape.
    pub fn shape(&mut self, shape: Shape) {
        let shape = match self.mirror {
            Some(x) => turned(shape, x),
            None => shape,
        };
        self.items.push(Item { layer: self.layer.unwrap_or(Layer::Symbol), target: self.target, shape });
    }

    /// One straight stroke.
    pub fn line(&mut self, a: Point, b: Point, stroke: Stroke) {
        self.path(vec![a, b], stroke);
    }

    /// Straight strokes through points.
    pub fn path(&mut self, points: Vec<Point>, stroke: Stroke) {
        self.shape(Shape::Path { points, closed: false, stroke: Some(stroke), fill: None });
    }

    /// A closed, filled outline.
    pub fn filled(&mut self, points: Vec<Point>, stroke: Option<Stroke>, fill: Ink) {
        self.shape(Shape::Path { points, closed: true, stroke, fill: Some(fill) });
    }

    /// An arc.
    pub fn arc(&mut self, centre: Point, radius: f64, start_deg: f64, sweep_deg: f64, stroke: Stroke) {
        self.shape(Shape::Arc { centre, radius, start_deg, sweep_deg, stroke: Some(stroke), fill: None });
    }

    /// A circle.
    pub fn circle(&mut self, centre: Point, radius: f64, stroke: Option<Stroke>, fill: Option<Ink>) {
        self.shape(Shape::Arc { centre, radius, start_deg: 0.0, sweep_deg: 360.0, stroke, fill });
    }

    /// A filled rectangle with rounded corners.
    pub fn rounded(&mut self, rect: Rect, radius: f64, stroke: Option<Stroke>, fill: Option<Ink>) {
        self.shape(Shape::Box { rect, radius, stroke, fill });
    }

    /// Slanted strokes: above its own limit.
    pub fn hatch(&mut self, rect: Rect, pitch: f64, stroke: Stroke) {
        self.shape(Shape::Hatch { rect, pitch, stroke });
    }

    /// One line of text on its base line.
    pub fn text(&mut self, at: Point, text: impl Into<String>, size: f64, align: Align, weight: Weight, ink: Ink) {
        self.shape(Shape::Text { at, text: text.into(), size, align, weight, ink });
    }

    /// A wave of one period, `width` wide around a centre: alternating current.
    pub fn wave(&mut self, centre: Point, width: f64, stroke: Stroke) {
        let steps = 16;
        let points = (0..=steps)
            .map(|i| {
                let t = f64::from(i) / f64::from(steps);
                centre.moved((t - 0.5) * width, -(t * std::f64::consts::TAU).sin() * width * 0.2)
            })
            .collect();
        self.path(points, stroke);
    }
}

/// A shape turned about an upright line. Text stays readable: it keeps its letters and changes its side.
fn turned(shape: Shape, x: f64) -> Shape {
    let flip = |p: Point| Point::new(2.0 * x - p.x, p.y);
    let rect = |r: Rect| Rect::between(flip(r.min), flip(r.max));
    match shape {
        Shape::Path { points, closed, stroke, fill } => {
            Shape::Path { points: points.into_iter().map(flip).collect(), closed, stroke, fill }
        }
        Shape::Arc { centre, radius, start_deg, sweep_deg, stroke, fill } => {
            let start_deg = 180.0 - start_deg - sweep_deg;
            Shape::Arc { centre: flip(centre), radius, start_deg, sweep_deg, stroke, fill }
        }
        Shape::Box { rect: r, radius, stroke, fill } => Shape::Box { rect: rect(r), radius, stroke, fill },
        Shape::Hatch { rect: r, pitch, stroke } => Shape::Hatch { rect: rect(r), pitch, stroke },
        Shape::Text { at, text, size, align, weight, ink } => {
            let align = match align {
                Align::Left => Align::Right,
                Align::Centre => Align::Centre,
                Align::Right => Align::Left,
            };
            Shape::Text { at: flip(at), text, size, align, weight, ink }
        }
    }
}
