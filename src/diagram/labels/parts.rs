//! Labels of parts: tag in bold, then what belongs to it.

use super::block::{Block, Label, Line, NUMBER, Span};
use super::words::{Words, signed};
use crate::diagram::font::{fitted, text_width};
use crate::diagram::geometry::Footprint;
use crate::diagram::pen::size;
use crate::diagram::scene::{Ink, Weight};
use crate::diagram::status::{Status, panel_volts};
use crate::installation::{Part, PartId, PartKind, Point, Property, Space};
use crate::units::{trimmed, watts};

/// Room for the label of a breaker after its tag.
const BREAKER_ROOM: f64 = 38.0;
/// Fewer letters of a label than this say nothing.
const LEAST: usize = 9;

/// The labels of a part, the one with its tag first; `next` is the first part downstream.
#[must_use]
pub fn part_labels(
    words: &Words<'_>,
    id: PartId,
    part: &Part,
    foot: &Footprint,
    next: Option<&Footprint>,
) -> Vec<Label> {
    let status = Status::of_part(words.solution, id);
    let ink = if words.overlay.over_parts.contains(&id) { Ink::Over } else { status.ink() };
    match part.kind {
        PartKind::ShoreInlet | PartKind::Generator | PartKind::Inverter => vec![source(words, id, part, foot, ink)],
        PartKind::Breaker => vec![breaker(words, part, foot, ink, next, told_beyond(words, foot, &part.label))],
        PartKind::Appliance => appliance(words, id, part, foot, ink),
        PartKind::Outlet => vec![outlet(words, part, foot, ink, told_beyond(words, foot, &part.label))],
        PartKind::Panel => vec![panel(words, id, part, foot, ink)],
        PartKind::Selector
        | PartKind::IsolationTransformer
        | PartKind::GalvanicIsolator
        | PartKind::PolarityIndicator
        | PartKind::Junction => vec![plain(words, id, part, foot, ink)],
    }
}

fn has_label(part: &Part) -> bool {
    !part.label.is_empty() && part.label != part.tag
}

/// True where what follows on the same row bears the same words, so that they need not be written twice.
fn told_beyond(words: &Words<'_>, foot: &Footprint, label: &str) -> bool {
    let [only] = foot.leaving.as_slice() else { return false };
    let Some(to) = words.installation.cables.get(only).map(|c| c.to) else { return false };
    let Some(next) = words.installation.parts.get(&to) else { return false };
    if next.label == label {
        return true;
    }
    let beyond = words.installation.leaving(to).map(|(_, c)| c.to).collect::<Vec<_>>();
    let [beyond] = beyond.as_slice() else { return false };
    next.kind == PartKind::Outlet && words.installation.parts.get(beyond).is_some_and(|p| p.label == label)
}

/// Tag and label in bold.
fn heading(part: &Part, capital: f64, ink: Ink) -> Span {
    Span::bold(part.name(), capital, ink)
}

fn source(words: &Words<'_>, id: PartId, part: &Part, foot: &Footprint, ink: Ink) -> Label {
    let mut lines = vec![Line::Text(vec![heading(part, words.size(size::TAG), ink)])];
    lines.push(Line::Text(vec![Span::regular(words.source_ratings(id, part), words.size(size::DATA), Ink::Faint)]));
    for (text, hazard) in words.source_words(id, part) {
        let span = if hazard {
            Span::bold(text, words.size(size::NAME), Ink::Danger)
        } else {
            Span::regular(text, words.size(size::DATA), Ink::Faint)
        };
        lines.push(Line::Text(vec![span]));
    }
    for (word, figure, share) in words.gauges(id, part) {
        lines.push(Line::Gauge { word, figure, share, size: words.size(size::SMALL) });
    }
    let block = Block::new(lines);
    let at = foot.at;
    let (w, h) = (block.width(), block.height());
    let places = [
        at.moved(-5.0, 7.6),
        at.moved(-5.0, -h - 6.0),
        at.moved(5.0 - w, 7.6),
        at.moved(5.0 - w, -h - 6.0),
        at.moved(-7.0 - w, -h / 2.0),
        at.moved(-5.0, 12.0),
        at.moved(-5.0, -h - 12.0),
    ];
    let mut label = Label::default();
    label.offer(block, places);
    label
}

