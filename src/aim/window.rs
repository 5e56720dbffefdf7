//! The window of one fastener: half-planes from the faces of bodies, and what is taken out of them.

use super::condition::{Condition, Conditions};
use super::obstacle::Obstacles;
use super::region::{HalfPlane, Region, Ring, around, cut, rectangle};
use crate::design::Design;
use crate::lattice::{Landing, Lattice, SlopeLattice, batten_solid};
use crate::quantity::maths::{cos, hypot, sin, tan};
use crate::solid::tolerance::SAME;
use crate::solid::{Body, BodyIndex, Entry, Plane, Vector3, convex_hull};
use crate::structure::{Component, Face, MemberId, SlopeFrame, SlopeIndex, Structure};

/// How far from a landing's middle its windows reach at most, metres: six inches.
pub const REACH: f64 = 0.1524;

/// How a shank leans: its axis drops by 1 while it goes `at` across and up; the hand adds any lean up to `spread`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Lean {
    /// Across (to the right) and up the slope for each unit of depth.
    pub at: [f64; 2],
    /// The tangent of the largest error of the hand, in every direction.
    pub spread: f64,
}

impl Lean {
    /// Without tilt.
    pub const SQUARE: Lean = Lean { at: [0.0, 0.0], spread: 0.0 };

    /// At every tilt up to an angle in radians.
    pub fn within(angle: f64) -> Lean {
        Lean { at: [0.0, 0.0], spread: tan(angle) }
    }

    /// At one tilt: an angle in radians, and the direction in which the tip goes (0 to the right, a quarter turn up the
    /// slope).
    pub fn one(angle: f64, direction: f64) -> Lean {
        let t = tan(angle);
        Lean { at: [t * cos(direction), t * sin(direction)], spread: 0.0 }
    }

    /// Least and greatest length of shank for each unit of depth.
    fn lengths(&self) -> (f64, f64) {
        let lean = hypot(self.at[0], self.at[1]);
        (hypot((lean - self.spread).max(0.0), 1.0), hypot(lean + self.spread, 1.0))
    }
}

/// What windows of one slope are asked of.
pub struct Site<'a> {
    /// The design.
    pub design: &'a Design,
    /// The structure as found.
    pub structure: &'a Structure,
    /// The lattice of all slopes.
    pub lattice: &'a Lattice,
    /// The slope's frame.
    pub frame: &'a SlopeFrame,
    /// The slope's lattice.
    pub on: &'a SlopeLattice,
    /// Bodies of members under the slope.
    pub under: &'a SlopeIndex,
    /// Tapes as bodies.
    pub tapes: &'a BodyIndex<u32>,
    /// Straps as bodies.
    pub straps: &'a BodyIndex<u32>,
    /// Further places to keep away from: clips' bases, and heads that were left in.
    pub keep_away: &'a Obstacles,
}

/// Depth below the head's underside as it depends on the place of the head: `a . head + c`, metres.
#[derive(Clone, Copy, Debug)]
struct Drop {
    a: [f64; 2],
    c: f64,
}

impl Drop {
    fn level(c: f64) -> Drop {
        Drop { a: [0.0, 0.0], c }
    }

    fn plus(self, more: f64) -> Drop {
        Drop { c: self.c + more, ..self }
    }

    fn times(self, factor: f64) -> Drop {
        Drop { a: [self.a[0] * factor, self.a[1] * factor], c: self.c * factor }
    }
}

/// A face of a body, for one of the ways in which it bounds a window.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Bound {
    /// Keep the margin.
    Margin,
    /// An end that may be shared with the next stretch.
    End,
    /// Upper or lower face.
    Level,
}

/// A body with the planes of its faces, told apart.
struct Faces {
    sides: Vec<Plane>,
    ends: Vec<Plane>,
    levels: Vec<Plane>,
}

impl Faces {
    fn of(body: &Body, kind: impl Fn(&Plane) -> Bound) -> Faces {
        let mut faces = Faces { sides: Vec::new(), ends: Vec::new(), levels: Vec::new() };
        body.each_plane(|p| match kind(&p) {
            Bound::Margin => faces.sides.push(p),
            Bound::End => faces.ends.push(p),
            Bound::Level => faces.levels.push(p),
        });
        faces
    }
}

