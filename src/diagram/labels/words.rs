//! What the labels say.

use crate::diagram::overlay::{Options, Overlay, Peak};
use crate::diagram::pen::size;
use crate::diagram::status::{Status, finite};
use crate::installation::{
    CableData, CableId, Conductor, Installation, Leg, Origin, Part, PartId, PartKind, Property, SpaceKind,
};
use crate::network::Solution;
use crate::units::{amps, length, percent, trimmed, watts};
use std::collections::BTreeMap;

/// Where the values of a part or cable come from.
pub type Origins = BTreeMap<Property, Origin>;

/// A value with the sign of its origin, so that what is assumed shows what to measure first.
#[must_use]
pub fn signed(origins: &Origins, property: Property, text: String) -> String {
    Origin::signed(origins.get(&property).copied(), text)
}

/// All that words are made from.
#[derive(Clone, Copy, Debug)]
pub struct Words<'a> {
    /// The document.
    pub installation: &'a Installation,
    /// The solved figures.
    pub solution: &'a Solution,
    /// Findings and gauges.
    pub overlay: &'a Overlay,
    /// How it is drawn.
    pub options: Options,
    /// All labels as small as the smallest.
    pub tight: bool,
}

impl Words<'_> {
    /// The height of capitals that stands for a usual height.
    #[must_use]
    pub fn size(&self, usual: f64) -> f64 {
        let usual = if self.tight { usual.min(size::SMALL) } else { usual };
        usual * f64::from(self.options.text_percent) / 100.0
    }

    /// Size and length of a cable: `14 AWG · 6.0 m`; what is not known is said, and what is assumed has its sign.
    #[must_use]
    pub fn make(&self, data: &CableData, origins: &Origins) -> Option<String> {
        let size = match data.conductor {
            Conductor::None => return None,
            Conductor::Unknown => "size not known".to_owned(),
            Conductor::Size(size) => signed(origins, Property::Conductor, size.to_string().replace("mm2", "mm²")),
        };
        let long = |m| signed(origins, Property::LengthM, length(m, self.options.feet));
        let long = data.length_m.map_or_else(|| "length not known".to_owned(), long);
        if data.conductor == Conductor::Unknown && data.length_m.is_none() {
            return Some("size, length not known".to_owned());
        }
        Some(format!("{size} · {long}"))
    }

    /// What a cable carries: `10.3 A · 1.1 %`, `0 A, live`, or that it is not fed. `None` where nothing is computed.
    #[must_use]
    pub fn carries(&self, id: CableId, status: Status) -> Option<String> {
        if self.options.without_figures {
            return None;
        }
        match status {
            Status::Plain => None,
            Status::MayBeLive => Some("may be live".to_owned()),
            Status::NotFed => Some("not fed".to_owned()),
            Status::Fed => {
                let flow = self.solution.cables.get(&id);
                let Some(current) = finite(flow.and_then(|f| f.amps)) else { return Some("not solved".to_owned()) };
                if current.abs() < 0.05 {
                    return Some("0 A, live".to_owned());
                }
                let drop = finite(flow.and_then(|f| f.drop_volts)).map(|v| percent(100.0 * v / self.across(id)));
                let drop = drop.map_or_else(|| "drop not known".to_owned(), |d| d.replace('-', "−"));
                Some(format!("{} · {drop}", amps(current)))
            }
        }
    }

    /// Nominal volts between the conductors of a cable.
    fn across(&self, id: CableId) -> f64 {
        let leg = self.installation.cables.get(&id).and_then(|c| self.solution.walk.legs.get(&c.to));
        let lines = if matches!(leg, Some(Leg::L1L2 | Leg::L1L2N)) { 2.0 } else { 1.0 };
        lines * self.installation.system.nominal_v()
    }

    /// Ratings of a source.
    #[must_use]
    pub fn source_ratings(&self, part: &Part) -> String {
        if part.kind == PartKind::ShoreInlet {
            let rating = |a| signed(&part.origins, Property::RatingA, format!("{} A", trimmed(a, 1)));
            let rating = part.rating_a.map_or_else(|| "rating not known".to_owned(), rating);
            return match self.make(&part.cord, &part.origins) {
                Some(cord) => format!("{rating} · cord {cord}"),
                None => format!("{rating} · cord not counted"),
            };
        }
        let system = self.installation.system;
        let run = |w| signed(&part.origins, Property::RunW, format!("{} run", watts(w)));
        let start = |w| signed(&part.origins, Property::StartW, format!("{} start", watts(w)));
        match (part.run_w(system).map(run), part.start_w.map(start)) {
            (None, None) => "running, start power not known".to_owned(),
            (Some(run), None) => format!("{run} · start not known"),
            (None, Some(start)) => format!("run not known · {start}"),
            (Some(run), Some(start)) => format!("{run} · {start}"),
        }
    }

    /// A generator that is carried, with its fuel and where it is; true where that is a hazard by itself.
    #[must_use]
    pub fn source_words(&self, id: PartId, part: &Part) -> Option<(String, bool)> {
        match part.kind {
            PartKind::Generator => {
                let fuel = part.fuel.slug();
                if !part.portable {
                    return Some((format!("built in, {fuel}"), false));
                }
                let aboard = self.installation.space_of(id) != SpaceKind::Ashore;
                let place = if aboard { "aboard" } else { "ashore" };
                Some((format!("portable, {fuel}, {place}"), aboard))
            }
            PartKind::Inverter if self.installation.is_inverter_charger(id) => {
                Some(("inverter-charger".to_owned(), false))
            }
            _ => None,
        }
    }

    /// Gauges of a source: word, figure, share.
    #[must_use]
    pub fn gauges(&self, id: PartId, part: &Part) -> Vec<(&'static str, String, Option<f64>)> {
        if self.options.without_figures {
            return Vec::new();
        }
        let peak = match self.overlay.peaks.get(&id) {
            Some(peak) => *peak,
            None => {
                let Some(flow) = self.solution.sources.get(&id) else { return Vec::new() };
                let run_rating_w = part.run_w(self.installation.system);
                Peak { run_w: flow.watts, run_rating_w, ..Peak::default() }
            }
        };
        let mut out = vec![gauge("running", peak.run_w, peak.run_rating_w)];
        if self.overlay.peaks.contains_key(&id) && !(part.kind == PartKind::ShoreInlet && peak.peak_rating_w.is_none())
        {
            out.push(gauge("starting", peak.peak_w, peak.peak_rating_w));
        }
        out
    }

    /// Rating and leakage protection, after the tag of a breaker.
    #[must_use]
    pub fn breaker_rating(part: &Part) -> Option<String> {
        let rating = |a| signed(&part.origins, Property::RatingA, format!("{} A", trimmed(a, 1)));
        let mut text = part.rating_a.map(rating)?;
        if let Some(ma) = part.protection.trip_ma() {
            text.push_str(&format!(" · {} mA", trimmed(ma, 0)));
        }
        Some(text)
    }
}

fn gauge(word: &'static str, figure: Option<f64>, rating: Option<f64>) -> (&'static str, String, Option<f64>) {
    match (finite(figure), finite(rating).filter(|r| *r > 0.0)) {
        (Some(f), Some(r)) => (word, percent_of(f, r), Some((f / r).max(0.0))),
        (Some(f), None) => (word, format!("{}, rating not known", watts(f)), None),
        (None, _) => (word, "not known".to_owned(), None),
    }
}

fn percent_of(figure: f64, rating: f64) -> String {
    format!("{} · {} %", watts(figure), trimmed(100.0 * figure / rating, 0))
}
