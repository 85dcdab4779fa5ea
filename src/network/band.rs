//! Enclosures of a solution while cables and loads are known within tolerances only.
//!
//! The sweep of the solve, V → Us − Σ z·I(V), on rectangles. First a box is grown from the no-load voltages until the sweep
//! maps it into itself for every cable and for loads from nothing to their most, and it is checked that the sweep draws
//! any two of its points together. Then, for each boat within the tolerances, sweeps from no load never leave the box and
//! settle at its one fixed point there, which is the solution that grows from no load: the upper one. Sweeping the box with
//! the loads' own range shrinks it around all of these. (Interval arithmetic with Brouwer's and Banach's fixed points: R. E.
//! Moore, Interval Analysis, 1966, from memory.) Rounding is not counted: figures leave 1e-9 of room.

use super::phasor_range::{PhasorRange, product, scale};
use super::sweep::Kernel;
use super::tolerance::Doubtful;
use crate::units::Complex;

/// Sweeps in which the box must have closed.
const GROWING: usize = 60;
/// Sweeps by which the box shrinks at most, and the share of its size below which it no longer matters.
const SHRINKING: usize = 60;
const SETTLED: f64 = 1e-12;
/// Room that a growing box takes beyond what it needs, as a share of its size.
const ROOM: f64 = 0.05;

/// Rectangles of each part, by position.
#[derive(Clone, Debug)]
pub(super) struct Enclosure<const D: usize> {
    /// Loop voltages at the part (a transformer: its primary).
    pub(super) v: Vec<[PhasorRange; D]>,
    /// Line currents into it.
    pub(super) i: Vec<[PhasorRange; D]>,
    /// Their sum, which the neutral carries back: what lies between the lines is left out before it is added.
    pub(super) sum: Vec<PhasorRange>,
    /// Ohms of its cable.
    pub(super) z: Vec<PhasorRange>,
    i_out: Vec<[PhasorRange; D]>,
    sum_out: Vec<PhasorRange>,
}

/// What a cable takes off each loop: z·(I_k + ΣI).
pub(super) fn fall<const D: usize>(z: &PhasorRange, i: &[PhasorRange; D], sum: &PhasorRange) -> [PhasorRange; D] {
    i.map(|own| if D == 1 { own.times_any(z).scaled(2.0) } else { own.plus(sum).times_any(z) })
}

/// A transformer's far side seen from the near one, or currents the other way.
pub(super) fn through<const D: usize>(m: Option<&[[f64; D]; D]>, v: &[PhasorRange; D]) -> [PhasorRange; D] {
    match m {
        None => *v,
        Some(m) => {
            m.map(|row| row.iter().zip(v).fold(PhasorRange::ZERO, |sum, (share, x)| sum.plus(&x.scaled(*share))))
        }
    }
}

/// True where what a sweep took off the size of a box no longer matters.
fn shrinks_no_more(before: f64, width: f64) -> bool {
    before - width <= SETTLED * width
}

impl<const D: usize> Enclosure<D> {
    /// Encloses the solutions with each cable within its range and each load that is on from `loads[0]` to `loads[1]` times
    /// its own. `None` where a load may be at or near what its cables can carry: no box closes.
    pub(super) fn of(kernel: &Kernel<D>, on: &[bool], cables: &[Doubtful], loads: [f64; 2]) -> Option<Self> {
        let count = kernel.count();
        let mut own = Self {
            v: vec![[PhasorRange::ZERO; D]; count],
            i: vec![[PhasorRange::ZERO; D]; count],
            sum: vec![PhasorRange::ZERO; count],
            z: cables
                .iter()
                .map(|c| {
                    let [re, im] = c.span();
                    PhasorRange { re, im }
                })
                .collect(),
            i_out: vec![[PhasorRange::ZERO; D]; count],
            sum_out: vec![PhasorRange::ZERO; count],
        };
        // Without current every part stands at its no-load voltage.
        own.v = own.spread(kernel);
        own.close(kernel, on, loads[1])?;
        let mut before = f64::INFINITY;
        for _ in 0..SHRINKING {
            own.gather(kernel, on, loads)?;
            let swept = own.spread(kernel);
            let mut width = 0.0;
            for (v, swept) in own.v.iter_mut().zip(&swept) {
                for (v, swept) in v.iter_mut().zip(swept) {
                    *v = v.meet(swept);
                    width += v.width();
                }
            }
            if shrinks_no_more(before, width) {
                break;
            }
            before = width;
        }
        own.gather(kernel, on, loads)?;
        Some(own)
    }

