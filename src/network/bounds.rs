//! Enclosures: between what and what every current and voltage lies while some loads are on and others may be.
//!
//! The same sweeps as the solve's, on rectangles in the complex plane in place of phasors. Every solution in which the
//! loads of `must` are on, any of `may` besides, and each load in use has its least voltage, lies within them, so that a
//! whole family of switch positions can be judged at once. Rounding is not counted: callers leave 1e-9 of room.

use super::flat::{Network, Wires};
use super::phasor_range::{PhasorRange, Span, scale};
use super::sweep::Kernel;
use crate::installation::Leg;
use crate::units::Complex;

/// Rounds of sweeps; the rectangles only shrink, and each round takes off most of what is left.
const ROUNDS: usize = 8;
/// Rectangles that shrink by less than this share of their size are left as they are.
const SETTLED: f64 = 1e-3;
/// Rounds for a load at the end of cables of its own; each takes off most of what the fall in them leaves open.
const OWN_ROUNDS: usize = 6;
/// Most volts that are thought possible, as a multiple of the source's own: a lost neutral aside, loads only take off.
const MOST_VOLTS: f64 = 2.0;

/// Rectangles of every part, by position in the walk's order; working memory of [`Network::enclose`].
#[derive(Clone, Debug)]
pub struct Bounds {
    v: Vec<[PhasorRange; 2]>,
    i: Vec<[PhasorRange; 2]>,
    /// What a part passes on, its own load left out.
    out: Vec<[PhasorRange; 2]>,
    /// The load's own current, on or off.
    own: Vec<PhasorRange>,
    /// The same while it is on.
    on: Vec<PhasorRange>,
    legs: Vec<Leg>,
    source: Vec<[Complex; 2]>,
}

/// What an enclosure starts from, each by position in the walk's order.
#[derive(Clone, Copy, Debug)]
pub struct Frame<'a> {
    /// Loads that are on.
    pub must: &'a [bool],
    /// Loads that may be on besides.
    pub may: &'a [bool],
    /// Least volts across a load that is on; above zero.
    pub least_v: &'a [f64],
    /// Most amperes in each line into a part, known from elsewhere; infinite where nothing is known. The real part (in
    /// step with the source's voltage) and the magnitude.
    pub most_a: &'a [(f64, f64)],
    /// Least real amperes into a part, known from elsewhere; two wires alone. A part beyond the end has none.
    pub least_re: &'a [f64],
}

impl Network {
    /// Working memory for enclosures.
    #[must_use]
    pub fn bounds(&self) -> Bounds {
        let count = self.nodes.len();
        Bounds {
            v: vec![[PhasorRange::ZERO; 2]; count],
            i: vec![[PhasorRange::ZERO; 2]; count],
            out: vec![[PhasorRange::ZERO; 2]; count],
            own: vec![PhasorRange::ZERO; count],
            on: vec![PhasorRange::ZERO; count],
            legs: self.nodes.iter().map(|n| n.leg).collect(),
            source: match &self.kernel {
                Wires::Two(k) => (0..count).map(|at| [k.source(at)[0], Complex::default()]).collect(),
                Wires::Three(k) => (0..count).map(|at| k.source(at)).collect(),
            },
        }
    }

    /// Encloses every solution that `frame` allows. Time: a few sweeps.
    pub fn enclose(&self, frame: &Frame<'_>, bounds: &mut Bounds) {
        match &self.kernel {
            Wires::Two(kernel) => enclose(kernel, frame, bounds),
            Wires::Three(kernel) => enclose(kernel, frame, bounds),
        }
    }

    /// True where no cable has any impedance: every voltage is then its source's, whatever is on.
    #[must_use]
    pub fn is_without_impedance(&self) -> bool {
        self.nodes.iter().all(|n| n.z == Complex::new(0.0, 0.0))
    }
}

impl Bounds {
    /// Amperes into the part at a position (a source: out of it), in line 0 or 1.
    #[must_use]
    pub fn amps(&self, position: usize, line: usize) -> Span {
        self.i[position][line].magnitude()
    }

