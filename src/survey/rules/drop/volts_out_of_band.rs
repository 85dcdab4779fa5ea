//! The volts at an appliance are outside its own range, or nominal ±10 % where it states none.
//!
//! # What it finds
//! Appliances in use at which the voltage is below or above what they are made for; 90 % or 110 % of nominal where they do
//! not say. Where the source itself is outside the band, all its appliances are one finding, but for those with a range of
//! their own.
//!
//! # Why it matters
//! Motors overheat and stall below it, electronics and heaters are overstressed above it.
//!
//! # Source of the limit
//! The appliance's own range, as entered. Else NEMA MG 1 (tolerance of motors) and IEC 60038 (range of supply voltage), from
//! memory.
//!
//! # Fires
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,volts,conductor
//! G1,generator,,30,3000,107.99,
//! E1,appliance,G1,,100,,none
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,run_w,volts,conductor
//! X1,shore-inlet,,16,,253.01,
//! E1,appliance,X1,,100,,none
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,run_w,volts,conductor,volts_min
//! X1,shore-inlet,,16,,225,,
//! E1,appliance,X1,,100,,none,226
//! ```
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,volts,conductor,volts_max
//! G1,generator,,30,3000,105,,
//! E1,appliance,G1,,100,,none,99
//! ```
//!
//! # Must not fire
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,volts,conductor,volts_min
//! G1,generator,,30,3000,105,,
//! E1,appliance,G1,,100,,none,100
//! ```
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,volts,conductor,volts_max
//! G1,generator,,30,3000,98,,
//! E1,appliance,G1,,100,,none,99
//! ```
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,volts,conductor
//! G1,generator,,30,3000,108,
//! E1,appliance,G1,,100,,none
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,run_w,volts,conductor
//! X1,shore-inlet,,16,,253,
//! E1,appliance,X1,,100,,none
//! ```
//!
//! # Boundary
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,volts,conductor
//! G1,generator,,30,3000,{108 -> 107.99},
//! E1,appliance,G1,,100,,none
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,run_w,volts,conductor
//! X1,shore-inlet,,16,,{253 -> 253.01},
//! E1,appliance,X1,,100,,none
//! ```
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,volts,conductor
//! G1,generator,,30,3000,{132 -> 132.01},
//! E1,appliance,G1,,100,,none
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,run_w,volts,conductor
//! X1,shore-inlet,,16,,{207 -> 206.99},
//! E1,appliance,X1,,100,,none
//! ```
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,volts,conductor,volts_min
//! G1,generator,,30,3000,105,,
//! E1,appliance,G1,,100,,none,{105 -> 105.1}
//! ```
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,volts,conductor,volts_max
//! G1,generator,,30,3000,125,,
//! E1,appliance,G1,,100,,none,{125 -> 124.9}
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,run_w,volts,conductor,volts_min
//! X1,shore-inlet,,16,,225,,
//! E1,appliance,X1,,100,,none,{225 -> 225.1}
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,run_w,volts,conductor,volts_max
//! X1,shore-inlet,,16,,240,,
//! E1,appliance,X1,,100,,none,{240 -> 239.9}
//! ```
//!
//! # Cure
//! Thicker cable, a smaller load, or a source that holds its volts.

use super::{judged, running};
use crate::installation::Part;
use crate::survey::rules::prelude::*;
use crate::units::signed_percent;
use std::collections::BTreeMap;

rule! {
    id: "volts-out-of-band",
    severity: Severity::Warning,
    sets: BOTH,
    demand: "At each appliance the voltage is within the range for which it is made; within 10 % of nominal where that is not stated.",
    source: "NEMA MG 1; IEC 60038",
    mark: Mark::Memory,
    cure: Cure::Words("Fit thicker cable or run less at once; where the source itself is out of the band, have it adjusted or do not use it."),
    needs_figures: true,
}

/// Share of nominal by which the voltage may differ.
const BAND: f64 = 0.1;

/// The band of nominal within which no appliance is looked at on its own account.
fn usual(nominal: f64) -> (f64, f64) {
    (nominal * (1.0 - BAND), nominal * (1.0 + BAND))
}

/// The volts for which an appliance is made: each end as stated, else as usual; open where the stated end lies beyond the
/// usual other one.
fn own(part: &Part, nominal: f64) -> (f64, f64) {
    let (low, high) = usual(nominal);
    let low = if part.volts_max.is_some_and(|max| max < low) { f64::NEG_INFINITY } else { low };
    let high = if part.volts_min.is_some_and(|min| min > high) { f64::INFINITY } else { high };
    (part.volts_min.unwrap_or(low), part.volts_max.unwrap_or(high))
}

