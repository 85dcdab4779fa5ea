//! `hullwire placing` through the real program.

use assert_cmd::Command;
use serde_json::Value;

const BOAT: &str = "# system: 230V50Hz\n# feeding: G1\n\
    tag,kind,run_w,portable,size_mm,air_gap_mm,exhaust_gap_mm,noise_db,noise_m,weight_kg\n\
    G1,generator,1800,yes,512x290x425,50,150,58,7,21\nG2,generator,1800,yes,512x290x425,,,58,7,\n";

fn said(args: &[&str]) -> std::process::Output {
    Command::cargo_bin("hullwire").unwrap().args(["placing", "-"]).args(args).write_stdin(BOAT).output().unwrap()
}

#[test]
fn trays_and_sound_by_hand() {
    let output =
        said(&["--tray", "Stern=400x720x500", "--tray", "Small=500x300x400", "--at", "14", "--format", "json"]);
    let answer: Value = serde_json::from_slice(&output.stdout).unwrap();
    let g1 = &answer["sets"]["G1"];
    assert_eq!(g1["trays"][0]["fits"], true);
    assert_eq!(g1["trays"][0]["turn"], "upright, crosswise");
    assert_eq!(g1["trays"][0]["spare_mm"]["width"], 8.0);
    assert_eq!(g1["trays"][1]["fits"], false);
    assert_eq!(answer["sets"]["G2"]["trays"][0]["fits"], Value::Null, "its clearances are not known");
    let near = |value: &Value, expected: f64| assert!((value.as_f64().unwrap() - expected).abs() < 0.01, "{value}");
    near(&g1["db"], 51.98);
    near(&answer["together_db"], 54.99);
}

#[test]
fn no_word_that_a_portable_petrol_set_may_run_there() {
    let output = said(&["--tray", "Stern=800x720x600"]);
    let out = String::from_utf8(output.stdout).unwrap();
    let flat = out.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(flat.contains("fits") && flat.contains("never aboard and never in a closed space"), "{out}");
    assert!(flat.to_lowercase().contains("carbon monoxide"), "the caution stands\n{out}");
    let bad = said(&["--tray", "Stern"]);
    assert_eq!(bad.status.code(), Some(2));
    assert!(String::from_utf8(bad.stderr).unwrap().contains("such as 512x290x425"));
}
