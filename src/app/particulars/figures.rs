//! The computed figures of what is selected: large, and "not known" where there is none.

use crate::app::computed::Banded;
use crate::app::state::State;
use crate::app::{theme, widgets};
use crate::installation::{CableId, Part, PartId, PartKind};
use crate::network::{Bands, Rated, Reach, Span};
use crate::units::{self, above, amps, percent, trimmed, va, volts, watts};
use egui::{Color32, Frame, Margin, RichText, Stroke, Ui};

/// A figure with its caption.
struct Figure {
    caption: String,
    value: Option<String>,
    colour: Option<Color32>,
}

fn figure(caption: &str, value: Option<String>) -> Figure {
    Figure { caption: caption.to_owned(), value, colour: None }
}

fn frame(ui: &mut Ui, title: &str, figures: &[Figure], below: &[String]) {
    let t = theme::tokens(ui);
    let frame =
        Frame::new().fill(t.card).stroke(Stroke::new(1.0, t.edge)).corner_radius(6).inner_margin(Margin::same(10));
    frame.show(ui, |ui| {
        ui.set_width(ui.available_width());
        ui.spacing_mut().item_spacing.y = 3.0;
        if !title.is_empty() {
            let text = widgets::faint(ui, title);
            ui.label(text);
        }
        if !figures.is_empty() {
            ui.columns(figures.len(), |columns| {
                for (ui, f) in columns.iter_mut().zip(figures) {
                    let known = f.value.as_deref();
                    let size = if known.is_some() { theme::LARGE } else { theme::BODY };
                    let colour = f.colour.unwrap_or(if known.is_some() { t.ink } else { t.faint });
                    ui.spacing_mut().item_spacing.y = 1.0;
                    let caption = widgets::small(ui, &f.caption);
                    ui.label(caption);
                    ui.label(RichText::new(known.unwrap_or("not known")).font(theme::bold(size)).color(colour));
                }
            });
        }
        for line in below {
            let text = widgets::faint(ui, line);
            ui.label(text);
        }
    });
}

/// What figures may be on the boat, where that is asked for.
fn banded(state: &State, of: impl FnOnce(&Bands) -> Vec<Option<String>>) -> Option<String> {
    match &state.computed.bands {
        Banded::NotShown => None,
        Banded::Unbounded => {
            Some("no bands: within the usual tolerances a load may be at or near what its cables can carry".to_owned())
        }
        Banded::Known(bands) => {
            let words: Vec<String> = of(bands).into_iter().flatten().collect();
            (!words.is_empty()).then(|| format!("within tolerances: {}", words.join(" · ")))
        }
    }
}

/// A band in words: `31.0 to 38.5 A`.
fn band(span: Option<Span>, unit: fn(f64) -> String) -> Option<String> {
    span.map(|s| units::band(s.least, s.most, unit))
}

fn exact_volts(v: f64) -> String {
    format!("{} V", trimmed(v, 2))
}

