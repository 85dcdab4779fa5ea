//! `hullwire endurance`: how long the fuel or the battery lasts, in one condition and over the day plan of the file.

use super::json::{self, figure};
use super::solve_text::opening;
use super::subject::{Choice, Format, Subject};
use super::text::{heading, paragraph, table};
use super::{Answer, findings};
use crate::installation::{Edit, Installation, PartId, PartKind, Span, plan};
use crate::loads::endurance::words::{number, range};
use crate::loads::endurance::{Battery, Day, Doubt, Endurance, battery, day, of_condition};
use crate::survey;
use crate::units::{self, Date, trimmed};
use anyhow::Context;
use serde_json::{Map, Value, json};

/// Say how long the fuel or the battery lasts at the mean load of the solved drawing
#[derive(Debug, clap::Args)]
#[command(after_help = "\
Examples:
  hullwire endurance boat.hullwire
  hullwire endurance boat.csv --feeding G1 --litres 2
  hullwire endurance boat.hullwire --condition “At anchor” --hours “7-9, 18:30-22” --date 2027-05-31 --format json

The mean load counts duty and losses. A claimed fuel curve that cannot be right gives a range: from the claim down to what
is physically possible. Where conditions have hours of the day, a day is worked out too: litres, refills, days of fuel,
next service. What is not known stays not known.
Exit status: 0, or 2 for bad input or bad use.")]
pub struct Args {
    #[command(flatten)]
    choice: Choice,
    /// Litres that are counted on, in place of each tank’s
    #[arg(long, value_name = "L")]
    litres: Option<String>,
    /// Hours of the day in which this condition holds, in place of the file’s
    #[arg(long, value_name = "SPANS")]
    hours: Option<String>,
    /// The day from which days are counted, in place of the one on which the hour meter was read
    #[arg(long, value_name = "YYYY-MM-DD")]
    date: Option<String>,
    /// Tables for people, or one JSON object for programs
    #[arg(long, value_enum, default_value_t)]
    format: Format,
}

/// Carries it out.
pub fn run(args: &Args) -> anyhow::Result<Answer> {
    let mut subject = Subject::read(&args.choice)?;
    let bad = |option: &str, found: &str, valid: &str| format!("--{option}: found “{found}”; valid: {valid}");
    let litres = match args.litres.as_deref() {
        None => None,
        Some(text) => {
            let parsed = units::parse_quantity(text, units::Quantity::Litres).ok().filter(|l| *l >= 0.0);
            Some(parsed.with_context(|| bad("litres", text, "litres from 0, such as 2 or 0.5 gal"))?)
        }
    };
    let date = match args.date.as_deref() {
        None => None,
        Some(text) => Some(Date::parse(text).with_context(|| bad("date", text, Date::HINT))?),
    };
    if let Some(text) = args.hours.as_deref() {
        let hours = plan::parse_spans(text).with_context(|| bad("hours", text, Span::HINT))?;
        let edit = Edit::SetHours { condition: subject.condition, hours };
        subject.installation = subject.installation.apply(&edit)?.installation;
    }
    let installation = &subject.installation;
    let (mean, generators) = of_condition(installation, subject.condition, litres);
    let inverters: Vec<(PartId, Battery)> = mean
        .watts
        .iter()
        .filter_map(|(id, watts)| installation.parts.get(id).map(|part| (*id, part, *watts)))
        .filter(|(_, part, _)| part.kind == PartKind::Inverter)
        .map(|(id, part, watts)| (id, battery(part, watts)))
        .collect();
    let day = day(installation, date);
    let cautions = survey::cautions(installation);
    let out = match args.format {
        Format::Json => {
            let mut object = Map::new();
            object.insert("condition".to_owned(), json!(subject.condition_name()));
            object.insert("feeding".to_owned(), json::one_or_list(&subject.feeding()));
            let of = |list: &[(PartId, Endurance)]| -> Map<String, Value> {
                list.iter().map(|(id, e)| (installation.tag(*id).to_owned(), generator_json(e))).collect()
            };
            object.insert("generators".to_owned(), of(&generators).into());
            let batteries: Map<String, Value> =
                inverters.iter().map(|(id, b)| (installation.tag(*id).to_owned(), battery_json(b))).collect();
            object.insert("inverters".to_owned(), batteries.into());
            object.insert("day".to_owned(), day.as_ref().map_or(Value::Null, |d| day_json(installation, d)));
            let texts: Vec<Value> = cautions.iter().map(|c| c.text().into()).collect();
            object.insert("cautions".to_owned(), texts.into());
            json::print(object)?
        }
        Format::Table => {
            let mut out = opening(&subject);
            out += &generators_text(installation, &generators);
            out += &batteries_text(installation, &inverters);
            if !mean.switching_followed {
                out += &paragraph("So many appliances switch that what it adds to the losses is not counted.", 2);
            }
            out += &day.as_ref().map_or_else(String::new, |d| day_text(installation, d));
            out + &findings::cautions(&cautions)
        }
    };
    Ok(Answer { out, err: subject.notes.clone(), ..Answer::default() })
}

