//! Published tables, read from `assets/tables` into the program and checked once; each figure with its source and mark.
//!
//! What lives here: conductor resistance and reactance, ampacities with their corrections, standard ratings, residual
//! devices, generic appliances. What must not: any rule, any knowledge of parts, files, clocks or windows. A lookup
//! that finds nothing gives `None`; it never takes a neighbour's figure in silence.

mod appliances;
mod bands;
mod colours;
mod motors;
mod parse;
mod provenance;
mod residual;

pub use appliances::Appliance;
pub use bands::{BandPoint, BreakerClass};
pub use colours::{ConductorColour, Practice, Role};
pub use motors::{CodeLetter, Motor};
pub use provenance::Provenance;
pub use residual::ResidualDevice;

use crate::units::Mark;
use parse::Sheet;
use std::sync::OnceLock;

/// Ohm per 1000 ft to ohm per metre: 1 ft = 0.3048 m exactly.
const KFT_TO_M: f64 = 3.280_839_895e-3;

/// A published figure.
#[derive(Clone, Debug, PartialEq)]
pub struct Figure {
    /// The value, in the unit that the lookup names.
    pub value: f64,
    /// Standard and clause or table.
    pub source: String,
    /// How it was come by.
    pub mark: Mark,
}

/// Which bundling factors.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Bundling {
    /// 33 CFR 183.435(b).
    Cfr33,
    /// ISO 13297 annex A, from memory.
    Iso13297,
}

/// Which series of standard breaker ratings.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Series {
    /// NEC 240.6(A).
    Us,
    /// IEC 60898-1.
    Iec,
}

/// A row of an ampacity table: one size, a figure for each insulation temperature.
struct AmpacityRow<K> {
    size: K,
    amps: Vec<(u16, Figure)>,
}

struct BundlingRow {
    set: Bundling,
    least: u16,
    most: Option<u16>,
    factor: Figure,
}

/// All tables.
pub struct Tables {
    awg_resistance: Vec<(i8, Figure)>,
    awg_reactance: Vec<(i8, Figure)>,
    mm2_resistance: Vec<(f64, Figure)>,
    ampacity_33cfr: Vec<AmpacityRow<i8>>,
    ampacity_iso: Vec<AmpacityRow<f64>>,
    engine_space: Vec<(u16, Figure)>,
    bundling: Vec<BundlingRow>,
    breakers: Vec<(Series, Figure)>,
    residual: Vec<ResidualDevice>,
    small_conductors: Vec<(i8, Figure)>,
    constants: Vec<(String, Figure)>,
    endurance: Vec<(String, Figure)>,
    noise: Vec<(String, Figure)>,
    appliances: Vec<Appliance>,
    colours: Vec<ConductorColour>,
    bands: Vec<bands::BandRow>,
    motors: Vec<Motor>,
    code_letters: Vec<CodeLetter>,
    faults: Vec<String>,
}

/// The tables, read and checked at the first call.
#[must_use]
pub fn get() -> &'static Tables {
    static TABLES: OnceLock<Tables> = OnceLock::new();
    TABLES.get_or_init(Tables::read)
}

macro_rules! sheet {
    ($name:literal) => {
        Sheet::read($name, include_str!(concat!("../../assets/tables/", $name, ".csv")))
    };
}

/// Insulation columns of 33 CFR 183.425 table 5.
const CFR_COLUMNS: [(u16, &str); 7] =
    [(60, "a_60c"), (75, "a_75c"), (80, "a_80c"), (90, "a_90c"), (105, "a_105c"), (125, "a_125c"), (200, "a_200c")];
/// Insulation columns of ISO 13297 annex A; 90 stands for 85 to 90.
const ISO_COLUMNS: [(u16, &str); 6] =
    [(60, "a_60c"), (70, "a_70c"), (90, "a_90c"), (105, "a_105c"), (125, "a_125c"), (200, "a_200c")];

fn columns(row: &parse::Row<'_>, columns: &[(u16, &str)]) -> Result<Vec<(u16, Figure)>, String> {
    columns.iter().map(|&(c, name)| row.figure(name).map(|f| (c, f))).collect()
}

