//! A diesel set with too little to do.
//!
//! # What it finds
//! A diesel generator that feeds at less than 30 % of its running watts.
//!
//! # Why it matters
//! Run so for hours it soots up, glazes its bores and dilutes its oil.
//!
//! # Source of the limit
//! Common practice, no source: 30 %.
//!
//! # Fires
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,fuel
//! G1,generator,,30,1000,,diesel
//! E1,appliance,G1,,299.999,none,
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,fuel
//! G1,generator,,30,1000,,diesel
//! E1,appliance,G1,,100,none,
//! ```
//!
//! # Must not fire
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,fuel
//! G1,generator,,30,1000,,diesel
//! E1,appliance,G1,,300,none,
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,fuel
//! G1,generator,,30,1000,,petrol
//! E1,appliance,G1,,100,none,
//! ```
//!
//! # Boundary
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,run_w,fuel,conductor
//! G1,generator,,10000,diesel,
//! E1,appliance,G1,{3000 -> 2999},,none
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,run_w,fuel,conductor
//! G1,generator,,10000,diesel,
//! E1,appliance,G1,{3000 -> 2999},,none
//! ```
//!
//! # Cure
//! Put charging or water heating on it, or run it for a shorter time.

use crate::installation::Fuel;
use crate::survey::rules::prelude::*;

rule! {
    id: "diesel-underload",
    severity: Severity::Notice,
    sets: BOTH,
    demand: "A diesel set runs above 30 % of its rating.",
    source: "Common practice, no source",
    mark: Mark::CommonPractice,
    cure: Cure::Words("Put charging or water heating on it, or run it for a shorter time."),
    needs_figures: true,
}

/// Share of the running watts.
const SHARE: f64 = 0.3;

fn check(cx: &Context<'_>, report: &mut Report) {
    for (&source, flow) in &cx.solution().sources {
        let Some(part) = cx.part(source).filter(|p| p.kind == PartKind::Generator && p.fuel == Fuel::Diesel) else {
            continue;
        };
        let (Some(rating), Some(watts)) = (part.run_w, flow.watts) else { continue };
        if below(watts, SHARE * rating) && cx.unknown_loads(source) == 0 {
            let (shown, least) = words::pair(watts, SHARE * rating, "W");
            let message =
                format!("{} delivers {shown}; below {least} (30 %) for hours a diesel soots up.", part.name());
            report.add(INFO.finding([source], message).measured(watts, SHARE * rating, "W"));
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::network::solve;
    use crate::store::list::boat;
    use crate::survey::run;

    /// 30 % of 5,000 W are 1,500 W.
    #[test]
    fn a_diesel_set_is_told_by_what_it_delivers_and_what_it_should() {
        let words = |run_w: &str, unknown: &str| -> Vec<String> {
            let boat = boat(&format!(
                "# system: 120V60Hz\ntag,kind,fed_from,run_w,fuel,conductor\nG1,generator,,5000,diesel,\n\
                 E1,appliance,G1,{run_w},,none\n{unknown}"
            ));
            let all = run(&boat, &solve(&boat, 0)).findings.into_iter().filter(|f| f.rule == super::INFO.id);
            all.map(|f| f.message).collect()
        };
        let told = "G1 delivers 1,000 W; below 1,500 W (30 %) for hours a diesel soots up.";
        assert_eq!(words("1000", ""), [told]);
        assert_eq!(words("1500", ""), [""; 0]);
        assert_eq!(words("1000", "E2,appliance,G1,,,none\n"), [""; 0], "what it delivers is not known");
    }
}
