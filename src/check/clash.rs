//! Solids that are in the same place at the same time.

use std::borrow::Cow;

use parry3d_f64::bounding_volume::Aabb;
use parry3d_f64::math::Vector;
use parry3d_f64::partitioning::{Bvh, BvhBuildStrategy};

use super::context::{Context, OnSlope, Report};
use super::finding::{Evidence, Measure, Place, Source};
use super::{Check, Run, Verdict};
use crate::design::SlopeId;
use crate::lattice::batten_solid;
use crate::solid::tolerance::DISTINCT;
use crate::solid::{Body, Point3, Pose};
use crate::structure::to_come;

/// The check.
pub const CHECK: Check = Check {
    name: "clash",
    title: "Is no solid where another one is?",
    page: "\
What
  Two solids that overlap by more than ten micrometres and that may not, on one slope or across slopes; and fasteners
  whose heads overlap, or that pass through a batten which they do not hold.
Why
  What clashes cannot be built as drawn.
How computed
  Candidates by bounding boxes; the verdict is the signed distance between the two solids. A table of kinds says who may
  overlap whom: a fastener what it is driven into; tape and membrane a strap, to which they yield; tape tape and membrane
  membrane, where they lap.
Limits
  Slopes whose shared edges are up to a millimetre apart may overlap by as much.
  Everything in a lattice touches something; touching is no clash. Strap nails are taken as driven where they are.
Source
  The table is the program's own.
",
    run: Run::Always(run),
};

/// Kinds of solids that can clash. Fasteners are judged by their axes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// Any member.
    Framing,
    /// Sheathing.
    Deck,
    /// Membrane.
    Membrane,
    /// Steel of a strap.
    Strap,
    /// Tape.
    Tape,
    /// Strip.
    Strip,
    /// Vent piece.
    VentPiece,
    /// Batten.
    Batten,
    /// Insulation still to come.
    Insulation,
}

/// Whether two kinds may be in one place. Everything that is not named here may not.
pub fn may_overlap(a: Kind, b: Kind) -> bool {
    use Kind::{Deck, Framing, Insulation, Membrane, Strap, Strip, Tape, VentPiece};
    matches!(
        (a, b),
        // Soft sheets yield to a strap, and lap one another.
        (Tape | Membrane, Strap) | (Strap, Tape | Membrane) | (Tape, Tape) | (Membrane, Membrane)
        // Buried vent pieces have a check of their own; tape and strip may run on under insulation.
        | (Insulation, VentPiece | Tape | Strip | Insulation) | (VentPiece | Tape | Strip, Insulation)
        // Insulation on a wall stands on whatever is there.
        | (Insulation, Membrane | Deck | Framing) | (Membrane | Deck | Framing, Insulation)
    )
}

/// Which part a solid belongs to.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Part {
    Member(u32),
    Deck,
    Membrane,
    Strap(u32),
    Tape(u32),
    Strip(u32),
    Vent(u32),
    Piece(u32),
    Insulation(u32),
}

struct Solid<'a> {
    kind: Kind,
    part: Part,
    body: Cow<'a, Body>,
    low: Point3,
    high: Point3,
}

/// Solids that share a frame: those of one slope, or those of the building.
struct Group<'a> {
    slope: Option<SlopeId>,
    to_world: Pose,
    solids: Vec<Solid<'a>>,
    tree: Bvh,
}

fn run(ctx: &Context<'_>, report: &mut Report<'_>) {
    let groups: Vec<Group<'_>> = ctx
        .slopes
        .iter()
        .map(|on| group(Some(on.id), on.frame.pose, on_slope(ctx, on)))
        .chain(std::iter::once(group(None, Pose::identity(), of_building(ctx))))
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
    for on in &ctx.slopes {
        fasteners(ctx, on, report);
    }
}

/// A kind, a part and its body: the body is borrowed where something keeps it anyway.
type Kept<'a> = (Kind, Part, Cow<'a, Body>);

