//! What stands on one sheet of the diagram: a drawing, or several low ones below each other, with the blocks that belong to
//! them.

use super::LEAST_DRAWN;
use super::fragment::{End, Fragment, Joint, Words};
use super::legend::Legend;
use super::room::Room;
use super::sheet::{Drawn, Extra, Extras};
use crate::installation::{Installation, PartKind, Point, Rect, Revision};
use crate::sheets::page::Page;

/// Room between drawings on one sheet.
const BETWEEN: f64 = 7.0;
/// Room that the signs and references of a drawing may come to need when they are worded.
const SPARE: f64 = 4.0;

/// A sheet of the diagram.
#[derive(Debug)]
pub struct Sheet {
    strips: Vec<Fragment>,
    /// How each strip is drawn, as far as that is known.
    drawn: Option<Vec<Drawn>>,
}

/// Puts the drawings on sheets, what feeds others before them: those that are low enough stand below each other.
#[must_use]
pub fn stacked(fragments: Vec<Fragment>, extras: &Extras<'_>, body: Rect) -> Vec<Sheet> {
    let mut sheets: Vec<Sheet> = Vec::new();
    let mut used = f64::INFINITY;
    for fragment in upstream_first(fragments) {
        let high = Drawn::of(&fragment, extras, body, 0).height() + SPARE;
        match sheets.last_mut().filter(|_| used + BETWEEN + high <= body.height()) {
            Some(sheet) => {
                used += BETWEEN + high;
                sheet.strips.push(fragment);
            }
            None => {
                used = high;
                sheets.push(Sheet::new(vec![fragment]));
            }
        }
    }
    sheets
}

/// What feeds another drawing goes before it; else the order stays.
fn upstream_first(mut strips: Vec<Fragment>) -> Vec<Fragment> {
    let mut out = Vec::new();
    while !strips.is_empty() {
        let leads_on: Vec<Joint> = strips.iter().flat_map(|strip| strip.joints(End::Onward)).collect();
        let next = strips.iter().position(|strip| strip.joints(End::From).all(|joint| !leads_on.contains(&joint)));
        out.push(strips.remove(next.unwrap_or(0)));
    }
    out
}

impl Sheet {
    /// A sheet with these drawings, from the top down.
    #[must_use]
    pub const fn new(strips: Vec<Fragment>) -> Self {
        Self { strips, drawn: None }
    }

    /// Draws anew when asked next.
    pub fn forget(&mut self) {
        self.drawn = None;
    }

    /// Says anew what the stand-ins say.
    pub fn reword(&mut self, whole: &Installation, words: Words<'_>) {
        let changed = self.strips.iter_mut().map(|strip| strip.reword(whole, words)).fold(false, |a, b| a | b);
        if changed {
            self.forget();
        }
    }

    /// The panels on it.
    #[must_use]
    pub fn panels(&self) -> String {
        let mut tags: Vec<&str> = Vec::new();
        for strip in &self.strips {
            let panels =
                strip.installation.parts.iter().filter(|(id, p)| p.kind == PartKind::Panel && !strip.is_flag(**id));
            for (_, part) in panels {
                if !tags.contains(&part.tag.as_str()) {
                    tags.push(&part.tag);
                }
            }
        }
        tags.join(", ")
    }

    /// Its drawings with how each is drawn.
    pub fn drawn(&mut self, extras: &Extras<'_>, body: Rect) -> impl Iterator<Item = (&Fragment, &Drawn)> {
        let drawn = self.drawn.get_or_insert_with(|| match self.strips.as_slice() {
            [one] => vec![room_for(one, extras, body)],
            several => below_each_other(several, extras, body),
        });
        self.strips.iter().zip(drawn.iter())
    }

    /// The page, and the blocks that found no room on it.
    #[must_use]
    pub fn compose(&mut self, extras: &Extras<'_>, body: Rect) -> (Page, Vec<Extra>) {
        let strips: Vec<(&Fragment, &Drawn)> = self.drawn(extras, body).collect();
        let mut page = Page::default();
        let left = put(&mut page, body, &strips, extras);
        (page, left)
    }
}

