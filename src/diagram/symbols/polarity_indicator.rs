//! Polarity indicator: a lamp between neutral and earth.

use super::Look;
use crate::diagram::pen::{Pen, weight};
use crate::diagram::scene::Ink;

pub(super) fn draw(pen: &mut Pen, look: &Look<'_>) {
    let medium = look.pen(weight::MEDIUM);
    pen.line(look.at(-5.0, 0.0), look.at(-2.5, 0.0), medium);
    pen.circle(look.foot.at, 2.5, Some(medium), Some(Ink::Paper));
    let d = 2.5 * std::f64::consts::FRAC_1_SQRT_2;
    for dy in [-d, d] {
        pen.line(look.at(-d, dy), look.at(d, -dy), look.pen(weight::THIN));
    }
}
