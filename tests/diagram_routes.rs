//! Routes of cables: never through a symbol, a hop at each crossing, straight where they can be; a move re-routes only what
//! is near; a mirrored symbol is fed from the right.

#[path = "support/drawing.rs"]
#[allow(dead_code, reason = "a part of it is used here")]
mod drawing;
#[path = "support/large.rs"]
mod large;

use hullwire::diagram::{Layer, Options, Overlay, Scene, Shape, Target, Terminal, lay_out, scene};
use hullwire::installation::{CableId, Edit, Installation, PartId, PartKind, Point, Rect, Selection, compare};
use hullwire::network::solve;
use std::collections::BTreeMap;

fn drawn(doc: &Installation) -> Scene {
    scene(doc, &solve(doc, 0), &Overlay::default(), &Options::default())
}

fn paths(scene: &Scene) -> BTreeMap<CableId, Vec<Point>> {
    scene.cables.iter().map(|c| (c.cable, c.points.clone())).collect()
}

fn first(doc: &Installation, kind: PartKind) -> PartId {
    doc.parts.iter().filter(|(_, p)| p.kind == kind).map(|(id, _)| *id).nth(7).unwrap()
}

#[test]
fn a_move_routes_anew_only_what_is_near() {
    let mut doc = large::boat(600);
    lay_out(&mut doc);
    let moved = first(&doc, PartKind::Appliance);
    let edit = Edit::Move { what: Selection::part(moved), dx: 15.0, dy: 25.0 };
    let after = doc.apply(&edit).unwrap().installation;
    let (before, after_paths) = (paths(&drawn(&doc)), paths(&drawn(&after)));
    let places = [&doc, &after].map(|d| d.parts[&moved].position());
    let reach = Rect::between(places[0], places[1]).grown(150.0);
    let mut changed = 0;
    for (cable, points) in &before {
        if after_paths[cable] != *points {
            changed += 1;
            assert!(points.iter().any(|p| reach.contains(*p)), "a far cable took another way: {points:?}");
        }
    }
    assert!((1..=4).contains(&changed), "{changed} of {} cables", before.len());
}

#[test]
fn branches_of_a_long_bar_are_straight_and_the_bar_is_one_piece() {
    let mut doc = large::boat(100);
    lay_out(&mut doc);
    let drawn = drawn(&doc);
    let panel = doc.parts.iter().find(|(_, p)| p.kind == PartKind::Panel).map(|(id, _)| *id).unwrap();
    let area = drawn.parts.iter().find(|a| a.part == panel).unwrap();
    let leaving: Vec<CableId> = doc.leaving(panel).map(|(id, _)| id).collect();
    assert!(leaving.len() > 30);
    for cable in leaving {
        let points = &paths(&drawn)[&cable];
        assert_eq!(points.len(), 2, "{points:?}");
        assert_eq!(points[0].y, points[1].y);
        assert!(points[0].y >= area.symbol.min.y && points[0].y <= area.symbol.max.y, "it starts at the bar");
    }
    assert!(area.symbol.width() < 3.0 && area.symbol.height() > 200.0);
}

#[test]
fn crossing_cables_hop_and_the_hop_stands_on_the_crossing() {
    let mut doc = Installation::new(hullwire::installation::System::TwoWire120);
    let (a, b) = (
        drawing::part(&mut doc, PartKind::Generator, "G1", 0.0, 0.0, |_| {}),
        drawing::part(&mut doc, PartKind::Generator, "G2", 0.0, 60.0, |_| {}),
    );
    let (c, d) = (
        drawing::part(&mut doc, PartKind::Junction, "X1", 120.0, 60.0, |_| {}),
        drawing::part(&mut doc, PartKind::Junction, "X2", 120.0, 0.0, |_| {}),
    );
    for (from, to) in [(a, c), (b, d)] {
        drawing::cable(&mut doc, from, to, 12, Some(3.0));
    }
    let scene = drawn(&doc);
    let hops = scene.items.iter().filter(|item| {
        item.layer == Layer::Cable
            && matches!(item.shape, Shape::Arc { sweep_deg, .. } if (sweep_deg - 180.0).abs() < 1e-9)
    });
    assert!(hops.count() >= 1);
}

/// A source level with the second contact of a selector feeds the first, and one above feeds the second.
#[test]
fn cables_to_crossed_contacts_of_a_selector_do_not_lie_on_each_other() {
    let mut doc = Installation::new(hullwire::installation::System::TwoWire120);
    let level = drawing::part(&mut doc, PartKind::Generator, "G1", 0.0, 60.0, |_| {});
    let above = drawing::part(&mut doc, PartKind::Generator, "G2", 0.0, 0.0, |_| {});
    let selector = drawing::part(&mut doc, PartKind::Selector, "Q1", 120.0, 60.0, |_| {});
    for from in [level, above] {
        drawing::cable(&mut doc, from, selector, 12, Some(3.0));
    }
    let all: Vec<Vec<Point>> = paths(&drawn(&doc)).into_values().collect();
    assert_eq!(all.len(), 2);
    let ends: Vec<f64> = all.iter().map(|points| points.last().unwrap().y).collect();
    assert!((ends[1] - 60.0).abs() < 1e-9 && ends[0] < ends[1], "contacts at {ends:?}");
    let stretch = |w: &[Point]| Rect::between(w[0], w[1]);
    for one in all[0].windows(2).map(stretch) {
        for other in all[1].windows(2).map(stretch) {
            let wide = one.max.x.min(other.max.x) - one.min.x.max(other.min.x);
            let high = one.max.y.min(other.max.y) - one.min.y.max(other.min.y);
            assert!(wide < -1e-9 || high < -1e-9 || wide + high < 1e-9, "{one:?} lies on {other:?}");
        }
    }
}

