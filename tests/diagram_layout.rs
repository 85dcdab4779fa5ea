//! Random installations, laid out and drawn: every part stays in its kind of space, no symbols overlap, routes are
//! upright or level and join the right terminals, and the drawing is the same each time.

use hullwire::diagram::{Geometry, Options, Overlay, Terminal, lay_out, scene};
use hullwire::installation::{
    Cable, CableData, Conductor, Installation, Part, PartKind, Place, Point, Rect, Size, Space, SpaceKind, System,
};
use hullwire::network::{Solution, solve};
use proptest::prelude::*;
use proptest::sample::select;

#[derive(Clone, Debug)]
struct Sketch {
    kinds: Vec<(PartKind, SpaceKind)>,
    /// Parent of each part but the first, as a share of the parts before it; `None` for a part without feed.
    parents: Vec<Option<f64>>,
    /// Further cables, as shares of all parts: second feeds, rings, islands joined.
    extra: Vec<(f64, f64)>,
    fitted: Vec<bool>,
}

fn sketch(most: usize) -> impl Strategy<Value = Sketch> {
    (1..most).prop_flat_map(|n| {
        (
            prop::collection::vec((select(PartKind::ALL), select(SpaceKind::ALL)), n),
            prop::collection::vec(prop::option::weighted(0.9, 0.0..1.0_f64), n),
            prop::collection::vec((0.0..1.0_f64, 0.0..1.0_f64), 0..4),
            prop::collection::vec(any::<bool>(), n + 4),
        )
            .prop_map(|(kinds, parents, extra, fitted)| Sketch { kinds, parents, extra, fitted })
    })
}

fn pick(share: f64, n: usize) -> usize {
    ((share * n as f64) as usize).min(n.saturating_sub(1))
}

fn build(sketch: &Sketch, place: impl Fn(usize, SpaceKind) -> Place) -> Installation {
    let mut installation = Installation::new(System::SplitPhase);
    let mut ids = Vec::new();
    for (n, (kind, space)) in sketch.kinds.iter().enumerate() {
        let mut part = Part::new(*kind, format!("P{n}"), place(n, *space));
        part.label = if n % 3 == 0 { format!("Some label {n}") } else { String::new() };
        part.run_w = (n % 2 == 0).then_some(100.0 * n as f64 + 10.0);
        ids.push(installation.add_part(part));
    }
    let mut joins: Vec<(usize, usize)> = Vec::new();
    for (n, parent) in sketch.parents.iter().enumerate().skip(1) {
        joins.extend(parent.map(|share| (pick(share, n), n)));
    }
    joins.extend(sketch.extra.iter().map(|(a, b)| (pick(*a, ids.len()), pick(*b, ids.len()))));
    for (i, (from, to)) in joins.into_iter().enumerate() {
        let mut cable = Cable::between(ids[from], ids[to]);
        if sketch.fitted.get(i) == Some(&true) {
            cable.data = CableData::none();
        } else {
            cable.data.conductor = Conductor::Size(Size::Awg(12));
            cable.data.length_m = (i % 3 != 0).then_some(4.0);
        }
        installation.add_cable(cable);
    }
    if let Some(id) = ids.iter().find(|id| installation.parts[id].kind.is_source()) {
        installation.conditions[0].feeding = vec![*id];
    }
    installation
}

fn spaces(installation: &Installation) -> Vec<SpaceKind> {
    installation.parts.keys().map(|id| installation.space_of(*id)).collect()
}

fn overlapping(installation: &Installation) -> Option<String> {
    let geometry = Geometry::of(installation);
    let feet: Vec<_> = geometry.parts.iter().collect();
    for (i, (a, fa)) in feet.iter().enumerate() {
        for (b, fb) in &feet[i + 1..] {
            if fa.outline.overlaps(fb.outline) {
                return Some(format!("{} {:?} and {} {:?}", installation.tag(**a), fa, installation.tag(**b), fb));
            }
        }
    }
    None
}

