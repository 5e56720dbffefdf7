//! What is measured and marked on the roof: outline, lines, courses and pieces of each slope, in slope coordinates.
//!
//! Aim: the numbers that a tape measure needs, beside the parts that a model needs.
//! Reason: a part is a solid somewhere; a mark is a distance from an edge that has a name, once as drawn and once as
//! found. Limits: metres; x counts from the slope's left end, y from its lowest edge. A line's mark is the middle of its
//! strips, a course's mark the middle of its battens.

use super::chalk::{OwnMark, Stretch, stretches};
use super::marks::across_by_line;
use crate::check::{Context, OnSlope};
use crate::design::EdgeKind;
use crate::lattice::{Line, On, SlopeLattice, StripPiece, nearest_to, x_at};
use crate::structure::State;

/// One slope as it is set out.
#[derive(Clone, Debug, PartialEq)]
pub struct SettingOut {
    /// The slope's name; its branch of the model tree has the same.
    pub slope: String,
    /// Pitch, radians.
    pub pitch: f64,
    /// Edges of the outline, counter-clockwise seen from outside; the first begins at the first corner.
    pub edges: Vec<EdgeMark>,
    /// The edge or corner that x is measured from, in words.
    pub x_from: String,
    /// The edge that y is measured from, in words.
    pub y_from: String,
    /// Openings.
    pub openings: Vec<OpeningMark>,
    /// Lines from left to right.
    pub lines: Vec<LineMark>,
    /// Courses from the lowest up.
    pub courses: Vec<CourseMark>,
    /// Landings beside their line as it is printed, or on no line, in the order of the courses.
    pub own: Vec<OwnMark>,
    /// Width of the battens.
    pub batten_width: f64,
    /// Whether windows were left out, because the slope has more than [`MOST_WINDOWS`] landings.
    pub windows_left_out: bool,
}

/// One edge of an outline.
#[derive(Clone, Debug, PartialEq)]
pub struct EdgeMark {
    /// Its number, from 1.
    pub number: usize,
    /// What it is: eave, top, rake and so on.
    pub kind: &'static str,
    /// Where it begins and ends.
    pub ends: [[f64; 2]; 2],
}

/// A rectangular opening.
#[derive(Clone, Debug, PartialEq)]
pub struct OpeningMark {
    /// Its name.
    pub name: String,
    /// Lower left corner.
    pub low: [f64; 2],
    /// Upper right corner.
    pub high: [f64; 2],
}

/// One line.
#[derive(Clone, Debug, PartialEq)]
pub struct LineMark {
    /// Its name.
    pub name: String,
    /// Lower and upper end of its strips (of its tape where it has no strips).
    pub y: [f64; 2],
    /// x of its middle at the lower and at the upper end: where it goes.
    pub x: [f64; 2],
    /// The same by the drawing; none for a line that the drawing does not have.
    pub drawn: Option<[f64; 2]>,
    /// Places between its ends where it was found elsewhere than drawn: y, x, and x by the drawing.
    pub between: Vec<[f64; 3]>,
    /// Its straight stretches from low to high; none where it has neither strips nor tape.
    pub stretches: Vec<Stretch>,
    /// Whether its tape or its strips are on the roof already.
    pub laid: bool,
    /// For each fastener of a landing, how far left and right of the middle of the strip one may drive at every course of
    /// the line, metres, negative to the left: what all its sure windows share, each at the height that `marks` gives.
    /// None where they share nothing, the line has no landing, or windows were left out.
    pub window: Option<Vec<[f64; 2]>>,
}

/// One course.
#[derive(Clone, Debug, PartialEq)]
pub struct CourseMark {
    /// Its name.
    pub name: String,
    /// y of its middle.
    pub y: f64,
    /// Its pieces from left to right.
    pub pieces: Vec<PieceMark>,
}

/// One piece of a course.
#[derive(Clone, Debug, PartialEq)]
pub struct PieceMark {
    /// Its name.
    pub name: String,
    /// Left and right end along the middle of the face that lies on the strips: what lies between is its length.
    pub x: [f64; 2],
    /// y of its own middle: beside its neighbour's where pieces lap.
    pub y: f64,
}

/// Landings of a slope above which windows are left out: each one costs time, and a sheet is no place for so many.
pub const MOST_WINDOWS: usize = 2000;

/// All slopes, in the order of the design.
pub fn setting_out(ctx: &Context<'_>) -> Vec<SettingOut> {
    ctx.slopes.iter().map(|on| slope(ctx, on)).collect()
}

fn slope(ctx: &Context<'_>, on: &OnSlope<'_>) -> SettingOut {
    let outline = &on.frame.outline;
    let edges: Vec<EdgeMark> = (0..outline.edges.len())
        .filter_map(|i| {
            let ((ax, ay), (bx, by)) = outline.ends(i)?;
            let kind = outline.edges.get(i)?.kind.value.word();
            Some(EdgeMark { number: i + 1, kind, ends: [[ax, ay], [bx, by]] })
        })
        .collect();
    let windows_left_out = on.lattice.landings.len() > MOST_WINDOWS;
    let windows = if windows_left_out { Vec::new() } else { across_by_line(ctx, on) };
    let lines: Vec<LineMark> =
        on.lattice.lines.iter().enumerate().map(|(i, l)| line(on.lattice, i, l, &windows)).collect();
    SettingOut {
        slope: on.frame.name.clone(),
        pitch: on.frame.pitch,
        x_from: x_from(&edges),
        y_from: y_from(&edges),
        edges,
        openings: outline
            .openings
            .iter()
            .map(|(name, r)| OpeningMark { name: name.clone(), low: [r.x0, r.y0], high: [r.x1, r.y1] })
            .collect(),
        own: own(ctx, on, &lines),
        lines,
        courses: courses(ctx, on),
        batten_width: ctx.design.lattice.batten.width.metres(),
        windows_left_out,
    }
}

