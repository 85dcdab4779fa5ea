//! `hullwire trial`: what meters showed, set against the drawing.

use super::json::{self, figure};
use super::solve_text::opening;
use super::subject::{Choice, Format, Subject, count, laid_out, open};
use super::text::{heading, paragraph, table};
use super::{Answer, findings};
use crate::installation::{Installation, ReadQuantity, Reading};
use crate::loads::trial::{Compared, Trial, take_over, trial, words};
use crate::store;
use crate::survey;
use crate::units;
use anyhow::bail;
use serde_json::{Map, Value, json};
use std::path::{Path, PathBuf};

/// Set what meters showed on the real boat against the drawing
#[derive(Debug, clap::Args)]
#[command(after_help = "\
Examples:
  hullwire trial boat.hullwire readings.csv
  hullwire trial boat.hullwire readings.csv --format json
  hullwire trial boat.hullwire readings.csv --take-over E3 -o measured.hullwire

READINGS.csv has one row a reading:

  on,at,quantity,value,step,rounding,rated_w
  E3,G1,percent,50,25,down,1800
  E3|E4,G1,watts,1640,10,nearest,

on: tags of what was on; everything else was off. quantity: watts, percent, volts, amps. step: of the display, 0 for exact.
rounding: down, nearest, unknown. Without READINGS.csv the readings that the drawing holds are taken.
Exit status: 0, or 2 for bad input or bad use.")]
pub struct Args {
    #[command(flatten)]
    choice: Choice,
    /// What the meters showed (CSV)
    readings: Option<PathBuf>,
    /// Write the drawing with the measured power of these appliances, marked as measured
    #[arg(long, value_name = "TAG[|TAG]", requires = "output")]
    take_over: Option<String>,
    /// The drawing that --take-over writes
    #[arg(short, long, value_name = "FILE.hullwire", requires = "take_over")]
    output: Option<PathBuf>,
    /// Tables for people, or one JSON object for programs
    #[arg(long, value_enum, default_value_t)]
    format: Format,
}

/// Carries it out.
pub fn run(args: &Args) -> anyhow::Result<Answer> {
    let subject = Subject::read(&args.choice)?;
    let installation = &subject.installation;
    let readings = match &args.readings {
        Some(path) => store::open_readings(path, installation)?,
        None if installation.readings.is_empty() => {
            bail!(
                "the drawing holds no readings; valid: a list of readings as the second file (`hullwire trial --help`)"
            )
        }
        None => installation.readings.clone(),
    };
    let said = trial(installation, subject.condition, &readings);
    let cautions = survey::cautions(installation);
    let written = written(args, installation, &readings, &said)?;
    let out = match args.format {
        Format::Json => {
            let mut object = to_json(installation, &said);
            let texts: Vec<Value> = cautions.iter().map(|c| c.text().into()).collect();
            object.insert("cautions".to_owned(), texts.into());
            json::print(object)?
        }
        Format::Table => {
            opening(&subject) + &to_text(installation, &readings, &said) + &written + &findings::cautions(&cautions)
        }
    };
    Ok(Answer { out, err: subject.notes.clone(), ..Answer::default() })
}

/// Takes measured powers over into a drawing that is written; what was done, in words.
fn written(args: &Args, installation: &Installation, readings: &[Reading], said: &Trial) -> anyhow::Result<String> {
    let (Some(asked), Some(output)) = (&args.take_over, &args.output) else { return Ok(String::new()) };
    if args.choice.file == Path::new("-") {
        bail!("--take-over: the drawing came from standard input; valid: a file, which is read again");
    }
    // Read again: without --as-is and --feeding, which are for the question alone.
    let mut next = laid_out(open(&args.choice.file)?);
    next.readings = readings.to_vec();
    let mut taken = 0;
    for tag in asked.split('|').map(str::trim) {
        let draws = installation.part_by_tag(tag).and_then(|id| said.appliances.get(&id).map(|d| (id, d)));
        let Some((id, draws)) = draws else {
            let valid: Vec<&str> = said.appliances.keys().map(|id| installation.tag(*id)).collect();
            bail!("--take-over: “{tag}” was not on in any reading; valid: {}", valid.join(", "));
        };
        let Some(edit) = take_over(&next, id, draws) else {
            bail!(
                "--take-over: the readings leave no range above 0 for {tag}; valid: one that they narrow from both sides"
            );
        };
        next = next.apply(&edit)?.installation;
        taken += 1;
    }
    store::save(output, &next, true)?;
    Ok(format!("\n{} written: {} taken over as measured.\n", output.display(), count(taken, "figure")))
}

