//! The design, resolved: nothing optional left, every value with its origin.

mod air;
mod panels;

pub use air::*;
pub use panels::{ClipPlaces, Panels};

use super::written::Choice;
use crate::quantity::{Angle, Density, Length, Units};

/// Where a value comes from.
#[derive(Clone, Debug, PartialEq)]
pub enum Origin {
    /// Written in the design file, on this line.
    Written(usize),
    /// A default, and why this one.
    Default(&'static str),
    /// Measured on the roof, written on this line of the design file.
    Found(usize),
    /// Measured on the roof, written on this line of the found file.
    Surveyed(usize),
    /// Follows from other values.
    Derived(&'static str),
}

impl Origin {
    /// The origin in words.
    pub fn words(&self) -> String {
        match self {
            Origin::Written(line) => format!("design file, line {line}"),
            Origin::Default(why) => format!("default: {why}"),
            Origin::Found(line) => format!("found, design file line {line}"),
            Origin::Surveyed(line) => format!("found, found file line {line}"),
            Origin::Derived(how) => format!("derived: {how}"),
        }
    }

    /// Line of the design file, if the value is written there.
    pub fn line(&self) -> Option<usize> {
        match self {
            Origin::Written(line) | Origin::Found(line) => Some(*line),
            Origin::Surveyed(_) | Origin::Default(_) | Origin::Derived(_) => None,
        }
    }
}

/// A value with its origin.
#[derive(Clone, Debug, PartialEq)]
pub struct Given<T> {
    /// The value.
    pub value: T,
    /// Where it comes from.
    pub origin: Origin,
}

impl<T> std::ops::Deref for Given<T> {
    type Target = T;
    fn deref(&self) -> &T {
        &self.value
    }
}

impl Given<Length> {
    /// The length in metres.
    pub fn metres(&self) -> f64 {
        self.value.metres()
    }
}

/// A default that is in force.
#[derive(Clone, Debug, PartialEq)]
pub struct DefaultInForce {
    /// Key in the design file.
    pub key: String,
    /// Value, as one would write it.
    pub value: String,
    /// Why.
    pub why: &'static str,
}

macro_rules! choice {
    ($(#[$doc:meta])* $name:ident, $says:literal, { $($(#[$vdoc:meta])* $variant:ident = $word:literal),+ $(,)? }) => {
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum $name { $($(#[$vdoc])* $variant),+ }
        impl Choice for $name {
            const NAME: &'static str = $says;
            const WORDS: &'static [(&'static str, Self)] = &[$(($word, $name::$variant)),+];
        }
        impl $name {
            /// The word for it in a design file.
            pub fn word(self) -> &'static str {
                match self { $($name::$variant => $word),+ }
            }
        }
    };
}

mod buying;
mod loads;
mod tolerance;

pub use buying::{Buying, PinnedJoints, Price, Priced};
pub use loads::*;
pub use tolerance::{AimPlace, AimSpec, Tolerance, ToleranceMeaning};

choice!(
    /// Shape of a whole roof.
    RoofShape, "roof shape", { /// One slope.
        Shed = "shed", /// Two slopes that share a ridge.
        Gable = "gable", /// Four slopes.
        Hip = "hip" }
);
choice!(
    /// Kind of an outline's edge.
    EdgeKind, "edge kind", { /// Low edge.
        Eave = "eave", /// High edge: ridge, or the top of a single slope.
        Top = "top", /// Sloping edge.
        Rake = "rake", /// Outer corner between two slopes.
        Hip = "hip", /// Inner corner between two slopes.
        Valley = "valley", /// Against a wall.
        Wall = "wall" }
);
choice! {
    /// Whether air passes over an edge that two slopes share, or out at a rake.
    EdgeAir, "way of the air over an edge", {
        /// The space goes on under the cap, or under the metal.
        Open = "open",
        /// Something closes it.
        Closed = "closed",
    }
}

choice!(
    /// How ends are cut at an edge.
    EndCut, "end cut", { /// At a right angle to the slope.
        Square = "square", /// Vertical.
        Plumb = "plumb", /// Horizontal.
        Level = "level" }
);
choice!(
    /// Kind of a member.
    MemberKind, "kind of member", { /// Rafter.
        Rafter = "rafter", /// Eave tail added outside the airtight line.
        Tail = "tail", /// Lookout under a rake overhang.
        Lookout = "lookout", /// Outermost rafter of a rake overhang.
        FlyRafter = "fly rafter", /// Block.
        Block = "block", /// Ledger.
        Ledger = "ledger", /// Rim board.
        RimBoard = "rim board", /// Trimmer beside an opening.
        Trimmer = "trimmer", /// Header above or below an opening.
        Header = "header", /// Ridge board.
        RidgeBoard = "ridge board", /// Hip rafter.
        HipRafter = "hip rafter", /// Valley rafter.
        ValleyRafter = "valley rafter" }
);
choice!(
    /// Where a strap lies.
    StrapPlace, "place of a strap", { /// On the tape.
        OnTape = "on tape", /// Under the tape.
        UnderTape = "under tape" }
);
choice!(
    /// Which way the shift of a strap counts.
    StrapSide, "side of a strap", { /// To the right of the member's middle.
        Right = "right", /// Toward the rafter beside the member.
        Rafter = "rafter" }
);
choice!(
    /// From where the framing can still be reached.
    Reach, "reach of the framing", { /// From above alone, over a closed deck: no new wood inside the airtight line.
        Above = "above", /// From below too: blocks can be put in anywhere.
        Below = "below" }
);
choice!(
    /// What a strip does over a strap.
    StripOverStrap, "way of a strip over a strap", { /// Cut thinner.
        Notched = "notched", /// Lies higher.
        Raised = "raised" }
);
choice!(
    /// Which goes on first.
    TapeOrder, "order of tape and strip", { /// Tape on the membrane, then the strip.
        MembraneFirst = "membrane first", /// Tape on the strip, then both on the membrane.
        StripFirst = "strip first" }
);
choice!(
    /// Direction of flutes.
    Flutes, "direction of flutes", { /// Up the slope.
        Up = "up", /// Across the slope.
        Across = "across" }
);
choice!(
    /// The edge that courses are counted from.
    StartEdge, "starting edge", { /// From the eave.
        Eave = "eave", /// From the top.
        Top = "top" }
);
choice!(
    /// The side that boards are laid from.
    BoardsFrom, "starting side", { /// From the left end.
        Left = "left", /// From the right end.
        Right = "right" }
);
choice!(
    /// How two pieces of a course meet.
    JointKind, "kind of joint", { /// End to end over a line.
        Butt = "butt", /// End to end over doubled members only.
        Doubled = "doubled", /// Side by side over a line.
        Lap = "lap" }
);
choice!(
    /// How the joints of courses are chosen.
    JointChoice, "way to choose joints", { /// Each as far along as the longest board reaches.
        Far = "far", /// So that the fewest and cheapest boards are bought.
        FewestBoards = "fewest boards" }
);
choice!(
    /// Kind of fastener.
    FastenerKind, "kind of fastener", { /// Smooth nail.
        Nail = "nail", /// Ring-shank nail.
        RingShankNail = "ring-shank nail", /// Wood screw.
        Screw = "screw", /// Lag screw: thick, with a hexagon head.
        LagScrew = "lag screw" }
);
impl FastenerKind {
    /// Whether it is turned in.
    #[must_use]
    pub const fn is_screw(self) -> bool {
        matches!(self, Self::Screw | Self::LagScrew)
    }
}
choice!(
    /// How the fasteners of a landing stand.
    Pattern, "pattern of fasteners", { /// One above the other.
        Up = "up", /// Side by side.
        Across = "across", /// From lower left to upper right.
        Diagonal = "diagonal" }
);
choice!(
    /// What can be on the roof already.
    LaidKind, "layer of the lattice", { /// Tape.
        Tape = "tape", /// Strips.
        Strips = "strips", /// Straps.
        Straps = "straps", /// Battens.
        Battens = "battens", /// Fasteners.
        Fasteners = "fasteners", /// Vent pieces.
        VentPieces = "vent pieces" }
);

impl Choice for Units {
    const NAME: &'static str = "system of units";
    const WORDS: &'static [(&'static str, Self)] = &[("inches", Units::Inches), ("millimetres", Units::Millimetres)];
}

impl MemberKind {
    /// Letters that open a member's name.
    pub fn letters(self) -> &'static str {
        match self {
            MemberKind::Rafter => "R",
            MemberKind::Tail => "TL",
            MemberKind::Lookout => "LK",
            MemberKind::FlyRafter => "FR",
            MemberKind::Block => "BK",
            MemberKind::Ledger => "LD",
            MemberKind::RimBoard => "RM",
            MemberKind::Trimmer => "TR",
            MemberKind::Header => "HD",
            MemberKind::RidgeBoard => "RB",
            MemberKind::HipRafter => "HR",
            MemberKind::ValleyRafter => "VR",
        }
    }

