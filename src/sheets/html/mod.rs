//! Writes one self-contained HTML page for a phone: the diagram that zooms and pans by touch, the data and findings of
//! what is tapped with its path to the source lit, and all tables. No network, no other file; it prints, and follows the
//! light or dark of the device.

mod data;

use super::schedules::Subject;
use super::svg;
use super::table::{Align, Row, RowKind, Table, Tone};
use super::{issue, schedules};
use crate::diagram::{BOLD, Ink, REGULAR, Scene, Target};
use crate::survey::cautions;
use base64::Engine as _;
use base64::engine::general_purpose::STANDARD;
use std::fmt::Write as _;

const STYLE: &str = include_str!("page.css");
const SCRIPT: &str = include_str!("page.js");

/// Nothing may be loaded from anywhere; style, script and fonts stand in the page itself.
const POLICY: &str = "default-src 'none'; style-src 'unsafe-inline'; script-src 'unsafe-inline'; font-src data:";

/// Inks as variables of the page, so that light, dark and print each choose.
fn variables(ink: Ink) -> Option<&'static str> {
    Some(match ink {
        Ink::Line | Ink::Fed => "var(--line)",
        Ink::Faint => "var(--faint)",
        Ink::NotFed => "var(--notfed)",
        Ink::Close => "var(--close)",
        Ink::Over => "var(--over)",
        Ink::Danger => "var(--danger)",
        Ink::Note => "var(--note)",
        Ink::Paper => "var(--panel)",
        Ink::Track => "var(--track)",
        Ink::Space(_) => return None,
        Ink::SpaceEdge(_) => "var(--edge)",
    })
}

/// The page. The same subject gives the same text.
#[must_use]
pub fn write(subject: &Subject<'_>, scene: &Scene) -> String {
    let installation = subject.installation;
    let tables = schedules::tables(subject);
    let name = svg::escape(issue::name(installation));
    let title = &installation.title;
    let mut out = String::from("<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n");
    let _ = writeln!(out, "<meta http-equiv=\"Content-Security-Policy\" content=\"{POLICY}\">");
    out.push_str("<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n");
    let _ = writeln!(out, "<title>{name}</title>\n<style>");
    for (bytes, weight) in [(REGULAR, "400"), (BOLD, "700")] {
        let font = STANDARD.encode(bytes);
        let _ = writeln!(
            out,
            "@font-face {{ font-family: B612; font-weight: {weight}; src: url(data:font/otf;base64,{font}) format(\"opentype\"); }}"
        );
    }
    out.push_str(STYLE);
    out.push_str("</style>\n</head>\n<body>\n<header>\n");
    let _ = writeln!(out, "<h1>{name}</h1>");
    let mut facts = vec![
        installation.system.name().to_owned(),
        format!("condition “{}”, fed from {}", subject.condition_name(), subject.feeding()),
    ];
    let (index, date) = issue::revision(installation);
    for (what, value) in [("revision", &index), ("date", &date), ("by", &title.creator)] {
        if !value.is_empty() {
            facts.push(format!("{what} {value}"));
        }
    }
    let _ = writeln!(out, "<p class=\"quiet\">{}</p>", svg::escape(&facts.join("; ")));
    out.push_str(
        "<p class=\"sign\">Not for construction until checked and signed by a licensed marine electrician under the local \
         code.</p>\n",
    );
    for caution in cautions(installation) {
        let _ = writeln!(
            out,
            "<details class=\"caution\"><summary><strong>{}: {}</strong></summary><p>{} {}</p></details>",
            caution.severity.word(),
            svg::escape(caution.hazard),
            svg::escape(caution.consequence),
            svg::escape(caution.avoid)
        );
    }
    out.push_str("</header>\n<main>\n<div class=\"drawing\">\n");
    out.push_str(&svg::write(scene, installation, variables));
    out.push_str(
        "<div class=\"buttons\"><button id=\"closer\" aria-label=\"Zoom in\">+</button><button id=\"farther\" \
         aria-label=\"Zoom out\">−</button><button id=\"all\">All</button></div>\n</div>\n\
         <section id=\"particulars\" aria-live=\"polite\"></section>\n",
    );
    for shown in tables.iter().filter(|t| t.id != "cautions") {
        table(&mut out, shown);
    }
    out.push_str("</main>\n<footer><p class=\"quiet\">");
    let _ = write!(
        out,
        "Hullwire {}. It computes from what was entered and approves nothing. What is not feeding may still be live: \
         isolate, and test before touch.",
        env!("CARGO_PKG_VERSION")
    );
    out.push_str("</p></footer>\n<script type=\"application/json\" id=\"data\">");
    out.push_str(&data::json(subject, &tables));
    out.push_str("</script>\n<script>\n");
    out.push_str(SCRIPT);
    out.push_str("</script>\n</body>\n</html>\n");
    out
}

/// The name of a part or cable in the page.
fn target_id(target: Target) -> Option<String> {
    match target {
        Target::Part(id) | Target::Switch(id) => Some(format!("part-{id}")),
        Target::Cable(id) => Some(format!("cable-{id}")),
        Target::Space(_) => None,
    }
}

const fn class_of(align: Align, wraps: bool) -> &'static str {
    match (align, wraps) {
        (_, true) => " class=\"s\"",
        (Align::Right, _) => " class=\"n\"",
        (Align::Centre, _) => " class=\"c\"",
        (Align::Left, _) => "",
    }
}

