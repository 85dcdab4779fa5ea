//! What can come next: the kinds of part that usually follow or precede another, most usual first.

use crate::installation::{Feeds, PartKind};

/// What usually follows a part of this kind. Empty where nothing can.
#[must_use]
pub fn after(kind: PartKind) -> Vec<PartKind> {
    use PartKind as K;
    let first: &[K] = match kind {
        K::ShoreInlet => &[K::Breaker, K::GalvanicIsolator, K::IsolationTransformer, K::Selector],
        K::Generator | K::Inverter => &[K::Selector, K::Breaker, K::Panel],
        K::Selector | K::IsolationTransformer | K::GalvanicIsolator => &[K::Breaker, K::Panel],
        K::Panel => &[K::Breaker],
        K::Breaker => &[K::Outlet, K::Appliance, K::Panel],
        K::Outlet => &[K::Appliance, K::Outlet],
        K::Junction => &[K::Outlet, K::Appliance, K::Junction],
        K::Appliance | K::PolarityIndicator => &[],
    };
    if !kind.info().feeds_others {
        return Vec::new();
    }
    with_the_rest(first, |k| k.info().feeds != Feeds::None)
}

/// What usually feeds a part of this kind. Empty where nothing can.
#[must_use]
pub fn before(kind: PartKind) -> Vec<PartKind> {
    use PartKind as K;
    let first: &[K] = match kind {
        K::Panel => &[K::Breaker, K::Selector],
        K::Breaker => &[K::Panel, K::ShoreInlet, K::Generator],
        K::Outlet | K::Junction => &[K::Breaker],
        K::Appliance => &[K::Outlet, K::Breaker],
        _ => &[K::ShoreInlet, K::Generator, K::Breaker],
    };
    if kind.info().feeds == Feeds::None {
        return Vec::new();
    }
    with_the_rest(first, |k| k.info().feeds_others)
}

fn with_the_rest(first: &[PartKind], may: impl Fn(PartKind) -> bool) -> Vec<PartKind> {
    let rest = PartKind::ALL.iter().copied().filter(|k| !first.contains(k) && may(*k));
    first.iter().copied().chain(rest).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::installation::{Installation, Part, Place, Point, System};

    #[test]
    fn what_is_offered_can_be_connected() {
        for kind in PartKind::ALL.iter().copied() {
            for (others, forward) in [(after(kind), true), (before(kind), false)] {
                for other in others {
                    let mut doc = Installation::new(System::TwoWire120);
                    let held = doc.add_part(Part::new(kind, "B1", Place::At(Point::default())));
                    let new = doc.add_part(Part::new(other, "B2", Place::At(Point::default())));
                    let tried = if forward { doc.may_connect(held, new) } else { doc.may_connect(new, held) };
                    assert_eq!(tried, Ok(()), "{kind:?} and {other:?}");
                }
            }
        }
    }

    #[test]
    fn an_appliance_ends_the_branch_and_a_source_starts_it() {
        assert!(after(PartKind::Appliance).is_empty());
        assert!(before(PartKind::ShoreInlet).is_empty());
        assert_eq!(after(PartKind::Panel).first(), Some(&PartKind::Breaker));
    }
}
