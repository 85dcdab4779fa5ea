//! The engine held against published figures: one module a source. Each check states its clause and its mark; together
//! they write the page `assets/published_checks.md`, which is kept by `UPDATE_CHECKS=1 cargo test --test published`.

mod ac43_13;
mod cfr33;
mod cfr46;
mod iec60228;
mod iec60364;
mod motors;
mod nbs100;
mod nec;
mod page;
mod rig;
mod worked;

use page::Source;

fn sources() -> Vec<Source> {
    vec![
        cfr33::checks(),
        cfr46::checks(),
        nec::checks(),
        motors::checks(),
        iec60228::checks(),
        iec60364::checks(),
        nbs100::checks(),
        ac43_13::checks(),
        worked::checks(),
    ]
}

#[test]
fn every_published_figure_is_met_or_its_difference_is_explained() {
    let sources = sources();
    let faults: Vec<String> = sources.iter().flat_map(Source::faults).collect();
    assert!(faults.is_empty(), "{}", faults.join("\n"));
    let count: usize = sources.iter().map(Source::count).sum();
    assert!(count >= 200, "{count} checks");
}

#[test]
fn the_page_of_published_checks_is_what_the_checks_give() {
    let page = page::write(&sources());
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/assets/published_checks.md");
    if std::env::var_os("UPDATE_CHECKS").is_some() {
        std::fs::write(path, &page).unwrap();
    }
    let kept = std::fs::read_to_string(path).unwrap_or_default();
    assert!(kept == page, "assets/published_checks.md is out of date: UPDATE_CHECKS=1 cargo test --test published");
}
