//! Arguments, declared as data.

use std::path::PathBuf;

use clap::{Parser, Subcommand, ValueEnum};

use super::files::Sources;
use crate::fix::CauseKind;
use crate::scene::Detail;
use crate::sheet::Paper;

/// Plans a ventilated batten lattice over a membrane roof and finds every batten that nothing backs.
///
/// One design file in; a 3D model, a list of findings and quantities out. It is a layout and checking aid: it
/// checks strength only where the design gives loads, and it replaces no licensed designer.
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
        /// What the plan is made of
        #[command(flatten)]
        sources: Sources,
        /// A drive log (CSV): the model and every list are the record of what was really driven
        #[arg(long, value_name = "DRIVEN")]
        log: Option<PathBuf>,
        /// Folder to write to [default: out/NAME, after the design file's name]
        #[arg(long, value_name = "DIR")]
        out: Option<PathBuf>,
        /// Also write one STL file for each layer
        #[arg(long)]
        layers: bool,
        /// Keep every part of a large roof in model.glb, as instances: several viewers show these wrong without an error
        #[arg(long)]
        instanced: bool,
        /// How strips and vent pieces are modelled
        #[arg(long, value_enum, default_value_t = DetailName::Plain)]
        detail: DetailName,
        /// From which verdict on the exit code is 1
        #[arg(long, value_enum, default_value_t = Level::Fail)]
        level: Level,
    },
    /// Check a design and write nothing
    Check {
        /// What the plan is made of
        #[command(flatten)]
        sources: Sources,
        /// A drive log (CSV): what was really driven
        #[arg(long, value_name = "DRIVEN")]
        log: Option<PathBuf>,
        /// From which verdict on the exit code is 1
        #[arg(long, value_enum, default_value_t = Level::Fail)]
        level: Level,
    },
    /// Read a drive log: what was driven, what holds, what is left to do
    Log {
        /// What the plan is made of
        #[command(flatten)]
        sources: Sources,
        /// The drive log (CSV)
        driven: PathBuf,
        /// Write DRIVEN as a form with every fastener to fill in; an existing file is left alone
        #[arg(long)]
        blank: bool,
        /// Carry a log of another plan over to this one: list every row's old and new place, write it beside DRIVEN
        #[arg(long, conflicts_with = "blank")]
        remap: bool,
        /// From which verdict on the exit code is 1
        #[arg(long, value_enum, default_value_t = Level::Fail)]
        level: Level,
    },
    /// Draw setting-out sheets: one SVG each, one PDF, and the pictures as PNG
    Sheets {
        /// What the plan is made of
        #[command(flatten)]
        sources: Sources,
        /// A drive log (CSV): what was really driven
        #[arg(long, value_name = "DRIVEN")]
        log: Option<PathBuf>,
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
    /// Write the cut list, the buying list and the order of work
    Lists {
        /// What the plan is made of
        #[command(flatten)]
        sources: Sources,
        /// A drive log (CSV): what was really driven
        #[arg(long, value_name = "DRIVEN")]
        log: Option<PathBuf>,
        /// Folder to write to [default: out/NAME, after the design file's name]
        #[arg(long, value_name = "DIR")]
        out: Option<PathBuf>,
        /// From which verdict on the exit code is 1
        #[arg(long, value_enum, default_value_t = Level::Fail)]
        level: Level,
    },
    /// Write report.html: findings, lists and sheets in one file to hand over
    Report {
        /// What the plan is made of
        #[command(flatten)]
        sources: Sources,
        /// A drive log (CSV): what was really driven
        #[arg(long, value_name = "DRIVEN")]
        log: Option<PathBuf>,
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
    /// Fit marks made on the roof, tell what was found, write DESIGN.found.toml beside the design
    Survey {
        /// The design file (TOML); it is left as it is
        design: PathBuf,
        /// The marks (CSV)
        marks: PathBuf,
        /// Error of one mark (its standard deviation) [default: 1/8 in]
        #[arg(long, value_name = "LENGTH")]
        error: Option<String>,
    },
    /// Print where each fastener may be driven: so far left and right of its line, so far up in the board
    Marks {
        /// What the plan is made of
        #[command(flatten)]
        sources: Sources,
        /// A drive log (CSV): what was left in is kept away from
        #[arg(long, value_name = "DRIVEN")]
        log: Option<PathBuf>,
        /// Also write marks.csv and windows.json (the windows as polygons) to a folder
        #[arg(long, value_name = "DIR")]
        out: Option<PathBuf>,
    },
    /// Follow the air: where it passes, rules beside the roof, flows with their ranges, and what if
    Air {
        /// What the plan is made of
        #[command(flatten)]
        sources: Sources,
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
    /// Print the page of a check, the list of checks, or the strength of a landing or a piece as written by hand
    Explain {
        /// Name of a check, such as landing-not-backed; `keys`; `causes`; `licences`; or, with a design, a landing or a piece, such as S-B03.L05
        name: Option<String>,
        /// The design file (TOML) that has the landing or the piece
        design: Option<PathBuf>,
        /// What was found on the roof: a file that `airlath survey` wrote beside the design
        #[arg(long, value_name = "FOUND", requires = "design")]
        found: Option<PathBuf>,
        /// A drive log (CSV): what was really driven
        #[arg(long, value_name = "DRIVEN", requires = "design")]
        log: Option<PathBuf>,
    },
    /// Find the few causes behind the flags, and the changes of the design that clear them: each tried on the whole roof
    Fix {
        /// What the plan is made of
        #[command(flatten)]
        sources: Sources,
        /// A drive log (CSV): what is driven stays where it is
        #[arg(long, value_name = "DRIVEN")]
        log: Option<PathBuf>,
        /// A key or a table that stays as it is, with all below it, such as lattice.batten.first or found.added
        #[arg(long, value_name = "KEY")]
        keep: Vec<String>,
        /// Work on causes of this kind alone
        #[arg(long, value_name = "KIND", value_enum)]
        only: Option<CauseKind>,
        /// Work on this cause alone, by the id that the list of causes gives it, such as course-place:S-B02
        #[arg(long, value_name = "ID", conflicts_with = "only")]
        cause: Option<String>,
        /// How the answer is printed
        #[arg(long, value_enum, default_value_t = Format::Text)]
        format: Format,
        /// Put the changes into the design file; the old one is kept beside it as ROOF.toml.1
        #[arg(long)]
        write: bool,
        /// Say that no fastener is driven yet: without it and without a log nothing is written
        #[arg(long, requires = "write")]
        nothing_driven: bool,
    },
    /// Try single changes of the fastening and of the courses, and tell which one buys most strength
    Weakest {
        /// What the plan is made of
        #[command(flatten)]
        sources: Sources,
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

/// From which verdict on the exit code is 1. A verdict that is only unconfirmed is no finding at the other two levels.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum Level {
    /// Failing findings only
    Fail,
    /// Warnings too
    Warn,
    /// Also what rests on values from memory that strength.confirmed does not name
    Unconfirmed,
}

/// How an answer is printed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum Format {
    /// As text
    Text,
    /// As JSON
    Json,
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
