//! The pages side by side, painted from the same marks that the writers write.

use crate::app::canvas::{Brush, View};
use crate::app::{theme, widgets};
use crate::diagram::Shape;
use crate::installation::{Point, Rect};
use crate::sheets::{Pack, Page};
use egui::accesskit::Role;
use egui::{ScrollArea, Sense, Stroke, StrokeKind, Ui, WidgetInfo, vec2};

/// Points between pages.
const GAP: f32 = 16.0;
/// The smallest and the largest scale, in points per millimetre.
pub const LIMITS: (f64, f64) = (0.3, 12.0);
/// A text of a page, for who cannot see it, is cut after so many letters.
const MOST_LETTERS: usize = 4000;

/// How large the pages are.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Zoom {
    /// A whole page in the view.
    Page,
    /// A page as wide as the view.
    Width,
    /// Points per millimetre.
    Fixed(f64),
}

impl Zoom {
    /// Points per millimetre for pages of this size in this room.
    #[must_use]
    pub fn scale(self, width_mm: f64, height_mm: f64, room: egui::Vec2) -> f64 {
        let across = f64::from(room.x - 2.0 * GAP) / width_mm.max(1.0);
        let down = f64::from(room.y - 2.0 * GAP) / height_mm.max(1.0);
        let scale = match self {
            Self::Page => across.min(down),
            Self::Width => across,
            Self::Fixed(scale) => scale,
        };
        scale.clamp(LIMITS.0, LIMITS.1)
    }
}

/// Shows the pages; gives the scale, and the page that was clicked.
pub fn show(ui: &mut Ui, pack: &Pack, zoom: Zoom, go_to: Option<usize>) -> (f64, Option<usize>) {
    let t = theme::tokens(ui);
    let room = ui.available_size();
    let largest = |of: fn(&Page) -> f64| pack.pages.iter().map(of).fold(1.0, f64::max);
    let scale = zoom.scale(largest(|p| p.width), largest(|p| p.height), room);
    ui.painter().rect_filled(ui.available_rect_before_wrap(), 0.0, t.track);
    let width = largest(|p| p.width) as f32 * scale as f32;
    let columns = (((room.x - GAP) / (width + GAP)).floor() as usize).clamp(1, pack.pages.len().max(1));
    let mut clicked = None;
    ScrollArea::both().id_salt("sheets").auto_shrink(false).show(ui, |ui| {
        ui.spacing_mut().item_spacing = vec2(0.0, 0.0);
        let row = columns as f32 * (width + GAP) - GAP;
        let left = ((ui.available_width() - row) / 2.0).max(GAP);
        for (line, pages) in pack.pages.chunks(columns).enumerate() {
            ui.add_space(GAP);
            ui.horizontal_top(|ui| {
                ui.add_space(left);
                for (column, page) in pages.iter().enumerate() {
                    let index = line * columns + column;
                    if column > 0 {
                        ui.add_space(GAP);
                    }
                    if sheet(ui, page, pack.sheets, scale, go_to == Some(index)) {
                        clicked = Some(index);
                    }
                }
                ui.add_space(GAP);
            });
        }
        ui.add_space(GAP);
        widgets::keep_focus_in_sight(ui);
    });
    (scale, clicked)
}

/// One page; true where it was clicked.
fn sheet(ui: &mut Ui, page: &Page, of: usize, scale: f64, go_to: bool) -> bool {
    let t = theme::tokens(ui);
    let size = vec2((page.width * scale) as f32, (page.height * scale) as f32);
    let (rect, response) = ui.allocate_exact_size(size, Sense::click());
    let name = format!("Sheet {} of {of}: {}", page.number, page.title);
    response.widget_info(|| WidgetInfo::labeled(Role::Button, true, &name));
    ui.ctx().accesskit_node_builder(response.id, |node| node.set_description(text(page)));
    if go_to {
        response.scroll_to_me(Some(egui::Align::Min));
    }
    if ui.is_rect_visible(rect) {
        let painter = ui.painter_at(rect.intersect(ui.clip_rect()).expand(1.0));
        painter.rect_filled(rect, 0.0, theme::print(crate::diagram::Ink::Paper));
        let whole = Rect::between(Point::default(), Point::new(page.width, page.height));
        let mut view = View::default();
        view.place(scale, whole.min);
        let map = view.on(rect).within(ui.clip_rect());
        let brush = Brush {
            painter: &painter,
            sink: None,
            map,
            colour: &theme::print,
            bold: theme::bold(1.0).family,
            zooming: true,
        };
        brush.page(page.marks.iter().map(|mark| &mark.shape));
        let edge = if response.has_focus() { Stroke::new(3.0, t.fed) } else { Stroke::new(1.0, t.strong_edge) };
        ui.painter().rect_stroke(rect, 0.0, edge, StrokeKind::Outside);
    }
    response.on_hover_cursor(egui::CursorIcon::ZoomIn).clicked()
}

/// What stands on a page, in the order in which it was set.
fn text(page: &Page) -> String {
    let mut out = String::new();
    for mark in &page.marks {
        if let Shape::Text { text, .. } = &mark.shape {
            out.push_str(text);
            out.push('\n');
            if out.len() > MOST_LETTERS {
                break;
            }
        }
    }
    out
}
