//! Paints the items of a scene through the transform: lines, arcs, hatches, and text laid out at its true size.

use super::view::Map;
use crate::diagram::{Align, Ink, Item, Shape, Stroke, Target, Weight, em_per_capital};
use crate::installation::{Point, Rect};
use egui::{Color32, CornerRadius, FontFamily, FontId, Painter, Pos2, StrokeKind, Vec2, vec2};
use std::cell::RefCell;
use std::collections::HashMap;
use std::sync::Arc;

/// Names of appliances are this large in millimetres, or larger; data are smaller.
const NAME_MM: f64 = 2.1;
/// Thinnest pen in points.
const THIN_PT: f32 = 0.75;

/// How much is drawn, by the zoom.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Detail {
    /// Outlines only: no text, no dashes, no hatch strokes.
    Far,
    /// Everything but text that could not be read.
    Whole,
}

impl Detail {
    /// Text of this size in points can be read: what would be smaller is data that is left out, or a tag that is kept
    /// at this size where it has the room.
    pub const READABLE_PT: f32 = 8.0;
    /// Data below this size in points are left out.
    pub const LEAST_TEXT_PT: f32 = 6.0;
    /// Tags below this true size in points are left out.
    pub const LEAST_TAG_PT: f32 = 3.2;

    /// By points per millimetre.
    #[must_use]
    pub fn of(scale: f64) -> Self {
        if scale < 0.8 { Self::Far } else { Self::Whole }
    }
}

/// How the items of one pass are painted.
#[derive(Clone, Copy, Debug, Default)]
pub struct Style {
    /// Added to each pen, in points.
    pub wider: f32,
    /// Every pen in this colour, texts and fills left out.
    pub only: Option<Color32>,
    /// Moves the items, in millimetres.
    pub moved: (f64, f64),
}

/// Paints shapes of the drawing on the screen.
pub struct Brush<'a> {
    /// Where it paints, and lays text out.
    pub painter: &'a Painter,
    /// Where shapes go in place of the painter.
    pub sink: Option<&'a RefCell<Vec<egui::Shape>>>,
    /// The transform.
    pub map: Map,
    /// The colours of the theme.
    pub colour: &'a dyn Fn(Ink) -> Color32,
    /// The font family of bold text.
    pub bold: FontFamily,
    /// True while the zoom runs: sizes are then not rounded to a quarter of a point, so that text grows evenly.
    pub zooming: bool,
}

