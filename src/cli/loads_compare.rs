//! `hullwire loads --compare`: sources of the drawing and candidates, side by side over the same conditions.

use super::json::{figure, print};
use super::subject::Format;
use super::text::{heading, paragraph, table};
use crate::installation::{Installation, PartId, Tray};
use crate::loads::comparison::words::{self, Line};
use crate::loads::comparison::{Contender, compare};
use crate::loads::noise::level;
use crate::loads::placing::{ASHORE, placing};
use crate::loads::together::EFFORT;
use serde_json::{Map, Value, json};

/// Newly possible combinations that the text names.
const MOST_SHOWN: usize = 3;

/// The comparison in the asked form.
pub fn answer(installation: &Installation, format: Format, at_m: f64) -> anyhow::Result<String> {
    let all = compare(installation, EFFORT);
    match format {
        Format::Json => in_json(installation, &all, at_m),
        Format::Table => Ok(in_tables(installation, &all, at_m)),
    }
}

fn flag(value: Option<bool>) -> Value {
    value.map_or(Value::Null, |v| json!(v))
}

fn in_json(installation: &Installation, all: &[Contender], at_m: f64) -> anyhow::Result<String> {
    let tags = |parts: &[PartId]| parts.iter().map(|id| installation.tag(*id).to_owned()).collect::<Vec<_>>();
    let sources: Vec<Value> = all
        .iter()
        .map(|c| {
            let conditions: Vec<Value> = c
                .conditions
                .iter()
                .zip(&installation.conditions)
                .map(|(s, condition)| {
                    let mut stand = json!({
                        "condition": condition.name,
                        "converged": s.converged,
                        "watts": figure(s.watts),
                        "load_percent": figure(s.rated.percent()),
                        "starts_best_order": flag(s.starts),
                        "start_margin_watts": figure(s.start_margin_w),
                        "starts_worst_restart": flag(s.restarts),
                        "restart_margin_watts": figure(s.restart_margin_w),
                        "weakest_outlet": s.weakest.map(|(id, p)| json!({ "part": installation.tag(id), "volts": figure(s.weakest_v), "percent_of_nominal": p })),
                        "mean_watts": figure(s.mean_w),
                        "litres_per_hour": figure(s.endurance.as_ref().and_then(|e| e.litres_per_hour)),
                        "plausible": flag(s.endurance.as_ref().and_then(|e| e.plausible)),
                        "hours": figure(s.endurance.as_ref().and_then(|e| e.hours)),
                        "hours_low": figure(s.endurance.as_ref().and_then(|e| e.hours_low)),
                        "count": s.combinations.and_then(|n| u64::try_from(n).ok()),
                        "exact": s.exact,
                        "newly_possible": s.newly_possible.iter().map(|c| tags(c)).collect::<Vec<_>>(),
                    });
                    let reserve = if s.rated.in_amps { "reserve_amps" } else { "reserve_watts" };
                    stand[reserve] = figure(s.rated.reserve());
                    stand
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
                "noise_db_at_distance": figure(level(&c.part, at_m)),
                "trays": trays(installation, c),
                "litres_per_day": figure(c.day.as_ref().and_then(|d| d.litres)),
                "days": figure(c.day.as_ref().and_then(|d| d.days)),
                "conditions": conditions,
            })
        })
        .collect();
    let mut object = Map::new();
    object.insert("system".to_owned(), json!(installation.system.slug()));
    object.insert("distance_m".to_owned(), json!(at_m));
    object.insert("sources".to_owned(), sources.into());
    print(object)
}

fn in_tables(installation: &Installation, all: &[Contender], at_m: f64) -> String {
    if all.is_empty() {
        return paragraph("There is no source in the drawing.", 0);
    }
    let mut columns = vec![""];
    columns.extend(all.iter().map(|c| c.name.as_str()));
    let rows = |lines: Vec<Line>| -> Vec<Vec<String>> {
        lines.into_iter().map(|l| std::iter::once(l.title).chain(l.cells).collect()).collect()
    };
    let mut out = paragraph("Sources side by side, each feeding alone in every condition", 0);
    out += &heading("The sets");
    out += &table(&columns, rows(words::of_sets(installation, all, at_m)));
    if !installation.trays.is_empty() {
        out += &paragraph(ASHORE, 2);
    }
    for (n, condition) in installation.conditions.iter().enumerate() {
        out += &heading(&condition.name);
        out += &table(&columns, rows(words::of_condition(installation, all, n)));
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

/// The fit of a source in each tray.
fn trays(installation: &Installation, c: &Contender) -> Vec<Value> {
    let of = |tray: &Tray| {
        let best = placing(&c.part, tray).and_then(|fits| fits.into_iter().next());
        let spare = best.as_ref().map_or([None; 3], |fit| fit.spare_mm);
        json!({
            "tray": tray.name,
            "fits": flag(best.as_ref().and_then(|fit| fit.fits)),
            "turn": best.as_ref().map(|fit| fit.turn.words()),
            "spare_mm": { "length": figure(spare[0]), "width": figure(spare[1]), "height": figure(spare[2]) },
        })
    };
    installation.trays.iter().map(of).collect()
}
