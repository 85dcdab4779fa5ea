//! `hullwire survey`: what is wrong, worst first, what could not be checked, and the standing cautions.

use super::found::Found;
use super::subject::{Choice, Format, Question, Subject};
use super::text::paragraph;
use super::{Answer, cures, findings, json, solve_text, tolerance};
use crate::network;
use crate::store;
use serde_json::{Map, json};
use std::path::PathBuf;

/// Say what is wrong with an installation, worst first, and what could not be checked
#[derive(Debug, clap::Args)]
#[command(after_help = "\
Examples:
  hullwire survey boat.hullwire
  hullwire survey boat.hullwire --cures
  hullwire survey boat.csv --feeding X1
  hullwire survey boat.hullwire --condition “At anchor” --format json
  hullwire survey boat.hullwire --as-is
  hullwire survey boat.hullwire --with-tolerance

A finding that was accepted with a reason and a name is listed apart; DANGER cannot be accepted.
Exit status: 0 no finding at WARNING or above that is not accepted, 1 such findings, 2 bad input or bad use.")]
pub struct Args {
    #[command(flatten)]
    question: Question,
    /// For each finding the smallest change that cures it and creates no other: what changes, and what it does to the
    /// figures
    #[arg(long)]
    cures: bool,
    #[command(flatten)]
    tolerance: tolerance::Tolerance,
}

/// Carries it out.
pub fn run(args: &Args) -> anyhow::Result<Answer> {
    answer(&Subject::read(&args.question.choice)?, args.question.format, args.cures, Some(&args.tolerance))
}

fn answer(
    subject: &Subject,
    format: Format,
    with_cures: bool,
    tolerance: Option<&tolerance::Tolerance>,
) -> anyhow::Result<Answer> {
    let installation = &subject.installation;
    let solution = network::solve(installation, subject.condition);
    let found = Found::of(subject, &solution);
    let within = tolerance.map(|t| t.within(subject, &solution, &found.survey)).transpose()?.flatten();
    let cures = if with_cures { cures::of(subject, &found) } else { Vec::new() };
    let out = match format {
        Format::Json => {
            let mut object = Map::new();
            object.insert("system".to_owned(), json!(installation.system.slug()));
            object.insert("condition".to_owned(), json!(subject.condition_name()));
            object.insert("feeding".to_owned(), json::one_or_list(&subject.feeding()));
            json::survey(&mut object, installation, &found);
            if with_cures {
                object.insert("cures".to_owned(), cures::json(installation, &cures));
            }
            if let Some(within) = &within {
                object.insert("tolerance".to_owned(), within.json(installation, false));
            }
            json::print(object)?
        }
        Format::Table => {
            let cures = if with_cures { cures::text(installation, &cures) } else { String::new() };
            solve_text::opening(subject)
                + &findings::full(installation, &found)
                + &within.map_or_else(String::new, |w| w.findings(installation))
                + &cures
                + &findings::not_checked(installation, &found.survey)
                + &findings::cautions(&found.cautions)
                + &findings::last_line(&found)
        }
    };
    Ok(Answer { out, err: subject.notes.clone(), status: found.status() })
}

/// The survey of a file or of the built-in sample, with how to ask for more.
pub fn instead_of_window(file: Option<PathBuf>, why: &str) -> anyhow::Result<Answer> {
    let (name, subject) = match file {
        Some(file) => {
            let name = file.display().to_string();
            (name, Subject::read(&Choice { file, condition: None, feeding: None, as_is: false })?)
        }
        None => {
            let opened = store::sample()?;
            let subject =
                Subject { installation: opened.installation, condition: 0, read_ms: 0.0, notes: String::new() };
            ("the built-in sample".to_owned(), subject)
        }
    };
    let mut answer = answer(&subject, Format::Table, false, None)?;
    let more = "`hullwire solve FILE` prints currents and drops, `hullwire --help` shows what else can be asked.";
    answer.err = paragraph(&format!("{why} This is the survey of {name}. {more}"), 0) + &answer.err;
    Ok(answer)
}
