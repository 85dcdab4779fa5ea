//! Keys that are no commands: digits choose the condition that is shown and, with Alt, the source that feeds it; a key
//! that is held turns a switch on trial.

use super::state::State;
use crate::installation::{Edit, PartId};
use egui::{Context, Key, Modifiers};

/// Held while a switch is clicked: what would follow, without keeping it.
const TRIAL: Key = Key::W;

/// One to nine.
const DIGITS: [Key; 9] =
    [Key::Num1, Key::Num2, Key::Num3, Key::Num4, Key::Num5, Key::Num6, Key::Num7, Key::Num8, Key::Num9];

/// True while the key is held under which a switch is turned on trial.
#[must_use]
pub fn is_trial_key_held(ctx: &Context) -> bool {
    ctx.input(|i| i.key_down(TRIAL) && i.focused && !i.modifiers.command) && !ctx.text_edit_focused()
}

/// Takes digits that were pressed in this frame.
pub fn keys(ctx: &Context, state: &mut State) {
    if ctx.text_edit_focused() {
        return;
    }
    let pressed =
        |modifiers: Modifiers| ctx.input_mut(|i| DIGITS.iter().position(|key| i.consume_key(modifiers, *key)));
    if let Some(n) = pressed(Modifiers::ALT) {
        feed(state, n);
    } else if ctx.input_mut(|i| i.consume_key(Modifiers::ALT, Key::Num0)) {
        state.edit(&Edit::SetFeeding { condition: state.condition, feeding: Vec::new() }, None);
        state.say("all sources off");
    } else if let Some(n) = pressed(Modifiers::NONE) {
        match state.installation().conditions.get(n).map(|c| c.name.clone()) {
            Some(name) => {
                state.condition = n;
                state.refresh();
                state.say(format!("condition {}: {name}", n + 1));
            }
            None => state.refuse(format!("there is no condition {}; copy one in the list at the top", n + 1)),
        }
    }
}

/// The sources in the order of their ids, as the list in the top bar has them.
fn sources(state: &State) -> Vec<PartId> {
    let doc = state.installation();
    let feeding = doc.conditions.get(state.condition).map_or(&[][..], |c| &c.feeding);
    let choice = |id: &PartId| !doc.is_inverter_charger(*id) || feeding.contains(id);
    doc.parts.iter().filter(|(id, p)| p.kind.is_source() && choice(id)).map(|(id, _)| *id).collect()
}

fn feed(state: &mut State, n: usize) {
    match sources(state).get(n).copied() {
        Some(id) => {
            let name = state.installation().parts.get(&id).map_or_else(String::new, |p| p.name());
            state.edit(&Edit::SetFeeding { condition: state.condition, feeding: vec![id] }, None);
            state.say(format!("fed from {name}"));
        }
        None => state.refuse(format!("there is no source {}", n + 1)),
    }
}
