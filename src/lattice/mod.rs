//! The lattice: tape, strips, vent pieces, courses, pieces, landings and fasteners.
//!
//! Aim: from the structure as drawn and as found, where every part of the lattice goes, by name.
//! Reason: names and joints come from the drawing once and stay; what is not yet laid follows what was found, what is
//! laid stays where the drawing put it. Both are decided here and nowhere else.
//! Limits: strips run up the slope, battens across it. Coordinates are slope coordinates in metres. Nothing here judges.

mod boards;
mod choice;
mod clips;
mod courses;
mod cut;
mod division;
mod gaps;
mod landings;
mod lines;
mod moves;
mod names;
mod solids;
mod strips;

pub use boards::{BoardCost, Boards, CutBoard, PieceAt, SawLengths, Sawn, boards};
pub use choice::JointReport;
pub use clips::{Clip, Seam, clip_mesh, stretches as panel_stretches};
pub use landings::in_pattern;
pub use solids::{batten_solid, fastener_mesh, head_thickness, hole_mesh, strap_mesh, strip_bodies, tape_bodies};

use crate::design::{Design, Diagnostic, LaidKind, MemberKind, SlopeId, Sure, nearest};
use crate::quantity::list::run;
use crate::quantity::maths::apart;
use crate::solid::Plane;
use crate::structure::{MemberId, Outline, State, Structure, lettered};

/// Heights of the layers above the membrane's outer face, metres.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Levels {
    /// Upper face of the tape.
    pub tape: f64,
    /// Upper face of the strips.
    pub strip: f64,
    /// Upper face of the battens.
    pub batten: f64,
}

impl Levels {
    /// The levels that follow from the build-up.
    pub fn of(design: &Design) -> Levels {
        let tape = design.lattice.tape.thickness.metres();
        let strip = tape + design.lattice.strip.height.metres();
        Levels { tape, strip, batten: strip + design.lattice.batten.thickness.metres() }
    }
}

/// A bent line up the slope: places (y, x), y increasing.
pub type Path = Vec<(f64, f64)>;

/// Length of a bent line, metres.
pub fn path_length(path: &[(f64, f64)]) -> f64 {
    path.windows(2).map(|w| apart(w[1], w[0])).sum()
}

/// x on a path at y; beyond its ends, the end's.
pub fn x_at(path: &[(f64, f64)], y: f64) -> f64 {
    let Some(first) = path.first() else { return 0.0 };
    if y <= first.0 {
        return first.1;
    }
    for w in path.windows(2) {
        if y <= w[1].0 {
            let t = if w[1].0 > w[0].0 { (y - w[0].0) / (w[1].0 - w[0].0) } else { 0.0 };
            return w[0].1 + (w[1].1 - w[0].1) * t;
        }
    }
    path.last().map_or(0.0, |l| l.1)
}

/// One member below a line.
#[derive(Clone, Debug)]
pub struct LineMember {
    /// The member.
    pub member: MemberId,
    /// Its centre line, from its lower to its upper end.
    pub path: Path,
    /// Its width.
    pub width: f64,
    /// What it is. An eave tail ends soon and never makes a doubled member with its rafter; a trimmer frames an opening beside
    /// the rafters' own spacing.
    pub kind: MemberKind,
    /// Drawn, but not there: it backs nothing, yet keeps its place on the line so that this shows.
    pub missing: bool,
}

/// Members at a height: those that are there, or else those that the drawing has there.
pub fn members_at(members: &[LineMember], y: f64) -> Vec<&LineMember> {
    let here = |missing: bool| members.iter().filter(|m| m.covers(y) && m.missing == missing).collect::<Vec<_>>();
    let there = here(false);
    if there.is_empty() { here(true) } else { there }
}

impl LineMember {
    /// Length up the slope.
    pub fn length(&self) -> f64 {
        self.path.first().zip(self.path.last()).map_or(0.0, |(a, b)| b.0 - a.0)
    }

    /// Whether the member lies at this height.
    pub fn covers(&self, y: f64) -> bool {
        self.path.first().is_some_and(|f| f.0 <= y) && self.path.last().is_some_and(|l| l.0 >= y)
    }
}

