//! The day as a timeline: conditions as rows, hours as bars to drag, and the same hours to type.

use super::field::Drafts;
use crate::app::state::State;
use crate::app::{theme, widgets};
use crate::installation::{Edit, Installation, Span, plan};
use crate::loads::endurance::Day;
use crate::loads::endurance::words::number;
use crate::units::trimmed;
use egui::{Align2, CursorIcon, Rect, Sense, Stroke, StrokeKind, Ui, WidgetInfo, pos2, vec2};

/// Bars snap to quarters of an hour.
const SNAP_H: f64 = 0.25;
/// Points within which an edge of a bar is taken hold of.
const EDGE: f32 = 7.0;
/// Points for the names of the conditions.
const NAMES: f32 = 96.0;

/// What of a bar is held.
#[derive(Clone, Copy, PartialEq)]
enum Hold {
    Start,
    End,
    Whole,
}

/// A bar that is being dragged.
pub struct Drag {
    condition: usize,
    /// The other bars of the row, and the one that is held as it was.
    others: Vec<Span>,
    bar: Span,
    hold: Hold,
    /// Hour of the day at which it was taken hold of.
    at: f64,
}

fn snapped(hour: f64) -> f64 {
    ((hour / SNAP_H).round() * SNAP_H).clamp(0.0, 24.0)
}

impl Drag {
    /// The bar with the pointer at an hour.
    fn moved(&self, hour: f64) -> Option<Span> {
        let by = hour - self.at;
        let Span { from, to } = self.bar;
        match self.hold {
            Hold::Start => Span::new(snapped(from + by).min(to - SNAP_H), to),
            Hold::End => Span::new(from, snapped(to + by).max(from + SNAP_H)),
            Hold::Whole => {
                let start = snapped(from + by).min(24.0 - (to - from));
                Span::new(start, start + (to - from))
            }
        }
    }
}

/// Shows the rows. A drag is one step, worked out each time from what was there before it, so that a bar that passes over
/// another leaves it as it was.
pub fn timeline(ui: &mut Ui, state: &mut State, drafts: &mut Drafts, drag: &mut Option<Drag>) {
    let doc = state.installation().clone();
    scale(ui);
    for (i, condition) in doc.conditions.iter().enumerate() {
        ui.horizontal(|ui| {
            ui.allocate_ui(vec2(NAMES, 22.0), |ui| {
                ui.set_width(NAMES);
                ui.add(egui::Label::new(&condition.name).truncate());
            });
            row(ui, state, i, &condition.name, &condition.hours, drag);
        });
        ui.horizontal(|ui| {
            ui.add_space(NAMES + ui.spacing().item_spacing.x);
            let name = format!("Hours of {}", condition.name);
            let now = plan::spans_text(&condition.hours);
            if let Some(typed) = drafts.text(ui, &name, &now, "7-9, 18:30-22", 240.0) {
                match plan::parse_spans(&typed) {
                    Some(hours) => {
                        state.edit(&Edit::SetHours { condition: i, hours }, None);
                    }
                    None => drafts.refuse(&name, &typed, Span::HINT),
                }
            }
            let hours = widgets::faint(ui, format!("{} h", trimmed(plan::hours(&condition.hours), 2)));
            ui.label(hours);
        });
    }
}

/// Where an hour of the day lies on a track.
fn track(rect: Rect) -> impl Fn(f64) -> f32 {
    move |hour: f64| rect.left() + rect.width() * (hour / 24.0) as f32
}

fn scale(ui: &mut Ui) {
    let t = theme::tokens(ui);
    let (rect, _) = ui.allocate_exact_size(vec2(ui.available_width(), 14.0), Sense::hover());
    let left = NAMES + ui.spacing().item_spacing.x;
    let track_rect = Rect::from_min_max(rect.min + vec2(left, 0.0), rect.max);
    let x = track(track_rect);
    for hour in (0..=24).step_by(3) {
        let align = match hour {
            0 => Align2::LEFT_CENTER,
            24 => Align2::RIGHT_CENTER,
            _ => Align2::CENTER_CENTER,
        };
        let at = pos2(x(f64::from(hour)), rect.center().y);
        ui.painter().text(at, align, format!("{hour}"), theme::regular(theme::SMALL), t.faint);
    }
}

