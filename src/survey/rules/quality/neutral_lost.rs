//! What a lost shared neutral would do.
//!
//! # What it finds
//! A panel of two lines whose loads are so unequal that, were its neutral lost, the lighter loaded line would get more than
//! 110 % of nominal.
//!
//! # Why it matters
//! Without the neutral the loads of both lines lie in series across twice the nominal voltage, which divides by their
//! impedances: appliances on the lighter line burn out, and may burn.
//!
//! # Source of the limit
//! Circuit theory, loads taken as impedances. 110 %: NEMA MG 1 and IEC 60038, from memory.
//!
//! # Fires
//! ```csv
//! # system: 120/240V60Hz
//! # rules: us
//! tag,kind,fed_from,run_w,leg,load_kind,conductor
//! G1,generator,,9000,,,
//! A1,panel,G1,,,,none
//! E1,appliance,A1,300,L1,impedance,none
//! E2,appliance,A1,1500,L2,impedance,none
//! ```
//! ```csv
//! # system: 120/240V60Hz
//! # rules: international
//! tag,kind,fed_from,run_w,leg,load_kind,conductor
//! G1,generator,,9000,,,
//! A1,panel,G1,,,,none
//! E1,appliance,A1,1500,L1,impedance,none
//! E2,appliance,A1,300,L2,impedance,none
//! ```
//!
//! # Must not fire
//! ```csv
//! # system: 120/240V60Hz
//! # rules: us
//! tag,kind,fed_from,run_w,leg,load_kind,conductor
//! G1,generator,,9000,,,
//! A1,panel,G1,,,,none
//! E1,appliance,A1,1000,L1,impedance,none
//! E2,appliance,A1,1100,L2,impedance,none
//! E3,appliance,A1,3000,L1-L2,impedance,none
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,run_w,load_kind,conductor
//! G1,generator,,9000,,
//! A1,panel,G1,,,none
//! E1,appliance,A1,300,impedance,none
//! E2,appliance,A1,1500,impedance,none
//! ```
//!
//! # Boundary
//! ```csv
//! # system: 120/240V60Hz
//! # rules: us
//! tag,kind,fed_from,run_w,leg,load_kind,conductor
//! G1,generator,,9000,,,
//! A1,panel,G1,,,,none
//! E1,appliance,A1,1000,L1,impedance,none
//! E2,appliance,A1,{1222 -> 1223},L2,impedance,none
//! ```
//! ```csv
//! # system: 120/240V60Hz
//! # rules: international
//! tag,kind,fed_from,run_w,leg,load_kind,conductor
//! G1,generator,,9000,,,
//! A1,panel,G1,,,,none
//! E1,appliance,A1,{1222 -> 1223},L1,impedance,none
//! E2,appliance,A1,1000,L2,impedance,none
//! ```
//!
//! # Cure
//! For the electrician: see that the shared neutral is sound at every joint and never opens before the lines; spread the
//! loads over both lines.

use crate::installation::Leg;
use crate::survey::rules::prelude::*;
use crate::units::Complex;
use std::collections::BTreeMap;

rule! {
    id: "neutral-lost",
    severity: Severity::Notice,
    sets: BOTH,
    demand: "Were a shared neutral lost, no line would get more than 110 % of nominal (information).",
    source: "Circuit theory; NEMA MG 1 and IEC 60038 for 110 %",
    mark: Mark::Memory,
    cure: Cure::Words("For the electrician: see that the shared neutral is sound at every joint and never opens before the lines; spread the loads over both lines."),
    needs_figures: true,
}

/// Share of nominal.
const SHARE: f64 = 1.1;

fn check(cx: &Context<'_>, report: &mut Report) {
    if !cx.system().is_split_phase() {
        return;
    }
    // Admittance on each line, by the last panel of two lines.
    let mut panels: BTreeMap<PartId, (Complex, Complex)> = BTreeMap::new();
    for (id, _) in cx.of_kind(PartKind::Appliance).filter(|(id, _)| cx.is_on(*id)) {
        let Some(panel) = cx.upstream(id).and_then(|up| up.panel).filter(|&p| cx.leg(p).is_three_wire()) else {
            continue;
        };
        let Some((i, u)) = cx.flow(id).and_then(|f| f.currents.zip(f.voltages)) else { continue };
        let sum = panels.entry(panel).or_default();
        match cx.leg(id) {
            Leg::L1 if u.l1.norm() > 0.0 => sum.0 += i.l1 / u.l1,
            Leg::L2 if u.l2.norm() > 0.0 => sum.1 += i.l2 / u.l2,
            _ => {}
        }
    }
    let nominal = cx.system().nominal_v();
    for (panel, (y1, y2)) in panels {
        if y1.norm() <= 0.0 || y2.norm() <= 0.0 {
            continue;
        }
        let (v1, v2) = (2.0 * nominal * (y2 / (y1 + y2)).norm(), 2.0 * nominal * (y1 / (y1 + y2)).norm());
        let (line, volts) = if v1 > v2 { ("L1", v1) } else { ("L2", v2) };
        if above(volts, SHARE * nominal) {
            let (shown, most) = words::pair(volts, SHARE * nominal, "V");
            let message = format!(
                "Were the neutral of {} lost, what runs on {line} would get {shown}; {most} is 110 %.",
                cx.name(panel)
            );
            report.add(INFO.finding([panel], message).measured(volts, SHARE * nominal, "V"));
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::network::solve;
    use crate::store::list::boat;
    use crate::survey::run;

    /// With watts on either line, and whether these are on.
    fn words(l1_w: &str, l2_w: &str) -> Vec<String> {
        let boat = boat(&format!(
            "# system: 120/240V60Hz\ntag,kind,fed_from,run_w,on,load_kind,leg,conductor\nG1,generator,,9000,,,,\nA1,panel,G1,,,,,none\n\
             E1,appliance,A1,{l1_w},impedance,L1,none\nE2,appliance,A1,{l2_w},impedance,L2,none\n"
        ));
        let all = run(&boat, &solve(&boat, 0)).findings.into_iter().filter(|f| f.rule == super::INFO.id);
        all.map(|f| f.message).collect()
    }

    /// In series the smaller of two loads gets the larger share of 240 V: of 1,200 W and 600 W, 80 V and 160 V.
    #[test]
    fn without_a_neutral_the_line_with_less_on_it_gets_more_volts() {
        let said =
            |line: &str| [format!("Were the neutral of A1 lost, what runs on {line} would get 160 V; 132 V is 110 %.")];
        assert_eq!(words("1200,yes", "600,yes"), said("L2"));
        assert_eq!(words("600,yes", "1200,yes"), said("L1"));
        assert_eq!(words("600,yes", "600,yes"), [""; 0]);
        assert_eq!(words("600,yes", "600,no"), [""; 0], "nothing runs on the other line");
        assert_eq!(words("600,no", "600,yes"), [""; 0]);
    }
}
