//! Rules about currents and powers against ratings.

pub(super) mod breaker_overload;
pub(super) mod continuous_load;
pub(super) mod equipment_overload;
pub(super) mod inlet_overload;
pub(super) mod source_breaker_overload;
pub(super) mod source_running;

use crate::installation::PartId;
use crate::survey::{Context, Report, RuleInfo};
use crate::units::above;

/// Why what a part carries is only a lower bound.
const LOWER_BOUND: &str = "the running power of an appliance that it carries is not known";

/// A rated part with the current that it carries.
struct Rated {
    part: PartId,
    amps: f64,
    rating_a: f64,
}

/// The parts whose current is above their rating, of those given. Says what could not be checked.
fn overloaded(
    cx: &Context<'_>,
    report: &mut Report,
    info: &RuleInfo,
    parts: impl IntoIterator<Item = (PartId, Option<f64>, Option<f64>)>,
) -> Vec<Rated> {
    let mut found = Vec::new();
    for (part, rating_a, amps) in parts {
        let Some(rating_a) = rating_a else {
            report.not_checked(info, [part], "its rated current is not known");
            continue;
        };
        match amps {
            Some(amps) if above(amps, rating_a) => found.push(Rated { part, amps, rating_a }),
            _ if cx.unknown_loads(part) > 0 => report.not_checked(info, [part], LOWER_BOUND),
            _ => {}
        }
    }
    found
}
