//! The solve against an independent one: every single conductor is an element of a dense complex nodal matrix, sources and
//! ideal transformers are extra rows, constant-power loads are injected currents, repeated until nothing moves. No code is
//! shared with the engine, conductor resistance (by the gauge law) included.

use hullwire::installation::{
    Cable, CableData, Conductor, Installation, Leg, LoadKind, Part, PartId, PartKind, Place, Point, ResistanceBasis,
    Size, System,
};
use hullwire::network::{Solution, solve};
use nalgebra::{Complex, DMatrix, DVector};
use proptest::prelude::*;
use std::collections::{BTreeMap, HashMap};

type C = Complex<f64>;
/// A point of the network: part, its far side (a transformer's secondary, an inlet's pedestal), conductor (0 L1, 1 L2, 2 N).
type Node = (u32, bool, usize);

/// One part of a random radial network; part 0 is the source.
#[derive(Clone, Debug)]
struct Sketch {
    parent: prop::sample::Index,
    kind: u8,
    leg: u8,
    awg: u8,
    metres: f64,
    watts: f64,
    pf: f64,
    load: u8,
    on: bool,
}

fn sketch() -> impl Strategy<Value = Sketch> {
    let shape = (any::<prop::sample::Index>(), 0..8u8, 0..4u8, 0..6u8, 0.0..20.0f64);
    (shape, (5.0..400.0f64, 0.5..1.0f64, 0..3u8, prop::bool::weighted(0.9))).prop_map(
        |((parent, kind, leg, awg, metres), (watts, pf, load, on))| Sketch {
            parent,
            kind,
            leg,
            awg,
            metres,
            watts,
            pf,
            load,
            on,
        },
    )
}

const SIZES: [i8; 6] = [14, 12, 10, 8, 6, 0];

fn ohms(awg: i8, metres: f64) -> f64 {
    let diameter = 0.127 * 92f64.powf((36.0 - f64::from(awg)) / 39.0);
    let area = std::f64::consts::PI * diameter * diameter / 4.0;
    metres * 1.7241e-2 / area * (1.0 + 0.00393 * (75.0 - 20.0))
}

struct Case {
    installation: Installation,
    ids: Vec<PartId>,
    /// Parent, ohms of one conductor, conductors, transformer ratio; in the order of the parts.
    rows: Vec<(usize, f64, Leg, Option<f64>)>,
    source_v: f64,
}

fn build(system: System, source_v: f64, sketches: &[Sketch]) -> Case {
    let split = system.is_split_phase();
    let mut installation = Installation::new(system);
    installation.resistance = ResistanceBasis::Formula;
    let at = Place::At(Point::default());
    let mut source = Part::new(PartKind::Generator, "G1", at);
    source.volts = Some(source_v);
    let ids = vec![installation.add_part(source)];
    installation.conditions[0].feeding = ids.clone();
    let top = if split { Leg::L1L2N } else { Leg::L1 };
    let mut case = Case { installation, ids, rows: vec![(0, 0.0, top, None)], source_v };
    let mut feeding = vec![0];
    for (i, s) in sketches.iter().enumerate() {
        let parent = feeding[s.parent.index(feeding.len())];
        let above = case.rows[parent].2;
        let kind = match s.kind {
            0 => PartKind::Panel,
            1 => PartKind::Junction,
            2 => PartKind::Breaker,
            3 if i < 4 && matches!(above, Leg::L1L2N) == split => PartKind::IsolationTransformer,
            _ => PartKind::Appliance,
        };
        let appliance = kind == PartKind::Appliance;
        let leg = match (above, s.leg) {
            (Leg::L1L2N, 0) => Leg::L1,
            (Leg::L1L2N, 1) => Leg::L2,
            (Leg::L1L2N, 2) if appliance || kind == PartKind::Breaker => Leg::L1L2,
            (Leg::L1L2N, _) if appliance => Leg::L1,
            (leg, _) => leg,
        };
        let leg = if kind == PartKind::IsolationTransformer { above } else { leg };
        let mut part = Part::new(kind, format!("P{i}"), at);
        part.leg = split.then_some(leg);
        let mut ratio = None;
        if appliance {
            part.run_w = Some(s.watts);
            part.pf = Some(s.pf);
            part.load_kind = [LoadKind::Power, LoadKind::Impedance, LoadKind::Motor][usize::from(s.load)];
        }
        if kind == PartKind::IsolationTransformer {
            let r = 0.96 + s.pf * 0.08;
            part.volts = Some(system.nominal_v() * r);
            ratio = Some(r);
        }
        let id = case.installation.add_part(part);
        let mut cable = Cable::between(case.ids[parent], id);
        let awg = SIZES[usize::from(s.awg)];
        let bolted = s.metres < 3.0;
        cable.data = if bolted { CableData::none() } else { CableData::unknown() };
        if !bolted {
            cable.data.conductor = Conductor::Size(Size::Awg(awg));
            cable.data.length_m = Some(s.metres);
            cable.data.insulation_c = Some(105);
        }
        case.installation.add_cable(cable);
        if !s.on && appliance {
            case.installation.conditions[0].off.insert(id);
        }
        if !appliance {
            feeding.push(case.ids.len());
        }
        case.ids.push(id);
        case.rows.push((parent, if bolted { 0.0 } else { ohms(awg, s.metres) }, leg, ratio));
    }
    case
}

