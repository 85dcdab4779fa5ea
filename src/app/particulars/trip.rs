//! The time–current plot of a breaker: what it must hold, what must trip it, and where its loads, starts and faults lie.

use crate::app::state::State;
use crate::app::theme::{self, Tokens};
use crate::app::widgets;
use crate::installation::PartId;
use crate::survey::{PLOT_S, TripCurve, Verdict};
use crate::units::{amps, trimmed};
use egui::accesskit::Role;
use egui::{Align2, Painter, Pos2, Rect, RichText, Sense, Shape, Stroke, Ui, WidgetInfo, pos2, vec2};

/// Height of the plot in points.
const HEIGHT: f32 = 196.0;

/// Both axes, logarithmic: amperes and seconds to points of the screen.
struct Axes {
    rect: Rect,
    amps: (f64, f64),
}

impl Axes {
    fn at(&self, amps: f64, seconds: f64) -> Pos2 {
        let share = |v: f64, (least, most): (f64, f64)| {
            let v = v.clamp(least, most);
            ((v / least).ln() / (most / least).ln()) as f32
        };
        pos2(
            self.rect.left() + share(amps, self.amps) * self.rect.width(),
            self.rect.bottom() - share(seconds, PLOT_S) * self.rect.height(),
        )
    }

    fn area(&self, amps: (f64, f64), seconds: (f64, f64)) -> Rect {
        Rect::from_two_pos(self.at(amps.0, seconds.0), self.at(amps.1, seconds.1))
    }

    fn shows(&self, amps: f64) -> bool {
        amps.is_finite() && amps >= self.amps.0 && amps <= self.amps.1
    }
}

/// The section of a breaker; nothing for another part.
pub fn section(ui: &mut Ui, state: &mut State, id: PartId) {
    let tag = state.installation().tag(id).to_owned();
    let title = widgets::faint(ui, "Trip behaviour").strong();
    egui::CollapsingHeader::new(title).id_salt("trip behaviour").show_unindented(ui, |ui| {
        match state.trip_curve(id).as_ref() {
            Ok(curve) => {
                plot(ui, &tag, curve);
                words(ui, state, curve);
            }
            Err(why) => {
                ui.label(widgets::faint(ui, format!("No curve: {why}.")));
            }
        }
    });
}

fn plot(ui: &mut Ui, tag: &str, curve: &TripCurve) {
    let t = theme::tokens(ui);
    let (whole, response) = ui.allocate_exact_size(vec2(ui.available_width(), HEIGHT), Sense::hover());
    let name = format!("{tag} time–current plot, {}, {}", curve.band.class.name(), amps(curve.band.rating_a));
    response.widget_info(|| WidgetInfo::labeled(Role::Image, true, &name));
    ui.ctx().accesskit_node_builder(response.id, |node| node.set_description(description(curve)));
    if !ui.is_rect_visible(whole) {
        return;
    }
    let rect = Rect::from_min_max(whole.min + vec2(44.0, 8.0), whole.max - vec2(10.0, 30.0));
    let most = curve.must_trip.iter().map(|p| p.0).fold(10.0 * curve.band.rating_a, f64::max);
    let axes = Axes { rect, amps: (0.5 * curve.band.rating_a, most) };
    let painter = ui.painter();
    painter.rect_filled(rect, 0.0, t.card);
    grid(painter, &axes, t);
    band(painter, &axes, curve, t);
    marks(painter, &axes, curve, t);
    painter.rect_stroke(rect, 0.0, Stroke::new(1.0, t.strong_edge), egui::StrokeKind::Middle);
}

