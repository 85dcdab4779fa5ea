//! House rules that no compiler checks: which room may use which, what stays out of the engine, file sizes, colours,
//! `unwrap`, words that the program never says, and a source beside every figure in assets.

use std::fs;
use std::path::{Path, PathBuf};

/// Each room and the rooms that it may use. `app` and `cli` stand side by side on top.
const ROOMS: &[(&str, &[&str])] = &[
    ("units", &[]),
    ("tables", &["units"]),
    ("installation", &["units"]),
    ("network", &["installation", "tables", "units"]),
    ("loads", &["network", "installation", "tables", "units"]),
    ("survey", &["network", "loads", "tables", "installation", "units"]),
    ("diagram", &["installation", "network", "tables", "units"]),
    ("sheets", &["diagram", "survey", "loads", "network", "installation", "tables", "units"]),
    ("store", &["installation", "units"]),
    ("cli", &["sheets", "store", "diagram", "survey", "loads", "network", "installation", "tables", "units"]),
    ("app", &["sheets", "store", "diagram", "survey", "loads", "network", "installation", "tables", "units"]),
];

/// Rooms that know neither window nor files, clock or environment.
const ENGINE: &[&str] = &["units", "tables", "installation", "network", "loads", "survey", "diagram"];

struct Source {
    path: PathBuf,
    room: String,
    /// The text before the first test module.
    code: String,
    lines: usize,
    code_lines: usize,
    first_line: String,
}

fn walk(dir: &Path, out: &mut Vec<PathBuf>) {
    let mut entries: Vec<PathBuf> = fs::read_dir(dir).unwrap().map(|e| e.unwrap().path()).collect();
    entries.sort();
    for path in entries {
        if path.is_dir() {
            walk(&path, out);
        } else if path.extension().is_some_and(|e| e == "rs") {
            out.push(path);
        }
    }
}

fn sources() -> Vec<Source> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let mut files = Vec::new();
    walk(&root, &mut files);
    assert!(files.len() > 30, "found only {} sources", files.len());
    files
        .into_iter()
        .map(|path| {
            let text = fs::read_to_string(&path).unwrap();
            let whole_is_test = path.file_stem().is_some_and(|s| s.to_string_lossy().ends_with("tests"));
            let code = if whole_is_test { "" } else { text.split("#[cfg(test)]\nmod ").next().unwrap_or("") };
            let room = path.strip_prefix(&root).unwrap().iter().next().unwrap().to_string_lossy().replace(".rs", "");
            Source {
                room,
                lines: text.lines().count(),
                code_lines: code.lines().count(),
                first_line: text.lines().next().unwrap_or("").to_owned(),
                code: code.to_owned(),
                path,
            }
        })
        .collect()
}

/// A line without its `//` comment (a `//` inside a text literal stays).
fn without_comment(line: &str) -> &str {
    let mut quoted = false;
    let mut previous = ' ';
    for (i, c) in line.char_indices() {
        match c {
            '"' if previous != '\\' => quoted = !quoted,
            '/' if previous == '/' && !quoted => return &line[..i - 1],
            _ => {}
        }
        previous = c;
    }
    line
}

/// Runs a check over every line of code, comments and tests aside, and fails with all that it returns.
fn each_line(title: &str, check: impl Fn(&Source, &str) -> Vec<String>) {
    let mut faults = Vec::new();
    for source in sources() {
        for (n, line) in source.code.lines().enumerate() {
            for fault in check(&source, without_comment(line)) {
                faults.push(format!("{}:{}: {fault}", source.path.display(), n + 1));
            }
        }
    }
    assert!(faults.is_empty(), "{title}:\n{}", faults.join("\n"));
}

fn found(line: &str, words: &[&str]) -> Vec<String> {
    words.iter().filter(|w| line.contains(*w)).map(|w| format!("{w} in {}", line.trim())).collect()
}

