//! The command line: arguments, one file per verb, text for the terminal.
//!
//! Aim: a builder types one line and reads first what was and was not checked.
//! Reason: this floor alone reads, writes, prints and looks at the clock, so that everything above it can be tested
//! without a disk.
//! Limits: exit 0 no findings at the chosen level, 1 findings, 2 the file or the program failed.

mod air;
mod arguments;
mod build;
mod checked;
mod explain;
mod files;
mod lists;
mod log;
mod marks;
mod new;
mod progress;
mod sheets;
mod summary;
mod survey;
mod weakest;

use std::io::{self, Write};
use std::process::ExitCode;

use clap::{CommandFactory, Parser};

use files::Sources;

use arguments::{Arguments, Level, SchemaOf, Verb};

use crate::check::Verdict;

/// What ends a verb early.
pub enum Failure {
    /// Text for the error stream.
    Text(String),
    /// The reader of our output went away: nothing to say.
    ClosedPipe,
}

impl From<io::Error> for Failure {
    fn from(e: io::Error) -> Failure {
        if e.kind() == io::ErrorKind::BrokenPipe { Failure::ClosedPipe } else { Failure::Text(format!("error: {e}")) }
    }
}

/// Runs the program.
pub fn run() -> ExitCode {
    let arguments = Arguments::parse();
    match verb(arguments.verb) {
        Ok(code) => code,
        Err(Failure::ClosedPipe) => ExitCode::SUCCESS,
        Err(Failure::Text(text)) => {
            // Nobody is left to tell if this fails too.
            let _ = writeln!(anstream::stderr().lock(), "{}", text.trim_end());
            ExitCode::from(2)
        }
    }
}

fn verb(verb: Verb) -> Result<ExitCode, Failure> {
    match verb {
        Verb::Build { sources, log, out, layers, detail, level } => {
            build::build(&sources, log.as_deref(), out.as_deref(), layers, detail.into(), level)
        }
        Verb::Check { sources, log, level } => build::check(&sources, log.as_deref(), level),
        Verb::Log { sources, driven, blank: true, .. } => log::blank(&sources, &driven),
        Verb::Log { sources, driven, remap: true, .. } => log::remap(&sources, &driven),
        Verb::Log { sources, driven, level, .. } => log::log(&sources, &driven, level),
        Verb::Survey { design, marks, error } => survey::run(&design, &marks, error.as_deref()),
        Verb::Marks { sources, log, out } => marks::marks(&sources, log.as_deref(), out.as_deref()),
        Verb::Air { sources } => air::air(&sources),
        Verb::Lists { sources, log, out, level } => lists::lists(&sources, log.as_deref(), out.as_deref(), level),
        Verb::Sheets { sources, log, paper, out, level } => {
            sheets::sheets(&sources, log.as_deref(), paper.map(Into::into), out.as_deref(), level)
        }
        Verb::Report { sources, log, paper, out, level } => {
            sheets::report(&sources, log.as_deref(), paper.map(Into::into), out.as_deref(), level)
        }
        Verb::New { file, shape, units } => new::new(&file, shape, units),
        Verb::Explain { name: Some(name), design: Some(design), found, log } => {
            explain::part(&name, &Sources { design, found }, log.as_deref())
        }
        Verb::Explain { name, .. } => explain::explain(name.as_deref()),
        Verb::Weakest { sources } => weakest::weakest(&sources),
        Verb::Schema { of } => {
            let schema = match of {
                SchemaOf::Design => crate::design::schema(),
                SchemaOf::Findings => crate::write::findings::schema(),
            };
            print(&format!("{schema:#}\n"))
        }
        Verb::Completions { shell } => {
            let mut text = Vec::new();
            clap_complete::generate(shell, &mut Arguments::command(), "airlath", &mut text);
            print(&String::from_utf8_lossy(&text))
        }
        Verb::Manual => {
            let mut text = Vec::new();
            clap_mangen::Man::new(Arguments::command()).render(&mut text)?;
            print(&String::from_utf8_lossy(&text))
        }
    }
}

fn print(text: &str) -> Result<ExitCode, Failure> {
    let mut out = anstream::stdout().lock();
    out.write_all(text.as_bytes())?;
    out.flush()?;
    Ok(ExitCode::SUCCESS)
}

/// The exit code for the worst verdict at a level.
fn exit(worst: Verdict, level: Level) -> ExitCode {
    let at = match level {
        Level::Fail => Verdict::Fail,
        Level::Warn => Verdict::Warn,
        Level::Unconfirmed => Verdict::Unconfirmed,
    };
    ExitCode::from(u8::from(worst >= at))
}