fn grid(painter: &Painter, axes: &Axes, t: &Tokens) {
    let small = || theme::regular(theme::SMALL);
    let rect = axes.rect;
    let line = Stroke::new(1.0, t.edge);
    let seconds = [
        (0.01, "10 ms"),
        (0.1, "0.1 s"),
        (1.0, "1 s"),
        (10.0, "10 s"),
        (60.0, "1 min"),
        (600.0, "10 min"),
        (3600.0, "1 h"),
    ];
    for (value, text) in seconds {
        let y = axes.at(axes.amps.0, value).y;
        painter.hline(rect.x_range(), y, line);
        painter.text(pos2(rect.left() - 4.0, y), Align2::RIGHT_CENTER, text, small(), t.faint);
    }
    let mut right = f32::NEG_INFINITY;
    let mut decade = 10f64.powf(axes.amps.0.log10().floor());
    while decade < axes.amps.1 {
        for step in [1.0, 2.0, 5.0] {
            let value = decade * step;
            if !axes.shows(value) {
                continue;
            }
            let x = axes.at(value, PLOT_S.0).x;
            painter.vline(x, rect.y_range(), line);
            let galley = painter.layout_no_wrap(trimmed(value, 1), small(), t.faint);
            let left = x - galley.size().x / 2.0;
            if left > right + 4.0 && left + galley.size().x <= rect.right() + 8.0 {
                right = left + galley.size().x;
                painter.galley(pos2(left, rect.bottom() + 3.0), galley, t.faint);
            }
        }
        decade *= 10.0;
    }
    painter.text(rect.center_bottom() + vec2(0.0, 16.0), Align2::CENTER_TOP, "amperes", small(), t.faint);
}

/// Strokes over a part of the plot; they run on from one part to the next.
fn hatch(painter: &Painter, plot: Rect, part: Rect, rising: bool, stroke: Stroke) {
    let clipped = painter.with_clip_rect(part.intersect(painter.clip_rect()));
    let height = plot.height();
    let mut x = plot.left() - height;
    while x < plot.right() + height {
        let (low, high) = if rising { (x, x + height) } else { (x + height, x) };
        clipped.line_segment([pos2(low, plot.bottom()), pos2(high, plot.top())], stroke);
        x += 7.0;
    }
}

fn band(painter: &Painter, axes: &Axes, curve: &TripCurve, t: &Tokens) {
    let rect = axes.rect;
    let soft = |colour: egui::Color32| Stroke::new(1.0, colour.gamma_multiply(0.45));
    for pair in curve.must_hold.windows(2) {
        if let [(a, long), (b, short)] = *pair
            && a == b
        {
            hatch(painter, rect, axes.area((axes.amps.0, a), (short, long)), true, soft(t.fed));
        }
    }
    for pair in curve.must_trip.windows(2) {
        if let [(a, at), (b, same)] = *pair
            && at == same
        {
            hatch(painter, rect, axes.area((a, b), (at, PLOT_S.1)), false, soft(t.over));
        }
    }
    let edge = |corners: &[(f64, f64)], colour| {
        let points: Vec<Pos2> = corners.iter().map(|&(a, s)| axes.at(a, s)).collect();
        painter.add(Shape::line(points, Stroke::new(2.0, colour)));
    };
    edge(&curve.must_hold, t.fed);
    edge(&curve.must_trip, t.over);
    let word = |at: Pos2, align: Align2, text: &str, colour| {
        let galley = painter.layout_no_wrap(text.to_owned(), theme::bold(theme::SMALL), colour);
        let place = align.anchor_size(at, galley.size());
        painter.rect_filled(place.expand2(vec2(3.0, 1.0)), 2.0, t.card);
        painter.galley(place.min, galley, colour);
    };
    word(rect.left_bottom() + vec2(6.0, -5.0), Align2::LEFT_BOTTOM, "must hold", t.fed);
    word(rect.right_top() + vec2(-6.0, 5.0), Align2::RIGHT_TOP, "must trip", t.over);
}

