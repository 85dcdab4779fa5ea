//! A built-in generator in a living space.
//!
//! # What it finds
//! A generator that is not portable, in the accommodation, the galley, the head or the cockpit.
//!
//! # Why it matters
//! An exhaust leak fills the space where people sleep with carbon monoxide.
//!
//! # Source of the limit
//! ABYC P-1 and CDC boating guidance, from memory: exhaust is kept out of living spaces.
//!
//! # Fires
//! ```csv
//! # system: 120V60Hz
//! tag,kind,run_w,rating_a,space,fuel
//! G1,generator,3000,30,accommodation,diesel
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,run_w,rating_a,space,fuel
//! G1,generator,3000,13,galley,diesel
//! ```
//!
//! # Must not fire
//! ```csv
//! # system: 120V60Hz
//! tag,kind,run_w,rating_a,space,fuel
//! G1,generator,3000,30,engine-space,diesel
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,run_w,rating_a,space,fuel
//! G1,generator,3000,13,lazarette,diesel
//! ```
//!
//! # Cure
//! For the yard: a space of its own, gas-tight towards the living spaces, and alarms for carbon monoxide.

use crate::survey::rules::prelude::*;

rule! {
    id: "set-in-living-space",
    severity: Severity::Warning,
    sets: BOTH,
    demand: "A generator stands in an engine space or a space of its own, sealed from where people live.",
    source: "ABYC P-1; CDC boating guidance",
    mark: Mark::Memory,
    cure: Cure::Words("For the yard: a space of its own, gas-tight towards the living spaces, and alarms for carbon monoxide."),
    needs_figures: false,
}

/// Where people stay.
const LIVING: [SpaceKind; 4] = [SpaceKind::Accommodation, SpaceKind::Galley, SpaceKind::Head, SpaceKind::Cockpit];

fn check(cx: &Context<'_>, report: &mut Report) {
    for (id, part) in cx.of_kind(PartKind::Generator).filter(|(_, p)| !p.portable) {
        if LIVING.contains(&cx.space(id)) {
            let message = format!("{} stands in the {}.", part.name(), cx.space(id).name().to_lowercase());
            report.add(INFO.finding([id], message));
        }
    }
}
