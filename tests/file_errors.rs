//! Drawings that are broken: each error names where, what was found and what would be valid; all of them at once.

use hullwire::store::{OpenError, parse};

fn problems(json: &str) -> Vec<String> {
    match parse(json.as_bytes(), "boat.hullwire", Some("hullwire")) {
        Err(error @ OpenError::Wrong { .. }) => error.problems().iter().map(ToString::to_string).collect(),
        other => panic!("{other:?}"),
    }
}

fn only(json: &str, pieces: &[&str]) {
    let problems = problems(json);
    assert_eq!(problems.len(), 1, "{problems:#?}");
    for piece in pieces {
        assert!(problems[0].contains(piece), "{piece:?} is not in {:?}", problems[0]);
    }
}

fn with(fields: &str) -> String {
    format!(r#"{{"version": 1, "system": "120V60Hz", {fields}}}"#)
}

#[test]
fn everything_wrong_is_reported_at_once() {
    let json = with(
        r#""rules": "lunar", "parts": [
            {"id": 1, "tag": "Q1", "kind": "breaker", "at": [0, 0], "rating_a": "15 A", "poles": 4},
            {"id": 1, "tag": "Q1", "kind": "panel", "at": [1]},
            {"tag": "", "kind": "toaster", "cycles": "yes"}, 7],
          "cables": [{"id": 5, "from": 1, "to": 99, "conductor": "13 AWG"}],
          "conditions": [{"name": "x", "feeding": [1], "off": [3]}]"#,
    );
    let found = problems(&json);
    let expected = [
        "rules: found “lunar”; valid: us, international",
        "parts, entry 4: found 7; valid: an object",
        "part Q1, rating_a: found “15 A”; valid: amperes, a bare number above 0 such as 15",
        "part Q1, poles: found 4; valid: 1, 2 or 3",
        "part Q1, tag: found “Q1” in entries 1 and 2; valid: a tag that no other part has",
        "part Q1, at: found a list of 1; valid: a list of two numbers",
        "part Q1, id: found 1, which Q1 has too; valid: an id that no other part has",
        "parts, entry 3, id: found nothing; valid: a whole number",
        "parts, entry 3, kind: found “toaster”; valid: shore-inlet",
        "parts, entry 3, tag: found nothing; valid: at least one character",
        "parts, entry 3, cycles: found “yes”; valid: true or false",
        "cable 5, to: found 99, which no part has; valid: the id of a part of this file",
        "cable 5, conductor: found “13 AWG”; valid: none, or a standard size",
        "conditions, entry 1, off: found 3, which no part has",
        "conditions, entry 1, feeding: found 1, which is Q1 (panel)",
    ];
    for piece in expected {
        assert!(found.iter().any(|p| p.starts_with(piece)), "{piece:?} is not in {found:#?}");
    }
    assert_eq!(found.len(), expected.len(), "{found:#?}");
}

#[test]
fn versions() {
    let newer = parse(br#"{"version": 2, "parts": "?"}"#, "boat.hullwire", None);
    assert!(matches!(&newer, Err(OpenError::Newer { found, .. }) if found == "2"), "{newer:?}");
    let text = newer.map(|_| ()).unwrap_err().to_string();
    assert!(text.contains("boat.hullwire has version 2") && text.contains("up to 1"), "{text}");
    only(r#"{"system": "120V60Hz"}"#, &["version", "nothing", "a whole number, 1"]);
    only(r#"{"version": 1.5, "system": "120V60Hz"}"#, &["version", "1.5"]);
    only(r#"{"version": 0, "system": "120V60Hz"}"#, &["version", "0"]);
}

#[test]
fn files_that_are_no_drawing() {
    for (bytes, words) in [
        (&b""[..], "empty"),
        (b"  \n ", "blank"),
        (b"\xEF\xBB\xBF", "blank"),
        (b"\xFF\xFE{\0}\0", "UTF-16"),
        (b"{\"version\": 1,\n \"name\": \"\xE9\"}", "line 2: found a byte that is not UTF-8"),
        (b"a\0b", "not a text file"),
        (b"[1]", "an object"),
        (b"{\"version\": 1, \"parts\": [", "cut short"),
        (b"{\"version\": 1,\n \"system\" 7}", "line 2"),
        (b"{\"version\": 1, \"x\": 1e999}", "number out of range"),
        (b"{\"version\": 1, \"x\": NaN}", "line 1"),
    ] {
        let error = parse(bytes, "boat.hullwire", Some("hullwire")).unwrap_err().to_string();
        assert!(error.contains(words) && error.contains("boat.hullwire"), "{error}");
    }
    let deep = format!("{{\"version\": 1, \"x\": {}", "[".repeat(100_000));
    assert!(parse(deep.as_bytes(), "x", None).unwrap_err().to_string().contains("too deep"));
}

#[test]
fn a_file_written_by_hand_may_leave_much_out() {
    let json = with(r#""parts": [{"id": 7, "tag": "G1", "kind": "generator"}], "later": {"kept": true}"#);
    let opened = parse(format!("\u{FEFF}{json}").as_bytes(), "x", None).unwrap().installation;
    assert_eq!(opened.next_id, 8, "ids are never given out twice");
    assert_eq!(opened.conditions[0].feeding.len(), 1);
    assert!(opened.extra.contains_key("later"));
}
