//! Signs of the sheets alone: flags to other sheets, status, and marks of revisions.

use super::super::page::{letter, weight};
use crate::diagram::{Align, Ink, Shape, Stroke, Weight};
use crate::installation::{Point, Rect};

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

/// Corners around a symbol: it is new.
#[must_use]
pub fn new(symbol: Rect) -> Vec<Shape> {
    let r = symbol.grown(0.9);
    let arm = (r.width().min(r.height()) * 0.3).min(2.4);
    let corner = |x: f64, y: f64, sx: f64, sy: f64| {
        path(vec![Point::new(x + sx * arm, y), Point::new(x, y), Point::new(x, y + sy * arm)], weight::MEDIUM)
    };
    vec![
        corner(r.min.x, r.min.y, 1.0, 1.0),
        corner(r.max.x, r.min.y, -1.0, 1.0),
        corner(r.min.x, r.max.y, 1.0, -1.0),
        corner(r.max.x, r.max.y, -1.0, -1.0),
    ]
}

/// A cross over a symbol: it is to be removed.
#[must_use]
pub fn remove(symbol: Rect) -> Vec<Shape> {
    let r = symbol;
    vec![
        path(vec![r.min, r.max], weight::MEDIUM),
        path(vec![Point::new(r.min.x, r.max.y), Point::new(r.max.x, r.min.y)], weight::MEDIUM),
    ]
}

/// Signs along a cable: small crosses where it is to be removed, pairs of ticks where it is new.
#[must_use]
pub fn along(points: &[Point], going: bool) -> Vec<Shape> {
    const EVERY: f64 = 12.0;
    let mut out = Vec::new();
    for pair in points.windows(2) {
        let [a, b] = pair else { continue };
        let length = a.distance(*b);
        if length < 4.0 {
            continue;
        }
        let n = (length / EVERY).round().max(1.0);
        let mut k = 0.5;
        while k < n {
            let t = k / n;
            let at = Point::new(a.x + (b.x - a.x) * t, a.y + (b.y - a.y) * t);
            if going {
                out.extend(remove(Rect::around(at, 2.0, 2.0)));
            } else {
                for off in [-0.6, 0.6] {
                    let at = Point::new(at.x + off * (b.x - a.x) / length, at.y + off * (b.y - a.y) / length);
                    out.push(path(vec![at.moved(-0.8, 1.0), at.moved(0.8, -1.0)], weight::FINE));
                }
            }
            k += 1.0;
        }
    }
    out
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
