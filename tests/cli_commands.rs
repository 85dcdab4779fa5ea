//! The program as a whole: commands, exit status, what goes where, JSON keys.

use assert_cmd::Command;
use serde_json::Value;
use std::path::{Path, PathBuf};

fn data(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data").join(name)
}

/// The program without a display and without colours from the environment.
fn hullwire() -> Command {
    let mut command = Command::cargo_bin("hullwire").unwrap();
    for name in ["DISPLAY", "WAYLAND_DISPLAY", "WAYLAND_SOCKET", "CLICOLOR_FORCE", "NO_COLOR", "CLICOLOR"] {
        command.env_remove(name);
    }
    command
}

struct Said {
    out: String,
    err: String,
    status: i32,
}

fn say(command: &mut Command) -> Said {
    let output = command.output().unwrap();
    Said {
        out: String::from_utf8(output.stdout).unwrap(),
        err: String::from_utf8(output.stderr).unwrap(),
        status: output.status.code().unwrap(),
    }
}

fn json(command: &mut Command) -> (Value, i32) {
    let said = say(command);
    let value = serde_json::from_str(&said.out).unwrap_or_else(|e| panic!("{e}\n{}\n{}", said.out, said.err));
    (value, said.status)
}

#[test]
fn solve_prints_the_keys_of_the_contract() {
    let (answer, status) = json(hullwire().arg("solve").arg(data("small.csv")).args(["--format", "json", "--timing"]));
    assert_eq!(status, 0, "{answer:#}");
    assert_eq!(answer["system"], "120V60Hz");
    assert_eq!(answer["condition"], "At the dock");
    assert_eq!(answer["feeding"], "X1");
    assert_eq!(answer["converged"], true);
    let source = &answer["sources"]["X1"];
    for key in ["watts", "va", "amps", "load_percent", "peak_watts_best_order", "peak_watts_all_at_once"] {
        assert!(source[key].is_number(), "{key}: {source}");
    }
    for key in ["peak_watts_worst_restart", "starts_worst_restart"] {
        assert!(source.get(key).is_some_and(Value::is_null), "nothing cycles: {key}");
    }
    for key in ["starts_best_order", "starts_all_at_once"] {
        assert!(source[key].is_boolean(), "{key}");
    }
    let heater = &answer["parts"]["E1"];
    assert_eq!(heater["energised"], true);
    for key in ["volts", "angle_deg", "amps", "drop_percent"] {
        assert!(heater[key].is_number(), "{key}: {heater}");
    }
    // 10 A of heater behind 2 m of 10 AWG and 6 m of 12 AWG, out and back: 120 V less 10 A × about 0.098 Ω.
    let volts = heater["volts"].as_f64().unwrap();
    assert!((118.9..119.2).contains(&volts), "{volts}");
    let cable = &answer["cables"]["E1"];
    for key in ["amps", "ohms", "drop_volts", "loss_watts", "ampacity_a"] {
        assert!(cable[key].is_number(), "{key}: {cable}");
    }
    assert!(cable["ampacity_rule"].is_string());
    for key in ["read_ms", "order_ms", "solve_ms"] {
        assert!(answer["timing"][key].is_number(), "{key}");
    }
    for key in ["findings", "not_checked", "cautions"] {
        assert!(answer[key].is_array(), "{key}");
    }
    assert!(answer["cautions"].as_array().unwrap().iter().all(Value::is_string));
}

#[test]
fn not_fed_and_not_solved_have_no_figures() {
    let (off, _) = json(hullwire().arg("solve").arg(data("small.csv")).args(["--format", "json", "--feeding", "off"]));
    assert_eq!(off["feeding"], serde_json::json!([]));
    assert_eq!(off["converged"], true);
    assert_eq!(off["parts"]["E1"]["energised"], false);
    assert!(off["parts"]["E1"]["volts"].is_null());
    let (ring, status) = json(hullwire().arg("solve").arg(data("loop.csv")).args(["--format", "json"]));
    assert_eq!((status, &ring["converged"]), (1, &Value::Bool(false)));
    assert!(ring["parts"]["E1"]["volts"].is_null() && ring["sources"]["X1"]["watts"].is_null());
    assert!(ring["findings"].as_array().unwrap().iter().any(|f| f["rule"] == "loop"), "{ring:#}");
}

