//! `hullwire trial` through the real program.

use assert_cmd::Command;
use serde_json::Value;
use std::fs;
use std::process::Output;

const BOAT: &str = "# system: 120V60Hz\n# feeding: G1\ntag,kind,fed_from,run_w,conductor,length_m\n\
    G1,generator,,1800,,\nG2,generator,,2200,,\nQ1,selector,G1|G2,,none,0\nA1,panel,Q1,,none,0\n\
    E1,appliance,A1,1500,none,0\nE2,appliance,A1,400,none,0\nE3,appliance,A1,,none,0\n";

fn run(boat: &str, readings: &str, args: &[&str]) -> Output {
    let folder = tempfile::tempdir().unwrap();
    let (drawing, list) = (folder.path().join("boat.csv"), folder.path().join("readings.csv"));
    fs::write(&drawing, boat).unwrap();
    fs::write(&list, readings).unwrap();
    let mut command = Command::cargo_bin("hullwire").unwrap();
    command.arg("trial").arg(&drawing).arg(&list).args(args).output().unwrap()
}

fn ask(readings: &str) -> Value {
    let output = run(BOAT, readings, &["--format", "json"]);
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    serde_json::from_slice(&output.stdout).unwrap()
}

/// Common practice, no source: 50 % on an 1,800 W set and 25 % on a 2,200 W set, both rounding down in steps of 25 %.
#[test]
fn one_appliance_on_two_sets() {
    let text = "on,at,quantity,value,step,rounding,rated_w\nE1,G1,percent,50,25,down,\nE1,G2,percent,25,25,down,2200\n";
    let answer = ask(text);
    assert_eq!(answer["consistent"], true, "{answer:#}");
    assert_eq!(answer["contradiction"].as_array().map(Vec::len), Some(0));
    let e1 = &answer["appliances"]["E1"];
    assert_eq!((e1["watts_low"].as_f64(), e1["watts_high"].as_f64()), (Some(900.0), Some(1100.0)));
    assert_eq!(e1["nameplate_possible"], false, "1,500 W cannot be true");
    let words = String::from_utf8(run(BOAT, text, &[]).stdout).unwrap();
    assert!(words.contains("900 W to 1,100 W") && words.contains("cannot be true"), "{words}");
}

#[test]
fn sums_narrow_each_other() {
    let answer = ask(
        "on,at,quantity,value,step,rounding\nE1|E2,G1,watts,1500,0,\nE2|E3,G1,watts,700,0,\nE1|E3,G1,watts,1400,0,\n",
    );
    for (tag, watts) in [("E1", 1100.0), ("E2", 400.0), ("E3", 300.0)] {
        let draws = &answer["appliances"][tag];
        let (low, high) = (draws["watts_low"].as_f64().unwrap(), draws["watts_high"].as_f64().unwrap());
        assert!(low <= watts && watts <= high && high - low < 0.05, "{tag}: {draws}");
    }
    assert_eq!(answer["appliances"]["E1"]["nameplate_possible"], false);
    assert_eq!(answer["appliances"]["E2"]["nameplate_possible"], true);
    assert_eq!(answer["appliances"]["E3"]["nameplate_possible"], Value::Null);
}

#[test]
fn the_smallest_contradiction_is_named() {
    let text = "on,at,quantity,value,step,rounding\nE1,G1,watts,1000,10,nearest\nE2,G1,watts,400,10,nearest\n\
        E1|E2,G1,watts,1400,10,nearest\nE1|E3,G1,watts,900,10,nearest\nE1|E2|E3,G1,watts,1700,100,nearest\n";
    let answer = ask(text);
    assert_eq!(answer["consistent"], false);
    assert_eq!(answer["contradiction"], serde_json::json!([1, 4]));
    assert_eq!(answer["appliances"]["E1"]["watts_low"], Value::Null);
    let three = ask(
        "on,at,quantity,value,step,rounding\nE1,G1,watts,1000,0,\nE2,G1,watts,400,0,\nE3,G1,watts,50,0,\nE1|E2,G1,watts,1500,0,\n",
    );
    assert_eq!(three["contradiction"], serde_json::json!([1, 2, 4]));
    let one = ask("on,at,quantity,value,step,rounding\n,G1,watts,300,0,\n");
    assert_eq!(one["contradiction"], serde_json::json!([1]), "nothing was on");
}

