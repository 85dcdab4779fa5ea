//! An appliance for another frequency.
//!
//! # What it finds
//! Appliances that are made for 50 Hz alone at 60 Hz, or the other way round. A motor whose frequency is not stated is not
//! checked; heaters and most electronics take either, so that they are not asked for it.
//!
//! # Why it matters
//! A motor or transformer for 60 Hz saturates and overheats at 50 Hz; a motor for 50 Hz turns a fifth faster at 60 Hz and may
//! overload with what it drives.
//!
//! # Source of the limit
//! NEMA MG 1, from memory: motors run at 5 % above or below their rated frequency; the other system is 17 or 20 % away.
//!
//! # Fires
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,load_kind,hz,conductor
//! G1,generator,,20,2000,,,
//! M1,appliance,G1,,300,motor,50,none
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,run_w,load_kind,hz,conductor
//! G1,generator,,10,2000,,,
//! E1,appliance,G1,,300,power,60,none
//! ```
//!
//! # Must not fire
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,run_w,load_kind,hz,conductor
//! G1,generator,,20,2000,,,
//! M1,appliance,G1,,300,motor,60,none
//! E1,appliance,G1,,300,impedance,,none
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,run_w,load_kind,hz,conductor
//! G1,generator,,10,2000,,,
//! M1,appliance,G1,,300,motor,50/60,none
//! E1,appliance,G1,,300,power,50,none
//! ```
//!
//! # Cure
//! Read its name plate again. If it is for another frequency it does not belong on this supply.

use crate::installation::LoadKind;
use crate::survey::rules::prelude::*;
use crate::units::{percent, trimmed};

rule! {
    id: "wrong-frequency",
    severity: Severity::Warning,
    sets: BOTH,
    demand: "Each appliance is made for the frequency of the supply.",
    source: "NEMA MG 1 (motors, 5 %)",
    mark: Mark::Memory,
    cure: Cure::Words("Read its name plate again. If it is for another frequency it does not belong on this supply."),
    needs_figures: false,
}

fn check(cx: &Context<'_>, report: &mut Report) {
    let supply = cx.system().frequency_hz();
    for (id, part) in cx.of_kind(PartKind::Appliance) {
        let motor = part.load_kind == LoadKind::Motor;
        let Some(made_for) = part.hz else {
            if motor {
                report.not_checked(&INFO, [id], "the frequency for which it is made is not stated");
            }
            continue;
        };
        // The supply has one of the two frequencies.
        let Some(other) = made_for.only().filter(|hz| (hz - supply).abs() > 1.0) else { continue };
        let turns = if motor {
            let (change, way) = (supply / other - 1.0, if supply > other { "faster" } else { "slower" });
            format!(" Its motor turns {} {way} than it is made for.", percent((change * 100.0).abs()))
        } else {
            String::new()
        };
        let message = format!(
            "{} is made for {} Hz alone; the supply has {} Hz.{turns}",
            part.name(),
            trimmed(other, 0),
            trimmed(supply, 0)
        );
        report.add(INFO.finding([id], message));
    }
}

#[cfg(test)]
mod tests {
    use crate::network::solve;
    use crate::store::list::boat;
    use crate::survey::run;

    fn words(system: &str, load_kind: &str, hz: &str) -> Vec<String> {
        let boat = boat(&format!(
            "# system: {system}\ntag,kind,fed_from,run_w,load_kind,hz,conductor\nG1,generator,,2000,,,\n\
             M1,appliance,G1,300,{load_kind},{hz},none\n"
        ));
        let all = run(&boat, &solve(&boat, 0)).findings.into_iter().filter(|f| f.rule == super::INFO.id);
        all.map(|f| f.message).collect()
    }

    /// 60 over 50 is a fifth more, 50 over 60 a sixth less.
    #[test]
    fn a_motor_is_said_to_turn_a_fifth_faster_or_a_sixth_slower() {
        assert_eq!(
            words("120V60Hz", "motor", "50"),
            ["M1 is made for 50 Hz alone; the supply has 60 Hz. Its motor turns 20.0 % faster than it is made for."]
        );
        assert_eq!(
            words("230V50Hz", "motor", "60"),
            ["M1 is made for 60 Hz alone; the supply has 50 Hz. Its motor turns 16.7 % slower than it is made for."]
        );
        assert_eq!(words("120V60Hz", "power", "50"), ["M1 is made for 50 Hz alone; the supply has 60 Hz."]);
        assert_eq!(words("120V60Hz", "motor", "60"), [""; 0]);
    }
}