#[test]
fn survey_has_findings_that_set_the_exit_status() {
    let (answer, status) = json(hullwire().arg("survey").arg(data("overload.csv")).args(["--format", "json"]));
    assert_eq!(status, 1);
    let findings = answer["findings"].as_array().unwrap();
    let overload = findings.iter().find(|f| f["rule"] == "breaker-overload").unwrap_or_else(|| panic!("{answer:#}"));
    assert_eq!((&overload["unit"], &overload["limit"]), (&Value::from("A"), &Value::from(5.0)));
    assert_eq!(overload["parts"][0], "Q1");
    for key in ["severity", "message", "figure", "source", "mark"] {
        assert!(!overload[key].is_null(), "{key}");
    }
    assert_eq!(answer["accepted"], serde_json::json!([]));
    let counted: u64 = answer["counts"].as_object().unwrap().values().map(|n| n.as_u64().unwrap()).sum();
    assert_eq!(counted, findings.len() as u64);
    assert_eq!(say(hullwire().arg("survey").arg(data("small.csv"))).status, 0);
    assert_eq!(say(hullwire().arg("solve").arg(data("overload.csv"))).status, 1);
}

#[test]
fn text_answers_end_with_cautions_and_the_last_line() {
    for command in ["survey", "solve"] {
        let said = say(hullwire().arg(command).arg(data("overload.csv")));
        let last = said.out.trim_end().lines().last().unwrap();
        assert!(last.contains("not made; 0 findings are accepted."), "{last}");
        assert!(said.out.contains("Cautions") && said.out.contains("Electric shock"), "{}", said.out);
        assert!(!said.out.contains('\u{1b}'), "no colour where the output is no terminal");
        let forced = say(hullwire().arg(command).arg(data("overload.csv")).env("CLICOLOR_FORCE", "1"));
        assert!(forced.out.contains('\u{1b}'));
        let plain = say(hullwire().arg(command).arg(data("overload.csv")).env("NO_COLOR", "1"));
        assert!(!plain.out.contains('\u{1b}'));
    }
}

#[test]
fn import_and_export_round_trip() {
    let dir = tempfile::tempdir().unwrap();
    let (drawing, list) = (dir.path().join("boat.hullwire"), dir.path().join("boat.csv"));
    let said = say(hullwire().arg("import").arg(data("small.csv")).arg("-o").arg(&drawing));
    assert_eq!(said.status, 0, "{}", said.err);
    assert!(said.out.contains("4 parts, 3 cables"), "{}", said.out);
    let text = std::fs::read_to_string(&drawing).unwrap();
    assert!(serde_json::from_str::<Value>(&text).unwrap()["version"] == 1);
    assert!(text.contains("\"at\""), "laid out");
    assert_eq!(say(hullwire().arg("export").arg(&drawing).arg("-o").arg(&list)).status, 0);
    let printed = say(hullwire().arg("export").arg(&drawing));
    assert_eq!(printed.out, std::fs::read_to_string(&list).unwrap());
    assert!(printed.err.contains("Electric shock"), "cautions go to standard error");
    let figures = |path: &Path| json(hullwire().arg("solve").arg(path).args(["--format", "json"])).0;
    let (first, second) = (figures(&data("small.csv")), figures(&list));
    for key in ["sources", "parts", "cables", "findings", "not_checked", "feeding", "condition"] {
        assert_eq!(first[key], second[key], "{key}");
        assert_eq!(first[key], figures(&drawing)[key], "{key}");
    }
    let piped = say(hullwire().args(["solve", "-", "--format", "json"]).write_stdin(printed.out));
    assert_eq!(serde_json::from_str::<Value>(&piped.out).unwrap()["parts"], first["parts"]);
}