/// The member that ends nearest below or begins nearest above a height.
pub fn nearest_to(members: &[LineMember], y: f64) -> Option<&LineMember> {
    let gap = |m: &LineMember| {
        let (a, b) = (m.path.first().map_or(0.0, |p| p.0), m.path.last().map_or(0.0, |p| p.0));
        (a - y).max(y - b)
    };
    members.iter().min_by(|a, b| gap(a).total_cmp(&gap(b)))
}

/// x half way between the outermost of the members at a height, or of the nearest one: from either side the same.
fn half_way(members: &[LineMember], y: f64) -> Option<f64> {
    let at = |m: &LineMember| x_at(&m.path, y);
    let here = members_at(members, y).into_iter().map(at);
    let outermost = here.fold(None, |o: Option<(f64, f64)>, x| Some(o.map_or((x, x), |o| (o.0.min(x), o.1.max(x)))));
    outermost.map(|(a, b)| (a + b) / 2.0).or_else(|| nearest_to(members, y).map(at))
}

/// A strip line, built from the members below it.
#[derive(Clone, Debug)]
pub struct Line {
    /// Its name.
    pub name: String,
    /// The members below it as drawn.
    pub drawn: Vec<LineMember>,
    /// The members below it as found; those that are missing as drawn.
    pub found: Vec<LineMember>,
    /// Stretches (y) over which strips run, from vent piece to vent piece.
    pub stretches: Vec<(f64, f64)>,
    /// The stretches that the roof as found asks for: the same, unless strips are laid already.
    pub wanted: Vec<(f64, f64)>,
    /// Stretches over which tape runs, and battens may be fastened: under the vent pieces too.
    pub taped: Vec<Taped>,
    /// Tape is on the roof already.
    pub tape_laid: bool,
    /// Strips are on the roof already.
    pub strips_laid: bool,
    /// The strips side by side, stretch by stretch, from low to high. Where one stretch ends and the next begins at the
    /// same height, the line jogs or changes its width.
    pub widths: Vec<LineWidth>,
}

/// How wide a line is over a stretch.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LineWidth {
    /// Low and high end.
    pub y: (f64, f64),
    /// How many strips lie side by side.
    pub strips: usize,
    /// Width of each; where an edge cuts one lengthwise, the mean of them.
    pub width: f64,
}

impl Line {
    /// The members of one state.
    pub fn members(&self, state: State) -> &[LineMember] {
        match state {
            State::Drawn => &self.drawn,
            State::Found => &self.found,
        }
    }

    /// Heights at which the line jogs or changes its width.
    pub fn jogs(&self) -> Vec<f64> {
        let meets = |w: &&[LineWidth]| (w[0].y.1 - w[1].y.0).abs() < crate::solid::tolerance::SAME;
        self.widths.windows(2).filter(meets).map(|w| w[0].y.1).collect()
    }

    /// x half way between its outermost members at this height, metres: as drawn, or as found where it is not drawn.
    fn drawn_x(&self, y: f64) -> Option<f64> {
        half_way(&self.drawn, y).or_else(|| half_way(&self.found, y))
    }

    /// x half way between its outermost members at this height, metres: as found, or as drawn where nothing is found of it.
    pub fn found_x(&self, y: f64) -> Option<f64> {
        half_way(&self.found, y).or_else(|| half_way(&self.drawn, y))
    }

    /// Whether two members as found lie side by side at this height, so that each piece of a joint there has its own.
    pub fn is_doubled(&self, y: f64) -> bool {
        landings::doubled(&self.found, y)
    }

    /// Whether the line has tape at this height, so that a batten may be fastened.
    pub fn runs_at(&self, y: f64) -> bool {
        self.taped.iter().any(|t| t.y.0 <= y && y <= t.y.1)
    }
}

/// A stretch of a line that has tape: from edge to edge.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Taped {
    /// Low and high end; past an edge that runs aslant, so that a cut takes the whole end.
    pub y: (f64, f64),
    /// How much further tape may have to reach before the cut, over a member beside the line's middle and past an edge over which
    /// it is turned down, low and high.
    pub further: (f64, f64),
}

