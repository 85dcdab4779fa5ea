//! The rule table of the README is the one that the program has. `UPDATE_README=1 cargo test --test survey_table` writes it.

use hullwire::survey::rule_table;

const START: &str = "<!-- rules: written by a test -->\n";
const END: &str = "<!-- end of rules -->";

#[test]
fn the_readme_has_the_rules_of_the_program() {
    let path = format!("{}/README.md", env!("CARGO_MANIFEST_DIR"));
    let readme = std::fs::read_to_string(&path).expect("the README can be read");
    let (before, rest) = readme.split_once(START).expect("the README has a place for the rules");
    let (table, after) = rest.split_once(END).expect("the place for the rules ends");
    if std::env::var_os("UPDATE_README").is_some() {
        std::fs::write(&path, format!("{before}{START}{}{END}{after}", rule_table()))
            .expect("the README can be written");
        return;
    }
    assert!(
        table == rule_table(),
        "the rules changed: UPDATE_README=1 cargo test --test survey_table writes the table anew"
    );
}

/// Published demands that a rule could be made of: each has a rule, or the reason why there is none.
#[test]
fn every_candidate_has_its_rules_or_a_reason() {
    let path = format!("{}/assets/rule_candidates.csv", env!("CARGO_MANIFEST_DIR"));
    let mut reader = csv::Reader::from_path(path).expect("the list can be read");
    let known: std::collections::BTreeSet<&str> = hullwire::survey::rules().iter().map(|r| r.info().id).collect();
    let mut wrong = Vec::new();
    let mut count = 0;
    for row in reader.records().map(|r| r.expect("five fields in each row")) {
        let (demand, source, mark, rules, why) = (&row[0], &row[1], &row[2], &row[3], &row[4]);
        count += 1;
        if rules.is_empty() == why.is_empty() {
            wrong.push(format!("“{demand}” needs rules or a reason, and not both"));
        }
        wrong.extend(rules.split_whitespace().filter(|id| !known.contains(id)).map(|id| format!("“{id}” is no rule")));
        if source.is_empty() || hullwire::units::Mark::from_slug(mark).is_none() {
            wrong.push(format!("“{demand}”: source “{source}”, mark “{mark}”"));
        }
    }
    assert!(wrong.is_empty() && count > 80, "{count} rows:\n{}", wrong.join("\n"));
}
