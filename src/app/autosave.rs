//! The journal of what is in no file yet, written by a thread of its own: two seconds after the last change, and at most
//! thirty seconds after the first. It is told of every change at once, so that it writes on even where the window hangs.

use super::state::State;
use crate::installation::Installation;
use crate::store::{SaveError, Session};
use egui::Context;
use std::path::{Path, PathBuf};
use std::sync::mpsc::{Receiver, RecvTimeoutError, Sender, channel};
use std::sync::{Arc, Mutex, PoisonError};
use std::thread::JoinHandle;
use std::time::{Duration, Instant};

/// When the journal is written.
#[derive(Clone, Copy, Debug)]
pub struct Timing {
    /// After this much rest.
    pub rest: Duration,
    /// At the latest this long after the first change that is not in it.
    pub most: Duration,
}

impl Default for Timing {
    fn default() -> Self {
        Self { rest: Duration::from_secs(2), most: Duration::from_secs(30) }
    }
}

enum Word {
    /// Another drawing; what was kept of the one before has been let go of.
    Hold(Session),
    /// The drawing differs from its file.
    Changed(Arc<Installation>),
    /// The drawing is as in its file.
    Clean,
    /// The window closes. What is not in its file is kept, or let go of.
    End { keep: bool },
}

/// The thread and what it was told.
pub struct Autosave {
    dir: PathBuf,
    words: Sender<Word>,
    thread: Option<JoinHandle<()>>,
    problem: Arc<Mutex<Option<String>>>,
    told: Option<Arc<Installation>>,
    /// A session is held for the shown drawing.
    holding: bool,
    path: Option<PathBuf>,
    let_go: bool,
}

impl Autosave {
    /// Starts the thread; journals are kept in `dir`.
    ///
    /// # Errors
    /// Where the system gives no thread.
    pub fn start(dir: PathBuf, timing: Timing, ctx: &Context) -> std::io::Result<Self> {
        let (words, heard) = channel();
        let problem = Arc::new(Mutex::new(None));
        let (shared, ctx) = (Arc::clone(&problem), ctx.clone());
        let thread = std::thread::Builder::new().name("journal".to_owned()).spawn(move || {
            Keeper { session: None, due: None, timing }.run(&heard, |outcome| {
                let new = outcome.err().map(|e| e.to_string());
                let mut held = shared.lock().unwrap_or_else(PoisonError::into_inner);
                if *held != new {
                    *held = new;
                    ctx.request_repaint();
                }
            });
        })?;
        Ok(Self { dir, words, thread: Some(thread), problem, told: None, holding: false, path: None, let_go: false })
    }

    /// Where the journals are.
    #[must_use]
    pub fn dir(&self) -> &Path {
        &self.dir
    }

    /// Why the journal could not be written, if so.
    #[must_use]
    pub fn problem(&self) -> Option<String> {
        self.problem.lock().unwrap_or_else(PoisonError::into_inner).clone()
    }

    /// Another drawing is shown, or the same in another file. Gives true where another window has the file open.
    pub fn begin(&mut self, path: Option<&Path>) -> bool {
        self.told = None;
        self.holding = false;
        self.path = path.map(Path::to_path_buf);
        self.tell(Word::Clean);
        // A drawing without a file needs no lock, and a journal only once something was drawn.
        path.is_some() && self.hold().unwrap_or(false)
    }

    /// Goes on with what another process left behind.
    pub fn adopt(&mut self, session: Session) {
        self.told = None;
        self.holding = true;
        self.path = session.path().map(Path::to_path_buf);
        self.tell(Word::Hold(session));
    }

    /// Takes a session for the shown drawing; true where it is the second of its file.
    fn hold(&mut self) -> Option<bool> {
        self.holding = true;
        match Session::begin(&self.dir, self.path.as_deref()) {
            Ok(session) => {
                let second = session.is_second();
                self.tell(Word::Hold(session));
                Some(second)
            }
            Err(error) => {
                *self.problem.lock().unwrap_or_else(PoisonError::into_inner) = Some(error.to_string());
                None
            }
        }
    }

    /// Tells the thread what changed since the last frame.
    pub fn follow(&mut self, state: &State) {
        let changed = state.history.is_changed().then(|| state.history.installation());
        match (changed, &self.told) {
            (None, None) => {}
            (None, Some(_)) => {
                self.told = None;
                self.tell(Word::Clean);
            }
            (Some(doc), Some(told)) if Arc::ptr_eq(doc, told) => {}
            (Some(doc), _) => {
                if !self.holding {
                    self.hold();
                }
                self.told = Some(Arc::clone(doc));
                self.tell(Word::Changed(Arc::clone(doc)));
            }
        }
    }

    /// The person was asked about unsaved changes and lets them go: nothing is kept when the window closes.
    pub fn let_go(&mut self) {
        self.let_go = true;
    }

    fn tell(&self, word: Word) {
        // The thread ends only with this value.
        let _ = self.words.send(word);
    }
}

impl Drop for Autosave {
    fn drop(&mut self) {
        self.tell(Word::End { keep: !self.let_go });
        if let Some(thread) = self.thread.take() {
            // Waits until the journal is on the disk.
            let _ = thread.join();
        }
    }
}

/// What the thread works with.
struct Keeper {
    session: Option<Session>,
    /// The drawing that is to be written, when it was first changed, and when it rests long enough.
    due: Option<(Arc<Installation>, Instant, Instant)>,
    timing: Timing,
}

