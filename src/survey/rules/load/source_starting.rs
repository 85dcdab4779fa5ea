//! A start that the source cannot carry.
//!
//! # What it finds
//! A source whose starting (peak) rating is not enough even in the best starting order, or not for the worst
//! restart of an appliance that starts by itself while the rest runs.
//!
//! # Why it matters
//! The set stalls or the inverter switches itself off, mostly at night when the refrigerator starts.
//!
//! # Source of the limit
//! The source's own peak rating; common practice. Judged in watts, in volt-amperes too where both are known.
//!
//! # Fires
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,start_w,load_kind,cycles,conductor
//! G1,generator,,30,2000,3000,,,
//! E1,appliance,G1,,1000,1000,impedance,no,none
//! M1,appliance,G1,,500,3000.01,motor,no,none
//! ```
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,start_w,load_kind,cycles,conductor
//! G1,generator,,30,2000,3000,,,
//! E1,appliance,G1,,1500,1500,impedance,no,none
//! M1,appliance,G1,,200,1600,motor,yes,none
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,run_w,start_w,load_kind,cycles,conductor
//! T1,inverter,,30,2000,3000,,,
//! M1,appliance,T1,,500,3000.01,motor,no,none
//! ```
//!
//! # Must not fire
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,start_w,load_kind,cycles,conductor
//! G1,generator,,30,2000,3000,,,
//! E1,appliance,G1,,1000,1000,impedance,no,none
//! M1,appliance,G1,,500,3000,motor,no,none
//! ```
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,start_w,load_kind,cycles,conductor
//! G1,generator,,30,2000,3000,,,
//! E1,appliance,G1,,1500,1500,impedance,no,none
//! M1,appliance,G1,,200,1500,motor,yes,none
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,run_w,start_w,load_kind,cycles,conductor
//! T1,inverter,,30,2000,3000,,,
//! M1,appliance,T1,,500,3000,motor,no,none
//! ```
//!
//! # Boundary
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,start_w,load_kind,cycles,conductor
//! G1,generator,,30,2000,3000,,,
//! E1,appliance,G1,,1000,1000,impedance,no,none
//! M1,appliance,G1,,500,{3000 -> 3000.01},motor,no,none
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,run_w,start_w,load_kind,cycles,conductor
//! T1,inverter,,30,2000,3000,,,
//! M1,appliance,T1,,500,{3000 -> 3000.01},motor,no,none
//! ```
//!
//! # Cure
//! Run less beside it, start the largest first, or choose a source with a higher starting rating.

use super::{finding, judged, not_judged};
use crate::survey::rules::prelude::*;

rule! {
    id: "source-starting",
    severity: Severity::Warning,
    sets: BOTH,
    demand: "Each start stays within the source's starting rating, in the best order and for what starts by itself.",
    source: "Starting rating of the source; common practice, no source",
    mark: Mark::CommonPractice,
    cure: Cure::Words("Run less beside it, start the largest first, or choose a source with a higher starting rating."),
    needs_figures: true,
}

fn check(cx: &Context<'_>, report: &mut Report) {
    for &source in cx.solution().sources.keys() {
        let Some((part, limit, peaks)) = judged(cx, report, &INFO, source) else { continue };
        let mut found = false;
        if peaks.starts_best_order == Some(false) {
            found = true;
            report.add(finding(&INFO, part, source, peaks.best_order_w, limit, "even in the best starting order"));
        } else if peaks.starts_worst_restart == Some(false) {
            found = true;
            let who = peaks.worst_restart.map_or_else(String::new, |p| cx.name(p));
            let how = format!("when {who} starts by itself while the rest runs");
            let mut finding = finding(&INFO, part, source, peaks.worst_restart_w, limit, &how);
            finding.parts.extend(peaks.worst_restart);
            report.add(finding);
        }
        if peaks.by_watts_only {
            report.not_checked(&INFO, [source], "starting volt-amperes are not known: judged by watts only");
        }
        if !found {
            not_judged(report, &INFO, source, peaks);
        }
    }
}
