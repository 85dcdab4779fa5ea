//! The inverter's counterpart of endurance: battery hours by capacity, usable depth and conversion efficiency.

use crate::installation::Part;

/// How long a battery carries an inverter.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Battery {
    /// Mean watts that the inverter delivers.
    pub mean_watts: Option<f64>,
    /// Energy that may be taken from the battery, kWh.
    pub usable_kwh: Option<f64>,
    /// Hours until it is taken, losses of the conversion counted; the inverter's own no-load draw is not.
    pub hours: Option<f64>,
    /// What is missing for an answer, in words.
    pub missing: Vec<String>,
}

/// Hours = energy × usable share × efficiency / mean load. What is not known is not assumed.
#[must_use]
pub fn battery(part: &Part, mean_watts: Option<f64>) -> Battery {
    let data = &part.set_data;
    let usable_kwh = data.energy_kwh().zip(data.battery_usable).map(|(energy, share)| energy * share);
    let hours = usable_kwh
        .zip(data.efficiency)
        .zip(mean_watts.filter(|w| *w > 0.0))
        .map(|((energy, efficiency), watts)| 1000.0 * energy * efficiency / watts);
    let mut missing = Vec::new();
    if data.energy_kwh().is_none() {
        missing.push("energy of the battery (kWh, or ampere-hours and volts)".to_owned());
    }
    if data.battery_usable.is_none() {
        missing.push("usable share of the battery".to_owned());
    }
    if data.efficiency.is_none() {
        missing.push("conversion efficiency of the inverter".to_owned());
    }
    if mean_watts == Some(0.0) {
        missing.push("a load: nothing draws from it, and its own no-load draw is not known".to_owned());
    }
    Battery { mean_watts, usable_kwh, hours, missing }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::installation::{PartKind, Place, Point};

    #[test]
    fn battery_hours_by_hand_and_nothing_assumed() {
        let mut part = Part::new(PartKind::Inverter, "T1", Place::At(Point::default()));
        part.set_data.battery_ah = Some(200.0);
        part.set_data.battery_v = Some(12.8);
        part.set_data.battery_usable = Some(0.8);
        assert_eq!(battery(&part, Some(300.0)).hours, None, "efficiency is not known");
        part.set_data.efficiency = Some(0.9);
        let hours = battery(&part, Some(300.0)).hours.unwrap();
        assert!((hours - 2560.0 * 0.8 * 0.9 / 300.0).abs() < 1e-12);
        assert_eq!(battery(&part, Some(0.0)).hours, None);
        assert_eq!(battery(&part, None).hours, None);
    }
}
