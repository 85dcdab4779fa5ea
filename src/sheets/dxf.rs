//! Writes a scene as DXF (R2000, millimetres, y upwards), for a yard's drawing office: cables, symbols, text, spaces,
//! marks and border each on a layer of their own.

use super::issue;
use crate::diagram::{Align, Ink, Item, Layer, Scene, Shape, Stroke, Target};
use crate::installation::{Installation, Point, Rect};
use dxf::entities::{Arc, Circle, Entity, EntityType, Line, LwPolyline, Solid, Text};
use dxf::enums::{AcadVersion, HorizontalTextJustification, Units};
use dxf::tables::{LineType, Style};
use dxf::{Color, Drawing, LwPolylineVertex};

/// White space between drawing and border, in millimetres.
const MARGIN: f64 = 10.0;
/// Name of the text style and of its font.
const STYLE: &str = "B612";
/// Line types: name, what it stands for, dashes and gaps in millimetres.
const LINE_TYPES: [(&str, &str, &[f64]); 2] = [
    ("BROKEN", "not fed in the condition shown", Stroke::dashed(0.0, Ink::NotFed).dash),
    ("CHAIN", "edge of a space", Stroke::chain(0.0, Ink::NotFed).dash),
];

/// The layers: name and colour index of each.
const LAYERS: [(&str, u8); 6] =
    [("CABLES", 5), ("SYMBOLS", 7), ("TEXT", 7), ("SPACES", 8), ("MARKS", 1), ("BORDER", 7)];

/// The file's bytes. The same scene gives the same bytes.
///
/// # Errors
/// What the library says, in words.
pub fn write(scene: &Scene, installation: &Installation) -> Result<Vec<u8>, String> {
    let mut drawing = Drawing::new();
    drawing.header.version = AcadVersion::R2000;
    drawing.header.default_drawing_units = Units::Millimeters;
    for (name, colour) in LAYERS {
        drawing.add_layer(dxf::tables::Layer {
            name: name.to_owned(),
            color: Color::from_index(colour),
            ..dxf::tables::Layer::default()
        });
    }
    drawing.add_style(Style {
        name: STYLE.to_owned(),
        primary_font_file_name: "B612-Regular.otf".to_owned(),
        ..Style::default()
    });
    for (name, description, dash) in LINE_TYPES {
        drawing.add_line_type(LineType {
            name: name.to_owned(),
            description: description.to_owned(),
            alignment_code: 65,
            element_count: dash.len() as i32,
            total_pattern_length: dash.iter().sum(),
            // A gap counts below zero.
            dash_dot_space_lengths: dash.iter().enumerate().map(|(n, d)| if n % 2 == 0 { *d } else { -d }).collect(),
            ..LineType::default()
        });
    }
    for item in &scene.items {
        shape(&mut drawing, item);
    }
    border(&mut drawing, scene, installation);
    let mut bytes = Vec::new();
    drawing.save(&mut bytes).map_err(|e| format!("the DXF file was not written: {e}"))?;
    let text = String::from_utf8(bytes).map_err(|e| format!("the DXF file was not written: {e}"))?;
    Ok(settled(&text, installation).into_bytes())
}

/// The days since the start of the Julian count at midnight of a day.
fn julian(year: u16, month: u8, day: u8) -> i64 {
    let (y, m, d) = (i64::from(year), i64::from(month), i64::from(day));
    let a = (14 - m) / 12;
    let (y, m) = (y + 4800 - a, m + 12 * a - 3);
    d + (153 * m + 2) / 5 + 365 * y + y / 4 - y / 100 + y / 400 - 32045
}

/// The header with the date of issue in its four dates, and without a random identity: the library takes both from the
/// machine.
fn settled(text: &str, installation: &Installation) -> String {
    let (year, month, day) = issue::header_date(installation);
    let date = format!("{}.0", julian(year, month, day));
    let identity = "{00000000-0000-0000-0000-000000000000}";
    let mut out = String::with_capacity(text.len());
    let mut lines = text.split_inclusive('\n');
    while let Some(line) = lines.next() {
        out.push_str(line);
        let value = match line.trim() {
            "$TDCREATE" | "$TDUCREATE" | "$TDUPDATE" | "$TDUUPDATE" => date.as_str(),
            "$FINGERPRINTGUID" | "$VERSIONGUID" => identity,
            _ => continue,
        };
        if let Some(code) = lines.next() {
            out.push_str(code);
        }
        if let Some(old) = lines.next() {
            let end = old.trim_end_matches(['\r', '\n']).len();
            out.push_str(value);
            out.push_str(old.get(end..).unwrap_or("\r\n"));
        }
    }
    out
}

