//! How a part or cable stands in the condition that is drawn.

use super::scene::{Ink, Stroke};
use crate::installation::{CableId, Installation, PartId, PartKind};
use crate::network::{Reach, Solution};
use crate::units::Complex;

/// How a thing stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Status {
    /// Nothing is computed: drawn plain.
    Plain,
    /// Reached from a source that feeds.
    Fed,
    /// Not feeding; may be live.
    MayBeLive,
    /// Not fed in this condition.
    NotFed,
}

impl Status {
    /// How a part stands.
    #[must_use]
    pub fn of_part(solution: &Solution, part: PartId) -> Self {
        match solution.walk.reach.get(&part) {
            None => Self::Plain,
            Some(Reach::Fed(_)) => Self::Fed,
            Some(Reach::MayBeLive) => Self::MayBeLive,
            Some(Reach::NotFed) => Self::NotFed,
        }
    }

    /// How a cable stands: fed where it is in use, live where what is upstream of it is.
    #[must_use]
    pub fn of_cable(installation: &Installation, solution: &Solution, id: CableId) -> Self {
        let Some(cable) = installation.cables.get(&id) else { return Self::Plain };
        let in_use = solution.walk.feeds.get(&cable.to).is_some_and(|feed| feed.cable == id);
        match (Self::of_part(solution, cable.from), Self::of_part(solution, cable.to)) {
            (Self::Plain, _) | (_, Self::Plain) => Self::Plain,
            (_, Self::Fed) if in_use => Self::Fed,
            (Self::NotFed, _) => Self::NotFed,
            (Self::MayBeLive, _) => Self::MayBeLive,
            (Self::Fed, to) => {
                // Behind an open breaker nothing is fed; up to the contact of a selector it is live.
                let open = installation.parts.get(&cable.from).is_some_and(|p| p.kind == PartKind::Breaker)
                    && !installation.is_on(cable.from, solution.walk.condition);
                if open || (to == Self::NotFed && !in_use && !Self::stops_here(installation, cable.to)) {
                    Self::NotFed
                } else {
                    Self::MayBeLive
                }
            }
        }
    }

    fn stops_here(installation: &Installation, part: PartId) -> bool {
        installation.parts.get(&part).is_some_and(|p| matches!(p.kind, PartKind::Selector | PartKind::Inverter))
    }

    /// The pen of symbols.
    #[must_use]
    pub const fn ink(self) -> Ink {
        match self {
            Self::Plain | Self::Fed => Ink::Line,
            Self::MayBeLive | Self::NotFed => Ink::NotFed,
        }
    }

    /// The pen of a cable that carries `amps`, where that is known: as wide as its current is large.
    #[must_use]
    pub fn cable_pen(self, amps: Option<f64>) -> Stroke {
        match self {
            Self::Plain => Stroke::solid(0.5, Ink::Line),
            Self::Fed => Stroke::solid(cable_width(amps), Ink::Fed),
            Self::MayBeLive | Self::NotFed => Stroke::dashed(0.35, Ink::NotFed),
        }
    }
}

/// Width in millimetres of a cable that carries this current: 0.35 at none, 1.4 at 50 A and above.
#[must_use]
pub fn cable_width(amps: Option<f64>) -> f64 {
    let share = amps.filter(|a| a.is_finite()).map_or(0.0, |a| (a.abs() / 50.0).min(1.0));
    0.35 + 1.05 * share.sqrt()
}

/// A figure that can be shown.
#[must_use]
pub fn finite(value: Option<f64>) -> Option<f64> {
    value.filter(|v| v.is_finite())
}

/// The voltage that a panel shows: between its conductors; line to neutral of each line where there are three wires.
#[must_use]
pub fn panel_volts(solution: &Solution, part: PartId) -> Option<String> {
    let flow = solution.parts.get(&part)?;
    let legs = solution.walk.legs.get(&part).copied().unwrap_or(flow.leg);
    if legs.is_three_wire()
        && let Some(v) = flow.voltages
    {
        let of = |c: Complex| c.norm();
        if of(v.l1).is_finite() && of(v.l2).is_finite() {
            return Some(format!("{:.1} / {:.1} V", of(v.l1), of(v.l2)));
        }
    }
    finite(flow.volts).map(crate::units::volts)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_cable_grows_with_its_current_up_to_a_limit() {
        assert!((cable_width(None) - 0.35).abs() < 1e-12);
        assert!(cable_width(Some(5.0)) < cable_width(Some(20.0)));
        assert!((cable_width(Some(500.0)) - 1.4).abs() < 1e-12);
        assert!(cable_width(Some(f64::NAN)).is_finite());
    }
}
