//! Source selector: one blade that leans to the chosen inlet; a fixed contact for each cable, and one that is free.

use super::Look;
use crate::diagram::geometry::{SELECTOR_CONTACT, selector_inlet_y};
use crate::diagram::pen::{Pen, weight};
use crate::diagram::scene::{Ink, Stroke};

/// Radius of a contact.
const CONTACT: f64 = 0.75;

pub(super) fn draw(pen: &mut Pen, look: &Look<'_>) {
    let cables = look.foot.feeds.len();
    let pivot = look.at(5.0, 0.0);
    match look.chosen.filter(|i| *i < cables.max(1)) {
        Some(index) => {
            let contact = look.at(-5.0, selector_inlet_y(index, cables));
            let length = contact.distance(pivot).max(1.0);
            let share = (length - CONTACT) / length;
            let tip = pivot.moved((contact.x - pivot.x) * share, (contact.y - pivot.y) * share);
            pen.line(pivot, tip, look.pen(weight::HEAVY));
        }
        None => {
            // Off: the blade ends before a short bar between the contacts.
            let tip = look.at(-2.5, -2.5);
            pen.line(pivot, tip, look.pen(weight::HEAVY));
            pen.line(tip.moved(-0.4, -1.2), tip.moved(-0.4, 1.2), look.pen(weight::MEDIUM));
        }
    }
    for index in 0..=cables {
        let ink = if index == cables { Ink::Faint } else { look.ink };
        let pen_width = if index == cables { weight::FINE } else { weight::MEDIUM };
        let contact = look.at(-5.0, selector_inlet_y(index, cables));
        pen.circle(contact, CONTACT, Some(Stroke::solid(pen_width, ink)), Some(Ink::Paper));
    }
    pen.circle(pivot, SELECTOR_CONTACT, None, Some(look.ink));
}