#[test]
fn a_wrong_list_is_refused_as_a_whole() {
    let dir = tempfile::tempdir().unwrap();
    let drawing = dir.path().join("boat.hullwire");
    let said = say(hullwire().arg("import").arg(data("many_errors.csv")).arg("-o").arg(&drawing));
    assert_eq!((said.status, said.out.as_str()), (2, ""));
    assert!(said.err.contains("many_errors.csv has 10 errors as a circuit list"), "{}", said.err);
    assert!(said.err.contains("line 9, column run_w: found “1.5 kW”; valid: watts, a bare number"), "{}", said.err);
    assert!(!drawing.exists(), "nothing is written");
}

#[test]
fn bad_use_ends_with_two() {
    let dir = tempfile::tempdir().unwrap();
    for arguments in [
        vec!["solve"],
        vec!["solve", "nowhere.csv"],
        vec!["frobnicate", "x"],
        vec!["solve", "--format", "xml", "x.csv"],
        vec!["import", "nowhere.csv", "-o", "x.hullwire"],
        vec!["import", "nowhere.csv"],
    ] {
        let said = say(hullwire().current_dir(dir.path()).args(&arguments));
        assert_eq!((said.status, said.out.as_str()), (2, ""), "{arguments:?}");
        assert!(!said.err.is_empty(), "{arguments:?}");
    }
    let said = say(hullwire().arg("solve").arg(data("small.csv")).args(["--feeding", "Q1"]));
    assert!(said.status == 2 && said.err.contains("valid: X1, off"), "{}", said.err);
    let said = say(hullwire().arg("solve").arg(data("small.csv")).args(["--condition", "7"]));
    assert!(said.status == 2 && said.err.contains("1 “At the dock”"), "{}", said.err);
    assert_eq!(say(hullwire().arg("solve").arg(data("small.csv")).args(["--condition", "at the DOCK"])).status, 0);
}

#[test]
fn help_teaches_and_names_only_what_exists() {
    let said = say(hullwire().arg("--help"));
    assert_eq!((said.status, said.err.as_str()), (0, ""));
    for word in ["survey", "solve", "import", "export", "Examples:", "Exit status"] {
        assert!(said.out.contains(word), "{word}");
    }
    for command in ["survey", "solve", "import", "export"] {
        let said = say(hullwire().args([command, "--help"]));
        assert!(said.status == 0 && said.out.contains("Example"), "{command}");
    }
    assert!(say(hullwire().arg("--version")).out.starts_with("hullwire "));
}

#[test]
fn without_a_display_the_survey_stands_in_for_the_window() {
    let said = say(&mut hullwire());
    assert!(said.status < 2, "{}", said.err);
    assert!(said.out.contains("Cautions") && said.err.contains("built-in sample") && said.err.contains("--help"));
    let said = say(hullwire().arg(data("overload.csv")));
    assert_eq!(said.status, 1, "{}", said.err);
    assert!(said.err.contains("overload.csv"));
    assert_eq!(say(hullwire().arg("nowhere.hullwire")).status, 2);
}

#[cfg(unix)]
#[test]
fn a_reader_that_goes_away_is_no_error() {
    let program = assert_cmd::cargo::cargo_bin("hullwire");
    let script = format!("'{}' solve '{}' 2>err | true", program.display(), data("overload.csv").display());
    let dir = tempfile::tempdir().unwrap();
    for _ in 0..5 {
        std::process::Command::new("sh").arg("-c").arg(&script).current_dir(dir.path()).status().unwrap();
        assert_eq!(std::fs::read_to_string(dir.path().join("err")).unwrap(), "");
    }
}

