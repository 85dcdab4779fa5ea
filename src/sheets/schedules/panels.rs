//! Panel schedules: what each breaker of a panel feeds, by which cable, with which load; and all breakers elsewhere.

use super::Subject;
use super::cells::{self, part_row};
use crate::installation::{CableId, Leg, Origin, Part, PartId, PartKind, Property, Status, natural};
use crate::loads::analysis::{power, power_with};
use crate::sheets::table::{Cell, Column, Row, RowKind, Table, Tone};
use crate::survey::Context;
use crate::units::{self, above};
use std::collections::BTreeSet;

/// A schedule for each panel, then the breakers that sit on none.
pub(super) fn tables(subject: &Subject<'_>, cx: &Context<'_>) -> Vec<Table> {
    let parts = cells::by_tag(cx);
    let panels = parts.iter().filter(|(_, p)| p.kind == PartKind::Panel);
    let mut all: Vec<Table> = panels.map(|&(id, panel)| panel_table(subject, cx, id, panel)).collect();
    all.push(elsewhere(cx, &parts));
    all
}

/// What lies behind a part: the parts that are fed through it, junctions and outlets passed, panels not opened.
pub(super) struct Behind {
    /// Appliances, outlets, panels and whatever else a person would name, by tag.
    pub named: Vec<PartId>,
    /// All appliances and charging inverters behind it, panels opened.
    pub loads: Vec<PartId>,
}

/// Follows the cables downstream.
pub(super) fn behind(cx: &Context<'_>, from: PartId) -> Behind {
    let (mut named, mut loads) = (Vec::new(), Vec::new());
    let mut seen = BTreeSet::from([from]);
    let mut next: Vec<(PartId, bool)> = vec![(from, true)];
    while let Some((at, mut open)) = next.pop() {
        let kind = cx.kind(at);
        let charges = cx.part(at).is_some_and(|p| p.kind == PartKind::Inverter && p.charge_w > 0.0);
        if at != from {
            let named_kind = !matches!(kind, Some(PartKind::Junction | PartKind::Breaker | PartKind::Outlet));
            let leaf = cx.leaving(at).is_empty();
            if open && (named_kind || leaf) {
                named.push(at);
            }
            open &= !matches!(kind, Some(PartKind::Panel | PartKind::Inverter));
            if kind == Some(PartKind::Appliance) || charges {
                loads.push(at);
            }
        }
        for cable in cx.leaving(at).iter().filter_map(|&c| cx.cable(c)) {
            if seen.insert(cable.to) {
                next.push((cable.to, open));
            }
        }
    }
    for list in [&mut named, &mut loads] {
        list.sort_by_cached_key(|&id| (natural(cx.tag(id)), id));
    }
    Behind { named, loads }
}

/// The origin of a sum: that of the figure in it which is to be measured first.
fn weakest(parts: &[&Part]) -> Option<Origin> {
    let all: Vec<Origin> = parts.iter().filter_map(|p| cells::origin(&p.origins, Property::RunW)).collect();
    [Origin::Assumed, Origin::Typical].into_iter().find(|o| all.contains(o))
}

/// The appliances of a list.
fn appliances<'a>(cx: &Context<'a>, loads: &[PartId]) -> Vec<&'a Part> {
    loads.iter().filter_map(|&id| cx.part(id)).filter(|p| p.kind == PartKind::Appliance).collect()
}

/// The sum of the rated watts of appliances; words where something is not known.
fn connected(cx: &Context<'_>, loads: &[PartId]) -> Cell {
    let parts = appliances(cx, loads);
    let known: f64 = parts.iter().filter_map(|p| p.run_w).sum();
    cells::bound(Some(known), parts.iter().any(|p| p.run_w.is_none())).from_origin(weakest(&parts))
}

/// What goes into a part now, as solved: the running load of the load analysis.
fn running(cx: &Context<'_>, through: PartId, loads: &[PartId]) -> Cell {
    now(cx, through, power(cx.solution(), through).map(|p| p.0), loads)
}

/// Watts through a part, a lower bound where those of a load behind it are not known.
fn now(cx: &Context<'_>, through: PartId, watts: Option<f64>, loads: &[PartId]) -> Cell {
    if !cx.is_fed(through) {
        return Cell::none();
    }
    let watts = watts.filter(|_| cx.solution().converged);
    let on = loads.iter().filter(|&&id| cx.is_fed(id) && cx.is_on(id)).copied().collect::<Vec<_>>();
    cells::bound(watts, appliances(cx, &on).iter().any(|p| p.run_w.is_none()))
}

/// Amperes of the larger line and watts that leave a part.
fn leaves(cx: &Context<'_>, id: PartId) -> Option<(f64, f64)> {
    let out = cx.output(id)?;
    let (watts, _) = power_with(cx.solution(), id, &out)?;
    Some((out.l1.norm().max(out.l2.norm()), watts))
}

