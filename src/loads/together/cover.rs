//! Maximal combinations from minimal conflicts: what is left out of a maximal combination is a minimal set that takes
//! something off every conflict. The search branches over the appliances of one conflict that is still whole, and gives up
//! as soon as something was left out that no conflict asks for any more, so that every branch leads to an answer of its own.
//! (Murakami and Uno's scheme for minimal hitting sets, with equal appliances as counts.)

use super::model::{Set, Unit, members};

/// What was left out, and the conflicts that ask for it and for nothing else.
type Asked = (usize, Vec<Set>);

struct Cover<'u, F> {
    units: &'u [Unit],
    left: usize,
    found: F,
}

/// Calls `found` for each maximal set without a conflict, first ones of a group standing for any others. False where
/// `effort` steps were not enough.
pub(super) fn maximal(units: &[Unit], all: Set, conflicts: &[Set], effort: usize, found: impl FnMut(Set)) -> bool {
    let mut cover = Cover { units, left: effort, found };
    let whole: Vec<Set> = conflicts.iter().copied().filter(|c| c & !all == 0).collect();
    cover.descend(all, 0, &whole, &[]);
    cover.left > 0
}

impl<F: FnMut(Set)> Cover<'_, F> {
    fn descend(&mut self, set: Set, kept: Set, whole: &[Set], asked: &[Asked]) {
        if self.left == 0 {
            return;
        }
        self.left -= 1;
        // The conflict with the fewest ways out.
        let Some(conflict) = whole.iter().copied().min_by_key(|&c| (c & !kept).count_ones()) else {
            (self.found)(set);
            return;
        };
        let mut kept = kept;
        for top in self.tops(conflict).collect::<Vec<_>>() {
            if kept & (1 << top) != 0 {
                continue;
            }
            let unit = &self.units[top];
            let cut = unit.group & set & !unit.below;
            let own: Vec<Set> = whole.iter().copied().filter(|c| c & cut == 1 << top).collect();
            let mut asked_now: Vec<Asked> = vec![(top, own)];
            let mut in_vain = false;
            for (other, reasons) in asked {
                if unit.group & (1 << other) != 0 {
                    continue;
                }
                let still: Vec<Set> = reasons.iter().copied().filter(|c| c & cut == 0).collect();
                if still.is_empty() {
                    in_vain = true;
                    break;
                }
                asked_now.push((*other, still));
            }
            if !in_vain {
                let still: Vec<Set> = whole.iter().copied().filter(|c| c & cut == 0).collect();
                self.descend(set & !cut, kept, &still, &asked_now);
            }
            kept |= unit.below | 1 << top;
        }
    }

    /// The last of each group that a conflict holds.
    fn tops(&self, conflict: Set) -> impl Iterator<Item = usize> + use<'_, F> {
        members(conflict).filter(move |&n| {
            let unit = &self.units[n];
            unit.group & conflict & !(unit.below | 1 << n) == 0
        })
    }
}

/// In how many ways the units of a set can be told apart: of each group, any may stand for the first ones.
pub(super) fn ways(units: &[Unit], set: Set) -> u128 {
    let mut product = 1_u128;
    for n in members(set) {
        let unit = &units[n];
        if unit.below != 0 {
            continue;
        }
        let (of, taken) = (unit.group.count_ones(), (unit.group & set).count_ones());
        let mut choose = 1_u128;
        for i in 0..taken {
            choose = choose.saturating_mul(u128::from(of - i)) / u128::from(i + 1);
        }
        product = product.saturating_mul(choose);
    }
    product
}

/// Every set that one in first ones stands for, up to a number of them.
pub(super) fn spelt_out(units: &[Unit], set: Set, most: usize) -> Vec<Set> {
    let mut out = vec![0 as Set];
    for n in members(set) {
        let unit = &units[n];
        if unit.below != 0 {
            continue;
        }
        let all: Vec<usize> = members(unit.group).collect();
        let taken = (unit.group & set).count_ones() as usize;
        let mut next = Vec::new();
        'fill: for base in &out {
            let mut pick: Vec<usize> = (0..taken).collect();
            loop {
                next.push(pick.iter().fold(*base, |s, &i| s | 1 << all[i]));
                if next.len() >= most {
                    break 'fill;
                }
                let Some(i) = (0..taken).rev().find(|&i| pick[i] < all.len() - taken + i) else { break };
                pick[i] += 1;
                for j in i + 1..taken {
                    pick[j] = pick[j - 1] + 1;
                }
            }
        }
        out = next;
    }
    out
}
