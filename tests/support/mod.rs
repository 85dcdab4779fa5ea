//! Random installations for the tests of files and lists.
#![allow(dead_code, reason = "each test file uses its own part of this")]

use hullwire::installation::{
    Accepted, Cable, CableData, CableId, Candidate, Condition, Conductor, Edit, Fuel, INSULATIONS_C, Installation, Leg,
    LoadKind, MadeForHz, Origin, Part, PartId, PartKind, Place, Point, Property, Protection, Rect, ResistanceBasis,
    RuleSet, Size, Space, SpaceKind, Status, System, Trip, Usage,
};
use proptest::prelude::*;
use proptest::sample::select;
use std::sync::Arc;

/// Texts that spreadsheets and careless readers trip over.
pub fn label() -> impl Strategy<Value = String> {
    prop_oneof![
        Just(String::new()),
        "[A-Za-z0-9 ]{1,12}",
        "[,;|\"'#=+@\\-\n\t:é漢]{1,6}x",
        Just("# system: 230V50Hz".to_owned()),
        Just("say \"ahoy\", twice\nand again".to_owned()),
        Just("=SUM(A1:A9)".to_owned()),
    ]
    .prop_map(|s| s.trim().to_owned())
}

fn figure() -> impl Strategy<Value = f64> {
    prop_oneof![1.0..5000.0f64, (1..5000u32).prop_map(f64::from), Just(0.1), Just(1e-3), Just(1.0 / 3.0)]
}

fn maybe<T: std::fmt::Debug + Clone + 'static>(inner: impl Strategy<Value = T> + 'static) -> BoxedStrategy<Option<T>> {
    proptest::option::of(inner).boxed()
}

pub fn cable_data() -> impl Strategy<Value = CableData> {
    let size = prop_oneof![select(&Size::AWG[..]).prop_map(Size::Awg), select(&Size::MM2[..]).prop_map(Size::Mm2)];
    let conductor =
        prop_oneof![Just(Conductor::None), Just(Conductor::Unknown), size.prop_map(Conductor::Size)].boxed();
    (
        conductor,
        maybe(0.0..100.0f64),
        maybe(select(&INSULATIONS_C[..])),
        maybe(1..12u16),
        any::<bool>(),
        maybe(select(SpaceKind::ALL)),
    )
        .prop_map(|(conductor, length_m, insulation_c, bundled, sheathed, through)| CableData {
            conductor,
            length_m,
            insulation_c,
            bundled,
            sheathed,
            through,
        })
}

prop_compose! {
    fn loads()(
        run_w in maybe(figure()), start_w in maybe(figure()), start_va in maybe(figure()), pf in maybe(0.01..1.0f64),
        load_kind in select(LoadKind::ALL), cycles in any::<bool>(), continuous in maybe(any::<bool>()),
        lighting in any::<bool>(), duty in 0.0..=1.0f64, must_run in any::<bool>(),
    ) -> Part {
        let mut part = Part::new(PartKind::Appliance, "", Place::In(SpaceKind::Other));
        (part.run_w, part.start_w, part.start_va, part.pf) = (run_w, start_w, start_va, pf);
        (part.load_kind, part.cycles, part.continuous, part.lighting) = (load_kind, cycles, continuous, lighting);
        (part.duty, part.must_run) = (duty, must_run);
        part
    }
}

prop_compose! {
    fn gear()(
        volts in maybe(figure()), charge_w in 0.0..900.0f64, rating_a in maybe(figure()), poles in maybe(1..=3u8),
        trip in maybe(select(Trip::ALL)), protection in select(Protection::ALL), leg in maybe(select(Leg::ALL)),
        interrupting_ka in maybe(figure()), bonded in maybe(any::<bool>()), portable in any::<bool>(), fuel in select(Fuel::ALL),
        tank_l in maybe(figure()), curve in any::<bool>(),
    ) -> Part {
        let mut part = Part::new(PartKind::Generator, "", Place::In(SpaceKind::Other));
        (part.volts, part.charge_w, part.rating_a, part.poles) = (volts, charge_w, rating_a, poles);
        (part.trip, part.protection, part.leg, part.bonded) = (trip, protection, leg, bonded);
        (part.portable, part.fuel, part.tank_l, part.interrupting_ka) = (portable, fuel, tank_l, interrupting_ka);
        if curve {
            part.fuel_curve = vec![(0.0, 0.19), (25.5, 0.222), (100.0, 1.0 / 3.0)];
        }
        part
    }
}

