//! What the commands of the table do on the canvas.

use super::Canvas;
use super::arrange::{self, Line};
use super::drop::free_spot;
use super::glide::Glide;
use super::menu::Menu;
use super::pull::Pull;
use crate::app::commands::Command;
use crate::app::state::State;
use crate::diagram;
use crate::installation::{Cable, Edit, Feeds, Part, PartId, Point, Rect, SpaceKind};
use crate::store::list;
use egui::Vec2;
use std::sync::Arc;

/// What was copied last: parts and the cables among them.
#[derive(Clone, Debug, Default)]
pub struct Clip {
    parts: Vec<(PartId, Part)>,
    cables: Vec<Cable>,
    /// What the clipboard of the desktop holds as long as nobody else puts something there.
    text: String,
    /// How often it was pasted in place, so that copies do not lie on each other.
    pasted: u32,
}

/// How far a copy is put from its original, in millimetres.
const BESIDE_MM: f64 = 10.0;
/// One press of zoom in.
const ZOOM_STEP: f64 = 1.25;
/// Margin around a drawing that is fitted, in points.
const FIT_PT: f32 = 36.0;

/// Carries a command out. `screen` is where the canvas is.
pub fn run(ui: &egui::Ui, canvas: &mut Canvas, state: &mut State, command: Command, screen: egui::Rect) {
    let doc = state.installation().clone();
    let middle = screen.size() / 2.0;
    match command {
        Command::ZoomIn => state.view.zoom(ZOOM_STEP, middle),
        Command::ZoomOut => state.view.zoom(1.0 / ZOOM_STEP, middle),
        Command::ZoomFit => fit(state, screen.size()),
        Command::Copy => copy(ui, canvas, state),
        Command::Cut => {
            copy(ui, canvas, state);
            let selection = state.selection().clone();
            if !selection.parts.is_empty() {
                state.edit(&Edit::Remove(selection), None);
            }
        }
        Command::Paste => paste(ui, canvas, state),
        Command::SelectBranch => {
            let all = super::branch::with_branch(&doc, state.selection());
            state.select(all);
        }
        Command::Duplicate => {
            let clip = taken(state);
            paste_clip(state, &clip, (BESIDE_MM, BESIDE_MM));
        }
        Command::AlignLeft => apply(state, arrange::align(&doc, state.selection(), Line::Left)),
        Command::AlignCentre => apply(state, arrange::align(&doc, state.selection(), Line::Centre)),
        Command::AlignTop => apply(state, arrange::align(&doc, state.selection(), Line::Top)),
        Command::AlignMiddle => apply(state, arrange::align(&doc, state.selection(), Line::Middle)),
        Command::DistributeDown => apply(state, arrange::distribute(&doc, state.selection(), true)),
        Command::DistributeAcross => apply(state, arrange::distribute(&doc, state.selection(), false)),
        Command::Mirror => {
            let parts: Vec<PartId> = state.selection().parts.iter().copied().collect();
            let mirrored = !parts.iter().all(|id| doc.parts.get(id).is_some_and(|p| p.mirrored));
            state.edit(&Edit::Mirror { parts, mirrored }, None);
        }
        Command::Tidy => {
            let mut tidied = (*doc).clone();
            diagram::lay_out(&mut tidied);
            state.edit(&Edit::Adopt { installation: Arc::new(tidied), label: "tidy".to_owned() }, None);
            state.refresh();
            canvas.glide = Glide::start(ui, &doc, state);
            state.for_canvas.push(Command::ZoomFit);
            ui.ctx().request_repaint();
        }
        Command::Connect => connect(canvas, state, screen),
        Command::Toggle => toggle(state),
        Command::DrawSpace => {
            canvas.draw_space = Some(SpaceKind::Other);
            state.say("drag over the sheet to draw a space; its kind is chosen in the particulars");
        }
        _ => {}
    }
}

fn apply(state: &mut State, edit: Option<Edit>) {
    if let Some(edit) = edit {
        state.edit(&edit, None);
    }
}

/// Shows all of the drawing.
pub fn fit(state: &mut State, size: Vec2) {
    match state.computed.scene.bounds {
        Some(bounds) => state.view.fit(bounds, size, FIT_PT),
        None => state.view = super::View::default(),
    }
}

fn taken(state: &State) -> Clip {
    let doc = state.installation();
    let chosen = &state.selection().parts;
    let parts = chosen.iter().filter_map(|id| doc.parts.get(id).map(|p| (*id, p.as_ref().clone()))).collect();
    let among = |c: &Cable| chosen.contains(&c.from) && chosen.contains(&c.to);
    let cables = doc.cables.values().filter(|c| among(c)).map(|c| c.as_ref().clone()).collect();
    Clip { parts, cables, text: String::new(), pasted: 0 }
}

/// Keeps the selected parts; as a circuit list they go to the clipboard of the desktop, for other windows and spreadsheets.
fn copy(ui: &egui::Ui, canvas: &mut Canvas, state: &mut State) {
    let mut clip = taken(state);
    if clip.parts.is_empty() {
        state.refuse("nothing to copy: select one or more parts first");
        return;
    }
    clip.text = list::to_clipboard(state.installation(), state.condition, &state.selection().parts);
    ui.ctx().copy_text(clip.text.clone());
    let count = clip.parts.len();
    state.say(if count == 1 { "1 part copied".to_owned() } else { format!("{count} parts copied") });
    canvas.clip = clip;
}

