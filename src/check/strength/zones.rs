//! Zones of the wind as polygons on a slope.
//!
//! Aim: which zone holds which stretch of a course. Reason: suction at corners is several times that of the field, and an
//! outline has as many corners as it has. Limits: a zone is what lies within a width of an edge (measured at a right angle
//! to it, in plan or on the slope; past the edge's ends by the same width), cut by the outline; where zones of one layer
//! overlap, the first of the list counts. Edges of other slopes of the building reach over, but not past their ends.

use crate::design::EdgeKind;
use crate::quantity::maths::{cos, hypot, sin, sin_cos};
use crate::solid::{Intervals, Point3};
use crate::structure::SlopeFrame;

/// An edge as the zones of a slope see it, in the coordinates of that slope.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Side {
    /// Where it begins and ends, counter-clockwise round the roof, metres.
    ends: [(f64, f64); 2],
    /// Heights of these over the slope's origin, metres.
    heights: [f64; 2],
    /// Whether it is an edge of the slope itself.
    own: bool,
}

/// The edges of a slope, each under its number.
pub fn sides(slope: &SlopeFrame) -> Vec<Side> {
    let (outline, sin) = (&slope.outline, sin(slope.pitch));
    let of = |e| outline.ends(e).map(|(a, b)| Side { ends: [a, b], heights: [a.1 * sin, b.1 * sin], own: true });
    (0..outline.edges.len()).filter_map(of).collect()
}

/// A place of another slope as a slope sees it from above, in its own coordinates, and its height over the slope's origin.
fn seen(slope: &SlopeFrame, other: &SlopeFrame, (x, y): (f64, f64)) -> ((f64, f64), f64) {
    let (sin, cos) = sin_cos(slope.pitch);
    let p = slope.pose.inverse_transform_point(&(other.pose * Point3::new(x, y, 0.0)));
    ((p.x, (p.y * cos - p.z * sin) / cos), p.y * sin + p.z * cos)
}

/// An edge of another slope as a slope sees it from above.
pub fn side_of_another(slope: &SlopeFrame, other: &SlopeFrame, edge: usize) -> Option<Side> {
    let (a, b) = other.outline.ends(edge)?;
    let (a, b) = (seen(slope, other, a), seen(slope, other, b));
    Some(Side { ends: [a.0, b.0], heights: [a.1, b.1], own: false })
}

/// How far a whole roof reaches in plan up and down one of its slopes, metres.
pub fn depth_of_roof(slope: &SlopeFrame, frames: &[SlopeFrame]) -> f64 {
    let corners = frames.iter().flat_map(|other| other.outline.corners.iter().map(move |c| seen(slope, other, *c).0.1));
    let (low, high) = corners.fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), y| (a.min(y), b.max(y)));
    (high - low).max(0.0) * cos(slope.pitch)
}

/// A line in plan: where it begins, its direction, its length in metres.
type Line = ((f64, f64), (f64, f64), f64);

impl Side {
    /// Begin, direction and length in plan; `None` for no length.
    fn in_plan(&self, cos: f64) -> Option<Line> {
        let [a, b] = self.ends.map(|(x, y)| (x, y * cos));
        let (dx, dy) = (b.0 - a.0, b.1 - a.1);
        let length = hypot(dx, dy);
        (length > 0.0).then(|| (a, (dx / length, dy / length), length))
    }

    /// Whether it and another one make a corner of the building that sticks out, within a reach in height.
    fn corner(&self, other: &Side, reach: f64, cos: f64) -> bool {
        let after = |first: &Side, then: &Side| -> Option<bool> {
            let ((a, t, l), (b, u, m)) = (first.in_plan(cos)?, then.in_plan(cos)?);
            let turn = t.0 * u.1 - t.1 * u.0;
            let off = (b.0 - a.0, b.1 - a.1);
            // Where their lines meet, along each from its begin.
            let (s, r) = ((off.0 * u.1 - off.1 * u.0) / turn, (off.0 * t.1 - off.1 * t.0) / turn);
            let level = (first.heights[1] - then.heights[0]).abs() <= reach;
            Some(turn > LEAST_TURN && s > l / 2.0 && r < m / 2.0 && level)
        };
        [after(self, other), after(other, self)].contains(&Some(true))
    }

