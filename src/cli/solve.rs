//! `hullwire solve`: currents, volts, drops and source loads of one operating condition.

use super::findings;
use super::found::Found;
use super::subject::{Format, Question, Subject};
use super::{Answer, solve_json, solve_text, tolerance};
use crate::installation::Installation;
use crate::network::{self, Network, Solution};
use std::time::Instant;

/// Compute currents, volts, drops and source loads of one operating condition
#[derive(Debug, clap::Args)]
#[command(after_help = "\
Examples:
  hullwire solve boat.hullwire
  hullwire solve boat.hullwire --condition 2
  hullwire solve boat.csv --feeding G1 --format json
  hullwire solve boat.hullwire --with-tolerance --length-tolerance 5 --cooler 20
  hullwire export boat.hullwire | hullwire solve -

What is not known is counted as no resistance or 0 W, and is said so; it is never shown as a figure.
Exit status: 0 no finding at WARNING or above that is not accepted, 1 such findings, 2 bad input or bad use.")]
pub struct Args {
    #[command(flatten)]
    question: Question,
    /// Say how long reading, ordering and solving took
    #[arg(long)]
    timing: bool,
    #[command(flatten)]
    tolerance: tolerance::Tolerance,
}

/// Milliseconds that each step took.
#[derive(Clone, Copy, Debug)]
pub struct Timing {
    /// Reading the file.
    pub read_ms: f64,
    /// The graph, its checks and the parent-first order.
    pub order_ms: f64,
    /// The numeric solve alone.
    pub solve_ms: f64,
}

fn milliseconds(since: Instant) -> f64 {
    since.elapsed().as_secs_f64() * 1000.0
}

fn solved(subject: &Subject) -> (Solution, Timing) {
    let start = Instant::now();
    let walk = network::walk(&subject.installation, subject.condition);
    let network = Network::new(&subject.installation, &walk);
    let mut state = network.state();
    let order_ms = milliseconds(start);
    let start = Instant::now();
    let outcome = network.solve(&mut state);
    let solve_ms = milliseconds(start);
    let solution = network.solution(&subject.installation, walk, &state, outcome);
    (solution, Timing { read_ms: subject.read_ms, order_ms, solve_ms })
}

/// Carries it out.
pub fn run(args: &Args) -> anyhow::Result<Answer> {
    let subject = Subject::read(&args.question.choice)?;
    let (solution, timing) = solved(&subject);
    let found = Found::of(&subject, &solution);
    let within = args.tolerance.within(&subject, &solution, &found.survey)?;
    let timing = args.timing.then_some(timing);
    let out = match args.question.format {
        Format::Json => solve_json::print(&subject, &solution, &found, timing, within.as_ref())?,
        Format::Table => {
            let of = |text: fn(&tolerance::Within, &Installation) -> String| {
                within.as_ref().map_or_else(String::new, |w| text(w, &subject.installation))
            };
            solve_text::print(&subject, &solution, timing)
                + &of(tolerance::Within::tables)
                + &findings::brief(&subject.installation, &found)
                + &of(tolerance::Within::findings)
                + &findings::not_checked(&subject.installation, &found.survey)
                + &findings::cautions(&found.cautions)
                + &findings::last_line(&found)
        }
    };
    Ok(Answer { out, err: subject.notes.clone(), status: found.status() })
}
