//! A fuel curve that cannot be true.
//!
//! # What it finds
//! A generator whose stated fuel curve turns more of the fuel's energy into electricity than is possible: more than 30 %
//! of petrol's (diesel's 40 %) at a point, or more than 35 % (45 %) of what is added between two points.
//!
//! # Why it matters
//! Hours and days worked out from it are too long: the tank is empty before the plan says.
//!
//! # Source of the limit
//! Common practice, no source: the shares. Energy at the lower heating value, US DOE alternative fuels data: 8.834 and
//! 9.948 kWh per litre.
//!
//! # Fires
//! ```csv
//! # system: 120V60Hz
//! tag,kind,run_w,fuel,fuel_curve
//! G1,generator,1600,petrol,0:10.5h/2L|25:9h/2L
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,run_w,fuel,fuel_curve
//! G1,generator,4000,diesel,25:0.5|100:0.9
//! ```
//!
//! # Must not fire
//! ```csv
//! # system: 120V60Hz
//! tag,kind,run_w,fuel,fuel_curve
//! G1,generator,1600,petrol,0:0.2|100:0.9
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,run_w,fuel,fuel_curve
//! G1,generator,4000,diesel,25:0.6|100:1.6
//! ```
//!
//! # Boundary
//! ```csv
//! # system: 120V60Hz
//! tag,kind,run_w,fuel,fuel_curve
//! G1,generator,2650.2,petrol,100:{1 -> 0.999}
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,run_w,fuel,fuel_curve
//! G1,generator,3979.2,diesel,100:{1 -> 0.999}
//! ```
//!
//! # Cure
//! Measure what it burns over some hours at a known load, and state that.

use crate::loads::endurance::{Doubt, FuelCurve, Limits, doubts};
use crate::survey::rules::prelude::*;

rule! {
    id: "fuel-curve-impossible",
    severity: Severity::Notice,
    sets: BOTH,
    demand: "A stated fuel curve turns no more of the fuel's energy into electricity than is possible.",
    source: "Common practice, no source; energy of fuels: US DOE alternative fuels data",
    mark: Mark::CommonPractice,
    cure: Cure::Words("Measure what it burns over some hours at a known load, and state that."),
    needs_figures: false,
}

fn check(cx: &Context<'_>, report: &mut Report) {
    for (id, part) in cx.of_kind(PartKind::Generator) {
        let Some(curve) = FuelCurve::of(part) else { continue };
        let Some(run_w) = part.run_w else {
            report.not_checked(&INFO, [id], "its running watts are not known");
            continue;
        };
        let limits = Limits::of(part.fuel);
        // The worst of them, against its own limit.
        let share = |doubt: &Doubt| match *doubt {
            Doubt::Overall { efficiency, .. } => (efficiency, limits.overall.value),
            Doubt::Slope { efficiency, .. } => (efficiency, limits.slope.value),
        };
        let found = doubts(&curve, &limits, run_w, None);
        let Some(worst) = found.iter().max_by(|a, b| {
            let excess = |d: &Doubt| share(d).0 / share(d).1;
            excess(a).total_cmp(&excess(b))
        }) else {
            continue;
        };
        let (efficiency, limit) = share(worst);
        let message = format!("The fuel curve of {} cannot be true: {}.", part.name(), worst.words());
        let finding = INFO.finding([id], message);
        report.add(if efficiency.is_finite() {
            finding.measured(100.0 * efficiency, 100.0 * limit, "%")
        } else {
            finding
        });
    }
}
