//! Writes a pack as PDF/A-3a: vector, fonts embedded as subsets, selectable text, bookmarks, tags, and the drawing itself
//! as an attachment, so that the pack opens in Hullwire again. No clock is read: the same pack gives the same bytes.

mod text;

use super::pack::Pack;
use super::page::{Block, Page, Role};
use super::svg::paper;
use crate::diagram::{Align, Ink, Shape, Stroke as Pen, text_width};
use crate::installation::{Point, Rect};
use krilla::color::luma;
use krilla::configure::{Archival, ConfigurationBuilder};
use krilla::destination::XyzDestination;
use krilla::embed::{AssociationKind, EmbeddedFile, MimeType};
use krilla::geom::{PathBuilder, Point as At};
use krilla::metadata::{DateTime, Metadata};
use krilla::num::NormalizedF32;
use krilla::outline::{Outline, OutlineNode};
use krilla::page::PageSettings;
use krilla::paint::{Fill, FillRule, LineCap, LineJoin, Stroke, StrokeDash};
use krilla::surface::Surface;
use krilla::tagging::{
    Artifact, ArtifactType, ContentTag, Identifier, Node, TableHeaderScope, Tag, TagGroup, TagKind, TagTree,
};
use krilla::{Document, SerializeSettings};
use std::num::NonZeroU16;
use text::Faces;
use thiserror::Error;

/// Points to a millimetre.
const PT: f64 = 72.0 / 25.4;
/// Name of the attachment.
pub const ATTACHMENT: &str = "drawing.hullwire";
/// The date that stands where nothing was issued: a fixed one, as no clock is read.
const NO_DATE: (u16, u8, u8) = (2000, 1, 1);

/// Titles of pages with their indices.
type Entries = Vec<(String, usize)>;

/// Why a pack could not be written as PDF.
#[derive(Debug, Error)]
#[error("the PDF was not written: {0}")]
pub struct PdfError(String);

/// The pack as the bytes of a PDF, with the text of the drawing's own file as its attachment.
///
/// # Errors
/// Where the pages break a rule of PDF/A-3, which is a fault of the program.
pub fn write(pack: &Pack, drawing: &str) -> Result<Vec<u8>, PdfError> {
    let fault = |what: &str| PdfError(what.to_owned());
    let configuration = ConfigurationBuilder::new()
        .with_archival_validator(Archival::A3_A)
        .finish()
        .map_err(|e| PdfError(format!("{e:?}")))?;
    let settings = SerializeSettings { configuration, ..SerializeSettings::default() };
    let mut document = Document::new_with(settings);
    let faces = Faces::new().ok_or_else(|| fault("the bundled font cannot be read"))?;
    let mut tree = TagTree::new().with_lang(Some(language(pack)));
    let mut outline: Vec<(super::Kind, Entries)> = Vec::new();
    for (n, page) in pack.pages.iter().enumerate() {
        let size = PageSettings::from_wh(pt(page.width), pt(page.height));
        let mut sheet = document.start_page_with(size.ok_or_else(|| fault("a sheet has no size"))?);
        let mut surface = sheet.surface();
        let content = draw(&mut surface, page, &faces);
        surface.finish();
        sheet.finish();
        let mut section = TagGroup::new(Tag::Section);
        for node in tags(page, content) {
            section.push(node);
        }
        tree.push(section);
        let kind = pack.kinds.get(n).copied().unwrap_or(super::Kind::Records);
        match outline.last_mut() {
            Some((last, pages)) if *last == kind => pages.push((page.title.clone(), n)),
            _ => outline.push((kind, vec![(page.title.clone(), n)])),
        }
    }
    document.set_tag_tree(tree);
    document.set_outline(bookmarks(outline));
    let date = date(&pack.date);
    document.set_metadata(metadata(pack, date));
    let attached = EmbeddedFile {
        path: ATTACHMENT.to_owned(),
        mime_type: MimeType::new("application/json"),
        description: Some("The drawing that this pack was made from; it opens in Hullwire.".to_owned()),
        association_kind: AssociationKind::Source,
        data: drawing.as_bytes().to_vec().into(),
        modification_date: Some(date),
        compress: Some(true),
        location: None,
    };
    document.embed_file(attached).ok_or_else(|| fault("the drawing could not be attached"))?;
    document.finish().map_err(|e| PdfError(format!("{e:?}")))
}

