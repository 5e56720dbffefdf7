//! Arguments, declared as data.

use std::path::PathBuf;

use clap::{Parser, Subcommand, ValueEnum};

use crate::scene::Detail;
use crate::sheet::Paper;

/// Plans a ventilated batten lattice over a membrane roof and finds every batten that nothing backs.
///
/// One design file in; a 3D model, a list of findings and quantities out. It is a layout and checking aid: it does not
/// check strength or air, and it replaces no licensed designer.
#[derive(Debug, Parser)]
#[command(name = "airlath", version, propagate_version = true, max_term_width = 100)]
pub struct Arguments {
    /// What to do.
    #[command(subcommand)]
    pub verb: Verb,
}

/// What the program does.
#[derive(Debug, Subcommand)]
pub enum Verb {
    /// Check a design and write the model, the findings and the quantities
    Build {
        /// The design file (TOML)
        design: PathBuf,
        /// Folder to write to [default: out/NAME, after the design file's name]
        #[arg(long, value_name = "DIR")]
        out: Option<PathBuf>,
        /// Also write one STL file for each layer
        #[arg(long)]
        layers: bool,
        /// How strips and vent pieces are modelled
        #[arg(long, value_enum, default_value_t = DetailName::Plain)]
        detail: DetailName,
        /// From which verdict on the exit code is 1
        #[arg(long, value_enum, default_value_t = Level::Fail)]
        level: Level,
    },
    /// Check a design and write nothing
    Check {
        /// The design file (TOML)
        design: PathBuf,
        /// From which verdict on the exit code is 1
        #[arg(long, value_enum, default_value_t = Level::Fail)]
        level: Level,
    },
    /// Draw setting-out sheets: one SVG each, one PDF, and the pictures as PNG
    Sheets {
        /// The design file (TOML)
        design: PathBuf,
        /// Size of the paper, used lying [default: letter for inches, a4 for millimetres]
        #[arg(long, value_enum)]
        paper: Option<PaperName>,
        /// Folder to write to [default: out/NAME/sheets, after the design file's name]
        #[arg(long, value_name = "DIR")]
        out: Option<PathBuf>,
        /// From which verdict on the exit code is 1
        #[arg(long, value_enum, default_value_t = Level::Fail)]
        level: Level,
    },
    /// Write report.html: findings, lists and sheets in one file to hand over
    Report {
        /// The design file (TOML)
        design: PathBuf,
        /// Size of the paper of the sheets in it [default: letter for inches, a4 for millimetres]
        #[arg(long, value_enum)]
        paper: Option<PaperName>,
        /// Folder to write to [default: out/NAME, after the design file's name]
        #[arg(long, value_name = "DIR")]
        out: Option<PathBuf>,
        /// From which verdict on the exit code is 1
        #[arg(long, value_enum, default_value_t = Level::Fail)]
        level: Level,
    },
    /// Write a commented design file to start from
    New {
        /// The file to write; an existing file is left alone
        file: PathBuf,
        /// Shape of the roof
        #[arg(long, value_enum, default_value_t = Shape::Shed)]
        shape: Shape,
        /// Units to write in
        #[arg(long, value_enum, default_value_t = UnitsName::Inches)]
        units: UnitsName,
    },
    /// Print the page of a check, or the list of checks
    Explain {
        /// Name of a check, such as landing-not-backed
        name: Option<String>,
    },
    /// Print a JSON Schema
    Schema {
        /// Of which file
        #[arg(long, value_enum, default_value_t = SchemaOf::Design)]
        of: SchemaOf,
    },
    /// Print completions for a shell
    Completions {
        /// The shell
        shell: clap_complete::Shell,
    },
    /// Print the manual page (roff)
    Manual,
}

/// From which verdict on the exit code is 1.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum Level {
    /// Failing findings only
    Fail,
    /// Warnings too
    Warn,
}

/// A size of paper.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum PaperName {
    /// 11 x 8 1/2 in
    Letter,
    /// 297 x 210 mm
    A4,
    /// 17 x 11 in
    Tabloid,
    /// 420 x 297 mm
    A3,
}

impl From<PaperName> for Paper {
    fn from(name: PaperName) -> Paper {
        match name {
            PaperName::Letter => Paper::Letter,
            PaperName::A4 => Paper::A4,
            PaperName::Tabloid => Paper::Tabloid,
            PaperName::A3 => Paper::A3,
        }
    }
}

/// How strips and vent pieces are modelled.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum DetailName {
    /// As boxes
    Plain,
    /// With their flutes, for a close look
    Fluted,
}

impl From<DetailName> for Detail {
    fn from(name: DetailName) -> Detail {
        match name {
            DetailName::Plain => Detail::Plain,
            DetailName::Fluted => Detail::Fluted,
        }
    }
}

/// Shape of a starter.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum Shape {
    /// One slope
    Shed,
    /// Two slopes that share a ridge
    Gable,
    /// Four slopes
    Hip,
}

/// Units of a starter.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum UnitsName {
    /// Feet and inches
    Inches,
    /// Millimetres
    Millimetres,
}

/// Which schema.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum SchemaOf {
    /// The design file
    Design,
    /// findings.json
    Findings,
}
