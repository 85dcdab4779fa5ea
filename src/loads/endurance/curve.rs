//! The fuel curve of a set, and whether the claimed figures can be true.

use crate::installation::{Fuel, Mode, Part};
use crate::tables::{self, Figure};
use crate::units::{Mark, above};

/// A rate read off the curve.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rate {
    /// Litres per hour, above 0.
    pub litres_per_hour: f64,
    /// True beyond the stated points.
    pub extrapolated: bool,
}

/// Points (load per cent, litres per hour) in rising load, straight between and beyond them.
#[derive(Clone, Debug, PartialEq)]
pub struct FuelCurve(Vec<(f64, f64)>);

impl FuelCurve {
    /// The curve that holds for the mode the set runs in; `None` where no point is stated.
    #[must_use]
    pub fn of(part: &Part) -> Option<Self> {
        let constant = &part.set_data.fuel_curve_constant;
        let at_constant = part.set_data.mode == Some(Mode::ConstantSpeed) && !constant.is_empty();
        Self::new(if at_constant { constant.clone() } else { part.fuel_curve.clone() })
    }

    /// A curve of points in rising load; `None` without any.
    #[must_use]
    pub fn new(points: Vec<(f64, f64)>) -> Option<Self> {
        (!points.is_empty()).then_some(Self(points))
    }

    /// The stated points.
    #[must_use]
    pub fn points(&self) -> &[(f64, f64)] {
        &self.0
    }

    /// The rate at a load in per cent: straight between points, the outer stretches drawn on beyond them. `None` beyond a
    /// single point, and where the line drawn on would fall to nothing: no rate is known there.
    #[must_use]
    pub fn rate(&self, load_percent: f64) -> Option<Rate> {
        let (first, last) = (self.0.first()?, self.0.last()?);
        let extrapolated = load_percent < first.0 || load_percent > last.0;
        if let Some((_, rate)) = self.0.iter().find(|(load, _)| *load == load_percent) {
            return Some(Rate { litres_per_hour: *rate, extrapolated: false });
        }
        let right = self.0.partition_point(|(load, _)| *load < load_percent).clamp(1, self.0.len().max(2) - 1);
        let ((l1, r1), (l2, r2)) = (*self.0.get(right - 1)?, *self.0.get(right)?);
        let rate = r1 + (r2 - r1) * (load_percent - l1) / (l2 - l1);
        (rate > 0.0).then_some(Rate { litres_per_hour: rate, extrapolated })
    }

    /// Litres per hour without load: the point at 0 %, else the first stretch drawn on, at least nothing.
    #[must_use]
    pub fn no_load_rate(&self) -> f64 {
        self.rate(0.0).map_or(0.0, |r| r.litres_per_hour)
    }
}

/// What is physically possible with a fuel.
#[derive(Clone, Debug, PartialEq)]
pub struct Limits {
    /// Kilowatt-hours per litre at the lower heating value.
    pub energy: Figure,
    /// Electric energy over fuel energy, at most.
    pub overall: Figure,
    /// Added electric power over added fuel power, at most.
    pub slope: Figure,
}

impl Limits {
    /// The limits of a fuel, from the table of published figures.
    #[must_use]
    pub fn of(fuel: Fuel) -> Self {
        let figure = |what: &str| {
            let missing =
                || Figure { value: f64::NAN, source: "missing from the table".to_owned(), mark: Mark::Memory };
            tables::get().endurance(&format!("{}_{what}", fuel.slug())).cloned().unwrap_or_else(missing)
        };
        Self { energy: figure("lhv"), overall: figure("overall_limit"), slope: figure("slope_limit") }
    }

    /// The least litres per hour that can give so many watts: no-load rate + P/(slope limit × energy), and
    /// P/(overall limit × energy), whichever is more.
    #[must_use]
    pub fn least_rate(&self, no_load_rate: f64, watts: f64) -> f64 {
        let kilowatts = watts / 1000.0;
        let by_slope = no_load_rate + kilowatts / (self.slope.value * self.energy.value);
        by_slope.max(kilowatts / (self.overall.value * self.energy.value))
    }
}

/// Why a claimed curve cannot be right.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Doubt {
    /// At this load the set would turn more of the fuel's energy into electricity than is possible.
    Overall {
        /// Load in per cent.
        load_percent: f64,
        /// Electric over fuel power.
        efficiency: f64,
    },
    /// Between these loads the added fuel would give more electricity than is possible.
    Slope {
        /// Lower load in per cent.
        from_percent: f64,
        /// Upper load in per cent.
        to_percent: f64,
        /// Added electric over added fuel power; infinite where more load takes no more fuel.
        efficiency: f64,
    },
}

