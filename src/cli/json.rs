//! The JSON that commands share; key names are a contract.

use super::findings::counts;
use crate::installation::{CableId, Installation, PartId};
use crate::survey::{Caution, Survey};
use serde_json::{Map, Value, json};

/// One object, pretty-printed.
pub fn print(object: Map<String, Value>) -> anyhow::Result<String> {
    Ok(serde_json::to_string_pretty(&Value::Object(object))? + "\n")
}

/// A figure; null where it is not known or not finite.
pub fn figure(value: Option<f64>) -> Value {
    value.filter(|v| v.is_finite()).map_or(Value::Null, |v| json!(v))
}

/// A tag, or a list of tags where there are several or none.
pub fn one_or_list(tags: &[&str]) -> Value {
    match tags {
        [one] => json!(one),
        many => json!(many),
    }
}

fn tags(installation: &Installation, parts: &[PartId]) -> Vec<String> {
    parts.iter().map(|id| installation.tag(*id).to_owned()).collect()
}

/// Cables by the tags of the parts that they feed.
fn fed(installation: &Installation, cables: &[CableId]) -> Vec<String> {
    cables.iter().filter_map(|id| installation.cables.get(id)).map(|c| installation.tag(c.to).to_owned()).collect()
}

/// `findings`, `not_checked` and `cautions`.
pub fn survey(object: &mut Map<String, Value>, installation: &Installation, survey: &Survey, cautions: &[Caution]) {
    let findings: Vec<Value> = survey
        .findings
        .iter()
        .map(|f| {
            json!({
                "rule": f.rule,
                "severity": f.severity.word(),
                "parts": tags(installation, &f.parts),
                "cables": fed(installation, &f.cables),
                "message": f.message,
                "figure": figure(f.figure),
                "limit": figure(f.limit),
                "unit": f.unit,
                "source": f.source,
                "mark": f.mark.slug(),
                "cure": f.cure,
            })
        })
        .collect();
    let not_checked: Vec<Value> = survey
        .not_checked
        .iter()
        .map(|n| json!({ "rule": n.rule, "parts": tags(installation, &n.parts), "because": n.because }))
        .collect();
    object.insert("findings".to_owned(), findings.into());
    object.insert("not_checked".to_owned(), not_checked.into());
    let cautions: Vec<Value> = cautions.iter().map(|c| c.text().into()).collect();
    object.insert("cautions".to_owned(), cautions.into());
}

/// `accepted` and `counts`.
pub fn tally(object: &mut Map<String, Value>, survey: &Survey) {
    object.insert("accepted".to_owned(), json!(0));
    let counts: Map<String, Value> =
        counts(survey).into_iter().map(|(severity, n)| (severity.word().to_owned(), json!(n))).collect();
    object.insert("counts".to_owned(), counts.into());
}