    /// Whether members of this kind make strip lines (they run up the slope from eave to top).
    pub fn makes_lines(self) -> bool {
        matches!(self, MemberKind::Rafter | MemberKind::Tail | MemberKind::FlyRafter | MemberKind::Trimmer)
    }
}

/// Cross-section of a member.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Section {
    /// Solid lumber.
    Sawn {
        /// Across.
        width: Length,
        /// Down from the upper face.
        depth: Length,
    },
    /// I-joist.
    IJoist {
        /// Width of the flanges.
        width: Length,
        /// Overall depth.
        depth: Length,
        /// Thickness of a flange.
        flange: Length,
        /// Thickness of the web.
        web: Length,
    },
}

impl Section {
    /// Width across.
    pub fn width(&self) -> Length {
        match self {
            Section::Sawn { width, .. } | Section::IJoist { width, .. } => *width,
        }
    }

    /// Overall depth.
    pub fn depth(&self) -> Length {
        match self {
            Section::Sawn { depth, .. } | Section::IJoist { depth, .. } => *depth,
        }
    }

    /// The section in words.
    pub fn show(&self, units: Units) -> String {
        match self {
            Section::Sawn { width, depth } => format!("{} x {}", width.show_fine(units), depth.show_fine(units)),
            Section::IJoist { width, depth, flange, web } => format!(
                "I-joist {} deep, flange {} x {}, web {}",
                depth.show_fine(units),
                width.show_fine(units),
                flange.show_fine(units),
                web.show_fine(units)
            ),
        }
    }
}

