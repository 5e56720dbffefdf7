//! A slope's outline: edges, openings, and where a line or a band crosses it.

use crate::design::{Edge, EdgeKind, EndCut, Slope, slope_axes};
use crate::quantity::maths::{hypot, sin_cos};
use crate::solid::tolerance::SAME;
use crate::solid::{Intervals, Plane, Point3, Pose, Vector3, pose_of};

use super::State;

/// A rectangle in slope coordinates, metres.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rectangle {
    /// Left.
    pub x0: f64,
    /// Right.
    pub x1: f64,
    /// Low.
    pub y0: f64,
    /// High.
    pub y1: f64,
}

/// An outline in slope coordinates, counter-clockwise, metres.
#[derive(Clone, Debug)]
pub struct Outline {
    /// Corners.
    pub corners: Vec<(f64, f64)>,
    /// Edge i runs from corner i to the next.
    pub edges: Vec<Edge>,
    /// Names of openings with their places.
    pub openings: Vec<(String, Rectangle)>,
    /// Whether all corners bend the same way.
    pub convex: bool,
    /// Outward unit normal of each edge.
    normals: Vec<(f64, f64)>,
    /// Sine and cosine of the pitch.
    pitch: (f64, f64),
}

/// The pose of a slope in the world.
pub fn slope_pose(slope: &Slope) -> Pose {
    let (x, y, z) = slope_axes(slope.facing.value, slope.pitch.value);
    pose_of(&Point3::from(slope.eave_point.map(|l| l.metres())), [x, y, z])
}

impl Outline {
    /// The outline of a slope in one state.
    pub fn of(slope: &Slope, state: State) -> Outline {
        let found = (state == State::Found).then_some(slope.found_outline.as_ref()).flatten();
        let corners: Vec<(f64, f64)> =
            found.unwrap_or(&slope.outline).iter().map(|(x, y)| (x.metres(), y.metres())).collect();
        let openings = slope
            .openings
            .iter()
            .map(|o| {
                let (at, size) = if state == State::Found { o.found.unwrap_or((o.at, o.size)) } else { (o.at, o.size) };
                let (x0, y0) = (at.0.metres(), at.1.metres());
                (o.name.clone(), Rectangle { x0, y0, x1: x0 + size.0.metres(), y1: y0 + size.1.metres() })
            })
            .collect();
        let n = corners.len();
        let convex = (0..n).all(|i| {
            let (a, b, c) = (corners[i], corners[(i + 1) % n], corners[(i + 2) % n]);
            (b.0 - a.0) * (c.1 - b.1) - (b.1 - a.1) * (c.0 - b.0) > 0.0
        });
        let normal = |i: usize| {
            let (a, b) = (corners[i], corners[(i + 1) % n]);
            let (dx, dy) = (b.0 - a.0, b.1 - a.1);
            let len = hypot(dx, dy);
            (dy / len, -dx / len)
        };
        let normals = (0..n).map(normal).collect();
        let pitch = sin_cos(slope.pitch.radians());
        Outline { corners, edges: slope.edges.clone(), openings, convex, normals, pitch }
    }

    /// Ends of an edge.
    pub fn ends(&self, edge: usize) -> Option<((f64, f64), (f64, f64))> {
        let a = *self.corners.get(edge)?;
        let b = *self.corners.get((edge + 1) % self.corners.len())?;
        Some((a, b))
    }

    /// Outward unit normal of an edge in the plane of the slope.
    pub fn outward(&self, edge: usize) -> Option<(f64, f64)> {
        self.normals.get(edge).copied()
    }

    /// Bounds: least and greatest x and y.
    pub fn bounds(&self) -> Rectangle {
        let none = Rectangle { x0: f64::INFINITY, x1: f64::NEG_INFINITY, y0: f64::INFINITY, y1: f64::NEG_INFINITY };
        self.corners.iter().fold(none, |r, (x, y)| Rectangle {
            x0: r.x0.min(*x),
            x1: r.x1.max(*x),
            y0: r.y0.min(*y),
            y1: r.y1.max(*y),
        })
    }

