//! A generator that is loud at the neighbour's.
//!
//! # What it finds
//! A generator whose sound pressure level, taken in the open from the level and distance that it states, is above 60 dB(A) at
//! 50 ft (15.24 m).
//!
//! # Why it matters
//! Who lies next to it cannot sleep, and in US national parks it may not run.
//!
//! # Source of the limit
//! 36 CFR 2.12: 60 dB(A) at 50 ft, in US national parks. Elsewhere it is a figure to compare with. The level falls by 6 dB
//! with each doubling of the distance; hull, water and the exhaust's side can make it louder.
//!
//! # Fires
//! ```csv
//! # system: 120V60Hz
//! tag,kind,run_w,rating_a,noise_db,noise_m
//! G1,generator,3000,30,67,7
//! ```
//!
//! # Must not fire
//! ```csv
//! # system: 120V60Hz
//! tag,kind,run_w,rating_a,noise_db,noise_m
//! G1,generator,3000,30,66,7
//! ```
//!
//! # Boundary
//! ```csv
//! # system: 120V60Hz
//! tag,kind,run_w,rating_a,noise_db,noise_m
//! G1,generator,3000,30,{60 -> 60.1},15.24
//! ```
//!
//! # Cure
//! Run it where nobody lies near, or not at night; ask its maker for a quieter mounting or silencer.

use crate::loads::noise;
use crate::survey::rules::prelude::*;
use crate::tables;

rule! {
    id: "noise-at-neighbour",
    severity: Severity::Notice,
    sets: &[RuleSet::Us],
    demand: "A generator gives no more than 60 dB(A) at 50 ft (US national parks; elsewhere to compare with).",
    source: "36 CFR 2.12",
    mark: Mark::Read,
    cure: Cure::Words("Run it where nobody lies near, or not at night; ask its maker for a quieter mounting or silencer."),
    needs_figures: false,
}

/// Distance at which the limit holds, metres: 50 ft.
const AT_M: f64 = 15.24;

fn check(cx: &Context<'_>, report: &mut Report) {
    let Some(limit) = tables::get().noise("park_limit") else { return };
    for (id, part) in cx.of_kind(PartKind::Generator) {
        let Some(level) = noise::level(part, AT_M) else {
            report.not_checked(
                &INFO,
                [id],
                "its sound pressure level, or the distance at which it holds, is not stated",
            );
            continue;
        };
        if above(level, limit.value) {
            let (shown, most) = words::pair(level, limit.value, "dB(A)");
            let message = format!(
                "{} gives {shown} at 50 ft (15.24 m) in the open; {most} is the limit in US national parks.",
                part.name()
            );
            report.add(INFO.finding([id], message).measured(level, limit.value, "dB(A)"));
        }
    }
}
