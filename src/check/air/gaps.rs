//! Gaps in courses that might open a pocket: candidates, to be tried.
//!
//! Where battens lie so close that no air crosses a strip between them, a closed bay is cut off from its neighbours on
//! both sides. A gap over the strip, in a course over the pocket, lets the air over.

use crate::air::{Cell, Pocket};
use crate::check::context::Context;
use crate::check::mends;
use crate::design::SlopeId;
use crate::lattice::{Line, Piece, SlopeLattice};
use crate::solid::tolerance::SAME;

/// A gap to be tried.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Gap {
    /// Slope.
    pub slope: SlopeId,
    /// Course, by its place on the slope.
    pub course: u32,
    /// Left and right end, metres.
    pub x: (f64, f64),
}

/// How far a gap reaches at least past the strips into the bays beside them, metres: an inch, so that the air has room
/// to rise between strip and batten's end; the program's own.
const PAST: f64 = 0.0254;

/// What may be tried: one gap in any course over the pocket, or one at either end of the pocket.
pub fn candidates(ctx: &Context<'_>, pocket: &Pocket, largest: &Cell) -> Vec<Vec<Gap>> {
    let Some(on) = ctx.lattice.slopes.get(largest.slope.0) else { return Vec::new() };
    let strip = ctx.lattice.levels.strip;
    let of_slope = |c: &u32| ctx.space().cells.get(*c as usize).filter(|c| c.slope == largest.slope);
    let mut under: Vec<f64> =
        pocket.cells.iter().filter_map(of_slope).filter(|c| c.z.1 <= strip).map(|c| c.middle().1).collect();
    under.sort_by(f64::total_cmp);
    under.dedup();
    // Air that comes in below wants to get on above, and the other way round.
    if pocket.opens.0 {
        under.reverse();
    }
    let rows: Vec<[Option<Gap>; 2]> = under.into_iter().map(|y| at(ctx, pocket, on, largest.slope, y)).collect();
    let mut all: Vec<Vec<Gap>> = rows.iter().flat_map(|row| row.iter().flatten().map(|g| vec![*g])).collect();
    if let (Some(first), Some(last)) = (rows.first(), rows.last()) {
        for (a, b) in first.iter().zip(last) {
            if let (Some(a), Some(b)) = (a, b)
                && a.course != b.course
            {
                all.push(vec![*a, *b]);
            }
        }
    }
    all
}

/// Gaps in the course at a height, over the strips to the left and to the right of the pocket, as far as the next place
/// that air passes; the shorter first.
fn at(ctx: &Context<'_>, pocket: &Pocket, on: &SlopeLattice, slope: SlopeId, y: f64) -> [Option<Gap>; 2] {
    let space = ctx.space();
    let half = ctx.design.lattice.batten.width.metres() / 2.0;
    let here = |c: &Cell| c.slope == slope && c.y.0 < y && y < c.y.1;
    let cells = pocket.cells.iter().filter_map(|c| space.cells.get(*c as usize)).filter(|c| here(c));
    let (left, right) = cells.fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), c| (a.min(c.x.0), b.max(c.x.1)));
    let passed = || space.cells.iter().zip(&space.way).filter(|(c, way)| **way && here(c)).map(|(c, _)| c.x);
    let before = passed().map(|x| x.1).filter(|x| *x <= left).fold(f64::NEG_INFINITY, f64::max);
    let after = passed().map(|x| x.0).filter(|x| *x >= right).fold(f64::INFINITY, f64::min);
    let one = |(from, to): (f64, f64)| {
        let wanted = (from - PAST, to + PAST);
        let on_row = |p: &&Piece| (p.y - y).abs() < half && p.x.0 < wanted.1 && wanted.0 < p.x.1;
        let mut pieces = on.pieces.iter().filter(on_row).peekable();
        let course = pieces.peek()?.course;
        let ends = pieces.try_fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b): (f64, f64), p| {
            (!p.laid).then_some((a.min(p.x.0), b.max(p.x.1)))
        })?;
        Some(Gap { slope, course, x: held(ctx, on, wanted, ends, y) })
    };
    let mut gaps = [
        before.is_finite().then(|| one((before, left))).flatten(),
        after.is_finite().then(|| one((right, after))).flatten(),
    ];
    let width = |g: Option<Gap>| g.map_or(f64::INFINITY, |g| g.x.1 - g.x.0);
    let [left, right] = gaps;
    if width(right) < width(left) - SAME {
        gaps.reverse();
    }
    gaps
}

/// A gap wide enough that both boards end near a line that holds them, or are left out up to their other ends.
fn held(ctx: &Context<'_>, on: &SlopeLattice, wanted: (f64, f64), ends: (f64, f64), y: f64) -> (f64, f64) {
    let run = mends::marked_down(ctx, ctx.design.limits.end_run.metres());
    let lines = || on.lines.iter().filter(|l| l.runs_at(y)).filter_map(|l| l.found_x(y));
    let before = lines().filter(|x| ends.0 < *x && *x < wanted.0).fold(f64::NEG_INFINITY, f64::max);
    let after = lines().filter(|x| wanted.1 < *x && *x < ends.1).fold(f64::INFINITY, f64::min);
    let from = if before.is_finite() { wanted.0.min(before + run) } else { ends.0 };
    let to = if after.is_finite() { wanted.1.max(after - run) } else { ends.1 };
    (mends::marked_down(ctx, from), mends::marked_up(ctx, to))
}

/// Names of the lines that a gap lies over.
pub fn lines_below<'l>(on: &'l SlopeLattice, gap: &Gap) -> Vec<&'l str> {
    let y = on.courses.get(gap.course as usize).map_or(0.0, |c| c.y);
    let within = |l: &&Line| l.found_x(y).is_some_and(|x| gap.x.0 < x && x < gap.x.1);
    on.lines.iter().filter(within).map(|l| l.name.as_str()).collect()
}
