//! `hullwire endurance` through the real program.

use assert_cmd::Command;
use serde_json::Value;

/// The answer as JSON to a circuit list on standard input.
fn ask(list: &str, args: &[&str]) -> Value {
    let mut command = Command::cargo_bin("hullwire").unwrap();
    let output = command.args(["endurance", "-", "--format", "json"]).args(args).write_stdin(list).output().unwrap();
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    serde_json::from_slice(&output.stdout).unwrap()
}

fn near(value: &Value, expected: f64, tolerance: f64) {
    let found = value.as_f64().unwrap_or_else(|| panic!("{value}, expected {expected}"));
    assert!((found - expected).abs() <= tolerance, "{found}, expected {expected}");
}

/// Common practice, no source: a display that promised 10.5 h with no load and 9 h at a quarter load on 2.0 L.
fn display(load_w: u32, duty: &str) -> String {
    format!(
        "# system: 120V60Hz\ntag,kind,fed_from,run_w,duty,tank_l,fuel_curve,conductor\n\
         G1,generator,,1600,,2,0:10.5h/2L|25:9h/2L,\nE1,appliance,G1,{load_w},{duty},,,none\n"
    )
}

#[test]
fn the_display_is_taken_at_its_word_and_bounded() {
    let half_way = &ask(&display(200, ""), &[])["generators"]["G1"];
    near(&half_way["mean_load_percent"], 12.5, 1e-9);
    near(&half_way["hours"], 9.692_308, 1e-5);
    assert_eq!((&half_way["extrapolated"], &half_way["plausible"]), (&Value::Bool(false), &Value::Bool(false)));
    near(&half_way["hours_low"], 2.0 / (2.0 / 10.5 + 0.2 / (0.35 * 8.834)), 1e-9);

    let quarter = &ask(&display(800, "0.5"), &[])["generators"]["G1"];
    near(&quarter["mean_load_percent"], 25.0, 1e-9);
    near(&quarter["hours"], 9.0, 1e-9);

    let beyond = &ask(&display(1600, ""), &["--litres", "4"])["generators"]["G1"];
    assert_eq!(beyond["extrapolated"], true);
    near(&beyond["litres"], 4.0, 0.0);
    let rate = 2.0 / 10.5 + 4.0 * (2.0 / 9.0 - 2.0 / 10.5);
    near(&beyond["hours"], 4.0 / rate, 1e-9);
    let by_overall: f64 = 1.6 / (0.30 * 8.834);
    let by_slope: f64 = 2.0 / 10.5 + 1.6 / (0.35 * 8.834);
    near(&beyond["hours_low"], 4.0 / by_overall.max(by_slope), 1e-9);
}

#[test]
fn a_diesel_curve_within_the_limits_has_no_bound() {
    let list = "# system: 120V60Hz\ntag,kind,fed_from,run_w,fuel,tank_l,fuel_curve,conductor\n\
        G1,generator,,4000,diesel,20,25:0.6|100:1.6,\nE1,appliance,G1,2000,,,,none\n";
    let g = &ask(list, &[])["generators"]["G1"];
    near(&g["litres_per_hour"], 0.6 + 1.0 / 3.0, 1e-9);
    near(&g["hours"], 20.0 / (0.6 + 1.0 / 3.0), 1e-9);
    assert_eq!((&g["plausible"], &g["hours_low"]), (&Value::Bool(true), &Value::Null));
}

/// Worked by hand: 1,000 W behind a known resistance for half of the time. On, the set delivers 1,000 W and I²R; off, none.
#[test]
fn the_mean_counts_losses_as_they_fall() {
    let list = "# system: 120V60Hz\n# resistance: formula\n\
        tag,kind,fed_from,run_w,duty,tank_l,fuel_curve,conductor,length_m\n\
        G1,generator,,2000,,10,0:0.4|100:1.2,,\nE1,appliance,G1,1000,0.5,,,12 AWG,20\n";
    let answer = ask(list, &[]);
    let solve = Command::cargo_bin("hullwire")
        .unwrap()
        .args(["solve", "-", "--format", "json"])
        .write_stdin(list)
        .output()
        .unwrap();
    let solve: Value = serde_json::from_slice(&solve.stdout).unwrap();
    let on = solve["sources"]["G1"]["watts"].as_f64().unwrap();
    assert!(on > 1010.0);
    near(&answer["generators"]["G1"]["mean_watts"], on / 2.0, 1e-6);
}

