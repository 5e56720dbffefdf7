//! The solids of the lattice's parts, in slope coordinates.

use super::{Levels, Piece, SlopeLattice, StripPiece, Tape, VentPiece};
use crate::design::{Design, FastenerKind, Fastening};
use crate::quantity::list::number;
use crate::quantity::maths::{cos, sin};
use crate::solid::{Body, BodyIndex, Mesh, Plane, Point3, Pose, Profile, Sweep, Unbuilt};
use crate::structure::{Outline, Strap};

use super::End;

/// Sides of a strap nail's polygon.
const NAIL_SIDES: usize = 6;

fn swept(path: &[(f64, f64)], width: f64, bottom: f64, top: f64) -> (Sweep, Pose) {
    // Placed at its lower end, so that equal pieces of one line share a mesh.
    let (y0, x0) = path.first().copied().unwrap_or_default();
    let stations = path.iter().map(|(y, x)| (y - y0, x - x0)).collect();
    (Sweep { profile: Profile::rectangle(width, top - bottom, 0.0), stations }, Pose::translation(x0, y0, top))
}

impl Tape {
    /// The tape's sweep and pose; [`Tape::cuts`] cut it.
    pub fn sweep(&self, levels: &Levels) -> (Sweep, Pose) {
        swept(&self.path, self.width, 0.0, levels.tape)
    }
}

impl StripPiece {
    /// The strip's sweep and pose; [`StripPiece::cuts`] cut it.
    pub fn sweep(&self) -> (Sweep, Pose) {
        swept(&self.path, self.width, self.bottom, self.top)
    }
}

impl VentPiece {
    /// The vent piece as a box: it lies on the tape, as the strips do.
    pub fn body(&self, levels: &Levels) -> Body {
        let (bottom, top) = (levels.tape, levels.tape + self.height);
        Body::between(Point3::new(self.x.0, self.y.0, bottom), Point3::new(self.x.1, self.y.1, top))
    }
}

/// The tapes of a slope as bodies, by their number in [`SlopeLattice::tapes`]. One that could not be built has none; the
/// check of clashes names it.
pub fn tape_bodies(on: &SlopeLattice, levels: &Levels) -> BodyIndex<u32> {
    BodyIndex::build(on.tapes.iter().enumerate().flat_map(|(k, t)| {
        let (sweep, pose) = t.sweep(levels);
        let number = number(k);
        sweep.bodies(&pose, &t.cuts).unwrap_or_default().into_iter().map(move |(_, b)| (number, b))
    }))
}

/// The strips of a slope as bodies, by their number in [`SlopeLattice::strips`]; likewise.
pub fn strip_bodies(on: &SlopeLattice) -> BodyIndex<u32> {
    BodyIndex::build(on.strips.iter().enumerate().flat_map(|(k, s)| {
        let (sweep, pose) = s.sweep();
        let number = number(k);
        sweep.bodies(&pose, &s.cuts).unwrap_or_default().into_iter().map(move |(_, b)| (number, b))
    }))
}

/// A piece as a solid: a box, its slanted ends cut along their edges.
///
/// # Errors
/// [`Unbuilt`] when the ends could not be cut, or leave nothing.
pub fn batten_solid(design: &Design, outline: &Outline, levels: &Levels, piece: &Piece) -> Result<Body, Unbuilt> {
    let half = design.lattice.batten.width.metres() / 2.0;
    let (bottom, top) = (levels.strip + piece.lift, levels.batten + piece.lift);
    let mut planes: Vec<Plane> = Vec::new();
    let mut reach = |end: End| match end {
        End::Edge { edge, slanted: true } => {
            planes.extend(end.cut(outline));
            // Long enough that the cut takes the whole end.
            let lean = outline.outward(edge).map_or(0.0, |n| (n.1 / n.0.abs().max(0.05)).abs());
            half * lean + 4.0 * (top.abs() + 0.05) / 0.05_f64.max(1.0 / (1.0 + lean))
        }
        _ => 0.0,
    };
    let (left, right) = (reach(piece.ends.0), reach(piece.ends.1));
    let body = Body::between(
        Point3::new(piece.x.0 - left, piece.y - half, bottom),
        Point3::new(piece.x.1 + right, piece.y + half, top),
    );
    if planes.is_empty() { Ok(body) } else { body.clipped(&planes)?.ok_or(Unbuilt) }
}

