//! Electrical parts beside a petrol set.
//!
//! # What it finds
//! Every electrical part in the same kind of space as a petrol generator aboard: appliances, transformers and isolators as
//! well as breakers, selectors, outlets and panels. The drawing does not say whether they are ignition protected, nor where
//! another petrol engine or a tank stands.
//!
//! # Why it matters
//! A contact that opens in petrol vapour lights it.
//!
//! # Source of the limit
//! 33 CFR 183.410(a): in a space with a petrol source every electrical part is ignition protected unless it is
//! isolated from it.
//!
//! # Fires
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,space,fuel
//! G1,generator,,30,3000,engine-space,petrol
//! X1,outlet,G1,15,,engine-space,
//! ```
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,space,fuel
//! G1,generator,,30,3000,engine-space,petrol
//! Q1,breaker,G1,15,,accommodation,
//! E1,appliance,Q1,,100,engine-space,
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,run_w,space,fuel
//! G1,generator,,16,3000,lazarette,petrol
//! A1,panel,G1,16,,lazarette,
//! ```
//!
//! # Must not fire
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,space,fuel
//! G1,generator,,30,3000,engine-space,diesel
//! X1,outlet,G1,15,,engine-space,
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,run_w,space,fuel
//! G1,generator,,16,3000,lazarette,petrol
//! A1,panel,G1,16,,accommodation,
//! ```
//!
//! # Cure
//! For the electrician: move them to another space, or fit ignition-protected ones and record it.

use crate::installation::Fuel;
use crate::survey::rules::prelude::*;
use std::collections::{BTreeMap, BTreeSet};

rule! {
    id: "ignition-near-petrol",
    severity: Severity::Warning,
    sets: BOTH,
    demand: "In a space with a petrol generator every electrical part is ignition protected (other petrol engines and tanks are not in the drawing).",
    source: "33 CFR 183.410(a)",
    mark: Mark::Read,
    cure: Cure::Words("For the electrician: move them to another space, or fit ignition-protected ones and record it."),
    needs_figures: false,
}

fn check(cx: &Context<'_>, report: &mut Report) {
    let outdoors = |s| matches!(s, SpaceKind::Ashore | SpaceKind::WeatherDeck | SpaceKind::Other);
    let mut by_space: BTreeMap<SpaceKind, Vec<PartId>> = BTreeMap::new();
    for (id, part) in cx.parts().filter(|(_, p)| p.kind != PartKind::Generator) {
        if part.kind != PartKind::Outlet || !outdoors(cx.space(id)) {
            by_space.entry(cx.space(id)).or_default().push(id);
        }
    }
    let mut said: BTreeSet<SpaceKind> = BTreeSet::new();
    for (set, part) in cx.of_kind(PartKind::Generator).filter(|(_, p)| p.fuel == Fuel::Petrol) {
        let space = cx.space(set);
        if space == SpaceKind::Other && !part.portable {
            report.not_checked(&INFO, [set], "the space that it stands in is not stated");
        }
        if outdoors(space) || !said.insert(space) {
            continue;
        }
        if let Some(parts) = by_space.get(&space) {
            let message = format!(
                "{} burns petrol in the {}: {} there must be ignition protected, which the drawing does not say.",
                part.name(),
                space.name().to_lowercase(),
                words::tags(cx, parts)
            );
            report.add(INFO.finding(std::iter::once(set).chain(parts.iter().copied()), message));
        }
    }
}
