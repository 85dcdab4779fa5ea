//! Breaker: a blade, a small x on the fixed contact (it can make and break fault current), slanted strokes for more than
//! one pole, and beneath it the bar of its load.

use super::Look;
use crate::diagram::pen::{Pen, weight};
use crate::diagram::scene::{Ink, Stroke};
use crate::installation::{Point, Protection, Rect};

/// Where the load bar lies against the centre.
const BAR: Rect = Rect { min: Point::new(-5.0, 2.5), max: Point::new(5.0, 3.8) };

pub(super) fn draw(pen: &mut Pen, look: &Look<'_>) {
    let stroke = if look.over { Stroke::solid(weight::MEDIUM, Ink::Over) } else { look.pen(weight::MEDIUM) };
    if look.over {
        let zone = Rect::between(look.at(-5.5, -2.9), look.at(5.0, 1.6));
        pen.hatch(zone, 1.3, Stroke::solid(weight::THIN, Ink::Over));
    }
    let contact = look.at(2.0, 0.0);
    pen.line(look.at(-5.0, 0.0), look.at(-2.0, 0.0), stroke);
    pen.line(contact, look.at(5.0, 0.0), stroke);
    let tip = if look.on { look.at(2.0, -0.5) } else { look.at(1.5, -2.3) };
    let hinge = look.at(-2.0, 0.0);
    pen.line(hinge, tip, Stroke::solid(weight::HEAVY, stroke.ink));
    for dy in [-1.0, 1.0] {
        pen.line(contact.moved(-1.0, -dy), contact.moved(1.0, dy), stroke);
    }
    let poles = look.part.poles.filter(|n| *n > 1).unwrap_or(0).min(4);
    for pole in 0..poles {
        let x = -4.4 + 0.8 * f64::from(pole);
        pen.line(look.at(x - 0.4, 1.0), look.at(x + 0.4, -1.0), look.pen(weight::FINE));
    }
    if look.part.protection != Protection::None {
        // The ring that all live conductors pass.
        let ring = Stroke::solid(weight::FINE, stroke.ink);
        pen.arc(look.at(4.0, 0.0), 0.9, 0.0, 360.0, ring);
    }
    bar(pen, look);
}

fn bar(pen: &mut Pen, look: &Look<'_>) {
    let track = BAR.moved(look.foot.at.x, look.foot.at.y);
    pen.rounded(track, 0.6, Some(Stroke::solid(weight::FINE, Ink::Track)), Some(Ink::Paper));
    let Some(load) = look.load.filter(|l| l.is_finite() && *l > 0.0) else { return };
    let mut filled = track;
    filled.max.x = track.min.x + track.width() * load.min(1.0);
    if look.over {
        pen.rounded(track, 0.6, Some(Stroke::solid(weight::FINE, Ink::Over)), None);
        pen.hatch(track, 0.9, Stroke::solid(weight::MEDIUM, Ink::Over));
    } else {
        let ink = if look.close { Ink::Close } else { look.live };
        pen.rounded(filled, (filled.width() / 2.0).min(0.6), None, Some(ink));
    }
}
