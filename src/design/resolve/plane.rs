//! Rectangles and outlines on a slope, in metres, as far as faults ask for them.

use super::super::model::Corner;
use crate::quantity::maths::hypot;

/// A rectangle with its sides along x and y.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rectangle {
    pub x: (f64, f64),
    pub y: (f64, f64),
}

impl Rectangle {
    /// From its lower left corner and its width and height.
    pub fn of(at: Corner, size: Corner) -> Rectangle {
        let (x, y) = (at.0.metres(), at.1.metres());
        Rectangle { x: (x, x + size.0.metres()), y: (y, y + size.1.metres()) }
    }

    /// Larger by a distance on every side; smaller where it is negative.
    pub fn grown(self, by: f64) -> Rectangle {
        Rectangle { x: (self.x.0 - by, self.x.1 + by), y: (self.y.0 - by, self.y.1 + by) }
    }

    /// Its smaller side.
    pub fn least(self) -> f64 {
        (self.x.1 - self.x.0).min(self.y.1 - self.y.0)
    }

    /// Its middle.
    pub fn middle(self) -> (f64, f64) {
        ((self.x.0 + self.x.1) / 2.0, (self.y.0 + self.y.1) / 2.0)
    }

    /// Whether it overlaps another one.
    pub fn overlaps(self, other: Rectangle) -> bool {
        let over = |a: (f64, f64), b: (f64, f64)| a.0 < b.1 && a.1 > b.0;
        over(self.x, other.x) && over(self.y, other.y)
    }

    /// Whether a stretch from one place to another one has a part in it.
    pub fn holds_part_of(self, a: (f64, f64), b: (f64, f64)) -> bool {
        // What is left of the stretch, as shares of its length, between the two sides of each direction.
        let mut left = (0.0_f64, 1.0_f64);
        for (from, to, (low, high)) in [(a.0, b.0, self.x), (a.1, b.1, self.y)] {
            let d = to - from;
            if d == 0.0 {
                if from < low || from > high {
                    return false;
                }
                continue;
            }
            let (s, t) = ((low - from) / d, (high - from) / d);
            left = (left.0.max(s.min(t)), left.1.min(s.max(t)));
        }
        left.0 <= left.1
    }

    /// Whether an edge of a polygon has a part in it.
    pub fn holds_an_edge_of(self, polygon: &[(f64, f64)]) -> bool {
        edges(polygon).any(|(a, b)| self.holds_part_of(a, b))
    }
}

/// The edges of a polygon.
fn edges(polygon: &[(f64, f64)]) -> impl Iterator<Item = ((f64, f64), (f64, f64))> {
    polygon.iter().zip(polygon.iter().cycle().skip(1)).map(|(a, b)| (*a, *b))
}

/// Whether a place that lies on no edge lies inside a polygon.
pub fn inside(polygon: &[(f64, f64)], (x, y): (f64, f64)) -> bool {
    let right_of =
        |(a, b): &((f64, f64), (f64, f64))| (a.1 > y) != (b.1 > y) && x < a.0 + (y - a.1) / (b.1 - a.1) * (b.0 - a.0);
    edges(polygon).filter(right_of).count() % 2 == 1
}

/// Nearer than this two things touch, metres: a membrane between them could not be sealed.
pub const TOUCHES: f64 = 1e-3;

/// Whether a strip between two ends, `half` wide to each side, lies under a part of an outline or touches it.
pub fn lies_under([a, b]: [(f64, f64); 2], half: f64, outline: &[(f64, f64)]) -> bool {
    let (dx, dy) = (b.0 - a.0, b.1 - a.1);
    let length = hypot(dx, dy);
    // The outline as seen from the first end along the strip.
    let turned: Vec<(f64, f64)> = outline
        .iter()
        .map(|c| (c.0 - a.0, c.1 - a.1))
        .map(|(x, y)| ((x * dx + y * dy) / length, (y * dx - x * dy) / length))
        .collect();
    let strip = Rectangle { x: (0.0, length), y: (-half, half) };
    strip.grown(TOUCHES).holds_an_edge_of(&turned) || inside(&turned, strip.middle())
}

#[cfg(test)]
mod tests {
    use super::*;

    const BOX: Rectangle = Rectangle { x: (1.0, 3.0), y: (1.0, 2.0) };

    #[test]
    fn a_stretch_has_a_part_in_a_rectangle_or_none() {
        for (a, b, there) in [
            ((0.0, 1.5), (4.0, 1.5), true),
            ((2.0, 1.5), (2.0, 9.0), true),
            ((1.5, 1.2), (2.5, 1.8), true),
            ((0.0, 1.0), (4.0, 1.0), true),
            ((3.0, 0.0), (3.0, 4.0), true),
            ((0.0, 0.0), (1.0, 1.0), true),
            ((0.0, 1.5), (0.5, 1.5), false),
            ((0.0, 0.9), (4.0, 0.9), false),
            ((0.0, 1.5), (1.5, 3.0), false),
            ((0.0, 1.4), (1.5, 2.9), false),
            ((0.0, 1.4), (1.0, 1.9), true),
        ] {
            assert_eq!((BOX.holds_part_of(a, b), BOX.holds_part_of(b, a)), (there, there), "{a:?} {b:?}");
        }
    }

    #[test]
    fn a_rectangle_in_a_notch_is_outside() {
        let l = [(0.0, 0.0), (6.0, 0.0), (6.0, 2.0), (3.0, 2.0), (3.0, 4.0), (0.0, 4.0)];
        let at = |x: f64, y: f64| Rectangle { x: (x, x + 1.0), y: (y, y + 1.0) };
        assert!(!at(4.0, 2.5).holds_an_edge_of(&l) && !inside(&l, at(4.0, 2.5).middle()));
        assert!(!at(1.0, 2.5).holds_an_edge_of(&l) && inside(&l, at(1.0, 2.5).middle()));
        assert!(at(2.5, 2.5).holds_an_edge_of(&l) && at(5.0, 0.5).holds_an_edge_of(&l));
        assert!(!at(1.0, 2.5).overlaps(at(2.0, 2.5)) && at(1.0, 2.5).overlaps(at(1.9, 1.6)));
        assert!(at(1.0, 2.5).grown(0.1).overlaps(at(2.0, 3.5)));
        assert_eq!(BOX.least(), 1.0);
    }

    #[test]
    fn a_strip_lies_under_an_outline_or_beside_it() {
        let triangle = [(0.0, 0.0), (6.0, 0.0), (3.0, 3.0)];
        let under = |a, b| lies_under([a, b], 0.1, &triangle);
        assert!(under((1.0, 0.5), (5.0, 0.5)) && under((2.9, 1.0), (3.0, 1.1)));
        // Beside the slanting edge x = y, within the rectangle round the triangle.
        assert!(!under((0.0, 2.0), (1.0, 2.0)) && !under((0.5, 1.0), (1.5, 2.0)));
        // Parallel to it and 0.1 away: it touches; and the other way round.
        let off = 0.1 * 2.0_f64.sqrt();
        assert!(under((0.5, 0.5 + off), (1.5, 1.5 + off)) && under((1.5, 1.5 + off), (0.5, 0.5 + off)));
        assert!(!under((0.5, 0.502 + off), (1.5, 1.502 + off)));
    }
}