fn breaker(words: &Words<'_>, part: &Part, foot: &Footprint, ink: Ink, next: Option<&Footprint>, told: bool) -> Label {
    let mut spans = vec![Span::bold(part.tag.clone(), words.size(size::TAG), ink)];
    match Words::breaker_rating(part) {
        Some(rating) => spans.push(Span::bold(format!(" {rating}"), words.size(size::TAG), ink)),
        None => spans.push(Span::regular(" rating not known", words.size(size::SMALL), Ink::Faint)),
    }
    let used: f64 = spans.iter().map(|s| text_width(&s.text, s.size, s.weight)).sum();
    // What follows closely has a label of its own, centred on it.
    let own = next.filter(|n| (n.at.y - foot.at.y).abs() < 1.0 && n.at.x > foot.at.x);
    let end = own.map_or(f64::INFINITY, |n| n.outline.min.x - foot.at.x - 5.0);
    let mut forms = Vec::new();
    let mut note = None;
    if has_label(part) && !told && words.options.numbered {
        let whole = format!("  {}", part.label);
        let mut with = spans.clone();
        if used + text_width(&whole, words.size(size::SMALL), Weight::Regular) <= BREAKER_ROOM.min(end) {
            with.push(Span::regular(whole, words.size(size::SMALL), Ink::Faint));
            forms.push(with);
            spans.push(Span::regular(format!(" {NUMBER}"), words.size(size::SMALL), Ink::Faint));
        } else {
            spans.push(Span::regular(format!(" {NUMBER}"), words.size(size::SMALL), Ink::Faint));
        }
        note = Some(part.label.clone());
    } else if has_label(part) && !told {
        for room in [BREAKER_ROOM.min(end), 26.0] {
            let text = fitted(&format!("  {}", part.label), words.size(size::SMALL), Weight::Regular, room - used);
            if text.chars().count() > LEAST {
                let mut with = spans.clone();
                with.push(Span::regular(text, words.size(size::SMALL), Ink::Faint));
                forms.push(with);
            }
        }
    }
    forms.push(spans);
    let mut label = Label { note, ..Label::default() };
    for form in forms {
        let block = Block::line(form);
        let (w, h) = (block.width(), block.height());
        let places = [foot.at.moved(-5.0, -3.2 - h), foot.at.moved(5.0 - w, -3.2 - h), foot.at.moved(-5.0, 5.2)];
        label.offer(block, places);
    }
    label
}

fn appliance(words: &Words<'_>, id: PartId, part: &Part, foot: &Footprint, ink: Ink) -> Vec<Label> {
    let on = words.installation.is_on(id, words.solution.walk.condition);
    let ink = if on { ink } else { Ink::NotFed };
    let mut tag = Label::default();
    let block = Block::line(vec![Span::bold(part.tag.clone(), words.size(size::TAG), ink)]);
    let top = -5.0 - block.height();
    let h = block.height();
    // Over the box as long as there is room: below it would stand right above what comes next.
    let places = [(-20.0, top), (-15.0, top), (-10.0, top), (-20.0, 5.0), (-20.0, top - h)];
    tag.offer(block, places.map(|(x, y)| foot.at.moved(x, y)));
    let figure = match part.run_w(words.installation.system) {
        Some(w) => Span::regular(
            signed(&part.origins, Property::RunW, watts(w)),
            words.size(size::NAME),
            if on { Ink::Faint } else { Ink::NotFed },
        ),
        None => Span::regular("watts not known", words.size(size::SMALL), Ink::Faint),
    };
    let block = Block::line(vec![figure]);
    let (w, h) = (block.width(), block.height());
    let mut power = Label::default();
    let top = -5.0 - h;
    power.offer(block, [foot.at.moved(15.0 - w, top), foot.at.moved(15.0 - w, 5.0), foot.at.moved(25.5, -h / 2.0)]);
    vec![tag, power]
}