impl Brush<'_> {
    /// Paints items that can be seen: strokes, and the text over them.
    pub fn items<'i>(&self, items: impl IntoIterator<Item = &'i Item>, style: Style) {
        let items: Vec<(&Item, Option<Rect>)> = items.into_iter().map(|i| (i, extent(&i.shape))).collect();
        self.strokes(items.iter().map(|(i, r)| (*i, r)), self.map.seen(), style);
        self.texts(items.iter().map(|(i, r)| (*i, r)), style);
    }

    /// Paints everything but text that touches `seen`, in millimetres; with each item comes what it covers.
    pub fn strokes<'i>(&self, items: impl IntoIterator<Item = (&'i Item, &'i Option<Rect>)>, seen: Rect, style: Style) {
        let detail = Detail::of(self.map.scale());
        let seen = seen.grown(4.0).moved(-style.moved.0, -style.moved.1);
        for (item, covers) in items {
            if !matches!(item.shape, Shape::Text { .. }) && covers.is_some_and(|r| touches(r, seen)) {
                self.shape(&item.shape, style, detail);
            }
        }
    }

    /// Paints the text that can be seen and read; with each item comes what it covers.
    pub fn texts<'i>(&self, items: impl IntoIterator<Item = (&'i Item, &'i Option<Rect>)>, style: Style) {
        if style.only.is_some() {
            return;
        }
        let seen = self.map.seen().grown(4.0).moved(-style.moved.0, -style.moved.1);
        let mut small = Vec::new();
        for (item, covers) in items {
            let Shape::Text { at, text, size, align, weight, ink } = &item.shape else { continue };
            if !covers.is_some_and(|r| touches(r, seen)) {
                continue;
            }
            if !self.is_small(*size, *weight) {
                self.text(self.pos(*at, style), text, *size, *align, *weight, (self.colour)(*ink));
            } else if *weight == Weight::Bold || *ink == Ink::Line || *size >= NAME_MM {
                small.push(item);
            }
        }
        self.small_texts(small, style);
    }

    fn emit(&self, shape: egui::Shape) {
        match self.sink {
            Some(sink) => sink.borrow_mut().push(shape),
            None => {
                self.painter.add(shape);
            }
        }
    }

    /// Paints the shapes of a page as they are printed: nothing is left out for its size, nothing enlarged.
    pub fn page<'s>(&self, shapes: impl IntoIterator<Item = &'s Shape>) {
        let seen = self.map.seen().grown(2.0);
        for shape in shapes.into_iter().filter(|s| extent(s).is_some_and(|r| touches(r, seen))) {
            match shape {
                Shape::Text { at, text, size, align, weight, ink } => {
                    let points = self.map.len(size * em_per_capital(*weight));
                    if points >= Self::LEAST_PRINT_PT {
                        let colour = (self.colour)(*ink);
                        let (galley, corner) = self.lay_out(self.map.pos(*at), text, points, *align, *weight, colour);
                        self.painter.galley(corner, galley, colour);
                    }
                }
                shape => self.shape(shape, Style::default(), Detail::Whole),
            }
        }
    }

    /// Texts of a page below this size in points are specks, and left out.
    const LEAST_PRINT_PT: f32 = 1.5;

    /// True where a text at its true size could not be read.
    fn is_small(&self, size: f64, weight: Weight) -> bool {
        self.map.len(size * em_per_capital(weight)) < Detail::LEAST_TEXT_PT
    }

    /// Tags and names of a drawing that is seen from afar: at a readable size, as far as they have the room; bold first.
    fn small_texts(&self, mut texts: Vec<&Item>, style: Style) {
        texts.sort_by_key(|i| !matches!(i.shape, Shape::Text { weight: Weight::Bold, .. }));
        let mut taken = Taken::default();
        for item in texts {
            let Shape::Text { at, text, size, align, weight, ink } = &item.shape else { continue };
            let exact = self.map.len(size * em_per_capital(*weight));
            if exact < Detail::LEAST_TAG_PT {
                continue;
            }
            let points = if *weight == Weight::Bold { Detail::READABLE_PT } else { Detail::READABLE_PT - 1.0 };
            // Tags stand on symbols and grow upwards; names lie in boxes; data hang under cables and grow downwards.
            let grown = (points / exact - 1.0) * self.map.len(*size);
            let down = match (weight, item.target) {
                (Weight::Bold, _) => 0.0,
                (Weight::Regular, Some(Target::Cable(_))) => grown,
                (Weight::Regular, _) => grown / 2.0,
            };
            let at = self.pos(*at, style) + vec2(0.0, down);
            let (galley, corner) = self.lay_out(at, text, points, *align, *weight, (self.colour)(*ink));
            let rect = egui::Rect::from_min_size(corner, galley.size());
            if taken.take(rect) {
                self.painter.galley(corner, galley, (self.colour)(*ink));
            }
        }
    }

    fn pen(&self, stroke: Stroke, style: Style) -> egui::Stroke {
        let width = self.map.len(stroke.width).max(THIN_PT.max(1.0 / self.painter.pixels_per_point())) + style.wider;
        egui::Stroke::new(width, style.only.unwrap_or_else(|| (self.colour)(stroke.ink)))
    }

    fn fill(&self, fill: Option<Ink>, style: Style) -> Color32 {
        match fill {
            Some(ink) if style.only.is_none() => (self.colour)(ink),
            _ => Color32::TRANSPARENT,
        }
    }

    fn pos(&self, p: Point, style: Style) -> Pos2 {
        self.map.pos(p.moved(style.moved.0, style.moved.1))
    }

    fn rect(&self, r: Rect, style: Style) -> egui::Rect {
        self.map.rect(r.moved(style.moved.0, style.moved.1))
    }

    fn shape(&self, shape: &Shape, style: Style, detail: Detail) {
        match shape {
            Shape::Path { points, closed, stroke, fill } => {
                let points: Vec<Pos2> = points.iter().map(|p| self.pos(*p, style)).collect();
                self.path(points, *closed, *stroke, *fill, style, detail);
            }
            Shape::Arc { centre, radius, start_deg, sweep_deg, stroke, fill } => {
                let centre = self.pos(*centre, style);
                let radius = self.map.len(*radius);
                if sweep_deg.abs() >= 360.0 {
                    let pen = stroke.map_or(egui::Stroke::NONE, |s| self.pen(s, style));
                    let fill = self.fill(*fill, style);
                    self.emit(egui::epaint::CircleShape { center: centre, radius, fill, stroke: pen }.into());
                } else {
                    let points = arc(centre, radius, *start_deg, *sweep_deg);
                    self.path(points, false, *stroke, *fill, style, detail);
                }
            }
            Shape::Box { rect, radius, stroke, fill } => {
                let rect = self.rect(*rect, style);
                let corner = CornerRadius::same(self.map.len(*radius).clamp(0.0, 250.0) as u8);
                if fill.is_some() {
                    self.emit(egui::Shape::rect_filled(rect, corner, self.fill(*fill, style)));
                }
                match stroke {
                    Some(s) if !s.dash.is_empty() && detail > Detail::Far => {
                        let mut edge = vec![rect.left_top(), rect.right_top(), rect.right_bottom(), rect.left_bottom()];
                        edge.push(rect.left_top());
                        self.line(edge, *s, style, detail);
                    }
                    Some(s) => {
                        self.emit(egui::Shape::rect_stroke(rect, corner, self.pen(*s, style), StrokeKind::Middle));
                    }
                    None => {}
                }
            }
            Shape::Hatch { rect, pitch, stroke } => self.hatch(self.rect(*rect, style), *pitch, *stroke, style),
            // Text goes over all strokes, in a pass of its own.
            Shape::Text { .. } => {}
        }
    }

    fn path(
        &self,
        points: Vec<Pos2>,
        closed: bool,
        stroke: Option<Stroke>,
        fill: Option<Ink>,
        style: Style,
        detail: Detail,
    ) {
        if points.len() < 2 {
            return;
        }
        let fill = self.fill(fill, style);
        if closed {
            let pen = stroke.map_or(egui::Stroke::NONE, |s| self.pen(s, style));
            // The tessellator fills convex outlines only; symbols keep to those.
            self.emit(egui::epaint::PathShape { points, closed: true, fill, stroke: pen.into() }.into());
        } else if let Some(stroke) = stroke {
            self.line(points, stroke, style, detail);
        }
    }

    fn line(&self, points: Vec<Pos2>, stroke: Stroke, style: Style, detail: Detail) {
        let pen = self.pen(stroke, style);
        if stroke.dash.is_empty() || detail == Detail::Far || style.only.is_some() {
            self.emit(egui::Shape::line(points, pen));
            return;
        }
        let length = |mm: &f64| self.map.len(*mm).max(1.5);
        let dashes: Vec<f32> = stroke.dash.iter().step_by(2).map(length).collect();
        let gaps: Vec<f32> = stroke.dash.iter().skip(1).step_by(2).map(length).collect();
        let shapes = egui::Shape::dashed_line_with_offset(&points, pen, &dashes, &gaps, 0.0);
        shapes.into_iter().for_each(|shape| self.emit(shape));
    }

    /// Slanted strokes, cut at the edges of the rectangle.
    fn hatch(&self, rect: egui::Rect, pitch: f64, stroke: Stroke, style: Style) {
        if !rect.is_positive() {
            return;
        }
        let pen = self.pen(stroke, style);
        let pitch = self.map.len(pitch).max(2.5).max((rect.width() + rect.height()) / 2_000.0);
        let mut x = rect.left() - rect.height();
        while x < rect.right() {
            let (from, to) = (x.max(rect.left()), (x + rect.height()).min(rect.right()));
            let ends = [Pos2::new(from, rect.bottom() - (from - x)), Pos2::new(to, rect.bottom() - (to - x))];
            self.emit(egui::Shape::line_segment(ends, pen));
            x += pitch;
        }
    }

    fn text(&self, at: Pos2, text: &str, size: f64, align: Align, weight: Weight, colour: Color32) {
        let exact = self.map.len(size * em_per_capital(weight));
        let points = if self.zooming { exact } else { (exact * 4.0).round() / 4.0 };
        if !(Detail::LEAST_TEXT_PT..=600.0).contains(&exact) {
            return;
        }
        let (galley, corner) = self.lay_out(at, text, points, align, weight, colour);
        self.painter.galley(corner, galley, colour);
    }

    /// Lays a text out at a size in points; its upper left corner, so that its base line lies on `at`.
    fn lay_out(
        &self,
        at: Pos2,
        text: &str,
        points: f32,
        align: Align,
        weight: Weight,
        colour: Color32,
    ) -> (Arc<egui::Galley>, Pos2) {
        let family = match weight {
            Weight::Regular => FontFamily::Proportional,
            Weight::Bold => self.bold.clone(),
        };
        let galley = self.painter.layout_no_wrap(text.to_owned(), FontId::new(points, family), colour);
        let base = galley.rows.first().and_then(|r| r.glyphs.first()).map_or(points, |g| g.pos.y);
        let left = match align {
            Align::Left => 0.0,
            Align::Centre => galley.size().x / 2.0,
            Align::Right => galley.size().x,
        };
        (galley, at - vec2(left, base))
    }
}

