//! What a command is about: which file, which operating condition, which source, which format.

use crate::diagram;
use crate::installation::Installation;
use crate::store::{self, Form, Opened};
use crate::units;
use anyhow::{Context, bail};
use clap::ValueEnum;
use std::io::Read;
use std::path::{Path, PathBuf};
use std::time::Instant;

/// How an answer is written.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, ValueEnum)]
pub enum Format {
    /// Tables for people
    #[default]
    Table,
    /// One JSON object for programs
    Json,
}

/// The arguments that most commands share.
#[derive(Clone, Debug, clap::Args)]
pub struct Choice {
    /// A drawing (.hullwire) or a circuit list (.csv); “-” reads standard input
    pub file: PathBuf,
    /// The operating condition, by name or number (1 is the first)
    #[arg(long, value_name = "NAME|NUMBER")]
    pub condition: Option<String>,
    /// The source that feeds, in place of what the file says; “off” for none
    #[arg(long, value_name = "TAG[|TAG]|off")]
    pub feeding: Option<String>,
    /// The installation as it is now: without what is new, with what is to be removed
    #[arg(long)]
    pub as_is: bool,
}

/// The arguments of a command that answers about one operating condition.
#[derive(Clone, Debug, clap::Args)]
pub struct Question {
    #[command(flatten)]
    pub choice: Choice,
    /// Tables for people, or one JSON object for programs
    #[arg(long, value_enum, default_value_t)]
    pub format: Format,
}

/// An installation with the condition that is asked about.
#[derive(Clone, Debug)]
pub struct Subject {
    /// What was read, the choice of source put in.
    pub installation: Installation,
    /// Index of the condition.
    pub condition: usize,
    /// Milliseconds that reading took.
    pub read_ms: f64,
    /// Notes about the file, one a line, for standard error.
    pub notes: String,
}

/// Reads a file or standard input.
pub fn open(file: &Path) -> anyhow::Result<Opened> {
    if file != Path::new("-") {
        return Ok(store::open(file)?);
    }
    let mut bytes = Vec::new();
    std::io::stdin()
        .lock()
        .take(store::MAX_BYTES + 1)
        .read_to_end(&mut bytes)
        .context("standard input could not be read")?;
    if bytes.len() as u64 > store::MAX_BYTES {
        bail!("standard input is larger than 64 MB; no drawing or circuit list of a small vessel is");
    }
    Ok(store::parse(&bytes, "standard input", None)?)
}

/// The notes of a file as text.
pub fn notes(opened: &Opened) -> String {
    opened.notes.iter().map(|note| format!("note: {note}\n")).collect()
}

/// Lays a circuit list out, so that its parts have places like a drawing's.
pub fn laid_out(opened: Opened) -> Installation {
    let mut installation = opened.installation;
    if opened.form == Form::List {
        diagram::lay_out(&mut installation);
    }
    installation
}

impl Subject {
    /// Reads what is asked about.
    pub fn read(choice: &Choice) -> anyhow::Result<Self> {
        let start = Instant::now();
        let opened = open(&choice.file)?;
        let read_ms = start.elapsed().as_secs_f64() * 1000.0;
        let notes = notes(&opened);
        let mut installation = opened.installation;
        if choice.as_is {
            installation = installation.as_is();
        }
        let condition = condition(&installation, choice.condition.as_deref())?;
        if let Some(feeding) = &choice.feeding {
            feed(&mut installation, condition, feeding)?;
        }
        Ok(Self { installation, condition, read_ms, notes })
    }

    /// The tags of the sources that feed.
    pub fn feeding(&self) -> Vec<&str> {
        let feeding = self.installation.conditions.get(self.condition).map_or(&[][..], |c| &c.feeding);
        feeding.iter().map(|id| self.installation.tag(*id)).collect()
    }

    /// The name of the condition.
    pub fn condition_name(&self) -> &str {
        self.installation.conditions.get(self.condition).map_or("", |c| &c.name)
    }
}

/// The index of a condition that is named by its name or its number.
pub fn condition(installation: &Installation, asked: Option<&str>) -> anyhow::Result<usize> {
    let Some(asked) = asked else { return Ok(0) };
    let all = &installation.conditions;
    let by_name = all
        .iter()
        .position(|c| c.name == asked)
        .or_else(|| all.iter().position(|c| c.name.to_lowercase() == asked.trim().to_lowercase()));
    let by_number = || asked.trim().parse::<usize>().ok().filter(|n| (1..=all.len()).contains(n)).map(|n| n - 1);
    by_name.or_else(by_number).with_context(|| {
        let valid: Vec<String> = all.iter().enumerate().map(|(i, c)| format!("{} “{}”", i + 1, c.name)).collect();
        format!("--condition: there is no operating condition “{asked}”; valid: {}", valid.join(", "))
    })
}

fn feed(installation: &mut Installation, condition: usize, asked: &str) -> anyhow::Result<()> {
    let mut feeding = Vec::new();
    if !asked.trim().eq_ignore_ascii_case("off") {
        for tag in asked.split('|').map(str::trim) {
            let source = installation
                .part_by_tag(tag)
                .filter(|id| installation.parts.get(id).is_some_and(|p| p.kind.is_source()));
            let Some(source) = source else {
                let valid: Vec<&str> =
                    installation.parts.values().filter(|p| p.kind.is_source()).map(|p| p.tag.as_str()).collect();
                let valid = if valid.is_empty() { "off".to_owned() } else { format!("{}, off", valid.join(", ")) };
                bail!("--feeding: “{tag}” is no source of this installation; valid: {valid}");
            };
            if !feeding.contains(&source) {
                feeding.push(source);
            }
        }
    }
    if let Some(condition) = installation.conditions.get_mut(condition) {
        condition.feeding = feeding;
    }
    Ok(())
}

/// A count with its noun: `1 part`, `3 parts`.
pub fn count(n: usize, noun: &str) -> String {
    let figure = units::trimmed(n as f64, 0);
    if n == 1 { format!("{figure} {noun}") } else { format!("{figure} {noun}s") }
}
