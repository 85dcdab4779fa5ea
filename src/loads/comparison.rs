//! Sources side by side over the same conditions: load, reserve, starts and their margin, what newly runs together, volts at
//! the weakest outlet, fuel, noise and weight. Each source is put in its place and feeds in every condition.

pub mod words;

use super::endurance::{DayFuel, Endurance, day, endurance, mean_load};
use super::starting::peaks;
use super::together::{Together, together};
use crate::installation::{Candidate, Installation, Part, PartId, PartKind};
use crate::network::{Rated, solve};
use std::collections::BTreeSet;
use std::sync::Arc;

/// One source in one condition.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Stand {
    /// False with a loop, parallel sources or a load that cannot be supplied.
    pub converged: bool,
    /// Watts that it delivers to what is on.
    pub watts: Option<f64>,
    /// What it delivers beside its rating.
    pub rated: Rated,
    /// Whether what is on starts in the best order.
    pub starts: Option<bool>,
    /// Starting watts that are left in the best order.
    pub start_margin_w: Option<f64>,
    /// Whether the worst restart of what cycles stays within; `None` where nothing cycles or it is not known.
    pub restarts: Option<bool>,
    /// Starting watts that are left then.
    pub restart_margin_w: Option<f64>,
    /// The outlet or, where there is none in use, the appliance with the lowest volts, in per cent of nominal.
    pub weakest: Option<(PartId, f64)>,
    /// The volts of that.
    pub weakest_v: Option<f64>,
    /// Mean watts.
    pub mean_w: Option<f64>,
    /// Fuel at the mean load, of a generator; on the fuel aboard where that is stated, else on its tank.
    pub endurance: Option<Endurance>,
    /// How many combinations there are; `None` where not worked out.
    pub combinations: Option<u128>,
    /// Combinations that cannot run on the first source of the comparison, largest first.
    pub newly_possible: Vec<Vec<PartId>>,
    /// True where the combinations were all listed, so that `newly_possible` is whole.
    pub exact: bool,
}

/// One source over all conditions.
#[derive(Clone, Debug, PartialEq)]
pub struct Contender {
    /// Its name.
    pub name: String,
    /// The source of the drawing whose place it has.
    pub source: PartId,
    /// Its figures as they stand in the place.
    pub part: Arc<Part>,
    /// Two sets in parallel, which the owner says are made for it.
    pub pair: bool,
    /// By condition.
    pub conditions: Vec<Stand>,
    /// Fuel of a day and days of fuel, of a generator, where conditions have hours.
    pub day: Option<DayFuel>,
}

/// Compares the sources of the drawing, the one that feeds in the first condition first, and then the candidates. `effort` is
/// what the search for combinations may cost for each, as in [`together`].
#[must_use]
pub fn compare(installation: &Installation, effort: usize) -> Vec<Contender> {
    let first = installation.conditions.first().and_then(|c| c.feeding.first()).copied();
    let mut sources: Vec<PartId> =
        installation.parts.iter().filter(|(_, p)| p.kind.is_source()).map(|(id, _)| *id).collect();
    sources.sort_by_key(|id| (Some(*id) != first, *id));
    let mut put: Vec<(String, PartId, bool, Installation)> = Vec::new();
    for id in sources {
        let name = installation.parts.get(&id).map_or_else(String::new, |p| p.name());
        put.push((name, id, false, installation.clone().fed_from(id)));
    }
    for candidate in &installation.candidates {
        if let Some(there) = installation.with_candidate(candidate) {
            put.push((named(candidate), candidate.in_place_of, candidate.pair, there));
        }
    }
    let mut out: Vec<Contender> = Vec::new();
    let mut present: Vec<Together> = Vec::new();
    for (name, source, pair, drawing) in put {
        let Some(part) = drawing.parts.get(&source).cloned() else { continue };
        let mut conditions = Vec::new();
        for condition in 0..drawing.conditions.len() {
            let found = together(&drawing, condition, effort);
            let mut stand = stand(&drawing, condition, source);
            stand.combinations = found.count;
            stand.exact = found.exact;
            if let Some(before) = present.get(condition) {
                stand.newly_possible = newly(before, &found);
            } else {
                present.push(found);
            }
            conditions.push(stand);
        }
        let day = day(&drawing, None).and_then(|mut d| d.generators.remove(&source));
        out.push(Contender { name, source, part, pair, conditions, day });
    }
    out
}

fn named(candidate: &Candidate) -> String {
    match (candidate.name.is_empty(), candidate.pair) {
        (false, true) => format!("two of {} in parallel", candidate.name),
        (false, false) => candidate.name.clone(),
        (true, true) => format!("two of {} in parallel", candidate.part.title()),
        (true, false) => candidate.part.title().to_owned(),
    }
}

/// Combinations that hold a conflict of the other source.
fn newly(before: &Together, now: &Together) -> Vec<Vec<PartId>> {
    let conflicts: Vec<BTreeSet<PartId>> = before.conflicts.iter().map(|c| c.parts.iter().copied().collect()).collect();
    let new = |parts: &Vec<PartId>| conflicts.iter().any(|c| c.iter().all(|p| parts.contains(p)));
    now.combinations.iter().filter(|c| new(c)).cloned().collect()
}

fn stand(installation: &Installation, condition: usize, source: PartId) -> Stand {
    let solution = solve(installation, condition);
    let system = installation.system;
    let mut out = Stand { converged: solution.converged, ..Stand::default() };
    let (Some(flow), Some(part)) = (solution.sources.get(&source), installation.parts.get(&source)) else { return out };
    out.watts = flow.watts;
    out.rated = Rated::of(part, system, Some(flow));
    let peaks = peaks(installation, &solution, source);
    let limit = part.start_w(system);
    out.starts = peaks.starts_best_order;
    out.start_margin_w = limit.zip(peaks.best_order_w).map(|(l, w)| l - w);
    out.restarts = peaks.starts_worst_restart;
    out.restart_margin_w = limit.zip(peaks.worst_restart_w).map(|(l, w)| l - w);
    let percent = |id: &PartId| {
        let flow = solution.parts.get(id).filter(|f| f.energised)?;
        let lines = if system.is_split_phase()
            && matches!(flow.leg, crate::installation::Leg::L1L2 | crate::installation::Leg::L1L2N)
        {
            2.0
        } else {
            1.0
        };
        Some((*id, 100.0 * flow.volts? / (lines * system.nominal_v())))
    };
    let lowest = |kind: PartKind| {
        let of_kind = installation.parts.iter().filter(|(_, p)| p.kind == kind).map(|(id, _)| id);
        of_kind.filter_map(percent).min_by(|a, b| a.1.total_cmp(&b.1))
    };
    out.weakest = lowest(PartKind::Outlet).or_else(|| lowest(PartKind::Appliance));
    out.weakest_v = out.weakest.and_then(|(id, _)| solution.parts.get(&id)?.volts);
    out.mean_w = mean_load(installation, condition).watts.get(&source).copied().flatten();
    out.endurance = (part.kind == PartKind::Generator)
        .then(|| endurance(part, out.mean_w, part.set_data.fuel_aboard_l.or(part.tank_l)));
    out
}
