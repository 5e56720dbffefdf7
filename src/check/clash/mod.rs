//! Solids that are in the same place at the same time.

mod shanks;
mod solids;

use super::context::{Context, Report};
use super::finding::{Evidence, Measure, Place, Source};
use super::{Check, Run, Verdict, mends};
use crate::design::SlopeId;
use crate::parts::{Kind, PartId, number};
use crate::solid::tolerance::DISTINCT;
use crate::solid::{Body, Point3, Pose};

use solids::{Group, Solid, aabb, at_home, group, may_overlap, name, overlaps};

/// The check.
pub const CHECK: Check = Check {
    name: "clash",
    title: "Is no solid where another one is?",
    page: "\
What
  Two solids that overlap by more than ten micrometres and that may not, on one slope or across slopes; fasteners whose
  heads overlap, that stand out of the batten which they hold, or whose head does not lie on it; nails of a strap that
  meet another strap; fasteners and strap nails that meet a solid, a fastener or a nail of another slope. With a drive log,
  fasteners that were left in too: their heads against all heads of the slope, their shanks against strap nails and against
  other slopes.
Why
  What clashes cannot be built as drawn.
How computed
  Candidates by bounding boxes; the verdict is the signed distance between the two solids. A table of kinds says who may
  overlap whom: a fastener what it is driven into; tape and membrane a strap, to which they yield; tape tape and membrane
  membrane, where they lap. A fastener or a nail is a rod: within its batten it can meet nothing of its own slope but what
  it is driven into, and straps, which `through-strap` looks at; of other slopes it may meet members only. What must
  touch: the head its batten, here; a strip its tape, `strip-off-tape`; a batten its strip, `gap-under-batten`. Asked
  elsewhere: a clip's base against heads of fasteners, those left in among them, `clip-on-head`; a clip's screws against
  what lies below its batten, `clip-screw-too-long`; whether it stands on its batten, `clip-off-batten`.
Limits
  Of what was left in only fasteners whose place the log has are asked; one that went through a strap's steel is no clash.
  Clips are not asked against each other, nor against other slopes. A fastener that missed and was not driven again is not
  there.
  Slopes whose shared edges are up to a millimetre apart may overlap by as much.
  Everything in a lattice touches something; touching is no clash.
Source
  The table is the program's own.
",
    run: Run::Always(run),
};

fn run(ctx: &Context<'_>, report: &mut Report<'_>) {
    // Clips have checks of their own; of what was left in, fasteners whose place is known are asked.
    report.examined(&Kind::ALL.map(|k| if k == Kind::Clip { Kind::Fasteners } else { k }));
    for on in &ctx.slopes {
        let asked = |l: &crate::record::LeftIn| l.at.is_some() && l.kind.is_fastener();
        let others = on.left_in.iter().enumerate().filter(|(_, l)| !asked(l));
        report.elsewhere(others.map(|(i, _)| PartId::LeftIn(on.id, number(i))));
    }
    let groups: Vec<Group<'_>> = ctx
        .slopes
        .iter()
        .map(|on| group(Some(on.id), on.frame.pose, at_home(ctx, Some(on))))
        .chain(std::iter::once(group(None, Pose::identity(), at_home(ctx, None))))
        .collect();
    for (i, a) in groups.iter().enumerate() {
        for (k, solid) in a.solids.iter().enumerate() {
            for j in a.tree.intersect_aabb(&aabb(&solid.low, &solid.high)) {
                // Each pair once.
                if let Some(other) = a.solids.get(j as usize)
                    && (j as usize) > k
                {
                    judge(ctx, (a, solid), (a, other), &other.body, 0.0, report);
                }
            }
        }
        for b in groups.iter().skip(i + 1) {
            let there = a.to_world.inverse() * b.to_world;
            let slack = mismatch(ctx, a.slope, b.slope);
            let root = a.tree.root_aabb();
            for other in &b.solids {
                let body = other.body.moved(&there);
                let (low, high) = body.bounds();
                let reach = aabb(&low, &high);
                if a.solids.is_empty() || !overlaps(&root, &reach) {
                    continue;
                }
                for k in a.tree.intersect_aabb(&reach) {
                    if let Some(solid) = a.solids.get(k as usize) {
                        judge(ctx, (a, solid), (b, other), &body, slack, report);
                    }
                }
            }
        }
    }
    shanks::run(ctx, &groups, report);
}

