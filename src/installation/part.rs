//! Parts: anything that is drawn with a symbol.

use super::cable::CableData;
use super::document::{Extra, SpaceKind};
use super::geometry::Point;
use super::kind::PartKind;
use super::property::Property;
use super::record::Status;
use super::set_data::SetData;
use super::system::{System, slugs};
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// How a load follows the voltage.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum LoadKind {
    /// Constant power: electronics, chargers.
    #[default]
    Power,
    /// Constant impedance: heaters. Draws its watts at nominal voltage and follows the voltage squared.
    Impedance,
    /// A motor: constant power while it runs, a large current while it starts.
    Motor,
}
slugs!(LoadKind { Power => "power", Impedance => "impedance", Motor => "motor" });

/// Trip characteristic of a breaker.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub enum Trip {
    /// US moulded-case thermal-magnetic (UL 489).
    #[serde(rename = "us")]
    Us,
    /// IEC 60898-1 type B.
    B,
    /// IEC 60898-1 type C.
    C,
    /// IEC 60898-1 type D.
    D,
    /// A fuse.
    #[serde(rename = "fuse")]
    Fuse,
}
slugs!(Trip { Us => "us", B => "B", C => "C", D => "D", Fuse => "fuse" });

/// Residual-current (leakage) protection.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Protection {
    /// None.
    #[default]
    None,
    /// Class A ground-fault interrupter, 5 mA: protects persons.
    Gfci,
    /// Equipment leakage interrupter, 30 mA, 100 ms.
    Elci,
    /// Residual-current device of 10 mA.
    Rcd10,
    /// Residual-current device of 30 mA.
    Rcd30,
}
slugs!(Protection { None => "none", Gfci => "gfci", Elci => "elci", Rcd10 => "rcd10", Rcd30 => "rcd30" });

impl Protection {
    /// Nominal trip level in milliamperes; `None` without protection.
    #[must_use]
    pub const fn trip_ma(self) -> Option<f64> {
        match self {
            Self::None => None,
            Self::Gfci => Some(5.0),
            Self::Rcd10 => Some(10.0),
            Self::Elci | Self::Rcd30 => Some(30.0),
        }
    }
}

/// Which live conductors a part is connected to in a split-phase system.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub enum Leg {
    /// Line 1 and neutral.
    L1,
    /// Line 2 and neutral.
    L2,
    /// Both lines, no neutral.
    #[serde(rename = "L1-L2")]
    L1L2,
    /// Both lines and neutral: three wires.
    #[serde(rename = "L1-L2-N")]
    L1L2N,
}
slugs!(Leg { L1 => "L1", L2 => "L2", L1L2 => "L1-L2", L1L2N => "L1-L2-N" });

impl Leg {
    /// True for L1-L2-N.
    #[must_use]
    pub const fn is_three_wire(self) -> bool {
        matches!(self, Self::L1L2N)
    }
}

/// Fuel of a generator.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Fuel {
    /// Petrol (gasoline).
    #[default]
    Petrol,
    /// Diesel.
    Diesel,
}
slugs!(Fuel { Petrol => "petrol", Diesel => "diesel" });

/// The supply frequency for which an appliance is made.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub enum MadeForHz {
    /// 50 Hz alone.
    #[serde(rename = "50")]
    Only50,
    /// 60 Hz alone.
    #[serde(rename = "60")]
    Only60,
    /// Either.
    #[serde(rename = "50/60")]
    Either,
}
slugs!(MadeForHz { Only50 => "50", Only60 => "60", Either => "50/60" });

impl MadeForHz {
    /// The one frequency in hertz; `None` where either will do.
    #[must_use]
    pub const fn only(self) -> Option<f64> {
        match self {
            Self::Only50 => Some(50.0),
            Self::Only60 => Some(60.0),
            Self::Either => None,
        }
    }
}

