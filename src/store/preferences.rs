//! What a person prefers, the files opened last, and appliances of their own: two small files in a folder that the caller
//! names. What is damaged there is taken as not there; it is never in the way of a drawing.

use super::disk::{SaveError, read_bytes, write_bytes};
use super::file::{open, save};
use crate::installation::{Installation, Part, System};
use serde::{Deserialize, Serialize};
use std::fs;
use std::path::{Path, PathBuf};

/// Most files that are remembered.
const RECENT: usize = 8;
const FILE: &str = "preferences.json";
/// The appliances are parts of a drawing of their own.
const LOCKER: &str = "locker.hullwire";

/// The theme that is wanted.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum ThemeChoice {
    /// As the desktop has it.
    #[default]
    Desktop,
    /// Chart paper.
    Light,
    /// For the chart table at night.
    Night,
}

/// What a person prefers.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default)]
pub struct Preferences {
    /// The theme.
    pub theme: ThemeChoice,
    /// Size of texts and symbols in per cent, within [`Self::TEXT_PERCENT`].
    pub text_percent: u16,
    /// Lengths are shown in feet, and a number without unit is feet.
    pub feet: bool,
    /// Files opened or saved last, the last first.
    pub recent: Vec<PathBuf>,
}

impl Default for Preferences {
    fn default() -> Self {
        Self { theme: ThemeChoice::Desktop, text_percent: 100, feet: false, recent: Vec::new() }
    }
}

impl Preferences {
    /// The smallest and the largest size of texts, in per cent.
    pub const TEXT_PERCENT: (u16, u16) = (80, 200);

    /// Reads them; what is missing or damaged takes its default.
    #[must_use]
    pub fn read(dir: &Path) -> Self {
        let read = read_bytes(&dir.join(FILE)).ok().and_then(|bytes| serde_json::from_slice::<Self>(&bytes).ok());
        let mut out = read.unwrap_or_default();
        out.text_percent = out.text_percent.clamp(Self::TEXT_PERCENT.0, Self::TEXT_PERCENT.1);
        out.recent.truncate(RECENT);
        out
    }

    /// Writes them as a whole.
    ///
    /// # Errors
    /// Says why; what was there before is unchanged.
    pub fn write(&self, dir: &Path) -> Result<(), SaveError> {
        let path = dir.join(FILE);
        let fail = |reason: String| SaveError { path: path.clone(), reason };
        fs::create_dir_all(dir).map_err(|e| fail(e.to_string()))?;
        let text = serde_json::to_string_pretty(self).map_err(|e| fail(e.to_string()))?;
        write_bytes(&path, (text + "\n").as_bytes(), false).map(|_| ())
    }

    /// Remembers a file that was opened or saved. A name that is no text cannot be remembered.
    pub fn remember(&mut self, path: &Path) {
        let path = std::path::absolute(path).unwrap_or_else(|_| path.to_path_buf());
        if path.to_str().is_some() {
            self.recent.retain(|p| *p != path);
            self.recent.insert(0, path);
            self.recent.truncate(RECENT);
        }
    }
}

/// The appliances that were kept for the next drawing.
#[must_use]
pub fn own_appliances(dir: &Path) -> Vec<Part> {
    let read = open(&dir.join(LOCKER)).ok();
    read.map_or_else(Vec::new, |opened| opened.installation.parts.values().map(|p| Part::clone(p)).collect())
}

/// Keeps appliances for the next drawing, in place of those that were kept.
///
/// # Errors
/// Says why; what was kept before is unchanged.
pub fn keep_appliances(dir: &Path, appliances: &[Part]) -> Result<(), SaveError> {
    let path = dir.join(LOCKER);
    fs::create_dir_all(dir).map_err(|e| SaveError { path: path.clone(), reason: e.to_string() })?;
    let mut doc = Installation::new(System::TwoWire120);
    doc.name = "My appliances".to_owned();
    for part in appliances {
        let tag = doc.free_tag(part.kind, part.load_kind);
        doc.add_part(Part { tag, ..part.clone() });
    }
    save(&path, &doc, false).map(|_| ())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::installation::{PartKind, Place, Point};

    #[test]
    fn what_is_written_is_read_and_damage_is_no_obstacle() {
        let dir = tempfile::tempdir().unwrap();
        let dir = dir.path().join("config");
        assert_eq!(Preferences::read(&dir), Preferences::default());
        let mut wanted = Preferences { theme: ThemeChoice::Night, text_percent: 150, feet: true, recent: Vec::new() };
        for n in 0..12 {
            wanted.remember(Path::new(&format!("/boats/{n}.hullwire")));
        }
        wanted.remember(Path::new("/boats/9.hullwire"));
        assert_eq!(wanted.recent.len(), RECENT);
        assert_eq!(wanted.recent[0], Path::new("/boats/9.hullwire"));
        wanted.write(&dir).unwrap();
        assert_eq!(Preferences::read(&dir), wanted);
        fs::write(dir.join(FILE), r#"{"text_percent": 1000, "later": 1}"#).unwrap();
        assert_eq!(Preferences::read(&dir).text_percent, 200);
        fs::write(dir.join(FILE), "{").unwrap();
        assert_eq!(Preferences::read(&dir), Preferences::default());
    }

    #[test]
    fn appliances_are_kept_with_their_figures() {
        let dir = tempfile::tempdir().unwrap();
        assert!(own_appliances(dir.path()).is_empty());
        let mut part = Part::new(PartKind::Appliance, "", Place::At(Point::default()));
        (part.label, part.run_w, part.pf) = ("Ice maker".to_owned(), Some(230.0), Some(0.8));
        keep_appliances(dir.path(), &[part.clone(), part.clone()]).unwrap();
        let kept = own_appliances(dir.path());
        assert_eq!(kept.len(), 2);
        assert_eq!((kept[0].label.as_str(), kept[0].run_w, kept[0].pf), ("Ice maker", Some(230.0), Some(0.8)));
    }
}
