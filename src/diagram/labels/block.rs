//! Blocks of text and gauges that are measured, placed and then drawn.

use crate::diagram::font::{DESCENT, text_width};
use crate::diagram::pen::{Pen, weight};
use crate::diagram::scene::{Align, Ink, Stroke, Weight};
use crate::installation::{Point, Rect};

/// Room between the lines of a block, against the height of capitals.
const LEADING: f64 = 0.62;
/// Width of a gauge's bar.
const GAUGE: f64 = 15.0;
/// Room for the word before a gauge, against the height of capitals.
const GAUGE_WORD: f64 = 5.75;
/// Stands for the number of a note until that is known; no number is wider.
pub const NUMBER: &str = "(000)";

/// Text of one style.
#[derive(Clone, Debug, PartialEq)]
pub struct Span {
    /// What.
    pub text: String,
    /// Height of capitals.
    pub size: f64,
    /// Weight.
    pub weight: Weight,
    /// Colour.
    pub ink: Ink,
}

impl Span {
    /// Regular text.
    pub fn regular(text: impl Into<String>, size: f64, ink: Ink) -> Self {
        Self { text: text.into(), size, weight: Weight::Regular, ink }
    }

    /// Bold text.
    pub fn bold(text: impl Into<String>, size: f64, ink: Ink) -> Self {
        Self { text: text.into(), size, weight: Weight::Bold, ink }
    }

    fn width(&self) -> f64 {
        text_width(&self.text, self.size, self.weight)
    }
}

/// A line of a block.
#[derive(Clone, Debug, PartialEq)]
pub enum Line {
    /// Text, in one or more styles.
    Text(Vec<Span>),
    /// A word, a bar and a figure.
    Gauge {
        /// Before the bar.
        word: &'static str,
        /// After the bar.
        figure: String,
        /// How full; `None` where it is not known.
        share: Option<f64>,
        /// Height of capitals.
        size: f64,
    },
}

impl Line {
    fn capital(&self) -> f64 {
        match self {
            Self::Text(spans) => spans.iter().map(|s| s.size).fold(0.0, f64::max),
            Self::Gauge { size, .. } => *size,
        }
    }

    fn width(&self) -> f64 {
        match self {
            Self::Text(spans) => spans.iter().map(Span::width).sum(),
            Self::Gauge { figure, size, .. } => {
                GAUGE_WORD * size + GAUGE + 1.5 + text_width(figure, *size, Weight::Bold)
            }
        }
    }
}

/// Lines that belong together.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Block {
    lines: Vec<Line>,
    width: f64,
    height: f64,
}

impl Block {
    /// A block of lines.
    #[must_use]
    pub fn new(lines: Vec<Line>) -> Self {
        let width = lines.iter().map(Line::width).fold(0.0, f64::max);
        let mut height = 0.0;
        for (i, line) in lines.iter().enumerate() {
            height += line.capital() * if i == 0 { 1.0 } else { 1.0 + LEADING };
        }
        height += lines.last().map_or(0.0, |l| l.capital() * DESCENT);
        Self { lines, width, height }
    }

    /// One line of text.
    #[must_use]
    pub fn line(spans: Vec<Span>) -> Self {
        Self::new(vec![Line::Text(spans)])
    }

    /// Width in millimetres.
    #[must_use]
    pub fn width(&self) -> f64 {
        self.width
    }

    /// Height in millimetres, descenders included.
    #[must_use]
    pub fn height(&self) -> f64 {
        self.height
    }

    /// What the block covers with its upper left corner at `at`.
    #[must_use]
    pub fn rect(&self, at: Point) -> Rect {
        Rect::between(at, at.moved(self.width, self.height))
    }

    /// All that it says, in one line.
    #[must_use]
    pub fn words(&self) -> String {
        let line = |line: &Line| match line {
            Line::Text(spans) => spans.iter().map(|s| s.text.as_str()).collect::<String>(),
            Line::Gauge { word, figure, .. } => format!("{word} {figure}"),
        };
        let lines: Vec<String> = self.lines.iter().map(|l| line(l).trim().to_owned()).collect();
        lines.join("; ").split_whitespace().collect::<Vec<_>>().join(" ")
    }