/// Whether two bodies of one bent part share a face.
fn shared(a: &Plane, b: &Plane) -> bool {
    a.normal.dot(&b.normal) < -1.0 + 1e-9 && (a.offset + b.offset).abs() < SAME
}

/// The stretches of a bent part among which a shank may go over from one into the next: each alone, and each two that
/// share a face. A stretch alone is bounded by the shared face; two together are bounded by the sides of both.
fn stretches(bodies: &[Faces]) -> Vec<Stretch<'_>> {
    let meets = |p: &Plane| bodies.iter().any(|b| b.ends.iter().any(|q| shared(p, q)));
    // True ends bound the part wherever they are.
    let true_ends: Vec<Plane> = bodies.iter().flat_map(|b| &b.ends).filter(|p| !meets(p)).copied().collect();
    let mut all: Vec<Stretch<'_>> = Vec::new();
    for (i, a) in bodies.iter().enumerate() {
        let open: Vec<Plane> = a.ends.iter().filter(|p| meets(p)).copied().collect();
        all.push(Stretch { bodies: vec![a], inner: open, margins: true_ends.clone() });
        for b in &bodies[i + 1..] {
            if a.ends.iter().any(|p| b.ends.iter().any(|q| shared(p, q))) {
                let both = || a.ends.iter().chain(&b.ends);
                let inner = both().filter(|p| meets(p) && !both().any(|q| shared(p, q))).copied().collect();
                all.push(Stretch { bodies: vec![a, b], inner, margins: true_ends.clone() });
            }
        }
    }
    all
}

struct Stretch<'f> {
    bodies: Vec<&'f Faces>,
    /// Faces shared with further stretches: the shank stays within them.
    inner: Vec<Plane>,
    /// True ends: kept from, like sides.
    margins: Vec<Plane>,
}

impl Stretch<'_> {
    /// Calls `keep` with every face that bounds the stretch and the distance to keep from it.
    fn bounds(&self, margin: f64, mut keep: impl FnMut(&Plane, f64)) {
        self.bodies.iter().flat_map(|b| &b.sides).chain(&self.margins).for_each(|p| keep(p, margin));
        self.inner.iter().for_each(|p| keep(p, 0.0));
    }
}