/// A stretch of tape.
#[derive(Clone, Debug)]
pub struct Tape {
    /// Its name.
    pub name: String,
    /// Its line; `None` for a landing of its own.
    pub line: Option<u32>,
    /// Its middle.
    pub path: Path,
    /// Its width.
    pub width: f64,
    /// Width of the roll that it comes from: more where an edge cuts it lengthwise.
    pub roll_width: f64,
    /// Planes of the outline that cut it besides, in slope coordinates.
    pub cuts: Vec<Plane>,
}

/// One strip.
#[derive(Clone, Debug)]
pub struct StripPiece {
    /// Its name.
    pub name: String,
    /// Its line; `None` for a landing of its own.
    pub line: Option<u32>,
    /// Its middle.
    pub path: Path,
    /// Its width.
    pub width: f64,
    /// Width of the strip that it comes from: more where an edge cuts it lengthwise.
    pub stock_width: f64,
    /// Planes of the outline that cut it besides, in slope coordinates.
    pub cuts: Vec<Plane>,
    /// Lower face.
    pub bottom: f64,
    /// Upper face.
    pub top: f64,
}

/// One vent piece.
#[derive(Clone, Debug)]
pub struct VentPiece {
    /// Its name.
    pub name: String,
    /// Left, right.
    pub x: (f64, f64),
    /// Low, high.
    pub y: (f64, f64),
    /// Height.
    pub height: f64,
    /// The edge of the outline that it lies along.
    pub edge: usize,
}

/// One line of battens.
#[derive(Clone, Debug)]
pub struct Course {
    /// Its name.
    pub name: String,
    /// Its middle.
    pub y: f64,
}

/// How a piece ends.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum End {
    /// At an edge of the outline, cut as the edge says; `slanted` where the edge runs across the whole end.
    Edge {
        /// The edge.
        edge: usize,
        /// Cut along the edge rather than square.
        slanted: bool,
    },
    /// Beside an opening.
    Opening,
    /// At a gap that the design leaves in the course.
    Gap,
    /// At a joint with the next piece over a line.
    Joint {
        /// The line.
        line: u32,
    },
    /// At a joint over nothing, for want of a line in reach.
    JointOverNothing,
    /// A short framing course simply ends.
    Free,
}

impl End {
    /// The plane that cuts a slanted end, held back from its edge; none for others, which end square.
    fn cut(self, outline: &Outline) -> Option<Plane> {
        let End::Edge { edge, slanted: true } = self else { return None };
        outline.held_back_plane(edge, outline.edges.get(edge)?.hold_back.metres())
    }
}

/// One board of a course.
#[derive(Clone, Debug)]
pub struct Piece {
    /// Its name.
    pub name: String,
    /// Its course.
    pub course: u32,
    /// Left and right end along its middle.
    pub x: (f64, f64),
    /// Its middle.
    pub y: f64,
    /// How it ends left and right.
    pub ends: (End, End),
    /// Length of the board that it is cut from: the shortest that is long enough, or the one that the choice of joints
    /// reckons with.
    pub stock: f64,
    /// Raised by a strap under a strip.
    pub lift: f64,
    /// On the roof already.
    pub laid: bool,
}

/// What a landing is on.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum On {
    /// A strip line.
    Line(u32),
    /// A member that runs along the eave: a landing of its own.
    Member(MemberId),
    /// A place that the design names.
    Place,
}

/// Which piece of a joint.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Side {
    /// No joint here.
    Whole,
    /// The left piece of a joint.
    Left,
    /// The right piece of a joint.
    Right,
}

/// Any place where a batten is fastened.
#[derive(Clone, Copy, Debug)]
pub struct Landing {
    /// The piece that is fastened.
    pub piece: u32,
    /// What it is on.
    pub on: On,
    /// Which side of a joint.
    pub side: Side,
    /// Number among several landings of one course on one member or place; 0 where it is the only one.
    pub number: u16,
    /// How many fasteners.
    pub count: u8,
    /// Index of its first fastener.
    pub first: u32,
    /// Its middle.
    pub x: f64,
    /// Its middle.
    pub y: f64,
}

