//! What the window knows: the document with its history, the condition shown, and everything computed from the two.

use super::canvas;
use super::commands::Command;
use super::computed::{Beside, Memory, News, Subject};
pub use super::computed::{Computed, Rooms};
use super::door;
use super::tab::Tab;
use crate::diagram::{Scene, Target};
use crate::installation::{CableId, Edit, EditError, History, Installation, Leg, Part, PartId, Point, Selection};
use crate::network::{self, Ampacity};
use crate::survey::{self, TripCurve};
use egui::Context;
use std::collections::BTreeMap;
use std::path::PathBuf;
use std::sync::Arc;

/// A line for the person: a refusal with its reason, or what was done.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Message {
    /// What happened and, for a refusal, what would be valid.
    pub text: String,
    /// True where something was refused.
    pub refused: bool,
}

/// What the window knows.
pub struct State {
    /// The document, its past and its undone future, and what is selected.
    pub history: History,
    /// The file that the document is saved in.
    pub path: Option<PathBuf>,
    /// Index of the condition that is shown.
    pub condition: usize,
    /// The view that is shown.
    pub tab: Tab,
    /// What follows from document and condition; see [`State::refresh`]. Of a large drawing it may be that of a moment
    /// ago, see [`State::is_behind`].
    pub computed: Arc<Computed>,
    /// The rooms that compute it.
    pub rooms: Rooms,
    memory: Memory,
    /// The document with what is being tried; never kept.
    trial: Option<Arc<Installation>>,
    /// What `computed` is of.
    shown: Option<Subject>,
    /// What the drawing in `computed` is of: it comes before the findings.
    drawn: Option<Subject>,
    /// The computation on a thread of its own that runs.
    beside: Option<Beside>,
    /// The window, to be woken by that; without one everything is computed at once.
    ctx: Option<Context>,
    trips: BTreeMap<PartId, Arc<Result<TripCurve, String>>>,
    /// The line at the foot of the canvas.
    pub message: Option<Message>,
    /// Lengths are shown in feet, and a number without unit is feet.
    pub feet: bool,
    /// Figures are shown as bands too.
    pub bands: bool,
    /// Appliances of one's own, kept for the next drawing.
    pub own: Vec<Part>,
    /// What is seen of the drawing.
    pub view: canvas::View,
    /// What the canvas remembers between frames, besides the view.
    pub canvas: canvas::Canvas,
    /// The point of the drawing in the middle of the canvas, where the keyboard puts new parts.
    pub view_centre: Point,
    /// What lies under the pointer, on the canvas or in a list.
    pub hovered: Option<Target>,
    /// What the canvas should bring into view in its next frame; the canvas takes it.
    pub focus: Option<Selection>,
    /// Commands that the canvas carries out in its next frame; the canvas takes them.
    pub for_canvas: Vec<Command>,
}

impl State {
    /// Starts with a document, of a file or not.
    #[must_use]
    pub fn new(installation: Installation, path: Option<PathBuf>) -> Self {
        let mut state = Self::unseen(installation, path);
        state.refresh();
        state
    }

    /// The same in a window: a large drawing is computed beside it.
    #[must_use]
    pub fn in_window(ctx: &Context, installation: Installation, path: Option<PathBuf>) -> Self {
        let mut state = Self { ctx: Some(ctx.clone()), ..Self::unseen(installation, path) };
        state.refresh();
        state
    }

    /// Takes another document in; what is preferred stays.
    pub fn replace(&mut self, installation: Installation, path: Option<PathBuf>) {
        let kept = (self.rooms, self.feet, self.bands, std::mem::take(&mut self.own), self.ctx.take());
        *self = Self::unseen(installation, path);
        (self.rooms, self.feet, self.bands, self.own, self.ctx) = kept;
        self.refresh();
    }

    fn unseen(installation: Installation, path: Option<PathBuf>) -> Self {
        Self {
            history: History::new(installation),
            path,
            condition: 0,
            tab: Tab::default(),
            computed: Arc::default(),
            rooms: Rooms::default(),
            memory: Memory::default(),
            trial: None,
            shown: None,
            drawn: None,
            beside: None,
            ctx: None,
            trips: BTreeMap::new(),
            message: None,
            feet: false,
            bands: false,
            own: Vec::new(),
            view: canvas::View::default(),
            canvas: canvas::Canvas::default(),
            view_centre: Point::default(),
            hovered: None,
            focus: None,
            for_canvas: vec![Command::ZoomFit],
        }
    }

