//! A window as people mark it: so far to the left and right of a line's centre, and so far up in the board.

use super::region::Region;
use crate::quantity::Units;

/// The step of marks, metres: a sixteenth of an inch, or a millimetre.
pub fn mark_step(units: Units) -> f64 {
    match units {
        Units::Inches => 0.001_587_5,
        Units::Millimetres => 0.001,
    }
}

/// A rectangle on the grid of marks, in whole steps from an origin; its corners are marks, and all of it lies in the
/// window.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct MarkedRectangle {
    /// Left and right, in steps; negative to the left of the origin.
    pub across: (i64, i64),
    /// Low and high, in steps.
    pub up: (i64, i64),
}

/// The largest rectangle of marks round a wished place, or round another where the wish lies outside. `None` where no
/// mark falls into the window.
pub fn marked_rectangle(region: &Region, wish: [f64; 2], origin: [f64; 2], step: f64) -> Option<MarkedRectangle> {
    let (low, high) = region.bounds()?;
    let (first, last) = (up(low[1] - origin[1], step), down(high[1] - origin[1], step));
    let columns: Vec<f64> = if region.contains(wish) {
        vec![wish[0]]
    } else {
        let (a, b) = (up(low[0] - origin[0], step), down(high[0] - origin[0], step));
        (a..=b).map(|k| origin[0] + k as f64 * step).collect()
    };
    let mut best: Option<(i64, MarkedRectangle)> = None;
    for x in columns {
        for bottom in first..=last {
            for top in bottom..=last {
                let at = |k: i64| origin[1] + k as f64 * step;
                let Some((left, right)) = region.across(x, at(bottom), at(top)) else { continue };
                let across = (up(left - origin[0], step), down(right - origin[0], step));
                if across.0 > across.1 {
                    continue;
                }
                // A stretch of no width still is a mark: count marks, not steps.
                let marks = (across.1 - across.0 + 1) * (top - bottom + 1);
                if best.is_none_or(|(most, _)| marks > most) {
                    best = Some((marks, MarkedRectangle { across, up: (bottom, top) }));
                }
            }
        }
    }
    best.map(|(_, r)| r)
}

/// Below this a mark on the border counts as inside: a nanometre.
const ROUNDING: f64 = 1e-9;

fn up(v: f64, step: f64) -> i64 {
    ((v - ROUNDING) / step).ceil() as i64
}

fn down(v: f64, step: f64) -> i64 {
    ((v + ROUNDING) / step).floor() as i64
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::aim::region::{around, rectangle};

    #[test]
    fn marks_are_rounded_inward_and_keep_out_of_holes() {
        let region = Region::union_of(vec![rectangle((1.0035, 1.0095), (2.0005, 2.0042))]);
        let found = marked_rectangle(&region, [1.005, 2.002], [1.005, 2.0], 0.001).unwrap();
        assert_eq!((found.across, found.up), ((-1, 4), (1, 4)));
        // A wish outside finds the window all the same.
        assert_eq!(marked_rectangle(&region, [1.2, 2.002], [1.005, 2.0], 0.001), Some(found));
        let pierced = region.without(&[around((1.006, 1.006), (2.002, 2.002), 0.0008)]);
        let found = marked_rectangle(&pierced, [1.0045, 2.002], [1.005, 2.0], 0.001).unwrap();
        // Above the hole the whole width is left: twelve marks, against eight to its left.
        assert_eq!((found.across, found.up), ((-1, 4), (3, 4)));
        // Too small for a mark.
        let sliver = Region::union_of(vec![rectangle((1.0051, 1.0059), (2.0, 2.004))]);
        assert_eq!(marked_rectangle(&sliver, [1.0055, 2.002], [1.005, 2.0], 0.001), None);
    }
}