    /// Amperes that the part at a position passes on, its own load left out, in line 0 or 1.
    #[must_use]
    pub fn amps_out(&self, position: usize, line: usize) -> Span {
        self.out[position][line].magnitude()
    }

    /// Watts that the source at a position delivers.
    #[must_use]
    pub fn watts(&self, position: usize) -> Span {
        let mut sum = [0.0; 2];
        for (i, e) in self.i[position].iter().zip(&self.source[position]) {
            let watts = scale(i.re, e.re);
            sum = [sum[0] + watts[0], sum[1] + watts[1]];
        }
        Span { least: sum[0], most: sum[1] }
    }

    /// Current of the load at a position while it is on, across its leg.
    #[must_use]
    pub fn load(&self, position: usize) -> PhasorRange {
        self.on[position]
    }

    /// Volts between the conductors that feed the part at a position.
    #[must_use]
    pub fn volts(&self, position: usize) -> Span {
        across(self.legs[position], &self.v[position]).magnitude()
    }
}

fn across(leg: Leg, v: &[PhasorRange; 2]) -> PhasorRange {
    match leg {
        Leg::L1 => v[0],
        Leg::L2 => v[1],
        Leg::L1L2 | Leg::L1L2N => v[0].minus(&v[1]),
    }
}

/// The first `D` of two.
fn lines<const D: usize>(both: &[PhasorRange; 2]) -> [PhasorRange; D] {
    let mut out = [PhasorRange::ZERO; D];
    out.copy_from_slice(&both[..D]);
    out
}

fn enclose<const D: usize>(kernel: &Kernel<D>, frame: &Frame<'_>, bounds: &mut Bounds) {
    let on = |at: usize| frame.must[at] || frame.may[at];
    for &at in kernel.draws().iter().filter(|&&at| on(at)) {
        let volts = MOST_VOLTS * kernel.nominal * if bounds.legs[at] == Leg::L1L2 { 2.0 } else { 1.0 };
        let most = kernel.power[at].norm() / frame.least_v[at] + kernel.admittance[at].norm() * volts;
        bounds.own[at] = PhasorRange::square(most);
    }
    let mut before = f64::INFINITY;
    for round in 0..ROUNDS {
        gather(kernel, frame, bounds);
        spread(kernel, bounds, round == 0);
        let mut width = 0.0;
        for &at in kernel.draws().iter().filter(|&&at| on(at)) {
            let drawn = drawn(kernel, frame, bounds, at);
            let drawn = if frame.must[at] { drawn } else { drawn.with_zero() };
            bounds.own[at] = bounds.own[at].meet(&drawn);
            width += bounds.own[at].width();
        }
        if before - width <= SETTLED * width {
            break;
        }
        before = width;
    }
    gather(kernel, frame, bounds);
    spread(kernel, bounds, false);
    let sharers = sharers(kernel);
    for &at in kernel.draws().iter().filter(|&&at| on(at)) {
        let mut i = drawn(kernel, frame, bounds, at).meet(&bounds.own[at]);
        if D == 1 {
            // What it alone draws through falls at its own cables while it is on.
            let (above, z) = own_way(kernel, bounds, &sharers, at);
            for _ in 0..OWN_ROUNDS {
                let u = bounds.v[at][0].meet(&above.minus(&i.times(z * 2.0)));
                i = i.meet(&drawn_at(kernel, frame, &u, at));
            }
        }
        bounds.on[at] = i;
    }
}

/// How many loads each part carries, its own counted.
fn sharers<const D: usize>(kernel: &Kernel<D>) -> Vec<u32> {
    let mut count = vec![0_u32; kernel.count()];
    for &at in kernel.draws() {
        count[at] += 1;
    }
    for at in (0..count.len()).rev() {
        if let Some(parent) = kernel.above(at) {
            count[parent] += count[at];
        }
    }
    count
}

