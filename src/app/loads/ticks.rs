//! What runs together, by ticking: what must run, and how every other appliance stands to it; the order in which all of it
//! starts with the least peak, as words and as a curve over time.

use crate::app::door;
use crate::app::state::State;
use crate::app::{theme, widgets};
use crate::installation::{Installation, PartId};
use crate::loads::sequence::Sequence;
use crate::loads::together::{Desk, Standing, reason};
use crate::units::{above, watts};
use egui::accesskit::Role;
use egui::{Align2, Pos2, Rect, RichText, Sense, Stroke, Ui, WidgetInfo, pos2, vec2};
use std::collections::BTreeSet;
use std::sync::Arc;

/// What was worked out for one choice.
#[derive(Debug)]
struct Known {
    doc: Arc<Installation>,
    condition: usize,
    ticked: BTreeSet<PartId>,
    desk: Desk,
    sequences: Vec<(PartId, Sequence)>,
}

/// What the ticks remember between frames.
#[derive(Debug, Default)]
pub struct Ticks {
    ticked: BTreeSet<PartId>,
    known: Option<Known>,
}

impl Ticks {
    fn refresh(&mut self, state: &State) -> Option<&Known> {
        let doc = state.installation();
        self.ticked.retain(|id| doc.parts.contains_key(id));
        let fits = |k: &Known| Arc::ptr_eq(&k.doc, doc) && k.condition == state.condition && k.ticked == self.ticked;
        if !self.known.as_ref().is_some_and(fits) {
            let work = || {
                let desk = Desk::new(doc, state.condition, &self.ticked);
                let roots = state.computed.solution.walk.roots.iter();
                let sequences =
                    roots.map(|&s| (s, Sequence::new(doc, state.condition, s, &self.ticked))).collect::<Vec<_>>();
                (desk, sequences)
            };
            let (desk, sequences) = door::behind("what runs together", work).ok()?;
            let (doc, condition, ticked) = (Arc::clone(doc), state.condition, self.ticked.clone());
            self.known = Some(Known { doc, condition, ticked, desk, sequences });
        }
        self.known.as_ref()
    }

    /// Shows ticks, reasons, order and curve.
    pub fn show(&mut self, ui: &mut Ui, state: &mut State) {
        let doc = state.installation().clone();
        let condition = doc.conditions.get(state.condition).map_or("", |c| c.name.as_str()).to_owned();
        let feeding: Vec<&str> = state.computed.solution.walk.roots.iter().map(|id| doc.tag(*id)).collect();
        widgets::head(ui, "What runs together");
        let on =
            if feeding.is_empty() { "no source feeds".to_owned() } else { format!("on {}", feeding.join(" and ")) };
        let text = widgets::faint(
            ui,
            format!("{condition}, {on}. Tick what must run; each other appliance says whether it can."),
        );
        ui.label(text);
        if self.refresh(state).is_none() {
            ui.label("An error inside the program stopped this; the drawing and the rest go on.");
            return;
        }
        let Some(known) = self.known.take() else { return };
        if known.desk.refused {
            ui.label("The drawing has a loop or sources in parallel: nothing can be said. The survey names the parts.");
        }
        if !known.desk.always.is_empty() {
            let always: Vec<&str> = known.desk.always.iter().map(|id| title(&doc, *id)).collect();
            let text = widgets::faint(ui, format!("Always running: {}.", always.join(", ")));
            ui.label(text);
        }
        for stop in known.desk.stops.iter().take(1) {
            let t = theme::tokens(ui);
            let text = format!("What is ticked cannot run together: {}.", reason(&doc, stop));
            ui.label(RichText::new(text).font(theme::bold(theme::DATA)).color(t.over));
        }
        if known.desk.rows.is_empty() && !known.desk.refused {
            let text = widgets::faint(ui, "No appliance that could be switched.");
            ui.label(text);
        }
        // In the order of the table beside it.
        let mut rows: Vec<_> = known.desk.rows.iter().collect();
        let places = super::table::rows(&doc);
        rows.sort_by_key(|r| places.iter().position(|id| *id == r.part));
        ui.scope(|ui| {
            ui.spacing_mut().interact_size.y = 20.0;
            ui.spacing_mut().item_spacing.y = 3.0;
            for row in rows {
                self.row(ui, &doc, row.part, &row.standing);
            }
        });
        for n in &known.desk.not_checked {
            let tags: Vec<&str> = n.parts.iter().map(|id| doc.tag(*id)).collect();
            let text =
                widgets::small(ui, format!("Not checked ({}): {}: {}.", n.check.slug(), tags.join(", "), n.because));
            ui.label(text);
        }
        if known.desk.by_watts_only {
            let text = widgets::small(ui, "Starts are judged by watts only where starting volt-amperes are not known.");
            ui.label(text);
        }
        for (source, sequence) in &known.sequences {
            order(ui, &doc, *source, sequence);
        }
        self.known = Some(known);
    }

