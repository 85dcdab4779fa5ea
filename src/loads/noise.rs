//! Sound of a set at a distance in the open, and of several together.

use crate::installation::Part;

/// Sound pressure level at another distance: L2 = L1 − 20 log10(r2/r1), a point source in the open (textbook physics); six
/// decibels less for each doubling. Levels in dB(A), distances in metres, above 0.
#[must_use]
pub fn at_distance(level_db: f64, stated_m: f64, at_m: f64) -> f64 {
    level_db - 20.0 * (at_m / stated_m).log10()
}

/// Several sources together, by energy: L = 10 log10(Σ 10^(Li/10)). `None` for none.
#[must_use]
pub fn together(levels_db: &[f64]) -> Option<f64> {
    let energy: f64 = levels_db.iter().map(|level| 10f64.powf(level / 10.0)).sum();
    (energy > 0.0).then(|| 10.0 * energy.log10())
}

/// The level of a set at a distance in dB(A); `None` where its level or the distance at which that holds is not known.
#[must_use]
pub fn level(part: &Part, at_m: f64) -> Option<f64> {
    Some(at_distance(part.set_data.noise_db?, part.set_data.noise_m?, at_m))
}

/// Several sets together at a distance from all; `None` where one is not known.
#[must_use]
pub fn all_together<'a>(sets: impl Iterator<Item = &'a Part>, at_m: f64) -> Option<f64> {
    let levels: Option<Vec<f64>> = sets.map(|part| level(part, at_m)).collect();
    together(&levels?)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tables;

    #[test]
    fn the_published_steps() {
        let published = |q: &str| tables::get().noise(q).unwrap().value;
        assert!((at_distance(60.0, 7.0, 14.0) - 60.0 - published("per_doubling")).abs() < 0.01);
        assert!((at_distance(60.0, 7.0, 1.0) - 60.0 - published("7m_to_1m")).abs() < 0.01);
        assert!((at_distance(60.0, 7.0, 15.24) - 60.0 - published("7m_to_50ft")).abs() < 0.01);
        assert!((together(&[60.0, 60.0]).unwrap() - 60.0 - published("two_equal_sources")).abs() < 0.01);
        assert!((together(&[60.0, 50.0]).unwrap() - 60.414).abs() < 0.001);
        assert_eq!(together(&[]), None);
    }

    /// Six decibels less at twice the distance, three more for two alike.
    #[test]
    fn sets_together_are_known_only_where_each_is() {
        let set = |noise_db, noise_m| {
            let place = crate::installation::Place::At(crate::installation::Point::default());
            let mut part = Part::new(crate::installation::PartKind::Generator, "G1", place);
            (part.set_data.noise_db, part.set_data.noise_m) = (noise_db, noise_m);
            part
        };
        let (known, open) = (set(Some(60.0), Some(7.0)), set(Some(60.0), None));
        let two = all_together([&known, &known].into_iter(), 14.0);
        let by_hand = 60.0 - 20.0 * 2_f64.log10() + 10.0 * 2_f64.log10();
        assert!(two.is_some_and(|db| (db - by_hand).abs() < 1e-9), "{two:?}");
        assert_eq!(all_together([&known, &open].into_iter(), 14.0), None);
        assert_eq!(all_together([].into_iter(), 14.0), None);
    }
}
