//! The shapes that a route may take, cheapest first.

use super::Field;
use crate::installation::{PartId, Point};

/// Length of the stub at each terminal, and the pitch of channels.
const STUB: f64 = 2.5;
/// Channels tried on either side of the preferred one.
const CHANNELS: i32 = 14;
/// Lanes tried above and below for what must go around.
const LANES: i32 = 10;

/// A candidate and its cost so far.
struct Best {
    points: Vec<Point>,
    cost: f64,
}

impl Best {
    fn offer(&mut self, field: &Field<'_>, points: Vec<Point>, extra: f64, from: PartId, to: PartId) {
        let cost = field.cost(&points, from, to) + extra;
        if cost < self.cost - 1e-9 {
            self.cost = cost;
            self.points = points;
        }
    }
}

/// The corners of the best route from `a` (an outlet) to `b` (an inlet). `out` and `into` are 1 where the route leaves to
/// the right and arrives from the left, -1 where that end is the other way round.
pub(super) fn best(field: &Field<'_>, ends: [(Point, f64); 2], from: PartId, to: PartId) -> Vec<Point> {
    let [(a, out), (b, into)] = ends;
    if out < 0.0 || into < 0.0 {
        return turned(field, ends, from, to);
    }
    let straight = (a.y - b.y).abs() < 1e-6 && a.x <= b.x + 1e-6;
    let mut best = Best { points: Vec::new(), cost: f64::INFINITY };
    if straight {
        let points = vec![a, b];
        if a.distance(b) < 1e-6 {
            return points;
        }
        best.offer(field, points, 0.0, from, to);
        if best.cost < 60.0 + a.distance(b) * 0.05 {
            return best.points;
        }
    }
    if b.x - a.x >= 2.0 * STUB - 1e-6 && !straight {
        one_channel(field, a, b, from, to, &mut best);
        if best.cost < 60.0 + (a.distance(b) + (a.y - b.y).abs()) * 0.05 {
            return tidy(best.points);
        }
    }
    around(field, a, b, from, to, &mut best);
    tidy(best.points)
}

/// The best route where an end is the other way round: straight, through one channel on the side to which both ends
/// look, or around.
fn turned(field: &Field<'_>, [(a, out), (b, into)]: [(Point, f64); 2], from: PartId, to: PartId) -> Vec<Point> {
    let mut best = Best { points: Vec::new(), cost: f64::INFINITY };
    let same_way = out * into > 0.0;
    if same_way && (a.y - b.y).abs() < 1e-6 && (b.x - a.x) * out >= -1e-6 {
        if a.distance(b) < 1e-6 {
            return vec![a, b];
        }
        best.offer(field, vec![a, b], 0.0, from, to);
    }
    for step in 0..=CHANNELS {
        let way = STUB * f64::from(step + 1);
        let channels = if same_way {
            [b.x - into * way, a.x + out * way]
        } else {
            // Both look to the same side: beyond the farther of the two.
            let far = if out > 0.0 { a.x.max(b.x) } else { a.x.min(b.x) };
            [far + out * way, far + out * way]
        };
        for x in channels {
            if (x - a.x) * out > 1e-6 && (b.x - x) * into > 1e-6 {
                let points = vec![a, Point::new(x, a.y), Point::new(x, b.y), b];
                best.offer(field, points, 0.3 * f64::from(step), from, to);
            }
        }
    }
    let middle = ((a.y + b.y) / 2.0 / STUB).round() * STUB;
    for reach in [1.0, 2.0, 3.0] {
        let (leave, arrive) = (a.x + out * STUB * reach, b.x - into * STUB * reach);
        for base in [middle, a.y.min(b.y), a.y.max(b.y)] {
            for step in 0..=LANES {
                for side in [-1.0, 1.0] {
                    let y = base + side * 2.0 * STUB * f64::from(step);
                    let (p, q) = (Point::new(leave, a.y), Point::new(leave, y));
                    let points = vec![a, p, q, Point::new(arrive, y), Point::new(arrive, b.y), b];
                    best.offer(field, points, 0.5 * f64::from(step) + 2.0 * reach, from, to);
                }
            }
        }
    }
    tidy(best.points)
}

/// Right, up or down, right.
fn one_channel(field: &Field<'_>, a: Point, b: Point, from: PartId, to: PartId, best: &mut Best) {
    let (low, high) = (a.x + STUB, b.x - STUB);
    for step in 0..=CHANNELS {
        // Near the end first: feeds gather before what they feed; then near the start.
        for x in [high - STUB * f64::from(step), low + STUB * f64::from(step)] {
            if x < low - 1e-6 || x > high + 1e-6 {
                continue;
            }
            let points = vec![a, Point::new(x, a.y), Point::new(x, b.y), b];
            best.offer(field, points, 0.3 * f64::from(step), from, to);
        }
    }
}

/// Right, to a lane, along it, to the height of the end, right.
fn around(field: &Field<'_>, a: Point, b: Point, from: PartId, to: PartId, best: &mut Best) {
    let middle = ((a.y + b.y) / 2.0 / STUB).round() * STUB;
    let forward = b.x - a.x >= 4.0 * STUB;
    let bases = if forward { vec![a.y, b.y] } else { vec![middle, a.y.min(b.y), a.y.max(b.y)] };
    for reach in [1.0, 2.0, 3.0] {
        let (out, back) = (a.x + STUB * reach, b.x - STUB * reach);
        for base in &bases {
            for step in 0..=LANES {
                for side in [-1.0, 1.0] {
                    let y = base + side * 2.0 * STUB * f64::from(step);
                    let points = vec![
                        a,
                        Point::new(out, a.y),
                        Point::new(out, y),
                        Point::new(back, y),
                        Point::new(back, b.y),
                        b,
                    ];
                    best.offer(field, points, 0.5 * f64::from(step) + 2.0 * reach, from, to);
                }
            }
        }
    }
}

/// Without corners that are none and stretches without length.
fn tidy(points: Vec<Point>) -> Vec<Point> {
    let mut out: Vec<Point> = Vec::with_capacity(points.len());
    for p in points {
        if out.last().is_some_and(|q| q.distance(p) < 1e-6) {
            continue;
        }
        if let [.., o, q] = out.as_slice() {
            let level = (o.y - q.y).abs() < 1e-6 && (q.y - p.y).abs() < 1e-6 && (q.x - o.x) * (p.x - q.x) > 0.0;
            let upright = (o.x - q.x).abs() < 1e-6 && (q.x - p.x).abs() < 1e-6 && (q.y - o.y) * (p.y - q.y) > 0.0;
            if level || upright {
                out.pop();
            }
        }
        out.push(p);
    }
    if let [only] = out.as_slice() {
        let only = *only;
        out.push(only);
    }
    out
}

#[cfg(test)]
mod tests {
    use super::tidy;
    use crate::installation::Point;

    #[test]
    fn needless_corners_go() {
        let p = |x: f64, y: f64| Point::new(x, y);
        let tidied = tidy(vec![p(0.0, 0.0), p(5.0, 0.0), p(5.0, 0.0), p(9.0, 0.0), p(9.0, 4.0), p(12.0, 4.0)]);
        assert_eq!(tidied, vec![p(0.0, 0.0), p(9.0, 0.0), p(9.0, 4.0), p(12.0, 4.0)]);
    }
}
