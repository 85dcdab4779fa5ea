//! Hours of the day in which an operating condition holds.

use std::fmt::Write as _;

/// From one hour of the day to a later one, 0 ≤ from < to ≤ 24; 18.5 is half past six in the evening.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Span {
    /// Hour at which it begins.
    pub from: f64,
    /// Hour at which it ends.
    pub to: f64,
}

impl Span {
    /// What would be valid, for an error message.
    pub const HINT: &'static str =
        "spans of the day such as 7-9, 18:30-22; hours from 0 to 24, each later than the one before";

    /// A span where it is one.
    #[must_use]
    pub fn new(from: f64, to: f64) -> Option<Self> {
        (from >= 0.0 && from < to && to <= 24.0).then_some(Self { from, to })
    }

    /// Its length in hours.
    #[must_use]
    pub fn hours(self) -> f64 {
        self.to - self.from
    }
}

/// Sum of spans in hours.
#[must_use]
pub fn hours(spans: &[Span]) -> f64 {
    spans.iter().map(|s| s.hours()).sum()
}

/// Spans in order, those that touch or overlap joined.
#[must_use]
pub fn joined(spans: &[Span]) -> Vec<Span> {
    let mut sorted = spans.to_vec();
    sorted.sort_by(|a, b| a.from.total_cmp(&b.from));
    let mut out: Vec<Span> = Vec::new();
    for span in sorted {
        match out.last_mut() {
            Some(last) if span.from <= last.to => last.to = last.to.max(span.to),
            _ => out.push(span),
        }
    }
    out
}

/// The first stretch that lies in both lists.
#[must_use]
pub fn overlap(a: &[Span], b: &[Span]) -> Option<Span> {
    a.iter()
        .flat_map(|x| b.iter().map(move |y| (x, y)))
        .find_map(|(x, y)| Span::new(x.from.max(y.from), x.to.min(y.to)))
}

/// What of `spans` lies outside `taken`, which is in order.
#[must_use]
pub fn without(spans: &[Span], taken: &[Span]) -> Vec<Span> {
    let mut out = Vec::new();
    for span in spans {
        let mut from = span.from;
        for cut in taken.iter().filter(|t| t.to > span.from && t.from < span.to) {
            out.extend(Span::new(from, cut.from));
            from = from.max(cut.to);
        }
        out.extend(Span::new(from, span.to));
    }
    out
}

/// Hour of a day: `7`, `18:30`, `18.5`.
fn clock(text: &str) -> Option<f64> {
    let text = text.trim();
    match text.split_once(':') {
        Some((hour, minute)) => {
            let hour: u8 = hour.trim().parse().ok().filter(|h| *h <= 24)?;
            let minute: u8 = minute.trim().parse().ok().filter(|m| *m < 60)?;
            Some(f64::from(hour) + f64::from(minute) / 60.0)
        }
        None => crate::units::parse_number(text).ok(),
    }
}

/// Reads `7-9, 18:30-22`. A span over midnight, `22-6`, is cut in two. `None` where it is no such list; empty text is no
/// span.
#[must_use]
pub fn parse_spans(text: &str) -> Option<Vec<Span>> {
    let mut out = Vec::new();
    for piece in text.split([',', ';']).map(str::trim).filter(|p| !p.is_empty()) {
        let (from, to) = piece.split_once(['-', '–'])?;
        let (from, to) = (clock(from)?, clock(to)?);
        if from > to && from <= 24.0 && to >= 0.0 {
            out.extend(Span::new(from, 24.0));
            out.extend(Span::new(0.0, to));
        } else {
            out.push(Span::new(from, to)?);
        }
    }
    Some(joined(&out))
}

fn hour_text(hour: f64) -> String {
    let minutes = (hour * 60.0).round();
    let (whole, rest) = ((minutes / 60.0).floor(), minutes % 60.0);
    format!("{whole:02}:{rest:02}")
}

/// `07:00–09:00, 18:30–22:00`, to the minute; empty where there is no span.
#[must_use]
pub fn spans_text(spans: &[Span]) -> String {
    let mut out = String::new();
    for (i, span) in spans.iter().enumerate() {
        let comma = if i > 0 { ", " } else { "" };
        let _ = write!(out, "{comma}{}–{}", hour_text(span.from), hour_text(span.to));
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn spans_read_join_and_read_back() {
        let spans = parse_spans("18:30-22, 7–9").unwrap();
        assert_eq!(spans_text(&spans), "07:00–09:00, 18:30–22:00");
        assert_eq!(parse_spans(&spans_text(&spans)), Some(spans.clone()));
        assert_eq!(hours(&spans), 5.5);
        assert_eq!(spans_text(&parse_spans("22-6").unwrap()), "00:00–06:00, 22:00–24:00");
        assert_eq!(spans_text(&parse_spans("8-10, 9-12").unwrap()), "08:00–12:00");
        assert_eq!(parse_spans(""), Some(Vec::new()));
        for bad in ["7", "7-7", "7-25", "a-b", "7:60-9"] {
            assert_eq!(parse_spans(bad), None, "{bad}");
        }
    }

    #[test]
    fn overlaps_are_found() {
        let (a, b) = (parse_spans("7-9,18-22").unwrap(), parse_spans("9-12,21-23").unwrap());
        assert_eq!(overlap(&a, &b), Span::new(21.0, 22.0));
        assert_eq!(overlap(&a, &parse_spans("9-18").unwrap()), None);
        assert_eq!(spans_text(&without(&a, &b)), "07:00–09:00, 18:00–21:00");
        assert_eq!(spans_text(&without(&a, &parse_spans("8-8:30").unwrap())), "07:00–08:00, 08:30–09:00, 18:00–22:00");
    }
}
