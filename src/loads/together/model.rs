//! What a condition comes to for the question what runs together: appliances to choose from, equal ones in groups, and
//! the limits on the way.

use crate::installation::{Installation, Leg, Part, PartId, PartKind};
use crate::loads::starting::{Limits, Load, vars};
use crate::network::{Network, Walk};
use std::collections::{BTreeMap, HashMap};

/// A set of appliances: bit `n` is unit `n`.
pub(super) type Set = u128;

/// Most appliances that are put to the question.
pub(super) const MOST_UNITS: usize = 128;

/// Share of nominal below which no appliance may fall. Source: NEMA MG 1 and IEC 60038, from memory, as in the survey.
pub(super) const LEAST_VOLTS: f64 = 0.9;

/// The set of the first `n` units.
pub(super) fn first(n: usize) -> Set {
    if n >= MOST_UNITS { Set::MAX } else { (1 << n) - 1 }
}

/// The units of a set, in order.
pub(super) fn members(mut set: Set) -> impl Iterator<Item = usize> {
    std::iter::from_fn(move || {
        let next = set.trailing_zeros() as usize;
        set &= set.wrapping_sub(1);
        (next < MOST_UNITS).then_some(next)
    })
}

/// What stops a set.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Stop {
    /// A source delivers more than its running watts.
    Running,
    /// A start is more than a source can give for a moment.
    Starting,
    /// A generator's or inverter's own output breaker.
    SourceBreaker,
    /// A shore inlet.
    Inlet,
    /// A breaker on the way.
    Breaker,
    /// An appliance falls below 90 % of nominal, or there is no solution at all.
    Voltage,
}

impl Stop {
    /// The word of the JSON.
    #[must_use]
    pub const fn slug(self) -> &'static str {
        match self {
            Self::Running => "running",
            Self::Starting => "starting",
            Self::SourceBreaker => "source-breaker",
            Self::Inlet => "inlet",
            Self::Breaker => "breaker",
            Self::Voltage => "voltage",
        }
    }
}

/// Which figure of the solve a limit is about. Lines are 0 and 1.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Of {
    /// Watts that a source delivers.
    Watts,
    /// Amperes into a part (a source: out of it).
    Amps(usize),
    /// Amperes that an inverter-charger passes on.
    AmpsOut(usize),
    /// Volts at an appliance: the limit is the least.
    Volts,
}

/// One limit.
#[derive(Clone, Copy, Debug)]
pub(super) struct Check {
    pub(super) stop: Stop,
    pub(super) part: PartId,
    pub(super) at: usize,
    pub(super) limit: f64,
    pub(super) of: Of,
}

/// One appliance that is up for choice.
#[derive(Clone, Debug)]
pub(super) struct Unit {
    pub(super) part: PartId,
    pub(super) at: usize,
    /// The units of its group, as bits; equal in everything, so that any may stand for another.
    pub(super) group: Set,
    /// The units of its group before it.
    pub(super) below: Set,
    /// Position of its source.
    pub(super) root: usize,
    pub(super) leg: Leg,
    pub(super) va: f64,
    /// False where its starting watts are not known: it may stand in a conflict, but is never said to run.
    pub(super) known: bool,
}

/// What starts on one source.
#[derive(Clone, Debug)]
pub(super) struct Starts {
    pub(super) source: PartId,
    pub(super) root: usize,
    pub(super) limits: Limits,
    /// What runs on it besides: chargers.
    pub(super) base: (f64, f64),
    /// Appliances, largest increment first; `None` is one that always runs.
    pub(super) loads: Vec<(Option<usize>, Load)>,
}

/// A check that could not be made.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NotChecked {
    /// Which.
    pub check: Stop,
    /// The parts that it is about.
    pub parts: Vec<PartId>,
    /// Why not.
    pub because: &'static str,
}

/// A condition, ready to be asked.
#[derive(Debug)]
pub(super) struct Model<'a> {
    pub(super) installation: &'a Installation,
    pub(super) walk: Walk,
    pub(super) network: Network,
    pub(super) units: Vec<Unit>,
    /// Positions of all appliances that are up for choice, however little is known of them.
    pub(super) choice: Vec<usize>,
    /// Units below each position.
    pub(super) under: Vec<Set>,
    pub(super) children: Vec<Vec<usize>>,
    parent: Vec<Option<usize>>,
    /// What always draws: must-run appliances and chargers, with position and leg.
    pub(super) fixed: Vec<(usize, Leg)>,
    pub(super) checks: Vec<Check>,
    pub(super) starts: Vec<Starts>,
    /// Appliances that always run.
    pub(super) always: Vec<PartId>,
    pub(super) not_fed: Vec<PartId>,
    /// Left out of the choice, with the reason.
    pub(super) left_out: Vec<(PartId, &'static str)>,
    pub(super) not_checked: Vec<NotChecked>,
    pub(super) by_watts_only: bool,
}

