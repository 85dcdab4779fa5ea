//! Pictures of the main window on a (software) GPU, in both themes and two sizes. A missing picture fails; after a change
//! that is meant, `UPDATE_SNAPSHOTS=1 cargo test --features rendered --test pictures` takes them anew.
#![cfg(feature = "rendered")]

use egui::{Theme, vec2};
use egui_kittest::{Harness, SnapshotResults};
use hullwire::app::App;
use hullwire::store;

#[test]
fn the_main_window_in_both_themes_and_two_sizes() {
    let mut results = SnapshotResults::new();
    for (theme, name) in [(Theme::Light, "light"), (Theme::Dark, "night")] {
        for (width, height) in [(1280.0, 800.0), (1920.0, 1200.0)] {
            let mut window = Harness::builder()
                .with_size(vec2(width, height))
                .with_theme(theme)
                .with_max_steps(40)
                .wgpu()
                .build_eframe(move |cc| {
                    cc.egui_ctx.set_theme(theme);
                    let sample = store::sample().unwrap().installation;
                    App::new(&cc.egui_ctx, sample, None).of_sample()
                });
            window.run();
            results.add(window.try_snapshot(format!("window_{name}_{width}x{height}")));
        }
    }
}
