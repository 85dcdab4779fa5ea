//! What the labels say.

use crate::diagram::overlay::{Options, Overlay, Peak};
use crate::diagram::pen::size;
use crate::diagram::status::{Status, finite};
use crate::installation::{
    CableData, CableId, Conductor, Installation, Leg, Origin, Part, PartId, PartKind, Property, SpaceKind,
};
use crate::network::{Rated, Solution};
use crate::units::{amps, length, percent, trimmed, watts};
use std::collections::BTreeMap;

/// Where the values of a part or cable come from.
pub type Origins = BTreeMap<Property, Origin>;

/// A value with the sign of its origin, so that what is assumed shows what to measure first.
#[must_use]
pub fn signed(origins: &Origins, property: Property, text: String) -> String {
    Origin::signed(origins.get(&property).copied(), text)
}

/// A current below this is shown as none.
const LEAST_AMPS: f64 = 0.05;

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
                if current.abs() < LEAST_AMPS {
                    return Some("0 A, live".to_owned());
                }
                let drop = finite(flow.and_then(|f| f.drop_volts)).zip(self.installation.cables.get(&id));
                let drop = drop.map(|(v, cable)| drop_percent(v, self.across(cable.to)));
                let drop = drop.unwrap_or_else(|| "drop not known".to_owned());
                Some(format!("{} · {drop}", amps(current)))
            }
        }
    }

    /// Nominal volts between the conductors that feed a part.
    fn across(&self, id: PartId) -> f64 {
        let lines = if matches!(self.solution.walk.legs.get(&id), Some(Leg::L1L2 | Leg::L1L2N)) { 2.0 } else { 1.0 };
        lines * self.installation.system.nominal_v()
    }

    /// Ratings of a source.
    #[must_use]
    pub fn source_ratings(&self, id: PartId, part: &Part) -> String {
        if part.kind == PartKind::ShoreInlet {
            let rating = |a| signed(&part.origins, Property::RatingA, format!("{} A", trimmed(a, 1)));
            let rating = part.rating_a.map_or_else(|| "rating not known".to_owned(), rating);
            let Some(cord) = self.make(&part.cord, &part.origins) else {
                return format!("{rating} · cord not counted");
            };
            let drop = self.cord_drop(id).map_or_else(String::new, |drop| format!(" · {drop}"));
            return format!("{rating} · cord {cord}{drop}");
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

    /// The drop in the shore cord, so that the drops on the drawing add up. `None` without figures or load.
    fn cord_drop(&self, id: PartId) -> Option<String> {
        if self.options.without_figures {
            return None;
        }
        let flow = self.solution.cords.get(&id)?;
        finite(flow.amps).filter(|amps| amps.abs() >= LEAST_AMPS)?;
        finite(flow.drop_volts).map(|v| drop_percent(v, self.across(id)))
    }

    /// What a generator or inverter is, with its own breaker; true where that is a hazard by itself.
    #[must_use]
    pub fn source_words(&self, id: PartId, part: &Part) -> Vec<(String, bool)> {
        let breaker = |a| signed(&part.origins, Property::RatingA, format!("{} A", trimmed(a, 1)));
        let breaker = part.rating_a.map_or_else(|| "not stated".to_owned(), breaker);
        let own = format!("own breaker {breaker}");
        match part.kind {
            PartKind::Generator if part.portable => {
                let aboard = self.installation.space_of(id) != SpaceKind::Ashore;
                let place = if aboard { "aboard" } else { "ashore" };
                vec![(format!("portable, {}, {place}", part.fuel.slug()), aboard), (own, false)]
            }
            PartKind::Generator => vec![(format!("built in, {} · {own}", part.fuel.slug()), false)],
            PartKind::Inverter if self.installation.is_inverter_charger(id) => {
                vec![(format!("inverter-charger · {own}"), false)]
            }
            PartKind::Inverter => vec![(own, false)],
            _ => Vec::new(),
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
                Peak { running: Rated::of(part, self.installation.system, Some(flow)), ..Peak::default() }
            }
        };
        let mut out = vec![gauge("running", peak.running)];
        if self.overlay.peaks.contains_key(&id) && !(part.kind == PartKind::ShoreInlet && peak.peak_rating_w.is_none())
        {
            out.push(gauge("starting", Rated { now: peak.peak_w, rating: peak.peak_rating_w, in_amps: false }));
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

/// A drop in per cent of the nominal volts between the conductors.
fn drop_percent(volts: f64, nominal: f64) -> String {
    percent(100.0 * volts / nominal).replace('-', "−")
}

fn gauge(word: &'static str, of: Rated) -> (&'static str, String, Option<f64>) {
    let unit = of.unit();
    match (finite(of.now), finite(of.share())) {
        (Some(now), Some(share)) => {
            (word, format!("{} · {} %", unit(now), trimmed(100.0 * share, 0)), Some(share.max(0.0)))
        }
        (Some(now), None) => (word, format!("{}, rating not known", unit(now)), None),
        (None, _) => (word, "not known".to_owned(), None),
    }
}
