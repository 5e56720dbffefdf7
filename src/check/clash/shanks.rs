//! Fasteners and strap nails: what they may not meet.
//!
//! A fastener goes through what it is driven into: its own batten, strips, vent pieces, tape, membrane and deck of its
//! slope, and any member. Within its batten it can meet nothing else of its own slope but a strap (`through-strap`). Of
//! another slope it may meet members only: they belong to the building. A fastener that was left in is a fastener like the
//! others, but for its batten, of which nothing is asked.

use std::collections::BTreeSet;

use parry3d_f64::partitioning::{Bvh, BvhBuildStrategy};

use super::solids::{Group, aabb, name, overlaps};
use crate::check::context::{Context, OnSlope, Report};
use crate::check::finding::{Evidence, Help, Measure, Place, Source};
use crate::check::{Verdict, mends, through_strap};
use crate::design::{JointKind, SlopeId};
use crate::lattice::{Fastener, Landing};
use crate::parts::{Kind, PartId};
use crate::quantity::list::number;
use crate::quantity::maths::hypot;
use crate::record::{LeftIn, State};
use crate::solid::tolerance::{DISTINCT, SAME};
use crate::solid::{Body, Point3, Pose, Vector3, between_segments};

/// A shank in the frame of its slope.
#[derive(Clone, Copy)]
struct Shank {
    slope: SlopeId,
    owner: Owner,
    head: Point3,
    tip: Point3,
    radius: f64,
}

/// Whose shank it is.
#[derive(Clone, Copy, PartialEq)]
enum Owner {
    /// A landing of its slope, and the fastener's number there.
    Landing(u32, u8),
    /// A strap of the structure, and the nail's number there.
    Strap(u32, u32),
    /// What was left in on its slope, by its number there.
    LeftIn(u32),
}

impl Shank {
    fn moved(&self, by: &Pose) -> Shank {
        Shank { head: by * self.head, tip: by * self.tip, ..*self }
    }

    fn bounds(&self) -> (Point3, Point3) {
        let r = Vector3::repeat(self.radius);
        (self.head.inf(&self.tip) - r, self.head.sup(&self.tip) + r)
    }

    /// The part that it belongs to, and the shank in words.
    fn names(&self, ctx: &Context<'_>) -> (String, String) {
        match self.owner {
            Owner::Landing(l, k) => {
                let on = ctx.slopes.get(self.slope.0);
                let landing = on.and_then(|on| Some((on, on.lattice.landings.get(l as usize)?)));
                let name = landing.map_or(String::new(), |(on, l)| ctx.landing_name(on, l));
                let words = format!("fastener {} of {name}", k + 1);
                (name, words)
            }
            Owner::Strap(s, k) => {
                let name = ctx.structure.straps.get(s as usize).map_or(String::new(), |s| s.name.clone());
                let words = format!("nail {} of strap {name}", k + 1);
                (name, words)
            }
            Owner::LeftIn(i) => {
                let left = ctx.slopes.get(self.slope.0).and_then(|on| on.left_in.get(i as usize));
                left.map_or_else(Default::default, |l| (l.name.clone(), words(l)))
            }
        }
    }
}

/// Something left in, in words.
fn words(left: &LeftIn) -> String {
    format!("{} {}", left.kind.word(), left.name)
}

/// Fasteners in their battens; strap nails against other straps; and all of them against the other slopes.
pub(super) fn run(ctx: &Context<'_>, groups: &[Group<'_>], report: &mut Report<'_>) {
    for (on, group) in ctx.slopes.iter().zip(groups) {
        in_battens(ctx, on, group, report);
        left_in(ctx, on, report);
    }
    strap_nails(ctx, report);
    across_slopes(ctx, groups, report);
}

/// A fastener's place across and up the slope, the landing that it belongs to, and its number there.
type Axis = (f64, f64, usize, usize);

/// The fasteners of a landing that are there or planned.
fn axes(on: &OnSlope<'_>, number: usize, landing: &Landing) -> Vec<Axis> {
    let all = on.lattice.fasteners_of(landing).iter().enumerate();
    let there = all.filter(|(k, _)| on.state(landing, *k) != State::Lacking);
    there.map(|(k, f)| (f.x, f.y, number, k)).collect()
}

