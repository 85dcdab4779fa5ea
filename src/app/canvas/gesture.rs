//! What the pointer is about: one gesture at a time, from press to release. Every change goes through an edit; a gesture
//! that changes the document while it runs is one step, and Escape takes it back.

use super::Canvas;
use super::arrange;
use super::branch;
use super::guides::{self, Guides};
use super::hit::{self, Edges, Hit};
use super::menu::Menu;
use super::pull::Pull;
use super::view::Map;
use crate::app::state::State;
use crate::installation::{Edit, EditError, PartId, Point, Rect, Selection, SpaceId, SpaceKind};
use egui::{Modifiers, Pos2};
use std::collections::BTreeMap;

/// What the pointer is about.
#[derive(Clone, Debug, Default)]
pub enum Gesture {
    /// Nothing is held.
    #[default]
    Idle,
    /// The sheet is moved.
    Pan,
    /// A box is drawn to select what lies in it.
    Box {
        /// Where it started.
        from: Point,
        /// What was selected before, and stays so.
        base: Selection,
    },
    /// Parts and spaces are moved.
    Move {
        /// What moves.
        what: Selection,
        /// Where the thing under the pointer was; this is what snaps.
        home: Point,
        /// It is a part, which takes the lines of others.
        lines: bool,
        /// Where the pointer took it.
        grabbed: Point,
        /// How far it was moved.
        done: (f64, f64),
        /// Merge key of the step.
        key: String,
    },
    /// A space is made larger or smaller.
    Resize {
        /// The space.
        space: SpaceId,
        /// The edges that are held.
        edges: Edges,
        /// Its rectangle before.
        rect: Rect,
        /// Where the pointer took it.
        grabbed: Point,
        /// Merge key of the step.
        key: String,
    },
    /// A space is drawn.
    DrawSpace {
        /// Its first corner.
        from: Point,
        /// Its kind.
        kind: SpaceKind,
    },
    /// A cable is pulled.
    Pull {
        /// What it is tied to.
        pull: Pull,
        /// Where it may end, and why not.
        targets: BTreeMap<PartId, Option<EditError>>,
    },
}

impl Gesture {
    /// True while something is held.
    #[must_use]
    pub fn is_active(&self) -> bool {
        !matches!(self, Self::Idle)
    }

    /// A gesture starts with a press on `hit` that became a drag.
    pub fn start(canvas: &mut Canvas, state: &mut State, hit: Hit, at: Point, modifiers: Modifiers) {
        if let Some(kind) = canvas.draw_space.take() {
            canvas.gesture = Self::DrawSpace { from: at.snapped(), kind };
            return;
        }
        let adding = modifiers.shift || modifiers.command;
        canvas.gesture = match hit {
            Hit::CableEnd(cable, end) => match Pull::at_end(state.installation(), cable, end) {
                Some(pull) => Self::pulling(state, pull),
                None => Self::Idle,
            },
            Hit::Terminal(part, terminal) => {
                Self::pulling(state, Pull::at_terminal(state.installation(), part, terminal))
            }
            Hit::Part(part) | Hit::Switch(part) => {
                if !state.selection().parts.contains(&part) {
                    let mut next = if adding { state.selection().clone() } else { Selection::default() };
                    next.parts.insert(part);
                    state.select(next);
                }
                let home = state.installation().parts.get(&part).map_or(at, |p| p.position());
                Self::moving(canvas, state, home, at, true, modifiers.alt)
            }
            Hit::Space(space) => {
                if !state.selection().spaces.contains(&space) {
                    state.select(Selection::space(space));
                }
                let home = state.installation().spaces.get(&space).map_or(at, |s| s.rect.min);
                Self::moving(canvas, state, home, at, false, false)
            }
            Hit::SpaceEdge(space, edges) => match state.installation().spaces.get(&space).map(|s| s.rect) {
                Some(rect) => {
                    state.select(Selection::space(space));
                    Self::Resize { space, edges, rect, grabbed: at, key: canvas.next_key("resize") }
                }
                None => Self::Idle,
            },
            Hit::Cable(_) | Hit::Sheet => {
                let base = if adding { state.selection().clone() } else { Selection::default() };
                state.select(base.clone());
                Self::Box { from: at, base }
            }
        };
    }

    /// With `branch`, everything that the moving parts feed moves along.
    fn moving(canvas: &mut Canvas, state: &State, home: Point, grabbed: Point, lines: bool, branch: bool) -> Self {
        let mut what = arrange::with_contents(state.installation(), state.selection());
        if branch {
            what = branch::with_branch(state.installation(), &what);
        }
        Self::Move { what, home, lines, grabbed, done: (0.0, 0.0), key: canvas.next_key("move") }
    }

