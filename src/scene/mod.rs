//! The format-neutral result: parts, flags, landings, lists.
//!
//! Aim: one description from which every file is written.
//! Reason: a writer that knows only this cannot disagree with another writer about a name, a size or a verdict.
//! Limits: parts and landings are walked, never stored, so a roof of a million crossings costs no more memory here than
//! a house. The order of a walk is fixed. Lengths are metres. Nothing here knows a file format.

mod air;
mod air_tables;
mod alike;
mod building;
mod chalk;
mod chances;
mod driven;
mod flutes;
mod kinds;
mod lists;
mod look;
mod marks;
mod penetrations;
mod quantities;
mod records;
mod setting_out;
mod strength;
mod table;

pub use air::{
    AirAnswerRecord, AirCaseRecord, AirMark, AirRecord, BayRecord, HoldsRecord, RangeRecord, SpeedsRecord, air_marks,
};
pub use air_tables::{WalkedTable, air_tables};
pub use alike::{Alike, ranges, runs};
pub use building::{Building, CAUTIONS, Detail};
pub use chalk::{OwnMark, Stretch, Turn, differ};
pub use chances::{ChanceRecord, ChancesRecord, LineChanceRecord};
pub use driven::{DriveRow, blank_rows, remapped_rows};
pub use kinds::{Layer, PartKind};
pub use lists::lists;
pub use look::{Look, MOST_BINS, looks};
pub use marks::{MarkRecord, Marked, RemedyRecord, marks};
pub use records::{
    CheckRecord, DefaultRecord, EvidenceRecord, ExaminedRecord, FastenerRecord, FindingRecord, LandingRecord,
    LineRecord, MemberRecord, MendRecord, PenetrationRecord, PlaceRecord, QuantityRecord, ReportHeader, SourceRecord,
    StretchRecord, WidthRecord,
};
pub use setting_out::{CourseMark, EdgeMark, LineMark, MOST_WINDOWS, OpeningMark, PieceMark, SettingOut, setting_out};
pub use strength::{PieceUseRecord, StrengthRecord, UtilisationRecord};
pub use table::{Cell, Column, ColumnKind, Table};

use std::sync::Arc;

use crate::check::Verdict;
use crate::quantity::Units;
use crate::solid::{Mesh, Pose, Vector3};

/// One branch of the model tree: a slope with its place in the world, or the building for what belongs to no slope.
#[derive(Clone, Debug, PartialEq)]
pub struct Branch {
    /// Name of the slope, or `building`.
    pub name: String,
    /// From the branch's frame to the world (right-handed, z up, metres).
    pub pose: Pose,
}

/// The form of a part in the part's own frame.
#[derive(Clone, Debug)]
pub enum Form {
    /// A box centred on the origin: full sizes along x, y and z, metres.
    Box(Vector3),
    /// Any closed mesh (several closed shells where the part has several solids).
    Mesh(Arc<Mesh>),
}

/// One part of the building, as a walk hands it over. Borrowed text lives only as long as the call.
#[derive(Clone, Debug)]
pub struct Part<'a> {
    /// The part's one name.
    pub name: &'a str,
    /// What it is.
    pub kind: PartKind,
    /// Index into [`Scene::branches`].
    pub branch: usize,
    /// Its form.
    pub form: &'a Form,
    /// A coarser form, where there is one: for formats that repeat every triangle of a very large roof.
    pub coarse: Option<&'a Form>,
    /// From the part's frame to the branch's frame.
    pub pose: Pose,
    /// Its verdict: `not checked` until a check has examined it.
    pub verdict: Verdict,
    /// Size as people say it, in the design's units; empty where it has none.
    pub size: &'a str,
    /// What it is cut from or bought as; empty where it has none.
    pub stock: &'a str,
}

/// Whether a walk makes the texts of parts (size and stock). Making them is much of a walk's time.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Texts {
    /// Made.
    Wanted,
    /// Left empty.
    Unwanted,
}

/// Where parts come from. A walk visits every part once, branch by branch and, within a branch, layer by layer in the
/// order of [`Layer`], always in the same order.
pub trait PartSource: Sync {
    /// How many parts a walk visits.
    fn part_count(&self) -> usize;
    /// Visits every part. A visitor's error ends the walk and is handed back.
    fn walk_parts(&self, texts: Texts, visit: &mut dyn FnMut(&Part<'_>) -> std::io::Result<()>) -> std::io::Result<()>;
    /// Visits every landing, passed or not: course by course, from left to right.
    fn walk_landings(&self, visit: &mut dyn FnMut(&LandingRecord) -> std::io::Result<()>) -> std::io::Result<()>;
}

/// Everything that a writer may know.
pub struct Scene<'a> {
    /// Title, scope line, fingerprint, cautions, defaults in force, findings.
    pub header: ReportHeader,
    /// Units for people.
    pub units: Units,
    /// The slopes in the order of the design, after them the building.
    pub branches: Vec<Branch>,
    /// What a layer's parts have in common: size and stock, for parts that say none themselves.
    pub layer_notes: Vec<(Layer, String, String)>,
    /// Counts, lengths, areas and masses.
    pub quantities: Vec<QuantityRecord>,
    /// Further ways of looking at the model, beside those by layer and by verdict.
    pub looks: Vec<Look>,
    /// The parts and landings.
    pub source: &'a dyn PartSource,
}
