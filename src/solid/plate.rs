//! Thin plates: a polygon with holes between two levels.

use super::{Body, Mesh, Plane, Point2, Point3, Polyhedron, Pose, Unbuilt, Vector3};

/// A plate between two levels. The outline may differ from level to level (an edge cut plumb), corner for corner.
#[derive(Clone, Debug, PartialEq)]
pub struct Plate {
    /// Outline at the upper level, counter-clockwise, then the holes, each clockwise. Metres.
    pub top: Vec<Vec<Point2>>,
    /// The same rings, corner for corner, at the lower level.
    pub bottom: Vec<Vec<Point2>>,
    /// Upper level, metres.
    pub z_top: f64,
    /// Lower level, metres.
    pub z_bottom: f64,
}

impl Plate {
    /// A plate with square sides.
    pub fn square(outline: Vec<Point2>, holes: Vec<Vec<Point2>>, z_bottom: f64, z_top: f64) -> Plate {
        let rings: Vec<_> = std::iter::once(outline).chain(holes).collect();
        Plate { top: rings.clone(), bottom: rings, z_top, z_bottom }
    }

    fn triangles(&self) -> Vec<[u32; 3]> {
        let flat: Vec<f64> = self.top.iter().flatten().flat_map(|p| [p.x, p.y]).collect();
        let mut at = 0;
        let mut starts = Vec::new();
        for ring in &self.top {
            starts.push(at);
            at += ring.len();
        }
        triangulated(&flat, starts.get(1..).unwrap_or_default())
    }

    fn corners(rings: &[Vec<Point2>], z: f64) -> Vec<Point3> {
        rings.iter().flatten().map(|p| Point3::new(p.x, p.y, z)).collect()
    }

    /// The closed mesh.
    pub fn mesh(&self) -> Mesh {
        let mut mesh = Mesh { positions: Self::corners(&self.top, self.z_top), triangles: self.triangles() };
        let n = mesh.positions.len() as u32;
        mesh.positions.extend(Self::corners(&self.bottom, self.z_bottom));
        for k in 0..mesh.triangles.len() {
            let [a, b, c] = mesh.triangles[k];
            mesh.triangles.push([a + n, c + n, b + n]);
        }
        let mut start = 0;
        for ring in &self.top {
            let m = ring.len() as u32;
            for i in 0..m {
                let (a, b) = (start + i, start + (i + 1) % m);
                mesh.fan(&[b, a, a + n, b + n]);
            }
            start += m;
        }
        mesh
    }

    /// Convex bodies that together fill the plate. Of a convex outline they are exact: the whole, cut along the sides of
    /// each hole's bounding rectangle. Of another they are a prism for each triangle, true to the lean of cut edges.
    ///
    /// # Errors
    /// [`Unbuilt`] when one of them could not be built.
    pub fn bodies(&self) -> Result<Vec<Body>, Unbuilt> {
        let ring = |rings: &[Vec<Point2>], z: f64| -> Vec<Point3> {
            rings.first().into_iter().flatten().map(|p| Point3::new(p.x, p.y, z)).collect()
        };
        let (top, bottom) = (ring(&self.top, self.z_top), ring(&self.bottom, self.z_bottom));
        if !convex(&top) || !convex(&bottom) {
            return self.prisms();
        }
        let whole = Body::polyhedron(Pose::identity(), Polyhedron::between(&bottom, &top))?;
        let mut bodies: Vec<Body> = whole.into_iter().collect();
        let mut holes: Vec<(Point2, Point2)> = self
            .top
            .iter()
            .skip(1)
            .filter_map(|ring| {
                let first = ring.first()?;
                Some(ring.iter().fold((*first, *first), |(a, b), p| (a.inf(p), b.sup(p))))
            })
            .collect();
        // From left to right: what lies left of a hole is met by none of those that follow.
        holes.sort_by(|a, b| a.0.x.total_cmp(&b.0.x));
        let mut done = Vec::new();
        for (low, high) in holes {
            let keep = |axis: usize, at: f64, sign: f64| {
                let mut normal = Vector3::zeros();
                normal[axis] = sign;
                Plane { normal, offset: sign * at }
            };
            let between = [keep(0, low.x, -1.0), keep(0, high.x, 1.0)];
            let parts: [&[Plane]; 4] = [
                &[keep(0, low.x, 1.0)],
                &[keep(0, high.x, -1.0)],
                &[between[0], between[1], keep(1, low.y, 1.0)],
                &[between[0], between[1], keep(1, high.y, -1.0)],
            ];
            let mut cut = Vec::new();
            for body in bodies {
                let (from, to) = body.bounds();
                if to.x <= low.x {
                    done.push(body);
                } else if from.x >= high.x || to.y <= low.y || from.y >= high.y {
                    cut.push(body);
                } else {
                    for part in parts {
                        cut.extend(body.clipped(part)?);
                    }
                }
            }
            bodies = cut;
        }
        done.extend(bodies);
        Ok(done)
    }

    fn prisms(&self) -> Result<Vec<Body>, Unbuilt> {
        let (top, bottom) = (Self::corners(&self.top, self.z_top), Self::corners(&self.bottom, self.z_bottom));
        self.triangles()
            .into_iter()
            .filter_map(|t| {
                let pick =
                    |from: &[Point3]| t.iter().filter_map(|i| from.get(*i as usize).copied()).collect::<Vec<_>>();
                Body::polyhedron(Pose::identity(), Polyhedron::between(&pick(&bottom), &pick(&top))).transpose()
            })
            .collect()
    }
}

/// Whether a ring bends one way only.
fn convex(ring: &[Point3]) -> bool {
    let n = ring.len();
    (0..n).all(|i| {
        let (u, v) = (ring[(i + 1) % n] - ring[i], ring[(i + 2) % n] - ring[(i + 1) % n]);
        u.x * v.y - u.y * v.x > 0.0
    })
}

/// Counter-clockwise triangles of a polygon with holes (coordinates flat, starts of the holes by corner number).
pub(super) fn triangulated(flat: &[f64], holes: &[usize]) -> Vec<[u32; 3]> {
    let indices = earcutr::earcut(flat, holes, 2).unwrap_or_default();
    indices
        .chunks_exact(3)
        .map(|t| {
            let p = |i: usize| Point2::new(flat[2 * t[i]], flat[2 * t[i] + 1]);
            let (u, v) = (p(1) - p(0), p(2) - p(0));
            let turn = u.x * v.y - u.y * v.x;
            let (b, c) = if turn >= 0.0 { (t[1], t[2]) } else { (t[2], t[1]) };
            [t[0] as u32, b as u32, c as u32]
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_plate_with_a_hole_is_closed_and_has_its_volume() {
        let ring = |pts: &[(f64, f64)]| pts.iter().map(|(x, y)| Point2::new(*x, *y)).collect::<Vec<_>>();
        let plate = Plate::square(
            ring(&[(0.0, 0.0), (4.0, 0.0), (4.0, 3.0), (0.0, 3.0)]),
            vec![ring(&[(1.0, 1.0), (1.0, 2.0), (2.0, 2.0), (2.0, 1.0)])],
            -0.1,
            0.0,
        );
        let mesh = plate.mesh();
        assert!(mesh.is_closed());
        assert!((mesh.volume() - 1.1).abs() < 1e-12, "{}", mesh.volume());
        let sum: f64 = plate.bodies().expect("built").iter().map(Body::volume).sum();
        assert!((sum - 1.1).abs() < 1e-12);
    }
}
