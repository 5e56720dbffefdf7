//! Panels whose edges or ends hang free.

use super::super::context::{Context, OnSlope, Report};
use super::super::finding::{Evidence, Place, Source};
use super::super::mends::advice;
use super::super::{Check, Run, Verdict};
use super::no_panels;
use crate::lattice::panel_stretches;
use crate::solid::Intervals;
use crate::solid::tolerance::SAME;

/// The check.
pub const CHECK: Check = Check {
    name: "panel-edge-off-batten",
    title: "Do the panels' edges and ends find a batten?",
    page: "\
What
  An end of a panel (at eave, top or opening) or its edge (at a rake or beside an opening) that lies further from the nearest
  batten than the limit.
Why
  There the roofing and its trim have nothing to be fixed to, and the wind lifts edges first.
How computed
  Ends: along each seam and each panel's middle, from where the slope or an opening ends to the edge of the nearest batten.
  Edges: along each course, from where the slope or an opening ends to the end of the nearest board of that course.
Limits
  Further than `panels.edge_reach`. Short courses beside openings count as battens, but no edge is asked of them.
Source
  `panels.edge_reach`; by default 6 in, common practice, no source.
",
    run: Run::When(run),
};

fn run(ctx: &Context<'_>, report: &mut Report<'_>) -> Option<String> {
    let Some(panels) = &ctx.design.panels else { return no_panels() };
    for on in ctx.slopes.iter().filter(|on| panels.slopes.contains(&on.id)) {
        ends(ctx, on, report);
        edges(ctx, on, report);
    }
    None
}

/// Ends of panels along each seam and each panel's middle.
fn ends(ctx: &Context<'_>, on: &OnSlope<'_>, report: &mut Report<'_>) {
    let Some(panels) = &ctx.design.panels else { return };
    let limit = &panels.edge_reach;
    let half = ctx.design.lattice.batten.width.metres() / 2.0;
    let width = panels.width.metres();
    let bounds = on.frame.outline.bounds();
    let mut lines: Vec<(f64, String)> = Vec::new();
    for seam in &on.lattice.seams {
        lines.push((seam.x, format!("at seam {}", seam.name)));
        if seam.x + width / 2.0 < bounds.x1 {
            lines.push((seam.x + width / 2.0, format!("in the middle of the panel right of seam {}", seam.name)));
        }
    }
    for (x, said) in lines {
        // Where boards lie along this line.
        let boards = on.lattice.pieces.iter().filter(|p| p.x.0 <= x && x <= p.x.1);
        let boards: Vec<(f64, f64, &str)> = boards.map(|p| (p.y - half, p.y + half, p.name.as_str())).collect();
        for (low, high) in panel_stretches(&on.frame.outline, x) {
            let within = |b: &&(f64, f64, &str)| b.1 > low && b.0 < high;
            let nearest = |gap: &dyn Fn(&(f64, f64, &str)) -> f64| {
                let all = boards.iter().filter(within).map(|b| (gap(b), b.2.to_owned()));
                all.min_by(|a, b| a.0.total_cmp(&b.0)).map_or((f64::INFINITY, None), |(g, n)| (g, Some(n)))
            };
            let (first, last) = (nearest(&|b| b.0 - low), nearest(&|b| high - b.1));
            for ((gap, board), y, end) in [(first, low, "lower"), (last, high, "upper")] {
                if gap <= limit.metres() + SAME {
                    continue;
                }
                let shown = if gap.is_finite() { ctx.show(gap) } else { "further than the panel is long".into() };
                let message = format!(
                    "the {end} end of a panel {said} is {shown} from the nearest batten, {} is the limit",
                    ctx.show(limit.metres())
                );
                let evidence = vec![if gap.is_finite() {
                    Evidence::length("from the panel's end to a batten", gap, limit)
                } else {
                    Evidence::count("battens under the panel", 0, 1)
                }];
                let place = Some(Place { slope: on.id, at: [x, y, ctx.lattice.levels.batten] });
                let parts = board.into_iter().collect();
                let help = || vec![advice("lay a batten nearer to it")];
                report.add(Verdict::Warn, message, parts, place, evidence, help, Source::of(limit));
            }
        }
    }
}

/// Edges of panels along each course.
fn edges(ctx: &Context<'_>, on: &OnSlope<'_>, report: &mut Report<'_>) {
    let Some(panels) = &ctx.design.panels else { return };
    let limit = &panels.edge_reach;
    let outline = &on.frame.outline;
    for (c, course) in on.lattice.courses.iter().enumerate() {
        let boards: Vec<_> = on.lattice.pieces.iter().filter(|p| p.course as usize == c).collect();
        let free = |e: crate::lattice::End| e == crate::lattice::End::Free;
        if boards.iter().any(|p| free(p.ends.0) || free(p.ends.1)) {
            continue;
        }
        let parts = outline.along_x(course.y).into_iter().map(|(a, b)| (a.0, b.0)).collect();
        let mut left = Intervals::union(parts);
        for (_, hole) in &outline.openings {
            if hole.y0 < course.y && course.y < hole.y1 {
                left = left.without(hole.x0, hole.x1);
            }
        }
        for (from, to) in left.as_slice() {
            let within: Vec<_> = boards.iter().filter(|p| p.x.1 > *from && p.x.0 < *to).collect();
            let first = within.iter().map(|p| p.x.0 - from).fold(f64::INFINITY, f64::min);
            let last = within.iter().map(|p| to - p.x.1).fold(f64::INFINITY, f64::min);
            for (gap, x, end) in [(first, *from, "left"), (last, *to, "right")] {
                if gap <= limit.metres() + SAME || (!gap.is_finite() && end == "right") {
                    continue;
                }
                let (message, evidence) = if gap.is_finite() {
                    let message = format!(
                        "the {end} edge of the panels is {} from the end of {}, {} is the limit",
                        ctx.show(gap),
                        course.name,
                        ctx.show(limit.metres())
                    );
                    (message, vec![Evidence::length("from the panels' edge to the course", gap, limit)])
                } else {
                    (
                        format!("no board of {} lies under a stretch of panels", course.name),
                        vec![Evidence::count("boards under it", 0, 1)],
                    )
                };
                let place = Some(Place { slope: on.id, at: [x, course.y, ctx.lattice.levels.batten] });
                let mut parts: Vec<String> = boards.iter().map(|p| p.name.clone()).collect();
                parts.truncate(1);
                let help = || vec![advice("lay a batten nearer to it")];
                report.add(Verdict::Warn, message, parts, place, evidence, help, Source::of(limit));
            }
        }
    }
}
