//! What a cure does to the figures, and why a finding has no cure that can be applied.

use super::context::Context;
use super::cure::Remedy;
use super::finding::Finding;
use super::run::{rule, run};
use super::trip::Band;
use crate::installation::{CableId, Edit, Installation, Part, PartId};
use crate::network::{Solution, solve};
use crate::units::trimmed;

/// One figure before and after a change.
#[derive(Clone, Debug, PartialEq)]
pub struct Effect {
    /// What it is of.
    pub part: PartId,
    /// The cable to that part, where it is a cable's figure.
    pub cable: Option<CableId>,
    /// What it is, lower case: `drop`, `current`.
    pub quantity: &'static str,
    /// Before; `None`: not known.
    pub before: Option<f64>,
    /// After; `None`: not known.
    pub after: Option<f64>,
    /// Unit of both.
    pub unit: &'static str,
}

impl Effect {
    /// True where no figure means that there is none, and not that it is not known.
    #[must_use]
    pub fn is_stated(&self) -> bool {
        self.quantity == "leakage trip level"
    }

    /// In words: `cable to E5 ampacity 15 A → 20 A`.
    #[must_use]
    pub fn words(&self, installation: &Installation) -> String {
        let tag = installation.tag(self.part);
        let of = if self.cable.is_some() { format!("cable to {tag}") } else { tag.to_owned() };
        let shown = |value: Option<f64>| {
            let number = |v| format!("{} {}", trimmed(v, 2), self.unit).trim_end().to_owned();
            value.map_or_else(|| if self.is_stated() { "none" } else { "not known" }.to_owned(), number)
        };
        format!("{of} {} {} → {}", self.quantity, shown(self.before), shown(self.after))
    }
}

/// The parts and cables that an edit of a cure changes.
fn touched(edit: &Edit) -> (Vec<PartId>, Vec<CableId>) {
    match edit {
        Edit::SetPart { parts, .. } => (parts.clone(), Vec::new()),
        Edit::SetCable { cables, .. } => (Vec::new(), cables.clone()),
        Edit::Many { edits, .. } => edits.iter().map(touched).fold((Vec::new(), Vec::new()), |mut all, (p, c)| {
            all.0.extend(p);
            all.1.extend(c);
            all
        }),
        _ => (Vec::new(), Vec::new()),
    }
}

/// What a cure changes in the figures: at the parts of the finding, at the part or cable that it changes and at its
/// source. What stays the same (within 1e-9 of it) is left out.
#[must_use]
pub fn effects(installation: &Installation, condition: usize, finding: &Finding, remedy: &Remedy) -> Vec<Effect> {
    let Ok(changed) = installation.apply(&remedy.edit) else { return Vec::new() };
    let before = (installation, solve(installation, condition));
    let after = (&changed.installation, solve(&changed.installation, condition));
    let (mut parts, mut cables) = touched(&remedy.edit);
    parts.extend(finding.parts.iter().copied());
    cables.extend(finding.cables.iter().copied());
    parts.extend(cables.iter().filter_map(|c| installation.cables.get(c)).map(|c| c.to));
    let roots: Vec<PartId> = parts.iter().filter_map(|&p| before.1.walk.root_of(p)).collect();
    let mut out = Vec::new();
    let mut put = |part, cable, quantity, unit, old: Option<f64>, new: Option<f64>| {
        let same = match (old, new) {
            (Some(a), Some(b)) => (a - b).abs() <= 1e-9 * a.abs().max(b.abs()),
            (a, b) => a.is_none() && b.is_none(),
        };
        if !same {
            out.push(Effect { part, cable, quantity, before: old, after: new, unit });
        }
    };
    for cable in once(cables) {
        let Some(to) = installation.cables.get(&cable).map(|c| c.to) else { continue };
        let both =
            |of: &dyn Fn(&Installation, &Solution) -> Option<f64>| (of(before.0, &before.1), of(after.0, &after.1));
        let (old, new) = both(&|doc, sol| Context::new(&doc.planned(), sol).ampacity(cable).map(|a| a.amps));
        put(to, Some(cable), "ampacity", "A", old, new);
        let (old, new) = both(&|_, sol| sol.cables.get(&cable).and_then(|f| f.drop_volts));
        put(to, Some(cable), "drop over the cable", "V", old, new);
        let (old, new) = both(&|_, sol| sol.cables.get(&cable).and_then(|f| f.loss_watts));
        put(to, Some(cable), "heat in the cable", "W", old, new);
    }
    for part in once(parts) {
        let flow = |sol: &Solution| sol.parts.get(&part).filter(|f| f.energised).cloned();
        let (old, new) = (flow(&before.1), flow(&after.1));
        let rating = |doc: &Installation| doc.parts.get(&part).and_then(|p| p.rating_a);
        put(part, None, "rated current", "A", rating(before.0), rating(after.0));
        let stated = |doc: &Installation, of: &dyn Fn(&Part) -> Option<f64>| doc.parts.get(&part).and_then(|p| of(p));
        let mut of_part = |quantity, unit, of: &dyn Fn(&Part) -> Option<f64>| {
            put(part, None, quantity, unit, stated(before.0, of), stated(after.0, of));
        };
        let system = installation.system;
        of_part("poles", "", &|p| p.poles(system).map(f64::from));
        of_part("leakage trip level", "mA", &|p| p.protection.trip_ma());
        let band = |p: &Part| p.rating_a.and_then(|a| Band::new(p.trip(system), a).ok()).and_then(|b| b.at_once_a());
        of_part("holds for 0.1 s up to", "A", &|p| band(p).map(|b| b.0));
        of_part("trips at once from", "A", &|p| band(p).map(|b| b.1));
        put(part, None, "current", "A", old.as_ref().and_then(|f| f.amps), new.as_ref().and_then(|f| f.amps));
        put(part, None, "voltage", "V", old.as_ref().and_then(|f| f.volts), new.as_ref().and_then(|f| f.volts));
        let drop = |f: Option<crate::network::PartFlow>| f.and_then(|f| f.drop_percent);
        put(part, None, "drop", "%", drop(old), drop(new));
    }
    for root in once(roots) {
        let watts = |sol: &Solution| sol.sources.get(&root).and_then(|s| s.watts);
        put(root, None, "power delivered", "W", watts(&before.1), watts(&after.1));
        let lines = |sol: &Solution| {
            let currents = sol.sources.get(&root).and_then(|s| s.currents);
            currents.filter(|_| installation.system.is_split_phase()).map(|c| [c.l1, c.l2, c.n].map(|i| i.norm()))
        };
        let (old, new) = (lines(&before.1), lines(&after.1));
        for (n, quantity) in ["current on L1", "current on L2", "current in the neutral"].into_iter().enumerate() {
            put(root, None, quantity, "A", old.map(|i| i[n]), new.map(|i| i[n]));
        }
    }
    out
}

