//! Faults of figures, quality of supply and the drawing itself.

use super::boat::{Boat, Fault};
use hullwire::installation::{
    CableData, CableId, Conductor, Fuel, LoadKind, Origin, PartId, PartKind, Place, Property, Size, SpaceKind, Status,
    System, Trip,
};
use hullwire::network::solve;

/// An appliance that runs on a cable of its own behind a breaker: breaker, appliance, cable.
fn circuit(b: &Boat, holds: impl Fn(&Boat, PartId) -> bool) -> Option<(PartId, PartId, CableId)> {
    let alone = |b: &Boat, e: PartId| {
        b.upstream(e).is_some_and(|q| b.part(q).kind == PartKind::Breaker && b.leads_to(q).len() == 1)
    };
    let cabled = |b: &Boat, e| b.is.feeds_of(e).any(|(_, c)| c.data.size().is_some());
    let e = b.any(PartKind::Appliance, |b, e| b.runs(e) && alone(b, e) && cabled(b, e) && holds(b, e))?;
    Some((b.upstream(e)?, e, b.feed(e)?))
}

fn is_motor(b: &Boat, id: PartId) -> bool {
    b.part(id).load_kind == LoadKind::Motor
}

/// What feeds, where it is the boat's own.
fn own_source(b: &Boat) -> Option<PartId> {
    Some(b.root()).filter(|&r| b.part(r).kind != PartKind::ShoreInlet)
}

/// Lets a generator feed, where there is one.
fn on_generator(b: &mut Boat) -> Option<PartId> {
    let g = b.any(PartKind::Generator, |_, _| true)?;
    b.is.conditions[0].feeding = vec![g];
    b.solution = solve(&b.is, 0);
    Some(g)
}

fn size(b: &mut Boat, cable: CableId, size: Size, insulation_c: u16) {
    b.set_cable(cable, |c| {
        c.data.conductor = Conductor::Size(size);
        c.data.insulation_c = Some(insulation_c);
    });
}

