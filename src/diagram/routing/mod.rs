//! Routes of cables: straight where aligned, otherwise with as few corners as will do, through channels of their own.
//!
//! Candidates are tried in a fixed order and the cheapest wins: what lies in the way costs most, then running along
//! another cable, then labels, then crossings, then length. The work grows with cables times candidates times what is
//! near, not with the square of the drawing. Where a route came to lie on that of another cable after all, because neither
//! knew of the other, it is sought once more.

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
    upright: Index<Laid>,
    level: Index<Laid>,
    /// How often the route of a cable was taken up again.
    taken_up: BTreeMap<CableId, u32>,
}

/// A stretch of a cable that is routed.
#[derive(Clone, Copy, Debug)]
struct Laid {
    cable: CableId,
    from: PartId,
    /// What was taken up since is not there any more.
    time: u32,
}

/// The rectangle of a stretch.
pub fn stretch_rect(a: Point, b: Point, half: f64) -> Rect {
    Rect::between(a, b).grown(half)
}

fn is_level(a: Point, b: Point) -> bool {
    (a.y - b.y).abs() < 1e-6
}

/// How far a stretch from `a` to `b` runs beside another, of which the rectangle holds its own half width, and whether on
/// the same line.
fn shared(other: Rect, a: Point, b: Point) -> (f64, bool) {
    let (from, to) = (Rect::between(a, b).min, Rect::between(a, b).max);
    if is_level(a, b) {
        (other.max.x.min(to.x) - other.min.x.max(from.x), (other.centre().y - a.y).abs() < 0.1)
    } else {
        (other.max.y.min(to.y) - other.min.y.max(from.y), (other.centre().x - a.x).abs() < 0.1)
    }
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
            along.visit(Rect::between(*a, *b).grown(APART), |r, other| {
                let (shared, same_line) = shared(r, *a, *b);
                if shared > HALF && !(other.from == from && same_line) && self.is_there(other) {
                    cost += 60.0 + shared;
                }
                true
            });
            across.visit(Rect::between(*a, *b), |_, other| {
                if other.from != from && self.is_there(other) {
                    cost += 6.0;
                }
                true
            });
        }
        cost + 4.0 * stretches.saturating_sub(1) as f64
    }

    /// True where a route lies on that of a cable which leaves another part.
    fn lies_on_another(&self, cable: CableId, route: &Route) -> bool {
        route.stretches().any(|(a, b)| {
            let mut found = false;
            let along = if is_level(a, b) { &self.level } else { &self.upright };
            along.visit(Rect::between(a, b), |r, other| {
                let (shared, same_line) = shared(r, a, b);
                found = shared > HALF && same_line && other.from != route.from && other.cable != cable;
                found &= self.is_there(other);
                !found
            });
            found
        })
    }

    fn is_there(&self, laid: Laid) -> bool {
        self.taken_up.is_empty() || self.times(laid.cable) == laid.time
    }

    fn times(&self, cable: CableId) -> u32 {
        self.taken_up.get(&cable).copied().unwrap_or(0)
    }

    fn take_up(&mut self, cable: CableId) {
        *self.taken_up.entry(cable).or_default() += 1;
    }

    fn add(&mut self, cable: CableId, route: &Route) {
        let laid = Laid { cable, from: route.from, time: self.times(cable) };
        for (a, b) in route.stretches() {
            if a.distance(b) < 1e-6 {
                continue;
            }
            let index = if is_level(a, b) { &mut self.level } else { &mut self.upright };
            index.add(stretch_rect(a, b, HALF), laid);
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
    let mut field =
        Field { bodies, labels, upright: Index::default(), level: Index::default(), taken_up: BTreeMap::new() };
    let mut routes = BTreeMap::new();
    for (id, from, to, a, b) in &todo {
        let route = Route { points: candidates::best(&field, [*a, *b], *from, *to), from: *from };
        field.add(*id, &route);
        routes.insert(*id, route);
    }
    for (id, from, to, a, b) in todo {
        let Some(route) = routes.get_mut(&id).filter(|route| field.lies_on_another(id, route)) else { continue };
        field.take_up(id);
        let points = candidates::best(&field, [a, b], from, to);
        if field.cost(&points, from, to) < field.cost(&route.points, from, to) - 1e-9 {
            route.points = points;
        }
        field.add(id, route);
    }
    routes
}
