//! A day plan: hours of the day in which each condition holds, and what a day of it takes.

use super::battery::battery;
use super::{Endurance, endurance, mean_load};
use crate::installation::{Installation, Part, PartId, PartKind, Span, plan};
use crate::units::Date;
use std::collections::BTreeMap;

/// One condition of the plan.
#[derive(Clone, Debug, PartialEq)]
pub struct Row {
    /// Index of the condition.
    pub condition: usize,
    /// When it holds.
    pub spans: Vec<Span>,
    /// Hours of a day.
    pub hours: f64,
    /// Each generator that feeds in it.
    pub generators: Vec<(PartId, Endurance)>,
    /// Each inverter that feeds in it, with the kilowatt-hours that it takes from its battery in these hours.
    pub inverters: Vec<(PartId, Option<f64>)>,
    /// Appliances of unknown power, counted as 0 W.
    pub unknown: Vec<PartId>,
}

/// When the next service is due.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Service {
    /// Running hours until then, 0 or above; 0 where it is overdue.
    pub hours_to_go: f64,
    /// True where the meter stands beyond it already.
    pub overdue: bool,
    /// Days of this plan until then; `None` where the set does not run in it.
    pub days: Option<f64>,
    /// The day, counted from the day on which the meter was read or from the one that is given.
    pub date: Option<Date>,
}

/// What a day takes from one generator.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct DayFuel {
    /// Hours that it runs in a day.
    pub hours: f64,
    /// Litres a day as claimed; `None` where a rate is not known.
    pub litres: Option<f64>,
    /// Litres a day at the physical bound; only where the claim cannot be right.
    pub litres_high: Option<f64>,
    /// Fillings of its own tank a day.
    pub refills: Option<f64>,
    /// Litres aboard less the reserve.
    pub litres_to_use: Option<f64>,
    /// Days until they are used, as claimed.
    pub days: Option<f64>,
    /// Days at the physical bound.
    pub days_low: Option<f64>,
    /// Next service by the hour meter.
    pub service: Option<Service>,
    /// What is missing, in words.
    pub missing: Vec<String>,
}

/// A day.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Day {
    /// The conditions that have hours, in their order.
    pub rows: Vec<Row>,
    /// Every generator.
    pub generators: BTreeMap<PartId, DayFuel>,
    /// Kilowatt-hours a day from the battery of each inverter that feeds; `None` where not known.
    pub battery_kwh: BTreeMap<PartId, Option<f64>>,
    /// Hours of the day that no condition has: nothing is counted for them.
    pub free_hours: f64,
    /// A stretch that two conditions claim, with their indices: nothing is counted then.
    pub clash: Option<(usize, usize, Span)>,
}

/// Works the plan out. `today` counts in place of the day on which the hour meter was read. `None` where no condition has
/// hours.
#[must_use]
pub fn day(installation: &Installation, today: Option<Date>) -> Option<Day> {
    let planned: Vec<usize> =
        (0..installation.conditions.len()).filter(|i| !installation.conditions[*i].hours.is_empty()).collect();
    if planned.is_empty() {
        return None;
    }
    let mut out = Day::default();
    for (n, &a) in planned.iter().enumerate() {
        for &b in &planned[n + 1..] {
            let both = plan::overlap(&installation.conditions[a].hours, &installation.conditions[b].hours);
            if let Some(span) = both {
                out.clash = Some((a, b, span));
                return Some(out);
            }
        }
    }
    out.rows = planned.iter().map(|&condition| row(installation, condition)).collect();
    out.free_hours = (24.0 - out.rows.iter().map(|r| r.hours).sum::<f64>()).max(0.0);
    for (id, part) in &installation.parts {
        if part.kind == PartKind::Generator {
            out.generators.insert(*id, fuel(part, &out.rows, *id, today));
        }
        let takes: Vec<Option<f64>> =
            out.rows.iter().flat_map(|r| r.inverters.iter().filter(|(i, _)| i == id).map(|(_, kwh)| *kwh)).collect();
        if !takes.is_empty() {
            out.battery_kwh.insert(*id, takes.into_iter().sum());
        }
    }
    Some(out)
}

fn row(installation: &Installation, condition: usize) -> Row {
    let spans = installation.conditions[condition].hours.clone();
    let hours = plan::hours(&spans);
    let mean = mean_load(installation, condition);
    let mut row = Row { condition, spans, hours, generators: Vec::new(), inverters: Vec::new(), unknown: mean.unknown };
    for (id, watts) in &mean.watts {
        let Some(part) = installation.parts.get(id) else { continue };
        match part.kind {
            PartKind::Generator => row.generators.push((*id, endurance(part, *watts, part.tank_l))),
            PartKind::Inverter => {
                let known = battery(part, *watts);
                let taken = known.mean_watts.zip(part.set_data.efficiency).map(|(w, e)| w * hours / 1000.0 / e);
                row.inverters.push((*id, taken));
            }
            _ => {}
        }
    }
    row
}

