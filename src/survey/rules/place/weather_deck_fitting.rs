//! Equipment on the weather deck.
//!
//! # What it finds
//! Panels, breakers, selectors, outlets, inverters and transformers in the open.
//!
//! # Why it matters
//! Salt water in such a fitting leaks current to the hull and opens it from inside.
//!
//! # Source of the limit
//! ISO 13297, from memory: fittings on the weather deck withstand jets of water (IP 56), below deck spray (IP 55).
//!
//! # Fires
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,space
//! G1,generator,,30,3000,engine-space
//! X1,outlet,G1,15,,weather-deck
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,run_w,space
//! G1,generator,,16,3000,engine-space
//! A1,panel,G1,16,,weather-deck
//! ```
//!
//! # Must not fire
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,space
//! G1,generator,,30,3000,engine-space
//! X1,outlet,G1,15,,accommodation
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,run_w,space
//! X1,shore-inlet,,16,,weather-deck
//! A1,panel,X1,16,,accommodation
//! ```
//!
//! # Cure
//! Check the marks on the fittings (IP 56), their lids and their glands.

use crate::survey::rules::prelude::*;

rule! {
    id: "weather-deck-fitting",
    severity: Severity::Notice,
    sets: BOTH,
    demand: "What stands on the weather deck is closed against jets of water.",
    source: "ISO 13297",
    mark: Mark::Memory,
    cure: Cure::Words("Check the marks on the fittings (IP 56), their lids and their glands."),
    needs_figures: false,
}

fn check(cx: &Context<'_>, report: &mut Report) {
    let open = |k: PartKind| {
        matches!(
            k,
            PartKind::Panel
                | PartKind::Breaker
                | PartKind::Selector
                | PartKind::Outlet
                | PartKind::Inverter
                | PartKind::IsolationTransformer
        )
    };
    let parts: Vec<PartId> = cx
        .parts()
        .filter(|(id, p)| open(p.kind) && cx.space(*id) == SpaceKind::WeatherDeck)
        .map(|(id, _)| id)
        .collect();
    if !parts.is_empty() {
        let message = format!("In the open, to be closed against jets of water: {}.", words::tags(cx, &parts));
        report.add(INFO.finding(parts, message));
    }
}
