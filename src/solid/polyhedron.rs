//! Convex polyhedra with planar faces, and cutting them by planes.

use super::{Mesh, Point3, Vector3, tolerance::SAME};
use crate::quantity::maths::atan2;

/// A half-space: the points `p` with `normal . p <= offset` are kept. `normal` is a unit vector pointing out.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Plane {
    /// Outward unit normal.
    pub normal: Vector3,
    /// Distance of the plane from the origin along `normal`, metres.
    pub offset: f64,
}

impl Plane {
    /// The half-space bounded by the plane through `point` with the given outward direction (any length but zero).
    pub fn through(point: Point3, outward: Vector3) -> Plane {
        let normal = outward.try_normalize(0.0).unwrap_or_else(Vector3::z);
        Plane { normal, offset: normal.dot(&point.coords) }
    }

    /// The same half-space in the frame that `pose` leads from.
    pub fn seen_from(&self, pose: &super::Pose) -> Plane {
        let normal = pose.inverse_transform_vector(&self.normal);
        Plane { normal, offset: self.offset - self.normal.dot(&pose.translation.vector) }
    }

    /// Signed distance of a point: negative inside, positive outside, metres.
    pub fn distance(&self, p: &Point3) -> f64 {
        self.normal.dot(&p.coords) - self.offset
    }
}

/// A solid that could not be built from what it was given: its faces do not close, it is inside out, or a number is none.
/// Not to be taken for one of which nothing is left.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Unbuilt;

/// A bounded convex solid: corners, and faces listed counter-clockwise seen from outside.
#[derive(Clone, Debug, PartialEq)]
pub struct Polyhedron {
    vertices: Vec<Point3>,
    faces: Vec<Vec<u32>>,
}

/// Half the tolerance for putting a corner on a cutting plane: well below [`SAME`], well above rounding.
const ON_PLANE: f64 = SAME * 1e-3;

impl Polyhedron {
    /// A box centred on the origin with the given half sizes, metres.
    pub fn cuboid(half: Vector3) -> Polyhedron {
        let vertices = (0..8)
            .map(|i| {
                let sign = |bit: u32| if i >> bit & 1 == 1 { 1.0 } else { -1.0 };
                Point3::new(sign(0) * half.x, sign(1) * half.y, sign(2) * half.z)
            })
            .collect();
        let faces = [[0, 4, 6, 2], [1, 3, 7, 5], [0, 1, 5, 4], [2, 6, 7, 3], [0, 2, 3, 1], [4, 5, 7, 6]];
        Polyhedron { vertices, faces: faces.iter().map(|f| f.to_vec()).collect() }
    }

    /// A solid between two rings of equally many corners, both counter-clockwise seen from the end of the second ring
    /// (looking back along the sweep). The caller answers for its being convex.
    pub fn between(first: &[Point3], second: &[Point3]) -> Polyhedron {
        let n = first.len().min(second.len()) as u32;
        let vertices: Vec<Point3> =
            first.iter().take(n as usize).chain(second.iter().take(n as usize)).copied().collect();
        let mut faces: Vec<Vec<u32>> = vec![(0..n).rev().collect(), (n..2 * n).collect()];
        faces.extend((0..n).map(|i| vec![i, (i + 1) % n, n + (i + 1) % n, n + i]));
        Polyhedron { vertices, faces }
    }

    /// The corners.
    pub fn vertices(&self) -> &[Point3] {
        &self.vertices
    }

    /// The faces: corners by number, counter-clockwise seen from outside.
    pub fn faces(&self) -> &[Vec<u32>] {
        &self.faces
    }

    /// The planes of the faces, in the order of the faces.
    pub fn planes(&self) -> Vec<Plane> {
        self.faces
            .iter()
            .map(|f| {
                // Newell's sum: right for any planar polygon, and steady where corners are nearly in line.
                let p = |i: usize| self.vertices[f[i % f.len()] as usize];
                let normal = (0..f.len()).fold(Vector3::zeros(), |n, i| n + (p(i) - p(0)).cross(&(p(i + 1) - p(0))));
                Plane::through(p(0), normal)
            })
            .collect()
    }

