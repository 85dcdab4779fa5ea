//! Signs of a refit: what is new, and what is to be removed.

use super::geometry::Geometry;
use super::pen::{Pen, weight};
use super::routing::Route;
use super::scene::{Ink, Layer, Shape, Stroke, Target};
use crate::installation::{CableId, Installation, Point, Rect, Status};
use std::collections::BTreeMap;

/// Draws the signs of all parts and fitted cables whose status is not *existing*.
pub fn draw(pen: &mut Pen, installation: &Installation, geometry: &Geometry, routes: &BTreeMap<CableId, Route>) {
    for (id, foot) in &geometry.parts {
        let shapes = match installation.parts.get(id).map(|p| p.status).unwrap_or_default() {
            Status::Existing => continue,
            Status::New => new(foot.outline),
            Status::Remove => remove(foot.outline),
        };
        pen.on(Layer::Mark, Some(Target::Part(*id)));
        shapes.into_iter().for_each(|shape| pen.shape(shape));
    }
    for (id, route) in routes {
        let Some(cable) = installation.cables.get(id) else { continue };
        if cable.status == Status::Existing || !cable.data.is_fitted() {
            continue;
        }
        pen.on(Layer::Mark, Some(Target::Cable(*id)));
        along(&route.points, cable.status == Status::Remove).into_iter().for_each(|shape| pen.shape(shape));
    }
}

fn path(points: Vec<Point>, width: f64) -> Shape {
    Shape::Path { points, closed: false, stroke: Some(Stroke::solid(width, Ink::Line)), fill: None }
}

/// Corners around a symbol: it is new.
#[must_use]
pub fn new(symbol: Rect) -> Vec<Shape> {
    let r = symbol.grown(0.9);
    let arm = (r.width().min(r.height()) * 0.3).min(2.4);
    let corner = |x: f64, y: f64, sx: f64, sy: f64| {
        path(vec![Point::new(x + sx * arm, y), Point::new(x, y), Point::new(x, y + sy * arm)], weight::MEDIUM)
    };
    vec![
        corner(r.min.x, r.min.y, 1.0, 1.0),
        corner(r.max.x, r.min.y, -1.0, 1.0),
        corner(r.min.x, r.max.y, 1.0, -1.0),
        corner(r.max.x, r.max.y, -1.0, -1.0),
    ]
}

/// A cross over a symbol: it is to be removed.
#[must_use]
pub fn remove(symbol: Rect) -> Vec<Shape> {
    let r = symbol;
    vec![
        path(vec![r.min, r.max], weight::MEDIUM),
        path(vec![Point::new(r.min.x, r.max.y), Point::new(r.max.x, r.min.y)], weight::MEDIUM),
    ]
}

/// Signs along a cable: small crosses where it is to be removed, pairs of ticks where it is new.
#[must_use]
pub fn along(points: &[Point], going: bool) -> Vec<Shape> {
    const EVERY: f64 = 12.0;
    let mut out = Vec::new();
    for pair in points.windows(2) {
        let [a, b] = pair else { continue };
        let length = a.distance(*b);
        if length < 4.0 {
            continue;
        }
        let n = (length / EVERY).round().max(1.0);
        let mut k = 0.5;
        while k < n {
            let t = k / n;
            let at = Point::new(a.x + (b.x - a.x) * t, a.y + (b.y - a.y) * t);
            if going {
                out.extend(remove(Rect::around(at, 2.0, 2.0)));
            } else {
                for off in [-0.6, 0.6] {
                    let at = Point::new(at.x + off * (b.x - a.x) / length, at.y + off * (b.y - a.y) / length);
                    out.push(path(vec![at.moved(-0.8, 1.0), at.moved(0.8, -1.0)], weight::FINE));
                }
            }
            k += 1.0;
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::diagram::{Options, Overlay, scene};
    use crate::installation::{Cable, CableData, Conductor, Part, PartKind, Place, Size, System};
    use crate::network::solve;
    use std::sync::Arc;

    #[test]
    fn what_is_new_and_what_goes_is_signed_and_nothing_else() {
        let mut drawn = Installation::new(System::TwoWire120);
        let at = |x| Place::At(Point::new(x, 40.0));
        let source = drawn.add_part(Part::new(PartKind::Generator, "G1", at(20.0)));
        let panel = drawn.add_part(Part::new(PartKind::Panel, "A1", at(80.0)));
        let mut cable = Cable::between(source, panel);
        cable.data = CableData { conductor: Conductor::Size(Size::Awg(10)), ..CableData::unknown() };
        let feed = drawn.add_cable(cable);
        let signs = |drawn: &Installation, target: Target| {
            let scene = scene(drawn, &solve(drawn, 0), &Overlay::default(), &Options::default());
            scene.items.iter().filter(|i| i.layer == Layer::Mark && i.target == Some(target)).count()
        };
        assert_eq!((signs(&drawn, Target::Part(source)), signs(&drawn, Target::Cable(feed))), (0, 0));
        Arc::make_mut(drawn.parts.get_mut(&source).unwrap()).status = Status::New;
        Arc::make_mut(drawn.cables.get_mut(&feed).unwrap()).status = Status::Remove;
        assert_eq!(signs(&drawn, Target::Part(source)), 4, "a corner each");
        assert!(signs(&drawn, Target::Cable(feed)) >= 2, "crosses along it");
        assert_eq!(signs(&drawn, Target::Part(panel)), 0);
    }
}
