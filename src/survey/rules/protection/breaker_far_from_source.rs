//! The first breaker is far from a source without one of its own.
//!
//! # What it finds
//! The first breaker drawn behind a generator or inverter whose own breaker is not stated, at more than 7 in (0.178
//! m) of cable, 40 in (1.016 m) where the cable is in a sheath (US), or 0.5 m (international).
//!
//! # Why it matters
//! The cable before it has nothing that guards it, unless the source has a breaker of its own.
//!
//! # Source of the limit
//! US: 33 CFR 183.455(b)(1) and (2). International: ISO 13297:2020 13.2.2, half a metre unless the run is specially
//! enclosed, which the drawing does not say.
//!
//! # Fires
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,length_m,sheathed
//! G1,generator,,,3000,,,
//! Q1,breaker,G1,20,,12 AWG,0.179,no
//! ```
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,length_m,sheathed
//! G1,generator,,,3000,,,
//! Q1,breaker,G1,20,,12 AWG,1.017,yes
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,length_m,sheathed
//! T1,inverter,,,2000,,,
//! Q1,breaker,T1,10,,1.5 mm2,0.501,yes
//! ```
//!
//! # Must not fire
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,length_m,sheathed
//! G1,generator,,,3000,,,
//! Q1,breaker,G1,20,,12 AWG,0.1778,no
//! ```
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,length_m,sheathed
//! G1,generator,,,3000,,,
//! Q1,breaker,G1,20,,12 AWG,1.016,yes
//! ```
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,length_m,sheathed
//! G1,generator,,20,3000,,,
//! Q1,breaker,G1,20,,12 AWG,5,yes
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,length_m,sheathed
//! T1,inverter,,,2000,,,
//! Q1,breaker,T1,10,,1.5 mm2,0.5,yes
//! ```
//!
//! # Boundary
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,length_m,sheathed
//! G1,generator,,,3000,,,
//! Q1,breaker,G1,20,,12 AWG,{1.016 -> 1.017},yes
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,length_m,sheathed
//! T1,inverter,,,2000,,,
//! Q1,breaker,T1,10,,1.5 mm2,{0.5 -> 0.501},yes
//! ```
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,length_m,sheathed
//! G1,generator,,,3000,,,
//! Q1,breaker,G1,20,,12 AWG,{0.1778 -> 0.178},no
//! ```
//!
//! # Cure
//! Enter the source's own breaker if it has one. Else, for the electrician: a breaker at the source.

use crate::survey::rules::prelude::*;

rule! {
    id: "breaker-far-from-source",
    severity: Severity::Caution,
    sets: BOTH,
    demand: "Without a breaker at the source itself the first one is within 7 in of cable, 40 in in a sheath (US), or 0.5 m (international).",
    source: "33 CFR 183.455(b)(1) and (2); ISO 13297:2020 13.2.2",
    mark: Mark::Read,
    cure: Cure::Words("Enter the source's own breaker if it has one. Else, for the electrician: a breaker at the source."),
    needs_figures: false,
}

/// Metres of cable and the clause that sets them: 7 in, 40 in, half a metre.
const fn limit(rules: RuleSet, sheathed: bool) -> (f64, &'static str) {
    match (rules, sheathed) {
        (RuleSet::Us, false) => (0.1778, "33 CFR 183.455(b)(1) (7 in)"),
        (RuleSet::Us, true) => (1.016, "33 CFR 183.455(b)(2) (40 in)"),
        (RuleSet::International, _) => (0.5, "ISO 13297:2020 13.2.2"),
    }
}

fn check(cx: &Context<'_>, report: &mut Report) {
    let sources = cx.parts().filter(|(_, p)| matches!(p.kind, PartKind::Generator | PartKind::Inverter));
    for (source, part) in sources.filter(|(_, p)| p.rating_a.is_none()) {
        let first =
            cx.zone(source).iter().filter_map(|&c| cx.cable(c)).filter(|c| cx.kind(c.to) == Some(PartKind::Breaker));
        for cable in first {
            let Some(way) = cx.from_guard_m(cable.to) else {
                report.not_checked(&INFO, [cable.to], "the length of its cable is not known");
                continue;
            };
            let (limit, clause) = limit(cx.rules(), cable.data.sheathed);
            if above(way, limit) {
                let (shown, most) = words::pair(way, limit, "m");
                let message = format!(
                    "{} is {shown} of cable from {}, whose own breaker is not stated; without one {most} is the limit.",
                    cx.name(cable.to),
                    part.name()
                );
                let finding = INFO.finding([cable.to, source], message).measured(way, limit, "m");
                report.add(finding.by(clause, Mark::Read));
            }
        }
    }
}
