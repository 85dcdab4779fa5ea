//! Pictures of the main views on a (software) GPU, in both themes and two sizes. A missing picture fails; after a change
//! that is meant, `UPDATE_SNAPSHOTS=1 cargo test --features rendered --test pictures` takes them anew.
#![cfg(feature = "rendered")]

use egui::{Key, Modifiers, Theme, vec2};
use egui_kittest::kittest::Queryable as _;
use egui_kittest::{Harness, SnapshotResults};
use hullwire::app::App;
use hullwire::app::tab::Tab;
use hullwire::store;
use std::time::{Duration, Instant};

/// Until sheets that are made beside the window are there.
fn settle(window: &mut Harness<'_, App>) {
    let start = Instant::now();
    let busy = |w: &Harness<'_, App>| w.query_all_by_label_contains("making them anew").count() > 0;
    while busy(window) {
        assert!(start.elapsed() < Duration::from_secs(60), "the sheets did not come");
        std::thread::sleep(Duration::from_millis(10));
        window.step();
    }
    window.run();
}

/// Takes a view in both themes and two sizes, once it has been gone to.
fn pictures(view: &str, go: impl Fn(&mut Harness<'_, App>)) {
    let mut results = SnapshotResults::new();
    for (theme, name) in [(Theme::Light, "light"), (Theme::Dark, "night")] {
        for (width, height) in [(1280.0, 800.0), (1920.0, 1200.0)] {
            let mut window = Harness::builder()
                .with_size(vec2(width, height))
                .with_theme(theme)
                .with_max_steps(60)
                .wgpu()
                .build_eframe(move |cc| {
                    cc.egui_ctx.set_theme(theme);
                    let sample = store::sample().unwrap().installation;
                    App::new(&cc.egui_ctx, sample, None).of_sample()
                });
            window.run();
            go(&mut window);
            window.run();
            settle(&mut window);
            results.add(window.try_snapshot(format!("{view}_{name}_{width}x{height}")));
        }
    }
}

#[test]
fn the_drawing() {
    pictures("window", |window| window.state_mut().state.tab = Tab::Drawing);
}

#[test]
fn what_runs_together() {
    pictures("loads", |window| window.state_mut().state.tab = Tab::Loads);
}

#[test]
fn how_long_the_fuel_lasts() {
    pictures("endurance", |window| window.state_mut().state.tab = Tab::Endurance);
}

#[test]
fn the_sheets() {
    pictures("sheets", |window| window.state_mut().state.tab = Tab::Sheets);
}

#[test]
fn the_first_questions() {
    pictures("start", |window| window.key_press_modifiers(Modifiers::COMMAND.plus(Modifiers::SHIFT), Key::N));
}
