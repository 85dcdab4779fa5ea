//! Times ordering and solve of one radial network for `compare.py`, which writes the file and reads the answer: once with
//! fresh memory for each, once in the memory of the one before.
//!
//! `cargo bench --no-default-features --bench peers -- NETWORK REPEATS`: NETWORK is little-endian, the number of nodes and
//! the nominal volts, then a record a node (parent or -1, impedance of one conductor, power, admittance).

use hullwire::network::{Branch, Radial};
use hullwire::units::Complex;
use std::hint::black_box;
use std::io::{self, Error, ErrorKind};
use std::time::Instant;

fn main() -> io::Result<()> {
    let given: Vec<String> = std::env::args().skip(1).filter(|a| !a.starts_with("--")).collect();
    let [path, repeats] = given.as_slice() else {
        println!("peers: give NETWORK and REPEATS; see benches/peers/compare.py");
        return Ok(());
    };
    let repeats: usize = repeats.parse().map_err(|e| Error::new(ErrorKind::InvalidInput, e))?;
    let bytes = std::fs::read(path)?;
    let mut numbers = bytes.chunks_exact(8).map(|c| f64::from_le_bytes(c.try_into().unwrap_or_default()));
    let mut next = || numbers.next().ok_or_else(|| Error::new(ErrorKind::UnexpectedEof, "the file ends early"));
    let count = next()? as usize;
    let nominal = next()?;
    let mut branches = Vec::with_capacity(count);
    for _ in 0..count {
        let parent = next()?;
        let mut complex = || Ok::<_, Error>(Complex::new(next()?, next()?));
        branches.push(Branch {
            parent: (parent >= 0.0).then_some(parent as usize),
            z: complex()?,
            power: complex()?,
            admittance: complex()?,
        });
    }
    let wrong = |e| Error::new(ErrorKind::InvalidData, e);
    // What every tool of the comparison is asked for.
    const SETTLED: f64 = 1e-10;
    let mut radial = Radial::new(&branches, nominal).map_err(wrong)?.settling_to(SETTLED);
    let mut sweeps = 0;
    let failed = || Error::new(ErrorKind::InvalidData, "no solution");
    let (mut fresh, mut order, mut solve) = (Vec::new(), Vec::new(), Vec::new());
    for _ in 0..repeats {
        let start = Instant::now();
        let mut one = Radial::new(black_box(&branches), nominal).map_err(wrong)?.settling_to(SETTLED);
        one.solve().ok_or_else(failed)?;
        fresh.push(start.elapsed().as_secs_f64());
        black_box(one);
    }
    for _ in 0..repeats {
        let start = Instant::now();
        radial.reorder(black_box(&branches)).map_err(wrong)?;
        order.push(start.elapsed().as_secs_f64());
        let start = Instant::now();
        sweeps = black_box(&mut radial).solve().ok_or_else(failed)?;
        solve.push(start.elapsed().as_secs_f64());
    }
    let volts: Vec<u8> =
        radial.voltages().iter().flat_map(|v| [v.re.to_le_bytes(), v.im.to_le_bytes()]).flatten().collect();
    std::fs::write(format!("{path}.volts"), volts)?;
    let [fresh, order, solve] = [fresh, order, solve].map(|mut times| median(&mut times));
    println!("{{\"fresh_s\": {fresh:e}, \"order_s\": {order:e}, \"solve_s\": {solve:e}, \"sweeps\": {sweeps}}}");
    Ok(())
}

fn median(times: &mut [f64]) -> f64 {
    times.sort_by(f64::total_cmp);
    times.get(times.len() / 2).copied().unwrap_or(f64::NAN)
}