/// The edge of a band that is crossed, if one is.
fn edge(volts: f64, (low, high): (f64, f64)) -> Option<f64> {
    if below(volts, low) {
        Some(low)
    } else if above(volts, high) {
        Some(high)
    } else {
        None
    }
}

/// One appliance outside the band.
struct Outside {
    id: PartId,
    volts: f64,
    nominal: f64,
    edge: f64,
}

fn check(cx: &Context<'_>, report: &mut Report) {
    let mut by_source: BTreeMap<PartId, Vec<Outside>> = BTreeMap::new();
    for (id, part) in running(cx) {
        if let (Some(min), Some(max)) = (part.volts_min, part.volts_max)
            && min > max
        {
            report.not_checked(&INFO, [id], "its least volts are above its most volts");
            continue;
        }
        let nominal = cx.nominal_v(cx.leg(id));
        let volts = cx.flow(id).and_then(|flow| flow.volts);
        let outside =
            volts.and_then(|v| edge(v, own(part, nominal)).map(|edge| Outside { id, volts: v, nominal, edge }));
        judged(cx, report, &INFO, id, volts, outside.is_some());
        let Some(outside) = outside else { continue };
        let root = cx.upstream(id).map(|up| up.root);
        // What states a range of its own is judged by itself, whatever the source does.
        let states = [part.volts_min, part.volts_max].contains(&Some(outside.edge));
        let source = root.filter(|&r| {
            cx.part(r).is_some_and(|p| edge(p.volts(cx.system()), usual(cx.system().nominal_v())).is_some())
        });
        if let Some(source) = source.filter(|_| !states) {
            by_source.entry(source).or_default().push(outside);
            continue;
        }
        let message = format!(
            "{} gets {}, {} of nominal; {} is the limit{}.",
            part.name(),
            words::pair(outside.volts, outside.edge, "V").0,
            signed_percent((outside.volts / nominal - 1.0) * 100.0),
            words::pair(outside.volts, outside.edge, "V").1,
            if states { " for which it is made, as stated" } else { "" },
        );
        let finding = INFO.finding([id], message).measured(outside.volts, outside.edge, "V");
        report.add(if states {
            finding.by("Range of the appliance, as entered", Mark::CommonPractice)
        } else {
            finding
        });
    }
    for (source, all) in by_source {
        let off = |o: &Outside| (o.volts / o.nominal - 1.0).abs();
        let Some(worst) = all.iter().max_by(|a, b| off(a).total_cmp(&off(b))) else { continue };
        let volts = cx.part(source).map_or(0.0, |p| p.volts(cx.system()));
        let (shown, limit) = words::pair(worst.volts, worst.edge, "V");
        let message = format!(
            "{} gives {} at no load, outside the band itself: {} gets {shown}, the limit is {limit}; {} in all.",
            cx.name(source),
            crate::units::volts(volts),
            cx.name(worst.id),
            words::count(all.len(), "appliance", "appliances"),
        );
        let others = all.iter().map(|o| o.id).filter(|&id| id != worst.id);
        let parts = std::iter::once(worst.id).chain(others).chain([source]);
        report.add(INFO.finding(parts, message).measured(worst.volts, worst.edge, "V"));
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::installation::{Place, Point};

    #[test]
    fn an_end_that_is_not_stated_is_as_usual_or_open_where_the_stated_one_lies_beyond() {
        let range = |volts_min, volts_max| {
            let mut part = Part::new(PartKind::Appliance, "E1", Place::At(Point::default()));
            (part.volts_min, part.volts_max) = (volts_min, volts_max);
            own(&part, 100.0)
        };
        let (low, high) = usual(100.0);
        assert!((low - 90.0).abs() < 1e-9 && (high - 110.0).abs() < 1e-9, "{low} {high}");
        assert_eq!(range(None, None), (low, high));
        assert_eq!(range(Some(80.0), None), (80.0, high));
        assert_eq!(range(Some(100.0), None), (100.0, high));
        assert_eq!(range(Some(200.0), None), (200.0, f64::INFINITY));
        assert_eq!(range(None, Some(130.0)), (low, 130.0));
        assert_eq!(range(None, Some(95.0)), (low, 95.0));
        assert_eq!(range(None, Some(60.0)), (f64::NEG_INFINITY, 60.0));
        assert_eq!(range(Some(85.0), Some(88.0)), (85.0, 88.0));
    }
}
