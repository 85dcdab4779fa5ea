//! The program: answers in the terminal where a command is given, else the window, else the survey in its place.

use hullwire::cli::{self, Answer, Asking};
use std::path::PathBuf;
use std::process::ExitCode;

fn main() -> ExitCode {
    match cli::ask(std::env::args_os()) {
        Asking::Answer(answer) => answer.print(),
        Asking::Window(file) => window(file),
    }
}

/// True where a window can be shown.
#[cfg(feature = "window")]
fn has_display() -> bool {
    let set = |name| std::env::var_os(name).is_some_and(|value| !value.is_empty());
    !cfg!(all(unix, not(target_os = "macos"))) || set("WAYLAND_DISPLAY") || set("WAYLAND_SOCKET") || set("DISPLAY")
}

#[cfg(feature = "window")]
fn window(file: Option<PathBuf>) -> ExitCode {
    if !has_display() {
        let why = "There is no display to open the window on.";
        return cli::instead_of_window(file, why).print();
    }
    match hullwire::app::run(file) {
        Ok(()) => ExitCode::SUCCESS,
        Err(error) => Answer::of_error(&error).print(),
    }
}

#[cfg(not(feature = "window"))]
fn window(file: Option<PathBuf>) -> ExitCode {
    let answer: Answer = cli::instead_of_window(file, "This program was built without its window.");
    answer.print()
}