    /// Grows the box until the sweep maps it into itself and draws its points together.
    fn close(&mut self, kernel: &Kernel<D>, on: &[bool], most: f64) -> Option<()> {
        for _ in 0..GROWING {
            self.gather(kernel, on, [0.0, most])?;
            let swept = self.spread(kernel);
            let mut closed = true;
            for (v, swept) in self.v.iter_mut().zip(&swept) {
                for (v, swept) in v.iter_mut().zip(swept) {
                    if !v.holds(swept) {
                        closed = false;
                        *v = v.hull(swept);
                        *v = v.plus(&PhasorRange::square(ROOM * v.width()));
                    }
                }
            }
            if closed {
                return (self.draws_together(kernel, on, most) < 1.0).then_some(());
            }
        }
        None
    }

    /// The most by which the sweep brings two sets of voltages of the box closer, as a share of their largest difference.
    fn draws_together(&self, kernel: &Kernel<D>, on: &[bool], most: f64) -> f64 {
        let count = kernel.count();
        // Change of the line currents, and of their sum, for a change of 1 V in every loop.
        let mut lines = vec![[0.0; D]; count];
        let mut sums = vec![0.0; count];
        for &at in kernel.draws().iter().filter(|&&at| on[at]) {
            let least = self.load_voltage(kernel, at).magnitude().least;
            let steep = most * (kernel.power[at].norm() / (least * least) + kernel.admittance[at].norm());
            let loops: f64 = kernel.across(at).iter().map(|a| a.abs()).sum();
            for (line, a) in lines[at].iter_mut().zip(&kernel.across(at)) {
                *line += steep * loops * a.abs();
            }
            // On one line alone it adds to the sum; across both it adds nothing.
            sums[at] += steep * kernel.across(at).iter().sum::<f64>().abs();
        }
        let ratio = |at: usize| kernel.matrix(at);
        for at in (0..count).rev() {
            let Some(parent) = kernel.above(at) else { continue };
            let (line, sum) = (lines[at], sums[at]);
            match ratio(parent) {
                None => {
                    for (x, line) in lines[parent].iter_mut().zip(&line) {
                        *x += line;
                    }
                    sums[parent] += sum;
                }
                Some(m) => {
                    for (x, row) in lines[parent].iter_mut().zip(m) {
                        *x += row.iter().zip(&line).map(|(share, line)| share.abs() * line).sum::<f64>();
                    }
                    // With three wires the primary lies between the lines; with two the sum is that of the one line.
                }
            }
        }
        let mut change = vec![0.0f64; count];
        let mut largest = 0.0f64;
        for at in 0..count {
            let z = self.z[at].magnitude().most;
            let most = lines[at].iter().copied().fold(0.0, f64::max);
            let own = z * if D == 1 { 2.0 * most } else { most + sums[at] };
            let above = kernel.above(at).map_or(0.0, |parent| {
                change[parent] * ratio(parent).map_or(1.0, |m| m[0].iter().map(|x| x.abs()).sum())
            });
            change[at] = above + own;
            if change[at].is_nan() {
                return f64::INFINITY;
            }
            largest = largest.max(change[at]);
        }
        largest
    }

    fn load_voltage(&self, kernel: &Kernel<D>, at: usize) -> PhasorRange {
        kernel.across(at).iter().zip(&self.v[at]).fold(PhasorRange::ZERO, |sum, (share, v)| sum.plus(&v.scaled(*share)))
    }

    /// Currents from voltages, leaves first; `None` where a voltage may be nothing.
    fn gather(&mut self, kernel: &Kernel<D>, on: &[bool], loads: [f64; 2]) -> Option<()> {
        self.i_out.fill([PhasorRange::ZERO; D]);
        self.sum_out.fill(PhasorRange::ZERO);
        for at in (0..kernel.count()).rev() {
            let m = kernel.matrix(at);
            let mut i = through(m, &self.i_out[at]);
            // A three-wire transformer's primary lies between the lines: its neutral carries nothing.
            let mut sum = match m {
                None => self.sum_out[at],
                Some(_) if D > 1 => PhasorRange::ZERO,
                Some(_) => i[0],
            };
            let (power, admittance) = (kernel.power[at], kernel.admittance[at]);
            if on[at] && (power != Complex::default() || admittance != Complex::default()) {
                let u = self.load_voltage(kernel, at);
                let least = u.magnitude().least;
                if least.is_nan() || least <= 1e-6 * kernel.nominal {
                    return None;
                }
                let constant = u.reciprocal_of_conjugate(least).times(power.conj());
                let drawn = constant.plus(&u.times(admittance)).times_span(loads);
                for (i, share) in i.iter_mut().zip(&kernel.across(at)) {
                    *i = i.plus(&drawn.scaled(*share));
                }
                sum = sum.plus(&drawn.scaled(kernel.across(at).iter().sum()));
            }
            self.i[at] = i;
            self.sum[at] = sum;
            if let Some(parent) = kernel.above(at) {
                for (out, i) in self.i_out[parent].iter_mut().zip(&i) {
                    *out = out.plus(i);
                }
                self.sum_out[parent] = self.sum_out[parent].plus(&sum);
            }
        }
        Some(())
    }

