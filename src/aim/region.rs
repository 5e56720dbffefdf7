//! Plane regions: convex polygons cut by half-planes, and their unions and differences (by `i_overlay`).

use i_overlay::core::fill_rule::FillRule;
use i_overlay::core::overlay_rule::OverlayRule;
use i_overlay::float::single::SingleFloatOverlay;

use crate::quantity::maths::{cos, hypot, sin};
use crate::solid::convex_hull;

/// A closed ring of places (x, y) on a slope, metres; the last is joined to the first.
pub type Ring = Vec<[f64; 2]>;

/// A half-plane: the places `p` with `a . p <= c`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HalfPlane {
    /// Outward direction, of any length.
    pub a: [f64; 2],
    /// Limit along it.
    pub c: f64,
}

impl HalfPlane {
    fn over(&self, p: [f64; 2]) -> f64 {
        self.a[0] * p[0] + self.a[1] * p[1] - self.c
    }
}

/// A rectangle as a ring, counter-clockwise.
pub fn rectangle(x: (f64, f64), y: (f64, f64)) -> Ring {
    if x.1 <= x.0 || y.1 <= y.0 {
        return Vec::new();
    }
    vec![[x.0, y.0], [x.1, y.0], [x.1, y.1], [x.0, y.1]]
}

/// What half-planes leave of a convex ring; empty where nothing is left.
pub fn cut(mut ring: Ring, planes: &[HalfPlane]) -> Ring {
    for plane in planes {
        if plane.a[0].abs().max(plane.a[1].abs()) < FLAT {
            // The condition does not depend on the place.
            if plane.c < 0.0 {
                return Vec::new();
            }
            continue;
        }
        let mut kept = Vec::with_capacity(ring.len() + 1);
        let mut before = ring.last().copied().map(|p| (p, plane.over(p)));
        for p in ring {
            let here = plane.over(p);
            if let Some((q, there)) = before
                && (there <= 0.0) != (here <= 0.0)
            {
                let t = there / (there - here);
                kept.push([q[0] + (p[0] - q[0]) * t, q[1] + (p[1] - q[1]) * t]);
            }
            if here <= 0.0 {
                kept.push(p);
            }
            before = Some((p, here));
        }
        ring = kept;
        if ring.len() < 3 {
            return Vec::new();
        }
    }
    ring
}

/// Below this a half-plane has no direction: planes have unit normals, so this is rounding.
const FLAT: f64 = 1e-12;

/// Twice the signed area of a ring is the sum of its cross products; square metres, positive counter-clockwise.
fn area(ring: &Ring) -> f64 {
    let next = ring.iter().cycle().skip(1);
    ring.iter().zip(next).map(|(p, q)| p[0] * q[1] - q[0] * p[1]).sum::<f64>() / 2.0
}

/// A polygon that holds every place nearer than `radius` to a rectangle (of no size: a place).
pub fn around(x: (f64, f64), y: (f64, f64), radius: f64) -> Ring {
    // The sides of the polygon touch the circle from outside.
    let r = radius / cos(std::f64::consts::PI / SIDES as f64);
    let mut points = Vec::with_capacity(4 * SIDES);
    for cx in [x.0, x.1] {
        for cy in [y.0, y.1] {
            points.extend((0..SIDES).map(|k| {
                let angle = std::f64::consts::TAU * k as f64 / SIDES as f64;
                [cx + r * cos(angle), cy + r * sin(angle)]
            }));
        }
    }
    convex_hull(points, 0.0)
}

/// Sides of a polygon round a circle: it is at most half a hundredth of the radius too large.
const SIDES: usize = 32;

/// Less than this is no place to aim at, square metres: a hundredth of a square millimetre.
const NOTHING: f64 = 1e-8;

/// A region: shapes, each an outer ring and its holes.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Region {
    shapes: Vec<Vec<Ring>>,
}

impl Region {
    /// The union of convex rings.
    pub fn union_of(rings: Vec<Ring>) -> Region {
        let mut rings: Vec<Ring> = rings.into_iter().filter(|r| r.len() > 2 && area(r) > NOTHING * 1e-2).collect();
        match rings.len() {
            0 => Region::default(),
            1 => Region { shapes: vec![vec![rings.remove(0)]] },
            _ => {
                let none: Vec<Ring> = Vec::new();
                Region::of(rings.overlay_as::<i64>(&none, OverlayRule::Subject, FillRule::NonZero))
            }
        }
    }

