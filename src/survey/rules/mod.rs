//! The registry of rules: a table and nothing else. A new rule is one file in a family folder and one line here.

mod drawing;
mod drop;
mod earthing;
mod load;
mod place;
mod protection;
mod quality;
mod supply;
mod transfer;
mod trip;

use super::rule::Rule;

/// What every rule file needs.
mod prelude {
    pub(super) use super::rule;
    pub(super) use crate::installation::{Edit, PartId, PartKind, Property, RuleSet, SpaceKind};
    pub(super) use crate::survey::{BOTH, Context, Cure, Finding, Report, Rule, RuleInfo};
    pub(super) use crate::survey::{change, words};
    pub(super) use crate::units::{Mark, Severity, above, below};
}

/// Declares the rule of a file: what is fixed about it, and its check, a function `check` in the same file. After a
/// semicolon, a function that gives the edits that may cure a finding.
macro_rules! rule {
    ($($field:ident: $value:expr),+ $(,)? $(; edits: $edits:expr)?) => {
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
            $(
                fn has_edits(&self) -> bool {
                    true
                }

                fn edits(
                    &self,
                    cx: &Context<'_>,
                    finding: &Finding,
                ) -> Vec<Edit> {
                    $edits(cx, finding)
                }
            )?
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
    &supply::leg_missing::Fault,
    &load::breaker_overload::Fault,
    &load::source_breaker_overload::Fault,
    &load::inlet_overload::Fault,
    &load::equipment_overload::Fault,
    &load::conductor_overload::Fault,
    &load::source_running::Fault,
    &load::source_starting::Fault,
    &load::start_all_at_once::Fault,
    &load::continuous_load::Fault,
    &load::appliance_above_outlet::Fault,
    &drop::drop_branch::Fault,
    &drop::drop_total::Fault,
    &drop::drop_shore::Fault,
    &drop::drop_own_source::Fault,
    &drop::volts_out_of_band::Fault,
    &protection::breaker_above_cable::Fault,
    &protection::generator_breaker_large::Fault,
    &protection::cable_unprotected::Fault,
    &protection::breaker_far_from_source::Fault,
    &protection::gfci_missing::Fault,
    &protection::rcd10_missing::Fault,
    &protection::breaker_not_standard::Fault,
    &protection::breaker_order::Fault,
    &protection::breaker_single_pole::Fault,
    &protection::conductor_thin::Fault,
    &protection::conductor_thin_iso::Fault,
    &protection::conductor_thin_power::Fault,
    &protection::equipment_below_breaker::Fault,
    &protection::fuse_unpolarised::Fault,
    &protection::lighting_breaker_large::Fault,
    &protection::lines_not_together::Fault,
    &protection::main_single_pole::Fault,
    &protection::motor_breaker_large::Fault,
    &protection::motor_unprotected::Fault,
    &protection::outlet_below_breaker::Fault,
    &protection::small_conductor::Fault,
    &protection::motor_conductor_thin::Fault,
    &protection::terminal_temperature::Fault,
    &trip::start_trips_breaker::Fault,
    &trip::fault_current_low::Fault,
    &trip::fault_not_cleared::Fault,
    &earthing::bond_missing::Fault,
    &earthing::bond_on_shore::Fault,
    &earthing::bond_second::Fault,
    &earthing::floating_source_leakage::Fault,
    &earthing::floating_source_polarity::Fault,
    &earthing::galvanic_isolation_missing::Fault,
    &earthing::galvanic_isolator_small::Fault,
    &earthing::inverter_bond_transfer::Fault,
    &earthing::polarity_indicator_missing::Fault,
    &earthing::selector_neutral::Fault,
    &earthing::transformer_unbonded::Fault,
    &earthing::transformer_earthing::Fault,
    &transfer::charger_on_own_inverter::Fault,
    &transfer::backfeed::Fault,
    &transfer::cord_below_inlet::Fault,
    &transfer::main_above_inlet::Fault,
    &transfer::main_far_from_inlet::Fault,
    &transfer::selector_single::Fault,
    &transfer::shore_leakage_missing::Fault,
    &quality::diesel_underload::Fault,
    &quality::fuel_curve_impossible::Fault,
    &quality::leg_imbalance::Fault,
    &quality::neutral_lost::Fault,
    &quality::noise_at_neighbour::Fault,
    &quality::shared_neutral_adds::Fault,
    &quality::source_headroom::Fault,
    &quality::source_volt_amperes::Fault,
    &quality::start_drop::Fault,
    &quality::start_dip::Fault,
    &quality::wrong_voltage::Fault,
    &quality::wrong_frequency::Fault,
    &place::portable_set_aboard::Fault,
    &place::ignition_near_petrol::Fault,
    &place::breaker_hot::Fault,
    &place::co_alarm_missing::Fault,
    &place::generator_hot::Fault,
    &place::portable_diesel_aboard::Fault,
    &place::set_in_living_space::Fault,
    &place::weather_deck_fitting::Fault,
    &drawing::breaker_spare::Fault,
    &drawing::cable_data_missing::Fault,
    &drawing::circuit_unlabelled::Fault,
    &drawing::cord_not_counted::Fault,
    &drawing::figures_typical::Fault,
    &drawing::insulation_assumed::Fault,
    &drawing::label_duplicate::Fault,
    &drawing::length_zero::Fault,
    &drawing::tag_duplicate::Fault,
    &drawing::tag_form::Fault,
    &drawing::title_block_incomplete::Fault,
    &drawing::to_be_removed::Fault,
];

/// Every rule, family by family.
#[must_use]
pub fn rules() -> &'static [&'static dyn Rule] {
    RULES
}
