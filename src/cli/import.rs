//! `hullwire import`: a drawing from a circuit list.

use super::subject::{count, laid_out, notes, open};
use super::{Answer, findings};
use crate::store::{self, Form};
use crate::survey;
use anyhow::bail;
use std::path::{Path, PathBuf};

/// Make a drawing from a circuit list (CSV)
#[derive(Debug, clap::Args)]
#[command(after_help = "\
Example:
  hullwire import boat.csv -o boat.hullwire

The list has one row a part, with the cable that feeds it. Everything that is wrong with it is reported at once, with
line and column, and nothing is written then. The smallest list:

  # system: 120V60Hz
  tag,kind,fed_from,run_w,rating_a,conductor,length_m
  X1,shore-inlet,,,30,,
  Q1,breaker,X1,,15,10 AWG,2
  E1,appliance,Q1,1000,,12 AWG,6

An existing file is replaced as a whole; what was there before is kept beside it as NAME.bak.")]
pub struct Args {
    /// The circuit list; “-” reads standard input
    list: PathBuf,
    /// The drawing that is written; “-” writes to standard output
    #[arg(short, long, value_name = "FILE.hullwire")]
    output: PathBuf,
}

/// Carries it out.
pub fn run(args: &Args) -> anyhow::Result<Answer> {
    let opened = open(&args.list)?;
    if opened.form == Form::Drawing {
        bail!("{} is a drawing already; import reads a circuit list (.csv)", args.list.display());
    }
    let notes = notes(&opened);
    let installation = laid_out(opened);
    let cautions = findings::cautions(&survey::cautions(&installation));
    if args.output == Path::new("-") {
        let out = store::to_text(&installation).map_err(anyhow::Error::msg)?;
        return Ok(Answer { out, err: notes + &cautions, ..Answer::default() });
    }
    let saved = store::save(&args.output, &installation, true)?;
    let mut out = format!(
        "{} written: {}, {}.\n",
        args.output.display(),
        count(installation.parts.len(), "part"),
        count(installation.cables.len(), "cable")
    );
    if let Some(backup) = saved.backup {
        out += &format!("What was there before is kept as {}.\n", backup.display());
    }
    let problem = saved.backup_problem.map_or_else(String::new, |p| format!("note: {p}\n"));
    Ok(Answer { out: out + &cautions, err: notes + &problem, ..Answer::default() })
}
