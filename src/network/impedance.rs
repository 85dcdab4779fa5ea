//! Impedance of cables: resistance at working temperature and reactance, by the basis that the installation names.

use crate::installation::{CableData, Conductor, ResistanceBasis, Size, System};
use crate::tables::{self, awg_area_mm2};
use crate::units::{Complex, trimmed};

/// Highest working temperature that is counted, °C.
const MOST_WORKING_C: f64 = 75.0;

/// Working temperature of a conductor for the drop: its insulation rating, at most 75 °C.
#[must_use]
pub fn working_c(insulation_c: u16) -> f64 {
    f64::from(insulation_c).min(MOST_WORKING_C)
}

/// Impedance of one conductor in ohm per metre. `None` where the tables have no such size.
#[must_use]
pub fn conductor_ohm_per_m(size: Size, insulation_c: u16, system: System, basis: ResistanceBasis) -> Option<Complex> {
    conductor_ohm_per_m_at(size, working_c(insulation_c), system, basis)
}

/// Impedance of one conductor in ohm per metre at a conductor temperature in °C. `None` where the tables have no such size.
#[must_use]
pub fn conductor_ohm_per_m_at(size: Size, conductor_c: f64, system: System, basis: ResistanceBasis) -> Option<Complex> {
    let t = tables::get();
    let (r, x) = match (basis, size) {
        (ResistanceBasis::Published, Size::Awg(n)) => {
            (t.awg_ohm_per_m(n, conductor_c)?, t.awg_reactance_ohm_per_m(n, system.frequency_hz())?)
        }
        (ResistanceBasis::Published, Size::Mm2(a)) => (t.mm2_ohm_per_m(a, conductor_c)?, t.mm2_reactance_ohm_per_m()?),
        (ResistanceBasis::Formula, Size::Awg(n)) => (t.formula_ohm_per_m(awg_area_mm2(n), conductor_c)?, 0.0),
        (ResistanceBasis::Formula, Size::Mm2(a)) => (t.formula_ohm_per_m(a, conductor_c)?, 0.0),
    };
    Some(Complex::new(r, x))
}

/// Impedance of each conductor of a cable over its length, ohms; zero where there is no cable, `None` where size or
/// length is not known.
#[must_use]
pub fn conductor_ohms(cable: &CableData, system: System, basis: ResistanceBasis) -> Option<Complex> {
    match cable.conductor {
        Conductor::None => Some(Complex::default()),
        Conductor::Unknown => None,
        Conductor::Size(size) => {
            let per_m = conductor_ohm_per_m(size, cable.insulation_c(system), system, basis)?;
            Some(per_m * cable.length_m?)
        }
    }
}

/// The basis of calculation for resistance and reactance, in sentences for a person, each with source and mark.
#[must_use]
pub fn resistance_basis(system: System, basis: ResistanceBasis) -> Vec<String> {
    let t = tables::get();
    let cite = |quantity: &str| {
        t.constant(quantity)
            .map_or_else(String::new, |f| format!("{} ({}, {})", trimmed(f.value, 6), f.source, f.mark.words()))
    };
    let mut lines = match basis {
        ResistanceBasis::Published => {
            let awg = t.awg_resistance(12).map_or("", |f| &f.source);
            let mm2 = t.mm2_resistance(2.5).map_or("", |f| &f.source);
            let reactance = t.awg_reactance(12).map_or("", |(_, f)| &f.source);
            vec![
                format!("AWG resistance: {awg}; per kelvin from 75 °C {}.", cite("alpha75_copper_nec")),
                format!("mm² resistance: {mm2}; per kelvin from 20 °C {}.", cite("alpha20_copper")),
                format!(
                    "AWG reactance: {reactance}, in proportion to {} Hz; 18 and 16 AWG are not in that table and take its 14 AWG.",
                    trimmed(system.frequency_hz(), 0)
                ),
                format!("mm² reactance, mΩ/m: {}.", cite("lambda_iec60364")),
            ]
        }
        ResistanceBasis::Formula => vec![format!(
            "Solid round copper by formula: Ω·mm²/m at 20 °C {}, per kelvin {}; AWG diameter 0.127 mm × 92^((36−n)/39) (ASTM B258); no reactance.",
            cite("rho20_copper_iacs"),
            cite("alpha20_copper")
        )],
    };
    lines.push(
        "Working temperature: the insulation rating, at most 75 °C. Every cable is counted out and back.".to_owned(),
    );
    lines.push("Isolation transformers are ideal: their own impedance is not modelled.".to_owned());
    lines
}

