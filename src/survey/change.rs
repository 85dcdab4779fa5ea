//! Changes that cure: which thicker cable, which breaker, which protection; in words and as edits.

use super::context::Context;
use super::finding::Finding;
use crate::installation::{Cable, CableId, Edit, Leg, PartId, PartKind, Place, Point, Property, RuleSet, Size, Trip};
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

/// What lies behind a part in this condition, itself first.
fn behind(cx: &Context<'_>, id: PartId) -> Vec<PartId> {
    let mut all = vec![id];
    let mut next = 0;
    while let Some(&at) = all.get(next) {
        all.extend(cx.children(at));
        next += 1;
    }
    all
}

/// Circuits of a source of two lines moved to its other line, the one first that leaves the lines most alike. A circuit is
/// a breaker on a panel of two lines with all behind it that states its line.
pub(super) fn other_leg(cx: &Context<'_>, source: PartId) -> Vec<Edit> {
    const MOST: usize = 6;
    let Some(lines) = cx.solution().sources.get(&source).and_then(|s| s.currents) else { return Vec::new() };
    let (l1, l2) = (lines.l1.norm(), lines.l2.norm());
    let heavy = if l1 > l2 { Leg::L1 } else { Leg::L2 };
    let mut moved: Vec<(f64, PartId)> = Vec::new();
    for (id, _) in cx.of_kind(PartKind::Breaker) {
        let fed_here = cx.leg(id) == heavy && cx.upstream(id).is_some_and(|up| up.root == source);
        let panel = cx.walk().feeds.get(&id).map(|f| f.from).filter(|&p| cx.leg(p).is_three_wire());
        let (true, Some(_), Some(amps)) = (fed_here, panel, cx.amps(id).filter(|&a| a > 0.0)) else { continue };
        let (a, b) = (l1.max(l2) - amps, l1.min(l2) + amps);
        moved.push(((a - b).abs() / a.max(b), id));
    }
    moved.sort_by(|a, b| a.0.total_cmp(&b.0));
    let other = if heavy == Leg::L1 { Leg::L2 } else { Leg::L1 };
    let edit = |&(_, breaker): &(f64, PartId)| {
        let mut parts = behind(cx, breaker);
        parts.retain(|&p| p == breaker || cx.part(p).is_some_and(|part| part.leg == Some(heavy)));
        Edit::SetPart { parts, property: Property::Leg, text: other.slug().to_owned(), origin: None }
    };
    moved.iter().take(MOST).map(edit).collect()
}

/// A circuit split in two: one of the cables behind its breaker goes to a new breaker beside it, of the same rating and
/// kind. The split first that leaves both least loaded; none where only one cable leaves the breaker, or no panel feeds it.
pub(super) fn split(cx: &Context<'_>, breaker: PartId) -> Vec<Edit> {
    let Some(part) = cx.part(breaker) else { return Vec::new() };
    let arriving: Vec<&Cable> = cx.arriving(breaker).iter().filter_map(|&c| cx.cable(c)).collect();
    let [feed] = arriving.as_slice() else { return Vec::new() };
    let on_panel = cx.kind(feed.from) == Some(PartKind::Panel) && !feed.data.is_fitted();
    let (true, Some(all), 2..) = (on_panel, cx.amps(breaker), cx.leaving(breaker).len()) else { return Vec::new() };
    let mut ways: Vec<(f64, CableId, PartId)> = Vec::new();
    for &id in cx.leaving(breaker) {
        let Some(cable) = cx.cable(id) else { continue };
        let ends = matches!(cx.kind(cable.to), Some(PartKind::Appliance | PartKind::Outlet));
        if let Some(amps) = cx.amps(cable.to).filter(|&amps| ends && amps > 0.0) {
            ways.push((amps.max(all - amps), id, cable.to));
        }
    }
    ways.sort_by(|a, b| a.0.total_cmp(&b.0));
    let new = PartId::new(cx.installation().next_id);
    let edit = |&(_, cable, to): &(f64, CableId, PartId)| {
        let mut second = part.clone();
        second.tag.clear();
        second.label = cx.part(to).map_or_else(String::new, |p| p.title().to_owned());
        if let Place::At(at) = second.place {
            second.place = Place::At(Point::new(at.x, at.y + BESIDE_MM));
        }
        let rating = part.rating_a.map_or_else(String::new, |a| format!(" of {} A", trimmed(a, 1)));
        Edit::Many {
            label: format!("{} split: a breaker of its own{rating} on the panel for {}", part.name(), cx.name(to)),
            edits: vec![
                Edit::AddPart { part: Box::new(second), feed: Some(feed.from) },
                Edit::Reconnect { cable, from: new, to },
            ],
        }
    };
    ways.iter().map(edit).collect()
}

