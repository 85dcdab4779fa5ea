//! What lies over and under the drawing: the grid, the path to the source, selection, focus, and what a gesture shows.

use super::Canvas;
use super::gesture::Gesture;
use super::hit::{self, Hit};
use super::paint::{Brush, Style};
use super::view::Map;
use crate::app::state::State;
use crate::app::theme::Tokens;
use crate::diagram::{Item, Scene, Target};
use crate::installation::{CableId, PartId, PartKind, Point, Rect};
use egui::{CornerRadius, Painter, Pos2, Stroke, StrokeKind, Vec2, vec2};

/// Dash and gap of the outline of what is selected, in points.
const DASH: (f32, f32) = (4.0, 3.0);

/// The points of the grid; fewer where they would stand close.
pub fn grid(painter: &Painter, map: &Map, tokens: &Tokens) {
    let mut pitch = 2.0 * Point::GRID_MM;
    while map.len(pitch) < 22.0 {
        pitch *= 2.0;
    }
    let seen = map.seen();
    let first = |v: f64| (v / pitch).floor() * pitch;
    let dot = vec2(1.2, 1.2);
    let mut y = first(seen.min.y);
    // One mesh: a screen has thousands of them.
    let mut dots = egui::Mesh::default();
    while y <= seen.max.y {
        let mut x = first(seen.min.x);
        while x <= seen.max.x {
            dots.add_colored_rect(egui::Rect::from_center_size(map.pos(Point::new(x, y)), dot), tokens.grid);
            x += pitch;
        }
        y += pitch;
    }
    painter.add(dots);
}

/// Parts and cables from a target to the source that feeds it, and all that it feeds.
#[must_use]
pub fn path_of(state: &State, target: Target) -> (Vec<PartId>, Vec<CableId>) {
    let walk = &state.computed.solution.walk;
    let (part, last) = match target {
        Target::Part(p) | Target::Switch(p) => (p, None),
        Target::Cable(c) => match state.installation().cables.get(&c) {
            Some(cable) => (cable.from, Some(c)),
            None => return (Vec::new(), Vec::new()),
        },
        Target::Space(_) => return (Vec::new(), Vec::new()),
    };
    let mut parts = walk.path_to_source(part);
    if parts.is_empty() {
        parts.push(part);
    }
    let feeds = parts.iter().filter_map(|p| walk.feeds.get(p)).map(|f| f.cable);
    let mut cables: Vec<CableId> = feeds.chain(last).collect();
    let start = match target {
        Target::Cable(c) => state.installation().cables.get(&c).map_or(part, |cable| cable.to),
        _ => part,
    };
    let (fed, ways) = fed_by(state, start);
    parts.extend(fed);
    cables.extend(ways);
    (parts, cables)
}

/// Parts that a part feeds in this condition, directly or through others, itself among them, and the cables on the way.
fn fed_by(state: &State, start: PartId) -> (Vec<PartId>, Vec<CableId>) {
    let walk = &state.computed.solution.walk;
    let (mut parts, mut cables) = (std::collections::BTreeSet::from([start]), Vec::new());
    // Parents come first in the walk, so that one pass finds all.
    for part in &walk.order {
        if let Some(feed) = walk.feeds.get(part).filter(|f| parts.contains(&f.from)) {
            parts.insert(*part);
            cables.push(feed.cable);
        }
    }
    (parts.into_iter().collect(), cables)
}

/// A quiet band under what is selected or hovered and its path to the source. Painted between spaces and cables.
pub fn bands(painter: &Painter, map: &Map, state: &State, focused: Option<Target>, tokens: &Tokens) {
    let scene = &state.computed.scene;
    let band = |cable: CableId| {
        if let Some(path) = path(scene, cable) {
            let points: Vec<Pos2> = path.points.iter().map(|p| map.pos(*p)).collect();
            let width = (map.len(1.0) + 8.0).clamp(9.0, 16.0);
            painter.line(points, Stroke::new(width, tokens.fed.gamma_multiply(0.28)));
        }
    };
    let card = |part: PartId| {
        if let Some(area) = area(scene, part) {
            let ground = tokens.fed.gamma_multiply(0.14);
            painter.rect_filled(map.rect(area.symbol).expand(4.0), CornerRadius::same(4), ground);
        }
    };
    if let Some(target) = state.hovered.or(focused) {
        let (parts, cables) = path_of(state, target);
        cables.into_iter().for_each(band);
        parts.into_iter().for_each(card);
    }
    state.selection().cables.iter().copied().for_each(band);
    state.selection().parts.iter().copied().for_each(card);
}

