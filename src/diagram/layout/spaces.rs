//! Spaces: rectangles drawn anew around the parts that were in them, so that every part is where it was said to be.

use crate::diagram::geometry::{Footprint, Geometry};
use crate::diagram::index::Index;
use crate::installation::{Extra, Installation, PartId, PartKind, Place, Point, Rect, Space, SpaceId, SpaceKind};
use std::collections::BTreeMap;

/// Parts further apart than this do not share a rectangle, in millimetres.
const REACH: f64 = 26.0;
/// Two rectangles are joined where the whole is at most this much larger than both.
const WASTE: f64 = 1.8;

/// A space as it was before the layout.
#[derive(Clone, Debug)]
struct Group {
    kind: SpaceKind,
    name: String,
    extra: Extra,
    id: Option<SpaceId>,
}

/// Which space each part was in.
#[derive(Clone, Debug, Default)]
pub struct Groups {
    groups: Vec<Group>,
    parts: BTreeMap<PartId, usize>,
}

impl Groups {
    /// Reads where the parts of an installation are.
    #[must_use]
    pub fn of(installation: &Installation) -> Self {
        let mut this = Self::default();
        for (id, space) in &installation.spaces {
            let (kind, name, extra) = (space.kind, space.name.clone(), space.extra.clone());
            this.groups.push(Group { kind, name, extra, id: Some(*id) });
        }
        for (id, part) in &installation.parts {
            let number = match part.place {
                Place::At(at) => {
                    let space = installation.space_at(at);
                    this.groups.iter().position(|g| space.is_some() && g.id == space)
                }
                Place::In(SpaceKind::Other) => None,
                Place::In(kind) => Some(this.groups.iter().position(|g| g.kind == kind).unwrap_or_else(|| {
                    let name = kind.name().to_owned();
                    this.groups.push(Group { kind, name, extra: Extra::new(), id: None });
                    this.groups.len() - 1
                })),
            };
            if let Some(number) = number {
                this.parts.insert(*id, number);
            }
        }
        this
    }

    /// The number of the space that a part was in.
    #[must_use]
    pub fn of_part(&self, part: PartId) -> Option<usize> {
        self.parts.get(&part).copied()
    }
}

/// A part of a space.
#[derive(Clone, Copy)]
struct Member<'a> {
    foot: &'a Footprint,
    /// Has a label besides its tag.
    labelled: bool,
}

/// Room around a part that its space takes, from ample to bare.
fn rooms(foot: &Footprint, labelled: bool) -> [Rect; 5] {
    let body = foot.body();
    let by = |left: f64, up: f64, right: f64, down: f64| margin(body, left, up, right, down);
    let bare = Rect::around(foot.at, 1.0, 1.0);
    match foot.kind {
        PartKind::ShoreInlet | PartKind::Generator | PartKind::Inverter => {
            [by(8.0, 9.0, 42.0, 21.0), by(8.0, 9.0, 42.0, 16.0), by(3.0, 9.0, 6.0, 6.0), body.grown(1.0), bare]
        }
        PartKind::Appliance => {
            [by(3.0, 12.0, 3.0, 2.2), by(3.0, 9.5, 3.0, 2.2), by(2.0, 5.0, 2.0, 2.0), body.grown(1.0), bare]
        }
        PartKind::Panel => {
            [by(10.0, 13.0, 2.0, 3.0), by(4.0, 2.0, 2.0, 2.0), body.grown(1.0), Rect::around(foot.at, 6.0, 8.0), bare]
        }
        PartKind::Breaker => {
            [by(3.0, 13.0, 3.0, 3.2), by(3.0, 10.5, 3.0, 3.2), by(2.0, 6.0, 2.0, 2.0), body.grown(0.5), bare]
        }
        PartKind::Outlet => {
            let left = if labelled { 24.0 } else { 3.0 };
            [by(left, 13.0, 3.0, 3.2), by(left, 10.5, 3.0, 3.2), by(3.0, 10.5, 3.0, 3.2), by(2.0, 5.0, 2.0, 2.0), bare]
        }
        _ => [by(10.0, 12.0, 12.0, 4.0), by(6.0, 9.0, 6.0, 3.0), by(2.0, 6.0, 2.0, 2.0), body.grown(0.5), bare],
    }
}

