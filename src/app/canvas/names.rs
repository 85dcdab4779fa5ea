//! Names of what is drawn, for screen readers and tests: unique, each starting with the tag.

use super::Lookup;
use crate::diagram::Terminal;
use crate::installation::{Cable, CableId, Conductor, Installation, Part, PartId, PartKind};
use crate::network::{Rated, Reach, Solution};
use crate::survey::Finding;
use crate::units::{Severity, amps, length, percent, volts, watts};

/// What the names are made of: the document in one condition, solved and surveyed.
#[derive(Clone, Copy)]
pub struct Facts<'a> {
    /// The document.
    pub installation: &'a Installation,
    /// Index of the condition.
    pub condition: usize,
    /// Its figures.
    pub solution: &'a Solution,
    /// Its findings.
    pub findings: &'a [Finding],
    /// Which of them are about what.
    pub lookup: &'a Lookup,
    /// Lengths in feet.
    pub feet: bool,
}

impl<'a> Facts<'a> {
    /// The findings about a part, worst first.
    pub fn of_part(&self, id: PartId) -> impl Iterator<Item = &'a Finding> + use<'a> {
        let findings = self.findings;
        self.lookup.of_part.get(&id).into_iter().flatten().filter_map(|place| findings.get(*place))
    }

    /// The findings about a cable, worst first.
    pub fn of_cable(&self, id: CableId) -> impl Iterator<Item = &'a Finding> + use<'a> {
        let findings = self.findings;
        self.lookup.of_cable.get(&id).into_iter().flatten().filter_map(|place| findings.get(*place))
    }

    /// `Q3 breaker Galley, 10 A, closed, carries 10.3 A, loaded 103 %, fed from A1, one warning`.
    #[must_use]
    pub fn part(&self, id: PartId) -> String {
        let Some(part) = self.installation.parts.get(&id) else { return "?".to_owned() };
        let mut words = vec![self.kind_and_label(id, part)];
        words.extend(rating(part, self.installation));
        if part.kind.has_switch() {
            words.push(self.position(part, id).to_owned());
        }
        words.push(self.state(id, part));
        words.extend(self.loaded(id, part));
        if let Some(feed) = self.solution.walk.feeds.get(&id) {
            words.push(format!("fed from {}", self.installation.tag(feed.from)));
        }
        words.extend(counts(self.of_part(id)));
        words.join(", ")
    }

    /// What it carries of its rating: amperes, of a generator or inverter watts.
    fn loaded(&self, id: PartId, part: &Part) -> Option<String> {
        let of = match self.solution.sources.get(&id) {
            Some(source) => Rated::of(part, self.installation.system, Some(source)),
            None => Rated::amps(self.solution.parts.get(&id).and_then(|f| f.amps), part.rating_a),
        };
        Some(format!("loaded {} %", crate::units::trimmed(of.percent()?, 0)))
    }

    fn kind_and_label(&self, id: PartId, part: &Part) -> String {
        let kind = if self.installation.is_inverter_charger(id) { "inverter-charger" } else { part.kind.name() };
        if part.label.is_empty() || part.label == part.tag {
            format!("{} {kind}", part.tag)
        } else {
            format!("{} {kind} {}", part.tag, part.label)
        }
    }

