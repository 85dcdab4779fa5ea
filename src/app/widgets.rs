//! Small things that several panels draw: section heads, severity signs, hatching, gauges, quiet buttons.

use super::theme::{self, Tokens};
use crate::units::Severity;
use egui::{
    Align2, Color32, Painter, Pos2, Rect, Response, RichText, Sense, Shape, Stroke, StrokeKind, Ui, Vec2, pos2, vec2,
};

/// Below this width in points the window shows one panel at a time, and its bars fold.
const NARROW_PT: f32 = 960.0;

/// True where little width is left, by a small window or by large text.
#[must_use]
pub fn is_narrow(ctx: &egui::Context) -> bool {
    ctx.content_rect().width() < NARROW_PT
}

/// The head of a section: small, bold, spaced capitals.
pub fn section(ui: &mut Ui, text: &str) {
    ui.add_space(8.0);
    let t = theme::tokens(ui);
    ui.label(
        RichText::new(text.to_uppercase()).font(theme::bold(theme::SMALL)).color(t.faint).extra_letter_spacing(0.8),
    );
}

/// The head of a panel.
pub fn head(ui: &mut Ui, text: &str) -> Response {
    ui.label(RichText::new(text).font(theme::bold(theme::HEAD)))
}

/// Bold text of the body's size.
#[must_use]
pub fn strong(text: impl Into<String>) -> RichText {
    RichText::new(text).font(theme::bold(theme::BODY))
}

/// Secondary text.
#[must_use]
pub fn faint(ui: &Ui, text: impl Into<String>) -> RichText {
    RichText::new(text).font(theme::regular(theme::DATA)).color(theme::tokens(ui).faint)
}

/// Small print.
#[must_use]
pub fn small(ui: &Ui, text: impl Into<String>) -> RichText {
    RichText::new(text).font(theme::regular(theme::SMALL)).color(theme::tokens(ui).faint)
}

/// The sign of a severity: octagon, triangle, diamond, circle.
pub fn sign(painter: &Painter, centre: Pos2, radius: f32, severity: Severity, t: &Tokens) {
    let colour = t.severity(severity);
    let ring = |n: usize, turn: f32, r: f32| -> Vec<Pos2> {
        (0..n).map(|i| centre + r * Vec2::angled(std::f32::consts::TAU * (i as f32 + turn) / n as f32)).collect()
    };
    let mut mark = centre;
    match severity {
        Severity::Danger => {
            painter.add(Shape::convex_polygon(ring(8, 0.5, radius), colour, Stroke::NONE));
        }
        Severity::Warning => {
            let r = radius * 1.18;
            let points = ring(3, -0.75, r).into_iter().map(|p| p + vec2(0.0, r * 0.2)).collect();
            painter.add(Shape::convex_polygon(points, colour, Stroke::NONE));
            mark.y += radius * 0.25;
        }
        Severity::Caution => {
            painter.add(Shape::convex_polygon(ring(4, 0.0, radius * 1.12), colour, Stroke::NONE));
        }
        Severity::Notice => {
            painter.circle_filled(centre, radius * 0.94, colour);
        }
    }
    let text = if severity == Severity::Notice { "i" } else { "!" };
    painter.text(
        mark,
        Align2::CENTER_CENTER,
        text,
        theme::bold(radius * if severity == Severity::Danger { 1.35 } else { 1.2 }),
        t.on_sign,
    );
}

/// Slanted strokes over a rectangle: above its own limit.
pub fn hatch(painter: &Painter, rect: Rect, stroke: Stroke, pitch: f32) {
    let painter = painter.with_clip_rect(rect.intersect(painter.clip_rect()));
    let height = rect.height();
    let mut x = rect.left() - height;
    while x < rect.right() {
        painter.line_segment([pos2(x, rect.bottom()), pos2(x + height, rect.top())], stroke);
        x += pitch;
    }
}

/// A bar from nothing to a limit: filled to `share`, ochre when close, hatched when above.
pub fn bar(painter: &Painter, rect: Rect, share: f64, t: &Tokens) {
    painter.rect_filled(rect, 2.0, t.card);
    let colour = level(share, t);
    let width = rect.width() * share.clamp(0.0, 1.0) as f32;
    let filled = Rect::from_min_size(rect.min, vec2(width, rect.height()));
    if crate::units::above(share, 1.0) {
        hatch(painter, rect, Stroke::new(3.0, colour), 7.0);
        painter.rect_stroke(rect, 2.0, Stroke::new(1.0, colour), StrokeKind::Inside);
    } else {
        painter.rect_filled(filled, 2.0, colour);
        painter.rect_stroke(rect, 2.0, Stroke::new(1.0, t.strong_edge), StrokeKind::Inside);
    }
}

/// Blue within, ochre from four fifths, vermilion above.
#[must_use]
pub fn level(share: f64, t: &Tokens) -> Color32 {
    if crate::units::above(share, 1.0) {
        t.over
    } else if share >= 0.8 {
        t.close
    } else {
        t.fed
    }
}

