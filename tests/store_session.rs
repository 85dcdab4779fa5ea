//! Sessions: a second window is told, a journal survives its process, and what was saved leaves none behind.

use hullwire::installation::{Edit, Installation, System};
use hullwire::store::{Session, save};
use std::fs;
use std::path::Path;

fn named(name: &str) -> Installation {
    Installation::new(System::TwoWire120).apply(&Edit::SetName(name.to_owned())).unwrap().installation
}

/// As a crash leaves it: the lock is free, the files are there.
fn crash(session: Session, state: &Path) {
    let kept: Vec<(std::path::PathBuf, Vec<u8>)> =
        fs::read_dir(state).unwrap().map(|e| e.unwrap().path()).map(|p| (p.clone(), fs::read(p).unwrap())).collect();
    drop(session);
    for (path, bytes) in kept {
        fs::write(path, bytes).unwrap();
    }
}

#[test]
fn a_second_window_is_told_and_has_a_journal_of_its_own() {
    let dir = tempfile::tempdir().unwrap();
    let (state, file) = (dir.path().join("state"), dir.path().join("boat.hullwire"));
    save(&file, &named("x"), false).unwrap();
    let first = Session::begin(&state, Some(&file)).unwrap();
    assert!(!first.is_second() && first.left().is_none());
    let second = Session::begin(&state, Some(&file)).unwrap();
    assert!(second.is_second());
    first.write(&named("of the first")).unwrap();
    second.write(&named("of the second")).unwrap();
    assert_eq!(first.left().unwrap().installation.unwrap().name, "of the first");
    assert_eq!(second.left().unwrap().installation.unwrap().name, "of the second");
    assert!(Session::left_behind(&state).is_empty(), "both are alive");
    drop(first);
    assert!(Session::begin(&state, Some(&file)).unwrap().is_second(), "the second is still alive");
    second.discard().unwrap();
    drop(second);
    let third = Session::begin(&state, Some(&file)).unwrap();
    assert!(!third.is_second(), "the lock is free again");
}

#[test]
fn what_a_crash_leaves_is_found_once_and_goes_away_when_it_is_saved() {
    let dir = tempfile::tempdir().unwrap();
    let (state, file) = (dir.path().join("state"), dir.path().join("boat.hullwire"));
    save(&file, &named("saved"), false).unwrap();
    let session = Session::begin(&state, Some(&file)).unwrap();
    session.write(&named("not saved")).unwrap();
    crash(session, &state);
    let again = Session::begin(&state, Some(&file)).unwrap();
    assert!(!again.is_second(), "nobody is alive");
    again.write(&named("later")).unwrap();
    again.discard().unwrap();
    drop(again);
    let mut found = Session::left_behind(&state);
    assert_eq!(found.len(), 1, "what was left is not written over");
    assert!(Session::left_behind(&state).is_empty(), "no other window finds it meanwhile");
    let session = found.remove(0);
    let left = session.left().unwrap();
    assert_eq!(left.installation.unwrap().name, "not saved");
    assert_eq!(left.path.unwrap().canonicalize().unwrap(), file.canonicalize().unwrap());
    assert!(left.written.is_some());
    session.discard().unwrap();
    session.discard().unwrap();
    drop(session);
    assert!(Session::left_behind(&state).is_empty());
    assert_eq!(fs::read_dir(&state).unwrap().count(), 0, "nothing is left over");
}

#[test]
fn a_drawing_without_a_file_has_a_journal_too() {
    let dir = tempfile::tempdir().unwrap();
    let one = Session::begin(dir.path(), None).unwrap();
    let two = Session::begin(dir.path(), None).unwrap();
    assert!(!one.is_second() && !two.is_second(), "two new drawings are two drawings");
    one.write(&named("one")).unwrap();
    two.write(&named("two")).unwrap();
    crash(one, dir.path());
    // A later process of the same number does not write over it.
    let three = Session::begin(dir.path(), None).unwrap();
    assert!(three.left().is_none());
    drop(two);
    let names: Vec<String> =
        Session::left_behind(dir.path()).iter().map(|s| s.left().unwrap().installation.unwrap().name).collect();
    assert_eq!(names.len(), 2, "{names:?}");
    assert!(Session::left_behind(dir.path()).iter().all(|s| s.path().is_none()));
}

#[test]
fn a_journal_that_is_damaged_is_kept_and_says_so() {
    let dir = tempfile::tempdir().unwrap();
    let file = dir.path().join("boat.hullwire");
    let state = dir.path().join("state");
    let session = Session::begin(&state, Some(&file)).unwrap();
    session.write(&named("x")).unwrap();
    let bytes = fs::read(session.journal()).unwrap();
    fs::write(session.journal(), &bytes[..bytes.len() / 2]).unwrap();
    let journal = session.journal().to_path_buf();
    crash(session, &state);
    let found = Session::left_behind(&state);
    let error = found[0].left().unwrap().installation.unwrap_err().to_string();
    assert!(error.contains("cut short"), "{error}");
    assert!(journal.exists());
}

#[test]
fn a_state_folder_that_cannot_be_made_is_an_error_in_words() {
    let dir = tempfile::tempdir().unwrap();
    let file = dir.path().join("a file");
    fs::write(&file, "x").unwrap();
    let error = Session::begin(&file.join("state"), None).unwrap_err().to_string();
    assert!(error.contains("a file"), "{error}");
}

#[cfg(unix)]
#[test]
fn paths_that_are_no_text_come_back_as_they_were() {
    use std::os::unix::ffi::OsStrExt;
    let dir = tempfile::tempdir().unwrap();
    for name in [&b"b\xF6at.hullwire"[..], b"new\nline.hullwire"] {
        let file = dir.path().join(std::ffi::OsStr::from_bytes(name));
        let session = Session::begin(&dir.path().join("state"), Some(&file)).unwrap();
        session.write(&named("x")).unwrap();
        assert_eq!(session.left().unwrap().path.unwrap(), file);
        session.discard().unwrap();
    }
}