    /// The rectangle along it, inward by the reach and past its ends by some length.
    fn strip(&self, reach: f64, past: f64, cos: f64) -> Option<Strip> {
        // Outward is along turned clockwise, as corners run counter-clockwise.
        let (a, (tx, ty), length) = self.in_plan(cos)?;
        let (nx, ny) = (ty, -tx);
        let at = |along: f64| (a.0 + tx * along, a.1 + ty * along);
        let (a, b) = (at(-past), at(length + past));
        let inward = |p: (f64, f64)| (p.0 - nx * reach, p.1 - ny * reach);
        Some([a, b, inward(b), inward(a)].map(|(x, y)| (x, y / cos)))
    }

    /// The strip of a zone near it: edges of other slopes end where they end.
    fn near(&self, reach: f64, cos: f64) -> Option<Strip> {
        self.strip(reach, if self.own { reach } else { 0.0 }, cos)
    }
}

/// Sine of the least angle by which a roof's edge turns at a corner: less is one edge that is not quite straight.
const LEAST_TURN: f64 = 0.1;

/// The rectangle along one edge: its corners, counter-clockwise or not.
pub type Strip = [(f64, f64); 4];

/// Where one zone is on one slope.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct ZoneArea {
    /// Rectangles along edges, each with conditions: of the rectangles of every condition one must hold the place as well.
    /// `None`: the zone is everywhere.
    pub near: Option<Vec<(Strip, Vec<Vec<Strip>>)>>,
    /// Zones of one layer share the slope out among them; those of different ones (different directions of the wind) lie
    /// over one another, and all count.
    pub layer: usize,
}

impl ZoneArea {
    /// The zone within reach of some of the sides, and of some further ones that are not the same edge (nor, with one of
    /// another slope, anything but a corner); `and` empty is no condition, `near` empty is everywhere. Reaches are measured in
    /// plan where `cos` is the pitch's cosine, on the slope where it is 1.
    pub fn along(sides: &[Side], near: (&[usize], f64), and: Option<(&[usize], f64)>, cos: f64) -> ZoneArea {
        let strips = near.0.iter().filter_map(|e| {
            let here = sides.get(*e)?;
            let meets = |o: &Side, reach| (here.own && o.own) || here.corner(o, reach, cos);
            let others = and.map(|(edges, reach)| {
                let others = edges.iter().filter(|o| *o != e).filter_map(|o| sides.get(*o));
                others.filter(|o| meets(o, reach)).filter_map(|o| o.strip(reach, reach, cos)).collect()
            });
            Some((here.near(near.1, cos)?, others.into_iter().collect()))
        });
        ZoneArea { near: Some(strips.collect()), layer: 0 }
    }

    /// What of a zone lies within reach of some sides as well.
    pub fn also_near(self, sides: &[Side], edges: &[usize], reach: f64, cos: f64) -> ZoneArea {
        let Some(mut near) = self.near else {
            return ZoneArea { layer: self.layer, ..ZoneArea::along(sides, (edges, reach), None, cos) };
        };
        let strips: Vec<Strip> =
            edges.iter().filter_map(|e| sides.get(*e)).filter_map(|s| s.near(reach, cos)).collect();
        for (_, conditions) in &mut near {
            conditions.push(strips.clone());
        }
        ZoneArea { near: Some(near), layer: self.layer }
    }

