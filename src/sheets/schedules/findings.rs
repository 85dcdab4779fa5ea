//! The survey on paper: cautions, findings, what was not checked and why.

use super::Subject;
use crate::diagram::Target;
use crate::installation::{PartId, natural};
use crate::sheets::table::{Cell, Column, Row, Table, Tone, Value};
use crate::survey::{Caution, Finding, cautions};
use crate::units::{Severity, pair, quantity};

/// Cautions, findings and what was not checked. The latter two say so where there are none.
pub(super) fn tables(subject: &Subject<'_>) -> Vec<Table> {
    let mut all = vec![caution_table(&cautions(subject.installation))];
    all.push(finding_table(subject));
    all.extend(accepted_table(subject));
    all.push(not_checked_table(subject));
    all
}

fn caution_table(cautions: &[Caution]) -> Table {
    let columns = vec![
        Column::words("Signal word"),
        Column::sentences("Hazard"),
        Column::sentences("Consequence"),
        Column::sentences("How to avoid"),
        Column::sentences("Source"),
    ];
    let mut table = Table::new("cautions", "Standing cautions", columns);
    for caution in cautions {
        let cells = [caution.severity.word(), caution.hazard, caution.consequence, caution.avoid, caution.source];
        table.rows.push(Row::of(cells.into_iter().map(Cell::words).collect()).toned(tone(caution.severity)));
    }
    table
}

/// The tone of a severity.
fn tone(severity: Severity) -> Tone {
    match severity {
        Severity::Danger | Severity::Warning => Tone::Over,
        Severity::Caution => Tone::Close,
        Severity::Notice => Tone::Plain,
    }
}

fn tags(subject: &Subject<'_>, parts: &[PartId]) -> String {
    parts.iter().map(|&id| subject.installation.tag(id)).collect::<Vec<_>>().join(", ")
}

/// What the finding is about: its first cable, else its first part.
fn about(finding: &Finding) -> Option<Target> {
    finding.parts.first().map(|&p| Target::Part(p)).or_else(|| finding.cables.first().map(|&c| Target::Cable(c)))
}

/// Figure and limit with their unit, as the finding's own sentence shows them.
fn figures(finding: &Finding) -> [Cell; 2] {
    let known = [finding.figure, finding.limit].map(|v| v.filter(|v| v.is_finite()));
    let texts = match known {
        [Some(figure), Some(limit)] => pair(figure, limit, finding.unit).into(),
        one => one.map(|v| v.map_or_else(String::new, |v| quantity(v, 1, finding.unit))),
    };
    let mut texts = texts.into_iter();
    known.map(|value| match (value, texts.next()) {
        (Some(value), Some(shown)) => Cell::from(Value::Number { value, shown }),
        _ => Cell::none(),
    })
}

fn finding_columns() -> Vec<Column> {
    vec![
        Column::words("Severity"),
        Column::sentences("Parts"),
        Column::sentences("Finding"),
        Column::numbers("Figure", ""),
        Column::numbers("Limit", ""),
        Column::sentences("Source of the limit"),
        Column::sentences("Mark"),
        Column::sentences("What would cure it"),
        Column::words("Rule"),
    ]
}

fn finding_row(subject: &Subject<'_>, finding: &Finding) -> Row {
    let tried = subject.cures.iter().find(|(f, _)| f == finding).map(|(_, remedy)| remedy);
    let cure = match (&finding.cure, tried) {
        (Some(words), Some(remedy)) => format!("{words} Tried on the drawing: {}.", remedy.label),
        (Some(words), None) => words.clone(),
        (None, Some(remedy)) => format!("Tried on the drawing: {}.", remedy.label),
        (None, None) => "none named: for the electrician to decide".to_owned(),
    };
    let named = std::iter::once(finding.source.as_str()).chain(finding.not_used.iter().copied());
    let source = named.collect::<Vec<_>>().join("; ");
    let [figure, limit] = figures(finding);
    let cells = vec![
        Cell::words(finding.severity.word()),
        Cell::words(tags(subject, &finding.parts)),
        Cell::words(finding.message.as_str()),
        figure,
        limit,
        Cell::words(source),
        Cell::words(finding.mark.words()),
        Cell::words(cure),
        Cell::words(finding.rule),
    ];
    let row = Row::of(cells).toned(tone(finding.severity));
    Row { about: about(finding), ..row }
}