/// Index of a slope in [`Design::slopes`].
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct SlopeId(pub usize);

/// A corner on a slope: x along the eave, y up the slope.
pub type Corner = (Length, Length);

/// One roof plane as drawn.
#[derive(Clone, Debug)]
pub struct Slope {
    /// Short name.
    pub name: String,
    /// World place of the frame's origin: east, north, up.
    pub eave_point: Given<[Length; 3]>,
    /// Compass direction: 0 north, clockwise.
    pub facing: Given<Angle>,
    /// Pitch.
    pub pitch: Given<Angle>,
    /// Its run, where it is written as a rise of 12, as `12:4`.
    pub run_of_12: Option<f64>,
    /// Outline, counter-clockwise seen from outside; its least x and y are zero.
    pub outline: Vec<Corner>,
    /// One for each edge: edge i runs from corner i to the next.
    pub edges: Vec<Edge>,
    /// Openings.
    pub openings: Vec<Opening>,
    /// Outline as found, corner for corner, where measured.
    pub found_outline: Option<Vec<Corner>>,
}

/// One edge of an outline.
#[derive(Clone, Debug)]
pub struct Edge {
    /// Kind.
    pub kind: Given<EdgeKind>,
    /// End cuts.
    pub cut: Given<EndCut>,
    /// Distance that the lattice keeps.
    pub hold_back: Given<Length>,
    /// Distance by which tape runs past it, to be turned down; zero where it is cut at the edge.
    pub turn_down: Given<Length>,
    /// Whether a vent piece lies along it.
    pub vent: Given<bool>,
    /// Whether air passes over it to the slope that shares it; at a rake, to the outside.
    pub air: Given<EdgeAir>,
    /// Thickness of insulation still to come.
    pub insulation_to_come: Given<Length>,
    /// Distance in plan between edge and framing.
    pub framing_setback: Given<Length>,
    /// Slope and edge number (from 0) that coincide with this one.
    pub shared_with: Option<(SlopeId, usize)>,
    /// Ridge board or hip rafter that follows this edge; said on one of two shared edges.
    pub member: Option<(MemberKind, Section)>,
    /// Number (from 1) of the `[[edge]]` table that sets this edge, if there is one.
    pub table: Option<usize>,
}