    /// What is left inside a half-space; `None` when nothing thicker than [`SAME`] is left.
    ///
    /// # Errors
    /// [`Unbuilt`] when something is left whose faces do not close.
    pub fn clipped(&self, plane: &Plane) -> Result<Option<Polyhedron>, Unbuilt> {
        let side: Vec<f64> = self
            .vertices
            .iter()
            .map(|v| plane.distance(v))
            .map(|d| if d.abs() <= ON_PLANE { 0.0 } else { d })
            .collect();
        if side.iter().any(|d| !d.is_finite()) {
            return Err(Unbuilt);
        }
        if side.iter().all(|d| *d <= 0.0) {
            return Ok(Some(self.clone()));
        }
        if side.iter().all(|d| *d > -SAME) {
            return Ok(None);
        }
        let mut vertices: Vec<Point3> = Vec::new();
        let mut index = |p: Point3| -> u32 {
            let found = vertices.iter().position(|q| (q - p).amax() <= ON_PLANE);
            found.unwrap_or_else(|| {
                vertices.push(p);
                vertices.len() - 1
            }) as u32
        };
        let mut faces = Vec::new();
        let mut cap: Vec<u32> = Vec::new();
        for f in &self.faces {
            let mut face: Vec<u32> = Vec::new();
            for k in 0..f.len() {
                let (i, j) = (f[k] as usize, f[(k + 1) % f.len()] as usize);
                let (a, b) = (self.vertices[i], self.vertices[j]);
                if side[i] <= 0.0 {
                    let at = index(a);
                    face.push(at);
                    if side[i] == 0.0 && !cap.contains(&at) {
                        cap.push(at);
                    }
                }
                if side[i] * side[j] < 0.0 {
                    // Always from the inner to the outer end, so that both faces of an edge get the same corner.
                    let (p, q, dp, dq) =
                        if side[i] < 0.0 { (a, b, side[i], side[j]) } else { (b, a, side[j], side[i]) };
                    let at = index(p + (q - p) * (dp / (dp - dq)));
                    face.push(at);
                    if !cap.contains(&at) {
                        cap.push(at);
                    }
                }
            }
            face.dedup();
            if face.len() > 1 && face.first() == face.last() {
                face.pop();
            }
            let lies_in_plane = face.iter().all(|i| cap.contains(i));
            if face.len() >= 3 && !lies_in_plane {
                faces.push(face);
            }
        }
        let centre =
            cap.iter().fold(Vector3::zeros(), |s, i| s + vertices[*i as usize].coords) / cap.len().max(1) as f64;
        let u = any_perpendicular(&plane.normal);
        let v = plane.normal.cross(&u);
        let angle = |i: u32| {
            let d = vertices[i as usize].coords - centre;
            atan2(d.dot(&v), d.dot(&u))
        };
        cap.sort_by(|a, b| angle(*a).total_cmp(&angle(*b)));
        if cap.len() >= 3 {
            faces.push(cap);
        }
        let left = Polyhedron { vertices, faces };
        if left.is_closed() { Ok(Some(left)) } else { Err(Unbuilt) }
    }

    /// Whether each edge of a face is that of one other, which runs along it the other way.
    fn is_closed(&self) -> bool {
        let mut edges: Vec<(u32, u32)> = self.rings().collect();
        edges.sort_unstable();
        self.faces.len() >= 4
            && edges.is_sorted_by(|a, b| a < b)
            && edges.iter().all(|(a, b)| edges.binary_search(&(*b, *a)).is_ok())
    }