/// Lesser faults, and those of figures.
pub const FAULTS: &[Fault] = &[
    ("panel cut off", |b| {
        let a = b.any(PartKind::Panel, |b, id| {
            let mut behind = vec![id];
            let mut at = 0;
            while at < behind.len() {
                behind.extend(b.leads_to(behind[at]));
                at += 1;
            }
            let feeds = |p: PartId| b.is.feeds_of(p).map(|(_, c)| c.from).collect::<Vec<_>>();
            behind.iter().all(|&p| !b.part(p).kind.is_source())
                && behind[1..].iter().all(|&p| feeds(p).iter().all(|from| behind.contains(from)))
        })?;
        let feeds: Vec<CableId> = b.is.feeds_of(a).map(|(id, _)| id).collect();
        feeds.iter().for_each(|id| drop(b.is.cables.remove(id)));
        Some(("island", a))
    }),
    ("source's own breaker below its load", |b| {
        let root = on_generator(b)?;
        let amps = b.amps(root);
        b.set(root, |p| p.rating_a = Some(amps * 0.99));
        Some(("source-breaker-overload", root))
    }),
    ("panel, selector or outlet below its load", |b| {
        let kinds = [PartKind::Panel, PartKind::Selector, PartKind::Outlet];
        let x = b.any(kinds[b.choice % 3], |b, id| b.amps(id) > 0.1)?;
        let amps = b.amps(x);
        b.set(x, |p| p.rating_a = Some(amps * 0.99));
        Some(("equipment-overload", x))
    }),
    ("starts that are too much at once", |b| {
        let root = own_source(b)?;
        let (q, m, _) = circuit(b, is_motor)?;
        // While the rest runs it starts; when other motors start in the same moment it does not.
        let (watts, most, run) = (b.solution.sources[&root].watts?, b.part(root).start_w?, b.part(m).run_w?);
        b.set(m, |p| (p.start_w, p.cycles) = (Some(most - watts + run), false));
        b.set(q, |p| p.rating_a = Some(100.0));
        Some(("start-all-at-once", root))
    }),
    ("long feeder", |b| {
        let (e, a) =
            (b.any(PartKind::Appliance, Boat::runs)?, b.any(PartKind::Panel, |b, id| b.upstream(id).is_some())?);
        (b.us() && !b.split() && b.solution.walk.path_to_source(e).contains(&a)).then_some(())?;
        let feed = b.solution.walk.feeds.get(&a)?.cable;
        b.set_cable(feed, |c| c.data.length_m = Some(90.0));
        solve(&b.is, 0).converged.then_some(("drop-total", e))
    }),
    ("long cable on the inverter", |b| {
        (!b.us()).then_some(())?;
        let t = b.any(PartKind::Inverter, |_, _| true)?;
        b.is.conditions[0].feeding = vec![t];
        b.solution = solve(&b.is, 0);
        let (_, e, cable) = circuit(b, |b, e| b.part(e).run_w.is_some_and(|w| w > 100.0))?;
        b.set_cable(cable, |c| c.data.length_m = Some(800.0));
        solve(&b.is, 0).converged.then_some(("drop-own-source", e))
    }),
    ("shore main taken away", |b| {
        let (main, inlet) = b.main()?;
        b.set(main, |p| p.kind = PartKind::Junction);
        Some(("cable-unprotected", inlet))
    }),
    ("generator without a breaker, the first one far off", |b| {
        let g = b.any(PartKind::Generator, |_, _| true)?;
        let (main, _) = b.main()?;
        b.set(g, |p| p.rating_a = None);
        // The main breaker moves to the generator's side of the selector.
        let out = b.is.cables.iter().find(|(_, c)| c.from == g).map(|(id, _)| *id)?;
        b.set_cable(out, |c| (c.to, c.data.length_m) = (main, Some(8.0)));
        let own = b.is.feeds_of(main).find(|(_, c)| c.from != g).map(|(id, _)| id)?;
        b.is.cables.remove(&own);
        Some(("breaker-far-from-source", main))
    }),
    ("power conductor of 16 AWG", |b| {
        b.us().then_some(())?;
        let (_, e, cable) = circuit(b, |_, _| true)?;
        size(b, cable, Size::Awg(16), 105);
        Some(("conductor-thin-power", e))
    }),
    ("large breaker for one motor", |b| {
        let (q, _, _) = circuit(b, |b, e| is_motor(b, e) && b.amps(e) > 5.0)?;
        b.set(q, |p| p.rating_a = Some(100.0));
        Some(("motor-breaker-large", q))
    }),
    ("25 A on 12 AWG", |b| {
        b.us().then_some(())?;
        let (q, _, cable) = circuit(b, |_, _| true)?;
        size(b, cable, Size::Awg(12), 105);
        b.set(q, |p| p.rating_a = Some(25.0));
        Some(("small-conductor", q))
    }),
    ("motor on a thin cable", |b| {
        b.us().then_some(())?;
        let (_, m, cable) = circuit(b, |b, e| is_motor(b, e) && b.amps(e) > 5.0)?;
        size(b, cable, Size::Awg(18), 60);
        b.set(m, |p| p.run_w = Some(4000.0));
        Some(("motor-conductor-thin", m))
    }),
    ("30 A on the terminals of 12 AWG", |b| {
        b.us().then_some(())?;
        let (q, _, cable) = circuit(b, |_, _| true)?;
        size(b, cable, Size::Awg(12), 105);
        b.set(q, |p| p.rating_a = Some(30.0));
        Some(("terminal-temperature", q))
    }),
    ("slow breaker before a long thin cable", |b| {
        (b.is.system == System::TwoWire230).then_some(())?;
        let (q, _, cable) = circuit(b, |_, _| true)?;
        size(b, cable, Size::Mm2(1.5), 70);
        b.set_cable(cable, |c| c.data.length_m = Some(30.0));
        b.set(q, |p| (p.rating_a, p.trip) = (Some(16.0), Some(Trip::D)));
        Some(("fault-current-low", q))
    }),
    ("polarity indicator on a floating source", |b| {
        let root = own_source(b)?;
        let p = b.any(PartKind::PolarityIndicator, |b, id| b.solution.walk.is_fed(id))?;
        b.set(root, |part| part.bonded = Some(false));
        Some(("floating-source-polarity", p))
    }),
    ("charger that is an inverter with a bond of its own", |b| {
        let t =
            b.any(PartKind::Appliance, |b, id| b.solution.walk.is_fed(id) && b.part(id).label.contains("charger"))?;
        b.set(t, |p| (p.kind, p.bonded, p.run_w) = (PartKind::Inverter, Some(true), Some(1000.0)));
        Some(("inverter-bond-transfer", t))
    }),
    ("transformer in place of the isolator", |b| {
        let r = b.any(PartKind::GalvanicIsolator, |_, _| true)?;
        b.set(r, |p| (p.kind, p.bonded) = (PartKind::IsolationTransformer, Some(true)));
        Some(("transformer-earthing", r))
    }),
    ("charger on the inverter", |b| {
        let t = b.any(PartKind::Inverter, |_, _| true)?;
        b.is.conditions[0].feeding = vec![t];
        b.solution = solve(&b.is, 0);
        let e = b.any(PartKind::Appliance, |b, id| b.runs(id) && !b.part(id).label.contains("charger"))?;
        b.set(e, |p| p.label = "Battery charger".to_owned());
        Some(("charger-on-own-inverter", e))
    }),
    ("cord below its inlet", |b| {
        let x = b.any(PartKind::ShoreInlet, |b, id| b.part(id).cord.is_fitted())?;
        let thin = if b.us() { Size::Awg(16) } else { Size::Mm2(1.0) };
        b.set(x, |p| (p.cord.conductor, p.cord.insulation_c) = (Conductor::Size(thin), Some(60)));
        Some(("cord-below-inlet", x))
    }),
    ("selector with one source", |b| {
        let q = b.any(PartKind::Selector, |_, _| true)?;
        let idle = b.is.feeds_of(q).find(|(id, _)| b.solution.walk.feeds.get(&q).is_none_or(|f| f.cable != *id))?.0;
        b.is.cables.remove(&idle);
        Some(("selector-single", q))
    }),
    ("diesel that idles", |b| {
        let g = on_generator(b)?;
        let watts = b.solution.sources[&g].watts?;
        b.set(g, |p| (p.fuel, p.run_w) = (Fuel::Diesel, Some(watts / 0.29)));
        Some(("diesel-underload", g))
    }),
    ("fuel curve too good to be true", |b| {
        let g = b.any(PartKind::Generator, |b, id| b.part(id).run_w.is_some())?;
        let litres = b.part(g).run_w? / 1e5;
        b.set(g, |p| (p.fuel, p.fuel_curve) = (Fuel::Diesel, vec![(0.0, litres), (100.0, 2.0 * litres)]));
        Some(("fuel-curve-impossible", g))
    }),
    ("one leg loaded", |b| {
        b.split().then_some(())?;
        let root = on_generator(b)?;
        let e = b.any(PartKind::Appliance, |b, id| {
            b.runs(id) && matches!(b.solution.parts[&id].leg, hullwire::installation::Leg::L1)
        })?;
        b.set(e, |p| p.run_w = Some(7000.0));
        Some(("leg-imbalance", root))
    }),
    ("legs that a lost neutral would part", |b| {
        b.split().then_some(())?;
        let a = b.any(PartKind::Panel, |_, _| true)?;
        let e = b.any(PartKind::Appliance, |b, id| {
            b.runs(id) && matches!(b.solution.parts[&id].leg, hullwire::installation::Leg::L2)
        })?;
        b.set(e, |p| p.run_w = Some(7000.0));
        Some(("neutral-lost", a))
    }),
    ("source with little to spare", |b| {
        let g = on_generator(b)?;
        b.set(g, |p| p.place = Place::In(SpaceKind::Cockpit));
        let watts = solve(&b.is, 0).sources[&g].watts?;
        b.set(g, |p| p.run_w = Some(watts / 0.81));
        Some(("source-headroom", g))
    }),
    ("poor power factor", |b| {
        let g = on_generator(b)?;
        let e = b.any(PartKind::Appliance, |b, id| b.runs(id) && b.part(id).run_w.is_some_and(|w| w > 300.0))?;
        b.set(e, |p| p.pf = Some(0.3));
        let flow = &solve(&b.is, 0).sources[&g];
        let (watts, va) = (flow.watts?, flow.va?);
        b.set(g, |p| (p.run_w, p.pf) = (Some((watts + va) / 2.0), Some(1.0)));
        Some(("source-volt-amperes", g))
    }),
    ("start at the end of a long cable", |b| {
        let (_, m, cable) = circuit(b, is_motor)?;
        b.set_cable(cable, |c| c.data.length_m = Some(60.0));
        b.set(m, |p| p.start_w = Some(20_000.0));
        solve(&b.is, 0).converged.then_some(("start-drop", m))
    }),
    ("start that is large for the set", |b| {
        let g = on_generator(b)?;
        let (_, m, _) = circuit(b, is_motor)?;
        let (most, run) = (b.part(g).start_w?, b.part(m).run_w?);
        b.set(m, |p| p.start_w = Some(run + 0.62 * most));
        Some(("start-dip", g))
    }),
    ("breaker with nothing behind it", |b| {
        let (q, _, cable) = circuit(b, |_, _| true)?;
        b.is.cables.remove(&cable);
        Some(("breaker-spare", q))
    }),
    ("cord left out", |b| {
        let x = b.any(PartKind::ShoreInlet, |_, _| true)?;
        b.is.conditions[0].feeding = vec![x];
        b.set(x, |p| p.cord = CableData::NONE);
        Some(("cord-not-counted", x))
    }),
    ("typical figure", |b| {
        let e = b.any(PartKind::Appliance, |_, _| true)?;
        b.set(e, |p| p.origins.extend([(Property::RunW, Origin::Typical)]));
        Some(("figures-typical", e))
    }),
    ("insulation not stated", |b| {
        let (_, e, cable) = circuit(b, |_, _| true)?;
        b.set_cable(cable, |c| c.data.insulation_c = None);
        Some(("insulation-assumed", e))
    }),
    ("two breakers with one label", |b| {
        let (main, _) = b.main()?;
        let (q, ..) = circuit(b, |_, _| true)?;
        let label = b.part(main).label.clone();
        b.set(q, |p| p.label = label);
        Some(("label-duplicate", q))
    }),
    ("cable of no length", |b| {
        let (_, e, cable) = circuit(b, |_, _| true)?;
        b.set_cable(cable, |c| c.data.length_m = Some(0.0));
        Some(("length-zero", e))
    }),
    ("tag of no class", |b| {
        let e = b.any(PartKind::Appliance, |_, _| true)?;
        b.set(e, |p| p.tag = "kettle".to_owned());
        Some(("tag-form", e))
    }),
    ("title block begun and left", |b| {
        b.is.title.creator = "owner".to_owned();
        Some(("title-block-incomplete", b.root()))
    }),
    ("appliance that is to go", |b| {
        let e = b.any(PartKind::Appliance, |_, _| true)?;
        b.set(e, |p| p.status = Status::Remove);
        Some(("to-be-removed", e))
    }),
];
