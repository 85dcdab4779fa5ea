//! The JSON of `hullwire solve`; key names and units are a contract.

use super::found::Found;
use super::json::{figure, one_or_list, print as print_object, survey as survey_keys};
use super::solve::Timing;
use super::subject::Subject;
use super::tolerance::Within;
use crate::installation::{CableData, Installation, Leg, Origin, PartId, PartKind, Property, to_measure};
use crate::loads::starting::peaks;
use crate::network::{self, Ampacity, CableFlow, Currents, PartFlow, Solution, SourceFlow};
use serde_json::{Map, Value, json};
use std::collections::BTreeMap;

/// One object with everything.
pub fn print(
    subject: &Subject,
    solution: &Solution,
    found: &Found,
    timing: Option<Timing>,
    within: Option<&Within>,
) -> anyhow::Result<String> {
    let installation = &subject.installation;
    let mut object = Map::new();
    let mut put = |key: &str, value: Value| object.insert(key.to_owned(), value);
    put("name", json!(installation.name));
    put("system", json!(installation.system.slug()));
    put("condition", json!(subject.condition_name()));
    put("feeding", one_or_list(&subject.feeding()));
    put("rules", json!(installation.rules.slug()));
    put("resistance", json!(installation.resistance.slug()));
    put("basis", json!(network::resistance_basis(installation.system, installation.resistance)));
    put("converged", json!(solution.converged));
    put("sources", sources(installation, solution).into());
    put("parts", parts(installation, solution).into());
    put("cables", cables(installation, solution).into());
    put("to_measure", measure_first(installation));
    survey_keys(&mut object, installation, found);
    if let Some(timing) = timing {
        let timing = json!({ "read_ms": timing.read_ms, "order_ms": timing.order_ms, "solve_ms": timing.solve_ms });
        object.insert("timing".to_owned(), timing);
    }
    if let Some(within) = within {
        object.insert("tolerance".to_owned(), within.json(installation, true));
    }
    print_object(object)
}

/// The amperes of each conductor of three.
fn legs(object: &mut Map<String, Value>, currents: Option<&Currents>) {
    object.insert("amps_l1".to_owned(), figure(currents.map(|c| c.l1.norm())));
    object.insert("amps_l2".to_owned(), figure(currents.map(|c| c.l2.norm())));
    object.insert("amps_neutral".to_owned(), figure(currents.map(|c| c.n.norm())));
}

fn sources(installation: &Installation, solution: &Solution) -> Map<String, Value> {
    solution
        .sources
        .iter()
        .map(|(id, flow)| (installation.tag(*id).to_owned(), source(installation, solution, *id, flow).into()))
        .collect()
}

fn source(installation: &Installation, solution: &Solution, id: PartId, flow: &SourceFlow) -> Map<String, Value> {
    let peaks = peaks(installation, solution, id);
    let mut object = Map::new();
    let mut put = |key: &str, value: Value| object.insert(key.to_owned(), value);
    put("watts", figure(flow.watts));
    put("va", figure(flow.va));
    put("amps", figure(flow.amps));
    put("load_percent", figure(flow.load_percent));
    put("peak_watts_best_order", figure(peaks.best_order_w));
    put("peak_watts_worst_restart", figure(peaks.worst_restart_w));
    put("peak_watts_all_at_once", figure(peaks.all_at_once_w));
    put("starts_best_order", json!(peaks.starts_best_order));
    put("starts_worst_restart", json!(peaks.starts_worst_restart));
    put("starts_all_at_once", json!(peaks.starts_all_at_once));
    put("by_watts_only", json!(peaks.by_watts_only));
    let order: Vec<&str> = peaks.order.iter().map(|part| installation.tag(*part)).collect();
    put("best_order", json!(order));
    let estimated: Map<String, Value> =
        peaks.estimated.iter().map(|(part, watts)| (installation.tag(*part).to_owned(), json!(watts))).collect();
    put("estimated_start_watts", estimated.into());
    if installation.system.is_split_phase() {
        legs(&mut object, flow.currents.as_ref());
    }
    object
}

fn parts(installation: &Installation, solution: &Solution) -> Map<String, Value> {
    installation
        .parts
        .iter()
        .map(|(id, part)| {
            let mut object = part_figures(solution, *id, solution.parts.get(id));
            object.insert("status".to_owned(), part.status.slug().into());
            object.insert("origins".to_owned(), origins(&part.origins));
            (part.tag.clone(), object.into())
        })
        .collect()
}

