//! How the plain sweeps of one solve come along: when they have settled, when they are given up, and when they skip ahead.
//!
//! Each step is nearly the last one times a number, often a negative one: with loads of constant power, an error at right
//! angles to the voltage turns over in each sweep. Where two steps are compared, that number is known, and what all further
//! steps of that kind would add is added at once (Aitken's Δ² process, here with one ratio for the whole network).

/// Plain sweeps before linearised ones take over.
pub(super) const PLAIN_SWEEPS: u32 = 40;
/// Plain sweeps whose steps do not shrink to this share give up.
const SHRINKS: f64 = 0.5;

/// What a sweep does with its steps.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Step {
    /// Takes them.
    Plain,
    /// Takes them and keeps them.
    Keep,
    /// Takes them, compares them with those that were kept, and keeps them in their place.
    Compare,
}

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

/// The plain sweeps of one solve so far.
#[derive(Clone, Copy, Debug)]
pub(super) struct Pace {
    /// Volts that may be left.
    volts: f64,
    sweeps: u32,
    /// The largest change of the last sweep, volts.
    change: f64,
    /// The largest share that a step had of the one before.
    rate: f64,
    /// The last sweep kept its steps.
    kept: bool,
    /// The last sweep was followed by a skip: its step and the next one do not compare.
    skipped: bool,
}

impl Pace {
    /// Before the first sweep.
    pub(super) const fn new(volts: f64) -> Self {
        Self { volts, sweeps: 0, change: f64::INFINITY, rate: 0.0, kept: false, skipped: false }
    }

    /// Sweeps so far.
    pub(super) const fn sweeps(&self) -> u32 {
        self.sweeps
    }

    /// What the next sweep does with its steps. The first steps are of all kinds; pairs of later ones compare.
    pub(super) fn step(&self) -> Step {
        match (self.sweeps, self.kept) {
            (0 | 1, _) => Step::Plain,
            (_, true) => Step::Compare,
            (_, false) if self.is_far(2) => Step::Keep,
            (_, false) => Step::Plain,
        }
    }

    /// Takes note of a sweep by its largest change.
    #[inline]
    pub(super) fn see(&mut self, step: Step, change: f64) -> Progress {
        let shrinks = change <= SHRINKS * self.change || self.skipped;
        if self.sweeps > 0 && !self.skipped {
            self.rate = self.rate.max(change / self.change);
        }
        let first = self.sweeps == 0;
        self.sweeps += 1;
        self.change = change;
        self.kept = step == Step::Keep;
        self.skipped = false;
        if change <= self.volts || (!first && shrinks && !self.is_far(0)) {
            Progress::Settled
        } else if !change.is_finite() || (self.sweeps > 2 && !shrinks) {
            Progress::Slow
        } else {
            Progress::Further
        }
    }

    /// True where more would be left than may be, after so many further sweeps that shrink as the slowest did: all the
    /// steps that then follow come to change · r / (1 − r).
    fn is_far(&self, sweeps: i32) -> bool {
        let left = self.change * self.rate.powi(sweeps + 1) / (1.0 - self.rate);
        !(self.rate < 1.0 && left <= self.volts)
    }

    /// By how many times the compared step all voltages are to be moved on; zero for not at all. `product` is that of the
    /// step with the kept one, `square` that of the kept one with itself, each summed over all voltages.
    pub(super) fn skip(&mut self, product: f64, square: f64) -> f64 {
        let ratio = product / square;
        // Else the next sweep settles it, or the steps are too unlike.
        self.skipped = self.is_far(1) && ratio.abs() <= SHRINKS;
        if self.skipped { ratio / (1.0 - ratio) } else { 0.0 }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn steps_that_shrink_alike_settle_by_what_they_leave() {
        // Left after a step of c with ratio r: c·r/(1 − r). 0.01 and 0.1: 1/900.
        let mut pace = Pace::new(1.2e-3);
        assert_eq!(pace.see(Step::Plain, 0.1), Progress::Further);
        assert_eq!(pace.see(Step::Plain, 0.01), Progress::Settled);
        let mut strict = Pace::new(1.1e-3);
        assert_eq!(strict.see(Step::Plain, 0.1), Progress::Further);
        assert_eq!(strict.see(Step::Plain, 0.01), Progress::Further);
    }

    #[test]
    fn the_slowest_pair_of_steps_counts() {
        let mut pace = Pace::new(1e-4);
        for change in [1.0, 0.4, 0.001] {
            assert_eq!(pace.see(Step::Plain, change), Progress::Further, "{change}");
        }
        // 0.001 · 0.4 / 0.6 is too much; 0.001 · (0.001 / 0.4) is not what the next steps come to.
        assert_eq!(pace.see(Step::Plain, 1.4e-4), Progress::Settled);
    }

    #[test]
    fn steps_that_do_not_halve_are_given_up_from_the_third_on() {
        let mut pace = Pace::new(1e-9);
        for change in [1.0, 0.9] {
            assert_eq!(pace.see(Step::Plain, change), Progress::Further, "{change}");
        }
        assert_eq!(pace.see(Step::Plain, 0.8), Progress::Slow);
        assert_eq!(Pace::new(1e-9).see(Step::Plain, f64::NAN), Progress::Slow);
    }

    #[test]
    fn steps_are_kept_from_the_third_on_while_there_is_far_to_go() {
        let mut pace = Pace::new(1e-9);
        let mut steps = Vec::new();
        for change in [1.0, 0.1, 0.01, 0.001] {
            let step = pace.step();
            steps.push(step);
            assert_eq!(pace.see(step, change), Progress::Further);
        }
        assert_eq!(steps, [Step::Plain, Step::Plain, Step::Keep, Step::Compare]);
        let mut near = Pace::new(1e-3);
        for change in [1.0, 0.1] {
            near.see(Step::Plain, change);
        }
        // 0.1 · 0.1³ / 0.9 is not far.
        assert_eq!(near.step(), Step::Plain);
    }

    #[test]
    fn a_skip_is_what_all_further_steps_come_to() {
        // Steps of 0.01, −0.001, +0.0001 …: after −0.001, −0.001 · r / (1 − r) with r = −0.1.
        let mut pace = Pace::new(1e-9);
        for change in [1.0, 0.1, 0.01, 0.001] {
            let step = pace.step();
            pace.see(step, change);
        }
        let by = pace.skip(0.01 * -0.001, 0.01 * 0.01);
        assert!((by - -0.1 / 1.1).abs() < 1e-15, "{by}");
        // What follows a skip is not compared with what was before it.
        assert_eq!(pace.see(Step::Plain, 0.000_9), Progress::Further);
    }

    #[test]
    fn steps_that_are_too_unlike_do_not_skip() {
        for (product, square) in [(0.9, 1.0), (-0.6, 1.0), (0.0, 0.0), (f64::NAN, 1.0)] {
            let mut pace = Pace::new(1e-9);
            for change in [1.0, 0.1, 0.01, 0.001] {
                pace.see(Step::Plain, change);
            }
            assert_eq!(pace.skip(product, square), 0.0, "{product} {square}");
        }
    }
}