fn whole(value: f64) -> u16 {
    value.clamp(0.0, f64::from(u16::MAX)) as u16
}

impl Tables {
    fn read() -> Self {
        let mut faults = Vec::new();
        let mut take = |sheet: Sheet| faults.extend(sheet.faults);

        let mut sheet = sheet!("awg_resistance");
        let awg_resistance = sheet.map(|r| Ok((r.awg()?, r.figure("ohm_per_kft_75c")?)));
        take(sheet);
        let mut sheet = sheet!("awg_reactance");
        let awg_reactance = sheet.map(|r| Ok((r.awg()?, r.figure("ohm_per_kft_60hz")?)));
        take(sheet);
        let mut sheet = sheet!("mm2_resistance");
        let mm2_resistance = sheet.map(|r| Ok((r.number("area_mm2")?, r.figure("ohm_per_km_20c")?)));
        take(sheet);
        let mut sheet = sheet!("ampacity_33cfr");
        let ampacity_33cfr = sheet.map(|r| Ok(AmpacityRow { size: r.awg()?, amps: columns(r, &CFR_COLUMNS)? }));
        take(sheet);
        let mut sheet = sheet!("ampacity_iso13297");
        let ampacity_iso =
            sheet.map(|r| Ok(AmpacityRow { size: r.number("area_mm2")?, amps: columns(r, &ISO_COLUMNS)? }));
        take(sheet);
        let mut sheet = sheet!("engine_space_factors");
        let engine_space = sheet.map(|r| Ok((whole(r.number("insulation_c")?), r.figure("factor")?)));
        take(sheet);
        let mut sheet = sheet!("bundling_factors");
        let bundling = sheet.map(|r| {
            let set = match r.text("set")? {
                "33cfr" => Bundling::Cfr33,
                "iso13297" => Bundling::Iso13297,
                other => return Err(r.fault(&format!("“{other}” is no set of factors"))),
            };
            let least = whole(r.number("conductors_min")?);
            let most = r.optional("conductors_max")?.map(whole);
            Ok(BundlingRow { set, least, most, factor: r.figure("factor")? })
        });
        take(sheet);
        let mut sheet = sheet!("standard_breaker_sizes");
        let breakers = sheet.map(|r| {
            let series = match r.text("series")? {
                "us" => Series::Us,
                "iec" => Series::Iec,
                other => return Err(r.fault(&format!("“{other}” is no series"))),
            };
            Ok((series, r.figure("amps")?))
        });
        take(sheet);
        let mut sheet = sheet!("residual_devices");
        let residual = sheet.map(ResidualDevice::read);
        take(sheet);
        let mut sheet = sheet!("small_conductor_limits");
        let small_conductors = sheet.map(|r| Ok((r.awg()?, r.figure("max_overcurrent_a")?)));
        take(sheet);
        let mut sheet = sheet!("constants");
        let constants = sheet.map(|r| Ok((r.text("quantity")?.to_owned(), r.figure("value")?)));
        take(sheet);
        let mut sheet = sheet!("endurance");
        let endurance = sheet.map(|r| Ok((r.text("quantity")?.to_owned(), r.figure("value")?)));
        take(sheet);
        let mut sheet = sheet!("noise");
        let noise = sheet.map(|r| Ok((r.text("quantity")?.to_owned(), r.figure("value")?)));
        take(sheet);
        let mut sheet = sheet!("appliance_loads");
        let appliances = sheet.map(Appliance::read);
        take(sheet);
        let mut sheet = sheet!("conductor_colours");
        let colours = sheet.map(ConductorColour::read);
        take(sheet);
        let mut sheet = sheet!("breaker_bands");
        let bands = sheet.map(bands::BandRow::read);
        take(sheet);
        let mut sheet = sheet!("motor_currents");
        let motors = sheet.map(Motor::read);
        take(sheet);
        let mut sheet = sheet!("motor_code_letters");
        let code_letters = sheet.map(CodeLetter::read);
        take(sheet);

        Self {
            awg_resistance,
            awg_reactance,
            mm2_resistance,
            ampacity_33cfr,
            ampacity_iso,
            engine_space,
            bundling,
            breakers,
            residual,
            small_conductors,
            constants,
            endurance,
            noise,
            appliances,
            colours,
            bands,
            motors,
            code_letters,
            faults,
        }
    }

