//! Writes a scene as SVG, in millimetres: black on white for paper, a group with a title for each part, cable and space.

use crate::diagram::{Align, Ink, Item, Scene, Shape, Stroke, Target, Weight, em_per_capital};
use crate::installation::{Installation, Point, Rect};
use std::fmt::Write as _;

/// White space around the drawing, in millimetres.
const MARGIN: f64 = 10.0;

/// The colour of an ink; `None` is left out.
pub type Colours = fn(Ink) -> Option<&'static str>;

/// Black on white, greys for what is not fed and for what is quiet.
#[must_use]
pub fn paper(ink: Ink) -> Option<&'static str> {
    Some(match ink {
        Ink::Line | Ink::Fed | Ink::Close | Ink::Over | Ink::Danger | Ink::Note => "#000000",
        Ink::Faint => "#333333",
        Ink::NotFed => "#767676",
        Ink::Paper => "#ffffff",
        Ink::Track => "#9a9a9a",
        Ink::Space(_) => return None,
        Ink::SpaceEdge(_) => "#8a8a8a",
    })
}

/// The scene as a whole SVG document. The same scene gives the same text.
#[must_use]
pub fn write(scene: &Scene, installation: &Installation, colours: Colours) -> String {
    let nothing = Rect::between(Point::default(), Point::new(10.0, 10.0));
    let view = scene.bounds.unwrap_or(nothing).grown(MARGIN);
    let mut out = String::new();
    let _ = writeln!(
        out,
        r#"<svg xmlns="http://www.w3.org/2000/svg" width="{w}mm" height="{h}mm" viewBox="{x} {y} {w} {h}" font-family="B612">"#,
        x = mm(view.min.x),
        y = mm(view.min.y),
        w = mm(view.width()),
        h = mm(view.height()),
    );
    if !installation.name.is_empty() {
        let _ = writeln!(out, "<title>{}</title>", escape(&installation.name));
    }
    let mut at = 0;
    while let Some(first) = scene.items.get(at) {
        let run = scene.items.iter().skip(at).take_while(|i| i.target == first.target).count();
        if let Some(target) = first.target {
            let (id, title) = name(installation, target);
            let _ = writeln!(out, r#"<g data-of="{}"><title>{}</title>"#, escape(&id), escape(&title));
        }
        for item in scene.items.iter().skip(at).take(run) {
            write_item(&mut out, item, colours);
        }
        if first.target.is_some() {
            out.push_str("</g>\n");
        }
        at += run;
    }
    out.push_str("</svg>\n");
    out
}

/// What a group stands for, and its title.
fn name(installation: &Installation, target: Target) -> (String, String) {
    match target {
        Target::Part(id) | Target::Switch(id) => {
            let title = installation.parts.get(&id).map_or_else(String::new, |p| p.name());
            (format!("part-{id}"), title)
        }
        Target::Cable(id) => {
            let title = installation
                .cables
                .get(&id)
                .map_or_else(String::new, |c| format!("{} to {}", installation.tag(c.from), installation.tag(c.to)));
            (format!("cable-{id}"), title)
        }
        Target::Space(id) => {
            let title = installation.spaces.get(&id).map_or_else(String::new, |s| s.name.clone());
            (format!("space-{id}"), title)
        }
    }
}

/// A length in millimetres, to a thousandth.
fn mm(value: f64) -> String {
    crate::units::trimmed(value, 3)
}

/// Text that can stand in SVG: the five signs escaped, characters that XML forbids left out.
pub(super) fn escape(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\'' => out.push_str("&#39;"),
            '\u{0}'..='\u{8}' | '\u{b}' | '\u{c}' | '\u{e}'..='\u{1f}' | '\u{fffe}' | '\u{ffff}' => {}
            _ => out.push(c),
        }
    }
    out
}

fn fill_of(ink: Option<Ink>, colours: Colours) -> &'static str {
    ink.and_then(colours).unwrap_or("none")
}