#[test]
fn what_is_not_known_stays_not_known() {
    let list = "# system: 120V60Hz\n# feeding: X1\ntag,kind,fed_from,run_w,rating_a,conductor\n\
        X1,shore-inlet,,,30,\nG1,generator,,2000,,\nQ1,selector,X1|G1,,,\nE1,appliance,Q1,,,\n";
    let g = &ask(list, &[])["generators"]["G1"];
    for key in ["mean_load_percent", "litres_per_hour", "hours", "extrapolated", "plausible", "hours_low"] {
        assert!(g.get(key).is_some_and(Value::is_null), "{key}: {g}");
    }
    let fed = &ask(list, &["--feeding", "G1"])["generators"]["G1"];
    near(&fed["mean_load_percent"], 0.0, 0.0);
    let missing = fed["missing"].to_string();
    for word in ["fuel curve", "litres in the tank", "E1"] {
        assert!(missing.contains(word), "{missing}");
    }
}

#[test]
fn an_inverter_runs_on_its_battery() {
    let list = "# system: 230V50Hz\ntag,kind,fed_from,run_w,battery_ah,battery_v,battery_usable,efficiency,conductor\n\
        T1,inverter,,2000,200,12.8,0.8,0.9,\nE1,appliance,T1,300,,,,,none\n";
    near(&ask(list, &[])["inverters"]["T1"]["hours"], 2560.0 * 0.8 * 0.9 / 300.0, 1e-9);
}

#[test]
fn a_day_by_hand() {
    let list = "# system: 120V60Hz\n\
        tag,kind,fed_from,run_w,fuel,tank_l,fuel_curve,conductor,fuel_aboard_l,reserve_l,hours_run,hours_date,service_at_h\n\
        G1,generator,,4000,diesel,10,0:0.5|100:1.5,,100,20,90,2027-05-31,150\nE1,appliance,G1,2000,,,,none,,,,,\n";
    let answer = ask(list, &["--hours", "7-9, 18:30-22"]);
    let day = &answer["day"]["generators"]["G1"];
    near(&day["hours"], 5.5, 1e-12);
    near(&day["litres"], 5.5, 1e-9);
    near(&day["refills"], 0.55, 1e-9);
    near(&day["days"], 80.0 / 5.5, 1e-9);
    near(&day["service"]["hours_to_go"], 60.0, 1e-9);
    assert_eq!(day["service"]["date"], "2027-06-10", "60 h at 5.5 h a day are 10.9 days");
    near(&answer["day"]["free_hours"], 18.5, 1e-9);
    let given = ask(list, &["--hours", "7-9", "--date", "2028-01-01"]);
    assert_eq!(given["day"]["generators"]["G1"]["service"]["date"], "2028-01-31");
}

#[test]
fn text_says_the_range_and_why_and_bad_use_says_what_is_valid() {
    let text = |args: &[&str]| {
        let mut command = Command::cargo_bin("hullwire").unwrap();
        command.args(["endurance", "-"]).args(args).write_stdin(display(1600, "")).output().unwrap()
    };
    let out = String::from_utf8(text(&[]).stdout).unwrap();
    for words in ["claimed", "possible", "extrapolated", "cannot be right", "CARBON MONOXIDE"] {
        assert!(out.to_lowercase().contains(&words.to_lowercase()), "{words}\n{out}");
    }
    for args in [["--litres", "-2"], ["--hours", "9-7-8"], ["--date", "31.5.2027"]] {
        let output = text(&args);
        assert_eq!(output.status.code(), Some(2));
        let err = String::from_utf8(output.stderr).unwrap();
        assert!(err.contains("valid:") || err.contains("value"), "{err}");
    }
}
