//! What converts: inverter and inverter-charger (a square cut by a diagonal), isolation transformer (two circles).

use super::Look;
use crate::diagram::pen::{Pen, weight};
use crate::diagram::scene::{Ink, Stroke};
use crate::installation::{Point, Rect};

/// Straight over dashed: direct current.
fn direct(pen: &mut Pen, centre: Point, look: &Look<'_>) {
    let thin = look.pen(weight::THIN);
    pen.line(centre.moved(-1.6, -0.5), centre.moved(1.6, -0.5), thin);
    for x in [-1.6, -0.4, 0.8] {
        pen.line(centre.moved(x, 0.5), centre.moved(x + 0.8, 0.5), thin);
    }
}

pub(super) fn inverter(pen: &mut Pen, look: &Look<'_>) {
    let medium = look.pen(weight::MEDIUM);
    pen.rounded(Rect::around(look.foot.at, 10.0, 10.0), 0.3, Some(medium), Some(Ink::Paper));
    pen.line(look.at(-5.0, 5.0), look.at(5.0, -5.0), look.pen(weight::THIN));
    direct(pen, look.at(-2.4, -2.8), look);
    pen.wave(look.at(2.4, 2.8), 3.0, look.pen(weight::THIN));
    if look.charger {
        // An arrow head at both ends of a stroke across the diagonal: it charges and it inverts.
        let thin = look.pen(weight::THIN);
        pen.line(look.at(-1.4, -1.4), look.at(1.4, 1.4), thin);
        pen.filled(vec![look.at(-1.9, -1.9), look.at(-0.5, -1.3), look.at(-1.3, -0.5)], None, look.ink);
        pen.filled(vec![look.at(1.9, 1.9), look.at(0.5, 1.3), look.at(1.3, 0.5)], None, look.ink);
    }
}

pub(super) fn transformer(pen: &mut Pen, look: &Look<'_>) {
    let medium = look.pen(weight::MEDIUM);
    let half = 4.0 - 4.0 / 3.0;
    for side in [-1.0, 1.0] {
        pen.circle(look.at(side * half, 0.0), 4.0, None, Some(Ink::Paper));
    }
    for side in [-1.0, 1.0] {
        pen.circle(look.at(side * half, 0.0), 4.0, Some(medium), None);
        pen.line(look.at(side * (half + 4.0), 0.0), look.at(side * 10.0, 0.0), medium);
    }
    // The screen between the windings, to earth.
    let screen = Stroke { dash: &[0.8, 0.6], ..look.pen(weight::THIN) };
    pen.line(look.at(0.0, -4.6), look.at(0.0, 5.0), screen);
    for (i, half) in [1.5, 1.0, 0.5].into_iter().enumerate() {
        let y = 5.0 + 0.6 * i as f64;
        pen.line(look.at(-half, y), look.at(half, y), look.pen(weight::THIN));
    }
}