fn layer_of(item: &Item) -> &'static str {
    match (item.layer, item.target) {
        (_, Some(Target::Space(_))) | (Layer::Space, _) => "SPACES",
        (Layer::Mark, _) => "MARKS",
        _ if matches!(item.shape, Shape::Text { .. }) => "TEXT",
        (Layer::Cable, _) => "CABLES",
        (Layer::Text, _) => "TEXT",
        (Layer::Symbol, _) => "SYMBOLS",
    }
}

fn at(point: Point) -> dxf::Point {
    dxf::Point::new(point.x, -point.y, 0.0)
}

/// Adds an entity on a layer, in the pen of a stroke.
fn add(drawing: &mut Drawing, layer: &str, pen: Option<Stroke>, specific: EntityType) {
    let mut entity = Entity::new(specific);
    entity.common.layer = layer.to_owned();
    if let Some(pen) = pen {
        entity.common.lineweight_enum_value = weight(pen.width);
        // Any other dash, as in a screen of a transformer, is drawn as the first.
        if !pen.dash.is_empty() {
            let known = LINE_TYPES.iter().find(|(_, _, dash)| *dash == pen.dash).unwrap_or(&LINE_TYPES[0]);
            entity.common.line_type_name = known.0.to_owned();
        }
        if pen.ink == Ink::NotFed {
            entity.common.color = Color::from_index(8);
        }
    }
    drawing.add_entity(entity);
}

/// The nearest pen that DXF knows, in hundredths of a millimetre.
fn weight(millimetres: f64) -> i16 {
    const PENS: [i16; 14] = [5, 9, 13, 15, 18, 20, 25, 30, 35, 40, 50, 70, 100, 140];
    let wanted = millimetres * 100.0;
    let near = |a: &i16, b: &i16| (f64::from(*a) - wanted).abs().total_cmp(&(f64::from(*b) - wanted).abs());
    PENS.into_iter().min_by(near).unwrap_or(25)
}

fn outline(points: &[Point], closed: bool) -> EntityType {
    let vertex = |p: &Point| LwPolylineVertex { x: p.x, y: -p.y, ..LwPolylineVertex::default() };
    let vertices = points.iter().map(vertex).collect();
    EntityType::LwPolyline(LwPolyline { flags: i32::from(closed), vertices, ..LwPolyline::default() })
}

/// True where a fill is ink and not the ground of the paper.
fn is_ink(fill: Option<Ink>) -> bool {
    fill.is_some_and(|ink| !matches!(ink, Ink::Paper | Ink::Space(_) | Ink::Track))
}

/// A filled corner-to-corner area; DXF orders the third and fourth corner crosswise.
fn solid(corners: [Point; 4]) -> EntityType {
    let [a, b, c, d] = corners.map(at);
    EntityType::Solid(Solid::new(a, b, d, c))
}

fn corners(rect: Rect) -> [Point; 4] {
    [rect.min, Point::new(rect.max.x, rect.min.y), rect.max, Point::new(rect.min.x, rect.max.y)]
}

fn shape(drawing: &mut Drawing, item: &Item) {
    let layer = layer_of(item);
    match &item.shape {
        Shape::Path { points, closed, stroke, fill } => {
            if *closed && is_ink(*fill) {
                match *points.as_slice() {
                    [a, b, c] => add(drawing, layer, None, solid([a, b, c, c])),
                    [a, b, c, d] => add(drawing, layer, None, solid([a, b, c, d])),
                    _ => {}
                }
            }
            match points.as_slice() {
                _ if stroke.is_none() && is_ink(*fill) && points.len() < 5 => {}
                &[a, b] => add(drawing, layer, *stroke, EntityType::Line(Line::new(at(a), at(b)))),
                all if all.len() > 2 && (stroke.is_some() || is_ink(*fill)) => {
                    add(drawing, layer, *stroke, outline(all, *closed));
                }
                _ => {}
            }
        }
        Shape::Arc { centre, radius, start_deg, sweep_deg, stroke, fill } => {
            if stroke.is_none() && !is_ink(*fill) {
                return;
            }
            let specific = if sweep_deg.abs() >= 360.0 {
                EntityType::Circle(Circle::new(at(*centre), *radius))
            } else {
                // Angles grow clockwise on the sheet and the other way in DXF, whose arcs run anticlockwise.
                let (a, b) = (-start_deg, -(start_deg + sweep_deg));
                let (from, to) = if *sweep_deg > 0.0 { (b, a) } else { (a, b) };
                EntityType::Arc(Arc::new(at(*centre), *radius, from.rem_euclid(360.0), to.rem_euclid(360.0)))
            };
            add(drawing, layer, *stroke, specific);
        }
        Shape::Box { rect, stroke, fill, .. } => {
            if is_ink(*fill) {
                add(drawing, layer, None, solid(corners(*rect)));
            }
            if stroke.is_some() {
                add(drawing, layer, *stroke, outline(&corners(*rect), true));
            }
        }
        Shape::Hatch { rect, pitch, stroke } => {
            for (a, b) in Shape::hatch_strokes(*rect, *pitch) {
                add(drawing, layer, Some(*stroke), EntityType::Line(Line::new(at(a), at(b))));
            }
        }
        Shape::Text { at: point, text, size, align, .. } => {
            add(drawing, layer, None, text_entity(*point, text, *size, *align));
        }
    }
}