/// How far apart the edges are that two slopes share: so much they may overlap, as the design declares that they meet.
fn mismatch(ctx: &Context<'_>, a: Option<SlopeId>, b: Option<SlopeId>) -> f64 {
    let (Some(a), Some(b)) = (a, b) else { return 0.0 };
    let (Some(one), Some(two)) = (ctx.structure.slopes.get(a.0), ctx.structure.slopes.get(b.0)) else { return 0.0 };
    let ends = |s: &crate::structure::SlopeFrame, e: usize| {
        let (p, q) = s.outline.ends(e)?;
        Some((s.pose * Point3::new(p.0, p.1, 0.0), s.pose * Point3::new(q.0, q.1, 0.0)))
    };
    let shared =
        one.outline.edges.iter().enumerate().filter_map(|(i, e)| Some((i, e.shared_with.filter(|s| s.0 == b)?.1)));
    shared
        .filter_map(|(i, j)| {
            let ((p, q), (r, s)) = (ends(one, i)?, ends(two, j)?);
            Some((p - s).norm().max((q - r).norm()))
        })
        .fold(0.0, f64::max)
}

fn judge(
    ctx: &Context<'_>,
    (ga, a): (&Group<'_>, &Solid<'_>),
    (gb, b): (&Group<'_>, &Solid<'_>),
    b_here: &Body,
    slack: f64,
    report: &mut Report<'_>,
) {
    if (std::ptr::eq(ga, gb) && a.part == b.part) || may_overlap(a.part.kind(), b.part.kind()) {
        return;
    }
    // Boxes that overlap by no more than the tolerance hold solids that overlap by no more either.
    let (low, high) = b_here.bounds();
    let depth = |k: usize| a.high[k].min(high[k]) - a.low[k].max(low[k]);
    let most = DISTINCT + slack;
    if (0..3).any(|k| depth(k) <= most) {
        return;
    }
    let Some(distance) = a.body.distance(b_here, 0.0) else { return };
    if distance >= -most {
        return;
    }
    let names = [name(ctx, a.part), name(ctx, b.part)];
    let message = format!("{} and {} overlap by {}", names[0], names[1], ctx.show(-distance));
    let middle = Point3::new(
        (a.low.x.max(low.x) + a.high.x.min(high.x)) / 2.0,
        (a.low.y.max(low.y) + a.high.y.min(high.y)) / 2.0,
        (a.low.z.max(low.z) + a.high.z.min(high.z)) / 2.0,
    );
    let evidence =
        vec![Evidence { what: "overlap", found: Measure::Length(-distance), limit: Some(Measure::Length(most)) }];
    let place = place(ctx, ga, gb, middle);
    let help = mends::advice(format!("move {} or {}, or cut one to the other", names[0], names[1]));
    let source = Source::words(shanks::TWO_SOLIDS);
    report.add(Verdict::Fail, message, names.to_vec(), place, evidence, || vec![help], source);
}

/// A place in the frame of a slope, whichever of the two groups has one.
fn place(ctx: &Context<'_>, a: &Group<'_>, b: &Group<'_>, at: Point3) -> Option<Place> {
    let world = a.to_world * at;
    let slope = a.slope.or(b.slope).or((!ctx.slopes.is_empty()).then_some(SlopeId(0)))?;
    let frame = ctx.structure.slopes.get(slope.0)?;
    let p = frame.pose.inverse() * world;
    Some(Place { slope, at: [p.x, p.y, p.z] })
}
