//! `hullwire together`: what can run at once on the source that feeds, and what stops the rest.

use super::Answer;
use super::answer::Status;
use super::json;
use super::solve_text::opening;
use super::standing::Asked;
use super::subject::{Choice, Format, Subject, count};
use super::text::{heading, paragraph};
use crate::installation::{Installation, Part, PartId};
use crate::loads::together::{self, Conflict, EFFORT, Stop, Together};
use serde_json::{Map, Value, json};

/// Say what can run together on the source that feeds, and what stops the rest
#[derive(Debug, clap::Args)]
#[command(after_help = "\
Examples:
  hullwire together boat.hullwire
  hullwire together boat.hullwire --condition “At anchor”
  hullwire together boat.csv --feeding G1 --format json
  hullwire together boat.hullwire --run “M1|E2”

Appliances marked must_run always run and are left out of the lists; all others are up for choice, on or off. A conflict is a
set that cannot run while each smaller part of it can; a combination is one to which nothing can be added.
Exit status: 0 when it was worked out, 2 bad input or bad use.")]
pub struct Args {
    #[command(flatten)]
    choice: Choice,
    /// Appliances that must run, in place of the lists: how each other stands to them, and the order of the starts
    #[arg(long, value_name = "TAG|TAG…")]
    run: Option<String>,
    /// Tables for people, or one JSON object for programs
    #[arg(long, value_enum, default_value_t)]
    format: Format,
}

/// Sets that the text names of each list.
const MOST_SHOWN: usize = 20;

/// Carries it out.
pub fn run(args: &Args) -> anyhow::Result<Answer> {
    let subject = Subject::read(&args.choice)?;
    if let Some(tags) = &args.run {
        let asked = Asked::new(&subject, tags)?;
        let out = match args.format {
            Format::Json => asked.json(&subject)?,
            Format::Table => asked.text(&subject),
        };
        return Ok(Answer { out, err: subject.notes, status: Status::Clear });
    }
    let found = together::together(&subject.installation, subject.condition, EFFORT);
    let out = match args.format {
        Format::Json => in_json(&subject, &found)?,
        Format::Table => opening(&subject) + &in_words(&subject.installation, &found),
    };
    Ok(Answer { out, err: subject.notes, status: Status::Clear })
}

fn tags(installation: &Installation, parts: &[PartId]) -> Vec<String> {
    parts.iter().map(|id| installation.tag(*id).to_owned()).collect()
}

fn figure_of(count: Option<u128>) -> Value {
    count.map_or(Value::Null, |n| u64::try_from(n).map_or_else(|_| json!(n as f64), |n| json!(n)))
}

fn in_json(subject: &Subject, found: &Together) -> anyhow::Result<String> {
    let installation = &subject.installation;
    let conflicts: Vec<Value> = found
        .conflicts
        .iter()
        .map(|c| {
            let reasons: Vec<Value> = c
                .stops
                .iter()
                .map(|s| {
                    json!({
                        "stopped_by": s.by.slug(),
                        "part": installation.tag(s.part),
                        "figure": json::figure(s.figure),
                        "limit": s.limit,
                        "unit": s.unit,
                        "message": together::reason(installation, s),
                    })
                })
                .collect();
            json!({
                "parts": tags(installation, &c.parts),
                "stopped_by": c.stops.first().map(|s| s.by.slug()),
                "reasons": reasons,
            })
        })
        .collect();
    let combinations: Vec<Value> = found.combinations.iter().map(|c| json!(tags(installation, c))).collect();
    let not_known: Vec<Value> = found
        .not_known
        .iter()
        .map(|(id, because)| json!({ "part": installation.tag(*id), "because": because }))
        .collect();
    let not_checked: Vec<Value> = found
        .not_checked
        .iter()
        .map(|n| json!({ "check": n.check.slug(), "parts": tags(installation, &n.parts), "because": n.because }))
        .collect();
    let mut object = Map::new();
    let feeding = subject.feeding();
    object.insert("condition".to_owned(), json!(subject.condition_name()));
    object.insert("feeding".to_owned(), json::one_or_list(&feeding));
    object.insert("exact".to_owned(), json!(found.exact));
    object.insert("count".to_owned(), figure_of(found.count));
    object.insert("conflict_count".to_owned(), figure_of(found.conflict_count));
    object.insert("conflicts".to_owned(), conflicts.into());
    object.insert("combinations".to_owned(), combinations.into());
    object.insert("must_run".to_owned(), json!(tags(installation, &found.always)));
    object.insert("not_fed".to_owned(), json!(tags(installation, &found.not_fed)));
    object.insert("not_known".to_owned(), not_known.into());
    object.insert("not_checked".to_owned(), not_checked.into());
    object.insert("by_watts_only".to_owned(), json!(found.by_watts_only));
    json::print(object)
}