fn generator_json(e: &Endurance) -> Value {
    json!({
        "mean_load_percent": figure(e.mean_load_percent),
        "mean_watts": figure(e.mean_watts),
        "litres": figure(e.litres),
        "litres_per_hour": figure(e.litres_per_hour),
        "litres_per_hour_high": figure(e.litres_per_hour_high),
        "hours": figure(e.hours),
        "extrapolated": e.extrapolated,
        "plausible": e.plausible,
        "hours_low": figure(e.hours_low),
        "doubts": e.doubts.iter().map(Doubt::words).collect::<Vec<_>>(),
        "missing": e.missing,
    })
}

fn battery_json(b: &Battery) -> Value {
    json!({
        "mean_watts": figure(b.mean_watts),
        "usable_kwh": figure(b.usable_kwh),
        "hours": figure(b.hours),
        "missing": b.missing,
    })
}

fn day_json(installation: &Installation, day: &Day) -> Value {
    let name = |i: usize| installation.conditions.get(i).map_or("", |c| &c.name);
    let conditions: Vec<Value> = day
        .rows
        .iter()
        .map(|row| {
            let spans: Vec<[f64; 2]> = row.spans.iter().map(|s| [s.from, s.to]).collect();
            let rates: Map<String, Value> = row
                .generators
                .iter()
                .map(|(id, e)| (installation.tag(*id).to_owned(), figure(e.litres_per_hour)))
                .collect();
            json!({ "condition": name(row.condition), "hours": row.hours, "spans": spans, "litres_per_hour": rates })
        })
        .collect();
    let generators: Map<String, Value> = day
        .generators
        .iter()
        .map(|(id, f)| {
            let service = f.service.as_ref().map(|s| {
                json!({ "hours_to_go": s.hours_to_go, "overdue": s.overdue, "days": figure(s.days),
                    "date": s.date.map(|d| d.to_string()) })
            });
            let value = json!({
                "hours": f.hours, "litres": figure(f.litres), "litres_high": figure(f.litres_high),
                "refills": figure(f.refills), "litres_to_use": figure(f.litres_to_use), "days": figure(f.days),
                "days_low": figure(f.days_low), "service": service, "missing": f.missing,
            });
            (installation.tag(*id).to_owned(), value)
        })
        .collect();
    let batteries: Map<String, Value> =
        day.battery_kwh.iter().map(|(id, kwh)| (installation.tag(*id).to_owned(), figure(*kwh))).collect();
    json!({
        "conditions": conditions,
        "generators": generators,
        "battery_kwh": batteries,
        "free_hours": day.free_hours,
        "clash": day.clash.map(|(a, b, span)| json!({ "conditions": [name(a), name(b)], "from": span.from, "to": span.to })),
    })
}

