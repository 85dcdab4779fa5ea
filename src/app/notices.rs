//! Lines over the drawing that say what the program itself cannot do just now: a fault in a room or a view, a journal that
//! cannot be written.

use super::door::{self, Caught};
use super::state::State;
use super::{theme, widgets};
use egui::{Frame, Margin, RichText, Stroke, Ui};
use std::collections::BTreeMap;

/// The views that a fault stopped. Each stays away until it is asked for again.
#[derive(Default)]
pub struct Notices {
    stopped: BTreeMap<&'static str, Caught>,
}

impl Notices {
    /// Shows a view behind its door; where a fault stopped it, says so and offers to try again.
    pub fn view<T: Default>(
        &mut self,
        ui: &mut Ui,
        state: &mut State,
        name: &'static str,
        show: impl FnOnce(&mut Ui, &mut State) -> T,
    ) -> T {
        if let Some(caught) = self.stopped.get(name) {
            let mut again = false;
            ui.vertical(|ui| {
                ui.label(widgets::strong(format!("An error inside the program stopped {name}.")));
                ui.label(RichText::new(&caught.message).font(theme::regular(theme::DATA)));
                again = ui.button("Try again").accessible_name(format!("Try {name} again")).clicked();
                if ui.button("Copy what to send").accessible_name(format!("Copy what to send about {name}")).clicked() {
                    ui.ctx().copy_text(caught.to_send());
                }
            });
            if again {
                self.stopped.remove(name);
            }
            return T::default();
        }
        let ask = state.rooms.view;
        match door::behind(name, || {
            ask(name);
            show(ui, state)
        }) {
            Ok(shown) => shown,
            Err(caught) => {
                self.stopped.insert(name, caught);
                ui.ctx().request_repaint();
                T::default()
            }
        }
    }

    /// Shows the lines; nothing where all is well.
    pub fn show(&self, ui: &mut Ui, state: &State, journal: Option<&str>) {
        for caught in &state.computed.faults {
            line(ui, &caught.line(), Some(&caught.to_send()));
        }
        if let Some(problem) = journal {
            line(ui, &format!("What is not saved would be lost in a crash: {problem}"), None);
        }
    }
}

fn line(ui: &mut Ui, text: &str, to_send: Option<&str>) {
    let t = theme::tokens(ui);
    let frame = Frame::new().fill(t.card).stroke(Stroke::new(1.5, t.over)).corner_radius(6);
    frame.inner_margin(Margin::symmetric(10, 5)).show(ui, |ui| {
        ui.horizontal_wrapped(|ui| {
            let label = ui.label(RichText::new(text).font(theme::regular(theme::DATA)).color(t.ink));
            ui.ctx().accesskit_node_builder(label.id, |node| node.set_live(egui::accesskit::Live::Polite));
            if let Some(send) = to_send
                && widgets::link(ui, "Copy what to send").clicked()
            {
                ui.ctx().copy_text(send.to_owned());
            }
        });
    });
}