/// A rectangular opening.
#[derive(Clone, Debug)]
pub struct Opening {
    /// Name.
    pub name: String,
    /// Lower left corner as drawn.
    pub at: Corner,
    /// Width and height as drawn.
    pub size: Corner,
    /// Corner and size as found.
    pub found: Option<(Corner, Corner)>,
}

/// A table of the design file.
#[derive(Clone, Debug, PartialEq)]
pub struct Table {
    /// Its key, such as `lookouts[2]`.
    pub key: String,
    /// The line on which it begins.
    pub line: usize,
    /// The byte at which it begins.
    pub start: usize,
}

/// What a field or a single member puts on the roof.
#[derive(Clone, Debug)]
pub struct MemberSpec {
    /// Kind.
    pub kind: MemberKind,
    /// Cross-section.
    pub section: Section,
    /// Where.
    pub place: MemberLine,
    /// The table that asks for it.
    pub table: Table,
}

/// Where a member's upper face runs.
#[derive(Clone, Debug)]
pub enum MemberLine {
    /// On a slope, in the plane of the framing lowered by `drop`.
    OnSlope {
        /// The slope.
        slope: SlopeId,
        /// Start of the centre line.
        from: Corner,
        /// Its end.
        to: Corner,
        /// Lowered by.
        drop: Length,
        /// Turned about its line.
        roll: Angle,
    },
    /// In the world.
    InWorld {
        /// Start: east, north, up.
        from: [Length; 3],
        /// End.
        to: [Length; 3],
        /// Turned about its line.
        roll: Angle,
    },
}

/// A field of members that run up the slope.
#[derive(Clone, Debug)]
pub struct RafterField {
    /// Slopes.
    pub slopes: Vec<SlopeId>,
    /// Rafter or tail.
    pub kind: MemberKind,
    /// Cross-section.
    pub section: Given<Section>,
    /// On-centre spacing.
    pub spacing: Given<Length>,
    /// x of the first centre line.
    pub first: Given<Length>,
    /// x that no centre line passes.
    pub last: Option<Given<Length>>,
    /// Whether one more stands at `last`.
    pub close: Given<bool>,
    /// y of the lower end or bearing line.
    pub low: Option<Given<Length>>,
    /// y of the upper end.
    pub high: Option<Given<Length>>,
    /// Past `low`.
    pub cantilever: Given<Length>,
    /// Lowered by.
    pub drop: Given<Length>,
    /// The table that asks for it.
    pub table: Table,
}

