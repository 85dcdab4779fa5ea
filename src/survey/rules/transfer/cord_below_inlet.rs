//! A shore cord that carries less than its inlet.
//!
//! # What it finds
//! A shore cord whose conductors may carry less than the rated current of the inlet.
//!
//! # Why it matters
//! Inlet and dock allow a current at which the cord, mostly lying coiled in the sun, overheats.
//!
//! # Source of the limit
//! ABYC E-11, from memory: nothing in the shore connection is below the inlet. What the cord may carry is taken
//! from the rule set's table for cables.
//!
//! # Fires
//! ```csv
//! # system: 120V60Hz
//! tag,kind,rating_a,conductor,length_m,insulation_c
//! X1,shore-inlet,30,12 AWG,9,75
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,rating_a,conductor,length_m,insulation_c
//! X1,shore-inlet,32,2.5 mm2,15,70
//! ```
//!
//! # Must not fire
//! ```csv
//! # system: 120V60Hz
//! tag,kind,rating_a,conductor,length_m,insulation_c
//! X1,shore-inlet,30,10 AWG,9,75
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,rating_a,conductor,length_m,insulation_c
//! X1,shore-inlet,16,2.5 mm2,15,70
//! ```
//!
//! # Boundary
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,conductor,length_m,insulation_c
//! X1,shore-inlet,,{40 -> 40.1},10 AWG,10,75
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,conductor,length_m,insulation_c
//! X1,shore-inlet,,{25 -> 25.1},2.5 mm2,10,70
//! ```
//!
//! # Cure
//! Use a cord of the inlet's rating.

use crate::survey::rules::prelude::*;

rule! {
    id: "cord-below-inlet",
    severity: Severity::Warning,
    sets: BOTH,
    demand: "A shore cord carries the rated current of its inlet.",
    source: "ABYC E-11; ISO 13297",
    mark: Mark::Memory,
    cure: Cure::Words("Use a cord of the inlet's rating."),
    needs_figures: false,
}

fn check(cx: &Context<'_>, report: &mut Report) {
    for (inlet, part) in cx.of_kind(PartKind::ShoreInlet).filter(|(_, p)| p.cord.is_fitted()) {
        let (Ok(allowed), Some(rating)) = (cx.cord_ampacity(inlet), part.rating_a) else {
            report.not_checked(&INFO, [inlet], "the size of its cord, or its own rating, is not known");
            continue;
        };
        if above(rating, allowed.amps) {
            let (shown, most) = words::pair(rating, allowed.amps, "A");
            let message = format!("The cord of {} may carry {most}; the inlet is rated {shown}.", part.name());
            let finding = INFO.finding([inlet], message).measured(rating, allowed.amps, "A");
            report.add(
                finding
                    .by(format!("{}; {}", INFO.source, allowed.source), allowed.mark)
                    .not_using(words::other_ampacity(cx, &allowed)),
            );
        }
    }
}
