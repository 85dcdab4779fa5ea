//! Electrical parts beside a petrol set.
//!
//! # What it finds
//! Every electrical part in the same kind of space as a petrol generator aboard, or as a petrol engine or tank that is stated
//! to stand there: appliances, transformers and isolators as well as breakers, selectors, outlets and panels. The drawing
//! does not say whether they are ignition protected. Where petrol stands is not stated, that is not checked.
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
//! ```csv
//! # system: 120V60Hz
//! # petrol: lazarette
//! tag,kind,fed_from,rating_a,run_w,space,fuel
//! G1,generator,,30,3000,engine-space,diesel
//! X1,outlet,G1,15,,lazarette,
//! ```
//!
//! # Must not fire
//! ```csv
//! # system: 120V60Hz
//! # petrol: none
//! tag,kind,fed_from,rating_a,run_w,space,fuel
//! G1,generator,,30,3000,engine-space,diesel
//! X1,outlet,G1,15,,engine-space,
//! ```
//! ```csv
//! # system: 230V50Hz
//! # petrol: lazarette
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
    demand: "In a space with a petrol generator, engine or tank every electrical part is ignition protected.",
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
    let told = |sets: &[PartId], what: &str, space: SpaceKind, report: &mut Report| {
        let Some(parts) = by_space.get(&space) else { return };
        let message = format!(
            "{what} in the {}: {} there must be ignition protected, which the drawing does not say.",
            space.name().to_lowercase(),
            words::tags(cx, parts)
        );
        report.add(INFO.finding(sets.iter().chain(parts).copied(), message));
    };
    let mut said: BTreeSet<SpaceKind> = BTreeSet::new();
    for (set, part) in cx.of_kind(PartKind::Generator).filter(|(_, p)| p.fuel == Fuel::Petrol) {
        let space = cx.space(set);
        if space == SpaceKind::Other && !part.portable {
            report.not_checked(&INFO, [set], "the space that it stands in is not stated");
        }
        if !outdoors(space) && said.insert(space) {
            told(&[set], &format!("{} burns petrol", part.name()), space, report);
        }
    }
    match &cx.aboard().petrol {
        Some(spaces) => {
            for &space in spaces.iter().filter(|s| !outdoors(**s) && !said.contains(s)) {
                told(&[], "A petrol engine or tank stands", space, report);
            }
        }
        // In the open, and where no space is stated, petrol elsewhere says nothing.
        None if by_space.keys().all(|s| outdoors(*s)) => {}
        None => report.not_checked(&INFO, [], "whether a petrol engine or tank stands in a space is not stated"),
    }
}

#[cfg(test)]
mod tests {
    use crate::installation::SpaceKind::{EngineSpace, Galley, WeatherDeck};
    use crate::network::solve;
    use crate::store::list::boat;
    use crate::survey::run;

    #[test]
    fn petrol_aboard_is_told_of_each_closed_space_once_and_of_none_in_the_open() {
        let mut boat = boat(
            "# system: 120V60Hz\ntag,kind,fed_from,run_w,fuel,space,conductor,length_m\n\
             G1,generator,,2000,petrol,engine-space,,\nA1,panel,G1,,,engine-space,10 AWG,1\n\
             E1,appliance,A1,100,,galley,14 AWG,4\nE2,appliance,A1,100,,weather-deck,14 AWG,4\n",
        );
        boat.aboard.petrol = Some([EngineSpace, Galley, WeatherDeck].into());
        let all = run(&boat, &solve(&boat, 0)).findings.into_iter().filter(|f| f.rule == super::INFO.id);
        let parts: Vec<Vec<&str>> = all.map(|f| f.parts.iter().map(|&p| boat.tag(p)).collect()).collect();
        assert_eq!(parts, [vec!["E1"], vec!["G1", "A1"]]);
    }
}