/// Lookouts, one above the other.
#[derive(Clone, Debug)]
pub struct LookoutField {
    /// Slopes.
    pub slopes: Vec<SlopeId>,
    /// Cross-section.
    pub section: Given<Section>,
    /// On-centre spacing.
    pub spacing: Given<Length>,
    /// y of the first.
    pub first: Given<Length>,
    /// y that none passes.
    pub last: Option<Given<Length>>,
    /// Left end.
    pub from: Given<Length>,
    /// Right end.
    pub to: Given<Length>,
    /// Lowered by.
    pub drop: Given<Length>,
    /// The table that asks for it.
    pub table: Table,
}

/// Rows of blocks between members that run up the slope.
#[derive(Clone, Debug)]
pub struct BlockRow {
    /// Slopes.
    pub slopes: Vec<SlopeId>,
    /// Cross-section.
    pub section: Given<Section>,
    /// y of each row.
    pub at: Given<Vec<Length>>,
    /// From this x on.
    pub from: Option<Given<Length>>,
    /// Up to this x.
    pub to: Option<Given<Length>>,
    /// Lowered by.
    pub drop: Given<Length>,
    /// The table that asks for it.
    pub table: Table,
}

/// Trimmers and headers round an opening.
#[derive(Clone, Debug)]
pub struct Trim {
    /// Slope and index of the opening.
    pub opening: (SlopeId, usize),
    /// Cross-section.
    pub section: Given<Section>,
    /// Trimmers at each side.
    pub trimmers: Given<usize>,
    /// Headers above and below.
    pub headers: Given<usize>,
    /// Gap between opening and framing.
    pub clearance: Given<Length>,
    /// The table that asks for it.
    pub table: Table,
}

/// Straps along members of one kind.
#[derive(Clone, Debug)]
pub struct StrapField {
    /// Slopes.
    pub slopes: Vec<SlopeId>,
    /// Kind of member.
    pub along: Given<MemberKind>,
    /// Shift from the member's middle.
    pub shift: Given<Length>,
    /// Which way the shift counts.
    pub side: Given<StrapSide>,
    /// Width of the steel.
    pub width: Given<Length>,
    /// Thickness of the steel.
    pub thickness: Given<Length>,
    /// Lower end.
    pub low: Given<Length>,
    /// Upper end.
    pub high: Given<Length>,
    /// Middle of the stretch without nails.
    pub seam: Given<Length>,
    /// Length of that stretch.
    pub gap: Given<Length>,
    /// Place.
    pub place: Given<StrapPlace>,
    /// What the strip does.
    pub strip: Given<StripOverStrap>,
    /// Nails.
    pub nails: NailField,
}

/// Nails of a strap.
#[derive(Clone, Debug)]
pub struct NailField {
    /// Shank diameter.
    pub diameter: Given<Length>,
    /// Length.
    pub length: Given<Length>,
    /// Spacing along the strap.
    pub spacing: Given<Length>,
    /// From the ends.
    pub end: Given<Length>,
    /// To left and right in turn.
    pub stagger: Given<Length>,
}

impl NailField {
    /// Heights of the lowest and the highest row of nails of a strap from `low` to `high`, its gap aside.
    pub fn first_and_last(&self, low: Length, high: Length) -> (Length, Length) {
        let first = low + self.end.value;
        (first, first + self.spacing.value * self.steps(low, high))
    }

    /// How many times the spacing fits between the first nail and the strap's other end.
    pub fn steps(&self, low: Length, high: Length) -> f64 {
        let room = (high - low).metres() - 2.0 * self.end.metres();
        (room / self.spacing.metres() + 1e-9).floor()
    }
}

/// What the lattice is made of, layer by layer.
#[derive(Clone, Debug)]
pub struct LatticeSpec {
    /// Deck thickness; zero where there is none.
    pub deck: Given<Length>,
    /// Membrane thickness.
    pub membrane: Given<Length>,
    /// Tape.
    pub tape: TapeSpec,
    /// Strips.
    pub strip: StripSpec,
    /// Vent pieces.
    pub vent: VentSpec,
    /// Battens.
    pub batten: BattenSpec,
    /// Openings.
    pub opening: OpeningSpec,
}