/// The area of a part in a scene.
#[must_use]
pub fn area(scene: &Scene, part: PartId) -> Option<&crate::diagram::PartArea> {
    scene.parts.binary_search_by_key(&part, |a| a.part).ok().map(|i| &scene.parts[i])
}

/// The line of a cable in a scene.
fn path(scene: &Scene, cable: CableId) -> Option<&crate::diagram::CablePath> {
    scene.cables.binary_search_by_key(&cable, |c| c.cable).ok().map(|i| &scene.cables[i])
}

fn dashed_box(painter: &Painter, rect: egui::Rect, stroke: Stroke) {
    if !painter.clip_rect().intersects(rect) {
        return;
    }
    let corners = [rect.left_top(), rect.right_top(), rect.right_bottom(), rect.left_bottom(), rect.left_top()];
    painter.extend(egui::Shape::dashed_line(&corners, stroke, DASH.0, DASH.1));
}

fn knob(painter: &Painter, at: Pos2, radius: f32, tokens: &Tokens, full: bool) {
    let fill = if full { tokens.fed } else { tokens.paper };
    painter.circle(at, radius, fill, Stroke::new(1.5, tokens.fed));
}

/// Outlines, handles and terminals over the drawing.
pub fn marks(painter: &Painter, map: &Map, state: &State, canvas: &Canvas, tokens: &Tokens) {
    let scene = &state.computed.scene;
    let outline = Stroke::new(1.5, tokens.fed);
    for part in &state.selection().parts {
        if let Some(area) = area(scene, *part) {
            // The label of a bar is far from most of it.
            let bar = state.installation().parts.get(part).is_some_and(|p| p.kind == PartKind::Panel);
            let rect = if bar { map.rect(area.symbol).expand(5.0) } else { map.rect(area.full).expand(3.0) };
            dashed_box(painter, rect, outline);
        }
    }
    for id in &state.selection().spaces {
        if let Some(space) = state.installation().spaces.get(id) {
            let rect = map.rect(space.rect);
            dashed_box(painter, rect, outline);
            for at in handles(rect) {
                painter.rect(
                    egui::Rect::from_center_size(at, Vec2::splat(7.0)),
                    1.0,
                    tokens.paper,
                    outline,
                    StrokeKind::Middle,
                );
            }
        }
    }
    for id in &state.selection().cables {
        if let Some(path) = path(scene, *id) {
            for end in [path.points.first(), path.points.last()].into_iter().flatten() {
                knob(painter, map.pos(*end), 4.5, tokens, false);
            }
        }
    }
    if let (Some(part), Gesture::Idle) = (canvas.hit.part(), &canvas.gesture)
        && let Some(area) = area(scene, part)
    {
        for (terminal, at) in &area.terminals {
            let held = canvas.hit == Hit::Terminal(part, *terminal);
            let place = hit::terminal_area(map, area, *at).center();
            knob(painter, place, if held { 5.5 } else { 3.5 }, tokens, held);
        }
    }
    if let Some(rect) = canvas.focused {
        painter.rect_stroke(rect.expand(6.0), CornerRadius::same(5), Stroke::new(2.0, tokens.ink), StrokeKind::Middle);
    }
}

fn handles(rect: egui::Rect) -> [Pos2; 8] {
    let c = rect.center();
    [
        rect.left_top(),
        rect.right_top(),
        rect.left_bottom(),
        rect.right_bottom(),
        Pos2::new(c.x, rect.top()),
        Pos2::new(c.x, rect.bottom()),
        Pos2::new(rect.left(), c.y),
        Pos2::new(rect.right(), c.y),
    ]
}

