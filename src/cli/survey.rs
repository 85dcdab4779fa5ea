//! `hullwire survey`: what is wrong, worst first, what could not be checked, and the standing cautions.

use super::findings;
use super::json;
use super::subject::{Choice, Format, Subject};
use super::text::paragraph;
use super::{Answer, solve_text};
use crate::network;
use crate::store;
use crate::survey;
use serde_json::{Map, json};
use std::path::PathBuf;

/// Say what is wrong with an installation, worst first, and what could not be checked
#[derive(Debug, clap::Args)]
#[command(after_help = "\
Examples:
  hullwire survey boat.hullwire
  hullwire survey boat.csv --feeding X1
  hullwire survey boat.hullwire --condition “At anchor” --format json

Exit status: 0 no finding at WARNING or above, 1 such findings, 2 bad input or bad use.")]
pub struct Args {
    #[command(flatten)]
    choice: Choice,
    /// Tables for people, or one JSON object for programs
    #[arg(long, value_enum, default_value_t)]
    format: Format,
}

/// Carries it out.
pub fn run(args: &Args) -> anyhow::Result<Answer> {
    answer(&Subject::read(&args.choice)?, args.format)
}

fn answer(subject: &Subject, format: Format) -> anyhow::Result<Answer> {
    let installation = &subject.installation;
    let solution = network::solve(installation, subject.condition);
    let found = survey::run(installation, &solution);
    let cautions = survey::cautions(installation);
    let status = findings::status(&found);
    let out = match format {
        Format::Json => {
            let mut object = Map::new();
            object.insert("system".to_owned(), json!(installation.system.slug()));
            object.insert("condition".to_owned(), json!(subject.condition_name()));
            object.insert("feeding".to_owned(), json::one_or_list(&subject.feeding()));
            json::survey(&mut object, installation, &found, &cautions);
            json::tally(&mut object, &found);
            json::print(object)?
        }
        Format::Table => {
            solve_text::opening(subject)
                + &findings::full(installation, &found)
                + &findings::not_checked(installation, &found)
                + &findings::cautions(&cautions)
                + &findings::last_line(&found)
        }
    };
    Ok(Answer { out, err: subject.notes.clone(), status })
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
    let mut answer = answer(&subject, Format::Table)?;
    let more = "`hullwire solve FILE` prints currents and drops, `hullwire --help` shows what else can be asked.";
    answer.err = paragraph(&format!("{why} This is the survey of {name}. {more}"), 0) + &answer.err;
    Ok(answer)
}
