//! Whoever works by keyboard sees where they are: in every view the picture changes where the focus comes to.
#![cfg(feature = "window")]

use egui::{Key, Rect, vec2};
use egui_kittest::Harness;
use egui_kittest::kittest::NodeT as _;
use hullwire::app::App;
use hullwire::app::tab::Tab;
use hullwire::store;
use std::collections::BTreeSet;
use std::time::{Duration, Instant};

type Window = Harness<'static, App>;

fn window(tab: Tab) -> Window {
    let sample = store::sample().unwrap().installation;
    let mut window = Harness::builder()
        .with_size(vec2(1440.0, 1000.0))
        .with_max_steps(60)
        .build_eframe(move |cc| App::new(&cc.egui_ctx, sample, None));
    window.run();
    window.state_mut().state.tab = tab;
    // What is made beside the window is there before anything is compared.
    let start = Instant::now();
    let patience = Duration::from_millis(if tab == Tab::Sheets { 3000 } else { 200 });
    while start.elapsed() < patience {
        window.step();
        std::thread::sleep(Duration::from_millis(20));
    }
    window
}

/// Name and place of what has the focus.
fn focused(window: &Window) -> Option<(String, Rect)> {
    let node = window.root().children_recursive().find(|n| n.accesskit_node().is_focused())?;
    let name = node.accesskit_node().label().or(node.accesskit_node().value()).unwrap_or_default();
    Some((name, node.rect()))
}

/// What is drawn on and around a place.
fn drawn(window: &Window, place: Rect) -> BTreeSet<String> {
    let around = place.expand(8.0);
    let shapes = window.output().shapes.iter();
    shapes.filter(|s| s.shape.visual_bounding_rect().intersects(around)).map(|s| format!("{:?}", s.shape)).collect()
}

#[test]
fn the_focus_is_seen_in_every_view() {
    let mut unseen = BTreeSet::new();
    for &tab in Tab::ALL {
        let mut window = window(tab);
        let mut names = BTreeSet::new();
        let mut before: Option<(String, Rect)> = None;
        for _ in 0..110 {
            window.key_press(Key::Tab);
            window.run();
            let Some((name, rect)) = focused(&window) else { continue };
            if before.as_ref().is_some_and(|(old, at)| *old == name && *at == rect) {
                continue;
            }
            let with = drawn(&window, rect);
            // The same place once the focus has gone on.
            window.key_press(Key::Tab);
            window.run();
            let after = focused(&window);
            if after.as_ref().is_some_and(|(_, at)| *at != rect) && drawn(&window, rect) == with {
                unseen.insert(format!("{tab:?}: {name}"));
            }
            names.insert(name.clone());
            before = after;
        }
        assert!(names.len() > 8, "{tab:?}: the focus goes through {names:?}");
    }
    assert!(unseen.is_empty(), "the focus is not seen on:\n{}", unseen.into_iter().collect::<Vec<_>>().join("\n"));
}
