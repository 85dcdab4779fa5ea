//! Wording that rules share: figures against limits, lists of tags.

use super::context::Context;
use crate::installation::{Cable, PartId, RuleSet};
use crate::network::Ampacity;
pub(super) use crate::units::pair;
use crate::units::trimmed;

/// Share of a limit for a sentence: `103 %`, with decimals only where rounding would hide that it is above.
pub(super) fn share(figure: f64, limit: f64) -> String {
    let percent = figure / limit * 100.0;
    let decimals = (0..=6).find(|&d| trimmed(percent, d) != "100").unwrap_or(0);
    format!("{} %", trimmed(percent, decimals))
}

/// Tags for a sentence: `Q1`, `Q1 and Q2`, `Q1, Q2 and 7 more`.
pub(super) fn tags(cx: &Context<'_>, parts: &[PartId]) -> String {
    let all: Vec<&str> = parts.iter().map(|&p| cx.tag(p)).collect();
    listed(&all)
}

/// Words for a sentence: `Q1`, `Q1 and Q2`, `Q1, Q2 and 7 more`.
pub(super) fn listed(all: &[&str]) -> String {
    const MOST: usize = 6;
    let shown = &all[..all.len().min(MOST)];
    let hidden = all.len() - shown.len();
    match (shown, hidden) {
        ([], _) => "nothing".to_owned(),
        ([one], 0) => (*one).to_owned(),
        ([most @ .., last], 0) => format!("{} and {last}", most.join(", ")),
        (all, _) => format!("{} and {hidden} more", all.join(", ")),
    }
}

/// How a conductor's figure came about, for a sentence: `14 AWG, 60 °C, engine space × 0.58`.
pub(super) fn basis(cx: &Context<'_>, cable: &Cable, ampacity: &Ampacity) -> String {
    let mut text = match cable.data.size() {
        Some(size) => format!("{size}, {} °C", cable.data.insulation_c(cx.system())).replace("mm2", "mm²"),
        None => String::new(),
    };
    if let Some(factor) = ampacity.engine_factor {
        text.push_str(&format!(", engine space × {}", trimmed(factor, 2)));
    }
    if ampacity.bundling_factor < 1.0 {
        text.push_str(&format!(", bundle × {}", trimmed(ampacity.bundling_factor, 2)));
    }
    text
}

/// The other published table of what a conductor may carry, with its count of a bundle, that is not used.
pub(super) const fn other_ampacity(cx: &Context<'_>, ampacity: &Ampacity) -> [&'static str; 1] {
    [match (cx.rules(), ampacity.bundling_factor < 1.0) {
        (RuleSet::Us, false) => "NEC table 310.16, for a raceway, is not used",
        (RuleSet::Us, true) => "NEC table 310.16, for a raceway, with bundles from four conductors, is not used",
        (RuleSet::International, false) => "IEC 60364-5-52 table B.52.2 is not used",
        (RuleSet::International, true) => "IEC 60364-5-52 table B.52.2, which counts circuits, is not used",
    }]
}

/// `1 part`, `3 parts`.
pub(super) fn count(n: usize, one: &str, many: &str) -> String {
    if n == 1 { format!("1 {one}") } else { format!("{n} {many}") }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::network::solve;
    use crate::store::list::boat;

    /// The cable of an appliance in a bundle of so many conductors, in words, with what is not used.
    fn of_bundle(system: &str, conductor: &str, bundled: &str, space: &str) -> (String, &'static str) {
        let boat = boat(&format!(
            "# system: {system}\ntag,kind,fed_from,run_w,space,conductor,length_m,insulation_c,bundled\n\
             G1,generator,,3000,,,,,\nE1,appliance,G1,300,{space},{conductor},4,105,{bundled}\n"
        ));
        let solution = solve(&boat, 0);
        let cx = Context::new(&boat, &solution);
        let (id, cable) = cx.cables().next().unwrap();
        let ampacity = cx.ampacity(id).unwrap();
        let [other] = other_ampacity(&cx, ampacity);
        (basis(&cx, cable, ampacity), other)
    }

    /// 33 CFR 183.425 table 5: 0.7 for three conductors in a bundle, 0.6 for four to six; 0.85 in an engine space at 105 °C.
    /// ISO 13297 annex A: 0.7 for four to six.
    #[test]
    fn a_bundle_is_named_where_it_takes_something_off_and_not_where_it_does_not() {
        let alone = "NEC table 310.16, for a raceway, is not used";
        let bundle = "NEC table 310.16, for a raceway, with bundles from four conductors, is not used";
        let of = |bundled: &str, space: &str| of_bundle("120V60Hz", "14 AWG", bundled, space);
        assert_eq!(of("2", ""), ("14 AWG, 105 °C".to_owned(), alone));
        assert_eq!(of("2", "engine-space"), ("14 AWG, 105 °C, engine space × 0.85".to_owned(), alone));
        assert_eq!(of("3", ""), ("14 AWG, 105 °C, bundle × 0.7".to_owned(), bundle));
        let both = "14 AWG, 105 °C, engine space × 0.85, bundle × 0.6";
        assert_eq!(of("6", "engine-space"), (both.to_owned(), bundle));
        let alone = "IEC 60364-5-52 table B.52.2 is not used";
        let bundle = "IEC 60364-5-52 table B.52.2, which counts circuits, is not used";
        let of = |bundled: &str| of_bundle("230V50Hz", "2.5 mm2", bundled, "");
        assert_eq!(of("2"), ("2.5 mm², 105 °C".to_owned(), alone));
        assert_eq!(of("4"), ("2.5 mm², 105 °C, bundle × 0.7".to_owned(), bundle));
    }

    #[test]
    fn a_share_just_above_its_limit_can_be_told_from_it() {
        assert_eq!(share(10.3, 10.0), "103 %");
        assert_eq!(share(10.01, 10.0), "100.1 %");
    }
}