fn conductors(leg: Leg) -> &'static [usize] {
    match leg {
        Leg::L1 => &[0, 2],
        Leg::L2 => &[1, 2],
        Leg::L1L2 => &[0, 1],
        Leg::L1L2N => &[0, 1, 2],
    }
}

/// The conductors that feed a part: a split-phase transformer's primary lies between the lines.
fn feeding(row: &(usize, f64, Leg, Option<f64>)) -> &'static [usize] {
    if row.3.is_some() && row.2 == Leg::L1L2N { &[0, 1] } else { conductors(row.2) }
}

fn pair(leg: Leg) -> (usize, usize) {
    match leg {
        Leg::L1 => (0, 2),
        Leg::L2 => (1, 2),
        Leg::L1L2 | Leg::L1L2N => (0, 1),
    }
}

/// Voltages of every conductor of every part, and the source's complex power.
struct Nodal {
    up: HashMap<Node, Node>,
    index: BTreeMap<Node, usize>,
    v: DVector<C>,
    power: C,
}

impl Nodal {
    fn find(&self, mut node: Node) -> Node {
        while let Some(next) = self.up.get(&node) {
            node = *next;
        }
        node
    }

    fn volt(&self, node: Node) -> C {
        self.index.get(&self.find(node)).map_or(C::new(0.0, 0.0), |k| self.v[*k])
    }

    fn solve(case: &Case) -> Self {
        let mut this =
            Self { up: HashMap::new(), index: BTreeMap::new(), v: DVector::zeros(0), power: C::new(0.0, 0.0) };
        let mut elements = Vec::new();
        for (i, row) in case.rows.iter().enumerate().skip(1) {
            let (parent, r, ..) = row;
            for &c in feeding(row) {
                let (a, b) = ((*parent as u32, case.rows[*parent].3.is_some(), c), (i as u32, false, c));
                if *r == 0.0 {
                    let (from, to) = (this.find(b), this.find(a));
                    this.up.insert(from, to);
                } else {
                    elements.push((a, b, *r));
                }
            }
        }
        let mut ground = vec![this.find((0, false, 2))];
        let transformers: Vec<usize> = (0..case.rows.len()).filter(|i| case.rows[*i].3.is_some()).collect();
        ground.extend(transformers.iter().map(|t| this.find((*t as u32, true, 2))));
        for (i, row) in case.rows.iter().enumerate() {
            for side in [false, true] {
                for &c in if side { conductors(row.2) } else { feeding(row) } {
                    let node = this.find((i as u32, side, c));
                    if (!side || row.3.is_some()) && !ground.contains(&node) {
                        let next = this.index.len();
                        this.index.entry(node).or_insert(next);
                    }
                }
            }
        }
        let at = |this: &Self, node: Node| this.index.get(&this.find(node)).copied();
        let top = case.rows[0].2;
        let lines: Vec<usize> = conductors(top).iter().copied().filter(|c| *c != 2).collect();
        let windings: usize = transformers.iter().map(|t| if case.rows[*t].2 == Leg::L1L2N { 2 } else { 1 }).sum();
        let n = this.index.len() + lines.len() + windings;
        let mut y = DMatrix::<C>::zeros(n, n);
        let mut put = |i: Option<usize>, j: Option<usize>, value: C| {
            if let (Some(i), Some(j)) = (i, j) {
                y[(i, j)] += value;
            }
        };
        let mut admit = |a: Option<usize>, b: Option<usize>, value: C| {
            put(a, a, value);
            put(b, b, value);
            put(a, b, -value);
            put(b, a, -value);
        };
        for (a, b, r) in elements {
            admit(at(&this, a), at(&this, b), C::new(1.0 / r, 0.0));
        }
        let nominal = case.installation.system.nominal_v();
        let mut injected = Vec::new();
        for (i, id) in case.ids.iter().enumerate() {
            let part = &case.installation.parts[id];
            if part.kind != PartKind::Appliance || !case.installation.is_on(*id, 0) {
                continue;
            }
            let watts = part.run_w.unwrap();
            let pf = part.pf.unwrap();
            let s = C::new(watts, watts * (1.0 / (pf * pf) - 1.0).sqrt());
            let leg = case.rows[i].2;
            let (plus, minus) = pair(leg);
            let (a, b) = (at(&this, (i as u32, false, plus)), at(&this, (i as u32, false, minus)));
            if part.load_kind == LoadKind::Impedance {
                let u = nominal * if leg == Leg::L1L2 { 2.0 } else { 1.0 };
                admit(a, b, s.conj() / (u * u));
            } else {
                injected.push((a, b, s));
            }
        }
        let one = C::new(1.0, 0.0);
        let mut row = this.index.len();
        let mut rhs = DVector::<C>::zeros(n);
        let mut sources = Vec::new();
        for &c in &lines {
            let node = at(&this, (0, false, c));
            put(node, Some(row), -one);
            put(Some(row), node, one);
            rhs[row] = C::new(if c == 0 { case.source_v } else { -case.source_v }, 0.0);
            sources.push(row);
            row += 1;
        }
        for t in transformers {
            let (_, _, leg, ratio) = case.rows[t];
            let (plus, minus) = pair(leg);
            let (p, q) = (at(&this, (t as u32, false, plus)), at(&this, (t as u32, false, minus)));
            let halves: &[(usize, f64)] = if leg == Leg::L1L2N { &[(0, 0.5), (1, -0.5)] } else { &[(plus, 1.0)] };
            for &(c, share) in halves {
                let k = C::new(ratio.unwrap() * share, 0.0);
                let s = at(&this, (t as u32, true, c));
                put(Some(row), s, one);
                put(Some(row), p, -k);
                put(Some(row), q, k);
                put(s, Some(row), -one);
                put(p, Some(row), k);
                put(q, Some(row), -k);
                row += 1;
            }
        }
        let lu = y.lu();
        let mut v = lu.solve(&rhs).expect("a radial network has a regular matrix");
        for round in 0.. {
            let mut b = rhs.clone();
            for (plus, minus, s) in &injected {
                let across = plus.map_or(C::default(), |k| v[k]) - minus.map_or(C::default(), |k| v[k]);
                let i = (s / across).conj();
                plus.iter().for_each(|k| b[*k] -= i);
                minus.iter().for_each(|k| b[*k] += i);
            }
            let next = lu.solve(&b).expect("regular");
            let moved = (0..this.index.len()).map(|k| (next[k] - v[k]).norm()).fold(0.0, f64::max);
            v = next;
            if moved < 1e-11 * nominal {
                break;
            }
            assert!(round < 3000, "the oracle itself did not settle");
        }
        this.power = sources.iter().map(|k| rhs[*k] * v[*k].conj()).sum();
        this.v = v;
        this
    }
}