/// Heads of two fasteners that overlap.
fn heads_meet(ctx: &Context<'_>, on: &OnSlope<'_>, a: &Axis, b: &Axis, report: &mut Report<'_>) {
    let (Some(landing), Some(first)) = (on.lattice.landings.get(a.2), on.lattice.landings.get(b.2)) else { return };
    let (this, other) = (ctx.landing_name(on, landing), ctx.landing_name(on, first));
    let apart = hypot(a.0 - b.0, a.1 - b.1);
    let message = if a.2 == b.2 {
        format!("heads of two fasteners of {this} overlap: they are {} apart", ctx.show(apart))
    } else {
        format!("heads of fasteners of {other} and {this} overlap: they are {} apart", ctx.show(apart))
    };
    let evidence = vec![Evidence::length("between two axes", apart, &ctx.design.fastening.head)];
    let place = Some(ctx.landing_place(on, landing));
    let source = Source::of(&ctx.design.fastening.head);
    let helps = || {
        if a.2 == b.2 {
            let wide = mends::rounded_up(ctx, ctx.design.fastening.head.metres());
            vec![mends::set_length(ctx, "fastening.spread", wide, "drive them further apart").into()]
        } else {
            vec![mends::advice(format!("drive the fasteners of {this} further from {other}"))]
        }
    };
    report.add(Verdict::Fail, message, vec![this.clone(), other.clone()], place, evidence, helps, source);
}

/// Fasteners of courses that lie in one another or nearly touch: one finding for each two landings.
fn between_courses(ctx: &Context<'_>, on: &OnSlope<'_>, report: &mut Report<'_>) {
    let (head, width) = (ctx.design.fastening.head.metres(), ctx.design.lattice.batten.width.metres());
    let courses = &on.lattice.courses;
    // Boards that lap lie in two rows: the second of the lower course may lie above it, that of the upper one below.
    let rows = if ctx.design.lattice.batten.joint.value == JointKind::Lap { 3.0 } else { 1.0 };
    let near = |k: usize| courses[k].y - courses[k - 1].y < rows * width + head;
    if !(1..courses.len()).any(near) {
        return;
    }
    let mut of_course: Vec<Vec<Axis>> = vec![Vec::new(); courses.len()];
    for (i, landing) in on.lattice.landings.iter().enumerate() {
        let course = on.piece(landing).and_then(|p| of_course.get_mut(p.course as usize));
        if let Some(course) = course {
            course.extend(axes(on, i, landing));
        }
    }
    for course in &mut of_course {
        course.sort_by(|a, b| a.0.total_cmp(&b.0));
    }
    for k in (1..courses.len()).filter(|k| near(*k)) {
        let mut told: BTreeSet<(usize, usize)> = BTreeSet::new();
        for a in &of_course[k] {
            let from = of_course[k - 1].partition_point(|b| b.0 < a.0 - head);
            let beside = of_course[k - 1].iter().skip(from).take_while(|b| b.0 <= a.0 + head);
            for b in beside.filter(|b| hypot(a.0 - b.0, a.1 - b.1) < head - DISTINCT) {
                if told.insert((a.2, b.2)) {
                    heads_meet(ctx, on, a, b, report);
                }
            }
        }
    }
}

