//! What a cable may carry, by the installation's rule set, with every correction spelled out.
//!
//! us: 33 CFR 183.425 table 5. international: ISO 13297 annex A, from memory. Both times the engine-space factor where
//! either end or the space passed is an engine space, times the bundling factor. A size or insulation that the table does
//! not have takes the next smaller one that it has.

use crate::installation::{CableData, Conductor, Installation, Leg, PartId, RuleSet, Size, SpaceKind};
use crate::tables::{self, Bundling, Figure, Tables, awg_area_mm2};
use crate::units::{Mark, trimmed};

/// A step on the way to an ampacity.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Step {
    /// In words: `60 A: 10 AWG, 105 °C column`.
    pub words: String,
    /// Standard and clause of its figure.
    pub source: String,
    /// How that figure was come by.
    pub mark: Mark,
}

impl std::fmt::Display for Step {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{} ({}, {})", self.words, self.source, self.mark.words())
    }
}

impl Step {
    fn of(words: String, figure: &Figure) -> Self {
        Self { words, source: figure.source.clone(), mark: figure.mark }
    }
}

/// What a cable may carry.
#[derive(Clone, Debug, PartialEq)]
pub struct Ampacity {
    /// Amperes, all corrections made.
    pub amps: f64,
    /// Amperes of the table.
    pub base_amps: f64,
    /// Factor for the engine space; `None` where it passes none.
    pub engine_factor: Option<f64>,
    /// Factor for the bundle; 1 where there is none.
    pub bundling_factor: f64,
    /// The rule set, to stand beside the figure.
    pub rule: &'static str,
    /// Table and clauses of all figures that went in.
    pub source: String,
    /// The weakest mark of all figures that went in; derived where corrections were multiplied.
    pub mark: Mark,
    /// Each step, the table's figure first.
    pub corrections: Vec<Step>,
}

/// The ampacity of a cable (or, with `from` `None`, of a shore cord) to a part that is fed by `leg`, see
/// [`super::PartFlow::leg`].
///
/// # Errors
/// Says why there is no figure: nothing fitted, or a size that is not known or not in the table.
pub fn ampacity(
    installation: &Installation,
    cable: &CableData,
    from: Option<PartId>,
    to: PartId,
    leg: Leg,
) -> Result<Ampacity, String> {
    let size = match cable.conductor {
        Conductor::None => return Err("there is no cable: the part is bolted on or plugged in".to_owned()),
        Conductor::Unknown => return Err("its conductor size is not known".to_owned()),
        Conductor::Size(size) => size,
    };
    let t = tables::get();
    let insulation = cable.insulation_c(installation.system);
    let (rule, base, first) = match installation.rules {
        RuleSet::Us => us(t, size, insulation)?,
        RuleSet::International => international(t, size, insulation)?,
    };
    let mut corrections = vec![first];
    let mut sources = vec![base.source.clone()];
    let mut marks = vec![base.mark];
    let mut take = |figure: &Figure| {
        sources.push(figure.source.clone());
        marks.push(figure.mark);
    };

    let spaces = [from.map(|id| installation.space_of(id)), Some(installation.space_of(to)), cable.through];
    let engine = spaces.contains(&Some(SpaceKind::EngineSpace));
    let engine_factor = if engine {
        let (row, figure) = engine_factor(t, insulation)
            .ok_or_else(|| format!("there is no engine-space factor for {insulation} °C insulation"))?;
        let by = if row == insulation { String::new() } else { format!(", by the {row} °C row") };
        corrections.push(Step::of(format!("in an engine space × {}{by}", trimmed(figure.value, 3)), figure));
        take(figure);
        Some(figure.value)
    } else {
        None
    };

    let own = if leg.is_three_wire() { 3 } else { 2 };
    let count = cable.bundled.unwrap_or(own);
    let set = match installation.rules {
        RuleSet::Us => Bundling::Cfr33,
        RuleSet::International => Bundling::Iso13297,
    };
    let bundle =
        t.bundling_factor(set, count).ok_or_else(|| format!("there is no bundling factor for {count} conductors"))?;
    if bundle.value < 1.0 {
        let words = format!("{count} current-carrying conductors bundled × {}", trimmed(bundle.value, 3));
        corrections.push(Step::of(words, bundle));
        take(bundle);
    }
    sources.dedup();
    let amps = base.value * engine_factor.unwrap_or(1.0) * bundle.value;
    Ok(Ampacity {
        amps,
        base_amps: base.value,
        engine_factor,
        bundling_factor: bundle.value,
        rule,
        source: sources.join("; "),
        mark: weakest(&marks),
        corrections,
    })
}

