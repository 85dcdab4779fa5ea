//! The built-in sample: what is shown where no file is named.

use super::file::{OpenError, Opened, parse};

const TRAWLER: &str = include_str!("../../samples/trawler.hullwire");

/// The built-in sample, a trawler of 120 V 60 Hz.
///
/// # Errors
/// Those of any file; a test reads the sample, so none is met in practice.
pub fn sample() -> Result<Opened, OpenError> {
    parse(TRAWLER.as_bytes(), "the built-in sample", None)
}

#[cfg(test)]
mod tests {
    #[test]
    fn the_built_in_sample_opens() {
        let sample = super::sample().unwrap();
        assert!(sample.installation.parts.len() >= 35);
        assert!(sample.notes.is_empty(), "{:?}", sample.notes);
    }
}