    fn pulling(state: &State, pull: Pull) -> Self {
        Self::Pull { pull, targets: pull.targets(state.installation()) }
    }

    /// The pointer moves to `at`.
    pub fn follow(canvas: &mut Canvas, state: &mut State, at: Point) {
        match &mut canvas.gesture {
            Self::Move { what, home, lines, grabbed, done, key } => {
                let raw = home.moved(at.x - grabbed.x, at.y - grabbed.y);
                let target = if *lines { guides::place(state.installation(), what, raw) } else { raw.snapped() };
                canvas.guides = if *lines { Guides::at(state.installation(), what, target) } else { Guides::default() };
                let whole = (target.x - home.x, target.y - home.y);
                let (dx, dy) = (whole.0 - done.0, whole.1 - done.1);
                if dx != 0.0 || dy != 0.0 {
                    let edit = Edit::Move { what: what.clone(), dx, dy };
                    if state.edit(&edit, Some(key)) {
                        *done = whole;
                    }
                }
            }
            Self::Resize { space, edges, rect, grabbed, key } => {
                let moved = edges.moved(*rect, at.x - grabbed.x, at.y - grabbed.y);
                let rect = Rect { min: moved.min.snapped(), max: moved.max.snapped() };
                if let Some(held) = state.installation().spaces.get(space).filter(|s| s.rect != rect) {
                    let edit = Edit::SetSpace { id: *space, name: held.name.clone(), kind: held.kind, rect };
                    state.edit(&edit, Some(key));
                }
            }
            Self::Box { from, base } => {
                let (parts, spaces) = arrange::inside(state.installation(), Rect::between(*from, at));
                let mut next = base.clone();
                next.parts.extend(parts);
                next.spaces.extend(spaces);
                state.select(next);
            }
            Self::Idle | Self::Pan | Self::DrawSpace { .. } | Self::Pull { .. } => {}
        }
    }

    /// The button is let go at `pos`.
    pub fn finish(canvas: &mut Canvas, state: &mut State, map: &Map, pos: Pos2) {
        let at = map.point(pos);
        Self::follow(canvas, state, at);
        canvas.guides = Guides::default();
        match std::mem::take(&mut canvas.gesture) {
            Self::Move { what, done, key, lines, .. } => {
                let panel = if lines { branch::panel_at(state, &what, at) } else { None };
                if let Some(edit) = panel.and_then(|panel| branch::hang(state, &what, panel)) {
                    state.edit(&edit, Some(&key));
                } else if done == (0.0, 0.0) {
                    state.history.abandon(&key);
                }
                state.history.seal();
                state.refresh();
            }
            Self::Resize { .. } => state.history.seal(),
            Self::DrawSpace { from, kind } => {
                let rect = Rect::between(from, at.snapped());
                if rect.width() >= Point::GRID_MM && rect.height() >= Point::GRID_MM {
                    state.edit(&Edit::AddSpace { name: String::new(), kind, rect }, None);
                }
            }
            Self::Pull { pull, targets } => match Self::target(state, map, pull, pos) {
                Some(part) => match targets.get(&part) {
                    Some(Some(reason)) => state.refuse(reason.to_string()),
                    Some(None) => {
                        state.edit(&pull.edit(part), None);
                    }
                    None => {}
                },
                None if !map.canvas.contains(pos) => {}
                None if matches!(pull, Pull::Lead(..)) => {
                    state.refuse("the cable stays where it was: let its end go on a part");
                }
                None => canvas.menu = Some(Menu::next(pull, at.snapped(), pos)),
            },
            Self::Idle | Self::Pan | Self::Box { .. } => {}
        }
    }

    /// Escape: what the gesture changed is taken back. True where something was held.
    pub fn cancel(canvas: &mut Canvas, state: &mut State) -> bool {
        canvas.guides = Guides::default();
        match std::mem::take(&mut canvas.gesture) {
            Self::Idle => return false,
            Self::Move { key, .. } | Self::Resize { key, .. } => {
                state.history.abandon(&key);
                state.refresh();
            }
            Self::Box { base, .. } => state.select(base),
            Self::Pan | Self::DrawSpace { .. } | Self::Pull { .. } => {}
        }
        true
    }

    /// The part at which a pulled cable would end.
    #[must_use]
    pub fn target(state: &State, map: &Map, pull: Pull, pos: Pos2) -> Option<PartId> {
        let scene = &state.computed.scene;
        let terminal = hit::terminal_at(map, scene, pos).map(|(part, _)| part);
        terminal
            .or_else(|| hit::part_at(scene, &state.computed.lookup, map.point(pos)))
            .filter(|part| *part != pull.fixed())
    }
}
