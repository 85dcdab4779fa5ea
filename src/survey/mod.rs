//! The survey: the run of all rules over a solved installation.
//!
//! What lives here: one file a rule under `rules`, the registry, findings, what was not checked, and the standing
//! cautions. What must not: walking the graph, drawing. The walk is done once and its lookups are built once in
//! [`Context`]; rules receive it read-only, never walk or solve themselves and never call each other. Only a cure is tried
//! with a solve of its own, on a copy of the drawing, and what tolerances change is solved as samples before rules see it.

mod accept;
mod caution;
mod change;
mod clash;
mod close;
mod context;
mod cure;
mod drawn;
mod effect;
mod facts;
mod finding;
mod inputs;
mod live;
mod offer;
mod report;
mod rule;
mod rules;
mod run;
mod short;
mod table;
mod trip;
mod words;

pub use accept::{AcceptedFinding, Judged, Returned, judge, until_removed};
pub use caution::{Caution, Hazard, cautions};
pub use clash::clash;
pub use close::{Close, Closeness, close};
pub use context::Context;
pub use cure::{Remedy, remedies, remedy};
pub use drawn::{Guard, GuardKind};
pub use effect::{Effect, effects};
pub use finding::{Finding, NotChecked, Survey};
pub use live::{LongLoads, Start, Upstream};
pub use offer::{Offer, Plan, Step, offers, plan};
pub use report::Report;
pub use rule::{BOTH, Cure, Rule, RuleInfo};
pub use rules::rules;
pub use run::{Surveyor, rule, run};
pub use short::{Short, short_at};
pub use table::rule_table;
pub use trip::{ASSUMED_START_S, Band, PLOT_S, TripCurve, TripFault, TripStart, Verdict, trip_curve};
