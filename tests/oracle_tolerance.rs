//! Tolerances and batches on random boats of all three systems: every boat within its tolerances has its figures within the
//! bands, the drawing's own figures always do, and many scenarios at once give what each gives alone, to the last bit.

#[path = "support/random_boats.rs"]
mod random_boats;
#[path = "support/wired_boats.rs"]
mod wired_boats;

use hullwire::installation::{Installation, LoadKind, PartKind};
use hullwire::network::{
    Bands, Lie, Network, Outcome, Scenario, Solution, Span, Tolerances, Truths, bands, solve, walk,
};
use proptest::prelude::*;
use random_boats::seed;
use std::sync::Arc;
use wired_boats::boat;

fn tolerances() -> impl Strategy<Value = Tolerances> {
    (0.0..0.3f64, 0.0..60.0f64, 0.0..40.0f64, 0.0..0.01f64, 0.0..0.3f64).prop_map(
        |(length, cooler_k, hotter_k, contact_ohm, load)| Tolerances { length, cooler_k, hotter_k, contact_ohm, load },
    )
}

/// Where a truth lies: anywhere, or at an end of everything.
fn lie(numbers: &[u32], corner: bool) -> impl FnMut(usize) -> Lie {
    move |at| {
        let part = |n: usize| {
            let x = numbers[(at * 4 + n) % numbers.len()].wrapping_mul(2_654_435_761).wrapping_add((at * 7 + n) as u32);
            let x = f64::from(x) / f64::from(u32::MAX);
            if corner { x.round() } else { x }
        };
        let either = |n: usize| 2.0 * part(n) - 1.0;
        Lie { length: either(0), heat: either(1), contacts: part(2), load: either(3) }
    }
}

/// The figures of one truth, solved alone.
fn solved(installation: &Installation, network: &Network, scenario: &Scenario) -> Solution {
    let network = network.varied(scenario);
    let mut state = network.state();
    let outcome = network.solve(&mut state);
    network.solution(installation, walk(installation, 0), &state, outcome)
}

fn inside(what: &str, figure: Option<f64>, band: Option<Span>) -> Result<(), TestCaseError> {
    prop_assert_eq!(figure.is_some(), band.is_some(), "{}", what);
    if let (Some(x), Some(band)) = (figure, band) {
        prop_assert!(band.least <= x && x <= band.most, "{what}: {x} outside {band:?}");
    }
    Ok(())
}

fn all_inside(solution: &Solution, bands: &Bands) -> Result<(), TestCaseError> {
    for (id, band) in &bands.parts {
        let flow = &solution.parts[id];
        inside("volts", flow.volts, band.volts)?;
        inside("amps", flow.amps, band.amps)?;
        inside("drop", flow.drop_percent, band.drop_percent)?;
        let lines = flow.currents.as_ref().map(|c| [c.l1, c.l2, c.n].map(|i| i.norm()));
        prop_assert_eq!(band.lines.is_some(), flow.leg.is_three_wire());
        for k in (0..3).filter(|_| band.lines.is_some()) {
            inside("line", lines.map(|l| l[k]), band.lines.map(|l| l[k]))?;
        }
    }
    let cables = bands.cables.iter().map(|(id, b)| (&solution.cables[id], b));
    for (flow, band) in cables.chain(bands.cords.iter().map(|(id, b)| (&solution.cords[id], b))) {
        inside("cable amps", flow.amps, band.amps)?;
        inside("ohms", flow.ohms, band.ohms)?;
        inside("drop volts", flow.drop_volts, band.drop_volts)?;
        inside("loss", flow.loss_watts, band.loss_watts)?;
    }
    for (id, band) in &bands.sources {
        let flow = &solution.sources[id];
        inside("source watts", flow.watts, band.watts)?;
        inside("source va", flow.va, band.va)?;
        inside("source amps", flow.amps, band.amps)?;
        inside("source load", flow.load_percent, band.load_percent)?;
        let lines = flow.currents.as_ref().map(|c| [c.l1, c.l2, c.n].map(|i| i.norm()));
        for k in 0..3 {
            inside("source line", lines.map(|l| l[k]), band.lines.map(|l| l[k]))?;
        }
    }
    Ok(())
}

