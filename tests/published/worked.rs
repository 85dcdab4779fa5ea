//! Worked examples with published sources (`tests/data/worked_examples.toml`): every figure under `expected` is computed by
//! the engine and compared within the example's tolerance.

use crate::page::Source;
use crate::rig::{Boat, direct, drop_at, loop_of, wire};
use hullwire::installation::{
    CableData, Installation, Leg, LoadKind, Part, PartId, PartKind, Place, ResistanceBasis, Size, SpaceKind, System,
};
use hullwire::loads::starting::{ESTIMATED_START_MULTIPLE, Peaks, peaks};
use hullwire::network::{ampacity, conductor_ohm_per_m, solve};
use hullwire::tables::{self, Series, awg_area_mm2, awg_diameter_mm};
use hullwire::units::Mark;
use std::collections::BTreeMap;
use toml::Value;

type Figures = BTreeMap<&'static str, Vec<f64>>;

/// What an example gives.
struct Inputs<'a>(&'a Value);

impl Inputs<'_> {
    fn list(&self, key: &str) -> Vec<f64> {
        numbers(self.0.get(key).unwrap_or_else(|| panic!("no input {key}")))
    }

    fn number(&self, key: &str) -> f64 {
        self.list(key)[0]
    }

    fn flags(&self, key: &str) -> Vec<bool> {
        self.0.get(key).and_then(Value::as_array).unwrap().iter().map(|v| v.as_bool().unwrap()).collect()
    }

    fn gauge(&self) -> i8 {
        match Size::parse(&format!("{} AWG", self.0.get("awg").and_then(Value::as_str).unwrap())) {
            Some(Size::Awg(n)) => n,
            other => panic!("{other:?}"),
        }
    }
}

/// Numbers, truth as 1 and 0.
fn numbers(value: &Value) -> Vec<f64> {
    match value {
        Value::Array(items) => items.iter().flat_map(numbers).collect(),
        Value::Boolean(b) => vec![f64::from(u8::from(*b))],
        Value::Integer(i) => vec![*i as f64],
        Value::Float(f) => vec![*f],
        other => panic!("{other:?}"),
    }
}

