//! Edges of spaces on paper: each is moved by a little where that keeps it off words and symbols. What is inside stays
//! inside, and what is outside outside.

use super::super::index::Index;
use crate::installation::{Point, Rect, SpaceId};
use std::collections::BTreeMap;

/// An edge is moved by no more than this, in millimetres of the drawing.
const MOST: f64 = 16.0;
/// Steps in which it is moved.
const STEP: f64 = 0.5;
/// Edges keep this distance from words.
const AIR: f64 = 0.8;
/// Edges of two spaces keep this distance.
const APART: f64 = 1.5;
/// Half of the room that an edge takes.
pub const HALF: f64 = 0.5;
/// A shorter piece of an edge is not drawn.
const SHORTEST: f64 = 0.6;
/// What crossing a symbol counts against crossing a word.
const SYMBOL: usize = 2;

/// What edges keep off.
#[derive(Debug, Default)]
pub struct Obstacles {
    /// Words.
    pub words: Index<()>,
    /// Symbols.
    pub bodies: Index<()>,
    /// Centres of symbols.
    pub centres: Vec<Point>,
}

/// The four edges of a rectangle, each as a rectangle of twice `half`.
#[must_use]
pub fn sides(rect: Rect, half: f64) -> [Rect; 4] {
    let (a, c) = (rect.min, rect.max);
    let (b, d) = (Point::new(c.x, a.y), Point::new(a.x, c.y));
    [(a, d), (b, c), (a, b), (d, c)].map(|(from, to)| Rect::between(from, to).grown(half))
}

/// What of an edge is left beside gaps, from end to end. The edge is a rectangle without height or without width.
#[must_use]
pub fn left_over(edge: Rect, gaps: Vec<Rect>) -> Vec<(Point, Point)> {
    let level = edge.width() >= edge.height();
    let along = |p: Point| if level { p.x } else { p.y };
    let at = |v: f64| if level { Point::new(v, edge.min.y) } else { Point::new(edge.min.x, v) };
    let mut gaps: Vec<(f64, f64)> = gaps.into_iter().map(|r| (along(r.min), along(r.max))).collect();
    gaps.sort_by(|a, b| a.0.total_cmp(&b.0));
    let (mut from, end) = (along(edge.min), along(edge.max));
    let mut out = Vec::new();
    for (start, stop) in gaps.into_iter().chain([(end, end)]) {
        if start - from > SHORTEST {
            out.push((at(from), at(start)));
        }
        from = from.max(stop);
    }
    out
}

/// Rectangles of spaces with their edges moved; the same spaces always give the same rectangles.
#[must_use]
pub fn moved(spaces: &BTreeMap<SpaceId, Rect>, obstacles: &Obstacles) -> BTreeMap<SpaceId, Rect> {
    let mut out = spaces.clone();
    // Twice, as an edge may be in the way of the next one.
    for _ in 0..2 {
        for id in spaces.keys() {
            for side in 0..4 {
                let Some((before, now)) = spaces.get(id).copied().zip(out.get(id).copied()) else { continue };
                let others: Vec<Rect> = out.iter().filter(|(other, _)| *other != id).map(|(_, r)| *r).collect();
                let best = best(before, now, side, &others, obstacles);
                out.insert(*id, best);
            }
        }
    }
    out
}

/// How much one side of a rectangle touches.
fn crossed(rect: Rect, side: usize, obstacles: &Obstacles) -> usize {
    let Some(edge) = sides(rect, AIR).get(side).copied() else { return 0 };
    let count = |index: &Index<()>| {
        let mut n = 0;
        index.visit(edge, |r, ()| {
            n += usize::from(r.overlaps(edge));
            true
        });
        n
    };
    count(&obstacles.words) + SYMBOL * count(&obstacles.bodies)
}

/// The same rectangle with one side so far outwards.
fn with_side(rect: Rect, side: usize, by: f64) -> Rect {
    let mut out = rect;
    match side {
        0 => out.min.x -= by,
        1 => out.max.x += by,
        2 => out.min.y -= by,
        _ => out.max.y += by,
    }
    out
}

/// Where a side stands: across for the left and right ones, down for the others.
fn side_at(rect: Rect, side: usize) -> f64 {
    match side {
        0 => rect.min.x,
        1 => rect.max.x,
        2 => rect.min.y,
        _ => rect.max.y,
    }
}

