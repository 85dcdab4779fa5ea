//! Labels: what stands beside each symbol and cable, placed so that nothing covers anything else.
//!
//! Each label has a list of places, best first; the first free one is taken, or the one that overlaps least. Parts come
//! before cables, marks of findings last, all in the order of ids, so that the same drawing is always labelled alike.

mod block;
mod cables;
mod parts;
mod words;

pub use block::{Block, Label, NUMBER, Span};
pub use cables::cable_label;
pub use parts::{part_labels, space_block};
pub use words::Words;

use super::index::Index;
use crate::installation::{Point, Rect};

/// Room above and below a label that other labels keep off.
const AIR: f64 = 0.4;
/// The same at its sides: a word space, and a little more.
const BESIDE: f64 = 1.2;

/// What is taken by symbols, cables and labels.
#[derive(Debug, Default)]
pub struct Taken {
    index: Index<()>,
    /// What words keep off where there is another place.
    shunned: Index<()>,
}

impl Taken {
    /// Takes a rectangle.
    pub fn add(&mut self, rect: Rect) {
        self.index.add(rect, ());
    }

    /// Has words keep off a rectangle where there is another place for them.
    pub fn shun(&mut self, rect: Rect) {
        self.shunned.add(rect, ());
    }

    /// True where words rather keep off.
    #[must_use]
    pub fn is_shunned(&self, rect: Rect) -> bool {
        self.shunned.is_taken(rect)
    }

    fn overlap(&self, rect: Rect) -> f64 {
        let mut area = 0.0;
        self.index.visit(rect, |r, ()| {
            let w = r.max.x.min(rect.max.x) - r.min.x.max(rect.min.x);
            let h = r.max.y.min(rect.max.y) - r.min.y.max(rect.min.y);
            if w > 0.0 && h > 0.0 {
                area += w * h;
            }
            true
        });
        area
    }

    /// True where nothing is taken.
    #[must_use]
    pub fn is_free(&self, rect: Rect) -> bool {
        !self.index.is_taken(rect)
    }

    /// The first place of a label's form no wider than this that is quite free, of these the first that is not shunned;
    /// takes it.
    pub fn place_free<'a>(&mut self, label: &'a Label, widest: f64) -> Option<(&'a Block, Point)> {
        let free = || {
            label.candidates.iter().filter_map(|(number, at)| {
                let block = label.blocks.get(*number).filter(|b| b.width() <= widest)?;
                self.is_free(block.rect(*at)).then_some((block, *at))
            })
        };
        let clear = free().find(|(block, at)| !self.is_shunned(block.rect(*at)));
        let (block, at) = clear.or_else(|| free().next())?;
        // Two labels are not to be read as one text.
        let rect = block.rect(at);
        self.add(Rect { min: rect.min.moved(-BESIDE, -AIR), max: rect.max.moved(BESIDE, AIR) });
        Some((block, at))
    }

    /// The upper left corner of the free place of this size that is nearest to `near`, in rings of 2 mm. There is always
    /// one, as what is taken ends somewhere.
    #[must_use]
    pub fn nearest(&self, near: Point, width: f64, height: f64) -> Point {
        const STEP: f64 = 2.0;
        for ring in 0..2000_i32 {
            let far = f64::from(ring) * STEP;
            let mut best: Option<(f64, Point)> = None;
            let mut see = |dx: f64, dy: f64| {
                let at = near.moved(dx, dy);
                let away = dx.hypot(dy);
                if best.is_none_or(|b| away < b.0) && self.is_free(Rect::between(at, at.moved(width, height))) {
                    best = Some((away, at));
                }
            };
            for k in -ring..=ring {
                let along = f64::from(k) * STEP;
                see(along, -far);
                see(along, far);
                see(-far, along);
                see(far, along);
            }
            if let Some((_, at)) = best {
                return at;
            }
        }
        near
    }

    /// The first free place of a label, or the one that overlaps least; takes it.
    pub fn place<'a>(&mut self, label: &'a Label) -> Option<(&'a Block, Point)> {
        let mut best: Option<(f64, &Block, Point)> = None;
        for (number, at) in &label.candidates {
            let Some(block) = label.blocks.get(*number) else { continue };
            let area = self.overlap(block.rect(*at));
            if best.is_none_or(|b| area < b.0 - 1e-9) {
                best = Some((area, block, *at));
            }
            if area <= 0.0 {
                break;
            }
        }
        let (_, block, at) = best?;
        self.add(block.rect(at));
        Some((block, at))
    }

    /// The first free centre for a square of half side `half`; takes it.
    pub fn place_mark(&mut self, centres: &[Point], half: f64) -> Option<Point> {
        let square = |c: Point| Rect::around(c, 2.0 * half, 2.0 * half);
        let mut best: Option<(f64, Point)> = None;
        for centre in centres {
            let area = self.overlap(square(*centre));
            if best.is_none_or(|b| area < b.0 - 1e-9) {
                best = Some((area, *centre));
            }
            if area <= 0.0 {
                break;
            }
        }
        let (_, centre) = best?;
        self.add(square(centre));
        Some(centre)
    }
}
