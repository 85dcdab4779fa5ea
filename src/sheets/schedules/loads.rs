//! Load analysis: the sources in every operating condition, the use of every appliance in each, and what sources, panels
//! and breakers carry. All figures come from [`crate::loads::analysis`], as those of `hullwire loads` do.

use super::Subject;
use super::cells::{self, part_row};
use crate::installation::{Installation, PartId, PartKind, Property, natural};
use crate::loads::analysis::{Bus, ConditionLoads, Use, analysis};
use crate::loads::starting::Peaks;
use crate::sheets::table::{Cell, Column, Row, RowKind, Table, Tone};
use crate::survey::Context;
use crate::units::{self, above};

/// The sources, the use of appliances, then what is carried in each condition.
pub(super) fn tables(subject: &Subject<'_>, cx: &Context<'_>) -> Vec<Table> {
    let all = analysis(subject.installation);
    let mut tables = vec![sources(subject.installation, &all), usage(cx, &all)];
    tables.extend(all.iter().enumerate().map(|(n, condition)| carried(subject.installation, n, condition)));
    tables
}

/// Yes, no, or not known.
fn holds(value: Option<bool>) -> Cell {
    match value {
        Some(true) => Cell::words("within"),
        Some(false) => Cell::words("above"),
        None => Cell::not_known(),
    }
}

fn sources(installation: &Installation, all: &[ConditionLoads]) -> Table {
    let columns = vec![
        Column::words("Condition"),
        Column::words("Source"),
        Column::numbers("Running", "W"),
        Column::numbers("Apparent power", "VA"),
        Column::numbers("Continuous rating", ""),
        Column::numbers("Reserve", ""),
        Column::numbers("Load", "%"),
        Column::words("Largest start"),
        Column::numbers("Peak, best order", "W"),
        Column::numbers("Peak, worst restart", "W"),
        Column::numbers("Peak, all at once", "W"),
        Column::numbers("Peak rating", "W"),
        Column::words("Best order, of peak rating"),
    ];
    let mut table = Table::new("sources", "Sources in every operating condition", columns);
    let mut by_watts_only = false;
    for condition in all {
        if condition.sources.is_empty() {
            let why = if condition.converged { "no source feeds" } else { "no figures: see the survey" };
            let mut cells = vec![Cell::none(); table.columns.len()];
            cells.splice(..2, [Cell::words(condition.name.as_str()), Cell::words(why)]);
            table.rows.push(Row::of(cells).toned(Tone::Quiet));
        }
        for (&id, bus) in &condition.sources {
            by_watts_only |= condition.peaks.get(&id).is_some_and(|p| p.by_watts_only);
            table.rows.push(source_row(installation, condition, id, bus));
        }
    }
    table.notes.push(
        "Peaks are sums of the stated running and starting watts, without losses in cables, so that one may be below what runs. \
         The peak rating of a shore inlet is volts times amperes. Best order: whatever starts, started in the order that \
         needs the least. Worst restart: what starts by itself while all else runs. All at once: when a source comes back."
            .to_owned(),
    );
    if by_watts_only {
        table.notes.push("Starts are judged by watts only where starting volt-amperes are not known.".to_owned());
    }
    table
}

/// How the rating of a bus is written, and where it comes from.
fn rating_in(bus: &Bus) -> (fn(f64) -> String, Property) {
    (bus.unit(), if bus.in_amps { Property::RatingA } else { Property::RunW })
}