/// A button without a box, as wide as its text: for links in lists.
pub fn link(ui: &mut Ui, text: &str) -> Response {
    let t = theme::tokens(ui);
    let text = RichText::new(text).font(theme::regular(theme::DATA)).color(t.fed).underline();
    bare(ui, text)
}

/// A button without a box.
pub fn bare(ui: &mut Ui, text: RichText) -> Response {
    let response = ui.add(egui::Button::new(text).frame(false).sense(Sense::click()));
    if response.has_focus() {
        let ring = Stroke::new(2.0, theme::tokens(ui).fed);
        ui.painter().rect_stroke(response.rect, 3.0, ring, StrokeKind::Outside);
    }
    response
}

/// The ring around what has the keyboard's focus, for things that are painted by hand.
pub fn focus_ring(ui: &Ui, response: &Response, radius: f32) {
    if response.has_focus() {
        let t = theme::tokens(ui);
        ui.painter().rect_stroke(response.rect, radius, Stroke::new(2.0, t.fed), StrokeKind::Inside);
    }
}

/// Where what has the keyboard's focus stands, and on which layer. Asks without answering for it: a response made anew could
/// let the focus go.
fn focused(ui: &Ui) -> Option<egui::WidgetRect> {
    let id = ui.memory(|m| m.focused())?;
    ui.ctx().viewport(|v| v.this_pass.widgets.get(id).or_else(|| v.prev_pass.widgets.get(id)).copied())
}

/// At the end of what scrolls: what the keyboard's focus has come to is scrolled into sight, once.
pub fn keep_focus_in_sight(ui: &Ui) {
    let key = ui.scope_id().with("focus in sight");
    let inside = |w: &egui::WidgetRect| ui.min_rect().expand(1.0).contains(w.rect.center());
    let Some(here) = focused(ui).filter(|w| w.layer_id == ui.layer_id() && inside(w)) else {
        ui.data_mut(|d| d.remove::<egui::Id>(key));
        return;
    };
    if ui.data(|d| d.get_temp::<egui::Id>(key)) == Some(here.id) {
        return;
    }
    ui.data_mut(|d| d.insert_temp(key, here.id));
    if !ui.clip_rect().contains_rect(here.rect) {
        ui.scroll_to_rect(here.rect.expand(6.0), None);
    }
}

/// The handle of a panel shows that it has the focus. It is the toolkit's own; nothing else is so thin and long.
pub fn show_focused_handle(ui: &Ui) {
    let thin = |w: &egui::WidgetRect| w.rect.size().min_elem() <= 14.0 && w.rect.size().max_elem() >= 120.0;
    let Some(handle) = focused(ui).filter(thin) else { return };
    let layer = egui::LayerId::new(egui::Order::Foreground, egui::Id::unique("focused handle"));
    ui.ctx().layer_painter(layer).rect_filled(handle.rect.shrink2(handle_air(handle.rect)), 1.0, theme::tokens(ui).fed);
}

/// What is left blank beside the line in a handle.
fn handle_air(rect: egui::Rect) -> egui::Vec2 {
    let air = ((rect.size().min_elem() - 3.0) / 2.0).max(0.0);
    if rect.width() < rect.height() { vec2(air, 0.0) } else { vec2(0.0, air) }
}

/// The first letter large.
#[must_use]
pub fn sentence(text: &str) -> String {
    let mut chars = text.chars();
    chars.next().map_or_else(String::new, |c| c.to_uppercase().collect::<String>() + chars.as_str())
}

/// A small arrow that points down, as part of a button.
#[must_use]
pub fn down_arrow() -> egui::Atom<'static> {
    egui::Atom::paint(vec2(9.0, 9.0), |ui, args| {
        let colour = args.fallback_text_color;
        let centre = args.rect.center();
        super::glyphs::fold(ui.painter(), centre, true, colour);
    })
}

fn person_id() -> egui::Id {
    egui::Id::unique("the person at the window")
}

/// The name that was given last in this session, for whoever accepts or issues next.
#[must_use]
pub fn person(ctx: &egui::Context) -> String {
    ctx.data(|data| data.get_temp::<String>(person_id())).unwrap_or_default()
}

/// Remembers a name for the session.
pub fn remember_person(ctx: &egui::Context, name: &str) {
    ctx.data_mut(|data| data.insert_temp(person_id(), name.trim().to_owned()));
}

/// Today by the clock of the machine, in universal time: `2026-05-30`; empty where the clock stands before 1970.
#[must_use]
pub fn today() -> String {
    let since = std::time::SystemTime::now().duration_since(std::time::UNIX_EPOCH);
    let days = since.ok().and_then(|d| u32::try_from(d.as_secs() / 86_400).ok());
    let epoch = crate::units::Date::new(1970, 1, 1);
    let date = days.zip(epoch).and_then(|(days, epoch)| epoch.plus_days(days));
    date.map_or_else(String::new, |date| date.to_string())
}
