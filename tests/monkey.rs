//! A monkey at the keyboard: random edits with random undo and redo. What always holds of a document holds after each;
//! undo to the beginning gives the first state; saving and loading give the same; solving and surveying never panic.
//!
//! `HULLWIRE_MONKEY=100000` sets how many edits are made; the default is small. The seeds are fixed and named on failure.

#[path = "support/steps.rs"]
mod steps;

use hullwire::installation::{Edit, History, Installation, PartId, Selection, System};
use hullwire::{network, survey};
use proptest::strategy::{Strategy, ValueTree};
use proptest::test_runner::{Config, RngAlgorithm, TestRng, TestRunner};
use std::sync::Arc;
use std::sync::atomic::{AtomicUsize, Ordering};

/// Above this many parts the monkey takes some away, so that every step stays cheap.
const MOST_PARTS: usize = 40;
/// Edits of one drawing, from the first state to the last undo.
const A_SESSION: usize = 2_500;
/// Every so many edits the drawing is saved and opened again: that takes most of the time.
const SAVED_EVERY: usize = 5;

fn runner(seed: u64) -> TestRunner {
    let mut bytes = [0; 32];
    bytes[..8].copy_from_slice(&seed.to_le_bytes());
    TestRunner::new_with_rng(Config::default(), TestRng::from_seed(RngAlgorithm::ChaCha, &bytes))
}

/// One drawing from empty: `count` edits with undo and redo among them, then all the way back and forth.
fn session(seed: u64, count: usize) {
    let mut runner = runner(seed);
    let system = System::ALL[(0..System::ALL.len()).new_tree(&mut runner).unwrap().current()];
    let first = Arc::new(Installation::new(system));
    let mut history = History::new(Installation::clone(&first));
    // What is expected at each depth of the history.
    let mut states = vec![Arc::clone(&first)];
    let mut at = 0;
    let strategy = steps::step();
    for n in 0..count {
        let choice = (0..10usize).new_tree(&mut runner).unwrap().current();
        match choice {
            0 => {
                let undone = history.undo();
                assert_eq!(undone, at > 0);
                at -= usize::from(undone);
            }
            1 => {
                let redone = history.redo();
                assert_eq!(redone, at + 1 < states.len());
                at += usize::from(redone);
            }
            _ => {
                let before = Arc::clone(history.installation());
                let step = strategy.new_tree(&mut runner).unwrap().current();
                let issued = matches!(step, steps::Step::Issue(_)) && before.revisions.len() > 4;
                let edit = if before.accepted.len() > 8 {
                    Some(Edit::WithdrawAcceptance(0))
                } else if issued {
                    None
                } else if before.parts.len() > MOST_PARTS {
                    let some: Vec<PartId> = before.parts.keys().copied().take(MOST_PARTS / 2).collect();
                    Some(Edit::Remove(Selection::of_parts(some)))
                } else {
                    steps::edit(&before, &step)
                };
                let Some(edit) = edit else { continue };
                if history.apply(&edit, None).is_ok() && **history.installation() != *before {
                    states.truncate(at + 1);
                    states.push(Arc::clone(history.installation()));
                    at += 1;
                }
            }
        }
        let now = history.installation();
        // The same document, or an equal one.
        assert!(Arc::ptr_eq(now, &states[at]) || **now == *states[at], "seed {seed}, step {n}");
        assert_eq!(history.depth(), at, "seed {seed}, step {n}");
        steps::check(now);
        if n % SAVED_EVERY == 0 || n + 1 == count {
            steps::saves(now);
        }
        if n % 100 == 0 {
            for condition in 0..now.conditions.len().min(3) {
                let solution = network::solve(now, condition);
                let _ = survey::run(now, &solution);
            }
        }
    }
    while history.undo() {
        at -= 1;
        assert_eq!(**history.installation(), *states[at], "seed {seed}, undo to {at}");
    }
    assert_eq!(at, 0);
    assert_eq!(**history.installation(), *first, "seed {seed}: undo to the beginning gives the first state");
    while history.redo() {
        at += 1;
    }
    assert_eq!(at + 1, states.len());
    assert_eq!(**history.installation(), *states[at], "seed {seed}: redo to the end gives the last state");
}

#[test]
fn random_edits_with_random_undo_and_redo() {
    let wanted: usize = std::env::var("HULLWIRE_MONKEY").ok().and_then(|n| n.parse().ok()).unwrap_or(1_000);
    let sessions: Vec<(u64, usize)> =
        (0..wanted.div_ceil(A_SESSION)).map(|i| (i as u64 + 1, A_SESSION.min(wanted - i * A_SESSION))).collect();
    // Each session is its own drawing, so that they can run side by side and still be repeated by their seeds.
    let (next, hands) = (AtomicUsize::new(0), std::thread::available_parallelism().map_or(1, std::num::NonZero::get));
    std::thread::scope(|scope| {
        let hand = || {
            while let Some((seed, count)) = sessions.get(next.fetch_add(1, Ordering::Relaxed)).copied() {
                if let Err(why) = std::panic::catch_unwind(|| session(seed, count)) {
                    eprintln!("seed {seed}, {count} edits");
                    std::panic::resume_unwind(why);
                }
            }
        };
        let all: Vec<_> = (0..hands).map(|_| scope.spawn(hand)).collect();
        all.into_iter().for_each(|thread| thread.join().unwrap_or_else(|why| std::panic::resume_unwind(why)));
    });
}