    fn row(&mut self, ui: &mut Ui, doc: &Installation, part: PartId, standing: &Standing) {
        let t = theme::tokens(ui);
        let name = doc.parts.get(&part).map_or_else(String::new, |p| p.name());
        let words = standing.words(doc);
        let (sign, colour) = match standing {
            Standing::Running => ("", t.fed),
            Standing::Now => ("✓ ", t.fed),
            Standing::InOrder(_) => ("→ ", t.close),
            Standing::No(_) | Standing::Blocked => ("", t.over),
            Standing::NotKnown(_) => ("? ", t.note),
            Standing::NotFed => ("– ", t.not_fed),
        };
        ui.horizontal_top(|ui| {
            let mut ticked = self.ticked.contains(&part);
            let usable = !matches!(standing, Standing::NotFed) || ticked;
            let response = ui.add_enabled(usable, egui::Checkbox::new(&mut ticked, name.as_str()));
            let label = format!("Must run: {name}");
            response.widget_info(|| WidgetInfo::selected(Role::CheckBox, usable, ticked, &label));
            if response.changed() {
                if ticked {
                    self.ticked.insert(part);
                } else {
                    self.ticked.remove(&part);
                }
            }
            // A long reason hangs beside the name.
            let text = RichText::new(format!("{sign}{words}")).font(theme::regular(theme::DATA)).color(colour);
            let said = ui.vertical(|ui| {
                ui.add_space(2.0);
                ui.add(egui::Label::new(text).wrap())
            });
            let said = said.inner;
            said.widget_info(|| WidgetInfo::labeled(Role::Label, true, format!("{name}: {words}")));
        });
    }
}

fn title(doc: &Installation, id: PartId) -> &str {
    doc.parts.get(&id).map_or("?", |p| p.title())
}

fn order(ui: &mut Ui, doc: &Installation, source: PartId, s: &Sequence) {
    widgets::section(ui, &format!("Starting order on {}", doc.tag(source)));
    if s.steps.is_empty() {
        let text = widgets::faint(ui, "Tick appliances to see the order that needs the least peak.");
        ui.label(text);
        return;
    }
    for text in s.step_lines(doc) {
        ui.label(RichText::new(text).font(theme::regular(theme::DATA)));
    }
    for (text, holds) in s.verdict_lines(doc) {
        let t = theme::tokens(ui);
        let colour = if holds == Some(false) { t.over } else { t.ink };
        ui.label(RichText::new(text).font(theme::regular(theme::DATA)).color(colour));
    }
    chart(ui, doc, s);
}

/// Watts over time, with the starting rating as a line.
fn chart(ui: &mut Ui, doc: &Installation, s: &Sequence) {
    let t = theme::tokens(ui);
    let width = ui.available_width().clamp(200.0, 640.0);
    let (rect, response) = ui.allocate_exact_size(vec2(width, 150.0), Sense::hover());
    let peak = watts(s.peak_w());
    response.widget_info(|| {
        WidgetInfo::labeled(Role::Image, true, format!("Starting sequence over time, largest peak {peak}"))
    });
    let painter = ui.painter().with_clip_rect(rect.intersect(ui.clip_rect()));
    painter.rect_filled(rect, 4.0, t.card);
    let curve = s.curve();
    let last = curve.last().map_or(1.0, |p| p.0).max(1.0);
    let top = s.limit_w.unwrap_or(0.0).max(s.peak_w()).max(1.0) * 1.12;
    let room = Rect::from_min_max(rect.min + vec2(54.0, 10.0), rect.max - vec2(10.0, 22.0));
    let at = |seconds: f64, w: f64| -> Pos2 {
        pos2(room.left() + room.width() * (seconds / last) as f32, room.bottom() - room.height() * (w / top) as f32)
    };
    for share in [0.0, 0.25, 0.5, 0.75, 1.0] {
        let y = at(0.0, share * top).y;
        painter.line_segment([pos2(room.left(), y), pos2(room.right(), y)], Stroke::new(0.5, t.grid));
        let label = watts(share * top);
        painter.text(pos2(room.left() - 4.0, y), Align2::RIGHT_CENTER, label, theme::regular(theme::SMALL), t.faint);
    }
    if let Some(limit) = s.limit_w {
        let y = at(0.0, limit).y;
        painter.add(egui::Shape::dashed_line(
            &[pos2(room.left(), y), pos2(room.right(), y)],
            Stroke::new(1.5, t.over),
            6.0,
            4.0,
        ));
        let at = pos2(room.right(), y - 2.0);
        painter.text(at, Align2::RIGHT_BOTTOM, "starting rating", theme::regular(theme::SMALL), t.over);
    }
    let points: Vec<Pos2> = curve.iter().map(|&(x, w)| at(x, w)).collect();
    painter.add(egui::Shape::line(points, Stroke::new(2.0, t.fed)));
    for (n, step) in s.steps.iter().enumerate() {
        let x = (n as f64 + 0.2) * crate::loads::sequence::STEP_S;
        let over = s.limit_w.is_some_and(|l| above(step.peak_w, l));
        let colour = if over { t.over } else { t.ink };
        painter.circle_filled(at(x, step.peak_w), 3.0, colour);
        let tag = pos2(at(x, 0.0).x, room.bottom() + 4.0);
        painter.text(tag, Align2::LEFT_TOP, doc.tag(step.part), theme::regular(theme::SMALL), t.faint);
    }
}
