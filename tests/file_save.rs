//! Saving: whole or not at all, links followed, one previous version kept, errors in words.

use hullwire::installation::{Edit, Installation, System};
use hullwire::store::{Form, OpenError, open, save};
use std::fs;

fn named(name: &str) -> Installation {
    let start = Installation::new(System::TwoWire120);
    start.apply(&Edit::SetName(name.to_owned())).unwrap().installation
}

#[test]
fn saving_opens_again_and_keeps_one_previous_version_when_asked() {
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("boat.hullwire");
    assert_eq!(save(&path, &named("one"), true).unwrap().backup, None, "there was nothing before");
    let saved = save(&path, &named("two"), true).unwrap();
    let backup = dir.path().join("boat.hullwire.bak");
    assert_eq!(saved.backup.as_deref(), Some(backup.as_path()));
    assert_eq!(save(&path, &named("three"), false).unwrap().backup, None);
    let opened = open(&path).unwrap();
    assert_eq!((opened.form, opened.installation.name.as_str()), (Form::Drawing, "three"));
    assert!(fs::read_to_string(&backup).unwrap().contains("\"one\""));
    assert_eq!(fs::read_dir(dir.path()).unwrap().count(), 2, "no temporary file is left");
}

#[test]
fn many_saves_in_a_row() {
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("boat.hullwire");
    for i in 0..200 {
        save(&path, &named(&i.to_string()), false).unwrap();
    }
    assert_eq!(open(&path).unwrap().installation.name, "199");
    assert_eq!(fs::read_dir(dir.path()).unwrap().count(), 1);
}

#[test]
fn errors_say_what_would_help() {
    let dir = tempfile::tempdir().unwrap();
    let missing = dir.path().join("nowhere").join("boat.hullwire");
    let error = save(&missing, &named("x"), true).unwrap_err().to_string();
    assert!(error.contains("nowhere") && error.contains("does not exist"), "{error}");
    let error = save(dir.path(), &named("x"), true).unwrap_err().to_string();
    assert!(error.contains("folder"), "{error}");
    let path = dir.path().join("boat.hullwire");
    save(&path, &named("kept"), false).unwrap();
    let mut permissions = fs::metadata(&path).unwrap().permissions();
    permissions.set_readonly(true);
    fs::set_permissions(&path, permissions).unwrap();
    let error = save(&path, &named("lost"), true).unwrap_err().to_string();
    assert!(error.contains("read-only"), "{error}");
    assert_eq!(open(&path).unwrap().installation.name, "kept");
    assert!(matches!(open(&missing), Err(OpenError::Unreadable { .. })));
    assert!(open(dir.path()).unwrap_err().to_string().contains("folder"));
}

#[cfg(unix)]
#[test]
fn links_stay_links() {
    let dir = tempfile::tempdir().unwrap();
    let real = dir.path().join("real.hullwire");
    let link = dir.path().join("link.hullwire");
    std::os::unix::fs::symlink("real.hullwire", &link).unwrap();
    save(&link, &named("through a link to nothing yet"), true).unwrap();
    save(&link, &named("again"), true).unwrap();
    assert!(fs::symlink_metadata(&link).unwrap().is_symlink());
    assert_eq!(open(&real).unwrap().installation.name, "again");
    assert!(dir.path().join("real.hullwire.bak").exists());
}

#[cfg(unix)]
#[test]
fn names_that_are_not_utf8() {
    use std::os::unix::ffi::OsStrExt;
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join(std::ffi::OsStr::from_bytes(b"b\xF6at.hullwire"));
    save(&path, &named("x"), true).unwrap();
    assert_eq!(open(&path).unwrap().installation.name, "x");
}

#[test]
fn a_full_disk_is_named_and_the_old_file_stays() {
    let full = std::path::Path::new("/dev/full");
    if full.exists() {
        let error = save(full, &named("x"), true).unwrap_err().to_string();
        assert!(error.contains("disk is full"), "{error}");
    }
}