#[cfg(test)]
mod tests {
    use super::*;

    fn ohm_per_km(size: Size, insulation: u16, basis: ResistanceBasis) -> Complex {
        conductor_ohm_per_m(size, insulation, System::TwoWire120, basis).map_or(Complex::default(), |z| z * 1000.0)
    }

    #[test]
    fn figures_by_hand() {
        let z = ohm_per_km(Size::Awg(12), 105, ResistanceBasis::Published);
        assert!((z.re - 2.05 * 3.280_839_895).abs() < 1e-9, "{z}");
        assert!((z.im - 0.054 * 3.280_839_895).abs() < 1e-9, "{z}");
        let z = ohm_per_km(Size::Awg(12), 60, ResistanceBasis::Published);
        assert!((z.re - 2.05 * 3.280_839_895 * (1.0 - 15.0 * 0.00323)).abs() < 1e-9, "{z}");
        let z = ohm_per_km(Size::Mm2(2.5), 70, ResistanceBasis::Published);
        assert!((z.re - 8.21 * 1.1965).abs() < 1e-9 && (z.im - 0.08).abs() < 1e-12, "{z}");
        let z = ohm_per_km(Size::Awg(12), 75, ResistanceBasis::Formula);
        assert!((z.re - 6.336_984).abs() < 1e-5 && z.im == 0.0, "{z}");
        let at_50 = conductor_ohm_per_m(Size::Awg(12), 75, System::TwoWire230, ResistanceBasis::Published);
        assert!(at_50.is_some_and(|z| (z.im * 1000.0 - 0.054 * 3.280_839_895 * 50.0 / 60.0).abs() < 1e-12));
    }

    #[test]
    fn what_is_not_known_has_no_ohms() {
        let (system, basis) = (System::TwoWire120, ResistanceBasis::Published);
        assert_eq!(conductor_ohms(&CableData::none(), system, basis), Some(Complex::default()));
        assert_eq!(conductor_ohms(&CableData::unknown(), system, basis), None);
        let mut cable = CableData { conductor: Conductor::Size(Size::Awg(12)), ..CableData::unknown() };
        assert_eq!(conductor_ohms(&cable, system, basis), None);
        cable.length_m = Some(10.0);
        assert!(conductor_ohms(&cable, system, basis).is_some());
    }

    #[test]
    fn every_nameable_size_has_ohms() {
        let sizes = Size::AWG.map(Size::Awg).into_iter().chain(Size::MM2.map(Size::Mm2));
        for size in sizes {
            for basis in [ResistanceBasis::Published, ResistanceBasis::Formula] {
                assert!(conductor_ohm_per_m(size, 75, System::SplitPhase, basis).is_some(), "{size}");
            }
        }
    }

    #[test]
    fn the_basis_names_its_sources() {
        let published = resistance_basis(System::TwoWire230, ResistanceBasis::Published);
        assert_eq!(published.len(), 6, "{published:?}");
        assert!(published[0].contains("0.00323") && published[1].contains("0.00393"), "{published:?}");
        assert!(published[2].contains("in proportion to 50 Hz"), "{published:?}");
        let formula = resistance_basis(System::TwoWire120, ResistanceBasis::Formula);
        assert!(formula.len() == 3 && formula[0].contains("ASTM B258"), "{formula:?}");
    }
}
