//! Where published sources disagree: what the other one asks for, said with each finding beside the source that was used.
//! Which of two tables a conductor's figure comes from is said by [`super::words::other_ampacity`].

use crate::installation::RuleSet;

const US: RuleSet = RuleSet::Us;
const INT: RuleSet = RuleSet::International;

/// Rule, rule set, and what is not used.
static CLASHES: &[(&str, RuleSet, &str)] = &[
    ("breaker-above-cable", US, "ISO 13297:2020 13.1.5 lets no step up stand and is not used"),
    ("breaker-above-cable", INT, "33 CFR 183.455(c)(2) lets the next size stand up to 150 % and is not used"),
    ("breaker-far-from-source", US, "ISO 13297:2020 13.2.2 with 0.5 m is not used"),
    ("breaker-far-from-source", INT, "33 CFR 183.455(b) with 7 in, or 40 in in a sheath, is not used"),
    (
        "conductor-thin",
        US,
        "46 CFR 183.340(c) with 14 AWG for power and lighting is a rule of its own and is not used here",
    ),
    ("conductor-thin-iso", INT, "IEC 60364-5-52 table 52.2 with 1.5 mm² ashore is not used"),
    (
        "conductor-thin-power",
        US,
        "33 CFR 183.425, which lets thinner ones stand, is a rule of its own and is not used here",
    ),
    ("drop-branch", US, "ABYC E-11 with 10 % for circuits that are not critical is not used"),
    ("drop-own-source", INT, "type A with 3 % and 5 %, for a public supply, is not used"),
    ("drop-shore", INT, "NEC (NFPA 70) 210.19(A), which advises 3 % on a branch, is not used"),
    ("drop-total", US, "ABYC E-11 with 10 % for circuits that are not critical is not used"),
    ("fuel-curve-impossible", US, "the higher heating value, about 7 % more, is not used"),
    ("fuel-curve-impossible", INT, "the higher heating value, about 7 % more, is not used"),
    ("generator-breaker-large", US, "ABYC E-11 with 120 % (from memory) is not used"),
    ("generator-breaker-large", INT, "ABYC E-11 with 120 % (from memory) is not used"),
    ("gfci-missing", US, "ISO 13297 with 10 mA (from memory) is not used"),
    ("main-far-from-inlet", US, "ISO 13297:2020 13.2.2 with 0.5 m is not used"),
    ("main-far-from-inlet", INT, "ABYC E-11 with 10 ft is not used"),
    ("motor-breaker-large", US, "the code's own table of motor currents, higher than name plates, is not used"),
    ("motor-conductor-thin", US, "the code's own table of motor currents, higher than name plates, is not used"),
    ("outlet-below-breaker", INT, "NEC (NFPA 70) 210.21(B), by which 15 A outlets may share 20 A, is not used"),
    ("rcd10-missing", INT, "ABYC E-11 and NEC (NFPA 70) with 5 mA are not used"),
    ("shore-leakage-missing", US, "ISO 13297 with a residual-current device near the inlet (from memory) is not used"),
    ("shore-leakage-missing", INT, "ABYC E-11, which spares a boat with a transformer near the inlet, is not used"),
    ("small-conductor", US, "33 CFR 183.455(c), the rule for boats, allows more and is not used for this figure"),
    ("terminal-temperature", US, "33 CFR 183.425 table 5, which says nothing of terminals, is not used here"),
];

/// What another published source asks for and is not used by a rule in a rule set; `None` where none disagrees.
#[must_use]
pub fn clash(rule: &str, rules: RuleSet) -> Option<&'static str> {
    CLASHES.iter().find(|(id, set, _)| *id == rule && *set == rules).map(|(_, _, words)| *words)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::survey::rule;

    #[test]
    fn every_clash_is_of_a_rule_that_holds_and_names_what_is_not_used() {
        for (n, (id, set, words)) in CLASHES.iter().enumerate() {
            let info = rule(id).map(|r| r.info());
            assert!(info.is_some_and(|info| info.holds_in(*set)), "{id} under {}", set.slug());
            assert!(words.contains(" not used"), "{id}: {words}");
            assert!(!CLASHES[..n].iter().any(|(other, of, _)| other == id && of == set), "{id} twice");
        }
    }
}