fn finding_table(subject: &Subject<'_>) -> Table {
    let mut table = Table::new("findings", "Survey: findings", finding_columns());
    let open = &subject.judged.open;
    for (n, finding) in open.iter().enumerate() {
        let mut row = finding_row(subject, finding);
        if let Some(returned) = subject.judged.returned(n)
            && let Some(cell) = row.cells.get_mut(2)
        {
            *cell =
                Cell::words(format!("{} It was accepted and is open again: {}.", finding.message, returned.because));
        }
        table.rows.push(row);
    }
    let counts: Vec<String> = Severity::ALL
        .iter()
        .map(|&s| (s, open.iter().filter(|f| f.severity == s).count()))
        .filter(|(_, n)| *n > 0)
        .map(|(s, n)| format!("{n} {}", s.word()))
        .collect();
    let counts = if counts.is_empty() { "No finding".to_owned() } else { format!("Findings: {}", counts.join(", ")) };
    let counts = format!(
        "{counts}; accepted: {}; checks not made: {}. Condition “{}”, fed from {}, rule set {}.",
        subject.judged.accepted.len(),
        subject.survey.not_checked.len(),
        subject.condition_name(),
        subject.feeding(),
        subject.installation.rules.name()
    );
    if open.is_empty() {
        table.instead = counts;
        return table;
    }
    table.notes.push(counts);
    table.notes.push(
        "Mark: read, seen in print; derived, computed from what the source names; from memory, not seen: verify it; common \
         practice, no source."
            .to_owned(),
    );
    table
}

/// Accepted findings, with the reason and the name.
fn accepted_table(subject: &Subject<'_>) -> Option<Table> {
    let columns = vec![
        Column::words("Severity"),
        Column::sentences("Parts"),
        Column::sentences("Finding"),
        Column::numbers("Figure", ""),
        Column::numbers("Limit", ""),
        Column::sentences("Reason for accepting it"),
        Column::words("Accepted by"),
        Column::words("Date"),
        Column::words("Rule"),
    ];
    let mut table = Table::new("accepted", "Accepted findings", columns);
    for accepted in &subject.judged.accepted {
        let Some(record) = subject.installation.accepted.get(accepted.index) else { continue };
        let finding = &accepted.finding;
        let [figure, limit] = figures(finding);
        let cells = vec![
            Cell::words(finding.severity.word()),
            Cell::words(tags(subject, &finding.parts)),
            Cell::words(finding.message.as_str()),
            figure,
            limit,
            Cell::words(record.reason.as_str()),
            Cell::words(record.by.as_str()),
            Cell::words(record.date.as_str()),
            Cell::words(finding.rule),
        ];
        let row = Row::of(cells).toned(tone(finding.severity));
        table.rows.push(Row { about: about(finding), ..row });
    }
    table.notes.push(
        "To accept a finding does not cure it: the person named takes responsibility for it. DANGER cannot be accepted."
            .to_owned(),
    );
    (!table.rows.is_empty()).then_some(table)
}

fn not_checked_table(subject: &Subject<'_>) -> Table {
    let columns = vec![Column::words("Rule"), Column::sentences("Parts"), Column::sentences("Not checked, because")];
    let mut table = Table::new("not-checked", "Survey: what was not checked", columns);
    for check in &subject.survey.not_checked {
        let mut parts = check.parts.clone();
        parts.sort_by_cached_key(|&id| natural(subject.installation.tag(id)));
        let parts = tags(subject, &parts);
        let parts = if parts.is_empty() { "the whole drawing".to_owned() } else { parts };
        let row = Row::of([check.rule, &parts, &check.because].into_iter().map(Cell::words).collect());
        table.rows.push(Row { about: check.parts.first().map(|&p| Target::Part(p)), ..row });
    }
    if table.rows.is_empty() {
        table.instead = "Every rule of this rule set had what it needs.".to_owned();
    }
    table.notes.push(
        "What the rules do not look at is not checked either: workmanship, earthing on the boat, the DC side, the shore \
         pedestal, anything that is not drawn."
            .to_owned(),
    );
    table
}