/// The figures of a part in the shown condition.
pub fn of_part(ui: &mut Ui, state: &State, id: PartId) {
    let doc = state.installation();
    let solution = &state.computed.solution;
    let Some(part) = doc.parts.get(&id) else { return };
    match solution.walk.reach.get(&id) {
        Some(Reach::Fed(_)) => {}
        Some(Reach::MayBeLive) => return frame(ui, "Not feeding in this condition; may be live.", &[], &[]),
        _ => return frame(ui, "Not fed in this condition. That does not say that it can be touched.", &[], &[]),
    }
    if !solution.converged {
        return frame(ui, "No figures: see the survey for what stands in the way.", &[], &[]);
    }
    let t = theme::tokens(ui);
    let Some(flow) = solution.parts.get(&id) else { return };
    let mut figures = Vec::new();
    let mut below = Vec::new();
    if let Some(source) = solution.sources.get(&id) {
        let of = Rated::of(part, doc.system, Some(source));
        figures.push(figure("delivers", source.watts.map(watts)));
        figures.push(figure("of rating", of.percent().map(percent)));
        figures.push(figure("current", source.amps.map(amps)));
        if let (Some(figures), Some(now), Some(most)) =
            (figures.get_mut(if of.in_amps { 2 } else { 0 }), of.now, of.rating)
            && above(now, most)
        {
            figures.colour = Some(t.over);
        }
        below.extend(source.va.map(|v| format!("{} at its terminals", va(v))));
        below.extend(banded(state, |bands| {
            let Some(b) = bands.sources.get(&id) else { return Vec::new() };
            vec![band(b.watts, watts), band(b.of_rating(of), percent), band(b.amps, amps)]
        }));
        return frame(ui, "Now, at its terminals", &figures, &below);
    }
    let mut current = figure("current", flow.amps.map(amps));
    let mut rated = None;
    if let (Some(now), Some(rating)) = (flow.amps, part.rating_a.filter(|_| has_limit(part))) {
        rated = Some(format!("rated {}", amps(rating)));
        if above(now, rating) {
            current.colour = Some(t.over);
        } else if above(now, 0.8 * rating) {
            current.colour = Some(t.close);
        }
    }
    figures.push(current);
    let cable = super::part::cables_of(doc, id).into_iter().next();
    if let Some(cable) = cable.filter(|c| doc.cables.get(c).is_some_and(|c| c.data.is_fitted())) {
        match state.ampacity(cable) {
            Ok(ampacity) => {
                let mut limit = figure("ampacity", Some(amps(ampacity.amps)));
                below.push(format!("ampacity by {}", ampacity.rule));
                let carried = solution.cables.get(&cable).and_then(|c| c.amps);
                if carried.is_some_and(|a| above(a, ampacity.amps)) {
                    limit.colour = Some(t.over);
                }
                figures.push(limit);
            }
            Err(_) => figures.push(figure("ampacity", None)),
        }
    }
    figures.push(figure("drop, source", flow.drop_percent.map(percent)));
    let drawn = flow.watts.map(|w| format!("draws {}", watts(w)));
    let words: Vec<String> = flow.volts.map(volts).into_iter().chain(rated).chain(drawn).collect();
    if !words.is_empty() {
        below.push(words.join(" · "));
    }
    below.extend(banded(state, |bands| {
        let Some(b) = bands.parts.get(&id) else { return Vec::new() };
        let drop = band(b.drop_percent, percent).map(|drop| format!("drop {drop}"));
        vec![band(b.amps, amps), drop, band(b.volts, volts)]
    }));
    if let Some((l1, l2)) = flow.drop_percent_legs {
        below.push(format!("drop by leg: L1 {}, L2 {}", percent(l1), percent(l2)));
    }
    if let Some(currents) = flow.currents.filter(|_| doc.system.is_split_phase()) {
        let (l1, l2, n) = (currents.l1.norm(), currents.l2.norm(), currents.n.norm());
        below.push(format!("L1 {}, L2 {}, neutral {}", amps(l1), amps(l2), amps(n)));
    }
    frame(ui, "", &figures, &below);
}

fn has_limit(part: &Part) -> bool {
    !matches!(part.kind, PartKind::Appliance | PartKind::PolarityIndicator)
}

/// The figures of a cable in the shown condition.
pub fn of_cable(ui: &mut Ui, state: &State, id: CableId) {
    let doc = state.installation();
    let Some(cable) = doc.cables.get(&id).filter(|c| c.data.is_fitted()) else { return };
    let solution = &state.computed.solution;
    let Some(flow) = solution.cables.get(&id) else {
        return frame(ui, "This cable is not in use in this condition; it may be live.", &[], &[]);
    };
    let t = theme::tokens(ui);
    let mut current = figure("current", flow.amps.map(amps));
    let mut figures = Vec::new();
    let mut below = Vec::new();
    match state.ampacity(id) {
        Ok(ampacity) => {
            if flow.amps.is_some_and(|a| above(a, ampacity.amps)) {
                current.colour = Some(t.over);
            }
            figures.push(current);
            figures.push(figure("ampacity", Some(amps(ampacity.amps))));
            let steps: Vec<String> = ampacity.corrections.iter().map(ToString::to_string).collect();
            below.push(format!("ampacity by {}: {}", ampacity.rule, steps.join(", ")));
            below.push(format!("{} · {}", ampacity.source, ampacity.mark.words()));
        }
        Err(why) => {
            figures.push(current);
            figures.push(figure("ampacity", None));
            below.push(format!("no ampacity: {why}"));
        }
    }
    figures.push(figure("drop over it", flow.drop_volts.map(exact_volts)));
    if let Some(ohms) = flow.ohms {
        below.push(format!("{} mΩ out and back at working temperature", trimmed(1000.0 * ohms, 1)));
    }
    below.extend(flow.loss_watts.map(|w| format!("{} of heat in it", watts(w))));
    below.extend(banded(state, |bands| {
        let Some(b) = bands.cables.get(&id) else { return Vec::new() };
        let drop = band(b.drop_volts, exact_volts).map(|drop| format!("{drop} over it"));
        vec![band(b.amps, amps), drop, band(b.loss_watts, watts).map(|heat| format!("{heat} of heat"))]
    }));
    frame(ui, &format!("The cable to {}", doc.tag(cable.to)), &figures, &below);
}