    /// The nearest x at which the outline has a height: what stands flush with its side counts as standing on it.
    pub fn inside_x(&self, x: f64) -> f64 {
        let b = self.bounds();
        let inset = (SAME / 10.0).min((b.x1 - b.x0) / 2.0);
        x.max(b.x0 + inset).min(b.x1 - inset)
    }

    /// The plane that cuts what ends at an edge, in slope coordinates, moved inward by `setback` along its normal.
    pub fn cut_plane(&self, edge: usize, setback: f64) -> Option<Plane> {
        self.plane(edge, self.edges.get(edge)?.cut.value, setback)
    }

    /// The plane that cuts what keeps an edge's hold-back: the cut through the edge, moved inward by `hold_back` in the
    /// plane of the slope, at a right angle to the edge.
    pub fn held_back_plane(&self, edge: usize, hold_back: f64) -> Option<Plane> {
        let mut plane = self.cut_plane(edge, 0.0)?;
        let (nx, ny) = self.outward(edge)?;
        // A cut that leans is thinner across than in the plane of the slope.
        plane.offset -= hold_back * plane.normal.dot(&Vector3::new(nx, ny, 0.0));
        Some(plane)
    }

    /// The vertical plane through an edge, moved inward by `setback` along its (level) normal.
    pub fn plumb_plane(&self, edge: usize, setback: f64) -> Option<Plane> {
        self.plane(edge, EndCut::Plumb, setback)
    }

    fn plane(&self, edge: usize, cut: EndCut, setback: f64) -> Option<Plane> {
        let (a, b) = self.ends(edge)?;
        let along = Vector3::new(b.0 - a.0, b.1 - a.1, 0.0);
        let (nx, ny) = self.outward(edge)?;
        let (sin, cos) = self.pitch;
        // The direction that the cut contains beside the edge itself.
        let second = match cut {
            EndCut::Square => Vector3::z(),
            EndCut::Plumb => Vector3::new(0.0, sin, cos),
            EndCut::Level => Vector3::new(0.0, -cos, sin),
        };
        let mut normal = along.cross(&second);
        if normal.dot(&Vector3::new(nx, ny, 0.0)) < 0.0 {
            normal = -normal;
        }
        let mut plane = Plane::through(Point3::new(a.0, a.1, 0.0), normal);
        plane.offset -= setback;
        Some(plane)
    }

    /// How far an edge's cut lies outward at level `z` from where it lies at level zero, in the plane of the slope.
    pub fn cut_shift(&self, edge: usize, z: f64) -> f64 {
        let Some((_, ny)) = self.outward(edge) else { return 0.0 };
        let (sin, cos) = self.pitch;
        match self.edges.get(edge).map(|e| e.cut.value) {
            Some(EndCut::Plumb) => ny * z * sin / cos,
            Some(EndCut::Level) => -ny * z * cos / sin,
            Some(EndCut::Square) | None => 0.0,
        }
    }

    /// Where the outline has material along the line x = const, each end with the edge that it meets.
    pub fn along_y(&self, x: f64) -> Vec<((f64, usize), (f64, usize))> {
        self.crossings(|c| *c, x)
    }

    /// Where the outline has material along the line y = const, each end with the edge that it meets.
    pub fn along_x(&self, y: f64) -> Vec<((f64, usize), (f64, usize))> {
        self.crossings(|c| (c.1, c.0), y)
    }

    /// Crossings with a line on which the first coordinate (after `swap`) is `at`.
    fn crossings(&self, swap: impl Fn(&(f64, f64)) -> (f64, f64), at: f64) -> Vec<((f64, usize), (f64, usize))> {
        let mut hits: Vec<(f64, usize)> = Vec::new();
        for i in 0..self.corners.len() {
            let Some((a, b)) = self.ends(i) else { continue };
            let (a, b) = (swap(&a), swap(&b));
            if (a.0 > at) != (b.0 > at) {
                hits.push((a.1 + (at - a.0) / (b.0 - a.0) * (b.1 - a.1), i));
            }
        }
        hits.sort_by(|p, q| p.0.total_cmp(&q.0));
        hits.chunks_exact(2).map(|p| (p[0], p[1])).filter(|(p, q)| q.0 > p.0).collect()
    }

