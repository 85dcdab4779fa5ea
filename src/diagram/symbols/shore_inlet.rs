//! Shore inlet: a filled plug before the half round of the socket, which the flow leaves to the boat.

use super::Look;
use crate::diagram::pen::{Pen, weight};
use crate::installation::{Point, Rect};

pub(super) fn draw(pen: &mut Pen, look: &Look<'_>) {
    let plug = Rect::between(look.at(-5.0, -3.0), look.at(-2.2, 3.0));
    pen.rounded(plug, 0.0, None, Some(look.ink));
    let centre: Point = look.at(2.0, 0.0);
    pen.arc(centre, 3.0, 90.0, 180.0, look.pen(weight::MEDIUM));
    pen.line(look.at(-1.0, 0.0), look.at(5.0, 0.0), look.pen(weight::MEDIUM));
}
