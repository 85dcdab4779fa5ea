//! NBS Handbook 100 and ASTM B258: copper and the wire gauge.

use crate::page::Source;
use hullwire::tables::{self, awg_area_mm2, awg_diameter_mm};
use hullwire::units::Mark;

/// Circular mils as the gauge's tables print them, rounded to four digits.
const CIRCULAR_MILS: [(i8, f64); 15] = [
    (18, 1620.),
    (16, 2580.),
    (14, 4110.),
    (12, 6530.),
    (10, 10_380.),
    (8, 16_510.),
    (6, 26_240.),
    (4, 41_740.),
    (3, 52_620.),
    (2, 66_360.),
    (1, 83_690.),
    (0, 105_600.),
    (-1, 133_100.),
    (-2, 167_800.),
    (-3, 211_600.),
];

/// The gauge law and the temperature law of annealed copper.
pub fn checks() -> Source {
    let mut source = Source::new(
        "NBS Handbook 100; ASTM B258",
        "Our figure is `tables::awg_area_mm2` or the quotient of two `tables::formula_ohm_per_m`.",
    );
    for (gauge, mils) in CIRCULAR_MILS {
        let ours = awg_area_mm2(gauge) / (std::f64::consts::FRAC_PI_4 * 0.0254 * 0.0254);
        let what = format!("area of gauge number {gauge}");
        source.agree("NEC (NFPA 70) chapter 9 table 8, area column", what, "cmil", mils, ours, 0.003, Mark::Read);
    }
    source.agree("ASTM B258", "diameter of 4/0", "mm", 11.684, awg_diameter_mm(-3), 1e-9, Mark::Derived);
    source.agree("ASTM B258", "diameter of 36", "mm", 0.127, awg_diameter_mm(36), 1e-9, Mark::Derived);
    let t = tables::get();
    let ratio = |c: f64| t.formula_ohm_per_m(1.0, c).unwrap() / t.formula_ohm_per_m(1.0, 20.0).unwrap();
    for (celsius, factor) in [
        (30., 1.03930),
        (40., 1.07860),
        (50., 1.11790),
        (60., 1.15720),
        (70., 1.19650),
        (75., 1.21615),
        (80., 1.23580),
        (90., 1.27510),
        (105., 1.33405),
        (125., 1.41265),
    ] {
        let what = format!("resistance at {celsius} °C over that at 20 °C");
        source.agree("temperature law, 0.00393 per kelvin", what, "", factor, ratio(celsius), 1e-6, Mark::Derived);
    }
    let metre = t.formula_ohm_per_m(1.0, 20.0).unwrap();
    source.agree("resistivity of standard copper", "1 mm², 1 m, 20 °C", "Ω", 0.017_241, metre, 1e-4, Mark::Read);
    source
}
