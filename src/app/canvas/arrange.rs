//! Align and distribute, as edits.

use crate::installation::{Edit, Installation, PartId, Point, Rect, Selection, SpaceId};

/// Which way parts are lined up.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Line {
    /// Left edges; by centres here, since symbols of a column have one width.
    Left,
    /// One vertical centre line.
    Centre,
    /// One top line.
    Top,
    /// One horizontal centre line.
    Middle,
}

/// Lines the selected parts up. `None` where fewer than two are selected.
#[must_use]
pub fn align(installation: &Installation, selection: &Selection, line: Line) -> Option<Edit> {
    let places = places(installation, selection);
    if places.len() < 2 {
        return None;
    }
    let across = places.iter().map(|(_, p)| p.x);
    let down = places.iter().map(|(_, p)| p.y);
    let middle = |low: f64, high: f64| f64::midpoint(low, high);
    let (name, x, y) = match line {
        Line::Left => ("left", Some(least(across)), None),
        Line::Centre => ("centre", Some(middle(least(across.clone()), most(across))), None),
        Line::Top => ("top", None, Some(least(down))),
        Line::Middle => ("middle", None, Some(middle(least(down.clone()), most(down)))),
    };
    let parts = places.into_iter().map(|(id, p)| (id, Point::new(x.unwrap_or(p.x), y.unwrap_or(p.y)).snapped()));
    Some(Edit::Arrange { parts: parts.collect(), spaces: Vec::new(), label: format!("align {name}") })
}

/// Spaces the selected parts evenly between the outer two: downwards, or to the right. `None` where fewer than three.
#[must_use]
pub fn distribute(installation: &Installation, selection: &Selection, down: bool) -> Option<Edit> {
    let mut places = places(installation, selection);
    if places.len() < 3 {
        return None;
    }
    let along = |p: Point| if down { p.y } else { p.x };
    places.sort_by(|a, b| along(a.1).total_cmp(&along(b.1)));
    let (first, last) = (along(places[0].1), along(places[places.len() - 1].1));
    let step = (last - first) / (places.len() - 1) as f64;
    let parts = places.iter().enumerate().map(|(i, (id, p))| {
        let at = first + step * i as f64;
        (*id, if down { Point::new(p.x, at) } else { Point::new(at, p.y) }.snapped())
    });
    let label = if down { "distribute downwards" } else { "distribute to the right" };
    Some(Edit::Arrange { parts: parts.collect(), spaces: Vec::new(), label: label.to_owned() })
}

/// What moves with a selection: a space takes along the parts that lie in it, and the spaces within.
#[must_use]
pub fn with_contents(installation: &Installation, selection: &Selection) -> Selection {
    let mut moving = Selection { cables: Default::default(), ..selection.clone() };
    let held: Vec<Rect> =
        selection.spaces.iter().filter_map(|id| installation.spaces.get(id)).map(|s| s.rect).collect();
    let inside = |p: Point| held.iter().any(|r| r.contains(p));
    moving.parts.extend(installation.parts.iter().filter(|(_, p)| inside(p.position())).map(|(id, _)| *id));
    let within = |r: Rect| held.iter().any(|h| h.contains(r.min) && h.contains(r.max));
    moving.spaces.extend(installation.spaces.iter().filter(|(_, s)| within(s.rect)).map(|(id, _)| *id));
    moving
}

/// What lies in a box: parts by their centres, spaces only as a whole.
#[must_use]
pub fn inside(installation: &Installation, area: Rect) -> (Vec<PartId>, Vec<SpaceId>) {
    let parts = installation.parts.iter().filter(|(_, p)| area.contains(p.position())).map(|(id, _)| *id).collect();
    let whole = |r: Rect| area.contains(r.min) && area.contains(r.max);
    let spaces = installation.spaces.iter().filter(|(_, s)| whole(s.rect)).map(|(id, _)| *id).collect();
    (parts, spaces)
}

fn places(installation: &Installation, selection: &Selection) -> Vec<(PartId, Point)> {
    let place = |id: &PartId| installation.parts.get(id).map(|p| (*id, p.position()));
    selection.parts.iter().filter_map(place).collect()
}

fn least(values: impl Iterator<Item = f64>) -> f64 {
    values.fold(f64::INFINITY, f64::min)
}

fn most(values: impl Iterator<Item = f64>) -> f64 {
    values.fold(f64::NEG_INFINITY, f64::max)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::installation::{Part, PartKind, Place, Space, SpaceKind, System};

    fn three() -> (Installation, Selection) {
        let mut doc = Installation::new(System::TwoWire120);
        let mut ids = Vec::new();
        for (i, (x, y)) in [(0.0, 0.0), (25.0, 10.0), (60.0, 100.0)].into_iter().enumerate() {
            ids.push(doc.add_part(Part::new(PartKind::Outlet, format!("X{i}"), Place::At(Point::new(x, y)))));
        }
        (doc, Selection::of_parts(ids))
    }

    fn after(doc: &Installation, edit: Option<Edit>) -> Vec<(f64, f64)> {
        let doc = doc.apply(&edit.unwrap()).unwrap().installation;
        doc.parts.values().map(|p| (p.position().x, p.position().y)).collect()
    }

    #[test]
    fn lines_up_on_the_grid() {
        let (doc, all) = three();
        assert_eq!(after(&doc, align(&doc, &all, Line::Left)), [(0.0, 0.0), (0.0, 10.0), (0.0, 100.0)]);
        assert_eq!(after(&doc, align(&doc, &all, Line::Centre)), [(30.0, 0.0), (30.0, 10.0), (30.0, 100.0)]);
        assert_eq!(after(&doc, align(&doc, &all, Line::Middle)), [(0.0, 50.0), (25.0, 50.0), (60.0, 50.0)]);
    }

    #[test]
    fn distributes_between_the_outer_two() {
        let (doc, all) = three();
        assert_eq!(after(&doc, distribute(&doc, &all, true)), [(0.0, 0.0), (25.0, 50.0), (60.0, 100.0)]);
    }

    #[test]
    fn one_part_has_nothing_to_line_up_with() {
        let (doc, all) = three();
        let one = Selection::of_parts(all.parts.first().copied());
        assert_eq!(align(&doc, &one, Line::Top), None);
        assert_eq!(distribute(&doc, &one, true), None);
    }

    #[test]
    fn a_space_takes_its_parts_along() {
        let (mut doc, _) = three();
        let rect = Rect::between(Point::new(-5.0, -5.0), Point::new(30.0, 20.0));
        let id = doc.add_space(Space { name: "Head".into(), kind: SpaceKind::Head, rect, extra: Default::default() });
        let moving = with_contents(&doc, &Selection::space(id));
        assert_eq!(moving.parts.len(), 2);
        assert!(moving.spaces.contains(&id));
    }
}
