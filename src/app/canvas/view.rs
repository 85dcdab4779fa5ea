//! The view: which part of the drawing is seen, and how large. Millimetres of the drawing to points of the screen.

use crate::installation::{Point, Rect};
use egui::{Pos2, Vec2};

/// What is seen. Kept between frames; the canvas may move and change its size.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct View {
    /// Points of the screen per millimetre of the drawing.
    scale: f64,
    /// The point of the drawing that lies in the upper left corner of the canvas.
    corner: Point,
}

impl Default for View {
    fn default() -> Self {
        Self { scale: Self::NATURAL, corner: Point::new(-10.0, -10.0) }
    }
}

impl View {
    /// Natural size: 96 points to the inch.
    pub const NATURAL: f64 = 96.0 / 25.4;
    /// The smallest and the largest scale, in points per millimetre.
    pub const LIMITS: (f64, f64) = (0.25, 40.0);
    /// Fitting never enlarges above this scale, so that a drawing of two parts does not fill the screen with them.
    const FIT_MOST: f64 = 5.0;
    /// How far a drawing may be moved away, in millimetres.
    const FAR: f64 = 1.0e6;

    /// Points per millimetre.
    #[must_use]
    pub fn scale(self) -> f64 {
        self.scale
    }

    /// The scale in per cent of natural size.
    #[must_use]
    pub fn percent(self) -> f64 {
        100.0 * self.scale / Self::NATURAL
    }

    /// The transform for a canvas at this place of the screen.
    #[must_use]
    pub fn on(self, canvas: egui::Rect) -> Map {
        Map { scale: self.scale, corner: self.corner, origin: canvas.min, canvas }
    }

    /// Changes the scale by a factor; what lies under `pointer` (points from the canvas's corner) stays there.
    pub fn zoom(&mut self, factor: f64, pointer: Vec2) {
        let scale = (self.scale * factor).clamp(Self::LIMITS.0, Self::LIMITS.1);
        let fixed = self.corner.moved(f64::from(pointer.x) / self.scale, f64::from(pointer.y) / self.scale);
        let corner = fixed.moved(-f64::from(pointer.x) / scale, -f64::from(pointer.y) / scale);
        self.take(scale, corner);
    }

    /// Moves the drawing with the pointer, by points of the screen.
    pub fn pan(&mut self, by: Vec2) {
        let corner = self.corner.moved(-f64::from(by.x) / self.scale, -f64::from(by.y) / self.scale);
        self.take(self.scale, corner);
    }

    /// Shows all of `bounds` in a canvas of this size, with a margin in points.
    pub fn fit(&mut self, bounds: Rect, canvas: Vec2, margin: f32) {
        let room = canvas - Vec2::splat(2.0 * margin);
        if !(room.x > 1.0 && room.y > 1.0) {
            return;
        }
        let across = f64::from(room.x) / bounds.width().max(1.0);
        let down = f64::from(room.y) / bounds.height().max(1.0);
        let scale = across.min(down).clamp(Self::LIMITS.0, Self::FIT_MOST);
        self.take(scale, self.corner);
        self.centre(bounds.centre(), canvas);
    }

    /// Puts a point of the drawing in the middle of a canvas of this size.
    pub fn centre(&mut self, on: Point, canvas: Vec2) {
        let half = canvas / 2.0;
        let corner = on.moved(-f64::from(half.x) / self.scale, -f64::from(half.y) / self.scale);
        self.take(self.scale, corner);
    }

    /// Takes a scale in points per millimetre and the point that lies in the upper left corner.
    pub fn place(&mut self, scale: f64, corner: Point) {
        self.take(scale, corner);
    }

    /// Moves the drawing no more than is needed to see `rect` in a canvas of this size; centres what is larger or far.
    pub fn reveal(&mut self, rect: Rect, canvas: Vec2) {
        let (wide, high) = (f64::from(canvas.x) / self.scale, f64::from(canvas.y) / self.scale);
        let seen = Rect { min: self.corner, max: self.corner.moved(wide, high) };
        let margin = (24.0 / self.scale).min(wide / 4.0).min(high / 4.0);
        let room = seen.grown(-margin);
        if room.contains(rect.min) && room.contains(rect.max) {
            return;
        }
        self.centre(rect.centre(), canvas);
    }

    /// Takes new values over, if they are numbers and within reach.
    fn take(&mut self, scale: f64, corner: Point) {
        if scale.is_finite() && scale > 0.0 {
            self.scale = scale;
        }
        if corner.is_finite() {
            self.corner = Point::new(corner.x.clamp(-Self::FAR, Self::FAR), corner.y.clamp(-Self::FAR, Self::FAR));
        }
    }
}

/// The transform of one frame: a [`View`] on a canvas at its place.
#[derive(Clone, Copy, Debug)]
pub struct Map {
    scale: f64,
    corner: Point,
    origin: Pos2,
    /// Where the canvas is on the screen.
    pub canvas: egui::Rect,
}

