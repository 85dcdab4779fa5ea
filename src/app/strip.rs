//! The strip at the foot: can the source carry this, and start it? Answered at all times, in words and as gauges.

use super::state::State;
use super::{theme, widgets};
use crate::installation::{Installation, Leg, PartId, PartKind, Selection};
use crate::loads::starting::Peaks;
use crate::network::Rated;
use crate::units::{Severity, above, amps, signed_percent, trimmed, volts, watts};
use egui::{RichText, Sense, Ui, vec2};

/// The lowest fed appliance: its volts and how far they are from nominal, in per cent.
fn lowest(state: &State) -> Option<(PartId, f64, f64)> {
    let doc = state.installation();
    let solution = &state.computed.solution;
    doc.parts
        .iter()
        .filter(|(id, p)| p.kind == PartKind::Appliance && doc.is_on(**id, state.condition))
        .filter_map(|(id, _)| {
            let flow = solution.parts.get(id)?;
            let lines = if matches!(flow.leg, Leg::L1L2 | Leg::L1L2N) { 2.0 } else { 1.0 };
            let nominal = doc.system.nominal_v() * lines;
            flow.volts.map(|v| (*id, v, 100.0 * (v - nominal) / nominal))
        })
        .min_by(|a, b| a.2.total_cmp(&b.2))
}

/// Shows the strip.
pub fn show(ui: &mut Ui, state: &mut State) {
    let doc = state.installation().clone();
    let roots = state.computed.solution.walk.roots.clone();
    let Some(first) = roots.first().copied() else {
        ui.horizontal_centered(|ui| {
            let text = if doc.parts.values().any(|p| p.kind.is_source()) {
                "No source feeds in this condition. Choose one in “Fed from” above; what is not feeding may be live."
            } else {
                "No source yet. Drag a shore inlet, a generator or an inverter from the locker."
            };
            let text = widgets::faint(ui, text);
            ui.label(text);
        });
        return;
    };
    let chosen = state.selection().parts.iter().find_map(|id| state.computed.solution.walk.root_of(*id));
    let root = chosen.filter(|id| roots.contains(id)).unwrap_or(first);
    let wide = ui.available_width();
    ui.horizontal_top(|ui| {
        ui.spacing_mut().item_spacing.x = 18.0;
        ui.spacing_mut().interact_size.y = 18.0;
        column(ui, 150.0, |ui| source(ui, state, root, roots.len()));
        let gauges = ((wide - 150.0 - 170.0 - 90.0) * 0.3).clamp(150.0, 320.0);
        column(ui, gauges, |ui| running(ui, state, root));
        let words = (wide - 150.0 - 2.0 * gauges - 170.0 - 90.0).max(150.0);
        starting(ui, state, root, gauges, words);
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Min), |ui| {
            column(ui, 170.0, |ui| lowest_and_fuel(ui, state, root));
        });
    });
}

fn column(ui: &mut Ui, width: f32, contents: impl FnOnce(&mut Ui)) {
    ui.vertical(|ui| {
        ui.set_width(width);
        ui.spacing_mut().item_spacing.y = 4.0;
        contents(ui);
    });
}

fn source(ui: &mut Ui, state: &State, root: PartId, count: usize) {
    let doc = state.installation();
    let solution = &state.computed.solution;
    let Some(part) = doc.parts.get(&root) else { return };
    ui.add(egui::Label::new(widgets::strong(part.name())).truncate());
    let text = match (solution.parts.get(&root).and_then(|p| p.volts), solution.sources.get(&root).and_then(|s| s.amps))
    {
        (Some(v), Some(a)) => format!("{} · {}", volts(v), amps(a)),
        _ => "no figures: see the survey".to_owned(),
    };
    let text = widgets::faint(ui, text);
    ui.label(text);
    if count > 1 {
        let text = widgets::small(ui, format!("one of {count} that feed; select a part for its own"));
        ui.label(text);
    }
}

fn caption(ui: &mut Ui, name: &str, figure: &str, over: bool) {
    let t = theme::tokens(ui);
    ui.horizontal(|ui| {
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            let colour = if over { t.over } else { t.ink };
            ui.label(RichText::new(figure).font(theme::bold(theme::BODY)).color(colour));
            // The figure goes first; what it is called takes the room that is left.
            ui.with_layout(egui::Layout::left_to_right(egui::Align::Center), |ui| {
                let text = widgets::faint(ui, name);
                ui.add(egui::Label::new(text).truncate());
            });
        });
    });
}

fn gauge(ui: &mut Ui, share: Option<f64>) {
    let t = theme::tokens(ui);
    let (rect, _) = ui.allocate_exact_size(vec2(ui.available_width(), 13.0), Sense::hover());
    if let Some(share) = share {
        widgets::bar(ui.painter(), rect, share, t);
    } else {
        ui.painter().rect_stroke(rect, 2.0, egui::Stroke::new(1.0, t.strong_edge), egui::StrokeKind::Inside);
    }
}

fn running(ui: &mut Ui, state: &State, root: PartId) {
    let doc = state.installation();
    let flow = state.computed.solution.sources.get(&root);
    let of = doc.parts.get(&root).map(|p| Rated::of(p, doc.system, flow)).unwrap_or_default();
    let (unit, share) = (of.unit(), of.share());
    let figure = match (of.now, of.rating, share) {
        (Some(n), Some(m), Some(s)) => format!("{} of {} · {} %", bare(&unit(n)), unit(m), trimmed(100.0 * s, 0)),
        (Some(n), ..) => format!("{}, rating not known", unit(n)),
        _ => "not known".to_owned(),
    };
    caption(ui, "running", &figure, share.is_some_and(|s| above(s, 1.0)));
    gauge(ui, share);
}