    /// Stretches of x over which the whole band from `y0` to `y1` lies inside the outline, drawn in by each edge's
    /// hold-back.
    pub fn band(&self, y0: f64, y1: f64, hold_back: impl Fn(&Edge) -> f64) -> Intervals {
        // Between two neighbouring levels every edge is straight, so the band is inside where both its borders are;
        // each level is asked just above and just below, for corners and level edges that lie on it.
        let mut levels = vec![y0, y1];
        levels.extend(self.corners.iter().map(|c| c.1).filter(|y| *y > y0 && *y < y1));
        levels.sort_by(f64::total_cmp);
        let nudge = 1e-9;
        let mut whole: Option<Intervals> = None;
        for pair in levels.windows(2) {
            if pair[1] - pair[0] < 4.0 * nudge {
                continue;
            }
            for y in [pair[0] + nudge, pair[1] - nudge] {
                let stretches = self
                    .along_x(y)
                    .into_iter()
                    .map(|((a, left), (b, right))| {
                        let back = |edge: usize| {
                            // A hold-back is measured at a right angle to the edge; along x it is longer.
                            let nx = self.outward(edge).map_or(1.0, |n| n.0.abs().max(0.05));
                            self.edges.get(edge).map_or(0.0, |e| hold_back(e) / nx)
                        };
                        (a + back(left), b - back(right))
                    })
                    .collect();
                let here = Intervals::union(stretches);
                whole = Some(match whole {
                    Some(w) => w.intersection(&here),
                    None => here,
                });
            }
        }
        whole.unwrap_or_default()
    }

    /// Whether an edge runs along the eave between the lowest and the highest level: a step of the outline. Within a
    /// gradient of 1 in 10, so that a step stays one where it was found out of square.
    pub fn is_step(&self, edge: usize) -> bool {
        let bounds = self.bounds();
        let within = |y: f64| y > bounds.y0 + SAME && y < bounds.y1 - SAME;
        self.ends(edge)
            .is_some_and(|(a, b)| (b.1 - a.1).abs() <= (b.0 - a.0).abs() / 10.0 && within(a.1) && within(b.1))
    }

    /// Stretches of x over which the band from `y0` to `y1` is nearer to a step than the step's hold-back.
    pub fn near_steps(&self, y0: f64, y1: f64, hold_back: impl Fn(&Edge) -> f64) -> Vec<(f64, f64)> {
        let stretch = |e: usize| {
            let (a, b) = self.ends(e).filter(|_| self.is_step(e))?;
            let (back, out) = (self.edges.get(e).map(&hold_back)?, self.outward(e)?.1);
            // The level up to which a course may come, and the band's border on that side; inward is positive.
            let inward = -out.signum();
            let border = if inward > 0.0 { y0 } else { y1 };
            let far = if inward > 0.0 { y1 } else { y0 };
            let room = |y: f64| (border - y) * inward - back;
            let (low, high) = if a.0 < b.0 { (a, b) } else { (b, a) };
            let reaches = (far - low.1.min(high.1)) * inward > 0.0 || (far - low.1.max(high.1)) * inward > 0.0;
            let (at_low, at_high) = (room(low.1) + SAME, room(high.1) + SAME);
            if !reaches || (at_low >= 0.0 && at_high >= 0.0) {
                return None;
            }
            // Where the step is out of square the border crosses the hold-back somewhere along it.
            let crossing = low.0 + (high.0 - low.0) * at_low / (at_low - at_high);
            Some(match (at_low < 0.0, at_high < 0.0) {
                (true, true) => (low.0, high.0),
                (true, false) => (low.0, crossing),
                (false, _) => (crossing, high.0),
            })
        };
        (0..self.edges.len()).filter_map(stretch).collect()
    }

