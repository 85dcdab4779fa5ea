//! Figures that are read from a solved network without its solution.

use crate::installation::{Leg, ResistanceBasis};
use crate::network::boats::boats;
use crate::network::{Network, Span, Tolerances, bands, solve, walk};

#[test]
fn per_cent_of_nominal_and_of_what_watts_are_rated_at() {
    for boat in boats() {
        let (network, solution) = (boat.network(), solve(&boat.draft.installation, 0));
        let nominal = boat.draft.installation.system.nominal_v();
        let mut state = network.state();
        network.solve(&mut state);
        for part in boat.loads.iter().chain([&boat.source, &boat.panel]) {
            let at = network.position(*part).expect("is fed");
            let leg = network.leg(at).expect("is there");
            let volts = solution.parts[part].volts.expect("is solved");
            let lines = if matches!(leg, Leg::L1L2 | Leg::L1L2N) { 2.0 } else { 1.0 };
            let rated = 100.0 * volts / (lines * nominal);
            // Behind the transformer of 110 V that is what 100 % is.
            let behind = boat.name == "transformer" && Some(part) == boat.loads.last();
            let ratio = if behind { 110.0 / nominal } else { 1.0 };
            let found = network.load_percent_of_nominal(&state, at, nominal).expect("is there");
            assert!((found - rated).abs() < 1e-9, "{}: {found} %, not {rated} %", boat.name);
            let found = network.percent_of_nominal(&state, at, nominal).expect("is there");
            assert!((found - rated / ratio).abs() < 1e-9, "{}: {found} %, not {} %", boat.name, rated / ratio);
        }
        let beyond = network.nodes.len();
        assert_eq!(network.percent_of_nominal(&state, beyond, nominal), None);
        assert_eq!(network.load_percent_of_nominal(&state, beyond, nominal), None);
        assert_eq!(network.source_watts(&state, beyond), None);
        assert_eq!(network.leg(beyond), None);
    }
}

#[test]
fn ohms_of_a_cable_are_those_of_both_its_conductors() {
    let [boat, ..] = boats();
    let mut installation = boat.draft.installation;
    installation.resistance = ResistanceBasis::Published;
    let w = walk(&installation, 0);
    let (network, solution) = (Network::new(&installation, &w), solve(&installation, 0));
    let z = network.impedance(network.position(boat.panel).expect("is fed"));
    assert!(z.re > 0.0 && z.im > 0.0);
    let flow = &solution.cables[&w.feeds[&boat.panel].cable];
    assert_eq!((flow.ohms, flow.reactance_ohms), (Some(2.0 * z.re), Some(2.0 * z.im)));
}

#[test]
fn without_tolerances_every_part_has_its_figure_for_a_band() {
    for boat in boats() {
        let solution = solve(&boat.draft.installation, 0);
        let bands = bands(&boat.draft.installation, &solution, &Tolerances::none()).expect("is solved");
        assert_eq!(bands.parts.len(), solution.walk.order.len());
        assert_eq!(bands.cables.len(), solution.cables.len());
        assert_eq!(bands.sources.len(), 1);
        for (id, band) in &bands.parts {
            let volts = solution.parts[id].volts.expect("is solved");
            assert_eq!(band.volts, Some(Span { least: volts, most: volts }));
        }
    }
}
