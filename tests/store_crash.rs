//! Kill −9 at random moments of saving: the file is the old one or the new one, whole, and the journal can be read.
//!
//! `HULLWIRE_CRASHES=500` sets how many times; the default is small. The victim is this test's own program, started again
//! with `HULLWIRE_VICTIM` naming a folder, or the real `hullwire import`.

use hullwire::installation::{Edit, Installation, Part, PartKind, Place, Point, System};
use hullwire::store::{Session, open, save};
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::time::Duration;

fn crashes() -> u32 {
    std::env::var("HULLWIRE_CRASHES").ok().and_then(|n| n.parse().ok()).unwrap_or(20)
}

/// A drawing that tells whether it is whole: its name is its number, and it has `40 + number % 200` parts.
fn numbered(number: usize) -> Installation {
    let mut doc = Installation::new(System::TwoWire120);
    for n in 0..40 + number % 200 {
        doc.add_part(Part::new(PartKind::Breaker, format!("Q{n}"), Place::At(Point::new(n as f64, 0.0))));
    }
    doc.apply(&Edit::SetName(number.to_string())).unwrap().installation
}

fn whole(doc: &Installation) -> usize {
    let number: usize = doc.name.parse().unwrap_or_else(|_| panic!("the name is {:?}", doc.name));
    assert_eq!(doc.parts.len(), 40 + number % 200, "drawing {number} is whole");
    number
}

struct Paths {
    file: PathBuf,
    state: PathBuf,
}

fn paths(dir: &Path) -> Paths {
    Paths { file: dir.join("boat.hullwire"), state: dir.join("state") }
}

/// The victim: saves and writes its journal without end. Does nothing where it is not told to.
#[test]
fn victim() {
    let Some(dir) = std::env::var_os("HULLWIRE_VICTIM") else { return };
    let paths = paths(Path::new(&dir));
    let session = Session::begin(&paths.state, Some(&paths.file)).unwrap();
    assert!(!session.is_second(), "the lock of a killed process holds nobody up");
    let start = open(&paths.file).map_or(0, |opened| whole(&opened.installation));
    for number in start + 1.. {
        session.write(&numbered(number)).unwrap();
        save(&paths.file, &numbered(number), number % 3 == 0).unwrap();
        if number % 5 == 0 {
            session.discard().unwrap();
        }
    }
}

/// Numbers that look random and are the same each time.
struct Dice(u64);

impl Dice {
    fn below(&mut self, n: u64) -> u64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        self.0 % n
    }
}

fn kill_after(mut child: Child, wait: Duration) {
    std::thread::sleep(wait);
    child.kill().unwrap();
    child.wait().unwrap();
}

#[test]
fn a_kill_at_any_moment_leaves_a_whole_file_and_a_usable_journal() {
    let dir = tempfile::tempdir().unwrap();
    let paths = paths(dir.path());
    save(&paths.file, &numbered(1), false).unwrap();
    let (mut dice, mut last, mut journals) = (Dice(0x5eed_0b0a_7000_0001), 1, 0);
    for _ in 0..crashes() {
        let child = Command::new(std::env::current_exe().unwrap())
            .args(["--exact", "victim", "--test-threads", "1"])
            .env("HULLWIRE_VICTIM", dir.path())
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .spawn()
            .unwrap();
        kill_after(child, Duration::from_micros(5_000 + dice.below(60_000)));
        let now = whole(&open(&paths.file).unwrap().installation);
        assert!(now >= last, "an older file came back: {now} after {last}");
        last = now;
        let backup = dir.path().join("boat.hullwire.bak");
        if backup.exists() {
            let old = hullwire::store::parse(&std::fs::read(backup).unwrap(), "backup", Some("hullwire")).unwrap();
            whole(&old.installation);
        }
        for session in Session::left_behind(&paths.state) {
            let left = session.left().unwrap();
            whole(&left.installation.unwrap());
            journals += 1;
        }
    }
    assert!(last > 1 && journals > 0, "something was saved ({last}) and something was left behind ({journals})");
}

#[test]
fn a_killed_import_leaves_the_old_file_or_the_new_one() {
    let dir = tempfile::tempdir().unwrap();
    let (list, file) = (dir.path().join("list.csv"), dir.path().join("boat.hullwire"));
    let mut text = String::from("# name: new\n# system: 120V60Hz\ntag,kind,fed_from\nG1,generator,\nA1,panel,G1\n");
    for n in 0..60 {
        text += &format!("Q{n},breaker,A1\n");
    }
    std::fs::write(&list, text).unwrap();
    let mut dice = Dice(0x5eed_0b0a_7000_0002);
    let (mut old, mut new) = (0, 0);
    for _ in 0..crashes().min(100) {
        save(&file, &numbered(7), false).unwrap();
        let child = Command::new(env!("CARGO_BIN_EXE_hullwire"))
            .arg("import")
            .arg(&list)
            .arg("-o")
            .arg(&file)
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .spawn()
            .unwrap();
        kill_after(child, Duration::from_micros(dice.below(60_000)));
        let now = open(&file).unwrap().installation;
        if now.name == "new" {
            assert_eq!(now.parts.len(), 62);
            new += 1;
        } else {
            assert_eq!(whole(&now), 7);
            old += 1;
        }
    }
    assert_eq!(old + new, crashes().min(100));
}
