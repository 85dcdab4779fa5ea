//! Draws three installations into the target directory, and holds what any reader of a drawing would look for: no route
//! runs through a symbol, no label covers another, everything is drawn.

#[path = "support/drawings.rs"]
mod drawings;

use drawings::{Drawing, all};
use hullwire::diagram::{Item, Layer, Scene, Shape, Target, text_width};
use hullwire::installation::Rect;
use hullwire::sheets::svg;
use std::collections::BTreeSet;
use std::fs;

/// The rectangle that a text covers, without a hair at its edges.
fn text_rect(shape: &Shape) -> Option<Rect> {
    let Shape::Text { at, text, size, align, weight, .. } = shape else { return None };
    let width = text_width(text, *size, *weight);
    let left = match align {
        hullwire::diagram::Align::Left => at.x,
        hullwire::diagram::Align::Centre => at.x - width / 2.0,
        hullwire::diagram::Align::Right => at.x - width,
    };
    let min = hullwire::installation::Point::new(left, at.y - size);
    Some(Rect { min, max: hullwire::installation::Point::new(left + width, at.y) }.grown(-0.05))
}

fn texts(scene: &Scene) -> Vec<(&Item, Rect)> {
    scene.items.iter().filter(|i| i.layer >= Layer::Text).filter_map(|i| Some((i, text_rect(&i.shape)?))).collect()
}

#[test]
fn the_gallery_is_drawn() {
    let dir = std::path::Path::new(env!("CARGO_TARGET_TMPDIR")).join("gallery");
    fs::create_dir_all(&dir).unwrap();
    for Drawing { name, installation, scene } in all() {
        let text = svg::write(&scene, &installation, svg::paper);
        assert_eq!(text, svg::write(&scene, &installation, svg::paper));
        for part in installation.parts.values() {
            assert!(text.contains(&part.tag), "{name}: {} is not drawn", part.tag);
        }
        fs::write(dir.join(format!("{name}.svg")), text).unwrap();
        let colour = svg::write(&scene, &installation, drawings::screen);
        fs::write(dir.join(format!("{name}-colour.svg")), colour).unwrap();
    }
}

#[test]
fn no_route_passes_the_inside_of_a_symbol() {
    for Drawing { name, installation, scene } in all() {
        for path in &scene.cables {
            let cable = &installation.cables[&path.cable];
            for pair in path.points.windows(2) {
                let stretch = Rect::between(pair[0], pair[1]);
                for area in scene.parts.iter().filter(|a| a.part != cable.from && a.part != cable.to) {
                    let inside = area.symbol.grown(-0.2).overlaps(stretch.grown(0.01));
                    let tags = (installation.tag(cable.from), installation.tag(cable.to), installation.tag(area.part));
                    assert!(!inside, "{name}: the cable {} to {} passes {}", tags.0, tags.1, tags.2);
                }
            }
        }
    }
}

#[test]
fn no_two_labels_overlap() {
    for Drawing { name, scene, .. } in all() {
        let texts = texts(&scene);
        for (i, (a, ra)) in texts.iter().enumerate() {
            for (b, rb) in &texts[i + 1..] {
                assert!(!ra.overlaps(*rb), "{name}: {:?} covers {:?}", a.shape, b.shape);
            }
        }
    }
}

#[test]
fn no_label_covers_a_symbol_or_a_cable() {
    for Drawing { name, scene, .. } in all() {
        for (item, rect) in texts(&scene).iter().filter(|(i, _)| i.layer == Layer::Text) {
            for area in &scene.parts {
                assert!(!area.symbol.overlaps(*rect), "{name}: {:?} covers a symbol", item.shape);
            }
            for path in &scene.cables {
                for pair in path.points.windows(2) {
                    let stretch = Rect::between(pair[0], pair[1]).grown(0.1);
                    assert!(!stretch.overlaps(*rect), "{name}: {:?} lies on a cable", item.shape);
                }
            }
        }
    }
}

#[test]
fn everything_has_its_area_and_its_target() {
    for Drawing { name, installation, scene } in all() {
        assert_eq!(scene.parts.len(), installation.parts.len(), "{name}");
        assert_eq!(scene.cables.len(), installation.cables.len(), "{name}");
        let targets: BTreeSet<Target> = scene.items.iter().filter_map(|i| i.target).collect();
        assert!(installation.parts.keys().all(|id| targets.contains(&Target::Part(*id))), "{name}");
        assert!(installation.cables.keys().all(|id| targets.contains(&Target::Cable(*id))), "{name}");
        assert!(installation.spaces.keys().all(|id| targets.contains(&Target::Space(*id))), "{name}");
        assert!(scene.items.windows(2).all(|w| w[0].layer <= w[1].layer), "{name}: not sorted by layer");
        let bounds = scene.bounds.unwrap();
        for area in &scene.parts {
            assert!(bounds.contains(area.full.min) && bounds.contains(area.full.max), "{name}");
        }
    }
}
