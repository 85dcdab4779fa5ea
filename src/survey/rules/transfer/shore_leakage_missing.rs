//! No 30 mA protection of the whole boat at the inlet.
//!
//! # What it finds
//! A first breaker behind a shore inlet without leakage protection of 30 mA or less on itself or on the inlet. Not
//! asked for (US) where an isolation transformer stands within 3 m of the inlet.
//!
//! # Why it matters
//! A fault to the hull or in an underwater fitting puts current into the water; swimmers near docks have died of
//! it.
//!
//! # Source of the limit
//! US: ABYC E-11.11.1, 30 mA within 100 ms. International: ISO 13297:2020, 30 mA near the inlet, from memory. NEC (NFPA 70)
//! article 555 asks for 30 mA or less at the dock's receptacle too: the dock may open first on the boat's leakage.
//!
//! # Fires
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,conductor,protection
//! X1,shore-inlet,,30,,
//! Q1,breaker,X1,30,none,none
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,conductor,protection
//! X1,shore-inlet,,16,,
//! Q1,breaker,X1,16,none,
//! ```
//!
//! # Must not fire
//! ```csv
//! # system: 120V60Hz
//! # feeding: X1
//! tag,kind,fed_from,rating_a,conductor,protection,length_m
//! X1,shore-inlet,,30,,,
//! Q1,breaker,X1,30,none,elci,
//! X2,shore-inlet,,30,,,
//! T1,isolation-transformer,X2,30,10 AWG,,3
//! Q2,breaker,T1,30,none,,
//! ```
//! ```csv
//! # system: 230V50Hz
//! tag,kind,fed_from,rating_a,conductor,protection
//! X1,shore-inlet,,16,,
//! Q1,breaker,X1,16,none,rcd30
//! ```
//!
//! # Boundary
//! ```csv
//! # system: 120V60Hz
//! tag,kind,fed_from,rating_a,conductor,length_m
//! X1,shore-inlet,,30,,
//! T1,isolation-transformer,X1,30,10 AWG,{3.048 -> 3.05}
//! Q1,breaker,T1,30,none,
//! ```
//!
//! # Cure
//! For the electrician: a main breaker with 30 mA leakage protection at the inlet (US: equipment leakage
//! interrupter, 100 ms).

use crate::survey::rules::prelude::*;

rule! {
    id: "shore-leakage-missing",
    severity: Severity::Warning,
    sets: BOTH,
    demand: "Leakage protection of 30 mA guards the whole boat at the shore inlet.",
    source: "ABYC E-11.11.1; ISO 13297:2020",
    mark: Mark::Memory,
    cure: Cure::Words("For the electrician: a main breaker with 30 mA leakage protection at the inlet (US: equipment leakage interrupter, 100 ms)."),
    needs_figures: false,
}

/// Trip level asked for, mA.
const LIMIT_MA: f64 = 30.0;
/// Within this way of cable from the inlet an isolation transformer stands in for it (US).
const NEAR_M: f64 = 3.048;

/// The limit's source and mark in a rule set.
const fn source(rules: RuleSet) -> (&'static str, Mark) {
    match rules {
        RuleSet::Us => ("ABYC E-11.11.1", Mark::Read),
        RuleSet::International => ("ISO 13297:2020", Mark::Memory),
    }
}

fn check(cx: &Context<'_>, report: &mut Report) {
    let (source, mark) = source(cx.rules());
    for (inlet, part) in cx.of_kind(PartKind::ShoreInlet) {
        let next: Vec<PartId> = cx.zone(inlet).iter().filter_map(|&c| cx.cable(c)).map(|c| c.to).collect();
        let transformer = |&&t: &&PartId| cx.kind(t) == Some(PartKind::IsolationTransformer);
        let ways: Vec<(PartId, Option<f64>)> =
            next.iter().filter(transformer).map(|&t| (t, cx.from_guard_m(t))).collect();
        if cx.rules() == RuleSet::Us && ways.iter().any(|(_, way)| way.is_some_and(|m| !above(m, NEAR_M))) {
            continue;
        }
        let own = part.protection.trip_ma().unwrap_or(f64::INFINITY);
        let bare = |&m: &PartId| {
            let ma = cx.part(m).and_then(|m| m.protection.trip_ma());
            cx.kind(m) == Some(PartKind::Breaker) && above(ma.unwrap_or(f64::INFINITY).min(own), LIMIT_MA)
        };
        let mains: Vec<PartId> = next.into_iter().filter(bare).collect();
        let unknown = ways.iter().filter(|(_, way)| cx.rules() == RuleSet::Us && way.is_none()).map(|&(t, _)| t);
        let unknown: Vec<PartId> = unknown.collect();
        if !mains.is_empty() && !unknown.is_empty() {
            report.not_checked(&INFO, unknown, "how far its transformer stands from the inlet is not known");
            continue;
        }
        if let Some(&main) = mains.first() {
            let first = if mains.len() == 1 { "main breaker" } else { "first breakers" };
            let mut message = format!(
                "Neither {} nor its {first} {} has 30 mA leakage protection.",
                part.name(),
                words::tags(cx, &mains)
            );
            let parts: Vec<PartId> = [main, inlet].into_iter().chain(mains.into_iter().skip(1)).collect();
            let far = ways.iter().find_map(|&(t, way)| Some((t, way.filter(|_| cx.rules() == RuleSet::Us)?)));
            if let Some((transformer, way)) = far {
                let (shown, most) = words::pair(way, NEAR_M, "m");
                message.push_str(&format!(
                    " {} does not stand in for it: it is {shown} of cable from the inlet, {most} is the limit.",
                    cx.tag(transformer)
                ));
                report.add(INFO.finding(parts, message).by(source, mark).measured(way, NEAR_M, "m"));
            } else {
                report.add(INFO.finding(parts, message).by(source, mark));
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::network::solve;
    use crate::store::list::boat;
    use crate::survey::run;

    /// What is found, and of which parts it is open, where a main stands beside a transformer behind so much cable.
    #[test]
    fn a_transformer_at_an_unknown_distance_leaves_open_what_a_bare_main_asks_for() {
        let said = |main: &str, protection: &str, metres: &str| -> (usize, Vec<String>) {
            let boat = boat(&format!(
                "# system: 120V60Hz\ntag,kind,fed_from,rating_a,run_w,protection,conductor,length_m\nX1,shore-inlet,,30,,,,\n\
                 T1,isolation-transformer,X1,30,,,10 AWG,{metres}\nE1,appliance,T1,,100,,14 AWG,2\n{main}{protection}"
            ));
            let survey = run(&boat, &solve(&boat, 0));
            let open = survey.not_checked.iter().filter(|n| n.rule == super::INFO.id).flat_map(|n| &n.parts);
            let found = survey.findings.iter().filter(|f| f.rule == super::INFO.id).count();
            (found, open.map(|&p| boat.tag(p).to_owned()).collect())
        };
        let main = "Q1,breaker,X1,30,,";
        assert_eq!(said(main, "none,10 AWG,1\n", ""), (0, vec!["T1".to_owned()]));
        assert_eq!(said(main, "elci,10 AWG,1\n", ""), (0, vec![]), "the main has it");
        assert_eq!(said("", "", ""), (0, vec![]), "there is no main");
        assert_eq!(said(main, "none,10 AWG,1\n", "9"), (1, vec![]), "it stands too far off");
        assert_eq!(said(main, "none,10 AWG,1\n", "2"), (0, vec![]), "it stands in for the main");
    }
}