fn margin(rect: Rect, left: f64, up: f64, right: f64, down: f64) -> Rect {
    Rect { min: rect.min.moved(-left, -up), max: rect.max.moved(right, down) }
}

/// What a rectangle must keep out of.
struct Others {
    centres: Index<usize>,
    bodies: Index<usize>,
    /// Symbols with their tags.
    tagged: Index<usize>,
}

impl Others {
    /// True where a rectangle of a group holds no centre of another's part.
    fn keeps_out(&self, rect: Rect, group: usize) -> bool {
        let mut clear = true;
        self.centres.visit(rect, |_, other| {
            clear = other == group;
            clear
        });
        clear
    }

    /// True where it does not even touch another's symbol.
    fn is_clear(&self, rect: Rect, group: usize) -> bool {
        Self::touches_none(&self.bodies, rect, group) && self.keeps_out(rect, group)
    }

    /// True where it leaves room for the tags of others, too.
    fn leaves_room(&self, rect: Rect, group: usize) -> bool {
        Self::touches_none(&self.tagged, rect, group)
    }

    fn touches_none(all: &Index<usize>, rect: Rect, group: usize) -> bool {
        let mut clear = true;
        all.visit(rect, |r, other| {
            clear = other == group || !r.overlaps(rect);
            clear
        });
        clear
    }
}

/// Replaces the spaces of an installation whose parts were moved.
pub fn redraw(installation: &mut Installation, groups: &Groups) {
    let geometry = Geometry::of(installation);
    let mut others = Others { centres: Index::default(), bodies: Index::default(), tagged: Index::default() };
    let mut members: Vec<Vec<Member<'_>>> = vec![Vec::new(); groups.groups.len()];
    let mut bottom = f64::NEG_INFINITY;
    let mut left = f64::INFINITY;
    for (id, foot) in &geometry.parts {
        let group = groups.of_part(*id).unwrap_or(usize::MAX);
        others.centres.add(Rect::between(foot.at, foot.at), group);
        others.bodies.add(foot.body(), group);
        others.tagged.add(margin(foot.body(), 4.0, 5.0, 4.0, 2.0), group);
        bottom = bottom.max(foot.body().max.y);
        left = left.min(foot.body().min.x);
        if let Some(list) = members.get_mut(group) {
            let labelled = installation.parts.get(id).is_some_and(|p| !p.label.is_empty() && p.label != p.tag);
            list.push(Member { foot, labelled });
        }
    }
    let mut made: Index<usize> = Index::default();
    let mut drawn: Vec<Vec<Rect>> = Vec::new();
    for (number, list) in members.iter_mut().enumerate() {
        list.sort_by(|a, b| a.foot.at.x.total_cmp(&b.foot.at.x).then(a.foot.at.y.total_cmp(&b.foot.at.y)));
        let rects = rectangles(list, number, &others, &made);
        for rect in &rects {
            made.add(*rect, number);
            bottom = bottom.max(rect.max.y);
        }
        drawn.push(rects);
    }
    installation.spaces.clear();
    for (group, rects) in groups.groups.iter().zip(drawn) {
        let mut id = group.id;
        let mut rects = rects;
        if rects.is_empty() {
            // A space without parts is kept, below the drawing.
            let corner = Point::new(left, bottom + 15.0);
            rects.push(Rect::between(corner, corner.moved(40.0, 20.0)));
            bottom += 35.0;
        }
        for rect in rects {
            let space = Space { name: group.name.clone(), kind: group.kind, rect, extra: group.extra.clone() };
            match id.take() {
                Some(id) => {
                    installation.spaces.insert(id, space);
                }
                None => {
                    installation.add_space(space);
                }
            }
        }
    }
}