/// The figure without its unit.
fn bare(figure: &str) -> &str {
    figure.rsplit_once(' ').map_or(figure, |(number, _)| number)
}

/// The peak that counts, what the gauge is called, and the answer in words.
struct Verdict {
    caption: String,
    figure: Option<f64>,
    words: Vec<String>,
}

fn verdict(doc: &Installation, peaks: &Peaks, limit: Option<f64>) -> Verdict {
    let (figure, caption) = match (peaks.worst_restart_w, peaks.worst_restart) {
        (Some(w), Some(part)) => (Some(w), format!("worst restart, {}", doc.tag(part))),
        _ => (peaks.best_order_w, "peak, best order".to_owned()),
    };
    let mut words = Vec::new();
    let tags =
        |list: &mut dyn Iterator<Item = PartId>| list.map(|id| doc.tag(id).to_owned()).collect::<Vec<_>>().join(", ");
    words.push(match (peaks.best_order_w, peaks.starts_best_order) {
        (Some(w), Some(true)) => format!("In the best order the peak is {}: fits.", watts(w)),
        (Some(w), Some(false)) => format!("Even the best order, {}, does not fit.", watts(w)),
        (Some(w), None) => format!("In the best order the peak is {}; the source's peak is not known.", watts(w)),
        (None, _) if !peaks.estimated.is_empty() => {
            let list = tags(&mut peaks.estimated.iter().map(|(id, _)| *id));
            let most = peaks.estimated.iter().map(|(_, w)| *w).fold(0.0, f64::max);
            format!("Start of {list} not known; six times running would be {}.", watts(most))
        }
        (None, _) => "Whether it starts is not known.".to_owned(),
    });
    if let (Some(fits), Some(part)) = (peaks.starts_worst_restart, peaks.worst_restart) {
        let does = if fits { "fits" } else { "does not fit" };
        words.push(format!("A restart of {} while all else runs {does}.", doc.tag(part)));
    }
    if peaks.starts_all_at_once == Some(false) && peaks.starts_best_order == Some(true) && words.len() < 2 {
        words.push("Everything at once does not fit.".to_owned());
    }
    if !peaks.unknown.is_empty() {
        words.push(format!("Power of {} not known, counted as 0 W.", tags(&mut peaks.unknown.iter().copied())));
    } else if peaks.by_watts_only && limit.is_some() && words.len() < 3 {
        words.push("By watts only.".to_owned());
    }
    Verdict { caption, figure, words }
}

fn starting(ui: &mut Ui, state: &State, root: PartId, gauge_width: f32, words_width: f32) {
    let Some(peaks) = state.computed.peaks.get(&root) else { return };
    let doc = state.installation();
    let limit = doc.parts.get(&root).and_then(|p| p.start_w(doc.system));
    let t = theme::tokens(ui);
    let verdict = verdict(doc, peaks, limit);
    let share = verdict.figure.zip(limit).map(|(f, l)| f / l);
    let over = share.is_some_and(|s| above(s, 1.0));
    column(ui, gauge_width, |ui| {
        let figure = match (verdict.figure, limit) {
            (Some(f), Some(l)) => format!("{} of {}", bare(&watts(f)), watts(l)),
            (Some(f), None) => format!("{}, peak not known", watts(f)),
            _ => "not known".to_owned(),
        };
        caption(ui, &verdict.caption, &figure, over);
        gauge(ui, share);
    });
    column(ui, words_width, |ui| {
        ui.horizontal_top(|ui| {
            ui.spacing_mut().item_spacing.x = 6.0;
            let bad = [peaks.starts_best_order, peaks.starts_worst_restart].contains(&Some(false));
            if bad {
                let (rect, _) = ui.allocate_exact_size(vec2(20.0, 20.0), Sense::hover());
                widgets::sign(ui.painter(), rect.center(), 8.5, Severity::Warning, t);
            }
            ui.vertical(|ui| {
                ui.spacing_mut().item_spacing.y = 1.0;
                for line in verdict.words.iter().take(3) {
                    ui.label(RichText::new(line).font(theme::regular(theme::DATA)));
                }
            });
        });
    });
}

fn lowest_and_fuel(ui: &mut Ui, state: &mut State, root: PartId) {
    let doc = state.installation().clone();
    let t = theme::tokens(ui);
    let label = widgets::faint(ui, "lowest appliance");
    match lowest(state) {
        Some((id, v, off)) => {
            ui.label(label);
            let name = doc.parts.get(&id).map_or_else(String::new, |p| p.name());
            let text = format!("{} {} · {}", doc.tag(id), volts(v), signed_percent(off));
            let colour = if above(off.abs(), 10.0) { t.over } else { t.ink };
            let text = RichText::new(text).font(theme::bold(theme::BODY)).color(colour);
            let button = widgets::bare(ui, text).on_hover_text(format!("{name}: go to it"));
            if button.clicked() {
                state.go_to(Selection::part(id));
            }
        }
        None => {
            ui.label(label);
            let text = widgets::faint(ui, "none is fed and known");
            ui.label(text);
        }
    }
    if let Some(part) = doc.parts.get(&root).filter(|p| p.kind == PartKind::Generator) {
        let text = match part.tank_l {
            Some(litres) if !part.fuel_curve.is_empty() => format!("fuel: {} L in the tank", trimmed(litres, 1)),
            _ => "fuel: not known".to_owned(),
        };
        let text = widgets::faint(ui, text);
        ui.label(text).on_hover_text("Tank and fuel curve of the generator are among its particulars.");
    }
}
