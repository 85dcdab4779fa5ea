//! Points and rectangles of the drawing, in millimetres; x to the right, y downwards.

use serde::{Deserialize, Serialize};

/// A point of the drawing in millimetres.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Point {
    /// Millimetres to the right.
    pub x: f64,
    /// Millimetres downwards.
    pub y: f64,
}

impl Point {
    /// The grid that parts snap to, in millimetres.
    pub const GRID_MM: f64 = 5.0;

    /// A point.
    #[must_use]
    pub const fn new(x: f64, y: f64) -> Self {
        Self { x, y }
    }

    /// The point moved by `dx`, `dy`.
    #[must_use]
    pub fn moved(self, dx: f64, dy: f64) -> Self {
        Self::new(self.x + dx, self.y + dy)
    }

    /// The nearest point of the grid.
    #[must_use]
    pub fn snapped(self) -> Self {
        let snap = |v: f64| (v / Self::GRID_MM).round() * Self::GRID_MM;
        Self::new(snap(self.x), snap(self.y))
    }

    /// Distance in millimetres.
    #[must_use]
    pub fn distance(self, other: Self) -> f64 {
        (self.x - other.x).hypot(self.y - other.y)
    }

    /// True where both coordinates are finite numbers.
    #[must_use]
    pub fn is_finite(self) -> bool {
        self.x.is_finite() && self.y.is_finite()
    }
}

/// An upright rectangle, `min` above and left of `max`.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Rect {
    /// Upper left corner.
    pub min: Point,
    /// Lower right corner.
    pub max: Point,
}

impl Rect {
    /// The rectangle between two opposite corners, in any order.
    #[must_use]
    pub fn between(a: Point, b: Point) -> Self {
        Self { min: Point::new(a.x.min(b.x), a.y.min(b.y)), max: Point::new(a.x.max(b.x), a.y.max(b.y)) }
    }

    /// The rectangle of this size around a centre.
    #[must_use]
    pub fn around(centre: Point, width: f64, height: f64) -> Self {
        Self { min: centre.moved(-width / 2.0, -height / 2.0), max: centre.moved(width / 2.0, height / 2.0) }
    }

    /// Width in millimetres.
    #[must_use]
    pub fn width(self) -> f64 {
        self.max.x - self.min.x
    }

    /// Height in millimetres.
    #[must_use]
    pub fn height(self) -> f64 {
        self.max.y - self.min.y
    }

    /// Area in square millimetres.
    #[must_use]
    pub fn area(self) -> f64 {
        self.width() * self.height()
    }

    /// The middle.
    #[must_use]
    pub fn centre(self) -> Point {
        Point::new(f64::midpoint(self.min.x, self.max.x), f64::midpoint(self.min.y, self.max.y))
    }

    /// True where the point lies inside or on the edge.
    #[must_use]
    pub fn contains(self, p: Point) -> bool {
        p.x >= self.min.x && p.x <= self.max.x && p.y >= self.min.y && p.y <= self.max.y
    }

    /// True where the two share some area.
    #[must_use]
    pub fn overlaps(self, other: Self) -> bool {
        self.min.x < other.max.x && other.min.x < self.max.x && self.min.y < other.max.y && other.min.y < self.max.y
    }

    /// The smallest rectangle that holds both.
    #[must_use]
    pub fn union(self, other: Self) -> Self {
        Self {
            min: Point::new(self.min.x.min(other.min.x), self.min.y.min(other.min.y)),
            max: Point::new(self.max.x.max(other.max.x), self.max.y.max(other.max.y)),
        }
    }

    /// The rectangle grown by `margin` on each side.
    #[must_use]
    pub fn grown(self, margin: f64) -> Self {
        Self { min: self.min.moved(-margin, -margin), max: self.max.moved(margin, margin) }
    }

    /// The rectangle moved by `dx`, `dy`.
    #[must_use]
    pub fn moved(self, dx: f64, dy: f64) -> Self {
        Self { min: self.min.moved(dx, dy), max: self.max.moved(dx, dy) }
    }
}