/// Says where x is nought: a rake that stands there, or the end of the lowest edge.
fn x_from(edges: &[EdgeMark]) -> String {
    let straight = |e: &&EdgeMark| e.ends.iter().all(|p| p[0].abs() < 1e-6);
    match edges.iter().find(straight) {
        Some(e) => format!("{} edge {}, left", e.kind, e.number),
        None => "the slope's left end (its leftmost corner)".to_owned(),
    }
}

/// Says where y is nought.
fn y_from(edges: &[EdgeMark]) -> String {
    let level = |e: &&EdgeMark| e.ends.iter().all(|p| p[1].abs() < 1e-6);
    match edges.iter().find(level) {
        Some(e) if e.kind == EdgeKind::Eave.word() => format!("the eave line (edge {})", e.number),
        Some(e) => format!("{} edge {}, the lowest", e.kind, e.number),
        None => "the slope's lowest corner".to_owned(),
    }
}

fn line(lattice: &SlopeLattice, index: usize, line: &Line, windows: &[Option<Vec<[f64; 2]>>]) -> LineMark {
    let of_line = |l: Option<u32>| l.is_some_and(|l| l as usize == index);
    let strips: Vec<&StripPiece> = lattice.strips.iter().filter(|s| of_line(s.line)).collect();
    let tapes: Vec<(&[(f64, f64)], f64)> =
        lattice.tapes.iter().filter(|t| of_line(t.line)).map(|t| (t.path.as_slice(), t.width)).collect();
    let paths: Vec<(&[(f64, f64)], f64)> = match strips.as_slice() {
        [] => tapes,
        some => some.iter().map(|s| (s.path.as_slice(), s.width)).collect(),
    };
    let stretches = stretches(&paths);
    let (low, high) = (stretches.first(), stretches.last());
    let y = low.zip(high).map_or([0.0, 0.0], |(low, high)| [low.y[0], high.y[1]]);
    let middle = |at: f64| {
        let away = |s: &Stretch| (s.y[0] - at).max(at - s.y[1]).max(0.0);
        stretches.iter().min_by(|a, b| away(a).total_cmp(&away(b))).map(|s| s.at(at))
    };
    let of_members = |state: State, at: f64| nearest_to(line.members(state), at).map(|m| x_at(&m.path, at));
    let x = y.map(|at| middle(at).or_else(|| of_members(State::Found, at)).unwrap_or_default());
    // By the drawing the strips stand to its members as they stand to the members that were found.
    let laid = line.tape_laid || line.strips_laid;
    let by_drawing = |at: f64| match (of_members(State::Drawn, at), of_members(State::Found, at), middle(at)) {
        (Some(_), _, Some(m)) if laid => Some(m),
        (Some(d), Some(f), Some(m)) => Some(m + d - f),
        (d, ..) => d,
    };
    let drawn = y.map(by_drawing);
    let mut heights: Vec<f64> = line
        .found
        .iter()
        .flat_map(|m| m.path.iter().map(|p| p.0))
        .filter(|at| *at > y[0] + 0.01 && *at < y[1] - 0.01)
        .collect();
    heights.sort_by(f64::total_cmp);
    heights.dedup_by(|a, b| (*a - *b).abs() < 0.01);
    let between = heights
        .into_iter()
        .filter_map(|at| Some([at, middle(at)?, by_drawing(at)?]))
        .filter(|[_, x, d]| (x - d).abs() > 0.0005)
        .collect();
    LineMark {
        name: line.name.clone(),
        y,
        x,
        drawn: drawn[0].zip(drawn[1]).map(|(a, b)| [a, b]),
        between,
        stretches,
        laid,
        window: windows.get(index).cloned().flatten(),
    }
}

/// Landings that the lines as printed do not lead to.
fn own(ctx: &Context<'_>, on: &OnSlope<'_>, lines: &[LineMark]) -> Vec<OwnMark> {
    let course = |l: &crate::lattice::Landing| {
        let piece = on.lattice.pieces.get(l.piece as usize)?;
        on.lattice.courses.get(piece.course as usize)
    };
    let units = ctx.design.units;
    let led = |l: &crate::lattice::Landing| match l.on {
        On::Line(i) => lines.get(i as usize).is_some_and(|line| line.leads_to(l.y, l.x, units)),
        On::Member(_) | On::Place => false,
    };
    let mut own: Vec<(f64, OwnMark)> = on
        .lattice
        .landings
        .iter()
        .filter(|l| !led(l))
        .filter_map(|l| {
            let (course, name) = (course(l)?, on.lattice.landing_name(l, ctx.structure));
            Some((course.y, OwnMark { name, course: course.name.clone(), x: l.x }))
        })
        .collect();
    own.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.x.total_cmp(&b.1.x)));
    own.into_iter().map(|(_, own)| own).collect()
}

fn courses(ctx: &Context<'_>, on: &OnSlope<'_>) -> Vec<CourseMark> {
    let lattice = on.lattice;
    let mut courses: Vec<CourseMark> =
        lattice.courses.iter().map(|c| CourseMark { name: c.name.clone(), y: c.y, pieces: Vec::new() }).collect();
    for p in &lattice.pieces {
        if let Some(course) = courses.get_mut(p.course as usize) {
            let x = p.on_strips(ctx.design, &on.frame.outline).into();
            course.pieces.push(PieceMark { name: p.name.clone(), x, y: p.y });
        }
    }
    courses.sort_by(|a, b| a.y.total_cmp(&b.y));
    courses
}
