//! Which conductors a part has, defaults resolved.

use crate::installation::{Leg, Part, PartKind, System};

/// Lines and neutral of a leg: L1, L2, N.
const fn conductors(leg: Leg) -> (bool, bool, bool) {
    match leg {
        Leg::L1 => (true, false, true),
        Leg::L2 => (false, true, true),
        Leg::L1L2 => (true, true, false),
        Leg::L1L2N => (true, true, true),
    }
}

/// True where a feed with one leg has all conductors of another.
const fn provides(feed: Leg, wanted: Leg) -> bool {
    let (f, w) = (conductors(feed), conductors(wanted));
    (f.0 || !w.0) && (f.1 || !w.1) && (f.2 || !w.2)
}

/// The leg that a part takes where none is stated: a source, selector, panel, junction or transformer has all that its
/// feed has (three wires, where it is not fed); else the leg of what feeds it, L1 where that has three wires.
fn usual(part: &Part, feed: Option<Leg>) -> Leg {
    let whole = part.kind.is_source() || matches!(part.kind, PartKind::Selector | PartKind::Panel | PartKind::Junction);
    match feed {
        _ if part.kind == PartKind::IsolationTransformer => Leg::L1L2N,
        None if whole => Leg::L1L2N,
        None | Some(Leg::L1L2N) if !whole => Leg::L1,
        None => Leg::L1,
        Some(leg) => leg,
    }
}

/// The leg of a part below a feed; `None` where it asks for a conductor that the feed does not have. The primary of an
/// isolation transformer lies between L1 and L2; its leg is that of its secondary.
pub(super) fn fed_leg(system: System, part: &Part, feed: Leg) -> Option<Leg> {
    if !system.is_split_phase() {
        return Some(Leg::L1);
    }
    if part.kind == PartKind::IsolationTransformer {
        return provides(feed, Leg::L1L2).then(|| part.leg.unwrap_or(Leg::L1L2N));
    }
    let wanted = part.leg.unwrap_or_else(|| usual(part, Some(feed)));
    provides(feed, wanted).then_some(wanted)
}

/// The leg of a part whatever its feed has, for a part that is not fed or is a source.
pub(super) fn stated_leg(system: System, part: &Part, feed: Option<Leg>) -> Leg {
    if system.is_split_phase() { part.leg.unwrap_or_else(|| usual(part, feed)) } else { Leg::L1 }
}

/// The conductors that feed a part of this leg: those of a transformer's primary are the two lines.
pub(super) fn feeding_leg(system: System, part: &Part, leg: Leg) -> Leg {
    if system.is_split_phase() && part.kind == PartKind::IsolationTransformer { Leg::L1L2 } else { leg }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::installation::{Place, Point};

    fn part(kind: PartKind, leg: Option<Leg>) -> Part {
        Part { leg, ..Part::new(kind, "X1", Place::At(Point::default())) }
    }

    #[test]
    fn defaults_follow_the_feed() {
        let split = System::SplitPhase;
        let load = part(PartKind::Appliance, None);
        assert_eq!(fed_leg(split, &load, Leg::L1L2N), Some(Leg::L1));
        assert_eq!(fed_leg(split, &load, Leg::L2), Some(Leg::L2));
        assert_eq!(fed_leg(split, &load, Leg::L1L2), Some(Leg::L1L2));
        let panel = part(PartKind::Panel, None);
        assert_eq!(fed_leg(split, &panel, Leg::L1L2N), Some(Leg::L1L2N));
        assert_eq!(fed_leg(split, &panel, Leg::L1), Some(Leg::L1));
        assert_eq!(stated_leg(split, &panel, None), Leg::L1L2N);
        assert_eq!(stated_leg(split, &load, None), Leg::L1);
        assert_eq!(fed_leg(System::TwoWire230, &part(PartKind::Appliance, Some(Leg::L2)), Leg::L1), Some(Leg::L1));
    }

    #[test]
    fn what_a_feed_does_not_have_is_missing() {
        let split = System::SplitPhase;
        assert_eq!(fed_leg(split, &part(PartKind::Appliance, Some(Leg::L2)), Leg::L1), None);
        assert_eq!(fed_leg(split, &part(PartKind::Appliance, Some(Leg::L1)), Leg::L1L2), None);
        assert_eq!(fed_leg(split, &part(PartKind::IsolationTransformer, None), Leg::L1), None);
        let transformer = part(PartKind::IsolationTransformer, None);
        assert_eq!(fed_leg(split, &transformer, Leg::L1L2), Some(Leg::L1L2N));
        assert_eq!(feeding_leg(split, &transformer, Leg::L1L2N), Leg::L1L2);
    }

    #[test]
    fn an_unfed_transformer_has_a_neutral_of_its_own() {
        assert_eq!(stated_leg(System::SplitPhase, &part(PartKind::IsolationTransformer, None), None), Leg::L1L2N);
    }
}
