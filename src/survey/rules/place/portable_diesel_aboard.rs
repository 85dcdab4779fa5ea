//! A portable diesel generator aboard.
//!
//! # What it finds
//! A portable diesel generator anywhere but ashore or on the weather deck.
//!
//! # Why it matters
//! Its exhaust holds less carbon monoxide than that of petrol, and enough to kill in a closed space; it is made to
//! stand in the open.
//!
//! # Source of the limit
//! Public generator safety guidance; aboard is stricter by reason.
//!
//! # Fires
//! ```csv
//! # system: 120V60Hz
//! tag,kind,run_w,rating_a,space,fuel,portable
//! G1,generator,3000,30,lazarette,diesel,yes
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,run_w,rating_a,space,fuel,portable
//! G1,generator,3000,13,,diesel,yes
//! ```
//!
//! # Must not fire
//! ```csv
//! # system: 120V60Hz
//! tag,kind,run_w,rating_a,space,fuel,portable
//! G1,generator,3000,30,weather-deck,diesel,yes
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,run_w,rating_a,space,fuel,portable
//! G1,generator,3000,13,ashore,diesel,yes
//! ```
//!
//! # Cure
//! Run it ashore, downwind, 20 ft (6.1 m) or more from any opening.

use crate::installation::Fuel;
use crate::survey::rules::prelude::*;

rule! {
    id: "portable-diesel-aboard",
    severity: Severity::Warning,
    sets: BOTH,
    demand: "A portable generator runs in the open, never in a space of the boat.",
    source: "Public generator safety guidance",
    mark: Mark::Read,
    cure: Cure::Words("Run it ashore, downwind, 20 ft (6.1 m) or more from any opening."),
    needs_figures: false,
}

fn check(cx: &Context<'_>, report: &mut Report) {
    for (id, part) in cx.of_kind(PartKind::Generator).filter(|(_, p)| p.portable && p.fuel == Fuel::Diesel) {
        if !matches!(cx.space(id), SpaceKind::Ashore | SpaceKind::WeatherDeck) {
            let message = format!("{} is a portable set within the boat: its exhaust stays there.", part.name());
            report.add(INFO.finding([id], message));
        }
    }
}
