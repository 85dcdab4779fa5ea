//! One window's hold on one drawing: a lock that ends with the process, and a journal of what is in no file yet.
//!
//! Both lie in a folder that the caller names, beside the user's other state, never beside the drawing. They are named by
//! the identity of the drawing's file. `NAME.lock` is held by an advisory lock of the operating system: it ends with the
//! process, however that ends, so a lock file that is left behind holds nobody up. `NAME.journal` is a drawing with one
//! more field, `journal`, that says whose it is. It is replaced as a whole by each write, and goes away once the drawing
//! is saved or let go of. A journal whose lock is free was left behind by a process that did not end by itself: that is
//! what there is to recover.
//!
//! Limits: the lock is known to programs of the same user and machine alone; a drawing in a shared folder that is open on
//! another machine is found out when it is saved, by its [`super::Mark`].

use super::disk::{SaveError, path_text, read_bytes, write_bytes};
use super::file::{OpenError, parse, to_json_text};
use super::mark::identity;
use crate::installation::Installation;
use serde_json::{Map, Value};
use std::fs::{self, File, TryLockError};
use std::path::{Path, PathBuf};
use std::time::SystemTime;

/// The field of a journal that says whose it is.
const FIELD: &str = "journal";
/// How many windows may have one file open.
const WINDOWS: u32 = 64;

/// What a process left behind that did not end by itself.
#[derive(Debug)]
pub struct Left {
    /// The drawing, or why it could not be read.
    pub installation: Result<Installation, OpenError>,
    /// The file that it was to be saved in, if it had one.
    pub path: Option<PathBuf>,
    /// When the journal was written.
    pub written: Option<SystemTime>,
}

/// One window's hold on one drawing.
#[derive(Debug)]
pub struct Session {
    journal: PathBuf,
    lock: PathBuf,
    held: Option<File>,
    path: Option<PathBuf>,
    second: bool,
}

fn with_ending(dir: &Path, name: &str, ending: &str) -> PathBuf {
    dir.join(format!("{name}.{ending}"))
}

/// Takes a lock file; `None` where another process holds it.
fn take(path: &Path) -> std::io::Result<Option<File>> {
    for _ in 0..8 {
        let file = fs::OpenOptions::new().create(true).truncate(false).write(true).open(path)?;
        match file.try_lock() {
            Ok(()) => {}
            Err(TryLockError::WouldBlock) => return Ok(None),
            Err(TryLockError::Error(error)) => return Err(error),
        }
        // The one who held it before may have taken the name away in between: then this lock guards nothing.
        if is_still(path, &file) {
            return Ok(Some(file));
        }
    }
    Ok(None)
}

#[cfg(unix)]
fn is_still(path: &Path, file: &File) -> bool {
    use std::os::unix::fs::MetadataExt;
    let same = fs::metadata(path).and_then(|a| Ok((a, file.metadata()?)));
    same.is_ok_and(|(a, b)| a.ino() == b.ino() && a.dev() == b.dev())
}

#[cfg(not(unix))]
fn is_still(path: &Path, _file: &File) -> bool {
    path.exists()
}

impl Session {
    /// Begins to work on a drawing of a file, or of none yet. `dir` is made where it is not there.
    ///
    /// # Errors
    /// Where nothing can be kept in `dir`; the drawing can be worked on all the same, without a journal.
    pub fn begin(dir: &Path, path: Option<&Path>) -> Result<Self, SaveError> {
        let fail = |reason: String| SaveError { path: dir.to_path_buf(), reason };
        fs::create_dir_all(dir).map_err(|e| fail(e.to_string()))?;
        // A drawing without a file is named by the process, so that two never meet.
        let base = path.map_or_else(|| format!("new-{}", std::process::id()), identity);
        let name = |n: u32| if n == 1 { base.clone() } else { format!("{base}-{n}") };
        for n in 1..=WINDOWS {
            let lock = with_ending(dir, &name(n), "lock");
            let Some(held) = take(&lock).map_err(|e| fail(e.to_string()))? else { continue };
            let journal = with_ending(dir, &name(n), "journal");
            // What a process left that did not end by itself is not ours to write over.
            if journal.exists() {
                drop(Self { journal, lock, held: Some(held), path: None, second: false });
                continue;
            }
            let is_held = |other: u32| {
                let lock = with_ending(dir, &name(other), "lock");
                other != n && lock.exists() && matches!(take(&lock), Ok(None))
            };
            let second = path.is_some() && (1..=WINDOWS).any(is_held);
            return Ok(Self { journal, lock, held: Some(held), path: path.map(Path::to_path_buf), second });
        }
        Err(fail(format!("{WINDOWS} windows have this drawing open already")))
    }

