//! The pack as PDF: the drawing comes back out of it, the same drawing gives the same bytes, and no damaged, foreign or
//! random file makes the program panic.

use assert_cmd::Command;
use hullwire::installation::Installation;
use hullwire::sheets::{Format, Options, Written, pack, pdf, write};
use hullwire::store::{self, Form};
use proptest::prelude::*;
use std::path::Path;
use std::sync::OnceLock;

fn sample() -> Installation {
    store::sample().unwrap().installation
}

fn made(installation: &Installation) -> Vec<u8> {
    let drawing = store::to_text(installation).unwrap();
    let pack = pack(installation, &Options::default(), &mut |_, _| true).unwrap();
    pdf::write(&pack, &drawing).unwrap()
}

fn bytes() -> &'static [u8] {
    static BYTES: OnceLock<Vec<u8>> = OnceLock::new();
    BYTES.get_or_init(|| made(&sample()))
}

#[test]
fn the_drawing_comes_back_as_it_went_in() {
    let opened = store::parse(bytes(), "pack.pdf", Some("pdf")).unwrap();
    assert_eq!(opened.form, Form::Pack);
    assert_eq!(opened.installation, sample());
}

#[test]
fn the_same_drawing_gives_the_same_bytes() {
    assert!(bytes() == made(&sample()).as_slice());
    let drawing = store::to_text(&sample()).unwrap();
    for format in [Format::Pdf, Format::Svg] {
        let write = || write(format, &sample(), &Options::default(), &drawing, &mut |_, _| true).unwrap();
        let (a, b) = (write(), write());
        assert!(matches!(&a, Written::File(bytes) if !bytes.is_empty()) && a == b, "{format:?}");
    }
}

#[test]
fn text_that_the_font_does_not_have_is_written_too() {
    let mut installation = sample();
    installation.name = "Лодка 船 ⛵ \u{202e}x\u{feff}\u{fffe}\u{0}\t".to_owned();
    installation.title.title = installation.name.clone();
    installation.title.language = "not a language".to_owned();
    installation.title.date_of_issue = "some day".to_owned();
    for part in installation.parts.values_mut() {
        std::sync::Arc::make_mut(part).label = "Ωμέγα ☃ \u{1f600} \u{e000}".to_owned();
    }
    let opened = store::parse(&made(&installation), "pack.pdf", None).unwrap();
    assert_eq!(opened.installation.parts, installation.parts);
}

#[test]
fn a_pdf_without_a_drawing_is_refused_with_a_reason() {
    let mut other = bytes().to_vec();
    let name = b"drawing.hullwire";
    for at in 0..other.len() - name.len() {
        if other[at..].starts_with(name) {
            other[at..at + name.len()].copy_from_slice(b"drawing.hulltxt.");
        }
    }
    let error = store::parse(&other, "other.pdf", Some("pdf")).unwrap_err().to_string();
    assert!(error.contains("other.pdf") && error.contains("valid: a pack"), "{error}");
    for (broken, word) in [(&b"%PDF-1.7 and nothing more"[..], "damaged"), (&bytes()[..bytes().len() / 3], "valid:")] {
        let error = store::parse(broken, "broken.pdf", Some("pdf")).unwrap_err().to_string();
        assert!(error.contains(word), "{error}");
    }
}

#[test]
fn every_command_reads_a_pack() {
    let folder = tempfile::tempdir().unwrap();
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let boat = root.join("samples/sailing-boat.hullwire");
    let pdf = folder.path().join("boat.pdf");
    let run = |args: &[&str]| {
        let mut command = Command::cargo_bin("hullwire").unwrap();
        command.args(args).env_remove("DISPLAY").env_remove("WAYLAND_DISPLAY").output().unwrap()
    };
    let (boat, pdf) = (boat.to_str().unwrap(), pdf.to_str().unwrap());
    let said = run(&["sheets", boat, "-o", pdf, "--size", "a4"]);
    assert!(said.status.success(), "{}", String::from_utf8_lossy(&said.stderr));
    for command in ["survey", "solve"] {
        let (a, b) = (run(&[command, boat, "--format", "json"]), run(&[command, pdf, "--format", "json"]));
        assert_eq!(a.stdout, b.stdout, "{command}");
        assert_eq!(a.status.code(), b.status.code());
    }
    let bad = run(&["sheets", boat, "-o", "boat.doc"]);
    assert_eq!(bad.status.code(), Some(2));
    assert!(String::from_utf8_lossy(&bad.stderr).contains(".pdf"));
    let bad = run(&["sheets", boat, "-o", pdf, "--sheets", "nothing"]);
    assert_eq!(bad.status.code(), Some(2));
    assert!(String::from_utf8_lossy(&bad.stderr).contains("diagram, panels"));
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 60, ..ProptestConfig::default() })]

    #[test]
    fn random_bytes_are_refused(tail in prop::collection::vec(any::<u8>(), 0..3000)) {
        let mut file = b"%PDF-1.7\n".to_vec();
        file.extend(tail);
        prop_assert!(store::parse(&file, "random.pdf", Some("pdf")).is_err());
    }

    #[test]
    fn a_damaged_pack_is_read_or_refused(
        edits in prop::collection::vec((any::<prop::sample::Index>(), any::<u8>()), 1..40),
        end in prop::option::weighted(0.3, any::<prop::sample::Index>()),
    ) {
        let mut file = bytes().to_vec();
        for (at, byte) in &edits {
            let at = at.index(file.len());
            file[at] = *byte;
        }
        if let Some(end) = end {
            file.truncate(end.index(file.len()));
        }
        // Either way, but never a panic.
        let _ = store::parse(&file, "damaged.pdf", Some("pdf"));
    }
}
