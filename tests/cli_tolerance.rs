//! `--with-tolerance` of `solve` and `survey`: bands in the JSON and in the tables, close findings, options and their errors.

use assert_cmd::Command;
use serde_json::Value;
use std::path::Path;

/// A generator and two circuits; the heater takes so many watts at 120 V behind a 15 A breaker.
fn list(watts: f64) -> String {
    format!(
        "# system: 120V60Hz\n\
         tag,kind,fed_from,run_w,rating_a,bonded,load_kind,conductor,length_m\n\
         G1,generator,,4000,40,yes,,,\n\
         A1,panel,G1,,,,,8 AWG,2\n\
         Q1,breaker,A1,,15,,,,\n\
         E1,appliance,Q1,{watts},,,power,10 AWG,4\n\
         Q2,breaker,A1,,15,,,,\n\
         E2,appliance,Q2,100,,,impedance,14 AWG,6\n"
    )
}

fn say(args: &[&str], list: &str) -> (String, String, i32) {
    let mut command = Command::cargo_bin("hullwire").unwrap();
    for name in ["DISPLAY", "WAYLAND_DISPLAY", "CLICOLOR_FORCE"] {
        command.env_remove(name);
    }
    let output = command.args(args).write_stdin(list.to_owned()).output().unwrap();
    let text = |bytes| String::from_utf8(bytes).unwrap();
    (text(output.stdout), text(output.stderr), output.status.code().unwrap())
}

fn json(args: &[&str], list: &str) -> Value {
    let (out, err, _) = say(args, list);
    serde_json::from_str(&out).unwrap_or_else(|e| panic!("{e}\n{out}\n{err}"))
}

/// Each figure of the answer that has a band lies in it; returns how many bands there were and the widest, as a share.
fn inside(answer: &Value) -> (usize, f64) {
    let (mut count, mut widest) = (0, 0.0f64);
    for kind in ["sources", "parts", "cables"] {
        for (tag, bands) in answer["tolerance"]["bands"][kind].as_object().unwrap() {
            for (key, band) in bands.as_object().unwrap().iter().filter(|(_, band)| !band.is_null()) {
                let figure = answer[kind][tag][key].as_f64().unwrap();
                let (least, most) = (band[0].as_f64().unwrap(), band[1].as_f64().unwrap());
                assert!(least <= figure && figure <= most, "{kind} {tag} {key}: {figure} in {least} to {most}");
                count += 1;
                widest = widest.max((most - least) / figure.abs().max(1e-3));
            }
        }
    }
    (count, widest)
}

#[test]
fn figures_lie_in_their_bands() {
    let samples = Path::new(env!("CARGO_MANIFEST_DIR")).join("samples");
    for name in ["trawler.hullwire", "motor-yacht.hullwire", "sailing-boat.hullwire"] {
        let file = samples.join(name);
        let args = ["solve", file.to_str().unwrap(), "--with-tolerance", "--samples", "4", "--format", "json"];
        let (count, widest) = inside(&json(&args, ""));
        assert!(count > 60 && widest > 0.1, "{name}: {count} bands, the widest {widest}");
    }
}

#[test]
fn no_tolerance_is_the_figure_itself() {
    let mut args = vec!["solve", "-", "--with-tolerance", "--format", "json"];
    for option in ["--length-tolerance", "--load-tolerance", "--cooler", "--hotter", "--contact"] {
        args.extend([option, "0"]);
    }
    let answer = json(&args, &list(900.0));
    let (count, widest) = inside(&answer);
    assert!(count > 20 && widest == 0.0, "{count} bands, the widest {widest}");
    assert_eq!(answer["tolerance"]["samples"], 0);
}

#[test]
fn a_breaker_near_its_rating_is_close_and_one_far_from_it_is_not() {
    // 1,750 W draw 14.7 A behind 15 A: 10 % more trip it. 1,850 W draw 15.5 A: 10 % less do not.
    for (watts, holds) in [(1750.0, false), (1850.0, true)] {
        let answer = json(&["survey", "-", "--with-tolerance", "--format", "json"], &list(watts));
        let close = answer["tolerance"]["close"].as_array().unwrap();
        let overload = close.iter().find(|f| f["rule"] == "breaker-overload").unwrap_or_else(|| panic!("{close:?}"));
        assert_eq!((&overload["holds"], &overload["parts"][0]), (&holds.into(), &"Q1".into()));
        let with = overload["in_samples"].as_u64().unwrap();
        assert!(with > 0 && with < answer["tolerance"]["samples"].as_u64().unwrap());
        let (out, _, _) = say(&["solve", "-", "--with-tolerance"], &list(watts));
        assert!(out.contains("breaker-overload on Q1: close."), "{out}");
    }
    for watts in [300.0, 2800.0] {
        let answer = json(&["survey", "-", "--with-tolerance", "--format", "json"], &list(watts));
        let close = answer["tolerance"]["close"].as_array().unwrap();
        assert!(close.iter().all(|f| f["rule"] != "breaker-overload"), "{close:?}");
    }
}

#[test]
fn the_same_seed_gives_the_same_answer() {
    let args = ["survey", "-", "--with-tolerance", "--samples", "9", "--seed", "7", "--format", "json"];
    assert_eq!(json(&args, &list(1750.0)), json(&args, &list(1750.0)));
    assert_eq!(json(&args, &list(1750.0))["tolerance"]["seed"], 7);
}

#[test]
fn what_is_out_of_range_says_what_would_be_valid() {
    for (option, value, valid) in [
        ("--length-tolerance", "100", "0 to less than 100"),
        ("--load-tolerance", "-5", "0 to less than 100"),
        ("--cooler", "400", "0 to 100 K"),
        ("--hotter", "nan", "0 to 100 K"),
        ("--contact", "1e9", "0 to 1000"),
    ] {
        let args = ["solve", "-", "--with-tolerance", &format!("{option}={value}")];
        let (_, err, status) = say(&args, &list(900.0));
        assert!(status == 2 && err.contains(option) && err.contains(valid), "{option}: {err}");
    }
    let (_, err, status) = say(&["solve", "-", "--hotter", "5"], &list(900.0));
    assert!(status == 2 && err.contains("--with-tolerance"), "{err}");
}

#[test]
fn without_figures_there_are_no_bands() {
    let lone = "# system: 120V60Hz\ntag,kind,fed_from,run_w,conductor,length_m\nG1,generator,,4000,,\nE1,appliance,G1,90000,14 AWG,50\n";
    let answer = json(&["solve", "-", "--with-tolerance", "--format", "json"], lone);
    assert!(answer["converged"] == false && answer["tolerance"]["bands"].is_null());
    let (out, _, _) = say(&["solve", "-", "--with-tolerance"], lone);
    assert!(out.contains("No bands:") && out.contains("Not sampled:"), "{out}");
}