    /// The document that is shown: as it is now, or while something is tried, with that.
    #[must_use]
    pub fn installation(&self) -> &Arc<Installation> {
        self.trial.as_ref().unwrap_or_else(|| self.history.installation())
    }

    /// Turns a switch to see what would follow, for as long as the trial lasts. Nothing is kept of it.
    pub fn try_switch(&mut self, part: PartId) {
        let on = !self.installation().is_on(part, self.condition);
        let edit = Edit::Switch { condition: self.condition, parts: vec![part], on };
        match self.installation().apply(&edit) {
            Ok(edited) => {
                self.trial = Some(Arc::new(edited.installation));
                self.refresh();
                self.say(format!("trying: {}; let go of the key to go back", edited.label));
            }
            Err(error) => self.refuse(error.to_string()),
        }
    }

    /// True while something is tried.
    #[must_use]
    pub fn is_trying(&self) -> bool {
        self.trial.is_some()
    }

    /// Goes back from what was tried.
    pub fn end_trial(&mut self) {
        if self.trial.take().is_some() {
            self.message = None;
            self.refresh();
        }
    }

    /// What is selected.
    #[must_use]
    pub fn selection(&self) -> &Selection {
        self.history.selection()
    }

    /// The only selected part, if one part and nothing else is selected.
    #[must_use]
    pub fn selected_part(&self) -> Option<PartId> {
        let s = self.selection();
        let alone = s.parts.len() == 1 && s.cables.is_empty() && s.spaces.is_empty();
        s.parts.first().copied().filter(|_| alone)
    }

    /// Selects something.
    pub fn select(&mut self, selection: Selection) {
        if *self.selection() != selection {
            self.history.select(selection);
        }
    }

    /// Selects something and shows it on the drawing.
    pub fn go_to(&mut self, selection: Selection) {
        self.tab = Tab::Drawing;
        self.focus = Some(selection.clone());
        self.select(selection);
    }

    /// Applies an edit as a step; steps in a row with the same `merge` key are one. A refusal becomes the message.
    /// True where it was applied.
    pub fn edit(&mut self, edit: &Edit, merge: Option<&str>) -> bool {
        let done = self.try_edit(edit, merge);
        if let Err(error) = &done {
            self.refuse(error.to_string());
        }
        done.is_ok()
    }

    /// The same for a caller that shows the refusal itself.
    ///
    /// # Errors
    /// Why it was refused; nothing is changed then.
    pub fn try_edit(&mut self, edit: &Edit, merge: Option<&str>) -> Result<(), EditError> {
        self.end_trial();
        self.history.apply(edit, merge)?;
        self.message = None;
        self.refresh();
        Ok(())
    }

    /// What a cable may carry in the shown condition.
    ///
    /// # Errors
    /// Says why there is no figure.
    pub fn ampacity(&self, id: CableId) -> Result<Ampacity, String> {
        let doc = self.installation();
        let cable = doc.cables.get(&id).ok_or_else(|| "the cable is no longer in the drawing".to_owned())?;
        let leg = self.computed.solution.parts.get(&cable.to).map_or(Leg::L1, |flow| flow.leg);
        network::ampacity(doc, &cable.data, Some(cable.from), cable.to, leg)
    }

    /// The trip behaviour of a breaker in the shown condition, or why there is none; worked out once for a drawing.
    pub fn trip_curve(&mut self, breaker: PartId) -> Arc<Result<TripCurve, String>> {
        if let Some(known) = self.trips.get(&breaker) {
            return Arc::clone(known);
        }
        let work = || survey::trip_curve(self.installation(), &self.computed.solution, breaker);
        let curve = door::behind("the trip curve", work).unwrap_or_else(|caught| Err(caught.line()));
        let curve = Arc::new(curve);
        self.trips.insert(breaker, Arc::clone(&curve));
        curve
    }

    /// Says why something was not done.
    pub fn refuse(&mut self, text: impl Into<String>) {
        self.message = Some(Message { text: text.into(), refused: true });
    }

    /// Says what was done.
    pub fn say(&mut self, text: impl Into<String>) {
        self.message = Some(Message { text: text.into(), refused: false });
    }

