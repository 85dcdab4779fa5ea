//! Sea trial against random truth: whatever the appliances really draw, the readings that a display then shows leave a range
//! that holds it, cable losses, power factors, heaters and split phase included.

use hullwire::installation::{Installation, PartId, PartKind, ReadQuantity, Reading, Rounding, System};
use hullwire::loads::trial::trial;
use hullwire::network::solve;
use hullwire::store::list::import;
use proptest::prelude::*;
use std::fmt::Write as _;
use std::sync::Arc;

#[derive(Clone, Debug)]
struct Load {
    watts: f64,
    plate: f64,
    pf: f64,
    kind: &'static str,
    length_m: f64,
    leg: usize,
}

fn load() -> impl Strategy<Value = Load> {
    let kind = prop::sample::select(vec!["power", "impedance", "motor"]);
    (20.0..1500.0f64, 20.0..1500.0f64, 0.6..=1.0f64, kind, 1.0..25.0f64, 0..3usize)
        .prop_map(|(watts, plate, pf, kind, length_m, leg)| Load { watts, plate, pf, kind, length_m, leg })
}

#[derive(Clone, Debug)]
struct Shown {
    on: u8,
    place: usize,
    quantity: usize,
    step: f64,
    rounding: usize,
}

fn shown() -> impl Strategy<Value = Shown> {
    let step = prop::sample::select(vec![0.0, 0.1, 1.0, 10.0, 100.0, 450.0]);
    (1..32u8, 0..3usize, 0..3usize, step, 0..3usize).prop_map(|(on, place, quantity, step, rounding)| Shown {
        on,
        place,
        quantity,
        step,
        rounding,
    })
}

fn boat(system: System, loads: &[Load]) -> Installation {
    let mut list = format!(
        "# system: {}\ntag,kind,fed_from,run_w,pf,load_kind,leg,conductor,length_m\nG1,generator,,9000,,,,,\n\
         A1,panel,G1,,,,,8 AWG,9\n",
        system.slug()
    );
    for (i, l) in loads.iter().enumerate() {
        let leg = if system.is_split_phase() { ["L1", "L2", "L1-L2"][l.leg] } else { "" };
        let _ = writeln!(list, "E{i},appliance,A1,{},{},{},{leg},12 AWG,{}", l.plate, l.pf, l.kind, l.length_m);
    }
    import(&list).unwrap().installation
}

/// What a display shows of a true figure.
fn display(truth: f64, step: f64, rounding: Rounding) -> f64 {
    if step == 0.0 {
        return truth;
    }
    match rounding {
        Rounding::Down => (truth / step).floor() * step,
        Rounding::Nearest => (truth / step).round() * step,
        Rounding::Unknown => (truth / step).ceil() * step,
    }
}

fn readings(boat: &Installation, ids: &[PartId], loads: &[Load], shown: &[Shown]) -> Vec<Reading> {
    let mut truth = boat.clone();
    for (id, load) in ids.iter().zip(loads) {
        Arc::make_mut(truth.parts.get_mut(id).unwrap()).run_w = Some(load.watts);
    }
    let mut out = Vec::new();
    for s in shown {
        let on: Vec<PartId> = ids.iter().enumerate().filter(|(i, _)| s.on & (1 << i) != 0).map(|(_, id)| *id).collect();
        let mut case = truth.clone();
        case.conditions[0].off.extend(ids.iter().filter(|id| !on.contains(id)));
        let solution = solve(&case, 0);
        if !solution.converged {
            continue;
        }
        let source = boat.part_by_tag("G1").unwrap();
        let (at, quantity) = match (s.place, s.quantity) {
            (0, 0) => (source, ReadQuantity::Watts),
            (0, 1) => (source, ReadQuantity::Percent),
            (0, _) => (source, ReadQuantity::Amps),
            (1, _) => (boat.part_by_tag("A1").unwrap(), ReadQuantity::Amps),
            (_, 0) => match on.first() {
                Some(id) => (*id, ReadQuantity::Volts),
                None => continue,
            },
            _ => match on.first() {
                Some(id) => (*id, ReadQuantity::Watts),
                None => continue,
            },
        };
        let truth = match quantity {
            ReadQuantity::Watts if at == source => solution.sources[&at].watts.unwrap(),
            ReadQuantity::Watts => solution.parts[&at].watts.unwrap(),
            ReadQuantity::Percent => solution.sources[&at].load_percent.unwrap(),
            ReadQuantity::Volts => solution.parts[&at].volts.unwrap(),
            ReadQuantity::Amps => solution.parts[&at].amps.unwrap(),
        };
        let rounding = Rounding::ALL[s.rounding];
        let step = if quantity == ReadQuantity::Amps { s.step / 100.0 } else { s.step };
        let value = display(truth, step, rounding);
        out.push(Reading { on, at, quantity, value, step, rounding, rated_w: None });
    }
    out
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 120, ..ProptestConfig::default() })]

    #[test]
    fn what_is_true_always_lies_inside(
        loads in prop::collection::vec(load(), 1..5), shown in prop::collection::vec(shown(), 1..6),
        system in prop::sample::select(System::ALL),
    ) {
        let boat = boat(system, &loads);
        let ids: Vec<PartId> = boat.parts.iter().filter(|(_, p)| p.kind == PartKind::Appliance).map(|(id, _)| *id).collect();
        let readings = readings(&boat, &ids, &loads, &shown);
        let said = trial(&boat, 0, &readings);
        prop_assert!(said.consistent, "{said:#?}");
        for (id, load) in ids.iter().zip(&loads) {
            let Some(draws) = said.appliances.get(id) else { continue };
            let (low, high) = (draws.watts_low.unwrap(), draws.watts_high.unwrap_or(f64::INFINITY));
            prop_assert!(low <= load.watts && load.watts <= high, "{} not in {low} to {high}", load.watts);
            if (load.plate - load.watts).abs() < 1e-12 {
                prop_assert!(draws.nameplate_possible != Some(false));
            }
        }
        for c in &said.compared {
            if loads.iter().all(|l| l.plate == l.watts) {
                prop_assert!(c.agrees != Some(false));
            }
        }
    }
}