const NO_RUN_W: &str = "its running watts are not known";
const NO_START_W: &str = "its starting watts are not known";
const NO_RATING: &str = "its rated current is not known";

impl<'a> Model<'a> {
    pub(super) fn new(installation: &'a Installation, condition: usize) -> Self {
        let walk = crate::network::walk(installation, condition);
        let network = Network::new(installation, &walk);
        let mut model = Self {
            installation,
            network,
            units: Vec::new(),
            choice: Vec::new(),
            under: vec![0; walk.order.len()],
            children: vec![Vec::new(); walk.order.len()],
            parent: Vec::new(),
            fixed: Vec::new(),
            checks: Vec::new(),
            starts: Vec::new(),
            always: Vec::new(),
            not_fed: Vec::new(),
            left_out: Vec::new(),
            not_checked: Vec::new(),
            by_watts_only: false,
            walk,
        };
        let position: HashMap<PartId, usize> = model.walk.order.iter().enumerate().map(|(i, id)| (*id, i)).collect();
        let parent: Vec<Option<usize>> = model
            .walk
            .order
            .iter()
            .map(|id| model.walk.feeds.get(id).and_then(|f| position.get(&f.from)).copied())
            .collect();
        for (at, above) in parent.iter().enumerate() {
            if let Some(above) = above {
                model.children[*above].push(at);
            }
        }
        model.choose(&position, &parent);
        for (n, unit) in model.units.iter().enumerate() {
            let mut at = Some(unit.at);
            while let Some(here) = at {
                model.under[here] |= 1 << n;
                at = parent[here];
            }
        }
        model.limits(&parent);
        model.starting(&position);
        for (at, above) in parent.iter().enumerate() {
            let charger = |p: &Part| p.kind == PartKind::Inverter && above.is_some() && p.charge_w > 0.0;
            let always = |p: &Part| p.kind == PartKind::Appliance && p.must_run && p.run_w.is_some();
            if model.part(at).is_some_and(|p| charger(p) || always(p)) {
                let leg = model.leg(model.walk.order[at]);
                model.fixed.push((at, leg));
            }
        }
        model.parent = parent;
        model
    }