/// Fasteners against each other, and against battens that they do not hold.
fn in_battens(ctx: &Context<'_>, on: &OnSlope<'_>, group: &Group<'_>, report: &mut Report<'_>) {
    let (radius, head) = (ctx.design.fastening.diameter.metres() / 2.0, ctx.design.fastening.head.metres());
    let mut battens: Vec<Option<&Body>> = vec![None; on.lattice.pieces.len()];
    for solid in &group.solids {
        if let PartId::Batten(_, p) = solid.part
            && let Some(slot) = battens.get_mut(p as usize)
        {
            *slot = Some(&solid.body);
        }
    }
    between_courses(ctx, on, report);
    let mut before: Vec<Axis> = Vec::new();
    for (i, landing) in on.lattice.landings.iter().enumerate() {
        let Some(piece) = on.piece(landing) else { continue };
        let here = axes(on, i, landing);
        for (n, a) in here.iter().enumerate() {
            let k = a.3;
            // Landings stand in order along a course, so only the one before can be near.
            let near = here.iter().take(n).chain(&before).find(|b| hypot(a.0 - b.0, a.1 - b.1) < head - DISTINCT);
            if let Some(b) = near {
                heads_meet(ctx, on, a, b, report);
            }
            let top = ctx.lattice.levels.batten + piece.lift;
            let Some(batten) = battens.get(landing.piece as usize).copied().flatten() else { continue };
            let (outside, above) = outside(batten, &Point3::new(a.0, a.1, top), radius);
            if outside <= DISTINCT && above <= SAME {
                continue;
            }
            let this = ctx.landing_name(on, landing);
            let (message, evidence) = if outside > DISTINCT {
                (
                    format!(
                        "fastener {} of {this} breaks out of its batten {} by {}",
                        k + 1,
                        piece.name,
                        ctx.show(outside)
                    ),
                    Evidence {
                        limit: Some(Measure::Length(DISTINCT)),
                        ..Evidence::only("outside the batten", outside)
                    },
                )
            } else {
                (
                    format!("the head of fastener {} of {this} does not lie on {}", k + 1, piece.name),
                    Evidence { limit: Some(Measure::Length(SAME)), ..Evidence::only("head above the batten", above) },
                )
            };
            let place = Some(ctx.landing_place(on, landing));
            let source = Source::words("a fastener holds the batten that it passes through whole");
            let help = || {
                let words =
                    || mends::advice(format!("drive the fasteners of {this} nearer to the middle of {}", piece.name));
                vec![mends::one_above_the_other(ctx, on, landing).map_or_else(words, Help::from)]
            };
            let parts = vec![this.clone(), piece.name.clone()];
            report.add(Verdict::Fail, message, parts, place, vec![evidence], help, source);
        }
        before = here;
    }
}

/// Whether a fastener was left in at a place that is known, and where.
fn known_place(left: &LeftIn) -> Option<(f64, f64)> {
    left.at.filter(|_| left.kind.is_fastener())
}

/// Fasteners that were left in: their heads against every head of the slope, their shanks against nails of straps.
fn left_in(ctx: &Context<'_>, on: &OnSlope<'_>, report: &mut Report<'_>) {
    if on.left_in.is_empty() {
        return;
    }
    let (radius, head) = (ctx.design.fastening.diameter.metres() / 2.0, ctx.design.fastening.head.metres());
    let mut heads: Vec<Shank> = shanks(ctx, on).filter(|s| !matches!(s.owner, Owner::Strap(..))).collect();
    heads.sort_by(|a, b| a.head.x.total_cmp(&b.head.x));
    for (i, left) in (0_u32..).zip(on.left_in) {
        let Some((x, y)) = known_place(left) else { continue };
        let (part, this) = (left.name.clone(), words(left));
        let place = Some(Place { slope: on.id, at: [x, y, ctx.lattice.levels.batten] });
        let from = heads.partition_point(|s| s.head.x < x - head);
        let near = heads.iter().skip(from).take_while(|s| s.head.x <= x + head);
        // Two that were left in are told once, at the first.
        let others = near.filter(|s| !matches!(s.owner, Owner::LeftIn(j) if j <= i));
        let apart = others.map(|s| (hypot(s.head.x - x, s.head.y - y), s)).min_by(|a, b| a.0.total_cmp(&b.0));
        if let Some((apart, other)) = apart.filter(|(apart, _)| *apart < head - DISTINCT) {
            let (met, met_words) = other.names(ctx);
            let message = format!("heads of {this} and {met_words} overlap: they are {} apart", ctx.show(apart));
            let evidence = vec![Evidence::length("between two axes", apart, &ctx.design.fastening.head)];
            let source = Source::of(&ctx.design.fastening.head);
            let help =
                || vec![mends::advice(format!("drive {met_words} beside it, or write its true place into the log"))];
            report.add(Verdict::Fail, message, vec![part.clone(), met], place, evidence, help, source);
        }
        let hit = through_strap::clearance(ctx, on, &Fastener { x, y }, radius);
        if let Some((hit, nail)) = hit.and_then(|h| h.nail.map(|n| (h, n))).filter(|(h, _)| h.overlap > DISTINCT) {
            let strap = ctx.structure.straps.get(hit.strap as usize).map_or(String::new(), |s| s.name.clone());
            let message = format!("{this} meets nail {nail} of strap {strap}, by {}", ctx.show(hit.overlap));
            let evidence =
                vec![Evidence { limit: Some(Measure::Length(DISTINCT)), ..Evidence::only("overlap", hit.overlap) }];
            let help = || vec![mends::advice("look where it really is, and write that into the log".to_owned())];
            report.add(Verdict::Fail, message, vec![part, strap], place, evidence, help, Source::words(TWO_SOLIDS));
        }
    }
}