    /// Edges of a kind.
    pub fn edges_of(&self, kinds: &[EdgeKind]) -> Vec<usize> {
        (0..self.edges.len()).filter(|i| self.edges.get(*i).is_some_and(|e| kinds.contains(&e.kind))).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::design::read_design;

    fn l_shape() -> Outline {
        let text = r#"
format = 1
name = "L"
units = "millimetres"
[[slope]]
name = "S"
pitch = "30 deg"
outline = [["0 mm","0 mm"],["6000 mm","0 mm"],["6000 mm","2000 mm"],["3000 mm","2000 mm"],["3000 mm","4000 mm"],["0 mm","4000 mm"]]
[[rafters]]
section = { nominal = "2x8" }
spacing = "600 mm"
[lattice]
batten = { nominal = "1x4", spacing = "400 mm" }
[fastening]
diameter = "3 mm"
length = "75 mm"
"#;
        let design = read_design("l.toml", text).unwrap_or_else(|f| panic!("{}", f.render(false)));
        Outline::of(&design.slopes[0], State::Drawn)
    }

    #[test]
    fn a_band_across_a_step_keeps_only_what_lies_inside_whole() {
        let o = l_shape();
        assert!(!o.convex);
        assert_eq!(o.band(1.0, 1.1, |_| 0.0).as_slice(), &[(0.0, 6.0)]);
        assert_eq!(o.band(1.95, 2.05, |_| 0.0).as_slice(), &[(0.0, 3.0)]);
        assert_eq!(o.band(3.0, 3.1, |_| 0.1).as_slice(), &[(0.1, 2.9)]);
        assert!(o.band(3.95, 4.05, |_| 0.0).as_slice().is_empty());
    }

    #[test]
    fn a_band_keeps_off_a_step() {
        let mut o = l_shape();
        assert_eq!((0..6).filter(|e| o.is_step(*e)).collect::<Vec<_>>(), [2]);
        // The step runs from x = 3 to 6 at y = 2, with the roof below it.
        assert!(o.near_steps(1.8, 1.9, |_| 0.1).is_empty());
        assert_eq!(o.near_steps(1.8, 1.95, |_| 0.1), [(3.0, 6.0)]);
        assert!(o.near_steps(2.0, 2.1, |_| 0.1).is_empty(), "beyond it there is another part of the roof, or none");
        // Found 60 mm lower at its right end the border crosses the hold-back half way: 2 - 0.06 / 2 - 0.1 = 1.87.
        o.corners[2].1 = 1.94;
        let near = o.near_steps(1.8, 1.87, |_| 0.1);
        assert!(near.len() == 1 && (near[0].0 - 4.5).abs() < 1e-4 && near[0].1 == 6.0, "{near:?}");
    }

    #[test]
    fn a_plumb_cut_leans_with_the_pitch() {
        let o = l_shape();
        let plane = o.cut_plane(4, 0.0).expect("the top edge");
        // Straight down from the edge: 1 m of plumb line is sin down the slope and cos into it.
        let down = Point3::new(1.0, 4.0 - 0.5, -(30f64.to_radians().cos()));
        assert!(plane.distance(&down).abs() < 1e-12);
        assert!((o.cut_shift(4, -1.0) + 30f64.to_radians().tan()).abs() < 1e-12);
    }

    #[test]
    fn a_hold_back_is_measured_in_the_slope_whatever_the_cut() {
        let o = l_shape();
        let held = o.held_back_plane(4, 0.1).expect("the top edge");
        assert!(held.distance(&Point3::new(1.0, 3.9, 0.0)).abs() < 1e-12);
        // Moved along the level normal of a plumb cut the same number reaches further up the slope.
        let level = o.plumb_plane(4, 0.1).expect("the top edge");
        let in_slope = 0.1 / 30f64.to_radians().cos();
        assert!(level.distance(&Point3::new(1.0, 4.0 - in_slope, 0.0)).abs() < 1e-12);
    }
}
