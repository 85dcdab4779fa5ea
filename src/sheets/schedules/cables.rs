//! The cable schedule: every fitted cable and shore cord once, with conductor colours and the ampacity spelled out.

use super::Subject;
use super::cells;
use crate::diagram::Target;
use crate::installation::{CableData, CableId, Leg, Origin, PartId, PartKind, Property, Status, System, natural};
use crate::network::{Ampacity, CableFlow, Step};
use crate::sheets::table::{Cell, Column, Row, Source, Table, Tone};
use crate::survey::Context;
use crate::tables::{self, ConductorColour, Practice, Role};
use crate::units::{self, Mark, above};
use std::collections::BTreeMap;

/// One cable or cord, with what its row needs.
struct Entry<'a> {
    tag: &'a str,
    from: Option<PartId>,
    to: PartId,
    data: &'a CableData,
    origins: &'a BTreeMap<Property, Origin>,
    status: Status,
    flow: Option<&'a CableFlow>,
    /// Carries the current of the condition.
    in_use: bool,
    ampacity: Result<Ampacity, String>,
    target: Target,
}

/// Colours by the practice of the system: 60 Hz as in North America, 50 Hz by IEC.
pub(super) fn colours(system: System, leg: Leg) -> Vec<&'static ConductorColour> {
    let practice = if system.frequency_hz() < 55.0 { Practice::Iec } else { Practice::Us };
    let roles: &[Role] = match leg {
        _ if !system.is_split_phase() => &[Role::L1, Role::N, Role::Pe],
        Leg::L1 => &[Role::L1, Role::N, Role::Pe],
        Leg::L2 => &[Role::L2, Role::N, Role::Pe],
        Leg::L1L2 => &[Role::L1, Role::L2, Role::Pe],
        Leg::L1L2N => &[Role::L1, Role::L2, Role::N, Role::Pe],
    };
    roles.iter().filter_map(|&role| tables::get().conductor_colour(practice, role)).collect()
}

/// Each conductor with its role and colour: `L black, N white or grey, PE green`.
fn colour_words(system: System, leg: Leg) -> String {
    let letters = |role: Role| match role {
        Role::L1 if !system.is_split_phase() => "L",
        other => other.letters(),
    };
    let each = colours(system, leg).into_iter().map(|c| format!("{} {}", letters(c.role), c.colour));
    each.collect::<Vec<_>>().join("; ")
}

/// The cable schedule.
pub(super) fn table(subject: &Subject<'_>, cx: &Context<'_>) -> Table {
    let columns = vec![
        Column::words("Cable"),
        Column::words("From"),
        Column::words("To"),
        Column::words("Size"),
        Column::sentences("Conductors"),
        Column::numbers("Length", "m"),
        Column::numbers("Insulation", "°C"),
        Column::numbers("Ampacity", "A"),
        Column::sentences("How the ampacity comes about"),
        Column::numbers("Current", "A"),
        Column::numbers("Drop", "V"),
        Column::numbers("Drop to here", "%"),
        Column::words("State"),
        Column::words("Status"),
    ];
    let mut table = Table::new("cables", "Cable schedule", columns);
    let mut entries = entries(cx);
    let key = |e: &Entry<'_>| (e.from.map(|f| natural(cx.tag(f))), natural(cx.tag(e.to)), e.to);
    entries.sort_by_cached_key(key);
    let mut steps: Vec<(String, Mark)> = Vec::new();
    let mut sources = Vec::new();
    for (n, entry) in entries.iter().enumerate() {
        table.rows.push(row(cx, entry, n + 1, &mut steps));
        let leg = cx.leg(entry.to);
        for colour in colours(cx.system(), leg) {
            sources.push(Source { text: format!("Colours: {}", colour.source), mark: colour.mark });
        }
    }
    sources.sort();
    sources.dedup();
    let numbered = steps.into_iter().zip(1..);
    table.sources = numbered.map(|((source, mark), n)| Source { text: format!("[{n}] {source}"), mark }).collect();
    table.sources.extend(sources);
    table.notes.push(format!(
        "Figures hold in the condition “{}”, fed from {}. Length is one way; drop counts every conductor that carries \
         current, out and back, at its working temperature. Rule set: {}.",
        subject.condition_name(),
        subject.feeding(),
        cx.rules().name()
    ));
    table.notes.push(
        "Cable numbers in brackets are given by this schedule. Colours are those of the practice named below, not what \
         was seen on board. A number in square brackets is that of a source below. Earth conductors carry no current in the model; their size is not computed."
            .to_owned(),
    );
    let bolted = cx.cables().filter(|(_, c)| !c.data.is_fitted()).count();
    if bolted > 0 {
        table.notes.push(format!("Joined without a cable, bolted on or plugged in, and not listed: {bolted}."));
    }
    table
}

