//! Routes of cables: straight where aligned, otherwise with as few corners as will do, through channels of their own.
//!
//! Candidates are tried in a fixed order and the cheapest wins: what lies in the way costs most, then running along
//! another cable, then labels, then crossings, then length. The work grows with cables times candidates times what is
//! near, not with the square of the drawing.

mod candidates;
mod hops;

pub use hops::{Piece, pieces};

use super::geometry::Geometry;
use super::index::Index;
use crate::installation::{CableId, Installation, PartId, Point, Rect};
use std::collections::BTreeMap;

/// Half the room that a cable takes.
const HALF: f64 = 0.6;
/// Cables that run side by side keep this distance.
const APART: f64 = 1.6;

/// The route of a cable.
#[derive(Clone, Debug, PartialEq)]
pub struct Route {
    /// Corners from terminal to terminal, upstream to downstream.
    pub points: Vec<Point>,
    /// The part upstream: cables that leave the same part may share a stretch.
    pub from: PartId,
}

impl Route {
    /// The straight stretches.
    pub fn stretches(&self) -> impl Iterator<Item = (Point, Point)> {
        self.points.windows(2).filter_map(|w| match w {
            [a, b] => Some((*a, *b)),
            _ => None,
        })
    }
}

/// What lies in the way of new routes.
pub(super) struct Field<'a> {
    bodies: &'a Index<PartId>,
    labels: &'a Index<PartId>,
    upright: Index<(CableId, PartId)>,
    level: Index<(CableId, PartId)>,
}

/// The rectangle of a stretch.
pub fn stretch_rect(a: Point, b: Point, half: f64) -> Rect {
    Rect::between(a, b).grown(half)
}

fn is_level(a: Point, b: Point) -> bool {
    (a.y - b.y).abs() < 1e-6
}

impl Field<'_> {
    /// What a route would cost.
    fn cost(&self, points: &[Point], from: PartId, to: PartId) -> f64 {
        let mut cost = 0.0;
        let stretches = points.len().saturating_sub(1);
        for (i, pair) in points.windows(2).enumerate() {
            let [a, b] = pair else { continue };
            let length = a.distance(*b);
            cost += length * 0.05;
            if length < 1e-6 {
                continue;
            }
            let level = is_level(*a, *b);
            let rect = stretch_rect(*a, *b, HALF);
            self.bodies.visit(rect, |r, part| {
                // The first stretch leaves its own part, the last one arrives at its own.
                let own = (part == from && i == 0) || (part == to && i + 1 == stretches);
                if own {
                    if r.grown(-0.7).overlaps(stretch_rect(*a, *b, 0.0).grown(0.01)) {
                        cost += 400.0;
                    }
                } else {
                    cost += 400.0;
                }
                true
            });
            self.labels.visit(rect, |_, _| {
                cost += 12.0;
                true
            });
            let (along, across) = if level { (&self.level, &self.upright) } else { (&self.upright, &self.level) };
            along.visit(Rect::between(*a, *b).grown(APART), |r, (_, other)| {
                // The rectangle of the other holds its own half width.
                let shared = if level {
                    r.max.x.min(a.x.max(b.x)) - r.min.x.max(a.x.min(b.x))
                } else {
                    r.max.y.min(a.y.max(b.y)) - r.min.y.max(a.y.min(b.y))
                };
                let same_line = if level { (r.centre().y - a.y).abs() < 0.1 } else { (r.centre().x - a.x).abs() < 0.1 };
                if shared > HALF && !(other == from && same_line) {
                    cost += 60.0 + shared;
                }
                true
            });
            across.visit(Rect::between(*a, *b), |_, (_, other)| {
                if other != from {
                    cost += 6.0;
                }
                true
            });
        }
        cost + 4.0 * stretches.saturating_sub(1) as f64
    }

    fn add(&mut self, cable: CableId, route: &Route) {
        for (a, b) in route.stretches() {
            if a.distance(b) < 1e-6 {
                continue;
            }
            let index = if is_level(a, b) { &mut self.level } else { &mut self.upright };
            index.add(stretch_rect(a, b, HALF), (cable, route.from));
        }
    }
}

/// Routes all cables between parts that are drawn. `bodies` must be kept out of, `labels` should be.
#[must_use]
pub fn routes(
    installation: &Installation,
    geometry: &Geometry,
    bodies: &Index<PartId>,
    labels: &Index<PartId>,
) -> BTreeMap<CableId, Route> {
    let mut todo = Vec::new();
    for (id, cable) in &installation.cables {
        let (Some(from), Some(to)) = (geometry.parts.get(&cable.from), geometry.parts.get(&cable.to)) else { continue };
        if cable.from == cable.to {
            continue;
        }
        let entry = to.entry(*id);
        todo.push((*id, cable.from, cable.to, (from.exit(entry), from.side()), (entry, to.side())));
    }
    // Short and straight ones first; what winds fits itself in.
    let key = |a: Point, b: Point| ((a.y - b.y).abs() + if b.x < a.x { 1e6 } else { 0.0 }, a.distance(b));
    todo.sort_by(|l, r| {
        let (a, b) = (key(l.3.0, l.4.0), key(r.3.0, r.4.0));
        a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1)).then(l.0.cmp(&r.0))
    });
    let mut field = Field { bodies, labels, upright: Index::default(), level: Index::default() };
    let mut routes = BTreeMap::new();
    for (id, from, to, a, b) in todo {
        let points = candidates::best(&field, [a, b], from, to);
        let route = Route { points, from };
        field.add(id, &route);
        routes.insert(id, route);
    }
    routes
}