fn source_row(installation: &Installation, condition: &ConditionLoads, id: PartId, bus: &Bus) -> Row {
    let part = installation.parts.get(&id);
    let origin = |property| part.and_then(|p| cells::origin(&p.origins, property));
    let peaks: Option<&Peaks> = condition.peaks.get(&id);
    let (unit, property) = rating_in(bus);
    let over = bus.reserve.is_some_and(|r| above(0.0, r))
        || peaks.is_some_and(|p| p.starts_best_order == Some(false) || p.starts_worst_restart == Some(false));
    let restart = match peaks {
        Some(p) if p.worst_restart_w.is_none() && p.worst_restart.is_none() => Cell::none(),
        peaks => Cell::number(peaks.and_then(|p| p.worst_restart_w), units::watts, "W"),
    };
    let largest = condition.largest_start.get(&id).map(|l| {
        format!(
            "{}, {}",
            installation.parts.get(&l.part).map_or_else(String::new, |p| p.name()),
            units::watts(l.start_w)
        )
    });
    let unknown = if condition.starts_unknown.is_empty() { Cell::none() } else { Cell::not_known() };
    let cells = vec![
        Cell::words(condition.name.as_str()),
        part.map_or_else(Cell::none, |p| Cell::words(p.name())),
        Cell::number(bus.running_w, units::watts, "W"),
        Cell::number(bus.running_va, units::va, "VA"),
        Cell::number(bus.rating, unit, "").from_origin(origin(property)),
        Cell::number(bus.reserve, unit, ""),
        Cell::number(bus.load_percent, units::percent, "%"),
        largest.map_or(unknown, Cell::words),
        Cell::number(peaks.and_then(|p| p.best_order_w), units::watts, "W"),
        restart,
        Cell::number(peaks.and_then(|p| p.all_at_once_w), units::watts, "W"),
        Cell::number(part.and_then(|p| p.start_w(installation.system)), units::watts, "W")
            .from_origin(origin(Property::StartW)),
        holds(peaks.and_then(|p| p.starts_best_order)),
    ];
    part_row(id, cells).toned(if over { Tone::Over } else { Tone::Plain })
}

/// How an appliance is used in a condition: the share of the time that it is on, or why it does not run.
fn use_words(one: &Use) -> String {
    if !one.fed {
        return "not fed".to_owned();
    }
    if !one.on {
        return "off".to_owned();
    }
    let most = one.at_once.map_or_else(String::new, |n| format!(", {n} at once"));
    format!("{} %{most}", units::trimmed(100.0 * one.share, 1))
}

/// Every appliance with its ratings, and its use in every condition.
fn usage(cx: &Context<'_>, all: &[ConditionLoads]) -> Table {
    let mut columns = vec![Column::words("Tag"), Column::words("Appliance"), Column::words("Space")];
    let split = cx.system().is_split_phase();
    if split {
        columns.push(Column::signs("Leg"));
    }
    columns.extend([
        Column::numbers("Running", "W"),
        Column::numbers("Power factor", ""),
        Column::numbers("Starting", "W"),
        Column::words("Kind"),
    ]);
    columns.extend(all.iter().map(|c| Column::words(c.name.as_str())));
    let mut table = Table::new("loads-use", "Appliances: share of the time while switched on", columns);
    for (id, part) in cells::by_tag(cx).into_iter().filter(|(_, p)| p.kind == PartKind::Appliance) {
        let of: Vec<Option<&Use>> = all.iter().map(|c| c.uses.iter().find(|u| u.part == id)).collect();
        let origin = |property| cells::origin(&part.origins, property);
        let first = of.first().copied().flatten();
        let mut cells = vec![Cell::words(part.tag.as_str()), cells::label(part), cells::space(cx, id)];
        if split {
            cells.push(Cell::words(cx.leg(id).slug()));
        }
        cells.extend([
            Cell::number(first.and_then(|u| u.run_w), units::watts, "W").from_origin(origin(Property::RunW)),
            Cell::figure(Some(part.pf()), 2).from_origin(origin(Property::Pf)),
            Cell::number(first.and_then(|u| u.start_w), units::watts, "W").from_origin(origin(Property::StartW)),
            Cell::words(if part.cycles {
                format!("{}, cycles", part.load_kind.slug())
            } else {
                part.load_kind.slug().to_owned()
            }),
        ]);
        cells.extend(of.iter().map(|u| u.map_or_else(Cell::none, |u| Cell::words(use_words(u)))));
        let runs = of.iter().flatten().any(|u| u.runs);
        table.rows.push(part_row(id, cells).toned(if runs { Tone::Plain } else { Tone::Quiet }));
    }
    table.notes.push(
        "Cycles: starts by itself. “2 at once”: of the appliances with this label no more than that run together."
            .to_owned(),
    );
    table
}

