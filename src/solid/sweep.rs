//! Solids that follow a bent line: one cross-section moved along it.

use std::collections::BTreeMap;

use super::{Body, Mesh, Plane, Point2, Point3, Polyhedron, Pose, Unbuilt, Vector3, pose_of};

/// A cross-section: its outline for the mesh, and the convex pieces that it is made of for queries.
///
/// Coordinates: x to the side, y up, metres; counter-clockwise. The y axis points to the upper face.
#[derive(Clone, Debug, PartialEq)]
pub struct Profile {
    /// The outline, counter-clockwise.
    pub outline: Vec<Point2>,
    /// Convex pieces, counter-clockwise, in the order in which the bodies of a sweep are listed.
    pub pieces: Vec<Vec<Point2>>,
}

impl Profile {
    /// A rectangle `width` wide whose upper face is at y = `top` and which is `depth` deep.
    pub fn rectangle(width: f64, depth: f64, top: f64) -> Profile {
        let w = width / 2.0;
        let ring = rectangle(-w, w, top - depth, top);
        Profile { outline: ring.clone(), pieces: vec![ring] }
    }

    /// An I: two flanges and a web between them, upper face at y = 0. Pieces: top flange, web, bottom flange.
    pub fn i_shape(width: f64, depth: f64, flange: f64, web: f64) -> Profile {
        let (w, b) = (width / 2.0, web / 2.0);
        let (t, u, d) = (-flange, flange - depth, -depth);
        let p = Point2::new;
        Profile {
            outline: vec![
                p(-w, d),
                p(w, d),
                p(w, u),
                p(b, u),
                p(b, t),
                p(w, t),
                p(w, 0.0),
                p(-w, 0.0),
                p(-w, t),
                p(-b, t),
                p(-b, u),
                p(-w, u),
            ],
            pieces: vec![rectangle(-w, w, t, 0.0), rectangle(-b, b, u, t), rectangle(-w, w, d, u)],
        }
    }
}

fn rectangle(x0: f64, x1: f64, y0: f64, y1: f64) -> Vec<Point2> {
    [(x0, y0), (x1, y0), (x1, y1), (x0, y1)].map(|(x, y)| Point2::new(x, y)).to_vec()
}

/// A profile moved along the y axis of its own frame, shifted sideways (along x) at each station: a bent member.
///
/// Frame: x to the side, y along, z up. Every station's ring lies in a plane of constant y, so neighbouring stretches
/// share it and neither overlap nor gape; the price is that a stretch which leans by an angle a is thinner by cos a
/// (one part in twenty thousand for half an inch in four feet).
#[derive(Clone, Debug, PartialEq)]
pub struct Sweep {
    /// The cross-section.
    pub profile: Profile,
    /// Stations: distance along and shift to the side, metres, increasing along.
    pub stations: Vec<(f64, f64)>,
}

impl Sweep {
    /// The convex bodies, stretch by stretch, each with the index of its profile piece, placed by `pose` and cut by
    /// `planes` (given in the frame that `pose` leads to). What the planes leave nothing of is not among them.
    ///
    /// # Errors
    /// [`Unbuilt`] when one of them could not be built.
    pub fn bodies(&self, pose: &Pose, planes: &[Plane]) -> Result<Vec<(usize, Body)>, Unbuilt> {
        let mut bodies = Vec::new();
        for pair in self.stations.windows(2) {
            let ((y0, x0), (y1, x1)) = (pair[0], pair[1]);
            for (k, piece) in self.profile.pieces.iter().enumerate() {
                let body = if x0 == x1 {
                    let lo = piece.iter().fold(Point2::new(f64::INFINITY, f64::INFINITY), |a, p| a.inf(p));
                    let hi = piece.iter().fold(Point2::new(f64::NEG_INFINITY, f64::NEG_INFINITY), |a, p| a.sup(p));
                    let local = Body::between(Point3::new(lo.x + x0, y0, lo.y), Point3::new(hi.x + x0, y1, hi.y));
                    Some(local.moved(pose))
                } else {
                    let middle = Pose::translation((x0 + x1) / 2.0, (y0 + y1) / 2.0, 0.0);
                    // Seen along +y, x to the side and z up turn the other way round: hence the reversed rings.
                    let ring = |y: f64, x: f64| -> Vec<Point3> {
                        piece.iter().rev().map(|p| middle.inverse() * Point3::new(p.x + x, y, p.y)).collect()
                    };
                    Body::polyhedron(pose * middle, Polyhedron::between(&ring(y0, x0), &ring(y1, x1)))?
                };
                let left = body.map(|b| b.clipped(planes)).transpose()?.flatten();
                bodies.extend(left.map(|b| (k, b)));
            }
        }
        Ok(bodies)
    }

