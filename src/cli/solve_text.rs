//! The tables of `hullwire solve`.

use super::solve::Timing;
use super::solve_json::{ampacity, each_cable};
use super::subject::Subject;
use super::text::{heading, paragraph, table};
use crate::installation::{Conductor, Doubt, Installation, PartId, Property, to_measure, with_unit};
use crate::loads::starting::peaks;
use crate::network::{self, Rated, Reach, Solution};
use crate::units;
use std::collections::BTreeMap;

/// What the answer is about, one line each.
pub fn opening(subject: &Subject) -> String {
    let installation = &subject.installation;
    let name = if installation.name.is_empty() { "Unnamed installation" } else { &installation.name };
    let feeding = subject.feeding();
    let feeding =
        if feeding.is_empty() { "no source feeds".to_owned() } else { format!("fed from {}", feeding.join(" and ")) };
    let text = format!(
        "{name}: {}; condition “{}”, {feeding}; rule set {}",
        installation.system.name(),
        subject.condition_name(),
        installation.rules.slug()
    );
    paragraph(&text, 0)
}

/// How a part stands: never to be called dead.
pub fn state(solution: &Solution, part: PartId) -> &'static str {
    match solution.walk.reach.get(&part) {
        Some(Reach::Fed(_)) => "fed",
        Some(Reach::MayBeLive) => "may be live",
        Some(Reach::NotFed) | None => "not fed",
    }
}

/// A figure in its unit; not known where it is missing.
fn shown(value: Option<f64>, unit: fn(f64) -> String) -> String {
    unit(value.unwrap_or(f64::NAN))
}

fn yes_no(value: Option<bool>) -> &'static str {
    match value {
        Some(true) => "starts",
        Some(false) => "does not start",
        None => "not known",
    }
}

/// Everything that was solved.
pub fn print(subject: &Subject, solution: &Solution, timing: Option<Timing>) -> String {
    let installation = &subject.installation;
    let mut out = opening(subject);
    if !solution.converged {
        let why = "No figures: the drawing has a loop, sources in parallel or a load that cannot be supplied; the findings name the parts.";
        out += &paragraph(why, 0);
    }
    out += &sources(installation, solution);
    out += &parts(installation, solution);
    out += &cables(installation, solution);
    out += &measure_first(installation);
    out += &heading("Basis of calculation");
    for line in network::resistance_basis(installation.system, installation.resistance) {
        out += &paragraph(&line, 2);
    }
    if let Some(timing) = timing {
        out += &heading("Timing");
        let text = format!(
            "reading {:.3} ms, graph and order {:.3} ms, solve {:.3} ms",
            timing.read_ms, timing.order_ms, timing.solve_ms
        );
        out += &paragraph(&text, 2);
    }
    out
}

fn sources(installation: &Installation, solution: &Solution) -> String {
    if solution.sources.is_empty() {
        return String::new();
    }
    let mut rows = Vec::new();
    let mut starts = Vec::new();
    let mut notes = Vec::new();
    for (id, flow) in &solution.sources {
        let tag = installation.tag(*id).to_owned();
        let rated = installation.parts.get(id).map(|p| Rated::of(p, installation.system, Some(flow)));
        let amps = match flow.currents.filter(|_| installation.system.is_split_phase()) {
            Some(c) => format!(
                "L1 {}, L2 {}, N {}",
                units::amps(c.l1.norm()),
                units::amps(c.l2.norm()),
                units::amps(c.n.norm())
            ),
            None => shown(flow.amps, units::amps),
        };
        rows.push(vec![
            tag.clone(),
            shown(flow.watts, units::watts),
            shown(flow.va, units::va),
            amps,
            shown(rated.and_then(|r| r.percent()), units::percent),
        ]);
        let peaks = peaks(installation, solution, *id);
        let cycles = peaks.worst_restart.is_some();
        let restart = if cycles || peaks.worst_restart_w.is_some() {
            (shown(peaks.worst_restart_w, units::watts), yes_no(peaks.starts_worst_restart))
        } else {
            ("nothing cycles".to_owned(), "")
        };
        let line =
            |name: &str, watts: String, verdict: &str| vec![tag.clone(), name.to_owned(), watts, verdict.to_owned()];
        starts.push(line(
            "best starting order",
            shown(peaks.best_order_w, units::watts),
            yes_no(peaks.starts_best_order),
        ));
        starts.push(line("worst restart by itself", restart.0, restart.1));
        starts.push(line("all at once", shown(peaks.all_at_once_w, units::watts), yes_no(peaks.starts_all_at_once)));
        if solution.converged && peaks.by_watts_only {
            notes.push(format!("{tag}: starts are judged by watts only, because starting volt-amperes are not known."));
        }
        for (part, watts) in &peaks.estimated {
            notes.push(format!(
                "{}: starting power is not known; 6 × running would be {} (an estimate).",
                installation.tag(*part),
                units::watts(*watts)
            ));
        }
    }
    let mut out = heading("Sources") + &table(&["Source", ">Power", ">Apparent", ">Current", ">Load"], rows);
    out += &heading("Starting");
    out += &table(&["Source", "Case", ">Peak", "Verdict"], starts);
    for note in notes {
        out += &paragraph(&note, 2);
    }
    out
}

