//! Rules about where things are.

pub(super) mod portable_set_aboard;
