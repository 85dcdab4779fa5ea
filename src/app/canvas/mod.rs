//! The canvas: the drawing, alive. It lays nothing out itself: [`crate::diagram`] says what is drawn, in millimetres, and
//! the canvas shows it through a transform of its own, finds what lies under the pointer, and turns gestures into edits.

mod arrange;
mod branch;
mod commands;
mod drop;
mod gesture;
mod glide;
mod guides;
mod hit;
mod input;
mod lookup;
mod menu;
mod names;
mod nodes;
mod offer;
mod overlay;
mod paint;
mod pull;
mod sketch;
mod tip;
mod view;

pub use drop::add as add_part;
pub use lookup::Lookup;
pub use names::Facts;
pub use paint::Brush;
pub use view::View;

use super::commands::Command;
use super::state::State;
use super::theme;
use crate::diagram::{Layer, Scene, Target};
use crate::installation::{Installation, Part, PartId, Place, Point, Selection, SpaceKind};
use egui::accesskit::Role;
use egui::{CursorIcon, Sense, Ui, WidgetInfo};
use gesture::Gesture;
use hit::Hit;
use paint::Style;
use std::collections::BTreeMap;

/// What the canvas remembers between frames, besides the view.
#[derive(Debug)]
pub struct Canvas {
    gesture: Gesture,
    hit: Hit,
    menu: Option<menu::Menu>,
    /// What the context menu is about, and where it was asked for.
    context: (Hit, Point),
    /// Where the pointer was last, on the drawing.
    pointer: Option<Point>,
    hovering: bool,
    /// The part that hangs over the canvas, and what a drop would do.
    plan: Option<(Part, drop::Plan)>,
    clip: commands::Clip,
    /// The next drag on the sheet draws a space of this kind.
    draw_space: Option<SpaceKind>,
    /// The place of the widget that has the focus by keyboard.
    focused: Option<egui::Rect>,
    focused_by_pointer: bool,
    holds_focus: bool,
    nudged: Option<Selection>,
    nudge_key: String,
    keys: u64,
    zooming: bool,
    tip: Option<Hit>,
    guides: guides::Guides,
    /// The key is held under which a switch is turned on trial.
    trying: bool,
    /// What has the focus by keyboard.
    focus_target: Option<Target>,
    /// Where the canvas was in the last frame.
    pub screen: Option<egui::Rect>,
    /// Parts on their way to their tidied places.
    glide: Option<glide::Glide>,
    /// The strokes as they were made last.
    sketch: sketch::Sketch,
}

impl Default for Canvas {
    fn default() -> Self {
        Self {
            gesture: Gesture::Idle,
            hit: Hit::Sheet,
            menu: None,
            context: (Hit::Sheet, Point::default()),
            pointer: None,
            hovering: false,
            plan: None,
            clip: commands::Clip::default(),
            draw_space: None,
            focused: None,
            focused_by_pointer: false,
            holds_focus: false,
            nudged: None,
            nudge_key: String::new(),
            keys: 0,
            zooming: false,
            tip: None,
            guides: guides::Guides::default(),
            trying: false,
            focus_target: None,
            screen: None,
            glide: None,
            sketch: sketch::Sketch::default(),
        }
    }
}

impl Canvas {
    /// A merge key that no other step has.
    fn next_key(&mut self, what: &str) -> String {
        self.keys += 1;
        format!("canvas {what} {}", self.keys)
    }

    /// True while a gesture runs.
    #[must_use]
    pub fn is_busy(&self) -> bool {
        self.gesture.is_active()
    }
}

/// Shows the drawing in the rest of the window.
pub fn show(ui: &mut Ui, state: &mut State) {
    let mut canvas = std::mem::take(&mut state.canvas);
    show_with(ui, &mut canvas, state);
    state.canvas = canvas;
}

