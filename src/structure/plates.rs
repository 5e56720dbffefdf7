//! Deck and membrane: the outline as a plate, openings cut, edges cut as each edge says.

use crate::solid::{Plate, Point2};

use super::SlopeFrame;

/// A plate between two levels.
pub fn plate(frame: &SlopeFrame, z_bottom: f64, z_top: f64) -> Plate {
    let outline = &frame.outline;
    let n = outline.corners.len();
    let ring = |z: f64| -> Vec<Point2> {
        (0..n)
            .map(|i| {
                let before = (i + n - 1) % n;
                let here = outline.corners[i];
                let (Some(a), Some(b)) = (outline.outward(before), outline.outward(i)) else {
                    return Point2::new(here.0, here.1);
                };
                // The corner moves so that it lies on both shifted edges.
                let (sa, sb) = (outline.cut_shift(before, z), outline.cut_shift(i, z));
                let det = a.0 * b.1 - a.1 * b.0;
                if det.abs() < 1e-9 {
                    return Point2::new(here.0 + a.0 * sa, here.1 + a.1 * sa);
                }
                Point2::new(here.0 + (sa * b.1 - sb * a.1) / det, here.1 + (a.0 * sb - b.0 * sa) / det)
            })
            .collect()
    };
    let holes: Vec<Vec<Point2>> = outline
        .openings
        .iter()
        .map(|(_, r)| [(r.x0, r.y0), (r.x0, r.y1), (r.x1, r.y1), (r.x1, r.y0)].map(|(x, y)| Point2::new(x, y)).to_vec())
        .collect();
    let rings = |z: f64| std::iter::once(ring(z)).chain(holes.iter().cloned()).collect();
    Plate { top: rings(z_top), bottom: rings(z_bottom), z_top, z_bottom }
}
