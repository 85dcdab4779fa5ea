//! Small drawings that the checks send through the engine.

use hullwire::installation::{
    Cable, CableData, Conductor, Installation, LoadKind, Part, PartId, PartKind, Place, ResistanceBasis, Size,
    SpaceKind, System,
};
use hullwire::network::{Solution, conductor_ohm_per_m, solve};

/// A drawing of a generator with parts on it.
pub struct Boat {
    pub installation: Installation,
    pub source: PartId,
}

impl Boat {
    pub fn new(system: System, basis: ResistanceBasis, volts: f64) -> Self {
        let mut installation = Installation::new(system);
        installation.resistance = basis;
        let mut part = Part::new(PartKind::Generator, "G1", Place::In(SpaceKind::Other));
        part.volts = Some(volts);
        let source = installation.add_part(part);
        installation.conditions[0].feeding = vec![source];
        Self { installation, source }
    }

    pub fn formula(volts: f64) -> Self {
        Self::new(System::TwoWire120, ResistanceBasis::Formula, volts)
    }

    pub fn add(&mut self, from: PartId, kind: PartKind, wire: CableData, set: impl FnOnce(&mut Part)) -> PartId {
        let tag = format!("P{}", self.installation.parts.len());
        let mut part = Part::new(kind, tag, Place::In(SpaceKind::Other));
        set(&mut part);
        let id = self.installation.add_part(part);
        let mut cable = Cable::between(from, id);
        cable.data = wire;
        self.installation.add_cable(cable);
        id
    }

    pub fn load(&mut self, from: PartId, wire: CableData, watts: f64, pf: f64, kind: LoadKind) -> PartId {
        self.add(from, PartKind::Appliance, wire, |p| {
            p.run_w = Some(watts);
            p.pf = Some(pf);
            p.load_kind = kind;
        })
    }

    pub fn solve(&self) -> Solution {
        let solution = solve(&self.installation, 0);
        assert!(solution.converged);
        solution
    }
}

pub fn wire(size: Size, metres: f64) -> CableData {
    CableData { conductor: Conductor::Size(size), length_m: Some(metres), ..CableData::unknown() }
}

/// 12 AWG (formula, 75 °C) of a length that has these ohms out and back.
pub fn loop_of(ohms: f64) -> CableData {
    let per_m = conductor_ohm_per_m(Size::Awg(12), 75, System::TwoWire120, ResistanceBasis::Formula).unwrap();
    wire(Size::Awg(12), ohms / 2.0 / per_m.re)
}

pub fn direct() -> CableData {
    CableData::none()
}

/// The drop where exactly these amperes flow at power factor 1: the load takes what is left of the voltage.
pub fn drop_at(volts: f64, amps: f64, cable: CableData) -> (f64, f64, f64, f64) {
    let mut boat = Boat::formula(volts);
    boat.installation.system = if volts > 200.0 { System::TwoWire230 } else { System::TwoWire120 };
    // The loop is the same in both systems: by formula there is no reactance; insulation is stated.
    let cable = CableData { insulation_c: Some(75), ..cable };
    let mut watts = amps * volts;
    let load = boat.load(boat.source, cable, watts, 1.0, LoadKind::Power);
    for _ in 0..60 {
        let found = boat.solve().parts[&load].amps.unwrap();
        watts *= amps / found;
        std::sync::Arc::make_mut(boat.installation.parts.get_mut(&load).unwrap()).run_w = Some(watts);
    }
    let s = boat.solve();
    let (_, flow) = s.feed_of(load).unwrap();
    assert!((flow.amps.unwrap() - amps).abs() < 1e-9 * amps);
    (flow.ohms.unwrap(), flow.drop_volts.unwrap(), s.parts[&load].drop_percent.unwrap(), flow.loss_watts.unwrap())
}
