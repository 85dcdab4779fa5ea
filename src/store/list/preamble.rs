//! The lines before the header: what holds for the whole installation.

use super::super::problem::{Problem, quoted};
use super::table::Remark;
use crate::installation::plan::{Span, parse_spans};
use crate::installation::{Aboard, ResistanceBasis, RuleSet, SpaceKind, System};

/// The keys, in the order in which they are written.
const KEYS: [&str; 9] =
    ["name", "system", "condition", "hours", "feeding", "rules", "resistance", "co_alarms", "petrol"];

/// What the lines before the header say; the values of `feeding` are looked up once the parts are known.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Preamble {
    pub name: String,
    pub system: Option<System>,
    pub condition: Option<String>,
    pub hours: Vec<Span>,
    pub feeding: Option<(usize, String)>,
    pub rules: Option<RuleSet>,
    pub resistance: Option<ResistanceBasis>,
    pub aboard: Aboard,
}

fn words(all: impl Iterator<Item = &'static str>) -> String {
    all.collect::<Vec<_>>().join(" | ")
}

/// Reads the lines; the system may be left out where `drawing` has one. What is wrong goes to `problems`.
pub(super) fn read(remarks: &[Remark], drawing: Option<System>, problems: &mut Vec<Problem>) -> Preamble {
    let mut out = Preamble { system: drawing, ..Preamble::default() };
    let mut seen: Vec<(&'static str, usize)> = Vec::new();
    for remark in remarks {
        let line = remark.line;
        let valid_keys = || format!("# {}: …", KEYS.join(": …, # "));
        let Some((key, value)) = remark.text.split_once(':') else {
            // A line without a colon is a comment, save where it is one of the keys with the colon forgotten.
            let first = remark.text.split_whitespace().next().unwrap_or_default().to_lowercase();
            if KEYS.contains(&first.as_str()) {
                problems.push(Problem::line(line, quoted(&format!("# {}", remark.text)), format!("# {first}: …")));
            }
            continue;
        };
        let lower = key.trim().to_lowercase();
        let Some(key) = KEYS.into_iter().find(|k| *k == lower) else {
            problems.push(Problem::line(line, quoted(&format!("# {}:", key.trim())), valid_keys()));
            continue;
        };
        if let Some((_, first)) = seen.iter().find(|(k, _)| *k == key) {
            let found = format!("# {key}: a second time, after line {first}");
            problems.push(Problem::line(line, found, "each of these lines once"));
            continue;
        }
        seen.push((key, line));
        let value = if remark.quoted { value.strip_prefix(' ').unwrap_or(value) } else { value.trim() };
        let mut bad = |valid: String| problems.push(Problem::cell(line, &format!("# {key}"), quoted(value), valid));
        let word = value.trim();
        match key {
            "name" => value.clone_into(&mut out.name),
            "condition" if word.is_empty() => {}
            "condition" => out.condition = Some(value.to_owned()),
            "feeding" if word.is_empty() => {}
            "feeding" => out.feeding = Some((line, value.to_owned())),
            _ if word.is_empty() && key != "system" => {}
            "hours" => match parse_spans(word) {
                Some(hours) => out.hours = hours,
                None => bad(Span::HINT.to_owned()),
            },
            "system" => match system(word) {
                Some(system) => out.system = Some(system),
                None => bad(words(System::ALL.iter().map(|v| v.slug()))),
            },
            "rules" => match RuleSet::from_slug(&word.to_lowercase()) {
                Some(rules) => out.rules = Some(rules),
                None => bad(words(RuleSet::ALL.iter().map(|v| v.slug()))),
            },
            "co_alarms" => match word.to_lowercase().as_str() {
                "yes" => out.aboard.co_alarms = Some(true),
                "no" => out.aboard.co_alarms = Some(false),
                _ => bad("yes | no".to_owned()),
            },
            "petrol" => match Aboard::parse_petrol(word) {
                Some(spaces) => out.aboard.petrol = Some(spaces),
                None => bad(format!("none, or one or more of {}", words(SpaceKind::ALL.iter().map(|v| v.slug())))),
            },
            _ => match ResistanceBasis::from_slug(&word.to_lowercase()) {
                Some(basis) => out.resistance = Some(basis),
                None => bad(words(ResistanceBasis::ALL.iter().map(|v| v.slug()))),
            },
        }
    }
    if drawing.is_none() && !seen.iter().any(|(key, _)| *key == "system") {
        let valid = words(System::ALL.iter().map(|v| v.slug()));
        problems.push(Problem::cell(1, "# system", "nothing before the header", format!("# system: {valid}")));
    }
    out
}

/// The system of this name; blanks and case do not count.
fn system(text: &str) -> Option<System> {
    let plain: String = text.chars().filter(|c| !c.is_whitespace()).collect();
    System::ALL.iter().copied().find(|s| s.slug().eq_ignore_ascii_case(&plain))
}
