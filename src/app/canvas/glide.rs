//! Parts glide to their new places when the drawing is tidied, for a third of a second. Nothing waits for it: the document
//! has its new places at once, and only what is painted comes after.

use crate::app::computed::Subject;
use crate::app::state::State;
use crate::diagram::{self, Scene};
use crate::installation::{Installation, PartId, Place, Point};
use egui::Ui;
use std::collections::BTreeMap;
use std::sync::Arc;

/// So many times as long as the toolkit's own movements; where those are turned off there is none.
const TIMES: f32 = 4.0;

/// A movement that runs.
#[derive(Debug)]
pub struct Glide {
    from: BTreeMap<PartId, Point>,
    to: Arc<Installation>,
    start: f64,
}

impl Glide {
    /// Starts one from the places of `before` to those of the drawing as it is now. `None` where nothing moves, where
    /// movement is turned off, or where the drawing is too large to be drawn anew in each frame.
    #[must_use]
    pub fn start(ui: &Ui, before: &Installation, state: &State) -> Option<Self> {
        let to = Arc::clone(state.installation());
        let moved = before.parts.iter().filter_map(|(id, part)| {
            let now = to.parts.get(id)?.position();
            (now != part.position()).then_some((*id, part.position()))
        });
        let from: BTreeMap<PartId, Point> = moved.collect();
        let still = ui.style().animation_time <= 0.0 || to.parts.len() > Subject::AT_ONCE;
        (!from.is_empty() && !still).then(|| Self { from, to, start: ui.input(|i| i.time) })
    }

    /// The drawing on its way, or `None` at the end, or where something else was changed meanwhile.
    #[must_use]
    pub fn scene(&self, ui: &Ui, state: &State) -> Option<Scene> {
        let length = f64::from(ui.style().animation_time * TIMES);
        let t = (ui.input(|i| i.time) - self.start) / length.max(1e-3);
        if !(0.0..1.0).contains(&t) || !Arc::ptr_eq(&self.to, state.installation()) {
            return None;
        }
        // Slow at both ends.
        let t = t * t * (3.0 - 2.0 * t);
        let mut between = (*self.to).clone();
        for (id, from) in &self.from {
            let Some(part) = between.parts.get_mut(id) else { continue };
            let to = part.position();
            let at = Point::new(from.x + (to.x - from.x) * t, from.y + (to.y - from.y) * t);
            Arc::make_mut(part).place = Place::At(at);
        }
        ui.ctx().request_repaint();
        let options = diagram::Options { feet: state.feet, ..diagram::Options::default() };
        let computed = &state.computed;
        // A fault here is no fault of the drawing: it then stands at its end at once.
        let drawn = || diagram::scene(&between, &computed.solution, &computed.overlay, &options);
        crate::app::door::behind("the drawing on its way", drawn).ok()
    }
}
