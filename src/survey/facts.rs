//! What is looked up once for a drawing and a condition, before any rule runs; and what of it can be kept after an edit.

use super::drawn::Drawn;
use super::inputs::{Inputs, Seen, Sight};
use super::live::Live;
use crate::installation::{Cable, CableData, CableId, Installation, Leg, Part, PartId, SpaceKind};
use crate::loads::starting::{Peaks, peaks};
use crate::network::{Ampacity, Solution, ampacity};
use std::collections::BTreeMap;
use std::sync::Arc;

/// What is looked up once.
#[derive(Debug)]
pub(super) struct Facts {
    pub drawn: Arc<Drawn>,
    pub live: Arc<Live>,
    pub spaces: BTreeMap<PartId, SpaceKind>,
    pub ampacities: BTreeMap<CableId, Arc<Result<Ampacity, String>>>,
    pub peaks: Arc<BTreeMap<PartId, Peaks>>,
}

/// Amperes of a cable with these data, as the installation is.
pub(super) fn worked_out(
    installation: &Installation,
    solution: &Solution,
    cable: &Cable,
    data: &CableData,
) -> Result<Ampacity, String> {
    ampacity(installation, data, Some(cable.from), cable.to, leg(solution, cable.to))
}

fn leg(solution: &Solution, id: PartId) -> Leg {
    solution.walk.legs.get(&id).copied().unwrap_or(Leg::L1)
}

fn all_peaks(installation: &Installation, solution: &Solution) -> BTreeMap<PartId, Peaks> {
    solution.sources.keys().map(|&s| (s, peaks(installation, solution, s))).collect()
}

fn all_spaces(installation: &Installation) -> BTreeMap<PartId, SpaceKind> {
    installation.parts.keys().map(|&p| (p, installation.space_of(p))).collect()
}

/// The same after an edit: what was not touched stays where it was, as long as no space changed.
fn spaces_after(old: &Seen, installation: &Installation) -> BTreeMap<PartId, SpaceKind> {
    if old.installation.spaces != installation.spaces {
        return all_spaces(installation);
    }
    let of = |(&id, part): (&PartId, &Arc<Part>)| {
        let untouched = old.installation.parts.get(&id).is_some_and(|was| Arc::ptr_eq(was, part));
        let known = old.facts.spaces.get(&id).filter(|_| untouched);
        (id, known.copied().unwrap_or_else(|| installation.space_of(id)))
    };
    installation.parts.iter().map(of).collect()
}

impl Facts {
    /// All of it, in time linear in the size of the drawing.
    pub(super) fn new(installation: &Installation, solution: &Solution) -> Self {
        let of = |cable: &Cable| Arc::new(worked_out(installation, solution, cable, &cable.data));
        Self {
            drawn: Arc::new(Drawn::new(installation)),
            live: Arc::new(Live::new(installation, solution)),
            spaces: all_spaces(installation),
            ampacities: installation.cables.iter().map(|(&id, cable)| (id, of(cable))).collect(),
            peaks: Arc::new(all_peaks(installation, solution)),
        }
    }

    /// The same after an edit: what follows from nothing that changed is kept. Adds to `sight` what differs.
    pub(super) fn after(old: &Seen, installation: &Installation, solution: &Solution, sight: &mut Sight) -> Self {
        let was = &old.facts;
        let spaces = spaces_after(old, installation);
        sight.take(spaces == was.spaces, Inputs::SPACES);
        let drawn = if sight.joins || sight.changes.meets(Inputs::CABLES) {
            Arc::new(Drawn::new(installation))
        } else {
            Arc::clone(&was.drawn)
        };
        let flow = Inputs::parts() | Inputs::CABLES | Inputs::CONDITION | Inputs::WALK | Inputs::FIGURES;
        let (live, peaks) = if sight.changes.meets(flow) {
            (Arc::new(Live::new(installation, solution)), Arc::new(all_peaks(installation, solution)))
        } else {
            (Arc::clone(&was.live), Arc::clone(&was.peaks))
        };
        let ampacities = if sight.changes.meets(Inputs::CABLES | Inputs::SPACES | Inputs::WALK) {
            let same = |id: &CableId, cable: &Arc<Cable>| {
                let ends = [cable.from, cable.to];
                old.installation.cables.get(id).is_some_and(|c| Arc::ptr_eq(c, cable))
                    && ends.iter().all(|p| spaces.get(p) == was.spaces.get(p))
                    && leg(&old.solution, cable.to) == leg(solution, cable.to)
            };
            let of = |id: &CableId, cable: &Arc<Cable>| match was.ampacities.get(id) {
                Some(known) if same(id, cable) => Arc::clone(known),
                _ => Arc::new(worked_out(installation, solution, cable, &cable.data)),
            };
            installation.cables.iter().map(|(id, cable)| (*id, of(id, cable))).collect()
        } else {
            was.ampacities.clone()
        };
        sight.take(Arc::ptr_eq(&drawn, &was.drawn) || drawn == was.drawn, Inputs::DRAWN);
        sight.take(Arc::ptr_eq(&peaks, &was.peaks) || peaks == was.peaks, Inputs::PEAKS);
        sight.take(ampacities == was.ampacities, Inputs::AMPACITY);
        if !Arc::ptr_eq(&live, &was.live) {
            let (a, b) = (&was.live, &live);
            sight.take(a.upstream == b.upstream && a.children == b.children, Inputs::UPSTREAM);
            sight.take(a.unknown_loads == b.unknown_loads && a.long_loads == b.long_loads, Inputs::LOADS);
            sight.take(a.starts == b.starts, Inputs::STARTS);
            sight.take(a.loop_ohms == b.loop_ohms && a.beyond_unknown == b.beyond_unknown, Inputs::OHMS);
        }
        Self { drawn, live, spaces, ampacities, peaks }
    }
}