/// Each once, in order.
fn once<T: Ord + Copy>(mut list: Vec<T>) -> Vec<T> {
    let mut seen = std::collections::BTreeSet::new();
    list.retain(|item| seen.insert(*item));
    list
}

/// Why no cure of a finding can be applied: for the person who is told that it is for the electrician.
#[must_use]
pub fn why_no_remedy(installation: &Installation, condition: usize, finding: &Finding) -> String {
    let Some(rule) = rule(finding.rule) else { return "the rule is not known".to_owned() };
    let solution = solve(installation, condition);
    let planned = installation.planned();
    let cx = Context::new(&planned, &solution).within(installation);
    let edits = rule.edits(&cx, finding);
    if edits.is_empty() {
        return "no change of a single value in the drawing cures it".to_owned();
    }
    // Each was tried already; whether the finding went away says which of the two it is.
    let cures = edits.iter().filter_map(|edit| installation.apply(edit).ok()).any(|changed| {
        let changed = changed.installation;
        let after = run(&changed, &solve(&changed, condition));
        !after.findings.iter().any(|f| f.rule == finding.rule && f.parts == finding.parts)
    });
    if cures {
        "what cures it creates another finding that is as severe, or leaves a check that can no longer be made"
            .to_owned()
    } else {
        "no single change that was tried cures it".to_owned()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::store::list::boat;

    fn why(list: &str, rule: &str) -> String {
        let boat = boat(list);
        let found = run(&boat, &solve(&boat, 0)).findings.into_iter().find(|f| f.rule == rule).unwrap();
        why_no_remedy(&boat, 0, &found)
    }

    #[test]
    fn why_no_cure_is_offered_tells_what_was_tried() {
        let list = |awg: &str, metres: &str| {
            format!(
                "# system: 120V60Hz\ntag,kind,fed_from,rating_a,run_w,load_kind,conductor,length_m,insulation_c\nG1,generator,,,9000,,,,\n\
                 A1,panel,G1,,,,none,,\nQ1,breaker,A1,15,,,none,,\nE1,appliance,Q1,,1200,impedance,{awg},{metres},105\n"
            )
        };
        assert_eq!(why(&list("4/0 AWG", "4000"), "drop-branch"), "no change of a single value in the drawing cures it");
        assert_eq!(why(&list("14 AWG", "4000"), "drop-branch"), "no single change that was tried cures it");
    }
}
