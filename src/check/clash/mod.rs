//! Solids that are in the same place at the same time.

mod shanks;
mod solids;

use std::collections::BTreeMap;

use super::context::{Context, Report};
use super::finding::{Evidence, Measure, Place, Source};
use super::{Check, Run, Verdict, mends};
use crate::design::SlopeId;
use crate::parts::{Kind, PartId};
use crate::quantity::list::number;
use crate::solid::tolerance::DISTINCT;
use crate::solid::{Body, Point3, Pose, Vector3};

use solids::{Group, Solid, aabb, at_home, group, name, overlaps};

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
  Candidates by bounding boxes; the verdict is how deep the two solids lie in one another: the shortest move that parts
  them, which for two convex bodies is along a face's normal of either or square to an edge of each. A part of several
  bodies (an I-joist, a bent member, a plate with a hole) overlaps where any of them does, by at least the deepest. A part
  whose solid could not be built is told: nothing could be asked of it. A table of kinds says who may
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
  The table is the program's own. Separating axes: Gottschalk, Lin, Manocha, OBBTree, 1996; Ericson, Real-Time Collision
  Detection, 2005.
",
    run: Run::Always(run),
};

/// The deepest overlap of two parts that has been met.
struct Overlap {
    depth: f64,
    /// Whether one of the parts is several bodies: then no one move of that depth parts them.
    at_least: bool,
    at: Point3,
}

/// Overlaps of the parts of two groups, deepest bodies only.
type Overlaps = BTreeMap<(PartId, PartId), Overlap>;

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
        unbuilt(ctx, a, report);
        let mut overlaps_here = Overlaps::new();
        for (k, solid) in a.solids.iter().enumerate() {
            for j in a.tree.intersect_aabb(&aabb(&solid.low, &solid.high)) {
                // Each pair once.
                if let Some(other) = a.solids.get(j as usize)
                    && (j as usize) > k
                    && other.part != solid.part
                {
                    judge(solid, other, &other.body, DISTINCT, &mut overlaps_here);
                }
            }
        }
        tell(ctx, (a, a), DISTINCT, overlaps_here, report);
        for b in groups.iter().skip(i + 1) {
            let there = a.to_world.inverse() * b.to_world;
            let most = DISTINCT + mismatch(ctx, a.slope, b.slope);
            let root = a.tree.root_aabb();
            let mut overlaps_there = Overlaps::new();
            for other in &b.solids {
                let body = other.body.moved(&there);
                let (low, high) = body.bounds();
                let reach = aabb(&low, &high);
                if a.solids.is_empty() || !overlaps(&root, &reach) {
                    continue;
                }
                for k in a.tree.intersect_aabb(&reach) {
                    if let Some(solid) = a.solids.get(k as usize) {
                        judge(solid, other, &body, most, &mut overlaps_there);
                    }
                }
            }
            tell(ctx, (a, b), most, overlaps_there, report);
        }
    }
    shanks::run(ctx, &groups, report);
}

/// Parts that nothing could be asked of.
fn unbuilt(ctx: &Context<'_>, group: &Group<'_>, report: &mut Report<'_>) {
    for part in &group.unbuilt {
        let name = name(ctx, *part);
        let message = format!("{}: it is in no check, and may be missing from the model", mends::unbuilt(&name));
        let help = mends::look_at_its_table(&name);
        let source = Source::words("every part is a solid");
        report.add(Verdict::Fail, message, vec![name], None, Vec::new(), || vec![help], source);
    }
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

/// Keeps how deep two bodies overlap that may not, where it is by more than `most` and the deepest of their parts.
fn judge(a: &Solid<'_>, b: &Solid<'_>, b_here: &Body, most: f64, deepest: &mut Overlaps) {
    if a.part.kind().may_overlap(b.part.kind()) {
        return;
    }
    // Boxes that overlap by no more than the tolerance hold solids that overlap by no more either.
    let (low, high) = b_here.bounds();
    let shared = |k: usize| (a.low[k].max(low[k]), a.high[k].min(high[k]));
    if (0..3).map(shared).any(|(from, to)| to - from <= most) {
        return;
    }
    let Some(depth) = a.body.depth(b_here, most) else { return };
    let at = middle_of_both(&a.body, b_here)
        .unwrap_or_else(|| Point3::from(Vector3::from_fn(|k, _| (shared(k).0 + shared(k).1) / 2.0)));
    let at_least = a.one_of_several || b.one_of_several;
    let met = deepest.entry((a.part, b.part)).or_insert(Overlap { depth, at_least, at });
    if depth > met.depth {
        *met = Overlap { depth, at_least, at };
    }
}

/// The middle of what two bodies share, along the axes of the first: wherever the building is turned the same place.
fn middle_of_both(a: &Body, b: &Body) -> Option<Point3> {
    let both = a.clipped(&b.planes()).ok()??;
    let back = a.pose.inverse();
    let (low, high) = (Body { pose: back * both.pose, ..both }).bounds();
    Some(a.pose * nalgebra::center(&low, &high))
}

/// A finding for each two parts of two groups that overlap.
fn tell(ctx: &Context<'_>, (ga, gb): (&Group<'_>, &Group<'_>), most: f64, deepest: Overlaps, report: &mut Report<'_>) {
    for ((a, b), overlap) in deepest {
        let names = [name(ctx, a), name(ctx, b)];
        let by = if overlap.at_least { "at least " } else { "" };
        let message = format!("{} and {} overlap by {by}{}", names[0], names[1], ctx.show(overlap.depth));
        let found = Measure::Length(overlap.depth);
        let evidence = vec![Evidence { what: "overlap", found, limit: Some(Measure::Length(most)) }];
        let place = place(ctx, ga, gb, overlap.at);
        let help = mends::advice(format!("move {} or {}, or cut one to the other", names[0], names[1]));
        let source = Source::words(shanks::TWO_SOLIDS);
        report.add(Verdict::Fail, message, names.to_vec(), place, evidence, || vec![help], source);
    }
}

/// A place in the frame of a slope, whichever of the two groups has one.
fn place(ctx: &Context<'_>, a: &Group<'_>, b: &Group<'_>, at: Point3) -> Option<Place> {
    let world = a.to_world * at;
    let slope = a.slope.or(b.slope).or((!ctx.slopes.is_empty()).then_some(SlopeId(0)))?;
    let frame = ctx.structure.slopes.get(slope.0)?;
    let p = frame.pose.inverse() * world;
    Some(Place { slope, at: [p.x, p.y, p.z] })
}