/// Places that small texts have taken, by squares of the screen.
#[derive(Default)]
struct Taken(HashMap<(i32, i32), Vec<egui::Rect>>);

impl Taken {
    /// Side of a square in points.
    const SIDE: f32 = 64.0;

    /// Takes a place, unless a part of it is taken.
    fn take(&mut self, rect: egui::Rect) -> bool {
        let cell = |v: f32| (v / Self::SIDE).floor() as i32;
        let cells = || {
            let rows = cell(rect.top())..=cell(rect.bottom());
            rows.flat_map(|y| (cell(rect.left())..=cell(rect.right())).map(move |x| (x, y)))
        };
        let free = cells().all(|c| self.0.get(&c).is_none_or(|held| held.iter().all(|r| !r.intersects(rect))));
        if free {
            cells().for_each(|c| self.0.entry(c).or_default().push(rect));
        }
        free
    }
}

/// Points along an arc, close enough that no corner shows.
fn arc(centre: Pos2, radius: f32, start_deg: f64, sweep_deg: f64) -> Vec<Pos2> {
    let steps = (f64::from(radius.max(1.0)).sqrt() * sweep_deg.abs() / 30.0).ceil().clamp(6.0, 96.0) as u32;
    (0..=steps)
        .map(|i| {
            let a = (start_deg + sweep_deg * f64::from(i) / f64::from(steps)).to_radians();
            centre + Vec2::new(a.cos() as f32, a.sin() as f32) * radius
        })
        .collect()
}