    /// Voltages from currents, sources first.
    fn spread(&self, kernel: &Kernel<D>) -> Vec<[PhasorRange; D]> {
        let mut v: Vec<[PhasorRange; D]> = Vec::with_capacity(kernel.count());
        for at in 0..kernel.count() {
            let above = self.above(kernel, at, &v);
            let fall = fall(&self.z[at], &self.i[at], &self.sum[at]);
            let mut own = above;
            for (own, fall) in own.iter_mut().zip(&fall) {
                *own = own.minus(fall);
            }
            v.push(own);
        }
        v
    }

    /// Voltages at the upstream end of the cable that feeds a part.
    pub(super) fn above(&self, kernel: &Kernel<D>, at: usize, v: &[[PhasorRange; D]]) -> [PhasorRange; D] {
        match kernel.above(at) {
            None => kernel.source(at).map(PhasorRange::point),
            Some(parent) => through(kernel.matrix(parent), &v[parent]),
        }
    }

    /// Heat in all conductors of the cable that feeds a part.
    pub(super) fn heat(&self, at: usize) -> [f64; 2] {
        let neutral = self.sum[at].norm_sqr();
        let squares = self.i[at].iter().fold(neutral, |all, i| {
            let square = i.norm_sqr();
            [all[0] + square[0], all[1] + square[1]]
        });
        product(self.z[at].re, squares)
    }

    /// Volt-amperes at the upstream end of a root's cord: the real part, and the magnitude.
    pub(super) fn delivered(&self, kernel: &Kernel<D>, at: usize) -> ([f64; 2], [f64; 2]) {
        let mut s = PhasorRange::ZERO;
        for (i, e) in self.i[at].iter().zip(kernel.source(at)) {
            s = s.plus(&i.scaled(e.re));
        }
        let size = s.magnitude();
        (s.re, scale([size.least, size.most], 1.0))
    }
}

#[cfg(test)]
mod tests {
    use super::Enclosure;
    use crate::installation::{Leg, LoadKind, Part, PartId, PartKind, System};
    use crate::network::flat::{Network, Wires};
    use crate::network::phasor_range::PhasorRange;
    use crate::network::solve_tests::{Draft, behind};
    use crate::network::{Solution, Tolerances, bands, walk};
    use crate::units::Complex;

    /// Source, what stands between, and one load behind two cables of 0.1 Ω and 0.2 Ω a loop.
    fn boat(system: System, between: Part, load: impl FnOnce(&mut Part)) -> (Draft, [PartId; 2], Solution) {
        let mut d = Draft::new(system);
        let g = d.plain(PartKind::Generator, "G1");
        let m = d.installation.add_part(between);
        let e = d.part(PartKind::Appliance, "E1", load);
        d.join(g, m, 0.1);
        d.join(m, e, 0.2);
        d.feed(&[g]);
        let s = d.solve();
        (d, [m, e], s)
    }

    fn between(kind: PartKind, volts: Option<f64>) -> Part {
        Part { volts, ..Part::new(kind, "M1", crate::installation::Place::In(Default::default())) }
    }

    /// How far the sweep draws points together where nothing is uncertain, and the heat of the first cable.
    fn steepness(d: &Draft, first: PartId, most: f64) -> (f64, [f64; 2]) {
        fn of<const D: usize>(
            kernel: &crate::network::sweep::Kernel<D>,
            n: &Network,
            d: &Draft,
            at: usize,
            most: f64,
        ) -> (f64, [f64; 2]) {
            let cables = n.doubtful(&d.installation, &Tolerances::none());
            let own = Enclosure::of(kernel, n.switched(), &cables, [1.0, 1.0]).expect("far from the knee");
            (own.draws_together(kernel, n.switched(), most), own.heat(at))
        }
        let n = Network::new(&d.installation, &walk(&d.installation, 0));
        let at = n.position(first).expect("is fed");
        match &n.kernel {
            Wires::Two(kernel) => of(kernel, &n, d, at, most),
            Wires::Three(kernel) => of(kernel, &n, d, at, most),
        }
    }

