//! The run of all rules: once over a drawing, or again after each edit of one that is being edited.

use super::context::Context;
use super::facts::Facts;
use super::finding::Survey;
use super::inputs::{Inputs, Seen, Sight};
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
    for rule in rules() {
        check(*rule, &cx, &mut report);
    }
    report.into_survey(installation)
}

/// One rule, where it holds and can say something.
fn check(rule: &dyn Rule, cx: &Context<'_>, report: &mut Report) {
    let info = rule.info();
    if !info.holds_in(cx.rules()) {
        return;
    }
    if info.needs_figures && !cx.solution().converged {
        report.not_checked(info, [], why_unsolved(cx.solution()));
    } else {
        rule.check(cx, report);
    }
}

/// Why there are no figures.
fn why_unsolved(solution: &Solution) -> &'static str {
    match solution.walk.faults.first() {
        Some(Fault::Loop { .. }) => "there are no figures: the drawing holds a loop",
        Some(Fault::Parallel { .. }) => "there are no figures: sources meet without a selector",
        None => "there are no figures: a load cannot be supplied",
    }
}

/// What one rule reported, and what it had read by then.
#[derive(Debug)]
struct Outcome {
    report: Report,
    read: Inputs,
}

/// The survey of a drawing that is being edited: it remembers what each rule read and reported, and runs again only those
/// rules of whose readings something changed.
#[derive(Debug, Default)]
pub struct Surveyor {
    before: Option<Seen>,
    outcomes: Vec<Outcome>,
    ran: usize,
}

impl Surveyor {
    /// The survey of a drawing as it is now: the same as [`run`] gives, in less time where little changed since the last
    /// call. Linear in the size of the drawing. Any drawing and condition will do; another one is only slower.
    #[must_use]
    pub fn survey(&mut self, installation: &Installation, solution: &Solution) -> Survey {
        let planned = installation.planned();
        let before = self.before.take().filter(|_| self.outcomes.len() == rules().len());
        let sight = before.as_ref().and_then(|b| Some((b, Sight::between(b, &planned, installation, solution)?)));
        let (facts, changes) = match sight {
            Some((before, mut sight)) => {
                let facts = Facts::after(before, &planned, solution, &mut sight);
                (facts, Some(sight.changes))
            }
            None => (Facts::new(&planned, solution), None),
        };
        let cx = Context::with(&planned, solution, facts).within(installation);
        let mut known = std::mem::take(&mut self.outcomes).into_iter();
        self.ran = 0;
        for rule in rules() {
            let known = known.next().filter(|o| changes.is_some_and(|changes| !o.read.meets(changes)));
            let outcome = known.unwrap_or_else(|| {
                self.ran += 1;
                cx.forget_readings();
                let mut report = Report::default();
                check(*rule, &cx, &mut report);
                Outcome { report, read: cx.readings() }
            });
            self.outcomes.push(outcome);
        }
        let mut all = Report::default();
        for outcome in &self.outcomes {
            all.take(&outcome.report);
        }
        let facts = cx.into_facts();
        let whole = installation.clone();
        self.before = Some(Seen { installation: planned.into_owned(), whole, solution: solution.clone(), facts });
        all.into_survey(installation)
    }

    /// How many rules the last call ran; the others had nothing new to read.
    #[must_use]
    pub const fn ran(&self) -> usize {
        self.ran
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::network::solve;
    use crate::store::list::boat;

    #[test]
    fn why_there_are_no_figures_is_said_for_every_rule_that_needs_them() {
        let parallel = "# system: 120V60Hz\n# feeding: G1|G2\ntag,kind,fed_from,run_w,conductor\nG1,generator,,2000,\n\
                        G2,generator,,2000,\nA1,panel,G1|G2,,none\nE1,appliance,A1,100,none\n";
        let ring = "# system: 120V60Hz\ntag,kind,fed_from,run_w,conductor\nG1,generator,,2000,\nA1,panel,G1|A2,,none\n\
                    A2,panel,A1,,none\nE1,appliance,A1,100,none\n";
        let too_much = "# system: 120V60Hz\ntag,kind,fed_from,run_w,conductor,length_m\nG1,generator,,90000,,\n\
                        E1,appliance,G1,20000,14 AWG,50\n";
        for (list, why) in [
            (parallel, "there are no figures: sources meet without a selector"),
            (ring, "there are no figures: the drawing holds a loop"),
            (too_much, "there are no figures: a load cannot be supplied"),
        ] {
            let boat = boat(list);
            let said: Vec<&str> = run(&boat, &solve(&boat, 0))
                .not_checked
                .into_iter()
                .filter_map(|n| (n.because == why).then_some(n.rule))
                .collect();
            let of_set = |info: &super::super::RuleInfo| info.needs_figures && info.holds_in(boat.rules);
            let mut wanted: Vec<&str> = rules().iter().map(|r| r.info()).filter(|i| of_set(i)).map(|i| i.id).collect();
            wanted.sort_unstable();
            assert_eq!(said, wanted, "{why}");
        }
    }
}
