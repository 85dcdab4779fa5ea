//! A source or transformer for another supply system.
//!
//! # What it finds
//! A source or an isolation transformer whose stated voltage is more than 20 % off the system's nominal voltage.
//!
//! # Why it matters
//! Appliances for 120 V burn at 230 V; those for 230 V stall at 120 V. Motors and transformers for 60 Hz overheat at 50 Hz:
//! what an appliance states of that has a rule of its own.
//!
//! # Source of the limit
//! Common practice, no source: so far off it is no tolerance but another system.
//!
//! # Fires
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,volts,rating_a,run_w
//! G1,generator,,230,10,2000
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,volts,rating_a,run_w
//! X1,shore-inlet,,,16,
//! T1,isolation-transformer,X1,120,16,
//! ```
//!
//! # Must not fire
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,volts,rating_a,run_w
//! G1,generator,,125,10,2000
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,volts,rating_a,run_w
//! X1,shore-inlet,,240,16,
//! T1,isolation-transformer,X1,,16,
//! ```
//!
//! # Boundary
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,volts,rating_a,run_w
//! G1,generator,,{144 -> 144.1},10,2000
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,volts,rating_a,run_w
//! G1,generator,,{184 -> 183.9},10,2000
//! ```
//!
//! # Cure
//! Read its name plate again. If it is for another system it does not belong on this one.

use crate::survey::rules::prelude::*;

rule! {
    id: "wrong-voltage",
    severity: Severity::Danger,
    sets: BOTH,
    demand: "Sources and transformers are for the installation's supply system.",
    source: "Common practice, no source",
    mark: Mark::CommonPractice,
    cure: Cure::Words("Read its name plate again. If it is for another system it does not belong on this one."),
    needs_figures: false,
}

/// Share of nominal beyond which it is another system.
const SHARE: f64 = 0.2;

fn check(cx: &Context<'_>, report: &mut Report) {
    let nominal = cx.system().nominal_v();
    let gives = |k: PartKind| k.is_source() || k == PartKind::IsolationTransformer;
    for (id, part) in cx.parts().filter(|(_, p)| gives(p.kind)) {
        let Some(volts) = part.volts else { continue };
        let (low, high) = (nominal * (1.0 - SHARE), nominal * (1.0 + SHARE));
        let limit = if below(volts, low) { low } else { high };
        if below(volts, low) || above(volts, high) {
            let (shown, edge) = words::pair(volts, limit, "V");
            let side = if volts < nominal { "below" } else { "above" };
            let message = format!(
                "{} gives {shown}, {side} {edge}: it is for another supply system than {} V.",
                part.name(),
                crate::units::trimmed(nominal, 0)
            );
            report.add(INFO.finding([id], message).measured(volts, limit, "V"));
        }
    }
}
