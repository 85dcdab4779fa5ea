//! The basis of calculation: system, temperatures, formulae, every table with its source and how it was come by, version.

use super::Subject;
use crate::installation::RuleSet;
use crate::loads::starting::ESTIMATED_START_MULTIPLE;
use crate::network::resistance_basis;
use crate::sheets::table::{Cell, Column, Row, RowKind, Table};
use crate::tables;
use crate::units::{Mark, trimmed};

/// Formulae: what, how, source, mark.
const FORMULAE: &[(&str, &str, &str, Mark)] = &[
    (
        "Currents and voltages",
        "Backward and forward sweep in complex phasors over a radial network, to 1e-9 of nominal.",
        "Circuit theory (Kirchhoff)",
        Mark::Derived,
    ),
    (
        "Voltage drop",
        "Every conductor that carries current, out and back: sum of I × (R + jX); length is one way in the data.",
        "Circuit theory (Ohm)",
        Mark::Derived,
    ),
    (
        "Loads",
        "S = P / pf; P and Q are added, never |I|. Heaters follow the voltage squared.",
        "Circuit theory",
        Mark::Derived,
    ),
    (
        "Split phase",
        "L2 stands opposite L1; the neutral carries −(I1 + I2) as phasors.",
        "Circuit theory (Kirchhoff)",
        Mark::Derived,
    ),
    ("Gauge", "d = 0.127 mm × 92^((36 − n) / 39); area π d² / 4.", "ASTM B258", Mark::Memory),
    (
        "Ampacity",
        "Table × engine-space factor × bundling factor; a size or insulation that the table lacks takes the next smaller.",
        "33 CFR 183.425; ISO 13297 annex A",
        Mark::Derived,
    ),
    (
        "Starting peaks",
        "Running sum before each start plus its starting power; best order: largest (start − run) first.",
        "Common practice",
        Mark::CommonPractice,
    ),
];

fn line(what: &str, how: impl Into<String>, source: &str, mark: Option<Mark>) -> Row {
    let mark = mark.map_or_else(Cell::none, |m| Cell::words(m.words()));
    Row::of(vec![Cell::words(what), Cell::words(how.into()), Cell::words(source), mark])
}

fn heading(text: &str) -> Row {
    Row::of(vec![Cell::words(text), Cell::none(), Cell::none(), Cell::none()]).kind(RowKind::Heading)
}

/// The basis of calculation.
pub(super) fn table(subject: &Subject<'_>) -> Table {
    let columns =
        vec![Column::words("What"), Column::sentences("How"), Column::sentences("Source"), Column::words("Mark")];
    let mut table = Table::new("basis", "Basis of calculation", columns);
    let (installation, system) = (subject.installation, subject.installation.system);
    let rows = &mut table.rows;
    rows.push(heading("What was computed"));
    rows.push(line("Program", format!("Hullwire {}", env!("CARGO_PKG_VERSION")), "", None));
    rows.push(line("System", system.name(), "", None));
    let volts = trimmed(system.nominal_v(), 0);
    rows.push(line(
        "Nominal voltage",
        format!("{volts} V line to neutral, {} Hz", trimmed(system.frequency_hz(), 0)),
        "",
        None,
    ));
    rows.push(line("Condition", format!("“{}”, fed from {}", subject.condition_name(), subject.feeding()), "", None));
    let rules = match installation.rules {
        RuleSet::Us => "US: 33 CFR 183, 46 CFR where it applies, NEC figures as information",
        RuleSet::International => "international: ISO 13297 and IEC 60364, from memory unless marked read",
    };
    rows.push(line("Rule set", rules, "", None));
    let settled = if subject.solution.converged { "settled" } else { "did not settle: no figures are shown" };
    rows.push(line("Numeric solve", settled, "", None));
    rows.push(heading("Conductors"));
    for text in resistance_basis(system, installation.resistance) {
        let (what, how) = text.split_once(": ").unwrap_or(("Note", &text));
        rows.push(line(what, how, "named in the text", None));
    }
    rows.push(line(
        "Ambient",
        "30 °C for the ampacity tables; engine spaces by their factor",
        "33 CFR 183.425 table 5 and its note 1; ISO 13297 annex A",
        Some(Mark::Memory),
    ));
    rows.push(heading("Formulae"));
    rows.extend(FORMULAE.iter().map(|(what, how, source, mark)| line(what, *how, source, Some(*mark))));
    let estimate =
        format!("{} × running power, shown as an estimate and judged by nothing", trimmed(ESTIMATED_START_MULTIPLE, 0));
    let source = "NEC (NFPA 70) tables 430.248 and 430.251(A)";
    rows.push(line("Motor without starting figure", estimate, source, Some(Mark::Read)));
    rows.push(heading("Tables"));
    for used in tables::get().provenance() {
        let figures = if used.figures == 1 { "1 figure".to_owned() } else { format!("{} figures", used.figures) };
        rows.push(line(used.table, figures, &used.source, Some(used.mark)));
    }
    rows.push(heading("Not modelled"));
    for (what, how) in [
        ("Sources", "taken as stiff: their own sag and impedance are not modelled"),
        ("Contacts", "resistance of terminals, plugs and switches is not counted"),
        ("Earth conductors", "carry nothing in the model; fault currents are not computed unless a finding says so"),
        ("DC side", "drawn only as the battery behind an inverter or charger"),
    ] {
        rows.push(line(what, how, "", None));
    }
    table.notes.push(
        "Read: seen in print, mostly a reprint or an annual code edition, never tested against the current paid edition. \
         Derived: computed from what the source names. From memory: not seen; verify before relying on it."
            .to_owned(),
    );
    table.notes.push("The program computes from what was entered. It approves nothing.".to_owned());
    table
}
