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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::installation::{Edit, Property};
    use crate::network::solve;
    use crate::store::list::boat;

    const BOAT: &str = "# system: 120V60Hz\n# resistance: formula\n\
        tag,kind,fed_from,rating_a,run_w,start_w,load_kind,continuous,space,conductor,length_m\n\
        G1,generator,,30,3000,6000,,,,,\nA1,panel,G1,,,,,,,10 AWG,3\nQ1,breaker,A1,15,,,,,,none,\n\
        M1,appliance,Q1,,400,1600,motor,no,,14 AWG,5\nQ2,breaker,A1,20,,,,,,none,\n\
        E1,appliance,Q2,,1000,,,yes,,12 AWG,6\nE2,appliance,Q2,,100,,,no,,12 AWG,2\n";

    /// What follows from a drawing, by name.
    const FOLLOWS: [(&str, Inputs); 8] = [
        ("spaces", Inputs::SPACES),
        ("drawn", Inputs::DRAWN),
        ("upstream", Inputs::UPSTREAM),
        ("loads", Inputs::LOADS),
        ("starts", Inputs::STARTS),
        ("ohms", Inputs::OHMS),
        ("ampacity", Inputs::AMPACITY),
        ("peaks", Inputs::PEAKS),
    ];

    struct Edited {
        old: Seen,
        now: Facts,
        /// What of it is noted as another.
        noted: Vec<&'static str>,
    }

    /// The boat after an edit: what is looked up then is what is looked up anew.
    fn edited(edit: impl FnOnce(&Installation) -> Edit) -> Edited {
        let before = boat(BOAT);
        let after = before.apply(&edit(&before)).unwrap().installation;
        let solution = solve(&before, 0);
        let facts = Facts::new(&before, &solution);
        let old = Seen { installation: before.clone(), whole: before, solution, facts };
        let solution = solve(&after, 0);
        let mut sight = Sight::between(&old, &after, &after, &solution).unwrap();
        let now = Facts::after(&old, &after, &solution, &mut sight);
        assert_eq!(format!("{now:?}"), format!("{:?}", Facts::new(&after, &solution)));
        let noted = FOLLOWS.iter().filter(|(_, what)| sight.changes.meets(*what)).map(|(name, _)| *name).collect();
        Edited { old, now, noted }
    }

    fn part(tag: &str, property: Property, text: &str) -> impl FnOnce(&Installation) -> Edit {
        let (tag, text) = (tag.to_owned(), text.to_owned());
        move |i| Edit::SetPart { parts: vec![i.part_by_tag(&tag).unwrap()], property, text, origin: None }
    }

    fn cable_to(i: &Installation, tag: &str) -> CableId {
        i.feeds_of(i.part_by_tag(tag).unwrap()).next().unwrap().0
    }

    fn cable(tag: &str, property: Property, text: &str) -> impl FnOnce(&Installation) -> Edit {
        let (tag, text) = (tag.to_owned(), text.to_owned());
        move |i| Edit::SetCable { cables: vec![cable_to(i, &tag)], property, text, origin: None }
    }

    fn breaker_opened(i: &Installation) -> Edit {
        Edit::Switch { condition: 0, parts: vec![i.part_by_tag("Q1").unwrap()], on: false }
    }

    #[test]
    fn an_edit_is_noted_for_what_it_makes_another_and_for_nothing_else() {
        let noted = |edited: Edited| edited.noted;
        assert_eq!(noted(edited(part("E1", Property::Label, "Kettle"))), [""; 0]);
        assert_eq!(noted(edited(part("E1", Property::Continuous, "no"))), ["loads"]);
        let unknown = noted(edited(part("E2", Property::RunW, "")));
        assert_eq!(unknown, ["upstream", "loads", "peaks"], "and its cable is no longer the one that drops most");
        assert_eq!(noted(edited(part("E2", Property::RunW, "90"))), ["peaks"]);
        assert_eq!(noted(edited(part("M1", Property::StartW, "1700"))), ["starts", "peaks"]);
        assert_eq!(noted(edited(part("Q1", Property::RatingA, "20"))), ["drawn"]);
        assert_eq!(
            noted(edited(cable("E1", Property::LengthM, "7"))),
            ["drawn", "ohms"],
            "and metres from the breaker"
        );
        assert_eq!(noted(edited(cable("E1", Property::Conductor, "10 AWG"))), ["ohms", "ampacity"]);
        assert_eq!(noted(edited(cable("E1", Property::Bundled, "6"))), ["ampacity"]);
        assert_eq!(noted(edited(breaker_opened)), ["upstream", "loads", "starts", "ohms", "peaks"]);
    }

    /// Of one lookup: whether it is the same one still.
    fn kept(edited: &Edited) -> [bool; 3] {
        let (was, now) = (&edited.old.facts, &edited.now);
        [Arc::ptr_eq(&was.drawn, &now.drawn), Arc::ptr_eq(&was.live, &now.live), Arc::ptr_eq(&was.peaks, &now.peaks)]
    }

    #[test]
    fn what_follows_from_nothing_that_changed_is_kept() {
        assert_eq!(kept(&edited(|i| Edit::SetTitle(Box::new(i.title.clone())))), [true; 3]);
        assert_eq!(kept(&edited(part("E1", Property::RunW, "900"))), [true, false, false]);
        assert_eq!(kept(&edited(breaker_opened)), [true, false, false]);
        assert_eq!(kept(&edited(cable("E1", Property::LengthM, "7"))), [false; 3]);
    }

    #[test]
    fn of_all_ampacities_only_those_are_worked_out_again_that_may_be_others() {
        let anew = |edited: &Edited| -> Vec<String> {
            let (was, now) = (&edited.old.facts.ampacities, &edited.now.ampacities);
            let other = now.iter().filter(|(id, is)| !Arc::ptr_eq(is, &was[*id]));
            let to = other.map(|(id, _)| edited.old.installation.cables[id].to);
            to.map(|to| edited.old.installation.tag(to).to_owned()).collect()
        };
        assert_eq!(anew(&edited(cable("E1", Property::Conductor, "10 AWG"))), ["E1"]);
        assert_eq!(anew(&edited(cable("A1", Property::Bundled, "6"))), ["A1"]);
        assert_eq!(anew(&edited(part("E1", Property::RunW, "900"))), [""; 0]);
        assert_eq!(anew(&edited(breaker_opened)), [""; 0]);
    }
}
