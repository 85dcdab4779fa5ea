//! Writing the pack: on a thread of its own, with progress and a way to stop it.

use crate::app::state::State;
use crate::app::widgets;
use crate::app::worker::Worker;
use crate::sheets::{self, Format, Options, WriteError, Written};
use crate::store;
use egui::{Context, Ui};
use std::path::{Path, PathBuf};
use std::sync::Arc;

/// What the work tells.
enum News {
    Step(String, f64),
    Done(Result<(), String>),
}

/// A file that is being written.
pub struct Export {
    worker: Worker<News>,
    path: PathBuf,
    step: String,
    share: f64,
}

/// How it ended.
pub enum Outcome {
    /// It is written.
    Written(PathBuf),
    /// It is not; why.
    Failed(String),
    /// The person stopped it.
    Stopped,
}

/// The endings of files, as `.pdf, .svg`.
#[must_use]
pub fn endings() -> String {
    let endings = Format::ALL.iter().map(|f| f.ending()).filter(|e| !e.is_empty());
    endings.map(|e| format!(".{e}")).collect::<Vec<_>>().join(", ")
}

/// The format that a path asks for by its ending; a path that ends in `/`, or is a folder, asks for a folder of CSV files.
///
/// # Errors
/// Says which endings are valid.
pub fn format(path: &Path) -> Result<Format, String> {
    if path.to_string_lossy().ends_with(['/', '\\']) || path.is_dir() {
        return Ok(Format::Folder);
    }
    let ending = path.extension().and_then(|e| e.to_str()).unwrap_or_default();
    let valid = || format!("the ending says the format; found “{ending}”; valid: {}", endings());
    Format::of_ending(ending).ok_or_else(valid)
}

fn write(path: &Path, written: &Written) -> Result<(), String> {
    let done = match written {
        Written::File(bytes) => store::write_bytes(path, bytes, false).map(drop),
        Written::Folder(files) => store::write_folder(path, files),
    };
    done.map_err(|e| e.to_string())
}

impl Export {
    /// Begins.
    #[must_use]
    pub fn start(ctx: &Context, state: &State, options: Options, path: PathBuf, format: Format) -> Self {
        let doc = Arc::clone(state.installation());
        let to = path.clone();
        let worker = Worker::start("export", ctx, move |line| {
            let mut step = |name: &str, share: f64| line.tell(News::Step(name.to_owned(), share));
            let done = store::to_text(&doc)
                .map_err(WriteError::Failed)
                .and_then(|drawing| sheets::write(format, &doc, &options, &drawing, &mut step))
                .map_err(|e| e.to_string())
                .and_then(|written| if line.go_on() { write(&to, &written) } else { Err("stopped".to_owned()) });
            line.tell(News::Done(done));
        });
        Self { worker, path, step: "Begin".to_owned(), share: 0.0 }
    }

    /// Shows how far it is; gives how it ended.
    pub fn show(&mut self, ui: &mut Ui) -> Option<Outcome> {
        while let Some(news) = self.worker.poll() {
            match news {
                News::Step(step, share) => (self.step, self.share) = (step, share),
                News::Done(Ok(())) => return Some(Outcome::Written(self.path.clone())),
                News::Done(Err(why)) => return Some(Outcome::Failed(why)),
            }
        }
        if self.worker.is_over() {
            return Some(Outcome::Failed("an error inside the program stopped it".to_owned()));
        }
        let bar = egui::ProgressBar::new(self.share as f32).text(&self.step);
        ui.add(bar.desired_width(ui.available_width())).accessible_name(format!("Writing: {}", self.step));
        let stopped = widgets::link(ui, "Stop").accessible_name("Stop writing").clicked();
        stopped.then_some(Outcome::Stopped)
    }
}