/// The voltage where a load's own way begins, and the impedance of that way; two wires.
fn own_way<const D: usize>(kernel: &Kernel<D>, bounds: &Bounds, sharers: &[u32], at: usize) -> (PhasorRange, Complex) {
    let mut z = Complex::new(0.0, 0.0);
    let mut here = at;
    loop {
        let parent = kernel.above(here);
        // Beyond a transformer volts are others: the way begins below it.
        if parent.is_some_and(|parent| kernel.matrix(parent).is_some()) {
            return (bounds.v[here][0], z);
        }
        z += kernel.z[here];
        let Some(parent) = parent else { return (PhasorRange::point(kernel.source(here)[0]), z) };
        if sharers[parent] > 1 {
            return (bounds.v[parent][0], z);
        }
        here = parent;
    }
}

/// What a load draws while it is on, at any voltage that it may have.
fn drawn<const D: usize>(kernel: &Kernel<D>, frame: &Frame<'_>, bounds: &Bounds, at: usize) -> PhasorRange {
    drawn_at(kernel, frame, &across(bounds.legs[at], &bounds.v[at]), at)
}

fn drawn_at<const D: usize>(kernel: &Kernel<D>, frame: &Frame<'_>, u: &PhasorRange, at: usize) -> PhasorRange {
    u.reciprocal_of_conjugate(frame.least_v[at]).times(kernel.power[at].conj()).plus(&u.times(kernel.admittance[at]))
}

/// Currents from the loads' own, leaves first.
fn gather<const D: usize>(kernel: &Kernel<D>, frame: &Frame<'_>, bounds: &mut Bounds) {
    let count = kernel.count();
    for out in &mut bounds.out {
        *out = [PhasorRange::ZERO; 2];
    }
    for at in (0..count).rev() {
        let passed = bounds.out[at];
        let mut into = [PhasorRange::ZERO; 2];
        match kernel.matrix(at) {
            None => into = passed,
            Some(m) => {
                for (k, row) in m.iter().enumerate() {
                    for (l, share) in row.iter().enumerate() {
                        into[k] = into[k].plus(&passed[l].scaled(*share));
                    }
                }
            }
        }
        if frame.must[at] || frame.may[at] {
            for (k, share) in kernel.across(at).iter().enumerate() {
                if *share != 0.0 {
                    into[k] = into[k].plus(&bounds.own[at].scaled(*share));
                }
            }
        }
        let (real, most) = frame.most_a[at];
        if most.is_finite() || real.is_finite() {
            let limit = PhasorRange { re: [-real.min(most), real.min(most)], im: [-most, most] };
            into[0] = into[0].meet(&limit);
            into[1] = into[1].meet(&limit);
        }
        if let Some(&least) = frame.least_re.get(at)
            && D == 1
            && into[0].re[1] >= least
        {
            into[0].re[0] = into[0].re[0].max(least);
        }
        bounds.i[at] = into;
        if let Some(parent) = kernel.above(at) {
            for (sum, i) in bounds.out[parent].iter_mut().zip(&into) {
                *sum = sum.plus(i);
            }
        }
    }
}

/// Voltages from currents, sources first.
fn spread<const D: usize>(kernel: &Kernel<D>, bounds: &mut Bounds, first: bool) {
    for at in 0..kernel.count() {
        let above: [PhasorRange; D] = match kernel.above(at) {
            None => kernel.source(at).map(PhasorRange::point),
            Some(parent) => {
                let v: [PhasorRange; D] = lines(&bounds.v[parent]);
                match kernel.matrix(parent) {
                    None => v,
                    Some(m) => m.map(|row| {
                        row.iter().zip(&v).fold(PhasorRange::ZERO, |sum, (share, x)| sum.plus(&x.scaled(*share)))
                    }),
                }
            }
        };
        let i: [PhasorRange; D] = lines(&bounds.i[at]);
        let z = kernel.z[at];
        for k in 0..D {
            // z·(I_k + ΣI): what is counted twice is taken together, so that it does not widen.
            let mut fall = i[k].times(z * 2.0);
            for (l, other) in i.iter().enumerate() {
                if l != k {
                    fall = fall.plus(&other.times(z));
                }
            }
            let v = above[k].minus(&fall);
            bounds.v[at][k] = if first { v } else { bounds.v[at][k].meet(&v) };
        }
    }
}

#[cfg(test)]
mod tests;
