//! Everything that follows from a document and a condition, computed behind the doors of the engine rooms; for a large
//! drawing on a thread of its own.

use super::canvas::Lookup;
use super::door::{self, Caught};
use super::worker::Worker;
use crate::diagram::{self, Scene};
use crate::installation::{Installation, PartId};
use crate::loads::{self, starting::Peaks};
use crate::network::{Bands, Solution, Solver, Tolerances, bands};
use crate::sheets;
use crate::survey::{self, Judged, Survey, Surveyor};
use egui::Context;
use std::collections::BTreeMap;
use std::sync::Arc;

/// What is computed: a document in one condition, lengths in metres or in feet.
#[derive(Clone, Debug)]
pub struct Subject {
    /// The document.
    pub installation: Arc<Installation>,
    /// Index of the condition.
    pub condition: usize,
    /// Lengths on the drawing are in feet.
    pub feet: bool,
    /// Figures are asked for as bands too.
    pub bands: bool,
}

impl Subject {
    /// True for the same document, not only an equal one.
    #[must_use]
    pub fn is(&self, other: &Self) -> bool {
        Arc::ptr_eq(&self.installation, &other.installation)
            && self.condition == other.condition
            && self.feet == other.feet
            && self.bands == other.bands
    }

    /// True where computing it takes longer than a frame may.
    #[must_use]
    pub fn is_large(&self) -> bool {
        self.installation.parts.len() > Self::AT_ONCE
    }

    /// A drawing of more parts than this is computed beside the window.
    pub const AT_ONCE: usize = 250;
}

/// Figures as bands within the usual tolerances.
#[derive(Clone, Debug, Default)]
pub enum Banded {
    /// Not asked for, or not there yet.
    #[default]
    NotShown,
    /// There are no bounds.
    Unbounded,
    /// The bands.
    Known(Bands),
}

/// Everything that follows from a document and a condition. Made anew whenever one of them changes.
#[derive(Debug, Default)]
pub struct Computed {
    /// Currents and voltages.
    pub solution: Arc<Solution>,
    /// The same as bands, where they are asked for.
    pub bands: Banded,
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
    /// What the canvas looks up in each frame.
    pub lookup: Lookup,
    /// Rooms that a fault inside the program stopped; what they would have said is not known.
    pub faults: Vec<Caught>,
}

/// The engine rooms behind their doors. Tests plant faults in them.
#[derive(Clone, Copy, Debug)]
pub struct Rooms {
    /// Currents and voltages.
    pub solve: fn(&mut Solver, &Installation, usize) -> Arc<Solution>,
    /// Findings.
    pub survey: fn(&mut Surveyor, &Installation, &Solution) -> Survey,
    /// What a source must start.
    pub peaks: fn(&Installation, &Solution, PartId) -> Peaks,
    /// The drawing.
    pub scene: fn(&Installation, &Solution, &diagram::Overlay, &diagram::Options) -> Scene,
    /// Asked before each view is shown, with its name.
    pub view: fn(&'static str),
}

impl Default for Rooms {
    fn default() -> Self {
        Self {
            solve: Solver::solve,
            survey: Surveyor::survey,
            peaks: loads::starting::peaks,
            scene: diagram::scene,
            view: |_| {},
        }
    }
}

/// What engine rooms remember from one state of the drawing to the next. It makes no difference to what they say.
#[derive(Debug, Default)]
pub struct Memory {
    /// The last solve.
    pub solver: Solver,
    /// The last survey.
    pub surveyor: Surveyor,
}

impl Computed {
    /// Computes all of it.
    #[must_use]
    pub fn of(installation: &Installation, condition: usize) -> Self {
        let mut memory = Memory::default();
        let subject = Subject { installation: Arc::new(installation.clone()), condition, feet: false, bands: false };
        Self::through(&Rooms::default(), &mut memory, &subject, &Self::default(), |_| {})
    }