/// Most things stand.
fn status() -> impl Strategy<Value = Status> {
    prop_oneof![6 => Just(Status::Existing), 1 => Just(Status::New), 1 => Just(Status::Remove)]
}

prop_compose! {
    /// A part in which any property may be set.
    fn any_part()(
        kind in select(PartKind::ALL), load in loads(), gear in gear(), label in label(), cord in cable_data(),
        space in select(SpaceKind::ALL), x in -500.0..500.0f64, y in -500.0..500.0f64, drawn in any::<bool>(), status in status(),
    ) -> Part {
        let mut part = load;
        part.kind = kind;
        part.status = status;
        part.mirrored = drawn && x > 200.0;
        part.label = label;
        part.place = if drawn { Place::At(Point::new(x, y)) } else { Place::In(space) };
        (part.volts, part.charge_w, part.rating_a, part.poles) = (gear.volts, gear.charge_w, gear.rating_a, gear.poles);
        (part.trip, part.protection, part.leg, part.bonded) = (gear.trip, gear.protection, gear.leg, gear.bonded);
        (part.portable, part.fuel, part.tank_l) = (gear.portable, gear.fuel, gear.tank_l);
        if kind == PartKind::Appliance {
            (part.start_s, part.volts_min, part.volts_max) = (gear.interrupting_ka, gear.volts, gear.tank_l);
            part.hz = gear.trip.and_then(|t| MadeForHz::ALL.get(t as usize).copied());
        }
        if kind == PartKind::Breaker {
            part.interrupting_ka = gear.interrupting_ka;
        }
        part.fuel_curve = gear.fuel_curve;
        if kind == PartKind::ShoreInlet {
            part.cord = cord;
        }
        part
    }
}

/// What joins two parts, by their place among the parts; a source that takes no feed is left out.
type Joint = (prop::sample::Index, prop::sample::Index, CableData, Status);

prop_compose! {
    /// Any installation that a file can hold, loops, islands, islands of one and odd texts included.
    pub fn installation()(
        system in select(System::ALL), rules in select(RuleSet::ALL), resistance in select(ResistanceBasis::ALL),
        name in label(), condition in "[A-Z][a-z,\"]{0,8}[a-z]", parts in prop::collection::vec(any_part(), 0..12),
        joints in prop::collection::vec((any::<prop::sample::Index>(), any::<prop::sample::Index>(), cable_data(), status()), 0..14),
        odd in any::<bool>(), off in prop::collection::vec(any::<bool>(), 12), feeding in prop::collection::vec(any::<bool>(), 12),
    ) -> Installation {
        let joints: Vec<Joint> = joints;
        let mut out = Installation::new(system);
        (out.rules, out.resistance, out.name) = (rules, resistance, name);
        out.add_space(Space {
            name: "Below".to_owned(),
            kind: SpaceKind::EngineSpace,
            rect: Rect::between(Point::new(-200.0, -200.0), Point::new(10.5, 0.25)),
            extra: Default::default(),
        });
        let mut ids: Vec<PartId> = Vec::new();
        for (i, mut part) in parts.into_iter().enumerate() {
            part.tag = if odd && i % 3 == 0 { format!("# {i}, \"é\"=") } else { format!("T{i}") };
            ids.push(out.add_part(part));
        }
        let mut state = Condition::named(condition);
        for ((id, off), feeds) in ids.iter().zip(off).zip(feeding) {
            let kind = out.parts[id].kind;
            if kind.is_source() && feeds {
                state.feeding.push(*id);
            }
            if kind.has_switch() && off {
                state.off.insert(*id);
            }
        }
        out.conditions = vec![state];
        if !ids.is_empty() {
            for (from, to, data, status) in joints {
                let (from, to) = (*from.get(&ids), *to.get(&ids));
                if !matches!(out.parts[&to].kind, PartKind::ShoreInlet | PartKind::Generator) {
                    let mut cable = Cable::between(from, to);
                    (cable.data, cable.status) = (data, status);
                    out.add_cable(cable);
                }
            }
        }
        out
    }
}