    /// What is malformed in the tables: none, which a test holds.
    #[must_use]
    pub fn faults(&self) -> &[String] {
        &self.faults
    }

    /// Single-phase motors, smallest first, each at four voltages.
    #[must_use]
    pub fn motors(&self) -> &[Motor] {
        &self.motors
    }

    /// Code letters of motors, in order.
    #[must_use]
    pub fn code_letters(&self) -> &[CodeLetter] {
        &self.code_letters
    }

    /// Resistance of a stranded, coated conductor at 75 °C, ohm per 1000 ft.
    #[must_use]
    pub fn awg_resistance(&self, gauge: i8) -> Option<&Figure> {
        find(&self.awg_resistance, &gauge)
    }

    /// Reactance to neutral at 60 Hz in PVC conduit, ohm per 1000 ft; the gauge whose row it is stands beside. A gauge
    /// thinner than the table takes the thinnest row.
    #[must_use]
    pub fn awg_reactance(&self, gauge: i8) -> Option<(i8, &Figure)> {
        self.awg_reactance.iter().filter(|(n, _)| *n <= gauge).max_by_key(|(n, _)| *n).map(|(n, f)| (*n, f))
    }

    /// Greatest resistance of a class 5 metal-coated conductor at 20 °C, ohm per km.
    #[must_use]
    pub fn mm2_resistance(&self, area_mm2: f64) -> Option<&Figure> {
        find(&self.mm2_resistance, &area_mm2)
    }

    /// Resistance of one AWG conductor in ohm per metre at a working temperature: NEC chapter 9 table 8, stranded,
    /// coated, with the coefficient that belongs to 75 °C: R = R75 (1 + 0.00323 (T − 75)).
    #[must_use]
    pub fn awg_ohm_per_m(&self, gauge: i8, working_c: f64) -> Option<f64> {
        let alpha = self.constant("alpha75_copper_nec")?.value;
        Some(self.awg_resistance(gauge)?.value * KFT_TO_M * (1.0 + alpha * (working_c - 75.0)))
    }

    /// Reactance of one AWG conductor in ohm per metre, in proportion to frequency from the 60 Hz of the table.
    #[must_use]
    pub fn awg_reactance_ohm_per_m(&self, gauge: i8, frequency_hz: f64) -> Option<f64> {
        Some(self.awg_reactance(gauge)?.1.value * KFT_TO_M * frequency_hz / 60.0)
    }

    /// Resistance of one mm² conductor in ohm per metre at a working temperature: IEC 60228 class 5, metal-coated, with
    /// the coefficient that belongs to 20 °C: R = R20 (1 + 0.00393 (T − 20)).
    #[must_use]
    pub fn mm2_ohm_per_m(&self, area_mm2: f64, working_c: f64) -> Option<f64> {
        let alpha = self.constant("alpha20_copper")?.value;
        Some(self.mm2_resistance(area_mm2)?.value * 1e-3 * (1.0 + alpha * (working_c - 20.0)))
    }

    /// Reactance of one mm² conductor in ohm per metre: 0.08 mΩ/m, at any frequency.
    #[must_use]
    pub fn mm2_reactance_ohm_per_m(&self) -> Option<f64> {
        Some(self.constant("lambda_iec60364")?.value * 1e-3)
    }

    /// Resistance of a round solid copper conductor in ohm per metre: 1.7241e-8 Ω·m at 20 °C, linear with 0.00393/K.
    #[must_use]
    pub fn formula_ohm_per_m(&self, area_mm2: f64, working_c: f64) -> Option<f64> {
        let rho = self.constant("rho20_copper_iacs")?.value;
        let alpha = self.constant("alpha20_copper")?.value;
        (area_mm2 > 0.0).then(|| rho / area_mm2 * (1.0 + alpha * (working_c - 20.0)))
    }