fn width(band: &Option<Span>) -> f64 {
    band.map_or(0.0, |b| b.most - b.least)
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 128, ..ProptestConfig::default() })]

    #[test]
    fn every_boat_within_its_tolerances_lies_within_the_bands(seed in seed(40), t in tolerances(),
            numbers in prop::collection::vec(any::<u32>(), 40..160)) {
        let boat = boat(&seed);
        let nominal = solve(&boat, 0);
        let found = bands(&boat, &nominal, &t);
        // Only where cables carry much of what they can there may be none.
        let deep = nominal.parts.values().filter_map(|p| p.drop_percent).any(|d| d > 12.0);
        prop_assert!(found.is_some() || !nominal.converged || deep);
        let Some(bands) = found else { return Ok(()) };
        all_inside(&nominal, &bands)?;
        let network = Network::new(&boat, &nominal.walk);
        let truths = Truths::of(&network, &boat, &t);
        for (n, shift) in numbers.iter().take(12).enumerate() {
            let mut turned = numbers.clone();
            turned.rotate_left(*shift as usize % numbers.len());
            let truth = solved(&boat, &network, &truths.one(lie(&turned, n % 2 == 0)));
            prop_assert!(truth.converged);
            all_inside(&truth, &bands)?;
        }
        for ends in [[1.0; 2], [-1.0; 2], [1.0, -1.0], [-1.0, 1.0]] {
            let corner = |_| Lie { length: ends[0], heat: ends[0], contacts: (ends[0] + 1.0) / 2.0, load: ends[1] };
            all_inside(&solved(&boat, &network, &truths.one(corner)), &bands)?;
        }
    }

    #[test]
    fn without_tolerances_the_bands_are_the_figures(seed in seed(40)) {
        let boat = boat(&seed);
        let nominal = solve(&boat, 0);
        let found = bands(&boat, &nominal, &Tolerances::none());
        prop_assert_eq!(found.is_some(), nominal.converged);
        let Some(found) = found else { return Ok(()) };
        all_inside(&nominal, &found)?;
        for band in found.parts.values() {
            prop_assert!(width(&band.volts) + width(&band.amps) + width(&band.drop_percent) == 0.0);
        }
        for band in found.cables.values() {
            prop_assert!(width(&band.amps) + width(&band.drop_volts) + width(&band.loss_watts) == 0.0);
        }
        // Next to nothing comes to next to nothing, on the same way as any other tolerance.
        let least = Tolerances { length: 1e-12, load: 1e-12, ..Tolerances::none() };
        let Some(near) = bands(&boat, &nominal, &least) else { return Ok(()) };
        for band in near.parts.values() {
            prop_assert!(width(&band.volts) < 1e-5 && width(&band.amps) < 1e-5, "{band:?}");
        }
    }

    #[test]
    fn many_at_once_give_what_each_gives_alone(seed in seed(40), t in tolerances(), heavy in 1.0..40.0f64,
            numbers in prop::collection::vec(any::<u32>(), 40..160), how_many in 0usize..14) {
        let mut boat = boat(&seed);
        // Some beyond what can be supplied, so that the long way round is taken too.
        for part in boat.parts.values_mut().map(Arc::make_mut).filter(|p| p.kind == PartKind::Appliance) {
            part.run_w = part.run_w.map(|w| if part.load_kind == LoadKind::Impedance { w } else { w * heavy });
        }
        let network = Network::new(&boat, &walk(&boat, 0));
        let truths = Truths::of(&network, &boat, &t);
        let scenarios: Vec<Scenario> = (0..how_many).map(|n| {
            let mut turned = numbers.clone();
            turned.rotate_left(n % numbers.len());
            let mut scenario = truths.one(lie(&turned, false));
            for (at, on) in scenario.on.iter_mut().enumerate() {
                *on = !turned[at % turned.len()].is_multiple_of(3);
            }
            scenario
        }).collect();
        let together = network.solve_many(&scenarios);
        prop_assert_eq!(together.len(), scenarios.len());
        for (scenario, found) in scenarios.iter().zip(&together) {
            let alone = network.varied(scenario);
            let mut state = alone.state();
            prop_assert_eq!(alone.solve(&mut state), found.outcome);
            if !matches!(found.outcome, Outcome::Settled { .. }) {
                continue;
            }
            for at in 0..scenario.z.len() {
                prop_assert_eq!(alone.voltages(&state, at), alone.voltages(&found.state, at));
                prop_assert_eq!(alone.currents(&state, at), alone.currents(&found.state, at));
            }
        }
    }
}

