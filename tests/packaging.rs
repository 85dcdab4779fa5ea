//! What packagers take: the desktop entry, icon, MIME type and AppStream data agree with each other and with the program.

use std::path::{Path, PathBuf};

fn file(name: &str) -> String {
    let path: PathBuf = Path::new(env!("CARGO_MANIFEST_DIR")).join("assets/linux").join(name);
    std::fs::read_to_string(&path).unwrap_or_else(|e| panic!("{}: {e}", path.display()))
}

fn xml(name: &str) -> String {
    let text = file(name);
    // The parser of the SVG reader refuses what is not well-formed.
    resvg::usvg::roxmltree::Document::parse(&text).unwrap_or_else(|e| panic!("{name}: {e}"));
    text
}

#[test]
fn the_icon_is_drawn_and_is_not_blank() {
    let tree = resvg::usvg::Tree::from_str(&xml("hullwire.svg"), &resvg::usvg::Options::default()).unwrap();
    let mut pixels = resvg::tiny_skia::Pixmap::new(64, 64).unwrap();
    let half = resvg::tiny_skia::Transform::from_scale(0.5, 0.5);
    resvg::render(&tree, half, &mut pixels.as_mut());
    let colours: std::collections::BTreeSet<[u8; 4]> =
        pixels.pixels().iter().map(|p| [p.red(), p.green(), p.blue(), p.alpha()]).collect();
    assert!(colours.len() > 8, "{} colours", colours.len());
}

#[test]
fn names_and_types_agree() {
    let desktop = file("hullwire.desktop");
    let value = |key: &str| {
        let found = desktop.lines().find_map(|l| l.strip_prefix(key)?.strip_prefix('='));
        found.unwrap_or_else(|| panic!("no {key}")).to_owned()
    };
    assert_eq!(desktop.lines().next(), Some("[Desktop Entry]"));
    assert_eq!(value("Exec"), format!("{} %f", env!("CARGO_PKG_NAME")));
    assert_eq!((value("Type"), value("Icon")), ("Application".to_owned(), "hullwire".to_owned()));
    for list in ["Categories", "MimeType", "Keywords"] {
        assert!(value(list).ends_with(';'), "{list}");
    }
    let kind = value("MimeType").trim_end_matches(';').to_owned();
    let (mime, about) = (xml("hullwire.xml"), xml("hullwire.metainfo.xml"));
    assert!(mime.contains(&format!("type=\"{kind}\"")) && mime.contains("*.hullwire"));
    assert!(about.contains(&format!("<mediatype>{kind}</mediatype>")) && about.contains("hullwire.desktop"));
    assert!(about.contains("it never approves"));
}