/// Everything in a claimed curve that cannot be right, for a set of so many running watts; `at_percent` is judged too,
/// where it lies beyond the points.
#[must_use]
pub fn doubts(curve: &FuelCurve, limits: &Limits, run_w: f64, at_percent: Option<f64>) -> Vec<Doubt> {
    let kilowatts = |percent: f64| percent / 100.0 * run_w / 1000.0;
    let mut out = Vec::new();
    let beyond = at_percent.and_then(|p| curve.rate(p).filter(|r| r.extrapolated).map(|r| (p, r.litres_per_hour)));
    for (load_percent, rate) in curve.points().iter().copied().chain(beyond) {
        let efficiency = kilowatts(load_percent) / (rate * limits.energy.value);
        if above(efficiency, limits.overall.value) {
            out.push(Doubt::Overall { load_percent, efficiency });
        }
    }
    for pair in curve.points().windows(2) {
        let &[(from_percent, r1), (to_percent, r2)] = pair else { continue };
        let (added_kw, added_fuel_kw) = (kilowatts(to_percent - from_percent), (r2 - r1) * limits.energy.value);
        let efficiency = if added_fuel_kw > 0.0 { added_kw / added_fuel_kw } else { f64::INFINITY };
        if above(efficiency, limits.slope.value) {
            out.push(Doubt::Slope { from_percent, to_percent, efficiency });
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    fn curve(points: &[(f64, f64)]) -> FuelCurve {
        FuelCurve::new(points.to_vec()).unwrap()
    }

    /// Common practice, no source: 10.5 h with no load and 9 h at a quarter load on 2.0 L.
    fn display() -> FuelCurve {
        curve(&[(0.0, 2.0 / 10.5), (25.0, 2.0 / 9.0)])
    }

    #[test]
    fn litres_per_hour_are_straight_between_points_hours_are_not() {
        let rate = display().rate(12.5).unwrap();
        assert!((2.0 / rate.litres_per_hour - 9.692_307_7).abs() < 1e-6, "not 9.75, the middle of the hours");
        assert!(!rate.extrapolated);
        assert_eq!(display().rate(25.0).map(|r| (2.0 / r.litres_per_hour, r.extrapolated)), Some((9.0, false)));
    }

    #[test]
    fn beyond_the_points_is_marked() {
        let c = curve(&[(25.0, 0.3), (50.0, 0.5), (100.0, 1.1)]);
        let rate = |p: f64| c.rate(p).unwrap();
        assert!((rate(0.0).litres_per_hour - 0.1).abs() < 1e-12 && rate(0.0).extrapolated);
        assert!((rate(75.0).litres_per_hour - 0.8).abs() < 1e-12 && !rate(75.0).extrapolated);
        assert!((rate(110.0).litres_per_hour - 1.22).abs() < 1e-12 && rate(110.0).extrapolated);
        assert_eq!(curve(&[(50.0, 0.5)]).rate(50.0), Some(Rate { litres_per_hour: 0.5, extrapolated: false }));
        assert_eq!(curve(&[(50.0, 0.5)]).rate(40.0), None, "one point makes no line");
        assert_eq!(curve(&[(50.0, 0.2), (100.0, 0.6)]).rate(10.0), None, "the line has fallen to nothing");
    }

    /// The slope of the display's figures on a 1,600 W set is 143 % (worked by hand).
    #[test]
    fn the_display_cannot_be_right() {
        let limits = Limits::of(Fuel::Petrol);
        let found = doubts(&display(), &limits, 1600.0, Some(60.0));
        assert!(
            found.iter().any(|d| matches!(d, Doubt::Slope { efficiency, .. } if (efficiency - 1.426).abs() < 0.001)),
            "{found:?}"
        );
        assert!(found.iter().any(|d| matches!(d, Doubt::Overall { load_percent: 60.0, .. })), "{found:?}");
        let least = limits.least_rate(2.0 / 10.5, 400.0);
        assert!((least - (2.0 / 10.5 + 0.4 / (0.35 * 8.834))).abs() < 1e-12);
        assert!(2.0 / least < 6.3 && 2.0 / least > 6.2, "a quarter load lasts 6.2 h at best, not 9");
    }

    #[test]
    fn a_sound_curve_raises_no_doubt_and_equal_is_within() {
        let limits = Limits::of(Fuel::Diesel);
        let full = 4.0 / (0.40 * 9.948);
        let no_load = full - 4.0 / (0.45 * 9.948);
        assert_eq!(doubts(&curve(&[(0.0, no_load), (100.0, full)]), &limits, 4000.0, None), []);
        assert_eq!(doubts(&curve(&[(0.0, no_load), (100.0, full * 0.999)]), &limits, 4000.0, None).len(), 2);
        let flat = doubts(&curve(&[(0.0, 0.5), (25.0, 0.5)]), &limits, 4000.0, None);
        assert!(matches!(flat[..], [Doubt::Slope { efficiency, .. }] if efficiency.is_infinite()));
    }

    /// The energies are those of the published table.
    #[test]
    fn energy_per_litre_is_the_published_one() {
        let t = tables::get();
        let value = |q: &str| t.endurance(q).unwrap().value;
        assert!(
            (value("petrol_lhv") - (value("petrol_e10_lhv_low") + value("petrol_e10_lhv_high")) / 7.2).abs() < 2e-3
        );
        assert!((value("diesel_lhv") - 128_488.0 * value("btu_per_gal_to_kwh_per_l")).abs() < 1e-3);
        assert_eq!((Limits::of(Fuel::Petrol).energy.value, Limits::of(Fuel::Diesel).energy.value), (8.834, 9.948));
        assert_eq!(Limits::of(Fuel::Petrol).overall.mark, Mark::CommonPractice);
    }

    #[test]
    fn the_curve_is_that_of_the_mode_it_runs_in() {
        use crate::installation::{Mode, PartKind, Place, Point};
        let mut part = Part::new(PartKind::Generator, "G1", Place::At(Point::default()));
        assert_eq!(FuelCurve::of(&part), None);
        part.fuel_curve = vec![(25.0, 0.3)];
        part.set_data.fuel_curve_constant = vec![(25.0, 0.5)];
        for (mode, litres) in [(None, 0.3), (Some(Mode::Economy), 0.3), (Some(Mode::ConstantSpeed), 0.5)] {
            part.set_data.mode = mode;
            assert_eq!(FuelCurve::of(&part), Some(curve(&[(25.0, litres)])), "{mode:?}");
        }
        // Without points of its own that mode has the curve that is there.
        part.set_data.fuel_curve_constant.clear();
        assert_eq!(FuelCurve::of(&part), Some(curve(&[(25.0, 0.3)])));
    }
}