    /// The closed mesh in the sweep's own frame, cut by `planes` (given in that frame too).
    ///
    /// Where the planes cut nothing but the two ends, and each end whole, it is one shell round the profile's outline.
    /// Elsewhere (two planes share an end, or a bend lies beyond a cut) it is one shell for each piece of the profile,
    /// put together from the bodies that answer queries; where these could not be built, the one shell all the same.
    pub fn mesh(&self, planes: &[Plane]) -> Mesh {
        let Ok(bodies) = self.bodies(&Pose::identity(), planes) else { return self.shell(planes) };
        let inner = self.stations.get(1..self.stations.len().saturating_sub(1)).unwrap_or_default();
        let cuts_inside = inner.iter().any(|(y, x)| {
            self.profile.outline.iter().any(|p| planes.iter().any(|c| c.distance(&Point3::new(p.x + x, *y, p.y)) > 0.0))
        });
        if !cuts_inside {
            let shell = self.shell(planes);
            let volume: f64 = bodies.iter().map(|(_, b)| b.volume()).sum();
            if (shell.volume() - volume).abs() <= 1e-9 * volume {
                return shell;
            }
        }
        let mut mesh = Mesh::default();
        for piece in 0..self.profile.pieces.len() {
            mesh.append(&welded(bodies.iter().filter(|(k, _)| *k == piece).map(|(_, b)| b)));
        }
        mesh
    }

    /// One shell round the outline. Each corner of an end is moved along the sweep to the first plane that it meets.
    fn shell(&self, planes: &[Plane]) -> Mesh {
        let n = self.profile.outline.len();
        let mut rings: Vec<Vec<Point3>> = self
            .stations
            .iter()
            .map(|(y, x)| self.profile.outline.iter().map(|p| Point3::new(p.x + x, *y, p.y)).collect())
            .collect();
        let last = rings.len().saturating_sub(1);
        for (end, inner) in [(0, 1), (last, last.saturating_sub(1))] {
            for i in 0..n {
                let (Some(outer), Some(inside)) =
                    (rings.get(end).and_then(|r| r.get(i)).copied(), rings.get(inner).and_then(|r| r.get(i)).copied())
                else {
                    continue;
                };
                let mut keep = 1.0_f64;
                for plane in planes {
                    let (di, d_o) = (plane.distance(&inside), plane.distance(&outer));
                    if d_o > 0.0 && di < d_o {
                        keep = keep.min(di / (di - d_o));
                    }
                }
                if keep < 1.0 {
                    rings[end][i] = inside + (outer - inside) * keep;
                }
            }
        }
        let mut mesh = Mesh::default();
        for ring in &rings {
            mesh.positions.extend(ring);
        }
        let n = n as u32;
        for s in 0..last as u32 {
            for i in 0..n {
                let (a, b) = (s * n + i, s * n + (i + 1) % n);
                mesh.fan(&[a, a + n, b + n, b]);
            }
        }
        let caps = cap_triangles(&self.profile.outline);
        let far = last as u32 * n;
        for [a, b, c] in caps {
            mesh.triangles.push([a, b, c]);
            mesh.triangles.push([far + a, far + c, far + b]);
        }
        mesh
    }
}

/// Bodies that share whole faces as one shell: the shared faces are left out.
fn welded<'b>(bodies: impl Iterator<Item = &'b Body>) -> Mesh {
    let mut mesh = Mesh::default();
    let mut places: BTreeMap<[i64; 3], u32> = BTreeMap::new();
    let mut faces: Vec<Vec<u32>> = Vec::new();
    for body in bodies {
        let form = body.form();
        let corners: Vec<u32> = form
            .vertices()
            .iter()
            .map(|v| {
                let p = body.pose * v;
                // Corners that two bodies share differ by rounding at most; real ones are a micrometre apart.
                let key = [p.x, p.y, p.z].map(|c| (c * 1e8).round() as i64);
                *places.entry(key).or_insert_with(|| {
                    mesh.positions.push(p);
                    mesh.positions.len() as u32 - 1
                })
            })
            .collect();
        for face in form.faces() {
            let mut face: Vec<u32> = face.iter().filter_map(|i| corners.get(*i as usize).copied()).collect();
            face.dedup();
            faces.push(face);
        }
    }
    let sorted = |face: &Vec<u32>| {
        let mut s = face.clone();
        s.sort_unstable();
        s
    };
    let mut times: BTreeMap<Vec<u32>, usize> = BTreeMap::new();
    for face in &faces {
        *times.entry(sorted(face)).or_default() += 1;
    }
    for face in faces.iter().filter(|f| times.get(&sorted(f)) == Some(&1)) {
        mesh.fan(face);
    }
    mesh
}

