//! How an appliance is used in a condition, and sources that are compared.

use super::document::Installation;
use super::edit::EditError;
use super::ids::PartId;
use super::part::Part;
use std::collections::BTreeMap;
use std::sync::Arc;

/// How an appliance is used while it is switched on in a condition.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Usage {
    /// Share of the time that it is on, 0 to 1; `None`: its duty.
    pub share: Option<f64>,
    /// Of the appliances with its label that are on, how many run at once at most; `None`: all.
    pub at_once: Option<u16>,
}

impl Usage {
    /// True where nothing is stated.
    #[must_use]
    pub fn is_usual(&self) -> bool {
        *self == Self::default()
    }
}

/// A source that is compared with the others over the same conditions.
#[derive(Clone, Debug, PartialEq)]
pub struct Candidate {
    /// Its name in the comparison.
    pub name: String,
    /// The source of the drawing whose place it would take.
    pub in_place_of: PartId,
    /// Its figures. Tag and place are those of the source that it would replace.
    pub part: Arc<Part>,
    /// Two of it in parallel: only where the owner says that the sets are made for it.
    pub pair: bool,
}

impl Candidate {
    /// The part as it would stand in the drawing: a pair gives twice its watts, volt-amperes, amperes and litres.
    #[must_use]
    pub fn in_drawing(&self, present: &Part) -> Part {
        let mut part = (*self.part).clone();
        part.tag.clone_from(&present.tag);
        part.place = present.place;
        if part.leg.is_none() {
            part.leg = present.leg;
        }
        if self.pair {
            let twice = |v: Option<f64>| v.map(|v| 2.0 * v);
            part.run_w = twice(part.run_w);
            part.start_w = twice(part.start_w);
            part.start_va = twice(part.start_va);
            part.rating_a = twice(part.rating_a);
            part.tank_l = twice(part.tank_l);
            for point in &mut part.fuel_curve {
                point.1 *= 2.0;
            }
            for point in &mut part.set_data.fuel_curve_constant {
                point.1 *= 2.0;
            }
            part.set_data.weight_kg = twice(part.set_data.weight_kg);
            // Two equal sounds are 10·log10(2) louder than one.
            part.set_data.noise_db = part.set_data.noise_db.map(|db| db + 10.0 * 2.0_f64.log10());
        }
        part
    }
}

impl Installation {
    /// Share of the time that an appliance is on while it is switched on in a condition: as stated there, else its duty.
    #[must_use]
    pub fn share(&self, part: PartId, condition: usize) -> f64 {
        let stated = self.conditions.get(condition).and_then(|c| c.usage.get(&part)).and_then(|u| u.share);
        stated.unwrap_or_else(|| self.parts.get(&part).map_or(1.0, |p| p.duty))
    }

    /// The installation with a candidate in the place of the source that it stands for, which then feeds in every
    /// condition. `None` where that source is gone.
    #[must_use]
    pub fn with_candidate(&self, candidate: &Candidate) -> Option<Self> {
        let present = self.parts.get(&candidate.in_place_of)?;
        let mut out = self.clone();
        out.parts.insert(candidate.in_place_of, Arc::new(candidate.in_drawing(present)));
        Some(out.fed_from(candidate.in_place_of))
    }

    /// The installation with one source feeding in every condition.
    #[must_use]
    pub fn fed_from(mut self, source: PartId) -> Self {
        for condition in &mut self.conditions {
            condition.feeding = vec![source];
        }
        self
    }

    pub(super) fn set_usage(&mut self, condition: usize, usage: &[(PartId, Usage)]) -> Result<String, EditError> {
        for (id, one) in usage {
            if !self.parts.contains_key(id) {
                return Err(EditError::Gone("the appliance".to_owned()));
            }
            if one.share.is_some_and(|s| !(0.0..=1.0).contains(&s)) {
                let message = "valid: a share of the time from 0 to 1".to_owned();
                return Err(EditError::BadValue { property: "share of the time", message });
            }
        }
        let held = self.conditions.get_mut(condition).ok_or(EditError::NoCondition(condition + 1))?;
        for (id, one) in usage {
            if one.is_usual() {
                held.usage.remove(id);
            } else {
                held.usage.insert(*id, *one);
            }
        }
        Ok(match usage {
            [(one, _)] => format!("use of {}", self.tag(*one)),
            many => format!("use of {} parts", many.len()),
        })
    }

    pub(super) fn set_candidates(&mut self, candidates: &[Candidate]) -> Result<String, EditError> {
        for one in candidates {
            let present = self.parts.get(&one.in_place_of).filter(|p| p.kind.is_source());
            if present.is_none() {
                return Err(EditError::Gone("the source that a candidate would replace".to_owned()));
            }
            if !one.part.kind.is_source() {
                return Err(EditError::NotASource { tag: one.name.clone(), kind: one.part.kind.name() });
            }
        }
        self.candidates = candidates.to_vec();
        Ok("sources to compare".to_owned())
    }

    /// Takes what speaks of parts that are gone out of conditions and candidates.
    pub(super) fn forget_uses(&mut self) {
        let parts = &self.parts;
        for condition in &mut self.conditions {
            condition.usage.retain(|id, _| parts.contains_key(id));
        }
        self.candidates.retain(|c| parts.get(&c.in_place_of).is_some_and(|p| p.kind.is_source()));
    }
}

/// Usage by appliance.
pub type Uses = BTreeMap<PartId, Usage>;
