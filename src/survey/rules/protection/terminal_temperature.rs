//! A cable counted on beyond its terminals.
//!
//! # What it finds
//! A breaker above the 75 °C figure of its cable, whose insulation would carry more.
//!
//! # Why it matters
//! The 105 °C column is for insulation. Breakers and outlets are usually marked for 60 or 75 °C, and a wire that
//! runs hotter cooks their terminals.
//!
//! # Source of the limit
//! NEC (NFPA 70) 110.14(C), from memory; 33 CFR table 5 says nothing of terminals.
//!
//! # Fires
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,length_m,insulation_c,space
//! G1,generator,,60,9000,,,,
//! Q1,breaker,G1,30,,none,,,
//! E1,appliance,Q1,,100,12 AWG,3,105,
//! ```
//!
//! # Must not fire
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,length_m,insulation_c,space
//! G1,generator,,60,9000,,,,
//! Q1,breaker,G1,25,,none,,,
//! E1,appliance,Q1,,100,12 AWG,3,105,
//! ```
//!
//! # Boundary
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,length_m,insulation_c
//! G1,generator,,60,6000,,,
//! Q1,breaker,G1,{25 -> 25.1},,none,,
//! E1,appliance,Q1,,100,12 AWG,3,105
//! ```
//!
//! # Cure
//! Check the temperature marked on breaker and outlet, or take the next thicker cable.

use crate::installation::Size;
use crate::survey::GuardKind;
use crate::survey::rules::prelude::*;
use crate::tables;

rule! {
    id: "terminal-temperature",
    severity: Severity::Notice,
    sets: &[RuleSet::Us],
    demand: "A breaker is within the 75 °C figure of its cable, for the sake of the terminals (information).",
    source: "NEC (NFPA 70) 110.14(C)",
    mark: Mark::Memory,
    cure: Cure::Words("Check the temperature marked on breaker and outlet, or take the next thicker cable."),
    needs_figures: false;
    edits: change::thicker_of
}

fn check(cx: &Context<'_>, report: &mut Report) {
    for (id, cable) in cx.cables() {
        let Some(Size::Awg(gauge)) = cable.data.size() else { continue };
        let Some(figure) = tables::get().ampacity_33cfr(gauge, 75) else { continue };
        if cable.data.insulation_c(cx.system()) <= 75 {
            continue;
        }
        let guards = cx.guards_behind(cable.from).iter().filter(|g| g.kind == GuardKind::Breaker);
        if let Some((guard, rating)) =
            guards.filter_map(|g| Some((g.part, g.rating_a?))).find(|g| above(g.1, figure.value))
        {
            let (shown, most) = words::pair(rating, figure.value, "A");
            let message = format!(
                "{} is {shown}; the cable to {} carries {most} at 75 °C, for which terminals are usually marked.",
                cx.name(guard),
                cx.name(cable.to)
            );
            report.add(INFO.finding([guard, cable.to], message).on([id]).measured(rating, figure.value, "A"));
        }
    }
}
