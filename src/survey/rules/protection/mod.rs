//! Rules about breakers, fuses and leakage protection.

pub(super) mod cable_unprotected;
pub(super) mod generator_breaker_large;
pub(super) mod gfci_missing;
pub(super) mod rcd10_missing;

use crate::installation::SpaceKind;
use crate::installation::{PartId, PartKind};
use crate::survey::Context;

/// Outlets in a head, galley, engine space or on the weather deck, with the trip level in mA that protects them.
fn wet_outlets(cx: &Context<'_>) -> Vec<(PartId, SpaceKind, f64)> {
    const WET: [SpaceKind; 4] = [SpaceKind::Head, SpaceKind::Galley, SpaceKind::EngineSpace, SpaceKind::WeatherDeck];
    cx.of_kind(PartKind::Outlet)
        .map(|(id, _)| (id, cx.space(id), cx.leakage_ma(id)))
        .filter(|(_, space, _)| WET.contains(space))
        .collect()
}

/// What protection there is, for a sentence.
fn leakage_words(ma: f64) -> String {
    if ma.is_finite() {
        format!("only {} mA protects it", crate::units::trimmed(ma, 1))
    } else {
        "there is none".to_owned()
    }
}