/// Adds what was copied at the pointer, else beside its original: what this window copied as it was, a circuit list of
/// another window or a spreadsheet laid out anew.
fn paste(ui: &egui::Ui, canvas: &mut Canvas, state: &mut State) {
    let given = ui.input(|i| {
        i.events.iter().find_map(|event| match event {
            egui::Event::Paste(text) => Some(text.clone()),
            _ => None,
        })
    });
    let Some(text) = given else {
        // Chosen in a menu: the desktop answers with the text in a later frame.
        ui.ctx().send_viewport_cmd(egui::ViewportCommand::RequestPaste);
        return;
    };
    let same = text.lines().eq(canvas.clip.text.lines());
    if !same && !text.trim().is_empty() {
        paste_text(canvas, state, &text);
        return;
    }
    let mut clip = std::mem::take(&mut canvas.clip);
    let bounds = clip.parts.iter().map(|(_, p)| p.position()).map(|p| Rect { min: p, max: p }).reduce(Rect::union);
    if let Some(bounds) = bounds {
        clip.pasted += 1;
        let beside = BESIDE_MM * f64::from(clip.pasted);
        let (from, to) = (bounds.centre(), canvas.pointer.map(Point::snapped));
        let by = to.map_or((beside, beside), |to| (to.x - from.x, to.y - from.y));
        let by = Point::new(by.0, by.1).snapped();
        paste_clip(state, &clip, (by.x, by.y));
    } else {
        state.refuse("nothing to paste: copy one or more parts first");
    }
    canvas.clip = clip;
}

/// Adds parts of a circuit list, laid out and under free tags.
fn paste_text(canvas: &Canvas, state: &mut State, text: &str) {
    let pasted = match list::from_clipboard(text, state.installation()) {
        Ok(pasted) if pasted.installation.parts.is_empty() => {
            state.refuse("the clipboard holds a circuit list without rows");
            return;
        }
        Ok(pasted) => pasted,
        Err(problems) => {
            let first = problems.first().map(ToString::to_string).unwrap_or_default();
            let more = if problems.len() > 1 { format!(" (and {} more)", problems.len() - 1) } else { String::new() };
            state.refuse(format!("the clipboard holds no rows of a circuit list: {first}{more}"));
            return;
        }
    };
    let mut alone = pasted.installation.clone();
    diagram::lay_out(&mut alone);
    let parts: Vec<(PartId, Part)> = alone.parts.iter().map(|(id, part)| (*id, Part::clone(part))).collect();
    let bounds = parts.iter().map(|(_, p)| p.position()).map(|p| Rect { min: p, max: p }).reduce(Rect::union);
    let from = bounds.map_or(Point::default(), |b| b.min);
    let to = canvas.pointer.unwrap_or(state.view_centre).snapped();
    let by = Point::new(to.x - from.x, to.y - from.y).snapped();
    let edit = Edit::Paste { parts, cables: pasted.cables(), dx: by.x, dy: by.y };
    if state.edit(&edit, None) {
        state.focus = Some(state.selection().clone());
    }
}

fn paste_clip(state: &mut State, clip: &Clip, by: (f64, f64)) {
    if clip.parts.is_empty() {
        return;
    }
    let mut by = by;
    if let Some((_, first)) = clip.parts.first() {
        let wanted = first.position().moved(by.0, by.1);
        by.1 += free_spot(state.installation(), wanted).y - wanted.y;
    }
    let edit = Edit::Paste { parts: clip.parts.clone(), cables: clip.cables.clone(), dx: by.0, dy: by.1 };
    state.edit(&edit, None);
}

/// Asks for the tag to which the selected part is wired.
fn connect(canvas: &mut Canvas, state: &mut State, screen: egui::Rect) {
    let part = state.selected_part().and_then(|id| state.installation().parts.get(&id).map(|p| (id, p.kind.info())));
    let Some((id, info)) = part else {
        state.refuse("select one part first: the cable starts there");
        return;
    };
    let pull = if info.feeds_others { Pull::From(id) } else { Pull::Into(id) };
    if !info.feeds_others && info.feeds == Feeds::None {
        return;
    }
    let area = super::overlay::area(&state.computed.scene, id).map(|a| a.symbol);
    let map = state.view.on(screen);
    let at = area.map_or(screen.center(), |r| map.rect(r).right_bottom());
    canvas.menu = Some(Menu::connect(pull, at.clamp(screen.min, screen.max - egui::vec2(240.0, 200.0))));
}

/// Turns the switches of the selected parts: all off where any is on.
fn toggle(state: &mut State) {
    let doc = state.installation();
    let switches = |id: &PartId| doc.parts.get(id).is_some_and(|p| p.kind.has_switch());
    let parts: Vec<PartId> = state.selection().parts.iter().copied().filter(switches).collect();
    if parts.is_empty() {
        state.refuse("select an appliance or a breaker first");
        return;
    }
    let condition = state.condition;
    let on = !parts.iter().any(|id| doc.is_on(*id, condition));
    state.edit(&Edit::Switch { condition, parts, on }, None);
}
