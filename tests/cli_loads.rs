//! `hullwire loads --compare` and `hullwire together --run` through the real program.

use assert_cmd::Command;
use hullwire::installation::{BoxSize, Candidate, Part, Span, Tray};
use hullwire::store::{list::import, save};
use serde_json::Value;
use std::path::PathBuf;

const BOAT: &str = "# system: 120V60Hz\n# feeding: G1\n\
    tag,kind,label,fed_from,run_w,start_w,load_kind,cycles,must_run,size_mm,air_gap_mm,exhaust_gap_mm,noise_db,noise_m,weight_kg,tank_l,fuel_curve,fuel_aboard_l,conductor,length_m\n\
    G1,generator,Set,,3000,4000,,,,512x290x425,50,150,60,7,40,4,0:0.4|100:1.6,20,,\n\
    X3,outlet,Galley outlet,G1,,,,,,,,,,,,,,,12 AWG,6\n\
    M1,appliance,Air conditioner,G1,1000,3600,motor,yes,,,,,,,,,,,none,\n\
    E1,appliance,Heater,G1,1000,,impedance,,,,,,,,,,,,none,\n\
    E2,appliance,Oven,G1,2500,,impedance,,,,,,,,,,,,none,\n\
    E4,appliance,Kettle,X3,1200,,impedance,,,,,,,,,,,,none,\n\
    E3,appliance,Lamp,G1,50,,power,,yes,,,,,,,,,,none,\n";

fn hullwire() -> Command {
    Command::cargo_bin("hullwire").unwrap()
}

fn ask(command: &mut Command, input: &[u8]) -> (String, String, Option<i32>) {
    let output = command.write_stdin(input.to_vec()).output().unwrap();
    let text = |bytes: Vec<u8>| String::from_utf8(bytes).unwrap();
    (text(output.stdout), text(output.stderr), output.status.code())
}

/// The drawing of the list with a day's hours, a tray and a candidate, as a file.
fn drawing() -> (tempfile::TempDir, PathBuf) {
    let mut doc = import(BOAT).unwrap().installation;
    let source = doc.part_by_tag("G1").unwrap();
    let mut part = Part::clone(&doc.parts[&source]);
    (part.run_w, part.start_w) = (Some(5000.0), Some(7000.0));
    part.set_data.size = BoxSize::parse("700x500x600");
    doc.candidates =
        vec![Candidate { name: "Large set".to_owned(), in_place_of: source, part: part.into(), pair: false }];
    let inner = BoxSize::parse("800x500x600").unwrap();
    doc.trays = vec![Tray { name: "Stern tray".to_owned(), inner, open_above: false }];
    doc.conditions[0].hours = vec![Span { from: 6.0, to: 10.0 }];
    let dir = tempfile::tempdir().unwrap();
    let file = dir.path().join("boat.hullwire");
    save(&file, &doc, false).unwrap();
    (dir, file)
}

/// By hand: 800 − 512 − 50 − 150 = 88 mm along; 700 + 200 mm is 100 too long; 60 dB at 7 m is 54.0 at 14 m.
#[test]
fn sources_are_compared_with_fit_noise_fuel_and_weakest_volts() {
    let (_dir, file) = drawing();
    let mut command = hullwire();
    command.arg("loads").arg(&file).args(["--compare", "--at", "14", "--format", "json"]);
    let (out, err, status) = ask(&mut command, b"");
    assert_eq!(status, Some(0), "{err}");
    let answer: Value = serde_json::from_str(&out).unwrap();
    assert_eq!(answer["distance_m"], 14.0);
    let [present, large] = answer["sources"].as_array().unwrap().as_slice() else { panic!("{answer}") };
    assert_eq!(
        (&present["trays"][0]["fits"], &present["trays"][0]["spare_mm"]["length"]),
        (&true.into(), &88.0.into())
    );
    assert_eq!(
        (&large["trays"][0]["fits"], &large["trays"][0]["spare_mm"]["length"]),
        (&false.into(), &(-100.0).into())
    );
    let near = |value: &Value, wanted: f64| assert!((value.as_f64().unwrap() - wanted).abs() < 0.01, "{value}");
    near(&present["noise_db_at_distance"], 60.0 - 20.0 * 2.0_f64.log10());
    let stand = &large["conditions"][0];
    assert_eq!(stand["weakest_outlet"]["part"], "X3");
    assert!(stand["weakest_outlet"]["volts"].as_f64().is_some_and(|v| v > 100.0 && v < 120.0), "{stand}");
    assert!(stand["newly_possible"].as_array().is_some_and(|n| !n.is_empty()));
    assert!(present["litres_per_day"].is_number() && present["days"].is_number() && present["weight_kg"] == 40.0);
    let mut command = hullwire();
    let (out, ..) = ask(command.arg("loads").arg(&file).arg("--compare"), b"");
    let flat = out.split_whitespace().collect::<Vec<_>>().join(" ");
    for words in ["In Stern tray", "does not fit", "Noise at 7 m", "Days on the fuel aboard", "Not possible on G1 Set"]
    {
        assert!(flat.contains(words), "{words}\n{out}");
    }
    assert!(flat.contains("never aboard and never in a closed space"), "{out}");
    let mut command = hullwire();
    let (_, err, status) = ask(command.arg("loads").arg(&file).args(["--compare", "--at", "far"]), b"");
    assert!(status == Some(2) && err.contains("metres above 0"), "{err}");
}

#[test]
fn together_says_how_each_stands_to_what_must_run() {
    let mut command = hullwire();
    let (out, err, status) = ask(command.args(["together", "-", "--run", "E1", "--format", "json"]), BOAT.as_bytes());
    assert_eq!(status, Some(0), "{err}");
    let answer: Value = serde_json::from_str(&out).unwrap();
    assert_eq!(answer["runs"], true);
    assert_eq!(answer["standings"]["E1"]["standing"], "running");
    // 1,050 W run; the motor would ask for 4,650 W now, or, first of all, for 3,650 W; but it cycles, and may restart last.
    assert_eq!(answer["standings"]["M1"]["standing"], "no");
    assert_eq!(answer["standings"]["M1"]["stopped_by"], "starting");
    assert_eq!(answer["standings"]["E2"]["stopped_by"], "running");
    let order = &answer["starting_order"]["G1"];
    assert_eq!(order["steps"].as_array().map(Vec::len), Some(2), "the lamp always runs: {order}");
    assert_eq!((&order["peak_watts"], &order["within"]), (&1050.0.into(), &true.into()));
    let once = BOAT.replace("3600,motor,yes", "3600,motor,no");
    let mut command = hullwire();
    let (out, ..) = ask(command.args(["together", "-", "--run", "E1|M1"]), once.as_bytes());
    let flat = out.split_whitespace().collect::<Vec<_>>().join(" ");
    for words in [
        "1. Air conditioner: peak 3,600 W, then 1,000 W running",
        "Largest peak 3,600 W of 4,000 W: every start is within it.",
        "Switch off Air conditioner before changing source.",
    ] {
        assert!(flat.contains(words), "{words}\n{out}");
    }
    let mut command = hullwire();
    let (out, ..) = ask(command.args(["together", "-", "--run", "E1"]), once.as_bytes());
    assert!(out.contains("only in this order: Air conditioner, "), "{out}");
    let mut command = hullwire();
    let (_, err, status) = ask(command.args(["together", "-", "--run", "G1"]), BOAT.as_bytes());
    assert!(status == Some(2) && err.contains("“G1” is no appliance") && err.contains("E1"), "{err}");
}
