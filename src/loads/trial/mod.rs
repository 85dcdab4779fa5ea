//! Sea trial: what meters showed on the real boat, set against what the drawing says.
//!
//! Every reading is a range by the step and the rounding of its display. The ranges of several readings narrow the power of
//! each appliance; the power it really draws always lies inside, where the drawing's cables and voltages are right. Powers
//! are those at nominal voltage for what follows the voltage. What is not known of a cable is counted as no resistance, as
//! everywhere.

mod case;
mod narrow;
mod simplex;
pub mod words;

use crate::installation::{Edit, Installation, Origin, PartId, PartKind, Property, ReadQuantity, Reading};
use crate::network;
use crate::units;
use case::Case;
use narrow::{Ranges, narrow};
use std::collections::{BTreeMap, BTreeSet};

/// Most sets of readings that are tried to find the smallest that contradicts.
const MOST_TRIED: usize = 2_000;

/// What an appliance draws by the readings.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Draws {
    /// Least watts; `None` where the readings contradict each other.
    pub watts_low: Option<f64>,
    /// Most watts; `None` where they contradict or none limits it.
    pub watts_high: Option<f64>,
    /// Running watts of the drawing.
    pub nameplate_w: Option<f64>,
    /// Whether those lie in the range; `None` where either is not known.
    pub nameplate_possible: Option<bool>,
    /// Rows of the readings in which it was on, from 1.
    pub rows: Vec<usize>,
}

/// A reading beside what the drawing says with its own figures.
#[derive(Clone, Debug, PartialEq)]
pub struct Compared {
    /// Row of the reading, from 1.
    pub row: usize,
    /// What was read where.
    pub at: PartId,
    /// The quantity; per cent are given in watts.
    pub quantity: ReadQuantity,
    /// The range of the reading.
    pub read: (f64, f64),
    /// What the drawing says; `None` where it has no solution or a power is not known.
    pub expected: Option<f64>,
    /// Whether that lies in the range.
    pub agrees: Option<bool>,
}

/// What a sea trial says.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Trial {
    /// True where some powers agree with all the readings.
    pub consistent: bool,
    /// Rows that contradict each other, from 1; without any one of them the rest of them can be true.
    pub contradiction: Vec<usize>,
    /// True where no smaller set of readings contradicts; false where not all could be tried.
    pub smallest: bool,
    /// Each appliance that was on in a reading.
    pub appliances: BTreeMap<PartId, Draws>,
    /// Each reading that could be used.
    pub compared: Vec<Compared>,
    /// What was left out and why, with the row.
    pub notes: Vec<(usize, String)>,
}

/// Sets readings against the drawing in a condition: its breakers as it has them, its sources where the part that was read
/// is no source itself. An appliance that is not named in a reading was off.
#[must_use]
pub fn trial(installation: &Installation, condition: usize, readings: &[Reading]) -> Trial {
    let mut out = Trial { smallest: true, ..Trial::default() };
    let mut cases = Vec::new();
    for (row, reading) in readings.iter().enumerate() {
        match Case::new(installation, condition, row, reading) {
            Ok(mut case) => {
                for id in case.unfed(reading) {
                    out.notes.push((row + 1, format!("{} is not fed from there: not counted", installation.tag(id))));
                }
                out.compared.push(compare(installation, reading, &mut case));
                if !case.tells() && case.quantity == ReadQuantity::Amps {
                    let why = "a current on three wires is compared, but no single power can be told from it";
                    out.notes.push((row + 1, why.to_owned()));
                }
                cases.push(case);
            }
            Err(why) => out.notes.push((row + 1, format!("not used: {why}"))),
        }
        for id in &reading.on {
            let rows = &mut out.appliances.entry(*id).or_default().rows;
            if rows.last() != Some(&(row + 1)) {
                rows.push(row + 1);
            }
        }
    }
    unknown_cables(installation, &cases, &mut out.notes);
    out.notes.sort();
    let split_phase = installation.system.is_split_phase();
    let all: Vec<usize> = (0..cases.len()).collect();
    let ranges = agree(&mut cases, &all, split_phase);
    out.consistent = ranges.is_some();
    if ranges.is_none() {
        let (rows, smallest) = contradiction(&mut cases, split_phase);
        out.contradiction = rows.into_iter().filter_map(|i| cases.get(i)).map(|c| c.row + 1).collect();
        out.smallest = smallest;
    }
    for (id, draws) in &mut out.appliances {
        draws.nameplate_w = installation.parts.get(id).and_then(|p| p.run_w);
        let Some(&(low, high)) = ranges.as_ref().and_then(|r| r.get(id)) else { continue };
        let (low, high) = (rounded(low), rounded(high));
        draws.watts_low = Some(low);
        draws.watts_high = high.is_finite().then_some(high);
        draws.nameplate_possible = draws.nameplate_w.map(|w| !units::below(w, low) && !units::above(w, high));
    }
    out
}

/// An end of a range; a round figure where it is one but for what the solve itself may be off by.
fn rounded(watts: f64) -> f64 {
    const GRID: f64 = 10.0;
    let round = (watts * GRID).round() / GRID;
    if (watts - round).abs() <= 3e-8 * watts.abs().max(1.0) { round } else { watts }
}

fn agree(cases: &mut [Case], chosen: &[usize], split_phase: bool) -> Option<Ranges> {
    let mut some: Vec<&mut Case> =
        cases.iter_mut().enumerate().filter(|(i, _)| chosen.contains(i)).map(|(_, case)| case).collect();
    narrow(&mut some, split_phase).ok()
}

