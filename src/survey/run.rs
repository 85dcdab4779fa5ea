//! The run of all rules.

use super::context::Context;
use super::finding::Survey;
use super::report::Report;
use super::rule::Rule;
use super::rules::rules;
use crate::installation::Installation;
use crate::network::{Fault, Solution};

/// The rule with this id.
#[must_use]
pub fn rule(id: &str) -> Option<&'static dyn Rule> {
    rules().iter().copied().find(|rule| rule.info().id == id)
}

/// Runs every rule that holds in the installation's rule set over one solved condition of it. What is to be removed
/// takes no part, see [`Installation::planned`]. Linear in the size of the
/// drawing, save for logarithms of lookups.
#[must_use]
pub fn run(installation: &Installation, solution: &Solution) -> Survey {
    let planned = installation.planned();
    let cx = Context::new(&planned, solution).within(installation);
    let mut report = Report::default();
    let unsolved = (!solution.converged).then(|| why_unsolved(solution));
    for rule in rules() {
        let info = rule.info();
        if !info.holds_in(installation.rules) {
            continue;
        }
        match unsolved {
            Some(because) if info.needs_figures => report.not_checked(info, [], because),
            _ => rule.check(&cx, &mut report),
        }
    }
    report.into_survey(installation)
}

/// Why there are no figures.
fn why_unsolved(solution: &Solution) -> &'static str {
    match solution.walk.faults.first() {
        Some(Fault::Loop { .. }) => "there are no figures: the drawing holds a loop",
        Some(Fault::Parallel { .. }) => "there are no figures: sources meet without a selector",
        None => "there are no figures: a load cannot be supplied",
    }
}