fn pt(mm: f64) -> f32 {
    (mm * PT) as f32
}

fn language(pack: &Pack) -> String {
    let plain = pack.language.chars().all(|c| c.is_ascii_alphanumeric() || c == '-') && pack.language.len() >= 2;
    if plain { pack.language.clone() } else { "en".to_owned() }
}

/// The date of issue where it can be read (`2026-04-18`), else a fixed one.
fn date(text: &str) -> DateTime {
    let numbers: Vec<u16> = text.trim().split(['-', '.', '/']).filter_map(|n| n.parse().ok()).collect();
    let (year, month, day) = match numbers.as_slice() {
        [y, m, d] if *y >= 1900 && (1..=12).contains(m) && (1..=31).contains(d) => (*y, *m as u8, *d as u8),
        _ => NO_DATE,
    };
    DateTime::new(year).month(month).day(day).hour(0).minute(0).second(0).utc_offset_hour(0).utc_offset_minute(0)
}

fn metadata(pack: &Pack, date: DateTime) -> Metadata {
    let mut metadata = Metadata::new()
        .title(pack.title.clone())
        .description(pack.subject.clone())
        .creator(concat!("Hullwire ", env!("CARGO_PKG_VERSION")).to_owned())
        .producer(concat!("Hullwire ", env!("CARGO_PKG_VERSION")).to_owned())
        .language(language(pack))
        .creation_date(date);
    if !pack.creator.is_empty() {
        metadata = metadata.authors(vec![pack.creator.clone()]);
    }
    metadata
}

/// One entry for each kind of sheet, below it its sheets where there are several.
fn bookmarks(kinds: Vec<(super::Kind, Entries)>) -> Outline {
    let top = |n: usize| XyzDestination::new(n, At::from_xy(0.0, 0.0));
    let mut outline = Outline::new();
    for (kind, pages) in kinds {
        let first = pages.first().map_or(0, |p| p.1);
        let mut node = OutlineNode::new(kind.heading().to_owned(), top(first));
        if pages.len() > 1 {
            for (title, n) in pages {
                node.push_child(OutlineNode::new(title, top(n)));
            }
        }
        outline.push_child(node);
    }
    outline
}

/// Draws all marks; gives the pieces of content of each block.
fn draw(surface: &mut Surface<'_>, page: &Page, faces: &Faces) -> Vec<Vec<Identifier>> {
    let mut content: Vec<Vec<Identifier>> = page.blocks.iter().map(|_| Vec::new()).collect();
    let mut open: Option<Option<usize>> = None;
    for mark in &page.marks {
        let role = page.blocks.get(mark.block).map_or(Role::Artifact, |b| b.role);
        // Rules and boxes mean nothing by themselves, save in a figure.
        let means = role == Role::Figure || (role != Role::Artifact && matches!(mark.shape, Shape::Text { .. }));
        let belongs = means.then_some(mark.block);
        if open != Some(belongs) {
            if open.is_some() {
                surface.end_tagged();
            }
            let tag = match belongs {
                Some(_) => ContentTag::Other,
                None => ContentTag::Artifact(Artifact::with_kind(ArtifactType::Layout)),
            };
            let identifier = surface.start_tagged(tag);
            if let Some(list) = belongs.and_then(|b| content.get_mut(b)) {
                list.push(identifier);
            }
            open = Some(belongs);
        }
        shape(surface, &mark.shape, faces);
    }
    if open.is_some() {
        surface.end_tagged();
    }
    content
}

