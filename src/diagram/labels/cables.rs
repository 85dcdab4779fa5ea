//! Labels of cables: what they carry, and under it what they are, in two short lines near their outgoing end.

use super::block::{Block, Label, Line, Span};
use super::words::Words;
use crate::diagram::pen::size;
use crate::diagram::routing::Route;
use crate::diagram::scene::Ink;
use crate::diagram::status::{Status, cable_width};
use crate::installation::{Cable, CableId, PartKind, Point};

/// Distance of a label from its stroke.
const GAP: f64 = 1.2;
/// Top of a label under a breaker's load bar, below its line.
const UNDER_BAR: f64 = 5.8;

/// The label of a fitted cable; `None` where a part is bolted on.
#[must_use]
pub fn cable_label(words: &Words<'_>, id: CableId, cable: &Cable, route: &Route) -> Option<Label> {
    let make = words.make(&cable.data, &cable.origins)?;
    let status = Status::of_cable(words.installation, words.solution, id);
    let over = words.overlay.over_cables.contains(&id);
    let mut lines = Vec::new();
    if let Some(carries) = words.carries(id, status) {
        let ink = if over { Ink::Over } else { Ink::Line };
        let span = if over {
            Span::bold(carries, words.size(size::DATA), ink)
        } else {
            Span::regular(carries, words.size(size::DATA), ink)
        };
        lines.push(Line::Text(vec![span]));
    }
    let make = if cable.tag.is_empty() { make } else { format!("{} · {make}", cable.tag) };
    lines.push(Line::Text(vec![Span::regular(make, words.size(size::DATA), Ink::Faint)]));
    let block = Block::new(lines);
    let amps = words.solution.cables.get(&id).and_then(|f| f.amps);
    let gap = GAP + cable_width(amps) / 2.0;
    let mut places = places(&block, route, gap);
    let from_breaker = words.installation.parts.get(&cable.from).is_some_and(|p| p.kind == PartKind::Breaker);
    let first = route.stretches().next().filter(|(a, b)| (a.y - b.y).abs() < 1e-6 && b.x > a.x);
    if let Some((a, _)) = first.filter(|(a, b)| from_breaker && b.x - a.x < block.width() + 4.0) {
        // A short stretch: under the breaker's load bar, in line with its tag.
        places.insert(0, Point::new(a.x - 10.0, a.y + UNDER_BAR));
    }
    let mut label = Label::default();
    label.offer(block, places);
    Some(label)
}

/// Under the level stretches from the upstream end on, then over them, then beside the upright ones, then further off.
fn places(block: &Block, route: &Route, gap: f64) -> Vec<Point> {
    let (w, h) = (block.width(), block.height());
    let mut out = Vec::new();
    let level = |(a, b): &(Point, Point)| (a.y - b.y).abs() < 1e-6 && (a.x - b.x).abs() > 1.0;
    let stretches: Vec<(Point, Point)> = route.stretches().collect();
    for far in 0..4 {
        let off = f64::from(far) * 3.0;
        for (a, b) in stretches.iter().filter(|s| level(s)) {
            let (left, right) = (a.x.min(b.x), a.x.max(b.x));
            let mut starts = vec![left + 2.0];
            if right - left > w + 4.0 {
                starts.extend([left + 6.0, f64::midpoint(left, right) - w / 2.0, right - w - 2.0]);
                let mut x = left + 12.0;
                while x < right - w - 2.0 && starts.len() < 16 {
                    starts.push(x);
                    x += 8.0;
                }
            } else {
                starts.push(right - w - 2.0);
            }
            for x in &starts {
                out.push(Point::new(*x, a.y + gap + off));
            }
            for x in &starts {
                out.push(Point::new(*x, a.y - gap - h - off));
            }
        }
        for (a, b) in stretches.iter().filter(|s| !level(s)) {
            let (top, bottom) = (a.y.min(b.y), a.y.max(b.y));
            for y in [f64::midpoint(top, bottom) - h / 2.0, top + 2.0, bottom - h - 2.0] {
                out.push(Point::new(a.x + gap + off, y));
                out.push(Point::new(a.x - gap - w - off, y));
            }
        }
    }
    out
}