/// The nearest place of a side where it touches least. `before` is the rectangle as it was drawn.
fn best(before: Rect, now: Rect, side: usize, others: &[Rect], obstacles: &Obstacles) -> Rect {
    let least = crossed(now, side, obstacles);
    if least == 0 {
        return now;
    }
    let mut best = (least, now);
    let mut by = STEP;
    while by <= MOST {
        for by in [by, -by] {
            let moved = with_side(now, side, by);
            let within = (side_at(moved, side) - side_at(before, side)).abs() <= MOST;
            let real = moved.width() > 2.0 * APART && moved.height() > 2.0 * APART;
            if !within || !real || !keeps(now, moved, others, obstacles) {
                continue;
            }
            let n = crossed(moved, side, obstacles);
            if n < best.0 {
                best = (n, moved);
            }
        }
        if best.0 == 0 {
            break;
        }
        by += STEP;
    }
    best.1
}

/// True where a rectangle holds the same symbols after the move, and lies to others as it did.
fn keeps(now: Rect, moved: Rect, others: &[Rect], obstacles: &Obstacles) -> bool {
    let same = obstacles.centres.iter().all(|c| now.contains(*c) == moved.contains(*c));
    let inside = |outer: Rect, inner: Rect| outer.contains(inner.min) && outer.contains(inner.max);
    same && others.iter().all(|other| {
        if inside(*other, now) {
            inside(other.grown(-APART), moved) || *other == now
        } else if inside(now, *other) {
            inside(moved.grown(-APART), *other)
        } else if now.overlaps(*other) {
            true
        } else {
            !moved.grown(APART).overlaps(*other) || moved.area() < now.area()
        }
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn rect(x0: f64, y0: f64, x1: f64, y1: f64) -> Rect {
        Rect::between(Point::new(x0, y0), Point::new(x1, y1))
    }

    fn space(rects: &[Rect]) -> BTreeMap<SpaceId, Rect> {
        rects.iter().zip(1..).map(|(r, n)| (SpaceId::new(n), *r)).collect()
    }

    #[test]
    fn an_edge_moves_off_a_word_and_keeps_what_is_inside() {
        let mut obstacles =
            Obstacles { centres: vec![Point::new(50.0, 50.0), Point::new(115.0, 50.0)], ..Obstacles::default() };
        obstacles.words.add(rect(95.0, 40.0, 104.0, 43.0), ());
        let spaces = space(&[rect(0.0, 0.0, 100.0, 100.0)]);
        let moved = moved(&spaces, &obstacles);
        let now = moved[&SpaceId::new(1)];
        assert!(now.max.x > 104.0 && now.max.x < 106.0, "{now:?}");
        assert_eq!((now.min, now.max.y), (Point::new(0.0, 0.0), 100.0));
        assert!(sides(now, 0.0).iter().all(|s| !obstacles.words.is_taken(*s)));
    }

    #[test]
    fn each_edge_moves_however_far_the_others_did() {
        let mut obstacles = Obstacles { centres: vec![Point::new(50.0, 50.0)], ..Obstacles::default() };
        // One word lies over the right edge, another over the lower one.
        obstacles.words.add(rect(95.0, 40.0, 104.0, 43.0), ());
        obstacles.words.add(rect(40.0, 97.0, 60.0, 106.0), ());
        let now = moved(&space(&[rect(0.0, 0.0, 100.0, 100.0)]), &obstacles)[&SpaceId::new(1)];
        assert!(now.max.x > 104.0 || now.max.x < 95.0, "{now:?}");
        assert!(now.max.y > 106.0 || now.max.y < 97.0, "{now:?}");
    }

    #[test]
    fn an_edge_is_broken_where_words_stand() {
        let edge = rect(0.0, 10.0, 100.0, 10.0);
        let gaps = vec![rect(60.0, 8.0, 80.0, 12.0), rect(-5.0, 8.0, 20.0, 12.0), rect(70.0, 8.0, 90.0, 12.0)];
        let p = |x: f64| Point::new(x, 10.0);
        assert_eq!(left_over(edge, gaps), [(p(20.0), p(60.0)), (p(90.0), p(100.0))]);
        assert_eq!(left_over(edge, Vec::new()), [(p(0.0), p(100.0))]);
    }

    #[test]
    fn an_edge_stays_where_it_would_take_a_symbol_in_or_touch_another_space() {
        let mut obstacles =
            Obstacles { centres: vec![Point::new(103.0, 50.0), Point::new(97.0, 20.0)], ..Obstacles::default() };
        obstacles.words.add(rect(96.0, 40.0, 104.0, 43.0), ());
        let drawn = rect(0.0, 0.0, 100.0, 100.0);
        assert_eq!(moved(&space(&[drawn]), &obstacles)[&SpaceId::new(1)], drawn);
        obstacles.centres.clear();
        let beside = rect(105.0, 0.0, 150.0, 100.0);
        let now = moved(&space(&[drawn, beside]), &obstacles)[&SpaceId::new(1)];
        assert!(now.max.x < 96.0, "{now:?}");
    }
}
