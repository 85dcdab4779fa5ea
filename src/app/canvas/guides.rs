//! Alignment guides: while a part is dragged, it takes the line of another part's centre where it comes near one, and the
//! line is shown.

use super::view::Map;
use crate::app::theme::Tokens;
use crate::installation::{Installation, Point, Selection};
use egui::{Painter, Shape, Stroke};

/// How near a line is taken, in millimetres: half a square of the grid, so that no line is out of reach.
const REACH_MM: f64 = Point::GRID_MM / 2.0;
/// How far a line goes beyond the outermost part on it, in millimetres.
const BEYOND_MM: f64 = 8.0;

/// The lines that the dragged part lies on.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Guides {
    lines: Vec<(Point, Point)>,
}

/// Where a part that is dragged to `at` goes: on the grid, or on the line of a part that stays.
#[must_use]
pub fn place(doc: &Installation, moving: &Selection, at: Point) -> Point {
    let near = |value: fn(Point) -> f64| {
        let others = doc.parts.iter().filter(|(id, _)| !moving.parts.contains(id)).map(|(_, p)| value(p.position()));
        others
            .filter(|v| (v - value(at)).abs() <= REACH_MM)
            .min_by(|a, b| (a - value(at)).abs().total_cmp(&(b - value(at)).abs()))
    };
    let grid = at.snapped();
    Point::new(near(|p| p.x).unwrap_or(grid.x), near(|p| p.y).unwrap_or(grid.y))
}

impl Guides {
    /// The lines through a place on which parts that stay have their centres, too.
    #[must_use]
    pub fn at(doc: &Installation, moving: &Selection, at: Point) -> Self {
        let stays = || doc.parts.iter().filter(|(id, _)| !moving.parts.contains(id)).map(|(_, p)| p.position());
        let span = |values: Vec<f64>, own: f64| {
            let low = values.iter().copied().fold(own, f64::min) - BEYOND_MM;
            let high = values.iter().copied().fold(own, f64::max) + BEYOND_MM;
            (!values.is_empty()).then_some((low, high))
        };
        let down = span(stays().filter(|p| (p.x - at.x).abs() < 1e-9).map(|p| p.y).collect(), at.y);
        let across = span(stays().filter(|p| (p.y - at.y).abs() < 1e-9).map(|p| p.x).collect(), at.x);
        let mut lines = Vec::new();
        lines.extend(down.map(|(low, high)| (Point::new(at.x, low), Point::new(at.x, high))));
        lines.extend(across.map(|(low, high)| (Point::new(low, at.y), Point::new(high, at.y))));
        Self { lines }
    }

    #[cfg(test)]
    fn count(&self) -> usize {
        self.lines.len()
    }

    /// Paints them.
    pub fn paint(&self, painter: &Painter, map: &Map, tokens: &Tokens) {
        for (a, b) in &self.lines {
            painter.extend(Shape::dashed_line(&[map.pos(*a), map.pos(*b)], Stroke::new(1.0, tokens.fed), 6.0, 4.0));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::installation::{Part, PartKind, Place, System};

    #[test]
    fn a_line_off_the_grid_is_taken_and_shown() {
        let mut doc = Installation::new(System::TwoWire120);
        let mut add = |x, y| doc.add_part(Part::new(PartKind::Outlet, "", Place::At(Point::new(x, y))));
        let (_, moved) = (add(51.0, 20.0), add(0.0, 0.0));
        let moving = Selection::part(moved);
        assert_eq!(place(&doc, &moving, Point::new(52.9, 81.0)), Point::new(51.0, 80.0));
        assert_eq!(place(&doc, &moving, Point::new(57.0, 83.0)), Point::new(55.0, 85.0));
        assert_eq!(Guides::at(&doc, &moving, Point::new(51.0, 80.0)).count(), 1);
        assert_eq!(Guides::at(&doc, &moving, Point::new(55.0, 80.0)).count(), 0);
    }
}
