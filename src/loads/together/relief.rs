//! Where one load helps another: a load on the other leg takes current off the neutral, and one that pulls the voltage
//! down lets heaters draw less. A set may then run although a smaller part of it cannot. Such cases are rare and small;
//! they are looked for above every conflict that could have one, and counted exactly.

use super::cover::maximal;
use super::judge::Judge;
use super::model::{Set, members};

/// True where some set that holds the conflict runs all the same. `None` where the effort was not enough to tell.
pub(super) fn is_relieved(judge: &mut Judge<'_, '_>, conflict: Set, all: Set, effort: usize) -> Option<bool> {
    if judge.only_adds_up() {
        return Some(false);
    }
    let grows = judge.model.watts_only_grow();
    if judge.is_hopeless(conflict, grows) { Some(false) } else { some_run(judge, conflict, all, effort) }
}

fn some_run(judge: &mut Judge<'_, '_>, least: Set, most: Set, effort: usize) -> Option<bool> {
    if judge.all_fail(least, most) {
        return Some(false);
    }
    if judge.runs(least) {
        return Some(true);
    }
    let Some(next) = next_of(judge, least, most) else { return Some(false) };
    if judge.work > effort {
        return None;
    }
    match some_run(judge, least | 1 << next, most, effort) {
        Some(false) => some_run(judge, least, without(judge, most, next), effort),
        found => found,
    }
}

/// The largest appliance that is still open.
fn next_of(judge: &Judge<'_, '_>, least: Set, most: Set) -> Option<usize> {
    let units = &judge.model.units;
    members(most & !least)
        .filter(|&n| units[n].below & !least == 0)
        .max_by(|&a, &b| units[a].va.total_cmp(&units[b].va))
}

/// A set without a unit and those of its group after it.
fn without(judge: &Judge<'_, '_>, set: Set, unit: usize) -> Set {
    let u = &judge.model.units[unit];
    set & !(u.group & !u.below)
}

/// Maximal sets that run, where some conflicts are relieved: `hard` ones are not. `None` where the effort was not enough.
pub(super) fn maximal_runs(judge: &mut Judge<'_, '_>, all: Set, hard: &[Set], effort: usize) -> Option<Vec<Set>> {
    let mut roofs = Vec::new();
    if !maximal(&judge.model.units, all, hard, effort, |set| roofs.push(set)) {
        return None;
    }
    let mut found: Vec<Set> = Vec::new();
    for roof in roofs {
        below(judge, 0, roof, &mut found, effort)?;
    }
    let largest: Vec<Set> = found.iter().copied().filter(|a| !found.iter().any(|b| a != b && a & !b == 0)).collect();
    Some(largest)
}

fn below(judge: &mut Judge<'_, '_>, least: Set, most: Set, found: &mut Vec<Set>, effort: usize) -> Option<()> {
    if found.iter().any(|f| most & !f == 0) {
        return Some(());
    }
    if judge.runs(most) {
        found.push(most);
        return Some(());
    }
    if judge.work > effort {
        return None;
    }
    let Some(next) = next_of(judge, least, most) else { return Some(()) };
    if judge.all_fail(least, most) {
        return Some(());
    }
    below(judge, least | 1 << next, most, found, effort)?;
    below(judge, least, without(judge, most, next), found, effort)
}
