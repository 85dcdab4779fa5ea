//! A window with a drawing for tests of the canvas, and where things on it are.

use egui::Pos2;
use egui::accesskit::Role;
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable as _;
use hullwire::app::App;
use hullwire::installation::{Installation, PartId, PartKind, Point};

/// A window under test.
pub type Desk = Harness<'static, App>;

/// A window with this drawing. A press counts as a click however many frames pass until it is let go: work beside the
/// window asks for frames when it pleases, and each frame is a quarter of a second here.
pub fn desk(doc: Installation) -> Desk {
    let mut desk =
        Harness::builder().with_size(egui::vec2(1600.0, 1000.0)).with_max_steps(60).build_eframe(move |cc| {
            cc.egui_ctx.options_mut(|options| options.input_options.max_click_duration = f64::INFINITY);
            App::new(&cc.egui_ctx, doc, None)
        });
    desk.run();
    desk
}

/// The drawing.
pub fn doc(desk: &Desk) -> &Installation {
    desk.state().state.installation()
}

/// The part with this tag.
pub fn id(desk: &Desk, tag: &str) -> PartId {
    doc(desk).part_by_tag(tag).unwrap_or_else(|| panic!("there is no {tag}"))
}

/// Where the drawing has it, in millimetres.
pub fn place(desk: &Desk, tag: &str) -> Point {
    doc(desk).parts[&id(desk, tag)].position()
}

/// Where the part with a name that starts so is on the screen.
pub fn part(desk: &Desk, start: &str) -> Pos2 {
    let starts: Vec<String> = PartKind::ALL.iter().map(|kind| format!("{start} {}", kind.name())).collect();
    let mut found = desk.get_all_by(move |node| {
        let label = node.label().unwrap_or_default();
        node.role() == Role::Button && starts.iter().any(|s| label.starts_with(s)) && label.contains(", ")
    });
    found.next().unwrap_or_else(|| panic!("nothing is called {start}")).rect().center()
}