fn group(slope: Option<SlopeId>, to_world: Pose, bodies: Vec<Kept<'_>>) -> Group<'_> {
    let solids: Vec<Solid<'_>> = bodies
        .into_iter()
        .map(|(kind, part, body)| {
            let (low, high) = body.bounds();
            Solid { kind, part, body, low, high }
        })
        .collect();
    let boxes: Vec<Aabb> = solids.iter().map(|s| aabb(&s.low, &s.high)).collect();
    let tree = Bvh::from_leaves(BvhBuildStrategy::Binned, &boxes);
    Group { slope, to_world, solids, tree }
}

fn aabb(low: &Point3, high: &Point3) -> Aabb {
    Aabb::new(Vector::new(low.x, low.y, low.z), Vector::new(high.x, high.y, high.z))
}

fn overlaps(a: &Aabb, b: &Aabb) -> bool {
    a.mins.x <= b.maxs.x
        && b.mins.x <= a.maxs.x
        && a.mins.y <= b.maxs.y
        && b.mins.y <= a.maxs.y
        && a.mins.z <= b.maxs.z
        && b.mins.z <= a.maxs.z
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
    if (std::ptr::eq(ga, gb) && a.part == b.part) || may_overlap(a.kind, b.kind) {
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
    let names = [name(ctx, ga, a.part), name(ctx, gb, b.part)];
    let message = format!("{} and {} overlap by {}", names[0], names[1], ctx.show(-distance));
    let middle = Point3::new(
        (a.low.x.max(low.x) + a.high.x.min(high.x)) / 2.0,
        (a.low.y.max(low.y) + a.high.y.min(high.y)) / 2.0,
        (a.low.z.max(low.z) + a.high.z.min(high.z)) / 2.0,
    );
    let evidence =
        vec![Evidence { what: "overlap", found: Measure::Length(-distance), limit: Some(Measure::Length(most)) }];
    let place = place(ctx, ga, gb, middle);
    let source = Source::words("two solids cannot be in one place");
    report.add(Verdict::Fail, message, names.to_vec(), place, evidence, Vec::new, source);
}

/// A place in the frame of a slope, whichever of the two groups has one.
fn place(ctx: &Context<'_>, a: &Group<'_>, b: &Group<'_>, at: Point3) -> Option<Place> {
    let world = a.to_world * at;
    let slope = a.slope.or(b.slope).or((!ctx.slopes.is_empty()).then_some(SlopeId(0)))?;
    let frame = ctx.structure.slopes.get(slope.0)?;
    let p = frame.pose.inverse() * world;
    Some(Place { slope, at: [p.x, p.y, p.z] })
}

fn name(ctx: &Context<'_>, group: &Group<'_>, part: Part) -> String {
    let on = group.slope.and_then(|s| ctx.slopes.get(s.0));
    let slope = on.map_or("", |o| o.frame.name.as_str());
    let lattice = on.map(|o| o.lattice);
    match part {
        Part::Member(i) => ctx.structure.members.get(i as usize).map(|m| m.name.clone()),
        Part::Deck => Some(format!("{slope}-DK")),
        Part::Membrane => Some(format!("{slope}-MB")),
        Part::Strap(i) => ctx.structure.straps.get(i as usize).map(|s| s.name.clone()),
        Part::Tape(i) => lattice.and_then(|l| l.tapes.get(i as usize)).map(|t| t.name.clone()),
        Part::Strip(i) => lattice.and_then(|l| l.strips.get(i as usize)).map(|t| t.name.clone()),
        Part::Vent(i) => lattice.and_then(|l| l.vents.get(i as usize)).map(|t| t.name.clone()),
        Part::Piece(i) => lattice.and_then(|l| l.pieces.get(i as usize)).map(|t| t.name.clone()),
        Part::Insulation(e) => Some(format!("{slope}-IN{}", e + 1)),
    }
    .unwrap_or_default()
}

fn number(i: usize) -> u32 {
    u32::try_from(i).unwrap_or(u32::MAX)
}

fn on_slope<'a>(ctx: &'a Context<'_>, on: &'a OnSlope<'_>) -> Vec<Kept<'a>> {
    let mut all = Vec::new();
    for (i, m) in ctx.structure.members.iter().enumerate().filter(|(_, m)| m.home == Some(on.id)) {
        all.extend(m.bodies.iter().map(|(_, b)| (Kind::Framing, Part::Member(number(i)), Cow::Borrowed(b))));
    }
    for (plate, kind, part) in [
        (ctx.structure.deck(ctx.design, on.id), Kind::Deck, Part::Deck),
        (ctx.structure.membrane(ctx.design, on.id), Kind::Membrane, Part::Membrane),
    ] {
        all.extend(plate.into_iter().flat_map(|p| p.bodies()).map(|b| (kind, part, Cow::Owned(b))));
    }
    for (i, s) in ctx.structure.straps.iter().enumerate().filter(|(_, s)| s.slope == on.id) {
        all.push((Kind::Strap, Part::Strap(number(i)), Cow::Borrowed(&s.body)));
    }
    all.extend(on.tapes.entries.iter().map(|e| (Kind::Tape, Part::Tape(e.tag), Cow::Borrowed(&e.body))));
    all.extend(on.strips.entries.iter().map(|e| (Kind::Strip, Part::Strip(e.tag), Cow::Borrowed(&e.body))));
    all.extend(
        on.lattice
            .vents
            .iter()
            .enumerate()
            .map(|(i, v)| (Kind::VentPiece, Part::Vent(number(i)), Cow::Owned(v.body(&ctx.lattice.levels)))),
    );
    for (i, p) in on.lattice.pieces.iter().enumerate() {
        let body = batten_solid(ctx.design, &on.frame.outline, &ctx.lattice.levels, p);
        all.extend(body.map(|b| (Kind::Batten, Part::Piece(number(i)), Cow::Owned(b))));
    }
    for e in 0..on.frame.outline.edges.len() {
        let body = to_come::insulation(&on.frame.outline, e);
        all.extend(body.map(|b| (Kind::Insulation, Part::Insulation(number(e)), Cow::Owned(b))));
    }
    all
}

fn of_building<'a>(ctx: &'a Context<'_>) -> Vec<Kept<'a>> {
    let members = ctx.structure.members.iter().enumerate().filter(|(_, m)| m.home.is_none());
    members
        .flat_map(|(i, m)| {
            m.bodies.iter().map(move |(_, b)| (Kind::Framing, Part::Member(number(i)), Cow::Borrowed(b)))
        })
        .collect()
}

/// Fasteners against each other, and against battens that they do not hold.
fn fasteners(ctx: &Context<'_>, on: &OnSlope<'_>, report: &mut Report<'_>) {
    let (radius, head) = (ctx.design.fastening.diameter.metres() / 2.0, ctx.design.fastening.head.metres());
    let half = ctx.design.lattice.batten.width.metres() / 2.0;
    let mut before: Vec<(f64, f64, usize)> = Vec::new();
    for (i, landing) in on.lattice.landings.iter().enumerate() {
        let Some(piece) = on.piece(landing) else { continue };
        let here: Vec<(f64, f64, usize)> = on.lattice.fasteners_of(landing).iter().map(|f| (f.x, f.y, i)).collect();
        for (k, a) in here.iter().enumerate() {
            // Landings stand in order along a course, so only the one before can be near.
            let near = here.iter().take(k).chain(&before).find(|b| (a.0 - b.0).hypot(a.1 - b.1) < head - DISTINCT);
            if let Some(b) = near {
                let other = on.lattice.landings.get(b.2).map_or(String::new(), |l| ctx.landing_name(on, l));
                let this = ctx.landing_name(on, landing);
                let apart = (a.0 - b.0).hypot(a.1 - b.1);
                let message = if other == this {
                    format!("heads of two fasteners of {this} overlap: they are {} apart", ctx.show(apart))
                } else {
                    format!("heads of fasteners of {other} and {this} overlap: they are {} apart", ctx.show(apart))
                };
                let evidence = vec![Evidence::length("between two axes", apart, &ctx.design.fastening.head)];
                let place = Some(ctx.landing_place(on, landing));
                report.add(
                    Verdict::Fail,
                    message,
                    vec![this, other],
                    place,
                    evidence,
                    Vec::new,
                    Source::of(&ctx.design.fastening.head),
                );
            }
            let outside =
                (piece.x.0 - (a.0 - radius)).max(a.0 + radius - piece.x.1).max((a.1 - piece.y).abs() + radius - half);
            if outside > DISTINCT {
                let this = ctx.landing_name(on, landing);
                let message = format!(
                    "fastener {} of {this} breaks out of its batten {} by {}",
                    k + 1,
                    piece.name,
                    ctx.show(outside)
                );
                let evidence = vec![Evidence::only("outside the batten", outside)];
                let place = Some(ctx.landing_place(on, landing));
                let source = Source::words("a fastener holds the batten that it passes through whole");
                report.add(Verdict::Fail, message, vec![this, piece.name.clone()], place, evidence, Vec::new, source);
            }
        }
        before = here;
    }
}
