//! Spaces: their tint, their edges and their names.

use super::super::index::Index;
use super::super::labels::{Label, Words, space_block};
use super::super::pen::weight;
use super::super::scene::{Ink, Layer, Stroke, Target};
use super::edges::{self, Obstacles, sides};
use super::{Drawing, Route};
use crate::diagram::geometry::Geometry;
use crate::installation::{CableId, PartId, Point, Rect, SpaceId, SpaceKind};
use std::collections::BTreeMap;

/// Room between a word and the ends of an edge that is broken there.
const GAP: f64 = 0.9;

/// The pen of an edge.
fn edge(kind: SpaceKind) -> Stroke {
    Stroke::chain(weight::THIN, Ink::SpaceEdge(kind))
}

/// The rectangles of the spaces as they are drawn. On paper their edges are moved off the words: labels are placed once
/// for that, with no eye on edges.
pub(super) fn edges(
    words: Words<'_>,
    geometry: &Geometry,
    labels: &BTreeMap<PartId, Vec<Label>>,
    routes: &BTreeMap<CableId, Route>,
) -> BTreeMap<SpaceId, Rect> {
    let finite = |r: &Rect| r.min.is_finite() && r.max.is_finite();
    let spaces = words.installation.spaces.iter().filter(|(_, s)| finite(&s.rect));
    let drawn: BTreeMap<SpaceId, Rect> = spaces.map(|(id, s)| (*id, s.rect)).collect();
    if !words.options.numbered || drawn.is_empty() {
        return drawn;
    }
    let mut trial = Drawing::new(words, geometry, BTreeMap::new());
    trial.take_symbols_and_routes(routes);
    trial.part_labels(labels);
    trial.cable_labels(routes);
    let mut obstacles = Obstacles::default();
    for rect in trial.said {
        obstacles.words.add(rect, ());
    }
    for foot in geometry.parts.values() {
        obstacles.bodies.add(foot.body(), ());
        obstacles.centres.push(foot.at);
    }
    edges::moved(&drawn, &obstacles)
}

impl Drawing<'_> {
    /// Draws tints and edges; on paper tints alone, as edges are broken where a word stands: [`Self::broken_edges`].
    pub(super) fn spaces(&mut self) {
        let spaces = self.words.installation.spaces.iter();
        let mut spaces: Vec<_> = spaces.filter_map(|(id, s)| Some((*id, s.kind, *self.edges.get(id)?))).collect();
        // Large ones lie under small ones.
        spaces.sort_by(|(a, _, s), (b, _, t)| t.area().total_cmp(&s.area()).then(a.cmp(b)));
        for (id, kind, rect) in spaces {
            self.pen.on(Layer::Space, Some(Target::Space(id)));
            let on_paper = self.words.options.numbered;
            self.pen.rounded(rect, 1.0, (!on_paper).then(|| edge(kind)), Some(Ink::Space(kind)));
            self.cover(rect);
            if on_paper {
                sides(rect, edges::HALF).into_iter().for_each(|side| self.taken.shun(side));
            } else {
                self.space_name(id, rect.min.moved(2.2, 2.1));
            }
        }
    }

    /// Draws the edges on paper, with a gap where a word or a symbol stands.
    pub(super) fn broken_edges(&mut self) {
        let spaces = self.words.installation.spaces.iter();
        let spaces: Vec<_> = spaces.filter_map(|(id, s)| Some((*id, s.kind, *self.edges.get(id)?))).collect();
        let mut said = Index::default();
        for rect in &self.said {
            said.add(rect.grown(GAP), *rect);
        }
        for foot in self.geometry.parts.values() {
            said.add(foot.body().grown(GAP / 2.0), foot.outline);
        }
        for (id, kind, rect) in spaces.into_iter().filter(|_| self.words.options.numbered) {
            self.pen.on(Layer::Space, Some(Target::Space(id)));
            for side in sides(rect, 0.0) {
                let mut gaps = Vec::new();
                said.visit(side, |gap, _| {
                    gaps.push(gap);
                    true
                });
                for (from, to) in edges::left_over(side, gaps) {
                    self.pen.line(from, to, edge(kind));
                }
            }
        }
    }

    /// Writes the name of a space with its upper left corner at `at`, and takes its place.
    fn space_name(&mut self, id: SpaceId, at: Point) {
        let Some(space) = self.words.installation.spaces.get(&id) else { return };
        let block = space_block(&self.words, space);
        self.pen.on(Layer::Space, Some(Target::Space(id)));
        block.draw(&mut self.pen, at, Ink::Fed);
        self.taken.add(block.rect(at));
        self.said.push(block.rect(at));
        self.cover(block.rect(at));
    }

    /// Names of spaces where nothing may be covered: in a corner that is free, or a number.
    pub(super) fn space_names(&mut self) {
        if !self.words.options.numbered {
            return;
        }
        for (id, r) in self.edges.clone() {
            let Some(space) = self.words.installation.spaces.get(&id) else { continue };
            let block = space_block(&self.words, space);
            let (w, h) = (block.width(), block.height());
            let corners = [
                r.min.moved(2.2, 2.1),
                Point::new(r.max.x - 2.2 - w, r.min.y + 2.1),
                Point::new(r.min.x + 2.2, r.max.y - 2.1 - h),
                Point::new(r.max.x - 2.2 - w, r.max.y - 2.1 - h),
                Point::new(r.min.x + 2.2, r.min.y - h - 1.0),
                Point::new(r.min.x + 2.2, r.max.y + 1.0),
            ];
            let free = |at: &&Point| self.taken.is_free(block.rect(**at));
            let clear = corners.iter().find(|at| free(at) && !self.taken.is_shunned(block.rect(**at)));
            match clear.or_else(|| corners.iter().find(free)).copied() {
                Some(at) => self.space_name(id, at),
                None => {
                    let text = block.words();
                    self.number_only(Target::Space(id), Layer::Space, &text, r.min.moved(2.2, 2.1));
                }
            }
        }
    }
}
