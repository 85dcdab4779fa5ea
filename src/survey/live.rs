//! What follows from the walk of one condition: what each fed part has upstream and downstream.

use crate::installation::{CableId, Installation, Leg, Part, PartId, PartKind};
use crate::network::{CableFlow, Solution, Walk};
use crate::units::Complex;
use std::collections::BTreeMap;

/// What lies between a fed part and its source.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Upstream {
    /// The source that feeds it.
    pub root: PartId,
    /// The smallest leakage trip level on the part itself or upstream, in mA; infinite where there is none. What lies
    /// ahead of an isolation transformer does not see its secondary and does not count.
    pub leakage_ma: f64,
    /// The part next to the source on the way; `None` at the source itself.
    pub first: Option<PartId>,
    /// The last panel upstream, not the part itself.
    pub panel: Option<PartId>,
    /// The nearest breaker or fuse that is drawn upstream, not the part itself.
    pub breaker: Option<PartId>,
    /// The last isolation transformer, the part itself included.
    pub transformer: Option<PartId>,
    /// The last outlet upstream, not the part itself.
    pub outlet: Option<PartId>,
    /// The cable with the largest drop between the source and the part.
    pub worst_cable: Option<CableId>,
    /// The cable with the largest drop between the last panel and the part.
    pub worst_branch_cable: Option<CableId>,
}

/// Appliances behind a part that are fed and on, by how long they run.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct LongLoads {
    /// Listed as running three hours or more.
    pub listed: u32,
    /// Not known.
    pub not_known: u32,
}

/// The start behind a part that adds most to what it carries already.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Start {
    /// The appliance that starts.
    pub appliance: PartId,
    /// Amperes while it starts, by volt-amperes where they are known, by watts else; nominal volts.
    pub amps: f64,
    /// Amperes that the start adds to its running current.
    pub added_a: f64,
}

/// Lookups that follow from the walk.
#[derive(Debug, Default)]
pub(super) struct Live {
    /// The fed parts that each part feeds directly.
    pub children: BTreeMap<PartId, Vec<PartId>>,
    /// What each fed part has upstream.
    pub upstream: BTreeMap<PartId, Upstream>,
    /// Fed appliances that are on and whose running power is not known, counted for each part that carries them.
    pub unknown_loads: BTreeMap<PartId, u32>,
    /// Appliances that run long, counted for each part that carries them.
    pub long_loads: BTreeMap<PartId, LongLoads>,
    /// The largest start behind each part, of what is fed and on and whose start is known.
    pub starts: BTreeMap<PartId, Start>,
    /// Impedance out and back from the source's terminals to each fed part, ohms; missing where a cable on the way has no
    /// known size or length. Transformers and the source itself count as none.
    pub loop_ohms: BTreeMap<PartId, Complex>,
    /// The fed parts beyond a cable or cord of unknown size or length.
    pub beyond_unknown: BTreeMap<PartId, bool>,
}

