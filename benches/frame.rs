//! CPU time of one whole frame of the window: layout of all panels, the canvas, and tessellation. No GPU is in it. Two
//! cores and a software driver then have the rest of a frame for themselves.

#[path = "../tests/support/large.rs"]
mod large;

use divan::Bencher;
use egui::{Context, Event, Modifiers, MouseWheelUnit, PointerButton, Pos2, RawInput, TouchPhase, Vec2, pos2, vec2};
use hullwire::app::App;
use hullwire::diagram::lay_out;
use std::time::Duration;

const SIZES: [usize; 3] = [125, 500, 2_000];
const SIZE: Vec2 = vec2(1280.0, 800.0);
/// A free place of the canvas, between locker and particulars.
const MIDDLE: Pos2 = pos2(560.0, 380.0);

fn main() {
    divan::main();
}

/// A window without a display.
struct Window {
    ctx: Context,
    app: App,
    time: f64,
}

impl Window {
    fn open(parts: usize) -> Self {
        let mut boat = large::boat(parts);
        lay_out(&mut boat);
        let ctx = Context::default();
        let app = App::new(&ctx, boat, None);
        let mut window = Self { ctx, app, time: 0.0 };
        window.settle();
        window
    }

    /// Until everything is worked out and at rest.
    fn settle(&mut self) {
        for _ in 0..400 {
            self.frame(Vec::new());
            if !self.app.state.is_behind() {
                break;
            }
            std::thread::sleep(Duration::from_millis(5));
        }
        for _ in 0..5 {
            self.frame(Vec::new());
        }
    }

    /// One frame, up to the triangles.
    fn frame(&mut self, events: Vec<Event>) -> usize {
        self.time += 1.0 / 60.0;
        let screen_rect = Some(egui::Rect::from_min_size(Pos2::ZERO, SIZE));
        let input = RawInput { events, time: Some(self.time), screen_rect, ..RawInput::default() };
        let Self { ctx, app, .. } = self;
        let mut output = ctx.run_ui(input, |ui| app.show(ui));
        let shapes = std::mem::take(&mut output.shapes);
        let pixels = output.pixels_per_point;
        output.drop_without_applying_deltas();
        ctx.tessellate(shapes, pixels).len()
    }

    fn zoom(&mut self, factor: f64) {
        self.app.state.view.zoom(factor, SIZE / 2.0);
        self.settle();
    }
}

/// The pointer moves over the whole drawing.
#[divan::bench(args = SIZES)]
fn hover_all(bencher: Bencher, parts: usize) {
    let mut window = Window::open(parts);
    let mut n = 0.0;
    bencher.bench_local(|| {
        n = (n + 1.0) % 50.0;
        window.frame(vec![Event::PointerMoved(MIDDLE + vec2(n, n))])
    });
}

/// The pointer moves over a part of the drawing at natural size.
#[divan::bench(args = SIZES)]
fn hover_close(bencher: Bencher, parts: usize) {
    let mut window = Window::open(parts);
    let factor = 100.0 / window.app.state.view.percent();
    window.zoom(factor);
    let mut n = 0.0;
    bencher.bench_local(|| {
        n = (n + 1.0) % 50.0;
        window.frame(vec![Event::PointerMoved(MIDDLE + vec2(n, n))])
    });
}

/// The sheet is moved back and forth by the wheel, all of it seen.
#[divan::bench(args = SIZES)]
fn pan_all(bencher: Bencher, parts: usize) {
    let mut window = Window::open(parts);
    pan(bencher, &mut window);
}

/// The same at natural size.
#[divan::bench(args = SIZES)]
fn pan_close(bencher: Bencher, parts: usize) {
    let mut window = Window::open(parts);
    let factor = 100.0 / window.app.state.view.percent();
    window.zoom(factor);
    pan(bencher, &mut window);
}

fn pan(bencher: Bencher, window: &mut Window) {
    window.frame(vec![Event::PointerMoved(MIDDLE)]);
    let mut n = 0;
    bencher.bench_local(|| {
        n += 1;
        let delta = vec2(0.0, if n / 20 % 2 == 0 { 12.0 } else { -12.0 });
        let (unit, phase, modifiers) = (MouseWheelUnit::Point, TouchPhase::Move, Modifiers::NONE);
        let source = egui::MouseWheelSource::Unknown;
        window.frame(vec![Event::MouseWheel { unit, delta, phase, modifiers, source }])
    });
}

/// A part is dragged; every frame changes the drawing.
#[divan::bench(args = SIZES)]
fn drag_part(bencher: Bencher, parts: usize) {
    let mut window = Window::open(parts);
    let factor = 100.0 / window.app.state.view.percent();
    window.zoom(factor);
    // A part comes to the middle of the canvas.
    let canvas = window.app.state.canvas.screen.unwrap_or(egui::Rect::NOTHING);
    let area = window.app.state.computed.scene.parts.get(parts / 2).cloned();
    assert!(area.is_some() && canvas.is_positive(), "a part is drawn");
    let Some(area) = area else { return };
    window.app.state.view.centre(area.symbol.centre(), canvas.size());
    window.settle();
    let at = window.app.state.view.on(canvas).pos(area.symbol.centre());
    let before = window.app.state.history.depth();
    let button =
        |pressed| Event::PointerButton { pos: at, button: PointerButton::Primary, pressed, modifiers: Modifiers::NONE };
    window.frame(vec![Event::PointerMoved(at)]);
    window.frame(vec![button(true)]);
    let mut n = 0.0;
    bencher.bench_local(|| {
        n = (n + 1.0) % 10.0;
        window.frame(vec![Event::PointerMoved(at + vec2(20.0 * n, 20.0 * n))])
    });
    assert!(window.app.state.history.depth() > before, "it was dragged");
}