impl Keeper {
    fn run(&mut self, heard: &Receiver<Word>, report: impl Fn(Result<(), SaveError>)) {
        loop {
            let word = match &self.due {
                None => heard.recv().map_err(|_| RecvTimeoutError::Disconnected),
                Some((_, first, rested)) => {
                    let at = (*first + self.timing.most).min(*rested);
                    heard.recv_timeout(at.saturating_duration_since(Instant::now()))
                }
            };
            match word {
                Ok(Word::Hold(session)) => self.session = Some(session),
                Ok(Word::Changed(doc)) => {
                    let now = Instant::now();
                    let first = self.due.as_ref().map_or(now, |(_, first, _)| *first);
                    self.due = Some((doc, first, now + self.timing.rest));
                }
                Ok(Word::Clean) => {
                    self.due = None;
                    if let Some(session) = &self.session {
                        report(session.discard());
                    }
                }
                Err(RecvTimeoutError::Timeout) => report(self.write()),
                Ok(Word::End { keep: false }) => {
                    if let Some(session) = &self.session {
                        report(session.discard());
                    }
                    return;
                }
                Ok(Word::End { keep: true }) | Err(RecvTimeoutError::Disconnected) => {
                    report(self.write());
                    return;
                }
            }
        }
    }

    fn write(&mut self) -> Result<(), SaveError> {
        match (self.due.take(), &self.session) {
            (Some((doc, ..)), Some(session)) => session.write(&doc),
            _ => Ok(()),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::installation::{Edit, System};

    fn timing(rest: u64, most: u64) -> Timing {
        Timing { rest: Duration::from_millis(rest), most: Duration::from_millis(most) }
    }

    fn edit(state: &mut State, name: &str) {
        state.edit(&Edit::SetName(name.to_owned()), None);
    }

    /// What a later process would find.
    fn journal(dir: &Path) -> Option<String> {
        let entry =
            std::fs::read_dir(dir).ok()?.flatten().find(|e| e.path().extension().is_some_and(|e| e == "journal"))?;
        let bytes = std::fs::read(entry.path()).ok()?;
        Some(crate::store::parse(&bytes, "journal", Some("hullwire")).unwrap().installation.name)
    }

    fn within(limit: u64, holds: impl Fn() -> bool) -> bool {
        let start = Instant::now();
        while start.elapsed() < Duration::from_millis(limit) {
            if holds() {
                return true;
            }
            std::thread::sleep(Duration::from_millis(5));
        }
        false
    }

    #[test]
    fn a_change_is_kept_after_rest_and_a_save_takes_the_journal_away() {
        let dir = tempfile::tempdir().unwrap();
        let mut autosave = Autosave::start(dir.path().join("j"), timing(30, 10_000), &Context::default()).unwrap();
        let mut state = State::new(Installation::new(System::TwoWire120), None);
        autosave.begin(None);
        autosave.follow(&state);
        std::thread::sleep(Duration::from_millis(80));
        assert_eq!(journal(autosave.dir()), None, "nothing was drawn yet");
        edit(&mut state, "one");
        autosave.follow(&state);
        assert!(within(5_000, || journal(autosave.dir()).as_deref() == Some("one")));
        state.history.mark_saved();
        autosave.follow(&state);
        assert!(within(5_000, || journal(autosave.dir()).is_none()));
        edit(&mut state, "two");
        autosave.follow(&state);
        state.history.undo();
        autosave.follow(&state);
        std::thread::sleep(Duration::from_millis(100));
        assert_eq!(journal(autosave.dir()), None, "what was taken back needs no journal");
    }

    #[test]
    fn unresting_change_is_kept_too() {
        let dir = tempfile::tempdir().unwrap();
        let mut autosave = Autosave::start(dir.path().to_path_buf(), timing(60_000, 60), &Context::default()).unwrap();
        let mut state = State::new(Installation::new(System::TwoWire120), None);
        let mut seen = false;
        for n in 0..400 {
            edit(&mut state, &n.to_string());
            autosave.follow(&state);
            std::thread::sleep(Duration::from_millis(5));
            seen |= journal(dir.path()).is_some();
        }
        assert!(seen);
    }

    #[test]
    fn the_end_keeps_what_was_not_let_go_of() {
        let dir = tempfile::tempdir().unwrap();
        for let_go in [false, true] {
            let mut autosave =
                Autosave::start(dir.path().to_path_buf(), timing(60_000, 60_000), &Context::default()).unwrap();
            let mut state = State::new(Installation::new(System::TwoWire120), None);
            edit(&mut state, "in a hurry");
            autosave.follow(&state);
            if let_go {
                autosave.let_go();
            }
            drop(autosave);
            assert_eq!(journal(dir.path()).is_some(), !let_go);
            for session in Session::left_behind(dir.path()) {
                session.discard().unwrap();
            }
        }
    }

    #[test]
    fn a_journal_that_cannot_be_written_is_reported() {
        let dir = tempfile::tempdir().unwrap();
        let file = dir.path().join("file");
        std::fs::write(&file, "x").unwrap();
        let mut autosave = Autosave::start(file.join("j"), timing(1, 1), &Context::default()).unwrap();
        let mut state = State::new(Installation::new(System::TwoWire120), None);
        edit(&mut state, "x");
        autosave.follow(&state);
        assert!(autosave.problem().is_some_and(|p| p.contains("was not written")), "{:?}", autosave.problem());
    }
}