impl Site<'_> {
    /// The window of a landing's fastener under some of the conditions. `lean` counts only with [`Condition::Tilt`];
    /// without it the shank is driven as `lean.at` says.
    pub fn window(&self, number: usize, fastener: usize, conditions: Conditions, lean: Lean) -> Region {
        let lean = if conditions.has(Condition::Tilt) { lean } else { Lean { spread: 0.0, ..lean } };
        let Some(landing) = self.on.landings.get(number) else { return Region::default() };
        let Some(board) = self.board(number, landing, conditions, lean) else { return Region::default() };
        let mut board = board;
        if conditions.has(Condition::Others) {
            board = cut(board, &self.apart(landing, fastener));
        }
        if board.is_empty() {
            return Region::default();
        }
        let mut rings = vec![board];
        if conditions.has(Condition::Backed) || conditions.has(Condition::MemberEdge) {
            rings = self.in_members(landing, &rings, conditions, lean);
        }
        if conditions.has(Condition::Tape) {
            rings = self.in_tapes(landing, &rings, lean);
        }
        let mut holes = Vec::new();
        if conditions.has(Condition::Straps) {
            self.straps_in_the_way(landing, lean, &mut holes);
        }
        if conditions.has(Condition::KeepAway) {
            let thick = self.design.lattice.batten.thickness.metres();
            let near = self.keep_away.near(landing);
            holes.extend(near.map(|o| swept(o.x, o.y, o.radius, (0.0, thick), lean)));
        }
        Region::union_of(rings).without(&holes)
    }

    /// The window driven without tilt.
    pub fn square(&self, number: usize, fastener: usize) -> Region {
        self.window(number, fastener, Conditions::ALL, Lean::SQUARE)
    }

    /// The window that works at every tilt up to the stated error of the hand.
    pub fn sure(&self, number: usize, fastener: usize) -> Region {
        self.window(number, fastener, Conditions::ALL, self.hand())
    }

    /// The stated error of the hand.
    pub fn hand(&self) -> Lean {
        Lean::within(self.design.tilt.value.radians())
    }

    /// The window at one chosen tilt, for each tilt of a grid up to a limit: angle and direction in radians.
    pub fn reach(&self, number: usize, fastener: usize) -> Vec<((f64, f64), Region)> {
        tilts().into_iter().map(|t| (t, self.window(number, fastener, Conditions::ALL, Lean::one(t.0, t.1)))).collect()
    }

    /// The smallest tilt of the grid at which there is a window: angle and direction in radians.
    pub fn opening_tilt(&self, number: usize, fastener: usize) -> Option<((f64, f64), Region)> {
        let each = tilts().into_iter().map(|t| {
            let region = self.window(number, fastener, Conditions::ALL, Lean::one(t.0, t.1));
            (t, region)
        });
        each.into_iter().find(|(_, region)| !region.is_empty())
    }

    /// A smallest set of conditions that cannot be met together; `None` where the sure window is open.
    pub fn conflict(&self, number: usize, fastener: usize) -> Option<Conditions> {
        let hand = self.hand();
        // What is not there is in nobody's way.
        let mut all = Conditions::ALL;
        if self.straps.entries.is_empty() {
            all = all.without(Condition::Straps);
        }
        if self.keep_away.is_empty() {
            all = all.without(Condition::KeepAway);
        }
        all.smallest(|set| self.window(number, fastener, set, hand).is_empty())
    }

    /// The part of the board that belongs to the landing.
    fn board(&self, number: usize, landing: &Landing, conditions: Conditions, lean: Lean) -> Option<Ring> {
        let piece = self.on.pieces.get(landing.piece as usize)?;
        let half = self.design.lattice.batten.width.metres() / 2.0;
        // Neighbours on the same board; a move may have put landings out of their order.
        let (mut left, mut right) = (landing.x - REACH, landing.x + REACH);
        let near = |step: isize| {
            let others = (1..).map_while(move |k: isize| number.checked_add_signed(step * k));
            others.map_while(|k| self.on.landings.get(k)).take_while(|o| o.piece == landing.piece).take(3)
        };
        for other in near(-1).chain(near(1)) {
            let middle = (other.x + landing.x) / 2.0;
            if other.x < landing.x {
                left = left.max(middle);
            } else if other.x > landing.x {
                right = right.min(middle);
            }
        }
        let ring = rectangle((left, right), (piece.y - half, piece.y + half));
        let body = batten_solid(self.design, &self.frame.outline, &self.lattice.levels, piece).ok()?;
        let edge = if conditions.has(Condition::BattenEdge) { self.design.limits.batten_edge.metres() } else { 0.0 };
        let end = if conditions.has(Condition::BattenEnd) { self.design.limits.end_distance.metres() } else { 0.0 };
        let top = self.lattice.levels.batten + piece.lift;
        let thick = self.design.lattice.batten.thickness.metres();
        let mut planes = Vec::new();
        body.each_plane(|p| {
            if p.normal.z.abs() > LEVEL {
                return;
            }
            // The end distance is measured along the grain.
            let (margin, asked) = if p.normal.y.abs() > LEVEL {
                (edge, conditions.has(Condition::BattenEdge))
            } else {
                (p.normal.x.abs() * end, conditions.has(Condition::BattenEnd))
            };
            planes.push(behind(&p, margin, Drop::level(0.0), lean, top));
            if asked {
                planes.push(behind(&p, margin, Drop::level(thick), lean, top));
            }
        });
        Some(cut(ring, &planes))
    }

    /// A fastener keeps to its own side of the landing's others, by half the asked distance: so each may be driven
    /// anywhere in its window.
    fn apart(&self, landing: &Landing, fastener: usize) -> Vec<HalfPlane> {
        let all = self.on.fasteners_of(landing);
        let Some(own) = all.get(fastener) else { return Vec::new() };
        let half = self.design.aim.spacing.metres() / 2.0;
        let others = all.iter().enumerate().filter(|(k, _)| *k != fastener);
        others
            .filter_map(|(_, other)| {
                let (dx, dy) = (other.x - own.x, other.y - own.y);
                let away = hypot(dx, dy);
                if away < SAME {
                    return None;
                }
                let (a, middle) = ([dx / away, dy / away], [(own.x + other.x) / 2.0, (own.y + other.y) / 2.0]);
                Some(HalfPlane { a, c: a[0] * middle[0] + a[1] * middle[1] - half })
            })
            .collect()
    }

    fn top(&self, landing: &Landing) -> f64 {
        let lift = self.on.pieces.get(landing.piece as usize).map_or(0.0, |p| p.lift);
        self.lattice.levels.batten + lift
    }

    /// What members leave of convex rings: from there a shank is backed, and keeps its edge distance.
    fn in_members(&self, landing: &Landing, rings: &[Ring], conditions: Conditions, lean: Lean) -> Vec<Ring> {
        let members = self.members_near(rings, lean);
        members.iter().flat_map(|(_, bodies)| self.in_member(landing, rings, bodies, conditions, lean)).collect()
    }

    fn in_member(
        &self,
        landing: &Landing,
        rings: &[Ring],
        bodies: &[Faces],
        conditions: Conditions,
        lean: Lean,
    ) -> Vec<Ring> {
        let (length, asked) = (self.design.fastening.length.metres(), self.design.limits.embedment.metres());
        let backed = conditions.has(Condition::Backed);
        let radius = if backed { self.design.fastening.diameter.metres() / 2.0 } else { 0.0 };
        let edge = if conditions.has(Condition::MemberEdge) { self.design.limits.edge_distance.metres() } else { 0.0 };
        let margin = radius.max(edge);
        let top = self.top(landing);
        let (short, long) = lean.lengths();
        let mut kept = Vec::new();
        for stretch in stretches(bodies) {
            // The upper faces of two stretches lie in one plane: either says where the member begins.
            let levels = stretch.bodies.first().and_then(|b| upper_and_lower(&b.levels));
            let Some((upper, lower)) = levels else { continue };
            let Some((first, entered)) = entry(&upper, lean, top) else { continue };
            let last = entered.plus(asked / short);
            let mut planes = Vec::new();
            stretch.bounds(margin, |p, margin| {
                let margin = margin * across(p, lean);
                planes.push(behind(p, margin, first, lean, top));
                planes.push(behind(p, margin, last, lean, top));
            });
            if backed {
                // Long enough to reach so deep, and the member deep enough.
                let above = entered.times(long);
                planes.push(HalfPlane { a: above.a, c: length - asked + SAME - above.c });
                planes.push(behind(&lower, -SAME, last, lean, top));
            }
            kept.extend(rings.iter().map(|r| cut(r.clone(), &planes)).filter(|r| !r.is_empty()));
        }
        kept
    }

    /// The bodies near some rings that can back, member by member, with their faces told apart.
    fn members_near(&self, rings: &[Ring], lean: Lean) -> Vec<((MemberId, Component), Vec<Faces>)> {
        let reach = self.design.fastening.length.metres() * (hypot(lean.at[0], lean.at[1]) + lean.spread) + NEAR;
        by_part(self.under, rings, reach)
            .into_iter()
            .filter(|((_, component), _)| matches!(component, Component::Whole | Component::TopFlange))
            .map(|(tag, entries)| {
                let kind = |body: &Body, p: &Plane| match Face::of(body, p) {
                    None => Bound::Level,
                    Some(Face::Square) => Bound::End,
                    Some(Face::Side | Face::Cut) => Bound::Margin,
                };
                (tag, entries.iter().map(|e| Faces::of(&e.body, |p| kind(&e.body, p))).collect())
            })
            .collect()
    }

    fn in_tapes(&self, landing: &Landing, rings: &[Ring], lean: Lean) -> Vec<Ring> {
        let margin = self.design.limits.tape_margin.metres() + self.design.fastening.diameter.metres() / 2.0;
        let top = self.top(landing);
        let mut kept = Vec::new();
        for (_, entries) in by_part(self.tapes, rings, NEAR) {
            let kind = |p: &Plane| match p.normal {
                n if n.z.abs() > LEVEL => Bound::Level,
                n if n.y.abs() > LEVEL => Bound::End,
                _ => Bound::Margin,
            };
            let bodies: Vec<Faces> = entries.iter().map(|e| Faces::of(&e.body, kind)).collect();
            let (high, low) =
                entries.iter().fold((f64::NEG_INFINITY, f64::INFINITY), |(h, l), e| (e.high.z.max(h), e.low.z.min(l)));
            for stretch in stretches(&bodies) {
                let mut planes = Vec::new();
                stretch.bounds(margin, |p, margin| {
                    let margin = margin * across(p, lean);
                    planes.push(behind(p, margin, Drop::level(top - high), lean, top));
                    planes.push(behind(p, margin, Drop::level(top - low), lean, top));
                });
                kept.extend(rings.iter().map(|r| cut(r.clone(), &planes)).filter(|r| !r.is_empty()));
            }
        }
        kept
    }

    fn straps_in_the_way(&self, landing: &Landing, lean: Lean, holes: &mut Vec<Ring>) {
        if self.straps.entries.is_empty() {
            return;
        }
        let (radius, length) = (self.design.fastening.diameter.metres() / 2.0, self.design.fastening.length.metres());
        let top = self.top(landing);
        let half = self.design.lattice.batten.width.metres();
        let (x, y) =
            ((landing.x - 2.0 * REACH, landing.x + 2.0 * REACH), (landing.y - half - REACH, landing.y + half + REACH));
        let mut seen: Vec<u32> = Vec::new();
        self.straps.near(x, y, |entry| {
            if seen.contains(&entry.tag) {
                return;
            }
            seen.push(entry.tag);
            let depths = (top - entry.high.z, (top - entry.low.z).min(length));
            holes.push(swept((entry.low.x, entry.high.x), (entry.low.y, entry.high.y), radius, depths, lean));
            let strap = self.structure.straps.get(entry.tag as usize);
            for nail in strap.iter().flat_map(|s| &s.nails) {
                if nail.y > y.0 && nail.y < y.1 && nail.x > x.0 && nail.x < x.1 {
                    let depths = (top - nail.z, (top - nail.z + nail.length).min(length));
                    holes.push(swept((nail.x, nail.x), (nail.y, nail.y), radius + nail.radius, depths, lean));
                }
            }
        });
    }

    /// The stretch of an axis' offsets from a fastener's place, along a direction, over which it is backed, member by
    /// member: driven square, from the place itself. Metres.
    pub fn backed_along(&self, landing: &Landing, at: [f64; 2], direction: [f64; 2]) -> Vec<(MemberId, (f64, f64))> {
        let half = REACH;
        let ring = rectangle((at[0] - half, at[0] + half), (at[1] - half, at[1] + half));
        let rings = [ring];
        let only = Conditions::NONE.with(Condition::Backed);
        let mut all: Vec<(MemberId, (f64, f64))> = Vec::new();
        for ((member, _), bodies) in self.members_near(&rings, Lean::SQUARE) {
            let rings = self.in_member(landing, &rings, &bodies, only, Lean::SQUARE);
            for (low, high) in rings.iter().filter_map(|r| chord(r, at, direction)) {
                match all.iter_mut().find(|(m, s)| *m == member && low <= s.1 + SAME && high >= s.0 - SAME) {
                    Some((_, s)) => *s = (s.0.min(low), s.1.max(high)),
                    None => all.push((member, (low, high))),
                }
            }
        }
        all
    }
}

