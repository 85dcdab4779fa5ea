//! Junction: a filled dot where conductors join.

use super::Look;
use crate::diagram::pen::{Pen, weight};

pub(super) fn draw(pen: &mut Pen, look: &Look<'_>) {
    pen.line(look.at(-5.0, 0.0), look.at(5.0, 0.0), look.pen(weight::MEDIUM));
    pen.circle(look.foot.at, 1.0, None, Some(look.ink));
}
