//! What rules are given: the installation, one solved condition, and lookups that are built once.

use super::drawn::Guard;
use super::facts::{Facts, worked_out};
use super::inputs::Inputs;
use super::live::{LongLoads, Start, Upstream};
use crate::installation::{
    Aboard, Cable, CableData, CableId, Condition, Conductor, Installation, Leg, Part, PartId, PartKind,
    ResistanceBasis, RuleSet, Size, SpaceKind, System, TitleBlock,
};
use crate::loads::starting::Peaks;
use crate::network::{Ampacity, Currents, PartFlow, Reach, Solution, Walk, ampacity};
use crate::units::Complex;
use std::cell::Cell;

/// One solved condition with everything that a rule may look up, read-only. Every lookup takes logarithmic time, and is
/// noted, so that it is known what a rule has read.
#[derive(Debug)]
pub struct Context<'a> {
    installation: &'a Installation,
    whole: &'a Installation,
    solution: &'a Solution,
    facts: Facts,
    read: Cell<Inputs>,
}

impl<'a> Context<'a> {
    /// Builds the lookups, in time linear in the size of the drawing.
    #[must_use]
    pub fn new(installation: &'a Installation, solution: &'a Solution) -> Self {
        Self::with(installation, solution, Facts::new(installation, solution))
    }

    /// With lookups that are built already.
    pub(super) fn with(installation: &'a Installation, solution: &'a Solution, facts: Facts) -> Self {
        Self { installation, whole: installation, solution, facts, read: Cell::default() }
    }

    /// With the document as it is drawn, where that is more than what is judged.
    #[must_use]
    pub const fn within(mut self, whole: &'a Installation) -> Self {
        self.whole = whole;
        self
    }

    /// What was read since the last [`Self::forget_readings`].
    pub(super) const fn readings(&self) -> Inputs {
        self.read.get()
    }

    /// Starts anew to note what is read.
    pub(super) fn forget_readings(&self) {
        self.read.set(Inputs::default());
    }

    /// What was looked up once, to be kept.
    pub(super) fn into_facts(self) -> Facts {
        self.facts
    }

    fn note(&self, what: Inputs) {
        self.read.set(self.read.get() | what);
    }