/// Triangles of a simple polygon, counter-clockwise.
fn cap_triangles(outline: &[Point2]) -> Vec<[u32; 3]> {
    let flat: Vec<f64> = outline.iter().flat_map(|p| [p.x, p.y]).collect();
    super::plate::triangulated(&flat, &[])
}

impl Sweep {
    /// The pose of a member whose line runs from `from` along the unit vector `along`, with `up` as near as possible to
    /// its upper face's normal. `None` when `up` is parallel to `along`.
    pub fn pose(from: &Point3, along: &Vector3, up: &Vector3) -> Option<Pose> {
        let side = along.cross(up).try_normalize(1e-9)?;
        let top = side.cross(along);
        Some(pose_of(from, [side, *along, top]))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn joist() -> Profile {
        Profile::i_shape(0.0635, 0.3016, 0.0381, 0.0095)
    }

    #[test]
    fn a_straight_i_has_the_volume_of_flanges_and_web() {
        let sweep = Sweep { profile: joist(), stations: vec![(0.0, 0.0), (3.0, 0.0)] };
        let area = 2.0 * 0.0635 * 0.0381 + 0.0095 * (0.3016 - 2.0 * 0.0381);
        let mesh = sweep.mesh(&[]);
        assert!(mesh.is_closed());
        assert!((mesh.volume() - 3.0 * area).abs() < 1e-12, "{} {}", mesh.volume(), 3.0 * area);
        let bodies = sweep.bodies(&Pose::identity(), &[]).expect("built");
        assert_eq!(bodies.len(), 3);
        assert!((bodies.iter().map(|(_, b)| b.volume()).sum::<f64>() - 3.0 * area).abs() < 1e-12);
    }

    #[test]
    fn a_bent_cut_sweep_has_the_same_volume_as_mesh_and_as_bodies() {
        let sweep = Sweep { profile: joist(), stations: vec![(-0.5, 0.0), (1.5, 0.012), (3.5, -0.004)] };
        let cut = [
            Plane::through(Point3::new(0.0, 2.9, 0.0), Vector3::new(0.3, 1.0, 0.5)),
            Plane::through(Point3::new(0.0, 0.1, 0.0), Vector3::new(0.0, -1.0, 0.5)),
        ];
        let mesh = sweep.mesh(&cut);
        assert!(mesh.is_closed());
        let bodies = sweep.bodies(&Pose::identity(), &cut).expect("built");
        let sum: f64 = bodies.iter().map(|(_, b)| b.volume()).sum();
        assert!((mesh.volume() - sum).abs() < 1e-10 * sum, "{} {sum}", mesh.volume());
    }

    #[test]
    fn a_bend_beyond_a_cut_does_not_fold_the_mesh_back() {
        for profile in [joist(), Profile::rectangle(0.038, 0.235, 0.0)] {
            let sweep = Sweep { profile, stations: vec![(-0.5, 0.0), (2.85, 0.012), (2.97, 0.0), (3.5, 0.004)] };
            let cut = [
                Plane::through(Point3::new(0.0, 2.9, 0.0), Vector3::new(0.3, 1.0, 0.5)),
                Plane::through(Point3::new(0.0, 2.95, 0.0), Vector3::new(-0.3, 1.0, 0.5)),
                Plane::through(Point3::new(0.0, 0.1, 0.0), Vector3::new(0.0, -1.0, 0.5)),
            ];
            let mesh = sweep.mesh(&cut);
            assert!(mesh.is_closed());
            let sum: f64 = sweep.bodies(&Pose::identity(), &cut).expect("built").iter().map(|(_, b)| b.volume()).sum();
            assert!((mesh.volume() - sum).abs() < 1e-9 * sum, "{} {sum}", mesh.volume());
            let (_, high) = mesh.bounds().expect("bounds");
            assert!(high.y < 2.97 + 0.5 * 0.31, "nothing is left beyond the cut: {high}");
            assert!(mesh.positions.iter().all(|p| cut.iter().all(|c| c.distance(p) < 1e-7)));
        }
    }

    #[test]
    fn the_pose_turns_no_mirror() {
        let pose = Sweep::pose(&Point3::origin(), &Vector3::y(), &Vector3::z()).expect("a pose");
        assert!((pose * Vector3::x() - Vector3::x()).norm() < 1e-12);
        assert!((pose * Vector3::z() - Vector3::z()).norm() < 1e-12);
    }
}
