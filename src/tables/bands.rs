//! Trip bands of breakers: what each standard says that a breaker must hold, and when it must trip.

use super::Tables;
use super::parse::Row;
use crate::units::Mark;

/// Class of breaker by the standard that sets its band.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum BreakerClass {
    /// UL 489, thermal-magnetic. No standard gives its instantaneous band.
    Ul489,
    /// IEC 60898-1 type B.
    IecB,
    /// IEC 60898-1 type C.
    IecC,
    /// IEC 60898-1 type D.
    IecD,
}

impl BreakerClass {
    /// The standard, and the type where it has types.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Ul489 => "UL 489",
            Self::IecB => "IEC 60898-1 type B",
            Self::IecC => "IEC 60898-1 type C",
            Self::IecD => "IEC 60898-1 type D",
        }
    }

    const fn keys(self) -> (&'static str, &'static str) {
        match self {
            Self::Ul489 => ("UL 489", "magnetic"),
            Self::IecB => ("IEC 60898-1", "B"),
            Self::IecC => ("IEC 60898-1", "C"),
            Self::IecD => ("IEC 60898-1", "D"),
        }
    }
}

/// One test point of a standard: at this multiple of the rating a breaker holds, or trips, for so long.
#[derive(Clone, Debug, PartialEq)]
pub struct BandPoint {
    /// Multiple of the rated current.
    pub multiple: f64,
    /// Seconds for which it must hold, infinite where for good; `None` where the point does not say.
    pub holds_s: Option<f64>,
    /// Seconds within which it must trip; `None` where the point does not say.
    pub trips_s: Option<f64>,
    /// Standard and table.
    pub source: String,
    /// How it was come by.
    pub mark: Mark,
    /// What else the table says: ambient temperature, where editions differ.
    pub note: String,
}

/// A row of the table: a point and the ratings for which it holds.
pub(super) struct BandRow {
    standard: String,
    curve: String,
    most_a: f64,
    point: Option<BandPoint>,
}

impl BandRow {
    pub(super) fn read(row: &Row<'_>) -> Result<Self, String> {
        let (least, most) = (row.optional("time_s_min")?, row.optional("time_s_max")?);
        let times = match row.text("behaviour")? {
            "holds" => Some((Some(f64::INFINITY), None)),
            "holds at least" if least.is_some() => Some((least, None)),
            "trips within" if most.is_some() => Some((None, most)),
            "trips between" if least.is_some() && most.is_some() => Some((least, most)),
            "not standardised" => None,
            other => return Err(row.fault(&format!("“{other}” is no behaviour, or its time is missing"))),
        };
        let point = match times {
            Some((holds_s, trips_s)) => Some(BandPoint {
                multiple: row.number("multiple")?,
                holds_s,
                trips_s,
                source: row.source()?,
                mark: row.mark("mark")?,
                note: row.text("note")?.to_owned(),
            }),
            None => None,
        };
        Ok(Self {
            standard: row.text("standard")?.to_owned(),
            curve: row.text("curve")?.to_owned(),
            most_a: row.optional("rating_max_a")?.unwrap_or(f64::INFINITY),
            point,
        })
    }
}

