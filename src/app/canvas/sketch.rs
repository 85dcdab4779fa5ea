//! The strokes of the drawing, made into triangles once for a zoom and moved with the sheet. Text is not in it: the
//! toolkit keeps laid-out text itself.

use super::Lookup;
use super::paint::{Brush, Style};
use super::view::Map;
use crate::app::state::Computed;
use crate::app::theme;
use crate::diagram::Layer;
use crate::installation::Rect;
use egui::epaint::{Mesh, TessellationOptions, Tessellator};
use egui::{FontFamily, Painter, Pos2, Shape, Vec2};
use std::cell::RefCell;
use std::sync::Arc;

/// How far beyond what is seen strokes are made, as a share of it, so that a moved sheet needs no new ones at once.
const BEYOND: f64 = 0.3;
/// While the zoom runs, strokes are stretched by up to this factor.
const STRETCH: f32 = 1.6;

/// The strokes of one drawing at one zoom.
#[derive(Default)]
pub struct Sketch {
    of: Option<Of>,
    ground: Piece,
    rest: Piece,
}

/// What they are of.
struct Of {
    computed: Arc<Computed>,
    scale: f64,
    pixels: f32,
    dark: bool,
    /// What they cover, in millimetres.
    covers: Rect,
    /// Where the origin of the drawing was on the screen.
    origin: Pos2,
}

/// One layer as it was made, and as it was shown last.
#[derive(Default)]
struct Piece {
    made: Mesh,
    shown: Option<(Vec2, f32, Arc<Mesh>)>,
}

impl Piece {
    /// The strokes scaled about the point where they were made and then moved, in points.
    fn at(&mut self, origin: Pos2, moved: Vec2, factor: f32) -> Arc<Mesh> {
        if let Some((was, by, mesh)) = &self.shown
            && *was == moved
            && *by == factor
        {
            return Arc::clone(mesh);
        }
        let mut mesh = self.made.clone();
        for vertex in &mut mesh.vertices {
            vertex.pos = origin + (vertex.pos - origin) * factor + moved;
        }
        let mesh = Arc::new(mesh);
        self.shown = Some((moved, factor, Arc::clone(&mesh)));
        mesh
    }
}

impl std::fmt::Debug for Sketch {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Sketch").finish_non_exhaustive()
    }
}

impl Sketch {
    /// The strokes of spaces, and of all that lies over them, for this view.
    pub fn strokes(&mut self, painter: &Painter, map: &Map, computed: &Arc<Computed>, zooming: bool) -> [Shape; 2] {
        let ctx = painter.ctx();
        let dark = ctx.global_style().visuals.dark_mode;
        let pixels = painter.pixels_per_point();
        let seen = map.seen();
        let origin = map.pos(crate::installation::Point::default());
        let kept = self.of.as_ref().and_then(|of| {
            let factor = (map.scale() / of.scale) as f32;
            let stretched = zooming && (1.0 / STRETCH..=STRETCH).contains(&factor);
            let held = of.covers.contains(seen.min) && of.covers.contains(seen.max);
            let same = Arc::ptr_eq(&of.computed, computed) && of.dark == dark && of.pixels == pixels;
            (same && held && (stretched || of.scale == map.scale())).then_some((of.origin, factor))
        });
        let (from, factor) = kept.unwrap_or_else(|| {
            let covers = seen.grown(BEYOND * seen.width().max(seen.height()));
            [self.ground, self.rest] = make(painter, map, computed, covers, dark);
            let computed = Arc::clone(computed);
            self.of = Some(Of { computed, scale: map.scale(), pixels, dark, covers, origin });
            (origin, 1.0)
        });
        // Whole pixels, so that upright and level strokes stay sharp.
        let moved = ((origin - from) * pixels).round() / pixels;
        [&mut self.ground, &mut self.rest].map(|piece| Shape::Mesh(piece.at(from, moved, factor)))
    }
}

fn make(painter: &Painter, map: &Map, computed: &Computed, covers: Rect, dark: bool) -> [Piece; 2] {
    let items = &computed.scene.items;
    let ground = items.partition_point(|item| item.layer <= Layer::Space);
    let sink = RefCell::new(Vec::new());
    let brush = Brush {
        painter,
        sink: Some(&sink),
        map: *map,
        colour: &|ink| theme::ink(ink, dark),
        bold: FontFamily::Proportional,
        zooming: false,
    };
    let Lookup { extents, .. } = &computed.lookup;
    let options = TessellationOptions {
        // Prepared discs lie in the atlas of the fonts, which moves.
        prerasterized_discs: false,
        ..painter.ctx().tessellation_options(|options| *options)
    };
    let mut tessellator = Tessellator::new(painter.pixels_per_point(), options, [1, 1], Vec::new());
    tessellator.set_clip_rect(egui::Rect::EVERYTHING);
    let (under, over) = items.split_at(ground);
    let (near, far) = extents.split_at(ground.min(extents.len()));
    [(under, near), (over, far)].map(|(items, extents)| {
        brush.strokes(items.iter().zip(extents), covers, Style::default());
        let mut made = Mesh::default();
        for shape in sink.take() {
            tessellator.tessellate_shape(shape, &mut made);
        }
        Piece { made, shown: None }
    })
}
