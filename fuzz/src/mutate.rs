//! Damaged copies of inputs.

use crate::dice::Dice;

/// Longest input.
const MOST: usize = 8_192;

/// An input made of one or two of the pool.
pub fn input(dice: &mut Dice, pool: &[Vec<u8>], words: &[&str]) -> Vec<u8> {
    let mut out = pool[dice.below(pool.len())].clone();
    for _ in 0..=dice.below(6) {
        once(dice, &mut out, pool, words);
    }
    out.truncate(MOST);
    out
}

fn once(dice: &mut Dice, out: &mut Vec<u8>, pool: &[Vec<u8>], words: &[&str]) {
    let at = dice.below(out.len() + 1);
    let end = (at + 1 + dice.below(24)).min(out.len());
    match dice.below(10) {
        0 if at < out.len() => out[at] ^= 1 << dice.below(8),
        1 if at < out.len() => out[at] = dice.next() as u8,
        2 => out.truncate(at),
        3 if at < end => drop(out.drain(at..end)),
        4 if at < end => {
            let piece = out[at..end].to_vec();
            let to = dice.below(out.len());
            insert(out, to, &piece);
        }
        5 => {
            let other = &pool[dice.below(pool.len())];
            let from = dice.below(other.len() + 1);
            let to = (from + dice.below(200)).min(other.len());
            insert(out, at, &other[from..to]);
        }
        6 => {
            let digits = dice.next().to_string();
            insert(out, at, &digits.as_bytes()[..1 + dice.below(digits.len())]);
        }
        7 if at < end => {
            let word = words[dice.below(words.len())].as_bytes();
            out.splice(at..end, word.iter().copied());
        }
        8 => {
            // A line said twice, or taken away.
            let starts: Vec<usize> = std::iter::once(0)
                .chain(out.iter().enumerate().filter(|(_, b)| **b == b'\n').map(|(i, _)| i + 1))
                .collect();
            let i = dice.below(starts.len());
            let (a, b) = (starts[i], starts.get(i + 1).copied().unwrap_or(out.len()));
            if dice.below(2) == 0 {
                let line = out[a..b].to_vec();
                insert(out, a, &line);
            } else {
                out.drain(a..b);
            }
        }
        _ => insert(out, at, words[dice.below(words.len())].as_bytes()),
    }
}

fn insert(out: &mut Vec<u8>, at: usize, piece: &[u8]) {
    let at = at.min(out.len());
    out.splice(at..at, piece.iter().copied());
}
