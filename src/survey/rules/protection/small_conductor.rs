//! 14, 12 or 10 AWG behind more than 15, 20 or 30 A.
//!
//! # What it finds
//! A cable of 18 to 10 AWG whose breaker is above the shore code's cap for that size.
//!
//! # Why it matters
//! The shore code caps small wire because of its joints and terminals. The boat rule allows more in free air, so
//! this is information.
//!
//! # Source of the limit
//! NEC (NFPA 70) 240.4(D); 18 and 16 AWG from memory.
//!
//! # Fires
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,length_m,insulation_c
//! G1,generator,,30,3000,,,
//! Q1,breaker,G1,25,,none,,
//! E1,appliance,Q1,,100,12 AWG,3,105
//! ```
//!
//! # Must not fire
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,length_m,insulation_c
//! G1,generator,,30,3000,,,
//! Q1,breaker,G1,20,,none,,
//! E1,appliance,Q1,,100,12 AWG,3,105
//! ```
//!
//! # Boundary
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,length_m,insulation_c
//! G1,generator,,20,2000,,,
//! Q1,breaker,G1,{20 -> 20.1},,none,,
//! E1,appliance,Q1,,100,12 AWG,3,105
//! ```
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,length_m,insulation_c
//! G1,generator,,40,2000,,,
//! Q1,breaker,G1,{15 -> 15.1},,none,,
//! E1,appliance,Q1,,100,14 AWG,3,105
//! ```
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,length_m,insulation_c
//! G1,generator,,40,2000,,,
//! Q1,breaker,G1,{30 -> 30.1},,none,,
//! E1,appliance,Q1,,100,10 AWG,3,105
//! ```
//!
//! # Cure
//! A breaker of that size, where the load allows it.

use crate::installation::Size;
use crate::survey::GuardKind;
use crate::survey::rules::prelude::*;
use crate::tables;

rule! {
    id: "small-conductor",
    severity: Severity::Notice,
    sets: &[RuleSet::Us],
    demand: "14, 12 and 10 AWG stand behind 15, 20 and 30 A at most (shore code, as information).",
    source: "NEC (NFPA 70) 240.4(D)",
    mark: Mark::Read,
    cure: Cure::Words("A breaker of that size, where the load allows it."),
    needs_figures: false;
    edits: edits
}

fn check(cx: &Context<'_>, report: &mut Report) {
    for (id, cable) in cx.cables() {
        let Some(Size::Awg(gauge)) = cable.data.size() else { continue };
        let Some(limit) = tables::get().small_conductor_limit(gauge) else { continue };
        let largest = cx.guards_behind(cable.from).iter().filter(|g| g.kind != GuardKind::Shore);
        let largest = largest.filter_map(|g| Some((g.part, g.rating_a?))).max_by(|a, b| a.1.total_cmp(&b.1));
        if let Some((guard, rating)) = largest
            && above(rating, limit.value)
        {
            let (shown, most) = words::pair(rating, limit.value, "A");
            let message = format!(
                "The cable to {} is {} behind {} of {shown}; the shore code stops at {most}. 33 CFR, the rule for boats, allows more.",
                cx.name(cable.to),
                Size::Awg(gauge),
                cx.tag(guard)
            );
            let finding = INFO.finding([guard, cable.to], message).on([id]).measured(rating, limit.value, "A");
            report.add(finding.by(limit.source.clone(), limit.mark));
        }
    }
}

fn edits(cx: &Context<'_>, finding: &Finding) -> Vec<Edit> {
    let (Some(&breaker), Some(limit)) = (finding.parts.first(), finding.limit) else { return Vec::new() };
    let mut edits = change::smaller_breaker(cx, breaker, limit);
    edits.extend(change::thicker_of(cx, finding));
    edits
}