    /// The zone near edges of some kinds (and of some others, those of the building's other slopes too), measured on the slope; an
    /// empty list is no condition.
    pub fn new(
        slope: &SlopeFrame,
        frames: &[SlopeFrame],
        near: &[EdgeKind],
        and_near: &[EdgeKind],
        width: f64,
    ) -> ZoneArea {
        if near.is_empty() {
            return ZoneArea::default();
        }
        let outer = |k: &&EdgeKind| matches!(k, EdgeKind::Eave | EdgeKind::Rake);
        let of_others: Vec<EdgeKind> = and_near.iter().filter(outer).copied().collect();
        let mut all = sides(slope);
        let mut and = slope.outline.edges_of(and_near);
        for other in frames.iter().filter(|o| !std::ptr::eq(*o, slope)) {
            let edges = other.outline.edges_of(&of_others);
            let seen: Vec<Side> = edges.into_iter().filter_map(|e| side_of_another(slope, other, e)).collect();
            and.extend(all.len()..all.len() + seen.len());
            all.extend(seen);
        }
        let and = (!and_near.is_empty()).then_some((and.as_slice(), width));
        ZoneArea::along(&all, (&slope.outline.edges_of(near), width), and, 1.0)
    }

    /// Stretches of x that the zone holds at a height, before the outline cuts it.
    fn slice(&self, y: f64) -> Intervals {
        let Some(near) = &self.near else { return Intervals::one(-FAR, FAR) };
        let mut all = Vec::new();
        for (strip, conditions) in near {
            let mut here: Vec<(f64, f64)> = cross(strip, y).into_iter().collect();
            for strips in conditions {
                let there: Vec<(f64, f64)> = strips.iter().filter_map(|s| cross(s, y)).collect();
                let both = here.iter().flat_map(|a| there.iter().map(|b| (a.0.max(b.0), a.1.min(b.1))));
                here = both.filter(|s| s.1 > s.0).collect();
            }
            all.extend(here);
        }
        Intervals::union(all)
    }
}

/// Farther than any roof reaches, metres.
const FAR: f64 = 1e6;

/// Where a convex polygon lies on the line of constant y.
fn cross(polygon: &Strip, y: f64) -> Option<(f64, f64)> {
    let (mut low, mut high) = (f64::INFINITY, f64::NEG_INFINITY);
    for i in 0..4 {
        let (a, b) = (polygon[i], polygon[(i + 1) % 4]);
        let mut meet = |x: f64| {
            low = low.min(x);
            high = high.max(x);
        };
        if (a.1 - y).abs() < 1e-12 {
            meet(a.0);
        }
        if (a.1 < y) != (b.1 < y) {
            meet(a.0 + (y - a.1) / (b.1 - a.1) * (b.0 - a.0));
        }
    }
    (high > low).then_some((low, high))
}

/// All zones of a slope.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Zones {
    /// In the order in which they count.
    pub areas: Vec<ZoneArea>,
}

impl Zones {
    /// Heights at which the zones' edges turn, ascending.
    pub fn borders(&self) -> Vec<f64> {
        let near = self.areas.iter().filter_map(|a| a.near.as_ref()).flatten();
        let strips = near.flat_map(|(strip, others)| others.iter().flatten().chain([strip]));
        let mut all: Vec<f64> = strips.flatten().map(|corner| corner.1).collect();
        all.sort_by(f64::total_cmp);
        all.dedup_by(|b, a| *b - *a < 1e-9);
        all
    }

