//! The rules as a table, for the README and for whoever asks.

use super::clash::clash;
use super::rules::rules;

/// All rules as a Markdown table, in the order of the registry.
#[must_use]
pub fn rule_table() -> String {
    let mut text = String::from(
        "| rule | worst | holds in | what is asked for | source | mark |\n| --- | --- | --- | --- | --- | --- |\n",
    );
    for rule in rules() {
        let info = rule.info();
        let clashes: Vec<(&str, &str)> =
            info.sets.iter().filter_map(|&set| Some((set.name(), clash(info.id, set)?))).collect();
        let clashes: String = match clashes.as_slice() {
            [] => String::new(),
            [(_, words), ..] if info.sets.len() == 1 => format!("; {words}"),
            [(_, one), (_, other)] if one == other => format!("; {one}"),
            several => several.iter().map(|(set, words)| format!("; {set}: {words}")).collect(),
        };
        text.push_str(&format!(
            "| `{}` | {} | {} | {} | {}{clashes} | {} |\n",
            info.id,
            info.severity,
            info.sets_word(),
            info.demand,
            info.source,
            info.mark.words()
        ));
    }
    text
}