fn entries<'a>(cx: &Context<'a>) -> Vec<Entry<'a>> {
    let cords = cx.of_kind(PartKind::ShoreInlet).filter(|(_, p)| p.cord.is_fitted()).map(|(id, part)| Entry {
        tag: "",
        from: None,
        to: id,
        data: &part.cord,
        origins: &part.origins,
        status: part.status,
        flow: cx.solution().cords.get(&id),
        in_use: cx.is_fed(id),
        ampacity: cx.cord_ampacity(id),
        target: Target::Part(id),
    });
    let cables = cx.cables().filter(|(_, c)| c.data.is_fitted()).map(|(id, cable)| Entry {
        tag: &cable.tag,
        from: Some(cable.from),
        to: cable.to,
        data: &cable.data,
        origins: &cable.origins,
        status: cable.status,
        flow: cx.solution().cables.get(&id),
        in_use: cx.walk().feeds.get(&cable.to).is_some_and(|feed| feed.cable == id) && cx.is_fed(cable.to),
        ampacity: cx.ampacity(id).cloned().ok_or_else(|| cx.why_no_ampacity(id).to_owned()),
        target: Target::Cable(id),
    });
    cords.chain(cables).collect()
}

/// A step with the number of its source in the list below the table.
fn step_words(step: &Step, steps: &mut Vec<(String, Mark)>) -> String {
    let known = steps.iter().position(|(source, mark)| *source == step.source && *mark == step.mark);
    let at = known.unwrap_or_else(|| {
        steps.push((step.source.clone(), step.mark));
        steps.len() - 1
    });
    format!("{} [{}]", step.words, at + 1)
}

fn row(cx: &Context<'_>, entry: &Entry<'_>, number: usize, steps: &mut Vec<(String, Mark)>) -> Row {
    let origin = |property| cells::origin(entry.origins, property);
    let ampacity = entry.ampacity.as_ref().ok();
    let amps = entry.flow.and_then(|f| f.amps).filter(|_| entry.in_use);
    let insulation = f64::from(entry.data.insulation_c(cx.system()));
    let stated = entry.data.insulation_c.is_some();
    let insulation_origin = if stated { origin(Property::InsulationC) } else { Some(Origin::Assumed) };
    let drop = entry.flow.and_then(|f| f.drop_volts);
    let percent = cx.drop_percent(entry.to, cx.leg(entry.to));
    let tag = if entry.tag.is_empty() { format!("(W{number})") } else { entry.tag.to_owned() };
    let how = match &entry.ampacity {
        Ok(found) => found.corrections.iter().map(|c| step_words(c, steps)).collect::<Vec<_>>().join("; "),
        Err(why) => format!("no figure: {why}"),
    };
    let going = entry.status == Status::Remove;
    let state = if entry.in_use { "fed" } else { cable_state(cx, entry) };
    let cells = vec![
        Cell::words(tag),
        entry.from.map_or_else(|| Cell::words("shore (cord)"), |from| Cell::words(cx.name(from))),
        Cell::words(cx.name(entry.to)),
        cells::size(entry.data, origin(Property::Conductor)),
        Cell::words(colour_words(cx.system(), cx.leg(entry.to))),
        cells::length(entry.data, origin(Property::LengthM)),
        Cell::figure(Some(insulation), 0).from_origin(insulation_origin),
        Cell::number(ampacity.map(|a| a.amps), units::amps, "A"),
        Cell::words(how),
        cells::solved(entry.in_use, amps, units::amps, "A"),
        cells::solved(entry.in_use, drop, two_decimals, "V"),
        cells::solved(entry.in_use, percent, units::percent, "%"),
        Cell::words(state),
        Cell::words(entry.status.name()),
    ];
    let over = amps.zip(ampacity).is_some_and(|(amps, found)| above(amps, found.amps));
    let tone = match (over, going, entry.status) {
        (true, ..) => Tone::Over,
        (_, true, _) => Tone::Removed,
        (.., Status::New) => Tone::New,
        _ if !entry.in_use => Tone::Quiet,
        _ => Tone::Plain,
    };
    Row::of(cells).about(entry.target).toned(tone)
}

/// Volts to a hundredth: drops of single cables are small.
fn two_decimals(volts: f64) -> String {
    format!("{volts:.2} V")
}

/// How a cable stands that carries no current.
fn cable_state(cx: &Context<'_>, entry: &Entry<'_>) -> &'static str {
    let id = match entry.target {
        Target::Cable(id) => id,
        _ => return "may be live",
    };
    state_of(cx, id)
}

fn state_of(cx: &Context<'_>, id: CableId) -> &'static str {
    use crate::diagram::Status as Shown;
    match Shown::of_cable(cx.installation(), cx.solution(), id) {
        Shown::NotFed => "not fed",
        Shown::Fed | Shown::MayBeLive | Shown::Plain => "may be live",
    }
}
