//! Trip behaviour of a breaker: the band that its standard sets, and what the starts and short circuits behind it make of
//! it. [`trip_curve`] gives it as data for a time–current plot; the rules read the same [`Band`].

use super::context::Context;
use super::short::{FarEnds, Short};
use crate::installation::{Installation, PartId, Trip};
use crate::network::Solution;
use crate::tables::{self, BandPoint, BreakerClass};
use crate::units::{above, below, trimmed};

/// How long a start is taken to last where the appliance does not state it, in seconds: common practice, no source.
pub const ASSUMED_START_S: f64 = 1.0;

/// The shortest and the longest time of the plot, in seconds.
pub const PLOT_S: (f64, f64) = (0.01, 10_000.0);

/// What a breaker does with a current that flows for a time.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Verdict {
    /// The standard says that it holds.
    Holds,
    /// The standard leaves it open.
    MayTrip,
    /// The standard says that it trips.
    Trips,
}

impl Verdict {
    /// In words: `holds`, `may trip`, `trips`.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Holds => "holds",
            Self::MayTrip => "may trip",
            Self::Trips => "trips",
        }
    }
}

/// The band of one breaker: the test points of its standard, and what follows from them because more current never trips
/// later.
#[derive(Clone, Debug, PartialEq)]
pub struct Band {
    /// Class by standard.
    pub class: BreakerClass,
    /// Rated current in amperes.
    pub rating_a: f64,
    /// The points of the standard, by rising multiple, each with source and mark.
    pub points: Vec<BandPoint>,
}

impl Band {
    /// The band of a breaker of this trip class and rating.
    ///
    /// # Errors
    /// Says why there is none: a fuse, or a rating beyond the standard's table.
    pub fn new(trip: Trip, rating_a: f64) -> Result<Self, String> {
        let class = match trip {
            Trip::Us => BreakerClass::Ul489,
            Trip::B => BreakerClass::IecB,
            Trip::C => BreakerClass::IecC,
            Trip::D => BreakerClass::IecD,
            Trip::Fuse => return Err("it is a fuse: ask for its maker's curve".to_owned()),
        };
        let points: Vec<BandPoint> = tables::get().breaker_band(class, rating_a).into_iter().cloned().collect();
        if points.is_empty() {
            return Err(format!("{} has no rating of {} A", class.name(), trimmed(rating_a, 1)));
        }
        Ok(Self { class, rating_a, points })
    }

    /// Amperes that it must hold for so many seconds: the most of all points. Zero where no point says.
    #[must_use]
    pub fn holds_a(&self, seconds: f64) -> f64 {
        let holding = self.points.iter().filter(|p| p.holds_s.is_some_and(|s| s >= seconds));
        holding.map(|p| p.multiple * self.rating_a).fold(0.0, f64::max)
    }

    /// Amperes from which it must trip within so many seconds: the least of all points; `None` where no point says.
    #[must_use]
    pub fn trips_a(&self, seconds: f64) -> Option<f64> {
        let tripping = self.points.iter().filter(|p| p.trips_s.is_some_and(|s| s <= seconds));
        tripping.map(|p| p.multiple * self.rating_a).min_by(f64::total_cmp)
    }

    /// Seconds within which it must trip at this current; `None` where no point says.
    #[must_use]
    pub fn trips_within_s(&self, amps: f64) -> Option<f64> {
        let reached = self.points.iter().filter(|p| !below(amps, p.multiple * self.rating_a));
        reached.filter_map(|p| p.trips_s).min_by(f64::total_cmp)
    }

    /// The edges of its instantaneous band in amperes: up to the first it holds for 0.1 s, from the second on it trips
    /// within that. `None` where the standard has no such band (UL 489: ask for the maker's curve).
    #[must_use]
    pub fn at_once_a(&self) -> Option<(f64, f64)> {
        self.trips_a(AT_ONCE_S).map(|trips| (self.holds_a(AT_ONCE_S), trips))
    }

    /// What it does with a current that flows for so many seconds.
    #[must_use]
    pub fn verdict(&self, amps: f64, seconds: f64) -> Verdict {
        if !above(amps, self.holds_a(seconds)) {
            Verdict::Holds
        } else if self.trips_a(seconds).is_some_and(|a| !below(amps, a)) {
            Verdict::Trips
        } else {
            Verdict::MayTrip
        }
    }

