//! How deep two convex bodies lie in one another, exactly.
//!
//! Two convex polyhedra are apart if and only if a plane parts them that is square to a face's normal of either or to an
//! edge of each; and the shortest move that parts two which overlap is along one of the same axes (the faces of their
//! Minkowski difference; S. Gottschalk, M. Lin, D. Manocha, "OBBTree", SIGGRAPH 1996, has the boxes, C. Ericson,
//! "Real-Time Collision Detection", 2005, 5.2.1 and 9.4, the general case). So the depth is the least overlap over these
//! axes. Any other axis overlaps by at least as much: one that rounding has tilted can only be of no use.

use super::{Body, Point3, Polyhedron, Pose, Shape, Vector3};

/// Two unit edges whose cross product is shorter than this are parallel, and give no axis: leaving one out changes a depth
/// by no more than this much of an edge's length.
const PARALLEL: f64 = 1e-10;

/// The axes of a box, which are its edges too.
const AXES: [Vector3; 3] = [Vector3::new(1.0, 0.0, 0.0), Vector3::new(0.0, 1.0, 0.0), Vector3::new(0.0, 0.0, 1.0)];

/// Directions up to their sign, each once.
pub(super) fn once(directions: impl Iterator<Item = Vector3>) -> Vec<Vector3> {
    let mut kept: Vec<Vector3> = Vec::new();
    for d in directions.filter_map(|d| d.try_normalize(0.0)) {
        if kept.iter().all(|k| k.cross(&d).norm_squared() > PARALLEL * PARALLEL) {
            kept.push(d);
        }
    }
    kept
}

impl Body {
    /// How deep two bodies lie in one another: the length of the shortest move that parts them, metres. `None` where it is
    /// no more than `limit`: they are apart, or touch, or overlap by no more than that.
    pub fn depth(&self, other: &Body, limit: f64) -> Option<f64> {
        let there = if self.unturned() && other.unturned() {
            Pose::from_parts(
                (other.pose.translation.vector - self.pose.translation.vector).into(),
                nalgebra::UnitQuaternion::identity(),
            )
        } else {
            self.pose.inverse() * other.pose
        };
        let mut least = f64::INFINITY;
        // Whether the bodies overlap along a unit axis of the frame of `self` by more than the limit.
        let mut overlap = |axis: &Vector3| {
            let (a, b) = (self.shape.along(axis), other.shape.along(&there.inverse_transform_vector(axis)));
            let shift = axis.dot(&there.translation.vector);
            least = least.min((a.1 - b.0 - shift).min(b.1 + shift - a.0));
            least > limit
        };
        let (ours, theirs) = (self.shape.normals(), other.shape.normals());
        if !ours.iter().all(&mut overlap) {
            return None;
        }
        let boxes = matches!((&self.shape, &other.shape), (Shape::Box(_), Shape::Box(_)));
        if boxes && there.rotation.w == 1.0 {
            return Some(least);
        }
        if !theirs.iter().all(|n| overlap(&(there * n))) {
            return None;
        }
        for theirs in other.shape.edges() {
            let edge = there * theirs;
            for ours in self.shape.edges() {
                if let Some(axis) = ours.cross(&edge).try_normalize(PARALLEL)
                    && !overlap(&axis)
                {
                    return None;
                }
            }
        }
        Some(least)
    }

