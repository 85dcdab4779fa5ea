//! Rules about what makes a breaker trip, and when.

pub(super) mod fault_current_low;
pub(super) mod fault_not_cleared;
pub(super) mod start_trips_breaker;

use crate::installation::{PartId, Trip};
use crate::survey::{Context, Report, RuleInfo, Short, words};
use crate::units::Severity;
use std::collections::BTreeMap;

/// Said with a finding about a breaker of type D.
const OF_TYPE_D: &str = "a band of type D that ends at 15 times the rating, as in some national versions, is not used";

/// Which other end of the band of this breaker is not used, where there is one.
fn other_band(cx: &Context<'_>, breaker: PartId) -> Option<&'static str> {
    cx.part(breaker).is_some_and(|p| p.trip(cx.system()) == Trip::D).then_some(OF_TYPE_D)
}

/// A breaker that the weakest short circuit behind it does not trip as a rule asks.
struct Weak {
    breaker: PartId,
    short: Short,
    limit_a: f64,
}

/// Reports such breakers: each by itself where the cables are the limit (CAUTION), and all of one source together where its
/// peak rating is (NOTICE), at the one that needs most. `end` ends the sentence for a breaker's name and the amperes that
/// it needs.
fn weak_faults(
    cx: &Context<'_>,
    report: &mut Report,
    info: &RuleInfo,
    found: Vec<Weak>,
    end: impl Fn(&str, &str) -> String,
) {
    let mut by_source: BTreeMap<PartId, Vec<Weak>> = BTreeMap::new();
    let mut add = |weak: &Weak, others: &[PartId], by: &str, severity| {
        let (shown, needed) = words::pair(weak.short.amps, weak.limit_a, "A");
        let same = if others.is_empty() { String::new() } else { format!(" The same of {}.", words::tags(cx, others)) };
        let message = format!(
            "A short circuit at {} gives {shown} at most ({by}); {}.{same}",
            cx.name(weak.short.at),
            end(&cx.name(weak.breaker), &needed)
        );
        let parts = [weak.breaker, weak.short.at].into_iter().chain(others.iter().copied());
        let finding = info.finding(parts, message).measured(weak.short.amps, weak.limit_a, "A").at(severity);
        report.add(finding.not_using(other_band(cx, weak.breaker)));
    };
    for weak in found {
        match cx.upstream(weak.breaker).map(|up| up.root).filter(|_| weak.short.by_source) {
            Some(source) => by_source.entry(source).or_default().push(weak),
            None => add(&weak, &[], "the cables are the limit", Severity::Caution),
        }
    }
    for all in by_source.into_values() {
        let Some(worst) = all.iter().max_by(|a, b| a.limit_a.total_cmp(&b.limit_a)) else { continue };
        let others: Vec<PartId> = all.iter().map(|w| w.breaker).filter(|&b| b != worst.breaker).collect();
        add(worst, &others, "the source's peak is the limit", Severity::Notice);
    }
}