    fn of(shapes: Vec<Vec<Ring>>) -> Region {
        let holds = |s: &Vec<Ring>| s.first().is_some_and(|r| area(r).abs() > NOTHING * 1e-2);
        Region { shapes: shapes.into_iter().filter(holds).collect() }
    }

    /// What is left without the insides of convex rings.
    pub fn without(self, rings: &[Ring]) -> Region {
        if rings.is_empty() || self.shapes.is_empty() {
            return self;
        }
        let holes: Vec<Ring> = rings.to_vec();
        Region::of(self.shapes.overlay_as::<i64>(&holes, OverlayRule::Difference, FillRule::NonZero))
    }

    /// Both regions together.
    pub fn joined(self, other: &Region) -> Region {
        Region::of(self.shapes.overlay_as::<i64>(&other.shapes, OverlayRule::Union, FillRule::NonZero))
    }

    /// What both regions share.
    pub fn shared(&self, other: &Region) -> Region {
        Region::of(self.shapes.overlay_as::<i64>(&other.shapes, OverlayRule::Intersect, FillRule::NonZero))
    }

    /// The region moved.
    pub fn moved(&self, by: [f64; 2]) -> Region {
        let moved = |r: &Ring| r.iter().map(|p| [p[0] + by[0], p[1] + by[1]]).collect();
        Region { shapes: self.shapes.iter().map(|s| s.iter().map(moved).collect()).collect() }
    }

    /// Its shapes: each an outer ring and its holes.
    pub fn shapes(&self) -> &[Vec<Ring>] {
        &self.shapes
    }

    /// Its area, square metres.
    pub fn area(&self) -> f64 {
        let of_shape = |s: &Vec<Ring>| {
            let mut rings = s.iter().map(|r| area(r).abs());
            rings.next().unwrap_or(0.0) - rings.sum::<f64>()
        };
        self.shapes.iter().map(of_shape).sum()
    }

    /// Whether there is no place in it that anyone could aim at.
    pub fn is_empty(&self) -> bool {
        self.area() < NOTHING
    }

    /// Whether a place lies in it.
    pub fn contains(&self, p: [f64; 2]) -> bool {
        let mut inside = false;
        for (a, b) in self.edges() {
            if (a[1] > p[1]) != (b[1] > p[1]) && p[0] < (b[0] - a[0]) * (p[1] - a[1]) / (b[1] - a[1]) + a[0] {
                inside = !inside;
            }
        }
        inside
    }

    /// All edges of all rings.
    pub fn edges(&self) -> impl Iterator<Item = ([f64; 2], [f64; 2])> {
        let rings = self.shapes.iter().flatten();
        rings.flat_map(|r| r.iter().copied().zip(r.iter().copied().cycle().skip(1)))
    }

    /// Distance from a place to the region's border, metres.
    pub fn to_border(&self, p: [f64; 2]) -> f64 {
        self.edges().map(|(a, b)| distance(p, nearest_on(a, b, p))).fold(f64::INFINITY, f64::min)
    }

    /// The place of the region nearest to a place; `None` for an empty one.
    pub fn nearest(&self, p: [f64; 2]) -> Option<[f64; 2]> {
        if self.contains(p) {
            return Some(p);
        }
        let places = self.edges().map(|(a, b)| nearest_on(a, b, p));
        places.min_by(|a, b| distance(*a, p).total_cmp(&distance(*b, p)))
    }

    /// Least and greatest x and y; `None` for an empty one.
    pub fn bounds(&self) -> Option<([f64; 2], [f64; 2])> {
        let mut all = self.shapes.iter().flatten().flatten().copied();
        let first = all.next()?;
        Some(all.fold((first, first), |(lo, hi), p| {
            ([lo[0].min(p[0]), lo[1].min(p[1])], [hi[0].max(p[0]), hi[1].max(p[1])])
        }))
    }