    /// The document as it will be, without what is to be removed. What is read of it is not told apart: a rule reads parts, cables and the title block by
    /// their own lookups.
    #[must_use]
    pub fn installation(&self) -> &'a Installation {
        self.note(Inputs::ALL);
        self.installation
    }

    /// The document as it is drawn, with what is to be removed.
    #[must_use]
    pub fn whole(&self) -> &'a Installation {
        self.note(Inputs::WHOLE);
        self.whole
    }

    /// The title block.
    #[must_use]
    pub fn title(&self) -> &'a TitleBlock {
        self.note(Inputs::TITLE);
        &self.installation.title
    }

    /// What is aboard that no symbol shows.
    #[must_use]
    pub fn aboard(&self) -> &'a Aboard {
        self.note(Inputs::ABOARD);
        &self.installation.aboard
    }

    /// Where conductor resistance comes from.
    #[must_use]
    pub const fn resistance(&self) -> ResistanceBasis {
        self.installation.resistance
    }

    /// The condition, solved as far as it can be.
    #[must_use]
    pub fn solution(&self) -> &'a Solution {
        self.note(Inputs::FIGURES | Inputs::WALK);
        self.solution
    }

    /// What is fed from where.
    #[must_use]
    pub fn walk(&self) -> &'a Walk {
        self.note(Inputs::WALK);
        &self.solution.walk
    }

    /// The supply system.
    #[must_use]
    pub const fn system(&self) -> System {
        self.installation.system
    }

    /// The rule set.
    #[must_use]
    pub const fn rules(&self) -> RuleSet {
        self.installation.rules
    }

    /// The condition that was solved.
    #[must_use]
    pub fn condition(&self) -> Option<&'a Condition> {
        self.note(Inputs::CONDITION | Inputs::WALK);
        self.installation.conditions.get(self.solution.walk.condition)
    }

    /// All parts, in the order of their ids.
    pub fn parts(&self) -> impl Iterator<Item = (PartId, &'a Part)> + use<'a> {
        self.note(Inputs::parts());
        self.installation.parts.iter().map(|(id, part)| (*id, part.as_ref()))
    }

    /// All parts of a kind, in the order of their ids.
    pub fn of_kind(&self, kind: PartKind) -> impl Iterator<Item = (PartId, &'a Part)> + use<'a> {
        self.note(Inputs::of_kind(kind));
        let all = self.installation.parts.iter().map(|(id, part)| (*id, part.as_ref()));
        all.filter(move |(_, part)| part.kind == kind)
    }

    /// All cables, in the order of their ids.
    pub fn cables(&self) -> impl Iterator<Item = (CableId, &'a Cable)> + use<'a> {
        self.note(Inputs::CABLES);
        self.installation.cables.iter().map(|(id, cable)| (*id, cable.as_ref()))
    }

    /// A part.
    #[must_use]
    pub fn part(&self, id: PartId) -> Option<&'a Part> {
        let part = self.installation.parts.get(&id).map(AsRef::as_ref);
        // What is not there may be of any kind tomorrow.
        self.note(part.map_or(Inputs::parts(), |p| Inputs::of_kind(p.kind)));
        part
    }

    /// A cable.
    #[must_use]
    pub fn cable(&self, id: CableId) -> Option<&'a Cable> {
        self.note(Inputs::CABLES);
        self.installation.cables.get(&id).map(AsRef::as_ref)
    }

    /// The kind of a part.
    #[must_use]
    pub fn kind(&self, id: PartId) -> Option<PartKind> {
        self.part(id).map(|p| p.kind)
    }

    /// The tag of a part.
    #[must_use]
    pub fn tag(&self, id: PartId) -> &'a str {
        self.part(id).map_or("?", |part| &part.tag)
    }

    /// Tag and label of a part for a sentence.
    #[must_use]
    pub fn name(&self, id: PartId) -> String {
        self.part(id).map_or_else(|| "?".to_owned(), Part::name)
    }

    /// The kind of space that a part is in.
    #[must_use]
    pub fn space(&self, id: PartId) -> SpaceKind {
        self.note(Inputs::SPACES);
        self.facts.spaces.get(&id).copied().unwrap_or_default()
    }

    /// True where a part is switched on or closed in this condition.
    #[must_use]
    pub fn is_on(&self, id: PartId) -> bool {
        self.note(Inputs::CONDITION | Inputs::WALK);
        self.installation.is_on(id, self.solution.walk.condition)
    }

    /// How a part stands in this condition.
    #[must_use]
    pub fn reach(&self, id: PartId) -> Reach {
        self.note(Inputs::WALK);
        self.solution.walk.reach.get(&id).copied().unwrap_or(Reach::NotFed)
    }

    /// True where a part is fed in this condition.
    #[must_use]
    pub fn is_fed(&self, id: PartId) -> bool {
        self.note(Inputs::WALK);
        self.solution.walk.is_fed(id)
    }

    /// The conductors that feed a part; line 1 where there are no two lines.
    #[must_use]
    pub fn leg(&self, id: PartId) -> Leg {
        self.note(Inputs::WALK);
        self.solution.walk.legs.get(&id).copied().unwrap_or(Leg::L1)
    }

    /// Nominal volts between the conductors of a leg.
    #[must_use]
    pub fn nominal_v(&self, leg: Leg) -> f64 {
        match leg {
            Leg::L1 | Leg::L2 => self.system().nominal_v(),
            Leg::L1L2 | Leg::L1L2N if self.system().is_split_phase() => 2.0 * self.system().nominal_v(),
            Leg::L1L2 | Leg::L1L2N => self.system().nominal_v(),
        }
    }

    /// The solved figures of a part that is fed.
    #[must_use]
    pub fn flow(&self, id: PartId) -> Option<&'a PartFlow> {
        self.note(Inputs::FIGURES | Inputs::WALK);
        self.solution.parts.get(&id).filter(|flow| flow.energised)
    }

    /// Amperes into a part that is fed (a source: out of it), the larger line.
    #[must_use]
    pub fn amps(&self, id: PartId) -> Option<f64> {
        self.flow(id).and_then(|flow| flow.amps)
    }

    /// Currents of each conductor out of a part that is fed, to all that it feeds. `None` where there are no figures.
    #[must_use]
    pub fn output(&self, id: PartId) -> Option<Currents> {
        self.note(Inputs::FIGURES | Inputs::WALK);
        if let Some(source) = self.solution.sources.get(&id) {
            return source.currents;
        }
        let mut sum = Currents::default();
        for &child in self.children(id) {
            let (_, flow) = self.solution.feed_of(child)?;
            let currents = flow.currents?;
            sum.l1 += currents.l1;
            sum.l2 += currents.l2;
            sum.n += currents.n;
        }
        Some(sum)
    }

    /// The drop from the source at a part, in per cent, for an appliance of this leg.
    #[must_use]
    pub fn drop_percent(&self, id: PartId, leg: Leg) -> Option<f64> {
        let flow = self.flow(id)?;
        match (leg, flow.drop_percent_legs) {
            (Leg::L1, Some((l1, _))) => Some(l1),
            (Leg::L2, Some((_, l2))) => Some(l2),
            _ => flow.drop_percent,
        }
    }

    /// What a fed part has upstream.
    #[must_use]
    pub fn upstream(&self, id: PartId) -> Option<&Upstream> {
        self.note(Inputs::UPSTREAM);
        self.facts.live.upstream.get(&id)
    }

    /// The fed parts that a part feeds directly in this condition.
    #[must_use]
    pub fn children(&self, id: PartId) -> &[PartId] {
        self.note(Inputs::UPSTREAM);
        self.facts.live.children.get(&id).map_or(&[], Vec::as_slice)
    }

    /// How many appliances behind a part (itself included) are fed and on while their running power is not known: what
    /// the part carries is then a lower bound.
    #[must_use]
    pub fn unknown_loads(&self, id: PartId) -> u32 {
        self.note(Inputs::LOADS);
        self.facts.live.unknown_loads.get(&id).copied().unwrap_or(0)
    }

    /// Appliances behind a part that are fed and on, by how long they run.
    #[must_use]
    pub fn long_loads(&self, id: PartId) -> LongLoads {
        self.note(Inputs::LOADS);
        self.facts.live.long_loads.get(&id).copied().unwrap_or_default()
    }

    /// The start behind a part (itself included) that adds most, of what is fed and on and whose start is known.
    #[must_use]
    pub fn largest_start(&self, id: PartId) -> Option<&Start> {
        self.note(Inputs::STARTS);
        self.facts.live.starts.get(&id)
    }

    /// Impedance out and back from the source's terminals to a fed part, ohms; `None` where a cable on the way has no
    /// known size or length. Transformers and the source itself count as none.
    #[must_use]
    pub fn loop_ohms(&self, id: PartId) -> Option<Complex> {
        self.note(Inputs::OHMS);
        self.facts.live.loop_ohms.get(&id).copied()
    }

    /// True where a cable or cord between a fed part and its source has no known size or length.
    #[must_use]
    pub fn is_beyond_unknown(&self, id: PartId) -> bool {
        self.note(Inputs::OHMS);
        self.facts.live.beyond_unknown.get(&id).copied().unwrap_or(false)
    }

    /// Cables drawn into a part.
    #[must_use]
    pub fn arriving(&self, id: PartId) -> &[CableId] {
        self.note(Inputs::DRAWN);
        self.facts.drawn.arriving.get(&id).map_or(&[], Vec::as_slice)
    }

    /// Cables drawn out of a part.
    #[must_use]
    pub fn leaving(&self, id: PartId) -> &[CableId] {
        self.note(Inputs::DRAWN);
        self.facts.drawn.leaving.get(&id).map_or(&[], Vec::as_slice)
    }

    /// Every part off a ring, each after all that feed it in the drawing.
    #[must_use]
    pub fn drawn_order(&self) -> &[PartId] {
        self.note(Inputs::DRAWN);
        &self.facts.drawn.order
    }

    /// The overcurrent devices that guard what leaves a part, one for each way in which it can be fed.
    #[must_use]
    pub fn guards_behind(&self, id: PartId) -> &[Guard] {
        self.note(Inputs::DRAWN);
        self.facts.drawn.guards.get(&id).map_or(&[], |g| &**g)
    }

    /// The cables that an overcurrent device guards, up to the next device.
    #[must_use]
    pub fn zone(&self, guard: PartId) -> &[CableId] {
        self.note(Inputs::DRAWN);
        self.facts.drawn.zones.get(&guard).map_or(&[], Vec::as_slice)
    }

    /// Every source that can feed a part in some condition, the part itself included where it is one.
    #[must_use]
    pub fn sources_of(&self, id: PartId) -> &[PartId] {
        self.note(Inputs::DRAWN);
        self.facts.drawn.roots.get(&id).map_or(&[], |r| &**r)
    }

    /// The longest way of cable in metres from the last breaker or source to a part; `None` where a length on the way is
    /// not known.
    #[must_use]
    pub fn from_guard_m(&self, id: PartId) -> Option<f64> {
        self.note(Inputs::DRAWN);
        self.facts.drawn.from_guard_m.get(&id).copied().flatten()
    }

    /// Conductors, neutral included, that a switch opens so that nothing of the supply is left joined.
    #[must_use]
    pub fn live_conductors(&self) -> u8 {
        if self.system().is_split_phase() { 3 } else { 2 }
    }

    /// What a source that feeds would have to deliver while appliances start.
    #[must_use]
    pub fn peaks(&self, source: PartId) -> Option<&Peaks> {
        self.note(Inputs::PEAKS);
        self.facts.peaks.get(&source)
    }

    /// What the conductor of a cable may carry; `None` where there is no cable, or its size is not known or in no table.
    #[must_use]
    pub fn ampacity(&self, id: CableId) -> Option<&Ampacity> {
        self.note(Inputs::AMPACITY);
        self.facts.ampacities.get(&id).and_then(|a| a.as_ref().as_ref().ok())
    }

    /// What a shore cord may carry, or why there is no figure.
    ///
    /// # Errors
    /// In words, for the person who reads it.
    pub fn cord_ampacity(&self, inlet: PartId) -> Result<Ampacity, String> {
        self.note(Inputs::SPACES | Inputs::WALK);
        let cord = &self.part(inlet).ok_or_else(|| "there is no such part".to_owned())?.cord;
        ampacity(self.installation, cord, None, inlet, self.leg(inlet))
    }

    /// Why there is no figure for what a cable may carry.
    #[must_use]
    pub fn why_no_ampacity(&self, id: CableId) -> &str {
        self.note(Inputs::AMPACITY);
        match self.facts.ampacities.get(&id).map(AsRef::as_ref) {
            Some(Err(why)) => why,
            _ => "its data are not known",
        }
    }

    /// What the conductor of a cable could carry if it had this size.
    #[must_use]
    pub fn ampacity_with(&self, id: CableId, size: Size) -> Option<Ampacity> {
        self.note(Inputs::SPACES | Inputs::WALK);
        let cable = self.cable(id)?;
        let data = CableData { conductor: Conductor::Size(size), ..cable.data.clone() };
        worked_out(self.installation, self.solution, cable, &data).ok()
    }

    /// The leakage trip level in mA that protects a part: on itself or upstream in this condition; for a part that is
    /// not fed, the weakest over all ways in which it is drawn fed. Infinite where there is none.
    #[must_use]
    pub fn leakage_ma(&self, id: PartId) -> f64 {
        self.note(Inputs::UPSTREAM | Inputs::DRAWN);
        self.upstream(id)
            .map(|up| up.leakage_ma)
            .or_else(|| self.facts.drawn.leakage_ma.get(&id).copied())
            .unwrap_or(f64::INFINITY)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::network::solve;
    use crate::store::list::boat;

    fn asked(list: &str, ask: impl FnOnce(&Context<'_>)) {
        let boat = boat(list);
        let solution = solve(&boat, 0);
        ask(&Context::new(&boat, &solution));
    }

    #[test]
    fn volts_between_two_lines_are_twice_as_many_only_where_there_are_two() {
        for (system, line, both) in
            [("120V60Hz", 120.0, 120.0), ("230V50Hz", 230.0, 230.0), ("120/240V60Hz", 120.0, 240.0)]
        {
            asked(&format!("# system: {system}\ntag,kind\nG1,generator\n"), |cx| {
                let volts = [Leg::L1, Leg::L2, Leg::L1L2, Leg::L1L2N].map(|leg| cx.nominal_v(leg));
                assert_eq!(volts, [line, line, both, both], "{system}");
            });
        }
    }

    #[test]
    fn a_part_is_told_by_its_tag_and_what_is_not_there_by_a_question_mark() {
        asked("# system: 120V60Hz\ntag,kind,label\nG1,generator,Set\nA1,panel,\n", |cx| {
            let all: Vec<(&str, String)> = cx.parts().map(|(id, _)| (cx.tag(id), cx.name(id))).collect();
            assert_eq!(all, [("G1", "G1 Set".to_owned()), ("A1", "A1".to_owned())]);
            let gone = PartId::new(99);
            assert_eq!((cx.tag(gone), cx.name(gone).as_str(), cx.kind(gone)), ("?", "?", None));
        });
    }

    /// 33 CFR 183.425 table 5, 105 °C: 14 AWG 35 A, 12 AWG 45 A, 10 AWG 60 A; of six in a bundle 0.6 of it.
    #[test]
    fn a_cable_of_another_size_carries_what_the_table_says_under_the_same_conditions() {
        for (bundled, share) in [("2", 1.0), ("6", 0.6)] {
            let list = format!(
                "# system: 120V60Hz\ntag,kind,fed_from,run_w,conductor,length_m,insulation_c,bundled\n\
                 G1,generator,,3000,,,,\nE1,appliance,G1,300,14 AWG,4,105,{bundled}\n"
            );
            asked(&list, |cx| {
                let (id, _) = cx.cables().next().unwrap();
                for (awg, amps) in [(14, 35.0), (12, 45.0), (10, 60.0)] {
                    let found = cx.ampacity_with(id, Size::Awg(awg)).unwrap().amps;
                    assert!((found - share * amps).abs() < 1e-9, "{awg} AWG, {bundled} in the bundle: {found} A");
                }
                assert_eq!(cx.ampacity_with(id, Size::Awg(14)).as_ref(), cx.ampacity(id));
                assert_eq!(cx.ampacity_with(CableId::new(99), Size::Awg(14)), None);
            });
        }
    }
}
