//! `hullwire rules`: the rules of the survey, or one of them explained.

use super::Answer;
use super::subject::Format;
use super::text::{heading, paragraph, table};
use crate::installation::RuleSet;
use crate::survey::{Cure, Rule, RuleInfo, clash, rule, rules};
use anyhow::bail;
use clap::ValueEnum;
use serde_json::{Value, json};

/// List the rules of the survey, or explain one
#[derive(Debug, clap::Args)]
#[command(after_help = "\
Examples:
  hullwire rules
  hullwire rules --set international
  hullwire rules breaker-overload
  hullwire rules --format json

A rule whose mark is “from memory” has a limit that was not seen in print: verify it.")]
pub struct Args {
    /// The id of a rule, to explain it in full
    rule: Option<String>,
    /// Only the rules that hold in this rule set
    #[arg(long, value_enum)]
    set: Option<Set>,
    /// Tables for people, or JSON for programs
    #[arg(long, value_enum, default_value_t)]
    format: Format,
}

/// A rule set.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
enum Set {
    /// US rules
    Us,
    /// International rules
    International,
}

/// Carries it out.
pub fn run(args: &Args) -> anyhow::Result<Answer> {
    let out = match &args.rule {
        Some(id) => {
            let Some(found) = rule(id.trim()) else { bail!("{}", unknown(id)) };
            match args.format {
                Format::Json => {
                    let mut object = as_json(found);
                    object["explanation"] = json!(found.info().explanation());
                    serde_json::to_string_pretty(&object)? + "\n"
                }
                Format::Table => explained(found.info()),
            }
        }
        None => {
            let set = args.set.map(|s| if s == Set::Us { RuleSet::Us } else { RuleSet::International });
            let all: Vec<&dyn Rule> =
                rules().iter().copied().filter(|r| set.is_none_or(|s| r.info().holds_in(s))).collect();
            match args.format {
                Format::Json => {
                    let list: Vec<Value> = all.into_iter().map(as_json).collect();
                    serde_json::to_string_pretty(&list)? + "\n"
                }
                Format::Table => listed(&all.iter().map(|r| r.info()).collect::<Vec<_>>()),
            }
        }
    };
    Ok(Answer { out, ..Answer::default() })
}

/// What is wrong with an id, and which are near.
fn unknown(id: &str) -> String {
    let parts: Vec<&str> = id.trim().split('-').filter(|p| p.len() > 2).collect();
    let near: Vec<&str> =
        rules().iter().map(|r| r.info().id).filter(|known| parts.iter().any(|p| known.contains(p))).take(6).collect();
    let valid =
        if near.is_empty() { "`hullwire rules` lists them".to_owned() } else { format!("such as {}", near.join(", ")) };
    format!("found “{id}”, which is no rule; valid: the id of a rule, {valid}")
}

/// `cure`: whether changes of the drawing are tried as a cure; `cure_words` says what would cure it in any case.
fn as_json(rule: &dyn Rule) -> Value {
    let info = rule.info();
    json!({
        "rule": info.id,
        "severity": info.severity.word(),
        "sets": info.sets.iter().map(|s| s.slug()).collect::<Vec<_>>(),
        "demand": info.demand,
        "source": info.source,
        "mark": info.mark.slug(),
        "clashes": info.sets.iter().filter_map(|&s| Some((s.slug().to_owned(), json!(clash(info.id, s)?)))).collect::<serde_json::Map<_, _>>(),
        "cure": rule.has_edits(),
        "cure_words": info.cure.text(),
    })
}

fn listed(all: &[&RuleInfo]) -> String {
    let rows = all
        .iter()
        .map(|i| vec![i.id.to_owned(), i.severity.word().to_owned(), i.sets_word().to_owned(), i.demand.to_owned()])
        .collect();
    let count = all.len();
    table(&["Rule", "Worst", "Holds in", "What is asked for"], rows)
        + &format!("\n{count} rules. `hullwire rules RULE` explains one, with its source and a cure.\n")
}

/// One rule in full: what is fixed about it, then the text of its own file.
fn explained(info: &RuleInfo) -> String {
    let mut out = paragraph(&format!("{}: {}", info.id, info.demand), 0);
    let cure = match info.cure {
        Cure::Words(text) => format!("Cure: {text}"),
        Cure::None(why) => format!("No cure to name: {why}"),
    };
    out += &paragraph(&format!("Worst: {}; holds in: {}", info.severity.word(), info.sets_word()), 2);
    out += &paragraph(&format!("Source: {} ({})", info.source, info.mark.words()), 2);
    for &set in info.sets {
        if let Some(words) = clash(info.id, set) {
            out += &paragraph(&format!("Where sources disagree ({}): {words}", set.slug()), 2);
        }
    }
    out += &paragraph(&cure, 2);
    let mut listing = false;
    for line in info.explanation().lines() {
        match line {
            "```csv" | "```" => listing = line == "```csv",
            _ if listing => out += &format!("    {line}\n"),
            _ => match line.strip_prefix("# ") {
                Some(title) => out += &heading(title),
                None if line.is_empty() => out.push('\n'),
                None => out += &paragraph(line, 2),
            },
        }
    }
    out
}
