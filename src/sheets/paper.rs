//! Sheet sizes: ISO 216 and ANSI/ASME Y14.1, from `assets/tables/sheet_sizes.csv`, and the border of ISO 5457.

use crate::installation::{Point, Rect};
use std::sync::OnceLock;

/// The published sizes, each with source and mark.
const SIZES: &str = include_str!("../../assets/tables/sheet_sizes.csv");
/// Width of the edge at the left, where sheets are filed, in millimetres (ISO 5457, from memory).
const FILING_EDGE: f64 = 20.0;
/// Width of the other edges, in millimetres (ISO 5457, from memory).
const EDGE: f64 = 10.0;
/// Length that a field of the grid references comes closest to, in millimetres (ISO 5457, from memory).
const FIELD: f64 = 50.0;

/// A sheet size.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Size {
    /// 210 × 297 mm.
    A4,
    /// 297 × 420 mm.
    #[default]
    A3,
    /// 8.5 × 11 in.
    Letter,
    /// 11 × 17 in.
    Tabloid,
}

impl Size {
    /// All of them.
    pub const ALL: [Self; 4] = [Self::A4, Self::A3, Self::Letter, Self::Tabloid];

    /// Name on screen and paper.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::A4 => "A4",
            Self::A3 => "A3",
            Self::Letter => "Letter",
            Self::Tabloid => "Tabloid",
        }
    }

    /// The size of this name, upper or lower case.
    #[must_use]
    pub fn parse(text: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|s| s.name().eq_ignore_ascii_case(text.trim()))
    }

    /// The row of the published table.
    const fn row(self) -> &'static str {
        match self {
            Self::A4 => "A4",
            Self::A3 => "A3",
            Self::Letter => "ANSI A (letter)",
            Self::Tabloid => "ANSI B (tabloid)",
        }
    }

    /// Short and long side in millimetres.
    #[must_use]
    pub fn sides(self) -> (f64, f64) {
        static SIDES: OnceLock<Vec<(String, f64, f64)>> = OnceLock::new();
        let all = SIDES.get_or_init(|| {
            let mut reader = csv::Reader::from_reader(SIZES.as_bytes());
            let row =
                |r: csv::StringRecord| Some((r.get(0)?.to_owned(), r.get(1)?.parse().ok()?, r.get(2)?.parse().ok()?));
            reader.records().filter_map(|r| row(r.ok()?)).collect()
        });
        // The table is part of the program; a test holds that all sizes are in it.
        all.iter().find(|(name, ..)| name == self.row()).map_or((0.0, 0.0), |(_, short, long)| (*short, *long))
    }
}

/// Which side is up.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Orientation {
    /// The long side lies.
    #[default]
    Landscape,
    /// The long side stands.
    Portrait,
}

impl Orientation {
    /// Both.
    pub const ALL: [Self; 2] = [Self::Landscape, Self::Portrait];

    /// Name on screen and in options.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Landscape => "landscape",
            Self::Portrait => "portrait",
        }
    }
}

/// A sheet of paper with its border.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Paper {
    /// Size.
    pub size: Size,
    /// Which side is up.
    pub orientation: Orientation,
}

impl Paper {
    /// A sheet as it usually lies: the small sizes stand, the large ones lie (ISO 5457, from memory).
    #[must_use]
    pub const fn usual(size: Size) -> Self {
        let orientation = match size {
            Size::A4 | Size::Letter => Orientation::Portrait,
            Size::A3 | Size::Tabloid => Orientation::Landscape,
        };
        Self { size, orientation }
    }

    /// Width in millimetres.
    #[must_use]
    pub fn width(self) -> f64 {
        let (short, long) = self.size.sides();
        if self.orientation == Orientation::Landscape { long } else { short }
    }

    /// Height in millimetres.
    #[must_use]
    pub fn height(self) -> f64 {
        let (short, long) = self.size.sides();
        if self.orientation == Orientation::Landscape { short } else { long }
    }

    /// All of the sheet.
    #[must_use]
    pub fn whole(self) -> Rect {
        Rect::between(Point::default(), Point::new(self.width(), self.height()))
    }

    /// What lies inside the border.
    #[must_use]
    pub fn inside(self) -> Rect {
        let corner = Point::new(self.width() - EDGE, self.height() - EDGE);
        Rect::between(Point::new(FILING_EDGE, EDGE), corner)
    }

    /// Columns and rows of the grid references: even numbers of fields of about 50 mm.
    #[must_use]
    pub fn fields(self) -> (usize, usize) {
        let even = |side: f64| ((side / FIELD / 2.0).round().max(1.0) as usize) * 2;
        (even(self.width()), even(self.height()))
    }

    /// The grid reference of a point: `B4`. Letters count rows from the top, figures columns from the left.
    #[must_use]
    pub fn zone(self, at: Point) -> String {
        let (columns, rows) = self.fields();
        let inside = self.inside();
        let index = |v: f64, from: f64, to: f64, n: usize| {
            (((v - from) / (to - from) * n as f64).floor().max(0.0) as usize).min(n.saturating_sub(1))
        };
        let column = index(at.x, inside.min.x, inside.max.x, columns);
        let row = index(at.y, inside.min.y, inside.max.y, rows);
        format!("{}{}", row_letter(row), column + 1)
    }
}

/// The letter of a row: A, B … without I and O.
#[must_use]
pub fn row_letter(row: usize) -> char {
    const LETTERS: [char; 24] = [
        'A', 'B', 'C', 'D', 'E', 'F', 'G', 'H', 'J', 'K', 'L', 'M', 'N', 'P', 'Q', 'R', 'S', 'T', 'U', 'V', 'W', 'X',
        'Y', 'Z',
    ];
    LETTERS.get(row).copied().unwrap_or('Z')
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_size_is_in_the_table() {
        assert_eq!(Size::A4.sides(), (210.0, 297.0));
        assert_eq!(Size::A3.sides(), (297.0, 420.0));
        assert_eq!(Size::Letter.sides(), (215.9, 279.4));
        assert_eq!(Size::Tabloid.sides(), (279.4, 431.8));
        for size in Size::ALL {
            assert_eq!(Size::parse(&size.name().to_lowercase()), Some(size));
        }
    }

    #[test]
    fn grid_references_count_from_the_upper_left_corner() {
        let paper = Paper { size: Size::A3, orientation: Orientation::Landscape };
        assert_eq!(paper.fields(), (8, 6));
        assert_eq!(paper.zone(Point::new(21.0, 11.0)), "A1");
        assert_eq!(paper.zone(Point::new(409.0, 286.0)), "F8");
        assert_eq!(paper.zone(Point::new(-5.0, 5000.0)), "F1");
        assert_eq!(Paper { size: Size::A4, orientation: Orientation::Portrait }.fields(), (4, 6));
    }
}