fn compare(case: &Case, ours: &Solution) -> Result<(), TestCaseError> {
    prop_assert!(ours.converged);
    let oracle = Nodal::solve(case);
    let nominal = case.installation.system.nominal_v();
    for (i, id) in case.ids.iter().enumerate() {
        let leg = case.rows[i].2;
        let (plus, minus) = pair(leg);
        let wanted = oracle.volt((i as u32, false, plus)) - oracle.volt((i as u32, false, minus));
        let flow = &ours.parts[id];
        let got = flow.voltages.unwrap().across(leg);
        prop_assert!(
            (wanted - got).norm() < 1e-6 * nominal,
            "{}: {wanted} V, ours {got} V",
            case.installation.tag(*id)
        );
        prop_assert!((wanted.norm() - flow.volts.unwrap()).abs() < 1e-6 * nominal);
    }
    for (i, row) in case.rows.iter().enumerate().skip(1) {
        let (parent, r, ..) = row;
        let feed = ours.feed_of(case.ids[i]).unwrap().1.currents.unwrap();
        for &c in feeding(row).iter().filter(|_| *r > 0.0) {
            let above = (*parent as u32, case.rows[*parent].3.is_some(), c);
            let wanted = (oracle.volt(above) - oracle.volt((i as u32, false, c))) / *r;
            let got = [feed.l1, feed.l2, feed.n][c];
            prop_assert!(
                (wanted - got).norm() < 1e-5 * (1.0 + wanted.norm()),
                "conductor {c} to part {i}: {wanted}, ours {got}"
            );
        }
    }
    let source = &ours.sources[&case.ids[0]];
    let (watts, va) = (oracle.power.re, oracle.power.norm());
    prop_assert!((source.watts.unwrap() - watts).abs() < 1e-6 * (1.0 + va));
    // Power in is loads plus losses.
    let loads: f64 = ours.parts.values().filter_map(|p| p.watts).sum();
    let losses: f64 = ours.cables.values().filter_map(|c| c.loss_watts).sum();
    prop_assert!((watts - loads - losses).abs() < 1e-6 * (1.0 + va), "{watts} W in, {loads} W drawn, {losses} W lost");
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 96, ..ProptestConfig::default() })]

    #[test]
    fn two_wires_at_60_hz(v in 114.0..126.0f64, parts in prop::collection::vec(sketch(), 1..28)) {
        let case = build(System::TwoWire120, v, &parts);
        compare(&case, &solve(&case.installation, 0))?;
    }

    #[test]
    fn two_wires_at_50_hz(v in 218.0..242.0f64, parts in prop::collection::vec(sketch(), 1..28)) {
        let case = build(System::TwoWire230, v, &parts);
        compare(&case, &solve(&case.installation, 0))?;
    }

    #[test]
    fn split_phase_with_a_shared_neutral(v in 114.0..126.0f64, parts in prop::collection::vec(sketch(), 1..28)) {
        let case = build(System::SplitPhase, v, &parts);
        compare(&case, &solve(&case.installation, 0))?;
    }
}
