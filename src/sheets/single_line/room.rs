//! What of a sheet is taken, in squares of two millimetres, so that blocks and marks find a free place at once.

use crate::installation::{Point, Rect};

/// Side of a square in millimetres.
const SIDE: f64 = 2.0;

/// Taken squares of a rectangle.
#[derive(Clone, Debug)]
pub struct Room {
    body: Rect,
    columns: usize,
    rows: usize,
    taken: Vec<bool>,
}

impl Room {
    /// A rectangle of which nothing is taken.
    #[must_use]
    pub fn new(body: Rect) -> Self {
        let columns = (body.width() / SIDE).floor().max(0.0) as usize;
        let rows = (body.height() / SIDE).floor().max(0.0) as usize;
        Self { body, columns, rows, taken: vec![false; columns * rows] }
    }

    /// The rectangle.
    #[must_use]
    pub const fn body(&self) -> Rect {
        self.body
    }

    fn span(&self, rect: Rect) -> (usize, usize, usize, usize) {
        let index = |v: f64, n: usize| (v / SIDE).clamp(0.0, n as f64) as usize;
        let (x, y) = (self.body.min.x, self.body.min.y);
        let (x0, y0) = (index(rect.min.x - x, self.columns), index(rect.min.y - y, self.rows));
        let x1 = index(((rect.max.x - x) / SIDE).ceil() * SIDE, self.columns);
        let y1 = index(((rect.max.y - y) / SIDE).ceil() * SIDE, self.rows);
        (x0, y0, x1, y1)
    }

    /// Takes what a rectangle touches.
    pub fn take(&mut self, rect: Rect) {
        let (x0, y0, x1, y1) = self.span(rect);
        for y in y0..y1.max(y0 + 1).min(self.rows) {
            for x in x0..x1.max(x0 + 1).min(self.columns) {
                if let Some(square) = self.taken.get_mut(y * self.columns + x) {
                    *square = true;
                }
            }
        }
    }

    /// True where a rectangle lies inside and touches nothing that is taken.
    #[must_use]
    pub fn is_free(&self, rect: Rect) -> bool {
        let inside = self.body.contains(rect.min) && self.body.contains(rect.max);
        let (x0, y0, x1, y1) = self.span(rect);
        let row = |y: usize| self.taken.get(y * self.columns + x0..y * self.columns + x1).unwrap_or_default();
        inside && (y0..y1).all(|y| row(y).iter().all(|t| !t))
    }

    /// The lowest free place of this size, the leftmost of these; takes it.
    pub fn lowest(&mut self, width: f64, height: f64) -> Option<Rect> {
        let (w, h) = ((width / SIDE).ceil() as usize, (height / SIDE).ceil() as usize);
        if w > self.columns || h > self.rows {
            return None;
        }
        // How many free squares each square has at its right, itself included.
        let mut free_right = vec![0_usize; self.taken.len()];
        for (i, taken) in self.taken.iter().enumerate().rev() {
            let next = if (i + 1) % self.columns == 0 { 0 } else { free_right.get(i + 1).copied().unwrap_or(0) };
            if let Some(n) = free_right.get_mut(i) {
                *n = if *taken { 0 } else { next + 1 };
            }
        }
        for top in (0..=self.rows - h).rev() {
            for left in 0..=self.columns - w {
                let at = |y: usize| free_right.get(y * self.columns + left).copied().unwrap_or(0);
                if (top..top + h).all(|y| at(y) >= w) {
                    let min = self.body.min.moved(left as f64 * SIDE, top as f64 * SIDE);
                    let found = Rect::between(min, min.moved(width, height));
                    self.take(found.grown(2.0));
                    return Some(found);
                }
            }
        }
        None
    }

    /// The free centre nearest to a point for a square of half side `half`; takes it.
    pub fn nearest(&mut self, near: Point, half: f64) -> Option<Point> {
        for ring in 0..200_i32 {
            let mut best: Option<(f64, Point)> = None;
            let far = f64::from(ring);
            for k in -ring..=ring {
                let along = f64::from(k);
                for (dx, dy) in [(along, -far), (along, far), (-far, along), (far, along)] {
                    let at = near.moved(dx, dy);
                    let away = dx.hypot(dy);
                    if best.is_none_or(|b| away < b.0) && self.is_free(Rect::around(at, 2.0 * half, 2.0 * half)) {
                        best = Some((away, at));
                    }
                }
            }
            if let Some((_, at)) = best {
                self.take(Rect::around(at, 2.0 * half, 2.0 * half));
                return Some(at);
            }
        }
        None
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_found_is_free_and_then_taken() {
        let mut room = Room::new(Rect::between(Point::new(10.0, 10.0), Point::new(110.0, 60.0)));
        room.take(Rect::between(Point::new(10.0, 30.0), Point::new(60.0, 60.0)));
        let found = room.lowest(40.0, 20.0).unwrap();
        assert!(found.min.x >= 60.0 && found.max.y <= 60.0, "{found:?}");
        assert!(!room.is_free(found));
        assert_eq!(room.lowest(101.0, 5.0), None);
        assert!(room.nearest(Point::new(30.0, 40.0), 3.0).is_some_and(|p| p.y < 30.0));
    }
}
