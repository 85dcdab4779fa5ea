//! Text for a terminal: headings, wrapped paragraphs, aligned tables.

use crate::units::Severity;
use anstyle::{AnsiColor, Style};
use comfy_table::{CellAlignment, ContentArrangement, Table};

/// Columns for paragraphs where the output is no terminal.
const PLAIN_WIDTH: usize = 100;

/// The width of the terminal; `None` where the output is none.
fn terminal_width() -> Option<u16> {
    terminal_size::terminal_size_of(std::io::stdout()).map(|(width, _)| width.0.max(40))
}

/// Columns for paragraphs.
fn width() -> usize {
    terminal_width().map_or(PLAIN_WIDTH, |w| usize::from(w).min(120))
}

fn styled(style: Style, text: &str) -> String {
    format!("{style}{text}{style:#}")
}

/// A heading on a line of its own, with a blank line before.
pub fn heading(text: &str) -> String {
    format!("\n{}\n", styled(Style::new().bold(), text))
}

/// A signal word, in the colour of its hazard where colours are shown; the word itself always says it.
pub fn signal(severity: Severity) -> String {
    let style = match severity {
        Severity::Danger => Style::new().bold().fg_color(Some(AnsiColor::Red.into())),
        Severity::Warning => Style::new().bold().fg_color(Some(AnsiColor::Yellow.into())),
        Severity::Caution => Style::new().fg_color(Some(AnsiColor::Cyan.into())),
        Severity::Notice => Style::new().fg_color(Some(AnsiColor::Blue.into())),
    };
    styled(style, severity.word())
}

/// A paragraph, wrapped, each line after the first `indent` blanks in; `first` stands before the first line and is
/// `first_width` columns wide.
fn wrapped(first: &str, first_width: usize, text: &str, indent: usize) -> String {
    let limit = width();
    let mut out = first.to_owned();
    let mut column = first_width;
    let mut fresh = true;
    for word in text.split_whitespace() {
        let length = word.chars().count();
        if !fresh && column + 1 + length > limit {
            out.push('\n');
            out.push_str(&" ".repeat(indent));
            column = indent;
            fresh = true;
        }
        if !fresh {
            out.push(' ');
            column += 1;
        }
        out.push_str(word);
        column += length;
        fresh = false;
    }
    out.push('\n');
    out
}

/// A wrapped paragraph, `indent` blanks in.
pub fn paragraph(text: &str, indent: usize) -> String {
    wrapped(&" ".repeat(indent), indent, text, indent)
}

/// A wrapped paragraph that begins with a signal word.
pub fn signalled(severity: Severity, text: &str) -> String {
    const COLUMN: usize = 9;
    let blanks = " ".repeat(COLUMN.saturating_sub(severity.word().len()));
    wrapped(&format!("{}{blanks}", signal(severity)), COLUMN, text, COLUMN)
}

/// An aligned table. Columns whose name begins with `>` are aligned to the right. Fits the terminal, where there is one.
pub fn table(columns: &[&str], rows: Vec<Vec<String>>) -> String {
    let mut table = Table::new();
    table.load_style(comfy_table::presets::NOTHING).set_content_arrangement(ContentArrangement::Dynamic);
    if let Some(width) = terminal_width() {
        table.set_width(width);
    }
    table.set_header(columns.iter().map(|c| c.trim_start_matches('>')));
    for row in rows {
        table.add_row(row);
    }
    for (i, name) in columns.iter().enumerate() {
        if let Some(column) = table.column_mut(i) {
            column.set_padding((0, 2));
            if name.starts_with('>') {
                column.set_cell_alignment(CellAlignment::Right);
            }
        }
    }
    let text: Vec<String> = table.lines().map(|line| line.trim_end().to_owned()).collect();
    text.join("\n") + "\n"
}
