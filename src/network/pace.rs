//! How the plain sweeps of one solve come along: how far each one goes, when they have settled, when they are given up.
//!
//! Each step is nearly the last one times a number: with loads of constant power, a positive one in the direction of the
//! voltage and a negative one at right angles to it. Two steps in a row tell both numbers, and the next sweep goes as much
//! further, or less far, as all steps of that kind would come to together: Aitken's Δ² process as a relaxation of each sweep
//! (Irons and Tuck, 1969; from memory), with one factor for the real parts of all voltages and one for the imaginary ones.

use super::sweep::zero;
use crate::units::Complex;

/// Plain sweeps before linearised ones take over.
pub(super) const PLAIN_SWEEPS: u32 = 40;
/// Plain sweeps whose steps do not shrink to this share give up.
const SHRINKS: f64 = 0.5;
/// Sweeps whose steps shrink to more than this share are left as they are: a factor that fits one kind of step could then
/// let another kind grow.
const RELAXED: f64 = 0.2;
/// Each so many voltages, from the last back, tell how all of them move.
const STRIDE: usize = 8;

/// What is to follow a sweep.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Progress {
    /// What the step has left is small enough.
    Settled,
    /// Steps do not shrink fast enough to go on.
    Slow,
    /// One more sweep.
    Further,
}

/// Products of steps, summed over voltages: of their real parts, and of their imaginary ones.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Products {
    /// Each step times the one before.
    pub(super) with_last: [f64; 2],
    /// Each step before, squared.
    pub(super) last: [f64; 2],
}

/// The plain sweeps of one solve so far.
#[derive(Clone, Copy, Debug)]
pub(super) struct Pace {
    /// Volts that may be left.
    volts: f64,
    sweeps: u32,
    /// The largest change of the last sweep, volts.
    change: f64,
    /// The largest share that a step has had of the one before, or would have had without relaxation.
    rate: f64,
    /// By how much of its step the next sweep goes further, real and imaginary parts.
    further: [f64; 2],
    /// By how much the last but one did.
    before: [f64; 2],
}

impl Pace {
    /// Before the first sweep.
    pub(super) const fn new(volts: f64) -> Self {
        Self { volts, sweeps: 0, change: f64::INFINITY, rate: 0.0, further: [0.0; 2], before: [0.0; 2] }
    }

    /// Sweeps so far.
    pub(super) const fn sweeps(&self) -> u32 {
        self.sweeps
    }

    /// By how much of its step the next sweep goes further: real and imaginary parts, less than zero for less far.
    pub(super) const fn further(&self) -> [f64; 2] {
        self.further
    }

    /// Takes note of a sweep: its largest change before relaxation, in volts, and how its steps compare with the last.
    pub(super) fn see(&mut self, change: f64, products: &Products) -> Progress {
        let (first, before) = (self.sweeps == 0, self.change);
        self.sweeps += 1;
        self.change = change;
        if !first {
            self.rate = self.rate.max(change / before);
            self.relax(products);
        }
        // Steps that shrink alike come to change · r / (1 − r) from here on.
        // They leave little enough only where they shrink: then alone 1 − r is above zero.
        let leaves_little = !first && change * self.rate <= self.volts * (1.0 - self.rate);
        if change <= self.volts || leaves_little {
            Progress::Settled
        } else if !change.is_finite() || (self.sweeps > 2 && change > SHRINKS * before) {
            Progress::Slow
        } else {
            Progress::Further
        }
    }

    /// Chooses how far the next sweep goes.
    fn relax(&mut self, products: &Products) {
        for (k, (further, before)) in self.further.iter_mut().zip(&mut self.before).enumerate() {
            // Where a sweep went further by f, the step after it is r − f·(1 − r) of its own, in place of r.
            let left = products.with_last[k] / products.last[k];
            let ratio = (left + *before) / (1.0 + *before);
            *before = *further;
            *further = if ratio.abs() <= RELAXED { ratio / (1.0 - ratio) } else { 0.0 };
            // Steps of nothing have no ratio.
            if ratio.is_finite() {
                self.rate = self.rate.max(ratio.abs().min(SHRINKS));
            }
        }
    }
}

