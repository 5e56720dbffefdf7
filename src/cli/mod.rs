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
mod fix;
mod lists;
mod log;
mod marks;
mod new;
mod output;
mod plan_file;
mod progress;
mod sheets;
mod summary;
mod survey;
mod weakest;

use std::io::{self, Write};
use std::process::ExitCode;
#[cfg(unix)]
use std::sync::Arc;

use clap::{CommandFactory, FromArgMatches};

use files::Sources;

use arguments::{Arguments, Format, Level, SchemaOf, Verb};

use crate::check::Verdict;
use crate::quantity::visible;

/// What ends a verb early.
pub enum Failure {
    /// Text for the error stream.
    Text(String),
    /// Faults as text, rendered for the error stream, maybe in colours.
    Faults(String),
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
    hold_size_signal();
    let failure = match arguments() {
        Ok(arguments) => verb(arguments.verb),
        Err(failure) => Err(failure),
    };
    match failure {
        Ok(code) => code,
        Err(Failure::ClosedPipe) => ExitCode::SUCCESS,
        Err(Failure::Text(text)) => failed(&visible(&text)),
        Err(Failure::Faults(text)) => failed(&text),
    }
}

/// Tells why nothing came of it.
fn failed(text: &str) -> ExitCode {
    // Nobody is left to tell if this fails too.
    let _ = writeln!(anstream::stderr().lock(), "{}", text.trim_end());
    ExitCode::from(2)
}

/// Says something beside the result, on the error stream.
fn note(text: &str) {
    // Whoever cannot be told gets the result all the same.
    let _ = writeln!(anstream::stderr().lock(), "note: {}", visible(text));
}

/// The arguments. Help and version are printed at once; in what is said of wrong ones their own words come back, so that
/// goes the way of all texts.
fn arguments() -> Result<Arguments, Failure> {
    let mut command = Arguments::command();
    if summary::is_narrow() {
        command = command.term_width(summary::UNKNOWN_WIDTH.into());
    }
    let read = command.try_get_matches().and_then(|m| Arguments::from_arg_matches(&m));
    read.map_err(|e| match e.use_stderr() {
        true => Failure::Text(e.render().to_string()),
        false => e.exit(),
    })
}

/// Where a file may not grow any further, a write shall fail and be told, instead of a signal that ends the program without
/// a word.
#[cfg(unix)]
fn hold_size_signal() {
    // Where this cannot be had all goes on as before.
    let _ = signal_hook::flag::register(signal_hook::consts::SIGXFSZ, Arc::default());
}

/// Other systems have no such signal.
#[cfg(not(unix))]
fn hold_size_signal() {}

fn verb(verb: Verb) -> Result<ExitCode, Failure> {
    match verb {
        Verb::Build { sources, log, out, layers, instanced, detail, level } => {
            let options = build::Options { layers, instanced, detail: detail.into() };
            build::build(&sources, log.as_deref(), out.as_deref(), options, level)
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
        Verb::Fix { sources, log, keep, only, cause, format, write, nothing_driven } => {
            let json = format == Format::Json;
            fix::fix(&sources, log.as_deref(), &fix::Asked { keep, only, cause, json, write, nothing_driven })
        }
        Verb::Weakest { sources } => weakest::weakest(&sources),
        Verb::Schema { of } => {
            let schema = match of {
                SchemaOf::Design => crate::design::schema().clone(),
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

/// Prints a text: all that goes to a terminal goes through here, [`note`] or [`failed`].
fn print(text: &str) -> Result<ExitCode, Failure> {
    let mut out = anstream::stdout().lock();
    out.write_all(visible(text).as_bytes())?;
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