#[test]
fn a_refit_is_judged_as_it_will_be_and_on_request_as_it_is() {
    let dir = tempfile::tempdir().unwrap();
    let list = dir.path().join("refit.csv");
    let text = "# system: 120V60Hz\ntag,kind,fed_from,rating_a,run_w,conductor,length_m,status\n\
        X1,shore-inlet,,30,,,,\nQ1,breaker,X1,5,,none,,remove\nQ2,breaker,X1,15,,none,,new\n\
        E1,appliance,Q2,,1200,12 AWG,5,\n";
    std::fs::write(&list, text).unwrap();
    let solved = |as_is: &[&str]| json(hullwire().arg("solve").arg(&list).args(["--format", "json"]).args(as_is)).0;
    assert_eq!(solved(&[])["parts"]["E1"]["energised"], true);
    assert_eq!(solved(&[])["parts"]["Q1"]["state"], "may be live");
    let now = solved(&["--as-is"]);
    assert_eq!(now["parts"]["E1"]["energised"], false);
    assert_eq!(now["parts"]["Q1"]["energised"], true);
    assert!(now["parts"].get("Q2").is_none());
}

#[test]
fn what_is_accepted_is_listed_apart_and_sets_no_exit_status() {
    let dir = tempfile::tempdir().unwrap();
    let drawing = dir.path().join("boat.hullwire");
    say(hullwire().arg("import").arg(data("overload.csv")).arg("-o").arg(&drawing));
    let survey = || json(hullwire().arg("survey").arg(&drawing).args(["--format", "json"]));
    let (before, status) = survey();
    assert_eq!(status, 1);
    let mut file: Value = serde_json::from_str(&std::fs::read_to_string(&drawing).unwrap()).unwrap();
    let id = |tag: &str| file["parts"].as_array().unwrap().iter().find(|p| p["tag"] == tag).unwrap()["id"].clone();
    let bad = |f: &&Value| f["severity"] == "WARNING" || f["severity"] == "DANGER";
    let all: Vec<Value> = before["findings"]
        .as_array()
        .unwrap()
        .iter()
        .filter(bad)
        .map(|f| {
            let fed = |tag: &Value| {
                let to = id(tag.as_str().unwrap());
                let cable = file["cables"].as_array().unwrap().iter().find(|c| c["to"] == to).unwrap();
                cable["id"].clone()
            };
            let cables: Vec<Value> = f["cables"].as_array().unwrap().iter().map(fed).collect();
            let parts: Vec<Value> = f["parts"].as_array().unwrap().iter().map(|t| id(t.as_str().unwrap())).collect();
            serde_json::json!({ "rule": f["rule"], "parts": parts, "cables": cables, "reason": "for the season", "by": "A. Owner", "figure": f["figure"] })
        })
        .map(|mut a| {
            if a["figure"].is_null() {
                a.as_object_mut().unwrap().remove("figure");
            }
            a
        })
        .collect();
    let count = all.len();
    file["accepted"] = all.into();
    std::fs::write(&drawing, file.to_string()).unwrap();
    let (after, status) = survey();
    assert_eq!(status, 0, "{after:#}");
    assert_eq!(after["accepted"].as_array().unwrap().len(), count);
    assert_eq!(after["accepted"][0]["reason"], "for the season");
    assert_eq!((&after["counts"]["WARNING"], &after["counts"]["DANGER"]), (&Value::from(0), &Value::from(0)));
    let text = say(hullwire().arg("survey").arg(&drawing));
    let word = if count == 1 { "finding is" } else { "findings are" };
    assert!(text.out.trim_end().ends_with(&format!("{count} {word} accepted.")), "{}", text.out);
    assert!(text.out.contains("Accepted by A. Owner: for the season"), "{}", text.out);
    assert_eq!(say(hullwire().arg("solve").arg(&drawing)).status, 0);
}

