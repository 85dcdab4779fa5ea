//! The tooltip: what lies under the pointer, its state, its figures; while a cable is pulled, why it may not end there.

use super::Canvas;
use super::gesture::Gesture;
use super::hit::Hit;
use super::names::Facts;
use crate::app::state::State;
use egui::{Id, PopupAnchor, Response, Tooltip, Ui};

/// How long the pointer rests before the tooltip comes, in seconds.
const REST_S: f32 = 0.45;

/// Shows the tooltip, if there is something to say.
pub fn show(ui: &Ui, canvas: &mut Canvas, state: &State, response: &Response) {
    if let Gesture::Pull { pull, targets } = &canvas.gesture {
        let pos = ui.input(|i| i.pointer.latest_pos());
        let map = state.view.on(response.rect);
        let under = pos.and_then(|pos| Gesture::target(state, &map, *pull, pos));
        if let Some(Some(reason)) = under.and_then(|part| targets.get(&part)) {
            say(ui, response, &[reason.to_string()]);
        }
        return;
    }
    if let Some((part, plan)) = &canvas.plan {
        let doc = state.installation();
        if let Some(cable) = plan.cable {
            let name = facts(state).cable(cable);
            say(ui, response, &[format!("put this {} into: {name}", part.kind.name())]);
        } else if let Some(to) = plan.part {
            say(ui, response, &[format!("connect this {} with {}", part.kind.name(), doc.tag(to))]);
        }
        return;
    }
    let quiet = canvas.gesture.is_active() || canvas.menu.is_some() || !response.contains_pointer();
    if quiet || canvas.hit == Hit::Sheet || response.context_menu_opened() {
        canvas.tip = None;
        return;
    }
    if canvas.tip != Some(canvas.hit) {
        canvas.tip = None;
        let (still, down) = ui.input(|i| (i.pointer.time_since_last_movement(), i.pointer.any_down()));
        if down {
            return;
        }
        if still < REST_S {
            ui.ctx().request_repaint_after(std::time::Duration::from_secs_f32(REST_S - still + 0.01));
            return;
        }
        canvas.tip = Some(canvas.hit);
    }
    let facts = facts(state);
    let lines = match canvas.hit {
        Hit::Part(id) => facts.part_lines(id),
        Hit::Switch(id) => {
            let mut lines = facts.part_lines(id);
            lines.push("click the switch to turn it".to_owned());
            lines
        }
        Hit::Terminal(id, terminal) => {
            vec![facts.terminal(id, terminal), "drag from here to another part to draw a cable".to_owned()]
        }
        Hit::Cable(id) => vec![facts.cable(id), facts.cable_figures(id)],
        Hit::CableEnd(id, _) => vec![facts.cable(id), "drag this end to another part".to_owned()],
        Hit::Space(_) | Hit::SpaceEdge(..) | Hit::Sheet => return,
    };
    say(ui, response, &lines);
}

fn facts(state: &State) -> Facts<'_> {
    Facts {
        installation: state.installation(),
        condition: state.condition,
        solution: &state.computed.solution,
        findings: &state.computed.judged.open,
        lookup: &state.computed.lookup,
        feet: state.feet,
    }
}

fn say(ui: &Ui, response: &Response, lines: &[String]) {
    let tooltip =
        Tooltip::always_open(ui.ctx().clone(), response.layer_id, Id::unique("canvas tip"), PopupAnchor::Pointer);
    tooltip.gap(14.0).show(|ui| {
        ui.set_max_width(320.0);
        for line in lines {
            ui.label(line);
        }
    });
}
