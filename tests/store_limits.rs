//! Files that are broken, foreign or too much, and disks that fail: a clear error, the old file untouched, nothing lost.

use hullwire::installation::{Edit, Installation, Part, PartKind, Place, Point, System};
use hullwire::store::{
    MAX_BYTES, MAX_CONDITIONS, MAX_DEPTH, OpenError, open, parse, path_text, save, to_text, write_bytes, write_with,
};
use std::fs;
use std::io::{self, Error, ErrorKind};
use std::path::Path;

fn named(name: &str) -> Installation {
    Installation::new(System::TwoWire230).apply(&Edit::SetName(name.to_owned())).unwrap().installation
}

fn error(bytes: &[u8]) -> String {
    parse(bytes, "boat.hullwire", Some("hullwire")).unwrap_err().to_string()
}

#[test]
fn a_key_that_stands_twice_is_an_error_and_not_the_last_of_the_two() {
    let top = error(b"{\"version\": 1,\n \"system\": \"120V60Hz\",\n \"system\": \"230V50Hz\"}");
    assert!(top.contains("line 3") && top.contains("the key “system” a second time") && top.contains("once"), "{top}");
    let part = error(
        br#"{"version": 1, "system": "120V60Hz", "parts": [{"id": 1, "tag": "Q1", "kind": "breaker", "rating_a": 15, "rating_a": 20}]}"#,
    );
    assert!(part.contains("“rating_a” a second time"), "{part}");
}

#[test]
fn nesting_has_a_limit_that_is_stated() {
    // The list lies in the top object, which is a level of its own.
    let nested = |depth: usize| {
        let (open, close) = ("[".repeat(depth - 1), "]".repeat(depth - 1));
        format!("{{\"version\": 1, \"system\": \"120V60Hz\", \"x\": {open}{close}}}")
    };
    assert!(parse(nested(MAX_DEPTH).as_bytes(), "x", None).is_ok());
    let beyond = error(nested(MAX_DEPTH + 1).as_bytes());
    assert!(beyond.contains("too deep") && beyond.contains(&format!("at most {MAX_DEPTH} levels")), "{beyond}");
    // What was taken is written and read again.
    let kept = parse(nested(MAX_DEPTH).as_bytes(), "x", None).unwrap().installation;
    assert_eq!(parse(to_text(&kept).unwrap().as_bytes(), "x", None).unwrap().installation, kept);
}

#[test]
fn two_hundred_megabytes_of_nesting_are_refused_at_once() {
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("deep.hullwire");
    fs::write(&path, vec![b'['; 200 << 20]).unwrap();
    let text = open(&path).unwrap_err().to_string();
    assert!(text.contains("larger than 64 MB"), "{text}");
    let just = vec![b'['; 32 << 20];
    let text = parse(&just, "deep", Some("hullwire")).unwrap_err().to_string();
    assert!(text.contains("too deep"), "{text}");
}

#[test]
fn a_file_of_the_largest_size_is_read_and_one_byte_more_is_not() {
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("large.hullwire");
    let text = to_text(&named("x")).unwrap();
    let padded = |bytes: u64| {
        let mut all = text.clone().into_bytes();
        all.resize(usize::try_from(bytes).unwrap(), b' ');
        all
    };
    fs::write(&path, padded(MAX_BYTES)).unwrap();
    assert_eq!(open(&path).unwrap().installation.name, "x");
    fs::write(&path, padded(MAX_BYTES + 1)).unwrap();
    assert!(open(&path).unwrap_err().to_string().contains("64 MB"));
}

