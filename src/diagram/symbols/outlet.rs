//! Outlet: a half round, open away from the feeder that meets it in the middle. Leakage protection is written under it.

use super::Look;
use crate::diagram::font::text_width;
use crate::diagram::pen::{Pen, weight};
use crate::diagram::scene::{Align, Ink, Stroke, Weight};
use crate::installation::Rect;
use crate::units::trimmed;

/// The base line of the words under an outlet, below its centre: they keep off the half round.
pub const fn base(capital: f64) -> f64 {
    (3.8 + capital).max(5.6)
}

pub(super) fn draw(pen: &mut Pen, look: &Look<'_>) {
    let ink = if look.over { Ink::Over } else { look.ink };
    if look.over {
        pen.hatch(Rect::around(look.at(0.0, 0.0), 8.0, 6.4), 1.3, Stroke::solid(weight::THIN, Ink::Over));
    }
    pen.line(look.at(-5.0, 0.0), look.at(-2.0, 0.0), Stroke::solid(weight::MEDIUM, ink));
    pen.arc(look.at(1.0, 0.0), 3.0, 90.0, 180.0, Stroke::solid(weight::HEAVY, ink));
    if look.feeds {
        pen.line(look.at(0.6, 0.0), look.at(5.0, 0.0), Stroke::solid(weight::MEDIUM, ink));
    }
    if let Some(ma) = look.part.protection.trip_ma() {
        let text = format!("{} mA", trimmed(ma, 0));
        // Never into what is plugged in at the right.
        let x = 1.0_f64.min(4.6 - text_width(&text, look.letter_size, Weight::Regular) / 2.0);
        pen.text(
            look.at(x, base(look.letter_size)),
            text,
            look.letter_size,
            Align::Centre,
            Weight::Regular,
            Ink::Faint,
        );
    }
}