    /// How deep a round rod with rounded ends, about the segment between two points and within it, lies in the body: the
    /// length of the shortest move that parts them, metres. `None` where it is no more than `limit`.
    pub fn depth_of_rod(&self, a: &Point3, b: &Point3, radius: f64, limit: f64) -> Option<f64> {
        let (a, b) = (self.pose.inverse_transform_point(a), self.pose.inverse_transform_point(b));
        let along = (b - a).try_normalize(0.0).unwrap_or_else(Vector3::zeros);
        let inset = along * radius.min((b - a).norm() / 2.0);
        let (a, b) = (a + inset, b - inset);
        // The axis alone against the body: how deep it lies in it, or on which side of it.
        let mut least = f64::INFINITY;
        let mut overlap = |axis: &Vector3| {
            let (body, p, q) = (self.shape.along(axis), axis.dot(&a.coords), axis.dot(&b.coords));
            least = least.min((body.1 - p.min(q)).min(p.max(q) - body.0));
            least + radius > limit
        };
        let across = |edge: &Vector3| edge.cross(&along).try_normalize(PARALLEL);
        if !self.shape.normals().iter().all(&mut overlap)
            || !self.shape.edges().iter().filter_map(across).all(|axis| overlap(&axis))
        {
            return None;
        }
        let depth = if least > 0.0 { least + radius } else { radius - self.form().distance_to_segment(&a, &b) };
        (depth > limit).then_some(depth)
    }
}

impl Shape {
    /// Lowest and highest coordinate along a direction of the shape's own frame.
    fn along(&self, axis: &Vector3) -> (f64, f64) {
        match self {
            Shape::Box(half) => {
                let reach = half.x * axis.x.abs() + half.y * axis.y.abs() + half.z * axis.z.abs();
                (-reach, reach)
            }
            Shape::Poly(poly) => poly.form.vertices().iter().fold((f64::INFINITY, f64::NEG_INFINITY), |(lo, hi), p| {
                let at = axis.dot(&p.coords);
                (lo.min(at), hi.max(at))
            }),
        }
    }

    fn normals(&self) -> &[Vector3] {
        match self {
            Shape::Box(_) => &AXES,
            Shape::Poly(poly) => &poly.normals,
        }
    }

    fn edges(&self) -> &[Vector3] {
        match self {
            Shape::Box(_) => &AXES,
            Shape::Poly(poly) => &poly.edges,
        }
    }
}

impl Polyhedron {
    /// Distance from the solid to a segment that does not reach into it, metres.
    fn distance_to_segment(&self, a: &Point3, b: &Point3) -> f64 {
        let mut least = f64::INFINITY;
        for (face, plane) in self.faces().iter().zip(self.planes()) {
            let ring: Vec<&Point3> = face.iter().filter_map(|i| self.vertices().get(*i as usize)).collect();
            let sides = || ring.iter().zip(ring.iter().cycle().skip(1));
            for (p, q) in sides() {
                least = least.min(between_segments((a, b), (p, q)));
            }
            for end in [a, b] {
                let above = plane.distance(end);
                if above >= 0.0 && sides().all(|(p, q)| (*q - *p).cross(&(end - *p)).dot(&plane.normal) >= 0.0) {
                    least = least.min(above);
                }
            }
        }
        least
    }
}

