//! What a command says: text for standard output, text for standard error, and the exit status.

use std::io::{self, Write};
use std::process::ExitCode;

/// The exit status.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Status {
    /// 0: no finding at WARNING or above that is not accepted.
    #[default]
    Clear,
    /// 1: such findings.
    Findings,
    /// 2: bad input or bad use.
    Bad,
}

impl Status {
    /// The number that the program ends with.
    #[must_use]
    pub const fn code(self) -> u8 {
        match self {
            Self::Clear => 0,
            Self::Findings => 1,
            Self::Bad => 2,
        }
    }
}

/// What a command says.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Answer {
    /// For standard output.
    pub out: String,
    /// For standard error.
    pub err: String,
    /// The exit status.
    pub status: Status,
}

impl Answer {
    /// Bad input, in words.
    #[must_use]
    pub fn of_error(error: &anyhow::Error) -> Self {
        Self { err: format!("error: {error:#}\n"), status: Status::Bad, ..Self::default() }
    }

    /// Bad use, or a request for help or the version.
    #[must_use]
    pub fn of_usage(error: &clap::Error) -> Self {
        let text = error.render().to_string();
        if error.use_stderr() {
            Self { err: text, status: Status::Bad, ..Self::default() }
        } else {
            Self { out: text, ..Self::default() }
        }
    }

    /// Prints it, in colour only on a terminal that wants it, and gives the exit status. A reader that has gone away
    /// (`| head`) is no error.
    #[must_use]
    pub fn print(&self) -> ExitCode {
        let written =
            put(anstream::stderr().lock(), &self.err).and_then(|()| put(anstream::stdout().lock(), &self.out));
        match written {
            Err(error) if error.kind() != io::ErrorKind::BrokenPipe => {
                let _ = put(anstream::stderr().lock(), &format!("error: the answer was not written: {error}\n"));
                ExitCode::from(Status::Bad.code())
            }
            _ => ExitCode::from(self.status.code()),
        }
    }
}

fn put(mut to: impl Write, text: &str) -> io::Result<()> {
    to.write_all(text.as_bytes())?;
    to.flush()
}
