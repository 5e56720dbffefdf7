//! Prints pairs of solids with how deep they overlap as JSON, one a line, for a check by libraries of others
//! (`.ci/check-pairs.py`).
//!
//! Aim: the verdicts of `solid` outside the program. Reason: an independent library must come to the same. Limits: invented
//! solids from a fixed sequence of numbers; depths of 5 to 15 micrometres, where a verdict may turn, are left out.
#![allow(clippy::print_stdout, reason = "its output is its purpose")]

#[path = "../tests/common/seeded.rs"]
mod seeded;

use airlath::solid::tolerance::DISTINCT;
use airlath::solid::{Body, Plane, Point3, Polyhedron, Pose, Profile, Sweep, Unbuilt, Vector3};
use seeded::Seeded;

impl Seeded {
    fn direction(&mut self) -> Vector3 {
        Vector3::from_fn(|_, _| self.between(-1.0, 1.0)).try_normalize(1e-3).unwrap_or_else(Vector3::z)
    }

    /// A board, a board cut at its ends, a stretch of a bent I-joist, or a thin three-sided plate.
    fn solid(&mut self) -> Result<Body, Unbuilt> {
        let half = Vector3::new(self.between(0.01, 0.05), self.between(0.1, 1.5), self.between(0.005, 0.15));
        let board = Body::cuboid(Pose::identity(), half);
        match self.below(4) {
            0 => Ok(board),
            1 => {
                let lean = self.between(-1.0, 1.0);
                let ends = [-1.0, 1.0].map(|end| {
                    let at = Point3::new(0.0, end * 0.5 * half.y, 0.0);
                    Plane::through(at, Vector3::new(self.between(-0.5, 0.5), end, lean))
                });
                board.clipped(&ends)?.ok_or(Unbuilt)
            }
            2 => {
                let profile = Profile::i_shape(0.06, 0.3, 0.038, 0.01);
                let sweep = Sweep { profile, stations: vec![(0.0, 0.0), (2.0 * half.y, self.between(-0.1, 0.1))] };
                let mut all = sweep.bodies(&Pose::identity(), &[])?;
                let kept = self.below(all.len());
                Ok(all.swap_remove(kept).1)
            }
            _ => {
                let ring = |z: f64| {
                    [(0.0, 0.0), (half.y, 0.1 * half.y), (0.3 * half.y, 0.8 * half.y)]
                        .map(|(x, y)| Point3::new(x, y, z))
                };
                Body::polyhedron(Pose::identity(), Polyhedron::between(&ring(0.0), &ring(half.z)))?.ok_or(Unbuilt)
            }
        }
    }
}

fn corners(body: &Body) -> Vec<[f64; 3]> {
    body.form().vertices().iter().map(|v| body.pose * v).map(|p| [p.x, p.y, p.z]).collect()
}

fn middle(points: &[Point3]) -> Vector3 {
    points.iter().map(|p| p.coords).sum::<Vector3>() / points.len() as f64
}

fn main() -> Result<(), Unbuilt> {
    let mut sequence = Seeded(11);
    let mut printed = 0;
    while printed < 2000 {
        let (one, other) = (sequence.solid()?, sequence.solid()?);
        let turn = Pose::new(Vector3::zeros(), sequence.direction() * sequence.between(0.0, 3.0));
        let placed = match printed % 4 {
            // Anywhere near.
            0 => {
                other.moved(&(Pose::translation(sequence.between(-0.3, 0.3), sequence.between(-1.0, 1.0), 0.1) * turn))
            }
            // Face to face: apart, touching, or in one another by a little or more.
            1 | 2 => {
                let (ours, theirs) = (one.faces(), other.faces());
                let (face, ring) = &ours[sequence.below(ours.len())];
                let (met, there) = &theirs[sequence.below(theirs.len())];
                let turn =
                    nalgebra::UnitQuaternion::rotation_between(&met.normal, &-face.normal).unwrap_or_else(|| {
                        nalgebra::UnitQuaternion::from_axis_angle(&Vector3::x_axis(), std::f64::consts::PI)
                    });
                let depth = [-2e-3, 0.0, 0.0, 4e-5, 2e-3][sequence.below(5)];
                let to = middle(ring) - turn * middle(there) - face.normal * depth;
                other.moved(&Pose::from_parts(to.into(), turn))
            }
            // The middle of one in the other, sometimes turned alike.
            _ => {
                let turn = if sequence.below(2) == 0 { Pose::identity() } else { turn };
                let of = |body: &Body| middle(&body.faces().into_iter().flat_map(|(_, ring)| ring).collect::<Vec<_>>());
                let turned = other.moved(&turn);
                turned.moved(&Pose::from_parts((of(&one) - of(&turned)).into(), nalgebra::UnitQuaternion::identity()))
            }
        };
        // All of it somewhere else in the world, now and then far away.
        let away = if printed % 10 == 0 { 1000.0 } else { 3.0 };
        let to_world = Pose::new(sequence.direction() * away, sequence.direction());
        let (one, other) = (one.moved(&to_world), placed.moved(&to_world));
        let exact = one.depth(&other, 0.0);
        if exact.is_some_and(|d| d > 5e-6 && d < 1.5e-5) {
            continue;
        }
        let line = serde_json::json!({
            "one": corners(&one), "other": corners(&other), "depth": exact, "clash": one.depth(&other, DISTINCT).is_some(),
        });
        println!("{line}");
        printed += 1;
    }
    Ok(())
}
