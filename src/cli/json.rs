//! The JSON that commands share; key names are a contract.

use super::found::Found;
use crate::installation::{CableId, Installation, PartId};
use crate::survey::Finding;
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

pub fn tags(installation: &Installation, parts: &[PartId]) -> Vec<String> {
    parts.iter().map(|id| installation.tag(*id).to_owned()).collect()
}

/// Cables by the tags of the parts that they feed.
pub fn fed(installation: &Installation, cables: &[CableId]) -> Vec<String> {
    cables.iter().filter_map(|id| installation.cables.get(id)).map(|c| installation.tag(c.to).to_owned()).collect()
}

/// One finding.
pub fn finding(installation: &Installation, f: &Finding) -> Map<String, Value> {
    let value = json!({
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
        "not_used": f.not_used,
        "cure": f.cure,
    });
    match value {
        Value::Object(object) => object,
        _ => Map::new(),
    }
}

/// `findings`, `not_checked`, `cautions`, `accepted`, `accepted_without_finding`, `until_removed` and `counts`.
pub fn survey(object: &mut Map<String, Value>, installation: &Installation, found: &Found) {
    let mut put = |key: &str, value: Value| object.insert(key.to_owned(), value);
    let open = found.judged.open.iter().enumerate().map(|(i, f)| {
        let mut one = finding(installation, f);
        if let Some(returned) = found.judged.returned(i) {
            one.insert("accepted_before".to_owned(), accepted(installation, returned.index));
            one.insert("open_because".to_owned(), returned.because.clone().into());
        }
        Value::Object(one)
    });
    put("findings", open.collect());
    let not_checked = found
        .survey
        .not_checked
        .iter()
        .map(|n| json!({ "rule": n.rule, "parts": tags(installation, &n.parts), "because": n.because }));
    put("not_checked", not_checked.collect());
    put("cautions", found.cautions.iter().map(|c| Value::from(c.text())).collect());
    let held = found.judged.accepted.iter().map(|a| {
        let mut one = finding(installation, &a.finding);
        if let Value::Object(acceptance) = accepted(installation, a.index) {
            for key in ["reason", "by", "date", "accepted_figure"] {
                one.insert(key.to_owned(), acceptance.get(key).cloned().unwrap_or_default());
            }
        }
        Value::Object(one)
    });
    put("accepted", held.collect());
    let without = found.judged.unmatched.iter().map(|&index| accepted(installation, index));
    put("accepted_without_finding", without.collect());
    let until = found.until_removed.iter().map(|f| Value::Object(finding(installation, f)));
    put("until_removed", until.collect());
    let counts: Map<String, Value> =
        found.counts().into_iter().map(|(severity, n)| (severity.word().to_owned(), json!(n))).collect();
    put("counts", counts.into());
}

/// An acceptance, as the document has it.
fn accepted(installation: &Installation, index: usize) -> Value {
    installation.accepted.get(index).map_or(Value::Null, |a| {
        json!({
            "rule": a.rule,
            "parts": tags(installation, &a.parts),
            "reason": a.reason,
            "by": a.by,
            "date": a.date,
            "accepted_figure": figure(a.figure),
        })
    })
}