fn to_json(installation: &Installation, said: &Trial) -> Map<String, Value> {
    let appliances: Map<String, Value> = said
        .appliances
        .iter()
        .map(|(id, d)| {
            let value = json!({
                "watts_low": figure(d.watts_low),
                "watts_high": figure(d.watts_high),
                "nameplate_watts": figure(d.nameplate_w),
                "nameplate_possible": d.nameplate_possible,
                "rows": d.rows,
            });
            (installation.tag(*id).to_owned(), value)
        })
        .collect();
    let compared: Vec<Value> = said
        .compared
        .iter()
        .map(|c| {
            json!({
                "row": c.row,
                "at": installation.tag(c.at),
                "quantity": words::shown_as(c.quantity).slug(),
                "read_low": c.read.0,
                "read_high": c.read.1,
                "expected": figure(c.expected),
                "agrees": c.agrees,
            })
        })
        .collect();
    let notes: Vec<Value> = said.notes.iter().map(|(row, text)| json!({ "row": row, "text": text })).collect();
    let mut object = Map::new();
    object.insert("consistent".to_owned(), json!(said.consistent));
    object.insert("contradiction".to_owned(), json!(said.contradiction));
    object.insert("smallest".to_owned(), json!(said.smallest));
    object.insert("appliances".to_owned(), appliances.into());
    object.insert("readings".to_owned(), compared.into());
    object.insert("notes".to_owned(), notes.into());
    object
}

fn compared_row(installation: &Installation, readings: &[Reading], c: &Compared) -> Vec<String> {
    let reading = readings.get(c.row - 1).map_or_else(String::new, |r| store::reading_words(installation, r));
    let verdict = match c.agrees {
        Some(true) => "within it",
        Some(false) => "outside it",
        None => "not known",
    };
    let expected = c.expected.map_or_else(|| "not known".to_owned(), |v| words::amount(c.quantity, v));
    vec![c.row.to_string(), reading, words::range(c.quantity, c.read), expected, verdict.to_owned()]
}

fn to_text(installation: &Installation, readings: &[Reading], said: &Trial) -> String {
    let rows = said.compared.iter().map(|c| compared_row(installation, readings, c)).collect();
    let columns = [">Row", "Reading", ">Truly", ">The drawing says", ""];
    let mut out = heading("Readings") + &table(&columns, rows);
    for (row, note) in &said.notes {
        out += &paragraph(&format!("Row {row}: {note}."), 2);
    }
    out += &heading("Appliances");
    if !said.consistent {
        let rows: Vec<String> = said.contradiction.iter().map(ToString::to_string).collect();
        let smallest = if said.smallest {
            "no smaller set of readings does"
        } else {
            "a smaller set was not looked for to the end"
        };
        let text = match rows.as_slice() {
            [one] => format!("The reading in row {one} contradicts the drawing: no powers agree with it."),
            many => format!(
                "The readings in rows {} contradict each other ({smallest}); no powers are shown.",
                many.join(", ")
            ),
        };
        return out + &paragraph(&text, 2);
    }
    let rows = said
        .appliances
        .iter()
        .map(|(id, d)| {
            let draws = match (d.watts_low, d.watts_high) {
                (Some(low), Some(high)) => words::range(ReadQuantity::Watts, (low, high)),
                (Some(low), None) if low > 0.0 => format!("{} or more", units::watts(low)),
                _ => "not narrowed".to_owned(),
            };
            let plate = d.nameplate_w.map_or_else(|| "not known".to_owned(), units::watts);
            let verdict = match d.nameplate_possible {
                Some(true) => "may be true",
                Some(false) => "cannot be true",
                None => "",
            };
            vec![installation.parts.get(id).map_or_else(String::new, |p| p.name()), draws, plate, verdict.to_owned()]
        })
        .collect();
    out + &table(&["Appliance", ">Must draw", ">In the drawing", ""], rows)
}