#[test]
fn cures_say_what_changes_or_that_it_is_for_the_electrician() {
    let sample = Path::new(env!("CARGO_MANIFEST_DIR")).join("samples/trawler-before.hullwire");
    let (answer, status) = json(hullwire().arg("survey").arg(&sample).args(["--cures", "--format", "json"]));
    assert_eq!(status, 1);
    let cures = answer["cures"].as_array().unwrap();
    let of = |rule: &str| cures.iter().find(|c| c["rule"] == rule).unwrap_or_else(|| panic!("{rule}: {cures:#?}"));
    let raised = of("breaker-overload");
    assert_eq!((&raised["alone"], &raised["for_electrician"]), (&Value::Bool(true), &Value::Bool(false)));
    let rating = raised["figures"].as_array().unwrap().iter().find(|f| f["quantity"] == "rated current").unwrap();
    assert!(rating["after"].as_f64() > rating["before"].as_f64(), "{rating}");
    let bond = of("bond-missing");
    assert!(bond["for_electrician"] == true && bond["change"].is_null() && bond["because"].is_string());
    let said = say(hullwire().arg("survey").arg(&sample).arg("--cures"));
    for words in ["Change: ", "For the electrician: ", "No change is offered: ", "never as one of a list", " → "] {
        assert!(said.out.contains(words), "{words}\n{}", said.out);
    }
    assert!(json(hullwire().arg("survey").arg(&sample).args(["--format", "json"])).0.get("cures").is_none());
}

/// A kettle and a heater are too much for the set together, a motor with a figure missing is never said to run.
#[test]
fn together_prints_the_keys_of_the_contract() {
    let list = "# system: 120V60Hz\n# feeding: G1\n\
        tag,kind,label,fed_from,run_w,start_w,load_kind,rating_a,must_run,cycles,conductor,length_m\n\
        G1,generator,Set,,2000,2500,,20,,,,\n\
        A1,panel,Panel,G1,,,,,,,10 AWG,3\n\
        E1,appliance,Kettle,A1,1200,,impedance,,,,12 AWG,4\n\
        E2,appliance,Heater,A1,1000,,impedance,,,,12 AWG,4\n\
        M1,appliance,Refrigerator,A1,150,600,motor,,yes,yes,14 AWG,4\n\
        M2,appliance,Pump,A1,200,,motor,,,,14 AWG,4\n";
    let (answer, status) = json(hullwire().args(["together", "-", "--format", "json"]).write_stdin(list));
    assert_eq!(status, 0, "{answer:#}");
    assert_eq!(answer["feeding"], "G1");
    assert_eq!((&answer["exact"], answer["count"].as_u64()), (&Value::Bool(true), Some(2)), "{answer:#}");
    assert_eq!(answer["conflicts"][0]["parts"], serde_json::json!(["E1", "E2"]));
    assert_eq!(answer["conflicts"][0]["stopped_by"], "running");
    assert_eq!(answer["combinations"], serde_json::json!([["E1"], ["E2"]]));
    assert_eq!(answer["must_run"], serde_json::json!(["M1"]));
    assert_eq!(answer["not_known"][0]["part"], "M2");
    assert_eq!(answer["by_watts_only"], true);
    let said = say(hullwire().args(["together", "-"]).write_stdin(list));
    assert!(
        said.out.contains("Kettle and Heater cannot run together on G1: G1 would have to give 2,3"),
        "{}",
        said.out
    );
    assert!(said.out.contains("Pump: not said to run"), "{}", said.out);
}