/// A face whose normal has no less than this along an axis stands square to it.
const LEVEL: f64 = 1.0 - 1e-9;

/// How far past a board bodies still bound a window, metres: more than any edge distance.
const NEAR: f64 = 0.05;

/// The places of the head from which a shank stays behind a face by a margin at a depth.
fn behind(face: &Plane, margin: f64, drop: Drop, lean: Lean, top: f64) -> HalfPlane {
    let n = face.normal;
    // The axis is at (head + lean * depth, top - depth); the hand may add its error in the direction of the face.
    let slide = n.x * lean.at[0] + n.y * lean.at[1] + hypot(n.x, n.y) * lean.spread - n.z;
    HalfPlane {
        a: [n.x + slide * drop.a[0], n.y + slide * drop.a[1]],
        c: face.offset - margin - n.z * top - slide * drop.c,
    }
}

/// How far a shank's flat-ended rod reaches in the direction of a face's normal, for each unit of its radius: at the most,
/// whatever the hand adds to the lean.
fn across(face: &Plane, lean: Lean) -> f64 {
    let axis = Vector3::new(lean.at[0], lean.at[1], -1.0).normalize();
    (face.normal.cross(&axis).norm() + lean.spread).min(1.0)
}

/// Upper face and underside of a body among its level faces.
fn upper_and_lower(levels: &[Plane]) -> Option<(Plane, Plane)> {
    let upper = levels.iter().find(|p| p.normal.z > 0.0)?;
    let lower = levels.iter().find(|p| p.normal.z < 0.0)?;
    Some((*upper, *lower))
}

