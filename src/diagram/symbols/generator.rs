//! Generator: a circle with G, and a wave under it for alternating current.

use super::Look;
use crate::diagram::pen::{Pen, weight};
use crate::diagram::scene::{Align, Ink, Weight};

pub(super) fn draw(pen: &mut Pen, look: &Look<'_>) {
    pen.circle(look.foot.at, 5.0, Some(look.pen(weight::MEDIUM)), Some(Ink::Paper));
    pen.text(look.at(0.0, 0.6), "G", 3.2, Align::Centre, Weight::Bold, look.ink);
    pen.wave(look.at(0.0, 2.5), 3.0, look.pen(weight::THIN));
}