/// A ring of a round section: a polygon inscribed in the circle.
fn ring(radius: f64, z: f64, at: (f64, f64), sides: usize) -> Vec<Point3> {
    (0..sides)
        .map(|k| {
            let a = (k as f64 + 0.5) * std::f64::consts::TAU / sides as f64;
            Point3::new(at.0 + radius * cos(a), at.1 + radius * sin(a), z)
        })
        .collect()
}

/// A closed round solid through rings from low to high: (radius, z).
pub(super) fn turned(rings: &[(f64, f64)], at: (f64, f64), sides: usize) -> Mesh {
    let n = sides as u32;
    let mut mesh = Mesh::default();
    for (radius, z) in rings {
        mesh.positions.extend(ring(*radius, *z, at, sides));
    }
    let last = rings.len().saturating_sub(1) as u32;
    for s in 0..last {
        for i in 0..n {
            let (a, b) = (s * n + i, s * n + (i + 1) % n);
            mesh.triangles.push([a, b, b + n]);
            mesh.triangles.push([a, b + n, a + n]);
        }
    }
    for i in 1..n - 1 {
        mesh.triangles.push([0, i + 1, i]);
        mesh.triangles.push([last * n, last * n + i, last * n + i + 1]);
    }
    mesh
}

/// Thickness of a fastener's head, metres: half its shank's diameter, `common practice, no source`; of lag screws 0.7 of it
/// (ASME B18.2.1: 11/64, 7/32 and 1/4 in of 1/4, 5/16 and 3/8 in).
pub fn head_thickness(fastening: &Fastening) -> f64 {
    fastening.diameter.metres() * if fastening.kind.value == FastenerKind::LagScrew { 0.7 } else { 0.5 }
}

/// The fasteners of a landing as one mesh: for each a shank and a head, one closed shell. The origin is the landing's
/// middle at the underside of the heads, z out of the slope; `offsets` are the axes. Round parts are polygons of so many
/// `sides`; with fewer than four the fastener is a plain prism without a head.
pub fn fastener_mesh(fastening: &Fastening, offsets: &[(f64, f64)], sides: usize) -> Mesh {
    let (shank, head) = (fastening.diameter.metres() / 2.0, fastening.head.metres() / 2.0);
    let length = fastening.length.metres();
    let mut mesh = Mesh::default();
    for at in offsets {
        let round = [(shank, -length), (shank, 0.0), (head, 0.0), (head, head_thickness(fastening))];
        let rings = if sides < 4 { &round[..2] } else { &round[..] };
        mesh.append(&turned(rings, *at, sides));
    }
    mesh
}

/// A hole through membrane and tape as a mesh: a plug of the given radius. The origin is its middle on the membrane's outer
/// face.
pub fn hole_mesh(radius: f64, depth: f64, height: f64, sides: usize) -> Mesh {
    turned(&[(radius, -depth), (radius, height)], (0.0, 0.0), sides.max(3))
}

/// A strap's steel and nails as one mesh, in slope coordinates about the strap's own middle, and that middle.
pub fn strap_mesh(strap: &Strap) -> (Mesh, Pose) {
    let mut mesh = strap.body.mesh();
    let middle = strap.body.pose.translation.vector;
    for nail in &strap.nails {
        // Cut off at the steel's lower face, so that nail and steel touch and do not overlap.
        let bottom = strap.top - strap.thickness() - middle.z;
        let tip = nail.z - nail.length - middle.z;
        let at = (nail.x - middle.x, nail.y - middle.y);
        mesh.append(&turned(&[(nail.radius, tip), (nail.radius, bottom)], at, NAIL_SIDES));
    }
    (mesh, strap.body.pose)
}