impl Tables {
    /// The test points of a class for a rating in amperes, by rising multiple. A point is left out where its table ends
    /// below the rating; none at all is left where the standard has no such rating.
    #[must_use]
    pub fn breaker_band(&self, class: BreakerClass, rating_a: f64) -> Vec<&BandPoint> {
        let (standard, curve) = class.keys();
        let ours = |r: &&BandRow| r.standard == standard && (r.curve == "thermal" || r.curve == curve);
        let holds = |r: &&BandRow| !crate::units::above(rating_a, r.most_a);
        let mut rows: Vec<(&BandPoint, f64)> = Vec::new();
        for row in self.bands.iter().filter(ours).filter(holds) {
            let Some(point) = &row.point else { continue };
            let kind = |p: &BandPoint| (p.holds_s.is_some(), p.trips_s.is_some());
            // Rows of one point follow one another by rating: the first whose range reaches so far is the one.
            let alike = rows.iter_mut().find(|(p, _)| p.multiple == point.multiple && kind(p) == kind(point));
            match alike {
                Some(known) if row.most_a < known.1 => *known = (point, row.most_a),
                Some(_) => {}
                None => rows.push((point, row.most_a)),
            }
        }
        // Beyond the thermal table of its standard nothing is known, whatever the magnetic rows say.
        if !rows.iter().any(|(p, _)| p.trips_s.is_some_and(|s| s > 1.0)) {
            return Vec::new();
        }
        rows.sort_by(|a, b| a.0.multiple.total_cmp(&b.0.multiple));
        rows.into_iter().map(|(p, _)| p).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tables::get;
    use crate::tables::parse::{Sheet, fixture};

    fn points(class: BreakerClass, rating: f64) -> Vec<(f64, Option<f64>, Option<f64>)> {
        get().breaker_band(class, rating).iter().map(|p| (p.multiple, p.holds_s, p.trips_s)).collect()
    }

    #[test]
    fn an_iec_breaker_has_five_points() {
        let b16 = [
            (1.13, Some(3600.0), None),
            (1.45, None, Some(3600.0)),
            (2.55, Some(1.0), Some(60.0)),
            (3.0, Some(0.1), None),
            (5.0, None, Some(0.1)),
        ];
        assert_eq!(points(BreakerClass::IecB, 16.0), b16);
        assert_eq!(points(BreakerClass::IecC, 40.0)[2], (2.55, Some(1.0), Some(120.0)), "above 32 A");
        assert_eq!(points(BreakerClass::IecD, 80.0)[0], (1.13, Some(7200.0), None), "above 63 A");
        assert_eq!(points(BreakerClass::IecD, 16.0)[4], (20.0, None, Some(0.1)));
        assert_eq!(points(BreakerClass::IecC, 126.0), [], "the standard ends at 125 A");
    }

    #[test]
    fn a_us_breaker_has_three_points_and_no_instantaneous_band() {
        let inf = Some(f64::INFINITY);
        assert_eq!(
            points(BreakerClass::Ul489, 30.0),
            [(1.0, inf, None), (1.35, None, Some(3600.0)), (2.0, None, Some(120.0))]
        );
        assert_eq!(
            points(BreakerClass::Ul489, 50.0),
            [(1.0, inf, None), (1.35, None, Some(3600.0)), (2.0, None, Some(240.0))]
        );
        assert_eq!(points(BreakerClass::Ul489, 60.0)[1], (1.35, None, Some(7200.0)));
        assert_eq!(points(BreakerClass::Ul489, 400.0).len(), 2, "the 200 % row ends at 225 A");
    }

    #[test]
    fn a_behaviour_without_its_time_is_a_fault() {
        let row = |behaviour, least, most| {
            let columns = [
                ("standard", "UL 489"),
                ("curve", "thermal"),
                ("rating_max_a", ""),
                ("multiple", "2"),
                ("behaviour", behaviour),
                ("time_s_min", least),
                ("time_s_max", most),
                ("source", "S"),
                ("mark", "read"),
                ("note", "N"),
            ];
            let mut sheet = Sheet::read("t", &fixture(&columns, &[]));
            sheet.map(BandRow::read).len()
        };
        for (behaviour, least, most) in
            [("holds at least", "1", ""), ("trips within", "", "60"), ("trips between", "1", "60")]
        {
            assert_eq!(row(behaviour, least, most), 1, "{behaviour}");
        }
        for (behaviour, least, most) in [
            ("holds at least", "", "60"),
            ("trips within", "1", ""),
            ("trips between", "1", ""),
            ("trips between", "", "60"),
            ("melts", "1", "60"),
        ] {
            assert_eq!(row(behaviour, least, most), 0, "{behaviour} “{least}” “{most}”");
        }
    }

    #[test]
    fn a_class_is_named_by_its_standard() {
        assert_eq!(BreakerClass::Ul489.name(), "UL 489");
        assert_eq!(BreakerClass::IecC.name(), "IEC 60898-1 type C");
    }
}
