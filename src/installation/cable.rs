//! Cables and conductor sizes.

use super::document::{Extra, SpaceKind};
use super::ids::PartId;
use super::part::Origin;
use super::property::Property;
use super::record::Status;
use super::system::System;
use std::collections::BTreeMap;
use std::fmt;

/// Insulation temperature ratings that can be named, in degrees Celsius.
pub const INSULATIONS_C: [u16; 9] = [60, 70, 75, 80, 85, 90, 105, 125, 200];

/// A standard conductor size.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub enum Size {
    /// American wire gauge; 1/0 is 0, 2/0 is −1, 3/0 is −2, 4/0 is −3.
    Awg(i8),
    /// Nominal area in mm².
    Mm2(f64),
}

impl Size {
    /// The gauges that can be named, thin to thick.
    pub const AWG: [i8; 15] = [18, 16, 14, 12, 10, 8, 6, 4, 3, 2, 1, 0, -1, -2, -3];
    /// The areas that can be named in mm², thin to thick.
    pub const MM2: [f64; 15] = [0.5, 0.75, 1.0, 1.5, 2.5, 4.0, 6.0, 10.0, 16.0, 25.0, 35.0, 50.0, 70.0, 95.0, 120.0];

    /// Reads `12 AWG`, `4/0 AWG`, `2.5 mm2`, `2.5 mm²`. `None` where it is no standard size.
    #[must_use]
    pub fn parse(text: &str) -> Option<Self> {
        let lower = text.trim().to_lowercase().replace(',', ".");
        if let Some(gauge) = lower.strip_suffix("awg") {
            let gauge = gauge.trim().trim_start_matches('#');
            let n = match gauge {
                "1/0" => 0,
                "2/0" => -1,
                "3/0" => -2,
                "4/0" => -3,
                _ => gauge.parse::<u8>().ok().filter(|&n| n > 0 && n <= 40).map(|n| n as i8)?,
            };
            return Self::AWG.contains(&n).then_some(Self::Awg(n));
        }
        let area =
            lower.strip_suffix("mm2").or_else(|| lower.strip_suffix("mm²")).or_else(|| lower.strip_suffix("mm^2"))?;
        let area: f64 = area.trim().parse().ok()?;
        Self::MM2.contains(&area).then_some(Self::Mm2(area))
    }

    /// What would be valid, for an error message.
    #[must_use]
    pub fn hint() -> String {
        "a standard size: 18, 16, 14, 12, 10, 8, 6, 4, 3, 2, 1, 1/0, 2/0, 3/0, 4/0 AWG, or 0.5, 0.75, 1, 1.5, 2.5, 4, 6, 10, 16, 25, 35, 50, 70, 95, 120 mm2".to_owned()
    }

    /// The next thicker standard size of the same series.
    #[must_use]
    pub fn next_thicker(self) -> Option<Self> {
        match self {
            Self::Awg(n) => {
                Self::AWG.iter().position(|&a| a == n).and_then(|i| Self::AWG.get(i + 1)).map(|&n| Self::Awg(n))
            }
            Self::Mm2(a) => Self::MM2.iter().copied().find(|&b| b > a).map(Self::Mm2),
        }
    }
}

impl fmt::Display for Size {
    /// `12 AWG`, `1/0 AWG`, `2.5 mm2` (the form of the circuit list; screens replace `mm2` by `mm²`).
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match *self {
            Self::Awg(n) if n > 0 => write!(f, "{n} AWG"),
            Self::Awg(n) => write!(f, "{}/0 AWG", 1 - n),
            Self::Mm2(a) => write!(f, "{a} mm2"),
        }
    }
}

/// The conductor of a cable.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub enum Conductor {
    /// There is no cable: the part is bolted on or plugged in.
    None,
    /// There is a cable of a size that is not known.
    #[default]
    Unknown,
    /// There is a cable of this size.
    Size(Size),
}

