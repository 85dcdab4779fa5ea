//! What rules are given: the installation, one solved condition, and lookups that are built once.

use super::drawn::{Drawn, Guard};
use super::live::{Live, LongLoads, Start, Upstream};
use crate::installation::{
    Cable, CableData, CableId, Condition, Conductor, Installation, Leg, Part, PartId, PartKind, RuleSet, Size,
    SpaceKind, System,
};
use crate::loads::starting::{Peaks, peaks};
use crate::network::{Ampacity, Currents, PartFlow, Reach, Solution, Walk, ampacity};
use crate::units::Complex;
use std::collections::BTreeMap;

/// One solved condition with everything that a rule may look up, read-only. Every lookup takes logarithmic time.
#[derive(Debug)]
pub struct Context<'a> {
    /// The document as it will be, without what is to be removed.
    pub installation: &'a Installation,
    /// The document as it is drawn, with what is to be removed.
    pub whole: &'a Installation,
    /// The condition, solved as far as it can be.
    pub solution: &'a Solution,
    /// What is fed from where.
    pub walk: &'a Walk,
    drawn: Drawn,
    live: Live,
    spaces: BTreeMap<PartId, SpaceKind>,
    ampacities: BTreeMap<CableId, Result<Ampacity, String>>,
    peaks: BTreeMap<PartId, Peaks>,
}

impl<'a> Context<'a> {
    /// Builds the lookups, in time linear in the size of the drawing.
    #[must_use]
    pub fn new(installation: &'a Installation, solution: &'a Solution) -> Self {
        let mut cx = Self {
            installation,
            whole: installation,
            solution,
            walk: &solution.walk,
            drawn: Drawn::new(installation),
            live: Live::new(installation, solution),
            spaces: installation.parts.keys().map(|&p| (p, installation.space_of(p))).collect(),
            ampacities: BTreeMap::new(),
            peaks: solution.sources.keys().map(|&s| (s, peaks(installation, solution, s))).collect(),
        };
        cx.ampacities = cx.cables().map(|(id, cable)| (id, cx.worked_out(cable, &cable.data))).collect();
        cx
    }

    /// With the document as it is drawn, where that is more than what is judged.
    #[must_use]
    pub const fn within(mut self, whole: &'a Installation) -> Self {
        self.whole = whole;
        self
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
        self.installation.conditions.get(self.walk.condition)
    }