    /// Whether it is a solid with an inside, each face looking out: `None` when it is nowhere thicker than [`SAME`].
    ///
    /// # Errors
    /// [`Unbuilt`] when it is neither.
    pub(super) fn solid(self) -> Result<Option<Polyhedron>, Unbuilt> {
        if self.vertices.iter().flat_map(|v| v.iter()).any(|c| !c.is_finite()) || !self.is_closed() {
            return Err(Unbuilt);
        }
        // Across the face at which it is thinnest.
        let across = |plane: &Plane| self.vertices.iter().map(|v| plane.distance(v).abs()).fold(0.0, f64::max);
        if self.planes().iter().map(across).fold(f64::INFINITY, f64::min) <= SAME {
            return Ok(None);
        }
        if self.volume() > 0.0 { Ok(Some(self)) } else { Err(Unbuilt) }
    }

    /// The edges as directions of any length, each once for each of its two faces.
    pub(super) fn edges(&self) -> impl Iterator<Item = Vector3> {
        let at = |i: u32| self.vertices.get(i as usize).map_or_else(Vector3::zeros, |p| p.coords);
        self.rings().map(move |(a, b)| at(b) - at(a))
    }

    /// Each face's edges, from corner to corner.
    fn rings(&self) -> impl Iterator<Item = (u32, u32)> {
        self.faces.iter().flat_map(|f| f.iter().copied().zip(f.iter().skip(1).chain(f.first()).copied()))
    }

    /// The closed mesh of the surface.
    pub fn mesh(&self) -> Mesh {
        let mut mesh = Mesh { positions: self.vertices.clone(), triangles: Vec::new() };
        for f in &self.faces {
            mesh.fan(f);
        }
        mesh
    }

    /// Enclosed volume, cubic metres.
    pub fn volume(&self) -> f64 {
        self.mesh().volume()
    }
}

/// Some unit vector at a right angle to a unit vector.
fn any_perpendicular(n: &Vector3) -> Vector3 {
    let other = if n.x.abs() < 0.6 { Vector3::x() } else { Vector3::y() };
    n.cross(&other).normalize()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_box_cut_in_half_keeps_half_its_volume_and_stays_closed() {
        let cube = Polyhedron::cuboid(Vector3::new(1.0, 2.0, 3.0));
        assert!((cube.volume() - 48.0).abs() < 1e-12);
        let slanted = Plane::through(Point3::origin(), Vector3::new(1.0, 1.0, 0.3));
        let half = cube.clipped(&slanted).expect("built").expect("half a box");
        assert!((half.volume() - 24.0).abs() < 1e-9, "{}", half.volume());
        assert!(half.mesh().is_closed());
        let quarter = half.clipped(&Plane::through(Point3::origin(), Vector3::z())).expect("built").expect("a quarter");
        assert!(quarter.mesh().is_closed());
        assert!(quarter.volume() < 24.0 && quarter.volume() > 0.0);
    }

    #[test]
    fn a_plane_that_only_touches_changes_nothing_and_one_beyond_leaves_nothing() {
        let cube = Polyhedron::cuboid(Vector3::new(1.0, 1.0, 1.0));
        let touching = Plane::through(Point3::new(1.0, 0.0, 0.0), Vector3::x());
        assert_eq!(cube.clipped(&touching), Ok(Some(cube.clone())));
        let away = Plane::through(Point3::new(-1.0, 0.0, 0.0), Vector3::x());
        assert_eq!(cube.clipped(&away), Ok(None));
    }

    #[test]
    fn planes_face_outward() {
        for plane in Polyhedron::cuboid(Vector3::new(0.5, 1.0, 2.0)).planes() {
            assert!(plane.distance(&Point3::origin()) < 0.0);
        }
        let ring = |z| vec![Point3::new(0.0, 0.0, z), Point3::new(1.0, 0.0, z), Point3::new(0.0, 1.0, z)];
        let wedge = Polyhedron::between(&ring(0.0), &ring(2.0));
        assert!((wedge.volume() - 1.0).abs() < 1e-12);
        assert!(wedge.mesh().is_closed());
    }
}
