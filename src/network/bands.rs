//! Each figure of a solution as a band: between what and what it lies on the boat, as far as tolerances are stated.

use super::band::{Enclosure, fall};
use super::flat::{Network, Wires};
use super::phasor_range::{PhasorRange, Span, product};
use super::rated::Rated;
use super::solution::{CableFlow, Currents, PartFlow, Solution, SourceFlow};
use super::sweep::Kernel;
use super::tolerance::{Doubtful, Tolerances};
use crate::installation::{CableId, Installation, Leg, PartId};
use std::collections::BTreeMap;

/// Bands of a part; `None` where the solution has no figure.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct PartBand {
    /// Volts between the conductors that feed it.
    pub volts: Option<Span>,
    /// Amperes into it, the larger line.
    pub amps: Option<Span>,
    /// Amperes of L1, L2 and neutral, where it has three wires.
    pub lines: Option<[Span; 3]>,
    /// Drop from the source's terminals, per cent of nominal.
    pub drop_percent: Option<Span>,
}

/// Bands of a cable or cord.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct CableBand {
    /// Amperes, the larger line.
    pub amps: Option<Span>,
    /// Resistance out and back, ohms, contacts at both ends counted.
    pub ohms: Option<Span>,
    /// Fall of the voltage over it.
    pub drop_volts: Option<Span>,
    /// Heat in all its conductors.
    pub loss_watts: Option<Span>,
}

/// Bands of a source.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct SourceBand {
    /// Watts at its terminals.
    pub watts: Option<Span>,
    /// Volt-amperes.
    pub va: Option<Span>,
    /// Amperes, the larger line.
    pub amps: Option<Span>,
    /// Amperes of L1, L2 and neutral; the second is zero in two-wire systems.
    pub lines: Option<[Span; 3]>,
    /// Watts in per cent of its running watts.
    pub load_percent: Option<Span>,
}

impl SourceBand {
    /// The band of its load in per cent of its rating, in the unit of the rating.
    #[must_use]
    pub fn of_rating(&self, rated: Rated) -> Option<Span> {
        if !rated.in_amps {
            return self.load_percent;
        }
        let rating = rated.rating.filter(|r| *r > 0.0)?;
        self.amps.map(|a| Span { least: 100.0 * a.least / rating, most: 100.0 * a.most / rating })
    }
}

/// Bands of a whole solution. Every boat within the tolerances has its figures within them, and so has the drawing.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Bands {
    /// By fed part.
    pub parts: BTreeMap<PartId, PartBand>,
    /// By cable in use.
    pub cables: BTreeMap<CableId, CableBand>,
    /// Shore cords, by inlet.
    pub cords: BTreeMap<PartId, CableBand>,
    /// By source that feeds by itself.
    pub sources: BTreeMap<PartId, SourceBand>,
}

/// Bands of a solved condition; bounds, not estimates. `None` where there are no figures, or where within the tolerances a
/// load may be at or near what its cables can carry. `solution` is of this installation. Time: some tens of solves.
#[must_use]
pub fn bands(installation: &Installation, solution: &Solution, tolerances: &Tolerances) -> Option<Bands> {
    if !solution.converged {
        return None;
    }
    if *tolerances == Tolerances::none() {
        return Some(points(solution));
    }
    let network = Network::new(installation, &solution.walk);
    let cables = network.doubtful(installation, tolerances);
    let loads = tolerances.load_span();
    match &network.kernel {
        Wires::Two(kernel) => {
            let box_of = Enclosure::of(kernel, network.switched(), &cables, loads)?;
            Some(Reader { installation, solution, network: &network, kernel, box_of }.read(&cables))
        }
        Wires::Three(kernel) => {
            let box_of = Enclosure::of(kernel, network.switched(), &cables, loads)?;
            Some(Reader { installation, solution, network: &network, kernel, box_of }.read(&cables))
        }
    }
}

/// The figures themselves: nothing is uncertain.
fn points(solution: &Solution) -> Bands {
    let lines = |c: &Currents| [c.l1, c.l2, c.n].map(|i| exact(i.norm()));
    let part = |f: &PartFlow| PartBand {
        volts: f.volts.map(exact),
        amps: f.amps.map(exact),
        lines: f.currents.as_ref().filter(|_| f.leg.is_three_wire()).map(lines),
        drop_percent: f.drop_percent.map(exact),
    };
    let cable = |f: &CableFlow| CableBand {
        amps: f.amps.map(exact),
        ohms: f.ohms.map(exact),
        drop_volts: f.drop_volts.map(exact),
        loss_watts: f.loss_watts.map(exact),
    };
    let source = |f: &SourceFlow| SourceBand {
        watts: f.watts.map(exact),
        va: f.va.map(exact),
        amps: f.amps.map(exact),
        lines: f.currents.as_ref().map(lines),
        load_percent: f.load_percent.map(exact),
    };
    let fed = solution.walk.order.iter().filter_map(|id| Some((*id, part(solution.parts.get(id)?))));
    Bands {
        parts: fed.collect(),
        cables: solution.cables.iter().map(|(id, f)| (*id, cable(f))).collect(),
        cords: solution.cords.iter().map(|(id, f)| (*id, cable(f))).collect(),
        sources: solution.sources.iter().map(|(id, f)| (*id, source(f))).collect(),
    }
}

