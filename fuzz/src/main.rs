//! Throws damaged input at the doors of the program and watches what holds: no fault, and what was read can be written
//! and read again. Stable Rust, no instrumentation: inputs are cut, spliced and altered copies of a kept corpus and of
//! what behaved in a new way during the run (a new kind of answer or error).
//!
//! usage: fuzz TARGET [EXECUTIONS] [SEED]; targets: file, list, quantity, pdf. Status 1 where something did not hold;
//! the input is then in `fuzz/found/`.

mod dice;
mod mutate;
mod targets;

use dice::Dice;
use std::collections::HashSet;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::{Path, PathBuf};
use std::process::ExitCode;
use std::time::{Duration, Instant};

/// Most inputs that are kept in memory as seeds of others.
const POOL: usize = 4_000;
/// No input of a few kilobytes takes longer, on a busy machine either.
const LONGEST: Duration = Duration::from_secs(10);

fn corpus(target: &str) -> Vec<Vec<u8>> {
    let dir = Path::new(env!("CARGO_MANIFEST_DIR")).join("fuzz/corpus").join(target);
    let mut paths: Vec<PathBuf> = std::fs::read_dir(dir).into_iter().flatten().flatten().map(|e| e.path()).collect();
    paths.sort();
    paths.iter().filter_map(|p| std::fs::read(p).ok()).collect()
}

fn main() -> ExitCode {
    let args: Vec<String> = std::env::args().skip(1).collect();
    let Some(target) = args.first().and_then(|name| targets::by_name(name)) else {
        eprintln!("usage: fuzz file|list|quantity|pdf [EXECUTIONS] [SEED]");
        return ExitCode::from(2);
    };
    let number = |i: usize, usual: u64| args.get(i).and_then(|a| a.parse().ok()).unwrap_or(usual);
    let (executions, seed) = (number(1, 100_000), number(2, 1));
    let mut dice = Dice::new(seed);
    let mut pool = corpus(target.name);
    if pool.is_empty() {
        eprintln!("the corpus of {} is empty", target.name);
        return ExitCode::from(2);
    }
    std::panic::set_hook(Box::new(|_| {}));
    let (mut seen, start, kept) = (HashSet::new(), Instant::now(), pool.len());
    for n in 0..executions {
        let input =
            if n < kept as u64 { pool[n as usize].clone() } else { mutate::input(&mut dice, &pool, target.words) };
        let began = Instant::now();
        match catch_unwind(AssertUnwindSafe(|| (target.run)(&input))) {
            Ok(Ok(_)) if began.elapsed() > LONGEST => {
                let why = format!("it took {:.1} s", began.elapsed().as_secs_f64());
                return found(target.name, &input, n, seed, &why);
            }
            Ok(Ok(behaviour)) => {
                if seen.insert(behaviour) && pool.len() < POOL {
                    pool.push(input);
                }
            }
            Ok(Err(why)) => return found(target.name, &input, n, seed, &why),
            Err(fault) => {
                let text = fault.downcast_ref::<String>().cloned();
                let text = text.or_else(|| fault.downcast_ref::<&str>().map(|s| (*s).to_owned())).unwrap_or_default();
                return found(target.name, &input, n, seed, &format!("a fault: {text}"));
            }
        }
    }
    let seconds = start.elapsed().as_secs_f64();
    println!(
        "{}: {executions} executions, seed {seed}, {} kinds of behaviour, {:.0} s ({:.0} a second), nothing found",
        target.name,
        seen.len(),
        seconds,
        executions as f64 / seconds.max(1e-9)
    );
    ExitCode::SUCCESS
}

fn found(target: &str, input: &[u8], n: u64, seed: u64, why: &str) -> ExitCode {
    let dir = Path::new(env!("CARGO_MANIFEST_DIR")).join("fuzz/found");
    let path = dir.join(format!("{target}-{seed}-{n}"));
    let written = std::fs::create_dir_all(&dir).and_then(|()| std::fs::write(&path, input));
    eprintln!("{target}, execution {n}, seed {seed}: {why}");
    match written {
        Ok(()) => eprintln!("the input is in {}", path.display()),
        Err(error) => eprintln!("the input could not be kept: {error}\n{input:?}"),
    }
    ExitCode::FAILURE
}
