//! Load analysis: the sources in every operating condition, and every appliance in each.

use super::Subject;
use super::cells::{self, part_row};
use crate::installation::{Leg, PartId, PartKind, Property};
use crate::loads::starting::{Peaks, peaks};
use crate::network::{Solution, solve};
use crate::sheets::table::{Cell, Column, Row, RowKind, Table, Tone};
use crate::survey::Context;
use crate::units::{self, above};

/// The sources, then the loads of each condition.
pub(super) fn tables(subject: &Subject<'_>) -> Vec<Table> {
    let solutions: Vec<Solution> = (0..subject.installation.conditions.len())
        .map(|n| if n == subject.condition { subject.solution.clone() } else { solve(subject.installation, n) })
        .collect();
    let mut all = vec![sources(subject, &solutions)];
    for (n, solution) in solutions.iter().enumerate() {
        all.push(loads(&Context::new(subject.installation, solution), n));
    }
    all
}

/// Yes, no, or not known.
fn holds(value: Option<bool>) -> Cell {
    match value {
        Some(true) => Cell::words("within"),
        Some(false) => Cell::words("above"),
        None => Cell::not_known(),
    }
}

fn sources(subject: &Subject<'_>, solutions: &[Solution]) -> Table {
    let columns = vec![
        Column::words("Condition"),
        Column::words("Source"),
        Column::numbers("Power", "W"),
        Column::numbers("Apparent power", "VA"),
        Column::numbers("Current", "A"),
        Column::numbers("Continuous rating", "W"),
        Column::numbers("Load", "%"),
        Column::numbers("Peak, best order", "W"),
        Column::numbers("Peak, worst restart", "W"),
        Column::numbers("Peak, all at once", "W"),
        Column::numbers("Peak rating", "W"),
        Column::words("Best order"),
    ];
    let mut table = Table::new("sources", "Sources in every operating condition", columns);
    let installation = subject.installation;
    let mut by_watts_only = false;
    for (n, solution) in solutions.iter().enumerate() {
        let name = installation.conditions.get(n).map_or("", |c| c.name.as_str());
        if solution.sources.is_empty() {
            let mut cells = vec![Cell::none(); table.columns.len()];
            cells.splice(..2, [Cell::words(name), Cell::words("no source feeds")]);
            table.rows.push(Row::of(cells).toned(Tone::Quiet));
        }
        for (&id, flow) in &solution.sources {
            let peaks = peaks(installation, solution, id);
            by_watts_only |= peaks.by_watts_only;
            table.rows.push(source_row(subject, name, id, flow, &peaks));
        }
    }
    table.notes.push(
        "Peaks are sums of the stated running and starting watts. Best order: whatever starts, started in the order that \
         needs the least. Worst restart: what starts by itself while all else runs. All at once: when a source comes back."
            .to_owned(),
    );
    if by_watts_only {
        table.notes.push("Starts are judged by watts only where starting volt-amperes are not known.".to_owned());
    }
    table
}

fn source_row(
    subject: &Subject<'_>,
    condition: &str,
    id: PartId,
    flow: &crate::network::SourceFlow,
    peaks: &Peaks,
) -> Row {
    let installation = subject.installation;
    let part = installation.parts.get(&id);
    let system = installation.system;
    let origin = |property| part.and_then(|p| cells::origin(&p.origins, property));
    let rating = part.and_then(|p| p.run_w(system));
    let over = flow.watts.zip(rating).is_some_and(|(w, r)| above(w, r))
        || peaks.starts_best_order == Some(false)
        || peaks.starts_worst_restart == Some(false);
    let restart = if peaks.worst_restart_w.is_none() && peaks.worst_restart.is_none() {
        Cell::none()
    } else {
        Cell::number(peaks.worst_restart_w, units::watts, "W")
    };
    let cells = vec![
        Cell::words(condition),
        part.map_or_else(Cell::none, |p| Cell::words(p.name())),
        Cell::number(flow.watts, units::watts, "W"),
        Cell::number(flow.va, units::va, "VA"),
        Cell::number(flow.amps, units::amps, "A"),
        Cell::number(rating, units::watts, "W").from_origin(origin(Property::RunW)),
        Cell::number(flow.load_percent, units::percent, "%"),
        Cell::number(peaks.best_order_w, units::watts, "W"),
        restart,
        Cell::number(peaks.all_at_once_w, units::watts, "W"),
        Cell::number(part.and_then(|p| p.start_w(system)), units::watts, "W").from_origin(origin(Property::StartW)),
        holds(peaks.starts_best_order),
    ];
    part_row(id, cells).toned(if over { Tone::Over } else { Tone::Plain })
}

