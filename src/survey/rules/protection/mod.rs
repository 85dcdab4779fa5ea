//! Rules about breakers, fuses and leakage protection.

pub(super) mod breaker_above_cable;
pub(super) mod breaker_far_from_source;
pub(super) mod breaker_not_standard;
pub(super) mod breaker_order;
pub(super) mod breaker_single_pole;
pub(super) mod cable_unprotected;
pub(super) mod conductor_thin;
pub(super) mod conductor_thin_iso;
pub(super) mod conductor_thin_power;
pub(super) mod equipment_below_breaker;
pub(super) mod fuse_unpolarised;
pub(super) mod generator_breaker_large;
pub(super) mod gfci_missing;
pub(super) mod lighting_breaker_large;
pub(super) mod lines_not_together;
pub(super) mod main_single_pole;
pub(super) mod motor_breaker_large;
pub(super) mod motor_conductor_thin;
pub(super) mod motor_unprotected;
pub(super) mod outlet_below_breaker;
pub(super) mod rcd10_missing;
pub(super) mod small_conductor;
pub(super) mod terminal_temperature;

use crate::installation::{Cable, PartKind, Size, SpaceKind, System, Trip};
use crate::survey::{Context, Report, RuleInfo};
use crate::tables::{Series, awg_area_mm2};
use crate::units::above;

/// True for a cable from a panel's busbar straight to an appliance or outlet, with no breaker of its own.
fn is_tap(cx: &Context<'_>, cable: &Cable) -> bool {
    cx.kind(cable.from) == Some(PartKind::Panel)
        && matches!(cx.kind(cable.to), Some(PartKind::Appliance | PartKind::Outlet))
}

/// The series of standard ratings that a device belongs to; none for a fuse at 50 Hz.
fn series(trip: Trip, system: System) -> Option<Series> {
    match trip {
        Trip::Us => Some(Series::Us),
        Trip::B | Trip::C | Trip::D => Some(Series::Iec),
        Trip::Fuse => (system.frequency_hz() > 55.0).then_some(Series::Us),
    }
}

/// Area of a conductor in mm².
fn area_mm2(size: Size) -> f64 {
    match size {
        Size::Awg(gauge) => awg_area_mm2(gauge),
        Size::Mm2(area) => area,
    }
}

/// Holds the trip level in mA that protects each outlet in a head, galley, engine space or on the weather deck against the
/// largest that is asked for there.
fn wet_outlets(cx: &Context<'_>, report: &mut Report, info: &RuleInfo, limit_ma: f64, asked: &str) {
    const WET: [SpaceKind; 4] = [SpaceKind::Head, SpaceKind::Galley, SpaceKind::EngineSpace, SpaceKind::WeatherDeck];
    for (id, _) in cx.of_kind(PartKind::Outlet) {
        let (space, ma) = (cx.space(id), cx.leakage_ma(id));
        if !above(ma, limit_ma) {
            continue;
        }
        if WET.contains(&space) {
            let place = space.name().to_lowercase();
            let message = format!("Outlet {} in the {place} needs {asked}; {}.", cx.name(id), leakage_words(ma));
            let finding = info.finding([id], message);
            report.add(if ma.is_finite() { finding.measured(ma, limit_ma, "mA") } else { finding });
        } else if space == SpaceKind::Other {
            report.not_checked(info, [id], "the space that it is in is not stated");
        }
    }
}

/// What protection there is, for a sentence.
fn leakage_words(ma: f64) -> String {
    if ma.is_finite() {
        format!("only {} mA protects it", crate::units::trimmed(ma, 1))
    } else {
        "there is none".to_owned()
    }
}