fn marks(painter: &Painter, axes: &Axes, curve: &TripCurve, t: &Tokens) {
    let rect = axes.rect;
    if let Some(carried) = curve.carries_a.filter(|a| axes.shows(*a)) {
        let x = axes.at(carried, PLOT_S.0).x;
        painter.vline(x, rect.y_range(), Stroke::new(2.0, t.ink));
        painter.add(Shape::convex_polygon(
            vec![pos2(x - 4.0, rect.top()), pos2(x + 4.0, rect.top()), pos2(x, rect.top() + 6.0)],
            t.ink,
            Stroke::NONE,
        ));
    }
    if let Some(fault) = curve.fault.as_ref().filter(|f| axes.shows(f.short.amps)) {
        let x = axes.at(fault.short.amps, PLOT_S.0).x;
        let points = [pos2(x, rect.top()), pos2(x, rect.bottom())];
        painter.extend(Shape::dashed_line(&points, Stroke::new(2.0, t.danger), 5.0, 4.0));
    }
    if let Some(start) = curve.start.as_ref().filter(|s| axes.shows(s.amps)) {
        let at = axes.at(start.amps, start.seconds);
        painter.circle(at, 5.0, t.card, Stroke::new(2.0, t.ink));
        painter.circle_filled(at, 2.0, t.ink);
    }
}

fn verdict(ui: &Ui, verdict: Verdict) -> egui::Color32 {
    let t = theme::tokens(ui);
    match verdict {
        Verdict::Holds => t.ink,
        Verdict::MayTrip => t.close,
        Verdict::Trips => t.over,
    }
}

/// The signs of the plot in words, each with its figure.
fn words(ui: &mut Ui, state: &State, curve: &TripCurve) {
    let t = theme::tokens(ui);
    let doc = state.installation();
    let row = |ui: &mut Ui, sign: &dyn Fn(&Painter, Pos2), text: String, colour| {
        ui.horizontal_top(|ui| {
            ui.spacing_mut().item_spacing.x = 6.0;
            let (rect, _) = ui.allocate_exact_size(vec2(16.0, 16.0), Sense::hover());
            sign(ui.painter(), rect.center());
            ui.add(egui::Label::new(RichText::new(text).font(theme::regular(theme::DATA)).color(colour)).wrap());
        });
    };
    ui.spacing_mut().item_spacing.y = 3.0;
    if let Some(carried) = curve.carries_a {
        let bar = |p: &Painter, c: Pos2| {
            p.line_segment([c - vec2(0.0, 7.0), c + vec2(0.0, 7.0)], Stroke::new(2.0, t.ink));
        };
        row(ui, &bar, format!("carries {} now", amps(carried)), t.ink);
    }
    if let Some(start) = &curve.start {
        let ring = |p: &Painter, c: Pos2| {
            p.circle(c, 5.0, t.card, Stroke::new(2.0, t.ink));
            p.circle_filled(c, 2.0, t.ink);
        };
        let of = doc.tag(start.appliance);
        let text = format!(
            "start of {of}: {} for {} s, {}",
            amps(start.amps),
            trimmed(start.seconds, 2),
            start.verdict.words()
        );
        row(ui, &ring, text, verdict(ui, start.verdict));
    }
    if let Some(fault) = &curve.fault {
        let dashes = |p: &Painter, c: Pos2| {
            let ends = [c - vec2(0.0, 7.0), c + vec2(0.0, 7.0)];
            p.extend(Shape::dashed_line(&ends, Stroke::new(2.0, t.danger), 4.0, 3.0));
        };
        let within = match fault.within_s {
            Some(s) => format!("trips within {} s", trimmed(s, 1)),
            None => "no standard says that it trips".to_owned(),
        };
        let at = doc.tag(fault.short.at);
        row(ui, &dashes, format!("short circuit at {at}: {} at most, {within}", amps(fault.short.amps)), t.ink);
    }
    for note in &curve.notes {
        ui.label(widgets::small(ui, note));
    }
}

/// The plot for who cannot see it.
fn description(curve: &TripCurve) -> String {
    let list = |corners: &[(f64, f64)]| {
        let of = |&(a, s): &(f64, f64)| format!("{} at {} s", amps(a), trimmed(s, 2));
        corners.iter().map(of).collect::<Vec<_>>().join(", ")
    };
    format!("must hold up to {}; must trip from {}", list(&curve.must_hold), list(&curve.must_trip))
}