fn loads(cx: &Context<'_>, n: usize) -> Table {
    let name = cx.condition().map_or("", |c| c.name.as_str());
    let mut columns = vec![
        Column::words("Tag"),
        Column::words("Appliance"),
        Column::words("Space"),
        Column::numbers("Connected", "W"),
        Column::numbers("Power factor", ""),
        Column::numbers("Start", "W"),
        Column::numbers("Duty", ""),
        Column::words("State"),
        Column::numbers("Running", "W"),
        Column::numbers("Current", "A"),
        Column::numbers("Mean", "W"),
        Column::numbers("Volts", "V"),
        Column::numbers("Drop", "%"),
    ];
    let split = cx.system().is_split_phase();
    if split {
        columns.insert(3, Column::signs("Leg"));
    }
    let mut table = Table::new(format!("loads-{}", n + 1), format!("Load analysis: {name}"), columns);
    let (mut connected, mut running, mut mean) = (Sum::default(), Sum::default(), Sum::default());
    for (id, part) in cells::by_tag(cx) {
        let charger = part.kind == PartKind::Inverter && part.charge_w > 0.0;
        if part.kind != PartKind::Appliance && !charger {
            continue;
        }
        let origin = |property| cells::origin(&part.origins, property);
        let stated = if charger { Some(part.charge_w) } else { part.run_w };
        let on = charger || cx.is_on(id);
        let fed = cx.is_fed(id);
        let watts = cx.flow(id).and_then(|f| f.watts).filter(|_| stated.is_some() && cx.solution().converged);
        let amps = if charger { None } else { cx.amps(id).filter(|_| stated.is_some()) };
        let average = watts.map(|w| w * part.duty);
        connected.add(stated);
        if fed && on {
            running.add(watts);
            mean.add(average);
        }
        let runs = fed && on;
        let mut cells = vec![
            Cell::words(part.tag.as_str()),
            if charger { Cell::words(format!("{} (charging)", part.title())) } else { cells::label(part) },
            cells::space(cx, id),
            Cell::number(stated, units::watts, "W").from_origin(origin(if charger {
                Property::ChargeW
            } else {
                Property::RunW
            })),
            Cell::figure(Some(part.pf()), 2).from_origin(origin(Property::Pf)),
            Cell::number(part.start_w(cx.system()).filter(|_| !charger), units::watts, "W")
                .from_origin(origin(Property::StartW)),
            Cell::figure(Some(part.duty), 2).from_origin(origin(Property::Duty)),
            Cell::words(cells::state(cx, id)),
            cells::solved(runs, watts, units::watts, "W"),
            if charger { Cell::none() } else { cells::solved(runs, amps, units::amps, "A") },
            cells::solved(runs, average, units::watts, "W"),
            cells::solved(fed, cx.flow(id).and_then(|f| f.volts), units::volts, "V"),
            cells::solved(fed, cx.drop_percent(id, cx.leg(id)), units::percent, "%"),
        ];
        if split {
            let leg: Leg = cx.leg(id);
            cells.insert(3, Cell::words(leg.slug()));
        }
        table.rows.push(part_row(id, cells).toned(if runs { Tone::Plain } else { Tone::Quiet }));
    }
    if table.rows.is_empty() {
        return table;
    }
    let mut total = vec![Cell::none(); table.columns.len()];
    for (head, cell) in [
        ("Appliance", Cell::words("All")),
        ("Connected", connected.cell()),
        ("Running", running.cell()),
        ("Mean", mean.cell()),
    ] {
        if let Some(slot) = table.columns.iter().position(|c| c.head == head).and_then(|i| total.get_mut(i)) {
            *slot = cell;
        }
    }
    table.rows.push(Row::of(total).kind(RowKind::Total));
    let feeding: Vec<&str> = cx.solution().sources.keys().map(|&id| cx.tag(id)).collect();
    let feeding = if feeding.is_empty() { "no source".to_owned() } else { feeding.join(" and ") };
    table.notes.push(format!(
        "Fed from {feeding}. Mean: running power times duty, for energy alone; never for sizes of wire. Losses of cables \
         are not in these sums."
    ));
    table
}

/// A sum that says where something in it is not known.
#[derive(Default)]
struct Sum {
    watts: f64,
    unknown: bool,
}

impl Sum {
    fn add(&mut self, watts: Option<f64>) {
        match watts.filter(|w| w.is_finite()) {
            Some(watts) => self.watts += watts,
            None => self.unknown = true,
        }
    }

    fn cell(&self) -> Cell {
        match (self.unknown, self.watts > 0.0) {
            (false, _) => Cell::number(Some(self.watts), units::watts, "W"),
            (true, true) => Cell::words(format!("above {}", units::watts(self.watts))),
            (true, false) => Cell::not_known(),
        }
    }
}
