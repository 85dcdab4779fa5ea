//! Rectangles against what many phasors of them give.

use super::PhasorRange;
use crate::units::Complex;

const STEPS: usize = 24;

fn all(of: &PhasorRange) -> impl Iterator<Item = Complex> + '_ {
    let at = |[low, high]: [f64; 2], n: usize| low + (high - low) * n as f64 / STEPS as f64;
    (0..=STEPS).flat_map(move |a| (0..=STEPS).map(move |b| Complex::new(at(of.re, a), at(of.im, b))))
}

fn around(of: impl Iterator<Item = Complex>) -> Option<PhasorRange> {
    of.map(PhasorRange::point).reduce(|a, b| a.hull(&b))
}

/// How far the first reaches beyond the second, on its four sides.
fn beyond(a: &PhasorRange, b: &PhasorRange) -> [f64; 4] {
    [b.re[0] - a.re[0], a.re[1] - b.re[1], b.im[0] - a.im[0], a.im[1] - b.im[1]]
}

#[test]
fn the_reciprocal_of_any_voltage_lies_within_and_touches_the_sides() {
    let range = |re, im| PhasorRange { re, im };
    for of in [
        range([100.0, 120.0], [-5.0, 8.0]),
        range([100.0, 120.0], [2.0, 8.0]),
        range([100.0, 120.0], [-8.0, -2.0]),
        range([100.0, 120.0], [0.0, 8.0]),
        range([100.0, 120.0], [-8.0, 0.0]),
        range([-120.0, -100.0], [-5.0, 8.0]),
        range([-120.0, -100.0], [2.0, 8.0]),
        range([110.0, 110.0], [3.0, 3.0]),
    ] {
        let found = of.reciprocal_of_conjugate(50.0);
        let exact = around(all(&of).map(|u| 1.0 / u.conj())).expect("has phasors");
        for (n, more) in beyond(&found, &exact).into_iter().enumerate() {
            assert!((-1e-12..1e-5).contains(&more), "{of:?}: side {n} {more}");
        }
    }
}

#[test]
fn the_least_voltage_cuts_the_rectangle() {
    let of = PhasorRange { re: [0.0, 120.0], im: [-10.0, 20.0] };
    let found = of.reciprocal_of_conjugate(100.0);
    let exact = around(all(&of).filter(|u| u.norm() >= 100.0).map(|u| 1.0 / u.conj())).expect("has phasors");
    for (n, more) in beyond(&found, &exact).into_iter().enumerate() {
        assert!((-1e-12..3e-4).contains(&more), "side {n} {more}");
    }
    // The real part is at most that of the least voltage, at the edge that the rectangle has there.
    assert!(found.re[1] <= 1.0 / (100.0_f64.powi(2) - 400.0).sqrt() + 1e-15);
}

#[test]
fn where_the_rectangle_is_too_wide_nothing_but_the_magnitude_is_known() {
    for of in [
        PhasorRange { re: [1.0, 120.0], im: [-100.0, 20.0] },
        PhasorRange { re: [0.0, 120.0], im: [0.0, 60.0] },
        PhasorRange { re: [50.0, 120.0], im: [0.0, 50.0] },
        PhasorRange { re: [-1.0, 0.5], im: [0.0, 0.0] },
    ] {
        let found = of.reciprocal_of_conjugate(50.0);
        let known = [[found.re, [-0.02, 0.02]], [found.im, [-0.02, 0.02]]];
        if of.re[0] < of.im[1].max(50.0) {
            assert!(known.iter().all(|[a, b]| (a[0] - b[0]).abs() < 1e-15 || a[1] <= b[1] + 1e-15), "{of:?} {found:?}");
        }
    }
    let wide = PhasorRange { re: [1.0, 120.0], im: [-100.0, 20.0] }.reciprocal_of_conjugate(50.0);
    assert_eq!((wide.re, wide.im), ([-0.02, 0.02], [-0.02, 0.02]));
    // At right angles to the source's.
    let across = PhasorRange { re: [0.0, 0.0], im: [50.0, 80.0] }.reciprocal_of_conjugate(50.0);
    assert_eq!((across.re, across.im), ([-0.02, 0.02], [-0.02, 0.02]));
}

#[test]
fn ends_are_taken_out_of_a_sum() {
    let a = PhasorRange { re: [1.0, 4.0], im: [-2.0, 3.0] };
    let b = PhasorRange { re: [0.5, 2.0], im: [-1.0, 5.0] };
    let back = a.plus(&b).minus_ends(&b);
    assert_eq!((back.re, back.im), (a.re, a.im));
    assert_eq!(a.width(), 8.0);
    let square = PhasorRange::square(3.0);
    assert_eq!((square.re, square.im), ([-3.0, 3.0], [-3.0, 3.0]));
}