/// What sources, selectors, transformers, panels and breakers carry in a condition.
fn carried(installation: &Installation, n: usize, condition: &ConditionLoads) -> Table {
    let split = installation.system.is_split_phase();
    let mut columns = vec![
        Column::words("Tag"),
        Column::words("Part"),
        Column::numbers("Connected", "W"),
        Column::numbers("Running", "W"),
        Column::numbers("Apparent power", "VA"),
        Column::numbers("Mean", "W"),
    ];
    if split {
        columns.extend([
            Column::numbers("L1", "A"),
            Column::numbers("L2", "A"),
            Column::numbers("Legs differ by", "%"),
        ]);
    } else {
        columns.push(Column::numbers("Current", "A"));
    }
    columns.extend([Column::numbers("Rating", ""), Column::numbers("Reserve", ""), Column::numbers("Load", "%")]);
    let title = format!("Load analysis: {}", condition.name);
    let mut table = Table::new(format!("loads-{}", n + 1), title, columns);
    let width = table.columns.len();
    let mut unknown = Vec::new();
    for (kind, buses) in condition.carried() {
        if buses.is_empty() {
            continue;
        }
        let mut head = vec![Cell::none(); width];
        head.splice(..1, [Cell::words(kind)]);
        table.rows.push(Row::of(head).kind(RowKind::Heading));
        let mut rows: Vec<(&PartId, &Bus)> = buses.iter().collect();
        rows.sort_by_cached_key(|(id, _)| (natural(installation.tag(**id)), **id));
        for (&id, bus) in rows {
            unknown.extend(bus.unknown.iter().copied());
            table.rows.push(bus_row(installation, id, bus, split));
        }
    }
    let feeding: Vec<&str> = condition.feeding.iter().map(|&id| installation.tag(id)).collect();
    let feeding = if feeding.is_empty() { "no source".to_owned() } else { feeding.join(" and ") };
    table.notes.push(format!(
        "Fed from {feeding}. Connected: rated watts of all appliances that are fed, on or off. Running: as computed of what \
         is on, losses of cables and a charging inverter included. Mean: each for its share of the time, for energy alone; \
         never for sizes of wire."
    ));
    if !condition.converged {
        table.notes.push("No figures: a loop, sources in parallel, or a load that cannot be supplied.".to_owned());
    }
    unknown.sort_unstable();
    unknown.dedup();
    for (what, ids) in [
        ("Running watts not known, so that every sum with it is a lower bound", &unknown),
        ("Starting watts not known", &condition.starts_unknown),
    ] {
        let tags: Vec<&str> = ids.iter().map(|&id| installation.tag(id)).collect();
        if !tags.is_empty() {
            table.notes.push(format!("{what}: {}.", tags.join(", ")));
        }
    }
    table
}

fn bus_row(installation: &Installation, id: PartId, bus: &Bus, split: bool) -> Row {
    let part = installation.parts.get(&id);
    let (unit, property) = rating_in(bus);
    let origin = part.and_then(|p| cells::origin(&p.origins, property));
    let bound = |watts: Option<f64>| cells::bound(watts, !bus.unknown.is_empty());
    let mut cells = vec![
        Cell::words(installation.tag(id)),
        part.map_or_else(Cell::none, |p| cells::label(p)),
        bound(Some(bus.connected_w)),
        bound(bus.running_w),
        Cell::number(bus.running_va, units::va, "VA"),
        Cell::number(bus.mean_w, units::watts, "W"),
        Cell::number(bus.amps.map(|a| a.0), units::amps, "A"),
    ];
    if split {
        cells.push(Cell::number(bus.amps.and_then(|a| a.1), units::amps, "A"));
        cells.push(match bus.unbalance_percent {
            None if bus.on_one_line() => Cell::none(),
            unbalance => Cell::number(unbalance, units::percent, "%"),
        });
    }
    cells.extend([
        Cell::number(bus.rating, unit, "").from_origin(origin),
        Cell::number(bus.reserve, unit, ""),
        Cell::number(bus.load_percent, units::percent, "%"),
    ]);
    let over = bus.reserve.is_some_and(|r| above(0.0, r));
    part_row(id, cells).toned(if over { Tone::Over } else { Tone::Plain })
}
