//! Parts that are not fed.
//!
//! # What it finds
//! A part that is no source and that no cable feeds (CAUTION); and, as a NOTICE, what is not fed in this condition
//! because a breaker is open, a selector is off or a conductor is missing, gathered by its cause.
//!
//! # Why it matters
//! The first is mostly a forgotten cable. The second is no fault, but nothing was computed for those parts: what they
//! would draw is not in the figures. Not fed never means that it is without voltage.
//!
//! # Source of the limit
//! Common practice: a drawing shows where everything is fed from.
//!
//! # Fires
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,length_m
//! G1,generator,,30,3000,,
//! E1,appliance,,,100,,
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,length_m,on
//! G1,generator,,16,3000,,,
//! Q1,breaker,G1,10,,none,,no
//! E1,appliance,Q1,,100,1.5 mm2,3,
//! ```
//!
//! # Must not fire
//! ```csv
//! # system: 120V60Hz
//! # feeding: G1
//! tag,kind,fed_from,rating_a,run_w,conductor,length_m
//! G1,generator,,30,3000,,
//! X1,shore-inlet,,30,,,
//! Q1,selector,G1|X1,30,,10 AWG,2
//! E1,appliance,Q1,,100,14 AWG,3
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,length_m,on
//! G1,generator,,16,3000,,,
//! Q1,breaker,G1,10,,none,,yes
//! E1,appliance,Q1,,100,1.5 mm2,3,no
//! ```
//!
//! # Cure
//! Draw the cable that feeds the part. What is not fed by choice needs none.

use crate::network::Reach;
use crate::survey::rules::prelude::*;
use std::collections::{BTreeMap, BTreeSet};

rule! {
    id: "not-fed",
    severity: Severity::Caution,
    sets: BOTH,
    demand: "Every part but a source has a cable that feeds it.",
    source: "Common practice: a drawing shows where everything is fed from",
    mark: Mark::CommonPractice,
    cure: Cure::Words("Draw the cable that feeds it."),
    needs_figures: false,
}

fn check(cx: &Context<'_>, report: &mut Report) {
    let islands: BTreeSet<PartId> = cx.walk().islands.iter().flatten().copied().collect();
    let mut without: BTreeSet<PartId> = BTreeSet::new();
    for &part in cx.walk().without_feed.iter().filter(|p| !islands.contains(p)) {
        without.insert(part);
        let message = format!("No cable feeds {}. What the drawing does not show may feed it.", cx.name(part));
        report.add(INFO.finding([part], message));
    }
    let passive = |p: PartId| cx.reach(p) == Reach::NotFed && !islands.contains(&p) && !without.contains(&p);
    let mut behind: BTreeMap<PartId, Vec<PartId>> = BTreeMap::new();
    let mut cause: BTreeMap<PartId, PartId> = BTreeMap::new();
    for &part in cx.drawn_order() {
        if !passive(part) {
            continue;
        }
        let feeds = || cx.arriving(part).iter().filter_map(|&c| cx.cable(c)).map(|c| c.from);
        let top = feeds().find_map(|from| cause.get(&from).copied()).unwrap_or_else(|| {
            let open = feeds().find(|&from| cx.kind(from) == Some(PartKind::Breaker) && !cx.is_on(from));
            let nothing_feeds = || behind.keys().next().copied().filter(|_| cx.walk().roots.is_empty());
            open.or_else(nothing_feeds).unwrap_or(part)
        });
        cause.insert(part, top);
        behind.entry(top).or_default().push(part);
    }
    for (top, mut parts) in behind {
        parts.sort_unstable();
        let rest: Vec<PartId> = parts.iter().copied().filter(|&p| p != top).collect();
        report.add(
            INFO.finding(std::iter::once(top).chain(rest.iter().copied()), why(cx, top, &rest))
                .at(Severity::Notice)
                .without_cure(),
        );
    }
}

