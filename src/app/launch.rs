//! Opens the window: its size, icon and folders.

use super::{App, autosave, icon};
use std::path::PathBuf;

/// Where preferences are kept.
fn preferences_folder() -> Option<PathBuf> {
    use etcetera::BaseStrategy;
    Some(etcetera::choose_base_strategy().ok()?.config_dir().join("hullwire"))
}

/// Where journals are kept: beside the other state of the user's programs.
fn journal_folder() -> Option<PathBuf> {
    use etcetera::BaseStrategy;
    let base = etcetera::choose_base_strategy().ok()?;
    Some(base.state_dir().unwrap_or_else(|| base.data_dir()).join("hullwire"))
}

/// Opens the window and returns when it is closed.
///
/// # Errors
/// Where the file cannot be opened, with everything that is wrong with it, or where no window can be opened.
pub fn run(file: Option<PathBuf>) -> anyhow::Result<()> {
    let (installation, path, list) = match file {
        Some(path) => {
            let opened = crate::store::open(&path)?;
            (opened.installation, Some(path), opened.form != crate::store::Form::Drawing)
        }
        None => (crate::store::sample()?.installation, None, false),
    };
    let viewport = egui::ViewportBuilder::default()
        .with_app_id("hullwire")
        .with_title("Hullwire")
        .with_inner_size([1280.0, 800.0])
        .with_min_inner_size([640.0, 400.0])
        .with_drag_and_drop(true);
    let options = eframe::NativeOptions {
        viewport: match icon::icon() {
            Some(icon) => viewport.with_icon(icon),
            None => viewport,
        },
        renderer: eframe::Renderer::Glow,
        system_font_fallback: false,
        ..Default::default()
    };
    let create: eframe::AppCreator<'_> = Box::new(move |cc| {
        let of_sample = path.is_none();
        let mut app = App::new(&cc.egui_ctx, installation, path.filter(|_| !list));
        if list {
            app.state.history.mark_unsaved();
        }
        if let Some(dir) = preferences_folder() {
            app = app.with_preferences(dir);
        }
        if let Some(dir) = journal_folder() {
            app = app.with_journal(&cc.egui_ctx, dir, autosave::Timing::default());
        }
        Ok(Box::new(if of_sample { app.of_sample() } else { app }))
    });
    eframe::run_native("hullwire", options, create)
        .map_err(|error| anyhow::anyhow!("the window could not be opened: {error}"))
}