/// Least and greatest depth at which a shank enters a member through its upper face; `None` where that is too steep.
fn entry(upper: &Plane, lean: Lean, top: f64) -> Option<(Drop, Drop)> {
    let n = upper.normal;
    let above = Drop { a: [n.x, n.y], c: n.z * top - upper.offset };
    let closing = n.z - n.x * lean.at[0] - n.y * lean.at[1];
    let error = hypot(n.x, n.y) * lean.spread;
    (closing - error > STEEP).then(|| (above.times(1.0 / (closing + error)), above.times(1.0 / (closing - error))))
}

/// The least closing speed of a shank and an upper face that still counts as entering through it.
const STEEP: f64 = 0.1;

/// Bodies near some rings, part by part, each body once.
fn by_part<'i, T: Copy + PartialEq>(
    index: &'i BodyIndex<T>,
    rings: &[Ring],
    reach: f64,
) -> Vec<(T, Vec<&'i Entry<T>>)> {
    let mut corners = rings.iter().flatten();
    let Some(first) = corners.next() else { return Vec::new() };
    let (low, high) = corners
        .fold((*first, *first), |(l, h), p| ([l[0].min(p[0]), l[1].min(p[1])], [h[0].max(p[0]), h[1].max(p[1])]));
    let mut parts: Vec<(T, Vec<&Entry<T>>)> = Vec::new();
    index.near((low[0] - reach, high[0] + reach), (low[1] - reach, high[1] + reach), |entry| {
        match parts.iter_mut().find(|(tag, _)| *tag == entry.tag) {
            Some((_, all)) => {
                if !all.iter().any(|e| std::ptr::eq(*e, entry)) {
                    all.push(entry);
                }
            }
            None => parts.push((entry.tag, vec![entry])),
        }
    });
    parts
}

