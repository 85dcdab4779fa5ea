//! Pulling a cable: what it is tied to at one end, and which parts may take the other.

use super::hit::End;
use crate::diagram::{Scene, Terminal};
use crate::installation::{CableId, Edit, EditError, Installation, Part, PartId, Point};
use std::collections::BTreeMap;

/// A cable in the hand.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Pull {
    /// A new cable that leaves this part.
    From(PartId),
    /// A new cable that will feed this part.
    Into(PartId),
    /// A cable that is there, one end of which is led elsewhere; the part at its other end.
    Lead(CableId, End, PartId),
}

impl Pull {
    /// What is pulled at a terminal: at the inlet of a part that is fed, the cable that feeds it.
    #[must_use]
    pub fn at_terminal(installation: &Installation, part: PartId, terminal: Terminal) -> Self {
        match terminal {
            Terminal::Outlet => Self::From(part),
            Terminal::Inlet(n) => match installation.feeds_of(part).nth(n) {
                Some((id, cable)) => Self::Lead(id, End::Downstream, cable.from),
                None => Self::Into(part),
            },
        }
    }

    /// What is pulled at an end of a cable. `None` where there is no such cable any more.
    #[must_use]
    pub fn at_end(installation: &Installation, cable: CableId, end: End) -> Option<Self> {
        let held = installation.cables.get(&cable)?;
        Some(Self::Lead(cable, end, if end == End::Upstream { held.to } else { held.from }))
    }

    /// The part at the end that stays.
    #[must_use]
    pub fn fixed(self) -> PartId {
        match self {
            Self::From(part) | Self::Into(part) | Self::Lead(_, _, part) => part,
        }
    }

    /// True where the loose end will be the one that is fed.
    #[must_use]
    pub fn is_forward(self) -> bool {
        matches!(self, Self::From(_) | Self::Lead(_, End::Downstream, _))
    }

    /// The edit that ties the loose end to a part.
    #[must_use]
    pub fn edit(self, to: PartId) -> Edit {
        match self {
            Self::From(from) => Edit::Connect { from, to },
            Self::Into(part) => Edit::Connect { from: to, to: part },
            Self::Lead(cable, End::Downstream, from) => Edit::Reconnect { cable, from, to },
            Self::Lead(cable, End::Upstream, part) => Edit::Reconnect { cable, from: to, to: part },
        }
    }

    /// The edit that adds a part at the loose end and wires it, as one step. `None` for a cable that is led elsewhere.
    #[must_use]
    pub fn edit_with(self, installation: &Installation, part: Part) -> Option<Edit> {
        match self {
            Self::From(from) => Some(Edit::AddPart { part: Box::new(part), feed: Some(from) }),
            Self::Into(to) => {
                let label = format!("add a {} before {}", part.kind.name(), installation.tag(to));
                // The part that is added first takes the next id.
                let new = PartId::new(installation.next_id);
                let add = Edit::AddPart { part: Box::new(part), feed: None };
                let many = Edit::Many { label, edits: vec![add, Edit::Connect { from: new, to }] };
                Some(many)
            }
            Self::Lead(..) => None,
        }
    }

    /// Every other part, with the reason why the loose end makes no sense there, if so.
    #[must_use]
    pub fn targets(self, installation: &Installation) -> BTreeMap<PartId, Option<EditError>> {
        let others = installation.parts.keys().copied().filter(|id| *id != self.fixed());
        others.map(|id| (id, self.refusal(installation, id))).collect()
    }

    fn refusal(self, installation: &Installation, other: PartId) -> Option<EditError> {
        match self {
            Self::From(from) => installation.may_connect(from, other).err(),
            Self::Into(to) => installation.may_connect(other, to).err(),
            Self::Lead(..) => installation.apply(&self.edit(other)).err(),
        }
    }

    /// Where the rubber line starts: the terminal of the end that stays, the one nearest to `towards`.
    #[must_use]
    pub fn anchor(self, scene: &Scene, towards: Point) -> Option<Point> {
        if let Self::Lead(cable, end, _) = self {
            let path = scene.cables.iter().find(|c| c.cable == cable)?;
            return if end == End::Upstream { path.points.last() } else { path.points.first() }.copied();
        }
        let area = scene.parts.iter().find(|a| a.part == self.fixed())?;
        let fits = |t: &Terminal| matches!(t, Terminal::Outlet) == self.is_forward();
        let ends = area.terminals.iter().filter(|(t, _)| fits(t)).map(|(_, p)| *p);
        let nearest = ends.min_by(|a, b| a.distance(towards).total_cmp(&b.distance(towards)));
        Some(nearest.unwrap_or_else(|| area.symbol.centre()))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::installation::{PartKind, Place, System};

    fn pair() -> (Installation, PartId, PartId) {
        let mut doc = Installation::new(System::TwoWire120);
        let mut add = |kind, tag: &str| doc.add_part(Part::new(kind, tag, Place::At(Point::default())));
        let (panel, breaker) = (add(PartKind::Panel, "A1"), add(PartKind::Breaker, "Q1"));
        (doc, panel, breaker)
    }

    #[test]
    fn targets_say_why_not() {
        let (doc, panel, breaker) = pair();
        let targets = Pull::From(panel).targets(&doc);
        assert_eq!(targets.get(&breaker), Some(&None));
        let doc = doc.apply(&Pull::From(panel).edit(breaker)).unwrap().installation;
        let again = Pull::From(panel).targets(&doc);
        assert!(matches!(again[&breaker], Some(EditError::AlreadyFed { .. })));
        let back = Pull::From(breaker).targets(&doc);
        assert!(matches!(back[&panel], Some(EditError::Loop { .. })));
    }

    #[test]
    fn a_pull_at_a_fed_inlet_takes_the_cable_that_is_there() {
        let (doc, panel, breaker) = pair();
        assert_eq!(Pull::at_terminal(&doc, breaker, Terminal::Inlet(0)), Pull::Into(breaker));
        let doc = doc.apply(&Pull::From(panel).edit(breaker)).unwrap().installation;
        let pull = Pull::at_terminal(&doc, breaker, Terminal::Inlet(0));
        assert!(matches!(pull, Pull::Lead(_, End::Downstream, from) if from == panel));
    }

    #[test]
    fn a_part_added_backwards_feeds() {
        let (doc, panel, _) = pair();
        let part = Part::new(PartKind::ShoreInlet, "", Place::At(Point::new(-40.0, 0.0)));
        let doc = doc.apply(&Pull::Into(panel).edit_with(&doc, part).unwrap()).unwrap().installation;
        let feeds: Vec<&str> = doc.feeds_of(panel).map(|(_, c)| doc.tag(c.from)).collect();
        assert_eq!(feeds, ["X1"]);
    }
}
