//! `new`: commented design files to start from.

use std::path::Path;
use std::process::ExitCode;

use super::arguments::{Shape, UnitsName};
use super::output::{self, Older};
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
    output::alone(file, Older::Kept, |out| out.write_all(starter(shape, units).as_bytes()))?;
    let shown = file.display();
    print(&format!("wrote {shown}; change its numbers to your roof's, then: airlath build {shown}\n"))
}