/// True where two rectangles touch, lines without width included.
fn touches(a: Rect, b: Rect) -> bool {
    a.min.x <= b.max.x && b.min.x <= a.max.x && a.min.y <= b.max.y && b.min.y <= a.max.y
}

/// What a shape covers, in millimetres; a text's width is taken generously. `None` where it has no point.
#[must_use]
pub fn extent(shape: &Shape) -> Option<Rect> {
    match shape {
        Shape::Path { points, .. } if points.is_empty() => None,
        Shape::Text { at, text, size, align, .. } => {
            let width = text.chars().count() as f64 * size * 1.1;
            let left = match align {
                Align::Left => 0.0,
                Align::Centre => width / 2.0,
                Align::Right => width,
            };
            Some(Rect::between(at.moved(-left, -1.2 * size), at.moved(width - left, 0.5 * size)))
        }
        other => Some(other.extent()),
    }
}

#[cfg(test)]
mod tests {
    use super::super::view::View;
    use super::*;
    use crate::diagram::Layer;

    fn count(items: &[Item], scale: f64) -> usize {
        let ctx = egui::Context::default();
        let mut n = 0;
        let output = ctx.run_ui(egui::RawInput::default(), |ui| {
            let canvas = egui::Rect::from_min_size(Pos2::ZERO, vec2(400.0, 300.0));
            let mut view = View::default();
            view.zoom(scale / View::NATURAL, Vec2::ZERO);
            view.centre(Point::new(0.0, 0.0), canvas.size());
            let painter = ui.painter_at(canvas);
            let before = painter.add(egui::Shape::Noop);
            let brush = Brush {
                painter: &painter,
                sink: None,
                map: view.on(canvas),
                colour: &|_| Color32::BLACK,
                bold: FontFamily::Proportional,
                zooming: false,
            };
            brush.items(items, Style::default());
            n = painter.add(egui::Shape::Noop).0 - before.0 - 1;
        });
        output.drop_without_applying_deltas();
        n
    }