/// Least distance between two segments, metres (C. Ericson, "Real-Time Collision Detection", 2005, 5.1.9).
pub fn between_segments(a: (&Point3, &Point3), b: (&Point3, &Point3)) -> f64 {
    let (u, v, w) = (a.1 - a.0, b.1 - b.0, a.0 - b.0);
    let (uu, uv, vv, uw, vw) = (u.dot(&u), u.dot(&v), v.dot(&v), u.dot(&w), v.dot(&w));
    let part = |over: f64, under: f64| if under > 0.0 { (over / under).clamp(0.0, 1.0) } else { 0.0 };
    let parallel = uu * vv - uv * uv;
    // Nearest places of the two lines, kept to the segments: one first, the other for it, and once more.
    let s = if parallel > 1e-15 * uu * vv { part(uv * vw - vv * uw, parallel) } else { 0.0 };
    let t = part(s * uv + vw, vv);
    let s = part(t * uv - uw, uu);
    (w + u * s - v * t).norm()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::cases::cases;
    use crate::solid::{Plane, Unbuilt};
    use proptest::prelude::*;

    fn near(found: Option<f64>, hand: f64) {
        assert!(found.is_some_and(|d| (d - hand).abs() < 1e-9), "{found:?}, by hand {hand}");
    }

    fn turned(x: f64, y: f64, z: f64, about: Vector3) -> Pose {
        Pose::new(Vector3::new(x, y, z), about)
    }

    #[test]
    fn touching_boxes_do_not_overlap_and_contained_ones_do() {
        let a = Body::between(Point3::new(0.0, 0.0, 0.0), Point3::new(1.0, 1.0, 1.0));
        let b = Body::between(Point3::new(1.0, 0.0, 0.0), Point3::new(2.0, 1.0, 1.0));
        assert_eq!(a.depth(&b, 1e-12), None);
        near(a.depth(&b.moved(&Pose::translation(-0.01, 0.0, 0.0)), 1e-5), 0.01);
        assert_eq!(a.depth(&b.moved(&Pose::translation(-0.01, 0.0, 0.0)), 0.02), None);
        // Out of the middle of a box twice as large by its half and one's own half.
        let large = Body::between(Point3::new(-0.5, -0.5, -0.5), Point3::new(1.5, 1.5, 1.5));
        near(a.depth(&large, 1e-5), 1.5);
        near(a.depth(&a, 1e-5), 1.0);
    }

    /// Two square bars stand on their edges and cross: what is nearest is an edge of each, and no face's normal tells.
    #[test]
    fn edges_that_cross_are_told_by_their_common_perpendicular() {
        let side = 0.1;
        let bar = Vector3::new(1.0, side / 2.0, side / 2.0);
        let eighth = std::f64::consts::FRAC_PI_4;
        let along_x = Body::cuboid(turned(0.0, 0.0, 0.0, Vector3::x() * eighth), bar);
        let quarter = Pose::new(Vector3::zeros(), Vector3::z() * std::f64::consts::FRAC_PI_2);
        let diagonal = side * 2f64.sqrt();
        for (high, hand) in [(diagonal - 0.02, Some(0.02)), (diagonal + 1e-6, None), (diagonal, None)] {
            let lifted = Pose::translation(0.0, 0.0, high) * quarter;
            match hand {
                Some(hand) => near(along_x.depth(&along_x.moved(&lifted), 1e-5), hand),
                None => assert_eq!(along_x.depth(&along_x.moved(&lifted), 1e-9), None),
            }
        }
    }

    #[test]
    fn a_rod_beside_over_and_through_a_box() {
        let block = Body::cuboid(turned(5.0, 2.0, 1.0, Vector3::new(0.3, -0.7, 0.2)), Vector3::new(0.5, 0.4, 0.3));
        let at = |x: f64, y: f64, z: f64| block.pose * Point3::new(x, y, z);
        let rod = |a: Point3, b: Point3, limit: f64| block.depth_of_rod(&a, &b, 0.1, limit);
        // Along a face, its axis 0.08 outside; along an edge, its axis 0.03 and 0.04 outside; end on, rounded.
        near(rod(at(-0.3, 0.0, 0.38), at(0.3, 0.1, 0.38), 1e-5), 0.02);
        near(rod(at(-0.3, 0.43, 0.34), at(0.3, 0.43, 0.34), 1e-5), 0.05);
        near(rod(at(0.0, 0.0, 0.26), at(0.0, 0.0, 1.0), 1e-5), 0.04);
        assert_eq!(rod(at(-0.3, 0.0, 0.4), at(0.3, 0.0, 0.4), 1e-9), None);
        // Wholly inside, its axis 0.1 below the upper face; and straight through the middle, out by the shorter side.
        near(rod(at(-0.2, 0.0, 0.2), at(0.2, 0.0, 0.2), 1e-5), 0.2);
        near(rod(at(0.0, 0.0, -2.0), at(0.0, 0.0, 2.0), 1e-5), 0.5);
    }

    #[test]
    fn what_cannot_be_built_is_not_taken_for_nothing() {
        let block = Polyhedron::cuboid(Vector3::new(1.0, 1.0, 1.0));
        let ring = |z: f64, turn: bool| {
            let mut ring = vec![Point3::new(0.0, 0.0, z), Point3::new(1.0, 0.0, z), Point3::new(0.0, 1.0, z)];
            if turn {
                ring.reverse();
            }
            ring
        };
        let of = |form: Polyhedron| Body::polyhedron(Pose::identity(), form).map(|b| b.is_some());
        assert_eq!(of(block.clone()), Ok(true));
        assert_eq!(of(Polyhedron::between(&ring(0.0, false), &ring(1e-9, false))), Ok(false), "nothing is left");
        assert_eq!(of(Polyhedron::between(&ring(0.0, true), &ring(1.0, true))), Err(Unbuilt), "inside out");
        assert_eq!(of(Polyhedron::between(&ring(0.0, false), &ring(f64::NAN, false))), Err(Unbuilt));
        assert_eq!(of(Polyhedron::between(&ring(0.0, false)[..2], &ring(1.0, false)[..2])), Err(Unbuilt));
        let beyond = Plane { normal: Vector3::x(), offset: f64::NAN };
        assert_eq!(block.clipped(&beyond), Err(Unbuilt));
        let body = Body::cuboid(Pose::identity(), Vector3::new(1.0, 1.0, 1.0));
        assert!(body.clipped(&[beyond]).is_err());
        assert!(matches!(body.clipped(&[Plane { normal: Vector3::x(), offset: -2.0 }]), Ok(None)));
    }

    proptest! {
        #![proptest_config(cases(400))]
        /// Two cut boxes: they overlap if and only if something is left of one inside the other's planes; moved by the depth
        /// no more is; the other way round is as deep; and a turn and a shift of both by a kilometre change nothing.
        #[test]
        fn overlap_and_depth_agree_with_cutting(
            place in prop::array::uniform3(-1.2f64..1.2),
            turn in prop::array::uniform3(-2.0f64..2.0),
            cut in -0.3f64..0.6,
        ) {
            let plane = Plane::through(Point3::new(0.0, cut, 0.0), Vector3::new(0.2, 1.0, 0.4));
            let whole = Body::cuboid(Pose::identity(), Vector3::new(0.3, 0.8, 0.5));
            let a = whole.clipped(&[plane]).expect("built").expect("a part");
            let b = a.moved(&Pose::new(place.into(), turn.into()));
            let left = |b: &Body| matches!(a.clipped(&b.planes()), Ok(Some(_)));
            let depth = a.depth(&b, 0.0);
            prop_assume!(depth.is_none_or(|d| d > 1e-4));
            prop_assert_eq!(depth.is_some(), left(&b));
            let away = Pose::new(Vector3::new(700.0, -700.0, 30.0), Vector3::new(0.0, 0.0, 0.65));
            let there = a.moved(&away).depth(&b.moved(&away), 0.0);
            let back = b.depth(&a, 0.0);
            for other in [there, back] {
                prop_assert!((depth.unwrap_or(0.0) - other.unwrap_or(0.0)).abs() < 1e-9, "{depth:?} {other:?}");
            }
            if let Some(depth) = depth {
                // No move shorter than the depth parts them, one of these directions at that depth nearly does.
                for k in 0..60 {
                    let (u, v) = (f64::from(k) * 2.399_963, (f64::from(k) + 0.5) / 30.0 - 1.0);
                    let way = Vector3::new(u.cos() * (1.0 - v * v).sqrt(), u.sin() * (1.0 - v * v).sqrt(), v);
                    let moved = b.moved(&Pose::from_parts((way * (depth * 0.95)).into(), Default::default()));
                    prop_assert!(left(&moved), "a move of {} parts what is {depth} deep", depth * 0.95);
                }
            }
        }
    }
}
