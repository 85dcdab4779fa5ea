//! What a check is, and the page that lists all of them.

use hullwire::units::Mark;
use std::fmt::Write;

/// One figure of a source beside ours.
struct Check {
    clause: String,
    what: String,
    unit: &'static str,
    published: f64,
    ours: f64,
    /// Largest relative difference; absolute where the published figure is 0.
    within: f64,
    mark: Mark,
    /// Why the two differ, where they do by more than rounding.
    why: Option<&'static str>,
}

impl Check {
    fn difference(&self) -> f64 {
        let scale = if self.published == 0.0 { 1.0 } else { self.published.abs() };
        (self.ours - self.published) / scale
    }
}

/// One published source and its checks.
pub struct Source {
    name: &'static str,
    how: &'static str,
    checks: Vec<Check>,
}

impl Source {
    /// A source; `how` says which way through the engine our figures come.
    pub fn new(name: &'static str, how: &'static str) -> Self {
        Self { name, how, checks: Vec::new() }
    }

    /// A figure that must agree within a relative difference.
    #[expect(clippy::too_many_arguments, reason = "one row of a table, each its own thing")]
    pub fn agree(
        &mut self,
        clause: &str,
        what: impl Into<String>,
        unit: &'static str,
        published: f64,
        ours: f64,
        within: f64,
        mark: Mark,
    ) {
        let (clause, what) = (clause.to_owned(), what.into());
        self.checks.push(Check { clause, what, unit, published, ours, within, mark, why: None });
    }

    /// A figure that differs for a stated reason, by no more than this.
    #[expect(clippy::too_many_arguments, reason = "one row of a table, each its own thing")]
    pub fn differ(
        &mut self,
        clause: &str,
        what: impl Into<String>,
        unit: &'static str,
        published: f64,
        ours: f64,
        within: f64,
        mark: Mark,
        why: &'static str,
    ) {
        self.agree(clause, what, unit, published, ours, within, mark);
        if let Some(last) = self.checks.last_mut() {
            last.why = Some(why);
        }
    }

    /// How many figures were compared.
    pub fn count(&self) -> usize {
        self.checks.len()
    }

    fn marked(&self, mark: Mark) -> usize {
        self.checks.iter().filter(|c| c.mark == mark).count()
    }

    /// What is further off than it may be.
    pub fn faults(&self) -> Vec<String> {
        let far = self.checks.iter().filter(|c| c.difference().abs() > c.within || !c.ours.is_finite());
        far.map(|c| format!("{}: {} {}: {} {}, not {}", self.name, c.clause, c.what, c.ours, c.unit, c.published))
            .collect()
    }
}

/// Five significant digits, without trailing zeros.
fn figure(value: f64) -> String {
    if value == 0.0 {
        return "0".to_owned();
    }
    let decimals = (4 - value.abs().log10().floor() as i32).clamp(0, 9) as usize;
    hullwire::units::trimmed(value, decimals)
}

/// The whole page.
pub fn write(sources: &[Source]) -> String {
    let mut page = String::from(
        "# Published figures beside ours\n\nWritten by `tests/published`, which fails where a figure is further off than its \
         row allows. A figure *read* was seen in print, mostly in a reprint; one *derived* was computed by hand from what the \
         source names; one *from memory* was not seen and is counted apart. The difference is relative to the published \
         figure.\n\n| source | checks | read | derived | from memory |\n| --- | ---: | ---: | ---: | ---: |\n",
    );
    let total = |mark| sources.iter().map(|s| s.marked(mark)).sum::<usize>();
    let row = |page: &mut String, name: &str, all: usize, counts: [usize; 3]| {
        let [read, derived, memory] = counts;
        let _ = writeln!(page, "| {name} | {all} | {read} | {derived} | {memory} |");
    };
    let marks = [Mark::Read, Mark::Derived, Mark::Memory];
    for source in sources {
        row(&mut page, source.name, source.count(), marks.map(|m| source.marked(m)));
    }
    row(&mut page, "all", sources.iter().map(Source::count).sum(), marks.map(total));
    for source in sources {
        let _ = write!(page, "\n## {}\n\n{}\n\n", source.name, source.how);
        page.push_str("| clause | figure | unit | published | ours | difference | mark |\n| --- | --- | --- | ---: | ---: | ---: | --- |\n");
        for c in &source.checks {
            let difference = match c.difference() {
                d if d.abs() < 5e-6 => "0".to_owned(),
                d => format!("{:+.2} %", 100.0 * d),
            };
            let _ = writeln!(
                page,
                "| {} | {} | {} | {} | {} | {difference} | {} |",
                c.clause,
                c.what,
                c.unit,
                figure(c.published),
                figure(c.ours),
                c.mark.words()
            );
        }
        let mut reasons: Vec<&str> = source.checks.iter().filter_map(|c| c.why).collect();
        reasons.dedup();
        for why in reasons {
            let _ = write!(page, "\nWhere they differ: {why}\n");
        }
    }
    page
}