fn check_scene(installation: &Installation, solution: &Solution) -> Result<(), TestCaseError> {
    let geometry = Geometry::of(installation);
    let drawn = scene(installation, solution, &Overlay::default(), &Options::default());
    prop_assert_eq!(&drawn, &scene(installation, solution, &Overlay::default(), &Options::default()));
    for path in &drawn.cables {
        let cable = &installation.cables[&path.cable];
        let (from, to) = (&geometry.parts[&cable.from], &geometry.parts[&cable.to]);
        let entry = to.entry(path.cable);
        prop_assert_eq!(path.points.first().copied(), Some(from.exit(entry)));
        prop_assert_eq!(path.points.last().copied(), Some(entry));
        for pair in path.points.windows(2) {
            let upright = (pair[0].x - pair[1].x).abs() < 1e-6;
            let level = (pair[0].y - pair[1].y).abs() < 1e-6;
            prop_assert!(upright || level, "{:?}", path.points);
        }
    }
    for area in &drawn.parts {
        for (terminal, at) in &area.terminals {
            prop_assert_eq!(at.snapped(), *at);
            let outlet = *terminal == Terminal::Outlet;
            prop_assert_eq!(outlet, at.x > geometry.parts[&area.part].at.x);
        }
    }
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 48, ..ProptestConfig::default() })]

    #[test]
    fn a_layout_keeps_every_part_in_its_space_and_off_the_others(sketch in sketch(40)) {
        let mut installation = build(&sketch, |_, space| Place::In(space));
        let stated = spaces(&installation);
        lay_out(&mut installation);
        prop_assert_eq!(&spaces(&installation), &stated);
        prop_assert_eq!(overlapping(&installation), None);
        prop_assert!(installation.parts.values().all(|p| matches!(p.place, Place::At(at) if at.snapped() == at)));
        check_scene(&installation, &solve(&installation, 0))?;
        // Tidying what is tidy keeps it so.
        let mut again = installation.clone();
        lay_out(&mut again);
        prop_assert_eq!(&spaces(&again), &stated);
        prop_assert_eq!(overlapping(&again), None);
    }

    #[test]
    fn a_scattered_drawing_is_routed_and_tidied(
        sketch in sketch(30),
        at in prop::collection::vec((-40..40_i32, -40..40_i32), 30),
        rects in prop::collection::vec(((-40..40_i32, -40..40_i32), (2..30_i32, 2..30_i32)), 0..5),
    ) {
        let point = |(x, y): (i32, i32)| Point::new(f64::from(x) * 5.0, f64::from(y) * 5.0);
        let mut installation = build(&sketch, |n, _| Place::At(point(at[n % at.len()])));
        for (n, (corner, size)) in rects.iter().enumerate() {
            let min = point(*corner);
            let max = min.moved(f64::from(size.0) * 5.0, f64::from(size.1) * 5.0);
            let kind = SpaceKind::ALL[n % SpaceKind::ALL.len()];
            installation.add_space(Space { name: format!("Space {n}"), kind, rect: Rect { min, max }, extra: Default::default() });
        }
        check_scene(&installation, &solve(&installation, 0))?;
        let before = spaces(&installation);
        let names: std::collections::BTreeSet<String> = installation.spaces.values().map(|s| s.name.clone()).collect();
        lay_out(&mut installation);
        prop_assert_eq!(spaces(&installation), before);
        prop_assert_eq!(overlapping(&installation), None);
        let kept: std::collections::BTreeSet<String> = installation.spaces.values().map(|s| s.name.clone()).collect();
        prop_assert_eq!(kept, names);
    }

    #[test]
    fn a_solution_of_another_drawing_does_no_harm(a in sketch(20), b in sketch(20)) {
        let mut first = build(&a, |_, space| Place::In(space));
        let mut second = build(&b, |_, space| Place::In(space));
        lay_out(&mut first);
        lay_out(&mut second);
        check_scene(&first, &solve(&second, 0))?;
        check_scene(&second, &Solution::default())?;
    }
}

#[test]
fn an_empty_installation_gives_an_empty_scene() {
    let mut installation = Installation::new(System::TwoWire120);
    lay_out(&mut installation);
    let drawn = scene(&installation, &Solution::default(), &Overlay::default(), &Options::default());
    assert!(drawn.items.is_empty() && drawn.parts.is_empty() && drawn.cables.is_empty() && drawn.bounds.is_none());
}

#[test]
fn wild_positions_neither_hang_nor_panic() {
    let mut installation = Installation::new(System::TwoWire120);
    let places = [(1e300, 0.0), (f64::NAN, 0.0), (0.0, f64::INFINITY), (-1e12, 1e12), (0.0, 0.0)];
    let ids: Vec<_> = places
        .iter()
        .enumerate()
        .map(|(n, (x, y))| {
            installation.add_part(Part::new(PartKind::Junction, format!("X{n}"), Place::At(Point::new(*x, *y))))
        })
        .collect();
    for pair in ids.windows(2) {
        installation.add_cable(Cable::between(pair[0], pair[1]));
    }
    let drawn = scene(&installation, &Solution::default(), &Overlay::default(), &Options::default());
    assert!(drawn.bounds.is_some_and(|b| b.min.is_finite() && b.max.is_finite()));
    lay_out(&mut installation);
    let drawn = scene(&installation, &Solution::default(), &Overlay::default(), &Options::default());
    assert_eq!(drawn.parts.len(), places.len());
}
