//! Marks of findings: octagon, triangle, diamond, circle. The shape says it, the colour only helps.

use crate::diagram::pen::{Pen, size};
use crate::diagram::scene::{Align, Ink, Weight};
use crate::installation::Point;
use crate::units::Severity;

/// Half the height and width of a mark, in millimetres.
pub const MARK_HALF: f64 = 2.4;

/// Draws the mark of a severity around a centre.
pub fn mark(pen: &mut Pen, severity: Severity, centre: Point) {
    let r = MARK_HALF;
    let (points, ink, letter, drop): (Vec<(f64, f64)>, Ink, &str, f64) = match severity {
        Severity::Danger => {
            let k = r * (std::f64::consts::PI / 8.0).tan();
            let corners = vec![(-k, -r), (k, -r), (r, -k), (r, k), (k, r), (-k, r), (-r, k), (-r, -k)];
            (corners, Ink::Danger, "!", 0.95)
        }
        Severity::Warning => (vec![(0.0, -r), (r * 1.08, r * 0.8), (-r * 1.08, r * 0.8)], Ink::Over, "!", 1.35),
        Severity::Caution => (vec![(0.0, -r), (r, 0.0), (0.0, r), (-r, 0.0)], Ink::Close, "!", 0.95),
        Severity::Notice => {
            pen.circle(centre, r * 0.92, None, Some(Ink::Note));
            (Vec::new(), Ink::Note, "i", 0.95)
        }
    };
    if !points.is_empty() {
        pen.filled(points.into_iter().map(|(x, y)| centre.moved(x, y)).collect(), None, ink);
    }
    pen.text(centre.moved(0.0, drop), letter, size::DATA, Align::Centre, Weight::Bold, Ink::Paper);
}
