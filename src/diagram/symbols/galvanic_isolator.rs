//! Galvanic isolator: two diodes back to back in a frame; it sits in the earth conductor, so the live ones pass by.

use super::Look;
use crate::diagram::pen::{Pen, weight};
use crate::diagram::scene::Ink;
use crate::installation::Rect;

pub(super) fn draw(pen: &mut Pen, look: &Look<'_>) {
    let medium = look.pen(weight::MEDIUM);
    pen.rounded(Rect::around(look.foot.at, 7.0, 6.0), 0.4, Some(medium), Some(Ink::Paper));
    pen.line(look.at(-5.0, 0.0), look.at(-3.5, 0.0), medium);
    pen.line(look.at(3.5, 0.0), look.at(5.0, 0.0), medium);
    for (y, side) in [(-1.4, 1.0), (1.4, -1.0)] {
        let thin = look.pen(weight::THIN);
        pen.line(look.at(-2.6, y), look.at(2.6, y), thin);
        pen.filled(vec![look.at(-side, y - 0.9), look.at(-side, y + 0.9), look.at(side * 0.8, y)], None, look.ink);
        pen.line(look.at(side * 0.9, y - 0.9), look.at(side * 0.9, y + 0.9), thin);
    }
    for x in [-2.6, 2.6] {
        pen.line(look.at(x, -1.4), look.at(x, 1.4), look.pen(weight::THIN));
    }
}