#[test]
fn compare_prints_the_keys_of_the_contract() {
    let dir = tempfile::tempdir().unwrap();
    let (old, new) = (data("small.csv"), dir.path().join("new.csv"));
    let text = std::fs::read_to_string(&old).unwrap();
    assert!(text.contains("12 AWG"));
    std::fs::write(&new, text.replace("12 AWG", "10 AWG")).unwrap();
    let compared = |a: &Path, b: &Path| json(hullwire().arg("compare").arg(a).arg(b).args(["--format", "json"]));
    let (answer, status) = compared(&old, &new);
    assert_eq!(status, 0);
    for key in ["added", "removed", "moved"] {
        assert_eq!(answer[key], serde_json::json!([]), "{key}");
    }
    let change = &answer["changed"][0];
    assert_eq!((&change["tag"], &change["property"]), (&Value::from("E1"), &Value::from("conductor")), "{answer}");
    assert_eq!((&change["old"], &change["new"]), (&Value::from("12 AWG"), &Value::from("10 AWG")));
    assert_eq!(answer["changed"].as_array().unwrap().len(), 1, "{answer}");
    let drawing = dir.path().join("boat.hullwire");
    say(hullwire().arg("import").arg(&old).arg("-o").arg(&drawing));
    assert_eq!(compared(&old, &drawing).0["changed"], serde_json::json!([]));
    let said = say(hullwire().arg("compare").arg(&old).arg(&new));
    assert!(said.out.contains("conductor") && said.out.contains("12 AWG"), "{}", said.out);
    assert_eq!(say(hullwire().arg("compare").arg(&old).arg(&drawing)).out, "No difference.\n");
}

#[test]
fn a_revision_is_issued_and_compared_with() {
    let dir = tempfile::tempdir().unwrap();
    let drawing = dir.path().join("boat.hullwire");
    say(hullwire().arg("import").arg(data("small.csv")).arg("-o").arg(&drawing));
    let none = say(hullwire().arg("compare").arg(&drawing));
    assert!(none.status == 2 && none.err.contains("none was issued yet"), "{}", none.err);
    let said = say(hullwire().arg("revise").arg(&drawing).args(["--date", "2026-05-30", "--by", "A. Owner"]));
    assert!(said.status == 0 && said.out.contains("revision A, 2026-05-30"), "{}{}", said.out, said.err);
    assert!(dir.path().join("boat.hullwire.bak").exists());
    assert_eq!(say(hullwire().arg("compare").arg(&drawing)).out, "No difference.\n");
    let taken = say(hullwire().arg("revise").arg(&drawing).args(["--date", "x", "--letter", "A"]));
    assert!(taken.status == 2 && taken.err.contains("issued already"), "{}", taken.err);
    assert_eq!(say(hullwire().arg("revise").arg(&drawing)).status, 2, "a date is required: no clock is read");
    let mut file: Value = serde_json::from_str(&std::fs::read_to_string(&drawing).unwrap()).unwrap();
    let heater = file["parts"].as_array_mut().unwrap().iter_mut().find(|p| p["tag"] == "E1").unwrap();
    heater["run_w"] = 999.into();
    std::fs::write(&drawing, file.to_string()).unwrap();
    let (answer, _) = json(hullwire().arg("compare").arg(&drawing).args(["--revision", "a", "--format", "json"]));
    assert_eq!(answer["changed"][0]["new"], "999", "{answer}");
    let said = say(hullwire().arg("revise").arg(&drawing).args(["--date", "2026-06-30", "-o", "-"]));
    assert_eq!(serde_json::from_str::<Value>(&said.out).unwrap()["revisions"][1]["letter"], "B");
    let list = say(hullwire().arg("revise").arg(data("small.csv")).args(["--date", "x"]));
    assert!(list.status == 2 && list.err.contains("circuit list"), "{}", list.err);
}