fn fuel(part: &Part, rows: &[Row], id: PartId, today: Option<Date>) -> DayFuel {
    let data = &part.set_data;
    let mut out = DayFuel { litres: Some(0.0), ..DayFuel::default() };
    let (mut high, mut doubtful) = (Some(0.0), false);
    for row in rows {
        for (_, e) in row.generators.iter().filter(|(g, _)| *g == id) {
            out.hours += row.hours;
            out.litres = out.litres.zip(e.litres_per_hour).map(|(sum, rate)| sum + row.hours * rate);
            doubtful |= e.litres_per_hour_high.is_some();
            let rate = e.litres_per_hour_high.or(e.litres_per_hour);
            high = high.zip(rate).map(|(sum, rate)| sum + row.hours * rate);
            let what = e.missing.iter().filter(|m| !m.starts_with("litres")).cloned();
            out.missing.extend(what);
        }
    }
    out.missing.sort();
    out.missing.dedup();
    out.litres_high = high.filter(|_| doubtful);
    out.refills = out.litres.zip(part.tank_l.filter(|t| *t > 0.0)).map(|(litres, tank)| litres / tank);
    out.litres_to_use = data.fuel_aboard_l.map(|aboard| (aboard - data.reserve_l.unwrap_or(0.0)).max(0.0));
    let days = |a_day: Option<f64>| out.litres_to_use.zip(a_day.filter(|l| *l > 0.0)).map(|(litres, l)| litres / l);
    (out.days, out.days_low) = (days(out.litres), days(out.litres_high));
    if data.fuel_aboard_l.is_none() {
        out.missing.push("fuel aboard in all".to_owned());
    }
    out.service = service(part, out.hours, today);
    out
}

/// The next service: hours to go by the meter, over the running hours of a day. Whole days are counted, so that the date is
/// the last day on which it is not yet overdue.
fn service(part: &Part, hours_a_day: f64, today: Option<Date>) -> Option<Service> {
    let data = &part.set_data;
    let left = data.service_at_h? - data.hours_run?;
    let hours_to_go = left.max(0.0);
    let days = (hours_a_day > 0.0).then(|| hours_to_go / hours_a_day);
    let start = today.or(data.hours_date);
    let whole = days.filter(|d| *d < 400_000.0).map(|d| d.floor() as u32);
    let date = start.zip(whole).and_then(|(start, days)| start.plus_days(days));
    Some(Service { hours_to_go, overdue: left < 0.0, days, date })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::installation::{Place, Point};

    /// Ten running hours a day: 95 h are left of 100 h, nine whole days; at 100 h it is due, beyond it overdue.
    #[test]
    fn a_service_is_overdue_once_the_meter_stands_beyond_it() {
        let due = |hours_run: f64, a_day: f64| {
            let mut part = Part::new(PartKind::Generator, "G1", Place::At(Point::default()));
            (part.set_data.service_at_h, part.set_data.hours_run) = (Some(100.0), Some(hours_run));
            service(&part, a_day, Date::parse("2027-05-31"))
        };
        let expected = |hours_to_go, overdue, days, date: Option<&str>| {
            Some(Service { hours_to_go, overdue, days, date: date.and_then(Date::parse) })
        };
        assert_eq!(due(5.0, 10.0), expected(95.0, false, Some(9.5), Some("2027-06-09")));
        assert_eq!(due(100.0, 10.0), expected(0.0, false, Some(0.0), Some("2027-05-31")));
        assert_eq!(due(110.0, 10.0), expected(0.0, true, Some(0.0), Some("2027-05-31")));
        assert_eq!(due(5.0, 0.0), expected(95.0, false, None, None), "it does not run in this plan");
    }

    /// 500 W for 12 h at 90 %: 500 × 12 / 1000 / 0.9 kWh.
    #[test]
    fn an_inverter_takes_its_mean_watts_and_what_the_conversion_loses() {
        let mut installation = crate::store::list::boat(
            "# system: 120V60Hz\ntag,kind,fed_from,run_w,duty,conductor\nT1,inverter,,2000,,\nE1,appliance,T1,1000,0.5,none\n",
        );
        installation.conditions[0].hours = vec![Span { from: 6.0, to: 18.0 }];
        let inverter = installation.part_by_tag("T1").unwrap();
        assert_eq!(row(&installation, 0).inverters, [(inverter, None)], "its efficiency is not known");
        let part = std::sync::Arc::make_mut(installation.parts.get_mut(&inverter).unwrap());
        part.set_data.efficiency = Some(0.9);
        let row = row(&installation, 0);
        let (_, taken) = row.inverters[0];
        assert!((row.hours - 12.0).abs() < 1e-9 && taken.is_some_and(|kwh| (kwh - 6.0 / 0.9).abs() < 1e-9), "{row:?}");
    }
}