    /// Amperes by 33 CFR 183.425 table 5; insulation must be one of its columns.
    #[must_use]
    pub fn ampacity_33cfr(&self, gauge: i8, column_c: u16) -> Option<&Figure> {
        let row = self.ampacity_33cfr.iter().find(|r| r.size == gauge)?;
        find(&row.amps, &column_c)
    }

    /// Amperes by ISO 13297 annex A, from memory; insulation must be one of its columns.
    #[must_use]
    pub fn ampacity_iso13297(&self, area_mm2: f64, column_c: u16) -> Option<&Figure> {
        let row = self.ampacity_iso.iter().find(|r| r.size == area_mm2)?;
        find(&row.amps, &column_c)
    }

    /// The thickest gauge that is not thicker than an area, among those of 33 CFR 183.425 table 5.
    #[must_use]
    pub fn gauge_not_above(&self, area_mm2: f64) -> Option<i8> {
        self.ampacity_33cfr.iter().map(|r| r.size).filter(|&n| awg_area_mm2(n) <= area_mm2).min()
    }

    /// The largest area of ISO 13297 annex A that is not above an area.
    #[must_use]
    pub fn area_not_above(&self, area_mm2: f64) -> Option<f64> {
        self.ampacity_iso.iter().map(|r| r.size).filter(|&a| a <= area_mm2).max_by(f64::total_cmp)
    }

    /// Factor on the ampacity in an engine space, by insulation: a row of note 1 of table 5 of 33 CFR 183.425.
    #[must_use]
    pub fn engine_space_factor(&self, insulation_c: u16) -> Option<&Figure> {
        find(&self.engine_space, &insulation_c)
    }

    /// Factor on the ampacity by the number of current-carrying conductors in the bundle.
    #[must_use]
    pub fn bundling_factor(&self, set: Bundling, conductors: u16) -> Option<&Figure> {
        self.bundling
            .iter()
            .find(|r| r.set == set && r.least <= conductors && r.most.is_none_or(|m| conductors <= m))
            .map(|r| &r.factor)
    }

    /// Standard breaker ratings in amperes, ascending.
    pub fn standard_ratings(&self, series: Series) -> impl Iterator<Item = &Figure> {
        self.breakers.iter().filter(move |(s, _)| *s == series).map(|(_, f)| f)
    }

    /// The smallest standard rating that is not below these amperes.
    #[must_use]
    pub fn next_rating(&self, series: Series, amps: f64) -> Option<&Figure> {
        self.standard_ratings(series).find(|f| !crate::units::below(f.value, amps))
    }

    /// The largest standard rating that is not above these amperes.
    #[must_use]
    pub fn rating_not_above(&self, series: Series, amps: f64) -> Option<&Figure> {
        self.standard_ratings(series).filter(|f| !crate::units::above(f.value, amps)).last()
    }

    /// Residual-current devices as published.
    #[must_use]
    pub fn residual_devices(&self) -> &[ResidualDevice] {
        &self.residual
    }

    /// Largest overcurrent device on a small conductor by NEC 240.4(D); `None` where that has no limit.
    #[must_use]
    pub fn small_conductor_limit(&self, gauge: i8) -> Option<&Figure> {
        find(&self.small_conductors, &gauge)
    }

    /// A constant of the conductor formulae: `rho20_copper_iacs` (Ω·mm²/m), `alpha20_copper` and `alpha75_copper_nec`
    /// (1/K), `lambda_iec60364` (mΩ/m).
    #[must_use]
    pub fn constant(&self, quantity: &str) -> Option<&Figure> {
        self.constants.iter().find(|(q, _)| q == quantity).map(|(_, f)| f)
    }

    /// A figure of fuel and engines: `petrol_lhv`, `diesel_lhv` (kWh per litre), `petrol_overall_limit`,
    /// `petrol_slope_limit` and the same of diesel (electric energy out over fuel energy in).
    #[must_use]
    pub fn endurance(&self, quantity: &str) -> Option<&Figure> {
        self.endurance.iter().find(|(q, _)| q == quantity).map(|(_, f)| f)
    }