fn show_with(ui: &mut Ui, canvas: &mut Canvas, state: &mut State) {
    let (response, painter) = ui.allocate_painter(ui.available_size(), Sense::click_and_drag());
    response.widget_info(|| WidgetInfo::labeled(Role::Canvas, true, "Drawing sheet"));
    let screen = response.rect;
    canvas.screen = Some(screen);

    for command in std::mem::take(&mut state.for_canvas) {
        if command == Command::ZoomFit && state.is_drawing_behind() {
            // All of it is known once it is drawn.
            state.for_canvas.push(command);
            continue;
        }
        if command == Command::GoToDrawing {
            canvas.focused_by_pointer = false;
            let first = state.selected_part().map(nodes::part_id);
            ui.memory_mut(|m| m.request_focus(first.unwrap_or(response.id)));
        }
        commands::run(ui, canvas, state, command, screen);
    }
    if !state.is_drawing_behind()
        && let Some(bounds) = state.focus.take().and_then(|wanted| bounds_of(state, &wanted))
    {
        state.view.reveal(bounds, screen.size());
    }
    state.view_centre = state.view.on(screen).seen().centre();
    menu::Menu::show(ui, canvas, state);
    let was_zooming = canvas.zooming;
    canvas.zooming = input::wheel(ui, state, &response);
    if was_zooming != canvas.zooming {
        // Text settles on its resting size.
        ui.ctx().request_repaint();
    }
    input::keys(ui, canvas, state, &response);
    input::pointer(ui, canvas, state, &response);
    if response.secondary_clicked() || response.context_menu_opened() {
        response.context_menu(|ui| menu::context(ui, canvas, state));
    }

    follow_focus(ui, canvas);
    let acts = nodes::register(ui, canvas, state, &state.view.on(screen));
    for act in acts {
        input::act(canvas, state, act, screen);
        ui.ctx().request_repaint();
    }
    canvas.holds_focus = ui.memory(|m| m.focused()).is_some_and(|id| state.computed.lookup.widgets.contains(&id));

    draw(ui, canvas, state, &painter, screen);
    if response.has_focus() && !canvas.focused_by_pointer {
        let ring = egui::Stroke::new(2.0, theme::tokens(ui).ink);
        painter.rect_stroke(screen.shrink(2.0), 2.0, ring, egui::StrokeKind::Inside);
    }
    tip::show(ui, canvas, state, &response);
    cursor(ui, canvas, &response);
}

/// The focus that Tab moved is shown by a ring; that of a click is not.
fn follow_focus(ui: &Ui, canvas: &mut Canvas) {
    let moved = ui.input(|i| {
        use egui::Key;
        [Key::Tab, Key::Enter].into_iter().any(|key| i.key_pressed(key))
    });
    if moved {
        canvas.focused_by_pointer = false;
    }
}

fn bounds_of(state: &State, wanted: &Selection) -> Option<crate::installation::Rect> {
    let scene = &state.computed.scene;
    let parts = wanted.parts.iter().filter_map(|id| overlay::area(scene, *id)).map(|a| a.full);
    let spaces = wanted.spaces.iter().filter_map(|id| state.installation().spaces.get(id)).map(|s| s.rect);
    let cables = scene.cables.iter().filter(|c| wanted.cables.contains(&c.cable));
    let pieces = cables.filter_map(|c| hit::longest_piece(&c.points));
    let pieces = pieces.map(|(a, b)| crate::installation::Rect::between(a, b));
    parts.chain(spaces).chain(pieces).reduce(crate::installation::Rect::union)
}

/// Paints a whole drawing, small, as a picture of itself.
pub fn thumbnail(ui: &Ui, rect: egui::Rect, scene: &Scene) {
    let Some(bounds) = scene.bounds else { return };
    let mut view = View::default();
    view.fit(bounds, rect.size(), 2.0);
    let dark = ui.visuals().dark_mode;
    let painter = ui.painter_at(rect);
    let brush = Brush {
        painter: &painter,
        sink: None,
        map: view.on(rect),
        colour: &|ink| theme::ink(ink, dark),
        bold: theme::bold(theme::BODY).family,
        zooming: false,
    };
    brush.items(&scene.items, Style::default());
}

