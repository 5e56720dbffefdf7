//! Zones of the wind as polygons on a slope.
//!
//! Aim: which zone holds which stretch of a course. Reason: suction at corners is several times that of the field, and an
//! outline has as many corners as it has. Limits: a zone is what lies within a width of an edge (measured at a right angle
//! to it, in plan or on the slope; past the edge's ends by the same width), cut by the outline; where zones of one layer
//! overlap, the first of the list counts.

use crate::design::EdgeKind;
use crate::solid::Intervals;
use crate::structure::Outline;

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
    /// The zone within reach of some edges, and of some further ones that are not the same edge; `and` empty is no
    /// condition, `near` empty is everywhere. Reaches are measured in plan where `cos` is the pitch's cosine, on the slope
    /// where it is 1.
    pub fn along(outline: &Outline, near: (&[usize], f64), and: Option<(&[usize], f64)>, cos: f64) -> ZoneArea {
        let strips = near.0.iter().filter_map(|e| {
            let others = and.map(|(edges, reach)| {
                edges.iter().filter(|o| *o != e).filter_map(|o| strip(outline, *o, reach, cos)).collect()
            });
            Some((strip(outline, *e, near.1, cos)?, others.into_iter().collect()))
        });
        ZoneArea { near: Some(strips.collect()), layer: 0 }
    }

    /// What of a zone lies within reach of some edges as well.
    pub fn also_near(self, outline: &Outline, edges: &[usize], reach: f64, cos: f64) -> ZoneArea {
        let Some(mut near) = self.near else {
            return ZoneArea { layer: self.layer, ..ZoneArea::along(outline, (edges, reach), None, cos) };
        };
        let strips: Vec<Strip> = edges.iter().filter_map(|e| strip(outline, *e, reach, cos)).collect();
        for (_, conditions) in &mut near {
            conditions.push(strips.clone());
        }
        ZoneArea { near: Some(near), layer: self.layer }
    }

    /// The zone near edges of some kinds (and of some others), measured on the slope; an empty list is no condition.
    pub fn new(outline: &Outline, near: &[EdgeKind], and_near: &[EdgeKind], width: f64) -> ZoneArea {
        if near.is_empty() {
            return ZoneArea::default();
        }
        let and = outline.edges_of(and_near);
        let and = (!and_near.is_empty()).then_some((and.as_slice(), width));
        ZoneArea::along(outline, (&outline.edges_of(near), width), and, 1.0)
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

/// The rectangle along an edge, inward by the reach and past its ends by the same; see [`ZoneArea::along`].
fn strip(outline: &Outline, edge: usize, reach: f64, cos: f64) -> Option<Strip> {
    let (a, b) = outline.ends(edge)?;
    let (a, b) = ((a.0, a.1 * cos), (b.0, b.1 * cos));
    let (dx, dy) = (b.0 - a.0, b.1 - a.1);
    let length = dx.hypot(dy);
    if length <= 0.0 {
        return None;
    }
    // Along the edge, and outward: along turned clockwise, as corners run counter-clockwise.
    let (tx, ty) = (dx / length, dy / length);
    let (nx, ny) = (ty, -tx);
    let (a, b) = ((a.0 - tx * reach, a.1 - ty * reach), (b.0 + tx * reach, b.1 + ty * reach));
    let inward = |p: (f64, f64)| (p.0 - nx * reach, p.1 - ny * reach);
    Some([a, b, inward(b), inward(a)].map(|(x, y)| (x, y / cos)))
}

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
    use crate::structure::State;

    fn outline(text: &str) -> Outline {
        let text = format!(
            "format = 1\nname = \"Z\"\nunits = \"millimetres\"\n{text}\n[[rafters]]\nsection = {{ nominal = \"2x8\" }}\nspacing = \"600 mm\"\n[lattice]\nbatten = {{ nominal = \"1x4\", spacing = \"400 mm\" }}\n[fastening]\ndiameter = \"3 mm\"\nlength = \"75 mm\"\n"
        );
        let design = read_design("z.toml", &text).unwrap_or_else(|f| panic!("{}", f.render(false)));
        Outline::of(&design.slopes[0], State::Drawn)
    }

    const RECTANGLE: &str = "[[slope]]\nname = \"S\"\npitch = \"30 deg\"\nsize = [\"10000 mm\", \"6000 mm\"]";

    fn rakes_and_corners(o: &Outline, width: f64) -> Zones {
        let (flat, steep) = ([EdgeKind::Eave, EdgeKind::Top], [EdgeKind::Rake]);
        Zones {
            areas: vec![
                ZoneArea::new(o, &flat, &steep, width),
                ZoneArea::new(o, &[EdgeKind::Eave, EdgeKind::Top, EdgeKind::Rake], &[], width),
                ZoneArea::new(o, &[], &[], width),
            ],
        }
    }

    #[test]
    fn a_rectangle_has_corners_edges_and_a_field() {
        let zones = rakes_and_corners(&outline(RECTANGLE), 1.0);
        let inside = |y: f64| -> Vec<(f64, f64, usize)> {
            zones.along(y).into_iter().map(|(a, b, z)| (a.max(0.0), b.min(10.0), z)).filter(|s| s.1 > s.0).collect()
        };
        assert_eq!(inside(0.5), vec![(0.0, 1.0, 0), (1.0, 9.0, 1), (9.0, 10.0, 0)]);
        assert_eq!(inside(3.0), vec![(0.0, 1.0, 1), (1.0, 9.0, 2), (9.0, 10.0, 1)]);
        assert_eq!(inside(5.9), vec![(0.0, 1.0, 0), (1.0, 9.0, 1), (9.0, 10.0, 0)]);
    }

    #[test]
    fn an_area_is_what_the_formula_says() {
        let zones = rakes_and_corners(&outline(RECTANGLE), 1.5);
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
        let o = outline(
            "[[slope]]\nname = \"S\"\npitch = \"30 deg\"\noutline = [[\"0 mm\",\"0 mm\"],[\"8000 mm\",\"0 mm\"],[\"8000 mm\",\"4000 mm\"],[\"4000 mm\",\"4000 mm\"]]\n[[edge]]\nedge = \"S.4\"\nkind = \"hip\"",
        );
        let zones = Zones { areas: vec![ZoneArea::new(&o, &[EdgeKind::Hip], &[], 1.0)] };
        let [(a, b, 0)] = zones.along(2.0)[..] else { panic!("one stretch") };
        // The hip runs at 45 degrees through (2, 2): one metre at a right angle to it is sqrt(2) along x.
        assert!((a - 2.0).abs() < 1e-9 && (b - 2.0 - 2f64.sqrt()).abs() < 1e-9, "{a} {b}");
    }
}
