//! The question by ticking: some appliances must run; what may start now, what only in an order, and what cannot, because.

use super::judge::{Judge, Stopped};
use super::model::{Model, Set, first, members};
use super::starts::in_use;
use crate::installation::{Installation, PartId};
use crate::loads::starting::Load;
use std::collections::BTreeSet;

/// How an appliance stands to those that must run.
#[derive(Clone, Debug, PartialEq)]
pub enum Standing {
    /// It is among those that must run, and nothing that is known stops them.
    Running,
    /// It is among those that must run, and these cannot run together.
    Blocked,
    /// It may start now, while all the others run.
    Now,
    /// All can run, but it cannot start last: only in this order.
    InOrder(Vec<PartId>),
    /// It cannot run with the others; what counts most first.
    No(Vec<Stopped>),
    /// Nothing that is known stops it, but this is missing.
    NotKnown(&'static str),
    /// Nothing feeds it in this condition.
    NotFed,
}

/// One appliance with its standing.
#[derive(Clone, Debug, PartialEq)]
pub struct Row {
    /// The appliance.
    pub part: PartId,
    /// How it stands.
    pub standing: Standing,
}

/// The answer for one choice of what must run.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Desk {
    /// Every appliance, in the order of the document; those with `must_run` are not among them.
    pub rows: Vec<Row>,
    /// What stops the choice itself, what counts most first; empty where nothing that is known does.
    pub stops: Vec<Stopped>,
    /// Appliances that always run.
    pub always: Vec<PartId>,
    /// True for a drawing with a loop or sources in parallel: there are no figures, and no rows.
    pub refused: bool,
    /// True where starts are judged by watts only.
    pub by_watts_only: bool,
    /// Checks that could not be made.
    pub not_checked: Vec<super::NotChecked>,
}

impl Desk {
    /// Judges each appliance beside those that must run. Time: a solve for each appliance.
    #[must_use]
    pub fn new(installation: &Installation, condition: usize, must_run: &BTreeSet<PartId>) -> Self {
        let model = Model::new(installation, condition);
        let mut desk = Self {
            always: model.always.clone(),
            refused: !model.walk.faults.is_empty(),
            by_watts_only: model.by_watts_only,
            not_checked: model.not_checked.clone(),
            ..Self::default()
        };
        if desk.refused {
            return desk;
        }
        let mut judge = Judge::new(&model);
        let ticked = members(first(model.units.len()))
            .filter(|&n| must_run.contains(&model.units[n].part))
            .fold(0, |s: Set, n| s | 1 << n);
        if !judge.runs(ticked) {
            desk.stops = judge.stops(ticked);
        }
        let missing = |part: PartId| model.left_out.iter().find(|(id, _)| *id == part).map(|(_, why)| *why);
        for (n, unit) in model.units.iter().enumerate() {
            let with = ticked | 1 << n;
            let standing = if with == ticked {
                if desk.stops.is_empty() { Standing::Running } else { Standing::Blocked }
            } else if !judge.runs(with) {
                Standing::No(judge.stops(with))
            } else if let Some(why) = missing(unit.part) {
                Standing::NotKnown(why)
            } else {
                now_or_later(&model, ticked, n)
            };
            desk.rows.push(Row { part: unit.part, standing });
        }
        for (part, why) in &model.left_out {
            if desk.rows.iter().all(|r| r.part != *part) {
                desk.rows.push(Row { part: *part, standing: Standing::NotKnown(why) });
            }
        }
        desk.rows.extend(model.not_fed.iter().map(|&part| Row { part, standing: Standing::NotFed }));
        desk.rows.sort_by_key(|r| r.part);
        desk
    }
}

fn now_or_later(model: &Model<'_>, running: Set, unit: usize) -> Standing {
    let part = model.units[unit].part;
    let Some(s) = model.starts.iter().find(|s| s.root == model.units[unit].root) else { return Standing::Now };
    let others = in_use(s, running).fold(s.base, |(w, q), (_, l)| (w + l.run_w, q + l.run_var));
    let own = s.loads.iter().find(|(_, l)| l.part == part).map(|(_, l)| l.moment(others));
    let fits = own.is_none_or(|(watts, var)| s.limits.holds(watts, var).unwrap_or(true));
    if fits {
        return Standing::Now;
    }
    let all: Vec<Load> = in_use(s, running | 1 << unit).map(|(_, l)| *l).collect();
    s.limits.find_order(&all, s.base).map_or(Standing::Now, Standing::InOrder)
}
