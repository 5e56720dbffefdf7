//! The solids that can clash, in groups that share a frame.

use std::borrow::Cow;

use parry3d_f64::bounding_volume::Aabb;
use parry3d_f64::math::Vector;
use parry3d_f64::partitioning::{Bvh, BvhBuildStrategy};

use crate::check::context::{Context, OnSlope};
use crate::design::SlopeId;
use crate::lattice::batten_solid;
use crate::solid::{Body, BodyIndex, Point3, Pose, Unbuilt};
use crate::structure::to_come;

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
pub(super) enum Part {
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

pub(super) struct Solid<'a> {
    pub(super) kind: Kind,
    pub(super) part: Part,
    pub(super) body: Cow<'a, Body>,
    pub(super) low: Point3,
    pub(super) high: Point3,
    /// Whether it is one of several bodies of its part.
    pub(super) one_of_several: bool,
}

/// Solids that share a frame: those of one slope, or those of the building.
pub(super) struct Group<'a> {
    pub(super) slope: Option<SlopeId>,
    pub(super) to_world: Pose,
    pub(super) solids: Vec<Solid<'a>>,
    pub(super) tree: Bvh,
    /// Parts whose solids could not be built.
    pub(super) unbuilt: Vec<Part>,
}

/// A kind, a part and its body: the body is borrowed where something keeps it anyway. Bodies of one part stand together.
pub(super) type Kept<'a> = (Kind, Part, Cow<'a, Body>);

/// Gathers bodies, and the parts whose solids could not be built.
pub(super) fn group<'a>(
    slope: Option<SlopeId>,
    to_world: Pose,
    (bodies, unbuilt): (Vec<Kept<'a>>, Vec<Part>),
) -> Group<'a> {
    let mut solids: Vec<Solid<'_>> = bodies
        .into_iter()
        .map(|(kind, part, body)| {
            let (low, high) = body.bounds();
            Solid { kind, part, body, low, high, one_of_several: false }
        })
        .collect();
    for several in solids.chunk_by_mut(|a, b| a.part == b.part).filter(|of_part| of_part.len() > 1) {
        several.iter_mut().for_each(|s| s.one_of_several = true);
    }
    let boxes: Vec<Aabb> = solids.iter().map(|s| aabb(&s.low, &s.high)).collect();
    let tree = Bvh::from_leaves(BvhBuildStrategy::Binned, &boxes);
    Group { slope, to_world, solids, tree, unbuilt }
}

pub(super) fn aabb(low: &Point3, high: &Point3) -> Aabb {
    Aabb::new(Vector::new(low.x, low.y, low.z), Vector::new(high.x, high.y, high.z))
}

pub(super) fn overlaps(a: &Aabb, b: &Aabb) -> bool {
    a.mins.x <= b.maxs.x
        && b.mins.x <= a.maxs.x
        && a.mins.y <= b.maxs.y
        && b.mins.y <= a.maxs.y
        && a.mins.z <= b.maxs.z
        && b.mins.z <= a.maxs.z
}

pub(super) fn name(ctx: &Context<'_>, group: &Group<'_>, part: Part) -> String {
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
        Part::Insulation(e) => Some(to_come::insulation_name(slope, e as usize)),
    }
    .unwrap_or_default()
}

fn number(i: usize) -> u32 {
    u32::try_from(i).unwrap_or(u32::MAX)
}

pub(super) fn on_slope<'a>(ctx: &'a Context<'_>, on: &'a OnSlope<'_>) -> (Vec<Kept<'a>>, Vec<Part>) {
    let (mut all, mut unbuilt) = (Vec::new(), Vec::new());
    let outline = &on.frame.outline;
    for (i, m) in ctx.structure.members.iter().enumerate().filter(|(_, m)| m.home == Some(on.id)) {
        all.extend(m.bodies.iter().map(|(_, b)| (Kind::Framing, Part::Member(number(i)), Cow::Borrowed(b))));
    }
    for (plate, kind, part) in [
        (ctx.structure.deck(ctx.design, on.id), Kind::Deck, Part::Deck),
        (ctx.structure.membrane(ctx.design, on.id), Kind::Membrane, Part::Membrane),
    ] {
        match plate.map_or_else(|| Ok(Vec::new()), |p| p.bodies()) {
            Ok(bodies) => all.extend(bodies.into_iter().map(|b| (kind, part, Cow::Owned(b)))),
            Err(Unbuilt) => unbuilt.push(part),
        }
    }
    for (i, s) in ctx.structure.straps.iter().enumerate().filter(|(_, s)| s.slope == on.id) {
        all.push((Kind::Strap, Part::Strap(number(i)), Cow::Borrowed(&s.body)));
    }
    all.extend(on.tapes.entries.iter().map(|e| (Kind::Tape, Part::Tape(e.tag), Cow::Borrowed(&e.body))));
    all.extend(on.strips.entries.iter().map(|e| (Kind::Strip, Part::Strip(e.tag), Cow::Borrowed(&e.body))));
    let levels = &ctx.lattice.levels;
    let lacking = |index: &BodyIndex<u32>, k: u32| index.entries.binary_search_by_key(&k, |e| e.tag).is_err();
    for (k, tape) in (0..).zip(&on.lattice.tapes).filter(|(k, _)| lacking(&on.tapes, *k)) {
        let (sweep, pose, planes) = tape.sweep(levels, outline);
        unbuilt.extend(sweep.bodies(&pose, &planes).is_err().then_some(Part::Tape(k)));
    }
    for (k, strip) in (0..).zip(&on.lattice.strips).filter(|(k, _)| lacking(&on.strips, *k)) {
        let (sweep, pose) = strip.sweep();
        unbuilt.extend(sweep.bodies(&pose, &[]).is_err().then_some(Part::Strip(k)));
    }
    all.extend(
        on.lattice
            .vents
            .iter()
            .enumerate()
            .map(|(i, v)| (Kind::VentPiece, Part::Vent(number(i)), Cow::Owned(v.body(&ctx.lattice.levels)))),
    );
    for (i, p) in on.lattice.pieces.iter().enumerate() {
        match batten_solid(ctx.design, outline, levels, p) {
            Ok(body) => all.push((Kind::Batten, Part::Piece(number(i)), Cow::Owned(body))),
            Err(Unbuilt) => unbuilt.push(Part::Piece(number(i))),
        }
    }
    for e in 0..outline.edges.len() {
        match to_come::insulation(outline, e) {
            Ok(body) => all.extend(body.map(|b| (Kind::Insulation, Part::Insulation(number(e)), Cow::Owned(b)))),
            Err(Unbuilt) => unbuilt.push(Part::Insulation(number(e))),
        }
    }
    (all, unbuilt)
}

pub(super) fn of_building<'a>(ctx: &'a Context<'_>) -> (Vec<Kept<'a>>, Vec<Part>) {
    let members = ctx.structure.members.iter().enumerate().filter(|(_, m)| m.home.is_none());
    let bodies = members
        .flat_map(|(i, m)| {
            m.bodies.iter().map(move |(_, b)| (Kind::Framing, Part::Member(number(i)), Cow::Borrowed(b)))
        })
        .collect();
    (bodies, Vec::new())
}