    #[test]
    fn sweeps_draw_points_together_by_ohms_times_watts_over_volts_squared() {
        // A change of 1 V changes the current by s = P / U², and the voltages by s times the ohms of each loop it runs in.
        let panel = || between(PartKind::Panel, None);
        let transformer = |volts| between(PartKind::IsolationTransformer, Some(volts));
        let watts = |p: &mut Part| p.run_w = Some(1200.0);
        let both = |p: &mut Part| {
            p.run_w = Some(1200.0);
            p.leg = Some(Leg::L1L2);
        };
        for (what, (d, [m, e], s), ohms) in [
            ("two wires", boat(System::TwoWire120, panel(), watts), 0.1 + 0.2),
            // Half the volts: half of a change upstream arrives, and half of the amperes are seen there.
            (
                "to half the volts",
                boat(System::TwoWire120, transformer(60.0), |p| p.run_w = Some(400.0)),
                0.1 / 4.0 + 0.2,
            ),
            ("L1 of three wires", boat(System::SplitPhase, panel(), watts), 0.1 + 0.2),
            // Lines may move against each other by 2 V; each has half the ohms of its loop.
            ("both lines", boat(System::SplitPhase, panel(), both), 2.0 * (0.05 + 0.1)),
            // Half of the amperes run in either line of the primary, and nothing in its neutral.
            ("a centre tap", boat(System::SplitPhase, transformer(120.0), watts), 0.05 / 2.0 + 0.2),
        ] {
            let (volts, power) = (s.parts[&e].volts.expect("solved"), s.parts[&e].watts.expect("solved"));
            let wanted = ohms * power / (volts * volts);
            let (once, heat) = steepness(&d, m, 1.0);
            assert!((once - wanted).abs() < 1e-6 * wanted, "{what}: {once}, not {wanted}");
            let (twice, _) = steepness(&d, m, 2.0);
            assert!((twice - 2.0 * wanted).abs() < 1e-6 * wanted, "{what}: {twice}");
            let loss = s.feed_of(m).and_then(|(_, c)| c.loss_watts).expect("solved");
            assert!(heat.iter().all(|h| (h - loss).abs() < 1e-6 * loss), "{what}: {heat:?}, not {loss}");
        }
        let (d, [m, _], _) = boat(System::TwoWire120, panel(), |p| {
            p.run_w = Some(1440.0);
            p.load_kind = LoadKind::Impedance;
        });
        let (heater, _) = steepness(&d, m, 1.0);
        assert!((heater - 0.3 / 10.0).abs() < 1e-9, "0.3 Ω before 10 Ω: {heater}");
    }

    #[test]
    fn hardly_uncertain_lengths_give_bands_hardly_wider_than_the_figures() {
        let tolerances = Tolerances { length: 1e-7, ..Tolerances::none() };
        let load = |p: &mut Part| {
            p.run_w = Some(1200.0);
            p.pf = Some(0.8);
        };
        for (system, middle) in [
            (System::TwoWire120, between(PartKind::Panel, None)),
            (System::TwoWire120, between(PartKind::IsolationTransformer, Some(60.0))),
            (System::SplitPhase, between(PartKind::Panel, None)),
            (System::SplitPhase, between(PartKind::IsolationTransformer, Some(120.0))),
        ] {
            let (d, parts, s) = boat(system, middle, load);
            let found = bands(&d.installation, &s, &tolerances).expect("far from the knee");
            for id in parts {
                let (flow, band) = (&s.parts[&id], &found.parts[&id]);
                let (cable, ours) = s.feed_of(id).expect("has a cable");
                let theirs = &found.cables[&cable];
                for (figure, span) in [
                    (flow.volts, band.volts),
                    (flow.amps, band.amps),
                    (flow.drop_percent, band.drop_percent),
                    (ours.drop_volts, theirs.drop_volts),
                    (ours.loss_watts, theirs.loss_watts),
                    (ours.ohms, theirs.ohms),
                    (ours.amps, theirs.amps),
                ] {
                    let (figure, span) = (figure.expect("solved"), span.expect("has a band"));
                    assert!(span.least <= figure && figure <= span.most, "{system:?} {figure} outside {span:?}");
                    assert!(span.most - span.least < 1e-4 * (1.0 + figure.abs()), "{system:?} {figure} {span:?}");
                }
            }
        }
    }