    fn part(&self, at: usize) -> Option<&'a Part> {
        self.walk.order.get(at).and_then(|id| self.installation.parts.get(id)).map(AsRef::as_ref)
    }

    /// Volts between the conductors of an appliance's leg, nominal.
    fn nominal(&self, leg: Leg) -> f64 {
        let system = self.installation.system;
        let lines = if system.is_split_phase() && matches!(leg, Leg::L1L2 | Leg::L1L2N) { 2.0 } else { 1.0 };
        lines * system.nominal_v()
    }

    fn leg(&self, id: PartId) -> Leg {
        self.walk.legs.get(&id).copied().unwrap_or(Leg::L1)
    }

    /// Sorts appliances into those that always run, those up for choice, those not fed and those of which too little is
    /// known. Equal ones stand side by side.
    fn choose(&mut self, position: &HashMap<PartId, usize>, parent: &[Option<usize>]) {
        let mut beneath = vec![0_usize; self.walk.order.len()];
        let mut chosen: BTreeMap<String, Vec<usize>> = BTreeMap::new();
        let mut fed = Vec::new();
        for (id, part) in self.installation.parts.iter().filter(|(_, p)| p.kind == PartKind::Appliance) {
            let Some(&at) = position.get(id) else {
                self.not_fed.push(*id);
                continue;
            };
            let mut here = Some(at);
            while let Some(p) = here {
                beneath[p] += 1;
                here = parent[p];
            }
            if part.must_run {
                self.always.push(*id);
                continue;
            }
            self.choice.push(at);
            if part.run_w.is_none() {
                self.left_out.push((*id, NO_RUN_W));
            } else {
                fed.push(at);
            }
        }
        for at in fed {
            chosen.entry(self.likeness(at, parent, &beneath)).or_default().push(at);
        }
        let mut groups: Vec<Vec<usize>> = chosen.into_values().collect();
        groups.sort_by_key(|g| self.walk.order[g[0]]);
        for group in groups {
            let start = self.units.len();
            let bits = first(group.len().min(MOST_UNITS)) << start.min(MOST_UNITS - 1);
            for (n, at) in group.into_iter().enumerate() {
                let id = self.walk.order[at];
                let Some(part) = self.part(at) else { continue };
                if self.units.len() == MOST_UNITS {
                    self.left_out.push((id, "more appliances are up for choice than can be worked out"));
                    continue;
                }
                let mut root = at;
                while let Some(above) = parent[root] {
                    root = above;
                }
                let known = part.start_w(self.installation.system).is_some();
                if !known {
                    self.left_out.push((id, NO_START_W));
                }
                self.units.push(Unit {
                    part: id,
                    at,
                    group: bits,
                    below: (first(n) << start) & bits,
                    root,
                    leg: self.leg(id),
                    va: part.run_w.unwrap_or_default() / part.pf(),
                    known,
                });
            }
        }
    }

    /// A text that is the same for appliances that may stand for one another: all that counts of the appliance and of
    /// what leads to it, up to where others join.
    fn likeness(&self, at: usize, parent: &[Option<usize>], beneath: &[usize]) -> String {
        use std::fmt::Write as _;
        let mut text = String::new();
        let mut here = at;
        loop {
            let id = self.walk.order[here];
            if let Some(p) = self.part(here) {
                let rating = p.rating_a.filter(|_| p.kind != PartKind::Appliance);
                let _ = write!(
                    text,
                    "{:?} {:?} {:?} {:?} {:?} {:?} {:?} {} {:?} {:?} {}|",
                    p.kind,
                    p.run_w,
                    p.start_w,
                    p.start_va,
                    p.pf,
                    p.load_kind,
                    rating,
                    p.cycles,
                    self.leg(id),
                    p.volts,
                    p.charge_w
                );
            }
            let cable = self.walk.feeds.get(&id).and_then(|f| self.installation.cables.get(&f.cable));
            if let Some(cable) = cable {
                let d = &cable.data;
                let _ = write!(text, "{:?} {:?} {:?};", d.conductor, d.length_m, d.insulation_c);
            }
            match parent[here] {
                Some(above) if beneath[above] == 1 && !self.is_counted_apart(above) => here = above,
                Some(above) => {
                    let _ = write!(text, "@{above}");
                    return text;
                }
                None => return text,
            }
        }
    }

    /// True for a part that draws by itself, so that what is behind it is like nothing else.
    fn is_counted_apart(&self, at: usize) -> bool {
        self.part(at).is_some_and(|p| p.kind.is_source())
    }

    fn limits(&mut self, parent: &[Option<usize>]) {
        let system = self.installation.system;
        let lines = if system.is_split_phase() { 2 } else { 1 };
        let mut unknown: BTreeMap<(Stop, &'static str), Vec<PartId>> = BTreeMap::new();
        for (at, above) in parent.iter().enumerate() {
            let Some(part) = self.part(at) else { continue };
            let id = self.walk.order[at];
            let root = above.is_none();
            let stop = match part.kind {
                PartKind::ShoreInlet => Stop::Inlet,
                PartKind::Generator | PartKind::Inverter => Stop::SourceBreaker,
                PartKind::Breaker => Stop::Breaker,
                _ => continue,
            };
            // A shore supply without stated watts is judged by its inlet's amperes alone, as in the survey.
            if root && (part.kind != PartKind::ShoreInlet || part.run_w.is_some()) {
                match part.run_w(system) {
                    Some(limit) => self.checks.push(Check { stop: Stop::Running, part: id, at, limit, of: Of::Watts }),
                    None => unknown.entry((Stop::Running, NO_RUN_W)).or_default().push(id),
                }
            }
            let passes = part.kind == PartKind::Inverter && !root;
            match part.rating_a {
                Some(limit) => {
                    for line in 0..lines {
                        let of = if passes { Of::AmpsOut(line) } else { Of::Amps(line) };
                        self.checks.push(Check { stop, part: id, at, limit, of });
                    }
                }
                None => unknown.entry((stop, NO_RATING)).or_default().push(id),
            }
        }
        let mut beyond = Vec::new();
        let mut path_known = vec![true; self.walk.order.len()];
        for (at, above) in parent.iter().enumerate() {
            let Some(part) = self.part(at) else { continue };
            let id = self.walk.order[at];
            let data = match self.walk.feeds.get(&id) {
                Some(f) => self.installation.cables.get(&f.cable).map(|c| &c.data),
                None if part.kind == PartKind::ShoreInlet => Some(&part.cord),
                None => None,
            };
            let own =
                data.is_none_or(|d| crate::network::conductor_ohms(d, system, self.installation.resistance).is_some());
            path_known[at] = own && above.is_none_or(|p| path_known[p]);
            let counted = part.kind == PartKind::Appliance && part.run_w.is_some();
            if !counted {
                continue;
            }
            if path_known[at] {
                let limit = LEAST_VOLTS * self.nominal(self.leg(id));
                self.checks.push(Check { stop: Stop::Voltage, part: id, at, limit, of: Of::Volts });
            } else {
                beyond.push(id);
            }
        }
        if !beyond.is_empty() {
            unknown.insert((Stop::Voltage, "a cable on the way has no known size or length"), beyond);
        }
        for id in &self.always {
            if self.installation.parts.get(id).is_some_and(|p| p.run_w.is_none()) {
                unknown
                    .entry((Stop::Running, "it always runs, and its running watts are not known"))
                    .or_default()
                    .push(*id);
            }
        }
        self.not_checked =
            unknown.into_iter().map(|((check, because), parts)| NotChecked { check, parts, because }).collect();
    }

    fn starting(&mut self, position: &HashMap<PartId, usize>) {
        let system = self.installation.system;
        let unit_at: HashMap<usize, usize> = self.units.iter().enumerate().map(|(n, u)| (u.at, n)).collect();
        for root in &self.walk.roots {
            let Some(&at) = position.get(root) else { continue };
            let Some(source) = self.installation.parts.get(root) else { continue };
            let limits = Limits::of(source, system);
            if limits.watts.is_none() {
                let because = NO_START_W;
                self.not_checked.push(NotChecked { check: Stop::Starting, parts: vec![*root], because });
            }
            let mut base = (0.0, 0.0);
            let mut loads = Vec::new();
            let mut unknown = Vec::new();
            for (here, id) in self.walk.order.iter().enumerate() {
                if self.walk.root_of(*id) != Some(*root) || id == root {
                    continue;
                }
                let Some(part) = self.installation.parts.get(id) else { continue };
                match part.kind {
                    PartKind::Inverter => {
                        base.0 += part.charge_w;
                        base.1 += vars(part.charge_w, part.pf());
                    }
                    PartKind::Appliance if part.must_run || unit_at.contains_key(&here) => {
                        let Some((load, estimate)) = Load::of(part, *id, system) else { continue };
                        if estimate.is_some() && part.must_run {
                            unknown.push(*id);
                        }
                        loads.push((unit_at.get(&here).copied(), load));
                    }
                    _ => {}
                }
            }
            if !unknown.is_empty() {
                let because = "it always runs, and its starting watts are not known";
                self.not_checked.push(NotChecked { check: Stop::Starting, parts: unknown, because });
            }
            let motors = |l: &Load| l.start_var.is_none();
            self.by_watts_only |= !loads.is_empty() && (limits.va.is_none() || loads.iter().any(|(_, l)| motors(l)));
            loads.sort_by(|(_, a), (_, b)| b.increment().total_cmp(&a.increment()).then(a.part.cmp(&b.part)));
            self.starts.push(Starts { source: *root, root: at, limits, base, loads });
        }
    }

    /// True where one position lies below another, or is the same.
    pub(super) fn is_below(&self, at: usize, above: usize) -> bool {
        self.path(at).any(|p| p == above)
    }

    /// A position and all above it, its source last.
    pub(super) fn path(&self, at: usize) -> impl Iterator<Item = usize> {
        std::iter::successors(Some(at), |&p| self.parent.get(p).copied().flatten())
    }

    /// True where every load takes at least half its volt-amperes in watts: a source's watts then never fall when another
    /// load is added, as long as each has 90 % of nominal, since what heaters give up by the lower voltage is less.
    pub(super) fn watts_only_grow(&self) -> bool {
        self.installation.parts.values().filter(|p| p.kind == PartKind::Appliance).all(|p| p.pf() >= 0.5)
    }
}
