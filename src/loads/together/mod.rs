//! What runs together: the minimal conflicts and the maximal combinations of the appliances of one operating condition.
//!
//! A set can run when it solves, no source, inlet or breaker is above its rating, no appliance is below 90 % of nominal, the
//! best starting order stays within the starting rating, and so does the worst restart of what cycles. Appliances that must
//! run always do. A conflict is a set that cannot run while each smaller part of it can; a combination is a set that can run
//! while nothing larger that holds it can. Selectors, panels, outlets and cables are the survey's business, not this one's.
//!
//! What is relied upon: nothing about voltages but the sweeps themselves. Whether a set runs is asked of the solve; that a
//! whole family of sets cannot fail a limit, of an enclosure by interval arithmetic ([`crate::network::Bounds`]); starts are
//! sums, which only grow. Three things are taken from the physics: that where a set has too few volts, an enclosure of it says
//! so (loads raised slowly from nothing pass 90 % before they collapse); that an appliance outside a circuit which relieves
//! it with some set in use relieves it with any; and that a source's watts never fall by one load more while all have 90 % of
//! nominal and power factors of a half or better. The tests hold all of it against every subset of random drawings.
//!
//! What is not known: an appliance whose running or starting watts are missing is never said to run, but stands in a
//! conflict where what is known already stops it. A rating, a cable or a must-run appliance that is not known leaves a check
//! unmade; [`Together::not_checked`] says which. Without volt-amperes a start is judged in watts.

mod cover;
mod estimate;
mod fine;
mod gauge;
mod judge;
mod model;
mod relief;
mod search;
mod starts;
mod tally;
mod tick;
mod words;

pub use judge::Stopped;
pub use model::{NotChecked, Stop};
pub use tick::{Desk, Row, Standing};
pub use words::reason;

use crate::installation::{Installation, PartId};
use judge::Judge;
use model::{Model, Set, members};
use tally::Part;

/// Most sets in each list.
pub const MOST_LISTED: usize = 10_000;
/// Solves and enclosures that the command line spends on the conflicts.
pub const EFFORT: usize = 1_000_000;
/// Steps of the search for combinations, as a multiple of the effort.
const STEPS: usize = 10;

/// A set that cannot run, though each smaller part of it can.
#[derive(Clone, Debug, PartialEq)]
pub struct Conflict {
    /// The appliances. Empty where those that must always run cannot.
    pub parts: Vec<PartId>,
    /// Everything that stops it, what counts most first.
    pub stops: Vec<Stopped>,
}

/// The answer.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Together {
    /// The sources that feed.
    pub feeding: Vec<PartId>,
    /// True where both lists are whole.
    pub exact: bool,
    /// How many combinations there are; `None` where that could not be worked out.
    pub count: Option<u128>,
    /// How many conflicts there are; `None` where that could not be worked out.
    pub conflict_count: Option<u128>,
    /// Minimal conflicts, smallest first.
    pub conflicts: Vec<Conflict>,
    /// Maximal combinations, largest first, each in the order of the parts.
    pub combinations: Vec<Vec<PartId>>,
    /// Appliances that always run.
    pub always: Vec<PartId>,
    /// Appliances that nothing feeds in this condition.
    pub not_fed: Vec<PartId>,
    /// Appliances of which too little is known to say that they run, with the reason.
    pub not_known: Vec<(PartId, &'static str)>,
    /// Checks that could not be made.
    pub not_checked: Vec<NotChecked>,
    /// True where starts could only be judged in watts.
    pub by_watts_only: bool,
    /// True for a drawing with a loop or sources in parallel: there are no figures.
    pub refused: bool,
}

/// Works out what runs together. `effort` is the number of solves and enclosures to spend; beyond it the answer says that
/// it is not exact, and holds what was found.
///
/// Time: in proportion to the number of conflicts and combinations, each with some sums per appliance and, near a limit,
/// a solve.
#[must_use]
pub fn together(installation: &Installation, condition: usize, effort: usize) -> Together {
    let model = Model::new(installation, condition);
    let mut judge = Judge::new(&model);
    let mut out = Together {
        feeding: model.walk.roots.clone(),
        always: model.always.clone(),
        not_fed: model.not_fed.clone(),
        not_known: model.left_out.clone(),
        not_checked: model.not_checked.clone(),
        by_watts_only: model.by_watts_only,
        refused: !model.walk.faults.is_empty(),
        ..Together::default()
    };
    if out.refused {
        return out;
    }
    let whole = model.units.len() == model.choice.len() - unknown_power(&model);
    let all = model::first(model.units.len());
    let known = members(all).filter(|&n| model.units[n].known).fold(0, |s: Set, n| s | 1 << n);
    let (conflicts, combinations) = match tally::tally(&mut judge, known, effort) {
        Some(tally) => (tally.conflicts, tally.combinations),
        None => allowing_for_relief(&mut judge, all, known, effort),
    };
    out.count = combinations.count.filter(|_| whole);
    out.conflict_count = conflicts.count.filter(|_| whole);
    let ids = |set: Set| members(set).map(|n| model.units[n].part).collect::<Vec<_>>();
    'conflicts: for &conflict in &conflicts.listed {
        let stops = judge.stops(conflict);
        let room = MOST_LISTED - out.conflicts.len();
        for set in cover::spelt_out(&model.units, conflict, room) {
            // Equal appliances differ by name alone: their own names are put in.
            out.conflicts.push(Conflict { parts: ids(set), stops: renamed(&model, &stops, conflict, set) });
            if out.conflicts.len() == MOST_LISTED {
                break 'conflicts;
            }
        }
    }
    for set in combinations.listed {
        let room = MOST_LISTED - out.combinations.len();
        if room == 0 {
            break;
        }
        out.combinations.extend(cover::spelt_out(&model.units, set, room).into_iter().map(ids));
    }
    for list in out.conflicts.iter_mut().map(|c| &mut c.parts).chain(&mut out.combinations) {
        list.sort_unstable();
    }
    out.conflicts.sort_by(|a, b| a.parts.len().cmp(&b.parts.len()).then_with(|| a.parts.cmp(&b.parts)));
    out.combinations.sort_by(|a, b| b.len().cmp(&a.len()).then_with(|| a.cmp(b)));
    let listed = |n: usize, of: Option<u128>| of == Some(n as u128);
    out.exact = listed(out.combinations.len(), out.count) && listed(out.conflicts.len(), out.conflict_count);
    out
}