#[test]
fn rooms_use_only_what_lies_below_them() {
    let names: Vec<&str> = ROOMS.iter().map(|r| r.0).collect();
    each_line("rooms that reach up", |source, line| {
        let Some((_, allowed)) = ROOMS.iter().find(|r| r.0 == source.room) else { return Vec::new() };
        let mut faults = Vec::new();
        for (at, _) in line.match_indices("crate::") {
            let rest = &line[at + "crate::".len()..];
            let used: String = rest.chars().take_while(|c| c.is_ascii_lowercase() || *c == '_').collect();
            if rest.starts_with('{') {
                faults.push("name the room in each `use crate::`".to_owned());
            }
            if used != source.room && names.contains(&used.as_str()) && !allowed.contains(&used.as_str()) {
                faults.push(format!("{} may not use {used}", source.room));
            }
        }
        faults
    });
}

#[test]
fn engine_rooms_know_no_window_file_clock_or_environment() {
    each_line("out of place", |source, line| {
        let mut faults = Vec::new();
        if ENGINE.contains(&source.room.as_str()) {
            faults.extend(found(
                line,
                &["std::fs", "std::time", "std::env", "SystemTime", "Instant", "std::process", "println!"],
            ));
        }
        if !["app", "main", "lib"].contains(&source.room.as_str()) {
            faults.extend(found(line, &["egui", "eframe", "rfd::"]));
        }
        faults
    });
}

#[test]
fn files_open_with_what_they_are_for_and_stay_short() {
    let mut faults = Vec::new();
    for source in sources() {
        if !source.first_line.starts_with("//!") {
            faults.push(format!("{}: the first line is no //! comment", source.path.display()));
        }
        if source.code_lines > 500 || source.lines > 800 {
            faults.push(format!("{}: {} lines, {} with tests", source.path.display(), source.code_lines, source.lines));
        }
    }
    assert!(faults.is_empty(), "files:\n{}", faults.join("\n"));
}

#[test]
fn colours_stand_in_the_theme_alone() {
    each_line("colours outside the theme", |source, line| {
        let path = source.path.to_string_lossy();
        if path.ends_with("app/theme.rs") || path.contains("app/theme/") {
            return Vec::new();
        }
        found(
            line,
            &[
                "Color32::from_",
                "Color32::WHITE",
                "Color32::BLACK",
                "Color32::RED",
                "Color32::GRAY",
                "hex_color!",
                "Rgba::from",
            ],
        )
    });
}

#[test]
fn nothing_unwraps_outside_tests() {
    each_line("unwrap outside tests", |_, line| found(line, &[".unwrap()", ".expect(", "todo!(", "unimplemented!("]));
}

/// The texts between quotes in a line.
fn literals(line: &str) -> Vec<String> {
    line.replace("\\\"", "'").split('"').skip(1).step_by(2).map(str::to_owned).collect()
}

#[test]
fn the_program_never_approves() {
    const NEVER: &[&str] =
        &["safe", "ok", "passed", "passes", "compliant", "dead", "de-energised", "de-energized", "approved"];
    each_line("words that the program never says", |_, line| {
        let mut faults = Vec::new();
        for text in literals(line) {
            let words = text.split(|c: char| !(c.is_alphanumeric() || c == '-'));
            faults.extend(
                words.filter(|w| NEVER.contains(&w.to_lowercase().as_str())).map(|w| format!("“{w}” in “{text}”")),
            );
        }
        faults
    });
}

#[test]
fn every_figure_in_assets_has_source_and_mark() {
    const MARKS: &[&str] = &["read", "derived", "memory", "common-practice"];
    let dir = Path::new(env!("CARGO_MANIFEST_DIR")).join("assets/tables");
    let mut rows = 0;
    for entry in fs::read_dir(dir).unwrap() {
        let path = entry.unwrap().path();
        if path.extension().is_none_or(|e| e != "csv") {
            continue;
        }
        let mut reader = csv::Reader::from_path(&path).unwrap();
        let headers = reader.headers().unwrap().clone();
        let column = |name: &str| {
            headers.iter().position(|h| h == name).unwrap_or_else(|| panic!("{}: no column {name}", path.display()))
        };
        let (source, mark) = (column("source"), column("mark"));
        for record in reader.records() {
            let record = record.unwrap();
            rows += 1;
            assert!(!record[source].trim().is_empty(), "{}: a row without source: {record:?}", path.display());
            assert!(MARKS.contains(&&record[mark]), "{}: mark {}", path.display(), &record[mark]);
        }
    }
    assert!(rows > 100, "only {rows} rows of figures");
}