    /// How far left and right of a place one may go at every height from `low` to `high`: the widest stretch of x round
    /// the place that lies in the region over the whole band. `None` where the place itself does not.
    pub fn across(&self, x: f64, low: f64, high: f64) -> Option<(f64, f64)> {
        if !self.contains([x, (low + high) / 2.0]) {
            return None;
        }
        let (mut left, mut right) = (f64::NEG_INFINITY, f64::INFINITY);
        for (a, b) in self.edges() {
            let (a, b) = if a[1] <= b[1] { (a, b) } else { (b, a) };
            if b[1] < low || a[1] > high {
                continue;
            }
            // The stretch of the edge within the band.
            let at = |y: f64| {
                let t = if b[1] > a[1] { ((y - a[1]) / (b[1] - a[1])).clamp(0.0, 1.0) } else { 0.0 };
                a[0] + (b[0] - a[0]) * t
            };
            let ends = if b[1] > a[1] { (at(low.max(a[1])), at(high.min(b[1]))) } else { (a[0], b[0]) };
            let (near, far) = (ends.0.min(ends.1), ends.0.max(ends.1));
            if far <= x {
                left = left.max(far);
            } else if near >= x {
                right = right.min(near);
            } else if a[1].max(b[1]) > low && a[1].min(b[1]) < high {
                return None;
            }
        }
        (left.is_finite() && right.is_finite() && left < right).then_some((left, right))
    }
}

fn distance(p: [f64; 2], q: [f64; 2]) -> f64 {
    hypot(p[0] - q[0], p[1] - q[1])
}

fn nearest_on(a: [f64; 2], b: [f64; 2], p: [f64; 2]) -> [f64; 2] {
    let (dx, dy) = (b[0] - a[0], b[1] - a[1]);
    let length = dx * dx + dy * dy;
    let t = if length > 0.0 { (((p[0] - a[0]) * dx + (p[1] - a[1]) * dy) / length).clamp(0.0, 1.0) } else { 0.0 };
    [a[0] + dx * t, a[1] + dy * t]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_square_cut_and_pierced_keeps_its_area() {
        let square = rectangle((10.0, 10.1), (5.0, 5.1));
        let half = cut(square.clone(), &[HalfPlane { a: [1.0, 1.0], c: 15.1 }]);
        assert!((area(&half) - 0.005).abs() < 1e-12);
        assert!(cut(square.clone(), &[HalfPlane { a: [0.0, 0.0], c: -1e-9 }]).is_empty());
        let hole = rectangle((10.04, 10.06), (5.04, 5.06));
        let region = Region::union_of(vec![square, half]).without(&[hole]);
        assert!((region.area() - (0.01 - 0.0004)).abs() < 1e-9, "{}", region.area());
        assert!(region.contains([10.01, 5.01]) && !region.contains([10.05, 5.05]) && !region.contains([10.2, 5.05]));
        // Left of the hole, right of it, and a band that passes above it.
        let (left, right) = region.across(10.02, 5.045, 5.055).unwrap();
        assert!((left - 10.0).abs() < 1e-9 && (right - 10.04).abs() < 1e-9);
        let (left, right) = region.across(10.05, 5.07, 5.08).unwrap();
        assert!((left - 10.0).abs() < 1e-9 && (right - 10.1).abs() < 1e-9);
        assert_eq!(region.across(10.05, 5.045, 5.055), None);
        assert_eq!(region.across(10.05, 5.03, 5.09), None);
        let at = region.nearest([10.05, 5.058]).unwrap();
        assert!((at[1] - 5.06).abs() < 1e-9);
    }

    #[test]
    fn a_polygon_round_a_place_holds_the_circle_and_little_more() {
        let ring = around((1.0, 1.0), (2.0, 2.0), 0.004);
        let region = Region::union_of(vec![ring]);
        let circle = std::f64::consts::PI * 0.004 * 0.004;
        assert!(region.area() > circle && region.area() < circle * 1.006);
        let long = Region::union_of(vec![around((1.0, 1.1), (2.0, 2.0), 0.004)]);
        assert!((long.area() - (0.1 * 0.008 + circle)).abs() < 1e-5);
        assert!(long.contains([1.05, 2.0039]) && !long.contains([1.05, 2.0041]));
    }
}