const fn exact(figure: f64) -> Span {
    Span { least: figure, most: figure }
}

/// A band with the room that rounding needs, around the drawing's own figure; what does not vary is that figure.
fn around(nominal: Option<f64>, [least, most]: [f64; 2], size: f64) -> Option<Span> {
    let figure = nominal?;
    if least >= most {
        return Some(exact(figure));
    }
    let room = 1e-9 * (size + figure.abs());
    Some(Span { least: figure.min(least - room), most: figure.max(most + room) })
}

/// The same for a figure that is never below zero.
fn size_around(nominal: Option<f64>, span: [f64; 2], size: f64) -> Option<Span> {
    around(nominal, span, size).map(|s| Span { least: s.least.max(0.0), most: s.most })
}

/// Reads figures off an enclosure.
struct Reader<'a, const D: usize> {
    installation: &'a Installation,
    solution: &'a Solution,
    network: &'a Network,
    kernel: &'a Kernel<D>,
    box_of: Enclosure<D>,
}

impl<const D: usize> Reader<'_, D> {
    fn read(&self, cables: &[Doubtful]) -> Bands {
        let mut bands = Bands::default();
        for (at, node) in self.network.nodes.iter().enumerate() {
            let Some(flow) = self.solution.parts.get(&node.part) else { continue };
            bands.parts.insert(node.part, self.part(at, flow));
            if let Some((id, flow)) = node.feed.and_then(|id| Some((id, self.solution.cables.get(&id)?))) {
                bands.cables.insert(id, self.cable(at, flow, &cables[at]));
            } else if let Some(flow) = self.solution.cords.get(&node.part) {
                bands.cords.insert(node.part, self.cable(at, flow, &cables[at]));
            }
            if let Some(flow) = self.solution.sources.get(&node.part) {
                bands.sources.insert(node.part, self.source(at, flow));
            }
        }
        bands
    }

    /// Amperes of L1, L2 and neutral.
    fn lines(&self, at: usize, currents: Option<&Currents>) -> Option<[Span; 3]> {
        let currents = currents?;
        let size = |nominal: f64, of: &PhasorRange| {
            let span = of.magnitude();
            size_around(Some(nominal), [span.least, span.most], 1.0)
        };
        let i = &self.box_of.i[at];
        let second = i.get(1).copied().unwrap_or(PhasorRange::ZERO);
        Some([
            size(currents.l1.norm(), &i[0])?,
            size(currents.l2.norm(), &second)?,
            size(currents.n.norm(), &self.box_of.sum[at])?,
        ])
    }

    fn larger(&self, at: usize, nominal: Option<f64>) -> Option<Span> {
        let spans = self.box_of.i[at].map(|i| i.magnitude());
        let least = spans.iter().map(|s| s.least).fold(0.0, f64::max);
        let most = spans.iter().map(|s| s.most).fold(0.0, f64::max);
        size_around(nominal, [least, most], 1.0)
    }

    fn part(&self, at: usize, flow: &PartFlow) -> PartBand {
        let node = &self.network.nodes[at];
        let nominal = self.kernel.nominal;
        let lines = if matches!(node.leg, Leg::L1L2 | Leg::L1L2N) { 2.0 } else { 1.0 };
        let volts = across(node.leg, &self.box_of.v[at]).magnitude();
        let percent = |u: f64| 100.0 * (node.source_v - u / (lines * node.scale)) / nominal;
        PartBand {
            volts: size_around(flow.volts, [volts.least, volts.most], nominal),
            amps: self.larger(at, flow.amps),
            lines: self.lines(at, flow.currents.as_ref().filter(|_| flow.leg.is_three_wire())),
            drop_percent: around(flow.drop_percent, [percent(volts.most), percent(volts.least)], 100.0),
        }
    }

    fn cable(&self, at: usize, flow: &CableFlow, cable: &Doubtful) -> CableBand {
        let [ohms, _] = cable.span();
        CableBand {
            amps: self.larger(at, flow.amps),
            ohms: size_around(flow.ohms, ohms.map(|r| 2.0 * r), 0.0),
            drop_volts: around(flow.drop_volts, self.drop(at), self.kernel.nominal),
            loss_watts: size_around(flow.loss_watts, self.box_of.heat(at), 1.0),
        }
    }

    /// |U + f| − |U| for the voltage U at the part and the fall f before it: (2 Re(conj(U)·f) + |f|²) / (|U + f| + |U|).
    fn drop(&self, at: usize) -> [f64; 2] {
        let leg = self.network.nodes[at].leg;
        let own = &self.box_of;
        let (i, z) = (&own.i[at], &own.z[at]);
        let f = match leg {
            // What the neutral carries falls alike on both sides.
            Leg::L1L2 | Leg::L1L2N => i[0].minus(&i[D - 1]).times_any(z),
            _ => across(leg, &fall(z, i, &own.sum[at])),
        };
        let u = across(leg, &own.v[at]);
        let upstream = across(leg, &own.above(self.kernel, at, &own.v)).magnitude();
        let (here, product_of) = (u.magnitude(), u.dot(&f));
        let square = f.norm_sqr();
        let top = [2.0 * product_of[0] + square[0], 2.0 * product_of[1] + square[1]];
        let bottom = [upstream.least + here.least, upstream.most + here.most];
        if bottom[0] <= 0.0 {
            [f64::NEG_INFINITY, f64::INFINITY]
        } else {
            product(top, [1.0 / bottom[1], 1.0 / bottom[0]])
        }
    }

    fn source(&self, at: usize, flow: &SourceFlow) -> SourceBand {
        let (watts, va) = self.box_of.delivered(self.kernel, at);
        let rated = self.installation.parts.get(&self.network.nodes[at].part);
        let rated = rated.and_then(|p| p.run_w(self.installation.system));
        let size = self.kernel.nominal;
        SourceBand {
            watts: around(flow.watts, watts, size),
            va: size_around(flow.va, va, size),
            amps: self.larger(at, flow.amps),
            lines: self.lines(at, flow.currents.as_ref()),
            load_percent: rated.and_then(|rated| around(flow.load_percent, watts.map(|w| 100.0 * w / rated), 100.0)),
        }
    }
}

