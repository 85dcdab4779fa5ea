//! `--with-tolerance`: each figure as a band, and findings that are close to their limit.

use super::json::finding;
use super::subject::{Subject, count};
use super::text::{heading, paragraph, signalled, table};
use crate::installation::{CableId, Installation, PartId};
use crate::network::{Bands, CableBand, Rated, Solution, Span, Tolerances, bands};
use crate::survey::{self, Closeness, Survey};
use crate::units::{self, trimmed};
use anyhow::bail;
use serde_json::{Map, Value, json};

/// What the drawing's figures may be off by.
#[derive(Clone, Debug, clap::Args)]
pub struct Tolerance {
    /// Show what figures may be on the boat, as far as lengths, temperatures, contacts and loads differ from the drawing
    #[arg(long)]
    with_tolerance: bool,
    /// Length of every cable, either way, per cent [default: 10]
    #[arg(long, value_name = "PERCENT", requires = "with_tolerance")]
    length_tolerance: Option<f64>,
    /// What every appliance draws, either way, per cent [default: 10]
    #[arg(long, value_name = "PERCENT", requires = "with_tolerance")]
    load_tolerance: Option<f64>,
    /// Kelvin by which conductors may be cooler than the working temperature of the solve [default: 45]
    #[arg(long, value_name = "KELVIN", requires = "with_tolerance")]
    cooler: Option<f64>,
    /// Kelvin by which they may be hotter [default: 0]
    #[arg(long, value_name = "KELVIN", requires = "with_tolerance")]
    hotter: Option<f64>,
    /// Most milliohms that the contact at each end of each conductor adds [default: 1]
    #[arg(long, value_name = "MILLIOHM", requires = "with_tolerance")]
    contact: Option<f64>,
    /// Random samples for findings that are close to their limit, besides the corners [default: 64]
    #[arg(long, value_name = "COUNT", requires = "with_tolerance", value_parser = clap::value_parser!(u32).range(0..=100_000))]
    samples: Option<u32>,
    /// Where the random samples start: the same seed gives the same samples [default: 1]
    #[arg(long, value_name = "NUMBER", requires = "with_tolerance")]
    seed: Option<u64>,
}

/// What tolerances come to.
pub struct Within {
    tolerances: Tolerances,
    seed: u64,
    bands: Option<Bands>,
    closeness: Closeness,
}

impl Tolerance {
    fn tolerances(&self) -> anyhow::Result<Tolerances> {
        let usual = Tolerances::default();
        let share = |given: Option<f64>, usual: f64| given.map_or(usual, |percent| percent / 100.0);
        let tolerances = Tolerances {
            length: share(self.length_tolerance, usual.length),
            load: share(self.load_tolerance, usual.load),
            cooler_k: self.cooler.unwrap_or(usual.cooler_k),
            hotter_k: self.hotter.unwrap_or(usual.hotter_k),
            contact_ohm: self.contact.map_or(usual.contact_ohm, |milliohm| milliohm / 1000.0),
        };
        if let Some((what, given, valid)) = tolerances.fault() {
            let (option, scale, valid) = match what {
                "length" => ("--length-tolerance", 100.0, "0 to less than 100"),
                "load" => ("--load-tolerance", 100.0, "0 to less than 100"),
                "contact" => ("--contact", 1000.0, "0 to 1000"),
                "cooler" => ("--cooler", 1.0, valid),
                _ => ("--hotter", 1.0, valid),
            };
            bail!("{option}: “{}” is out of range; valid: {valid}", trimmed(given * scale, 6));
        }
        Ok(tolerances)
    }

    /// What the tolerances come to, where they are asked for.
    pub fn within(&self, subject: &Subject, solution: &Solution, survey: &Survey) -> anyhow::Result<Option<Within>> {
        if !self.with_tolerance {
            return Ok(None);
        }
        let tolerances = self.tolerances()?;
        let installation = &subject.installation;
        let (seed, random) = (self.seed.unwrap_or(1), self.samples.unwrap_or(64));
        let random = usize::try_from(random).unwrap_or(0);
        Ok(Some(Within {
            tolerances,
            seed,
            bands: bands(installation, solution, &tolerances),
            closeness: survey::close(installation, solution, survey, &tolerances, random, seed),
        }))
    }
}

