//! Rules about what makes a breaker trip, and when.

pub(super) mod fault_current_low;
pub(super) mod fault_not_cleared;
pub(super) mod start_trips_breaker;
