//! Sizes of boxes, and the trays and compartments that a set might be put into.

use crate::units::parse_number;
use std::fmt;

/// Length, width and height in millimetres, each above 0 and at most 100,000.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Size {
    /// Millimetres along.
    pub length: f64,
    /// Millimetres across.
    pub width: f64,
    /// Millimetres up.
    pub height: f64,
}

impl Size {
    /// What would be valid, for an error message.
    pub const HINT: &'static str = "length × width × height in millimetres, such as 512x290x425";

    /// Reads `512x290x425`, `512 × 290 × 425 mm`. `None` where it is no such size.
    #[must_use]
    pub fn parse(text: &str) -> Option<Self> {
        let lower = text.trim().to_lowercase();
        let plain = lower.strip_suffix("mm").unwrap_or(&lower);
        let sides: Option<Vec<f64>> = plain
            .split(['x', '×', '*'])
            .map(|side| parse_number(side).ok().filter(|v| *v > 0.0 && *v <= 1e5))
            .collect();
        match sides?.as_slice() {
            &[length, width, height] => Some(Self { length, width, height }),
            _ => None,
        }
    }

    /// The three sides in millimetres: length, width, height.
    #[must_use]
    pub const fn sides(self) -> [f64; 3] {
        [self.length, self.width, self.height]
    }
}

impl fmt::Display for Size {
    /// `512x290x425`: the form of files.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}x{}x{}", self.length, self.width, self.height)
    }
}

/// A tray or compartment.
#[derive(Clone, Debug, PartialEq)]
pub struct Tray {
    /// Its name; not empty.
    pub name: String,
    /// Clear inner size.
    pub inner: Size,
    /// Open above: the height is no limit.
    pub open_above: bool,
}

#[cfg(test)]
mod tests {
    use super::Size;

    #[test]
    fn sizes_as_people_write_them() {
        let size = Size { length: 512.0, width: 290.5, height: 425.0 };
        for text in ["512x290.5x425", " 512 × 290,5 × 425 mm", "512X290.5X425MM"] {
            assert_eq!(Size::parse(text), Some(size), "{text}");
        }
        assert_eq!(Size::parse(&size.to_string()), Some(size));
        for text in ["", "512x290", "512x290x0", "1x2x3x4", "axbxc", "1x2x1e6"] {
            assert_eq!(Size::parse(text), None, "{text}");
        }
    }
}
