//! Ridge boards and hip rafters that follow the edges which slopes share.

use crate::design::{Design, EdgeKind, MemberKind, Section};
use crate::solid::{Plane, Point3, Sweep, Vector3, turn};

use super::SlopeFrame;

/// Ends nearer than this meet: twice the tolerance on shared edges, metres.
const MEETS: f64 = 2e-3;

/// A member along an edge: its line in the world, from its low to its high end, and the planes that cut each end; an end
/// without planes is square.
pub struct EdgeMember {
    pub kind: MemberKind,
    pub section: Section,
    pub from: Point3,
    pub to: Point3,
    pub low_planes: Vec<Plane>,
    pub high_planes: Vec<Plane>,
}

/// All members that follow edges, in the order of slopes and edges.
pub fn edge_members(design: &Design, slopes: &[SlopeFrame], framing_level: f64) -> Vec<EdgeMember> {
    let mut all: Vec<EdgeMember> = Vec::new();
    let mut ends: Vec<(Point3, Point3)> = Vec::new();
    for (i, slope) in design.slopes.iter().enumerate() {
        for (j, edge) in slope.edges.iter().enumerate() {
            let (Some((kind, section)), Some((other, _))) = (edge.member, edge.shared_with) else { continue };
            let (Some(frame), Some(neighbour)) = (slopes.get(i), slopes.get(other.0)) else { continue };
            let Some((a, b)) = frame.outline.ends(j) else { continue };
            let (a, b) = (frame.pose * Point3::new(a.0, a.1, 0.0), frame.pose * Point3::new(b.0, b.1, 0.0));
            // From the low end to the high end, so that equal roofs give equal members.
            let (low, high) = if a.z <= b.z { (a, b) } else { (b, a) };
            let Some(along) = (high - low).try_normalize(1e-9) else { continue };
            let Some(side) = along.cross(&Vector3::z()).try_normalize(1e-9) else { continue };
            // Lowered until both upper corners lie in or under the framing planes of both slopes.
            let half = section.width().metres() / 2.0;
            let mut drop = 0.0_f64;
            for plane in [frame, neighbour] {
                let normal = plane.pose * Vector3::z();
                for s in [half, -half] {
                    drop = drop.max((normal.dot(&(side * s)) - framing_level) / normal.z);
                }
            }
            let down = Vector3::z() * drop;
            // A hip ends plumb over the eaves of its two slopes, where it reaches them.
            let mut low_planes = Vec::new();
            for frame in [frame, neighbour] {
                for e in frame.outline.edges_of(&[EdgeKind::Eave]) {
                    let Some((p, q)) = frame.outline.ends(e) else { continue };
                    let touches = [p, q].iter().any(|c| (frame.pose * Point3::new(c.0, c.1, 0.0) - low).norm() < MEETS);
                    if let Some(p) = frame.outline.cut_plane(e, 0.0).filter(|_| touches) {
                        let normal = frame.pose * p.normal;
                        low_planes
                            .push(Plane { normal, offset: p.offset + normal.dot(&frame.pose.translation.vector) });
                    }
                }
            }
            ends.push((low, high));
            all.push(EdgeMember {
                kind,
                section,
                from: low - down,
                to: high - down,
                low_planes,
                high_planes: Vec::new(),
            });
        }
    }
    mitre(&mut all, &ends);
    all
}

/// Members that meet at an end are parted by the vertical plane that halves the angle between them.
fn mitre(all: &mut [EdgeMember], ends: &[(Point3, Point3)]) {
    let flat = |v: Vector3| Vector3::new(v.x, v.y, 0.0).try_normalize(1e-9);
    for i in 0..all.len() {
        for j in 0..ends.len() {
            if i == j {
                continue;
            }
            for (at_low, here, there) in [(true, ends[i].0, ends[i].1), (false, ends[i].1, ends[i].0)] {
                for (other_here, other_there) in [(ends[j].0, ends[j].1), (ends[j].1, ends[j].0)] {
                    if (here - other_here).norm() > MEETS {
                        continue;
                    }
                    let (Some(mine), Some(theirs)) = (flat(there - here), flat(other_there - other_here)) else {
                        continue;
                    };
                    // Points toward the other member and is at a right angle to the halving line.
                    if let Some(outward) = (theirs - mine).try_normalize(1e-6) {
                        let planes = if at_low { &mut all[i].low_planes } else { &mut all[i].high_planes };
                        planes.push(Plane::through(here, outward));
                    }
                }
            }
        }
    }
}

/// How far a sweep must reach past an end so that every plane cuts it whole.
pub fn reach(section: &Section) -> f64 {
    2.0 * (section.depth().metres() + section.width().metres()) + 0.5
}

/// The pose of a member in the world, its upper face facing up as far as its line lets it.
pub fn world_pose(from: &Point3, to: &Point3, roll: f64) -> Option<(crate::solid::Pose, f64)> {
    let d = to - from;
    let length = d.norm();
    let along = d.try_normalize(1e-9)?;
    let up = if along.z.abs() > 0.999 { Vector3::y() } else { Vector3::z() };
    let pose = Sweep::pose(from, &along, &up)?;
    let rolled = turn(Vector3::y_axis(), roll);
    Some((pose * rolled, length))
}