    #[test]
    fn a_box_has_shrunk_enough_where_a_sweep_takes_less_than_a_trillionth_off() {
        for size in [1e-3, 1.0, 1e3] {
            for (before, enough) in [(1.0, true), (1.0 + 0.5e-12, true), (1.0 + 2e-12, false), (2.0, false)] {
                assert_eq!(super::shrinks_no_more(before * size, size), enough, "{before} of {size}");
            }
        }
        assert!(!super::shrinks_no_more(f64::INFINITY, 1.0));
    }

    #[test]
    fn no_current_is_told_where_a_voltage_may_be_nothing() {
        let (d, [_, e], _) = boat(System::TwoWire120, between(PartKind::Panel, None), |p| p.run_w = Some(1200.0));
        let n = Network::new(&d.installation, &walk(&d.installation, 0));
        let Wires::Two(kernel) = &n.kernel else { panic!("has two wires") };
        let cables = n.doubtful(&d.installation, &Tolerances::none());
        let mut own = Enclosure::of(kernel, n.switched(), &cables, [1.0, 1.0]).expect("far from the knee");
        let at = n.position(e).expect("is fed");
        let point = |volts| PhasorRange::point(Complex::new(0.0, volts));
        for (v, told) in [
            (point(120.0), true),
            (point(120.0 * 1.1e-6), true),
            (point(120.0 * 0.9e-6), false),
            (point(0.0), false),
            (point(f64::NAN), false),
            (PhasorRange::square(120.0), false),
        ] {
            own.v[at] = [v];
            assert_eq!(own.gather(kernel, n.switched(), [1.0, 1.0]).is_some(), told, "{v:?}");
        }
    }

    /// One load behind 1 Ω, which carries 3600 W at most: the voltage is lowest with the most watts, and highest with the least.
    #[test]
    fn bands_reach_to_a_few_parts_in_ten_thousand_below_what_a_cable_carries() {
        let tolerances = Tolerances { load: 0.1, ..Tolerances::none() };
        for pieces in [1, 10] {
            for share in [0.01, 0.5, 0.9, 0.99, 0.999, 0.9997] {
                let mut d = Draft::new(System::TwoWire120);
                let g = d.plain(PartKind::Generator, "G1");
                let mut at = g;
                for n in 1..pieces {
                    let next = d.plain(PartKind::Junction, &format!("X{n}"));
                    d.join(at, next, 1.0 / f64::from(pieces));
                    at = next;
                }
                let watts = 3600.0 * share / 1.1;
                let e = d.part(PartKind::Appliance, "E1", |p| (p.run_w, p.pf) = (Some(watts), Some(1.0)));
                d.join(at, e, 1.0 / f64::from(pieces));
                d.feed(&[g]);
                let found = bands(&d.installation, &d.solve(), &tolerances).expect("stays below what is carried");
                let volts = found.parts[&e].volts.expect("has a band");
                let [least, most] = [1.1, 0.9].map(|by| behind(120.0, 1.0, watts * by));
                assert!(volts.least <= least && most <= volts.most, "{share}: {volts:?} around {least} to {most} V");
                // Near what is carried each sweep takes but little off.
                let room = if share < 0.95 { 1e-6 } else { 3.0 };
                assert!(least - volts.least < room && volts.most - most < room, "{share}: {volts:?}");
            }
        }
        let (d, _, s) = boat(System::TwoWire120, between(PartKind::Panel, None), |p| p.run_w = Some(11_000.0));
        assert!(
            s.converged && bands(&d.installation, &s, &tolerances).is_none(),
            "12,100 W behind 0.3 Ω are more than 12,000 W"
        );
    }

    #[test]
    fn what_is_off_draws_nothing_within_any_tolerance() {
        let (mut d, [m, e], _) = boat(System::TwoWire120, between(PartKind::Panel, None), |p| p.run_w = Some(1200.0));
        let off = d.part(PartKind::Appliance, "E2", |p| p.run_w = Some(600.0));
        d.join(m, off, 0.1);
        d.installation.conditions[0].off.insert(off);
        let s = d.solve();
        let found = bands(&d.installation, &s, &Tolerances::default()).expect("far from the knee");
        let amps = |id| found.parts[&id].amps.expect("has a band");
        assert!(amps(off).most < 1e-6, "{:?}", amps(off));
        let (through, load) = (amps(m), amps(e));
        assert!(
            (through.most - load.most).abs() < 1e-6 && (through.least - load.least).abs() < 1e-6,
            "{through:?} {load:?}"
        );
    }
}