fn one(pairs: &[(&'static str, f64)]) -> Figures {
    pairs.iter().map(|(k, v)| (*k, vec![*v])).collect()
}

fn drop_figures(volts: f64, amps: f64, cable: CableData) -> Figures {
    let (ohms, drop, percent, loss) = drop_at(volts, amps, cable);
    one(&[
        ("loop_ohm", ohms),
        ("drop_volts", drop),
        ("drop_percent", percent),
        ("loss_watts", loss),
        ("right_drop_volts", drop),
        ("wrong_drop_volts", drop / 2.0),
    ])
}

fn two_loads(i: &Inputs<'_>) -> Figures {
    let mut boat = Boat::formula(i.number("source_volts"));
    let panel = boat.add(boat.source, PartKind::Panel, loop_of(i.number("r1_ohm")), |_| {});
    let heater = boat.load(panel, direct(), i.number("heater_watts"), 1.0, LoadKind::Impedance);
    let (p, q) = (i.number("load_watts"), i.number("load_vars"));
    let load = boat.load(panel, loop_of(i.number("r2_ohm")), p, p / p.hypot(q), LoadKind::Power);
    let s = boat.solve();
    one(&[
        ("v1", s.parts[&panel].volts.unwrap()),
        ("v2", s.parts[&load].volts.unwrap()),
        ("source_amps", s.parts[&boat.source].amps.unwrap()),
        ("branch_amps", s.parts[&load].amps.unwrap()),
        ("source_watts", s.sources[&boat.source].watts.unwrap()),
        ("heater_watts", s.parts[&heater].watts.unwrap()),
        ("load_watts", s.parts[&load].watts.unwrap()),
        ("loss_watts", s.cables.values().map(|c| c.loss_watts.unwrap()).sum()),
    ])
}

/// 0.2 + j0.05 Ω out and back of two published cables in series, then the load.
fn lagging(i: &Inputs<'_>) -> Figures {
    let mut boat = Boat::new(System::TwoWire120, ResistanceBasis::Published, i.number("source_volts"));
    let per_m = |n| conductor_ohm_per_m(Size::Awg(n), 75, System::TwoWire120, ResistanceBasis::Published).unwrap();
    let (a, b) = (per_m(12), per_m(-3));
    let (r, x) = (i.number("r_ohm") / 2.0, i.number("x_ohm") / 2.0);
    let det = a.re * b.im - b.re * a.im;
    let (first, second) = ((r * b.im - b.re * x) / det, (a.re * x - r * a.im) / det);
    assert!(first > 0.0 && second > 0.0);
    let joint = boat.add(boat.source, PartKind::Junction, wire(Size::Awg(12), first), |_| {});
    let (p, q) = (i.number("watts"), i.number("vars"));
    let load = boat.load(joint, wire(Size::Awg(-3), second), p, p / p.hypot(q), LoadKind::Power);
    let s = boat.solve();
    let flow = &s.parts[&load];
    one(&[
        ("load_volts", flow.volts.unwrap()),
        ("amps", flow.amps.unwrap()),
        ("angle_deg", flow.angle_deg.unwrap().abs()),
        ("drop_percent", flow.drop_percent.unwrap()),
    ])
}

/// Loads of these amperes and power factors straight on a 120 V leg each.
fn neutral(i: &Inputs<'_>) -> Figures {
    let mut boat = Boat::new(System::SplitPhase, ResistanceBasis::Published, 120.0);
    let panel = boat.add(boat.source, PartKind::Panel, direct(), |_| {});
    let pf = i.list("pf");
    for (k, (leg, key)) in [(Leg::L1, "l1_amps"), (Leg::L2, "l2_amps")].into_iter().enumerate() {
        boat.add(panel, PartKind::Appliance, direct(), |p| {
            p.leg = Some(leg);
            p.run_w = Some(120.0 * i.number(key) * pf[k]);
            p.pf = Some(pf[k]);
        });
    }
    let s = boat.solve();
    one(&[("neutral_amps", s.parts[&panel].currents.unwrap().n.norm())])
}

fn ampacity_figures(value: &Value) -> Figures {
    let i = Inputs(value);
    let space = SpaceKind::from_slug(value.get("space").and_then(Value::as_str).unwrap()).unwrap();
    let mut installation = Installation::new(System::TwoWire120);
    let from = installation.add_part(Part::new(PartKind::Panel, "A1", Place::In(SpaceKind::Other)));
    let to = installation.add_part(Part::new(PartKind::Outlet, "X1", Place::In(space)));
    let cable = CableData {
        insulation_c: Some(i.number("insulation_c") as u16),
        bundled: Some(i.number("bundled") as u16),
        ..wire(Size::Awg(i.gauge()), 1.0)
    };
    let a = ampacity(&installation, &cable, Some(from), to, Leg::L1).unwrap();
    assert_eq!(a.rule, "33 CFR 183.425 table 5");
    let t = tables::get();
    // The NEC series of breakers starts at 15 A.
    let next = t.standard_ratings(Series::Us).map(|f| f.value).find(|&v| v >= 15.0 && v >= a.amps).unwrap();
    let largest = t.rating_not_above(Series::Us, a.amps).map_or(0.0, |f| if f.value >= 15.0 { f.value } else { 0.0 });
    one(&[
        ("ampacity_a", a.amps),
        ("next_standard_a", next),
        ("next_allowed", f64::from(u8::from(next <= 1.5 * a.amps))),
        ("largest_not_above_a", largest),
    ])
}

/// Full-load amperes of a source by a solve, and the largest standard device not above 115 % of them.
fn generator(watts: f64, volts: f64) -> (f64, f64, f64) {
    let split = volts > 200.0;
    let mut boat =
        Boat::new(if split { System::SplitPhase } else { System::TwoWire120 }, ResistanceBasis::Published, 120.0);
    let source = boat.source;
    boat.add(source, PartKind::Appliance, direct(), |p| {
        p.run_w = Some(watts);
        p.leg = split.then_some(Leg::L1L2);
    });
    let amps = boat.solve().parts[&source].amps.unwrap();
    let device = tables::get().rating_not_above(Series::Us, 1.15 * amps).unwrap().value;
    (amps, 1.15 * amps, device)
}

fn starting(i: &Inputs<'_>, cycles: &[bool], rated: Option<(f64, f64)>) -> Peaks {
    let mut boat = Boat::formula(120.0);
    let source = boat.source;
    let part = std::sync::Arc::make_mut(boat.installation.parts.get_mut(&source).unwrap());
    part.run_w = rated.map(|r| r.0);
    part.start_w = rated.map(|r| r.1);
    for ((run, start), cycles) in i.list("run_w").into_iter().zip(i.list("start_w")).zip(cycles) {
        boat.add(source, PartKind::Appliance, direct(), |p| {
            p.run_w = Some(run);
            p.start_w = Some(start);
            p.cycles = *cycles;
            p.load_kind = LoadKind::Motor;
        });
    }
    peaks(&boat.installation, &boat.solve(), source)
}

fn yes(value: Option<bool>) -> f64 {
    f64::from(u8::from(value.unwrap()))
}

fn conductors(id: &str, i: &Inputs<'_>) -> Option<Figures> {
    let t = tables::get();
    let formula = |n: i8, c: f64| t.formula_ohm_per_m(awg_area_mm2(n), c).unwrap() * 1e3;
    let warm = |c: f64| formula(12, c) / formula(12, 20.0);
    Some(match id {
        "awg-area-12" | "awg-4-0" => {
            let n = i.gauge();
            let d = awg_diameter_mm(n);
            one(&[("diameter_mm", d), ("area_mm2", awg_area_mm2(n)), ("cmil", (d / 0.0254).powi(2))])
        }
        "kt-75" => one(&[("multiplier", warm(i.number("temp_c")))]),
        "kt-ac43" => one(&[("l2_ft", i.number("l1_ft") / warm(i.number("t2_c")))]),
        "nec8-60c" => {
            let ratio = t.awg_ohm_per_m(12, i.number("temp_c")).unwrap() / t.awg_ohm_per_m(12, 75.0).unwrap();
            one(&[("r", i.number("r75") * ratio)])
        }
        "formula-vs-nec8-solid" => {
            let (f, table) = (formula(12, 75.0), 1.93 * 3.280_839_895);
            let percent = 100.0 * (f / table - 1.0);
            one(&[("formula_ohm_per_km", f), ("table_ohm_per_km", table), ("difference_percent", percent)])
        }
        "formula-vs-nec8-stranded" => {
            let (f, stranded) = (formula(12, 75.0), 1.98 * 3.280_839_895);
            let tinned = t.awg_ohm_per_m(12, 75.0).unwrap() * 1e3;
            one(&[
                ("stranded_ohm_per_km", stranded),
                ("stranded_over_formula", stranded / f),
                ("tinned_over_formula", tinned / f),
            ])
        }
        "iec60228-2.5" => {
            let ratio = t.mm2_ohm_per_m(2.5, i.number("temp_c")).unwrap() / t.mm2_ohm_per_m(2.5, 20.0).unwrap();
            one(&[("loop_ohm", 2.0 * i.number("length_m") * 1e-3 * i.number("r20_ohm_per_km") * ratio)])
        }
        "drop-12awg-20a-15m-75c" | "drop-one-way-trap" | "loss-watts" => {
            let volts = if id == "loss-watts" { 120.0 } else { i.number("volts") };
            drop_figures(volts, i.number("amps"), wire(Size::Awg(i.gauge()), i.number("length_m")))
        }
        "drop-12awg-20a-15m-20c" | "drop-12awg-20a-15m-nec8" => {
            let ohms = 2.0 * i.number("length_m") * 1e-3 * i.number("ohm_per_km");
            drop_figures(i.number("volts"), i.number("amps"), loop_of(ohms))
        }
        "drop-iec-annex-g" => {
            let ohms = 2.0 * 0.0225 * i.number("length_m") / i.number("area_mm2");
            drop_figures(i.number("volts"), i.number("amps"), loop_of(ohms))
        }
        "ac43-drop" => drop_figures(120.0, i.number("amps"), loop_of(i.number("ohm_per_ft") * i.number("length_ft"))),
        _ => return None,
    })
}

fn networks(id: &str, i: &Inputs<'_>) -> Option<Figures> {
    Some(match id {
        "constant-power" | "constant-impedance" => {
            let kind = if id == "constant-power" { LoadKind::Power } else { LoadKind::Impedance };
            let watts = i.number(if id == "constant-power" { "watts" } else { "rated_watts" });
            let most = |watts: f64| {
                let mut boat = Boat::formula(i.number("source_volts"));
                let load = boat.load(boat.source, loop_of(i.number("loop_ohm")), watts, 1.0, kind);
                (solve(&boat.installation, 0), load)
            };
            let (s, load) = most(watts);
            let flow = &s.parts[&load];
            // The greatest power that is supplied, by bisection on the engine's verdict.
            let (mut low, mut high) = (watts, 100.0 * watts);
            while kind == LoadKind::Power && high - low > 1e-6 {
                let middle = (low + high) / 2.0;
                if most(middle).0.converged { low = middle } else { high = middle }
            }
            one(&[
                ("load_volts", flow.volts.unwrap()),
                ("amps", flow.amps.unwrap()),
                ("watts", flow.watts.unwrap()),
                ("max_watts", low),
            ])
        }
        "constant-power-lagging" => lagging(i),
        "two-loads-one-cable" | "two-loads-energy" => two_loads(i),
        "phasor-sum" => {
            let (amps, pf) = (i.list("amps"), i.list("pf"));
            let mut boat = Boat::formula(120.0);
            let source = boat.source;
            let loads: Vec<PartId> =
                (0..2).map(|k| boat.load(source, direct(), 120.0 * amps[k] * pf[k], pf[k], LoadKind::Power)).collect();
            let s = boat.solve();
            let flow = &s.sources[&source];
            one(&[
                ("sum_amps", flow.amps.unwrap()),
                ("arithmetic_sum", loads.iter().map(|l| s.parts[l].amps.unwrap()).sum()),
                ("pf", flow.watts.unwrap() / flow.va.unwrap()),
            ])
        }
        "neutral-balanced" | "neutral-unbalanced" | "neutral-different-pf" | "neutral-equal-amps-different-pf" => {
            neutral(i)
        }
        "charger-ac" => {
            let watts = i.number("dc_amps") * i.number("dc_volts") / i.number("efficiency");
            let mut boat = Boat::formula(i.number("volts"));
            let source = boat.source;
            boat.load(source, direct(), watts, i.number("pf"), LoadKind::Power);
            let flow = boat.solve().sources[&source].clone();
            one(&[("watts", flow.watts.unwrap()), ("va", flow.va.unwrap()), ("amps", flow.amps.unwrap())])
        }
        "pf-total" => {
            let mut boat = Boat::formula(120.0);
            let source = boat.source;
            for (watts, pf) in i.list("watts").into_iter().zip(i.list("pf")) {
                boat.load(source, direct(), watts, pf, LoadKind::Power);
            }
            let flow = boat.solve().sources[&source].clone();
            let (watts, va) = (flow.watts.unwrap(), flow.va.unwrap());
            one(&[("watts", watts), ("va", va), ("vars", (va * va - watts * watts).sqrt()), ("pf", watts / va)])
        }
        "motor-start-dip" => {
            let volts = i.number("volts");
            let ohms = volts / i.number("lrc_a");
            // An impedance is rated at nominal, 120 V.
            let mut boat = Boat::formula(120.0);
            let cable = wire(Size::Awg(i.gauge()), i.number("length_m"));
            let watts = 120.0 * 120.0 / ohms * i.number("pf");
            let load = boat.load(boat.source, cable, watts, i.number("pf"), LoadKind::Impedance);
            let s = boat.solve();
            let flow = &s.parts[&load];
            one(&[
                ("start_amps", flow.amps.unwrap()),
                ("motor_volts", flow.volts.unwrap()),
                ("dip_percent", flow.drop_percent.unwrap()),
            ])
        }
        _ => return None,
    })
}

fn devices(id: &str, value: &Value) -> Option<Figures> {
    let i = Inputs(value);
    let t = tables::get();
    Some(match id {
        _ if id.starts_with("amp-") => ampacity_figures(value),
        "sqrt-law-105" => {
            let (ti, ta) = (i.number("insulation_c"), i.number("ambient_c"));
            let law = ((ti - ta) / (ti - 30.0)).sqrt();
            assert!((t.engine_space_factor(105).unwrap().value - law).abs() < 0.01, "the regulation is near the law");
            one(&[("factor", law)])
        }
        "nec-ambient-50" => {
            let factor = |c: &f64| t.engine_space_factor(*c as u16).unwrap().value;
            BTreeMap::from([("factor", i.list("insulation_c").iter().map(factor).collect())])
        }
        "cfr-against-nec" => one(&[("cfr_a", t.ampacity_33cfr(i.gauge(), 75).unwrap().value)]),
        "breaker-continuous" => {
            let least = i.number("amps") / 0.8;
            let standard = t.next_rating(Series::Us, least).unwrap().value;
            let percent = 100.0 * i.number("amps") / standard;
            one(&[("min_rating_a", least), ("standard_a", standard), ("min_percent", percent)])
        }
        "generator-115" | "generator-115-split" => {
            let (amps, limit, device) = generator(i.number("watts"), i.number("volts"));
            one(&[("full_load_a", amps), ("limit_a", limit), ("device_a", device)])
        }
        "generator-hot" => {
            let watts = 0.8 * i.number("watts");
            let (amps, limit, device) = generator(watts, i.number("volts"));
            one(&[("derated_watts", watts), ("derated_a", amps), ("limit_a", limit), ("device_a", device)])
        }
        "elci-30ma" => {
            let device = t.residual_devices().iter().find(|d| d.device == "gfpe_elci").unwrap();
            let trips = i.list("ma").iter().map(|&ma| f64::from(u8::from(ma >= device.trip_ma))).collect();
            BTreeMap::from([("must_trip", trips), ("within_s", vec![device.time_s.unwrap()])])
        }
        "gfci-6ma" => {
            let device = t.residual_devices().iter().find(|d| d.device == "gfci_class_a").unwrap();
            assert_eq!(device.within_s(5.9), None, "below what it must trip at");
            BTreeMap::from([("seconds", i.list("ma").iter().map(|&ma| device.within_s(ma).unwrap()).collect())])
        }
        "lrc-half-hp" => {
            let locked = 9.8 * ESTIMATED_START_MULTIPLE;
            one(&[("flc_a", 9.8), ("lrc_a", locked), ("lrc_va", locked * i.number("volts"))])
        }
        "start-order" => {
            let p = starting(&i, &i.flags("cycles"), None);
            one(&[
                ("best_peak_w", p.best_order_w.unwrap()),
                ("run_total_w", p.running_w.unwrap()),
                ("worst_restart_w", p.worst_restart_w.unwrap()),
            ])
        }
        "start-order-cycling" => {
            let rated = (i.number("rated_run_w"), i.number("rated_peak_w"));
            let p = starting(&i, &i.flags("cycles"), Some(rated));
            one(&[
                ("run_total_w", p.running_w.unwrap()),
                ("load_percent", 100.0 * p.running_w.unwrap() / rated.0),
                ("best_peak_w", p.best_order_w.unwrap()),
                ("starts_best_order", yes(p.starts_best_order)),
                ("worst_restart_w", p.worst_restart_w.unwrap()),
                ("starts_worst_restart", yes(p.starts_worst_restart)),
            ])
        }
        "start-order-not-by-start-watts" => {
            one(&[("best_peak_w", starting(&i, &[false; 3], None).best_order_w.unwrap())])
        }
        _ => return None,
    })
}

/// All examples, each figure a check.
pub fn checks() -> Source {
    let mut source = Source::new("Worked examples", "Each example is drawn and solved, or looked up, by the engine.");
    let file: Value = toml::from_str(include_str!("../data/worked_examples.toml")).unwrap();
    let examples = file.get("example").and_then(Value::as_array).unwrap();
    let text = |example: &'static Value, key: &str| example.get(key).and_then(Value::as_str).unwrap_or_default();
    // Leaked once, so that the keys of the file can stand in for names known at compile time.
    let examples: &'static [Value] = Box::leak(examples.clone().into_boxed_slice());
    let by_id: BTreeMap<&str, &'static Value> = examples.iter().map(|e| (text(e, "id"), e)).collect();
    for (&id, &example) in &by_id {
        let mut inputs = example.get("inputs").unwrap();
        if let Some(other) = inputs.get("same_as").and_then(Value::as_str) {
            inputs = by_id[other].get("inputs").unwrap();
        }
        let i = Inputs(inputs);
        let found = conductors(id, &i)
            .or_else(|| networks(id, &i))
            .or_else(|| devices(id, inputs))
            .unwrap_or_else(|| panic!("{id} is not driven"));
        let tolerance = example.get("tolerance_rel").and_then(Value::as_float).unwrap();
        let mark = Mark::from_slug(text(example, "mark")).unwrap_or_else(|| panic!("{id}: mark"));
        let before = source.count();
        for (key, wanted) in example.get("expected").and_then(Value::as_table).unwrap() {
            let Some(found) = found.get(key.as_str()) else { continue };
            let wanted = numbers(wanted);
            assert_eq!(found.len(), wanted.len(), "{id} {key}");
            for (f, w) in found.iter().zip(&wanted) {
                let what = format!("{}: `{key}`", text(example, "text"));
                source.agree(text(example, "source"), what, "", *w, *f, tolerance, mark);
            }
        }
        assert!(source.count() > before, "{id}: nothing compared");
    }
    source
}