    /// A figure of sound: `park_limit` (dB(A) at 15.24 m), `quiet_anchorage_night` (dB(A)), `per_doubling` (dB).
    #[must_use]
    pub fn noise(&self, quantity: &str) -> Option<&Figure> {
        self.noise.iter().find(|(q, _)| q == quantity).map(|(_, f)| f)
    }

    /// Generic appliances with typical figures.
    #[must_use]
    pub fn appliances(&self) -> &[Appliance] {
        &self.appliances
    }
}

fn find<'a, K: PartialEq>(rows: &'a [(K, Figure)], key: &K) -> Option<&'a Figure> {
    rows.iter().find(|(k, _)| k == key).map(|(_, f)| f)
}

/// Diameter of a gauge in mm: 0.127 × 92^((36−n)/39) (ASTM B258); 1/0 is 0, 4/0 is −3.
#[must_use]
pub fn awg_diameter_mm(gauge: i8) -> f64 {
    0.127 * 92f64.powf((36.0 - f64::from(gauge)) / 39.0)
}

/// Round area of a gauge in mm².
#[must_use]
pub fn awg_area_mm2(gauge: i8) -> f64 {
    std::f64::consts::FRAC_PI_4 * awg_diameter_mm(gauge).powi(2)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The gauges and areas that a drawing can name.
    const AWG: [i8; 15] = [18, 16, 14, 12, 10, 8, 6, 4, 3, 2, 1, 0, -1, -2, -3];
    const MM2: [f64; 15] = [0.5, 0.75, 1.0, 1.5, 2.5, 4.0, 6.0, 10.0, 16.0, 25.0, 35.0, 50.0, 70.0, 95.0, 120.0];

    #[test]
    fn the_tables_are_whole() {
        let t = get();
        assert_eq!(t.faults(), &[] as &[String]);
        for n in AWG {
            assert!(t.awg_resistance(n).is_some() && t.awg_reactance(n).is_some(), "{n}");
            for (c, _) in CFR_COLUMNS {
                assert!(t.ampacity_33cfr(n, c).is_some_and(|f| f.value > 0.0), "{n} {c}");
            }
        }
        for a in MM2 {
            assert!(t.mm2_resistance(a).is_some(), "{a}");
            for (c, _) in ISO_COLUMNS {
                assert_eq!(t.ampacity_iso13297(a, c).is_some(), a >= 0.75, "{a} {c}");
            }
        }
        for (c, _) in CFR_COLUMNS {
            assert!(t.engine_space_factor(c).is_some(), "{c}");
        }
        for quantity in ["rho20_copper_iacs", "alpha20_copper", "alpha75_copper_nec", "lambda_iec60364"] {
            assert!(t.constant(quantity).is_some(), "{quantity}");
        }
        for set in [Bundling::Cfr33, Bundling::Iso13297] {
            for n in [1, 2, 3, 4, 6, 7, 24, 25, 999] {
                assert!(t.bundling_factor(set, n).is_some(), "{set:?} {n}");
            }
        }
        for what in ["lhv", "overall_limit", "slope_limit"] {
            for fuel in ["petrol", "diesel"] {
                assert!(t.endurance(&format!("{fuel}_{what}")).is_some_and(|f| f.value > 0.0), "{fuel} {what}");
            }
        }
        assert!(["park_limit", "quiet_anchorage_night", "per_doubling"].iter().all(|q| t.noise(q).is_some()));
        assert_eq!(t.appliances().len(), 48);
        assert_eq!(t.residual_devices().len(), 8);
    }

    #[test]
    fn a_malformed_table_is_named() {
        let mut sheet =
            Sheet::read("t", "awg,v,source,mark\n12,x,S,read\nabc,1,S,read\n10,1,,read\n8,1,S,seen\n6,1,S,read\n");
        let rows = sheet.map(|r| Ok((r.awg()?, r.figure("v")?)));
        assert_eq!(rows.len(), 1);
        assert_eq!(sheet.faults.len(), 4, "{:?}", sheet.faults);
        assert!(sheet.faults.iter().any(|f| f.contains("line 2") && f.contains("“x”")));
    }

    #[test]
    fn resistance_falls_and_ampacity_rises_with_size() {
        let t = get();
        for pair in AWG.windows(2) {
            assert!(t.awg_ohm_per_m(pair[0], 75.0) > t.awg_ohm_per_m(pair[1], 75.0));
            assert!(t.ampacity_33cfr(pair[0], 75).map(|f| f.value) < t.ampacity_33cfr(pair[1], 75).map(|f| f.value));
        }
        for pair in MM2.windows(2) {
            assert!(t.mm2_ohm_per_m(pair[0], 70.0) > t.mm2_ohm_per_m(pair[1], 70.0));
        }
        let ratings: Vec<f64> = t.standard_ratings(Series::Us).map(|f| f.value).collect();
        assert!(ratings.is_sorted());
    }

    #[test]
    fn sizes_step_down_never_up() {
        let t = get();
        assert_eq!(t.gauge_not_above(2.5), Some(14));
        assert_eq!(t.gauge_not_above(4.0), Some(12));
        assert_eq!(t.gauge_not_above(0.75), None);
        assert_eq!(t.gauge_not_above(120.0), Some(-3));
        assert_eq!(t.area_not_above(awg_area_mm2(12)), Some(2.5));
        assert_eq!(t.area_not_above(awg_area_mm2(18)), Some(0.75));
        assert_eq!(t.area_not_above(0.5), None);
    }

    #[test]
    fn standard_ratings_equal_is_within() {
        let t = get();
        assert_eq!(t.next_rating(Series::Us, 45.0).map(|f| f.value), Some(45.0));
        assert_eq!(t.next_rating(Series::Us, 38.25).map(|f| f.value), Some(40.0));
        assert_eq!(t.rating_not_above(Series::Us, 38.25).map(|f| f.value), Some(35.0));
        assert_eq!(t.rating_not_above(Series::Us, 5.8), None);
        assert_eq!(t.next_rating(Series::Iec, 16.1).map(|f| f.value), Some(20.0));
    }

    #[test]
    fn thin_gauges_take_the_thinnest_row_of_reactance() {
        assert_eq!(get().awg_reactance(18).map(|(n, f)| (n, f.value)), Some((14, 0.058)));
        assert_eq!(get().awg_reactance(12).map(|(n, f)| (n, f.value)), Some((12, 0.054)));
    }

    #[test]
    fn small_conductors_are_limited_as_printed() {
        // NEC 240.4(D)(3), (5) and (7), as common reprints have it; from memory.
        let of = |gauge| get().small_conductor_limit(gauge).map(|f| f.value);
        assert_eq!([of(14), of(12), of(10), of(8)], [Some(15.0), Some(20.0), Some(30.0), None]);
    }

    #[test]
    fn no_area_has_no_ohms() {
        assert_eq!(get().formula_ohm_per_m(0.0, 20.0), None);
        // 1 mm² of annealed copper: 1/58 Ω over a metre (IEC 60028).
        assert!(get().formula_ohm_per_m(1.0, 20.0).is_some_and(|ohms| (ohms - 1.0 / 58.0).abs() < 2e-6));
    }

    #[test]
    fn what_is_wrong_with_a_table_is_told() {
        let tables = Tables { faults: vec!["t line 2: no".to_owned()], ..Tables::read() };
        assert_eq!(tables.faults(), ["t line 2: no"]);
    }

    #[test]
    fn bundles_are_those_of_their_rule_set() {
        // 33 CFR 183.425 table 5 note 2: three conductors 0.7, four to six 0.6. ISO 13297 annex A, from memory: 0.7 from four.
        let of = |set, n| get().bundling_factor(set, n).map(|f| f.value);
        assert_eq!([2, 3, 4].map(|n| of(Bundling::Cfr33, n)), [Some(1.0), Some(0.7), Some(0.6)]);
        assert_eq!([2, 3, 4].map(|n| of(Bundling::Iso13297, n)), [Some(1.0), Some(1.0), Some(0.7)]);
        assert_eq!([24, 25].map(|n| of(Bundling::Iso13297, n)), [Some(0.6), Some(0.5)]);
    }
}