/// Where a value of a part or cable comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Origin {
    /// Read from an instrument or a tape.
    Measured,
    /// Read from the name plate.
    NamePlate,
    /// A typical figure from the locker: read the name plate.
    Typical,
    /// Assumed.
    Assumed,
}
impl Origin {
    /// The sign behind a value that is to be measured first; none behind what was measured or read from a name plate.
    #[must_use]
    pub const fn sign(self) -> Option<&'static str> {
        match self {
            Self::Assumed => Some("*"),
            Self::Typical => Some("~"),
            Self::Measured | Self::NamePlate => None,
        }
    }

    /// A value with the sign of its origin, where it has one: `6.0 m *`.
    #[must_use]
    pub fn signed(origin: Option<Self>, text: String) -> String {
        match origin.and_then(Self::sign) {
            Some(sign) => format!("{text} {sign}"),
            None => text,
        }
    }
}

slugs!(Origin { Measured => "measured", NamePlate => "name-plate", Typical => "typical", Assumed => "assumed" });

/// Where a part is: on the drawing, or, before a circuit list is laid out, only known to be in a space.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Place {
    /// Centre of the symbol. The part is in the space whose rectangle holds this point.
    At(Point),
    /// Not drawn yet; stated to be in such a space.
    In(SpaceKind),
}

/// Anything drawn with a symbol. `None` in a figure means "not known" or, where the accessor of the same name says so,
/// the default of the circuit list. Figures that do not apply to the kind (see [`PartKind::properties`]) are ignored.
#[derive(Clone, Debug, PartialEq)]
pub struct Part {
    /// Reference designation, unique.
    pub tag: String,
    /// Free text; empty shows the tag.
    pub label: String,
    /// What it is.
    pub kind: PartKind,
    /// Where it is.
    pub place: Place,
    /// Source: volts at no load, line to neutral. Transformer: nominal secondary volts. `None`: nominal.
    pub volts: Option<f64>,
    /// Source: continuous watts. Appliance: running watts, > 0.
    pub run_w: Option<f64>,
    /// Source: peak watts. Appliance: starting watts. See [`Self::start_w`].
    pub start_w: Option<f64>,
    /// Starting (appliance) or peak (source) volt-amperes.
    pub start_va: Option<f64>,
    /// Appliance: seconds that its start lasts; `None`: not known.
    pub start_s: Option<f64>,
    /// Appliance: the least and the most volts that it is made for; `None`: not known.
    pub volts_min: Option<f64>,
    /// See [`Self::volts_min`].
    pub volts_max: Option<f64>,
    /// Appliance: the frequency that it is made for; `None`: not known.
    pub hz: Option<MadeForHz>,
    /// Running power factor, lagging, 0 < pf ≤ 1; `None`: 1.
    pub pf: Option<f64>,
    /// How the load follows the voltage.
    pub load_kind: LoadKind,
    /// Starts by itself: thermostat or pressure switch.
    pub cycles: bool,
    /// Runs three hours or more; `None`: not known.
    pub continuous: Option<bool>,
    /// The drop limit for lighting holds.
    pub lighting: bool,
    /// Share of the time that it is on while switched on, 0 to 1.
    pub duty: f64,
    /// Inverter-charger: watts drawn while it charges.
    pub charge_w: f64,
    /// Rated current in amperes; of a generator or inverter, its own output breaker's.
    pub rating_a: Option<f64>,
    /// Conductors opened together, neutral included. See [`Self::poles`].
    pub poles: Option<u8>,
    /// Trip characteristic. See [`Self::trip`].
    pub trip: Option<Trip>,
    /// Greatest fault current that a breaker can open, in kiloamperes, by its marking; `None`: not known.
    pub interrupting_ka: Option<f64>,
    /// Residual-current protection.
    pub protection: Protection,
    /// Split-phase: which conductors; `None`: the default of the circuit list, which depends on what feeds it.
    pub leg: Option<Leg>,
    /// A source or transformer joins neutral and earth; `None`: not known.
    pub bonded: Option<bool>,
    /// A generator that is carried, not built in.
    pub portable: bool,
    /// Never up for choice in the question what runs together.
    pub must_run: bool,
    /// Generator fuel.
    pub fuel: Fuel,
    /// Usable litres in the tank.
    pub tank_l: Option<f64>,
    /// Points (load per cent, litres per hour), ascending in load.
    pub fuel_curve: Vec<(f64, f64)>,
    /// Shore inlet: its cord. [`CableData::none`] for everything else, and where the cord is not counted.
    pub cord: CableData,
    /// Its symbol is drawn the other way round: fed from the right, feeding to the left.
    pub mirrored: bool,
    /// Whether it stands, comes or goes.
    pub status: Status,
    /// Fuel aboard, hour meter, size, noise, battery.
    pub set_data: SetData,
    /// A remark, such as when and how a figure was measured.
    pub note: String,
    /// Where each value comes from; a property that is missing here is stated without origin.
    pub origins: BTreeMap<Property, Origin>,
    /// Fields of the file that this version does not know, kept.
    pub extra: Extra,
}