const NO_BANDS: &str =
    "No bands: there are no figures, or within these tolerances a load may be at or near what its cables can carry.";

impl Within {
    /// The tolerances in a sentence.
    fn stated(&self) -> String {
        let t = &self.tolerances;
        let percent = |share: f64| trimmed(100.0 * share, 3);
        format!(
            "Each cable's length ± {} %, its conductors up to {} K cooler and {} K hotter than the working temperature, up \
             to {} mΩ more at each end of each conductor; each load ± {} % (an unknown one stays unknown). The default \
             tolerances are common practice, no source.",
            percent(t.length),
            trimmed(t.cooler_k, 3),
            trimmed(t.hotter_k, 3),
            trimmed(1000.0 * t.contact_ohm, 3),
            percent(t.load)
        )
    }

    fn sampled(&self) -> String {
        format!(
            "By a survey of {} (corners, and random ones from seed {}): an estimate, no bound.",
            count(self.closeness.samples, "sample"),
            self.seed
        )
    }

    /// The bands as tables.
    pub fn tables(&self, installation: &Installation) -> String {
        let mut out = heading("Within tolerances") + &paragraph(&self.stated(), 2);
        let Some(bands) = &self.bands else { return out + &paragraph(NO_BANDS, 2) };
        out += &paragraph(
            "The bands are bounds, by interval arithmetic: every boat within the tolerances lies within.",
            2,
        );
        let rows = bands.sources.iter().map(|(id, b)| {
            let rated = installation.parts.get(id).map(|p| Rated::of(p, installation.system, None));
            vec![
                installation.tag(*id).to_owned(),
                shown(b.watts, units::watts),
                shown(b.va, units::va),
                lines(b.lines.filter(|_| installation.system.is_split_phase()), b.amps),
                shown(rated.and_then(|r| b.of_rating(r)), units::percent),
            ]
        });
        out += &(heading("Sources within tolerances")
            + &table(&["Source", ">Power", ">Apparent", ">Current", ">Load"], rows.collect()));
        let rows = bands.parts.iter().map(|(id, b)| {
            vec![
                installation.tag(*id).to_owned(),
                shown(b.volts, units::volts),
                shown(b.amps, units::amps),
                shown(b.drop_percent, units::percent),
            ]
        });
        out += &(heading("Parts within tolerances") + &table(&["Tag", ">Volts", ">Current", ">Drop"], rows.collect()));
        let rows: Vec<Vec<String>> = cables(installation, bands)
            .filter(|(_, b)| b.ohms.is_none_or(|o| o.most > 0.0))
            .map(|(to, b)| {
                vec![
                    installation.tag(to).to_owned(),
                    shown(b.ohms, milliohms),
                    shown(b.amps, units::amps),
                    shown(b.drop_volts, units::volts),
                    shown(b.loss_watts, units::watts),
                ]
            })
            .collect();
        if !rows.is_empty() {
            let columns = ["Cable to", ">Out and back", ">Current", ">Drop", ">Loss"];
            out += &(heading("Cables within tolerances") + &table(&columns, rows));
        }
        out
    }

    /// The findings that are close.
    pub fn findings(&self, installation: &Installation) -> String {
        let mut out = heading("Close to a limit");
        if self.closeness.samples == 0 {
            return out + &paragraph("Not sampled: there are no figures, or there is no tolerance.", 2);
        }
        if self.closeness.close.is_empty() {
            out += &paragraph("No finding appears or goes within the tolerances.", 2);
        }
        for close in &self.closeness.close {
            let parts: Vec<&str> = close.finding.parts.iter().map(|id| installation.tag(*id)).collect();
            let (with, of) = (close.with, self.closeness.samples);
            let standing = if close.holds { "Holds as drawn" } else { "Does not hold as drawn" };
            let worse = if close.worst > close.finding.severity {
                format!("; as much as {} there", close.worst.word())
            } else {
                String::new()
            };
            // What the drawing has stands among the findings in full.
            let says = if close.holds { String::new() } else { format!(" One of them: {}", close.finding.message) };
            let text = format!(
                "{} on {}: close. {standing}; in {with} of {of} samples{worse}.{says}",
                close.finding.rule,
                parts.join(", ")
            );
            out += &signalled(close.finding.severity, &text);
        }
        out + &paragraph(&self.sampled(), 2)
    }

