//! A small drawing for window tests: two sources, a selector, a panel with three circuits, in one galley.

use hullwire::installation::{
    Cable, CableData, Conductor, Installation, Part, PartId, PartKind, Place, Point, Rect, Size, Space, SpaceKind,
    System,
};

/// Adds a part at a place.
pub fn part(
    doc: &mut Installation,
    kind: PartKind,
    tag: &str,
    x: f64,
    y: f64,
    change: impl FnOnce(&mut Part),
) -> PartId {
    let mut part = Part::new(kind, tag, Place::At(Point::new(x, y)));
    change(&mut part);
    doc.add_part(part)
}

/// Adds a cable; without a length the part is bolted on.
pub fn cable(doc: &mut Installation, from: PartId, to: PartId, awg: i8, metres: Option<f64>) {
    let mut cable = Cable::between(from, to);
    cable.data = match metres {
        Some(m) => CableData { conductor: Conductor::Size(Size::Awg(awg)), length_m: Some(m), ..CableData::unknown() },
        None => CableData::none(),
    };
    doc.add_cable(cable);
}

/// Two sources, a selector, a main breaker, a panel, three circuits.
pub fn small() -> Installation {
    let mut doc = Installation::new(System::TwoWire120);
    doc.name = "Small".to_owned();
    let d = &mut doc;
    let rating = |a: f64| move |p: &mut Part| p.rating_a = Some(a);
    let shore = part(d, PartKind::ShoreInlet, "X1", 20.0, 20.0, |p| {
        p.rating_a = Some(30.0);
        p.label = "Shore inlet".into();
    });
    let set = part(d, PartKind::Generator, "G1", 20.0, 80.0, |p| {
        p.run_w = Some(2000.0);
        p.start_w = Some(2400.0);
        p.rating_a = Some(20.0);
        p.label = "Generator".into();
    });
    let selector = part(d, PartKind::Selector, "Q10", 70.0, 50.0, rating(30.0));
    let main = part(d, PartKind::Breaker, "Q1", 100.0, 50.0, rating(30.0));
    let panel = part(d, PartKind::Panel, "A1", 125.0, 50.0, |p| p.label = "Main panel".into());
    cable(d, shore, selector, 10, Some(9.0));
    cable(d, set, selector, 10, Some(3.5));
    cable(d, selector, main, 10, Some(1.0));
    cable(d, main, panel, 10, Some(0.5));
    for (i, (label, watts, amps, y)) in
        [("Microwave oven", 1100.0, 15.0, 20.0), ("Kettle", 1200.0, 10.0, 50.0), ("Freezer", 300.0, 15.0, 80.0)]
            .into_iter()
            .enumerate()
    {
        let n = i + 2;
        let breaker = part(d, PartKind::Breaker, &format!("Q{n}"), 150.0, y, rating(amps));
        let outlet = part(d, PartKind::Outlet, &format!("X{n}"), 190.0, y, rating(15.0));
        let appliance = part(d, PartKind::Appliance, &format!("E{n}"), 225.0, y, |p| {
            p.run_w = Some(watts);
            p.label = label.into();
        });
        cable(d, panel, breaker, 0, None);
        cable(d, breaker, outlet, 14, Some(6.0));
        cable(d, outlet, appliance, 0, None);
    }
    let rect = Rect::between(Point::new(180.0, 5.0), Point::new(265.0, 95.0));
    d.add_space(Space { name: "Galley".into(), kind: SpaceKind::Galley, rect, extra: Default::default() });
    d.conditions[0].feeding = vec![set];
    doc
}
