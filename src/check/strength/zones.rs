//! Zones of the wind as polygons on a slope.
//!
//! Aim: which zone holds which stretch of a course. Reason: suction at corners is several times that of the field, and an
//! outline has as many corners as it has. Limits: a zone is what lies within a width of an edge (measured at a right angle
//! to it, on the slope; past the edge's ends by the same width), cut by the outline; where zones overlap, the first of the
//! list counts.

use crate::design::EdgeKind;
use crate::solid::Intervals;
use crate::structure::Outline;

/// The rectangle along one edge: its corners, counter-clockwise or not.
pub type Strip = [(f64, f64); 4];

/// Where one zone is on one slope.
#[derive(Clone, Debug, PartialEq)]
pub struct ZoneArea {
    /// Rectangles along edges; `None`: everywhere.
    pub near: Option<Vec<Strip>>,
    /// Rectangles that must hold the place as well; `None`: no further condition.
    pub and_near: Option<Vec<Strip>>,
}

impl ZoneArea {
    /// The zone near edges of some kinds (and of some others); an empty list is no condition.
    pub fn new(outline: &Outline, near: &[EdgeKind], and_near: &[EdgeKind], width: f64) -> ZoneArea {
        let strips = |kinds: &[EdgeKind]| {
            (!kinds.is_empty())
                .then(|| outline.edges_of(kinds).into_iter().filter_map(|e| strip(outline, e, width)).collect())
        };
        ZoneArea { near: strips(near), and_near: strips(and_near) }
    }

    /// Stretches of x that the zone holds at a height, before the outline cuts it.
    fn slice(&self, y: f64) -> Intervals {
        let all = Intervals::one(-1e6, 1e6);
        let of = |strips: &Option<Vec<Strip>>| match strips {
            None => all.clone(),
            Some(list) => Intervals::union(list.iter().filter_map(|s| cross(s, y)).collect()),
        };
        of(&self.near).intersection(&of(&self.and_near))
    }
}

/// The rectangle along an edge, inward by the width and past its ends by the same.
fn strip(outline: &Outline, edge: usize, width: f64) -> Option<Strip> {
    let (a, b) = outline.ends(edge)?;
    let (nx, ny) = outline.outward(edge)?;
    // Along the edge; the outward normal is this turned clockwise.
    let (tx, ty) = (-ny, nx);
    let (a, b) = ((a.0 - tx * width, a.1 - ty * width), (b.0 + tx * width, b.1 + ty * width));
    let inward = |p: (f64, f64)| (p.0 - nx * width, p.1 - ny * width);
    Some([a, b, inward(b), inward(a)])
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
    /// The zones at a height, from left to right: stretch and number of the zone; stretches in no zone are left out.
    pub fn along(&self, y: f64) -> Vec<(f64, f64, usize)> {
        let mut left = Intervals::one(-1e6, 1e6);
        let mut found = Vec::new();
        for (i, area) in self.areas.iter().enumerate() {
            let here = area.slice(y).intersection(&left);
            for (a, b) in here.as_slice() {
                found.push((*a, *b, i));
                left = left.without(*a, *b);
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
