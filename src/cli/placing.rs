//! `hullwire placing`: whether a set fits a tray, and how loud it is at a distance.

use super::json::{self, figure};
use super::subject::{Choice, Format, Subject};
use super::text::{heading, paragraph, table};
use super::{Answer, findings};
use crate::installation::{BoxSize, Installation, Part, PartId, PartKind, Tray};
use crate::loads::noise::{all_together, level};
use crate::loads::placing::{ASHORE, placing};
use crate::survey;
use crate::tables;
use crate::units::{self, trimmed};
use anyhow::{Context, bail};
use serde_json::{Map, Value, json};

/// Say whether a set fits a tray with its clearances, and how loud it is at a distance
#[derive(Debug, clap::Args)]
#[command(after_help = "\
Examples:
  hullwire placing boat.hullwire
  hullwire placing boat.csv --tray “Stern locker=700x450x500” --at 20

Only lengths are compared: that a set fits says nothing about running it there. Sound pressure in the open falls by 6 dB for
each doubling of the distance; several sets are added by energy.
Exit status: 0, or 2 for bad input or bad use.")]
pub struct Args {
    #[command(flatten)]
    choice: Choice,
    /// A tray besides those of the file, by its clear inner size in mm; repeat it for more
    #[arg(long, value_name = "NAME=LxWxH")]
    tray: Vec<String>,
    /// Distance for the sound, in metres
    #[arg(long, value_name = "METRES", default_value = "7")]
    at: String,
    /// Tables for people, or one JSON object for programs
    #[arg(long, value_enum, default_value_t)]
    format: Format,
}

/// Carries it out.
pub fn run(args: &Args) -> anyhow::Result<Answer> {
    let subject = Subject::read(&args.choice)?;
    let installation = &subject.installation;
    let mut trays = installation.trays.clone();
    for asked in &args.tray {
        trays.push(tray(asked)?);
    }
    let at = distance(&args.at)?;
    let sets: Vec<(PartId, &Part)> = installation
        .parts
        .iter()
        .filter(|(_, p)| p.kind == PartKind::Generator || p.set_data.size.is_some())
        .map(|(id, p)| (*id, p.as_ref()))
        .collect();
    let cautions = survey::cautions(installation);
    let out = match args.format {
        Format::Json => {
            let mut object = Map::new();
            let values: Map<String, Value> =
                sets.iter().map(|(_, part)| (part.tag.clone(), set_json(part, &trays, at))).collect();
            object.insert("sets".to_owned(), values.into());
            object.insert("distance_m".to_owned(), json!(at));
            object.insert("together_db".to_owned(), figure(all_together(sets.iter().map(|(_, p)| *p), at)));
            let mut texts: Vec<Value> = cautions.iter().map(|c| c.text().into()).collect();
            texts.push(ASHORE.into());
            object.insert("cautions".to_owned(), texts.into());
            json::print(object)?
        }
        Format::Table => text(installation, &sets, &trays, at) + &paragraph(ASHORE, 0) + &findings::cautions(&cautions),
    };
    Ok(Answer { out, err: subject.notes.clone(), ..Answer::default() })
}

/// A distance as asked for on the command line, in metres.
pub fn distance(asked: &str) -> anyhow::Result<f64> {
    let metres = units::parse_quantity(asked, units::Quantity::Length).ok().filter(|m| *m > 0.0);
    metres.with_context(|| format!("--at: found “{asked}”; valid: metres above 0, such as 20"))
}

fn tray(asked: &str) -> anyhow::Result<Tray> {
    let parts = asked.rsplit_once('=').map(|(name, size)| (name.trim(), BoxSize::parse(size)));
    match parts {
        Some((name, Some(inner))) if !name.is_empty() => Ok(Tray { name: name.to_owned(), inner, open_above: false }),
        _ => bail!("--tray: found “{asked}”; valid: a name, “=” and {}", BoxSize::HINT),
    }
}

fn set_json(part: &Part, trays: &[Tray], at_m: f64) -> Value {
    let places: Vec<Value> = trays
        .iter()
        .map(|tray| {
            let best = placing(part, tray).and_then(|fits| fits.into_iter().next());
            let spare = best.as_ref().map_or([None; 3], |fit| fit.spare_mm);
            json!({
                "tray": tray.name,
                "fits": best.as_ref().and_then(|fit| fit.fits),
                "turn": best.as_ref().map(|fit| fit.turn.words()),
                "spare_mm": { "length": figure(spare[0]), "width": figure(spare[1]), "height": figure(spare[2]) },
            })
        })
        .collect();
    json!({ "trays": places, "db": figure(level(part, at_m)), "weight_kg": figure(part.set_data.weight_kg) })
}

fn text(installation: &Installation, sets: &[(PartId, &Part)], trays: &[Tray], at_m: f64) -> String {
    let mut out = heading("Trays");
    if trays.is_empty() {
        out += &paragraph("No tray is stated; --tray names one.", 2);
    }
    let mut rows = Vec::new();
    for (_, part) in sets {
        for tray in trays {
            let (word, turn, detail) = match placing(part, tray).and_then(|fits| fits.into_iter().next()) {
                None => ("not known: its size is not stated", "", String::new()),
                Some(fit) => (fit.verdict(), fit.turn.words(), fit.words()),
            };
            rows.push(vec![part.name(), tray.name.clone(), word.to_owned(), turn.to_owned(), detail]);
        }
    }
    if !rows.is_empty() {
        out += &table(&["Set", "Tray", "", "Turned", "Room"], rows);
    }
    out += &heading("Sound in the open");
    let shown = |level: Option<f64>| level.map_or_else(|| "not known".to_owned(), |l| format!("{l:.1} dB(A)"));
    let mut rows: Vec<Vec<String>> =
        sets.iter().map(|(id, part)| vec![installation.tag(*id).to_owned(), shown(level(part, at_m))]).collect();
    if sets.len() > 1 {
        rows.push(vec!["All together".to_owned(), shown(all_together(sets.iter().map(|(_, p)| *p), at_m))]);
    }
    let column = format!(">At {} m", trimmed(at_m, 2));
    out += &table(&["Set", &column], rows);
    if let Some(limit) = tables::get().noise("park_limit") {
        let (level, source, mark) = (trimmed(limit.value, 0), &limit.source, limit.mark.words());
        out += &paragraph(
            &format!("For comparison: {level} dB(A) at 15.24 m in US national parks ({source}, {mark})."),
            2,
        );
    }
    out
}
