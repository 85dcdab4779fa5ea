//! The rules as a table, for the README and for whoever asks.

use super::rules::rules;
use crate::installation::RuleSet;

/// All rules as a Markdown table, in the order of the registry.
#[must_use]
pub fn rule_table() -> String {
    let mut text = String::from(
        "| rule | worst | holds in | what is asked for | source | mark |\n| --- | --- | --- | --- | --- | --- |\n",
    );
    for rule in rules() {
        let info = rule.info();
        let sets = match info.sets {
            [RuleSet::Us] => "US",
            [RuleSet::International] => "international",
            _ => "both",
        };
        text.push_str(&format!(
            "| `{}` | {} | {sets} | {} | {} | {} |\n",
            info.id,
            info.severity,
            info.demand,
            info.source,
            info.mark.words()
        ));
    }
    text
}