    /// The edge below which it must hold, as corners (amperes, seconds) of a staircase from long times to short ones.
    /// A corner at infinity is cut at the end of the plot.
    fn hold_corners(&self) -> Vec<(f64, f64)> {
        let mut points: Vec<(f64, f64)> =
            self.points.iter().filter_map(|p| Some((p.multiple * self.rating_a, p.holds_s?.min(PLOT_S.1)))).collect();
        points.sort_by(|a, b| a.0.total_cmp(&b.0));
        let mut corners = Vec::new();
        for (i, &(amps, seconds)) in points.iter().enumerate() {
            if let Some(&(before, _)) = i.checked_sub(1).and_then(|j| points.get(j)) {
                corners.push((before, seconds));
            }
            corners.push((amps, seconds));
        }
        if let Some(&(amps, _)) = corners.last() {
            corners.push((amps, PLOT_S.0));
        }
        corners
    }

    /// The edge beyond which it must trip, the same way, ending at `most_a`.
    fn trip_corners(&self, most_a: f64) -> Vec<(f64, f64)> {
        let mut points: Vec<(f64, f64)> =
            self.points.iter().filter_map(|p| Some((p.multiple * self.rating_a, p.trips_s?))).collect();
        points.sort_by(|a, b| a.0.total_cmp(&b.0));
        let mut corners = Vec::new();
        let mut seconds = PLOT_S.1;
        for (amps, within) in points {
            corners.extend([(amps, seconds), (amps, within)]);
            seconds = within;
        }
        corners.push((most_a, seconds));
        corners
    }
}

/// "At once": the time of the instantaneous test points of IEC 60898-1 table 7, seconds.
const AT_ONCE_S: f64 = 0.1;

/// The start behind a breaker that adds most, all else behind it running.
#[derive(Clone, Debug, PartialEq)]
pub struct TripStart {
    /// The appliance that starts.
    pub appliance: PartId,
    /// Amperes through the breaker while it starts.
    pub amps: f64,
    /// Seconds that the start lasts; see [`ASSUMED_START_S`].
    pub seconds: f64,
    /// True where the appliance states them.
    pub stated: bool,
    /// What the breaker does with it.
    pub verdict: Verdict,
}

/// The weakest short circuit behind a breaker, up to the next one.
#[derive(Clone, Debug, PartialEq)]
pub struct TripFault {
    /// Where it is, how much flows, and what limits it.
    pub short: Short,
    /// What the breaker does with it within 0.1 s.
    pub at_once: Verdict,
    /// Seconds within which the standard says that it is cleared; `None` where it does not say.
    pub within_s: Option<f64>,
}

/// A breaker's band with what happens behind it, ready for a plot of time in seconds over current in amperes, both axes
/// logarithmic. Between the two edges the standard leaves it open: the breaker may trip.
#[derive(Clone, Debug, PartialEq)]
pub struct TripCurve {
    /// The breaker.
    pub breaker: PartId,
    /// Its band with the points of the standard.
    pub band: Band,
    /// Corners (amperes, seconds) of the edge of what it must hold, from long times to short ones. Left of and below it
    /// the breaker holds.
    pub must_hold: Vec<(f64, f64)>,
    /// Corners of the edge of what must trip it, the same way. Right of and above it the breaker trips.
    pub must_trip: Vec<(f64, f64)>,
    /// Amperes that it carries in the condition; `None` where it is not fed or not solved.
    pub carries_a: Option<f64>,
    /// The largest start behind it; `None` where nothing starts or no start is known.
    pub start: Option<TripStart>,
    /// The weakest short circuit behind it; `None` where it is not known.
    pub fault: Option<TripFault>,
    /// What the figures rest on and what is not known, for beneath the plot; one sentence each.
    pub notes: Vec<String>,
}

