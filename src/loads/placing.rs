//! Whether a set fits a tray or compartment, with its clearances for air and exhaust, and by how much.
//!
//! Only lengths are compared. That a set fits says nothing about running it there: a portable petrol set runs ashore, never
//! aboard and never in a closed space.

use crate::installation::{BoxSize, Part, SetData, Tray, Turns};
use crate::units::{below, trimmed};

/// What must be said beside every answer about a place.
pub const ASHORE: &str = "That a set fits says nothing about running it there. A portable petrol set runs ashore, downwind and \
    away from openings, never aboard and never in a closed space.";

/// Which side of the set lies along the tray's length, width and height.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Turn([usize; 3]);

impl Turn {
    /// Upright, not turned; upright, turned by a right angle; then the four that lie on another side.
    const ALL: [Self; 6] =
        [Self([0, 1, 2]), Self([1, 0, 2]), Self([0, 2, 1]), Self([2, 0, 1]), Self([1, 2, 0]), Self([2, 1, 0])];

    /// In words.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self.0 {
            [0, 1, 2] => "upright, lengthwise",
            [1, 0, 2] => "upright, crosswise",
            [0, 2, 1] => "lying on its side, lengthwise",
            [2, 0, 1] => "lying on its side, crosswise",
            [1, 2, 0] => "standing on its end, width lengthwise",
            _ => "standing on its end, height lengthwise",
        }
    }
}

/// A set in a tray in one turn.
#[derive(Clone, Debug, PartialEq)]
pub struct Fit {
    /// How it is turned.
    pub turn: Turn,
    /// Room to spare in millimetres along the tray's length, width and height, below 0 where it is short; `None` above an
    /// open tray. Along length and width the half of it lies on each side.
    pub spare_mm: [Option<f64>; 3],
    /// Whether it fits; `None` where it does without clearances, and these are not known.
    pub fits: Option<bool>,
}

impl Fit {
    /// The least room to spare.
    #[must_use]
    pub fn least(&self) -> f64 {
        self.spare_mm.iter().flatten().copied().fold(f64::INFINITY, f64::min)
    }
}

impl Fit {
    /// The room in words: `10 mm to spare on each side along`, `short by 312 mm along`.
    #[must_use]
    pub fn words(&self) -> String {
        let mut words = Vec::new();
        for (spare, axis) in self.spare_mm.iter().zip(["along", "across", "above"]) {
            words.push(match *spare {
                None => "open above".to_owned(),
                Some(mm) if below(mm, 0.0) => format!("short by {} mm {axis}", trimmed(-mm, 0)),
                Some(mm) if axis == "above" => format!("{} mm to spare above", trimmed(mm, 0)),
                Some(mm) => format!("{} mm to spare on each side {axis}", trimmed(mm / 2.0, 1)),
            });
        }
        words.join(", ")
    }

    /// Whether it fits, in a word or two.
    #[must_use]
    pub const fn verdict(&self) -> &'static str {
        match self.fits {
            Some(true) => "fits",
            Some(false) => "does not fit",
            None => "not known: clearances are not stated",
        }
    }
}

/// What the set needs along the tray's length, width and height in a turn: the exhaust leaves at one end of its length, air
/// comes at every other side and above; below it stands.
fn needed(size: BoxSize, turn: Turn, air: f64, exhaust: f64) -> [f64; 3] {
    let sides = size.sides();
    [0, 1, 2].map(|axis| {
        let side = turn.0[axis];
        let gaps = match (side == 0, axis == 2) {
            (true, true) => exhaust,
            (true, false) => air + exhaust,
            (false, true) => air,
            (false, false) => 2.0 * air,
        };
        sides[side] + gaps
    })
}

fn fit(data: &SetData, size: BoxSize, tray: &Tray, turn: Turn) -> Fit {
    let known = data.air_gap_mm.is_some() && data.exhaust_gap_mm.is_some();
    let needed = needed(size, turn, data.air_gap_mm.unwrap_or(0.0), data.exhaust_gap_mm.unwrap_or(0.0));
    let inner = tray.inner.sides();
    let spare_mm =
        [0, 1, 2].map(|axis| if axis == 2 && tray.open_above { None } else { Some(inner[axis] - needed[axis]) });
    let short = spare_mm.iter().flatten().any(|spare| below(*spare, 0.0));
    Fit { turn, spare_mm, fits: if short { Some(false) } else { known.then_some(true) } }
}