/// Names in a sentence: `Kettle, Heater and Air conditioning`. Where two have the same label, the tag stands before it.
fn names(installation: &Installation, parts: &[PartId]) -> String {
    let one = |id: &PartId| {
        let Some(part) = installation.parts.get(id) else { return "?".to_owned() };
        let title = part.title().split_whitespace().collect::<Vec<_>>().join(" ");
        let alike = installation.parts.values().filter(|p| p.kind == part.kind && p.title() == part.title()).count();
        if alike > 1 { Part::name(part) } else { title }
    };
    let all: Vec<String> = parts.iter().map(one).collect();
    match all.as_slice() {
        [] => String::new(),
        [one] => one.clone(),
        [first @ .., last] => format!("{} and {last}", first.join(", ")),
    }
}

fn sentence(installation: &Installation, sources: &str, conflict: &Conflict) -> String {
    let why = conflict.stops.first().map_or_else(String::new, |s| format!(": {}", together::reason(installation, s)));
    match conflict.parts.as_slice() {
        [] => format!("Nothing can run{sources}; what must always run is too much by itself{why}."),
        [one] => format!("{} cannot run{sources}, not even alone{why}.", names(installation, &[*one])),
        many => format!("{} cannot run together{sources}{why}.", names(installation, many)),
    }
}

fn in_words(installation: &Installation, found: &Together) -> String {
    if found.refused {
        return paragraph(
            "The drawing has a loop or sources in parallel: nothing can be said about what runs together. `hullwire survey` \
             names the parts.",
            0,
        );
    }
    if found.feeding.is_empty() {
        return paragraph("No source feeds in this condition, so nothing runs.", 0);
    }
    let sources = format!(" on {}", tags(installation, &found.feeding).join(" and "));
    let mut out = heading("What cannot run together");
    if found.conflicts.is_empty() {
        out += &paragraph("No conflict was found.", 2);
    }
    for conflict in found.conflicts.iter().take(MOST_SHOWN) {
        out += &paragraph(&sentence(installation, &sources, conflict), 2);
    }
    out += &more(found.conflicts.len(), found.conflict_count, "conflict");
    out += &heading("What can run together, with nothing left that could be added");
    if found.combinations.is_empty() {
        out += &paragraph("No set can be said to run.", 2);
    }
    for parts in found.combinations.iter().take(MOST_SHOWN) {
        let text =
            if parts.is_empty() { "Nothing besides what always runs.".to_owned() } else { names(installation, parts) };
        out += &paragraph(&text, 2);
    }
    out += &more(found.combinations.len(), found.count, "combination");
    out + &remarks(installation, found)
}

fn more(listed: usize, of: Option<u128>, noun: &str) -> String {
    let shown = listed.min(MOST_SHOWN);
    match of {
        Some(n) if n == shown as u128 => String::new(),
        Some(n) => {
            let whole = count(usize::try_from(n).unwrap_or(usize::MAX), noun);
            paragraph(
                &format!("{whole} in all; {shown} are shown. --format json lists up to {}.", together::MOST_LISTED),
                2,
            )
        }
        None => paragraph(&format!("These are not all: there are more {noun}s than could be worked out."), 2),
    }
}

fn remarks(installation: &Installation, found: &Together) -> String {
    let mut lines = Vec::new();
    if !found.always.is_empty() {
        lines.push(format!("Always running, and counted in everything above: {}.", names(installation, &found.always)));
    }
    if !found.not_fed.is_empty() {
        lines.push(format!("Not fed in this condition, and left out: {}.", names(installation, &found.not_fed)));
    }
    for (id, because) in &found.not_known {
        let estimate = installation
            .parts
            .get(id)
            .and_then(|p| p.run_w)
            .map(|w| format!("; 6 × running would be {} (an estimate)", crate::units::watts(6.0 * w)))
            .unwrap_or_default();
        lines.push(format!("{}: not said to run, because {because}{estimate}.", names(installation, &[*id])));
    }
    for n in &found.not_checked {
        let what = match n.check {
            Stop::Running => "running watts",
            Stop::Starting => "starts",
            Stop::SourceBreaker => "the source's own breaker",
            Stop::Inlet => "the inlet",
            Stop::Breaker => "breakers",
            Stop::Voltage => "volts",
        };
        lines.push(format!("Not checked ({what}): {}: {}.", tags(installation, &n.parts).join(", "), n.because));
    }
    if found.by_watts_only {
        lines.push("Starts are judged by watts only where starting volt-amperes are not known.".to_owned());
    }
    lines.push(
        "A combination runs when started in the best order. When a source comes back or the selector is turned, everything \
         starts at once: switch motors off first."
            .to_owned(),
    );
    heading("To bear in mind") + &lines.iter().map(|l| paragraph(l, 2)).collect::<String>()
}
