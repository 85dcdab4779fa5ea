//! What survey and loads add to the drawing, as plain data.

use crate::diagram::{Overlay, Peak};
use crate::installation::{Installation, PartId};
use crate::loads::starting::Peaks;
use crate::network::{Rated, Solution};
use crate::survey::Judged;
use crate::units::above;
use std::collections::BTreeMap;

/// Rules that find a part above its own rating.
const OVERLOADS: [&str; 7] = [
    "breaker-overload",
    "inlet-overload",
    "equipment-overload",
    "source-breaker-overload",
    "source-running",
    "source-starting",
    "source-volt-amperes",
];

/// What survey and loads add to the drawing.
#[must_use]
pub fn overlay(
    installation: &Installation,
    solution: &Solution,
    judged: &Judged,
    peaks: &BTreeMap<PartId, Peaks>,
) -> Overlay {
    let mut out = Overlay::default();
    for finding in &judged.open {
        if let Some(part) = finding.parts.first() {
            let worst = out.worst.entry(*part).or_insert(finding.severity);
            *worst = finding.severity.max(*worst);
        }
        for cable in &finding.cables {
            let worst = out.worst_cables.entry(*cable).or_insert(finding.severity);
            *worst = finding.severity.max(*worst);
        }
        // Hatched is what carries more than its own limit, nothing else.
        let over = finding.figure.zip(finding.limit).is_some_and(|(figure, limit)| above(figure, limit));
        if over && finding.rule == "conductor-overload" {
            out.over_cables.extend(&finding.cables);
        } else if over && OVERLOADS.contains(&finding.rule) {
            out.over_parts.extend(finding.parts.first());
        }
    }
    for (id, part) in &installation.parts {
        let amps = solution.parts.get(id).and_then(|p| p.amps);
        if let (Some(amps), Some(rating)) = (amps, part.rating_a)
            && above(amps, 0.8 * rating)
            && !above(amps, rating)
        {
            out.close_parts.insert(*id);
        }
    }
    for (id, peak) in peaks {
        let Some(part) = installation.parts.get(id) else { continue };
        out.peaks.insert(
            *id,
            Peak {
                running: Rated::of(part, installation.system, solution.sources.get(id)),
                peak_w: peak.worst_restart_w.or(peak.best_order_w),
                peak_rating_w: part.start_w(installation.system),
            },
        );
    }
    out
}