/// One mark for several figures: the weakest, and derived where several that were read are multiplied.
fn weakest(marks: &[Mark]) -> Mark {
    match marks.iter().max() {
        Some(Mark::Read) if marks.len() > 1 => Mark::Derived,
        Some(mark) => *mark,
        None => Mark::Memory,
    }
}

/// Name of a size on screen and paper.
fn shown(size: Size) -> String {
    size.to_string().replace("mm2", "mm²")
}

/// The figure of the table in words, with what was taken in place of what.
fn first_line(size: Size, taken: Size, insulation: u16, column: u16, figure: &Figure) -> Step {
    let mut line = format!("{} A: {}, {column} °C column", trimmed(figure.value, 1), shown(taken));
    if taken != size {
        line += &format!(", the next smaller than {}", shown(size));
    }
    if column != insulation {
        line += &format!(", for {insulation} °C insulation");
    }
    Step::of(line, figure)
}

fn us(t: &Tables, size: Size, insulation: u16) -> Result<(&'static str, &Figure, Step), String> {
    let gauge = match size {
        Size::Awg(n) => n,
        Size::Mm2(a) => t.gauge_not_above(a).ok_or_else(|| {
            format!("{} is smaller than the smallest gauge of 33 CFR 183.425 table 5, 18 AWG", shown(size))
        })?,
    };
    let column = match insulation {
        70 => 60,
        85 => 80,
        other => other,
    };
    let figure = t.ampacity_33cfr(gauge, column).ok_or_else(|| {
        format!("33 CFR 183.425 table 5 has no figure for {} at {insulation} °C", shown(Size::Awg(gauge)))
    })?;
    Ok(("33 CFR 183.425 table 5", figure, first_line(size, Size::Awg(gauge), insulation, column, figure)))
}

fn international(t: &Tables, size: Size, insulation: u16) -> Result<(&'static str, &Figure, Step), String> {
    let wanted = match size {
        Size::Mm2(a) => a,
        Size::Awg(n) => awg_area_mm2(n),
    };
    let area = t
        .area_not_above(wanted)
        .ok_or_else(|| format!("{} is smaller than the smallest size of ISO 13297 annex A, 0.75 mm²", shown(size)))?;
    let column = match insulation {
        75 | 80 => 70,
        85 => 90,
        other => other,
    };
    let figure = t
        .ampacity_iso13297(area, column)
        .ok_or_else(|| format!("ISO 13297 annex A has no figure for {} at {insulation} °C", shown(Size::Mm2(area))))?;
    Ok(("ISO 13297 annex A, from memory", figure, first_line(size, Size::Mm2(area), insulation, column, figure)))
}

