//! The tutorial: each command is run as it stands there, and every figure that it quotes is looked up in what was printed.
#![cfg(unix)]

use std::path::Path;
use std::process::Command;

/// One run: the commands, what the tutorial shows of the answer, and what it then says about it.
#[derive(Default)]
struct Run {
    commands: String,
    shown: Vec<String>,
    prose: String,
}

/// Cuts the tutorial at its fences; what stands before the first command belongs to no run and may quote nothing.
fn runs(text: &str) -> Vec<Run> {
    let mut all = vec![Run::default()];
    let mut fence: Option<String> = None;
    for line in text.lines() {
        match (&fence, line.strip_prefix("```")) {
            (None, Some(kind)) => {
                if kind == "sh" {
                    all.push(Run::default());
                }
                fence = Some(kind.to_owned());
            }
            (Some(_), Some(_)) => fence = None,
            (Some(kind), None) => {
                let run = all.last_mut().unwrap();
                match kind.as_str() {
                    "sh" => run.commands += &format!("{line}\n"),
                    "text" => run.shown.push(line.to_owned()),
                    other => panic!("a fence of kind {other:?}"),
                }
            }
            (None, None) => all.last_mut().unwrap().prose += &format!("{line}\n"),
        }
    }
    all
}

fn squeezed(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// What is bold, and the rest with its code spans taken out.
fn quoted(prose: &str) -> (Vec<String>, String) {
    let plain: String = prose.split('`').step_by(2).collect();
    let pieces: Vec<&str> = plain.split("**").collect();
    assert!(pieces.len() % 2 == 1, "a bold passage does not end: {prose}");
    let quotes = pieces.iter().skip(1).step_by(2).map(|p| squeezed(p)).collect();
    (quotes, pieces.iter().step_by(2).copied().collect())
}

#[test]
fn every_figure_of_the_tutorial_is_what_the_program_prints() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let folder = tempfile::tempdir().unwrap();
    std::fs::create_dir(folder.path().join("samples")).unwrap();
    for entry in std::fs::read_dir(root.join("samples")).unwrap() {
        let path = entry.unwrap().path();
        std::fs::copy(&path, folder.path().join("samples").join(path.file_name().unwrap())).unwrap();
    }
    let program = Path::new(env!("CARGO_BIN_EXE_hullwire")).parent().unwrap().to_owned();
    let path = format!("{}:{}", program.display(), std::env::var("PATH").unwrap_or_default());
    let mut wrong = Vec::new();
    let mut figures = 0;
    let text = std::fs::read_to_string(root.join("assets/tutorial.md")).unwrap();
    for run in runs(&text) {
        let mut printed = String::new();
        if !run.commands.is_empty() {
            let script = format!("export NO_COLOR=1\n{}", run.commands);
            let out = Command::new("sh")
                .args(["-c", &script])
                .current_dir(folder.path())
                .env("PATH", &path)
                .env("COLUMNS", "100")
                .output()
                .unwrap();
            let status = out.status.code();
            assert!(matches!(status, Some(0 | 1)), "{}{}", run.commands, String::from_utf8_lossy(&out.stderr));
            printed = String::from_utf8(out.stdout).unwrap() + &String::from_utf8_lossy(&out.stderr);
            assert!(!run.shown.is_empty(), "nothing is shown of {}", run.commands);
        }
        let mut lines = printed.lines().map(str::trim_end);
        for shown in &run.shown {
            figures += 1;
            if !lines.any(|line| line == shown.trim_end()) {
                wrong.push(format!("{}does not print, or not in this order: {shown}", run.commands));
                lines = printed.lines().map(str::trim_end);
            }
        }
        let (quotes, rest) = quoted(&run.prose);
        let printed = squeezed(&printed);
        for quote in quotes {
            figures += 1;
            if !printed.contains(&quote) {
                wrong.push(format!("{}does not print {quote:?}", run.commands));
            }
        }
        let loose: Vec<&str> = rest.split_whitespace().filter(|w| w.contains(|c: char| c.is_ascii_digit())).collect();
        if !loose.is_empty() {
            wrong.push(format!("figures that are not bold, which nothing checks: {loose:?}"));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    assert!(figures > 20, "only {figures} figures were found");
}
