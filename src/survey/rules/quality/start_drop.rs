//! The voltage falls far while a motor starts.
//!
//! # What it finds
//! A motor in use at which the voltage falls by more than 15 % of nominal while it starts, over the cables alone.
//!
//! # Why it matters
//! It may not come up to speed, and electronics on the same feeder restart.
//!
//! # Source of the limit
//! Common practice, no source: 15 %. IEC 60364-5-52 Annex G excuses the start without a figure. The source's own
//! dip is not known and comes on top. The power factor of the start is its watts over its volt-amperes, 1 where the
//! latter are not known.
//!
//! # Fires
//! ```csv
//! # system: 120V60Hz
//! # resistance: formula
//! tag,kind,fed_from,rating_a,run_w,start_w,start_va,load_kind,conductor,length_m
//! G1,generator,,30,3000,9000,,,,
//! M1,appliance,G1,,100,2400,2400,motor,12 AWG,72
//! ```
//! ```csv
//! # system: 230V50Hz
//! # resistance: formula
//! tag,kind,fed_from,rating_a,run_w,start_w,start_va,load_kind,conductor,length_m
//! G1,generator,,30,3000,9000,,,,
//! M1,appliance,G1,,100,4600,4600,motor,1.5 mm2,63
//! ```
//!
//! # Must not fire
//! ```csv
//! # system: 120V60Hz
//! # resistance: formula
//! tag,kind,fed_from,rating_a,run_w,start_w,start_va,load_kind,conductor,length_m
//! G1,generator,,30,3000,9000,,,,
//! M1,appliance,G1,,100,2400,2400,motor,12 AWG,70
//! ```
//! ```csv
//! # system: 230V50Hz
//! # resistance: formula
//! tag,kind,fed_from,rating_a,run_w,start_w,start_va,load_kind,conductor,length_m
//! G1,generator,,30,3000,9000,,,,
//! M1,appliance,G1,,100,4600,4600,motor,1.5 mm2,58
//! ```
//!
//! # Boundary
//! ```csv
//! # system: 120V60Hz
//! # resistance: formula
//! tag,kind,fed_from,run_w,start_w,load_kind,conductor,length_m
//! G1,generator,,20000,60000,,,
//! M1,appliance,G1,100,{10718 -> 10723},motor,14 AWG,10
//! ```
//! ```csv
//! # system: 230V50Hz
//! # resistance: formula
//! tag,kind,fed_from,run_w,start_w,load_kind,conductor,length_m
//! G1,generator,,20000,60000,,,
//! M1,appliance,G1,100,{28849 -> 28854},motor,1.5 mm2,10
//! ```
//!
//! # Cure
//! Thicker cable, or a soft starter.

use crate::installation::LoadKind;
use crate::survey::rules::prelude::*;

rule! {
    id: "start-drop",
    severity: Severity::Caution,
    sets: BOTH,
    demand: "While a motor starts, the voltage at it falls by 15 % of nominal at most.",
    source: "Common practice, no source",
    mark: Mark::CommonPractice,
    cure: Cure::Words("Thicker cable, or a soft starter."),
    needs_figures: true,
}

/// Per cent of nominal.
const LIMIT: f64 = 15.0;

fn check(cx: &Context<'_>, report: &mut Report) {
    let motors = cx.of_kind(PartKind::Appliance).filter(|(_, p)| p.load_kind == LoadKind::Motor);
    for (id, part) in motors.filter(|(id, _)| cx.is_fed(*id) && cx.is_on(*id)) {
        // A motor that starts with no more than it draws running adds nothing.
        if part.start_va.or_else(|| part.start_w(cx.system())).is_some() && cx.largest_start(id).is_none() {
            continue;
        }
        let leg = cx.leg(id);
        let (Some(start), Some(ohms), Some(running)) =
            (cx.largest_start(id), cx.loop_ohms(id), cx.drop_percent(id, leg))
        else {
            report.not_checked(&INFO, [id], "its starting watts, or a cable on the way, are not known");
            continue;
        };
        let pf = match (part.start_w, part.start_va) {
            (Some(w), Some(va)) if va > w => w / va,
            _ => 1.0,
        };
        let volts = start.added_a * (ohms.re * pf + ohms.im * (1.0 - pf * pf).sqrt());
        let drop = running + volts / cx.nominal_v(leg) * 100.0;
        if above(drop, LIMIT) {
            let (shown, most) = words::pair(drop, LIMIT, "%");
            let message = format!(
                "While {} starts, the cables alone let its voltage fall by {shown}; {most} is the rule of thumb.",
                part.name()
            );
            report.add(INFO.finding([id], message).measured(drop, LIMIT, "%"));
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::network::solve;
    use crate::store::list::boat;
    use crate::survey::run;

    /// 2,400 W and 4,000 VA: a power factor of 0.6, with 0.8 of the amperes across the reactance. At 120 V the start is
    /// 33.33 A and running 1 A.
    #[test]
    fn the_start_falls_over_resistance_and_reactance_by_its_power_factor() {
        let boat = boat(
            "# system: 120V60Hz\n# resistance: published\ntag,kind,fed_from,run_w,start_w,start_va,load_kind,conductor,length_m\n\
             G1,generator,,9000,9000,,,,\nM1,appliance,G1,120,2400,4000,motor,8 AWG,200\n",
        );
        let motor = boat.part_by_tag("M1").unwrap();
        let solution = solve(&boat, 0);
        let found = run(&boat, &solution).findings.into_iter().find(|f| f.rule == super::INFO.id).unwrap();
        let flow = solution.cables.values().next().unwrap();
        let (ohms, reactance) = (flow.ohms.unwrap(), flow.reactance_ohms.unwrap());
        assert!(reactance > 0.04 * ohms, "{reactance} of {ohms} Ω");
        let running = solution.parts[&motor].drop_percent.unwrap();
        let start = (4000.0 - 120.0) / 120.0 * (0.6 * ohms + 0.8 * reactance) / 120.0 * 100.0;
        let figure = found.figure.unwrap();
        assert!((figure - running - start).abs() < 1e-9, "{figure} %, by hand {} %", running + start);
    }

    #[test]
    fn a_motor_whose_start_is_not_known_is_open_only_while_it_is_on_and_fed() {
        let open = |breaker: &str, motor: &str| {
            let boat = boat(&format!(
                "# system: 120V60Hz\ntag,kind,fed_from,run_w,load_kind,conductor,length_m,on\nG1,generator,,9000,,,,\n\
                 Q1,breaker,G1,,,none,,{breaker}\nM1,appliance,Q1,300,motor,14 AWG,3,{motor}\n"
            ));
            run(&boat, &solve(&boat, 0)).not_checked.iter().any(|n| n.rule == super::INFO.id)
        };
        assert!(open("yes", "yes"));
        assert!(!open("yes", "no") && !open("no", "yes") && !open("no", "no"));
    }
}