    /// `on`, `off`, `closed`, `open`.
    fn position(&self, part: &Part, id: PartId) -> &'static str {
        match (part.kind, self.installation.is_on(id, self.condition)) {
            (PartKind::Breaker, true) => "closed",
            (PartKind::Breaker, false) => "open",
            (_, true) => "on",
            (_, false) => "off",
        }
    }

    /// What it carries or gives, or why there is no figure.
    #[must_use]
    pub fn state(&self, id: PartId, part: &Part) -> String {
        match self.solution.walk.reach.get(&id) {
            Some(Reach::MayBeLive) => return "not feeding, may be live".to_owned(),
            Some(Reach::NotFed) | None => return "not fed in this condition".to_owned(),
            Some(Reach::Fed(_)) => {}
        }
        let flow = self.solution.parts.get(&id);
        let carried = flow.and_then(|f| f.amps);
        let Some(carried) = carried else { return "fed, current not known".to_owned() };
        let verb = if part.kind == PartKind::Appliance {
            "draws"
        } else if self.solution.sources.contains_key(&id) {
            "gives"
        } else {
            "carries"
        };
        if carried < 0.05 { "live, 0 A".to_owned() } else { format!("{verb} {}", amps(carried)) }
    }

    /// `Q3 switch`.
    #[must_use]
    pub fn switch(&self, id: PartId) -> String {
        format!("{} switch", self.installation.tag(id))
    }

    /// `Q3 inlet terminal`; a selector counts its inlets: `Q1 inlet 2 terminal`.
    #[must_use]
    pub fn terminal(&self, id: PartId, terminal: Terminal) -> String {
        let tag = self.installation.tag(id);
        let several = self.installation.parts.get(&id).is_some_and(|p| p.kind == PartKind::Selector);
        match terminal {
            Terminal::Outlet => format!("{tag} outlet terminal"),
            Terminal::Inlet(n) if several => format!("{tag} inlet {} terminal", n + 1),
            Terminal::Inlet(_) => format!("{tag} inlet terminal"),
        }
    }

    /// `Cable A1 to Q3`; of two between the same parts the later ones are counted.
    #[must_use]
    pub fn cable(&self, id: CableId) -> String {
        let Some(cable) = self.installation.cables.get(&id) else { return "?".to_owned() };
        let same = |c: &Cable| c.from == cable.from && c.to == cable.to;
        let before = self.installation.cables.range(..id).filter(|(_, c)| same(c)).count();
        let base = format!("Cable {} to {}", self.installation.tag(cable.from), self.installation.tag(cable.to));
        if before == 0 { base } else { format!("{base}, number {}", before + 1) }
    }

    /// Size, length, current and drop of a cable, with its findings, for the tooltip and as a value for a reader.
    #[must_use]
    pub fn cable_figures(&self, id: CableId) -> String {
        let Some(cable) = self.installation.cables.get(&id) else { return String::new() };
        let mut words = Vec::new();
        match cable.data.conductor {
            Conductor::None => words.push("bolted on or plugged in, no cable".to_owned()),
            Conductor::Unknown => words.push("size not known".to_owned()),
            Conductor::Size(size) => words.push(size.to_string().replace("mm2", "mm²")),
        }
        if cable.data.is_fitted() {
            words.push(cable.data.length_m.map_or_else(|| "length not known".to_owned(), |m| length(m, self.feet)));
        }
        match self.solution.cables.get(&id) {
            Some(flow) => {
                words.push(flow.amps.map_or_else(|| "current not known".to_owned(), amps));
                if let Some(drop) = flow.drop_volts.filter(|_| cable.data.is_fitted()) {
                    let nominal = self.installation.system.nominal_v();
                    words.push(format!("drop {}, {}", volts(drop), percent(100.0 * drop / nominal)));
                }
            }
            None => words.push("not in use in this condition, may be live".to_owned()),
        }
        words.extend(counts(self.of_cable(id)));
        words.join(", ")
    }

    /// The lines of a part's tooltip: what it is, what it carries, its findings in words.
    #[must_use]
    pub fn part_lines(&self, id: PartId) -> Vec<String> {
        let Some(part) = self.installation.parts.get(&id) else { return Vec::new() };
        let mut lines = vec![self.kind_and_label(id, part)];
        let mut second: Vec<String> = rating(part, self.installation).into_iter().collect();
        second.push(self.state(id, part));
        let flow = self.solution.parts.get(&id);
        if let Some(v) = flow.and_then(|f| f.volts) {
            second.push(volts(v));
        }
        if let Some(drop) = flow.and_then(|f| f.drop_percent).filter(|_| !self.solution.sources.contains_key(&id)) {
            second.push(format!("drop from the source {}", percent(drop)));
        }
        lines.push(second.join(", "));
        lines.extend(self.findings(self.of_part(id).filter(|f| f.parts.first() == Some(&id))));
        lines
    }

    /// The findings about something, in words, worst first, three at most.
    pub fn findings(&self, about: impl Iterator<Item = &'a Finding>) -> Vec<String> {
        let found: Vec<_> = about.collect();
        let more = found.len().saturating_sub(3);
        let mut lines: Vec<String> =
            found.iter().take(3).map(|f| format!("{}: {}", f.severity.word(), f.message)).collect();
        if more > 0 {
            lines.push(format!("and {more} more in the survey"));
        }
        lines
    }
}

/// `one warning`, `12 cautions`, by severity, worst first.
fn counts<'a>(findings: impl Iterator<Item = &'a Finding>) -> Vec<String> {
    let found: Vec<Severity> = findings.map(|f| f.severity).collect();
    let of = |severity: Severity| found.iter().filter(|s| **s == severity).count();
    let words = Severity::ALL.into_iter().map(|s| (of(s), s.word().to_lowercase()));
    const SMALL: [&str; 9] = ["one", "two", "three", "four", "five", "six", "seven", "eight", "nine"];
    let number = |n: usize| SMALL.get(n - 1).map_or_else(|| n.to_string(), |word| (*word).to_owned());
    let plural = |n: usize| if n == 1 { "" } else { "s" };
    words.filter(|(n, _)| *n > 0).map(|(n, w)| format!("{} {w}{}", number(n), plural(n))).collect()
}

/// The figure by which a part is known: amperes of what protects or joins, watts of what gives or draws.
fn rating(part: &Part, installation: &Installation) -> Option<String> {
    match part.kind {
        PartKind::Appliance | PartKind::Generator | PartKind::Inverter => {
            Some(part.run_w(installation.system).map_or_else(|| "watts not known".to_owned(), watts))
        }
        PartKind::PolarityIndicator => None,
        PartKind::Junction | PartKind::Panel => part.rating_a.map(amp_rating),
        _ => Some(part.rating_a.map_or_else(|| "rating not known".to_owned(), amp_rating)),
    }
}

/// A rating as people write it: `10 A`, `12.5 A`.
fn amp_rating(value: f64) -> String {
    format!("{} A", crate::units::trimmed(value, 1))
}
