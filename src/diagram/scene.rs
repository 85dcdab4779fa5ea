//! The one description that canvas and sheets read.

use super::font::{DESCENT, text_width};
use crate::installation::{CableId, PartId, Point, Rect, SpaceId, SpaceKind};

/// What a colour means; the theme (screen) or the writer (paper) chooses it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Ink {
    /// Symbols, bars, main text.
    Line,
    /// Secondary text.
    Faint,
    /// Fed in this condition.
    Fed,
    /// Not fed in this condition; may be live.
    NotFed,
    /// Close to a limit.
    Close,
    /// Above a limit.
    Over,
    /// Danger.
    Danger,
    /// A notice.
    Note,
    /// The ground that symbols are filled with.
    Paper,
    /// The quiet track of a bar or a gauge.
    Track,
    /// The tint of a space.
    Space(SpaceKind),
    /// The edge of a space.
    SpaceEdge(SpaceKind),
}

/// A pen.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stroke {
    /// Width in millimetres.
    pub width: f64,
    /// Dashes and gaps in turn, in millimetres, from the start of the line; empty is solid.
    pub dash: &'static [f64],
    /// Meaning of its colour.
    pub ink: Ink,
}

impl Stroke {
    /// A solid pen.
    #[must_use]
    pub const fn solid(width: f64, ink: Ink) -> Self {
        Self { width, dash: &[], ink }
    }

    /// A dashed pen: what is not fed.
    #[must_use]
    pub const fn dashed(width: f64, ink: Ink) -> Self {
        Self { width, dash: &[1.2, 0.9], ink }
    }

    /// A chain of long and short dashes: the edge of a space, as IEC 60617 draws a boundary (from memory).
    #[must_use]
    pub const fn chain(width: f64, ink: Ink) -> Self {
        Self { width, dash: &[3.0, 0.8, 0.5, 0.8], ink }
    }
}

/// Horizontal alignment of a text on its point.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Align {
    /// The point is at the left end.
    Left,
    /// The point is in the middle.
    Centre,
    /// The point is at the right end.
    Right,
}

/// Weight of a text.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Weight {
    /// Regular.
    Regular,
    /// Bold.
    Bold,
}

/// One mark on the sheet. Angles in degrees, 0 to the right, growing clockwise (y points down).
#[derive(Clone, Debug, PartialEq)]
pub enum Shape {
    /// Straight strokes through the points; closed and filled where said.
    Path {
        /// Corners.
        points: Vec<Point>,
        /// Joins the last to the first.
        closed: bool,
        /// Pen; `None` fills only.
        stroke: Option<Stroke>,
        /// Fill of a closed path.
        fill: Option<Ink>,
    },
    /// An arc of a circle; a sweep of 360 is a circle.
    Arc {
        /// Centre.
        centre: Point,
        /// Radius in millimetres.
        radius: f64,
        /// Where it starts.
        start_deg: f64,
        /// How far it goes.
        sweep_deg: f64,
        /// Pen; `None` fills only.
        stroke: Option<Stroke>,
        /// Fill of a full circle.
        fill: Option<Ink>,
    },
    /// A rectangle, corners rounded by `radius`.
    Box {
        /// Where.
        rect: Rect,
        /// Corner radius in millimetres.
        radius: f64,
        /// Pen; `None` fills only.
        stroke: Option<Stroke>,
        /// Fill.
        fill: Option<Ink>,
    },
    /// Slanted strokes that fill a rectangle: above its own limit.
    Hatch {
        /// Where.
        rect: Rect,
        /// Distance of the strokes in millimetres.
        pitch: f64,
        /// Pen.
        stroke: Stroke,
    },
    /// One line of text. `at` lies on the base line.
    Text {
        /// Where.
        at: Point,
        /// What.
        text: String,
        /// Height of capitals in millimetres.
        size: f64,
        /// How it lies on `at`.
        align: Align,
        /// Weight.
        weight: Weight,
        /// Meaning of its colour.
        ink: Ink,
    },
}

