//! `hullwire loads --compare`: sources of the drawing and candidates, side by side over the same conditions.

use super::json::{figure, print};
use super::loads::shown;
use super::subject::Format;
use super::text::{heading, paragraph, table};
use crate::installation::{Installation, PartId, PartKind};
use crate::loads::comparison::{Contender, Stand, compare};
use crate::loads::together::EFFORT;
use crate::units::{percent, trimmed, watts};
use serde_json::{Map, Value, json};

/// Newly possible combinations that the text names.
const MOST_SHOWN: usize = 3;

/// The comparison in the asked form.
pub fn answer(installation: &Installation, format: Format) -> anyhow::Result<String> {
    let all = compare(installation, EFFORT);
    match format {
        Format::Json => in_json(installation, &all),
        Format::Table => Ok(in_tables(installation, &all)),
    }
}

fn flag(value: Option<bool>) -> Value {
    value.map_or(Value::Null, |v| json!(v))
}

fn in_json(installation: &Installation, all: &[Contender]) -> anyhow::Result<String> {
    let tags = |parts: &[PartId]| parts.iter().map(|id| installation.tag(*id).to_owned()).collect::<Vec<_>>();
    let sources: Vec<Value> = all
        .iter()
        .map(|c| {
            let conditions: Vec<Value> = c
                .conditions
                .iter()
                .zip(&installation.conditions)
                .map(|(s, condition)| {
                    json!({
                        "condition": condition.name,
                        "converged": s.converged,
                        "watts": figure(s.watts),
                        "load_percent": figure(s.load_percent),
                        "reserve_watts": figure(s.reserve_w),
                        "starts_best_order": flag(s.starts),
                        "start_margin_watts": figure(s.start_margin_w),
                        "starts_worst_restart": flag(s.restarts),
                        "restart_margin_watts": figure(s.restart_margin_w),
                        "weakest_outlet": s.weakest.map(|(id, p)| json!({ "part": installation.tag(id), "percent_of_nominal": p })),
                        "mean_watts": figure(s.mean_w),
                        "litres_per_hour": figure(s.endurance.as_ref().and_then(|e| e.litres_per_hour)),
                        "plausible": flag(s.endurance.as_ref().and_then(|e| e.plausible)),
                        "hours": figure(s.endurance.as_ref().and_then(|e| e.hours)),
                        "hours_low": figure(s.endurance.as_ref().and_then(|e| e.hours_low)),
                        "count": s.combinations.and_then(|n| u64::try_from(n).ok()),
                        "exact": s.exact,
                        "newly_possible": s.newly_possible.iter().map(|c| tags(c)).collect::<Vec<_>>(),
                    })
                })
                .collect();
            json!({
                "name": c.name,
                "in_place_of": installation.tag(c.source),
                "pair": c.pair,
                "run_w": figure(c.part.run_w(installation.system)),
                "start_w": figure(c.part.start_w(installation.system)),
                "weight_kg": figure(c.part.set_data.weight_kg),
                "noise_db": figure(c.part.set_data.noise_db),
                "noise_m": figure(c.part.set_data.noise_m),
                "litres_per_day": figure(c.day.as_ref().and_then(|d| d.litres)),
                "days": figure(c.day.as_ref().and_then(|d| d.days)),
                "conditions": conditions,
            })
        })
        .collect();
    let mut object = Map::new();
    object.insert("system".to_owned(), json!(installation.system.slug()));
    object.insert("sources".to_owned(), sources.into());
    print(object)
}

/// Whether something starts, and by which margin.
fn start(holds: Option<bool>, margin: Option<f64>, none: &str) -> String {
    match (holds, margin) {
        (Some(true), Some(w)) => format!("starts, {} left", watts(w)),
        (Some(false), Some(w)) if w < 0.0 => format!("does not start, {} short", watts(-w)),
        (Some(false), _) => "does not start".to_owned(),
        (Some(true), None) => "starts".to_owned(),
        (None, _) => none.to_owned(),
    }
}

