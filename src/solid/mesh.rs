//! Triangle meshes: what a file format needs of a solid.

use std::collections::BTreeMap;

use super::{Point3, Pose, Vector3};

/// A closed triangle mesh; triangles are counter-clockwise seen from outside. Metres.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Mesh {
    /// Corner positions, metres.
    pub positions: Vec<Point3>,
    /// Three indices into `positions` per triangle.
    pub triangles: Vec<[u32; 3]>,
}

impl Mesh {
    /// Adds another mesh as a shell of its own.
    pub fn append(&mut self, other: &Mesh) {
        let base = self.positions.len() as u32;
        self.positions.extend_from_slice(&other.positions);
        self.triangles.extend(other.triangles.iter().map(|t| t.map(|i| i + base)));
    }

    /// Adds a planar convex polygon, given by indices, as a fan.
    pub(super) fn fan(&mut self, polygon: &[u32]) {
        for k in 1..polygon.len().saturating_sub(1) {
            self.triangles.push([polygon[0], polygon[k], polygon[k + 1]]);
        }
    }

    /// The mesh moved by a rigid transform.
    pub fn moved(&self, pose: &Pose) -> Mesh {
        Mesh { positions: self.positions.iter().map(|p| pose * p).collect(), triangles: self.triangles.clone() }
    }

    /// The corners of one triangle, or `None` where an index points nowhere.
    pub fn corners(&self, triangle: [u32; 3]) -> Option<[Point3; 3]> {
        let at = |i: u32| self.positions.get(i as usize).copied();
        Some([at(triangle[0])?, at(triangle[1])?, at(triangle[2])?])
    }

    /// Enclosed volume in cubic metres, by the divergence theorem about the first corner.
    pub fn volume(&self) -> f64 {
        let Some(origin) = self.positions.first() else { return 0.0 };
        self.triangles
            .iter()
            .filter_map(|t| self.corners(*t))
            .map(|[a, b, c]| (a - origin).dot(&(b - origin).cross(&(c - origin))) / 6.0)
            .sum()
    }

    /// Surface area in square metres.
    pub fn area(&self) -> f64 {
        self.triangles
            .iter()
            .filter_map(|t| self.corners(*t))
            .map(|[a, b, c]| (b - a).cross(&(c - a)).norm() / 2.0)
            .sum()
    }

    /// Lowest and highest coordinate in each direction; `None` for an empty mesh.
    pub fn bounds(&self) -> Option<(Point3, Point3)> {
        let first = *self.positions.first()?;
        Some(self.positions.iter().fold((first, first), |(lo, hi), p| (lo.inf(p), hi.sup(p))))
    }

    /// Whether every edge is used once in each direction, corners being told apart by position, bit for bit.
    pub fn is_closed(&self) -> bool {
        let mut edges: BTreeMap<([u64; 3], [u64; 3]), i32> = BTreeMap::new();
        let key = |p: &Point3| [p.x + 0.0, p.y + 0.0, p.z + 0.0].map(f64::to_bits);
        for t in &self.triangles {
            let Some(corners) = self.corners(*t) else { return false };
            for k in 0..3 {
                let (a, b) = (key(&corners[k]), key(&corners[(k + 1) % 3]));
                if a == b {
                    return false;
                }
                *edges.entry((a, b)).or_default() += 1;
                *edges.entry((b, a)).or_default() -= 1;
            }
        }
        !self.triangles.is_empty() && edges.values().all(|n| *n == 0)
    }
}

/// The unit normal of a triangle, or zero for one without area.
pub fn unit_normal(corners: [Point3; 3]) -> Vector3 {
    let [a, b, c] = corners;
    (b - a).cross(&(c - a)).try_normalize(0.0).unwrap_or_else(Vector3::zeros)
}
