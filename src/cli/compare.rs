//! `hullwire compare`: what differs between two drawings or lists, or since a revision was issued.

use super::Answer;
use super::json;
use super::subject::{Format, notes, open};
use super::text::{heading, paragraph, table};
use crate::installation::{self, Change, Comparison, Entry, Installation};
use anyhow::{Context, bail};
use serde_json::{Map, Value, json};
use std::path::PathBuf;

/// Say what differs between two drawings or circuit lists, or since a revision was issued
#[derive(Debug, clap::Args)]
#[command(after_help = "\
Examples:
  hullwire compare before.hullwire after.hullwire
  hullwire compare boat.csv boat.hullwire --format json
  hullwire compare boat.hullwire                       since its last revision
  hullwire compare boat.hullwire --revision A          since revision A

Parts are paired by what they are, not by their place in the file; a symbol that was only moved is listed apart. Of a
circuit list and a drawing only what a list can hold is compared.
Exit status: 0 also where something differs, 2 bad input or bad use.")]
pub struct Args {
    /// The older drawing (.hullwire) or circuit list (.csv); “-” reads standard input
    old: PathBuf,
    /// The newer one; without it OLD is compared with its own last revision
    new: Option<PathBuf>,
    /// The revision of OLD to compare with, in place of what OLD holds now (or of its last revision)
    #[arg(long, value_name = "LETTER")]
    revision: Option<String>,
    /// Tables for people, or one JSON object for programs
    #[arg(long, value_enum, default_value_t)]
    format: Format,
}

/// Carries it out.
pub fn run(args: &Args) -> anyhow::Result<Answer> {
    let opened = open(&args.old)?;
    let mut err = notes(&opened);
    let first = opened.installation;
    let new = match &args.new {
        Some(path) => {
            let opened = open(path)?;
            err += &notes(&opened);
            opened.installation
        }
        None => first.clone(),
    };
    let found = match (&args.revision, &args.new) {
        (None, Some(_)) => installation::compare(&first, &new),
        (letter, _) => {
            let old = issued(&first, letter.as_deref()).with_context(|| args.old.display().to_string())?;
            installation::changes_between(old, &new)
        }
    };
    let out = match args.format {
        Format::Json => json::print(as_json(&found))?,
        Format::Table => text(&found),
    };
    Ok(Answer { out, err, ..Answer::default() })
}

/// The state of a revision; of the last one where no letter is named.
fn issued<'a>(installation: &'a Installation, letter: Option<&str>) -> anyhow::Result<&'a Installation> {
    let all = &installation.revisions;
    let found = match letter {
        Some(letter) => all.iter().find(|r| r.letter.eq_ignore_ascii_case(letter.trim())),
        None => all.last(),
    };
    if let Some(revision) = found {
        return Ok(&revision.state);
    }
    let valid: Vec<&str> = all.iter().map(|r| r.letter.as_str()).collect();
    match (letter, valid.as_slice()) {
        (None, _) => bail!("none was issued yet; name a second file, or issue one with `hullwire revise`"),
        (Some(letter), []) => bail!("--revision: found “{letter}”; none was issued yet"),
        (Some(letter), _) => bail!("--revision: found “{letter}”; valid: {}", valid.join(", ")),
    }
}

/// The keys of the contract, and beside them the cables.
fn as_json(found: &Comparison) -> Map<String, Value> {
    let tags = |entries: &[Entry]| entries.iter().map(|e| json!(e.tag)).collect::<Value>();
    let mut object = Map::new();
    object.insert("added".to_owned(), tags(&found.added));
    object.insert("removed".to_owned(), tags(&found.removed));
    object.insert("changed".to_owned(), found.changed.iter().map(one).collect());
    object.insert("moved".to_owned(), tags(&found.moved));
    object.insert("cables_added".to_owned(), tags(&found.cables_added));
    object.insert("cables_removed".to_owned(), tags(&found.cables_removed));
    object
}

fn one(change: &Change) -> Value {
    let mut object = json!({
        "tag": change.tag, "property": change.property, "old": change.old, "new": change.new,
    });
    for (key, value) in [("condition", &change.condition), ("cable_from", &change.from)] {
        if !value.is_empty() {
            object[key] = json!(value);
        }
    }
    object
}

fn text(found: &Comparison) -> String {
    if found.is_empty() {
        return "No difference.\n".to_owned();
    }
    let mut out = String::new();
    if found.is_only_moves() {
        out += &paragraph("No electrical difference; symbols were moved.", 0);
    }
    for (title, entries) in [("Added", found.come()), ("Removed", found.gone())] {
        if !entries.is_empty() {
            out += &heading(title);
            out += &entries.iter().map(|e| paragraph(&e.name, 2)).collect::<String>();
        }
    }
    if !found.changed.is_empty() {
        let row = |c: &Change| {
            let tag = if c.tag.is_empty() { "(drawing)".to_owned() } else { c.tag.clone() };
            vec![tag, c.what(), c.old_words(), c.new_words()]
        };
        out += &heading("Changed");
        out += &table(&["Tag", "What", "Old", "New"], found.changed.iter().map(row).collect());
    }
    if !found.moved.is_empty() {
        let names: Vec<&str> = found.moved.iter().map(|e| e.tag.as_str()).collect();
        out += &heading("Moved on the drawing, no electrical change by it");
        out += &paragraph(&names.join(", "), 2);
    }
    out.trim_start_matches('\n').to_owned()
}