    /// Computes all of it through the doors of the rooms. What a fault stopped is not known: no figures, no findings but
    /// a check that was not made, and the drawing as it was before. Only what can have changed since the last call is
    /// solved and surveyed again. `drawn` is told of the drawing with its new figures as soon as it is there, still with
    /// the findings of `before`.
    #[must_use]
    pub fn through(
        rooms: &Rooms,
        memory: &mut Memory,
        subject: &Subject,
        before: &Self,
        drawn: impl FnOnce(Self),
    ) -> Self {
        let Subject { installation, condition, .. } = subject;
        let mut faults = Vec::new();
        let solved =
            door::behind("the computation of currents", || (rooms.solve)(&mut memory.solver, installation, *condition));
        let known = solved.is_ok();
        let solution = solved.unwrap_or_else(|caught| {
            faults.push(caught);
            memory.solver = Solver::default();
            Arc::default()
        });
        let bands = door::behind("the bands", || banded(subject, &solution)).unwrap_or_else(|caught| {
            faults.push(caught);
            Banded::NotShown
        });
        if subject.is_large() {
            drawn(Self::early(rooms, subject, &solution, before));
        }
        let survey = if known {
            let surveyor = &mut memory.surveyor;
            door::behind("the survey", || (rooms.survey)(surveyor, installation, &solution)).unwrap_or_else(|caught| {
                faults.push(caught);
                // What it remembered may be half of one survey and half of another.
                memory.surveyor = Surveyor::default();
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
        let scene = scene(rooms, subject, &solution, &overlay).unwrap_or_else(|caught| {
            faults.push(caught);
            before.scene.clone()
        });
        let lookup = Lookup::new(installation, &solution, &scene, &judged.open);
        Self { solution, bands, survey, judged, scene, peaks, overlay, lookup, faults }
    }

    /// The new drawing and figures with the findings of before.
    fn early(rooms: &Rooms, subject: &Subject, solution: &Arc<Solution>, before: &Self) -> Self {
        let scene = scene(rooms, subject, solution, &before.overlay).unwrap_or_else(|_| before.scene.clone());
        let lookup = Lookup::new(&subject.installation, solution, &scene, &before.judged.open);
        Self {
            solution: Arc::clone(solution),
            bands: Banded::NotShown,
            survey: before.survey.clone(),
            judged: before.judged.clone(),
            scene,
            peaks: before.peaks.clone(),
            overlay: before.overlay.clone(),
            lookup,
            faults: before.faults.clone(),
        }
    }
}

fn banded(subject: &Subject, solution: &Solution) -> Banded {
    if !subject.bands {
        return Banded::NotShown;
    }
    let found = bands(&subject.installation, solution, &Tolerances::default());
    found.map_or(Banded::Unbounded, Banded::Known)
}

fn scene(rooms: &Rooms, subject: &Subject, solution: &Solution, overlay: &diagram::Overlay) -> Result<Scene, Caught> {
    let options = diagram::Options { feet: subject.feet, ..diagram::Options::default() };
    door::behind("the drawing", || (rooms.scene)(&subject.installation, solution, overlay, &options))
}

/// The survey where none could be made.
fn no_survey(because: &str) -> Survey {
    let all = survey::NotChecked { rule: "survey", parts: Vec::new(), because: because.to_owned() };
    Survey { findings: Vec::new(), not_checked: vec![all] }
}

/// One computation on a thread of its own. It is not interrupted: what changed meanwhile is computed next, and only the
/// newest of it.
pub struct Beside {
    worker: Worker<News>,
    /// What is computed.
    pub subject: Subject,
}

impl Beside {
    /// Starts it.
    pub fn start(ctx: &Context, rooms: Rooms, mut memory: Memory, subject: Subject, before: Arc<Computed>) -> Self {
        let of = subject.clone();
        let worker = Worker::start("survey", ctx, move |line| {
            let whole = Computed::through(&rooms, &mut memory, &of, &before, |early| {
                line.tell(News::Drawn(early));
            });
            line.tell(News::Whole(whole, Box::new(memory)));
        });
        Self { worker, subject }
    }

    /// What came since it was asked last.
    pub fn poll(&mut self) -> News {
        let mut news = News::Nothing;
        while let Some(told) = self.worker.poll() {
            news = told;
            if matches!(news, News::Whole(..)) {
                return news;
            }
        }
        if matches!(news, News::Nothing) && self.worker.is_over() { News::Failed } else { news }
    }
}

/// What a computation beside the window came to.
pub enum News {
    /// Nothing new.
    Nothing,
    /// Drawing and figures; the findings are still those of before.
    Drawn(Computed),
    /// All of it.
    Whole(Computed, Box<Memory>),
    /// There is no thread, or it ended without a word.
    Failed,
}