fn columns(cx: &Context<'_>, first: Column) -> Vec<Column> {
    let mut columns = vec![
        first,
        Column::words("Tag"),
        Column::words("Circuit"),
        Column::numbers("Rating", "A"),
        Column::numbers("Poles", ""),
        Column::words("Trip class"),
        Column::words("Protection"),
        Column::numbers("Interrupting", "kA"),
        Column::sentences("Feeds"),
        Column::words("Cable"),
        Column::numbers("Connected", "W"),
        Column::numbers("Running", "W"),
        Column::numbers("Current", "A"),
        Column::words("State"),
        Column::words("Status"),
    ];
    if cx.system().is_split_phase() {
        columns.insert(4, Column::signs("Leg"));
    }
    columns
}

/// The row of a breaker, or of what hangs on the panel without one.
fn row(cx: &Context<'_>, first: Cell, id: PartId, part: &Part) -> Row {
    let system = cx.system();
    let behind = behind(cx, id);
    let guards = part.kind == PartKind::Breaker;
    let origin = |property| cells::origin(&part.origins, property);
    // Of a breaker the cable behind it; of an appliance that hangs on the panel itself its own.
    let appliance = part.kind == PartKind::Appliance;
    let cables = if appliance { cx.arriving(id) } else { cx.leaving(id) };
    let out: Vec<String> = cables.iter().filter_map(|&c| cx.cable(c)).map(cells::cable_words).collect();
    let named = behind.named.iter().filter_map(|&p| cx.part(p)).map(Part::name).collect::<Vec<_>>().join(", ");
    let feeds = if behind.named.is_empty() && guards { "spare: nothing is drawn behind it".to_owned() } else { named };
    // An inverter-charger that passes its input through: its own breaker carries what leaves it.
    let passes = (part.kind == PartKind::Inverter).then(|| leaves(cx, id));
    let amps = passes.map_or_else(|| cx.amps(id), |out| out.map(|o| o.0)).filter(|_| cx.is_fed(id));
    let now = match passes {
        Some(out) => now(cx, id, out.map(|o| o.1), &behind.loads),
        None if appliance => running(cx, id, &[id]),
        None => running(cx, id, &behind.loads),
    };
    let mut cells = vec![
        first,
        Cell::words(part.tag.as_str()),
        cells::label(part),
        if part.rating_a.is_some()
            || (part.kind.may_have(Property::RatingA) && part.kind != PartKind::PolarityIndicator)
        {
            Cell::figure(part.rating_a, 1).from_origin(origin(Property::RatingA))
        } else {
            Cell::none()
        },
        match part.poles(system) {
            Some(n) => Cell::figure(Some(f64::from(n)), 0).from_origin(origin(Property::Poles)),
            None if guards => Cell::not_known(),
            None => Cell::none(),
        },
        if guards {
            Cell::words(cells::trip_words(part.trip(system))).from_origin(origin(Property::Trip))
        } else {
            Cell::none()
        },
        Cell::words(cells::protection_words(part.protection)),
        if guards {
            Cell::figure(part.interrupting_ka, 2).from_origin(origin(Property::InterruptingKa))
        } else {
            Cell::none()
        },
        Cell::words(feeds),
        Cell::words(out.join("; ")),
        if appliance { connected(cx, &[id]) } else { connected(cx, &behind.loads) },
        now,
        cells::solved(cx.is_fed(id), amps, units::amps, "A"),
        Cell::words(cells::state(cx, id)),
        Cell::words(part.status.name()),
    ];
    if system.is_split_phase() {
        cells.insert(4, Cell::words(cx.leg(id).slug()));
    }
    let over = amps.zip(part.rating_a).is_some_and(|(a, r)| above(a, r));
    let tone = if over {
        Tone::Over
    } else if part.status == Status::Remove {
        Tone::Removed
    } else if !cx.is_fed(id) || (guards && behind.named.is_empty()) {
        Tone::Quiet
    } else {
        Tone::Plain
    };
    part_row(id, cells).toned(tone)
}

/// Cables that leave a panel, in the order in which their ends are drawn: downwards, then to the right.
fn ways(cx: &Context<'_>, panel: PartId) -> Vec<(CableId, PartId)> {
    let mut ways: Vec<(CableId, PartId)> =
        cx.leaving(panel).iter().filter_map(|&c| cx.cable(c).map(|cable| (c, cable.to))).collect();
    let at = |id: PartId| cx.part(id).map(|p| p.position()).unwrap_or_default();
    ways.sort_by(|a, b| {
        let (pa, pb) = (at(a.1), at(b.1));
        pa.y.total_cmp(&pb.y).then(pa.x.total_cmp(&pb.x)).then(a.cmp(b))
    });
    ways
}

