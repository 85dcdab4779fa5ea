//! A portable petrol generator aboard.
//!
//! # What it finds
//! A portable petrol generator anywhere but ashore, whether it feeds in this condition or not.
//!
//! # Why it matters
//! Its exhaust may hold 610 g of carbon monoxide per kWh: one kilowatt fills a closed cabin of 20 m³ to a deadly level in
//! under three minutes. It is not ignition protected, its hot exhaust and its fuel are beside each other, and vapour
//! sinks into the bilge. On most boats no place aboard is 20 ft from every opening.
//!
//! # Source of the limit
//! Public generator safety guidance (run it outdoors, away from openings), read; that aboard is stricter is our
//! conclusion, as is that the exemption of portable equipment in 33 CFR 183.405 means it is not ignition protected.
//!
//! # Fires
//! ```csv
//! # system: 120V60Hz
//! tag,kind,run_w,rating_a,portable,fuel,space
//! G1,generator,1600,15,yes,petrol,weather-deck
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,run_w,rating_a,portable,fuel,space
//! G1,generator,1600,8,yes,,
//! ```
//!
//! # Must not fire
//! ```csv
//! # system: 120V60Hz
//! tag,kind,run_w,rating_a,portable,fuel,space
//! G1,generator,1600,15,yes,petrol,ashore
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,run_w,rating_a,portable,fuel,space
//! G1,generator,1600,8,no,petrol,engine-space
//! ```
//!
//! # Cure
//! A place ashore, downwind, 20 ft (6.1 m) or more from any opening. Nothing aboard cures it.

use crate::installation::Fuel;
use crate::survey::rules::prelude::*;

rule! {
    id: "portable-set-aboard",
    severity: Severity::Danger,
    sets: BOTH,
    demand: "A portable petrol generator runs ashore, never aboard.",
    source: "Public generator safety guidance; 33 CFR 183.405 (our conclusion from it)",
    mark: Mark::Read,
    cure: Cure::Words("Run it ashore, downwind, 20 ft (6.1 m) or more from any opening, on a cord of sufficient size. No place aboard cures this."),
    needs_figures: false,
}

fn check(cx: &Context<'_>, report: &mut Report) {
    for (id, part) in cx.of_kind(PartKind::Generator) {
        let space = cx.space(id);
        if part.portable && part.fuel == Fuel::Petrol && space != SpaceKind::Ashore {
            let place =
                if space == SpaceKind::Other { "aboard".to_owned() } else { format!("in the {}", place(space)) };
            let message = format!(
                "{} is a portable petrol set {place}: carbon monoxide, fire and explosion. Its place is ashore.",
                part.name()
            );
            report.add(INFO.finding([id], message));
        }
    }
}

/// A space in a sentence.
fn place(space: SpaceKind) -> String {
    space.name().to_lowercase()
}