    /// The zones at a height, from left to right: stretch and number of the zone; stretches in no zone are left out.
    pub fn along(&self, y: f64) -> Vec<(f64, f64, usize)> {
        let mut left: Vec<(usize, Intervals)> = Vec::new();
        let mut found = Vec::new();
        for (i, area) in self.areas.iter().enumerate() {
            let place = left.iter().position(|l| l.0 == area.layer).unwrap_or_else(|| {
                left.push((area.layer, Intervals::one(-FAR, FAR)));
                left.len() - 1
            });
            let Some((_, left)) = left.get_mut(place) else { continue };
            let here = area.slice(y).intersection(left);
            for (a, b) in here.as_slice() {
                found.push((*a, *b, i));
                *left = left.without(*a, *b);
            }
        }
        found.sort_by(|p, q| p.0.total_cmp(&q.0));
        found
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::design::read_design;
    use crate::structure::{State, Structure};

    fn frame(text: &str) -> SlopeFrame {
        let text = format!(
            "format = 1\nname = \"Z\"\nunits = \"millimetres\"\n{text}\n[[rafters]]\nsection = {{ nominal = \"2x8\" }}\nspacing = \"600 mm\"\n[lattice]\nbatten = {{ nominal = \"1x4\", spacing = \"400 mm\" }}\n[fastening]\ndiameter = \"3 mm\"\nlength = \"75 mm\"\n"
        );
        let design = read_design("z.toml", &text).unwrap_or_else(|f| panic!("{}", f.render(false)));
        Structure::build(&design, State::Drawn).slopes.remove(0)
    }

    const RECTANGLE: &str = "[[slope]]\nname = \"S\"\npitch = \"30 deg\"\nsize = [\"10000 mm\", \"6000 mm\"]";

    fn rakes_and_corners(o: &SlopeFrame, width: f64) -> Zones {
        let (flat, steep) = ([EdgeKind::Eave, EdgeKind::Top], [EdgeKind::Rake]);
        Zones {
            areas: vec![
                ZoneArea::new(o, &[], &flat, &steep, width),
                ZoneArea::new(o, &[], &[EdgeKind::Eave, EdgeKind::Top, EdgeKind::Rake], &[], width),
                ZoneArea::new(o, &[], &[], &[], width),
            ],
        }
    }

    #[test]
    fn a_rectangle_has_corners_edges_and_a_field() {
        let zones = rakes_and_corners(&frame(RECTANGLE), 1.0);
        let inside = |y: f64| -> Vec<(f64, f64, usize)> {
            zones.along(y).into_iter().map(|(a, b, z)| (a.max(0.0), b.min(10.0), z)).filter(|s| s.1 > s.0).collect()
        };
        assert_eq!(inside(0.5), vec![(0.0, 1.0, 0), (1.0, 9.0, 1), (9.0, 10.0, 0)]);
        assert_eq!(inside(3.0), vec![(0.0, 1.0, 1), (1.0, 9.0, 2), (9.0, 10.0, 1)]);
        assert_eq!(inside(5.9), vec![(0.0, 1.0, 0), (1.0, 9.0, 1), (9.0, 10.0, 0)]);
    }

    #[test]
    fn an_area_is_what_the_formula_says() {
        let zones = rakes_and_corners(&frame(RECTANGLE), 1.5);
        let mut area = [0.0; 3];
        let steps = 6000;
        for k in 0..steps {
            let y = (f64::from(k) + 0.5) * 6.0 / f64::from(steps);
            for (a, b, z) in zones.along(y) {
                area[z] += (b.min(10.0) - a.max(0.0)).max(0.0) * 6.0 / f64::from(steps);
            }
        }
        assert!((area[0] - 4.0 * 2.25).abs() < 1e-9);
        assert!((area[2] - 7.0 * 3.0).abs() < 1e-9);
        assert!((area.iter().sum::<f64>() - 60.0).abs() < 1e-9);
    }

    #[test]
    fn a_slanted_edge_carries_its_zone_along() {
        let o = frame(
            "[[slope]]\nname = \"S\"\npitch = \"30 deg\"\noutline = [[\"0 mm\",\"0 mm\"],[\"8000 mm\",\"0 mm\"],[\"8000 mm\",\"4000 mm\"],[\"4000 mm\",\"4000 mm\"]]\n[[edge]]\nedge = \"S.4\"\nkind = \"hip\"",
        );
        let zones = Zones { areas: vec![ZoneArea::new(&o, &[], &[EdgeKind::Hip], &[], 1.0)] };
        let [(a, b, 0)] = zones.along(2.0)[..] else { panic!("one stretch") };
        // The hip runs at 45 degrees through (2, 2): one metre at a right angle to it is sqrt(2) along x.
        assert!((a - 2.0).abs() < 1e-9 && (b - 2.0 - 2f64.sqrt()).abs() < 1e-9, "{a} {b}");
    }
}
