//! Rectangles in the complex plane: a phasor of which only the least and the most of either part is known.

use crate::units::Complex;

/// The least and the most that a figure can be.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Span {
    /// Least.
    pub least: f64,
    /// Most.
    pub most: f64,
}

/// A phasor between two corners: a rectangle in the complex plane, in the unit of the phasor.
#[derive(Clone, Copy, Debug, Default)]
pub struct PhasorRange {
    /// Least and most of the real part.
    pub re: [f64; 2],
    /// Least and most of the imaginary part.
    pub im: [f64; 2],
}

impl PhasorRange {
    pub(super) const ZERO: Self = Self { re: [0.0; 2], im: [0.0; 2] };

    /// One phasor.
    #[must_use]
    pub const fn point(c: Complex) -> Self {
        Self { re: [c.re; 2], im: [c.im; 2] }
    }

    pub(super) fn square(half: f64) -> Self {
        Self { re: [-half, half], im: [-half, half] }
    }

    /// The sum of any phasor of one and any of the other.
    #[must_use]
    #[inline]
    pub fn plus(&self, other: &Self) -> Self {
        Self {
            re: [self.re[0] + other.re[0], self.re[1] + other.re[1]],
            im: [self.im[0] + other.im[0], self.im[1] + other.im[1]],
        }
    }

    pub(super) fn minus(&self, other: &Self) -> Self {
        Self {
            re: [self.re[0] - other.re[1], self.re[1] - other.re[0]],
            im: [self.im[0] - other.im[1], self.im[1] - other.im[0]],
        }
    }

    /// Times a number.
    #[must_use]
    pub fn scaled(&self, by: f64) -> Self {
        Self { re: scale(self.re, by), im: scale(self.im, by) }
    }

    /// Times a phasor.
    #[must_use]
    pub fn times(&self, c: Complex) -> Self {
        let (a, b) = (scale(self.re, c.re), scale(self.im, -c.im));
        let (d, e) = (scale(self.re, c.im), scale(self.im, c.re));
        Self { re: [a[0] + b[0], a[1] + b[1]], im: [d[0] + e[0], d[1] + e[1]] }
    }

    /// What both hold; where rounding leaves nothing, the nearer edge of `self`.
    pub(super) fn meet(&self, other: &Self) -> Self {
        Self { re: meet(self.re, other.re), im: meet(self.im, other.im) }
    }

    /// From nothing to all of it.
    #[must_use]
    #[inline]
    pub fn with_zero(&self) -> Self {
        Self { re: [self.re[0].min(0.0), self.re[1].max(0.0)], im: [self.im[0].min(0.0), self.im[1].max(0.0)] }
    }

    /// Ends less the other's ends, so that adding it to a sum that holds the other puts this in the other's place.
    #[must_use]
    pub fn minus_ends(&self, other: &Self) -> Self {
        let less = |a: [f64; 2], b: [f64; 2]| [a[0] - b[0], a[1] - b[1]];
        Self { re: less(self.re, other.re), im: less(self.im, other.im) }
    }

    /// The least magnitude.
    #[must_use]
    #[inline]
    pub fn least(&self) -> f64 {
        nearest(self.re).hypot(nearest(self.im))
    }

    /// The largest magnitude.
    #[must_use]
    #[inline]
    pub fn most(&self) -> f64 {
        furthest(self.re).hypot(furthest(self.im))
    }

    pub(super) fn magnitude(&self) -> Span {
        Span { least: self.least(), most: self.most() }
    }

    /// 1 / conj(u) for a voltage of this rectangle that is at least `least` in magnitude.
    pub(super) fn reciprocal_of_conjugate(&self, least: f64) -> Self {
        if self.re[1] <= 0.0 && self.re[0] < 0.0 {
            return self.scaled(-1.0).reciprocal_of_conjugate(least).scaled(-1.0);
        }
        let [b0, b1] = self.im;
        let far = furthest(self.im);
        let near = nearest(self.im);
        let a0 = self.re[0].max((least * least - far * far).max(0.0).sqrt());
        let a1 = self.re[1].max(a0);
        // a / (a² + b²) falls with a, and b / (a² + b²) rises with b, where a > |b|.
        if a0 <= far || a0 <= 0.0 {
            return Self::square(1.0 / least);
        }
        let real = |a: f64, b: f64| a / (a * a + b * b);
        let imaginary = |a: f64, b: f64| b / (a * a + b * b);
        Self {
            re: [real(a1, far), real(a0, near)],
            im: [
                if b0 <= 0.0 { imaginary(a0, b0) } else { imaginary(a1, b0) },
                if b1 >= 0.0 { imaginary(a0, b1) } else { imaginary(a1, b1) },
            ],
        }
    }

    /// Times any phasor of another rectangle.
    pub(super) fn times_any(&self, other: &Self) -> Self {
        let (a, b) = (product(self.re, other.re), product(self.im, other.im));
        let (c, d) = (product(self.re, other.im), product(self.im, other.re));
        Self { re: [a[0] - b[1], a[1] - b[0]], im: [c[0] + d[0], c[1] + d[1]] }
    }

    /// Times any factor of a span.
    pub(super) fn times_span(&self, by: [f64; 2]) -> Self {
        Self { re: product(self.re, by), im: product(self.im, by) }
    }

    /// The smallest rectangle around both.
    pub(super) fn hull(&self, other: &Self) -> Self {
        let join = |a: [f64; 2], b: [f64; 2]| [a[0].min(b[0]), a[1].max(b[1])];
        Self { re: join(self.re, other.re), im: join(self.im, other.im) }
    }

    /// True where all of the other lies within.
    pub(super) fn holds(&self, other: &Self) -> bool {
        let within = |a: [f64; 2], b: [f64; 2]| a[0] <= b[0] && b[1] <= a[1];
        within(self.re, other.re) && within(self.im, other.im)
    }

    /// What conj(self)·other has for a real part.
    pub(super) fn dot(&self, other: &Self) -> [f64; 2] {
        let (a, b) = (product(self.re, other.re), product(self.im, other.im));
        [a[0] + b[0], a[1] + b[1]]
    }

    /// The squared magnitude.
    pub(super) fn norm_sqr(&self) -> [f64; 2] {
        let span = self.magnitude();
        [span.least * span.least, span.most * span.most]
    }

    pub(super) fn width(&self) -> f64 {
        (self.re[1] - self.re[0]) + (self.im[1] - self.im[0])
    }
}

pub(super) fn scale(span: [f64; 2], by: f64) -> [f64; 2] {
    let (a, b) = (span[0] * by, span[1] * by);
    if a <= b { [a, b] } else { [b, a] }
}

fn meet(a: [f64; 2], b: [f64; 2]) -> [f64; 2] {
    let (low, high) = (a[0].max(b[0]), a[1].min(b[1]));
    if low <= high { [low, high] } else { [low.min(a[1]), low.min(a[1])] }
}

pub(super) fn nearest(span: [f64; 2]) -> f64 {
    if span[0] <= 0.0 && span[1] >= 0.0 { 0.0 } else { span[0].abs().min(span[1].abs()) }
}

pub(super) fn furthest(span: [f64; 2]) -> f64 {
    span[0].abs().max(span[1].abs())
}

/// A number of one span times one of another.
pub(super) fn product(a: [f64; 2], b: [f64; 2]) -> [f64; 2] {
    let all = [a[0] * b[0], a[0] * b[1], a[1] * b[0], a[1] * b[1]];
    all.iter().fold([f64::INFINITY, f64::NEG_INFINITY], |[low, high], &x| [low.min(x), high.max(x)])
}

#[cfg(test)]
mod tests;
