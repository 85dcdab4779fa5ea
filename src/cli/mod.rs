//! The command line: the same answers as the window's, without a window.
//!
//! What lives here: one file a command, what they share (which file, which condition, which format), tables and JSON.
//! What must not: any computation of its own, file formats, the window. A command makes an [`Answer`]; it prints nothing
//! itself, so that what goes where is decided in one place.

mod answer;
mod compare;
mod cures;
mod endurance;
mod export;
mod findings;
mod found;
mod import;
mod json;
mod loads;
mod loads_compare;
mod placing;
mod revise;
mod rules;
mod sheets;
mod solve;
mod solve_json;
mod solve_text;
mod standing;
mod subject;
mod survey;
mod text;
mod together;
mod tolerance;
mod trial;

pub use answer::{Answer, Status};

use clap::{Parser, Subcommand};
use std::ffi::OsString;
use std::path::PathBuf;

/// What the program was asked for.
#[derive(Debug, Parser)]
#[command(
    name = "hullwire",
    version,
    about = "Draw a small vessel's AC installation and see its currents, drops, overloads and hazards",
    long_about = "Draw a small vessel's AC installation as a single-line diagram and see its currents, drops, overloads \
        and hazards while you draw. Without a command it opens the window with FILE, or with the built-in sample; where \
        there is no display it prints the survey of the same instead.\n\n\
        The program computes from what was entered. It approves nothing: a licensed electrician and the local code decide.",
    after_help = EXAMPLES,
    args_conflicts_with_subcommands = true,
    max_term_width = 100
)]
struct Asked {
    /// A drawing (.hullwire) or a circuit list (.csv); without it the built-in sample
    file: Option<PathBuf>,
    #[command(subcommand)]
    command: Option<Command>,
}

const EXAMPLES: &str = "\
Examples:
  hullwire                                    the window with the built-in sample
  hullwire boat.hullwire                      the window with a drawing
  hullwire survey boat.hullwire               what is wrong, worst first, and what could not be checked
  hullwire survey boat.hullwire --cures       the same with the smallest change that cures each
  hullwire solve boat.hullwire                currents, volts, drops and source loads
  hullwire solve boat.csv --feeding G1        the same from a circuit list, fed from the generator
  hullwire endurance boat.hullwire            how long the fuel or the battery lasts, in a condition and over a day
  hullwire loads boat.hullwire                loads by operating condition, what starts hardest, what is left
  hullwire loads boat.hullwire --compare      sources and candidates side by side
  hullwire together boat.hullwire             what can run at once, and what stops the rest
  hullwire trial boat.hullwire readings.csv   what each appliance must draw by what the meters showed
  hullwire placing boat.hullwire              whether a set fits a tray, and how loud it is
  hullwire import boat.csv -o boat.hullwire   a drawing from a circuit list
  hullwire export boat.hullwire -o boat.csv   a circuit list from a drawing
  hullwire compare old.hullwire boat.hullwire what differs between two drawings or lists
  hullwire revise boat.hullwire --date DATE   issue a revision: freeze the drawing under a letter
  hullwire rules breaker-overload             what a rule asks for, why, and from which source
  hullwire sheets boat.hullwire -o boat.pdf   the hand-over pack for the electrician

Exit status: 0 no finding at WARNING or above that is not accepted, 1 such findings, 2 bad input or bad use.
`hullwire COMMAND --help` explains one command. FILE may be “-” for standard input.";

#[derive(Debug, Subcommand)]
enum Command {
    Survey(survey::Args),
    Solve(solve::Args),
    Endurance(endurance::Args),
    Loads(loads::Args),
    Together(together::Args),
    Trial(trial::Args),
    Placing(placing::Args),
    Import(import::Args),
    Export(export::Args),
    Compare(compare::Args),
    Revise(revise::Args),
    Rules(rules::Args),
    Sheets(sheets::Args),
}

/// What the words on the command line come to.
#[derive(Debug)]
pub enum Asking {
    /// No command: the window with this file or the built-in sample, or the survey of the same.
    Window(Option<PathBuf>),
    /// An answer that is ready to be printed.
    Answer(Answer),
}

/// Reads the command line and, where it names a command, carries it out.
pub fn ask(args: impl IntoIterator<Item = OsString>) -> Asking {
    let asked = match Asked::try_parse_from(args) {
        Ok(asked) => asked,
        Err(error) => return Asking::Answer(Answer::of_usage(&error)),
    };
    let outcome = match &asked.command {
        None => return Asking::Window(asked.file),
        Some(Command::Survey(args)) => survey::run(args),
        Some(Command::Solve(args)) => solve::run(args),
        Some(Command::Endurance(args)) => endurance::run(args),
        Some(Command::Loads(args)) => loads::run(args),
        Some(Command::Together(args)) => together::run(args),
        Some(Command::Trial(args)) => trial::run(args),
        Some(Command::Placing(args)) => placing::run(args),
        Some(Command::Import(args)) => import::run(args),
        Some(Command::Export(args)) => export::run(args),
        Some(Command::Compare(args)) => compare::run(args),
        Some(Command::Revise(args)) => revise::run(args),
        Some(Command::Rules(args)) => rules::run(args),
        Some(Command::Sheets(args)) => sheets::run(args),
    };
    Asking::Answer(outcome.unwrap_or_else(|error| Answer::of_error(&error)))
}

/// What stands in for the window where there is no display: the survey of the file or of the built-in sample, and how to
/// ask for more.
#[must_use]
pub fn instead_of_window(file: Option<PathBuf>, why: &str) -> Answer {
    survey::instead_of_window(file, why).unwrap_or_else(|error| Answer::of_error(&error))
}
