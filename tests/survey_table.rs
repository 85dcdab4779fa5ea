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