/// A panel with what is bolted on it is one thing: its rectangle, where the widest that is free leaves room for labels.
fn boards(list: &[Member<'_>], free: &dyn Fn(Rect) -> bool) -> Vec<(Rect, Vec<Point>)> {
    let mut out = Vec::new();
    let parts = || list.iter().map(|m| m.foot);
    for panel in parts().filter(|f| f.kind == PartKind::Panel) {
        let beside = |f: &&Footprint| {
            let near = f.at.x > panel.at.x && f.at.x <= panel.at.x + 25.0;
            let level = f.at.y > panel.outline.min.y && f.at.y < panel.outline.max.y;
            matches!(f.kind, PartKind::Breaker | PartKind::PolarityIndicator) && near && level
        };
        let members: Vec<&Footprint> = parts().filter(beside).collect();
        let body = members.iter().fold(panel.body(), |r, f| r.union(f.body()));
        let label_end = panel.at.x + 44.0 - body.max.x;
        let wide = [label_end.max(6.0), 12.0, 3.0].map(|right| margin(body, 10.0, 13.0, right, 5.0));
        if let Some(rect) = wide.into_iter().find(|r| free(*r)) {
            let mut centres: Vec<Point> = members.iter().map(|f| f.at).collect();
            centres.push(panel.at);
            out.push((rect, centres));
        }
    }
    out
}

fn rectangles(list: &[Member<'_>], group: usize, others: &Others, made: &Index<usize>) -> Vec<Rect> {
    let free = |rect: Rect| others.is_clear(rect, group) && !made.is_taken(rect);
    let boards = boards(list, &free);
    let mut out: Vec<Rect> = boards.iter().map(|b| b.0).collect();
    for Member { foot, labelled } in list {
        if boards.iter().any(|(_, centres)| centres.contains(&foot.at)) {
            continue;
        }
        let rooms = rooms(foot, *labelled);
        // Where there is no room beside a symbol there may still be room for what stands over it.
        let least = foot.body().min.x - 1.0;
        let narrow = |r: Rect| Rect { min: Point::new(r.min.x.max(least), r.min.y), max: r.max };
        let own = rooms
            .iter()
            .flat_map(|r| [*r, narrow(*r)])
            .find(|r| free(*r))
            .or_else(|| rooms.iter().copied().find(|r| others.keeps_out(*r, group)))
            .unwrap_or_else(|| Rect::between(foot.at, foot.at));
        out.push(own);
    }
    // Joins rectangles until no two can be joined.
    let mut joined = true;
    while joined && out.len() > 1 {
        joined = false;
        let mut next: Vec<Rect> = Vec::new();
        for rect in out {
            let fits = |r: &Rect| {
                let whole = r.union(rect);
                let near = r.grown(REACH / 2.0).overlaps(rect.grown(REACH / 2.0));
                let low = whole.area() <= WASTE * (r.area() + rect.area());
                // What lies within another is no space of its own.
                let within = whole == *r || whole == rect;
                near && low && (within || free(whole) && others.leaves_room(whole, group))
            };
            match next.iter().rposition(fits).and_then(|n| next.get_mut(n)) {
                Some(into) => {
                    *into = into.union(rect);
                    joined = true;
                }
                None => next.push(rect),
            }
        }
        out = next;
    }
    let centres: Vec<Point> = list.iter().map(|m| m.foot.at).collect();
    part_overlaps(&mut out, &centres);
    out
}

/// Cuts the smaller of two rectangles that could not be joined where they overlap, as long as it keeps its own parts.
fn part_overlaps(rects: &mut [Rect], centres: &[Point]) {
    for i in 0..rects.len() {
        for j in 0..rects.len() {
            let (Some(&small), Some(&large)) = (rects.get(i), rects.get(j)) else { continue };
            if i == j || !small.overlaps(large) || small.area() > large.area() {
                continue;
            }
            let edges = [
                Rect { min: Point::new(large.max.x, small.min.y), max: small.max },
                Rect { min: small.min, max: Point::new(large.min.x, small.max.y) },
                Rect { min: Point::new(small.min.x, large.max.y), max: small.max },
                Rect { min: small.min, max: Point::new(small.max.x, large.min.y) },
            ];
            let own = || centres.iter().filter(|c| small.contains(**c) && !large.contains(**c));
            let kept = |cut: &Rect| cut.min.x < cut.max.x && cut.min.y < cut.max.y && own().all(|c| cut.contains(*c));
            let best = edges.into_iter().filter(kept).max_by(|a, b| a.area().total_cmp(&b.area()));
            if let (Some(best), Some(rect)) = (best, rects.get_mut(i)) {
                *rect = best;
            }
        }
    }
}