/// The places of the head from which a leaning shank comes nearer than `radius` to a rectangle between two depths.
fn swept(x: (f64, f64), y: (f64, f64), radius: f64, depths: (f64, f64), lean: Lean) -> Ring {
    let radius = radius + lean.spread * depths.1.max(0.0);
    let mut points = Vec::new();
    for depth in [depths.0, depths.1] {
        let (dx, dy) = (lean.at[0] * depth, lean.at[1] * depth);
        points.extend(around((x.0 - dx, x.1 - dx), (y.0 - dy, y.1 - dy), radius));
        if lean.at == [0.0, 0.0] {
            return points;
        }
    }
    convex_hull(points, 0.0)
}

/// The stretch of a line through a place that lies in a convex ring, as offsets from the place.
fn chord(ring: &Ring, at: [f64; 2], direction: [f64; 2]) -> Option<(f64, f64)> {
    let (mut low, mut high) = (f64::NEG_INFINITY, f64::INFINITY);
    for (p, q) in ring.iter().zip(ring.iter().cycle().skip(1)) {
        // Outward of a counter-clockwise ring.
        let n = [q[1] - p[1], p[0] - q[0]];
        let along = n[0] * direction[0] + n[1] * direction[1];
        let gap = n[0] * (p[0] - at[0]) + n[1] * (p[1] - at[1]);
        if along.abs() < 1e-15 {
            if gap < 0.0 {
                return None;
            }
        } else if along > 0.0 {
            high = high.min(gap / along);
        } else {
            low = low.max(gap / along);
        }
    }
    (low < high).then_some((low, high))
}

/// Greatest tilt that is offered, degrees, its step, and the number of directions.
const MOST_TILT: f64 = 20.0;
const TILT_STEP: f64 = 2.5;
const DIRECTIONS: u32 = 8;

/// Tilts that are tried, the smallest first: angle and direction in radians. The first is none.
fn tilts() -> Vec<(f64, f64)> {
    let mut all = vec![(0.0, 0.0)];
    let steps = (MOST_TILT / TILT_STEP).round() as u32;
    for step in 1..=steps {
        for k in 0..DIRECTIONS {
            let direction = std::f64::consts::TAU * f64::from(k) / f64::from(DIRECTIONS);
            all.push(((f64::from(step) * TILT_STEP).to_radians(), direction));
        }
    }
    all
}
