//! Rules about currents and powers against ratings.

pub(super) mod appliance_above_outlet;
pub(super) mod breaker_overload;
pub(super) mod conductor_overload;
pub(super) mod continuous_load;
pub(super) mod equipment_overload;
pub(super) mod inlet_overload;
pub(super) mod source_breaker_overload;
pub(super) mod source_running;
pub(super) mod source_starting;
pub(super) mod start_all_at_once;

use crate::installation::{Part, PartId, PartKind};
use crate::loads::starting::Peaks;
use crate::survey::{Context, Finding, Report, RuleInfo, words};
use crate::units::{Severity, above};

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

/// A source that can be judged on starting, its peak watts, and what it would have to deliver.
fn judged<'a, 'c>(
    cx: &'c Context<'a>,
    report: &mut Report,
    info: &RuleInfo,
    source: PartId,
) -> Option<(&'a Part, f64, &'c Peaks)> {
    let part = cx.part(source)?;
    let Some(limit) = part.start_w(cx.system()) else {
        report.not_checked(info, [source], "its starting watts are not known");
        return None;
    };
    Some((part, limit, cx.peaks(source)?))
}

/// A finding about a start: in watts, or, where the watts are within, said to be in volt-amperes.
fn finding(info: &RuleInfo, part: &Part, source: PartId, watts: Option<f64>, limit: f64, how: &str) -> Finding {
    let watts = watts.unwrap_or(f64::NAN);
    if above(watts, limit) {
        let (shown, most) = words::pair(watts, limit, "W");
        let taken = part.kind == PartKind::ShoreInlet && part.start_w.is_none();
        let rating = if taken { "its rating is" } else { "its starting rating is" };
        let message = format!("{} would have to give {shown} {how}; {rating} {most}.", part.name());
        let finding = info.finding([source], message).measured(watts, limit, "W");
        // What a dock gives for a moment is not known; its rating for long is all there is to go by.
        let severity = finding.severity;
        if taken { finding.at(severity.min(Severity::Notice)) } else { finding }
    } else {
        let message = format!("{} would have to give more volt-amperes than its peak {how}.", part.name());
        info.finding([source], message)
    }
}

/// Says what kept a start from being judged.
fn not_judged(report: &mut Report, info: &RuleInfo, source: PartId, peaks: &Peaks) {
    let motors: Vec<PartId> = peaks.estimated.iter().map(|(id, _)| *id).collect();
    if !motors.is_empty() {
        report.not_checked(info, motors, "the starting watts of these motors are not known");
    }
    if !peaks.unknown.is_empty() {
        report.not_checked(info, [source], LOWER_BOUND);
    }
}
