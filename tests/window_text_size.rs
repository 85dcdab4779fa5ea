//! Text from 80 to 200 %: in every view, nothing that can be read or operated is cut off at the side, and all of the bars
//! is there.
#![cfg(feature = "window")]

#[path = "support/drawing.rs"]
#[allow(dead_code, reason = "a part of it is used here")]
mod drawing;

use egui::accesskit::Role;
use egui::{Rect, Vec2, vec2};
use egui_kittest::Harness;
use egui_kittest::kittest::{NodeT as _, Queryable as _};
use hullwire::app::App;
use hullwire::app::tab::Tab;

type Window = Harness<'static, App>;

const SCREEN: Vec2 = vec2(1280.0, 800.0);

/// The window at a text size: the toolkit then has as many points less as each is larger.
fn window(percent: u16, doc: hullwire::installation::Installation) -> Window {
    let factor = f32::from(percent) / 100.0;
    let mut window = Harness::builder()
        .with_size(SCREEN / factor)
        .with_pixels_per_point(factor)
        .with_max_steps(60)
        .build_eframe(move |cc| App::new(&cc.egui_ctx, doc, None));
    window.run_steps(8);
    window
}

fn sample() -> hullwire::installation::Installation {
    hullwire::store::sample().unwrap().installation
}

/// Texts and controls that reach beyond the sides of the window; parts of the drawing may, and what a table scrolls to.
fn beyond(window: &Window, percent: u16, scrolled: impl Fn(Rect) -> bool) -> Vec<String> {
    let width = SCREEN.x / f32::from(percent) * 100.0;
    let mut out = Vec::new();
    for node in window.root().children_recursive() {
        let role = node.accesskit_node().role();
        if node.accesskit_node().raw_bounds().is_none() {
            continue;
        }
        let control = matches!(
            role,
            Role::Label
                | Role::Button
                | Role::CheckBox
                | Role::TextInput
                | Role::ComboBox
                | Role::Tab
                | Role::RadioButton
        );
        let name = node.accesskit_node().label().or_else(|| node.accesskit_node().value()).unwrap_or_default();
        let rect = node.rect();
        let of_drawing = drawn_names(&name);
        if control && !of_drawing && !scrolled(rect) && (rect.right() > width + 1.0 || rect.left() < -1.0) {
            out.push(format!("{role:?} “{name}” from {:.0} to {:.0} of {width:.0}", rect.left(), rect.right()));
        }
    }
    out
}

/// Names of what lies on the canvas.
fn drawn_names(name: &str) -> bool {
    name.starts_with("Cable ")
        || name.ends_with(" terminal")
        || name.ends_with(" space")
        || name.ends_with(" switch")
        || hullwire::installation::PartKind::ALL
            .iter()
            .any(|k| name.contains(&format!(" {}", k.name())) && name.contains(", "))
}

#[test]
fn no_view_is_cut_at_the_side_at_any_text_size() {
    let mut wrong = Vec::new();
    for percent in [80, 100, 150, 200] {
        let mut window = window(percent, sample());
        for tab in Tab::ALL {
            window.state_mut().state.tab = *tab;
            window.run_steps(8);
            let height = SCREEN.y / f32::from(percent) * 100.0;
            // The strip at the foot and the tables of the loads scroll sideways where there is little room.
            let loads = *tab == Tab::Loads;
            let scrolled = |rect: Rect| percent >= 150 && (rect.top() > height - 90.0 || loads && rect.top() > 76.0);
            let found = beyond(&window, percent, scrolled);
            wrong.extend(found.into_iter().map(|what| format!("{percent} %, {}: {what}", tab.name())));
        }
    }
    assert!(wrong.is_empty(), "{} cut:\n{}", wrong.len(), wrong.join("\n"));
}

#[test]
fn what_is_needed_first_is_in_the_window_at_any_text_size() {
    for percent in [80, 100, 125, 150, 200] {
        let window = window(percent, drawing::small());
        let screen = Rect::from_min_size(egui::Pos2::ZERO, SCREEN / f32::from(percent) * 100.0);
        for name in ["File", "Edit", "Help"] {
            let rect = window.get_by_role_and_label(Role::Button, name).rect();
            assert!(screen.contains_rect(rect), "{percent} %: {name} at {rect:?} of {screen:?}");
        }
        for start in ["Condition: ", "Fed from: ", "Drawing sheet", "View: "] {
            let rect = window
                .get_all_by_label_contains(start)
                .next()
                .unwrap_or_else(|| panic!("{percent} %: no {start}"))
                .rect();
            assert!(screen.contains_rect(rect), "{percent} %: {start} at {rect:?} of {screen:?}");
        }
        let canvas = window.get_by_label("Drawing sheet").rect();
        assert!(canvas.width() >= 240.0 && canvas.height() >= 90.0, "{percent} %: the canvas has {canvas:?}");
    }
}

#[test]
fn with_large_text_one_panel_stands_beside_the_drawing_and_is_chosen_by_name() {
    let mut window = window(200, drawing::small());
    assert!(window.query_by_label("Find in the locker").is_some());
    window.get_by_label("Panel: Survey").click();
    window.run_steps(4);
    assert!(window.query_all_by_label_contains("WARNING: Q3").next().is_some());
    assert!(window.query_by_label("Find in the locker").is_none());
    let breaker = window.state().state.installation().part_by_tag("Q3").unwrap();
    window.state_mut().state.select(hullwire::installation::Selection::part(breaker));
    window.get_by_label("Panel: Particulars").click();
    window.run_steps(4);
    let field = window.get_by_label("Q3 rated current").rect();
    assert!(field.right() <= SCREEN.x / 2.0 && field.width() > 60.0, "{field:?}");
}