    /// All parts, in the order of their ids.
    pub fn parts(&self) -> impl Iterator<Item = (PartId, &'a Part)> + use<'a> {
        self.installation.parts.iter().map(|(id, part)| (*id, part.as_ref()))
    }

    /// All parts of a kind, in the order of their ids.
    pub fn of_kind(&self, kind: PartKind) -> impl Iterator<Item = (PartId, &'a Part)> + use<'a> {
        self.parts().filter(move |(_, part)| part.kind == kind)
    }

    /// All cables, in the order of their ids.
    pub fn cables(&self) -> impl Iterator<Item = (CableId, &'a Cable)> + use<'a> {
        self.installation.cables.iter().map(|(id, cable)| (*id, cable.as_ref()))
    }

    /// A part.
    #[must_use]
    pub fn part(&self, id: PartId) -> Option<&'a Part> {
        self.installation.parts.get(&id).map(AsRef::as_ref)
    }

    /// A cable.
    #[must_use]
    pub fn cable(&self, id: CableId) -> Option<&'a Cable> {
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
        self.installation.tag(id)
    }

    /// Tag and label of a part for a sentence.
    #[must_use]
    pub fn name(&self, id: PartId) -> String {
        self.part(id).map_or_else(|| "?".to_owned(), Part::name)
    }

    /// The kind of space that a part is in.
    #[must_use]
    pub fn space(&self, id: PartId) -> SpaceKind {
        self.spaces.get(&id).copied().unwrap_or_default()
    }

    /// True where a part is switched on or closed in this condition.
    #[must_use]
    pub fn is_on(&self, id: PartId) -> bool {
        self.installation.is_on(id, self.walk.condition)
    }

    /// How a part stands in this condition.
    #[must_use]
    pub fn reach(&self, id: PartId) -> Reach {
        self.walk.reach.get(&id).copied().unwrap_or(Reach::NotFed)
    }

    /// True where a part is fed in this condition.
    #[must_use]
    pub fn is_fed(&self, id: PartId) -> bool {
        self.walk.is_fed(id)
    }

    /// The conductors that feed a part; line 1 where there are no two lines.
    #[must_use]
    pub fn leg(&self, id: PartId) -> Leg {
        self.walk.legs.get(&id).copied().unwrap_or(Leg::L1)
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
        self.live.upstream.get(&id)
    }

    /// The fed parts that a part feeds directly in this condition.
    #[must_use]
    pub fn children(&self, id: PartId) -> &[PartId] {
        self.live.children.get(&id).map_or(&[], Vec::as_slice)
    }

    /// How many appliances behind a part (itself included) are fed and on while their running power is not known: what
    /// the part carries is then a lower bound.
    #[must_use]
    pub fn unknown_loads(&self, id: PartId) -> u32 {
        self.live.unknown_loads.get(&id).copied().unwrap_or(0)
    }

    /// Appliances behind a part that are fed and on, by how long they run.
    #[must_use]
    pub fn long_loads(&self, id: PartId) -> LongLoads {
        self.live.long_loads.get(&id).copied().unwrap_or_default()
    }

    /// The start behind a part (itself included) that adds most, of what is fed and on and whose start is known.
    #[must_use]
    pub fn largest_start(&self, id: PartId) -> Option<&Start> {
        self.live.starts.get(&id)
    }

    /// Impedance out and back from the source's terminals to a fed part, ohms; `None` where a cable on the way has no
    /// known size or length. Transformers and the source itself count as none.
    #[must_use]
    pub fn loop_ohms(&self, id: PartId) -> Option<Complex> {
        self.live.loop_ohms.get(&id).copied()
    }

    /// True where a cable or cord between a fed part and its source has no known size or length.
    #[must_use]
    pub fn is_beyond_unknown(&self, id: PartId) -> bool {
        self.live.beyond_unknown.get(&id).copied().unwrap_or(false)
    }

    /// Cables drawn into a part.
    #[must_use]
    pub fn arriving(&self, id: PartId) -> &[CableId] {
        self.drawn.arriving.get(&id).map_or(&[], Vec::as_slice)
    }

    /// Cables drawn out of a part.
    #[must_use]
    pub fn leaving(&self, id: PartId) -> &[CableId] {
        self.drawn.leaving.get(&id).map_or(&[], Vec::as_slice)
    }

    /// Every part off a ring, each after all that feed it in the drawing.
    #[must_use]
    pub fn drawn_order(&self) -> &[PartId] {
        &self.drawn.order
    }

    /// The overcurrent devices that guard what leaves a part, one for each way in which it can be fed.
    #[must_use]
    pub fn guards_behind(&self, id: PartId) -> &[Guard] {
        self.drawn.guards.get(&id).map_or(&[], |g| &**g)
    }

    /// The cables that an overcurrent device guards, up to the next device.
    #[must_use]
    pub fn zone(&self, guard: PartId) -> &[CableId] {
        self.drawn.zones.get(&guard).map_or(&[], Vec::as_slice)
    }

    /// Every source that can feed a part in some condition, the part itself included where it is one.
    #[must_use]
    pub fn sources_of(&self, id: PartId) -> &[PartId] {
        self.drawn.roots.get(&id).map_or(&[], |r| &**r)
    }

    /// The longest way of cable in metres from the last breaker or source to a part; `None` where a length on the way is
    /// not known.
    #[must_use]
    pub fn from_guard_m(&self, id: PartId) -> Option<f64> {
        self.drawn.from_guard_m.get(&id).copied().flatten()
    }

    /// Conductors, neutral included, that a switch opens so that nothing of the supply is left joined.
    #[must_use]
    pub fn live_conductors(&self) -> u8 {
        if self.system().is_split_phase() { 3 } else { 2 }
    }

    /// What a source that feeds would have to deliver while appliances start.
    #[must_use]
    pub fn peaks(&self, source: PartId) -> Option<&Peaks> {
        self.peaks.get(&source)
    }

    /// What the conductor of a cable may carry; `None` where there is no cable, or its size is not known or in no table.
    #[must_use]
    pub fn ampacity(&self, id: CableId) -> Option<&Ampacity> {
        self.ampacities.get(&id).and_then(|a| a.as_ref().ok())
    }

    /// What a shore cord may carry, or why there is no figure.
    ///
    /// # Errors
    /// In words, for the person who reads it.
    pub fn cord_ampacity(&self, inlet: PartId) -> Result<Ampacity, String> {
        let cord = &self.part(inlet).ok_or_else(|| "there is no such part".to_owned())?.cord;
        ampacity(self.installation, cord, None, inlet, self.leg(inlet))
    }

    /// Why there is no figure for what a cable may carry.
    #[must_use]
    pub fn why_no_ampacity(&self, id: CableId) -> &str {
        match self.ampacities.get(&id) {
            Some(Err(why)) => why,
            _ => "its data are not known",
        }
    }

    /// What the conductor of a cable could carry if it had this size.
    #[must_use]
    pub fn ampacity_with(&self, id: CableId, size: Size) -> Option<Ampacity> {
        let cable = self.cable(id)?;
        let data = CableData { conductor: Conductor::Size(size), ..cable.data.clone() };
        self.worked_out(cable, &data).ok()
    }

    fn worked_out(&self, cable: &Cable, data: &CableData) -> Result<Ampacity, String> {
        ampacity(self.installation, data, Some(cable.from), cable.to, self.leg(cable.to))
    }

    /// The leakage trip level in mA that protects a part: on itself or upstream in this condition; for a part that is
    /// not fed, the weakest over all ways in which it is drawn fed. Infinite where there is none.
    #[must_use]
    pub fn leakage_ma(&self, id: PartId) -> f64 {
        self.upstream(id)
            .map(|up| up.leakage_ma)
            .or_else(|| self.drawn.leakage_ma.get(&id).copied())
            .unwrap_or(f64::INFINITY)
    }
}