#[test]
fn more_conditions_than_the_limit_are_refused() {
    let with = |count: usize| {
        let conditions = vec![r#"{"name": "x"}"#; count].join(",");
        format!(r#"{{"version": 1, "system": "120V60Hz", "conditions": [{conditions}]}}"#)
    };
    assert!(parse(with(MAX_CONDITIONS).as_bytes(), "x", None).is_ok());
    let text = error(with(MAX_CONDITIONS + 1).as_bytes());
    assert!(text.contains("conditions: found 1001 of them; valid: at most 1000"), "{text}");
}

#[test]
fn every_cut_of_a_file_is_an_error_that_names_the_file() {
    let mut doc = named("cut short");
    doc.add_part(Part::new(PartKind::Panel, "A1", Place::At(Point::new(5.0, 5.0))));
    let text = to_text(&doc).unwrap();
    for end in 0..text.trim_end().len() {
        let error = error(&text.as_bytes()[..end]);
        assert!(error.contains("boat.hullwire"), "{end}: {error}");
    }
}

#[test]
fn a_disk_that_fills_in_the_middle_leaves_the_old_file_and_nothing_else() {
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("boat.hullwire");
    save(&path, &named("old"), false).unwrap();
    for (kind, words) in [
        (ErrorKind::StorageFull, "the disk is full"),
        (ErrorKind::QuotaExceeded, "quota"),
        (ErrorKind::ReadOnlyFilesystem, "read-only"),
        (ErrorKind::PermissionDenied, "no permission"),
        (ErrorKind::Other, "device"),
    ] {
        for before in [0, 1, 4096, 100_000] {
            let failing = |out: &mut dyn io::Write| -> io::Result<()> {
                out.write_all(&vec![b'x'; before])?;
                Err(Error::new(kind, "the device failed"))
            };
            let error = write_with(&path, false, &failing).unwrap_err().to_string();
            assert!(error.contains(words) && error.contains("boat.hullwire"), "{error}");
            assert_eq!(open(&path).unwrap().installation.name, "old");
            assert_eq!(fs::read_dir(dir.path()).unwrap().count(), 1, "nothing is left over");
        }
    }
    save(&path, &named("new"), false).unwrap();
    assert_eq!(open(&path).unwrap().installation.name, "new");
}

#[cfg(unix)]
#[test]
fn a_folder_that_cannot_be_written_in_is_named() {
    use std::os::unix::fs::PermissionsExt;
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("boat.hullwire");
    save(&path, &named("old"), false).unwrap();
    fs::set_permissions(dir.path(), fs::Permissions::from_mode(0o555)).unwrap();
    let outcome = save(&path, &named("new"), false);
    fs::set_permissions(dir.path(), fs::Permissions::from_mode(0o755)).unwrap();
    match outcome {
        Err(error) => {
            assert!(error.to_string().contains("no permission"), "{error}");
            assert_eq!(open(&path).unwrap().installation.name, "old");
        }
        // The superuser may write anywhere but where the kernel itself refuses.
        Ok(_) => {
            let error = save(Path::new("/proc/self/boat.hullwire"), &named("new"), false).unwrap_err().to_string();
            assert!(error.contains("/proc/self/boat.hullwire was not written"), "{error}");
        }
    }
}

#[test]
fn a_folder_that_went_away_is_named_and_the_drawing_can_go_elsewhere() {
    let dir = tempfile::tempdir().unwrap();
    let folder = dir.path().join("stick");
    fs::create_dir(&folder).unwrap();
    let path = folder.join("boat.hullwire");
    let doc = named("kept in memory");
    save(&path, &doc, true).unwrap();
    fs::remove_dir_all(&folder).unwrap();
    let error = save(&path, &doc, true).unwrap_err().to_string();
    assert!(error.contains("stick") && error.contains("does not exist"), "{error}");
    save(&dir.path().join("elsewhere.hullwire"), &doc, true).unwrap();
}

#[cfg(unix)]
#[test]
fn odd_names_are_saved_and_shown_on_one_line() {
    use std::os::unix::ffi::OsStrExt;
    let dir = tempfile::tempdir().unwrap();
    for name in [&b"new\nline.hullwire"[..], b"b\xF6at\xFF.hullwire", b" .hullwire", b"-.hullwire"] {
        let path = dir.path().join(std::ffi::OsStr::from_bytes(name));
        save(&path, &named("x"), true).unwrap();
        save(&path, &named("y"), true).unwrap();
        assert_eq!(open(&path).unwrap().installation.name, "y");
        fs::write(&path, "{").unwrap();
        let error = open(&path).unwrap_err().to_string();
        assert!(error.lines().next().unwrap_or_default().contains("has 1 error"), "{error}");
        assert_eq!(path_text(&path).lines().count(), 1);
    }
    let nul = dir.path().join("a\0b.hullwire");
    assert!(save(&nul, &named("x"), false).is_err());
    assert!(matches!(open(&nul), Err(OpenError::Unreadable { .. })));
}

#[test]
fn figures_that_are_no_numbers_are_named_and_nothing_is_written() {
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("boat.hullwire");
    save(&path, &named("old"), false).unwrap();
    for figure in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY] {
        let mut doc = named("new");
        let mut part = Part::new(PartKind::Generator, "G1", Place::At(Point::default()));
        part.run_w = Some(figure);
        doc.add_part(part);
        let error = save(&path, &doc, true).unwrap_err().to_string();
        assert!(error.contains("part G1, run_w"), "{error}");
        assert_eq!(open(&path).unwrap().installation.name, "old");
    }
    for bad in ["NaN", "Infinity", "-Infinity", "1e999"] {
        let json = format!(
            r#"{{"version": 1, "system": "120V60Hz", "parts": [{{"id": 1, "tag": "G1", "kind": "generator", "run_w": {bad}}}]}}"#
        );
        assert!(parse(json.as_bytes(), "x", None).is_err(), "{bad}");
    }
}

#[test]
fn an_empty_file_and_a_newer_one_are_told_apart() {
    assert!(error(b"").contains("empty"));
    let newer = error(br#"{"version": 7, "parts": [{"new": true}]}"#);
    assert!(newer.contains("version 7") && newer.contains("use a newer one"), "{newer}");
}

/// A small disk that is really full, where `HULLWIRE_SMALL_DISK` names one (a tmpfs of some kilobytes).
#[test]
fn a_disk_that_is_really_full() {
    let Some(disk) = std::env::var_os("HULLWIRE_SMALL_DISK") else { return };
    let path = Path::new(&disk).join("boat.hullwire");
    save(&path, &named("old"), false).unwrap();
    let mut large = named("new");
    for n in 0..20_000 {
        large.add_part(Part::new(PartKind::Panel, format!("T{n}"), Place::At(Point::default())));
    }
    let error = save(&path, &large, true).unwrap_err().to_string();
    assert!(error.contains("disk is full"), "{error}");
    assert_eq!(open(&path).unwrap().installation.name, "old");
    assert!(write_bytes(&path, &vec![b'x'; 1 << 22], false).unwrap_err().to_string().contains("disk is full"));
    assert_eq!(open(&path).unwrap().installation.name, "old");
}
