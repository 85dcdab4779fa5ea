//! Trip curves: the band of each class, and what starts and short circuits make of it. Figures computed by hand from UL 489
//! and IEC 60898-1 tables 2 and 7.

use hullwire::installation::{Installation, Trip};
use hullwire::network::solve;
use hullwire::store::list::import;
use hullwire::survey::{Band, PLOT_S, TripCurve, Verdict, trip_curve};

fn curve(list: &str, tag: &str) -> (Installation, Result<TripCurve, String>) {
    let installation = import(list).unwrap_or_else(|problems| panic!("{problems:?}")).installation;
    let breaker = installation.part_by_tag(tag).unwrap_or_else(|| panic!("no {tag}"));
    let curve = trip_curve(&installation, &solve(&installation, 0), breaker);
    (installation, curve)
}

#[test]
fn verdicts_follow_the_points_of_the_standard() {
    use Verdict::{Holds, MayTrip, Trips};
    // Class, rating, amperes, seconds, verdict.
    let cases = [
        (Trip::Us, 20.0, 20.0, 1e9, Holds),
        (Trip::Us, 20.0, 20.1, 1.0, MayTrip),
        (Trip::Us, 20.0, 27.0, 3600.0, Trips),
        (Trip::Us, 20.0, 26.9, 3600.0, MayTrip),
        (Trip::Us, 20.0, 40.0, 119.0, MayTrip),
        (Trip::Us, 20.0, 40.0, 120.0, Trips),
        (Trip::Us, 40.0, 80.0, 239.0, MayTrip),
        (Trip::Us, 20.0, 4000.0, 0.1, MayTrip),
        (Trip::B, 16.0, 18.08, 3600.0, Holds),
        (Trip::B, 16.0, 18.09, 3600.0, MayTrip),
        (Trip::B, 16.0, 23.2, 3600.0, Trips),
        (Trip::B, 16.0, 40.8, 1.0, Holds),
        (Trip::B, 16.0, 40.9, 1.0, MayTrip),
        (Trip::B, 16.0, 48.0, 0.1, Holds),
        (Trip::B, 16.0, 80.0, 0.1, Trips),
        (Trip::C, 16.0, 80.0, 0.1, Holds),
        (Trip::C, 16.0, 159.0, 0.1, MayTrip),
        (Trip::C, 16.0, 160.0, 0.1, Trips),
        (Trip::D, 16.0, 160.0, 0.1, Holds),
        (Trip::D, 16.0, 320.0, 0.1, Trips),
        (Trip::D, 16.0, 320.0, 0.09, MayTrip),
    ];
    for (trip, rating, amps, seconds, expected) in cases {
        let band = Band::new(trip, rating).unwrap_or_else(|why| panic!("{why}"));
        assert_eq!(band.verdict(amps, seconds), expected, "{trip:?} {rating} A at {amps} A for {seconds} s");
    }
    assert!(Band::new(Trip::Fuse, 10.0).is_err_and(|why| why.contains("fuse")));
    assert!(Band::new(Trip::C, 160.0).is_err_and(|why| why.contains("160 A")));
}

/// A verdict never gets milder as current or time grow, and the corners of the plot say what the verdict says.
#[test]
fn the_plot_agrees_with_the_verdict() {
    for trip in [Trip::Us, Trip::B, Trip::C, Trip::D] {
        for rating in [6.0, 16.0, 40.0, 80.0] {
            let band = Band::new(trip, rating).unwrap_or_else(|why| panic!("{why}"));
            let steps: Vec<f64> = (0..80).map(|i| 10f64.powf(-2.0 + f64::from(i) * 0.07)).collect();
            for pair in steps.windows(2) {
                for other in &steps {
                    assert!(band.verdict(pair[0] * rating, *other) <= band.verdict(pair[1] * rating, *other));
                    assert!(band.verdict(*other * rating, pair[0]) <= band.verdict(*other * rating, pair[1]));
                }
            }
        }
    }
    let list = "# system: 230V50Hz\ntag,kind,fed_from,rating_a,run_w,conductor,length_m,trip\nX1,shore-inlet,,16,,,,\n\
                Q1,breaker,X1,10,,none,,B\nE1,appliance,Q1,,100,1.5 mm2,10,\n";
    let curve = curve(list, "Q1").1.unwrap_or_else(|why| panic!("{why}"));
    assert_eq!(
        curve.must_hold,
        [
            (11.299_999_999_999_999, 3600.0),
            (11.299_999_999_999_999, 1.0),
            (25.5, 1.0),
            (25.5, 0.1),
            (30.0, 0.1),
            (30.0, PLOT_S.0)
        ]
    );
    let last = curve.must_trip.last().copied();
    assert_eq!(
        curve.must_trip[..6],
        [(14.5, PLOT_S.1), (14.5, 3600.0), (25.5, 3600.0), (25.5, 60.0), (50.0, 60.0), (50.0, 0.1)]
    );
    assert!(last.is_some_and(|(amps, seconds)| amps >= 300.0 && seconds == 0.1), "{last:?}");
    for edge in [&curve.must_hold, &curve.must_trip] {
        assert!(edge.windows(2).all(|w| w[0].0 <= w[1].0 && w[0].1 >= w[1].1), "{edge:?}");
    }
}