/// The tags of a page, in reading order.
fn tags(page: &Page, mut content: Vec<Vec<Identifier>>) -> Vec<Node> {
    let mut children: Vec<Vec<usize>> = page.blocks.iter().map(|_| Vec::new()).collect();
    let mut roots = Vec::new();
    for (n, block) in page.blocks.iter().enumerate() {
        match block.parent.and_then(|p| children.get_mut(p)) {
            Some(list) => list.push(n),
            None => roots.push(n),
        }
    }
    roots.into_iter().filter_map(|n| node(page, n, &children, &mut content)).collect()
}

fn node(page: &Page, n: usize, children: &[Vec<usize>], content: &mut [Vec<Identifier>]) -> Option<Node> {
    let block = page.blocks.get(n)?;
    let own = content.get_mut(n).map(std::mem::take).unwrap_or_default();
    let mut group = TagGroup::new(tag(block)?);
    let mut any = !own.is_empty();
    for identifier in own {
        group.push(identifier);
    }
    for child in children.get(n).into_iter().flatten() {
        if let Some(node) = node(page, *child, children, content) {
            group.push(node);
            any = true;
        }
    }
    // A cell without content keeps its place in its row.
    (any || matches!(block.role, Role::Cell | Role::HeadCell)).then(|| group.into())
}

fn tag(block: &Block) -> Option<TagKind> {
    Some(match block.role {
        Role::Artifact => return None,
        Role::Section => Tag::Div.into(),
        Role::Heading(level) => Tag::Hn(NonZeroU16::new(u16::from(level)).unwrap_or(NonZeroU16::MIN), None).into(),
        Role::Paragraph => Tag::P.into(),
        Role::Figure => Tag::Figure(Some(block.alt.clone())).into(),
        Role::Table => Tag::Table.into(),
        Role::Row => Tag::TR.into(),
        Role::HeadCell => Tag::TH(TableHeaderScope::Column).into(),
        Role::Cell => Tag::TD.into(),
    })
}

/// The grey of an ink on paper; `None` is left out.
fn grey(ink: Ink) -> Option<luma::Color> {
    let hex = paper(ink)?;
    u8::from_str_radix(hex.get(1..3)?, 16).ok().map(luma::Color::new)
}

fn fill(ink: Option<Ink>) -> Option<Fill> {
    let paint = grey(ink?)?.into();
    Some(Fill { paint, opacity: NormalizedF32::ONE, rule: FillRule::NonZero })
}

fn pen(pen: Option<Pen>) -> Option<Stroke> {
    let pen = pen?;
    let array: Vec<f32> = pen.dash.iter().map(|&d| pt(d)).collect();
    let dash = (!array.is_empty()).then_some(StrokeDash { array, offset: 0.0 });
    Some(Stroke {
        paint: grey(pen.ink)?.into(),
        width: pt(pen.width),
        miter_limit: 10.0,
        line_cap: if dash.is_some() { LineCap::Butt } else { LineCap::Round },
        line_join: LineJoin::Round,
        opacity: NormalizedF32::ONE,
        dash,
    })
}