/// Tape.
#[derive(Clone, Debug)]
pub struct TapeSpec {
    /// Width.
    pub width: Given<Length>,
    /// Thickness.
    pub thickness: Given<Length>,
    /// Order.
    pub order: Given<TapeOrder>,
    /// Roll length.
    pub roll: Given<Length>,
    /// Density.
    pub density: Given<Density>,
}

/// Strips.
#[derive(Clone, Debug)]
pub struct StripSpec {
    /// Width.
    pub width: Given<Length>,
    /// Height.
    pub height: Given<Length>,
    /// Width of the wider strip, if there is one.
    pub wide: Option<Given<Length>>,
    /// Stock length.
    pub stock: Given<Length>,
    /// Flutes.
    pub flutes: Given<Flutes>,
    /// Gap to a vent piece.
    pub gap: Given<Length>,
    /// Doubled at rakes.
    pub doubled_at_rake: Given<bool>,
    /// Members share a line within this.
    pub join_within: Given<Length>,
    /// Density.
    pub density: Given<Density>,
}

/// Vent pieces.
#[derive(Clone, Debug)]
pub struct VentSpec {
    /// Width up the slope.
    pub width: Given<Length>,
    /// Height.
    pub height: Given<Length>,
    /// Stock length.
    pub stock: Given<Length>,
    /// Flutes.
    pub flutes: Given<Flutes>,
    /// Density.
    pub density: Given<Density>,
}

/// Battens.
#[derive(Clone, Debug)]
pub struct BattenSpec {
    /// Width up the slope.
    pub width: Given<Length>,
    /// Thickness.
    pub thickness: Given<Length>,
    /// On-centre spacing.
    pub spacing: Given<Length>,
    /// First course.
    pub first: Given<Length>,
    /// Last course.
    pub last: Given<Length>,
    /// Counted from.
    pub start: Given<StartEdge>,
    /// Boards are laid from.
    pub boards_from: Given<BoardsFrom>,
    /// Stock lengths, increasing.
    pub stock: Given<Vec<Length>>,
    /// Least piece.
    pub least_piece: Given<Length>,
    /// Courses below whose joints stand elsewhere.
    pub stagger: Given<usize>,
    /// How joints are chosen.
    pub joints: Given<JointChoice>,
    /// Joints.
    pub joint: Given<JointKind>,
    /// Lap length.
    pub lap: Given<Length>,
    /// Gap of a butt joint.
    pub joint_gap: Given<Length>,
    /// Density.
    pub density: Given<Density>,
}

impl BattenSpec {
    /// Whether boards of this stock can divide a course: each brings it on by at least the least piece.
    pub fn divides(&self) -> bool {
        let (least, gap) = (self.least_piece.metres(), self.joint_gap.metres());
        2.0 * least <= self.longest() && least <= self.brings_on() && 4.0 * gap <= least
    }

    /// How far a board of the longest stock brings a course on: by all that it does not lap; metres.
    pub fn brings_on(&self) -> f64 {
        match self.joint.value {
            JointKind::Lap => self.longest() - self.lap.metres(),
            JointKind::Butt | JointKind::Doubled => self.longest(),
        }
    }

    fn longest(&self) -> f64 {
        self.stock.value.last().map_or(0.0, |l| l.metres())
    }
}

/// Openings in the lattice.
#[derive(Clone, Debug)]
pub struct OpeningSpec {
    /// Clearance beside.
    pub clearance: Given<Length>,
    /// Extra courses.
    pub frame: Given<bool>,
    /// Gap below and above.
    pub way_round: Given<Length>,
}

