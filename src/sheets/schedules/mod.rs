//! The tables of the pack, one file a kind: panels, cables, loads, survey, basis, what to measure, records to fill in.

mod basis;
mod cables;
mod cells;
mod changes;
mod findings;
mod loads;
mod measure;
mod panels;
mod records;
#[cfg(test)]
mod tests;

use super::table::Table;
use crate::installation::Installation;
use crate::network::{self, Solution};
use crate::survey::{self, Context, Finding, Judged, Remedy, Survey};
use std::collections::BTreeSet;

/// What a pack is made of: one installation in one operating condition, solved and surveyed.
#[derive(Clone, Debug)]
pub struct Subject<'a> {
    /// The document.
    pub installation: &'a Installation,
    /// Index of the operating condition that the diagram and the schedules show.
    pub condition: usize,
    /// That condition, solved.
    pub solution: Solution,
    /// Its survey, accepted findings included.
    pub survey: Survey,
    /// Accepted findings set apart.
    pub judged: Judged,
    /// Cures that were tried, by finding.
    pub cures: Vec<(Finding, Remedy)>,
}

impl<'a> Subject<'a> {
    /// Solves and surveys one condition, and tries the cures.
    #[must_use]
    pub fn new(installation: &'a Installation, condition: usize) -> Self {
        let solution = network::solve(installation, condition);
        let survey = survey::run(installation, &solution);
        let cures = survey::remedies(installation, condition, &survey);
        let judged = survey::judge(installation, &survey);
        Self { installation, condition, solution, survey, judged, cures }
    }

    /// The name of the condition.
    #[must_use]
    pub fn condition_name(&self) -> &'a str {
        self.installation.conditions.get(self.condition).map_or("", |c| &c.name)
    }

    /// The sources that feed, in words.
    #[must_use]
    pub fn feeding(&self) -> String {
        let feeding = self.installation.conditions.get(self.condition).map_or(&[][..], |c| &c.feeding);
        let tags: Vec<&str> = feeding.iter().map(|&id| self.installation.tag(id)).collect();
        if tags.is_empty() { "no source".to_owned() } else { tags.join(" and ") }
    }
}

/// All tables of the pack, in the order in which they are read.
#[must_use]
pub fn tables(subject: &Subject<'_>) -> Vec<Table> {
    let cx = Context::new(subject.installation, &subject.solution);
    let mut all = Vec::new();
    all.extend(panels::tables(subject, &cx));
    all.push(cables::table(subject, &cx));
    all.extend(loads::tables(subject, &cx));
    all.extend(findings::tables(subject));
    all.push(measure::table(subject, &cx));
    all.push(basis::table(subject));
    all.extend(records::tables(subject, &cx));
    all.retain(|table| !table.is_empty());
    let mut used = BTreeSet::new();
    for table in &mut all {
        let free = |n: &usize| used.contains(&numbered(&table.id, *n));
        let n = (1..).take_while(free).count() + 1;
        table.id = numbered(&table.id, n);
        used.insert(table.id.clone());
    }
    all
}

/// The name of the nth table that would have this name.
fn numbered(id: &str, n: usize) -> String {
    if n == 1 { id.to_owned() } else { format!("{id}-{n}") }
}