#[test]
fn starts_and_short_circuits_are_set_against_the_band() {
    // 500 W run and 4000 W to start at 230 V: 17.39 A through the breaker.
    let list = |trip: &str, source: &str| {
        format!(
            "# system: 230V50Hz\ntag,kind,fed_from,rating_a,run_w,start_w,load_kind,conductor,length_m,trip,bonded\n\
             {source}\nQ1,breaker,G1,6,,,,none,,{trip},\nM1,appliance,Q1,,500,4000,motor,1.5 mm2,10,,\n"
        )
    };
    let big = "G1,generator,,100,20000,60000,,,,,yes";
    let (_, b) = curve(&list("B", big), "Q1");
    let b = b.unwrap_or_else(|why| panic!("{why}"));
    let start = b.start.unwrap_or_else(|| panic!("no start"));
    assert!((start.amps - 17.4).abs() < 0.1 && start.seconds == 1.0, "{start:?}");
    assert_eq!(start.verdict, Verdict::MayTrip, "2.55 × 6 A is 15.3 A");
    let fault = b.fault.unwrap_or_else(|| panic!("no fault"));
    // 60 kW at its peak, 261 A, or the cable: the smaller one.
    assert!(fault.short.amps <= 60_000.0 / 230.0 + 1e-9 && fault.at_once == Verdict::Trips, "{fault:?}");
    assert_eq!(fault.within_s, Some(0.1));
    let small = "G1,generator,,100,2000,2300,,,,,yes";
    let (_, c) = curve(&list("C", small), "Q1");
    let fault = c.unwrap_or_else(|why| panic!("{why}")).fault.unwrap_or_else(|| panic!("no fault"));
    assert!((fault.short.amps - 10.0).abs() < 1e-9 && fault.short.by_source, "{fault:?}");
    assert_eq!((fault.at_once, fault.within_s), (Verdict::Holds, Some(3600.0)), "10 A is 1.67 of 6 A: within the hour");
}

#[test]
fn what_is_not_known_is_said() {
    let list = "# system: 120V60Hz\ntag,kind,fed_from,rating_a,run_w,start_w,load_kind,conductor,length_m,trip\n\
                G1,generator,,30,3000,,,,,\nQ1,breaker,G1,20,,,,none,,\nM1,appliance,Q1,,500,2500,motor,12 AWG,,\n\
                Q2,breaker,G1,,,,,none,,\nQ3,breaker,G1,15,,,,none,,fuse\n";
    let (_, us) = curve(list, "Q1");
    let us = us.unwrap_or_else(|why| panic!("{why}"));
    assert!(us.fault.is_none() && us.band.at_once_a().is_none());
    let notes = us.notes.join("\n");
    for said in ["maker", "Not known: the short circuit at 1 far end", "common practice, no source", "may trip"] {
        assert!(notes.contains(said), "no “{said}” in {notes}");
    }
    assert_eq!(curve(list, "Q2").1, Err("its rated current is not known".to_owned()));
    assert!(curve(list, "Q3").1.is_err_and(|why| why.contains("fuse")));
    assert!(curve(list, "M1").1.is_err_and(|why| why.contains("breakers alone")));
    let (_, off) = curve(&list.replace("# system", "# feeding: off\n# system"), "Q1");
    assert!(off.is_ok_and(|c| c.carries_a.is_none() && c.start.is_none() && c.fault.is_none()));
}
