//! Rules about voltage drop and the volts at an appliance.

pub(super) mod drop_branch;
pub(super) mod drop_own_source;
pub(super) mod drop_shore;
pub(super) mod drop_total;
pub(super) mod volts_out_of_band;

use crate::installation::{Part, PartId, PartKind};
use crate::survey::{Context, Report, RuleInfo};

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