fn in_tables(installation: &Installation, all: &[Contender]) -> String {
    let Some(first) = all.first() else { return paragraph("There is no source in the drawing.", 0) };
    let mut columns = vec![""];
    columns.extend(all.iter().map(|c| c.name.as_str()));
    let line = |title: &str, cell: &dyn Fn(&Contender) -> String| {
        let mut row = vec![title.to_owned()];
        row.extend(all.iter().map(cell));
        row
    };
    let system = installation.system;
    let burns = |c: &Contender| c.part.kind == PartKind::Generator;
    let litres = |v: Option<f64>| v.map_or_else(|| "not known".to_owned(), |l| format!("{} L", trimmed(l, 2)));
    let plain =
        |v: Option<f64>, unit: &str| v.map_or_else(|| "not known".to_owned(), |x| format!("{} {unit}", trimmed(x, 1)));
    let mut out = paragraph("Sources side by side, each feeding alone in every condition", 0);
    let rows = vec![
        line("Running", &|c| shown(c.part.run_w(system), watts)),
        line("Starting", &|c| shown(c.part.start_w(system), watts)),
        line("Fuel a day", &|c| {
            if !burns(c) { "–".to_owned() } else { litres(c.day.as_ref().and_then(|d| d.litres)) }
        }),
        line("Days on the fuel aboard", &|c| {
            if !burns(c) { "–".to_owned() } else { plain(c.day.as_ref().and_then(|d| d.days), "days") }
        }),
        line("Noise", &|c| match (c.part.set_data.noise_db, c.part.set_data.noise_m) {
            (Some(db), Some(m)) => format!("{} dB(A) at {} m", trimmed(db, 1), trimmed(m, 1)),
            _ => "not known".to_owned(),
        }),
        line("Weight", &|c| plain(c.part.set_data.weight_kg, "kg")),
    ];
    out += &heading("The sets");
    out += &table(&columns, rows);
    for (n, condition) in installation.conditions.iter().enumerate() {
        let of = |c: &Contender, show: &dyn Fn(&Stand) -> String| c.conditions.get(n).map_or_else(String::new, show);
        let rows = vec![
            line("Load", &|c| of(c, &|s| format!("{} ({})", shown(s.watts, watts), shown(s.load_percent, percent)))),
            line("Reserve", &|c| of(c, &|s| shown(s.reserve_w, watts))),
            line("Best starting order", &|c| of(c, &|s| start(s.starts, s.start_margin_w, "not known"))),
            line("Worst restart by itself", &|c| {
                of(c, &|s| start(s.restarts, s.restart_margin_w, "nothing cycles, or not known"))
            }),
            line("Weakest outlet", &|c| {
                of(c, &|s| {
                    s.weakest.map_or_else(
                        || "not known".to_owned(),
                        |(id, p)| format!("{} {}", installation.tag(id), percent(p)),
                    )
                })
            }),
            line("Mean load", &|c| of(c, &|s| shown(s.mean_w, watts))),
            line("Fuel", &|c| {
                if !burns(c) {
                    return "–".to_owned();
                }
                of(c, &|s| match s.endurance.as_ref().and_then(|e| e.litres_per_hour.map(|l| (l, e.plausible))) {
                    Some((l, Some(false))) => format!("{} L/h as claimed, which cannot be right", trimmed(l, 2)),
                    Some((l, _)) => format!("{} L/h", trimmed(l, 2)),
                    None => "not known".to_owned(),
                })
            }),
            line("Combinations", &|c| {
                of(c, &|s| s.combinations.map_or_else(|| "too many".to_owned(), |n| n.to_string()))
            }),
            line(&format!("Not possible on {}", first.name), &|c| {
                of(c, &|s| {
                    let none = if c.name == first.name { "–" } else { "none" };
                    if s.newly_possible.is_empty() { none.to_owned() } else { s.newly_possible.len().to_string() }
                })
            }),
        ];
        out += &heading(&condition.name);
        out += &table(&columns, rows);
        for c in all.iter().skip(1) {
            for parts in c.conditions.get(n).iter().flat_map(|s| s.newly_possible.iter().take(MOST_SHOWN)) {
                let names: Vec<&str> =
                    parts.iter().filter_map(|id| installation.parts.get(id)).map(|p| p.title()).collect();
                out += &paragraph(&format!("{} lets run together: {}.", c.name, names.join(", ")), 2);
            }
        }
    }
    out
}