impl Shape {
    /// What it covers, pens left out, descenders of text included; nothing at the origin where it has no point.
    #[must_use]
    pub fn extent(&self) -> Rect {
        match self {
            Self::Path { points, .. } => {
                let first = points.first().copied().unwrap_or_default();
                points.iter().fold(Rect::between(first, first), |r, p| r.union(Rect::between(*p, *p)))
            }
            Self::Arc { centre, radius, .. } => Rect::around(*centre, 2.0 * radius, 2.0 * radius),
            Self::Box { rect, .. } | Self::Hatch { rect, .. } => *rect,
            Self::Text { at, text, size, align, weight, .. } => {
                let width = text_width(text, *size, *weight);
                let left = match align {
                    Align::Left => at.x,
                    Align::Centre => at.x - width / 2.0,
                    Align::Right => at.x - width,
                };
                Rect::between(Point::new(left, at.y - size), Point::new(left + width, at.y + DESCENT * size))
            }
        }
    }
}

impl Shape {
    /// The slanted strokes of a hatch, rising to the right, cut at the edges of the rectangle.
    #[must_use]
    pub fn hatch_strokes(rect: Rect, pitch: f64) -> Vec<(Point, Point)> {
        let (w, h) = (rect.width(), rect.height());
        let mut out = Vec::new();
        if !(w > 0.0 && h > 0.0 && pitch > 0.05 && (w + h) / pitch < 10_000.0) {
            return out;
        }
        let step = pitch * std::f64::consts::SQRT_2;
        let mut along = step / 2.0;
        while along < w + h {
            // x + y' = along, with y' counted from the top edge downwards.
            let upper = Point::new(rect.min.x + along.min(w), rect.min.y + (along - w).max(0.0));
            let lower = Point::new(rect.min.x + (along - h).max(0.0), rect.min.y + along.min(h));
            out.push((lower, upper));
            along += step;
        }
        out
    }
}

/// A terminal of a part.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Terminal {
    /// Where a feed arrives; selectors have one for each inlet, counted from 0, and one more for the next.
    Inlet(usize),
    /// Where current leaves.
    Outlet,
}

/// What an item belongs to, for picking, links and layers.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Target {
    /// A part.
    Part(PartId),
    /// The switch of an appliance or breaker.
    Switch(PartId),
    /// A cable.
    Cable(CableId),
    /// A space.
    Space(SpaceId),
}

/// Painting order, bottom first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Layer {
    /// Spaces.
    Space,
    /// Cables.
    Cable,
    /// Symbols.
    Symbol,
    /// Texts.
    Text,
    /// Marks of findings.
    Mark,
}

/// A shape with what it belongs to.
#[derive(Clone, Debug, PartialEq)]
pub struct Item {
    /// Painting order.
    pub layer: Layer,
    /// What it belongs to.
    pub target: Option<Target>,
    /// The shape.
    pub shape: Shape,
}

/// Where a part, its terminals and its switch can be hit, in millimetres.
#[derive(Clone, Debug, PartialEq)]
pub struct PartArea {
    /// The part.
    pub part: PartId,
    /// Its symbol's outline.
    pub symbol: Rect,
    /// Symbol and labels.
    pub full: Rect,
    /// Its switch, where it has one.
    pub switch: Option<Rect>,
    /// Its terminals.
    pub terminals: Vec<(Terminal, Point)>,
}

/// The line of a cable, for picking.
#[derive(Clone, Debug, PartialEq)]
pub struct CablePath {
    /// The cable.
    pub cable: CableId,
    /// Its corners, from upstream to downstream.
    pub points: Vec<Point>,
}

/// A label that had no room on the drawing: its number stands there in its place.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Note {
    /// The number, from 1.
    pub number: usize,
    /// What it belongs to.
    pub target: Target,
    /// The whole label.
    pub text: String,
}

/// The whole drawing.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Scene {
    /// Sorted by layer.
    pub items: Vec<Item>,
    /// Where parts can be hit, in the order of their ids.
    pub parts: Vec<PartArea>,
    /// Where cables can be hit, in the order of their ids.
    pub cables: Vec<CablePath>,
    /// What holds everything; `None` where the drawing is empty.
    pub bounds: Option<Rect>,
    /// Labels that had no room, by number; only with [`super::Options::numbered`].
    pub notes: Vec<Note>,
}
