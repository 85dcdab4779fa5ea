//! What each conductor may carry under the installation's rule set, worked out once for all rules.

use crate::installation::{Cable, CableData, Installation, Leg, PartId, RuleSet, Size, SpaceKind};
use crate::tables::{self, Bundling, Figure, awg_area_mm2};
use crate::units::{Mark, trimmed};
use std::collections::BTreeMap;

/// What a conductor may carry.
#[derive(Clone, Debug, PartialEq)]
pub struct Ampacity {
    /// Amperes after all corrections.
    pub amps: f64,
    /// Standard and table of the figure.
    pub source: String,
    /// The weakest mark among the figure and its corrections.
    pub mark: Mark,
    /// Size, insulation and corrections in words: `14 AWG, 60 °C, engine space × 0.58`.
    pub basis: String,
}

/// Insulation columns at or below a rating, per rule set.
const CFR_COLUMNS: [u16; 7] = [200, 125, 105, 90, 80, 75, 60];
const ISO_COLUMNS: [u16; 6] = [200, 125, 105, 85, 70, 60];

fn column(columns: &[u16], insulation_c: u16) -> Option<u16> {
    columns.iter().copied().find(|&c| c <= insulation_c)
}

/// The figure of the table, before corrections, and the column that it stands in.
fn figure(size: Size, insulation_c: u16, rules: RuleSet) -> Option<(&'static Figure, u16)> {
    let tables = tables::get();
    match rules {
        RuleSet::Us => {
            let gauge = match size {
                Size::Awg(gauge) => gauge,
                Size::Mm2(area) => tables.gauge_not_above(area)?,
            };
            let column = column(&CFR_COLUMNS, insulation_c)?;
            Some((tables.ampacity_33cfr(gauge, column)?, column))
        }
        RuleSet::International => {
            let area = match size {
                Size::Awg(gauge) => tables.area_not_above(awg_area_mm2(gauge))?,
                Size::Mm2(area) => tables.area_not_above(area)?,
            };
            let column = column(&ISO_COLUMNS, insulation_c)?;
            // The table's 90 °C column stands for 85 to 90.
            Some((tables.ampacity_iso13297(area, if column == 85 { 90 } else { column })?, column))
        }
    }
}

/// What a cable may carry with this size in place of its own; `None` where the tables have no figure.
pub(super) fn with_size(
    installation: &Installation,
    cable: &CableData,
    size: Size,
    hot: bool,
    three_wire: bool,
) -> Option<Ampacity> {
    let rules = installation.rules;
    let insulation_c = cable.insulation_c(installation.system);
    let (base, _) = figure(size, insulation_c, rules)?;
    let mut amps = base.value;
    let mut mark = base.mark;
    let mut basis = format!("{size}, {insulation_c} °C").replace("mm2", "mm²");
    let mut correct = |factor: &Figure, what: &str| {
        if (factor.value - 1.0).abs() > 1e-12 {
            amps *= factor.value;
            mark = mark.max(factor.mark);
            basis.push_str(&format!(", {what} × {}", trimmed(factor.value, 2)));
        }
    };
    if hot {
        let column = column(&CFR_COLUMNS, insulation_c)?;
        correct(tables::get().engine_space_factor(column)?, "engine space");
    }
    let set = match rules {
        RuleSet::Us => Bundling::Cfr33,
        RuleSet::International => Bundling::Iso13297,
    };
    let conductors = cable.bundled.unwrap_or(if three_wire { 3 } else { 2 });
    correct(tables::get().bundling_factor(set, conductors)?, "bundle");
    Some(Ampacity { amps, source: base.source.clone(), mark, basis })
}

/// True where either end of a cable, or what it goes through, is an engine space.
pub(super) fn is_hot(cable: &Cable, spaces: &BTreeMap<PartId, SpaceKind>) -> bool {
    let hot = |id: &PartId| spaces.get(id) == Some(&SpaceKind::EngineSpace);
    hot(&cable.from) || hot(&cable.to) || cable.data.through == Some(SpaceKind::EngineSpace)
}

/// True where a cable has three wires that carry current.
pub(super) fn is_three_wire(installation: &Installation, cable: &Cable, legs: &BTreeMap<PartId, Leg>) -> bool {
    installation.system.is_split_phase() && legs.get(&cable.to).is_some_and(|leg| leg.is_three_wire())
}
