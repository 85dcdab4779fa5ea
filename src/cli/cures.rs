//! The cures of `hullwire survey --cures`: what changes, what it does to the figures, or why no change is offered.

use super::found::Found;
use super::json;
use super::subject::{Subject, count};
use super::text::{heading, paragraph, signalled};
use crate::installation::Installation;
use crate::survey::{Cure, Finding, Offer, offers, rule};
use crate::units::Severity;
use serde_json::{Value, json};

/// One open finding and what would cure it.
#[derive(Debug)]
pub struct Cured {
    finding: Finding,
    offer: Offer,
}

/// The cures of all open findings. A finding at NOTICE without a cure that can be applied is left out: it asks for
/// nothing.
pub fn of(subject: &Subject, found: &Found) -> Vec<Cured> {
    let mut cures = Vec::new();
    offers(&subject.installation, subject.condition, &found.judged.open, |n, offer| {
        let finding = found.judged.open.get(n).cloned();
        cures.extend(finding.map(|finding| Cured { finding, offer }));
        true
    });
    cures.retain(|cured| matches!(cured.offer, Offer::Change(..)) || cured.finding.severity > Severity::Notice);
    cures
}

/// What a person can do where nothing can be applied: the finding's cure, or why the rule names none.
fn advice(finding: &Finding) -> String {
    let of_rule = || {
        rule(finding.rule).map_or_else(String::new, |r| match r.info().cure {
            Cure::Words(text) | Cure::None(text) => text.to_owned(),
        })
    };
    finding.cure.clone().unwrap_or_else(of_rule)
}

/// As text.
pub fn text(installation: &Installation, cures: &[Cured]) -> String {
    const INDENT: usize = 9;
    let mut out = heading("Cures");
    if cures.is_empty() {
        out += &paragraph("No open finding above NOTICE, and no change to offer.", 2);
    }
    for cured in cures {
        out += &signalled(cured.finding.severity, &format!("{}: {}", cured.finding.rule, cured.finding.message));
        match &cured.offer {
            Offer::Change(remedy, effects) => {
                let left = count(remedy.findings_left, "finding");
                out += &paragraph(&format!("Change: {}; {left} left after it.", remedy.label), INDENT);
                if !effects.is_empty() {
                    let all: Vec<String> = effects.iter().map(|e| e.words(installation)).collect();
                    out += &paragraph(&format!("Figures: {}.", all.join("; ")), INDENT);
                }
                if remedy.alone {
                    let text = "It raises a breaker: to be decided by itself, never as one of a list.";
                    out += &paragraph(text, INDENT);
                }
            }
            Offer::Electrician(why) => {
                out += &paragraph(&format!("Cure: {}", advice(&cured.finding)), INDENT);
                out += &paragraph(&format!("No change is offered: {why}."), INDENT);
            }
        }
    }
    out
}

/// As JSON: a list.
pub fn json(installation: &Installation, cures: &[Cured]) -> Value {
    let one = |cured: &Cured| {
        let mut object = json!({
            "rule": cured.finding.rule,
            "severity": cured.finding.severity.word(),
            "parts": json::tags(installation, &cured.finding.parts),
            "cables": json::fed(installation, &cured.finding.cables),
            "for_electrician": matches!(cured.offer, Offer::Electrician(_)),
        });
        let more = match &cured.offer {
            Offer::Change(remedy, effects) => json!({
                "change": remedy.label,
                "alone": remedy.alone,
                "findings_left": remedy.findings_left,
                "figures": effects.iter().map(|e| json!({
                    "part": installation.tag(e.part),
                    "of_cable": e.cable.is_some(),
                    "quantity": e.quantity,
                    "before": json::figure(e.before),
                    "after": json::figure(e.after),
                    "unit": e.unit,
                })).collect::<Vec<_>>(),
            }),
            Offer::Electrician(why) => json!({ "change": null, "advice": advice(&cured.finding), "because": why }),
        };
        if let (Value::Object(object), Value::Object(more)) = (&mut object, more) {
            object.extend(more);
        }
        object
    };
    cures.iter().map(one).collect()
}