fn draw(ui: &Ui, canvas: &mut Canvas, state: &State, painter: &egui::Painter, screen: egui::Rect) {
    let tokens = theme::tokens(ui);
    let dark = ui.visuals().dark_mode;
    let map = state.view.on(screen);
    painter.rect_filled(screen, 0.0, tokens.paper);
    overlay::grid(painter, &map, tokens);
    let brush = Brush {
        painter,
        sink: None,
        map,
        colour: &|ink| theme::ink(ink, dark),
        bold: theme::bold(theme::BODY).family,
        zooming: canvas.zooming,
    };
    if let Some(scene) = canvas.glide.as_ref().and_then(|glide| glide.scene(ui, state)) {
        brush.items(&scene.items, Style::default());
        return;
    }
    canvas.glide = None;
    let items = &state.computed.scene.items;
    let extents = &state.computed.lookup.extents;
    let ground = items.partition_point(|item| item.layer <= Layer::Space).min(extents.len());
    let [spaces, strokes] = canvas.sketch.strokes(painter, &map, &state.computed, canvas.zooming);
    painter.add(spaces);
    brush.texts(items[..ground].iter().zip(&extents[..ground]), Style::default());
    overlay::bands(painter, &map, state, canvas.focus_target, tokens);
    painter.add(strokes);
    brush.texts(items[ground..].iter().zip(&extents[ground..]), Style::default());
    moved(&brush, state);
    overlay::marks(painter, &map, state, canvas, tokens);
    let pos = ui.input(|i| i.pointer.latest_pos());
    canvas.guides.paint(painter, &map, tokens);
    overlay::gesture(painter, &map, state, canvas, pos, tokens);
    if let Some((part, plan)) = &canvas.plan {
        overlay::ghost(&brush, &alone(state, part), &state.computed.scene, plan, tokens);
    }
}

/// Parts that were moved since the drawing was made, at their new places, until it is made anew.
fn moved(brush: &Brush<'_>, state: &State) {
    if !state.is_drawing_behind() {
        return;
    }
    let of = |id: PartId| state.selection().parts.contains(&id).then(|| state.moved_since(id)).flatten();
    let moves: BTreeMap<PartId, (f64, f64)> =
        state.selection().parts.iter().filter_map(|id| Some((*id, of(*id)?))).collect();
    if moves.is_empty() {
        return;
    }
    for item in &state.computed.scene.items {
        let Some(Target::Part(id) | Target::Switch(id)) = item.target else { continue };
        if let Some(by) = moves.get(&id) {
            brush.items([item], Style { moved: *by, ..Style::default() });
        }
    }
}

/// The drawing of a part that is not in the document yet, at the origin.
fn alone(state: &State, part: &Part) -> Scene {
    let mut doc = Installation::new(state.installation().system);
    let tag = state.installation().free_tag(part.kind, part.load_kind);
    doc.add_part(Part { tag, place: Place::At(Point::default()), ..part.clone() });
    let solution = crate::network::solve(&doc, 0);
    let (overlay, options) = Default::default();
    crate::diagram::scene(&doc, &solution, &overlay, &options)
}

fn cursor(ui: &Ui, canvas: &Canvas, response: &egui::Response) {
    let icon = match (&canvas.gesture, &canvas.hit) {
        (Gesture::Pan | Gesture::Move { .. }, _) => CursorIcon::Grabbing,
        (Gesture::Pull { .. } | Gesture::DrawSpace { .. } | Gesture::Box { .. }, _) => CursorIcon::Crosshair,
        (Gesture::Resize { edges, .. }, _) | (Gesture::Idle, Hit::SpaceEdge(_, edges)) => {
            match (edges.left || edges.right, edges.top || edges.bottom) {
                (true, true) if edges.left == edges.top => CursorIcon::ResizeNwSe,
                (true, true) => CursorIcon::ResizeNeSw,
                (true, false) => CursorIcon::ResizeHorizontal,
                _ => CursorIcon::ResizeVertical,
            }
        }
        (Gesture::Idle, _) if canvas.draw_space.is_some() => CursorIcon::Crosshair,
        (Gesture::Idle, Hit::Terminal(..) | Hit::CableEnd(..)) => CursorIcon::Crosshair,
        (Gesture::Idle, Hit::Switch(_) | Hit::Cable(_)) => CursorIcon::PointingHand,
        (Gesture::Idle, Hit::Part(_) | Hit::Space(_)) => CursorIcon::Grab,
        (Gesture::Idle, Hit::Sheet) => return,
    };
    if response.contains_pointer() || canvas.gesture.is_active() {
        ui.ctx().set_cursor_icon(icon);
    }
}
