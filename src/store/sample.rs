//! The built-in samples; one of them is shown where no file is named.

use super::file::{OpenError, Opened, parse};

const TRAWLER: &str = include_str!("../../samples/trawler.hullwire");

/// A sample that comes with the program.
#[derive(Clone, Copy, Debug)]
pub struct Sample {
    /// What it is called.
    pub name: &'static str,
    /// What it shows, in a sentence.
    pub about: &'static str,
    text: &'static str,
}

impl Sample {
    /// Reads it.
    ///
    /// # Errors
    /// Those of any file; a test reads every sample, so none is met in practice.
    pub fn open(&self) -> Result<Opened, OpenError> {
        parse(self.text.as_bytes(), self.name, None)
    }
}

/// Every sample.
pub const SAMPLES: &[Sample] = &[
    Sample {
        name: "Trawler, 120 V",
        about: "Shore inlet, built-in diesel set and inverter-charger, after the refit.",
        text: TRAWLER,
    },
    Sample {
        name: "Trawler before the refit",
        about: "The same boat with the faults that the survey finds.",
        text: include_str!("../../samples/trawler-before.hullwire"),
    },
    Sample {
        name: "Sailing boat",
        about: "A small installation.",
        text: include_str!("../../samples/sailing-boat.hullwire"),
    },
    Sample {
        name: "Motor yacht",
        about: "Split-phase with a shared neutral.",
        text: include_str!("../../samples/motor-yacht.hullwire"),
    },
];

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
    fn every_sample_opens() {
        for sample in super::SAMPLES {
            let opened = sample.open().unwrap();
            assert!(opened.notes.is_empty() && !opened.installation.parts.is_empty(), "{}", sample.name);
        }
    }

    #[test]
    fn the_built_in_sample_opens() {
        let sample = super::sample().unwrap();
        assert!(sample.installation.parts.len() >= 35);
        assert!(sample.notes.is_empty(), "{:?}", sample.notes);
    }
}