/// A generator at the right feeds to the left.
fn mirrored() -> (Installation, [PartId; 3]) {
    let mut doc = Installation::new(hullwire::installation::System::TwoWire120);
    let source = drawing::part(&mut doc, PartKind::Generator, "G1", 200.0, 50.0, |_| {});
    let breaker = drawing::part(&mut doc, PartKind::Breaker, "Q1", 120.0, 50.0, |_| {});
    let load = drawing::part(&mut doc, PartKind::Appliance, "E1", 40.0, 80.0, |_| {});
    drawing::cable(&mut doc, source, breaker, 12, Some(3.0));
    drawing::cable(&mut doc, breaker, load, 12, Some(3.0));
    let parts = vec![source, breaker, load];
    let edited = doc.apply(&Edit::Mirror { parts, mirrored: true }).unwrap();
    assert_eq!(edited.label, "mirror 3 parts");
    (edited.installation, [source, breaker, load])
}

#[test]
fn a_mirrored_symbol_has_its_terminals_and_switch_at_the_other_side_and_cables_go_there() {
    let (doc, ids) = mirrored();
    let scene = drawn(&doc);
    for id in ids {
        let area = scene.parts.iter().find(|a| a.part == id).unwrap();
        let middle = doc.parts[&id].position().x;
        for (terminal, at) in &area.terminals {
            assert_eq!(*terminal == Terminal::Outlet, at.x < middle, "{terminal:?}");
        }
    }
    let load = scene.parts.iter().find(|a| a.part == ids[2]).unwrap();
    assert!(load.switch.unwrap().max.x < doc.parts[&ids[2]].position().x);
    for path in &scene.cables {
        assert!(path.points.len() <= 4, "{:?}", path.points);
        assert!(path.points.windows(2).all(|w| w[0].x >= w[1].x), "all the way to the left: {:?}", path.points);
        for area in &scene.parts {
            let inside = area.symbol.grown(-0.8);
            assert!(path.points.windows(2).all(|w| !Rect::between(w[0], w[1]).grown(0.01).overlaps(inside)));
        }
    }
    // Its letters are not turned: each text is there as it was, and stays within its symbol's room.
    let texts = |scene: &Scene| -> Vec<String> {
        let of = |i: &hullwire::diagram::Item| match (&i.shape, i.target) {
            (Shape::Text { text, .. }, Some(Target::Part(_))) => Some(text.clone()),
            _ => None,
        };
        let mut all: Vec<String> = scene.items.iter().filter_map(of).collect();
        all.sort();
        all
    };
    let plain = doc.apply(&Edit::Mirror { parts: ids.to_vec(), mirrored: false }).unwrap().installation;
    assert_eq!(texts(&scene), texts(&drawn(&plain)));
}

#[test]
fn one_mirrored_symbol_beside_usual_ones_is_reached_around() {
    let (doc, ids) = mirrored();
    for turned in ids {
        let edit = Edit::Mirror { parts: vec![turned], mirrored: false };
        let doc = doc.apply(&edit).unwrap().installation;
        let scene = drawn(&doc);
        for path in &scene.cables {
            for area in &scene.parts {
                let inside = area.symbol.grown(-0.8);
                let through = path.points.windows(2).any(|w| Rect::between(w[0], w[1]).grown(0.01).overlaps(inside));
                assert!(!through, "{:?} goes through {:?}", path.points, area.part);
            }
        }
    }
}

#[test]
fn a_mirrored_symbol_is_saved_compared_as_moved_and_tidied_away() {
    let (doc, ids) = mirrored();
    let plain = doc.apply(&Edit::Mirror { parts: ids.to_vec(), mirrored: false }).unwrap().installation;
    let comparison = compare(&plain, &doc);
    assert!(comparison.is_only_moves() && comparison.moved.len() == 3);
    let text = hullwire::store::to_text(&doc).unwrap();
    let again = hullwire::store::parse(text.as_bytes(), "boat.hullwire", Some("hullwire")).unwrap().installation;
    assert_eq!(again, doc);
    assert!(again.parts.values().all(|p| p.mirrored));
    let mut tidied = doc.clone();
    lay_out(&mut tidied);
    assert!(tidied.parts.values().all(|p| !p.mirrored), "tidied, everything flows to the right");
    let same = |a: &Installation, b: &Installation| {
        let (a, b) = (solve(a, 0), solve(b, 0));
        ids.iter().all(|id| a.parts[id].amps == b.parts[id].amps)
    };
    assert!(same(&plain, &doc), "no figure changes");
}
