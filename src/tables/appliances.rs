//! Generic appliances with typical figures: a start for a drawing until the name plate is read.

use super::parse::Row;
use crate::units::Mark;

/// How a generic appliance follows the voltage; the words of the circuit list.
const LOAD_KINDS: [&str; 3] = ["power", "impedance", "motor"];

/// A generic appliance.
#[derive(Clone, Debug, PartialEq)]
pub struct Appliance {
    /// What it is.
    pub name: String,
    /// Lowest running watts.
    pub run_w_min: f64,
    /// Typical running watts; inside a published range it is our choice.
    pub run_w: f64,
    /// Highest running watts.
    pub run_w_max: f64,
    /// Typical starting watts.
    pub start_w: f64,
    /// Running power factor.
    pub pf: f64,
    /// Share of the time that it is on while switched on.
    pub duty: f64,
    /// Kind of load: `power`, `impedance` or `motor`.
    pub load_kind: String,
    /// Starts by itself.
    pub cycles: bool,
    /// Source of the running watts.
    pub source: String,
    /// How the running watts were come by.
    pub mark: Mark,
    /// How starting watts, power factor and duty were come by.
    pub start_mark: Mark,
    /// A remark; may be empty.
    pub note: String,
}

impl Appliance {
    pub(super) fn read(row: &Row<'_>) -> Result<Self, String> {
        let load_kind = row.text("load_kind")?.to_owned();
        if !LOAD_KINDS.contains(&load_kind.as_str()) {
            return Err(row.fault(&format!("“{load_kind}” is no kind of load")));
        }
        let cycles = match row.text("cycles")? {
            "yes" => true,
            "no" => false,
            other => return Err(row.fault(&format!("cycles is “{other}”, not yes or no"))),
        };
        let appliance = Self {
            name: row.text("appliance")?.to_owned(),
            run_w_min: row.number("run_w_min")?,
            run_w: row.number("run_w_typ")?,
            run_w_max: row.number("run_w_max")?,
            start_w: row.number("start_w_typ")?,
            pf: row.number("pf")?,
            duty: row.number("duty")?,
            load_kind,
            cycles,
            source: row.source()?,
            mark: row.mark("mark")?,
            start_mark: row.mark("mark_start_pf_duty")?,
            note: row.text("note")?.to_owned(),
        };
        let a = &appliance;
        let sound = 0.0 < a.run_w_min && a.run_w_min <= a.run_w && a.run_w <= a.run_w_max && a.start_w > 0.0;
        if sound && a.pf > 0.0 && a.pf <= 1.0 && (0.0..=1.0).contains(&a.duty) {
            Ok(appliance)
        } else {
            Err(row.fault("figures out of range"))
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tables::parse::{Sheet, fixture};

    const ROW: [(&str, &str); 13] = [
        ("appliance", "Kettle"),
        ("run_w_min", "1000"),
        ("run_w_typ", "1200"),
        ("run_w_max", "1500"),
        ("start_w_typ", "1200"),
        ("pf", "1"),
        ("duty", "1"),
        ("load_kind", "impedance"),
        ("cycles", "no"),
        ("source", "S"),
        ("mark", "read"),
        ("mark_start_pf_duty", "memory"),
        ("note", "N"),
    ];

    #[test]
    fn figures_of_an_appliance_that_cannot_be_are_faults() {
        for good in [("pf", "0.01"), ("duty", "0"), ("run_w_min", "1200"), ("run_w_max", "1200")] {
            assert_eq!(Sheet::read("t", &fixture(&ROW, &[good])).map(Appliance::read).len(), 1, "{good:?}");
        }
        for bad in [
            ("run_w_min", "0"),
            ("run_w_min", "-1"),
            ("run_w_min", "1201"),
            ("run_w_max", "1199"),
            ("start_w_typ", "0"),
            ("start_w_typ", "-1"),
            ("pf", "0"),
            ("pf", "-0.5"),
            ("pf", "1.01"),
            ("duty", "-0.01"),
            ("duty", "1.01"),
        ] {
            let mut sheet = Sheet::read("t", &fixture(&ROW, &[bad]));
            assert_eq!(sheet.map(Appliance::read), [], "{bad:?}");
            assert_eq!(sheet.faults, ["t line 2: figures out of range"], "{bad:?}");
        }
    }
}
