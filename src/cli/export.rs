//! `hullwire export`: a circuit list from a drawing.

use super::subject::{condition, count, notes, open};
use super::{Answer, findings};
use crate::store;
use crate::survey;
use std::path::{Path, PathBuf};

/// Write the circuit list (CSV) of a drawing in one operating condition
#[derive(Debug, clap::Args)]
#[command(after_help = "\
Examples:
  hullwire export boat.hullwire -o boat.csv
  hullwire export boat.hullwire --condition “Under way” > boat.csv

Importing the list again gives the same electrical installation in that condition; places on the drawing, the title
block and the other conditions are not in a list.")]
pub struct Args {
    /// A drawing (.hullwire) or a circuit list; “-” reads standard input
    file: PathBuf,
    /// The list that is written; without it, or with “-”, standard output
    #[arg(short, long, value_name = "LIST.csv")]
    output: Option<PathBuf>,
    /// The operating condition, by name or number (1 is the first)
    #[arg(long, value_name = "NAME|NUMBER")]
    condition: Option<String>,
}

/// Carries it out.
pub fn run(args: &Args) -> anyhow::Result<Answer> {
    let opened = open(&args.file)?;
    let notes = notes(&opened);
    let installation = opened.installation;
    let condition = condition(&installation, args.condition.as_deref())?;
    let list = store::list::export(&installation, condition);
    let cautions = findings::cautions(&survey::cautions(&installation));
    match args.output.as_deref().filter(|o| *o != Path::new("-")) {
        None => Ok(Answer { out: list, err: notes + &cautions, ..Answer::default() }),
        Some(output) => {
            store::write_bytes(output, list.as_bytes(), false)?;
            let name = installation.conditions.get(condition).map_or("", |c| &c.name);
            let parts = count(installation.parts.len(), "part");
            let out = format!("{} written: {parts}, condition “{name}”.\n", output.display());
            Ok(Answer { out: out + &cautions, err: notes, ..Answer::default() })
        }
    }
}