fn generators_text(installation: &Installation, list: &[(PartId, Endurance)]) -> String {
    if list.is_empty() {
        return heading("Generators") + &paragraph("There is no generator in the drawing.", 2);
    }
    let mut notes = String::new();
    let mut rows = Vec::new();
    for (id, e) in list {
        let tag = installation.tag(*id);
        rows.push(vec![
            tag.to_owned(),
            number(e.mean_watts.map(f64::round), 0, "W"),
            number(e.mean_load_percent, 1, "%"),
            range(e.litres_per_hour, e.litres_per_hour_high, 3, "L/h"),
            number(e.litres, 2, "L"),
            range(e.hours, e.hours_low, 1, "h"),
        ]);
        if e.extrapolated == Some(true) {
            notes += &paragraph(
                &format!("{tag}: the load lies beyond the points of the fuel curve; the rate is extrapolated."),
                2,
            );
        }
        if e.mean_load_percent.is_some_and(|p| units::above(p, 100.0)) {
            notes += &paragraph(&format!("{tag}: the mean load is above its running watts."), 2);
        }
        if e.plausible == Some(false) {
            let why: Vec<String> = e.doubts.iter().map(Doubt::words).collect();
            notes += &paragraph(&format!("{tag}: the claimed fuel curve cannot be right: {}.", why.join("; ")), 2);
        }
        if !e.missing.is_empty() {
            notes += &paragraph(&format!("{tag}: not known: {}.", e.missing.join("; ")), 2);
        }
    }
    let columns = ["Generator", ">Mean load", ">of rating", ">Fuel", ">Counted on", ">Lasts"];
    heading("Generators") + &table(&columns, rows) + &notes
}

fn batteries_text(installation: &Installation, list: &[(PartId, Battery)]) -> String {
    if list.is_empty() {
        return String::new();
    }
    let mut notes = String::new();
    let mut rows = Vec::new();
    for (id, b) in list {
        let tag = installation.tag(*id);
        let watts = number(b.mean_watts.map(f64::round), 0, "W");
        rows.push(vec![tag.to_owned(), watts, number(b.usable_kwh, 2, "kWh"), number(b.hours, 1, "h")]);
        if !b.missing.is_empty() {
            notes += &paragraph(&format!("{tag}: not known: {}.", b.missing.join("; ")), 2);
        }
    }
    notes += &paragraph("An inverter’s own draw without load is not counted.", 2);
    heading("Batteries") + &table(&["Inverter", ">Mean load", ">Usable", ">Lasts"], rows) + &notes
}

fn day_text(installation: &Installation, day: &Day) -> String {
    let name = |i: usize| installation.conditions.get(i).map_or("", |c| c.name.as_str());
    if let Some((a, b, span)) = day.clash {
        let both = plan::spans_text(&[span]);
        let text = format!("“{}” and “{}” both claim {both}: nothing is counted.", name(a), name(b));
        return heading("A day") + &paragraph(&text, 2);
    }
    let rows = day
        .rows
        .iter()
        .map(|row| {
            let rate: Vec<String> = row
                .generators
                .iter()
                .map(|(id, e)| {
                    format!("{} {}", installation.tag(*id), range(e.litres_per_hour, e.litres_per_hour_high, 3, "L/h"))
                })
                .collect();
            let rate = if rate.is_empty() { "no generator feeds".to_owned() } else { rate.join(", ") };
            vec![
                name(row.condition).to_owned(),
                plan::spans_text(&row.spans),
                format!("{} h", trimmed(row.hours, 2)),
                rate,
            ]
        })
        .collect();
    let mut out = heading("A day") + &table(&["Condition", "Hours", ">In all", ">Fuel"], rows);
    for (id, fuel) in &day.generators {
        out += &paragraph(&fuel.sentence(installation.tag(*id)), 2);
    }
    for (id, kwh) in &day.battery_kwh {
        out += &paragraph(&format!("{}: {} a day from its battery.", installation.tag(*id), number(*kwh, 2, "kWh")), 2);
    }
    if day.free_hours > 1e-9 {
        let free = trimmed(day.free_hours, 2);
        out +=
            &paragraph(&format!("No condition has the remaining {free} h of the day: nothing is counted for them."), 2);
    }
    out
}