/// How far a shank's side stands out of a batten across its faces, and how far its head is from the batten's upper face.
fn outside(batten: &Body, head: &Point3, radius: f64) -> (f64, f64) {
    let below = Point3::new(head.x, head.y, batten.bounds().0.z);
    let mut out = f64::NEG_INFINITY;
    let mut above = f64::INFINITY;
    batten.each_plane(|p| {
        if p.normal.z > 1.0 - 1e-9 {
            above = p.distance(head).abs();
        } else if p.normal.z.abs() < 1.0 - 1e-9 {
            // A cut that leans is nearest at the upper or at the lower face.
            out = out.max(p.distance(head).max(p.distance(&below)) + radius);
        }
    });
    (out, above)
}

/// Nails of a strap against the steel and the nails of other straps of its slope.
fn strap_nails(ctx: &Context<'_>, report: &mut Report<'_>) {
    let straps = &ctx.structure.straps;
    for (i, strap) in straps.iter().enumerate() {
        for (j, other) in straps.iter().enumerate().filter(|(j, o)| *j != i && o.slope == strap.slope) {
            let near = strap.sides.0 < other.sides.1 + REACH
                && other.sides.0 < strap.sides.1 + REACH
                && strap.stretch.0 < other.stretch.1 + REACH
                && other.stretch.0 < strap.stretch.1 + REACH;
            if !near {
                continue;
            }
            let hit = strap.nails.iter().enumerate().find_map(|(k, n)| {
                let (dx, dy) = (
                    (other.sides.0 - n.x).max(n.x - other.sides.1).max(0.0),
                    (other.stretch.0 - n.y).max(n.y - other.stretch.1).max(0.0),
                );
                let steel = n.radius - hypot(dx, dy);
                // Two nails are told once, at the first strap.
                let nails = other.nails.iter().filter(|_| i < j);
                let nail = nails.map(|m| n.radius + m.radius - hypot(n.x - m.x, n.y - m.y)).fold(0.0, f64::max);
                let overlap = steel.max(nail);
                (overlap > DISTINCT).then_some((k, n, overlap))
            });
            let Some((k, nail, overlap)) = hit else { continue };
            let message = format!("nail {} of strap {} meets strap {}", k + 1, strap.name, other.name);
            let place = Some(Place { slope: strap.slope, at: [nail.x, nail.y, nail.z] });
            let evidence =
                vec![Evidence { limit: Some(Measure::Length(DISTINCT)), ..Evidence::only("overlap", overlap) }];
            let help = mends::advice(format!("lay {} further from {}", strap.name, other.name));
            let parts = vec![strap.name.clone(), other.name.clone()];
            report.add(Verdict::Fail, message, parts, place, evidence, || vec![help], Source::words(TWO_SOLIDS));
        }
    }
}

/// How near two straps are looked at, metres: more than any nail is thick.
const REACH: f64 = 0.05;

/// Why two solids may not overlap.
pub(super) const TWO_SOLIDS: &str = "two solids cannot be in one place";

/// Every shank that is there or is still to come on a slope, in its frame.
fn shanks<'a>(ctx: &'a Context<'_>, on: &'a OnSlope<'_>) -> impl Iterator<Item = Shank> + 'a {
    let radius = ctx.design.fastening.diameter.metres() / 2.0;
    let length = ctx.design.fastening.length.metres();
    let fasteners = on.lattice.landings.iter().enumerate().flat_map(move |(l, landing)| {
        let top = ctx.lattice.levels.batten + on.piece(landing).map_or(0.0, |p| p.lift);
        let all = on.lattice.fasteners_of(landing).iter().enumerate();
        let there = all.filter(move |(k, _)| on.state(landing, *k) != State::Lacking);
        there.map(move |(k, f)| Shank {
            slope: on.id,
            owner: Owner::Landing(number(l), u8::try_from(k).unwrap_or(u8::MAX)),
            head: Point3::new(f.x, f.y, top),
            tip: Point3::new(f.x, f.y, top - length),
            radius,
        })
    });
    let straps = ctx.structure.straps.iter().enumerate().filter(move |(_, s)| s.slope == on.id);
    let nails = straps.flat_map(move |(i, s)| {
        s.nails.iter().enumerate().map(move |(k, n)| Shank {
            slope: on.id,
            owner: Owner::Strap(number(i), number(k)),
            head: Point3::new(n.x, n.y, n.z),
            tip: Point3::new(n.x, n.y, n.z - n.length),
            radius: n.radius,
        })
    });
    let left = (0_u32..).zip(on.left_in).filter_map(move |(i, left)| {
        let (x, y) = known_place(left)?;
        let landing = left.meant_for.and_then(|(l, _)| on.lattice.landings.get(l as usize));
        let top = ctx.lattice.levels.batten + landing.and_then(|l| on.piece(l)).map_or(0.0, |p| p.lift);
        let (head, tip) = (Point3::new(x, y, top), Point3::new(x, y, top - length));
        Some(Shank { slope: on.id, owner: Owner::LeftIn(i), head, tip, radius })
    });
    fasteners.chain(nails).chain(left)
}

