//! `hullwire revise`: freezes a drawing as a revision.

use super::Answer;
use super::subject::{count, notes, open};
use crate::installation::{Edit, issues};
use crate::store::{self, Form};
use anyhow::bail;
use std::path::{Path, PathBuf};

/// Issue a revision: freeze the drawing as it is under a letter
#[derive(Debug, clap::Args)]
#[command(after_help = "\
Examples:
  hullwire revise boat.hullwire --date 2026-05-30 --by “A. Owner” --note “first issue”
  hullwire revise boat.hullwire --letter C --date 2026-06-30 -o boat-c.hullwire

The pack of the next revision lists what changed since, and so does `hullwire compare boat.hullwire`. The title block takes
over letter and date. No clock is read: the date is the one that you give.")]
pub struct Args {
    /// The drawing (.hullwire); “-” reads standard input
    file: PathBuf,
    /// Date of issue, as it is to be printed
    #[arg(long)]
    date: String,
    /// Index of the revision; without it the one after the last: A, B, C …
    #[arg(long, default_value = "")]
    letter: String,
    /// Who issues it
    #[arg(long, value_name = "NAME", default_value = "")]
    by: String,
    /// What it is about
    #[arg(long, value_name = "TEXT", default_value = "")]
    note: String,
    /// The drawing that is written; without it FILE itself; “-” writes to standard output
    #[arg(short, long, value_name = "FILE.hullwire")]
    output: Option<PathBuf>,
}

/// Carries it out.
pub fn run(args: &Args) -> anyhow::Result<Answer> {
    let opened = open(&args.file)?;
    if opened.form == Form::List {
        bail!(
            "{} is a circuit list, which holds no revisions; `hullwire import` makes a drawing of it",
            args.file.display()
        );
    }
    let err = notes(&opened);
    let edit = Edit::IssueRevision {
        letter: args.letter.clone(),
        date: args.date.clone(),
        author: args.by.clone(),
        note: args.note.clone(),
    };
    let issued = opened.installation.apply(&edit)?.installation;
    let output = args.output.as_deref().unwrap_or(&args.file);
    if output == Path::new("-") {
        let out = store::to_text(&issued).map_err(anyhow::Error::msg)?;
        return Ok(Answer { out, err, ..Answer::default() });
    }
    let saved = store::save(output, &issued, true)?;
    let letter = issued.revisions.last().map_or("", |r| r.letter.as_str());
    let mut out = format!("{} written: revision {letter}, {}.\n", output.display(), args.date.trim());
    if let Some(last) = issues(&issued).pop().filter(|i| i.since.is_some()) {
        let since = last.since.map_or("", |r| r.letter.as_str());
        let c = &last.changes;
        let differ = c.added.len() + c.removed.len() + c.cables_added.len() + c.cables_removed.len() + c.changed.len();
        out += &format!("{} since revision {since}.\n", count(differ, "difference"));
    }
    if let Some(backup) = saved.backup {
        out += &format!("What was there before is kept as {}.\n", backup.display());
    }
    let problem = saved.backup_problem.map_or_else(String::new, |p| format!("note: {p}\n"));
    Ok(Answer { out, err: err + &problem, ..Answer::default() })
}