#[test]
fn volts_are_compared_and_amps_narrow() {
    let boat = "# system: 120V60Hz\ntag,kind,fed_from,run_w,pf,conductor,length_m\n\
        G1,generator,,3000,,,\nE1,appliance,G1,1200,0.8,12 AWG,20\n";
    let text = "on,at,quantity,value,step,rounding\nE1,E1,volts,116,1,nearest\nE1,G1,amps,12.5,0.5,nearest\n";
    let output = run(boat, text, &["--format", "json"]);
    let answer: Value = serde_json::from_slice(&output.stdout).unwrap();
    let read = &answer["readings"][0];
    let expected = read["expected"].as_f64().unwrap();
    assert!(expected > 110.0 && expected < 118.0 && read["agrees"].is_boolean(), "{read}");
    let e1 = &answer["appliances"]["E1"];
    let (low, high) = (e1["watts_low"].as_f64().unwrap(), e1["watts_high"].as_f64().unwrap());
    assert!(low > 1050.0 && high < 1240.0 && high - low > 40.0, "{e1}");
}

#[test]
fn bad_readings_are_said_at_once() {
    let output = run(BOAT, "on,at,quantity,value\nE9,G1,power,x\n", &[]);
    assert_eq!(output.status.code(), Some(2));
    let err = String::from_utf8(output.stderr).unwrap();
    for words in
        ["3 errors", "line 2, column on", "line 2, column quantity", "line 2, column value", "“E9”", "such as E1"]
    {
        assert!(err.contains(words), "{words}\n{err}");
    }
}

#[test]
fn a_measured_power_is_taken_over_with_a_note() {
    let folder = tempfile::tempdir().unwrap();
    let path = |name: &str| folder.path().join(name);
    fs::write(path("boat.csv"), BOAT).unwrap();
    fs::write(path("r.csv"), "on,at,quantity,value,step,rounding\nE1,G1,watts,1000,10,nearest\n").unwrap();
    let mut command = Command::cargo_bin("hullwire").unwrap();
    command.arg("trial").arg(path("boat.csv")).arg(path("r.csv")).args(["--take-over", "E1", "-o"]);
    let output = command.arg(path("out.hullwire")).output().unwrap();
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    let written = hullwire::store::open(&path("out.hullwire")).unwrap().installation;
    let part = &written.parts[&written.part_by_tag("E1").unwrap()];
    assert_eq!(part.run_w, Some(1000.0));
    assert_eq!(part.note, "running power measured: 995 W to 1,005 W by reading 1, before 1,500 W");
    assert_eq!(part.origins[&hullwire::installation::Property::RunW], hullwire::installation::Origin::Measured);
    assert_eq!(written.readings.len(), 1, "the readings are kept");
}

/// Twelve appliances read one by one, and all of them together, which is too much by 100 W: every reading is needed.
#[test]
fn a_long_contradiction_is_known_to_be_the_smallest() {
    let mut boat = String::from(
        "# system: 120V60Hz\n# feeding: G1\ntag,kind,fed_from,run_w,conductor\nG1,generator,,9000,\nA1,panel,G1,,none\n",
    );
    let mut readings = String::from("on,at,quantity,value,step,rounding,rated_w\n");
    let tags: Vec<String> = (1..=12).map(|n| format!("E{n}")).collect();
    for (n, tag) in tags.iter().enumerate() {
        boat += &format!("{tag},appliance,A1,{},none\n", 100 + n);
        readings += &format!("{tag},G1,watts,{},1,nearest,\n", 100 + n);
    }
    let total: usize = (0..12).map(|n| 100 + n).sum();
    readings += &format!("{},G1,watts,{},1,nearest,\n", tags.join("|"), total + 100);
    let smallest = |readings: &str| {
        let output = run(&boat, readings, &["--format", "json"]);
        let answer: Value = serde_json::from_slice(&output.stdout).unwrap();
        assert_eq!(answer["smallest"], true, "{answer:#}");
        answer["contradiction"].as_array().map(Vec::len)
    };
    assert_eq!(smallest(&readings), Some(13));
    // One reading of two appliances does for two of one each.
    readings += "E1|E2,G1,watts,201,10,nearest,\n";
    assert_eq!(smallest(&readings), Some(12));
}