/// The trip behaviour of a breaker in a solved condition. Time linear in the drawing.
///
/// # Errors
/// Says why there is no curve: no breaker, a rating that is not known, a fuse, a rating beyond the standard.
pub fn trip_curve(installation: &Installation, solution: &Solution, breaker: PartId) -> Result<TripCurve, String> {
    let planned = installation.planned();
    let cx = Context::new(&planned, solution);
    let part = cx.part(breaker).filter(|p| p.kind == crate::installation::PartKind::Breaker);
    let part = part.ok_or_else(|| "there is a trip curve for breakers alone".to_owned())?;
    let rating = part.rating_a.ok_or_else(|| "its rated current is not known".to_owned())?;
    let band = Band::new(part.trip(cx.system()), rating)?;
    let carries_a = cx.amps(breaker);
    let start = largest_start(&cx, breaker).map(|(appliance, amps)| {
        let (seconds, stated) = start_seconds(&cx, appliance);
        TripStart { appliance, amps, seconds, stated, verdict: band.verdict(amps, seconds) }
    });
    let ends = FarEnds::of(&cx);
    let unknown = ends.unknown.get(&breaker).map_or(0, Vec::len);
    let fault = ends.weakest.get(&breaker).map(|&short| TripFault {
        short,
        at_once: band.verdict(short.amps, AT_ONCE_S),
        within_s: band.trips_within_s(short.amps),
    });
    let most_a = [start.as_ref().map(|s| s.amps), fault.as_ref().map(|f| f.short.amps).filter(|a| a.is_finite())]
        .into_iter()
        .flatten()
        .fold(30.0 * rating, |most, a| most.max(1.2 * a));
    Ok(TripCurve {
        breaker,
        must_hold: band.hold_corners(),
        must_trip: band.trip_corners(most_a),
        carries_a,
        notes: notes(&cx, breaker, &band, start.as_ref(), fault.as_ref(), unknown),
        band,
        start,
        fault,
    })
}

/// Amperes through a fed breaker during the largest start behind it, all else running, and what starts.
pub(super) fn largest_start(cx: &Context<'_>, breaker: PartId) -> Option<(PartId, f64)> {
    let start = cx.largest_start(breaker)?;
    Some((start.appliance, cx.amps(breaker)? + start.added_a))
}

/// Seconds that a start of this appliance lasts, and whether it states them.
pub(super) fn start_seconds(cx: &Context<'_>, appliance: PartId) -> (f64, bool) {
    let stated = cx.part(appliance).and_then(|p| p.start_s);
    (stated.unwrap_or(ASSUMED_START_S), stated.is_some())
}

/// Where the seconds of a start come from, in words.
pub(super) const fn stated_words(stated: bool) -> &'static str {
    if stated { "as stated" } else { "taken: common practice, no source" }
}

/// What is written beneath the plot.
fn notes(
    cx: &Context<'_>,
    breaker: PartId,
    band: &Band,
    start: Option<&TripStart>,
    fault: Option<&TripFault>,
    unknown: usize,
) -> Vec<String> {
    let mut notes = Vec::new();
    let mut sources: Vec<String> = band.points.iter().map(|p| format!("{} ({})", p.source, p.mark.words())).collect();
    sources.dedup();
    notes.push(format!(
        "Band: {}. Between its test points more current is taken never to trip later.",
        sources.join("; ")
    ));
    if band.at_once_a().is_none() {
        notes.push(
            "UL 489 leaves the instantaneous band to the maker: ask for the breaker's curve. A start above the rating may trip it."
                .to_owned(),
        );
    } else if band.class == BreakerClass::IecD {
        notes.push(
            "Type D: 20 times the rating is used; some national versions end at 15, and 50 is allowed in special cases (from memory)."
                .to_owned(),
        );
    }
    match start {
        Some(start) => notes.push(format!(
            "Start of {}: {} A through the breaker, everything else on it running; it lasts {} s ({}): {}.",
            cx.name(start.appliance),
            trimmed(start.amps, 1),
            trimmed(start.seconds, 2),
            stated_words(start.stated),
            start.verdict.words()
        )),
        None if cx.is_fed(breaker) => notes.push("No start behind it is known and adds to its current.".to_owned()),
        None => notes.push("It is not fed in this condition, so nothing starts behind it.".to_owned()),
    }
    if let Some(fault) = fault {
        let by = if fault.short.by_source {
            "the source's peak rating"
        } else {
            "the cables alone, so the true figure is lower"
        };
        let within = match fault.within_s {
            Some(s) => format!("trips within {} s", trimmed(s, 1)),
            None => "no standard says that it ever trips".to_owned(),
        };
        notes.push(format!(
            "Short circuit at {}: {} A at most by {by}; {within}.",
            cx.name(fault.short.at),
            trimmed(fault.short.amps, 0)
        ));
    }
    if unknown > 0 {
        notes.push(format!(
            "Not known: the short circuit at {}, for want of the source's peak rating or a cable's size or length.",
            super::words::count(unknown, "far end", "far ends")
        ));
    }
    notes
}