/// One fastener, driven at a right angle to the slope.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Fastener {
    /// x of its axis.
    pub x: f64,
    /// y of its axis.
    pub y: f64,
}

/// The lattice of one slope.
#[derive(Clone, Debug, Default)]
pub struct SlopeLattice {
    /// Strip lines from left to right.
    pub lines: Vec<Line>,
    /// Tape.
    pub tapes: Vec<Tape>,
    /// Strips.
    pub strips: Vec<StripPiece>,
    /// Vent pieces.
    pub vents: Vec<VentPiece>,
    /// Courses from the eave up.
    pub courses: Vec<Course>,
    /// Pieces, course by course, from left to right.
    pub pieces: Vec<Piece>,
    /// Landings, piece by piece, from left to right.
    pub landings: Vec<Landing>,
    /// Name and place of each landing that the design leaves without fasteners.
    pub skipped: Vec<(String, (f64, f64))>,
    /// Fasteners, landing by landing.
    pub fasteners: Vec<Fastener>,
    /// Seams of the roofing's panels, from left to right; none where the design states no roofing.
    pub seams: Vec<Seam>,
    /// Clips, seam by seam, from the eave up.
    pub clips: Vec<Clip>,
}

/// The whole lattice.
#[derive(Clone, Debug)]
pub struct Lattice {
    /// Heights.
    pub levels: Levels,
    /// One for each slope of the design.
    pub slopes: Vec<SlopeLattice>,
    /// How well joints were chosen, where the design asks for fewest boards.
    pub joints: Option<JointReport>,
}

/// Lays the lattice over the structure, as drawn and as found.
pub fn lay(design: &Design, drawn: &Structure, found: &Structure) -> Lattice {
    let on = |i: usize| Site { design, slope: SlopeId(i), drawn, found };
    let mut slopes: Vec<SlopeLattice> = (0..design.slopes.len())
        .map(|i| {
            let mut lattice = SlopeLattice { lines: lines::lines(&on(i)), ..SlopeLattice::default() };
            strips::lay(&on(i), &mut lattice);
            lattice
        })
        .collect();
    // Boards are bought for the whole roof, so joints are chosen for all slopes at once.
    let (given, joints) = choice::given(design, drawn, found, &slopes);
    for (i, lattice) in slopes.iter_mut().enumerate() {
        courses::lay(&on(i), lattice, &given);
        landings::lay(&on(i), lattice);
        clips::lay(&on(i), lattice);
    }
    let mut lattice = Lattice { levels: Levels::of(design), slopes, joints };
    if lattice.joints.is_some() {
        for board in boards::boards(design, found, &lattice).boards {
            for sawn in &board.pieces {
                let (slope, piece) = sawn.piece;
                if let Some(p) = lattice.slopes.get_mut(slope).and_then(|s| s.pieces.get_mut(piece)) {
                    p.stock = board.stock;
                }
            }
        }
    }
    lattice
}

/// Whether a layer is laid on this line and course of a slope; `None` asks for any of the slope.
pub fn is_laid(design: &Design, slope: SlopeId, what: LaidKind, line: Option<&str>, course: Option<&str>) -> bool {
    let here = design.slopes.get(slope.0).map_or("", |s| s.name.as_str());
    let of_slope = |name: &str| name.strip_prefix(here).is_some_and(|rest| rest.starts_with('-'));
    let among = |list: &Option<Vec<(String, std::ops::Range<usize>)>>, name: Option<&str>| {
        list.as_ref().is_none_or(|list| list.iter().any(|(n, _)| name.map_or_else(|| of_slope(n), |name| n == name)))
    };
    design.laid.iter().any(|l| {
        l.what.contains(&what) && l.slopes.contains(&slope) && among(&l.lines, line) && among(&l.courses, course)
    })
}

/// Whether a layer is laid all along a course, whatever lies below: by a table that names no lines.
fn is_laid_everywhere(design: &Design, slope: SlopeId, what: LaidKind, course: &str) -> bool {
    design.laid.iter().any(|l| {
        l.what.contains(&what)
            && l.slopes.contains(&slope)
            && l.lines.is_none()
            && l.courses.as_ref().is_none_or(|list| list.iter().any(|(n, _)| n == course))
    })
}

