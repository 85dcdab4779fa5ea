//! Boats of any size, for what is to take time in proportion.

use hullwire::installation::{Cable, Conductor, Installation, Part, PartId, PartKind, Place, Size, SpaceKind, System};

/// A generator, panels of forty circuits each behind a breaker, and an appliance on each circuit.
pub fn boat(parts: usize) -> Installation {
    let mut installation = Installation::new(System::TwoWire120);
    let add = |installation: &mut Installation, kind, tag: String, from: Option<PartId>, fill: &dyn Fn(&mut Part)| {
        let mut part = Part::new(kind, tag, Place::In(SpaceKind::Accommodation));
        fill(&mut part);
        let id = installation.add_part(part);
        if let Some(from) = from {
            let mut cable = Cable::between(from, id);
            if kind == PartKind::Appliance {
                cable.data.conductor = Conductor::Size(Size::Awg(14));
                cable.data.length_m = Some(3.0);
                cable.data.insulation_c = Some(105);
            } else {
                cable.data.conductor = Conductor::None;
            }
            installation.add_cable(cable);
        }
        id
    };
    let source = add(&mut installation, PartKind::Generator, "G1".to_owned(), None, &|p| {
        p.run_w = Some(1e6);
        p.start_w = Some(2e6);
        p.rating_a = Some(9000.0);
        p.bonded = Some(true);
    });
    installation.conditions[0].feeding = vec![source];
    let mut panel = source;
    let mut n = 0;
    while installation.parts.len() < parts {
        if n % 40 == 0 {
            panel = add(&mut installation, PartKind::Panel, format!("A{n}"), Some(source), &|p| p.rating_a = Some(1e4));
        }
        let breaker = add(&mut installation, PartKind::Breaker, format!("Q{n}"), Some(panel), &|p| {
            p.rating_a = Some(15.0);
            p.label = format!("Circuit {n}");
        });
        add(&mut installation, PartKind::Appliance, format!("E{n}"), Some(breaker), &|p| p.run_w = Some(50.0));
        n += 1;
    }
    installation
}
