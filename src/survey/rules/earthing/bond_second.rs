//! A second joint of neutral and earth.
//!
//! # What it finds
//! A selector that does not break the neutral and so joins a bonded source that feeds to another bonded source.
//!
//! # Why it matters
//! With two joints part of the load current returns through earth conductors, hull and water.
//!
//! # Source of the limit
//! 46 CFR 28.360(b), 120.376(a), 129.375(a): one connection to ground, whatever the number of sources.
//!
//! # Fires
//! ```csv
//! # system: 120V60Hz
//! # feeding: G1
//! tag,kind,fed_from,rating_a,run_w,bonded,poles,conductor,length_m
//! G1,generator,,20,2000,yes,,,
//! T1,inverter,,20,2000,yes,,,
//! Q1,selector,G1|T1,30,,,1,10 AWG,2
//! ```
//! ```csv
//! # system: 230V50Hz
//! # feeding: X1
//! tag,kind,fed_from,rating_a,run_w,bonded,poles,conductor,length_m
//! X1,shore-inlet,,16,,no,,,
//! T1,inverter,,10,2000,yes,,,
//! Q1,selector,X1|T1,16,,,1,2.5 mm2,2
//! ```
//!
//! # Must not fire
//! ```csv
//! # system: 120V60Hz
//! # feeding: G1
//! tag,kind,fed_from,rating_a,run_w,bonded,poles,conductor,length_m
//! G1,generator,,20,2000,yes,,,
//! T1,inverter,,20,2000,yes,,,
//! Q1,selector,G1|T1,30,,,2,10 AWG,2
//! ```
//! ```csv
//! # system: 230V50Hz
//! # feeding: X1
//! tag,kind,fed_from,rating_a,run_w,bonded,poles,conductor,length_m
//! X1,shore-inlet,,16,,no,,,
//! T1,inverter,,10,2000,no,,,
//! Q1,selector,X1|T1,16,,,1,2.5 mm2,2
//! ```
//!
//! # Cure
//! Bonding is for the electrician: measure which neutral is joined to earth, and where, before anything is changed.

use super::BOND_NOT_KNOWN;
use crate::survey::rules::prelude::*;

rule! {
    id: "bond-second",
    severity: Severity::Danger,
    sets: BOTH,
    demand: "Neutral and earth are joined in one place alone, at the source that feeds.",
    source: "46 CFR 28.360(b); 46 CFR 120.376(a); 46 CFR 129.375(a)",
    mark: Mark::Read,
    cure: Cure::Words("Bonding is for the electrician: measure which neutral is joined to earth, and where, before anything is changed."),
    needs_figures: false,
}

/// Whether the supply's neutral is joined to earth at this source, aboard or ashore; `None` where it is not known.
fn is_bonded(cx: &Context<'_>, source: PartId) -> Option<bool> {
    cx.part(source).and_then(|p| if p.kind == PartKind::ShoreInlet { Some(true) } else { p.bonded })
}

fn check(cx: &Context<'_>, report: &mut Report) {
    for (id, part) in cx.of_kind(PartKind::Selector) {
        if part.poles.is_some_and(|n| n >= cx.live_conductors()) {
            continue;
        }
        let Some(up) = cx.upstream(id).filter(|up| is_bonded(cx, up.root) != Some(false)) else { continue };
        let beside = |joined: Option<bool>| {
            cx.sources_of(id).iter().copied().filter(move |&s| s != up.root && is_bonded(cx, s) == joined)
        };
        let (others, open): (Vec<PartId>, Vec<PartId>) = (beside(Some(true)).collect(), beside(None).collect());
        if others.is_empty() && open.is_empty() {
            continue;
        }
        let root = is_bonded(cx, up.root).is_none().then_some(up.root);
        let unknown: Vec<PartId> = root.into_iter().chain(open).collect();
        if !unknown.is_empty() {
            report.not_checked(&INFO, unknown, BOND_NOT_KNOWN);
        }
        if root.is_some() || others.is_empty() {
            continue;
        }
        if part.poles.is_none() {
            report.not_checked(&INFO, [id], "whether it breaks the neutral is not known");
        } else {
            let message = format!(
                "{} does not break the neutral, so {} and {} are joined to earth at the same time.",
                part.name(),
                cx.tag(up.root),
                words::tags(cx, &others)
            );
            report.add(INFO.finding([id, up.root].into_iter().chain(others), message));
        }
    }
}