/// What the running gesture shows: the box, the new space, the rubber line with its targets.
pub fn gesture(painter: &Painter, map: &Map, state: &State, canvas: &Canvas, pos: Option<Pos2>, tokens: &Tokens) {
    let Some(pos) = pos else { return };
    match &canvas.gesture {
        Gesture::Box { from, .. } => {
            let rect = egui::Rect::from_two_pos(map.pos(*from), pos);
            painter.rect_filled(rect, 0.0, tokens.fed.gamma_multiply(0.10));
            painter.rect_stroke(rect, 0.0, Stroke::new(1.0, tokens.fed), StrokeKind::Middle);
        }
        Gesture::DrawSpace { from, kind } => {
            let rect = map.rect(Rect::between(*from, map.point(pos).snapped()));
            let tint = tokens.ink(crate::diagram::Ink::SpaceEdge(*kind));
            painter.rect_filled(rect, CornerRadius::same(4), tint.gamma_multiply(0.35));
            dashed_box(painter, rect, Stroke::new(1.5, tokens.fed));
        }
        Gesture::Pull { pull, targets } => {
            let scene = &state.computed.scene;
            let under = Gesture::target(state, map, *pull, pos);
            for (part, reason) in targets {
                let Some(area) = area(scene, *part) else { continue };
                let rect = map.rect(area.symbol).expand(4.0);
                if reason.is_none() {
                    let (width, fill) = if under == Some(*part) { (2.5, 0.22) } else { (1.2, 0.08) };
                    painter.rect_filled(rect, CornerRadius::same(5), tokens.fed.gamma_multiply(fill));
                    let edge = Stroke::new(width, tokens.fed);
                    painter.rect_stroke(rect, CornerRadius::same(5), edge, StrokeKind::Middle);
                } else if under == Some(*part) {
                    dashed_box(painter, rect, Stroke::new(2.0, tokens.over));
                }
            }
            if let Some(start) = pull.anchor(scene, map.point(pos)) {
                let start = map.pos(start);
                let refused = under.is_some_and(|p| targets.get(&p).is_some_and(Option::is_some));
                let pen = Stroke::new(2.5, if refused { tokens.over } else { tokens.fed });
                painter.line(bend(start, pos, pull.is_forward()), pen);
                knob(painter, start, 4.5, tokens, true);
                painter.circle(pos, if refused { 8.0 } else { 4.5 }, tokens.paper, pen);
                if refused {
                    for across in [vec2(3.5, 3.5), vec2(3.5, -3.5)] {
                        painter.line_segment([pos - across, pos + across], pen);
                    }
                }
            }
        }
        Gesture::Move { what, lines: true, .. } => {
            let panel = super::branch::panel_at(state, what, map.point(pos));
            if let Some(area) = panel.and_then(|id| area(&state.computed.scene, id)) {
                let rect = map.rect(area.symbol).expand(6.0);
                painter.rect_filled(rect, CornerRadius::same(5), tokens.fed.gamma_multiply(0.22));
                painter.rect_stroke(rect, CornerRadius::same(5), Stroke::new(2.5, tokens.fed), StrokeKind::Middle);
            }
        }
        Gesture::Idle | Gesture::Pan | Gesture::Move { .. } | Gesture::Resize { .. } => {}
    }
}

/// A rubber line with right angles, out of a terminal to the right and into one from the left.
fn bend(start: Pos2, end: Pos2, forward: bool) -> Vec<Pos2> {
    let out = if forward { 14.0 } else { -14.0 };
    let ahead = (end.x - start.x) * out > 0.0;
    let x = if ahead { f32::midpoint(start.x, end.x) } else { start.x + out };
    vec![start, Pos2::new(x, start.y), Pos2::new(x, end.y), end]
}

/// A part that is not in the drawing yet, at its snapped place, and the cable that would take it.
pub fn ghost(brush: &Brush<'_>, scene: &Scene, drawn: &Scene, plan: &super::drop::Plan, tokens: &Tokens) {
    let map = &brush.map;
    if let Some(path) = plan.cable.and_then(|id| drawn.cables.iter().find(|c| c.cable == id)) {
        let points: Vec<Pos2> = path.points.iter().map(|p| map.pos(*p)).collect();
        brush.painter.line(points, Stroke::new(6.0, tokens.fed.gamma_multiply(0.55)));
    }
    if let Some(area) = plan.part.and_then(|id| area(drawn, id)) {
        let rect = map.rect(area.symbol).expand(4.0);
        brush.painter.rect_stroke(rect, CornerRadius::same(5), Stroke::new(2.5, tokens.fed), StrokeKind::Middle);
    }
    let style = Style { moved: (plan.at.x, plan.at.y), ..Style::default() };
    brush.items(scene.items.iter().filter(|i| is_of_part(i)), style);
    if let Some(area) = scene.parts.first() {
        dashed_box(
            brush.painter,
            map.rect(area.full.moved(plan.at.x, plan.at.y)).expand(3.0),
            Stroke::new(1.5, tokens.fed),
        );
    }
}

fn is_of_part(item: &Item) -> bool {
    !matches!(item.layer, crate::diagram::Layer::Mark)
}
