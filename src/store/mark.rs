//! Which file this is, and whether it is still as it was: for locks, journals, and the question before a save.

use super::disk::read_bytes;
use std::io;
use std::path::{Path, PathBuf};

/// What a file held at some moment. Two marks are equal where the bytes were.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Mark {
    bytes: u64,
    hash: u64,
}

impl Mark {
    /// The mark of these bytes.
    #[must_use]
    pub fn of_bytes(bytes: &[u8]) -> Self {
        Self { bytes: bytes.len() as u64, hash: hash(bytes) }
    }

    /// The mark of a file as it is now; `None` where there is none that can be read.
    #[must_use]
    pub fn of_file(path: &Path) -> Option<Self> {
        read_bytes(path).ok().map(|bytes| Self::of_bytes(&bytes))
    }
}

/// 64-bit FNV-1a: the same on every machine and in every version, which the standard library's hashes do not promise.
fn hash(bytes: &[u8]) -> u64 {
    bytes.iter().fold(0xcbf2_9ce4_8422_2325, |h, &b| (h ^ u64::from(b)).wrapping_mul(0x0000_0100_0000_01b3))
}

/// The one name of a file, whatever links and relative steps led to it. A file that is not there yet is named by its
/// folder.
fn real(path: &Path) -> PathBuf {
    let folder = || {
        let parent = path.parent().filter(|p| !p.as_os_str().is_empty()).unwrap_or(Path::new("."));
        let folder: io::Result<PathBuf> = parent.canonicalize();
        folder.ok().zip(path.file_name()).map(|(folder, name)| folder.join(name))
    };
    path.canonicalize().ok().or_else(folder).unwrap_or_else(|| path.to_path_buf())
}

/// The identity of a file as a name for files of our own: letters and digits alone.
#[must_use]
pub(super) fn identity(path: &Path) -> String {
    format!("{:016x}", hash(real(path).as_os_str().as_encoded_bytes()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_file_has_one_identity_by_any_way_to_it() {
        let dir = tempfile::tempdir().unwrap();
        let path = dir.path().join("a.hullwire");
        let before = identity(&path);
        std::fs::write(&path, "x").unwrap();
        assert_eq!(identity(&path), before);
        let round = dir.path().join("b/../a.hullwire");
        std::fs::create_dir(dir.path().join("b")).unwrap();
        assert_eq!(identity(&round), before);
        assert_ne!(identity(&dir.path().join("c.hullwire")), before);
    }

    #[test]
    fn a_mark_follows_the_bytes() {
        let dir = tempfile::tempdir().unwrap();
        let path = dir.path().join("a.hullwire");
        assert_eq!(Mark::of_file(&path), None);
        std::fs::write(&path, "one").unwrap();
        let one = Mark::of_file(&path);
        assert_eq!(one, Some(Mark::of_bytes(b"one")));
        std::fs::write(&path, "two").unwrap();
        assert_ne!(Mark::of_file(&path), one);
    }
}
