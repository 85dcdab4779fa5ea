//! How far the drawing's figures may be from the boat's: lengths, conductor temperature, contacts, loads.

use super::flat::Network;
use super::impedance::{conductor_ohm_per_m_at, working_c};
use super::vary::Scenario;
use crate::installation::{CableData, Conductor, Installation};
use crate::units::Complex;

/// What is stated of the difference between a drawing and the boat. Each cable and each load differs by itself.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Tolerances {
    /// Length of every cable, as a share either way: 0 to less than 1.
    pub length: f64,
    /// Kelvin by which a conductor may be cooler than the working temperature of the solve: 0 to 100.
    pub cooler_k: f64,
    /// Kelvin by which it may be hotter: 0 to 100.
    pub hotter_k: f64,
    /// Most ohms that the contact at each end of each conductor adds; the drawing counts none: 0 to 1.
    pub contact_ohm: f64,
    /// What an appliance or charger draws, at its power factor, as a share either way: 0 to less than 1.
    pub load: f64,
}

impl Default for Tolerances {
    /// ± 10 % of length and of load, conductors down to 45 K cooler (30 °C in place of 75 °C), up to 1 mΩ a contact: common
    /// practice, no source.
    fn default() -> Self {
        Self { length: 0.1, cooler_k: 45.0, hotter_k: 0.0, contact_ohm: 1e-3, load: 0.1 }
    }
}

impl Tolerances {
    /// No difference at all.
    #[must_use]
    pub const fn none() -> Self {
        Self { length: 0.0, cooler_k: 0.0, hotter_k: 0.0, contact_ohm: 0.0, load: 0.0 }
    }

    /// The first figure that is out of its range: what it is, what was given, what would be valid, in the units of this type.
    #[must_use]
    pub fn fault(&self) -> Option<(&'static str, f64, &'static str)> {
        let share = 0.0..1.0;
        let kelvin = 0.0..=100.0;
        [
            (share.contains(&self.length), "length", self.length, "0 to less than 1"),
            (share.contains(&self.load), "load", self.load, "0 to less than 1"),
            (kelvin.contains(&self.cooler_k), "cooler", self.cooler_k, "0 to 100 K"),
            (kelvin.contains(&self.hotter_k), "hotter", self.hotter_k, "0 to 100 K"),
            ((0.0..=1.0).contains(&self.contact_ohm), "contact", self.contact_ohm, "0 to 1 Ω"),
        ]
        .into_iter()
        .find_map(|(valid, what, given, range)| (!valid).then_some((what, given, range)))
    }

    /// The least and the most that a load is, as a multiple of the drawing's.
    pub(super) fn load_span(&self) -> [f64; 2] {
        [1.0 - self.load, 1.0 + self.load]
    }
}

/// A cable whose ohms are not known exactly; all zero where there is none.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Doubtful {
    /// Ohms of each conductor in the drawing.
    pub(super) nominal: Complex,
    /// The same with the conductor as cool as it may be, and as hot.
    cool: Complex,
    hot: Complex,
    /// Most ohms of the contacts at both its ends.
    contacts: f64,
    /// Share of the length either way.
    length: f64,
}

impl Doubtful {
    fn of(data: &CableData, installation: &Installation, t: &Tolerances) -> Self {
        let (Conductor::Size(size), Some(metres)) = (data.conductor, data.length_m) else { return Self::default() };
        let (system, basis) = (installation.system, installation.resistance);
        let working = working_c(data.insulation_c(system));
        let ohms = |c| conductor_ohm_per_m_at(size, c, system, basis).map_or_else(Complex::default, |z| z * metres);
        Self {
            nominal: ohms(working),
            cool: ohms(working - t.cooler_k),
            hot: ohms(working + t.hotter_k),
            contacts: 2.0 * t.contact_ohm,
            length: t.length,
        }
    }

    /// Least and most ohms, least and most reactance.
    pub(super) fn span(&self) -> [[f64; 2]; 2] {
        let (short, long) = (1.0 - self.length, 1.0 + self.length);
        [[self.cool.re * short, self.hot.re * long + self.contacts], [self.nominal.im * short, self.nominal.im * long]]
    }

    /// One that it may be: `length` from −1 to 1, `heat` from −1 (coolest) over 0 (as drawn) to 1, `contacts` from 0 to 1.
    pub(super) fn at(&self, length: f64, heat: f64, contacts: f64) -> Complex {
        let end = if heat < 0.0 { self.cool } else { self.hot };
        let z = self.nominal + (end - self.nominal) * heat.abs();
        z * (1.0 + self.length * length) + Complex::new(self.contacts * contacts, 0.0)
    }
}

