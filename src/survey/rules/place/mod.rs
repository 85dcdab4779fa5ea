//! Rules about where things are.

pub(super) mod breaker_hot;
pub(super) mod co_alarm_missing;
pub(super) mod generator_hot;
pub(super) mod ignition_near_petrol;
pub(super) mod portable_diesel_aboard;
pub(super) mod portable_set_aboard;
pub(super) mod set_in_living_space;
pub(super) mod weather_deck_fitting;