/// Some of the voltages, which tell how all of them move.
#[derive(Clone, Debug, Default)]
pub(super) struct Sample<const D: usize> {
    /// Before the sweep.
    before: Vec<[Complex; D]>,
    /// The steps of the last sweep.
    steps: Vec<[Complex; D]>,
}

/// The positions that are in a sample.
pub(super) fn sampled(count: usize) -> impl Iterator<Item = usize> {
    (0..count).rev().step_by(STRIDE)
}

impl<const D: usize> Sample<D> {
    /// Forgets what was before the first sweep.
    pub(super) fn start(&mut self, count: usize) {
        self.steps.clear();
        self.steps.resize(count.div_ceil(STRIDE), zero());
    }

    /// Takes note of voltages before a sweep.
    pub(super) fn before(&mut self, v: &[[Complex; D]]) {
        self.before.clear();
        self.before.extend(sampled(v.len()).map(|at| v[at]));
    }

    /// Compares the steps of a sweep that went further by so much with those of the last, and keeps them.
    pub(super) fn after(&mut self, v: &[[Complex; D]], further: [f64; 2]) -> Products {
        let mut products = Products::default();
        let [re, im] = further.map(|further| 1.0 / (1.0 + further));
        for ((at, before), steps) in sampled(v.len()).zip(&self.before).zip(&mut self.steps) {
            for ((v, before), last) in v[at].iter().zip(before).zip(steps) {
                let moved = v - before;
                let step = Complex::new(moved.re * re, moved.im * im);
                products.add(*last, step);
                *last = step;
            }
        }
        products
    }
}

