//! Counts of what runs together for thirty appliances that all differ, against a count by sums of whole watts.

use hullwire::installation::Installation;
use hullwire::loads::together::{EFFORT, MOST_LISTED, together};
use hullwire::store::list::import;
use std::fmt::Write as _;

/// Watts of thirty loads, all different.
fn watts(n: usize) -> u64 {
    300 + ((n * 271) % 1300) as u64
}

fn boat(count: usize, limit: u64) -> Installation {
    let mut list = format!(
        "# system: 120V60Hz\n# feeding: G1\ntag,kind,fed_from,run_w,start_w,load_kind,rating_a,conductor\n\
         G1,generator,,{limit},90000,,,\nA1,panel,G1,,,,,none\n"
    );
    for n in 0..count {
        let _ = write!(list, "Q{n},breaker,A1,,,,20,none\nE{n},appliance,Q{n},{},,power,,none\n", watts(n));
    }
    import(&list).unwrap().installation
}

/// Of sets whose sum is at most `limit` and to which nothing can be added, and of sets just above it from which nothing can
/// be spared: how many. By the smallest load left out, and by the smallest load in it; the others by a table of sums.
fn by_sums(loads: &[u64], limit: u64) -> (u128, u128) {
    let mut sorted = loads.to_vec();
    sorted.sort_unstable();
    // Sets of the loads from `from` on, by their sum.
    let sums = |from: usize| {
        let mut count = vec![0_u128; limit as usize + 1];
        count[0] = 1;
        for &w in &sorted[from..] {
            for s in (w as usize..count.len()).rev() {
                count[s] += count[s - w as usize];
            }
        }
        count
    };
    let between = |count: &[u128], above: i64, most: i64| -> u128 {
        if most < 0 { 0 } else { ((above + 1).max(0)..=most).map(|s| count[s as usize]).sum() }
    };
    let (mut maximal, mut minimal) = (0, 0);
    let mut below = 0_i64;
    let c = limit as i64;
    for (j, &w) in sorted.iter().enumerate() {
        let rest = sums(j + 1);
        maximal += between(&rest, c - below - w as i64, c - below);
        minimal += between(&rest, c - w as i64, c);
        below += w as i64;
    }
    if below <= c {
        maximal += 1;
    }
    (maximal, minimal)
}

#[test]
fn thirty_that_all_differ_are_counted_exactly() {
    for (count, limit) in [(12, 3000), (24, 2600), (30, 2400), (30, 25_500)] {
        let loads: Vec<u64> = (0..count).map(watts).collect();
        let (maximal, minimal) = by_sums(&loads, limit);
        let found = together(&boat(count, limit), 0, EFFORT);
        assert_eq!((found.count, found.conflict_count), (Some(maximal), Some(minimal)), "{count} loads, {limit} W");
        let whole = maximal <= MOST_LISTED as u128 && minimal <= MOST_LISTED as u128;
        assert_eq!(found.exact, whole, "{count} loads, {limit} W: {maximal} and {minimal}");
        assert_eq!(found.combinations.len() as u128, maximal.min(MOST_LISTED as u128));
    }
}

/// More sets than are listed: the counts stand, the lists are cut, and the answer says so.
#[test]
fn lists_beyond_ten_thousand_are_cut_and_counted() {
    let loads: Vec<u64> = (0..30).map(watts).collect();
    let (maximal, minimal) = by_sums(&loads, 3400);
    assert!(maximal > MOST_LISTED as u128 && minimal > MOST_LISTED as u128, "{maximal} {minimal}");
    let found = together(&boat(30, 3400), 0, EFFORT);
    assert_eq!((found.exact, found.count, found.conflict_count), (false, Some(maximal), Some(minimal)));
    assert_eq!((found.combinations.len(), found.conflicts.len()), (MOST_LISTED, MOST_LISTED));
}
