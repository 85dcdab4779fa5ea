//! What the canvas looks up in each frame, worked out once for a drawing: what each shape covers, the order of feeding,
//! and which findings are about what.

use super::{nodes, paint};
use crate::diagram::Scene;
use crate::installation::{CableId, Installation, PartId, Rect};
use crate::network::Solution;
use crate::survey::Finding;
use egui::Id;
use std::collections::{HashMap, HashSet};

/// Lookups of one drawing.
#[derive(Debug, Default)]
pub struct Lookup {
    /// What each item of the scene covers, in millimetres, in their order; `None` where it has no point.
    pub extents: Vec<Option<Rect>>,
    /// Parts in the order of feeding.
    pub order: Vec<PartId>,
    /// Cables by the part that they feed, in the order of their ids.
    pub feeds: HashMap<PartId, Vec<CableId>>,
    /// Places in the list of open findings, worst first, by the parts that they are about.
    pub of_part: HashMap<PartId, Vec<usize>>,
    /// The same by cables.
    pub of_cable: HashMap<CableId, Vec<usize>>,
    /// Ids of the drawing's widgets.
    pub widgets: HashSet<Id>,
}

impl Lookup {
    /// Worked out in time linear in the drawing, but for the logarithm of maps.
    #[must_use]
    pub fn new(installation: &Installation, solution: &Solution, scene: &Scene, findings: &[Finding]) -> Self {
        let mut new = Self {
            extents: scene.items.iter().map(|item| paint::extent(&item.shape)).collect(),
            order: nodes::feed_order(installation, solution),
            ..Self::default()
        };
        for (id, cable) in &installation.cables {
            new.feeds.entry(cable.to).or_default().push(*id);
            new.widgets.insert(nodes::cable_id(*id));
        }
        for id in installation.parts.keys() {
            new.widgets.extend([nodes::part_id(*id), nodes::switch_id(*id)]);
        }
        new.widgets.extend(installation.spaces.keys().map(|id| nodes::space_id(*id)));
        for (place, finding) in findings.iter().enumerate() {
            for part in &finding.parts {
                let list = new.of_part.entry(*part).or_default();
                if list.last() != Some(&place) {
                    list.push(place);
                }
            }
            for cable in &finding.cables {
                let list = new.of_cable.entry(*cable).or_default();
                if list.last() != Some(&place) {
                    list.push(place);
                }
            }
        }
        new
    }
}

#[cfg(test)]
mod tests {
    use crate::app::state::Computed;

    #[test]
    fn a_lookup_says_the_same_as_reading_all_of_it() {
        let sample = crate::store::sample().unwrap().installation;
        let computed = Computed::of(&sample, 0);
        let lookup = &computed.lookup;
        assert_eq!(lookup.extents.len(), computed.scene.items.len());
        assert_eq!(lookup.order.len(), sample.parts.len());
        for id in sample.parts.keys() {
            let open = computed.judged.open.iter().enumerate().filter(|(_, f)| f.parts.contains(id));
            let places: Vec<usize> = open.map(|(place, _)| place).collect();
            assert_eq!(lookup.of_part.get(id).cloned().unwrap_or_default(), places);
        }
    }
}