    /// Everything of it for a program: `bands` only where they are asked for.
    pub fn json(&self, installation: &Installation, with_bands: bool) -> Value {
        let t = &self.tolerances;
        let mut object = Map::new();
        let mut put = |key: &str, value: Value| object.insert(key.to_owned(), value);
        put("length_percent", json!(100.0 * t.length));
        put("load_percent", json!(100.0 * t.load));
        put("cooler_k", json!(t.cooler_k));
        put("hotter_k", json!(t.hotter_k));
        put("contact_milliohm", json!(1000.0 * t.contact_ohm));
        put("basis", json!(self.stated()));
        put("samples", json!(self.closeness.samples));
        put("seed", json!(self.seed));
        let close = self.closeness.close.iter().map(|c| {
            let mut one = finding(installation, &c.finding);
            one.insert("close".to_owned(), json!(true));
            one.insert("holds".to_owned(), json!(c.holds));
            one.insert("in_samples".to_owned(), json!(c.with));
            one.insert("worst".to_owned(), json!(c.worst.word()));
            Value::Object(one)
        });
        put("close", close.collect());
        if with_bands {
            put("bands", self.bands.as_ref().map_or(Value::Null, |bands| bands_json(installation, bands)));
        }
        object.into()
    }
}

/// A band as a pair; null where there is none.
fn pair(span: Option<Span>) -> Value {
    span.map_or(Value::Null, |s| json!([s.least, s.most]))
}

fn bands_json(installation: &Installation, bands: &Bands) -> Value {
    let split = installation.system.is_split_phase();
    let tag = |id: PartId| installation.tag(id).to_owned();
    let legs = |mut object: Value, lines: Option<[Span; 3]>| {
        if let Some(lines) = lines.filter(|_| split) {
            for (key, line) in ["amps_l1", "amps_l2", "amps_neutral"].into_iter().zip(lines) {
                object[key] = pair(Some(line));
            }
        }
        object
    };
    let sources: Map<String, Value> = bands
        .sources
        .iter()
        .map(|(id, b)| {
            let object = json!({
                "watts": pair(b.watts), "va": pair(b.va), "amps": pair(b.amps), "load_percent": pair(b.load_percent),
            });
            (tag(*id), legs(object, b.lines))
        })
        .collect();
    let parts: Map<String, Value> = bands
        .parts
        .iter()
        .map(|(id, b)| {
            let object = json!({ "volts": pair(b.volts), "amps": pair(b.amps), "drop_percent": pair(b.drop_percent) });
            (tag(*id), legs(object, b.lines))
        })
        .collect();
    let cables: Map<String, Value> = cables(installation, bands)
        .map(|(to, b)| {
            let object = json!({
                "amps": pair(b.amps), "ohms": pair(b.ohms), "drop_volts": pair(b.drop_volts),
                "loss_watts": pair(b.loss_watts),
            });
            (tag(to), object)
        })
        .collect();
    json!({ "sources": sources, "parts": parts, "cables": cables })
}

/// Cables in use and cords, by the part that they feed.
fn cables<'a>(installation: &'a Installation, bands: &'a Bands) -> impl Iterator<Item = (PartId, &'a CableBand)> {
    let to = |id: &CableId| installation.cables.get(id).map(|c| c.to);
    let feeds = bands.cables.iter().filter_map(move |(id, b)| Some((to(id)?, b)));
    feeds.chain(bands.cords.iter().map(|(id, b)| (*id, b)))
}

fn milliohms(ohms: f64) -> String {
    if ohms.is_finite() { format!("{:.1} mΩ", 1000.0 * ohms) } else { "not known".to_owned() }
}

fn shown(span: Option<Span>, unit: fn(f64) -> String) -> String {
    span.map_or_else(|| unit(f64::NAN), |s| units::band(s.least, s.most, unit))
}

fn lines(lines: Option<[Span; 3]>, amps: Option<Span>) -> String {
    match lines {
        Some([l1, l2, n]) => {
            let of = |s| shown(Some(s), units::amps);
            format!("L1 {}, L2 {}, N {}", of(l1), of(l2), of(n))
        }
        None => shown(amps, units::amps),
    }
}
