//! `hullwire together --run`: some appliances must run; how each other stands to them, and in which order all of it starts.

use super::json::{self, figure};
use super::solve_text::opening;
use super::subject::Subject;
use super::text::{heading, paragraph, table};
use crate::installation::{Installation, PartId, PartKind};
use crate::loads::sequence::{Sequence, Step};
use crate::loads::together::{Desk, Standing, reason};
use serde_json::{Map, Value, json};
use std::collections::BTreeSet;

/// What was asked and what came of it.
pub struct Asked {
    ticked: BTreeSet<PartId>,
    desk: Desk,
    orders: Vec<(PartId, Sequence)>,
}

impl Asked {
    /// Works it out for tags that are separated by `|`.
    pub fn new(subject: &Subject, tags: &str) -> anyhow::Result<Self> {
        let installation = &subject.installation;
        let mut ticked = BTreeSet::new();
        for tag in tags.split('|').map(str::trim).filter(|t| !t.is_empty()) {
            let is_appliance = |id: &PartId| installation.parts.get(id).is_some_and(|p| p.kind == PartKind::Appliance);
            let Some(id) = installation.part_by_tag(tag).filter(is_appliance) else {
                let valid: Vec<&str> = installation
                    .parts
                    .values()
                    .filter(|p| p.kind == PartKind::Appliance)
                    .map(|p| p.tag.as_str())
                    .collect();
                anyhow::bail!("--run: “{tag}” is no appliance of this installation; valid: {}", valid.join(", "));
            };
            ticked.insert(id);
        }
        let desk = Desk::new(installation, subject.condition, &ticked);
        let roots = crate::network::walk(installation, subject.condition).roots;
        let orders = roots.into_iter().map(|s| (s, Sequence::new(installation, subject.condition, s, &ticked)));
        Ok(Self { desk, orders: orders.collect(), ticked })
    }

    /// As text.
    pub fn text(&self, subject: &Subject) -> String {
        let installation = &subject.installation;
        let mut out = opening(subject);
        if self.desk.refused {
            let text = "The drawing has a loop or sources in parallel: nothing can be said about what runs together. \
                        `hullwire survey` names the parts.";
            return out + &paragraph(text, 0);
        }
        out += &heading("What may run beside what must");
        for stop in self.desk.stops.iter().take(1) {
            out += &paragraph(&format!("What must run cannot run together: {}.", reason(installation, stop)), 2);
        }
        let rows: Vec<Vec<String>> = self
            .desk
            .rows
            .iter()
            .map(|row| {
                let name = installation.parts.get(&row.part).map_or_else(String::new, |p| p.name());
                vec![name, row.standing.words(installation)]
            })
            .collect();
        out += &table(&["Appliance", ""], rows);
        for (source, order) in self.orders.iter().filter(|(_, o)| !o.steps.is_empty()) {
            out += &heading(&format!("Starting order on {}", installation.tag(*source)));
            let verdicts = order.verdict_lines(installation).into_iter().map(|(line, _)| line);
            out += &order
                .step_lines(installation)
                .into_iter()
                .chain(verdicts)
                .map(|l| paragraph(&l, 2))
                .collect::<String>();
        }
        for n in &self.desk.not_checked {
            let tags: Vec<&str> = n.parts.iter().map(|id| installation.tag(*id)).collect();
            out += &paragraph(&format!("Not checked ({}): {}: {}.", n.check.slug(), tags.join(", "), n.because), 2);
        }
        if self.desk.by_watts_only {
            out += &paragraph("Starts are judged by watts only where starting volt-amperes are not known.", 2);
        }
        out
    }

    /// As one JSON object.
    pub fn json(&self, subject: &Subject) -> anyhow::Result<String> {
        let installation = &subject.installation;
        let tag = |id: &PartId| installation.tag(*id).to_owned();
        let standings: Map<String, Value> = self
            .desk
            .rows
            .iter()
            .map(|row| {
                let order: Option<Vec<String>> = match &row.standing {
                    Standing::InOrder(order) => Some(order.iter().map(tag).collect()),
                    _ => None,
                };
                let stopped_by = match &row.standing {
                    Standing::No(stops) => stops.first().map(|s| s.by.slug()),
                    _ => None,
                };
                let value = json!({
                    "standing": row.standing.slug(),
                    "order": order,
                    "stopped_by": stopped_by,
                    "message": row.standing.words(installation),
                });
                (tag(&row.part), value)
            })
            .collect();
        let orders: Map<String, Value> =
            self.orders.iter().map(|(source, order)| (tag(source), order_json(installation, order))).collect();
        let mut object = Map::new();
        let feeding = subject.feeding();
        object.insert("condition".to_owned(), json!(subject.condition_name()));
        object.insert("feeding".to_owned(), json::one_or_list(&feeding));
        object.insert("run".to_owned(), json!(self.ticked.iter().map(tag).collect::<Vec<_>>()));
        object
            .insert("runs".to_owned(), if self.desk.refused { Value::Null } else { json!(self.desk.stops.is_empty()) });
        let reasons: Vec<String> = self.desk.stops.iter().map(|s| reason(installation, s)).collect();
        object.insert("reasons".to_owned(), json!(reasons));
        object.insert("standings".to_owned(), standings.into());
        object.insert("starting_order".to_owned(), orders.into());
        object.insert("by_watts_only".to_owned(), json!(self.desk.by_watts_only));
        json::print(object)
    }
}

fn order_json(installation: &Installation, order: &Sequence) -> Value {
    let flag = |value: Option<bool>| value.map_or(Value::Null, |v| json!(v));
    let step = |s: &Step| {
        json!({
            "part": installation.tag(s.part),
            "peak_watts": s.peak_w,
            "peak_va": figure(s.peak_va),
            "running_watts": s.running_w,
            "start_known": !s.unknown,
        })
    };
    json!({
        "steps": order.steps.iter().map(step).collect::<Vec<_>>(),
        "peak_watts": order.peak_w(),
        "limit_watts": figure(order.limit_w),
        "within": flag(order.within),
        "restart": order.restart.as_ref().map(step),
        "restart_within": flag(order.restart_within),
        "all_at_once_watts": order.at_once_w,
        "all_at_once_within": flag(order.at_once_within),
        "switch_off_before_changing_source": order.motors.iter().map(|id| installation.tag(*id)).collect::<Vec<_>>(),
    })
}
