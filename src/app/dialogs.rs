//! File dialogs behind a trait, so that the window never waits and tests can answer.

use std::path::{Path, PathBuf};
use std::process::Stdio;
use std::sync::mpsc::{Receiver, TryRecvError, channel};
use std::time::{Duration, Instant};

/// What a path is asked for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Ask {
    /// A drawing or a circuit list to open.
    Open,
    /// A circuit list to make a drawing of.
    Import,
    /// Where to save a drawing; the name that is offered.
    Save(String),
    /// Where to write a circuit list; the name that is offered.
    Export(String),
    /// Where to write the hand-over pack; the name that is offered.
    Pack(String),
}

impl Ask {
    /// The title of the dialog.
    #[must_use]
    pub const fn title(&self) -> &'static str {
        match self {
            Self::Open => "Open a drawing or a circuit list",
            Self::Import => "Import a circuit list",
            Self::Save(_) => "Save the drawing",
            Self::Export(_) => "Export the circuit list",
            Self::Pack(_) => "Export the sheets",
        }
    }
}

/// What came of it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Answer {
    /// A path was chosen.
    Path(PathBuf),
    /// The person changed their mind.
    Cancelled,
    /// No dialog can be shown here; the reason.
    Unavailable(String),
}

/// Asks for paths without waiting for the answer.
pub trait Dialogs {
    /// Asks; `ctx` is woken when there is an answer.
    fn ask(&mut self, ask: &Ask, ctx: &egui::Context);
    /// The answer, once.
    fn poll(&mut self) -> Option<Answer>;
    /// No answer is wanted any more.
    fn forget(&mut self);

    /// Opens a file with the desktop's own program for it.
    ///
    /// # Errors
    /// Why it could not be asked to.
    fn open_outside(&mut self, path: &Path) -> Result<(), String> {
        open_outside(path)
    }
}

/// Asks the desktop to open a file, without waiting for it.
fn open_outside(path: &Path) -> Result<(), String> {
    let program = if cfg!(target_os = "windows") {
        "explorer"
    } else if cfg!(target_os = "macos") {
        "open"
    } else {
        "xdg-open"
    };
    let mut command = std::process::Command::new(program);
    command.arg(path).stdin(Stdio::null()).stdout(Stdio::null()).stderr(Stdio::null());
    let mut child = command.spawn().map_err(|e| format!("{program}: {e}"))?;
    // Waited for on a thread of its own, so that nothing is left behind when it ends.
    let waiting = std::thread::Builder::new().name("opened file".to_owned()).spawn(move || child.wait().map(drop));
    drop(waiting);
    Ok(())
}

/// The desktop's own dialogs, each on a thread of its own: a portal that hangs must not hold the window.
#[derive(Default)]
pub struct Desktop {
    running: Option<(Receiver<Option<PathBuf>>, Instant)>,
}

/// An answer "none" that comes sooner than a hand can cancel means that no dialog was shown.
const TOO_SOON: Duration = Duration::from_millis(400);

fn show(ask: &Ask) -> Option<PathBuf> {
    let dialog = rfd::FileDialog::new().set_title(ask.title());
    match ask {
        Ask::Open => dialog
            .add_filter("Drawings and circuit lists", &["hullwire", "csv"])
            .add_filter("All files", &["*"])
            .pick_file(),
        Ask::Import => dialog.add_filter("Circuit lists", &["csv"]).add_filter("All files", &["*"]).pick_file(),
        Ask::Save(name) => dialog.add_filter("Drawings", &["hullwire"]).set_file_name(name).save_file(),
        Ask::Export(name) => dialog.add_filter("Circuit lists", &["csv"]).set_file_name(name).save_file(),
        Ask::Pack(name) => {
            let mut dialog = dialog.set_file_name(name);
            let endings = crate::sheets::Format::ALL.map(|format| format.ending());
            for ending in endings.into_iter().filter(|ending| !ending.is_empty()) {
                dialog = dialog.add_filter(format!("Files .{ending}"), &[ending]);
            }
            dialog.save_file()
        }
    }
}

impl Dialogs for Desktop {
    fn ask(&mut self, ask: &Ask, ctx: &egui::Context) {
        let (send, receive) = channel();
        let (ask, ctx) = (ask.clone(), ctx.clone());
        let thread = std::thread::Builder::new().name("file dialog".to_owned()).spawn(move || {
            // The receiver is gone where the person did not wait; then nobody wants to know.
            if send.send(show(&ask)).is_ok() {
                ctx.request_repaint();
            }
        });
        // Where no thread can be made the channel is closed, and `poll` says so.
        drop(thread);
        self.running = Some((receive, Instant::now()));
    }

    fn poll(&mut self) -> Option<Answer> {
        let (receive, since) = self.running.as_ref()?;
        let answer = match receive.try_recv() {
            Ok(Some(path)) => Answer::Path(path),
            Ok(None) if since.elapsed() < TOO_SOON => {
                Answer::Unavailable("the desktop offers no file dialog".to_owned())
            }
            Ok(None) => Answer::Cancelled,
            Err(TryRecvError::Disconnected) => Answer::Unavailable("the file dialog ended by itself".to_owned()),
            Err(TryRecvError::Empty) => return None,
        };
        self.running = None;
        Some(answer)
    }

    fn forget(&mut self) {
        self.running = None;
    }
}
