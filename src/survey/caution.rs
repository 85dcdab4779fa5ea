//! The standing cautions: hazards that come with what is drawn. They are no findings, set no exit status and are always
//! printed. Worded by the practice of ANSI Z535: signal word, hazard, consequence, how to avoid.

use crate::installation::{Fuel, Installation, PartKind};
use crate::units::Severity;

/// What a caution warns of; one banner each.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Hazard {
    /// Carbon monoxide.
    CarbonMonoxide,
    /// Fire and explosion of fuel.
    Fire,
    /// Electric shock.
    Shock,
    /// The shore cord.
    ShoreCord,
    /// The battery behind an inverter.
    Battery,
    /// Charge that stays in an inverter's capacitors.
    Capacitors,
    /// Who does the work.
    Work,
}

/// One standing caution.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Caution {
    /// Stable name.
    pub id: &'static str,
    /// What it warns of.
    pub kind: Hazard,
    /// The signal word.
    pub severity: Severity,
    /// The hazard.
    pub hazard: &'static str,
    /// What it leads to.
    pub consequence: &'static str,
    /// How to avoid it.
    pub avoid: &'static str,
    /// Standard or practice behind it, with its mark.
    pub source: &'static str,
}

impl Caution {
    /// All in one paragraph, the signal word first.
    #[must_use]
    pub fn text(&self) -> String {
        format!("{}: {} {} {}", self.severity.word(), self.hazard, self.consequence, self.avoid)
    }

    /// The line that stays when a banner is folded.
    #[must_use]
    pub fn line(&self) -> String {
        format!("{}: {}", self.severity.word(), self.hazard)
    }
}

const CARBON_MONOXIDE: Caution = Caution {
    id: "carbon-monoxide",
    kind: Hazard::CarbonMonoxide,
    severity: Severity::Danger,
    hazard: "Carbon monoxide from a generator's exhaust.",
    consequence: "It cannot be seen or smelt and kills within minutes in a cabin, under canvas and at the swim platform.",
    avoid: "Never run a portable set in a cabin, locker, lazarette or cockpit, or under canvas. Run it ashore, downwind, 20 ft (6.1 m) or more from any opening; even that distance is advice and no assurance. Keep clear of the swim platform and mind neighbours' exhaust. Fit a carbon monoxide alarm in each sleeping space.",
    source: "State health department and CDC boating guidance (read); one alarm per sleeping space: ABYC A-24 (from memory)",
};

const FIRE: Caution = Caution {
    id: "fire",
    kind: Hazard::Fire,
    severity: Severity::Danger,
    hazard: "Petrol vapour near a generator.",
    consequence: "It sinks into the bilge and is lit by a spark or a hot exhaust; the boat burns or explodes.",
    avoid: "Never carry, start or refuel a petrol set in a cabin, locker, lazarette or under canvas. Stop it and let it cool before refuelling, ashore. Store its fuel on deck, in the open. Portable sets are not ignition protected.",
    source: "33 CFR 183.410(a) and public generator guidance (read)",
};

const SHOCK: Caution = Caution {
    id: "shock",
    kind: Hazard::Shock,
    severity: Severity::Warning,
    hazard: "Electric shock from parts that may still be live.",
    consequence: "A source that is not feeding, all up to the selector, and what the drawing does not show may be live. Contact can kill.",
    avoid: "Before any work unplug the shore cord at the dock, stop every generator, switch every inverter off and disconnect its battery; isolate, lock, and test with a meter before touch. Never swim near a boat or a dock with shore power.",
    source: "Common practice, no source",
};

const WORK: Caution = Caution {
    id: "licensed-work",
    kind: Hazard::Work,
    severity: Severity::Warning,
    hazard: "Work on an AC installation by someone not trained for it.",
    consequence: "A wrong connection can put voltage on the hull, the gear and the water around the boat, and kill who touches them or swims there.",
    avoid: "Have the work done, tested and signed by a licensed electrician under the local code. This drawing computes from what was entered; it approves nothing.",
    source: "Common practice, no source",
};

const SHORE_CORD: Caution = Caution {
    id: "shore-cord",
    kind: Hazard::ShoreCord,
    severity: Severity::Warning,
    hazard: "A shore cord that is hot, worn, wet or loose at its ends.",
    consequence: "Plugs and inlets overheat at the contacts and set the boat on fire; a lost earth or crossed wires leave metal parts live, and contact can kill.",
    avoid: "Connect the boat's end first and the dock's end last; part them the other way round. Use the cord in one piece, uncoiled and out of the water. Feel both ends after an hour under load, and replace what is discoloured.",
    source: "Common practice, no source",
};

const BATTERY: Caution = Caution {
    id: "inverter-battery",
    kind: Hazard::Battery,
    severity: Severity::Warning,
    hazard: "The battery behind an inverter.",
    consequence: "It keeps the AC side live with the shore cord unplugged, and contact can kill; a short circuit of it melts tools, burns and lights gas.",
    avoid: "Switch the inverter off and open the battery's own switch before work. Vent the battery space. Fuse the battery cable at the battery; the DC side is not part of this drawing.",
    source: "Common practice, no source",
};

const CAPACITORS: Caution = Caution {
    id: "inverter-capacitors",
    kind: Hazard::Capacitors,
    severity: Severity::Warning,
    hazard: "Charge that stays in an inverter's capacitors after it is switched off.",
    consequence: "They hold mains voltage and more for minutes; contact can kill. They spark when the battery is connected, which lights gas.",
    avoid: "Disconnect battery and AC side, wait as long as its handbook says, and measure before touching terminals. Never open the case. Connect the battery in a vented space.",
    source: "Common practice, no source",
};

/// The cautions that come with what is drawn, worst first.
#[must_use]
pub fn cautions(installation: &Installation) -> Vec<Caution> {
    let has = |kind| installation.parts.values().any(|p| p.kind == kind);
    let burns_petrol = |p: &crate::installation::Part| p.portable || p.fuel == Fuel::Petrol;
    let petrol_set = installation.parts.values().any(|p| p.kind == PartKind::Generator && burns_petrol(p));
    let mut all = Vec::new();
    if has(PartKind::Generator) {
        all.push(CARBON_MONOXIDE);
    }
    if petrol_set {
        all.push(FIRE);
    }
    all.push(SHOCK);
    all.push(WORK);
    if has(PartKind::ShoreInlet) {
        all.push(SHORE_CORD);
    }
    if has(PartKind::Inverter) {
        all.extend([BATTERY, CAPACITORS]);
    }
    all
}