/// Shanks against what belongs to another slope, its members left out, and against the other slope's shanks.
fn across_slopes(ctx: &Context<'_>, groups: &[Group<'_>], report: &mut Report<'_>) {
    let reach = ctx.design.fastening.length.metres();
    for (a, on) in ctx.slopes.iter().enumerate() {
        for (b, there) in ctx.slopes.iter().enumerate() {
            let (Some(other), true) = (groups.get(b), a != b) else { continue };
            let to_there = there.frame.pose.inverse() * on.frame.pose;
            let mut root = other.tree.root_aabb();
            // The other slope's own shanks reach below its other solids.
            root.mins.z -= reach;
            let near: Vec<Shank> = shanks(ctx, on)
                .map(|s| s.moved(&to_there))
                .filter(|s| {
                    let (low, high) = s.bounds();
                    overlaps(&root, &aabb(&low, &high))
                })
                .collect();
            for shank in &near {
                against_solids(ctx, shank, other, &to_there, report);
            }
            // Two shanks are told once.
            if a < b && !near.is_empty() {
                let boxes: Vec<_> = near.iter().map(|s| s.bounds()).map(|(l, h)| aabb(&l, &h)).collect();
                let tree = Bvh::from_leaves(BvhBuildStrategy::Binned, &boxes);
                for shank in shanks(ctx, there) {
                    let (low, high) = shank.bounds();
                    for k in tree.intersect_aabb(&aabb(&low, &high)) {
                        if let Some(mine) = near.get(k as usize) {
                            against_shank(ctx, mine, &shank, &to_there, report);
                        }
                    }
                }
            }
        }
    }
}

fn against_solids(ctx: &Context<'_>, shank: &Shank, other: &Group<'_>, to_there: &Pose, report: &mut Report<'_>) {
    let (low, high) = shank.bounds();
    for k in other.tree.intersect_aabb(&aabb(&low, &high)) {
        let Some(solid) = other.solids.get(k as usize).filter(|s| s.part.kind() != Kind::Member) else { continue };
        let Some(depth) = solid.body.depth_of_rod(&shank.head, &shank.tip, shank.radius, DISTINCT) else { continue };
        let (part, words) = shank.names(ctx);
        let met = name(ctx, solid.part);
        tell(ctx, shank, to_there, (part, format!("{words} meets {met}")), met, depth, report);
    }
}

fn against_shank(ctx: &Context<'_>, mine: &Shank, other: &Shank, to_there: &Pose, report: &mut Report<'_>) {
    let apart = between_segments((&mine.head, &mine.tip), (&other.head, &other.tip));
    let overlap = mine.radius + other.radius - apart;
    if overlap <= DISTINCT {
        return;
    }
    let ((part, words), (met, other_words)) = (mine.names(ctx), other.names(ctx));
    tell(ctx, mine, to_there, (part, format!("{words} meets {other_words}")), met, overlap, report);
}

fn tell(
    ctx: &Context<'_>,
    shank: &Shank,
    to_there: &Pose,
    (part, message): (String, String),
    met: String,
    overlap: f64,
    report: &mut Report<'_>,
) {
    let at = to_there.inverse() * shank.head;
    let place = Some(Place { slope: shank.slope, at: [at.x, at.y, at.z] });
    let message = format!("{message} of another slope, by {}", ctx.show(overlap));
    let evidence = vec![Evidence { limit: Some(Measure::Length(DISTINCT)), ..Evidence::only("overlap", overlap) }];
    let help = mends::advice(format!("drive {part} further from {met}, or use a shorter fastener there"));
    report.add(Verdict::Fail, message, vec![part, met], place, evidence, || vec![help], Source::words(TWO_SOLIDS));
}