/// How far below the first a second breaker is drawn, in millimetres.
const BESIDE_MM: f64 = 8.0;

#[cfg(test)]
mod tests {
    use super::*;
    use crate::installation::Installation;
    use crate::network::solve;
    use crate::store::list::boat;

    fn id(boat: &Installation, tag: &str) -> PartId {
        boat.part_by_tag(tag).unwrap()
    }

    /// Two sizes of AWG make 92^(4/39), 1.590 times the area.
    #[test]
    fn the_thinnest_size_that_is_enough_is_named_with_the_drop_that_it_leaves() {
        let boat = boat(
            "# system: 120V60Hz\n# resistance: formula\ntag,kind,fed_from,run_w,load_kind,conductor,length_m\n\
             G1,generator,,3000,,,\nE1,appliance,G1,1200,impedance,14 AWG,20\n",
        );
        let solution = solve(&boat, 0);
        let cx = Context::new(&boat, &solution);
        let (load, cable) = (id(&boat, "E1"), boat.feeds_of(id(&boat, "E1")).next().map(|(id, _)| id));
        let own = cx.drop_percent(load, Leg::L1).unwrap();
        // 1,200 W at 120 V are 12 Ω; 2 × 20 m of 14 AWG, 0.0101 Ω a metre at 75 °C, are 0.403 Ω.
        assert!((own - 100.0 * 0.403 / 12.403).abs() < 0.01, "{own}");
        // Ahead of the cable 1 % is lost, which stays.
        let left = |sizes: i32| 1.0 + own / 92_f64.powf(f64::from(4 * sizes) / 39.0);
        for (limit, sizes, size) in [(4.0, 1, "12 AWG"), (3.0, 2, "10 AWG"), (2.0, 3, "8 AWG")] {
            assert!(left(sizes) < limit && left(sizes - 1) > limit, "{limit}: {own}");
            let percent = trimmed(left(sizes), 1);
            assert_eq!(
                thicker_for_drop(&cx, cable, 120.0, own + 1.0, limit),
                Some(format!(
                    "{size} in place of 14 AWG on the cable to E1 brings it to about {percent} %; or a shorter way."
                ))
            );
        }
        assert_eq!(thicker_for_drop(&cx, cable, 120.0, own + 1.0, 0.9), None, "no size takes off what is lost ahead");
        assert_eq!(thicker_for_drop(&cx, None, 120.0, own, 3.0), None);
    }

    /// The tags to which a split gives a breaker of their own, in order.
    fn splits(list: &str) -> Vec<String> {
        let boat = boat(list);
        let solution = solve(&boat, 0);
        let cx = Context::new(&boat, &solution);
        let moved = |edit: &Edit| match edit {
            Edit::Many { edits, .. } => match edits.as_slice() {
                [Edit::AddPart { part, feed }, Edit::Reconnect { cable, from, to }] => {
                    assert_eq!((part.kind, part.rating_a), (PartKind::Breaker, Some(15.0)));
                    assert_eq!((*feed, *from), (Some(id(&boat, "A1")), PartId::new(boat.next_id)));
                    assert_eq!(boat.cables[cable].to, *to);
                    boat.tag(*to).to_owned()
                }
                other => panic!("{other:?}"),
            },
            other => panic!("{other:?}"),
        };
        split(&cx, id(&boat, "Q1")).iter().map(moved).collect()
    }

    /// A breaker with circuits of 3, 10 and 7 A; its feed and what it stands on as said.
    fn of_twenty_amperes(feed: &str, conductor: &str, more: &str) -> String {
        format!(
            "# system: 120V60Hz\ntag,kind,fed_from,rating_a,run_w,conductor,length_m\nG1,generator,,,5000,,\n\
             A1,panel,G1,,,none,\nQ1,breaker,{feed},15,,{conductor}\nE1,appliance,Q1,,360,none,\n{more}"
        )
    }

    #[test]
    fn what_goes_on_to_others_or_draws_nothing_is_not_put_on_a_breaker_of_its_own() {
        let junction = "X9,junction,Q1,,,none,\nE2,appliance,X9,,1200,none,\nE3,appliance,Q1,,840,none,\n";
        assert_eq!(splits(&of_twenty_amperes("A1", "none,", junction)), ["E3", "E1"]);
        let outlet = "X9,outlet,Q1,15,,none,\nE2,appliance,X9,,1200,none,\nX8,outlet,Q1,15,,none,\n";
        assert_eq!(splits(&of_twenty_amperes("A1", "none,", outlet)), ["E1", "X9"], "nothing is on X8");
    }

    const TWO_MORE: &str = "E2,appliance,Q1,,1200,none,\nE3,appliance,Q1,,840,none,\n";

