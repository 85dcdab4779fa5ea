//! A battery charger fed by an inverter.
//!
//! # What it finds
//! A battery charger that is on while an inverter feeds it: an appliance whose tag starts with T (chargers, IEC
//! 81346) or whose label says charger, or an inverter-charger fed by another inverter.
//!
//! # Why it matters
//! The charger empties the battery that it charges, with a loss at each turn, until the inverter cuts out.
//!
//! # Source of the limit
//! Common practice.
//!
//! # Fires
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,conductor
//! T1,inverter,,20,2000,
//! T2,appliance,T1,,500,none
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,label
//! T1,inverter,,10,2000,,
//! E2,appliance,T1,,500,none,Battery charger
//! ```
//!
//! # Must not fire
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,conductor
//! G1,generator,,20,2000,
//! T2,appliance,G1,,500,none
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,label,on
//! T1,inverter,,10,2000,,,
//! E2,appliance,T1,,500,none,Battery charger,no
//! ```
//!
//! # Cure
//! Feed the charger from ahead of the inverter, or switch it off while the inverter feeds.

use crate::installation::Part;
use crate::survey::rules::prelude::*;

rule! {
    id: "charger-on-own-inverter",
    severity: Severity::Caution,
    sets: BOTH,
    demand: "No inverter feeds the charger of its own battery.",
    source: "Common practice, no source",
    mark: Mark::CommonPractice,
    cure: Cure::Words("Feed the charger from ahead of the inverter, or switch it off while the inverter feeds."),
    needs_figures: false,
}

/// True for what charges a battery.
fn charges(part: &Part) -> bool {
    match part.kind {
        PartKind::Appliance => part.tag.starts_with('T') || part.label.to_lowercase().contains("charger"),
        PartKind::Inverter => part.charge_w > 0.0,
        _ => false,
    }
}

fn check(cx: &Context<'_>, report: &mut Report) {
    for (id, part) in cx.parts().filter(|(_, p)| charges(p)) {
        let Some(up) = cx.upstream(id).filter(|up| up.root != id && cx.is_on(id)) else { continue };
        if cx.kind(up.root) == Some(PartKind::Inverter) {
            let message = format!(
                "{} charges while {} feeds it: from the same battery it runs in a circle.",
                part.name(),
                cx.name(up.root)
            );
            report.add(INFO.finding([id, up.root], message));
        }
    }
}