    /// Sessions that ended by a crash and left a journal behind, newest first. While they are held here, no other window
    /// finds them.
    #[must_use]
    pub fn left_behind(dir: &Path) -> Vec<Self> {
        let entries = fs::read_dir(dir).into_iter().flatten().flatten().map(|e| e.path());
        let mut found: Vec<(Option<SystemTime>, Self)> = entries
            .filter(|journal| journal.extension().is_some_and(|e| e == "journal"))
            .filter_map(|journal| {
                let lock = journal.with_extension("lock");
                let held = take(&lock).ok().flatten()?;
                // It may have been saved and let go of in between.
                let written = fs::metadata(&journal).ok()?.modified().ok();
                let mut session = Self { journal, lock, held: Some(held), path: None, second: false };
                session.path = session.left().and_then(|left| left.path);
                Some((written, session))
            })
            .collect();
        found.sort_by_key(|(written, _)| std::cmp::Reverse(*written));
        found.into_iter().map(|(_, session)| session).collect()
    }

    /// The file of the drawing, if it has one.
    #[must_use]
    pub fn path(&self) -> Option<&Path> {
        self.path.as_deref()
    }

    /// True where another window had the file open before.
    #[must_use]
    pub fn is_second(&self) -> bool {
        self.second
    }

    /// Where the journal is kept.
    #[must_use]
    pub fn journal(&self) -> &Path {
        &self.journal
    }

    /// What the journal holds; `None` where there is none.
    #[must_use]
    pub fn left(&self) -> Option<Left> {
        let written = fs::metadata(&self.journal).ok()?.modified().ok();
        let name = path_text(&self.journal);
        let bytes = match read_bytes(&self.journal) {
            Ok(bytes) => bytes,
            Err(reason) => {
                let installation = Err(OpenError::Unreadable { name, reason });
                return Some(Left { installation, path: self.path.clone(), written });
            }
        };
        match parse(&bytes, &name, Some("hullwire")) {
            Ok(opened) => {
                let mut installation = opened.installation;
                let whose = installation.extra.shift_remove(FIELD);
                let path = whose.as_ref().and_then(path_of).or_else(|| self.path.clone());
                Some(Left { installation: Ok(installation), path, written })
            }
            Err(error) => Some(Left { installation: Err(error), path: self.path.clone(), written }),
        }
    }

    /// Writes the journal: as a whole or not at all, flushed to the disk.
    ///
    /// # Errors
    /// Says why; the journal holds what it held before.
    pub fn write(&self, installation: &Installation) -> Result<(), SaveError> {
        let mut marked = installation.clone();
        marked.extra.insert(FIELD.to_owned(), whose(self.path.as_deref()));
        let fail = |reason: String| SaveError { path: self.journal.clone(), reason };
        let text = to_json_text(&marked).map_err(fail)?;
        write_bytes(&self.journal, text.as_bytes(), false).map(|_| ())
    }

    /// Takes the journal away: the drawing is in its file, or was let go of.
    ///
    /// # Errors
    /// Says why it is still there.
    pub fn discard(&self) -> Result<(), SaveError> {
        match fs::remove_file(&self.journal) {
            Err(error) if error.kind() != std::io::ErrorKind::NotFound => {
                Err(SaveError { path: self.journal.clone(), reason: error.to_string() })
            }
            _ => Ok(()),
        }
    }
}

impl Drop for Session {
    fn drop(&mut self) {
        if let Some(held) = self.held.take() {
            // The name goes first, while the lock is still held; what is left over holds nobody up.
            let _ = fs::remove_file(&self.lock);
            drop(held);
        }
    }
}

/// The field that says whose journal it is.
fn whose(path: Option<&Path>) -> Value {
    let mut field = Map::new();
    if let Some(path) = path {
        let absolute = std::path::absolute(path).unwrap_or_else(|_| path.to_path_buf());
        match absolute.to_str() {
            Some(text) => field.insert("path".to_owned(), text.into()),
            None => field.insert("path_bytes".to_owned(), absolute.as_os_str().as_encoded_bytes().into()),
        };
    }
    field.into()
}

fn path_of(field: &Value) -> Option<PathBuf> {
    if let Some(text) = field.get("path").and_then(Value::as_str) {
        return Some(PathBuf::from(text));
    }
    let bytes: Option<Vec<u8>> =
        field.get("path_bytes")?.as_array()?.iter().map(|b| b.as_u64().and_then(|b| u8::try_from(b).ok())).collect();
    from_bytes(bytes?)
}

#[cfg(unix)]
fn from_bytes(bytes: Vec<u8>) -> Option<PathBuf> {
    use std::os::unix::ffi::OsStringExt;
    Some(std::ffi::OsString::from_vec(bytes).into())
}

#[cfg(not(unix))]
fn from_bytes(bytes: Vec<u8>) -> Option<PathBuf> {
    String::from_utf8(bytes).ok().map(PathBuf::from)
}