#[test]
fn rules_are_listed_and_explained() {
    let (answer, status) = json(hullwire().args(["rules", "--format", "json"]));
    assert_eq!(status, 0);
    let all = answer.as_array().unwrap();
    assert!(all.len() >= 60);
    let marks = ["read", "derived", "memory", "common-practice"];
    for rule in all {
        for key in ["rule", "severity", "demand", "source"] {
            assert!(rule[key].as_str().is_some_and(|t| !t.is_empty()), "{key}: {rule}");
        }
        assert!(marks.contains(&rule["mark"].as_str().unwrap()) && rule["cure"].is_boolean(), "{rule}");
        assert!(rule["clashes"].as_object().unwrap().values().all(|c| c.as_str().unwrap().contains("not used")));
        let sets: Vec<&str> = rule["sets"].as_array().unwrap().iter().map(|s| s.as_str().unwrap()).collect();
        assert!(!sets.is_empty() && sets.iter().all(|s| ["us", "international"].contains(s)), "{rule}");
    }
    let (us, _) = json(hullwire().args(["rules", "--set", "us", "--format", "json"]));
    assert!(us.as_array().unwrap().len() < all.len());
    let (one, _) = json(hullwire().args(["rules", "breaker-overload", "--format", "json"]));
    assert!(one["rule"] == "breaker-overload" && one["explanation"].as_str().unwrap().contains("Why it matters"));
    let said = say(hullwire().args(["rules", "breaker-overload"]));
    for words in ["Worst: WARNING", "Source: UL 489", "What it finds", "Must not fire"] {
        assert!(said.out.contains(words), "{words}\n{}", said.out);
    }
    let wrong = say(hullwire().args(["rules", "breaker-overlord"]));
    assert!(wrong.status == 2 && wrong.err.contains("breaker-overload"), "{}", wrong.err);
}

#[test]
fn loads_prints_every_condition_and_compares_sources() {
    let sample = Path::new(env!("CARGO_MANIFEST_DIR")).join("samples/trawler.hullwire");
    let (answer, status) = json(hullwire().arg("loads").arg(&sample).args(["--format", "json"]));
    assert_eq!(status, 0);
    let conditions = answer["conditions"].as_array().unwrap();
    assert!(conditions.len() > 1);
    let set = &conditions[0]["sources"]["G1"];
    for key in ["connected_watts", "running_watts", "running_va", "mean_watts", "amps", "rating_watts", "reserve_watts"]
    {
        assert!(set[key].is_number(), "{key}: {set}");
    }
    assert!(conditions[0]["largest_start"]["G1"]["part"].is_string());
    assert!(conditions[0]["appliances"]["M1"]["share"].is_number());
    let (one, _) = json(hullwire().arg("loads").arg(&sample).args(["--format", "json", "--condition", "2"]));
    assert_eq!(one["conditions"].as_array().unwrap().len(), 1);
    let (compared, _) = json(hullwire().arg("loads").arg(&sample).args(["--compare", "--format", "json"]));
    let sources = compared["sources"].as_array().unwrap();
    assert_eq!(sources[0]["in_place_of"], "G1");
    assert_eq!(sources[0]["conditions"].as_array().unwrap().len(), conditions.len());
    let said = say(hullwire().arg("loads").arg(&sample));
    assert!(said.out.contains("Largest start on G1: Air conditioner"), "{}", said.out);
    let said = say(hullwire().arg("loads").arg(&sample).arg("--compare"));
    assert!(said.out.contains("Worst restart by itself"), "{}", said.out);
}

#[test]
fn solve_says_what_to_measure_first() {
    let sample = Path::new(env!("CARGO_MANIFEST_DIR")).join("samples/trawler.hullwire");
    let (answer, _) = json(hullwire().arg("solve").arg(&sample).args(["--format", "json"]));
    assert!(answer["to_measure"].is_array() && answer["parts"]["E1"]["origins"].is_object());
    assert_eq!(answer["parts"]["E1"]["status"], "existing");
    assert_eq!(answer["cables"]["E1"]["status"], "existing");
    let list = "# system: 120V60Hz\ntag,kind,fed_from,rating_a,run_w,conductor,length_m\nX1,shore-inlet,,30,,,\n\
        Q1,breaker,X1,15,,none,\nE1,appliance,Q1,,800,12 AWG,\n";
    let (answer, _) = json(hullwire().args(["solve", "-", "--format", "json"]).write_stdin(list));
    let first = answer["to_measure"].as_array().unwrap();
    assert!(first.iter().any(|m| m["property"] == "length_m" && m["tag"] == "E1" && m["doubt"] == "not known"));
    let said = say(hullwire().args(["solve", "-"]).write_stdin(list));
    assert!(said.out.contains("length, one way, not known: cable to E1"), "{}", said.out);
}