/// What the layout of one slope may look at.
pub(crate) struct Site<'a> {
    pub design: &'a Design,
    pub slope: SlopeId,
    pub drawn: &'a Structure,
    pub found: &'a Structure,
}

impl Site<'_> {
    fn structure(&self, state: State) -> &Structure {
        match state {
            State::Drawn => self.drawn,
            State::Found => self.found,
        }
    }

    fn outline(&self, state: State) -> Option<&crate::structure::Outline> {
        self.structure(state).slopes.get(self.slope.0).map(|s| &s.outline)
    }

    /// Whether nothing was found that differs from the drawing.
    fn as_drawn(&self) -> bool {
        std::ptr::eq(self.drawn, self.found)
    }

    fn prefix(&self) -> &str {
        self.found.slopes.get(self.slope.0).map_or("", |s| s.name.as_str())
    }

    /// Whether a layer is laid all along a course, whatever lies below.
    fn laid_everywhere(&self, what: LaidKind, course: &str) -> bool {
        is_laid_everywhere(self.design, self.slope, what, course)
    }

    /// Whether a layer is laid on this line and course; `None` asks for any.
    fn laid(&self, what: LaidKind, line: Option<&str>, course: Option<&str>) -> bool {
        is_laid(self.design, self.slope, what, line, course)
    }
}

impl SlopeLattice {
    /// A line's name without the slope's.
    fn short(name: &str) -> &str {
        name.split_once('-').map_or(name, |(_, rest)| rest)
    }

    /// The name of a landing.
    pub fn landing_name(&self, landing: &Landing, structure: &Structure) -> String {
        let course = self
            .pieces
            .get(landing.piece as usize)
            .and_then(|p| self.courses.get(p.course as usize))
            .map_or("", |c| c.name.as_str());
        let on = match landing.on {
            On::Line(l) => self.lines.get(l as usize).map_or("", |l| Self::short(&l.name)),
            On::Member(m) => structure.member(m).map_or("", |m| Self::short(&m.name)),
            On::Place => "P",
        };
        let number = match (landing.on, landing.number) {
            (On::Place, n) => format!("{n:02}"),
            (_, 0) => String::new(),
            (_, n) => crate::structure::letters(usize::from(n)),
        };
        let side = match landing.side {
            Side::Whole => "",
            Side::Left => ".l",
            Side::Right => ".r",
        };
        format!("{course}.{on}{number}{side}")
    }

    /// The pieces of a course.
    pub fn pieces_of(&self, course: usize) -> &[Piece] {
        run(&self.pieces, |p| (p.course as usize).cmp(&course))
    }

    /// The fasteners of a landing.
    pub fn fasteners_of(&self, landing: &Landing) -> &[Fastener] {
        let first = landing.first as usize;
        self.fasteners.get(first..first + usize::from(landing.count)).unwrap_or_default()
    }

    /// Whether the design says that a landing's fasteners are on the roof already: by its line and course, or, where it is on
    /// no line, by its course alone.
    pub fn is_driven(&self, design: &Design, slope: SlopeId, landing: &Landing) -> bool {
        let course = self.pieces.get(landing.piece as usize).and_then(|p| self.courses.get(p.course as usize));
        let Some(course) = course.filter(|_| !design.laid.is_empty()) else { return false };
        let line = match landing.on {
            On::Line(l) => self.lines.get(l as usize),
            On::Member(_) | On::Place => None,
        };
        match line {
            Some(line) => is_laid(design, slope, LaidKind::Fasteners, Some(&line.name), Some(&course.name)),
            None => is_laid_everywhere(design, slope, LaidKind::Fasteners, &course.name),
        }
    }

    /// Name of what a landing is on.
    pub fn on_name<'a>(&'a self, landing: &Landing, structure: &'a Structure) -> &'a str {
        match landing.on {
            On::Line(l) => self.lines.get(l as usize).map_or("", |l| l.name.as_str()),
            On::Member(m) => structure.member(m).map_or("", |m| m.name.as_str()),
            On::Place => "a place of its own",
        }
    }
}