    /// True where it holds the place of a number.
    #[must_use]
    pub fn is_numbered(&self) -> bool {
        self.lines.iter().any(|l| matches!(l, Line::Text(spans) if spans.iter().any(|s| s.text.contains(NUMBER))))
    }

    /// With the number of its note put in.
    #[must_use]
    pub fn with_number(&self, number: usize) -> Self {
        let mut out = self.clone();
        for line in &mut out.lines {
            if let Line::Text(spans) = line {
                for span in spans {
                    span.text = span.text.replace(NUMBER, &format!("({number})"));
                }
            }
        }
        out
    }

    /// Draws the block with its upper left corner at `at`; `live` is the ink of gauges.
    pub fn draw(&self, pen: &mut Pen, at: Point, live: Ink) {
        let mut y = at.y;
        for (i, line) in self.lines.iter().enumerate() {
            y += line.capital() * if i == 0 { 1.0 } else { 1.0 + LEADING };
            match line {
                Line::Text(spans) => {
                    let mut x = at.x;
                    for span in spans {
                        let shown = span.text.trim_start();
                        let lead = span.width() - text_width(shown, span.size, span.weight);
                        let end = Point::new(x + lead, y);
                        pen.text(end, shown.trim_end(), span.size, Align::Left, span.weight, span.ink);
                        x += span.width();
                    }
                }
                Line::Gauge { word, figure, share, size } => {
                    gauge(pen, Point::new(at.x, y), (word, figure, *share), *size, live);
                }
            }
        }
    }
}

fn gauge(pen: &mut Pen, base: Point, (word, figure, share): (&str, &str, Option<f64>), size: f64, live: Ink) {
    pen.text(base, word, size, Align::Left, Weight::Regular, Ink::Faint);
    let x = base.x + GAUGE_WORD * size;
    let track = Rect::between(Point::new(x, base.y - size), Point::new(x + GAUGE, base.y));
    let over = share.is_some_and(|s| crate::units::above(s, 1.0));
    let close = share.is_some_and(|s| s >= 0.9);
    pen.rounded(track, 0.4, Some(Stroke::solid(weight::FINE, Ink::Track)), Some(Ink::Paper));
    if over {
        pen.rounded(track, 0.4, Some(Stroke::solid(weight::FINE, Ink::Over)), None);
        pen.hatch(track, 1.1, Stroke::solid(weight::MEDIUM, Ink::Over));
    } else if let Some(share) = share.filter(|s| *s > 0.0) {
        let mut filled = track;
        filled.max.x = track.min.x + track.width() * share.min(1.0);
        pen.rounded(filled, (filled.width() / 2.0).min(0.4), None, Some(if close { Ink::Close } else { live }));
    }
    let (weight, ink) = match (over, share) {
        (true, _) => (Weight::Bold, Ink::Over),
        (_, None) => (Weight::Regular, Ink::Faint),
        _ => (Weight::Regular, Ink::Line),
    };
    pen.text(base.moved(GAUGE_WORD * size + GAUGE + 1.5, 0.0), figure, size, Align::Left, weight, ink);
}

/// A label with the places where it may stand, best first.
#[derive(Clone, Debug, Default)]
pub struct Label {
    /// Forms, full first.
    pub blocks: Vec<Block>,
    /// Form and upper left corner.
    pub candidates: Vec<(usize, Point)>,
    /// The whole text, where a form holds the number of a note instead.
    pub note: Option<String>,
}

impl Label {
    /// The block and where its best place is.
    #[must_use]
    pub fn first_rect(&self) -> Option<Rect> {
        let (block, at) = self.candidates.first()?;
        Some(self.blocks.get(*block)?.rect(*at))
    }

    /// Adds a form of the label with its places, given as functions of its width and height.
    pub fn offer(&mut self, block: Block, places: impl IntoIterator<Item = Point>) {
        let number = self.blocks.len();
        self.candidates.extend(places.into_iter().map(|at| (number, at)));
        self.blocks.push(block);
    }
}
