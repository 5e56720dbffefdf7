//! The solids that can clash, in groups that share a frame.

use std::borrow::Cow;

use parry3d_f64::bounding_volume::Aabb;
use parry3d_f64::math::Vector;
use parry3d_f64::partitioning::{Bvh, BvhBuildStrategy};

use crate::check::context::{Context, OnSlope};
use crate::design::SlopeId;
use crate::parts::{Kind, PartId};
use crate::quantity::list::run;
use crate::solid::{Body, BodyIndex, Point3, Pose, Unbuilt};

pub(super) struct Solid<'a> {
    pub(super) part: PartId,
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
    pub(super) unbuilt: Vec<PartId>,
}

/// A part and one of its bodies, which is borrowed where something keeps it anyway. Bodies of one part stand together.
pub(super) type Kept<'a> = (PartId, Cow<'a, Body>);

/// Gathers bodies, and the parts whose solids could not be built.
pub(super) fn group<'a>(
    slope: Option<SlopeId>,
    to_world: Pose,
    (bodies, unbuilt): (Vec<Kept<'a>>, Vec<PartId>),
) -> Group<'a> {
    let mut solids: Vec<Solid<'_>> = bodies
        .into_iter()
        .map(|(part, body)| {
            let (low, high) = body.bounds();
            Solid { part, body, low, high, one_of_several: false }
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

/// A part's name.
pub(super) fn name(ctx: &Context<'_>, part: PartId) -> String {
    ctx.parts().name(part).map_or_else(String::new, Cow::into_owned)
}

/// The bodies of everything at home on a slope, or in the building, and the parts whose solids could not be built.
pub(super) fn at_home<'a>(ctx: &'a Context<'_>, home: Option<&'a OnSlope<'_>>) -> (Vec<Kept<'a>>, Vec<PartId>) {
    let parts = ctx.parts();
    let (mut all, mut unbuilt) = (Vec::new(), Vec::new());
    for id in Kind::ALL.into_iter().flat_map(|kind| parts.ids(kind, home.map(|on| on.id))) {
        match bodies(ctx, home, id) {
            Ok(bodies) => all.extend(bodies.into_iter().map(|body| (id, body))),
            Err(Unbuilt) => unbuilt.push(id),
        }
    }
    (all, unbuilt)
}

/// The bodies of a part.
fn bodies<'a>(ctx: &'a Context<'_>, home: Option<&'a OnSlope<'_>>, id: PartId) -> Result<Vec<Cow<'a, Body>>, Unbuilt> {
    let kept = |index: &'a BodyIndex<u32>, number: u32| -> Option<Vec<Cow<'a, Body>>> {
        let of = run(&index.entries, |e| e.tag.cmp(&number));
        let all: Vec<_> = of.iter().map(|e| Cow::Borrowed(&e.body)).collect();
        (!all.is_empty()).then_some(all)
    };
    // What could not be built stands in no index.
    let known = match (id, home) {
        (PartId::Tape(_, i), Some(on)) => kept(&on.tapes, i),
        (PartId::Strip(_, i), Some(on)) => kept(&on.strips, i),
        (_, Some(_) | None) => None,
    };
    known.map_or_else(|| ctx.parts().bodies(id), Ok)
}
