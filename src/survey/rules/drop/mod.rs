//! Rules about voltage drop and the volts at an appliance.

pub(super) mod drop_branch;
pub(super) mod drop_own_source;
pub(super) mod drop_shore;
pub(super) mod drop_total;
pub(super) mod volts_out_of_band;

use crate::installation::{Edit, Part, PartId, PartKind};
use crate::survey::{Context, Finding, Report, RuleInfo, change, words};
use crate::units::above;

/// Why the drop at an appliance has no figure.
const UNKNOWN_CABLE: &str = "the size or length of a cable between it and the source is not known";
/// Why there is nothing to hold a drop against.
const UNKNOWN_LOAD: &str = "its running power is not known";
/// Why a drop is only a lower bound.
const SHARED: &str = "the running power of another appliance on the same feeder is not known";

/// Appliances that are fed and switched on.
fn running<'a>(cx: &Context<'a>) -> impl Iterator<Item = (PartId, &'a Part)> {
    cx.of_kind(PartKind::Appliance).filter(|(id, _)| cx.is_fed(*id) && cx.is_on(*id))
}

/// Whether there is a finding, or else why the check could not be made in full.
fn judged(cx: &Context<'_>, report: &mut Report, info: &RuleInfo, id: PartId, figure: Option<f64>, found: bool) {
    if found {
        return;
    }
    if figure.is_none() {
        report.not_checked(info, [id], UNKNOWN_CABLE);
    } else if cx.unknown_loads(id) > 0 {
        report.not_checked(info, [id], UNKNOWN_LOAD);
    } else if cx.upstream(id).and_then(|up| up.first).is_some_and(|first| cx.unknown_loads(first) > 0) {
        report.not_checked(info, [id], SHARED);
    }
}

/// Holds the drop at each appliance that a source of some kind feeds against a limit in per cent of nominal, that for
/// lighting or that for all else.
fn from_source(
    cx: &Context<'_>,
    report: &mut Report,
    info: &RuleInfo,
    feeds: impl Fn(Option<PartKind>) -> bool,
    source: &str,
    limit: impl Fn(bool) -> f64,
) {
    for (id, part) in running(cx) {
        if !feeds(cx.upstream(id).and_then(|up| cx.kind(up.root))) {
            continue;
        }
        let limit = limit(part.lighting);
        let drop = cx.drop_percent(id, cx.leg(id));
        let found = drop.filter(|&d| above(d, limit));
        if let Some(drop) = found {
            let (shown, most) = words::pair(drop, limit, "%");
            let use_ = if part.lighting { "lighting" } else { "other uses than lighting" };
            let message =
                format!("At {} the voltage is down {shown} from {source}; {most} is the most for {use_}.", part.name());
            let worst = cx.upstream(id).and_then(|up| up.worst_cable);
            let cure = change::thicker_for_drop(cx, worst, cx.nominal_v(cx.leg(id)), drop, limit);
            report.add(info.finding([id], message).measured(drop, limit, "%").cured(cure));
        }
        judged(cx, report, info, id, drop, found.is_some());
    }
}

/// The cable with the largest drop on the way to the part at fault in each thicker size.
fn worst_cable_thicker(cx: &Context<'_>, finding: &Finding) -> Vec<Edit> {
    let part = finding.parts.first().copied();
    change::thicker(cx, part.and_then(|p| cx.upstream(p)).and_then(|up| up.worst_cable))
}