/// Draws several fragments one below the other, each in the height that it needs.
fn below_each_other(strips: &[Fragment], extras: &Extras<'_>, body: Rect) -> Vec<Drawn> {
    let highs: Vec<f64> = strips.iter().map(|strip| Drawn::of(strip, extras, body, 0).height()).collect();
    let room = body.height() - highs.iter().sum::<f64>() - (strips.len() as f64 - 1.0) * BETWEEN;
    let spare = (room / strips.len() as f64).clamp(0.0, SPARE);
    let (mut y, mut before) = (body.min.y, 0);
    let mut out = Vec::new();
    for (strip, high) in strips.iter().zip(highs) {
        let end = (y + high + spare).min(body.max.y);
        let band = Rect::between(Point::new(body.min.x, y), Point::new(body.max.x, end));
        let drawn = Drawn::of(strip, extras, band, before);
        before += drawn.scene.notes.len();
        y = end + BETWEEN;
        out.push(drawn);
    }
    out
}

/// How many blocks find no room beside a drawing on a sheet of its own.
#[must_use]
pub fn left_over(fragment: &Fragment, drawn: &Drawn, extras: &Extras<'_>, body: Rect) -> usize {
    put(&mut Page::default(), body, &[(fragment, drawn)], extras).len()
}

/// Draws a fragment, leaving room for its blocks where it can without becoming much smaller.
fn room_for(fragment: &Fragment, extras: &Extras<'_>, body: Rect) -> Drawn {
    let holds = |drawn: &Drawn| left_over(fragment, drawn, extras, body) == 0;
    let drawn = Drawn::of(fragment, extras, body, 0);
    if holds(&drawn) {
        return drawn;
    }
    // As large as it is, but at one side.
    let slack = body.width() - drawn.scene.bounds.unwrap_or_default().width() * drawn.scale;
    for aside in [0.5, -0.5] {
        let moved = Drawn { origin: drawn.origin.moved(aside * (slack - 2.0).max(0.0), 0.0), ..drawn.clone() };
        if holds(&moved) {
            return moved;
        }
    }
    for keep in [24.0, 32.0, 46.0] {
        let less = Rect { min: body.min, max: Point::new(body.max.x, body.max.y - keep) };
        let smaller = Drawn::of(fragment, extras, less, 0);
        if smaller.scale < LEAST_DRAWN || smaller.scene.notes.len() > drawn.scene.notes.len() + 2 {
            break;
        }
        if holds(&smaller) {
            return smaller;
        }
    }
    drawn
}

/// Puts drawings and their blocks on a page; gives the blocks that did not find room.
fn put(page: &mut Page, body: Rect, strips: &[(&Fragment, &Drawn)], extras: &Extras<'_>) -> Vec<Extra> {
    let mut room = Room::new(body);
    let mut figures: Vec<_> =
        strips.iter().map(|(fragment, drawn)| drawn.draw((page, &mut room), fragment, extras)).collect();
    for ((_, drawn), (figure, used)) in strips.iter().zip(&mut figures) {
        used.revised = drawn.deltas((page, &mut room), *figure, extras);
    }
    let mut blocks = Vec::new();
    if !extras.revisions.is_empty() {
        let row = |r: &Revision| [r.letter.clone(), r.date.clone(), r.note.clone(), r.author.clone()];
        blocks.push(Extra::Revisions(extras.revisions.iter().rev().take(6).rev().map(row).collect()));
    }
    let notes: Vec<_> = strips.iter().flat_map(|(fragment, drawn)| drawn.notes(fragment)).collect();
    if !notes.is_empty() {
        blocks.push(Extra::Notes(notes));
    }
    let legends = strips
        .iter()
        .zip(&figures)
        .map(|((fragment, _), (_, used))| Legend::of(&fragment.installation, used, &|id| fragment.is_flag(id)));
    blocks.push(Extra::Legend(Legend::merged(legends.collect())));
    let places = places(&blocks, &room, body.width());
    let mut left = Vec::new();
    for (block, place) in blocks.into_iter().zip(places) {
        match place {
            Some(rect) => block.draw(page, rect),
            None => left.push(block),
        }
    }
    left
}

