//! Changes that cure: which thicker cable, which breaker, which protection; in words and as edits.

use super::context::Context;
use super::finding::Finding;
use crate::installation::{CableId, Edit, PartId, PartKind, Property, RuleSet, Size, Trip};
use crate::network::conductor_ohm_per_m;
use crate::tables::{self, Series};
use crate::units::{above, trimmed};

/// The next standard rating that carries this current, where every cable, outlet and other part behind the breaker is
/// known to carry it and what stands ahead is no smaller. A breaker is never raised while any of them lacks a known size,
/// insulation or rating.
pub(super) fn larger_breaker(cx: &Context<'_>, breaker: PartId, amps: f64) -> Option<f64> {
    let part = cx.part(breaker)?;
    let trip = part.trip(cx.system());
    let series = match trip {
        Trip::Us => Series::Us,
        Trip::B | Trip::C | Trip::D => Series::Iec,
        Trip::Fuse => return None,
    };
    // Room for loads of three hours or more, where that rule holds.
    let long = cx.long_loads(breaker);
    let share =
        if cx.rules() == RuleSet::Us && trip == Trip::Us && long.listed + long.not_known > 0 { 0.8 } else { 1.0 };
    let rating = tables::get().next_rating(series, amps / share)?.value;
    let carried = |id: &CableId| {
        let Some(cable) = cx.cable(*id) else { return false };
        let by_cable = !cable.data.is_fitted()
            || (cable.data.insulation_c.is_some() && cx.ampacity(*id).is_some_and(|a| !above(rating, a.amps)));
        let by_part = match cx.part(cable.to) {
            Some(p) if matches!(p.kind, PartKind::Breaker | PartKind::Appliance | PartKind::PolarityIndicator) => {
                !p.lighting || rating <= 30.0
            }
            Some(p) => p.rating_a.is_some_and(|r| !above(rating, r)),
            None => false,
        };
        by_cable && by_part
    };
    let feeds = cx.arriving(breaker).iter().filter_map(|&c| cx.cable(c));
    let mut ahead = feeds.flat_map(|c| cx.guards_behind(c.from));
    let ahead_is_larger = ahead.all(|g| g.rating_a.is_some_and(|r| !above(rating, r)));
    (ahead_is_larger && cx.zone(breaker).iter().all(carried)).then_some(rating)
}

/// The thinnest size for a cable that brings a drop of `percent` down to `limit`, in words, at the same current; `None`
/// where no standard size does, or its data are not known.
pub(super) fn thicker_for_drop(
    cx: &Context<'_>,
    cable: Option<CableId>,
    nominal_v: f64,
    percent: f64,
    limit: f64,
) -> Option<String> {
    let id = cable?;
    let cable = cx.cable(id)?;
    let data = &cable.data;
    let flow = cx.solution().cables.get(&id)?;
    let own = flow.drop_volts? / nominal_v * 100.0;
    let size = data.size()?;
    let ohms = |size: Size| {
        let insulation = data.insulation_c(cx.system());
        conductor_ohm_per_m(size, insulation, cx.system(), cx.resistance()).map(|z| z.norm())
    };
    let now = ohms(size)?;
    std::iter::successors(size.next_thicker(), |s| s.next_thicker()).find_map(|thicker| {
        let drop = percent - own * (1.0 - ohms(thicker)? / now);
        (!above(drop, limit)).then(|| {
            format!(
                "{thicker} in place of {size} on the cable to {} brings it to about {} %; or a shorter way.",
                cx.tag(cable.to),
                trimmed(drop, 1)
            )
            .replace("mm2", "mm²")
        })
    })
}

/// A cable in each thicker standard size of its series, thinnest first.
pub(super) fn thicker(cx: &Context<'_>, cable: Option<CableId>) -> Vec<Edit> {
    let size = cable.and_then(|id| Some((id, cx.cable(id)?.data.size()?)));
    let Some((id, size)) = size else { return Vec::new() };
    std::iter::successors(size.next_thicker(), |s| s.next_thicker())
        .map(|thicker| Edit::SetCable {
            cables: vec![id],
            property: Property::Conductor,
            text: thicker.to_string(),
            origin: None,
        })
        .collect()
}

/// The first cable of a finding in each thicker size.
pub(super) fn thicker_of(cx: &Context<'_>, finding: &Finding) -> Vec<Edit> {
    thicker(cx, finding.cables.first().copied())
}

/// A property of the part at fault set to each of these texts.
pub(super) fn set(finding: &Finding, property: Property, texts: &[&str]) -> Vec<Edit> {
    let Some(&part) = finding.parts.first() else { return Vec::new() };
    let edit = |text: &&str| Edit::SetPart { parts: vec![part], property, text: (*text).to_owned(), origin: None };
    texts.iter().map(edit).collect()
}

/// The largest standard rating of a breaker that is within `most`.
pub(super) fn smaller_breaker(cx: &Context<'_>, breaker: PartId, most: f64) -> Vec<Edit> {
    let Some(part) = cx.part(breaker).filter(|p| p.kind == PartKind::Breaker) else { return Vec::new() };
    let series = match part.trip(cx.system()) {
        Trip::B | Trip::C | Trip::D => Series::Iec,
        Trip::Us | Trip::Fuse => Series::Us,
    };
    let rating = tables::get().rating_not_above(series, most);
    let edit = |amps: f64| Edit::SetPart {
        parts: vec![breaker],
        property: Property::RatingA,
        text: trimmed(amps, 3),
        origin: None,
    };
    rating.map(|f| edit(f.value)).into_iter().collect()
}
