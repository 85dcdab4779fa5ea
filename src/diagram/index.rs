//! A grid of buckets over rectangles, to ask quickly what lies in the way.

use crate::installation::Rect;
use std::collections::HashMap;

/// Side of a bucket in millimetres.
const SIDE: f64 = 25.0;
/// A rectangle over more buckets than this is kept in one list that each question reads.
const MANY: i64 = 600;

/// Rectangles with what they stand for.
#[derive(Debug)]
pub struct Index<T> {
    items: Vec<(Rect, T)>,
    buckets: HashMap<(i32, i32), Vec<u32>>,
    large: Vec<u32>,
}

impl<T> Default for Index<T> {
    fn default() -> Self {
        Self { items: Vec::new(), buckets: HashMap::new(), large: Vec::new() }
    }
}

fn span(rect: Rect) -> (i32, i32, i32, i32) {
    let cell = |v: f64| (v / SIDE).floor().clamp(-1e6, 1e6) as i32;
    (cell(rect.min.x), cell(rect.min.y), cell(rect.max.x), cell(rect.max.y))
}

impl<T: Copy> Index<T> {
    /// Adds a rectangle.
    pub fn add(&mut self, rect: Rect, what: T) {
        let number = self.items.len() as u32;
        self.items.push((rect, what));
        let (x0, y0, x1, y1) = span(rect);
        if i64::from(x1 - x0 + 1) * i64::from(y1 - y0 + 1) > MANY {
            self.large.push(number);
            return;
        }
        for x in x0..=x1 {
            for y in y0..=y1 {
                self.buckets.entry((x, y)).or_default().push(number);
            }
        }
    }

    /// Calls `see` for each rectangle that touches `rect`, each once, in no promised order, until `see` gives false.
    pub fn visit(&self, rect: Rect, mut see: impl FnMut(Rect, T) -> bool) {
        let touches =
            |r: Rect| r.min.x <= rect.max.x && rect.min.x <= r.max.x && r.min.y <= rect.max.y && rect.min.y <= r.max.y;
        let (x0, y0, x1, y1) = span(rect);
        if i64::from(x1 - x0 + 1) * i64::from(y1 - y0 + 1) > MANY {
            for (r, what) in &self.items {
                if touches(*r) && !see(*r, *what) {
                    return;
                }
            }
            return;
        }
        for number in &self.large {
            if let Some((r, what)) = self.items.get(*number as usize)
                && touches(*r)
                && !see(*r, *what)
            {
                return;
            }
        }
        for x in x0..=x1 {
            for y in y0..=y1 {
                let Some(bucket) = self.buckets.get(&(x, y)) else { continue };
                for number in bucket {
                    let Some((r, what)) = self.items.get(*number as usize) else { continue };
                    // A rectangle in several buckets is seen in the first that it shares with the question.
                    let (rx, ry, _, _) = span(*r);
                    let first = rx.max(x0) == x && ry.max(y0) == y;
                    if first && touches(*r) && !see(*r, *what) {
                        return;
                    }
                }
            }
        }
    }

    /// True where something overlaps `rect` by more than a touch.
    #[must_use]
    pub fn is_taken(&self, rect: Rect) -> bool {
        let mut taken = false;
        self.visit(rect, |r, _| {
            taken = r.overlaps(rect);
            !taken
        });
        taken
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::installation::Point;

    #[test]
    fn each_rectangle_is_seen_once_and_none_is_missed() {
        let mut index = Index::default();
        let mut all = Vec::new();
        for i in 0..40_u32 {
            let at = Point::new(f64::from(i * 37 % 400) - 200.0, f64::from(i * 91 % 300) - 150.0);
            let rect = Rect::around(at, 5.0 + f64::from(i % 7) * 30.0, 5.0 + f64::from(i % 5) * 20.0);
            all.push(rect);
            index.add(rect, i);
        }
        index.add(Rect::around(Point::default(), 1e6, 1e6), 99);
        let ask = Rect::around(Point::new(10.0, -5.0), 120.0, 60.0);
        let mut seen = Vec::new();
        index.visit(ask, |_, what| {
            seen.push(what);
            true
        });
        seen.sort_unstable();
        let mut expected: Vec<u32> = (0..40).filter(|i| all[*i as usize].overlaps(ask)).collect();
        expected.push(99);
        assert_eq!(seen, expected);
        assert!(index.is_taken(ask));
    }
}