/// One heater-free load behind one cable: the band's ends are the closed form's, to the rounding of the box.
#[test]
fn one_load_reaches_both_ends_of_its_band() {
    use hullwire::installation::{Cable, CableData, Conductor, Part, Place, ResistanceBasis, Size, SpaceKind, System};
    let mut boat = Installation::new(System::TwoWire120);
    boat.resistance = ResistanceBasis::Formula;
    let source = boat.add_part(Part::new(PartKind::Generator, "G1", Place::In(SpaceKind::Other)));
    let mut part = Part::new(PartKind::Appliance, "E1", Place::In(SpaceKind::Other));
    part.run_w = Some(1200.0);
    let load = boat.add_part(part);
    let mut cable = Cable::between(source, load);
    cable.data = CableData { conductor: Conductor::Size(Size::Awg(12)), length_m: Some(10.0), ..CableData::unknown() };
    let id = boat.add_cable(cable);
    boat.conditions[0].feeding = vec![source];
    let solution = solve(&boat, 0);
    let t = Tolerances { length: 0.1, cooler_k: 20.0, hotter_k: 10.0, contact_ohm: 2e-3, load: 0.05 };
    let found = bands(&boat, &solution, &t).expect("far from the knee");
    // (Us + √(Us² − 4RP)) / 2 with R out and back.
    let volts = |r: f64, p: f64| (120.0 + (120.0f64 * 120.0 - 4.0 * r * p).sqrt()) / 2.0;
    let at_20 = solution.cables[&id].ohms.expect("known") / (1.0 + 0.00393 * 55.0);
    let ohms =
        |share: f64, celsius: f64, contacts: f64| at_20 * share * (1.0 + 0.00393 * (celsius - 20.0)) + 2.0 * contacts;
    let (least, most) = (ohms(0.9, 55.0, 0.0), ohms(1.1, 85.0, 4e-3));
    let near = |span: Option<Span>, low: f64, high: f64, within: f64| {
        let span = span.expect("a band");
        assert!((span.least - low).abs() < within && (span.most - high).abs() < within, "{span:?}: {low} to {high}");
    };
    near(found.cables[&id].ohms, least, most, 1e-8);
    near(found.parts[&load].volts, volts(most, 1260.0), volts(least, 1140.0), 1e-6);
    near(found.parts[&load].amps, 1140.0 / volts(least, 1140.0), 1260.0 / volts(most, 1260.0), 1e-6);
    let watts = |r: f64, p: f64| 120.0 * p / volts(r, p);
    near(found.sources[&source].watts, watts(least, 1140.0), watts(most, 1260.0), 1e-4);
}

#[test]
fn near_the_knee_there_is_no_band() {
    use hullwire::installation::{Cable, CableData, Conductor, Part, Place, Size, SpaceKind, System};
    let mut boat = Installation::new(System::TwoWire120);
    let source = boat.add_part(Part::new(PartKind::Generator, "G1", Place::In(SpaceKind::Other)));
    let mut part = Part::new(PartKind::Appliance, "E1", Place::In(SpaceKind::Other));
    part.run_w = Some(1500.0);
    let load = boat.add_part(part);
    let mut cable = Cable::between(source, load);
    cable.data = CableData { conductor: Conductor::Size(Size::Awg(14)), length_m: Some(105.0), ..CableData::unknown() };
    boat.add_cable(cable);
    boat.conditions[0].feeding = vec![source];
    let solution = solve(&boat, 0);
    assert!(solution.converged);
    assert_eq!(bands(&boat, &solution, &Tolerances { load: 0.5, ..Tolerances::default() }), None);
}