impl Live {
    /// Built once, in time linear in the size of the drawing.
    pub(super) fn new(installation: &Installation, solution: &Solution) -> Self {
        let walk = &solution.walk;
        let mut live = Self::default();
        for &id in &walk.order {
            let Some(part) = installation.parts.get(&id) else { continue };
            let feed = walk.feeds.get(&id);
            if let Some(feed) = feed {
                live.children.entry(feed.from).or_default().push(id);
            }
            let parent = feed.and_then(|f| Some((f.from, *live.upstream.get(&f.from)?)));
            let own_ma = part.protection.trip_ma().unwrap_or(f64::INFINITY);
            let transformer = part.kind == PartKind::IsolationTransformer;
            let mut up = match parent {
                None => Upstream {
                    root: id,
                    first: None,
                    leakage_ma: own_ma,
                    panel: None,
                    breaker: None,
                    transformer: None,
                    outlet: None,
                    worst_cable: None,
                    worst_branch_cable: None,
                },
                Some((from, mut up)) => {
                    up.first = up.first.or(Some(id));
                    match installation.parts.get(&from).map(|p| p.kind) {
                        Some(PartKind::Panel) => {
                            up.panel = Some(from);
                            up.worst_branch_cable = None;
                        }
                        Some(PartKind::Breaker) => up.breaker = Some(from),
                        Some(PartKind::Outlet) => up.outlet = Some(from),
                        _ => {}
                    }
                    up.leakage_ma = if transformer { own_ma } else { up.leakage_ma.min(own_ma) };
                    up
                }
            };
            if let Some(feed) = feed {
                let drop = |c: CableId| solution.cables.get(&c).and_then(|f| f.drop_volts).unwrap_or(0.0);
                let worse = |old: Option<CableId>| old.filter(|&c| drop(c) >= drop(feed.cable)).or(Some(feed.cable));
                up.worst_cable = worse(up.worst_cable);
                up.worst_branch_cable = worse(up.worst_branch_cable);
            }
            if transformer {
                up.transformer = Some(id);
            }
            live.upstream.insert(id, up);
            if let Some(ohms) = live.ohms_to(installation, solution, id, part) {
                live.loop_ohms.insert(id, ohms);
            }
            let known = match feed {
                Some(feed) => installation.cables.get(&feed.cable).is_none_or(|c| c.data.is_known()),
                None => part.cord.is_known(),
            };
            let before = feed.is_some_and(|f| live.beyond_unknown.get(&f.from).copied().unwrap_or(false));
            live.beyond_unknown.insert(id, before || !known);
        }
        live.count_loads(installation, walk);
        live
    }

    /// Impedance from the source to a part whose feed is worked out.
    fn ohms_to(&self, installation: &Installation, solution: &Solution, id: PartId, part: &Part) -> Option<Complex> {
        let of = |flow: &CableFlow| Some(Complex::new(flow.ohms?, flow.reactance_ohms.unwrap_or(0.0)));
        match solution.walk.feeds.get(&id) {
            Some(feed) => {
                let before = *self.loop_ohms.get(&feed.from)?;
                let fitted = installation.cables.get(&feed.cable)?.data.is_fitted();
                Some(if fitted { before + of(solution.cables.get(&feed.cable)?)? } else { before })
            }
            None if part.cord.is_fitted() => of(solution.cords.get(&id)?),
            None => Some(Complex::new(0.0, 0.0)),
        }
    }

    /// Counts appliances towards the source, children before parents.
    fn count_loads(&mut self, installation: &Installation, walk: &Walk) {
        for &id in walk.order.iter().rev() {
            let mut unknown = 0;
            let mut long = LongLoads::default();
            let mut start: Option<Start> = None;
            for child in self.children.get(&id).into_iter().flatten() {
                unknown += self.unknown_loads.get(child).copied().unwrap_or(0);
                let below = self.long_loads.get(child).copied().unwrap_or_default();
                long.listed += below.listed;
                long.not_known += below.not_known;
                let theirs = self.starts.get(child).copied();
                start = match (start, theirs) {
                    (Some(a), Some(b)) if a.added_a >= b.added_a => Some(a),
                    (a, b) => b.or(a),
                };
            }
            if let Some(part) = installation.parts.get(&id)
                && part.kind == PartKind::Appliance
                && installation.is_on(id, walk.condition)
            {
                unknown += u32::from(part.run_w.is_none());
                long.listed += u32::from(part.continuous == Some(true));
                long.not_known += u32::from(part.continuous.is_none());
                start = own_start(installation, walk, id, part);
            }
            self.unknown_loads.insert(id, unknown);
            self.long_loads.insert(id, long);
            if let Some(start) = start {
                self.starts.insert(id, start);
            }
        }
    }
}

/// What an appliance draws while it starts, where that is known and more than what it draws running.
fn own_start(installation: &Installation, walk: &Walk, id: PartId, part: &Part) -> Option<Start> {
    let system = installation.system;
    let lines = match walk.legs.get(&id) {
        Some(Leg::L1L2 | Leg::L1L2N) if system.is_split_phase() => 2.0,
        _ => 1.0,
    };
    let volts = lines * system.nominal_v();
    let running = part.run_w? / part.pf() / volts;
    let amps = part.start_va.or_else(|| part.start_w(system))? / volts;
    let added_a = amps - running;
    (added_a > 0.0).then_some(Start { appliance: id, amps, added_a })
}
