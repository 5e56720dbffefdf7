//! The solids that can clash, in groups that share a frame.

use std::borrow::Cow;

use parry3d_f64::bounding_volume::Aabb;
use parry3d_f64::math::Vector;
use parry3d_f64::partitioning::{Bvh, BvhBuildStrategy};

use crate::check::context::{Context, OnSlope};
use crate::design::SlopeId;
use crate::parts::{Kind, PartId};
use crate::solid::{Body, BodyIndex, Point3, Pose};

/// Kinds with which a kind may be in one place, told of one kind of each pair. Whatever is not named here may not. Fasteners are
/// judged by their axes, clips by checks of their own.
fn yields_to(kind: Kind) -> &'static [Kind] {
    match kind {
        // Soft sheets yield to a strap, and lap one another.
        Kind::Tape => &[Kind::Strap, Kind::Tape],
        Kind::Membrane => &[Kind::Strap, Kind::Membrane],
        // Buried vent pieces have a check of their own; tape and strip may run on under insulation. Insulation on a wall stands
        // on whatever is there.
        Kind::Insulation => {
            &[Kind::VentPiece, Kind::Tape, Kind::Strip, Kind::Insulation, Kind::Membrane, Kind::Deck, Kind::Member]
        }
        Kind::Member
        | Kind::Deck
        | Kind::Strap
        | Kind::Strip
        | Kind::VentPiece
        | Kind::Batten
        | Kind::Fasteners
        | Kind::LeftIn
        | Kind::ToDrive
        | Kind::Clip => &[],
    }
}

/// Whether two kinds may be in one place.
pub fn may_overlap(a: Kind, b: Kind) -> bool {
    yields_to(a).contains(&b) || yields_to(b).contains(&a)
}

pub(super) struct Solid<'a> {
    pub(super) part: PartId,
    pub(super) body: Cow<'a, Body>,
    pub(super) low: Point3,
    pub(super) high: Point3,
}

/// Solids that share a frame: those of one slope, or those of the building.
pub(super) struct Group<'a> {
    pub(super) slope: Option<SlopeId>,
    pub(super) to_world: Pose,
    pub(super) solids: Vec<Solid<'a>>,
    pub(super) tree: Bvh,
}

/// A part and one of its bodies, which is borrowed where something keeps it anyway.
pub(super) type Kept<'a> = (PartId, Cow<'a, Body>);

pub(super) fn group(slope: Option<SlopeId>, to_world: Pose, bodies: Vec<Kept<'_>>) -> Group<'_> {
    let solids: Vec<Solid<'_>> = bodies
        .into_iter()
        .map(|(part, body)| {
            let (low, high) = body.bounds();
            Solid { part, body, low, high }
        })
        .collect();
    let boxes: Vec<Aabb> = solids.iter().map(|s| aabb(&s.low, &s.high)).collect();
    let tree = Bvh::from_leaves(BvhBuildStrategy::Binned, &boxes);
    Group { slope, to_world, solids, tree }
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

/// A part's name.
pub(super) fn name(ctx: &Context<'_>, part: PartId) -> String {
    ctx.parts().name(part).map_or_else(String::new, Cow::into_owned)
}

/// The bodies of everything at home on a slope, or in the building.
pub(super) fn at_home<'a>(ctx: &'a Context<'_>, home: Option<&'a OnSlope<'_>>) -> Vec<Kept<'a>> {
    let parts = ctx.parts();
    let kinds = Kind::ALL.into_iter().flat_map(|kind| parts.ids(kind, home.map(|on| on.id)));
    kinds.flat_map(|id| bodies(ctx, home, id).into_iter().map(move |body| (id, body))).collect()
}

/// The bodies of a part.
fn bodies<'a>(ctx: &'a Context<'_>, home: Option<&'a OnSlope<'_>>, id: PartId) -> Vec<Cow<'a, Body>> {
    let kept = |index: &'a BodyIndex<u32>, number: u32| {
        let first = index.entries.partition_point(|e| e.tag < number);
        let rest = index.entries.get(first..).unwrap_or_default();
        rest.iter().take_while(|e| e.tag == number).map(|e| Cow::Borrowed(&e.body)).collect()
    };
    if let (PartId::Tape(_, i), Some(on)) = (id, home) {
        kept(&on.tapes, i)
    } else if let (PartId::Strip(_, i), Some(on)) = (id, home) {
        kept(&on.strips, i)
    } else {
        ctx.parts().bodies(id)
    }
}
