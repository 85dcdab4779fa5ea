//! Rules about joints of neutral and earth, and what depends on them.

pub(super) mod bond_missing;
pub(super) mod bond_on_shore;
pub(super) mod bond_second;
pub(super) mod floating_source_leakage;
pub(super) mod floating_source_polarity;
pub(super) mod galvanic_isolation_missing;
pub(super) mod galvanic_isolator_small;
pub(super) mod inverter_bond_transfer;
pub(super) mod polarity_indicator_missing;
pub(super) mod selector_neutral;
pub(super) mod transformer_earthing;
pub(super) mod transformer_unbonded;

/// Why a rule about joints says nothing.
const BOND_NOT_KNOWN: &str = "whether it joins neutral and earth is not known";