/// The engine-space factor of the insulation, or of the next lower rating that the note names. Annex A of ISO 13297 was
/// not seen: the note of 33 CFR 183.425 table 5 stands in for both rule sets, and the correction says so.
fn engine_factor(t: &Tables, insulation: u16) -> Option<(u16, &Figure)> {
    [200, 125, 105, 90, 80, 75, 60]
        .into_iter()
        .filter(|&row| row <= insulation)
        .find_map(|row| t.engine_space_factor(row).map(|figure| (row, figure)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::installation::{INSULATIONS_C, Part, PartKind, Place, System};

    fn of(
        system: System,
        size: Size,
        insulation: u16,
        space: SpaceKind,
        bundled: Option<u16>,
        leg: Leg,
    ) -> Result<Ampacity, String> {
        let mut installation = Installation::new(system);
        let from = installation.add_part(Part::new(PartKind::Panel, "A1", Place::In(SpaceKind::Other)));
        let to = installation.add_part(Part::new(PartKind::Appliance, "E1", Place::In(space)));
        let cable = CableData {
            conductor: Conductor::Size(size),
            insulation_c: Some(insulation),
            bundled,
            ..CableData::unknown()
        };
        ampacity(&installation, &cable, Some(from), to, leg)
    }

    fn us_amps(size: Size, insulation: u16, space: SpaceKind, bundled: Option<u16>) -> f64 {
        of(System::TwoWire120, size, insulation, space, bundled, Leg::L1).map_or(f64::NAN, |a| a.amps)
    }

    #[test]
    fn sizes_and_insulations_step_down() {
        let other = SpaceKind::Other;
        assert_eq!(us_amps(Size::Mm2(2.5), 70, other, None), 20.0, "14 AWG, 60 °C");
        assert_eq!(us_amps(Size::Awg(12), 85, other, None), 35.0, "80 °C");
        assert!(of(System::TwoWire120, Size::Mm2(0.75), 75, other, None, Leg::L1).is_err());
        let iso = |size, insulation| {
            of(System::TwoWire230, size, insulation, other, None, Leg::L1).map_or(f64::NAN, |a| a.amps)
        };
        assert_eq!(iso(Size::Mm2(2.5), 70), 25.0);
        assert_eq!(iso(Size::Mm2(2.5), 80), 25.0);
        assert_eq!(iso(Size::Mm2(2.5), 85), 30.0);
        assert_eq!(iso(Size::Awg(12), 60), 20.0, "2.5 mm²");
        assert!(of(System::TwoWire230, Size::Mm2(0.5), 70, other, None, Leg::L1).is_err());
    }

    #[test]
    fn every_insulation_has_a_figure_in_and_out_of_the_engine_space() {
        for insulation in INSULATIONS_C {
            for system in [System::TwoWire120, System::TwoWire230] {
                let free = of(system, Size::Awg(12), insulation, SpaceKind::Other, None, Leg::L1);
                let hot = of(system, Size::Awg(12), insulation, SpaceKind::EngineSpace, Some(5), Leg::L1);
                let (free, hot) = (free.expect("has a figure"), hot.expect("has a figure"));
                assert!(hot.amps < free.amps && hot.corrections.len() == 3, "{hot:?}");
            }
        }
    }

    #[test]
    fn a_three_wire_cable_counts_three_conductors() {
        let other = SpaceKind::Other;
        let three = of(System::SplitPhase, Size::Awg(10), 75, other, None, Leg::L1L2N).expect("has a figure");
        assert!((three.amps - 28.0).abs() < 1e-9, "{three:?}");
        assert_eq!(three.mark, Mark::Derived);
        let two = of(System::SplitPhase, Size::Awg(10), 75, other, None, Leg::L1L2).expect("has a figure");
        assert_eq!((two.amps, two.mark, two.rule), (40.0, Mark::Read, "33 CFR 183.425 table 5"));
    }

    #[test]
    fn the_space_it_passes_counts_and_memory_is_said() {
        let mut installation = Installation::new(System::TwoWire120);
        let to = installation.add_part(Part::new(PartKind::ShoreInlet, "X1", Place::In(SpaceKind::Other)));
        let cable = CableData {
            conductor: Conductor::Size(Size::Awg(10)),
            through: Some(SpaceKind::EngineSpace),
            ..CableData::unknown()
        };
        let a = ampacity(&installation, &cable, None, to, Leg::L1).expect("has a figure");
        assert_eq!((a.amps, a.engine_factor, a.mark), (30.0, Some(0.75), Mark::Memory));
        assert!(a.corrections[1].to_string().contains("from memory"), "{:?}", a.corrections);
        assert!(ampacity(&installation, &CableData::none(), None, to, Leg::L1).is_err());
        assert!(ampacity(&installation, &CableData::unknown(), None, to, Leg::L1).is_err());
    }

    #[test]
    fn what_is_taken_in_place_of_what_is_said() {
        let words = |size, insulation, space| {
            let a = of(System::TwoWire120, size, insulation, space, None, Leg::L1).expect("has a figure");
            a.corrections.iter().map(Step::to_string).collect::<Vec<_>>()
        };
        let own = words(Size::Awg(14), 60, SpaceKind::Other);
        assert!(own[0].starts_with("20 A: 14 AWG, 60 °C column") && !own[0].contains("smaller"), "{own:?}");
        assert!(!own[0].contains("insulation"), "{own:?}");
        let other = words(Size::Mm2(2.5), 70, SpaceKind::Other);
        let line = "20 A: 14 AWG, 60 °C column, the next smaller than 2.5 mm², for 70 °C insulation";
        assert!(other[0].starts_with(line), "{other:?}");
        let hot = words(Size::Awg(14), 75, SpaceKind::EngineSpace);
        assert!(hot[1].contains("in an engine space × 0.75") && !hot[1].contains(" row"), "{hot:?}");
    }
}
