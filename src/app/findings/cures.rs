//! What can be done about each finding, worked out beside the window once the drawing is at rest.

use crate::app::state::State;
use crate::app::worker::Worker;
use crate::installation::Installation;
use crate::survey::{self, Finding, Offer};
use egui::Context;
use std::collections::BTreeMap;
use std::sync::Arc;

/// Seconds without a change before the work begins: no work while something is dragged.
const REST_S: f64 = 0.2;
/// Up to so many parts and findings every finding is looked at; above, only the one that is open.
const ALL_PARTS: usize = 400;
const ALL_FINDINGS: usize = 120;

/// What is known of the findings of the drawing and condition that are shown, by their place in the survey.
#[derive(Default)]
pub struct Cures {
    of: Option<(Arc<Installation>, usize)>,
    known: BTreeMap<usize, Offer>,
    since: f64,
    worker: Option<Worker<(usize, Offer)>>,
    /// What the worker was asked for.
    asked: Vec<usize>,
}

impl Cures {
    /// Takes what came, drops what is about an earlier drawing, and begins new work. Call it once a frame.
    pub fn follow(&mut self, ctx: &Context, state: &State, open: Option<usize>) {
        let now = ctx.input(|i| i.time);
        let doc = state.installation();
        if !self.of.as_ref().is_some_and(|(of, condition)| Arc::ptr_eq(of, doc) && *condition == state.condition) {
            self.of = Some((Arc::clone(doc), state.condition));
            self.known.clear();
            self.worker = None;
            self.asked.clear();
            self.since = now;
        }
        if let Some(worker) = &mut self.worker {
            while let Some((index, offer)) = worker.poll() {
                self.known.insert(index, offer);
            }
            if worker.is_over() {
                self.worker = None;
            }
        }
        if state.is_behind() {
            // The findings that are shown are of an earlier drawing.
            return;
        }
        let findings = &state.computed.judged.open;
        let all = doc.parts.len() <= ALL_PARTS && findings.len() <= ALL_FINDINGS;
        let wanted: Vec<usize> = if all { (0..findings.len()).collect() } else { open.into_iter().collect() };
        let new = wanted.iter().any(|i| !self.asked.contains(i));
        if !new {
            return;
        }
        if now - self.since < REST_S {
            ctx.request_repaint_after(std::time::Duration::from_secs_f64(REST_S));
            return;
        }
        let (doc, condition) = (Arc::clone(doc), state.condition);
        let (places, list): (Vec<usize>, Vec<Finding>) =
            wanted.iter().filter_map(|i| findings.get(*i).map(|f| (*i, f.clone()))).unzip();
        self.asked = wanted;
        self.worker = Some(Worker::start("cures", ctx, move |line| {
            survey::offers(&doc, condition, &list, |n, offer| {
                places.get(n).is_none_or(|index| line.tell((*index, offer)))
            });
        }));
    }

    /// What can be done about the finding at this place; `None` while that is being worked out.
    #[must_use]
    pub fn of(&self, index: usize) -> Option<&Offer> {
        self.known.get(&index)
    }

    /// How many findings have a change that must be made by itself.
    #[must_use]
    pub fn alone(&self) -> usize {
        self.known.values().filter(|o| matches!(o, Offer::Change(remedy, _) if remedy.alone)).count()
    }

    /// How many findings have a change that may be part of a list.
    #[must_use]
    pub fn listed(&self) -> usize {
        self.known.values().filter(|o| matches!(o, Offer::Change(remedy, _) if !remedy.alone)).count()
    }
}
