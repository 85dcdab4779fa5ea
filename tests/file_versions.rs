//! Kept samples of each version of the file format: they open for ever, and lose nothing when they are saved.

use hullwire::store::{open, parse, to_text};
use std::path::{Path, PathBuf};

fn samples(version: u32) -> Vec<PathBuf> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data/format");
    let start = format!("v{version}-");
    let named = |p: &PathBuf| p.file_name().is_some_and(|n| n.to_string_lossy().starts_with(&start));
    let mut all: Vec<PathBuf> = std::fs::read_dir(folder).unwrap().map(|e| e.unwrap().path()).filter(named).collect();
    all.sort();
    all
}

#[test]
fn samples_of_every_version_open_and_are_saved_without_loss() {
    let newest: u32 = hullwire::store::format::VERSION.try_into().unwrap();
    for version in 1..=newest {
        let kept = samples(version);
        assert!(kept.len() >= 3, "version {version} has kept samples");
        for path in kept {
            let opened = open(&path).unwrap_or_else(|e| panic!("{}: {e}", path.display()));
            let doc = opened.installation;
            assert!(!doc.parts.is_empty() && !doc.cables.is_empty(), "{}", path.display());
            let text = to_text(&doc).unwrap();
            assert_eq!(parse(text.as_bytes(), "again", Some("hullwire")).unwrap().installation, doc);
        }
    }
}

#[test]
fn the_samples_of_version_1_say_what_they_said() {
    let expected = [
        ("v1-one-panel.hullwire", "Tern Hollow", [40, 39, 5, 3]),
        ("v1-split-phase.hullwire", "Low Cape", [30, 29, 5, 3]),
        ("v1-unknown-fields.hullwire", "odd", [4, 2, 1, 2]),
        ("v1-eight-parts.hullwire", "Saltmere", [8, 7, 6, 3]),
    ];
    for (file, name, counts) in expected {
        let path = samples(1).into_iter().find(|p| p.ends_with(file)).unwrap_or_else(|| panic!("no {file}"));
        let doc = open(&path).unwrap().installation;
        let found = [doc.parts.len(), doc.cables.len(), doc.spaces.len(), doc.conditions.len()];
        assert_eq!((doc.name.as_str(), found), (name, counts));
    }
    let odd = samples(1).into_iter().find(|p| p.ends_with("v1-unknown-fields.hullwire")).unwrap();
    let text = to_text(&open(&odd).unwrap().installation).unwrap();
    assert!(text.contains("\"deep\": true"), "a field of a later version is written back");
}
