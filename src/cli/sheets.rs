//! `hullwire sheets`: the hand-over pack for the licensed electrician.

use super::Answer;
use super::findings;
use super::subject::{Choice, Subject, count};
use crate::sheets::{self, Format, Kind, Options, Orientation, Paper, Size, Written};
use crate::store;
use crate::survey;
use anyhow::Context;
use clap::ValueEnum;
use std::path::{Path, PathBuf};

/// Write the hand-over pack: diagram, schedules, survey, basis, records to fill in and to sign
#[derive(Debug, clap::Args)]
#[command(after_help = "\
Examples:
  hullwire sheets boat.hullwire -o boat.pdf
  hullwire sheets boat.hullwire -o boat.pdf --size a4
  hullwire sheets boat.hullwire -o diagram.pdf --sheets diagram,panels
  hullwire sheets boat.hullwire -o boat.svg
  hullwire sheets boat.hullwire -o boat.png --dpi 200
  hullwire sheets boat.hullwire -o boat.xlsx --sheets cables,panels
  hullwire sheets boat.hullwire -o phone.html
  hullwire sheets boat.hullwire -o tables/

The ending says the format: .pdf is the pack, PDF/A-3 with the drawing attached, so that `hullwire survey boat.pdf` and
every other command reads it again; .svg, .png and .dxf are the diagram on one piece, .xlsx the schedules, .html one page
for a phone that works without network; a folder takes the schedules as CSV files. The same drawing gives the same bytes: the date is
that of the last revision, or of the title block.")]
pub struct Args {
    #[command(flatten)]
    choice: Choice,
    /// The file that is written; its ending says the format
    #[arg(short, long, value_name = "OUT")]
    output: PathBuf,
    /// Sheet size
    #[arg(long, value_enum, default_value_t = SheetSize::A3)]
    size: SheetSize,
    /// Which side is up; without it A4 and Letter stand, A3 and Tabloid lie
    #[arg(long, value_enum)]
    orientation: Option<Side>,
    /// Kinds of sheet, separated by commas: diagram, panels, cables, loads, survey, measure, basis, records; all without it
    #[arg(long, value_name = "LIST", value_delimiter = ',')]
    sheets: Vec<String>,
    /// Lengths on the diagram in feet
    #[arg(long)]
    feet: bool,
    /// Dots per inch of a .png, 10 to 1200; 150 where not stated
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u16).range(10..=1200))]
    dpi: Option<u16>,
}

/// Sheet sizes as words of the command line.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
enum SheetSize {
    A4,
    A3,
    Letter,
    Tabloid,
}

impl From<SheetSize> for Size {
    fn from(size: SheetSize) -> Self {
        match size {
            SheetSize::A4 => Self::A4,
            SheetSize::A3 => Self::A3,
            SheetSize::Letter => Self::Letter,
            SheetSize::Tabloid => Self::Tabloid,
        }
    }
}

/// Orientations as words of the command line.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
enum Side {
    Landscape,
    Portrait,
}

impl From<Side> for Orientation {
    fn from(side: Side) -> Self {
        match side {
            Side::Landscape => Self::Landscape,
            Side::Portrait => Self::Portrait,
        }
    }
}

/// The format that an ending asks for.
fn format(output: &Path) -> anyhow::Result<Format> {
    if output.is_dir() {
        return Ok(Format::Folder);
    }
    let ending = output.extension().and_then(|e| e.to_str()).unwrap_or_default();
    Format::of_ending(ending).with_context(|| {
        let endings = Format::ALL.iter().map(|f| f.ending()).filter(|e| !e.is_empty());
        let valid: Vec<String> = endings.map(|e| format!(".{e}")).collect();
        format!(
            "--output: the ending says the format; found “.{ending}”; valid: {}, or a folder for CSV: {}",
            valid.join(", "),
            output.display()
        )
    })
}

fn kinds(names: &[String]) -> anyhow::Result<Vec<Kind>> {
    names
        .iter()
        .map(|name| {
            Kind::parse(name).with_context(|| {
                let valid: Vec<&str> = Kind::ALL.iter().map(|k| k.slug()).collect();
                format!("--sheets: there is no kind of sheet “{name}”; valid: {}", valid.join(", "))
            })
        })
        .collect()
}

/// Carries it out.
pub fn run(args: &Args) -> anyhow::Result<Answer> {
    let format = format(&args.output)?;
    let only = kinds(&args.sheets)?;
    let subject = Subject::read(&args.choice)?;
    let installation = &subject.installation;
    let usual = Paper::usual(args.size.into());
    let paper = Paper { orientation: args.orientation.map_or(usual.orientation, Orientation::from), ..usual };
    let options = Options {
        paper,
        condition: subject.condition,
        feet: args.feet,
        dpi: args.dpi,
        only,
        revised: sheets::revised(installation),
    };
    let drawing = store::to_text(installation).map_err(anyhow::Error::msg)?;
    let mut pages = 0;
    let written = if format == Format::Pdf {
        let pack = sheets::pack(installation, &options, &mut |_, _| true).context("the pack was not made")?;
        pages = pack.pages.len();
        Written::File(sheets::pdf::write(&pack, &drawing)?)
    } else {
        sheets::write(format, installation, &options, &drawing, &mut |_, _| true)?
    };
    let sheets = match written {
        Written::File(bytes) => {
            store::write_bytes(&args.output, &bytes, false)?;
            if pages > 0 { format!(": {}", count(pages, "sheet")) } else { String::new() }
        }
        Written::Folder(files) => {
            store::write_folder(&args.output, &files)?;
            format!(": {}", count(files.len(), "file"))
        }
    };
    let out = format!("{} written{sheets}, condition “{}”.\n", args.output.display(), subject.condition_name());
    let cautions = findings::cautions(&survey::cautions(installation));
    Ok(Answer { out: out + &cautions, err: subject.notes.clone(), ..Answer::default() })
}
