//! Bytes from and to the disk: size limit, atomic replacement, one previous version, error texts.

use atomic_write_file::AtomicWriteFile;
use std::fs;
use std::io::{self, Read, Write};
use std::path::{Path, PathBuf};
use thiserror::Error;

/// Largest file that is read: 64 MB. A list or drawing of a small vessel has a few hundred kilobytes.
pub const MAX_BYTES: u64 = 64 * 1024 * 1024;

/// Why a file could not be written. What was there before is unchanged.
#[derive(Debug, Error)]
#[error("{} was not written: {reason}", path_text(path))]
pub struct SaveError {
    /// The file.
    pub path: PathBuf,
    /// Why, and what would help.
    pub reason: String,
}

/// What a save did.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Saved {
    /// Where the previous version was kept.
    pub backup: Option<PathBuf>,
    /// Why the previous version could not be kept, although the file was saved.
    pub backup_problem: Option<String>,
    /// What the file holds now, where it is a drawing.
    pub mark: Option<super::Mark>,
}

/// A path for a message: on one line, whatever is in it.
#[must_use]
pub fn path_text(path: &Path) -> String {
    let shown = path.to_string_lossy();
    shown.chars().map(|c| if c.is_control() { char::REPLACEMENT_CHARACTER } else { c }).collect()
}

/// Reads a file of at most [`MAX_BYTES`].
///
/// # Errors
/// In the words of the person who asked for the file.
pub fn read_bytes(path: &Path) -> Result<Vec<u8>, String> {
    let metadata = fs::metadata(path).map_err(|e| read_reason(&e))?;
    if metadata.is_dir() {
        return Err("it is a folder; valid: a .hullwire file or a circuit list (.csv)".to_owned());
    }
    let file = fs::File::open(path).map_err(|e| read_reason(&e))?;
    let mut bytes = Vec::new();
    file.take(MAX_BYTES + 1).read_to_end(&mut bytes).map_err(|e| read_reason(&e))?;
    if bytes.len() as u64 > MAX_BYTES {
        return Err("it is larger than 64 MB; no drawing or circuit list of a small vessel is".to_owned());
    }
    Ok(bytes)
}

fn read_reason(error: &io::Error) -> String {
    match error.kind() {
        io::ErrorKind::NotFound => "there is no such file".to_owned(),
        io::ErrorKind::InvalidInput => "there can be no file of this name".to_owned(),
        io::ErrorKind::PermissionDenied => "you have no permission to read it".to_owned(),
        _ => error.to_string(),
    }
}

fn write_reason(error: &io::Error, path: &Path) -> String {
    match error.kind() {
        io::ErrorKind::NotFound => {
            let folder = path.parent().filter(|p| !p.as_os_str().is_empty()).unwrap_or(Path::new("."));
            format!("the folder {} does not exist; make it first, or choose another", path_text(folder))
        }
        io::ErrorKind::PermissionDenied => "you have no permission to write here; choose another folder".to_owned(),
        io::ErrorKind::StorageFull => "the disk is full; free some space, or choose another disk".to_owned(),
        io::ErrorKind::QuotaExceeded => "your quota on this disk is used up; choose another disk".to_owned(),
        io::ErrorKind::ReadOnlyFilesystem => "the disk is read-only; choose another disk".to_owned(),
        io::ErrorKind::NotADirectory => "a part of the path is a file, not a folder".to_owned(),
        _ => error.to_string(),
    }
}

/// The file that a path stands for, symbolic links followed, so that a link stays a link.
fn target(path: &Path) -> PathBuf {
    let mut at = path.to_path_buf();
    // A chain of links is followed even where the last one leads to nothing yet; a ring of links ends the walk.
    for _ in 0..40 {
        match fs::read_link(&at) {
            Ok(next) if next.is_absolute() => at = next,
            Ok(next) => at = at.parent().map_or_else(|| next.clone(), |folder| folder.join(&next)),
            Err(_) => return at,
        }
    }
    path.to_path_buf()
}

fn backup_path(path: &Path) -> PathBuf {
    let mut name = path.as_os_str().to_owned();
    name.push(".bak");
    PathBuf::from(name)
}

/// What writes the bytes of a file. An error of its own ends the save and leaves the file as it was.
type Fill<'a> = &'a dyn Fn(&mut dyn Write) -> io::Result<()>;

fn replace(path: &Path, fill: Fill<'_>) -> io::Result<()> {
    let mut file = AtomicWriteFile::open(path)?;
    match fill(&mut file) {
        Ok(()) => file.commit(),
        Err(error) => {
            // The half that was written goes away; why the disk refused is what matters to the person.
            let _ = file.discard();
            Err(error)
        }
    }
}

/// Replaces a file as a whole: the bytes go to a new file beside it, are flushed to the disk, and take the name in one
/// step. Whatever happens in between, the name holds either the old bytes or the new. Symbolic links are followed. With
/// `keep_previous`, what was there before stays as `NAME.bak`.
///
/// # Errors
/// Says why, and what would help; the file is unchanged then.
pub fn write_bytes(path: &Path, bytes: &[u8], keep_previous: bool) -> Result<Saved, SaveError> {
    write_with(path, keep_previous, &|out| out.write_all(bytes))
}

/// Writes files into a folder by name, each as a whole; the folder is made where there is none. Other files in it stay.
///
/// # Errors
/// At the first file that could not be written; those before it are there.
pub fn write_folder(folder: &Path, files: &[(String, Vec<u8>)]) -> Result<(), SaveError> {
    fs::create_dir_all(folder)
        .map_err(|error| SaveError { path: folder.to_path_buf(), reason: write_reason(&error, folder) })?;
    for (name, bytes) in files {
        write_bytes(&folder.join(name), bytes, false)?;
    }
    Ok(())
}

/// The same as [`write_bytes`] for bytes that are made while they are written. Where `fill` fails, the file is unchanged.
///
/// # Errors
/// Says why, and what would help; the file is unchanged then.
pub fn write_with(path: &Path, keep_previous: bool, fill: Fill<'_>) -> Result<Saved, SaveError> {
    let real = target(path);
    let fail = |reason: String| SaveError { path: path.to_path_buf(), reason };
    let mut saved = Saved::default();
    match fs::metadata(&real) {
        Ok(metadata) if metadata.is_dir() => {
            return Err(fail("it is a folder; give a file name".to_owned()));
        }
        Ok(metadata) if metadata.permissions().readonly() => {
            return Err(fail("the file is read-only; save under another name, or make it writable".to_owned()));
        }
        Ok(metadata) if metadata.is_file() && keep_previous => {
            let backup = backup_path(&real);
            match fs::read(&real).and_then(|old| replace(&backup, &|out| out.write_all(&old))) {
                Ok(()) => saved.backup = Some(backup),
                Err(error) => {
                    saved.backup_problem =
                        Some(format!("no copy of the previous version was kept: {}", write_reason(&error, &backup)));
                }
            }
        }
        Ok(metadata) if !metadata.is_file() => {
            // A pipe or a device: nothing to replace, so write into it.
            return fs::OpenOptions::new()
                .write(true)
                .open(&real)
                .and_then(|mut f| fill(&mut f))
                .map(|()| saved)
                .map_err(|e| fail(write_reason(&e, &real)));
        }
        _ => {}
    }
    replace(&real, fill).map_err(|e| fail(write_reason(&e, &real)))?;
    Ok(saved)
}