/// Where one truth lies between the ends of its tolerances, for one cable and load.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Lie {
    /// Length, −1 to 1.
    pub length: f64,
    /// Temperature: −1 is the coolest, 0 the working temperature, 1 the hottest.
    pub heat: f64,
    /// Contacts, 0 to 1.
    pub contacts: f64,
    /// Load, −1 to 1.
    pub load: f64,
}

impl Network {
    /// The cable that feeds each part, by position.
    pub(super) fn doubtful(&self, installation: &Installation, t: &Tolerances) -> Vec<Doubtful> {
        self.nodes.iter().map(|n| Doubtful::of(n.cable_data(installation), installation, t)).collect()
    }
}

/// Makes scenarios of one network and one set of tolerances.
#[derive(Clone, Debug)]
pub struct Truths {
    cables: Vec<Doubtful>,
    load: f64,
    plain: Scenario,
}

impl Truths {
    /// What may differ in a network.
    #[must_use]
    pub fn of(network: &Network, installation: &Installation, t: &Tolerances) -> Self {
        Self { cables: network.doubtful(installation, t), load: t.load, plain: network.scenario() }
    }

    /// One boat: `lie` says for each position where between the ends it is.
    #[must_use]
    pub fn one(&self, mut lie: impl FnMut(usize) -> Lie) -> Scenario {
        let mut scenario = self.plain.clone();
        for (at, cable) in self.cables.iter().enumerate() {
            let lie = lie(at);
            scenario.z[at] = cable.at(lie.length, lie.heat, lie.contacts);
            scenario.load[at] = 1.0 + self.load * lie.load;
        }
        scenario
    }
}

#[cfg(test)]
mod tests {
    use super::{Lie, Tolerances, Truths};
    use crate::network::boats::boats;

    /// At 75 °C copper has (234.5 + c) / (234.5 + 75) of its resistance (IEC 60228, annex A, in another form; from memory).
    #[test]
    fn a_boat_is_its_drawing_with_each_difference_by_itself() {
        let [boat, ..] = boats();
        let (network, installation) = (boat.network(), &boat.draft.installation);
        let t = Tolerances { length: 0.2, cooler_k: 45.0, hotter_k: 30.0, contact_ohm: 0.004, load: 0.25 };
        let truths = Truths::of(&network, installation, &t);
        let plain = network.scenario();
        let at = network.position(boat.panel).expect("is fed");
        let one = |lie: Lie| {
            let s = truths.one(|_| lie);
            (s.z[at].re / plain.z[at].re, s.load[at])
        };
        let near = |found: f64, wanted: f64| assert!((found - wanted).abs() < 2e-3 * wanted, "{found}, not {wanted}");
        let (ohms, load) = one(Lie::default());
        assert_eq!((ohms, load), (1.0, 1.0));
        near(one(Lie { length: 1.0, ..Lie::default() }).0, 1.2);
        near(one(Lie { length: -0.5, ..Lie::default() }).0, 0.9);
        near(one(Lie { heat: -1.0, ..Lie::default() }).0, (234.5 + 30.0) / (234.5 + 75.0));
        near(one(Lie { heat: 1.0, ..Lie::default() }).0, (234.5 + 105.0) / (234.5 + 75.0));
        near(one(Lie { heat: 0.5, ..Lie::default() }).0, (234.5 + 90.0) / (234.5 + 75.0));
        near(one(Lie { contacts: 1.0, ..Lie::default() }).0, 1.0 + 0.008 / plain.z[at].re);
        assert_eq!(one(Lie { load: 1.0, ..Lie::default() }).1, 1.25);
        assert_eq!(one(Lie { load: -1.0, ..Lie::default() }).1, 0.75);
    }

    #[test]
    fn what_is_out_of_range_is_named() {
        assert_eq!(Tolerances::default().fault(), None);
        assert_eq!(Tolerances::none().fault(), None);
        let base = Tolerances::default();
        for (t, what) in [
            (Tolerances { length: 1.0, ..base }, "length"),
            (Tolerances { length: -0.1, ..base }, "length"),
            (Tolerances { load: f64::NAN, ..base }, "load"),
            (Tolerances { load: 1.0, ..base }, "load"),
            (Tolerances { cooler_k: 100.1, ..base }, "cooler"),
            (Tolerances { hotter_k: -1.0, ..base }, "hotter"),
            (Tolerances { contact_ohm: 1.1, ..base }, "contact"),
        ] {
            assert_eq!(t.fault().map(|(name, ..)| name), Some(what), "{t:?}");
        }
        let all = Tolerances { length: 0.99, load: 0.0, cooler_k: 100.0, hotter_k: 100.0, contact_ohm: 1.0 };
        assert_eq!(all.fault(), None);
        let (_, given, range) = Tolerances { contact_ohm: 2.0, ..base }.fault().expect("is too much");
        assert_eq!((given, range), (2.0, "0 to 1 Ω"));
    }
}
