//! Endurance: how long the fuel or the battery lasts, in one condition and over a day.
//!
//! The mean load comes from the solved drawing, duty and losses included; the rate is read off the fuel curve at that
//! load. A claimed curve that cannot be right gives a range: from the claim down to what is physically possible.

mod battery;
mod curve;
mod day;
pub(super) mod mean;
pub mod words;

pub use battery::{Battery, battery};
pub use curve::{Doubt, FuelCurve, Limits, Rate, doubts};
pub use day::{Day, DayFuel, Row, Service, day};
pub use mean::{MeanLoad, mean_load};

use crate::installation::{Installation, Part, PartId, PartKind};

/// How long a generator runs.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Endurance {
    /// Mean watts that it delivers.
    pub mean_watts: Option<f64>,
    /// The same in per cent of its running watts.
    pub mean_load_percent: Option<f64>,
    /// Litres per hour as claimed at that load.
    pub litres_per_hour: Option<f64>,
    /// Least litres per hour that are physically possible at that load; only where the claim cannot be right.
    pub litres_per_hour_high: Option<f64>,
    /// True where the load lies beyond the points of the curve; `None` where there is no rate.
    pub extrapolated: Option<bool>,
    /// False where the claimed curve cannot be right; `None` where that could not be judged.
    pub plausible: Option<bool>,
    /// What cannot be right in it.
    pub doubts: Vec<Doubt>,
    /// Litres that are counted on.
    pub litres: Option<f64>,
    /// Hours as claimed.
    pub hours: Option<f64>,
    /// Hours at the physical bound; only where the claim cannot be right.
    pub hours_low: Option<f64>,
    /// What is missing for an answer, and what was left out, in words.
    pub missing: Vec<String>,
}

/// The endurance of a generator at a mean load in watts on so many litres.
#[must_use]
pub fn endurance(part: &Part, mean_watts: Option<f64>, litres: Option<f64>) -> Endurance {
    let mut out = Endurance { mean_watts, litres, ..Endurance::default() };
    let curve = FuelCurve::of(part);
    out.mean_load_percent = mean_watts.zip(part.run_w).map(|(watts, rated)| 100.0 * watts / rated);
    let rate = curve.as_ref().zip(out.mean_load_percent).and_then(|(c, percent)| c.rate(percent));
    out.litres_per_hour = rate.map(|r| r.litres_per_hour);
    out.extrapolated = rate.map(|r| r.extrapolated);
    out.hours = litres.zip(out.litres_per_hour).map(|(litres, rate)| litres / rate);
    if let (Some(curve), Some(run_w)) = (&curve, part.run_w) {
        let limits = Limits::of(part.fuel);
        out.doubts = doubts(curve, &limits, run_w, out.mean_load_percent);
        out.plausible = Some(out.doubts.is_empty());
        if let (false, Some(claimed), Some(watts)) = (out.doubts.is_empty(), out.litres_per_hour, mean_watts) {
            let high = claimed.max(limits.least_rate(curve.no_load_rate(), watts));
            out.litres_per_hour_high = Some(high);
            out.hours_low = litres.map(|litres| litres / high);
        }
    }
    if part.run_w.is_none() {
        out.missing.push("running watts of the set".to_owned());
    }
    match &curve {
        None => out.missing.push("a fuel curve of two points or more".to_owned()),
        Some(c) if out.litres_per_hour.is_none() && c.points().len() == 1 => {
            out.missing.push("a second point of the fuel curve: one point makes no line".to_owned());
        }
        Some(_) if out.litres_per_hour.is_none() && out.mean_load_percent.is_some() => {
            out.missing
                .push("a point of the fuel curve nearer to this load: the line drawn on falls to nothing".to_owned());
        }
        Some(_) => {}
    }
    if litres.is_none() {
        out.missing.push("litres in the tank".to_owned());
    }
    out
}

/// The endurance of every generator in one condition. `litres` stands in place of each one’s own tank. A generator that
/// does not feed in this condition has no figures, and says so.
#[must_use]
pub fn of_condition(
    installation: &Installation,
    condition: usize,
    litres: Option<f64>,
) -> (MeanLoad, Vec<(PartId, Endurance)>) {
    let mean = mean_load(installation, condition);
    let generators = installation.parts.iter().filter(|(_, part)| part.kind == PartKind::Generator);
    let answers = generators
        .map(|(id, part)| {
            let watts = mean.watts.get(id).copied();
            let mut answer = endurance(part, watts.flatten(), litres.or(part.tank_l));
            match watts {
                None => answer.missing.push("it does not feed in this condition".to_owned()),
                Some(None) => answer.missing.push("the drawing has no solution in this condition".to_owned()),
                Some(Some(_)) => {
                    answer.missing.extend(
                        mean.unknown
                            .iter()
                            .map(|id| format!("running power of {}: counted as 0 W", installation.tag(*id))),
                    );
                }
            }
            (*id, answer)
        })
        .collect();
    (mean, answers)
}

#[cfg(test)]
mod tests {
    use super::endurance;
    use crate::installation::{Part, PartKind, Place, Point};

    /// 500 W of 2,000 W are a quarter; 0.4 L an hour there empty 3 L in 7.5 h.
    #[test]
    fn hours_are_litres_over_litres_per_hour_at_the_mean_load() {
        let mut part = Part::new(PartKind::Generator, "G1", Place::At(Point::default()));
        (part.run_w, part.fuel_curve) = (Some(2000.0), vec![(25.0, 0.4), (100.0, 1.0)]);
        let found = endurance(&part, Some(500.0), Some(3.0));
        assert_eq!(found.mean_load_percent, Some(25.0));
        assert_eq!(found.litres_per_hour, Some(0.4));
        assert!(found.hours.is_some_and(|h| (h - 7.5).abs() < 1e-9), "{:?}", found.hours);
        let unknown = endurance(&part, None, Some(3.0));
        assert_eq!((unknown.mean_load_percent, unknown.litres_per_hour, unknown.hours), (None, None, None));
    }

    #[test]
    fn what_is_missing_for_an_answer_is_said() {
        let missing = |curve: &[(f64, f64)], mean_watts, litres| {
            let mut part = Part::new(PartKind::Generator, "G1", Place::At(Point::default()));
            (part.run_w, part.fuel_curve) = (Some(2000.0), curve.to_vec());
            endurance(&part, mean_watts, litres).missing
        };
        let line = [(25.0, 0.4), (100.0, 1.0)];
        let tank = "litres in the tank";
        assert_eq!(missing(&line, Some(500.0), Some(3.0)), [""; 0]);
        assert_eq!(missing(&line, Some(500.0), None), [tank]);
        assert_eq!(missing(&line, None, Some(3.0)), [""; 0], "the load is not the set's");
        let point = "a second point of the fuel curve: one point makes no line";
        assert_eq!(missing(&[(25.0, 0.4)], Some(1000.0), None), [point, tank]);
        assert_eq!(missing(&[(25.0, 0.4)], Some(500.0), Some(3.0)), [""; 0], "at the point itself it is known");
        // 0.4 L/h at 50 % and 1.4 at 100 % fall to nothing at 30 %.
        let steep = [(50.0, 0.4), (100.0, 1.4)];
        let near = "a point of the fuel curve nearer to this load: the line drawn on falls to nothing";
        assert_eq!(missing(&steep, Some(200.0), Some(3.0)), [near]);
        assert_eq!(missing(&[], Some(500.0), Some(3.0)), ["a fuel curve of two points or more"]);
    }
}
