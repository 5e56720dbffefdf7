//! Roofing that no batten holds over more than its fixing pitch.

use std::collections::BTreeMap;

use super::context::{Context, OnSlope, Report};
use super::finding::{Evidence, Place, Source};
use super::tributary::Stretch;
use super::{Check, Run, Verdict, mends};
use crate::lattice::Piece;
use crate::solid::tolerance::SAME;
use crate::structure::Outline;

/// The check.
pub const CHECK: Check = Check {
    name: "roofing-unheld",
    title: "Does a batten come under the roofing as often as its pitch asks?",
    page: "\
What
  A slope without any batten; roofing that runs further from a course to the next one, or to an edge or an opening, than
  the battens' spacing.
Why
  The spacing is the roofing's fixing pitch. Where no batten comes, it hangs over and lifts first at its edge.
How computed
  Course by course up the slope and down again, stretch by stretch along the eave: how far it is to the next board, or to
  where the panel ends. Told once for each course and side, with the furthest.
Limits
  To a level edge or an opening `lattice.batten.spacing` plus `limits.tolerance`. Between two courses, and to a slanted edge, a
  batten's width and a half more: so far apart the plan's own rule may leave them, below the last course where another board
  would touch it, and in the point of a hip where a board would be too short. Stretches narrower than two battens are left out.
Source
  `lattice.batten.spacing`, which the roofing's maker says.
",
    run: Run::Always(run),
};

fn run(ctx: &Context<'_>, report: &mut Report<'_>) {
    report.examined(&[crate::parts::Kind::Batten]);
    let batten = &ctx.design.lattice.batten;
    let pitch = batten.spacing.metres();
    let most = pitch + ctx.design.limits.tolerance.metres() + 1e-9;
    let room = 1.5 * batten.width.metres();
    for on in &ctx.slopes {
        if on.lattice.pieces.is_empty() {
            bare(ctx, on, report);
            continue;
        }
        // The furthest of each course, below and above it.
        let mut worst: BTreeMap<(u32, bool), (f64, &Piece, f64, bool)> = BTreeMap::new();
        for (piece, stretches) in on.lattice.pieces.iter().zip(ctx.tributary(on)) {
            let Some(course) = on.lattice.courses.get(piece.course as usize) else { continue };
            // Where only a slant turns or an opening begins beyond the next course, it is one stretch.
            let of_one = |a: &Stretch, b: &Stretch| {
                (a.lowest, a.highest, a.beside) == (b.lowest, b.highest, b.beside) && a.x.1 == b.x.0
            };
            for together in stretches.chunk_by(of_one) {
                let (Some(first), Some(last)) = (together.first(), together.last()) else { continue };
                let wide = last.x.1 - first.x.0;
                let x = f64::midpoint(first.x.0, last.x.1);
                let Some(s) = together.iter().find(|s| s.x.0 <= x && x <= s.x.1) else { continue };
                if s.beside || wide < 2.0 * batten.width.metres() {
                    continue;
                }
                let part = (x - s.x.0) / (s.x.1 - s.x.0);
                let (ends, panel) = (s.y.at(part), s.panel.at(part));
                let (below, above) = (course.y - ends.0, ends.1 - course.y);
                let mut note = |up: bool, distance: f64, ends: bool| {
                    let level = ends && !slants(&on.frame.outline, x, if up { panel.1 } else { panel.0 });
                    let limit = if level { most } else { most + room };
                    if distance > limit && worst.get(&(piece.course, up)).is_none_or(|w| distance > w.0) {
                        worst.insert((piece.course, up), (distance, piece, x, ends));
                    }
                };
                // Between two courses it is told by the lower one.
                if s.lowest {
                    note(false, below, true);
                }
                note(true, if s.highest { above } else { 2.0 * above }, s.highest);
            }
        }
        for ((_, up), (distance, piece, x, ends)) in worst {
            let side = if up { "above" } else { "below" };
            let to = if ends { "where the panel ends" } else { "the next batten" };
            let message = format!(
                "{side} {} the roofing runs {} to {to}, {} is its fixing pitch",
                piece.name,
                ctx.show(distance),
                ctx.show(pitch)
            );
            let half = if up { distance / 2.0 } else { -distance / 2.0 };
            let place = Some(Place { slope: on.id, at: [x, piece.y + half, ctx.lattice.levels.batten] });
            let evidence = vec![Evidence::length("roofing without a batten", distance, &batten.spacing)];
            let parts = vec![piece.name.clone()];
            report.add(Verdict::Fail, message, parts, place, evidence, || vec![look()], Source::of(&batten.spacing));
        }
    }
}

/// Whether a panel ends at a place at an edge that runs on a slant up the slope.
fn slants(outline: &Outline, x: f64, y: f64) -> bool {
    let ends = outline.along_y(x).into_iter().flat_map(|(low, high)| [low, high]);
    let edge = ends.filter(|(at, _)| (at - y).abs() < SAME).map(|(_, edge)| edge).next();
    edge.and_then(|e| outline.outward(e)).is_some_and(|n| n.0.abs() > 0.05)
}

fn look() -> super::Help {
    mends::advice("look at lattice.batten.spacing, first and last, and at their units: a course has to come there")
}

fn bare(ctx: &Context<'_>, on: &OnSlope<'_>, report: &mut Report<'_>) {
    let bounds = on.frame.outline.bounds();
    let middle = [(bounds.x0 + bounds.x1) / 2.0, (bounds.y0 + bounds.y1) / 2.0, ctx.lattice.levels.batten];
    let message = format!("slope {} has no batten at all", on.frame.name);
    let evidence = vec![Evidence::count("battens", 0, 1)];
    let parts = vec![on.frame.name.clone()];
    let place = Some(Place { slope: on.id, at: middle });
    let source = Source::of(&ctx.design.lattice.batten.spacing);
    report.add(Verdict::Fail, message, parts, place, evidence, || vec![look()], source);
}
