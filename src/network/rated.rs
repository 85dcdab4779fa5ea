//! A source's load beside its rating, in the unit that the rating is stated in.

use super::SourceFlow;
use crate::installation::{Part, PartKind, System};
use crate::units;

/// What a source delivers beside what it is rated for: amperes at a shore inlet, which is rated in them; else watts.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Rated {
    /// What it delivers: amperes of the larger line, or watts. `None` where it is not known.
    pub now: Option<f64>,
    /// Its continuous rating in the same unit.
    pub rating: Option<f64>,
    /// True where both are amperes.
    pub in_amps: bool,
}

impl Rated {
    /// The load of a source; `flow` is `None` where it does not feed.
    #[must_use]
    pub fn of(part: &Part, system: System, flow: Option<&SourceFlow>) -> Self {
        let in_amps = part.kind == PartKind::ShoreInlet && part.rating_a.is_some();
        let now = flow.and_then(|f| if in_amps { f.amps } else { f.watts });
        Self { now, rating: if in_amps { part.rating_a } else { part.run_w(system) }, in_amps }
    }

    /// A current beside its rating.
    #[must_use]
    pub const fn amps(now: Option<f64>, rating: Option<f64>) -> Self {
        Self { now, rating, in_amps: true }
    }

    /// What is left of the rating; below zero where it is exceeded.
    #[must_use]
    pub fn reserve(&self) -> Option<f64> {
        self.rating.zip(self.now).map(|(rating, now)| rating - now)
    }

    /// The share of the rating, 1 at the rating. `None` without a rating above zero.
    #[must_use]
    pub fn share(&self) -> Option<f64> {
        let rating = self.rating.filter(|r| *r > 0.0)?;
        self.now.map(|now| now / rating)
    }

    /// The load in per cent of the rating.
    #[must_use]
    pub fn percent(&self) -> Option<f64> {
        self.share().map(|share| 100.0 * share)
    }

    /// How a figure in this unit is written.
    #[must_use]
    pub fn unit(&self) -> fn(f64) -> String {
        if self.in_amps { units::amps } else { units::watts }
    }
}

#[cfg(test)]
mod tests {
    use super::super::solve;
    use super::*;
    use crate::store::list::boat;

    /// By hand: 1,500 W at 0.8 and 120 V are 15.625 A, 52 % of 30 A, where 1,500 W are 42 % of 3,600 W.
    #[test]
    fn a_shore_inlet_is_loaded_by_amperes_and_a_generator_by_watts() {
        let of = |source: &str| {
            let drawn = boat(&format!(
                "# system: 120V60Hz\ntag,kind,fed_from,rating_a,run_w,pf,conductor\n{source}\nE1,appliance,S1,,1500,0.8,none\n"
            ));
            let solution = solve(&drawn, 0);
            let id = drawn.part_by_tag("S1").expect("is drawn");
            Rated::of(&drawn.parts[&id], drawn.system, solution.sources.get(&id))
        };
        let inlet = of("S1,shore-inlet,,30,,,");
        assert!(inlet.in_amps);
        assert!((inlet.now.expect("solved") - 15.625).abs() < 1e-6, "{inlet:?}");
        assert!((inlet.percent().expect("rated") - 15.625 / 0.3).abs() < 1e-5, "{inlet:?}");
        assert!((inlet.reserve().expect("rated") - 14.375).abs() < 1e-6, "{inlet:?}");
        let set = of("S1,generator,,,3000,,");
        assert!(!set.in_amps);
        assert!((set.percent().expect("rated") - 50.0).abs() < 1e-6, "{set:?}");
        // Without its amperes an inlet has whatever watts are stated, and no rating at all without them.
        let unrated = of("S1,shore-inlet,,,,,");
        assert_eq!((unrated.rating, unrated.reserve(), unrated.percent()), (None, None, None));
    }
}