/// Fasteners.
#[derive(Clone, Debug)]
pub struct Fastening {
    /// Kind.
    pub kind: Given<FastenerKind>,
    /// Shank diameter.
    pub diameter: Given<Length>,
    /// Length under the head.
    pub length: Given<Length>,
    /// Head diameter.
    pub head: Given<Length>,
    /// How many in a landing.
    pub per_landing: Given<usize>,
    /// Pattern.
    pub pattern: Given<Pattern>,
    /// First to last.
    pub spread: Given<Length>,
    /// Pre-drilled.
    pub predrilled: Given<bool>,
}

/// Limits.
#[derive(Clone, Debug)]
pub struct Limits {
    /// Least embedment.
    pub embedment: Given<Length>,
    /// Least distance to a member's side.
    pub edge_distance: Given<Length>,
    /// Least distance to a batten's side.
    pub batten_edge: Given<Length>,
    /// Least distance to a batten's end.
    pub end_distance: Given<Length>,
    /// Least tape beside a shank.
    pub tape_margin: Given<Length>,
    /// Longest run.
    pub run: Given<Length>,
    /// Longest end run.
    pub end_run: Given<Length>,
    /// How far a rule of thumb that the design does not write may be passed.
    pub hair: Given<Length>,
    /// Tolerance on runs.
    pub tolerance: Given<Length>,
    /// Largest gap under a batten.
    pub gap: Given<Length>,
}

/// A rule for landings over members along the eave.
#[derive(Clone, Debug)]
pub struct LandingRule {
    /// Slopes.
    pub slopes: Vec<SlopeId>,
    /// Kinds.
    pub over: Given<Vec<MemberKind>>,
    /// Inset.
    pub inset: Given<Length>,
    /// Largest distance.
    pub spacing: Option<Given<Length>>,
}

/// A single landing.
#[derive(Clone, Debug)]
pub struct SingleLanding {
    /// Course.
    pub course: String,
    /// x.
    pub x: Given<Length>,
    /// How its fasteners stand.
    pub pattern: Pattern,
    /// Its table, such as `landing[1]`.
    pub key: String,
    /// Place in the file, for a course that does not exist.
    pub span: std::ops::Range<usize>,
}

/// A gap left in a course.
#[derive(Clone, Debug)]
pub struct CourseGap {
    /// Course.
    pub course: String,
    /// Left end.
    pub from: Given<Length>,
    /// Right end.
    pub to: Given<Length>,
    /// Its table, such as `gap[1]`.
    pub key: String,
    /// Place in the file, for a course that does not exist.
    pub span: std::ops::Range<usize>,
}

/// Fasteners of a landing moved or left out.
#[derive(Clone, Debug)]
pub struct Move {
    /// Landing.
    pub landing: String,
    /// Where it lies without the move, for which the move was written; `None` where the file does not say it, which is a
    /// fault once the landing's place is known.
    pub at: Option<Corner>,
    /// To the right.
    pub across: Given<Length>,
    /// Up.
    pub up: Given<Length>,
    /// The landing is left without fasteners.
    pub skip: bool,
    /// Its table, such as `move[1]`.
    pub key: String,
    /// Place in the file, for a landing that does not exist.
    pub span: std::ops::Range<usize>,
}

/// A member as found.
#[derive(Clone, Debug)]
pub struct FoundMember {
    /// Name.
    pub name: String,
    /// Not there.
    pub missing: bool,
    /// Distance along from its start, offset to the right or up; increasing.
    pub offsets: Vec<(Length, Length)>,
    /// Line of the design file.
    pub line: usize,
    /// Its table, such as `found.member[2]`.
    pub key: String,
    /// Place in the file, for a name that does not exist.
    pub span: std::ops::Range<usize>,
}

/// What is laid already, by the drawing.
#[derive(Clone, Debug)]
pub struct Laid {
    /// Layers.
    pub what: Vec<LaidKind>,
    /// Slopes.
    pub slopes: Vec<SlopeId>,
    /// Lines by name; `None` for all.
    pub lines: Option<Vec<(String, std::ops::Range<usize>)>>,
    /// Courses by name; `None` for all.
    pub courses: Option<Vec<(String, std::ops::Range<usize>)>>,
    /// Its table, such as `laid[1]`.
    pub key: String,
}