fn shape(surface: &mut Surface<'_>, shape: &Shape, faces: &Faces) {
    match shape {
        Shape::Path { points, closed, stroke, fill: ink } => {
            let mut path = PathBuilder::new();
            polyline(&mut path, points, *closed);
            paint(surface, path, *stroke, if *closed { *ink } else { None });
        }
        Shape::Arc { centre, radius, start_deg, sweep_deg, stroke, fill: ink } => {
            let mut path = PathBuilder::new();
            let full = sweep_deg.abs() >= 360.0;
            arc(&mut path, *centre, *radius, (*start_deg, sweep_deg.clamp(-360.0, 360.0)), true);
            if full {
                path.close();
            }
            paint(surface, path, *stroke, if full { *ink } else { None });
        }
        Shape::Box { rect, radius, stroke, fill: ink } => {
            let mut path = PathBuilder::new();
            rounded(&mut path, *rect, *radius);
            paint(surface, path, *stroke, *ink);
        }
        Shape::Hatch { rect, pitch, stroke } => {
            let mut path = PathBuilder::new();
            for (a, b) in Shape::hatch_strokes(*rect, *pitch) {
                polyline(&mut path, &[a, b], false);
            }
            paint(surface, path, Some(*stroke), None);
        }
        Shape::Text { at, text, size, align, weight, ink } => {
            let Some(fill) = fill(Some(*ink)) else { return };
            let left = match align {
                Align::Left => at.x,
                Align::Centre => at.x - text_width(text, *size, *weight) / 2.0,
                Align::Right => at.x - text_width(text, *size, *weight),
            };
            surface.set_fill(Some(fill));
            surface.set_stroke(None);
            faces.draw(surface, At::from_xy(pt(left), pt(at.y)), text, *size, *weight);
        }
    }
}

fn paint(surface: &mut Surface<'_>, path: PathBuilder, stroke: Option<Pen>, ink: Option<Ink>) {
    let (fill, stroke) = (fill(ink), pen(stroke));
    let Some(path) = path.finish() else { return };
    if fill.is_none() && stroke.is_none() {
        return;
    }
    surface.set_fill(fill);
    surface.set_stroke(stroke);
    surface.draw_path(&path);
}

fn polyline(path: &mut PathBuilder, points: &[Point], closed: bool) {
    for (i, p) in points.iter().enumerate() {
        if i == 0 {
            path.move_to(pt(p.x), pt(p.y));
        } else {
            path.line_to(pt(p.x), pt(p.y));
        }
    }
    if closed {
        path.close();
    }
}

/// An arc in pieces of at most a quarter, each a cubic curve.
fn arc(path: &mut PathBuilder, centre: Point, radius: f64, (start_deg, sweep_deg): (f64, f64), begin: bool) {
    let pieces = (sweep_deg.abs() / 90.0).ceil().max(1.0);
    let step = (sweep_deg / pieces).to_radians();
    let k = 4.0 / 3.0 * (step / 4.0).tan() * radius;
    let mut angle = start_deg.to_radians();
    let on = |a: f64| centre.moved(radius * a.cos(), radius * a.sin());
    if begin {
        let p = on(angle);
        path.move_to(pt(p.x), pt(p.y));
    }
    for _ in 0..pieces as usize {
        let (a, b) = (on(angle), on(angle + step));
        let c1 = a.moved(-k * angle.sin(), k * angle.cos());
        angle += step;
        let c2 = b.moved(k * angle.sin(), -k * angle.cos());
        path.cubic_to(pt(c1.x), pt(c1.y), pt(c2.x), pt(c2.y), pt(b.x), pt(b.y));
    }
}

fn rounded(path: &mut PathBuilder, rect: Rect, radius: f64) {
    let r = radius.min(rect.width() / 2.0).min(rect.height() / 2.0);
    if r <= 0.0 {
        let corners = [rect.min, Point::new(rect.max.x, rect.min.y), rect.max, Point::new(rect.min.x, rect.max.y)];
        polyline(path, &corners, true);
        return;
    }
    let corners = [
        (Point::new(rect.max.x - r, rect.min.y + r), -90.0),
        (Point::new(rect.max.x - r, rect.max.y - r), 0.0),
        (Point::new(rect.min.x + r, rect.max.y - r), 90.0),
        (Point::new(rect.min.x + r, rect.min.y + r), 180.0),
    ];
    path.move_to(pt(rect.min.x + r), pt(rect.min.y));
    for (centre, start) in corners {
        let from = centre.moved(r * f64::to_radians(start).cos(), r * f64::to_radians(start).sin());
        path.line_to(pt(from.x), pt(from.y));
        arc(path, centre, r, (start, 90.0), false);
    }
    path.close();
}