/// Where blocks stand: the first ones lowest, or in the other order where more of them find room then.
fn places(blocks: &[Extra], room: &Room, wide: f64) -> Vec<Option<Rect>> {
    let set = |order: &mut dyn Iterator<Item = (usize, &Extra)>| {
        let mut room = room.clone();
        let mut places = vec![None; blocks.len()];
        for (n, block) in order {
            let found = block.sizes(wide).into_iter().find_map(|(w, h)| room.lowest(w, h));
            if let Some(place) = places.get_mut(n) {
                *place = found;
            }
        }
        places
    };
    let (first, other) = (set(&mut blocks.iter().enumerate()), set(&mut blocks.iter().enumerate().rev()));
    let count = |places: &[Option<Rect>]| places.iter().flatten().count();
    if count(&other) > count(&first) { other } else { first }
}

#[cfg(test)]
mod tests {
    use super::super::fragment::{Division, Share, Whole};
    use super::*;
    use crate::diagram::{self, Overlay};
    use crate::installation::{Cable, Part, PartId, Place, SpaceKind, System};
    use crate::network;

    /// A generator that feeds a panel with two heaters, divided so that each part has a drawing of its own.
    fn four_drawings() -> Vec<Fragment> {
        let mut boat = Installation::new(System::TwoWire230);
        let mut add = |kind, tag| boat.add_part(Part::new(kind, tag, Place::In(SpaceKind::Accommodation)));
        let parts = [
            add(PartKind::Appliance, "E1"),
            add(PartKind::Appliance, "E2"),
            add(PartKind::Panel, "A1"),
            add(PartKind::Generator, "G1"),
        ];
        let [heater, other, panel, set] = parts;
        for (from, to) in [(panel, heater), (panel, other), (set, panel)] {
            boat.add_cable(Cable::between(from, to));
        }
        diagram::lay_out(&mut boat);
        let solution = network::solve(&boat, 0);
        let share = |part: PartId| Share { parts: [part].into(), ..Share::default() };
        let division = Division::new(parts.map(share).into());
        let all = Whole::new(&boat, &solution);
        let drawing = |n| {
            let mut fragment = Fragment::of(&all, &division, n, &|_, _| "to A1".to_owned());
            diagram::lay_out(&mut fragment.installation);
            fragment
        };
        (0..division.count()).map(drawing).collect()
    }

    fn tags(sheet: &Sheet) -> Vec<&str> {
        let own = |strip: &'_ Fragment| strip.installation.parts.keys().find(|id| strip.shows(**id)).copied();
        sheet.strips.iter().filter_map(|strip| Some(strip.installation.tag(own(strip)?))).collect()
    }

    fn body(high: f64) -> Rect {
        Rect::between(Point::new(0.0, 0.0), Point::new(180.0, high))
    }

    #[test]
    fn drawings_come_after_what_feeds_them_and_low_ones_share_a_sheet_each_in_a_band_of_its_own() {
        let overlay = Overlay::default();
        let extras = Extras { overlay: &overlay, feet: false, revised: &[], revisions: &[] };
        let fragments = four_drawings();
        let highs: Vec<f64> = fragments.iter().map(|f| Drawn::of(f, &extras, body(250.0), 0).height()).collect();
        let mut sheets = stacked(fragments, &extras, body(250.0));
        assert_eq!(sheets.len(), 1);
        assert_eq!(tags(&sheets[0]), ["G1", "A1", "E1", "E2"]);
        let bands: Vec<(f64, f64)> = sheets[0]
            .drawn(&extras, body(250.0))
            .map(|(_, drawn)| {
                let bounds = drawn.scene.bounds.unwrap();
                (drawn.on_page(bounds.min).y, drawn.on_page(bounds.max).y)
            })
            .collect();
        assert!(bands.windows(2).all(|pair| pair[0].1 + BETWEEN <= pair[1].0 + 1e-9), "{bands:?}");
        // A sheet that has room for all but one of them.
        let all: f64 = highs.iter().map(|h| h + SPARE + BETWEEN).sum();
        let fragments = four_drawings();
        let sheets = stacked(fragments, &extras, body(all - BETWEEN - 1.0));
        assert_eq!(sheets.iter().map(tags).collect::<Vec<_>>(), [vec!["G1", "A1", "E1"], vec!["E2"]]);
    }
}
