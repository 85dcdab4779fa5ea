//! A breaker above what its cable may carry.
//!
//! # What it finds
//! A cable whose breaker (the nearest one on the way to it, the dock's taken as the inlet's rating) is rated above
//! what the conductor may carry after the corrections. US rules let the next larger standard size stand, up to 150
//! % of that: a NOTICE; beyond it, or under international rules, a WARNING.
//!
//! # Why it matters
//! The cable burns before the breaker opens.
//!
//! # Source of the limit
//! US: 33 CFR 183.455(c)(2), the corrected figure being taken as the base, which the text leaves open.
//! International: ISO 13297:2020 13.1.5, no step up. The shore code's smaller caps are a rule of their own.
//!
//! # Fires
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,length_m,insulation_c,space
//! G1,generator,,60,9000,,,,
//! Q1,breaker,G1,45,,none,,,
//! E1,appliance,Q1,,100,10 AWG,3,75,
//! ```
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,length_m,insulation_c,space
//! G1,generator,,60,9000,,,,
//! Q1,breaker,G1,15,,none,,,
//! E1,appliance,Q1,,100,14 AWG,3,60,engine-space
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,length_m,insulation_c,space
//! G1,generator,,60,9000,,,,
//! Q1,breaker,G1,40,,none,,,
//! E1,appliance,Q1,,100,1.5 mm2,3,70,
//! ```
//!
//! # Must not fire
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,length_m,insulation_c,space
//! G1,generator,,60,9000,,,,
//! Q1,breaker,G1,40,,none,,,
//! E1,appliance,Q1,,100,10 AWG,3,75,
//! ```
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,length_m,insulation_c,space
//! G1,generator,,60,9000,,,,
//! Q1,breaker,G1,10,,none,,,
//! E1,appliance,Q1,,100,14 AWG,3,60,engine-space
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,length_m,insulation_c,space
//! G1,generator,,60,9000,,,,
//! Q1,breaker,G1,10,,none,,,
//! E1,appliance,Q1,,100,1.5 mm2,3,70,
//! ```
//!
//! # Boundary
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,length_m,insulation_c
//! G1,generator,,60,9000,,,
//! Q1,breaker,G1,{40 -> 40.1},,none,,
//! E1,appliance,Q1,,100,10 AWG,3,75
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,length_m,insulation_c
//! G1,generator,,60,9000,,,
//! Q1,breaker,G1,{18 -> 18.1},,none,,
//! E1,appliance,Q1,,100,1.5 mm2,3,70
//! ```
//!
//! # Boundary of severity
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,length_m,insulation_c
//! G1,generator,,60,9000,,,
//! Q1,breaker,G1,{15 -> 15.1},,none,,
//! E1,appliance,Q1,,100,18 AWG,3,75
//! ```
//!
//! # Cure
//! Fit a smaller breaker where the load allows it, or a thicker cable.

use super::{is_tap, series};
use crate::installation::CableId;
use crate::survey::rules::prelude::*;
use crate::survey::{Guard, GuardKind};
use crate::tables::{self, Series};
use crate::units::trimmed;

rule! {
    id: "breaker-above-cable",
    severity: Severity::Warning,
    sets: BOTH,
    demand: "A breaker is rated no higher than its cable may carry; US rules let the next standard size stand up to 150 %.",
    source: "33 CFR 183.455(c)(2); ISO 13297:2020 13.1.5",
    mark: Mark::Read,
    cure: Cure::Words("Fit a smaller breaker where the load allows it, or a thicker cable."),
    needs_figures: false;
    edits: edits
}

/// The most that may stand for an allowed current, and by which rule. The step up goes to the next rating that was read
/// in the standard: the 10 A of its latest edition is from memory and older editions start at 15 A.
fn most(cx: &Context<'_>, guard: &Guard, allowed: f64) -> (f64, &'static str) {
    if cx.rules() == RuleSet::International {
        return (allowed, "ISO 13297:2020 13.1.5");
    }
    let trip = cx.part(guard.part).map(|p| p.trip(cx.system()));
    let series = trip.and_then(|t| series(t, cx.system())).unwrap_or(Series::Us);
    let mut read = tables::get().standard_ratings(series).filter(|f| f.mark == Mark::Read).map(|f| f.value);
    let next = read.find(|&rating| !below(rating, allowed)).filter(|&rating| !above(rating, ALLOWANCE * allowed));
    (next.unwrap_or(allowed), "33 CFR 183.455(c)(2)")
}

/// The step up to the next standard size stops at this share of the allowed current.
const ALLOWANCE: f64 = 1.5;

fn check(cx: &Context<'_>, report: &mut Report) {
    for (id, cable) in cx.cables().filter(|(_, c)| c.data.is_fitted()) {
        if is_tap(cx, cable) {
            continue;
        }
        for guard in cx.guards_behind(cable.from) {
            let Some(allowed) = cx.ampacity(id) else {
                report.not_checked(&INFO, [cable.to], cx.why_no_ampacity(id));
                break;
            };
            let Some(rating) = guard.rating_a else {
                report.not_checked(&INFO, [cable.to], "the rating of its breaker is not known");
                continue;
            };
            if !above(rating, allowed.amps) {
                continue;
            }
            let (most, clause) = most(cx, guard, allowed.amps);
            let (shown, may) = words::pair(rating, allowed.amps, "A");
            let device = match guard.kind {
                GuardKind::Breaker => format!("{} is {shown}", cx.name(guard.part)),
                GuardKind::Own => format!("{}'s own breaker is {shown}", cx.name(guard.part)),
                GuardKind::Shore => {
                    format!("The breaker ashore is taken as {shown}, the rating of {}", cx.tag(guard.part))
                }
            };
            let within = !above(rating, most);
            let verdict = if within { " That is the next standard size, which US rules let stand." } else { "" };
            let message = format!(
                "{device}; the cable to {} may carry {may} ({}).{verdict}",
                cx.name(cable.to),
                words::basis(cx, cable, allowed)
            );
            let finding = INFO.finding([guard.part, cable.to], message).on([id]).measured(rating, allowed.amps, "A");
            let finding = finding
                .by(format!("{clause}; {}", allowed.source), allowed.mark)
                .not_using(words::other_ampacity(cx, allowed));
            report.add(if within { finding.at(Severity::Notice).without_cure() } else { finding.cured(cure(cx, id)) });
        }
    }
}

/// The thinnest size of the cable's own series that would carry the rating of every breaker that guards it.
fn cure(cx: &Context<'_>, id: CableId) -> Option<String> {
    let cable = cx.cable(id)?;
    let rating = cx.guards_behind(cable.from).iter().map(|g| g.rating_a).try_fold(0.0, |m: f64, r| Some(m.max(r?)))?;
    let size = std::iter::successors(cable.data.size()?.next_thicker(), |s| s.next_thicker())
        .find(|&size| cx.ampacity_with(id, size).is_some_and(|a| !above(rating, a.amps)))?;
    Some(format!(
        "{size} in place of {} carries {} A; or a smaller breaker where the load allows it.",
        cable.data.size()?,
        trimmed(rating, 1)
    ))
}

fn edits(cx: &Context<'_>, finding: &Finding) -> Vec<Edit> {
    let (Some(&breaker), Some(limit)) = (finding.parts.first(), finding.limit) else { return Vec::new() };
    let mut edits = change::smaller_breaker(cx, breaker, limit);
    edits.extend(change::thicker_of(cx, finding));
    edits
}
