//! A sleeping space without an alarm for carbon monoxide.
//!
//! # What it finds
//! A generator in the drawing, while it is stated that not each sleeping space has an alarm. Not stated is not checked.
//!
//! # Why it matters
//! Carbon monoxide cannot be seen or smelt, and kills sleepers first; the exhaust may be a neighbour's.
//!
//! # Source of the limit
//! ABYC A-24, from memory: an alarm in each sleeping space. CDC boating guidance asks for the same.
//!
//! # Fires
//! ```csv
//! # system: 120V60Hz
//! # co_alarms: no
//! tag,kind,run_w,rating_a,space,fuel
//! G1,generator,3000,30,engine-space,diesel
//! ```
//! ```csv
//! # system: 230V50Hz
//! # co_alarms: no
//! tag,kind,run_w,rating_a,space,fuel
//! G1,generator,3000,13,lazarette,petrol
//! ```
//!
//! # Must not fire
//! ```csv
//! # system: 120V60Hz
//! # co_alarms: yes
//! tag,kind,run_w,rating_a,space,fuel
//! G1,generator,3000,30,engine-space,diesel
//! ```
//! ```csv
//! # system: 230V50Hz
//! # co_alarms: no
//! tag,kind,rating_a
//! X1,shore-inlet,16
//! ```
//!
//! # Cure
//! For the owner: an alarm made for boats in each sleeping space, tested as its handbook says.

use crate::survey::rules::prelude::*;

rule! {
    id: "co-alarm-missing",
    severity: Severity::Warning,
    sets: BOTH,
    demand: "With a generator aboard each sleeping space has an alarm for carbon monoxide.",
    source: "ABYC A-24; CDC boating guidance",
    mark: Mark::Memory,
    cure: Cure::Words("For the owner: an alarm made for boats in each sleeping space, tested as its handbook says."),
    needs_figures: false,
}

fn check(cx: &Context<'_>, report: &mut Report) {
    let sets: Vec<PartId> = cx.of_kind(PartKind::Generator).map(|(id, _)| id).collect();
    if sets.is_empty() {
        return;
    }
    match cx.aboard().co_alarms {
        Some(true) => {}
        Some(false) => {
            let message = format!(
                "Not each sleeping space has an alarm for carbon monoxide, with {} aboard.",
                words::tags(cx, &sets)
            );
            report.add(INFO.finding(sets, message));
        }
        None => report.not_checked(
            &INFO,
            sets,
            "whether each sleeping space has an alarm for carbon monoxide is not stated",
        ),
    }
}
