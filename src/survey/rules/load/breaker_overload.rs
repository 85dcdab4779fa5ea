//! A breaker carries more than its rating.
//!
//! # What it finds
//! A breaker or fuse whose current in this condition is above its rated current.
//!
//! # Why it matters
//! It will trip, sooner or later, mostly at the wrong moment. Until then it runs hot.
//!
//! # Source of the limit
//! UL 489 and IEC 60898-1: a breaker holds its rated current. A US breaker trips within the hour at 135 %, an IEC
//! breaker at 145 %; between the rating and there it may trip.
//!
//! # Fires
//! ```csv
//! # system: 120V60Hz
//! # resistance: formula
//! tag,kind,fed_from,rating_a,run_w,conductor,length_m
//! G1,generator,,30,3000,,
//! Q1,breaker,G1,10,,none,
//! E1,appliance,Q1,,1200.001,none,
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,length_m
//! X1,shore-inlet,,16,,,
//! Q1,breaker,X1,10,,none,
//! E1,appliance,Q1,,2300.001,none,
//! ```
//!
//! # Must not fire
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,length_m
//! G1,generator,,30,3000,,
//! Q1,breaker,G1,10,,none,
//! E1,appliance,Q1,,1200,none,
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,run_w,conductor,length_m
//! X1,shore-inlet,,16,,,
//! Q1,breaker,X1,10,,none,
//! E1,appliance,Q1,,2300,none,
//! ```
//!
//! # Boundary
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,conductor
//! G1,generator,,40,4800,
//! Q1,breaker,G1,20,,none
//! E1,appliance,Q1,,{2400 -> 2401},none
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,run_w,conductor
//! G1,generator,,40,9200,
//! Q1,breaker,G1,16,,none
//! E1,appliance,Q1,,{3680 -> 3681},none
//! ```
//!
//! # Cure
//! Less load on the circuit, or the load split over two circuits. A larger breaker only where every cable and outlet
//! behind it is known to carry it.

use super::overloaded;
use crate::installation::Trip;
use crate::survey::rules::prelude::*;
use crate::units::trimmed;

rule! {
    id: "breaker-overload",
    severity: Severity::Warning,
    sets: BOTH,
    demand: "A breaker carries no more than its rated current.",
    source: "UL 489; IEC 60898-1",
    mark: Mark::Read,
    cure: Cure::Words("Run less at once on this circuit, or split it over two circuits."),
    needs_figures: true;
    edits: edits
}

/// The current, as a multiple of the rating, at which a breaker trips within the hour; up to 50 A (US) or 63 A (IEC).
fn surely_trips(trip: Trip) -> Option<f64> {
    match trip {
        Trip::Us => Some(1.35),
        Trip::B | Trip::C | Trip::D => Some(1.45),
        Trip::Fuse => None,
    }
}

fn check(cx: &Context<'_>, report: &mut Report) {
    let breakers = cx.of_kind(PartKind::Breaker).filter(|(id, _)| cx.is_fed(*id));
    let breakers: Vec<_> = breakers.map(|(id, part)| (id, part.rating_a, cx.amps(id))).collect();
    for found in overloaded(cx, report, &INFO, breakers) {
        let trip = cx.part(found.part).map(|p| p.trip(cx.system()));
        let small = found.rating_a <= if matches!(trip, Some(Trip::Us)) { 50.0 } else { 63.0 };
        let within_the_hour = trip.and_then(surely_trips).is_some_and(|k| found.amps >= k * found.rating_a) && small;
        let outcome = if within_the_hour { "It will trip within the hour." } else { "It may trip." };
        let (amps, rating) = words::pair(found.amps, found.rating_a, "A");
        let message = format!(
            "{} carries {amps}; it is rated {rating} ({}). {outcome}",
            cx.name(found.part),
            words::share(found.amps, found.rating_a)
        );
        let larger = change::larger_breaker(cx, found.part, found.amps);
        let cure = larger
            .map(|a| format!("{} A: cable and outlet carry it. Or run less at once on this circuit.", trimmed(a, 1)));
        let (source, other) = match trip {
            Some(Trip::Us) => {
                ("UL 489 (135 % trips within the hour)", Some("IEC 60898-1 with 145 % within the hour is not used"))
            }
            Some(Trip::B | Trip::C | Trip::D) => {
                ("IEC 60898-1 (145 % trips within the hour)", Some("UL 489 with 135 % within the hour is not used"))
            }
            Some(Trip::Fuse) | None => ("Rating of the fuse; ask for its maker's curve", None),
        };
        let finding = INFO.finding([found.part], message).measured(found.amps, found.rating_a, "A").cured(cure);
        report.add(finding.by(source, INFO.mark).not_using(other));
    }
}

fn edits(cx: &Context<'_>, finding: &Finding) -> Vec<Edit> {
    let (Some(&breaker), Some(amps)) = (finding.parts.first(), finding.figure) else { return Vec::new() };
    let mut edits = match change::larger_breaker(cx, breaker, amps) {
        Some(rating) => change::set(finding, Property::RatingA, &[trimmed(rating, 3).as_str()]),
        None => Vec::new(),
    };
    edits.extend(change::split(cx, breaker));
    edits
}

#[cfg(test)]
mod tests {
    use crate::network::solve;
    use crate::store::list::boat;
    use crate::survey::run;

    fn within_the_hour(system: &str, rating_a: f64, amps: f64) -> bool {
        let volts = if system == "230V50Hz" { 230.0 } else { 120.0 };
        let boat = boat(&format!(
            "# system: {system}\ntag,kind,fed_from,rating_a,run_w,conductor\nG1,generator,,,90000,\n\
             Q1,breaker,G1,{rating_a},,none\nE1,appliance,Q1,,{},none\n",
            amps * volts
        ));
        let found = run(&boat, &solve(&boat, 0)).findings.into_iter().find(|f| f.rule == super::INFO.id).unwrap();
        let said = found.message.ends_with("It will trip within the hour.");
        assert!(said || found.message.ends_with("It may trip."), "{}", found.message);
        said
    }

    /// UL 489: 135 % up to 50 A; IEC 60898-1: 145 % up to 63 A. Larger ones have two hours.
    #[test]
    fn a_trip_within_the_hour_is_told_of_small_breakers_far_enough_above_their_rating() {
        assert!(within_the_hour("120V60Hz", 50.0, 67.6) && !within_the_hour("120V60Hz", 50.0, 67.4));
        assert!(!within_the_hour("120V60Hz", 60.0, 90.0));
        assert!(within_the_hour("230V50Hz", 63.0, 91.4) && !within_the_hour("230V50Hz", 63.0, 91.3));
        assert!(!within_the_hour("230V50Hz", 80.0, 120.0));
    }
}
