//! Appliance: a box with its name; heating strokes, a motor's circle or nothing by the kind of load; its switch beside it.

use super::Look;
use crate::diagram::pen::{Pen, weight};
use crate::diagram::scene::{Align, Ink, Layer, Stroke, Target, Weight};
use crate::installation::{LoadKind, Rect};

pub(super) fn draw(pen: &mut Pen, look: &Look<'_>) {
    let ink = if look.on { look.ink } else { Ink::NotFed };
    let edge = if look.over { Ink::Over } else { ink };
    let outline = Stroke::solid(weight::MEDIUM, edge);
    pen.rounded(look.foot.outline, 0.7, Some(outline), Some(Ink::Paper));
    if look.over {
        let strip = Rect::between(look.at(11.0, -3.4), look.at(14.6, 3.4));
        pen.hatch(strip, 1.3, Stroke::solid(weight::THIN, Ink::Over));
    }
    let left = name_left(look);
    match look.part.load_kind {
        LoadKind::Impedance => {
            for i in 0..4 {
                let x = -17.6 + 1.35 * f64::from(i);
                pen.line(look.at(x, -2.2), look.at(x, 2.2), Stroke::solid(weight::THIN, ink));
            }
        }
        LoadKind::Motor => {
            let centre = look.at(-15.6, 0.0);
            pen.circle(centre, 2.5, Some(Stroke::solid(weight::THIN, ink)), None);
            pen.text(
                centre.moved(0.0, 0.45 * look.letter_size),
                "M",
                look.letter_size,
                Align::Centre,
                Weight::Bold,
                ink,
            );
        }
        LoadKind::Power => {}
    }
    let (n, capital) = (look.name.len() as f64, look.name_size);
    let pitch = 1.55 * capital;
    // The lines lie evenly about the middle of the box.
    let mut y = 0.37 * capital - (n - 1.0) * pitch / 2.0 + if n > 1.0 { 0.1 * capital } else { 0.0 };
    for line in &look.name {
        pen.text(look.at(left, y), line.as_str(), capital, Align::Left, Weight::Regular, ink);
        y += pitch;
    }
    switch(pen, look);
}

/// Where the name starts, against the centre.
fn name_left(look: &Look<'_>) -> f64 {
    if look.part.load_kind == LoadKind::Power { -17.5 } else { -11.0 }
}

/// Room of the name in its box, in millimetres.
#[must_use]
pub fn name_room(look: &Look<'_>) -> f64 {
    let right = if look.over { 10.5 } else { 14.2 };
    right - name_left(look)
}

fn switch(pen: &mut Pen, look: &Look<'_>) {
    let Some(rect) = look.foot.switch() else { return };
    pen.on(Layer::Symbol, Some(Target::Switch(look.id)));
    let radius = rect.height() / 2.0;
    let (knob, edge, ground) = if look.on {
        (rect.max.x - radius, None, if look.live == Ink::Fed { Ink::Fed } else { look.ink })
    } else {
        (rect.min.x + radius, Some(Stroke::solid(weight::FINE, Ink::NotFed)), Ink::Track)
    };
    pen.rounded(rect, radius, edge, Some(ground));
    let centre = crate::installation::Point::new(knob, rect.centre().y);
    pen.circle(centre, radius - 0.5, edge, Some(Ink::Paper));
    pen.on(Layer::Symbol, Some(Target::Part(look.id)));
}
