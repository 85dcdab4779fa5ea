//! File dialogs behind a trait, so that the window never waits and tests can answer.

use std::path::PathBuf;
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
