//! Rules about shore supply, selectors and chargers.

pub(super) mod backfeed;
pub(super) mod charger_on_own_inverter;
pub(super) mod cord_below_inlet;
pub(super) mod main_above_inlet;
pub(super) mod main_far_from_inlet;
pub(super) mod selector_single;
pub(super) mod shore_leakage_missing;
