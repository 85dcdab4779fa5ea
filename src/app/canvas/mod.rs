//! The canvas: the drawing, alive.

use super::state::State;
use super::theme;

/// What is seen of the drawing.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct View {}

/// What the canvas remembers between frames, besides the view.
#[derive(Debug, Default)]
pub struct Canvas {}

/// Shows the drawing in the rest of the window.
pub fn show(ui: &mut egui::Ui, state: &mut State) {
    let (response, painter) = ui.allocate_painter(ui.available_size(), egui::Sense::click_and_drag());
    painter.rect_filled(response.rect, 0.0, theme::tokens(ui).paper);
    state.for_canvas.clear();
    state.focus = None;
}
