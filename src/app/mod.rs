//! The window: top bar, locker, canvas, particulars, survey and strip around one [`state::State`].
//!
//! What lives here: everything that knows the window toolkit. What must not: formulae, limits, file formats, layout of
//! the drawing. Each panel is one file and talks to the others through the state alone.

pub mod canvas;
pub mod commands;
pub mod locker;
pub mod state;
pub mod theme;

use crate::installation::Installation;
use state::State;
use std::path::PathBuf;

/// The window.
pub struct App {
    /// What it knows.
    pub state: State,
}

impl App {
    /// Makes the window for a document of a file, or of none. Works without a display.
    #[must_use]
    pub fn new(ctx: &egui::Context, installation: Installation, path: Option<PathBuf>) -> Self {
        theme::install(ctx);
        Self { state: State::new(installation, path) }
    }
}

impl eframe::App for App {
    fn ui(&mut self, ui: &mut egui::Ui, _frame: &mut eframe::Frame) {
        if let Some(command) = commands::Command::pressed(ui.ctx(), ui.ctx().text_edit_focused())
            && command.is_enabled(&self.state)
        {
            self.state.command(command);
        }
        self.state.refresh();
        egui::CentralPanel::no_frame().show(ui, |ui| canvas::show(ui, &mut self.state));
    }
}

/// Opens the window and returns when it is closed.
///
/// # Errors
/// Where no window can be opened.
pub fn run(file: Option<PathBuf>) -> anyhow::Result<()> {
    let options = eframe::NativeOptions {
        viewport: egui::ViewportBuilder::default()
            .with_app_id("hullwire")
            .with_title("Hullwire")
            .with_inner_size([1280.0, 800.0])
            .with_min_inner_size([900.0, 560.0])
            .with_drag_and_drop(true),
        renderer: eframe::Renderer::Glow,
        system_font_fallback: false,
        ..Default::default()
    };
    let create: eframe::AppCreator<'_> =
        Box::new(|cc| Ok(Box::new(App::new(&cc.egui_ctx, Installation::new(Default::default()), file))));
    eframe::run_native("hullwire", options, create)
        .map_err(|error| anyhow::anyhow!("the window could not be opened: {error}"))
}
