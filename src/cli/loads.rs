//! `hullwire loads`: the load analysis by operating condition, or sources side by side.

use super::Answer;
use super::answer::Status;
use super::json::{figure, print};
use super::loads_compare;
use super::placing::distance;
use super::subject::{Format, condition, notes, open};
use super::text::{heading, paragraph, table};
use crate::installation::{Installation, PartId};
use crate::loads::analysis::{Bus, ConditionLoads, analysis};
use crate::units::{self, amps, percent, va, watts};
use serde_json::{Map, Value, json};
use std::collections::BTreeMap;
use std::path::PathBuf;

/// Show the loads by operating condition: connected, running and mean, the largest start, and what is left
#[derive(Debug, clap::Args)]
#[command(after_help = "\
Examples:
  hullwire loads boat.hullwire
  hullwire loads boat.hullwire --condition “At anchor” --format json
  hullwire loads boat.hullwire --compare --at 20

Connected: rated watts of all that is fed, on or off. Running: the solve of what is on. Mean: each appliance for its share of
the time. What is not known is left out and named, never counted as nothing.
Exit status: 0 when it was worked out, 2 bad input or bad use.")]
pub struct Args {
    /// A drawing (.hullwire) or a circuit list (.csv); “-” reads standard input
    file: PathBuf,
    /// One operating condition, by name or number, in place of all
    #[arg(long, value_name = "NAME|NUMBER")]
    condition: Option<String>,
    /// Sources of the drawing and the candidates kept in it, side by side over the same conditions
    #[arg(long)]
    compare: bool,
    /// With --compare: distance for the sound, in metres
    #[arg(long, value_name = "METRES", default_value = "7", requires = "compare")]
    at: String,
    /// Tables for people, or one JSON object for programs
    #[arg(long, value_enum, default_value_t)]
    format: Format,
}

/// Carries it out.
pub fn run(args: &Args) -> anyhow::Result<Answer> {
    let opened = open(&args.file)?;
    let err = notes(&opened);
    let mut installation = opened.installation;
    if let Some(asked) = args.condition.as_deref() {
        let index = condition(&installation, Some(asked))?;
        installation.conditions = vec![installation.conditions.swap_remove(index)];
    }
    let out = match (args.compare, args.format) {
        (true, format) => loads_compare::answer(&installation, format, distance(&args.at)?)?,
        (false, Format::Json) => in_json(&installation)?,
        (false, Format::Table) => in_tables(&installation),
    };
    Ok(Answer { out, err, status: Status::Clear })
}

fn bus_json(bus: &Bus, installation: &Installation) -> Value {
    let mut object = Map::new();
    let mut put = |name: &str, value: Value| object.insert(name.to_owned(), value);
    put("connected_watts", json!(bus.connected_w));
    put("running_watts", figure(bus.running_w));
    put("running_va", figure(bus.running_va));
    put("mean_watts", figure(bus.mean_w));
    match bus.amps {
        Some((l1, Some(l2))) => {
            put("amps_l1", json!(l1));
            put("amps_l2", json!(l2));
            put("unbalance_percent", figure(bus.unbalance_percent));
        }
        other => {
            put("amps", figure(other.map(|a| a.0)));
        }
    }
    let unit = if bus.in_amps { "amps" } else { "watts" };
    put(&format!("rating_{unit}"), figure(bus.rating));
    put(&format!("reserve_{unit}"), figure(bus.reserve));
    put("load_percent", figure(bus.load_percent));
    let unknown: Vec<&str> = bus.unknown.iter().map(|id| installation.tag(*id)).collect();
    put("not_known", json!(unknown));
    object.into()
}

fn in_json(installation: &Installation) -> anyhow::Result<String> {
    let tag = |id: &PartId| installation.tag(*id).to_owned();
    let conditions: Vec<Value> = analysis(installation)
        .iter()
        .map(|c| {
            let uses: Map<String, Value> = c
                .uses
                .iter()
                .map(|u| {
                    let value = json!({
                        "on": u.on, "fed": u.fed, "runs": u.runs, "share": u.share, "share_stated": u.share_stated,
                        "at_once": u.at_once, "run_w": figure(u.run_w), "start_w": figure(u.start_w),
                    });
                    (tag(&u.part), value)
                })
                .collect();
            let buses = |map: &BTreeMap<PartId, Bus>| -> Map<String, Value> {
                map.iter().map(|(id, bus)| (tag(id), bus_json(bus, installation))).collect()
            };
            let starts: Map<String, Value> = c
                .largest_start
                .iter()
                .map(|(id, l)| {
                    (tag(id), json!({ "part": tag(&l.part), "start_watts": l.start_w, "run_watts": l.run_w }))
                })
                .collect();
            json!({
                "condition": c.name,
                "feeding": c.feeding.iter().map(tag).collect::<Vec<_>>(),
                "converged": c.converged,
                "appliances": uses,
                "sources": buses(&c.sources),
                "equipment": buses(&c.equipment),
                "panels": buses(&c.panels),
                "breakers": buses(&c.breakers),
                "largest_start": starts,
                "starts_not_known": c.starts_unknown.iter().map(tag).collect::<Vec<_>>(),
            })
        })
        .collect();
    let mut object = Map::new();
    object.insert("system".to_owned(), json!(installation.system.slug()));
    object.insert("conditions".to_owned(), conditions.into());
    print(object)
}

