//! What the window knows: the document with its history, the condition shown, and everything computed from the two.

use super::canvas;
use super::commands::Command;
use super::door::{self, Caught};
use super::tab::Tab;
use crate::diagram::{self, Scene, Target};
use crate::installation::{CableId, Edit, EditError, History, Installation, Leg, Part, PartId, Point, Selection};
use crate::loads::{self, starting::Peaks};
use crate::network::{self, Ampacity, Solution};
use crate::sheets;
use crate::survey::{self, Judged, Survey, Surveyor, TripCurve};
use std::collections::BTreeMap;
use std::path::PathBuf;
use std::sync::Arc;

/// Everything that follows from a document and a condition. Made anew whenever one of them changes.
#[derive(Debug, Default)]
pub struct Computed {
    /// Currents and voltages.
    pub solution: Solution,
    /// Findings and what was not checked.
    pub survey: Survey,
    /// The findings, those that a person accepted set apart.
    pub judged: Judged,
    /// The drawing in millimetres.
    pub scene: Scene,
    /// What each source that feeds must start.
    pub peaks: BTreeMap<PartId, Peaks>,
    /// What survey and loads add to the drawing.
    pub overlay: diagram::Overlay,
    /// Rooms that a fault inside the program stopped; what they would have said is not known.
    pub faults: Vec<Caught>,
}

/// The engine rooms behind their doors. Tests plant faults in them.
#[derive(Clone, Copy, Debug)]
pub struct Rooms {
    /// Currents and voltages.
    pub solve: fn(&Installation, usize) -> Solution,
    /// Findings.
    pub survey: fn(&mut Surveyor, &Installation, &Solution) -> Survey,
    /// What a source must start.
    pub peaks: fn(&Installation, &Solution, PartId) -> Peaks,
    /// The drawing.
    pub scene: fn(&Installation, &Solution, &diagram::Overlay) -> Scene,
    /// Asked before each view is shown, with its name.
    pub view: fn(&'static str),
}

impl Default for Rooms {
    fn default() -> Self {
        Self {
            solve: network::solve,
            survey: Surveyor::survey,
            peaks: loads::starting::peaks,
            scene: |doc, solution, overlay| diagram::scene(doc, solution, overlay, &diagram::Options::default()),
            view: |_| {},
        }
    }
}

impl Computed {
    /// Computes all of it.
    #[must_use]
    pub fn of(installation: &Installation, condition: usize) -> Self {
        let mut surveyor = Surveyor::default();
        Self::through(&Rooms::default(), &mut surveyor, installation, condition, &Self::default())
    }

    /// Computes all of it through the doors of the rooms. What a fault stopped is not known: no figures, no findings but
    /// a check that was not made, and the drawing as it was before. The surveyor remembers the last survey and runs again
    /// only what can have changed.
    #[must_use]
    pub fn through(
        rooms: &Rooms,
        surveyor: &mut Surveyor,
        installation: &Installation,
        condition: usize,
        before: &Self,
    ) -> Self {
        let mut faults = Vec::new();
        let solved = door::behind("the computation of currents", || (rooms.solve)(installation, condition));
        let known = solved.is_ok();
        let solution = solved.unwrap_or_else(|caught| {
            faults.push(caught);
            Solution::default()
        });
        let survey = if known {
            door::behind("the survey", || (rooms.survey)(surveyor, installation, &solution)).unwrap_or_else(|caught| {
                faults.push(caught);
                // What it remembered may be half of one survey and half of another.
                *surveyor = Surveyor::default();
                no_survey("an error inside the program stopped the survey: no rule was checked")
            })
        } else {
            no_survey("an error inside the program stopped the computation: no rule was checked")
        };
        let starting = door::behind("the starting peaks", || {
            let peak = |source: &PartId| (*source, (rooms.peaks)(installation, &solution, *source));
            solution.walk.roots.iter().map(peak).collect::<BTreeMap<PartId, Peaks>>()
        });
        let peaks = starting.unwrap_or_else(|caught| {
            faults.push(caught);
            BTreeMap::new()
        });
        let judged = survey::judge(installation, &survey);
        let overlay = sheets::overlay(installation, &solution, &judged, &peaks);
        let scene = door::behind("the drawing", || (rooms.scene)(installation, &solution, &overlay));
        let scene = scene.unwrap_or_else(|caught| {
            faults.push(caught);
            before.scene.clone()
        });
        Self { solution, survey, judged, scene, peaks, overlay, faults }
    }
}

/// The survey where none could be made.
fn no_survey(because: &str) -> Survey {
    let all = survey::NotChecked { rule: "survey", parts: Vec::new(), because: because.to_owned() };
    Survey { findings: Vec::new(), not_checked: vec![all] }
}

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
    /// What follows from document and condition; see [`State::refresh`].
    pub computed: Computed,
    /// The rooms that compute it.
    pub rooms: Rooms,
    surveyor: Surveyor,
    /// The document with what is being tried; never kept.
    trial: Option<Arc<Installation>>,
    shown: Option<(Arc<Installation>, usize)>,
    trips: BTreeMap<PartId, Arc<Result<TripCurve, String>>>,
    /// The line at the foot of the canvas.
    pub message: Option<Message>,
    /// Lengths are shown in feet, and a number without unit is feet.
    pub feet: bool,
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
        let mut state = Self {
            history: History::new(installation),
            path,
            condition: 0,
            tab: Tab::default(),
            computed: Computed::default(),
            rooms: Rooms::default(),
            surveyor: Surveyor::default(),
            trial: None,
            shown: None,
            trips: BTreeMap::new(),
            message: None,
            feet: false,
            own: Vec::new(),
            view: canvas::View::default(),
            canvas: canvas::Canvas::default(),
            view_centre: Point::default(),
            hovered: None,
            focus: None,
            for_canvas: vec![Command::ZoomFit],
        };
        state.refresh();
        state
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

    /// Computes anew where the document or the condition is another one. Call it after every change and once a frame.
    pub fn refresh(&mut self) {
        let installation = Arc::clone(self.installation());
        self.condition = self.condition.min(installation.conditions.len().saturating_sub(1));
        let same = self.shown.as_ref().is_some_and(|(i, c)| Arc::ptr_eq(i, &installation) && *c == self.condition);
        if !same {
            let (rooms, surveyor) = (self.rooms, &mut self.surveyor);
            self.computed = Computed::through(&rooms, surveyor, &installation, self.condition, &self.computed);
            self.trips.clear();
            self.shown = Some((installation, self.condition));
        }
    }
}