/// Why nothing reaches a part, and what lies behind it.
fn why(cx: &Context<'_>, top: PartId, rest: &[PartId]) -> String {
    let name = cx.name(top);
    let also = if rest.is_empty() { String::new() } else { format!(" Not fed: {}.", words::tags(cx, rest)) };
    match cx.kind(top) {
        Some(PartKind::Breaker) if !cx.is_on(top) => format!("{name} is open.{also} May still be live from elsewhere."),
        Some(PartKind::Selector) if !cx.walk().chosen.contains_key(&top) => {
            format!("{name} lets no source through in this condition.{also} May still be live from elsewhere.")
        }
        _ if cx.walk().roots.is_empty() => {
            format!("{name} is not fed: no source feeds in this condition.{also} May still be live from elsewhere.")
        }
        _ => format!(
            "{name} is not fed in this condition: what feeds it brings none of the conductors that it needs, or is itself not reached.{also}"
        ),
    }
}

#[cfg(test)]
mod tests {
    use crate::network::solve;
    use crate::store::list::boat;
    use crate::survey::run;

    /// Tags and words of what the rule finds.
    fn found(list: &str) -> Vec<(Vec<String>, String)> {
        let boat = boat(list);
        let all = run(&boat, &solve(&boat, 0)).findings.into_iter().filter(|f| f.rule == super::INFO.id);
        all.map(|f| (f.parts.iter().map(|&p| boat.tag(p).to_owned()).collect(), f.message)).collect()
    }

    fn one(parts: &[&str], message: &str) -> (Vec<String>, String) {
        (parts.iter().map(|&tag| tag.to_owned()).collect(), message.to_owned())
    }

    #[test]
    fn all_behind_an_open_breaker_is_one_finding_that_names_it() {
        let list = "# system: 120V60Hz\ntag,kind,fed_from,run_w,conductor,length_m,on\nG1,generator,,3000,,,\nQ1,breaker,G1,,none,,no\n\
                    A1,panel,Q1,,10 AWG,2,\nE1,appliance,A1,100,14 AWG,3,\nE2,appliance,A1,100,14 AWG,3,\nE3,appliance,G1,100,14 AWG,3,\n";
        let words = "Q1 is open. Not fed: A1, E1 and E2. May still be live from elsewhere.";
        assert_eq!(found(list), [one(&["Q1", "A1", "E1", "E2"], words)]);
    }

    #[test]
    fn what_a_closed_breaker_brings_no_line_for_is_its_own_cause() {
        let list = "# system: 120/240V60Hz\ntag,kind,fed_from,run_w,leg,conductor,length_m\nG1,generator,,3000,,,\nA1,panel,G1,,,none,\n\
                    Q1,breaker,A1,,L1,none,\nE1,appliance,Q1,100,L1,14 AWG,3\nE2,appliance,Q1,100,L2,14 AWG,3\n";
        let words = "E2 is not fed in this condition: what feeds it brings none of the conductors that it needs, or is itself \
                     not reached.";
        assert_eq!(found(list), [one(&["E2"], words)]);
    }

    #[test]
    fn all_behind_a_selector_without_a_source_is_one_finding_that_names_it() {
        let list = |feeding: &str| {
            format!(
                "# system: 120V60Hz\n# feeding: {feeding}\ntag,kind,fed_from,run_w,conductor,length_m\nG1,generator,,3000,,\n\
                 X1,shore-inlet,,,,\nX2,shore-inlet,,,,\nQ1,selector,G1|X1,,10 AWG,2\nE1,appliance,Q1,100,14 AWG,3\n\
                 E2,appliance,X2,100,14 AWG,3\n"
            )
        };
        let words = "Q1 lets no source through in this condition. Not fed: E1. May still be live from elsewhere.";
        for feeding in ["X2", "off"] {
            assert_eq!(found(&list(feeding)), [one(&["Q1", "E1"], words)], "{feeding}");
        }
        assert_eq!(found(&list("G1")), [], "X2 is not chosen, and may be live");
    }
}