fn outlet(words: &Words<'_>, part: &Part, foot: &Footprint, ink: Ink, told: bool) -> Label {
    let tag = Span::bold(part.tag.clone(), words.size(size::TAG), ink);
    let mut label = Label::default();
    let mut last = vec![tag.clone()];
    if has_label(part) && !told {
        let text = fitted(&part.label, words.size(size::SMALL), Weight::Regular, 24.0);
        if text == part.label || !words.options.numbered {
            let text = Span::regular(format!("{text}  "), words.size(size::SMALL), Ink::Faint);
            let block = Block::line(vec![text, tag]);
            let (w, h) = (block.width(), block.height());
            label.offer(block, [foot.at.moved(3.5 - w, -4.4 - h)]);
        }
        if words.options.numbered {
            last.push(Span::regular(format!(" {NUMBER}"), words.size(size::SMALL), Ink::Faint));
            label.note = Some(part.label.clone());
        }
    }
    let block = Block::line(last);
    let (w, h) = (block.width(), block.height());
    let places = [
        foot.at.moved(3.5 - w, -4.4 - h),
        foot.at.moved(-5.0, -4.4 - h),
        foot.at.moved(-w - 3.0, 2.0),
        foot.at.moved(-w / 2.0, 7.0),
    ];
    label.offer(block, places);
    label
}

fn panel(words: &Words<'_>, id: PartId, part: &Part, foot: &Footprint, ink: Ink) -> Label {
    let mut text = part.name();
    if !words.options.without_figures
        && let Some(volts) = panel_volts(words.solution, id)
    {
        text.push_str(" · ");
        text.push_str(&volts);
    }
    let block = Block::line(vec![Span::bold(text, words.size(size::TITLE), ink)]);
    let (w, h) = (block.width(), block.height());
    let (x, top, bottom) = (foot.at.x, foot.outline.min.y, foot.outline.max.y);
    let places = [
        Point::new(x - 8.8, top - 3.2 - h),
        Point::new(x - w / 2.0, top - 3.2 - h),
        Point::new(x - 1.0, top - 3.2 - h),
        Point::new(x + 1.0 - w, top - 3.2 - h),
        Point::new(x - w / 2.0, bottom + 2.0),
        Point::new(x + 1.0 - w, bottom + 2.0),
        Point::new(x - 1.0, top - 6.0 - h),
    ];
    let mut label = Label::default();
    label.offer(block, places);
    label
}

/// Tag, label and what else there is to say, centred above or below.
fn plain(words: &Words<'_>, id: PartId, part: &Part, foot: &Footprint, ink: Ink) -> Label {
    let mut spans = vec![heading(part, words.size(size::TAG), ink)];
    if let Some(a) = part.rating_a {
        let rating = signed(&part.origins, Property::RatingA, format!(" {} A", trimmed(a, 1)));
        spans.push(Span::regular(rating, words.size(size::DATA), Ink::Faint));
    }
    let off = part.kind == PartKind::Selector
        && !words.solution.walk.reach.is_empty()
        && !words.solution.walk.chosen.contains_key(&id);
    if off {
        spans.push(Span::bold(" off", words.size(size::TAG), ink));
    }
    if part.kind == PartKind::IsolationTransformer {
        let volts = part.volts(words.installation.system);
        // In split-phase the secondary is centre-tapped.
        let volts = if words.installation.system.is_split_phase() {
            format!(" {}/{} V", trimmed(volts, 1), trimmed(2.0 * volts, 1))
        } else {
            format!(" {} V", trimmed(volts, 1))
        };
        spans.push(Span::regular(volts, words.size(size::DATA), Ink::Faint));
    }
    let block = Block::line(spans);
    let (w, h) = (block.width(), block.height());
    let (x, top, bottom) = (foot.at.x, foot.outline.min.y, foot.outline.max.y);
    let below = if part.kind == PartKind::IsolationTransformer { bottom + 3.2 } else { bottom + 1.6 };
    let beside = Point::new(foot.outline.max.x + 1.6, foot.at.y - h / 2.0 + 0.3);
    let above = Point::new(x - w / 2.0, top - 1.6 - h);
    let first = if part.kind == PartKind::PolarityIndicator { beside } else { above };
    let places = [
        first,
        above,
        Point::new(x - 5.0, top - 1.6 - h),
        Point::new(x + 5.0 - w, top - 1.6 - h),
        Point::new(x - w / 2.0, below),
        Point::new(x - 5.0, below),
        Point::new(x + 5.0 - w, below),
    ];
    let mut label = Label::default();
    label.offer(block, places);
    label
}

/// The name of a space.
#[must_use]
pub fn space_block(words: &Words<'_>, space: &Space) -> Block {
    let name = if space.name.is_empty() { space.kind.name() } else { &space.name };
    Block::line(vec![Span::bold(name, words.size(size::NAME), Ink::Faint)])
}
