//! The small symbols of the locker, in strokes after IEC 60617.

use crate::app::theme::{self, Tokens};
use crate::installation::PartKind;
use egui::{Align2, Color32, Painter, Pos2, Rect, Shape, Stroke, StrokeKind, Vec2, pos2, vec2};

/// What is drawn beside an entry.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Glyph {
    /// The symbol of a kind.
    Kind(PartKind),
    /// A breaker that trips on leakage.
    LeakageBreaker,
    /// An outlet that trips on leakage.
    ProtectedOutlet,
    /// An inverter that charges.
    InverterCharger,
    /// A heater.
    Heater,
    /// A motor.
    Motor,
    /// Any other appliance.
    Box,
    /// A lamp.
    Lamp,
    /// A space.
    Space,
}

/// A quarter or half circle as a line of points, angles in turns, growing clockwise.
fn arc(centre: Pos2, radius: f32, from: f32, to: f32) -> Vec<Pos2> {
    (0..=12)
        .map(|i| centre + radius * Vec2::angled(std::f32::consts::TAU * (from + (to - from) * i as f32 / 12.0)))
        .collect()
}

/// Paints a glyph around a centre, at most 24 points wide and 16 high.
pub fn paint(painter: &Painter, centre: Pos2, glyph: Glyph, t: &Tokens) {
    let pen = Stroke::new(1.4, t.ink);
    let at = |x: f32, y: f32| centre + vec2(x, y);
    let line = |a: Pos2, b: Pos2| painter.line_segment([a, b], pen);
    let frame = |w: f32, h: f32| {
        let rect = Rect::from_center_size(centre, vec2(w, h));
        painter.rect(rect, 1.5, t.card, pen, StrokeKind::Middle);
        rect
    };
    let letter = |at: Pos2, text: &str, size: f32| {
        painter.text(at, Align2::CENTER_CENTER, text, theme::bold(size), t.ink);
    };
    let wave = |centre: Pos2, width: f32| {
        let points = (0..=12)
            .map(|i| {
                let x = i as f32 / 12.0;
                centre + vec2((x - 0.5) * width, -(x * std::f32::consts::TAU).sin() * width * 0.22)
            })
            .collect();
        painter.add(Shape::line(points, Stroke::new(1.2, t.ink)));
    };
    match glyph {
        Glyph::Kind(PartKind::ShoreInlet) => {
            painter.rect_filled(Rect::from_center_size(at(-5.0, 0.0), vec2(7.0, 11.0)), 0.0, t.ink);
            painter.add(Shape::line(arc(at(5.0, 0.0), 5.5, 0.29, 0.71), pen));
            line(at(-1.5, 0.0), at(0.0, 0.0));
        }
        Glyph::Kind(PartKind::Generator) => {
            painter.circle(centre, 8.5, t.card, pen);
            letter(at(0.0, -1.5), "G", 10.0);
            wave(at(0.0, 4.6), 6.0);
        }
        Glyph::Kind(PartKind::Inverter) | Glyph::InverterCharger => {
            let rect = frame(20.0, 15.0);
            line(rect.left_bottom(), rect.right_top());
            line(at(-8.0, -4.0), at(-3.0, -4.0));
            wave(at(5.0, 4.0), 6.0);
            if glyph == Glyph::InverterCharger {
                line(at(-8.0, -1.8), at(-3.0, -1.8));
                line(at(10.0, -5.0), at(12.0, -5.0));
            }
        }
        Glyph::Kind(PartKind::Selector) => {
            painter.circle_stroke(at(-7.0, -5.0), 2.0, pen);
            painter.circle_stroke(at(-7.0, 5.0), 2.0, pen);
            painter.circle_filled(at(6.0, 0.0), 2.2, t.ink);
            line(at(6.0, 0.0), at(-5.3, 4.2));
            line(at(8.0, 0.0), at(11.0, 0.0));
        }
        Glyph::Kind(PartKind::Panel) => {
            painter.rect_filled(Rect::from_center_size(at(-4.0, 0.0), vec2(4.0, 16.0)), 0.5, t.ink);
            for y in [-5.0, 0.0, 5.0] {
                line(at(-2.0, y), at(8.0, y));
            }
        }
        Glyph::Kind(PartKind::Junction) => {
            line(at(-10.0, 0.0), at(10.0, 0.0));
            line(at(0.0, 0.0), at(0.0, 7.0));
            painter.circle_filled(centre, 2.6, t.ink);
        }
        Glyph::Kind(PartKind::IsolationTransformer) => {
            painter.circle_stroke(at(-3.4, 0.0), 5.6, pen);
            painter.circle_stroke(at(3.4, 0.0), 5.6, pen);
            line(at(-11.5, 0.0), at(-9.0, 0.0));
            line(at(9.0, 0.0), at(11.5, 0.0));
        }
        Glyph::Kind(PartKind::Breaker) | Glyph::LeakageBreaker => {
            line(at(-11.0, 2.0), at(-5.0, 2.0));
            line(at(-5.0, 2.0), at(5.0, -3.5));
            line(at(5.0, 2.0), at(11.0, 2.0));
            line(at(3.2, 0.2), at(6.8, 3.8));
            line(at(6.8, 0.2), at(3.2, 3.8));
            if glyph == Glyph::LeakageBreaker {
                painter.add(Shape::closed_line(
                    arc(at(-8.0, 2.0), 3.6, 0.0, 1.0)
                        .into_iter()
                        .map(|p| pos2(p.x * 0.5 + centre.x * 0.5 - 4.0, p.y))
                        .collect(),
                    Stroke::new(1.2, t.ink),
                ));
            }
        }
        Glyph::Kind(PartKind::GalvanicIsolator) => {
            line(at(-11.0, 0.0), at(11.0, 0.0));
            for (x, turn) in [(-4.0, 1.0), (4.0, -1.0)] {
                let points = vec![at(x - 3.5 * turn, -4.5), at(x - 3.5 * turn, 4.5), at(x + 3.0 * turn, 0.0)];
                painter.add(Shape::convex_polygon(points, t.card, pen));
                line(at(x + 3.0 * turn, -4.5), at(x + 3.0 * turn, 4.5));
            }
        }
        Glyph::Kind(PartKind::PolarityIndicator) | Glyph::Lamp => {
            painter.circle(centre, 7.0, t.card, pen);
            line(at(-4.9, -4.9), at(4.9, 4.9));
            line(at(-4.9, 4.9), at(4.9, -4.9));
        }
        Glyph::Kind(PartKind::Outlet) | Glyph::ProtectedOutlet => {
            line(at(-11.0, 0.0), at(-2.0, 0.0));
            painter.add(Shape::line(arc(at(4.5, 0.0), 6.5, 0.25, 0.75), pen));
            if glyph == Glyph::ProtectedOutlet {
                letter(at(7.0, 0.5), "P", 8.5);
            }
        }
        Glyph::Heater => {
            let rect = frame(20.0, 13.0);
            for i in 1..5 {
                let x = rect.left() + rect.width() * i as f32 / 5.0;
                line(pos2(x, rect.top()), pos2(x, rect.bottom()));
            }
        }
        Glyph::Motor => {
            painter.circle(centre, 8.5, t.card, pen);
            letter(at(0.0, 0.0), "M", 10.0);
        }
        Glyph::Kind(PartKind::Appliance) | Glyph::Box => {
            frame(20.0, 13.0);
        }
        Glyph::Space => {
            let rect = Rect::from_center_size(centre, vec2(21.0, 14.0));
            painter.rect_filled(rect, 1.0, t.spaces[1]);
            let corners = [rect.left_top(), rect.right_top(), rect.right_bottom(), rect.left_bottom(), rect.left_top()];
            painter.extend(Shape::dashed_line(&corners, Stroke::new(1.2, t.strong_edge), 3.0, 2.0));
        }
    }
}

/// A small arrow that points down (open) or right (folded).
pub fn fold(painter: &Painter, centre: Pos2, open: bool, colour: Color32) {
    let points = if open {
        vec![centre + vec2(-4.0, -2.0), centre + vec2(4.0, -2.0), centre + vec2(0.0, 3.0)]
    } else {
        vec![centre + vec2(-2.0, -4.0), centre + vec2(3.0, 0.0), centre + vec2(-2.0, 4.0)]
    };
    painter.add(Shape::convex_polygon(points, colour, Stroke::NONE));
}