/// Attributes of fill and pen.
fn style(stroke: Option<Stroke>, fill: Option<Ink>, colours: Colours) -> String {
    let mut out = format!(r#" fill="{}""#, fill_of(fill, colours));
    if let Some(pen) = stroke
        && let Some(colour) = colours(pen.ink)
    {
        let _ = write!(out, r#" stroke="{colour}" stroke-width="{}""#, mm(pen.width));
        if pen.dash.is_empty() {
            out.push_str(r#" stroke-linecap="round""#);
        } else {
            let dashes: Vec<String> = pen.dash.iter().map(|&d| mm(d).to_string()).collect();
            let _ = write!(out, r#" stroke-dasharray="{}""#, dashes.join(" "));
        }
        out.push_str(r#" stroke-linejoin="round""#);
    }
    out
}

fn path_data(points: &[Point], closed: bool) -> String {
    let mut data = String::new();
    for (i, p) in points.iter().enumerate() {
        let _ = write!(data, "{}{} {}", if i == 0 { "M" } else { " L" }, mm(p.x), mm(p.y));
    }
    if closed {
        data.push_str(" Z");
    }
    data
}

fn write_item(out: &mut String, item: &Item, colours: Colours) {
    match &item.shape {
        Shape::Path { points, closed, stroke, fill } => {
            let fill = if *closed { *fill } else { None };
            let _ = writeln!(out, r#"<path d="{}"{}/>"#, path_data(points, *closed), style(*stroke, fill, colours));
        }
        Shape::Arc { centre, radius, start_deg, sweep_deg, stroke, fill } => {
            if sweep_deg.abs() >= 360.0 {
                let _ = writeln!(
                    out,
                    r#"<circle cx="{}" cy="{}" r="{}"{}/>"#,
                    mm(centre.x),
                    mm(centre.y),
                    mm(*radius),
                    style(*stroke, *fill, colours)
                );
                return;
            }
            let on = |deg: f64| {
                let (s, c) = deg.to_radians().sin_cos();
                centre.moved(radius * c, radius * s)
            };
            let (a, b) = (on(*start_deg), on(start_deg + sweep_deg));
            let _ = writeln!(
                out,
                r#"<path d="M{} {} A{r} {r} 0 {} {} {} {}"{}/>"#,
                mm(a.x),
                mm(a.y),
                u8::from(sweep_deg.abs() > 180.0),
                u8::from(*sweep_deg > 0.0),
                mm(b.x),
                mm(b.y),
                style(*stroke, None, colours),
                r = mm(*radius),
            );
        }
        Shape::Box { rect, radius, stroke, fill } => {
            let _ = writeln!(
                out,
                r#"<rect x="{}" y="{}" width="{}" height="{}" rx="{}"{}/>"#,
                mm(rect.min.x),
                mm(rect.min.y),
                mm(rect.width()),
                mm(rect.height()),
                mm(*radius),
                style(*stroke, *fill, colours)
            );
        }
        Shape::Hatch { rect, pitch, stroke } => {
            let mut data = String::new();
            for (a, b) in Shape::hatch_strokes(*rect, *pitch) {
                let _ = write!(data, "M{} {} L{} {} ", mm(a.x), mm(a.y), mm(b.x), mm(b.y));
            }
            if !data.is_empty() {
                let _ = writeln!(out, r#"<path d="{}"{}/>"#, data.trim_end(), style(Some(*stroke), None, colours));
            }
        }
        Shape::Text { at, text, size, align, weight, ink } => {
            let anchor = match align {
                Align::Left => "",
                Align::Centre => r#" text-anchor="middle""#,
                Align::Right => r#" text-anchor="end""#,
            };
            let bold = if *weight == Weight::Bold { r#" font-weight="bold""# } else { "" };
            let _ = writeln!(
                out,
                r#"<text x="{}" y="{}" font-size="{}"{anchor}{bold} fill="{}">{}</text>"#,
                mm(at.x),
                mm(at.y),
                mm(size * em_per_capital(*weight)),
                fill_of(Some(*ink), colours),
                escape(text)
            );
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::diagram::{Options, Overlay, scene};
    use crate::installation::{Part, PartKind, Place, Point, System};
    use crate::network::Solution;

    #[test]
    fn text_is_escaped_and_forbidden_signs_are_left_out() {
        let mut installation = Installation::new(System::TwoWire230);
        installation.name = "A < B & \"C\"".to_owned();
        let mut part = Part::new(PartKind::Appliance, "E<1>", Place::At(Point::new(50.0, 50.0)));
        part.label = "Salt & pepper\u{1}".to_owned();
        installation.add_part(part);
        let drawn = scene(&installation, &Solution::default(), &Overlay::default(), &Options::default());
        let text = write(&drawn, &installation, paper);
        assert!(text.contains("<title>A &lt; B &amp; &quot;C&quot;</title>"));
        assert!(text.contains("E&lt;1&gt;") && text.contains("Salt &amp; pepper") && !text.contains('\u{1}'));
        let (opened, closed) = (text.matches("<g ").count(), text.matches("</g>").count());
        assert!(opened > 0 && opened == closed);
    }

    #[test]
    fn an_empty_drawing_is_a_document_too() {
        let installation = Installation::new(System::TwoWire120);
        let text = write(&Scene::default(), &installation, paper);
        assert!(text.starts_with("<svg ") && text.ends_with("</svg>\n"));
    }
}
