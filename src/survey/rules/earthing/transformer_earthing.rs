//! Which of its two ways a transformer is earthed in.
//!
//! # What it finds
//! An isolation transformer whose secondary is joined to earth aboard, with no galvanic isolator between it and the shore.
//!
//! # Why it matters
//! There are two ways. As an isolation transformer the shore's earth ends at the screen between the windings, and the
//! boat's earth begins at the secondary. As a polarisation transformer the shore's earth goes on to the boat's: then it
//! is a path for galvanic current and asks for a galvanic isolator. The drawing shows no earth conductors, so it cannot
//! tell which it is.
//!
//! # Source of the limit
//! ABYC E-11 and ISO 13297:2020 6.8; the screen from memory.
//!
//! # Fires
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,bonded
//! X1,shore-inlet,,30,no
//! T1,isolation-transformer,X1,30,yes
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,bonded
//! X1,shore-inlet,,16,no
//! T1,isolation-transformer,X1,16,yes
//! ```
//!
//! # Must not fire
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,bonded
//! X1,shore-inlet,,30,no
//! R1,galvanic-isolator,X1,30,
//! T1,isolation-transformer,R1,30,yes
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,bonded
//! X1,shore-inlet,,16,no
//! R1,galvanic-isolator,X1,16,
//! T1,isolation-transformer,R1,16,yes
//! ```
//!
//! # Cure
//! For the electrician: find out where the shore's earth ends. Either at the screen, or through a galvanic isolator.

use crate::survey::rules::prelude::*;
use std::collections::BTreeSet;

rule! {
    id: "transformer-earthing",
    severity: Severity::Notice,
    sets: BOTH,
    demand: "The shore's earth ends at a transformer's screen, or reaches the boat through a galvanic isolator.",
    source: "ABYC E-11; ISO 13297:2020 6.8 (the screen from memory)",
    mark: Mark::Memory,
    cure: Cure::Words("For the electrician: find out where the shore's earth ends. Either at the screen, or through a galvanic isolator."),
    needs_figures: false,
}

fn check(cx: &Context<'_>, report: &mut Report) {
    let isolated: BTreeSet<PartId> =
        cx.of_kind(PartKind::GalvanicIsolator).flat_map(|(id, _)| cx.sources_of(id).iter().copied()).collect();
    for (id, part) in cx.of_kind(PartKind::IsolationTransformer).filter(|(_, p)| p.bonded != Some(false)) {
        let shore = |s: &&PartId| cx.kind(**s) == Some(PartKind::ShoreInlet);
        let bare: Vec<PartId> =
            cx.sources_of(id).iter().filter(shore).filter(|s| !isolated.contains(s)).copied().collect();
        if !bare.is_empty() && part.bonded.is_none() {
            report.not_checked(&INFO, [id], "whether its secondary is joined to earth is not known");
        } else if !bare.is_empty() {
            let message = format!(
                "{} is earthed aboard; the earth of {} must then end at its screen, which the drawing cannot show.",
                part.name(),
                words::tags(cx, &bare)
            );
            report.add(INFO.finding(std::iter::once(id).chain(bare), message));
        }
    }
}
