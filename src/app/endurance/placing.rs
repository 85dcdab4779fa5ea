//! Trays, whether a set fits them, and how loud it is at a distance.

use super::card;
use super::field::Drafts;
use crate::app::widgets;
use crate::installation::{BoxSize, Installation, Part, PartKind, Tray};
use crate::loads::noise::{all_together, level};
use crate::loads::placing::{ASHORE, placing};
use crate::units::{Quantity, exact_length, parse_quantity, typed_length};
use egui::Ui;

/// Shows the trays to fill in; gives them where they are others now.
pub fn trays(ui: &mut Ui, doc: &Installation, drafts: &mut Drafts) -> Option<Vec<Tray>> {
    let mut next = doc.trays.clone();
    let mut removed = None;
    for (i, tray) in next.iter_mut().enumerate() {
        let n = i + 1;
        ui.horizontal(|ui| {
            if let Some(typed) = drafts.text(ui, &format!("Name of tray {n}"), &tray.name, "name", 120.0)
                && !typed.trim().is_empty()
            {
                typed.trim().clone_into(&mut tray.name);
            }
            let name = format!("Inner size of tray {n}");
            if let Some(typed) = drafts.text(ui, &name, &tray.inner.to_string(), "mm", 120.0) {
                match BoxSize::parse(&typed) {
                    Some(inner) => tray.inner = inner,
                    None => drafts.refuse(&name, &typed, BoxSize::HINT),
                }
            }
            ui.checkbox(&mut tray.open_above, "open above").accessible_name(format!("Tray {n} is open above"));
            if widgets::link(ui, "Remove").accessible_name(format!("Remove tray {n}")).clicked() {
                removed = Some(i);
            }
        });
    }
    if let Some(i) = removed {
        next.remove(i);
    }
    if ui.button("Add a tray").clicked() {
        let inner = BoxSize { length: 600.0, width: 400.0, height: 500.0 };
        next.push(Tray { name: format!("Tray {}", next.len() + 1), inner, open_above: false });
    }
    (next != doc.trays).then_some(next)
}

/// Shows which set fits which tray, and the sound.
pub fn results(ui: &mut Ui, doc: &Installation, feet: bool, drafts: &mut Drafts, distance_m: &mut Option<f64>) {
    let sets: Vec<&Part> = doc
        .parts
        .values()
        .map(AsRef::as_ref)
        .filter(|p| p.kind == PartKind::Generator || p.set_data.size.is_some())
        .collect();
    if sets.is_empty() {
        ui.label("There is no generator in the drawing.");
        return;
    }
    let at = distance_m.unwrap_or(7.0);
    card(ui, |ui| {
        for part in &sets {
            for tray in &doc.trays {
                let line = match placing(part, tray).and_then(|fits| fits.into_iter().next()) {
                    None => "not known: its size is not stated".to_owned(),
                    Some(fit) => format!("{}: {} ({})", fit.verdict(), fit.words(), fit.turn.words()),
                };
                ui.label(format!("{} in {}: {line}.", part.name(), tray.name));
            }
        }
        ui.horizontal(|ui| {
            ui.label("Sound in the open at");
            if let Some(typed) = drafts.text(ui, "Distance for the sound", &exact_length(at, feet), "m", 70.0) {
                match parse_quantity(&typed_length(&typed, feet), Quantity::Length).ok().filter(|m| *m > 0.0) {
                    Some(metres) => *distance_m = Some(metres),
                    None => drafts.refuse(
                        "Distance for the sound",
                        &typed,
                        if feet { "feet above 0, such as 65" } else { "metres above 0, such as 20" },
                    ),
                }
            }
        });
        let shown = |level: Option<f64>| level.map_or_else(|| "not known".to_owned(), |l| format!("{l:.1} dB(A)"));
        for part in &sets {
            ui.label(format!("{}: {}", part.name(), shown(level(part, at))));
        }
        if sets.len() > 1 {
            ui.label(format!("All together: {}", shown(all_together(sets.iter().copied(), at))));
        }
        let text = widgets::small(ui, ASHORE);
        ui.label(text);
    });
}