/// What a circuit list can hold of an installation, so that two can be compared.
pub fn electrical(installation: &Installation) -> String {
    let mut out = format!(
        "{:?} {:?} {:?} {:?}\n",
        installation.name, installation.system, installation.rules, installation.resistance
    );
    let condition = &installation.conditions[0];
    let tags =
        |ids: &mut dyn Iterator<Item = &PartId>| ids.map(|id| installation.tag(*id).to_owned()).collect::<Vec<_>>();
    out += &format!("{:?} feeding {:?}\n", condition.name, tags(&mut condition.feeding.iter()));
    for (id, part) in &installation.parts {
        let mut part = Part::clone(part);
        let blank = Part::new(part.kind, part.tag.clone(), part.place);
        part.place = Place::In(installation.space_of(*id));
        part.mirrored = false;
        for &property in Property::ALL {
            let of_cord = Property::OF_CABLE.contains(&property);
            if !of_cord && !part.kind.may_have(property) {
                part.set_any(property, &blank.get(property), installation.system).unwrap();
            }
        }
        if !installation.system.is_split_phase() {
            part.leg = None;
        }
        part.origins.clear();
        out += &format!("{part:?} on: {}\n", installation.is_on(*id, 0));
        for (_, cable) in installation.feeds_of(*id) {
            out += &format!("   from {} by {:?} {:?}\n", installation.tag(cable.from), cable.data, cable.status);
        }
    }
    out
}

/// Origins, foreign fields, accepted findings, revisions, tags of cables and a title, so that a drawing's file has everything that it can have.
pub fn decorated(mut installation: Installation) -> Installation {
    let foreign = serde_json::json!({"from_a_later_version": [1, {"deep": null}], "a": "ß"});
    let foreign = foreign.as_object().cloned().unwrap_or_default();
    installation.extra = foreign.clone();
    installation.title.title = "Hull 7".to_owned();
    installation.title.creator = "A \"B\"".to_owned();
    for part in installation.parts.values_mut() {
        let part = Arc::make_mut(part);
        part.origins.insert(Property::RunW, Origin::Typical);
        part.extra = foreign.clone();
    }
    for cable in installation.cables.values_mut() {
        let cable = Arc::make_mut(cable);
        cable.tag = "W1".to_owned();
        cable.origins.insert(Property::LengthM, Origin::Measured);
        cable.extra = foreign.clone();
    }
    for space in installation.spaces.values_mut() {
        space.extra = foreign.clone();
    }
    let appliance = installation.parts.iter().find(|(_, p)| p.kind == PartKind::Appliance).map(|(id, _)| *id);
    for (condition, id) in installation.conditions.iter_mut().zip(appliance) {
        condition.usage.insert(id, Usage { share: Some(0.25), at_once: Some(2) });
    }
    let source = installation.parts.iter().find(|(_, p)| p.kind.is_source()).map(|(id, p)| (*id, Part::clone(p)));
    if let Some((id, mut part)) = source {
        (part.tag, part.place) = (String::new(), Place::In(SpaceKind::Other));
        part.run_w = Some(1234.5);
        let part = Arc::new(part);
        installation.candidates.push(Candidate { name: "Offer é".to_owned(), in_place_of: id, part, pair: true });
    }
    for condition in &mut installation.conditions {
        condition.extra = foreign.clone();
    }
    installation.next_id += 17;
    // One of them about a part that was deleted.
    let parts: Vec<PartId> = installation.parts.keys().take(2).copied().chain([PartId::new(1)]).collect();
    installation.accepted = vec![
        Accepted {
            rule: "drop-total".to_owned(),
            parts,
            cables: vec![CableId::new(3)],
            severity: Some(hullwire::units::Severity::Caution),
            reason: "short runs, \"measured\"".to_owned(),
            by: "A. Owner".to_owned(),
            date: "30 May".to_owned(),
            figure: Some(6.125),
            extra: foreign.clone(),
        },
        Accepted {
            rule: "a-rule-of-a-later-version".to_owned(),
            parts: Vec::new(),
            cables: Vec::new(),
            severity: None,
            reason: String::new(),
            by: String::new(),
            date: String::new(),
            figure: None,
            extra: Default::default(),
        },
    ];
    for note in ["first issue", ""] {
        let (date, author, note) = ("2026-05-30".to_owned(), "B".to_owned(), note.to_owned());
        let edit = Edit::IssueRevision { letter: String::new(), date, author, note };
        installation = installation.apply(&edit).unwrap().installation;
        installation.revisions.last_mut().unwrap().extra = foreign.clone();
    }
    installation
}