/// A design with nothing left open.
#[derive(Clone, Debug)]
pub struct Design {
    /// Name.
    pub name: String,
    /// What the author says about it.
    pub about: String,
    /// Units for people.
    pub units: Units,
    /// Slopes in the order of the file.
    pub slopes: Vec<Slope>,
    /// Fields of rafters and tails.
    pub rafters: Vec<RafterField>,
    /// Lookouts.
    pub lookouts: Vec<LookoutField>,
    /// Blocking.
    pub blocking: Vec<BlockRow>,
    /// Trimmers and headers.
    pub trims: Vec<Trim>,
    /// Single members.
    pub members: Vec<MemberSpec>,
    /// From where the framing can be reached.
    pub reach: Given<Reach>,
    /// Straps.
    pub straps: Vec<StrapField>,
    /// The lattice.
    pub lattice: LatticeSpec,
    /// Fasteners.
    pub fastening: Fastening,
    /// Limits.
    pub limits: Limits,
    /// How well things are known, where the design says so.
    pub tolerance: Option<Tolerance>,
    /// The error of the hand: the most that a fastener leans, in any direction.
    pub tilt: Given<Angle>,
    /// Where fasteners are aimed.
    pub aim: AimSpec,
    /// What the flow of air depends on, where the design says anything of it.
    pub air: Option<AirSpec>,
    /// Landing rules.
    pub landing_rules: Vec<LandingRule>,
    /// Single landings.
    pub landings: Vec<SingleLanding>,
    /// Gaps left in courses.
    pub gaps: Vec<CourseGap>,
    /// Moves and skips.
    pub moves: Vec<Move>,
    /// Roofing panels, where the design states them.
    pub panels: Option<Panels>,
    /// The first line that belongs to a found file read behind the design file.
    pub found_file_from: Option<usize>,
    /// Members as found, by name.
    pub found_members: Vec<FoundMember>,
    /// Members found or added beyond the drawing.
    pub added: Vec<MemberSpec>,
    /// What is laid.
    pub laid: Vec<Laid>,
    /// Loads and strength.
    pub loads: Loads,
    /// Wood of members where a table of the framing says it.
    pub woods: Vec<MemberWood>,
    /// Joints that are given, course by course.
    pub joints: Vec<PinnedJoints>,
    /// Sawing, spares, bundles, prices.
    pub buying: Buying,
    /// Defaults in force, in the order of keys.
    pub defaults: Vec<DefaultInForce>,
}

impl Design {
    /// Whether nothing was measured or added: the roof is as drawn.
    pub fn nothing_found(&self) -> bool {
        let as_drawn = |s: &Slope| s.found_outline.is_none() && s.openings.iter().all(|o| o.found.is_none());
        self.found_members.is_empty() && self.added.is_empty() && self.slopes.iter().all(as_drawn)
    }

    /// The move of a landing, where the design has one.
    pub fn move_of(&self, landing: &str) -> Option<&Move> {
        let i = self.moves.binary_search_by(|m| m.landing.as_str().cmp(landing)).ok()?;
        self.moves.get(i)
    }

    /// What was found of a member.
    pub fn found_of(&self, member: &str) -> Option<&FoundMember> {
        let i = self.found_members.binary_search_by(|m| m.name.as_str().cmp(member)).ok()?;
        self.found_members.get(i)
    }

    /// The origin of something found that stands on a line: of the design file, or of the found file behind it.
    pub fn found_origin(&self, line: usize) -> Origin {
        match self.found_file_from {
            Some(first) if line >= first => Origin::Surveyed(line + 1 - first),
            _ => Origin::Found(line),
        }
    }
}