fn row_class(row: &Row) -> &'static str {
    match (row.kind, row.tone) {
        (RowKind::Heading, _) => "heading",
        (RowKind::Total, _) => "total",
        (RowKind::ByHand, _) => "hand",
        (RowKind::Data, Tone::Over) => "over",
        (RowKind::Data, Tone::Quiet) => "quiet",
        (RowKind::Data, Tone::Removed) => "removed",
        (RowKind::Data, Tone::Plain | Tone::Close | Tone::New) => "plain",
    }
}

fn table(out: &mut String, shown: &Table) {
    let open = if shown.id == "findings" { " open" } else { "" };
    let _ =
        writeln!(out, "<details id=\"{}\"{open}><summary><h2>{}</h2></summary>", shown.id, svg::escape(&shown.title));
    if !shown.rows.is_empty() {
        rows(out, shown);
    }
    for note in shown.foot() {
        let _ = writeln!(out, "<p class=\"quiet\">{}</p>", svg::escape(&note));
    }
    for source in &shown.sources {
        let _ = writeln!(out, "<p class=\"quiet\">Source: {}</p>", svg::escape(&source.line()));
    }
    out.push_str("</details>\n");
}

/// Head and rows.
fn rows(out: &mut String, shown: &Table) {
    out.push_str("<div class=\"wide\"><table>\n<thead><tr>");
    for column in &shown.columns {
        let class = class_of(column.align, column.wraps);
        let _ = write!(out, "<th scope=\"col\"{class}>{}</th>", svg::escape(&column.heading()));
    }
    out.push_str("</tr></thead>\n<tbody>\n");
    for row in &shown.rows {
        let go = row.about.and_then(target_id).map_or_else(String::new, |id| format!(" data-go=\"{id}\""));
        let _ = write!(out, "<tr class=\"{}\"{go}>", row_class(row));
        if row.kind == RowKind::Heading {
            let text = row.cells.first().map_or_else(String::new, |c| c.text());
            let _ = write!(out, "<td colspan=\"{}\">{}</td>", shown.columns.len(), svg::escape(&text));
        } else {
            for (cell, column) in row.cells.iter().zip(&shown.columns) {
                let class = class_of(column.align, column.wraps);
                let _ = write!(out, "<td{class}>{}</td>", svg::escape(&cell.text()));
            }
        }
        out.push_str("</tr>\n");
    }
    out.push_str("</tbody>\n</table></div>\n");
}

#[cfg(test)]
mod tests {
    use super::write;
    use crate::diagram::{Options, Overlay, scene};
    use crate::installation::{Cable, Installation, Part, PartKind, Place, Point, System};
    use crate::sheets::schedules::Subject;

    fn page(label: &str) -> String {
        let mut installation = Installation::new(System::TwoWire120);
        installation.name = label.to_owned();
        let mut inlet = Part::new(PartKind::ShoreInlet, "X1", Place::At(Point::new(20.0, 50.0)));
        inlet.rating_a = Some(30.0);
        let from = installation.add_part(inlet);
        let mut part = Part::new(PartKind::Appliance, "E1", Place::At(Point::new(90.0, 50.0)));
        part.label = label.to_owned();
        part.run_w = Some(500.0);
        let to = installation.add_part(part);
        installation.add_cable(Cable::between(from, to));
        installation.conditions[0].feeding = vec![from];
        let subject = Subject::new(&installation, 0);
        let drawn = scene(&installation, &subject.solution, &Overlay::default(), &Options::default());
        let first = write(&subject, &drawn);
        assert_eq!(first, write(&Subject::new(&installation, 0), &drawn), "the same text each time");
        first
    }

    #[test]
    fn text_of_the_drawing_cannot_become_part_of_the_page() {
        let page = page("</script><script>alert(1)</script><img src=x onerror=alert(2)>\u{2028}]]>");
        assert!(!page.contains("<script>alert") && !page.contains("<img"));
        assert_eq!(page.matches("</script>").count(), 2);
        assert!(page.contains("&lt;img src=x"));
    }

    #[test]
    fn nothing_is_loaded_from_elsewhere() {
        let page = page("Heater");
        for sign in ["src=\"http", "href=\"http", "url(http", "@import", "<link", "<img", "<iframe", "//cdn"] {
            assert!(!page.contains(sign), "{sign}");
        }
        assert!(page.contains("default-src 'none'"));
    }

    #[test]
    fn every_part_has_its_data_and_its_path() {
        let page = page("Heater");
        let start = page.find("id=\"data\">").unwrap() + "id=\"data\">".len();
        let end = start + page[start..].find("</script>").unwrap();
        let data: serde_json::Value = serde_json::from_str(&page[start..end]).unwrap();
        let heater = data.as_object().unwrap().values().find(|v| v["name"] == "E1 Heater").unwrap();
        let path: Vec<&str> = heater["path"].as_array().unwrap().iter().filter_map(|p| p.as_str()).collect();
        assert!(
            path.iter().any(|p| p.starts_with("part-")) && path.iter().any(|p| p.starts_with("cable-")),
            "{path:?}"
        );
        for id in data.as_object().unwrap().keys() {
            assert!(page.contains(&format!("data-of=\"{id}\"")), "{id} is on the drawing");
        }
    }
}
