//! Small hops where cables cross without joining: the level one hops over the upright one.

use super::{Route, is_level, stretch_rect};
use crate::diagram::index::Index;
use crate::installation::{CableId, PartId, Point};
use std::collections::BTreeMap;

/// Radius of a hop in millimetres.
const RADIUS: f64 = 1.2;

/// A piece of the stroke of a cable.
#[derive(Clone, Debug, PartialEq)]
pub enum Piece {
    /// Straight strokes.
    Line(Vec<Point>),
    /// A half circle above this centre.
    Hop {
        /// Where the cables cross.
        centre: Point,
        /// Radius in millimetres.
        radius: f64,
    },
}

/// The strokes of every route, hops included.
#[must_use]
pub fn pieces(routes: &BTreeMap<CableId, Route>) -> BTreeMap<CableId, Vec<Piece>> {
    let mut upright: Index<(f64, PartId)> = Index::default();
    for route in routes.values() {
        for (a, b) in route.stretches() {
            if !is_level(a, b) {
                upright.add(stretch_rect(a, b, 0.0), (a.x, route.from));
            }
        }
    }
    routes.iter().map(|(id, route)| (*id, strokes(route, &upright))).collect()
}

fn strokes(route: &Route, upright: &Index<(f64, PartId)>) -> Vec<Piece> {
    let mut out = Vec::new();
    let mut line: Vec<Point> = route.points.first().copied().into_iter().collect();
    for (a, b) in route.stretches() {
        if is_level(a, b) {
            let (low, high) = (a.x.min(b.x), a.x.max(b.x));
            let mut crossings = Vec::new();
            upright.visit(stretch_rect(a, b, 0.0), |r, (x, from)| {
                let inside = x > low + RADIUS && x < high - RADIUS;
                let through = a.y > r.min.y + 0.1 && a.y < r.max.y - 0.1;
                if from != route.from && inside && through {
                    crossings.push(x);
                }
                true
            });
            crossings.sort_by(f64::total_cmp);
            crossings.dedup_by(|p, q| (*p - *q).abs() < 2.0 * RADIUS);
            let forward = b.x >= a.x;
            if !forward {
                crossings.reverse();
            }
            let side = if forward { 1.0 } else { -1.0 };
            for x in crossings {
                line.push(Point::new(x - side * RADIUS, a.y));
                out.push(Piece::Line(std::mem::take(&mut line)));
                out.push(Piece::Hop { centre: Point::new(x, a.y), radius: RADIUS });
                line.push(Point::new(x + side * RADIUS, a.y));
            }
        }
        line.push(b);
    }
    if line.len() > 1 {
        out.push(Piece::Line(line));
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_level_cable_hops_over_the_upright_one() {
        let p = |x: f64, y: f64| Point::new(x, y);
        let level = Route { points: vec![p(0.0, 0.0), p(50.0, 0.0)], from: PartId::new(1) };
        let upright = Route { points: vec![p(0.0, -20.0), p(25.0, -20.0), p(25.0, 20.0)], from: PartId::new(2) };
        let routes = BTreeMap::from([(CableId::new(3), level), (CableId::new(4), upright)]);
        let pieces = pieces(&routes);
        assert_eq!(pieces[&CableId::new(3)].len(), 3);
        assert!(matches!(pieces[&CableId::new(3)][1], Piece::Hop { centre, .. } if centre == p(25.0, 0.0)));
        assert_eq!(pieces[&CableId::new(4)].len(), 1);
    }
}
