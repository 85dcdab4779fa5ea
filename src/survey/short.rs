//! Prospective short-circuit current at the far ends of circuits: the least that a breaker may see of a fault behind it.

use super::context::Context;
use crate::installation::{PartId, PartKind};
use std::collections::BTreeMap;

/// A short circuit at one part.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Short {
    /// Where.
    pub at: PartId,
    /// Prospective current in amperes: nominal volts over the loop's impedance (cables and cord alone, so the true figure
    /// is lower), and no more than the peak rating of the boat's own source. A shore supply is taken to give what the
    /// cables let through.
    pub amps: f64,
    /// True where the source's peak is the limit, and not the cables.
    pub by_source: bool,
}

/// Prospective current of a short circuit at a fed part; `None` where the peak of the source, or a cable on the way, is
/// not known.
#[must_use]
pub fn short_at(cx: &Context<'_>, id: PartId) -> Option<Short> {
    let up = cx.upstream(id)?;
    let source = cx.part(up.root)?;
    let volts = cx.nominal_v(cx.leg(id));
    let cable = volts / cx.loop_ohms(id)?.norm();
    let own = if source.kind == PartKind::ShoreInlet {
        f64::INFINITY
    } else {
        source.start_va.or_else(|| source.start_w(cx.system()))? / cx.nominal_v(cx.leg(up.root))
    };
    Some(Short { at: id, amps: cable.min(own), by_source: own < cable })
}

/// The far ends behind each breaker, up to the next one: outlets, and appliances that are not plugged into one.
#[derive(Debug, Default)]
pub(super) struct FarEnds {
    /// The weakest short circuit that each breaker is to clear.
    pub weakest: BTreeMap<PartId, Short>,
    /// Far ends of which the current is not known, by breaker.
    pub unknown: BTreeMap<PartId, Vec<PartId>>,
}

impl FarEnds {
    /// Looks at every fed far end, in time linear in the drawing.
    pub(super) fn of(cx: &Context<'_>) -> Self {
        let mut ends = Self::default();
        for kind in [PartKind::Appliance, PartKind::Outlet] {
            for (id, _) in cx.of_kind(kind) {
                let Some(up) = cx.upstream(id) else { continue };
                let Some(breaker) = up.breaker else { continue };
                if kind == PartKind::Appliance && up.outlet.is_some() {
                    continue;
                }
                let Some(short) = short_at(cx, id) else {
                    ends.unknown.entry(breaker).or_default().push(id);
                    continue;
                };
                let weakest = ends.weakest.entry(breaker).or_insert(short);
                if short.amps < weakest.amps {
                    *weakest = short;
                }
            }
        }
        ends
    }
}