/// One line of text on its base line; what could end a line of the file is left out.
fn text_entity(point: Point, text: &str, size: f64, align: Align) -> EntityType {
    let value: String = text.chars().filter(|c| !c.is_control()).collect();
    let justified = match align {
        Align::Left => HorizontalTextJustification::Left,
        Align::Centre => HorizontalTextJustification::Center,
        Align::Right => HorizontalTextJustification::Right,
    };
    EntityType::Text(Text {
        location: at(point),
        second_alignment_point: at(point),
        text_height: size,
        value,
        text_style_name: STYLE.to_owned(),
        horizontal_text_justification: justified,
        ..Text::default()
    })
}

/// A frame, the name below it, and who has to sign.
fn border(drawing: &mut Drawing, scene: &Scene, installation: &Installation) {
    let nothing = Rect::between(Point::default(), Point::new(10.0, 10.0));
    let frame = scene.bounds.unwrap_or(nothing).grown(MARGIN);
    drawing.header.minimum_drawing_extents = dxf::Point::new(frame.min.x, -frame.max.y, 0.0);
    drawing.header.maximum_drawing_extents = dxf::Point::new(frame.max.x, -frame.min.y, 0.0);
    add(drawing, "BORDER", Some(Stroke::solid(0.7, Ink::Line)), outline(&corners(frame), true));
    let lines = issue::lines(installation);
    for (n, line) in lines.iter().enumerate() {
        let point = Point::new(frame.min.x, frame.max.y + 6.0 * (n as f64 + 1.0));
        let entity = text_entity(point, line, 3.5, Align::Left);
        add(drawing, "BORDER", None, entity);
    }
}

#[cfg(test)]
mod tests {
    use super::{julian, weight, write};
    use crate::diagram::{Options, Overlay, scene};
    use crate::installation::{Installation, Part, PartKind, Place, Point, System};
    use crate::network::Solution;

    #[test]
    fn dates_are_julian_days() {
        // The specification of the format gives 2451544 for 31 December 1999.
        assert_eq!(julian(1999, 12, 31), 2_451_544);
    }

    #[test]
    fn pens_are_the_nearest_there_is() {
        assert_eq!((weight(0.35), weight(0.36), weight(1.4), weight(9.0)), (35, 35, 140, 140));
    }

    #[test]
    fn the_file_repeats_and_reads_back_with_layers_and_dates() {
        let mut installation = Installation::new(System::TwoWire120);
        installation.title.date_of_issue = "1999-12-31".to_owned();
        let mut part = Part::new(PartKind::Appliance, "E1", Place::At(Point::new(50.0, 50.0)));
        part.label = "Wärmer\n0\nEOF".to_owned();
        installation.add_part(part);
        let drawn = scene(&installation, &Solution::default(), &Overlay::default(), &Options::default());
        let first = write(&drawn, &installation).unwrap();
        assert_eq!(first, write(&drawn, &installation).unwrap());
        let text = String::from_utf8(first.clone()).unwrap();
        assert_eq!(text.matches("2451544.0").count(), 4);
        let read = dxf::Drawing::load(&mut first.as_slice()).unwrap();
        for (layer, _) in super::LAYERS {
            assert!(read.layers().any(|l| l.name == layer), "{layer}");
        }
        let texts = drawn.items.iter().filter(|i| matches!(i.shape, crate::diagram::Shape::Text { .. })).count();
        let written = read.entities().filter(|e| matches!(e.specific, dxf::entities::EntityType::Text(_))).count();
        assert_eq!(written, texts + 4, "every text once, and those of the border");
    }
}
