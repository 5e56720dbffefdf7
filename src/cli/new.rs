//! `new`: commented design files to start from.

use std::fs::OpenOptions;
use std::io::{self, ErrorKind, Write};
use std::path::Path;
use std::process::ExitCode;

use super::arguments::{Shape, UnitsName};
use super::{Failure, print};

/// The starter for a shape and units.
pub fn starter(shape: Shape, units: UnitsName) -> &'static str {
    match (shape, units) {
        (Shape::Shed, UnitsName::Inches) => include_str!("starters/shed-inches.toml"),
        (Shape::Shed, UnitsName::Millimetres) => include_str!("starters/shed-millimetres.toml"),
        (Shape::Gable, UnitsName::Inches) => include_str!("starters/gable-inches.toml"),
        (Shape::Gable, UnitsName::Millimetres) => include_str!("starters/gable-millimetres.toml"),
        (Shape::Hip, UnitsName::Inches) => include_str!("starters/hip-inches.toml"),
        (Shape::Hip, UnitsName::Millimetres) => include_str!("starters/hip-millimetres.toml"),
    }
}

/// Writes a starter. An existing file is left alone.
pub fn new(file: &Path, shape: Shape, units: UnitsName) -> Result<ExitCode, Failure> {
    let shown = file.display();
    let cannot = |e: io::Error| {
        Failure::Text(match e.kind() {
            ErrorKind::AlreadyExists => format!("error: {shown} exists and is left alone\n  help: choose another name"),
            _ => format!("error: cannot write {shown}: {e}"),
        })
    };
    let mut out = OpenOptions::new().write(true).create_new(true).open(file).map_err(cannot)?;
    out.write_all(starter(shape, units).as_bytes()).map_err(cannot)?;
    print(&format!("wrote {shown}; change its numbers to your roof's, then: airlath build {shown}\n"))
}
