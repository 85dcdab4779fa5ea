//! The formats in which a pack goes out: one writer each, chosen by the ending of the file.

use super::cautions::NOT_FOR_CONSTRUCTION;
use super::pack::{Options, pack};
use super::page::{LEADING, letter};
use super::schedules::{self, Subject};
use super::table::Table;
use super::{csv_files, dxf, html, issue, overlay, pdf, png, svg, xlsx};
use crate::diagram::{self, Align, Ink, Item, Layer, Shape, Weight};
use crate::installation::{Installation, Place, Point};
use crate::loads;
use crate::network;
use crate::survey;
use thiserror::Error;

/// A format.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Format {
    /// The whole pack, the drawing attached.
    Pdf,
    /// The diagram, undivided.
    Svg,
    /// The same as a picture.
    Png,
    /// The same for a drawing office, with layers.
    Dxf,
    /// The schedules as a workbook.
    Xlsx,
    /// One page for a phone: diagram and tables.
    Html,
    /// A folder of CSV files, one a table.
    Folder,
}

impl Format {
    /// All formats.
    pub const ALL: [Self; 7] = [Self::Pdf, Self::Svg, Self::Png, Self::Dxf, Self::Xlsx, Self::Html, Self::Folder];

    /// Ending of its files, without the dot; empty for a folder.
    #[must_use]
    pub const fn ending(self) -> &'static str {
        match self {
            Self::Pdf => "pdf",
            Self::Svg => "svg",
            Self::Png => "png",
            Self::Dxf => "dxf",
            Self::Xlsx => "xlsx",
            Self::Html => "html",
            Self::Folder => "",
        }
    }

    /// The format of files with this ending; none asks for a folder.
    #[must_use]
    pub fn of_ending(ending: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|f| f.ending().eq_ignore_ascii_case(ending))
    }
}

/// What a writer made.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Written {
    /// The bytes of one file.
    File(Vec<u8>),
    /// Files of a folder, by name.
    Folder(Vec<(String, Vec<u8>)>),
}

/// Why nothing was written.
#[derive(Debug, Error)]
pub enum WriteError {
    /// The one who asked has stopped it.
    #[error("stopped; nothing was written")]
    Stopped,
    /// A writer failed.
    #[error("{0}")]
    Failed(String),
}

/// Makes a pack and writes it. `drawing` is the text of the drawing's own file, for formats that carry it. `step` is told
/// before each step what comes next and which share is done; where it gives false the work stops.
///
/// # Errors
/// Where it was stopped, or a writer failed.
pub fn write(
    format: Format,
    installation: &Installation,
    options: &Options,
    drawing: &str,
    step: &mut dyn FnMut(&str, f64) -> bool,
) -> Result<Written, WriteError> {
    match format {
        Format::Pdf => {
            let pack = pack(installation, options, step).ok_or(WriteError::Stopped)?;
            pdf::write(&pack, drawing).map(Written::File).map_err(|e| WriteError::Failed(e.to_string()))
        }
        Format::Svg | Format::Png | Format::Dxf => {
            if !step("Draw", 0.0) {
                return Err(WriteError::Stopped);
            }
            let (installation, mut scene) = undivided(installation, options);
            if format != Format::Dxf {
                sign(&mut scene, &installation);
            }
            if !step("Write", 0.5) {
                return Err(WriteError::Stopped);
            }
            let bytes = match format {
                Format::Png => png::write(&scene, &installation, options.dpi.unwrap_or(png::USUAL_DPI)),
                Format::Dxf => dxf::write(&scene, &installation),
                _ => Ok(svg::write(&scene, &installation, svg::paper).into_bytes()),
            };
            bytes.map(Written::File).map_err(WriteError::Failed)
        }
        Format::Html => {
            if !step("Solve and survey", 0.0) {
                return Err(WriteError::Stopped);
            }
            let installation = laid_out(installation);
            let subject = Subject::new(&installation, options.condition);
            if !step("Write", 0.7) {
                return Err(WriteError::Stopped);
            }
            let scene = scene(&subject, options, false);
            Ok(Written::File(html::write(&subject, &scene).into_bytes()))
        }
        Format::Xlsx | Format::Folder => {
            if !step("Solve and survey", 0.0) {
                return Err(WriteError::Stopped);
            }
            let subject = Subject::new(installation, options.condition);
            let mut tables: Vec<Table> = schedules::tables(&subject);
            tables.retain(|table| options.wants_table(&table.id));
            if !step("Write", 0.7) {
                return Err(WriteError::Stopped);
            }
            if format == Format::Xlsx {
                xlsx::write(&tables, installation).map(Written::File).map_err(WriteError::Failed)
            } else {
                csv_files::write(&tables).map(Written::Folder).map_err(WriteError::Failed)
            }
        }
    }
}

/// The installation with a place for every part.
fn laid_out(installation: &Installation) -> Installation {
    let mut installation = installation.clone();
    if installation.parts.values().any(|p| matches!(p.place, Place::In(_))) {
        diagram::lay_out(&mut installation);
    }
    installation
}

/// The diagram on one piece, with what survey and loads add; breakers open, as paper shows them by convention, or as they
/// stand.
fn scene(subject: &Subject<'_>, options: &Options, breakers_open: bool) -> diagram::Scene {
    let (installation, solution) = (subject.installation, &subject.solution);
    let roots = solution.walk.roots.iter();
    let peaks = roots.map(|s| (*s, loads::starting::peaks(installation, solution, *s))).collect();
    let overlay = overlay(installation, solution, &subject.judged, &peaks);
    let how = diagram::Options { feet: options.feet, breakers_open, ..diagram::Options::default() };
    diagram::scene(installation, solution, &overlay, &how)
}

/// Writes below a diagram what it is and who has to sign: a picture goes round without the pack.
fn sign(scene: &mut diagram::Scene, installation: &Installation) {
    let size = letter::LARGE;
    let mut rect = scene.bounds.unwrap_or_default();
    let mut at = Point::new(rect.min.x, rect.max.y + 2.0 * LEADING * size);
    for (n, text) in issue::lines(installation).into_iter().enumerate() {
        let weight = if n == 0 || text == NOT_FOR_CONSTRUCTION { Weight::Bold } else { Weight::Regular };
        let shape = Shape::Text { at, text, size, align: Align::Left, weight, ink: Ink::Line };
        rect = rect.union(shape.extent());
        scene.items.push(Item { layer: Layer::Text, target: None, shape });
        at = at.moved(0.0, LEADING * size);
    }
    scene.bounds = Some(rect);
}

/// The diagram on one piece of paper of any size, laid out where it was not, with what survey and loads add.
#[must_use]
pub fn undivided(installation: &Installation, options: &Options) -> (Installation, diagram::Scene) {
    let installation = laid_out(installation);
    let solution = network::solve(&installation, options.condition);
    let survey = survey::run(&installation, &solution);
    let judged = survey::judge(&installation, &survey);
    let subject = Subject {
        installation: &installation,
        condition: options.condition,
        solution,
        survey,
        judged,
        cures: Vec::new(),
    };
    let scene = scene(&subject, options, true);
    (installation, scene)
}
