//! The comparison in words, line by line, the same on screen and in the terminal.

use super::{Contender, Stand};
use crate::installation::{Installation, PartKind, Tray};
use crate::loads::endurance::words::{number, range};
use crate::loads::noise::level;
use crate::loads::placing::placing;
use crate::units::{amps, percent, trimmed, volts, watts};

/// A line: what it is about, and a cell for each source.
#[derive(Clone, Debug, PartialEq)]
pub struct Line {
    /// What it is about.
    pub title: String,
    /// A text for each source, in their order.
    pub cells: Vec<String>,
}

const NOT_KNOWN: &str = "not known";

fn shown(value: Option<f64>, unit: fn(f64) -> String) -> String {
    value.map_or_else(|| NOT_KNOWN.to_owned(), unit)
}

fn line(title: impl Into<String>, all: &[Contender], cell: impl Fn(&Contender) -> String) -> Line {
    Line { title: title.into(), cells: all.iter().map(cell).collect() }
}

/// Of a generator; a dash for what burns nothing.
fn burnt(c: &Contender, text: impl FnOnce() -> String) -> String {
    if c.part.kind == PartKind::Generator { text() } else { "–".to_owned() }
}

/// Whether a source fits a tray, and by how much: `fits: 44 mm to spare on each side along, …`.
fn fit(c: &Contender, tray: &Tray) -> String {
    let found = placing(&c.part, tray).and_then(|fits| fits.into_iter().next());
    let text = found.map_or_else(
        || "not known: its size is not stated".to_owned(),
        |f| format!("{}: {} ({})", f.verdict(), f.words(), f.turn.words()),
    );
    if c.pair { format!("each of the two by itself: {text}") } else { text }
}

/// What holds in every condition: ratings, a day’s fuel, noise at a distance in metres, weight, and the fit in each tray.
#[must_use]
pub fn of_sets(installation: &Installation, all: &[Contender], at_m: f64) -> Vec<Line> {
    let system = installation.system;
    let mut out = vec![
        line("Running", all, |c| shown(c.part.run_w(system), watts)),
        line("Starting", all, |c| shown(c.part.start_w(system), watts)),
        line("Fuel a day", all, |c| {
            burnt(c, || c.day.as_ref().map_or_else(|| NOT_KNOWN.to_owned(), |d| range(d.litres, d.litres_high, 2, "L")))
        }),
        line("Days on the fuel aboard", all, |c| {
            burnt(c, || c.day.as_ref().map_or_else(|| NOT_KNOWN.to_owned(), |d| range(d.days, d.days_low, 1, "days")))
        }),
        line(format!("Noise at {} m", trimmed(at_m, 2)), all, |c| {
            level(&c.part, at_m).map_or_else(|| NOT_KNOWN.to_owned(), |db| format!("{db:.1} dB(A)"))
        }),
        line("Weight", all, |c| number(c.part.set_data.weight_kg, 1, "kg")),
    ];
    out.extend(installation.trays.iter().map(|tray| line(format!("In {}", tray.name), all, |c| fit(c, tray))));
    out
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

/// The figures of one condition.
#[must_use]
pub fn of_condition(installation: &Installation, all: &[Contender], condition: usize) -> Vec<Line> {
    let of = |title: &str, cell: &dyn Fn(&Stand) -> String| {
        line(title, all, |c| c.conditions.get(condition).map_or_else(String::new, cell))
    };
    let fuel = line("Fuel", all, |c| {
        let rate = c.conditions.get(condition).and_then(|s| s.endurance.as_ref());
        let rate = rate.and_then(|e| e.litres_per_hour.map(|l| (l, e.litres_per_hour_high)));
        burnt(c, || rate.map_or_else(|| NOT_KNOWN.to_owned(), |(low, high)| range(Some(low), high, 2, "L/h")))
    });
    let mut out = vec![
        of("Load", &|s| {
            let amps = s.rated.now.filter(|_| s.rated.in_amps).map_or_else(String::new, |a| format!(", {}", amps(a)));
            format!("{}{amps} ({})", shown(s.watts, watts), shown(s.rated.percent(), percent))
        }),
        of("Reserve", &|s| shown(s.rated.reserve(), s.rated.unit())),
        of("Best starting order", &|s| start(s.starts, s.start_margin_w, NOT_KNOWN)),
        of("Worst restart by itself", &|s| start(s.restarts, s.restart_margin_w, "nothing cycles, or not known")),
        of("Weakest outlet", &|s| match (s.weakest, s.weakest_v) {
            (Some((id, share)), Some(v)) => format!("{} {} ({})", installation.tag(id), volts(v), percent(share)),
            _ => NOT_KNOWN.to_owned(),
        }),
        of("Mean load", &|s| shown(s.mean_w, watts)),
        fuel,
        of("Combinations", &|s| {
            s.combinations.map_or_else(|| "more than could be counted".to_owned(), |n| n.to_string())
        }),
    ];
    if let Some(first) = all.first() {
        out.push(line(format!("Not possible on {}", first.name), all, |c| {
            let new = c.conditions.get(condition).map_or(0, |s| s.newly_possible.len());
            match new {
                0 if c.name == first.name => "–".to_owned(),
                0 => "none".to_owned(),
                n => n.to_string(),
            }
        }));
    }
    out
}

#[cfg(test)]
mod tests {
    use super::{NOT_KNOWN, shown, start};
    use crate::units::watts;

    #[test]
    fn a_start_is_said_with_its_margin() {
        for (holds, margin, wanted) in [
            (Some(true), Some(250.0), "starts, 250 W left"),
            (Some(false), Some(-120.0), "does not start, 120 W short"),
            // What is short is something else than watts.
            (Some(false), Some(300.0), "does not start"),
            (Some(false), Some(0.0), "does not start"),
            (Some(false), None, "does not start"),
            (Some(true), None, "starts"),
            (None, Some(10.0), "nothing starts"),
        ] {
            assert_eq!(start(holds, margin, "nothing starts"), wanted);
        }
    }

    #[test]
    fn what_is_not_known_is_said() {
        assert_eq!(shown(None, watts), NOT_KNOWN);
        assert_eq!(shown(Some(1200.0), watts), "1,200 W");
    }
}