fn row(ui: &mut Ui, state: &mut State, condition: usize, name: &str, hours: &[Span], drag: &mut Option<Drag>) {
    let t = theme::tokens(ui);
    let size = vec2(ui.available_width(), 22.0);
    let (rect, response) = ui.allocate_exact_size(size, Sense::click_and_drag());
    let x = track(rect);
    let said = if hours.is_empty() { "no hours".to_owned() } else { plan::spans_text(hours) };
    response.widget_info(|| WidgetInfo::labeled(egui::Role::Group, true, format!("Timeline of {name}: {said}")));
    let painter = ui.painter_at(rect);
    painter.rect_filled(rect, 3.0, t.track);
    for hour in (0..24).step_by(3) {
        let at = x(f64::from(hour));
        painter.line_segment([pos2(at, rect.top()), pos2(at, rect.bottom())], Stroke::new(1.0, t.edge));
    }
    for span in hours {
        let bar = Rect::from_x_y_ranges(x(span.from)..=x(span.to), rect.top() + 2.0..=rect.bottom() - 2.0);
        painter.rect_filled(bar, 3.0, t.fed);
        painter.rect_stroke(bar, 3.0, Stroke::new(1.0, t.ink), StrokeKind::Inside);
        if bar.width() > 34.0 {
            let text = format!("{} h", trimmed(span.hours(), 2));
            painter.text(bar.center(), Align2::CENTER_CENTER, text, theme::bold(theme::SMALL), t.on_fed);
        }
    }
    widgets::focus_ring(ui, &response, 3.0);
    let hour_at = |px: f32| f64::from((px - rect.left()) / rect.width()) * 24.0;
    let key = format!("hours {condition}");
    if response.drag_started()
        && let Some(at) = ui.input(|i| i.pointer.press_origin())
    {
        *drag = Some(begin(condition, hours, hour_at(at.x), |hour| x(hour) - at.x));
        state.history.seal();
    }
    if let Some(held) = drag.as_ref().filter(|d| d.condition == condition) {
        if let Some(at) = response.interact_pointer_pos()
            && response.dragged()
            && let Some(bar) = held.moved(hour_at(at.x))
        {
            let mut next = held.others.clone();
            next.push(bar);
            state.history.abandon(&key);
            state.edit(&Edit::SetHours { condition, hours: next }, Some(&key));
        }
        if response.drag_stopped() {
            state.history.seal();
            *drag = None;
        }
    }
    if let Some(at) = response.hover_pos() {
        let near = hours.iter().any(|s| (x(s.from) - at.x).abs() < EDGE || (x(s.to) - at.x).abs() < EDGE);
        ui.ctx().set_cursor_icon(if near { CursorIcon::ResizeHorizontal } else { CursorIcon::Grab });
    }
    response.on_hover_text("Drag a bar or its end; drag on empty track for a new one.");
}

/// What the press at an hour takes hold of: the end of a bar, a bar, or a new one.
fn begin(condition: usize, hours: &[Span], at: f64, points_to: impl Fn(f64) -> f32) -> Drag {
    let near = |hour: f64| points_to(hour).abs() < EDGE;
    let hit = hours.iter().position(|s| near(s.from) || near(s.to) || (s.from..s.to).contains(&at));
    let others = hours.iter().enumerate().filter(|(i, _)| Some(*i) != hit).map(|(_, s)| *s).collect();
    let bar = hit.and_then(|i| hours.get(i)).copied();
    let (bar, hold) = match bar {
        Some(bar) if near(bar.to) => (bar, Hold::End),
        Some(bar) if near(bar.from) => (bar, Hold::Start),
        Some(bar) => (bar, Hold::Whole),
        None => {
            let from = snapped(at).min(24.0 - SNAP_H);
            (Span { from, to: from + SNAP_H }, Hold::End)
        }
    };
    Drag { condition, others, bar, hold, at }
}

/// What the day comes to, in sentences.
pub fn sentences(doc: &Installation, day: &Day) -> Vec<String> {
    let name = |i: usize| doc.conditions.get(i).map_or("", |c| c.name.as_str());
    if let Some((a, b, span)) = day.clash {
        let both = plan::spans_text(&[span]);
        return vec![format!("“{}” and “{}” both claim {both}: nothing is counted.", name(a), name(b))];
    }
    let mut out: Vec<String> = day.generators.iter().map(|(id, fuel)| fuel.sentence(doc.tag(*id))).collect();
    for (id, kwh) in &day.battery_kwh {
        out.push(format!("{}: {} a day from its battery.", doc.tag(*id), number(*kwh, 2, "kWh")));
    }
    if day.free_hours > 1e-9 {
        let free = trimmed(day.free_hours, 2);
        out.push(format!("No condition has the remaining {free} h of the day: nothing is counted for them."));
    }
    out
}