impl Map {
    /// The same, of which no more than this part of the screen is seen.
    #[must_use]
    pub fn within(mut self, clip: egui::Rect) -> Self {
        self.canvas = self.canvas.intersect(clip);
        self
    }

    /// Points per millimetre.
    #[must_use]
    pub fn scale(&self) -> f64 {
        self.scale
    }

    /// A point of the drawing on the screen.
    #[must_use]
    pub fn pos(&self, p: Point) -> Pos2 {
        self.origin
            + Vec2::new(((p.x - self.corner.x) * self.scale) as f32, ((p.y - self.corner.y) * self.scale) as f32)
    }

    /// A length of the drawing in points.
    #[must_use]
    pub fn len(&self, mm: f64) -> f32 {
        (mm * self.scale) as f32
    }

    /// A rectangle of the drawing on the screen.
    #[must_use]
    pub fn rect(&self, r: Rect) -> egui::Rect {
        egui::Rect::from_min_max(self.pos(r.min), self.pos(r.max))
    }

    /// A place on the screen in the drawing.
    #[must_use]
    pub fn point(&self, p: Pos2) -> Point {
        let from = p - self.origin;
        self.corner.moved(f64::from(from.x) / self.scale, f64::from(from.y) / self.scale)
    }

    /// A length in points as millimetres.
    #[must_use]
    pub fn mm(&self, points: f32) -> f64 {
        f64::from(points) / self.scale
    }

    /// What is seen of the drawing.
    #[must_use]
    pub fn seen(&self) -> Rect {
        Rect { min: self.point(self.canvas.min), max: self.point(self.canvas.max) }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const SIZE: Vec2 = Vec2::new(800.0, 600.0);

    fn canvas() -> egui::Rect {
        egui::Rect::from_min_size(Pos2::new(170.0, 40.0), SIZE)
    }

    fn near(a: Point, b: Point) -> bool {
        a.distance(b) < 1e-3
    }

    #[test]
    fn there_and_back_is_the_same_place() {
        let mut view = View::default();
        view.zoom(1.7, Vec2::new(20.0, 30.0));
        view.pan(Vec2::new(-400.0, 12.5));
        let map = view.on(canvas());
        let p = Point::new(123.0, -45.0);
        assert!(near(map.point(map.pos(p)), p));
        assert!((map.mm(map.len(7.0)) - 7.0).abs() < 1e-6);
    }

    #[test]
    fn zoom_keeps_what_is_under_the_pointer() {
        let mut view = View::default();
        let pointer = Vec2::new(333.0, 222.0);
        let before = view.on(canvas()).point(canvas().min + pointer);
        for factor in [1.3, 0.2, 9.0] {
            view.zoom(factor, pointer);
            assert!(near(view.on(canvas()).point(canvas().min + pointer), before), "{factor}");
        }
    }

    #[test]
    fn zoom_stays_within_its_limits_and_refuses_what_is_no_number() {
        let mut view = View::default();
        view.zoom(1e9, Vec2::ZERO);
        assert!((view.scale() - View::LIMITS.1).abs() < 1e-9);
        view.zoom(1e-9, Vec2::ZERO);
        assert!((view.scale() - View::LIMITS.0).abs() < 1e-9);
        let before = view;
        view.zoom(f64::NAN, Vec2::ZERO);
        view.pan(Vec2::new(f32::NAN, 0.0));
        view.centre(Point::new(f64::INFINITY, 0.0), SIZE);
        assert_eq!(view, before);
    }

    #[test]
    fn fit_shows_all_of_it_and_centres_it() {
        let mut view = View::default();
        let bounds = Rect::between(Point::new(-50.0, 20.0), Point::new(350.0, 220.0));
        view.fit(bounds, SIZE, 20.0);
        let seen = view.on(canvas()).seen();
        assert!(seen.contains(bounds.min) && seen.contains(bounds.max));
        assert!(near(seen.centre(), bounds.centre()));
        let tiny = Rect::around(Point::new(5.0, 5.0), 1.0, 1.0);
        view.fit(tiny, SIZE, 20.0);
        assert!(view.scale() <= View::FIT_MOST, "two parts do not fill the screen");
    }

    #[test]
    fn fit_of_nothing_in_no_room_changes_nothing() {
        let mut view = View::default();
        view.fit(Rect::default(), Vec2::ZERO, 20.0);
        assert_eq!(view, View::default());
    }

    #[test]
    fn reveal_leaves_what_is_seen_where_it_is() {
        let mut view = View::default();
        view.centre(Point::new(0.0, 0.0), SIZE);
        let before = view;
        view.reveal(Rect::around(Point::new(10.0, 10.0), 20.0, 10.0), SIZE);
        assert_eq!(view, before);
        view.reveal(Rect::around(Point::new(900.0, 10.0), 20.0, 10.0), SIZE);
        assert!(view.on(canvas()).seen().contains(Point::new(900.0, 10.0)));
    }
}