fn panel_table(subject: &Subject<'_>, cx: &Context<'_>, id: PartId, panel: &Part) -> Table {
    let title = format!("Panel schedule {}", panel.name());
    let mut table = Table::new(format!("panel-{}", panel.tag), title, columns(cx, Column::numbers("Position", "")));
    for (n, (_, to)) in ways(cx, id).into_iter().enumerate() {
        if let Some(part) = cx.part(to) {
            table.rows.push(row(cx, Cell::figure(Some(n as f64 + 1.0), 0), to, part));
        }
    }
    let loads = behind(cx, id).loads;
    let width = table.columns.len();
    let mut total = vec![Cell::none(); width];
    let words = |total: &mut Vec<Cell>, head: &str, cell: Cell| {
        if let Some(slot) = table.columns.iter().position(|c| c.head == head).and_then(|i| total.get_mut(i)) {
            *slot = cell;
        }
    };
    words(&mut total, "Circuit", Cell::words("Whole panel"));
    let origin = cells::origin(&panel.origins, Property::RatingA);
    words(&mut total, "Rating", Cell::figure(panel.rating_a, 1).from_origin(origin));
    words(&mut total, "Connected", connected(cx, &loads));
    words(&mut total, "Running", running(cx, id, &loads));
    words(&mut total, "Current", cells::solved(cx.is_fed(id), cx.amps(id), units::amps, "A"));
    words(&mut total, "State", Cell::words(cells::state(cx, id)));
    words(&mut total, "Status", Cell::words(panel.status.name()));
    table.rows.push(part_row(id, total).kind(RowKind::Total));
    table.notes.push(feed_note(subject, cx, id));
    table.notes.extend(leg_note(cx, id));
    table.notes.push(
        "Positions are counted from the top of the drawing as its owner drew it; a sheet that is laid out anew may show \
         another order. Connected: rated watts of all appliances drawn behind the breaker, on \
         or off. Running: what goes through it in this condition, as computed, losses behind it and a charging inverter \
         included."
            .to_owned(),
    );
    table
}

/// What feeds the panel.
fn feed_note(subject: &Subject<'_>, cx: &Context<'_>, id: PartId) -> String {
    let feeds: Vec<String> = cx
        .arriving(id)
        .iter()
        .filter_map(|&c| cx.cable(c))
        .map(|c| format!("{} ({})", cx.name(c.from), cells::cable_words(c)))
        .collect();
    let feeds = if feeds.is_empty() { "nothing that is drawn".to_owned() } else { feeds.join("; ") };
    let (name, source) = (subject.condition_name(), subject.feeding());
    format!("Fed from {feeds}. Figures hold in the condition “{name}”, fed from {source}.")
}

/// The balance of the legs of a three-wire panel.
fn leg_note(cx: &Context<'_>, id: PartId) -> Option<String> {
    if !cx.system().is_split_phase() || cx.leg(id) != Leg::L1L2N {
        return None;
    }
    let Some(currents) = cx.output(id).filter(|_| cx.is_fed(id)) else {
        return Some("Leg balance: not known, as there are no figures for this panel.".to_owned());
    };
    let (l1, l2, n) = (currents.l1.norm(), currents.l2.norm(), currents.n.norm());
    let larger = l1.max(l2);
    let share = if larger > 0.0 { (l1 - l2).abs() / larger * 100.0 } else { 0.0 };
    Some(format!(
        "Leg balance: L1 {}, L2 {}, neutral {}; the legs differ by {} of the larger.",
        units::amps(l1),
        units::amps(l2),
        units::amps(n),
        units::percent(share)
    ))
}

/// Breakers that do not hang on a panel, and the output breakers of generators and inverters.
fn elsewhere(cx: &Context<'_>, parts: &[(PartId, &Part)]) -> Table {
    let title = "Breakers that are not on a panel";
    let mut table = Table::new("breakers-elsewhere", title, columns(cx, Column::words("Fed from")));
    for &(id, part) in parts {
        let feeds: Vec<_> = cx.arriving(id).iter().filter_map(|&c| cx.cable(c)).collect();
        let on_panel = feeds.iter().any(|c| cx.kind(c.from) == Some(PartKind::Panel));
        let own = part.kind != PartKind::Breaker;
        let listed = match part.kind {
            PartKind::Breaker => !on_panel,
            PartKind::Generator | PartKind::Inverter => part.rating_a.is_some(),
            _ => false,
        };
        if listed {
            let from: Vec<&str> = feeds.iter().map(|c| cx.tag(c.from)).collect();
            let from = if own { "its own output".to_owned() } else { from.join(", ") };
            table.rows.push(row(cx, Cell::words(from), id, part));
        }
    }
    table
}