    /// Carries a command out, or hands it to the canvas. Commands of the window (files, dialogs, themes) are not for here
    /// and give false.
    pub fn command(&mut self, command: Command) -> bool {
        match command {
            Command::Undo => {
                self.history.undo();
            }
            Command::Redo => {
                self.history.redo();
            }
            Command::Delete => {
                let selection = self.selection().clone();
                if !selection.is_empty() {
                    self.edit(&Edit::Remove(selection), None);
                }
            }
            Command::SelectAll => {
                let i = self.installation();
                let all = Selection {
                    parts: i.parts.keys().copied().collect(),
                    cables: i.cables.keys().copied().collect(),
                    spaces: i.spaces.keys().copied().collect(),
                };
                self.select(all);
            }
            other if other.is_for_canvas() => {
                self.tab = Tab::Drawing;
                self.for_canvas.push(other);
            }
            _ => return false,
        }
        self.refresh();
        true
    }

    /// Computes anew where the document or the condition is another one: at once, or for a large drawing beside the window,
    /// the newest alone. Call it after every change and once a frame.
    pub fn refresh(&mut self) {
        let installation = Arc::clone(self.installation());
        self.condition = self.condition.min(installation.conditions.len().saturating_sub(1));
        let wanted = Subject { installation, condition: self.condition, feet: self.feet, bands: self.bands };
        self.hear();
        if self.shown.as_ref().is_some_and(|shown| shown.is(&wanted)) {
            return;
        }
        let ctx = self.ctx.clone().filter(|_| wanted.is_large());
        match (ctx, &self.beside) {
            // What runs is of a moment ago; the newest is next.
            (Some(_), Some(_)) => {}
            (Some(ctx), None) => {
                let memory = std::mem::take(&mut self.memory);
                let before = Arc::clone(&self.computed);
                self.beside = Some(Beside::start(&ctx, self.rooms, memory, wanted, before));
            }
            (None, _) => self.compute(wanted),
        }
    }

    fn compute(&mut self, wanted: Subject) {
        // The memory that is with another thread is lost; a new one is only slower.
        self.beside = None;
        let computed = Computed::through(&self.rooms, &mut self.memory, &wanted, &self.computed, |_| {});
        self.take(computed, &wanted);
        self.shown = Some(wanted);
    }

    fn take(&mut self, computed: Computed, subject: &Subject) {
        self.computed = Arc::new(computed);
        self.trips.clear();
        self.drawn = Some(subject.clone());
    }

    /// Takes over what the thread told.
    fn hear(&mut self) {
        let Some(beside) = &mut self.beside else { return };
        let news = beside.poll();
        let subject = beside.subject.clone();
        match news {
            News::Nothing => {}
            News::Drawn(computed) => {
                self.take(computed, &subject);
                // Half of it is of before: should the drawing go back to that meanwhile, it is not of now either.
                self.shown = None;
            }
            News::Whole(computed, memory) => {
                self.beside = None;
                self.memory = *memory;
                self.take(computed, &subject);
                self.shown = Some(subject);
            }
            News::Failed => self.compute(subject),
        }
    }

    /// The drawing with what is looked up in it.
    #[must_use]
    pub fn drawn(&self) -> (&Scene, &canvas::Lookup) {
        (&self.computed.scene, &self.computed.lookup)
    }

    /// True while what is shown follows from an earlier state of the drawing, and the newest is being computed.
    #[must_use]
    pub fn is_behind(&self) -> bool {
        !self.is_of_now(self.shown.as_ref())
    }

    /// True where the drawing is of an earlier state.
    #[must_use]
    pub fn is_drawing_behind(&self) -> bool {
        !self.is_of_now(self.drawn.as_ref())
    }

    fn is_of_now(&self, subject: Option<&Subject>) -> bool {
        let same = |s: &Subject| Arc::ptr_eq(&s.installation, self.installation()) && s.condition == self.condition;
        subject.is_some_and(same)
    }

    /// How far a part was moved since it was drawn, in millimetres; nothing where the drawing is of now.
    #[must_use]
    pub fn moved_since(&self, part: PartId) -> Option<(f64, f64)> {
        let drawn = &self.drawn.as_ref()?.installation;
        if Arc::ptr_eq(drawn, self.installation()) {
            return None;
        }
        let (old, new) = (drawn.parts.get(&part)?.position(), self.installation().parts.get(&part)?.position());
        (old != new).then_some((new.x - old.x, new.y - old.y))
    }
}