/// A figure in its unit; not known where it is missing.
pub fn shown(value: Option<f64>, unit: fn(f64) -> String) -> String {
    unit(value.unwrap_or(f64::NAN))
}

fn in_tables(installation: &Installation) -> String {
    let name = if installation.name.is_empty() { "Unnamed installation" } else { &installation.name };
    let mut out = paragraph(&format!("{name}: load analysis, {}", installation.system.name()), 0);
    let all = analysis(installation);
    out += &usage(installation, &all);
    for c in &all {
        let feeding = c.feeding.iter().map(|id| installation.tag(*id)).collect::<Vec<_>>().join(" and ");
        let feeding = if feeding.is_empty() { "no source feeds".to_owned() } else { format!("fed from {feeding}") };
        out += &heading(&format!("{}, {feeding}", c.name));
        if !c.converged {
            out += &paragraph("No figures: a loop, sources in parallel, or a load that cannot be supplied.", 2);
            continue;
        }
        out += &buses(installation, c);
        for (source, l) in &c.largest_start {
            out += &paragraph(
                &format!(
                    "Largest start on {}: {}, {} to start, {} running.",
                    installation.tag(*source),
                    installation.parts.get(&l.part).map_or("?", |p| p.title()),
                    watts(l.start_w),
                    watts(l.run_w)
                ),
                2,
            );
        }
        let missing = |title: &str, ids: &[PartId]| {
            let tags: Vec<&str> = ids.iter().map(|id| installation.tag(*id)).collect();
            if tags.is_empty() { String::new() } else { paragraph(&format!("{title}: {}.", tags.join(", ")), 2) }
        };
        out += &missing("Starting watts not known", &c.starts_unknown);
        let unknown: Vec<PartId> = c.sources.values().flat_map(|b| b.unknown.iter().copied()).collect();
        out += &missing("Running watts not known, so every sum is a lower bound", &unknown);
    }
    out
}

/// Appliances by condition: the share of the time, or why it does not run.
fn usage(installation: &Installation, all: &[ConditionLoads]) -> String {
    let mut columns = vec!["Appliance", ">Running", ">Starting"];
    let names: Vec<String> = all.iter().map(|c| format!(">{}", c.name)).collect();
    columns.extend(names.iter().map(String::as_str));
    let rows = all.first().map_or_else(Vec::new, |first| {
        (0..first.uses.len())
            .map(|row| {
                let u = &first.uses[row];
                let mut cells = vec![
                    installation.parts.get(&u.part).map_or_else(String::new, |p| p.name()),
                    shown(u.run_w, watts),
                    shown(u.start_w, watts),
                ];
                cells.extend(all.iter().map(|c| match c.uses.get(row) {
                    Some(u) if !u.fed => "not fed".to_owned(),
                    Some(u) if !u.on => "off".to_owned(),
                    Some(u) => {
                        let most = u.at_once.map_or_else(String::new, |n| format!(", {n} at once"));
                        format!("{} %{most}", units::trimmed(100.0 * u.share, 1))
                    }
                    None => String::new(),
                }));
                cells
            })
            .collect()
    });
    heading("Share of the time while switched on") + &table(&columns, rows)
}

fn buses(installation: &Installation, c: &ConditionLoads) -> String {
    let split = installation.system.is_split_phase();
    let mut rows = Vec::new();
    for (_, map) in c.carried() {
        for (id, bus) in map {
            let unit = bus.unit();
            let carried = match bus.amps {
                Some((l1, Some(l2))) => format!("{} / {}", amps(l1), amps(l2)),
                other => shown(other.map(|a| a.0), amps),
            };
            let mut row = vec![
                installation.parts.get(id).map_or_else(String::new, |p| p.name()),
                watts(bus.connected_w),
                shown(bus.running_w, watts),
                shown(bus.running_va, va),
                shown(bus.mean_w, watts),
                carried,
            ];
            if split {
                row.push(if bus.on_one_line() { "–".to_owned() } else { shown(bus.unbalance_percent, percent) });
            }
            row.extend([shown(bus.rating, unit), shown(bus.reserve, unit), shown(bus.load_percent, percent)]);
            rows.push(row);
        }
    }
    let mut columns =
        vec!["Part", ">Connected", ">Running", ">Apparent", ">Mean", if split { ">L1 / L2" } else { ">Current" }];
    if split {
        columns.push(">Unbalance");
    }
    columns.extend([">Rating", ">Reserve", ">Load"]);
    table(&columns, rows)
}