fn unknown_power(model: &Model<'_>) -> usize {
    let missing = |at: usize| {
        model.walk.order.get(at).and_then(|id| model.installation.parts.get(id)).is_some_and(|p| p.run_w.is_none())
    };
    model.choice.iter().filter(|&&at| missing(at)).count()
}

/// Reasons of a conflict with the names of the appliances that stand for its own.
fn renamed(model: &Model<'_>, stops: &[Stopped], from: Set, to: Set) -> Vec<Stopped> {
    let units = &model.units;
    let other = |part: PartId| {
        let Some(n) = units.iter().position(|u| u.part == part) else { return part };
        let nth = members(from & units[n].group).position(|m| m == n);
        nth.and_then(|i| members(to & units[n].group).nth(i)).map_or(part, |m| units[m].part)
    };
    stops.iter().map(|s| Stopped { part: other(s.part), starter: s.starter.map(other), ..s.clone() }).collect()
}

/// Conflicts and combinations by the search that allows for loads which help others.
fn allowing_for_relief(judge: &mut Judge<'_, '_>, all: Set, known: Set, effort: usize) -> (Part, Part) {
    let units = &judge.model.units;
    let number = |sets: &[Set]| sets.iter().fold(0, |sum: u128, &set| sum.saturating_add(cover::ways(units, set)));
    let from = judge.work;
    let (conflicts, complete) = search::conflicts(judge, from + effort);
    let reach = judge.work + effort / 4;
    let mut hard = Vec::new();
    let mut soft = Vec::new();
    let mut told = true;
    for &conflict in &conflicts {
        match relief::is_relieved(judge, conflict, all, reach) {
            Some(true) => soft.push(conflict),
            Some(false) => hard.push(conflict),
            None => {
                told = false;
                hard.push(conflict);
            }
        }
    }
    let conflicts: Vec<Set> = conflicts.into_iter().filter(|c| !soft.iter().any(|s| s != c && s & !c == 0)).collect();
    let mut combinations = combinations(judge, known, &hard, !soft.is_empty(), complete, effort);
    combinations.count = combinations.count.filter(|_| told);
    (Part { count: complete.then(|| number(&conflicts)), listed: conflicts }, combinations)
}

fn combinations(
    judge: &mut Judge<'_, '_>,
    known: Set,
    hard: &[Set],
    relieved: bool,
    complete: bool,
    effort: usize,
) -> Part {
    let model = judge.model;
    if !complete {
        return Part { count: None, listed: greedy(judge, known) };
    }
    if relieved {
        let reach = judge.work + effort;
        return match relief::maximal_runs(judge, known, hard, reach) {
            Some(sets) => {
                let ways = sets.iter().map(|&s| cover::ways(&model.units, s));
                Part { count: Some(ways.fold(0, u128::saturating_add)), listed: sets }
            }
            None => Part { count: None, listed: greedy(judge, known) },
        };
    }
    let mut count = 0_u128;
    let mut listed = Vec::new();
    let whole = cover::maximal(&model.units, known, hard, effort.saturating_mul(STEPS), |set| {
        count = count.saturating_add(cover::ways(&model.units, set));
        if listed.len() < MOST_LISTED {
            listed.push(set);
        }
    });
    Part { count: whole.then_some(count), listed }
}

/// Some combinations, where all of them are too many: each begins with another appliance and takes what fits.
fn greedy(judge: &mut Judge<'_, '_>, known: Set) -> Vec<Set> {
    let units: Vec<usize> = members(known).collect();
    let mut out: Vec<Set> = Vec::new();
    for start in 0..units.len() {
        let mut set = 0;
        for n in units[start..].iter().chain(&units[..start]) {
            if judge.model.units[*n].below & !set == 0 && judge.runs(set | 1 << *n) {
                set |= 1 << *n;
            }
        }
        if judge.runs(set) && !out.contains(&set) {
            out.push(set);
        }
    }
    out
}

#[cfg(test)]
mod reason_tests;
#[cfg(test)]
mod tests;
