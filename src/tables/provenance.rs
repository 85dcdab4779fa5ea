//! Where the figures of each table come from, table by table, for the basis of calculation.

use super::{Bundling, Figure, Series, Tables};
use crate::units::Mark;
use std::collections::BTreeMap;

/// One source of one table.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Provenance {
    /// The table, in words.
    pub table: &'static str,
    /// Standard and clause.
    pub source: String,
    /// How its figures were come by.
    pub mark: Mark,
    /// How many figures of the table are from there.
    pub figures: usize,
}

/// Counts figures by source and mark, the most first.
fn counted<'a>(table: &'static str, figures: impl Iterator<Item = (&'a str, Mark)>) -> Vec<Provenance> {
    let mut counts: BTreeMap<(&str, Mark), usize> = BTreeMap::new();
    for cited in figures {
        *counts.entry(cited).or_default() += 1;
    }
    let all = counts.into_iter();
    let mut all: Vec<Provenance> =
        all.map(|((source, mark), figures)| Provenance { table, source: source.to_owned(), mark, figures }).collect();
    all.sort_by(|a, b| b.figures.cmp(&a.figures).then(a.source.cmp(&b.source)));
    all
}

fn cited(figure: &Figure) -> (&str, Mark) {
    (&figure.source, figure.mark)
}

impl Tables {
    /// Every table with its sources.
    #[must_use]
    pub fn provenance(&self) -> Vec<Provenance> {
        let of = |rows: &[(i8, Figure)], table| counted(table, rows.iter().map(|(_, f)| cited(f)));
        let us = self.ampacity_33cfr.iter().flat_map(|r| &r.amps).map(|(_, f)| cited(f));
        let iso = self.ampacity_iso.iter().flat_map(|r| &r.amps).map(|(_, f)| cited(f));
        let bundle = |set: Bundling| self.bundling.iter().filter(move |r| r.set == set).map(|r| cited(&r.factor));
        let ratings = |series: Series| self.standard_ratings(series).map(cited);
        let mut all = of(&self.awg_resistance, "Conductor resistance, AWG");
        all.extend(counted("Conductor resistance, mm²", self.mm2_resistance.iter().map(|(_, f)| cited(f))));
        all.extend(of(&self.awg_reactance, "Conductor reactance, AWG"));
        all.extend(counted("Constants of conductors", self.constants.iter().map(|(_, f)| cited(f))));
        all.extend(counted("Ampacity, US rule set", us));
        all.extend(counted("Ampacity, international rule set", iso));
        all.extend(counted("Engine-space factors", self.engine_space.iter().map(|(_, f)| cited(f))));
        all.extend(counted("Bundling factors, US rule set", bundle(Bundling::Cfr33)));
        all.extend(counted("Bundling factors, international rule set", bundle(Bundling::Iso13297)));
        all.extend(counted("Standard breaker ratings, US", ratings(Series::Us)));
        all.extend(counted("Standard breaker ratings, IEC", ratings(Series::Iec)));
        all.extend(of(&self.small_conductors, "Breakers on small conductors"));
        all.extend(counted("Residual-current devices", self.residual.iter().map(|d| (d.source.as_str(), d.mark))));
        all.extend(counted("Conductor colours", self.colours.iter().map(|c| (c.source.as_str(), c.mark))));
        all
    }
}

#[cfg(test)]
mod tests {
    use crate::units::Mark;

    #[test]
    fn every_figure_of_a_table_is_counted_once() {
        let all = crate::tables::get().provenance();
        let of = |table: &str| all.iter().filter(|p| p.table == table).map(|p| p.figures).sum::<usize>();
        assert_eq!(of("Ampacity, US rule set"), 15 * 7);
        assert_eq!(of("Residual-current devices"), 8);
        assert_eq!(of("Conductor colours"), 8);
        assert!(all.iter().all(|p| !p.source.is_empty()));
        let iso = all.iter().find(|p| p.table == "Ampacity, international rule set");
        assert_eq!(iso.map(|p| p.mark), Some(Mark::Memory), "what was not seen is not called read");
    }

    #[test]
    fn bundles_are_counted_for_their_rule_set() {
        let all = crate::tables::get().provenance();
        let of = |table: &str| all.iter().filter(|p| p.table == table).map(|p| p.figures).sum::<usize>();
        assert_eq!(of("Bundling factors, US rule set"), 5);
        assert_eq!(of("Bundling factors, international rule set"), 4);
    }
}
