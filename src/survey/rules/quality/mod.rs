//! Rules about how well a source carries what hangs on it.

pub(super) mod diesel_underload;
pub(super) mod fuel_curve_impossible;
pub(super) mod leg_imbalance;
pub(super) mod neutral_lost;
pub(super) mod noise_at_neighbour;
pub(super) mod shared_neutral_adds;
pub(super) mod source_headroom;
pub(super) mod source_volt_amperes;
pub(super) mod start_dip;
pub(super) mod start_drop;
pub(super) mod wrong_frequency;
pub(super) mod wrong_voltage;