    #[test]
    fn a_circuit_is_split_first_where_both_halves_are_least_loaded() {
        // 10 and 10 A, then 7 and 13 A, then 3 and 17 A.
        assert_eq!(splits(&of_twenty_amperes("A1", "none,", TWO_MORE)), ["E2", "E3", "E1"]);
    }

    #[test]
    fn only_a_breaker_that_sits_on_a_panel_and_feeds_several_cables_is_split() {
        assert_eq!(splits(&of_twenty_amperes("A1", "10 AWG,4", TWO_MORE)), [""; 0], "a cable feeds the breaker");
        assert_eq!(splits(&of_twenty_amperes("G1", "none,", TWO_MORE)), [""; 0], "no panel feeds it");
        assert_eq!(splits(&of_twenty_amperes("A1", "none,", "")), [""; 0], "one cable leaves it");
    }

    /// 20 A on the one and 10 A on the other, and a circuit with nothing on it: moving 5 A makes 15 and 15 A, 3 A 17 and 13 A, 12 A 8 and 22 A.
    #[test]
    fn the_circuit_that_leaves_the_lines_most_alike_is_moved_first() {
        for (heavy, light) in [("L1", "L2"), ("L2", "L1")] {
            let boat = boat(&format!(
                "# system: 120/240V60Hz\ntag,kind,fed_from,run_w,leg,conductor\nG1,generator,,9000,,\nA1,panel,G1,,,none\n\
                 Q1,breaker,A1,,{heavy},none\nE1,appliance,Q1,1440,{heavy},none\nQ2,breaker,A1,,{heavy},none\n\
                 E2,appliance,Q2,600,,none\nQ3,breaker,A1,,{heavy},none\nE3,appliance,Q3,360,,none\n\
                 Q4,breaker,A1,,{light},none\nE4,appliance,Q4,1200,,none\nQ5,breaker,A1,,{heavy},none\n"
            ));
            let solution = solve(&boat, 0);
            let edits = other_leg(&Context::new(&boat, &solution), id(&boat, "G1"));
            let expected = [["Q2"].as_slice(), &["Q3"], &["Q1", "E1"]].map(|tags| Edit::SetPart {
                parts: tags.iter().map(|tag| id(&boat, tag)).collect(),
                property: Property::Leg,
                text: light.to_owned(),
                origin: None,
            });
            assert_eq!(edits, expected, "{heavy} is the heavy line");
        }
    }

    /// The rating to which a breaker of 10 A with so many amperes is raised.
    fn raised(amps: f64, cable: &str, ahead: &str, continuous: &str) -> Option<f64> {
        let boat = boat(&format!(
            "# system: 120V60Hz\ntag,kind,fed_from,rating_a,run_w,conductor,length_m,insulation_c,continuous\n\
             G1,generator,,,9000,,,,\nQ0,breaker,G1,{ahead},,none,,,\nA1,panel,Q0,100,,none,,,\nQ1,breaker,A1,10,,none,,,\n\
             E1,appliance,Q1,,900,{cable},{continuous}\n"
        ));
        let solution = solve(&boat, 0);
        larger_breaker(&Context::new(&boat, &solution), id(&boat, "Q1"), amps)
    }

    /// Ratings by UL 489 (15, 20, 25, 30, 35 A …); 14 AWG of 105 °C carries 35 A by 33 CFR 183.425 table 5.
    #[test]
    fn a_breaker_is_raised_as_far_as_its_cable_and_what_stands_ahead_allow() {
        let of = |amps: f64| raised(amps, "14 AWG,4,105", "60", "no");
        assert_eq!([of(12.0), of(18.0), of(33.0), of(36.0)], [Some(15.0), Some(20.0), Some(35.0), None]);
        assert_eq!(raised(18.0, "14 AWG,4,105", "15", "no"), None, "what stands ahead is smaller");
        assert_eq!(raised(18.0, "14 AWG,4,105", "20", "no"), Some(20.0), "as large is enough");
        assert_eq!(raised(18.0, "14 AWG,4,105", "", "no"), None, "what stands ahead is not known");
        assert_eq!(raised(18.0, "14 AWG,4,", "60", "no"), None, "its insulation is not known");
        assert_eq!(raised(18.0, "unknown,4,105", "60", "no"), None, "its size is not known");
        assert_eq!(raised(36.0, "none,,", "60", "no"), Some(40.0), "there is no cable");
    }

    #[test]
    fn loads_of_three_hours_or_more_take_up_no_more_than_four_fifths_of_a_rating() {
        // 18 A are 80 % of 22.5 A.
        let of = |continuous: &str| raised(18.0, "14 AWG,4,105", "60", continuous);
        assert_eq!([of("no"), of("yes"), of("")], [Some(20.0), Some(25.0), Some(25.0)]);
    }
}