impl Products {
    /// Adds a step and the one before.
    #[inline]
    pub(super) fn add(&mut self, last: Complex, step: Complex) {
        self.with_last[0] += last.re * step.re;
        self.with_last[1] += last.im * step.im;
        self.last[0] += last.re * last.re;
        self.last[1] += last.im * last.im;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const NONE: Products = Products { with_last: [0.0; 2], last: [0.0; 2] };

    #[test]
    fn steps_that_shrink_alike_settle_by_what_they_leave() {
        // Left after a step of c with ratio r: c·r/(1 − r). 0.01 and 0.1: 1/900.
        let mut pace = Pace::new(1.2e-3);
        assert_eq!(pace.see(0.1, &NONE), Progress::Further);
        assert_eq!(pace.see(0.01, &NONE), Progress::Settled);
        let mut strict = Pace::new(1.1e-3);
        assert_eq!(strict.see(0.1, &NONE), Progress::Further);
        assert_eq!(strict.see(0.01, &NONE), Progress::Further);
    }

    #[test]
    fn the_slowest_pair_of_steps_counts() {
        let mut pace = Pace::new(1e-4);
        for change in [1.0, 0.4, 0.001] {
            assert_eq!(pace.see(change, &NONE), Progress::Further, "{change}");
        }
        // 1.4e-4 · 0.4 / 0.6 is little enough; 0.001 · 0.4 / 0.6 was not, though it was 0.0025 of the step before.
        assert_eq!(pace.see(1.4e-4, &NONE), Progress::Settled);
    }

    #[test]
    fn one_small_step_settles_and_one_alone_says_nothing_of_the_next() {
        assert_eq!(Pace::new(1e-3).see(1e-3, &NONE), Progress::Settled);
        assert_eq!(Pace::new(1e-3).see(1.1e-3, &NONE), Progress::Further);
    }

    #[test]
    fn steps_that_do_not_halve_are_given_up_from_the_third_on() {
        let mut pace = Pace::new(1e-9);
        for change in [1.0, 0.9] {
            assert_eq!(pace.see(change, &NONE), Progress::Further, "{change}");
        }
        assert_eq!(pace.see(0.46, &NONE), Progress::Slow);
        let mut halving = Pace::new(1e-9);
        for change in [1.0, 0.9, 0.45] {
            assert_eq!(halving.see(change, &NONE), Progress::Further, "{change}");
        }
        assert_eq!(Pace::new(1e-9).see(f64::NAN, &NONE), Progress::Slow);
    }

    #[test]
    fn the_next_sweep_goes_as_far_as_all_further_steps() {
        // Real parts 1, 0.1, 0.01 …: 0.1 is to become 0.1 + 0.01 + … = 1/9, by 1/9 more. Imaginary ones 1, −0.1, 0.01 …:
        // by 1/11 less.
        let mut pace = Pace::new(1e-9);
        pace.see(1.0, &NONE);
        pace.see(0.1, &Products { with_last: [0.1, -0.1], last: [1.0, 1.0] });
        let [re, im] = pace.further();
        assert!((re - 1.0 / 9.0).abs() < 1e-15 && (im + 1.0 / 11.0).abs() < 1e-15, "{re} {im}");
        // The third step, 0.1 of the second, is gone along by 10/9 and 10/11: nothing of it is left for the fourth. From
        // either, the ratio is what it was.
        for with_last in [[0.1, -0.1], [0.0, 0.0]] {
            pace.see(0.01, &Products { with_last, last: [1.0, 1.0] });
            let [re, im] = pace.further();
            assert!((re - 1.0 / 9.0).abs() < 1e-15 && (im + 1.0 / 11.0).abs() < 1e-15, "{re} {im}");
        }
    }

    /// 0.3 and −0.2 V after steps of 3 V and 4 V: a tenth and a twentieth.
    #[test]
    fn a_ratio_is_that_of_steps_of_any_size() {
        let mut pace = Pace::new(1e-9);
        pace.see(4.0, &NONE);
        pace.see(0.3, &Products { with_last: [0.3 * 3.0, -0.2 * 4.0], last: [9.0, 16.0] });
        let [re, im] = pace.further();
        assert!((re - 1.0 / 9.0).abs() < 1e-15 && (im + 1.0 / 21.0).abs() < 1e-15, "{re} {im}");
    }

    #[test]
    fn steps_that_shrink_too_little_or_are_none_leave_the_next_sweep_as_it_is() {
        for (with_last, last) in [(0.21, 1.0), (-0.21, 1.0), (0.0, 0.0), (f64::NAN, 1.0)] {
            let mut pace = Pace::new(1e-9);
            pace.see(1.0, &NONE);
            pace.see(0.1, &Products { with_last: [with_last; 2], last: [last; 2] });
            assert_eq!(pace.further(), [0.0; 2], "{with_last} {last}");
        }
    }

    #[test]
    fn a_sample_compares_steps_without_their_relaxation() {
        let volts = |x: f64, y: f64| vec![[Complex::new(x, y)]; 20];
        let mut sample = Sample::default();
        sample.start(20);
        sample.before(&volts(120.0, 0.0));
        assert_eq!(sample.after(&volts(119.0, 0.5), [0.0; 2]).last, [0.0; 2]);
        sample.before(&volts(119.0, 0.5));
        // Steps of 0.1 and −0.05, gone further by 0.5 and −0.5, at 3 of 20 places: 19, 11 and 3.
        let products = sample.after(&volts(119.15, 0.475), [0.5, -0.5]);
        let near = |a: [f64; 2], b: [f64; 2]| a.iter().zip(b).all(|(a, b)| (a - b).abs() < 1e-12);
        assert!(near(products.last, [3.0, 0.75]) && near(products.with_last, [-0.3, -0.075]), "{products:?}");
        assert_eq!(sampled(20).collect::<Vec<_>>(), [19, 11, 3]);
    }
}