/// The smallest set of cases that contradicts, and whether it is known to be.
fn contradiction(cases: &mut [Case], split_phase: bool) -> (Vec<usize>, bool) {
    let all = cases.len();
    let mut clash = |chosen: &[usize]| agree(cases, chosen, split_phase).is_none();
    // Leave out one after the other what the contradiction does not need.
    let mut kept: Vec<usize> = (0..all).collect();
    for at in (0..all).rev() {
        let fewer: Vec<usize> = kept.iter().copied().filter(|i| *i != at).collect();
        if clash(&fewer) {
            kept = fewer;
        }
    }
    // Where the rest agrees without a case, every contradiction holds it; no other case can be of that kind.
    let (needed, open): (Vec<usize>, Vec<usize>) = kept.iter().copied().partition(|&case| {
        let others: Vec<usize> = (0..all).filter(|i| *i != case).collect();
        !clash(&others)
    });
    if open.is_empty() {
        return (kept, true);
    }
    // A smaller one may lie elsewhere: what is needed, and fewer others than were found.
    let others: Vec<usize> = (0..all).filter(|i| !needed.contains(i)).collect();
    let mut tried = 0;
    for more in 0..open.len() {
        let mut picked: Vec<usize> = (0..more).collect();
        loop {
            tried += 1;
            if tried > MOST_TRIED {
                return (kept, false);
            }
            let mut chosen: Vec<usize> = needed.iter().copied().chain(picked.iter().map(|&i| others[i])).collect();
            chosen.sort_unstable();
            if clash(&chosen) {
                return (chosen, true);
            }
            if !next_combination(&mut picked, others.len()) {
                break;
            }
        }
    }
    (kept, true)
}

/// The next combination in order; false after the last.
fn next_combination(chosen: &mut [usize], of: usize) -> bool {
    let size = chosen.len();
    let Some(at) = (0..size).rev().find(|&i| chosen[i] < of - size + i) else { return false };
    chosen[at] += 1;
    for i in at + 1..size {
        chosen[i] = chosen[i - 1] + 1;
    }
    true
}

fn compare(installation: &Installation, reading: &Reading, case: &mut Case) -> Compared {
    let known = |id: PartId| installation.parts.get(&id).and_then(|p| p.run_w);
    let all_known = case.behind.iter().chain(&case.beside).all(|id| known(*id).is_some());
    let expected = if all_known { case.value(&|id| known(id).unwrap_or(0.0)) } else { None };
    let (low, high) = case.range;
    let agrees = expected.map(|v| !units::below(v, low) && !units::above(v, high));
    Compared { row: case.row + 1, at: reading.at, quantity: case.quantity, read: case.range, expected, agrees }
}

/// Notes of the cables of unknown size or length on the way of a reading, each once.
fn unknown_cables(installation: &Installation, cases: &[Case], notes: &mut Vec<(usize, String)>) {
    let mut seen = BTreeSet::new();
    for case in cases {
        for (to, id) in case.cables() {
            let Some(cable) = installation.cables.get(&id) else { continue };
            let ohms = network::conductor_ohms(&cable.data, installation.system, installation.resistance);
            if ohms.is_none() && seen.insert(id) {
                let to = installation.tag(to);
                notes.push((case.row + 1, format!("the cable to {to} is not known: its losses are not counted")));
            }
        }
    }
}

/// The step that takes a measured power over: the middle of the range, marked as measured, the range in the note. `None`
/// where there is no range, or nothing above 0 in it.
#[must_use]
pub fn take_over(installation: &Installation, id: PartId, draws: &Draws) -> Option<Edit> {
    let (low, high) = draws.watts_low.zip(draws.watts_high)?;
    let part = installation.parts.get(&id).filter(|p| p.kind == PartKind::Appliance)?;
    let watts = units::trimmed(f64::midpoint(low, high), 1);
    if watts == "0" {
        return None;
    }
    let was = draws.nameplate_w.map_or_else(String::new, |w| format!(", before {}", units::watts(w)));
    let rows: Vec<String> = draws.rows.iter().map(ToString::to_string).collect();
    let (from, to, rows) = (units::watts(low), units::watts(high), rows.join(", "));
    let text = format!("running power measured: {from} to {to} by reading {rows}{was}");
    let note = if part.note.is_empty() { text } else { format!("{}; {text}", part.note) };
    let set = |property, text, origin| Edit::SetPart { parts: vec![id], property, text, origin };
    Some(Edit::Many {
        label: format!("measured power of {}", part.tag),
        edits: vec![set(Property::RunW, watts, Some(Origin::Measured)), set(Property::Note, note, None)],
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::installation::Rounding;
    use crate::store::list::boat;

    #[test]
    fn a_cable_that_is_not_known_is_noted_once_with_the_first_row_that_goes_through_it() {
        let installation = boat(
            "# system: 120V60Hz\ntag,kind,fed_from,run_w,conductor,length_m\nG1,generator,,5000,,\nA1,panel,G1,,10 AWG,3\n\
             E1,appliance,A1,500,12 AWG,\nE2,appliance,A1,400,12 AWG,4\nE3,appliance,A1,300,unknown,4\n",
        );
        let id = |tag: &str| installation.part_by_tag(tag).unwrap();
        let reading = |on: &[&str]| Reading {
            on: on.iter().map(|tag| id(tag)).collect(),
            at: id("G1"),
            quantity: ReadQuantity::Watts,
            value: 500.0,
            step: 1000.0,
            rounding: Rounding::Unknown,
            rated_w: None,
        };
        let said = trial(&installation, 0, &[reading(&["E2"]), reading(&["E1", "E2"]), reading(&["E3", "E1"])]);
        let note = |to: &str| format!("the cable to {to} is not known: its losses are not counted");
        assert_eq!(said.notes, [(2, note("E1")), (3, note("E3"))]);
    }
}