/// What is known of a cable or a shore cord.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct CableData {
    /// Size, none, or not known.
    pub conductor: Conductor,
    /// Length one way in metres, ≥ 0; `None` is not known (and of no matter where there is no cable).
    pub length_m: Option<f64>,
    /// Insulation rating in °C, one of [`INSULATIONS_C`]; `None` takes the system's usual, see [`Self::insulation_c`].
    pub insulation_c: Option<u16>,
    /// Current-carrying conductors in the bundle, this cable's own included, ≥ 1; `None`: its own alone (2, or 3 for a
    /// three-wire cable).
    pub bundled: Option<u16>,
    /// In a sheath or enclosure.
    pub sheathed: bool,
    /// A further space that it passes.
    pub through: Option<SpaceKind>,
}

impl CableData {
    /// See [`Self::none`].
    pub const NONE: Self = Self {
        conductor: Conductor::None,
        length_m: None,
        insulation_c: None,
        bundled: None,
        sheathed: true,
        through: None,
    };

    /// Where nothing is fitted: bolted on.
    #[must_use]
    pub const fn none() -> Self {
        Self::NONE
    }

    /// A cable of which nothing is known yet.
    #[must_use]
    pub fn unknown() -> Self {
        Self { sheathed: true, ..Self::default() }
    }

    /// Insulation rating in °C, the default of the contract included: 75 at 60 Hz, 70 at 50 Hz.
    #[must_use]
    pub fn insulation_c(&self, system: System) -> u16 {
        self.insulation_c.unwrap_or(if system.frequency_hz() < 55.0 { 70 } else { 75 })
    }

    /// The size, where there is a cable and its size is known.
    #[must_use]
    pub fn size(&self) -> Option<Size> {
        match self.conductor {
            Conductor::Size(size) => Some(size),
            Conductor::None | Conductor::Unknown => None,
        }
    }

    /// False where the part is bolted on.
    #[must_use]
    pub fn is_fitted(&self) -> bool {
        self.conductor != Conductor::None
    }

    /// True where size and length are known, or there is no cable.
    #[must_use]
    pub fn is_known(&self) -> bool {
        !self.is_fitted() || (self.size().is_some() && self.length_m.is_some())
    }
}

/// What joins two parts. Current flows from `from` (upstream) to `to` (downstream).
#[derive(Clone, Debug, PartialEq)]
pub struct Cable {
    /// Reference designation (`W3`); empty where none was given.
    pub tag: String,
    /// The part upstream.
    pub from: PartId,
    /// The part downstream.
    pub to: PartId,
    /// What it is made of.
    pub data: CableData,
    /// Whether it stands, comes or goes.
    pub status: Status,
    /// Where each value comes from; a property that is missing here is stated without origin.
    pub origins: BTreeMap<Property, Origin>,
    /// Fields of the file that this version does not know, kept.
    pub extra: Extra,
}

impl Cable {
    /// A cable between two parts of which nothing is known yet.
    #[must_use]
    pub fn between(from: PartId, to: PartId) -> Self {
        Self {
            tag: String::new(),
            from,
            to,
            data: CableData::unknown(),
            status: Status::Existing,
            origins: BTreeMap::new(),
            extra: Extra::new(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sizes_read_and_write_alike() {
        for n in Size::AWG {
            assert_eq!(Size::parse(&Size::Awg(n).to_string()), Some(Size::Awg(n)));
        }
        for a in Size::MM2 {
            assert_eq!(Size::parse(&Size::Mm2(a).to_string()), Some(Size::Mm2(a)));
        }
        assert_eq!(Size::parse("2,5 mm²"), Some(Size::Mm2(2.5)));
        assert_eq!(Size::parse("13 AWG"), None);
        assert_eq!(Size::parse("12"), None);
    }

    #[test]
    fn next_thicker_stays_in_the_series() {
        assert_eq!(Size::Awg(1).next_thicker(), Some(Size::Awg(0)));
        assert_eq!(Size::Awg(-3).next_thicker(), None);
        assert_eq!(Size::Mm2(2.5).next_thicker(), Some(Size::Mm2(4.0)));
    }
}
