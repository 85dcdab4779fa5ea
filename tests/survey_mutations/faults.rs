//! Faults of protection, earthing, place and supply.

use super::boat::{Boat, Fault};
use hullwire::installation::{
    Cable, Conductor, Fuel, Leg, LoadKind, MadeForHz, PartKind, Place, Protection, RuleSet, Size, SpaceKind, Trip,
};
use hullwire::network::solve;

/// Gross faults, one of most kinds.
pub const FAULTS: &[Fault] = &[
    ("breaker below its load", |b| {
        let q = b.any(PartKind::Breaker, |b, id| b.amps(id) > 0.1)?;
        let amps = b.amps(q);
        b.set(q, |p| p.rating_a = Some(amps * 0.99));
        Some(("breaker-overload", q))
    }),
    ("breaker far above its cable", |b| {
        let e = b.cabled()?;
        let q = b.upstream(e).filter(|&q| b.part(q).kind == PartKind::Breaker)?;
        b.set(q, |p| p.rating_a = Some(100.0));
        Some(("breaker-above-cable", q))
    }),
    ("breaker above the main", |b| {
        let (main, _) = b.main()?;
        let q = b.any(PartKind::Breaker, |b, id| {
            id != main && b.solution.walk.is_fed(id) && b.solution.walk.path_to_source(id)[1..].contains(&main)
        })?;
        b.set(q, |p| p.rating_a = Some(110.0));
        Some(("breaker-order", q))
    }),
    ("cable too thin", |b| {
        let e = b.cabled()?;
        let (cable, us) = (b.feed(e)?, b.us());
        b.set_cable(cable, |c| {
            c.data.conductor = Conductor::Size(if us { Size::Awg(18) } else { Size::Mm2(0.75) });
            c.data.sheathed = false;
        });
        Some((if us { "conductor-thin" } else { "conductor-thin-iso" }, e))
    }),
    ("load above its cable", |b| {
        let e = b.cabled()?;
        let (cable, us) = (b.feed(e)?, b.us());
        b.set_cable(cable, |c| {
            c.data.conductor = Conductor::Size(if us { Size::Awg(18) } else { Size::Mm2(0.75) });
            c.data.insulation_c = Some(60);
            c.data.length_m = Some(0.5);
        });
        b.set(e, |p| p.run_w = Some(8000.0));
        Some(("conductor-overload", e))
    }),
    ("cable far too long", |b| {
        let e = b.cabled()?;
        let cable = b.feed(e)?;
        b.set_cable(cable, |c| c.data.length_m = Some(3000.0));
        let shore = b.part(b.root()).kind == PartKind::ShoreInlet;
        let rule = match (solve(&b.is, 0).converged, b.us(), shore) {
            (false, ..) => "no-solution",
            (_, true, _) => "drop-branch",
            (_, _, true) => "drop-shore",
            _ => "drop-own-source",
        };
        Some((rule, e))
    }),
    ("cable of unknown length", |b| {
        let e = b.cabled()?;
        let cable = b.feed(e)?;
        b.set_cable(cable, |c| c.data.length_m = None);
        Some(("cable-data-missing", e))
    }),
    ("cable taken away", |b| {
        let e = b.any(PartKind::Appliance, Boat::runs)?;
        let cable = b.feed(e)?;
        b.is.cables.remove(&cable);
        Some(("not-fed", e))
    }),
    ("bond missing at the source", |b| {
        let root = b.root();
        (b.part(root).kind != PartKind::ShoreInlet).then_some(())?;
        b.set(root, |p| p.bonded = Some(false));
        Some(("bond-missing", root))
    }),
    ("floating source ahead of leakage protection", |b| {
        let root = b.root();
        (b.part(root).kind == PartKind::Generator).then_some(())?;
        b.set(root, |p| p.bonded = Some(false));
        Some(("floating-source-leakage", root))
    }),
    ("second bond aboard on shore", |b| {
        let x = b.any(PartKind::ShoreInlet, |_, _| true)?;
        b.set(x, |p| p.bonded = Some(true));
        Some(("bond-on-shore", x))
    }),
    ("transformer's secondary not earthed", |b| {
        let t = b.any(PartKind::IsolationTransformer, |_, _| true)?;
        b.set(t, |p| p.bonded = Some(false));
        Some(("transformer-unbonded", t))
    }),
    ("selector that leaves the neutral joined", |b| {
        let q = b.any(PartKind::Selector, |_, _| true)?;
        b.set(q, |p| p.poles = Some(1));
        Some(("selector-neutral", q))
    }),
    ("two bonds through the selector", |b| {
        let q = b.any(PartKind::Selector, |b, id| b.solution.walk.is_fed(id))?;
        b.set(q, |p| p.poles = Some(1));
        Some(("bond-second", q))
    }),
    ("leakage protection of a wet outlet taken away", |b| {
        let x = b.any(PartKind::Outlet, |_, _| true)?;
        let mut at = Some(x);
        while let Some(id) = at {
            b.set(id, |p| p.protection = Protection::None);
            at = b.upstream(id);
        }
        b.set(x, |p| p.place = Place::In(SpaceKind::Head));
        Some((if b.us() { "gfci-missing" } else { "rcd10-missing" }, x))
    }),
    ("leakage protection of the shore main taken away", |b| {
        let (main, _) = b.main()?;
        b.set(main, |p| p.protection = Protection::None);
        Some(("shore-leakage-missing", main))
    }),
    ("portable petrol set moved below", |b| {
        let g = b.any(PartKind::Generator, |_, _| true)?;
        b.set(g, |p| (p.portable, p.fuel, p.place) = (true, Fuel::Petrol, Place::In(SpaceKind::Lazarette)));
        Some(("portable-set-aboard", g))
    }),
    ("portable diesel set moved below", |b| {
        let g = b.any(PartKind::Generator, |_, _| true)?;
        b.set(g, |p| (p.portable, p.fuel, p.place) = (true, Fuel::Diesel, Place::In(SpaceKind::Cockpit)));
        Some(("portable-diesel-aboard", g))
    }),
    ("no alarm where people sleep", |b| {
        let g = b.any(PartKind::Generator, |_, _| true)?;
        b.is.aboard.co_alarms = Some(false);
        Some(("co-alarm-missing", g))
    }),
    ("generator in the cabin", |b| {
        let g = b.any(PartKind::Generator, |_, _| true)?;
        b.set(g, |p| p.place = Place::In(SpaceKind::Accommodation));
        Some(("set-in-living-space", g))
    }),
    ("petrol set beside what arcs", |b| {
        let g = b.any(PartKind::Generator, |_, _| true)?;
        let q = b.any(PartKind::Breaker, |_, _| true)?;
        b.set(g, |p| (p.fuel, p.place) = (Fuel::Petrol, Place::In(SpaceKind::EngineSpace)));
        b.set(q, |p| p.place = Place::In(SpaceKind::EngineSpace));
        Some(("ignition-near-petrol", q))
    }),
    ("breaker in the engine space", |b| {
        let q = b.any(PartKind::Breaker, |_, _| true)?;
        b.set(q, |p| p.place = Place::In(SpaceKind::EngineSpace));
        Some(("breaker-hot", q))
    }),
    ("panel on the weather deck", |b| {
        let a = b.any(PartKind::Panel, |_, _| true)?;
        b.set(a, |p| p.place = Place::In(SpaceKind::WeatherDeck));
        Some(("weather-deck-fitting", a))
    }),
    ("appliance on the wrong leg", |b| {
        b.split().then_some(())?;
        let e = b.any(PartKind::Appliance, |b, id| b.runs(id) && b.solution.parts[&id].leg == Leg::L1)?;
        b.set(e, |p| p.leg = Some(Leg::L2));
        Some(("leg-missing", e))
    }),
    ("source of one line on a panel of two", |b| {
        b.split().then_some(())?;
        let g = b.any(PartKind::Generator, |_, _| true)?;
        b.set(g, |p| p.leg = Some(Leg::L1));
        Some(("shared-neutral-adds", g))
    }),
    ("one pole in two lines", |b| {
        b.split().then_some(())?;
        let both = |b: &Boat, id| matches!(b.solution.parts[&id].leg, Leg::L1L2 | Leg::L1L2N);
        let q = b.any(PartKind::Breaker, both)?;
        b.set(q, |p| p.poles = Some(1));
        Some(("lines-not-together", q))
    }),
    ("one pole where two must open", |b| {
        (b.is.rules == RuleSet::International).then_some(())?;
        let q = b.any(PartKind::Breaker, |_, _| true)?;
        b.set(q, |p| p.poles = Some(1));
        Some(("breaker-single-pole", q))
    }),
    ("one pole in the shore main", |b| {
        b.us().then_some(())?;
        let (main, _) = b.main()?;
        b.set(main, |p| p.poles = Some(1));
        Some(("main-single-pole", main))
    }),
    ("fuse in an unpolarised system", |b| {
        (!b.us()).then_some(())?;
        let q = b.any(PartKind::Breaker, |_, _| true)?;
        b.set(q, |p| p.trip = Some(Trip::Fuse));
        Some(("fuse-unpolarised", q))
    }),
    ("main breaker above the inlet", |b| {
        let (main, inlet) = b.main()?;
        let least = b.part(main).rating_a? - 1.0;
        b.set(inlet, |p| p.rating_a = Some(least));
        Some(("main-above-inlet", main))
    }),
    ("main breaker far from the inlet", |b| {
        let (main, _) = b.main()?;
        let cable = b.feed(main)?;
        b.set_cable(cable, |c| c.data.length_m = Some(6.0));
        Some(("main-far-from-inlet", main))
    }),
    ("inlet or source below its load", |b| {
        let root = b.root();
        let (amps, watts) = (b.amps(root), b.solution.sources[&root].watts?);
        let shore = b.part(root).kind == PartKind::ShoreInlet;
        b.set(root, |p| if shore { p.rating_a = Some(amps * 0.99) } else { p.run_w = Some(watts * 0.99) });
        Some((if shore { "inlet-overload" } else { "source-running" }, root))
    }),
    ("source that cannot start its motors", |b| {
        let root = b.root();
        let watts = b.solution.sources[&root].watts?;
        (b.part(root).kind != PartKind::ShoreInlet).then_some(())?;
        b.set(root, |p| p.start_w = Some(watts));
        Some(("source-starting", root))
    }),
    ("generator's own breaker too large", |b| {
        let g = b.any(PartKind::Generator, |_, _| true)?;
        b.set(g, |p| p.rating_a = Some(200.0));
        Some(("generator-breaker-large", g))
    }),
    ("set worked hard in the engine space", |b| {
        let root = b.root();
        (b.part(root).kind == PartKind::Generator).then_some(())?;
        let watts = b.solution.sources[&root].watts?;
        b.set(root, |p| p.run_w = Some(watts / 0.9));
        Some(("generator-hot", root))
    }),
    ("source for another system", |b| {
        let s = b.any(PartKind::Generator, |_, _| true).or_else(|| b.any(PartKind::Inverter, |_, _| true))?;
        let wrong = if b.us() { 230.0 } else { 120.0 };
        b.set(s, |p| p.volts = Some(wrong));
        Some(("wrong-voltage", s))
    }),
    ("a loud generator", |b| {
        let g = b.any(PartKind::Generator, |b, _| b.us())?;
        b.set(g, |p| (p.set_data.noise_db, p.set_data.noise_m) = (Some(84.0), Some(7.0)));
        Some(("noise-at-neighbour", g))
    }),
    ("an appliance for the other frequency", |b| {
        let a = b.any(PartKind::Appliance, |_, _| true)?;
        let other = if b.is.system.frequency_hz() > 55.0 { MadeForHz::Only50 } else { MadeForHz::Only60 };
        b.set(a, |p| p.hz = Some(other));
        Some(("wrong-frequency", a))
    }),
    ("volts out of band", |b| {
        let root = b.root();
        let volts = b.is.system.nominal_v() * 1.15;
        b.set(root, |p| p.volts = Some(volts));
        Some(("volts-out-of-band", root))
    }),
    ("two sources that meet", |b| {
        let a = b.any(PartKind::Selector, |_, _| true)?;
        let panel = b.leads_to(a).into_iter().find(|&p| b.part(p).kind == PartKind::Panel)?;
        let free = b.is.feeds_of(a).map(|(_, c)| c.from).find(|f| b.solution.walk.root_of(*f) != Some(b.root()))?;
        b.is.add_cable(Cable::between(free, panel));
        Some(("parallel-sources", panel))
    }),
    ("a ring", |b| {
        let q = b.any(PartKind::Breaker, |b, id| {
            b.upstream(id).is_some_and(|a| b.part(a).kind == PartKind::Panel && b.solution.walk.is_fed(a))
        })?;
        let above = b.upstream(q)?;
        b.is.add_cable(Cable::between(q, above));
        Some(("loop", q))
    }),
    ("panel fed through an outlet", |b| {
        let x = b.any(PartKind::Outlet, |_, _| true)?;
        let a = b
            .any(PartKind::Panel, |b, id| !b.solution.walk.path_to_source(x).contains(&id))
            .or_else(|| b.any(PartKind::Panel, |_, _| true))?;
        let cable = b.feed(a)?;
        b.set_cable(cable, |c| c.from = x);
        Some(("backfeed", a))
    }),
    ("polarity indicator taken away", |b| {
        let p = b.any(PartKind::PolarityIndicator, |b, _| b.us())?;
        let cable = b.feed(p)?;
        b.is.cables.remove(&cable);
        b.is.parts.remove(&p);
        let x = b.any(PartKind::ShoreInlet, |_, _| true)?;
        Some(("polarity-indicator-missing", x))
    }),
    ("galvanic isolator taken away", |b| {
        let r = b.any(PartKind::GalvanicIsolator, |_, _| true)?;
        b.set(r, |p| p.kind = PartKind::Junction);
        let x = b.any(PartKind::ShoreInlet, |_, _| true)?;
        Some(("galvanic-isolation-missing", x))
    }),
    ("galvanic isolator below the inlet", |b| {
        let r = b.any(PartKind::GalvanicIsolator, |_, _| true)?;
        b.set(r, |p| p.rating_a = Some(6.0));
        Some(("galvanic-isolator-small", r))
    }),
    ("panel below the breaker ahead of it", |b| {
        let a = b.any(PartKind::Panel, |_, _| true)?;
        b.set(a, |p| p.rating_a = Some(8.0));
        Some(("equipment-below-breaker", a))
    }),
    ("outlet below its breaker", |b| {
        let x = b.any(PartKind::Outlet, |b, id| {
            b.upstream(id).and_then(|q| b.part(q).rating_a).is_some_and(|a| a >= 10.0)
        })?;
        b.set(x, |p| p.rating_a = Some(8.0));
        Some(("outlet-below-breaker", x))
    }),
    ("appliance too large for its outlet", |b| {
        let e =
            b.any(PartKind::Appliance, |b, id| b.upstream(id).is_some_and(|x| b.part(x).kind == PartKind::Outlet))?;
        b.set(e, |p| p.run_w = Some(9000.0));
        Some(("appliance-above-outlet", e))
    }),
    ("lights behind a large breaker", |b| {
        let e = b.any(PartKind::Appliance, |b, id| b.part(id).lighting)?;
        let q = b.upstream(e)?;
        b.set(q, |p| p.rating_a = Some(40.0));
        Some(("lighting-breaker-large", q))
    }),
    ("long load on a US breaker", |b| {
        b.us().then_some(())?;
        let q = b.any(PartKind::Breaker, |b, id| b.amps(id) > 1.0 && b.leads_to(id).iter().any(|&e| b.runs(e)))?;
        let e = b.leads_to(q).into_iter().find(|&e| b.runs(e) && b.part(e).kind == PartKind::Appliance)?;
        let amps = b.amps(q);
        b.set(q, |p| p.rating_a = Some(amps / 0.9));
        b.set(e, |p| p.continuous = Some(true));
        Some(("continuous-load", q))
    }),
    ("motor that shares its breaker", |b| {
        let m = b.any(PartKind::Appliance, |b, id| {
            b.part(id).load_kind == LoadKind::Motor
                && b.upstream(id).is_some_and(|q| b.part(q).kind == PartKind::Breaker)
        })?;
        let q = b.upstream(m)?;
        let e = b.any(PartKind::Appliance, |b, id| id != m && b.part(id).load_kind != LoadKind::Motor)?;
        let cable = b.feed(e)?;
        b.set_cable(cable, |c| c.from = q);
        Some(("motor-unprotected", m))
    }),
    ("start that trips its breaker", |b| {
        let m = b.any(PartKind::Appliance, |b, id| {
            b.runs(id) && b.part(id).load_kind == LoadKind::Motor && b.upstream(id).is_some()
        })?;
        let q = b.upstream(m).filter(|&q| b.part(q).trip(b.is.system) == Trip::C)?;
        b.set(m, |p| p.start_w = Some(30_000.0));
        Some(("start-trips-breaker", q))
    }),
    ("fault that no breaker clears", |b| {
        let root = b.root();
        (b.part(root).kind != PartKind::ShoreInlet).then_some(())?;
        b.set(root, |p| p.start_w = Some(1300.0));
        let q = b.any(PartKind::Breaker, |b, id| {
            b.solution.walk.is_fed(id) && b.leads_to(id).iter().any(|&e| b.part(e).kind == PartKind::Outlet)
        })?;
        Some(("fault-not-cleared", q))
    }),
    ("breaker of no standard size", |b| {
        let q = b.any(PartKind::Breaker, |_, _| true)?;
        b.set(q, |p| p.rating_a = Some(17.5));
        Some(("breaker-not-standard", q))
    }),
    ("breaker without a label", |b| {
        let q = b.any(PartKind::Breaker, |_, _| true)?;
        b.set(q, |p| p.label.clear());
        Some(("circuit-unlabelled", q))
    }),
    ("two parts with one tag", |b| {
        let (a, root) = (b.any(PartKind::Panel, |_, _| true)?, b.root());
        let tag = b.part(root).tag.clone();
        b.set(a, |p| p.tag = tag);
        Some(("tag-duplicate", root))
    }),
];