impl Part {
    /// A part of this kind with nothing known about it.
    #[must_use]
    pub fn new(kind: PartKind, tag: impl Into<String>, place: Place) -> Self {
        Self {
            tag: tag.into(),
            label: String::new(),
            kind,
            place,
            volts: None,
            run_w: None,
            start_w: None,
            start_va: None,
            start_s: None,
            volts_min: None,
            volts_max: None,
            hz: None,
            pf: None,
            load_kind: LoadKind::Power,
            cycles: false,
            continuous: None,
            lighting: false,
            duty: 1.0,
            charge_w: 0.0,
            rating_a: None,
            poles: None,
            trip: None,
            interrupting_ka: None,
            protection: Protection::None,
            leg: None,
            bonded: None,
            portable: false,
            must_run: false,
            fuel: Fuel::Petrol,
            tank_l: None,
            fuel_curve: Vec::new(),
            cord: CableData::none(),
            mirrored: false,
            status: Status::Existing,
            set_data: SetData::default(),
            note: String::new(),
            origins: BTreeMap::new(),
            extra: Extra::new(),
        }
    }

    /// The label, or the tag where there is none.
    #[must_use]
    pub fn title(&self) -> &str {
        if self.label.is_empty() { &self.tag } else { &self.label }
    }

    /// Tag and label for a sentence or a screen reader: `Q3 Galley`.
    #[must_use]
    pub fn name(&self) -> String {
        if self.label.is_empty() || self.label == self.tag {
            self.tag.clone()
        } else {
            format!("{} {}", self.tag, self.label)
        }
    }

    /// Centre of the symbol; the origin where it is not drawn yet.
    #[must_use]
    pub fn position(&self) -> Point {
        match self.place {
            Place::At(p) => p,
            Place::In(_) => Point::default(),
        }
    }

    /// Running watts with the default of the contract: a shore inlet without a figure can give volts × rating
    /// (both lines of a split-phase inlet counted). `None`: not known.
    #[must_use]
    pub fn run_w(&self, system: System) -> Option<f64> {
        self.run_w.or_else(|| {
            if self.kind != PartKind::ShoreInlet {
                return None;
            }
            let lines = if system.is_split_phase() && !matches!(self.leg, Some(Leg::L1 | Leg::L2)) { 2.0 } else { 1.0 };
            self.rating_a.map(|a| lines * a * self.volts(system))
        })
    }

    /// Starting watts with the default of the contract: running watts, but not known for a motor without a figure.
    #[must_use]
    pub fn start_w(&self, system: System) -> Option<f64> {
        self.start_w.or_else(|| {
            let motor = self.kind == PartKind::Appliance && self.load_kind == LoadKind::Motor;
            if motor { None } else { self.run_w(system) }
        })
    }

    /// Volts of a source or a transformer's secondary, line to neutral; nominal where none is stated.
    #[must_use]
    pub fn volts(&self, system: System) -> f64 {
        self.volts.unwrap_or(system.nominal_v())
    }

    /// Running power factor; 1 where none is stated.
    #[must_use]
    pub fn pf(&self) -> f64 {
        self.pf.unwrap_or(1.0)
    }

    /// Poles with the default of the contract: a breaker has 1 at 60 Hz and 2 at 50 Hz; others are not known.
    #[must_use]
    pub fn poles(&self, system: System) -> Option<u8> {
        self.poles
            .or_else(|| (self.kind == PartKind::Breaker).then_some(if system.frequency_hz() < 55.0 { 2 } else { 1 }))
    }

    /// Trip characteristic with the default of the contract: `us` at 60 Hz, C at 50 Hz.
    #[must_use]
    pub fn trip(&self, system: System) -> Trip {
        self.trip.unwrap_or(if system.frequency_hz() < 55.0 { Trip::C } else { Trip::Us })
    }
}