/// The set in the tray in every turn that is allowed, the one with most room first. `None` where its size is not known.
#[must_use]
pub fn placing(part: &Part, tray: &Tray) -> Option<Vec<Fit>> {
    let data = &part.set_data;
    let size = data.size?;
    let turns = if data.turns == Turns::Any { &Turn::ALL[..] } else { &Turn::ALL[..2] };
    let mut fits: Vec<Fit> = turns.iter().map(|turn| fit(data, size, tray, *turn)).collect();
    fits.sort_by(|a, b| b.least().total_cmp(&a.least()));
    Some(fits)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::installation::{PartKind, Place, Point};

    fn set(turns: Turns, gaps: Option<(f64, f64)>) -> Part {
        let mut part = Part::new(PartKind::Generator, "G1", Place::At(Point::default()));
        part.set_data.size = BoxSize::parse("512x290x425");
        part.set_data.turns = turns;
        part.set_data.air_gap_mm = gaps.map(|g| g.0);
        part.set_data.exhaust_gap_mm = gaps.map(|g| g.1);
        part
    }

    fn tray(inner: &str, open_above: bool) -> Tray {
        Tray { name: "Lazarette tray".to_owned(), inner: BoxSize::parse(inner).unwrap(), open_above }
    }

    /// By hand: 512 + 50 + 150 = 712 along, 290 + 2 × 50 = 390 across, 425 + 50 = 475 up.
    #[test]
    fn margins_by_hand_in_the_better_turn() {
        let found = placing(&set(Turns::Upright, Some((50.0, 150.0))), &tray("400x720x500", false)).unwrap();
        assert_eq!(found.len(), 2);
        assert_eq!(found[0].turn.words(), "upright, crosswise");
        assert_eq!(found[0].spare_mm, [Some(10.0), Some(8.0), Some(25.0)]);
        assert_eq!((found[0].fits, found[1].fits), (Some(true), Some(false)));
        assert_eq!(found[1].spare_mm, [Some(-312.0), Some(330.0), Some(25.0)]);
    }

    #[test]
    fn unknown_clearances_leave_a_fit_open_and_a_misfit_standing() {
        let bare = set(Turns::Upright, None);
        assert_eq!(placing(&bare, &tray("600x400x500", false)).unwrap()[0].fits, None);
        assert_eq!(placing(&bare, &tray("500x400x500", false)).unwrap()[0].fits, Some(false));
        assert_eq!(placing(&Part::new(PartKind::Generator, "G1", bare.place), &tray("600x400x500", false)), None);
    }

    #[test]
    fn an_open_tray_has_no_height_and_lying_down_is_only_for_what_may() {
        let gaps = Some((0.0, 0.0));
        let low = tray("520x430x300", false);
        assert_eq!(placing(&set(Turns::Upright, gaps), &low).unwrap()[0].fits, Some(false));
        let lying = placing(&set(Turns::Any, gaps), &low).unwrap();
        assert_eq!(
            (lying.len(), lying[0].fits, lying[0].turn.words()),
            (6, Some(true), "lying on its side, lengthwise")
        );
        let open = placing(&set(Turns::Upright, gaps), &tray("520x430x300", true)).unwrap();
        assert_eq!((open[0].fits, open[0].spare_mm[2]), (Some(true), None));
    }

    #[test]
    fn every_turn_has_words_of_its_own() {
        let words: Vec<&str> = Turn::ALL.iter().map(|turn| turn.words()).collect();
        assert_eq!(
            words,
            [
                "upright, lengthwise",
                "upright, crosswise",
                "lying on its side, lengthwise",
                "lying on its side, crosswise",
                "standing on its end, width lengthwise",
                "standing on its end, height lengthwise",
            ]
        );
    }

    #[test]
    fn room_is_said_for_both_sides_and_once_above() {
        let fit = |spare_mm| Fit { turn: Turn::ALL[0], spare_mm, fits: None };
        assert_eq!(
            fit([Some(-312.0), Some(25.0), Some(40.0)]).words(),
            "short by 312 mm along, 12.5 mm to spare on each side across, 40 mm to spare above"
        );
        assert_eq!(
            fit([Some(0.0), Some(-1.0), None]).words(),
            "0 mm to spare on each side along, short by 1 mm across, open above"
        );
        assert_eq!(fit([Some(20.0), Some(20.0), Some(-5.0)]).words().split(", ").last(), Some("short by 5 mm above"));
    }

    #[test]
    fn one_of_the_two_clearances_leaves_a_fit_open() {
        for (air, exhaust, fits) in
            [(Some(0.0), None, None), (None, Some(0.0), None), (Some(0.0), Some(0.0), Some(true))]
        {
            let mut part = set(Turns::Upright, None);
            (part.set_data.air_gap_mm, part.set_data.exhaust_gap_mm) = (air, exhaust);
            assert_eq!(placing(&part, &tray("600x400x500", false)).unwrap()[0].fits, fits, "{air:?} {exhaust:?}");
        }
    }
}
