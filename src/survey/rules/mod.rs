//! The registry of rules: a table and nothing else. A new rule is one file in a family folder and one line here.

mod drop;
mod load;
mod place;
mod protection;
mod supply;

use super::rule::Rule;

/// What every rule file needs.
mod prelude {
    pub(super) use super::rule;
    pub(super) use crate::installation::{PartId, PartKind, RuleSet, SpaceKind};
    pub(super) use crate::survey::words;
    pub(super) use crate::survey::{BOTH, Context, Cure, Report, Rule, RuleInfo};
    pub(super) use crate::units::{Mark, Severity, above, below};
}

/// Declares the rule of a file: what is fixed about it, and its check, a function `check` in the same file.
macro_rules! rule {
    ($($field:ident: $value:expr),+ $(,)?) => {
        /// All that is fixed about the rule of this file.
        static INFO: RuleInfo = RuleInfo {
            $($field: $value,)+
            file: include_str!(concat!(env!("CARGO_MANIFEST_DIR"), "/", file!())),
        };

        /// The rule of this file.
        pub(in crate::survey) struct Fault;

        impl Rule for Fault {
            fn info(&self) -> &'static RuleInfo {
                &INFO
            }

            fn check(&self, cx: &Context<'_>, report: &mut Report) {
                check(cx, report);
            }
        }
    };
}
use rule;

static RULES: &[&dyn Rule] = &[
    &supply::no_solution::Fault,
    &supply::ring::Fault,
    &supply::parallel_sources::Fault,
    &supply::island::Fault,
    &supply::not_fed::Fault,
    &load::breaker_overload::Fault,
    &load::source_breaker_overload::Fault,
    &load::inlet_overload::Fault,
    &load::equipment_overload::Fault,
    &load::source_running::Fault,
    &load::continuous_load::Fault,
    &drop::drop_branch::Fault,
    &drop::drop_total::Fault,
    &drop::drop_shore::Fault,
    &drop::drop_own_source::Fault,
    &drop::volts_out_of_band::Fault,
    &protection::generator_breaker_large::Fault,
    &protection::cable_unprotected::Fault,
    &protection::gfci_missing::Fault,
    &protection::rcd10_missing::Fault,
    &place::portable_set_aboard::Fault,
];

/// Every rule, family by family.
#[must_use]
pub fn rules() -> &'static [&'static dyn Rule] {
    RULES
}