/// Where stated values come from, by property.
fn origins(of: &BTreeMap<Property, Origin>) -> Value {
    of.iter()
        .map(|(property, origin)| (property.slug().to_owned(), Value::from(origin.slug())))
        .collect::<Map<_, _>>()
        .into()
}

/// Values that nobody has measured or read, what is not known first.
fn measure_first(installation: &Installation) -> Value {
    to_measure(installation)
        .iter()
        .map(|m| {
            json!({
                "tag": m.tag, "cable_from": m.from, "property": m.property.slug(), "value": m.value,
                "doubt": m.doubt.words(),
            })
        })
        .collect()
}

fn part_figures(solution: &Solution, id: PartId, flow: Option<&PartFlow>) -> Map<String, Value> {
    let mut object = Map::new();
    let mut put = |key: &str, value: Value| object.insert(key.to_owned(), value);
    put("energised", json!(solution.walk.is_fed(id)));
    put("state", json!(super::solve_text::state(solution, id)));
    put("volts", figure(flow.and_then(|f| f.volts)));
    put("angle_deg", figure(flow.and_then(|f| f.angle_deg)));
    put("amps", figure(flow.and_then(|f| f.amps)));
    put("drop_percent", figure(flow.and_then(|f| f.drop_percent)));
    if let Some(flow) = flow.filter(|f| f.leg.is_three_wire()) {
        put("volts_l1", figure(flow.voltages.map(|v| v.l1.norm())));
        put("volts_l2", figure(flow.voltages.map(|v| v.l2.norm())));
        legs(&mut object, flow.currents.as_ref());
    }
    object
}

/// A cable's share of the answer: the tag of the part that it feeds, its data and its figures.
pub fn each_cable<'a>(
    installation: &'a Installation,
    solution: &'a Solution,
) -> impl Iterator<Item = (PartId, Option<PartId>, &'a CableData, Option<&'a CableFlow>)> {
    installation.parts.iter().filter_map(|(id, part)| {
        if part.kind == PartKind::ShoreInlet {
            return Some((*id, None, &part.cord, solution.cords.get(id))).filter(|_| part.cord.is_fitted());
        }
        // The one in use; where the part is not fed, the first that leads to it.
        let used = solution.walk.feeds.get(id).map(|f| f.cable);
        let chosen = used.or_else(|| solution.walk.chosen.get(id).copied());
        let cable = chosen.or_else(|| installation.feeds_of(*id).map(|(cable, _)| cable).next())?;
        let data = installation.cables.get(&cable)?;
        Some((*id, Some(data.from), &data.data, solution.cables.get(&cable)))
    })
}

/// The ampacity of a cable; `None` where it cannot be told.
pub fn ampacity(
    installation: &Installation,
    solution: &Solution,
    to: PartId,
    from: Option<PartId>,
    data: &CableData,
) -> Option<Ampacity> {
    let leg = solution.walk.legs.get(&to).copied().unwrap_or(Leg::L1);
    network::ampacity(installation, data, from, to, leg).ok()
}

/// Resistance out and back of a cable that is not in use: it does not depend on what feeds.
fn ohms(installation: &Installation, data: &CableData) -> Option<f64> {
    network::conductor_ohms(data, installation.system, installation.resistance).map(|z| 2.0 * z.re)
}

fn cables(installation: &Installation, solution: &Solution) -> Map<String, Value> {
    each_cable(installation, solution)
        .map(|(to, from, data, flow)| {
            let ampacity = ampacity(installation, solution, to, from, data);
            let used = solution.walk.feeds.get(&to).and_then(|f| installation.cables.get(&f.cable));
            let cable = from.and_then(|from| {
                used.map(AsRef::as_ref).or_else(|| installation.feeds_of(to).map(|(_, c)| c).find(|c| c.from == from))
            });
            let object = json!({
                "status": cable.map(|c| c.status.slug()),
                "origins": cable.map(|c| origins(&c.origins)),
                "amps": figure(flow.and_then(|f| f.amps)),
                "ohms": figure(flow.map_or_else(|| ohms(installation, data), |f| f.ohms)),
                "drop_volts": figure(flow.and_then(|f| f.drop_volts)),
                "loss_watts": figure(flow.and_then(|f| f.loss_watts)),
                "ampacity_a": figure(ampacity.as_ref().map(|a| a.amps)),
                "ampacity_rule": ampacity.map(|a| a.rule),
            });
            (installation.tag(to).to_owned(), object)
        })
        .collect()
}