    fn text(size: f64, at: Point) -> Item {
        let shape =
            Shape::Text { at, text: "Q3".into(), size, align: Align::Centre, weight: Weight::Regular, ink: Ink::Line };
        Item { layer: Layer::Text, target: None, shape }
    }

    #[test]
    fn text_too_small_to_read_is_not_drawn() {
        let items = [text(2.5, Point::new(0.0, 0.0))];
        assert_eq!(count(&items, 4.0), 1);
        assert_eq!(count(&items, 1.5), 1, "a tag is kept readable");
        assert_eq!(count(&items, 0.8), 0);
    }

    #[test]
    fn of_two_small_tags_on_one_place_one_is_drawn() {
        let items = [text(2.5, Point::new(0.0, 0.0)), text(2.5, Point::new(1.0, 0.5))];
        assert_eq!(count(&items, 1.5), 1);
        assert_eq!(count(&items, 4.0), 2);
    }

    #[test]
    fn what_is_not_seen_is_not_painted() {
        assert_eq!(count(&[text(2.5, Point::new(500.0, 0.0))], 4.0), 0);
    }

    #[test]
    fn a_hatch_stays_within_its_rectangle_and_ends() {
        let rect = Rect::around(Point::new(0.0, 0.0), 20.0, 5.0);
        let stroke = Stroke::solid(0.4, Ink::Over);
        let hatch = Item { layer: Layer::Symbol, target: None, shape: Shape::Hatch { rect, pitch: 1.5, stroke } };
        let lines = count(&[hatch], 4.0);
        assert!((10..=40).contains(&lines), "{lines}");
    }

    #[test]
    fn a_line_that_crosses_the_view_is_painted() {
        let points = vec![Point::new(-900.0, 0.0), Point::new(900.0, 0.0)];
        let shape = Shape::Path { points, closed: false, stroke: Some(Stroke::solid(0.5, Ink::Fed)), fill: None };
        assert_eq!(count(&[Item { layer: Layer::Cable, target: None, shape }], 4.0), 1);
    }

    #[test]
    fn an_arc_starts_and_ends_where_it_says() {
        let points = arc(Pos2::ZERO, 10.0, 90.0, 180.0);
        let (first, last) = (points[0], points[points.len() - 1]);
        assert!(first.distance(Pos2::new(0.0, 10.0)) < 1e-3);
        assert!(last.distance(Pos2::new(0.0, -10.0)) < 1e-3);
    }
}
