//! The outer surface of a solid that is made of several convex bodies: their faces without what two of them share.

use super::tolerance::SAME;
use super::{Body, Plane, Point3};
use crate::quantity::maths::hypot;

/// Least distance, square to z, from a line along z to the outer faces that `counts` lets pass, between two heights: so
/// thick a rod with flat ends stays inside. Metres; infinite where no such face reaches between the heights.
pub fn room_about(
    (x, y): (f64, f64),
    heights: (f64, f64),
    bodies: &[&Body],
    counts: impl Fn(&Body, &Plane) -> bool,
) -> f64 {
    let between = [
        Plane { normal: -super::Vector3::z(), offset: -heights.0 },
        Plane { normal: super::Vector3::z(), offset: heights.1 },
    ];
    // A face that only touches a height, or lies level, bounds no rod between the heights.
    let reaches = |ring: &Vec<Point3>| {
        let (low, high) = ring.iter().fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), p| (l.min(p.z), h.max(p.z)));
        high - low > SAME
    };
    let mut least = f64::INFINITY;
    for (i, body) in bodies.iter().enumerate() {
        for (face, ring) in body.faces().into_iter().filter(|(face, _)| counts(body, face)) {
            let mut left = vec![between.iter().fold(ring, |r, p| cut(&r, p))];
            left.retain(reaches);
            let others = bodies.iter().enumerate().filter(|(j, _)| *j != i).flat_map(|(_, other)| other.faces());
            for (_, shared) in others.filter(|(f, _)| meet(&face, f)) {
                left = left.iter().flat_map(|r| without(r, &shared, &face)).filter(reaches).collect();
            }
            for (p, q) in left.iter().flat_map(|r| r.iter().zip(r.iter().cycle().skip(1))) {
                least = least.min(beside((x, y), (p, q)));
            }
        }
    }
    least
}

/// Whether two faces lie in one plane and look at one another.
fn meet(a: &Plane, b: &Plane) -> bool {
    a.normal.dot(&b.normal) < -1.0 + 1e-9 && (a.offset + b.offset).abs() <= SAME
}

/// What is left of a convex ring inside a half-space.
fn cut(ring: &[Point3], plane: &Plane) -> Vec<Point3> {
    let mut left = Vec::with_capacity(ring.len() + 1);
    for (p, q) in ring.iter().zip(ring.iter().cycle().skip(1)) {
        let (dp, dq) = (plane.distance(p), plane.distance(q));
        if dp <= 0.0 {
            left.push(*p);
        }
        if dp * dq < 0.0 {
            left.push(p + (q - p) * (dp / (dp - dq)));
        }
    }
    left
}

/// What is left of a convex ring without another in its plane, as convex rings. `face` is the plane of the first, so that
/// the other runs clockwise about its normal.
fn without(ring: &[Point3], other: &[Point3], face: &Plane) -> Vec<Vec<Point3>> {
    let mut left = Vec::new();
    let mut rest = ring.to_vec();
    for (p, q) in other.iter().zip(other.iter().cycle().skip(1)) {
        let inner = Plane::through(*p, face.normal.cross(&(q - p)));
        left.push(cut(&rest, &Plane { normal: -inner.normal, offset: -inner.offset }));
        rest = cut(&rest, &inner);
    }
    left.retain(|r| r.len() > 2);
    left
}

/// Distance in the plane of x and y from a place to a segment.
fn beside((x, y): (f64, f64), (p, q): (&Point3, &Point3)) -> f64 {
    let (dx, dy) = (q.x - p.x, q.y - p.y);
    let long = dx * dx + dy * dy;
    let t = if long > 0.0 { (((x - p.x) * dx + (y - p.y) * dy) / long).clamp(0.0, 1.0) } else { 0.0 };
    hypot(p.x + t * dx - x, p.y + t * dy - y)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Two boxes end to end, and one beside their meeting: an L in plan, one metre high.
    #[test]
    fn what_two_bodies_share_is_no_surface() {
        let block =
            |a: (f64, f64), b: (f64, f64)| Body::between(Point3::new(a.0, a.1, 0.0), Point3::new(b.0, b.1, 1.0));
        let (one, two, beside) =
            (block((0.0, 0.0), (1.0, 1.0)), block((1.0, 0.0), (2.0, 1.0)), block((1.0, 1.0), (2.0, 3.0)));
        let all = |_: &Body, _: &Plane| true;
        let room = |bodies: &[&Body], at| room_about(at, (0.2, 0.9), bodies, all);
        assert!((room(&[&one], (0.9, 0.5)) - 0.1).abs() < 1e-12);
        assert!((room(&[&one, &two], (0.9, 0.6)) - 0.4).abs() < 1e-12);
        // The corner of the L is the nearest thing outside.
        assert!((room(&[&one, &two, &beside], (1.1, 0.9)) - 0.1_f64.hypot(0.1)).abs() < 1e-12);
        assert!((room(&[&one, &two, &beside], (1.5, 1.0)) - 0.5).abs() < 1e-12);
    }

    #[test]
    fn a_leaning_end_is_as_far_as_it_is_square_to_the_rod() {
        let block = Body::between(Point3::new(-1.0, -1.0, -1.0), Point3::new(1.0, 1.0, 0.0));
        let lean = Plane::through(Point3::new(0.0, 0.5, 0.0), super::super::Vector3::new(0.0, 1.0, 1.0));
        let block = block.clipped(&[lean]).expect("built").expect("most of it");
        let room = room_about((0.0, 0.1), (-0.3, 0.0), &[&block], |_, p| p.normal.z < 0.9);
        assert!((room - 0.4).abs() < 1e-12, "{room}: not 0.4 times the cosine");
    }
}