fn parts(installation: &Installation, solution: &Solution) -> String {
    let rows = installation
        .parts
        .iter()
        .map(|(id, part)| {
            let flow = solution.parts.get(id);
            let fed = solution.walk.is_fed(*id);
            let figure =
                |value: Option<f64>, unit: fn(f64) -> String| if fed { shown(value, unit) } else { "–".to_owned() };
            let on = if part.kind.has_switch() && !installation.is_on(*id, solution.walk.condition) {
                if part.kind == crate::installation::PartKind::Breaker { ", open" } else { ", off" }
            } else {
                ""
            };
            vec![
                part.tag.clone(),
                part.title().lines().collect::<Vec<_>>().join(" "),
                format!("{}{on}", state(solution, *id)),
                figure(flow.and_then(|f| f.volts), units::volts),
                figure(flow.and_then(|f| f.amps), units::amps),
                figure(flow.and_then(|f| f.drop_percent), units::percent),
            ]
        })
        .collect();
    heading("Parts") + &table(&["Tag", "Label", "State", ">Volts", ">Current", ">Drop"], rows)
}

fn cables(installation: &Installation, solution: &Solution) -> String {
    let rows: Vec<Vec<String>> = each_cable(installation, solution)
        .filter(|(_, _, data, _)| data.is_fitted())
        .map(|(to, from, data, flow)| {
            let size = match data.conductor {
                Conductor::Size(size) => size.to_string().replace("mm2", "mm²"),
                Conductor::None => "none".to_owned(),
                Conductor::Unknown => "not known".to_owned(),
            };
            let milliohms = flow.and_then(|f| f.ohms).map(|o| format!("{:.1} mΩ", o * 1000.0));
            let start = from.map_or_else(|| "shore (cord)".to_owned(), |f| installation.tag(f).to_owned());
            let unfed = !solution.walk.is_fed(to);
            let figure =
                |value: Option<f64>, unit: fn(f64) -> String| if unfed { "–".to_owned() } else { shown(value, unit) };
            vec![
                start,
                installation.tag(to).to_owned(),
                size,
                shown(data.length_m, units::metres),
                if unfed { "–".to_owned() } else { milliohms.unwrap_or_else(|| "not known".to_owned()) },
                figure(flow.and_then(|f| f.amps), units::amps),
                shown(ampacity(installation, solution, to, from, data).map(|a| a.amps), units::amps),
                figure(flow.and_then(|f| f.drop_volts), units::volts),
                figure(flow.and_then(|f| f.loss_watts), units::watts),
            ]
        })
        .collect();
    if rows.is_empty() {
        return String::new();
    }
    let columns = ["From", "To", "Size", ">Length", ">Out and back", ">Current", ">Ampacity", ">Drop", ">Loss"];
    heading("Cables") + &table(&columns, rows)
}

/// What nobody has measured or read, by value: the electrician measures it first.
fn measure_first(installation: &Installation) -> String {
    let mut grouped: BTreeMap<(Doubt, Property), Vec<String>> = BTreeMap::new();
    for m in to_measure(installation) {
        let value = if m.value.is_empty() { String::new() } else { format!(" {}", with_unit(m.property, &m.value)) };
        grouped.entry((m.doubt, m.property)).or_default().push(format!("{}{value}", m.tag));
    }
    if grouped.is_empty() {
        return String::new();
    }
    let line = |((doubt, property), of): (&(Doubt, Property), &Vec<String>)| {
        let cable = if Property::OF_CABLE.contains(property) { "cable to " } else { "" };
        paragraph(&format!("{}, {}: {cable}{}", property.name(), doubt.words(), of.join(", ")), 2)
    };
    heading("To measure or read first") + &grouped.iter().map(line).collect::<String>()
}