fn across<const D: usize>(leg: Leg, v: &[PhasorRange; D]) -> PhasorRange {
    match leg {
        Leg::L1 => v[0],
        Leg::L2 => v[D - 1],
        Leg::L1L2 | Leg::L1L2N => v[0].minus(&v[D - 1]),
    }
}

#[cfg(test)]
mod tests {
    use super::{Span, around, bands};
    use crate::installation::{Leg, PartKind, System};
    use crate::network::Tolerances;
    use crate::network::solve_tests::{Draft, behind};

    #[test]
    fn a_band_has_a_billionth_of_room_for_rounding_and_holds_the_figure() {
        let near = |a: f64, b: f64| (a - b).abs() < 1e-12;
        let span = around(Some(100.0), [90.0, 110.0], 300.0).expect("has a figure");
        assert!(near(span.least, 90.0 - 4e-7) && near(span.most, 110.0 + 4e-7), "{span:?}");
        let span = around(Some(-100.0), [-90.0, -80.0], 0.0).expect("has a figure");
        assert!(near(span.least, -100.0) && near(span.most, -80.0 + 1e-7), "{span:?}");
        assert_eq!(around(Some(100.0), [90.0, 90.0], 1.0), Some(Span { least: 100.0, most: 100.0 }));
        assert_eq!(around(None, [90.0, 110.0], 1.0), None);
    }

    /// 600 W ± 10 % on either line behind 0.05 Ω a wire: both alike are one load of 240 V behind 0.1 Ω, and what the neutral
    /// carries where they differ lifts one line by as much as it lowers the other.
    #[test]
    fn what_the_neutral_carries_widens_no_drop_between_the_lines() {
        let mut d = Draft::new(System::SplitPhase);
        let g = d.plain(PartKind::Generator, "G1");
        let panel = d.plain(PartKind::Panel, "P1");
        d.join(g, panel, 0.1);
        for (tag, leg) in [("E1", Leg::L1), ("E2", Leg::L2)] {
            let e = d.part(PartKind::Appliance, tag, |p| (p.run_w, p.pf, p.leg) = (Some(600.0), Some(1.0), Some(leg)));
            d.join(panel, e, 0.0);
        }
        d.feed(&[g]);
        let s = d.solve();
        let found =
            bands(&d.installation, &s, &Tolerances { load: 0.1, ..Tolerances::none() }).expect("far from the knee");
        let (cable, _) = s.feed_of(panel).expect("has a cable");
        let span = found.cables[&cable].drop_volts.expect("has a band");
        let [least, most] = [0.9, 1.1].map(|share| 240.0 - behind(240.0, 0.1, 1200.0 * share));
        assert!(span.least <= least && most <= span.most, "{span:?} around {least} to {most}");
        assert!(span.most - span.least < 1.05 * (most - least), "{span:?}, not {least} to {most}");
    }
}
