//! Signs of the sheets alone: flags to other sheets, and marks of revisions.

use super::super::page::{letter, weight};
use crate::diagram::{Align, Ink, Shape, Stroke, Weight};
use crate::installation::Point;

fn path(points: Vec<Point>, width: f64) -> Shape {
    Shape::Path { points, closed: false, stroke: Some(Stroke::solid(width, Ink::Line)), fill: None }
}

/// An arrow head around a point: it goes on elsewhere, or comes from there.
#[must_use]
pub fn flag(at: Point) -> Vec<Shape> {
    let corners = [(-3.0, -1.5), (1.2, -1.5), (3.0, 0.0), (1.2, 1.5), (-3.0, 1.5)];
    let points = corners.iter().map(|(x, y)| at.moved(*x, *y)).collect();
    let stroke = Some(Stroke::solid(weight::THIN, Ink::Line));
    vec![
        path(vec![at.moved(-5.0, 0.0), at.moved(-3.0, 0.0)], weight::MEDIUM),
        path(vec![at.moved(3.0, 0.0), at.moved(5.0, 0.0)], weight::MEDIUM),
        Shape::Path { points, closed: true, stroke, fill: Some(Ink::Paper) },
    ]
}

/// Half the height and width of a mark of a revision.
pub const DELTA_HALF: f64 = 2.9;

/// A triangle with the letter of a revision, around a point.
#[must_use]
pub fn delta(at: Point, revision: &str) -> Vec<Shape> {
    let r = DELTA_HALF;
    let points = vec![at.moved(0.0, -r), at.moved(r, r), at.moved(-r, r)];
    let size = letter::TEXT - 0.5;
    let short: String = revision.chars().take(2).collect();
    vec![
        Shape::Path {
            points,
            closed: true,
            stroke: Some(Stroke::solid(weight::THIN, Ink::Line)),
            fill: Some(Ink::Paper),
        },
        Shape::Text {
            at: at.moved(0.0, r - 0.7),
            text: short,
            size,
            align: Align::Centre,
            weight: Weight::Bold,
            ink: Ink::Line,
        },
    ]
}