impl Lattice {
    /// Faults of the design that only show once lines, courses and landings have names. Only names that are sure are judged.
    pub fn unknown_names(&self, design: &Design, structure: &Structure, sure: Sure) -> Vec<Diagnostic> {
        let mut faults = Vec::new();
        let mut complain = |what: &str, name: &str, key: &str, span: &std::ops::Range<usize>, known: &[String]| {
            let stands = match (what, lettered(name)) {
                ("line", false) => sure.lines,
                ("line", true) => sure.lines && sure.added,
                ("course", false) => sure.courses,
                ("course", true) => sure.framing_courses,
                _ => sure.landings,
            };
            if !stands || known.iter().any(|k| k == name) {
                return;
            }
            let hint = match nearest(name, known.iter().map(String::as_str)) {
                Some(k) => format!("did you mean \"{k}\"?"),
                None => format!("{} {what}s, such as \"{}\"", known.len(), known.first().map_or("", String::as_str)),
            };
            faults.push(Diagnostic {
                message: format!("no {what} is named \"{name}\""),
                key: key.to_owned(),
                span: span.clone(),
                hint,
            });
        };
        let courses: Vec<String> = self.slopes.iter().flat_map(|s| s.courses.iter().map(|c| c.name.clone())).collect();
        let lines: Vec<String> = self.slopes.iter().flat_map(|s| s.lines.iter().map(|l| l.name.clone())).collect();
        for l in &design.landings {
            complain("course", &l.course, &format!("{}.course", l.key), &l.span, &courses);
        }
        for g in &design.gaps {
            complain("course", &g.course, &format!("{}.course", g.key), &g.span, &courses);
        }
        let mut bare = Vec::new();
        for l in design.landings.iter().filter(|l| courses.contains(&l.course)) {
            let x = l.x.metres();
            let there = self.slopes.iter().any(|s| {
                let of = |p: &&Piece| s.courses.get(p.course as usize).is_some_and(|c| c.name == l.course);
                s.pieces.iter().filter(of).any(|p| p.x.0 < x && x < p.x.1)
            });
            if !there {
                bare.push(Diagnostic {
                    message: format!("no board of {} lies at {}", l.course, l.x.show(design.units)),
                    key: format!("{}.x", l.key),
                    span: l.span.clone(),
                    hint: "x counts along the eave from the left; openings, gaps and edges end a course".into(),
                });
            }
        }
        for laid in &design.laid {
            for (i, (name, span)) in laid.lines.iter().flatten().enumerate() {
                complain("line", name, &format!("{}.lines[{}]", laid.key, i + 1), span, &lines);
            }
            for (i, (name, span)) in laid.courses.iter().flatten().enumerate() {
                complain("course", name, &format!("{}.courses[{}]", laid.key, i + 1), span, &courses);
            }
        }
        for pinned in &design.joints {
            complain("course", &pinned.course, &format!("{}.course", pinned.key), &pinned.span, &courses);
            for (i, (name, span)) in pinned.lines.iter().enumerate() {
                complain("line", name, &format!("{}.lines[{}]", pinned.key, i + 1), span, &lines);
            }
        }
        faults.extend(moves::faults(design, structure, self, sure));
        // Where boards and joints lie hangs on everything.
        if sure.everything {
            faults.extend(bare);
            faults.extend(gaps::faults(design, structure, self));
            faults.extend(choice::faults(design, self));
        }
        faults
    }

    /// The joints of every course that has some, as tables that pin them in the design.
    pub fn pinned_joints(&self) -> String {
        let mut text = String::new();
        for slope in &self.slopes {
            for (c, course) in slope.courses.iter().enumerate() {
                if let Some(lines) = choice::joint_lines(slope, c).filter(|l| !l.is_empty()) {
                    text.push_str(&crate::design::change::pinned_joints(&course.name, &lines));
                }
            }
        }
        text
    }

    /// How many landings there are.
    pub fn landing_count(&self) -> usize {
        self.slopes.iter().map(|s| s.landings.len()).sum()
    }
}

/// Whether a kind of member lies along the eave and so may carry landings of its own.
pub fn carries_own_landings(kind: MemberKind) -> bool {
    !kind.makes_lines()
}
