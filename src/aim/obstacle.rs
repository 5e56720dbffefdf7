//! Places on battens' faces that heads keep away from.
//!
//! Aim: clips' bases and heads that were left in, found by where they are. Reason: a roof has as many clips as landings, and
//! each window asks for the few beside it. Limits: rectangles along the slope's axes, and places.

use super::window::REACH;
use crate::design::Design;
use crate::lattice::{Landing, SlopeLattice};

/// Something to keep away from on the batten's face: a rectangle, or a place.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Obstacle {
    /// Left and right, x on the slope, metres.
    pub x: (f64, f64),
    /// Low and high, y on the slope, metres.
    pub y: (f64, f64),
    /// Least distance from there to a fastener's axis, metres.
    pub radius: f64,
}

impl Obstacle {
    /// The clips of the roofing on a slope: a fastener's head keeps off their bases.
    pub fn clips(design: &Design, on: &SlopeLattice) -> Vec<Obstacle> {
        let Some(panels) = &design.panels else { return Vec::new() };
        let (across, up) = (panels.clip_width.metres() / 2.0, panels.clip_length.metres() / 2.0);
        let radius = design.fastening.head.metres() / 2.0;
        let of =
            |c: &crate::lattice::Clip| Obstacle { x: (c.x - across, c.x + across), y: (c.y - up, c.y + up), radius };
        on.clips.iter().filter(|c| c.piece.is_some()).map(of).collect()
    }

    /// The head of a fastener that stays where it missed: another head keeps off it.
    pub fn head(design: &Design, (x, y): (f64, f64)) -> Obstacle {
        Obstacle { x: (x, x), y: (y, y), radius: design.fastening.head.metres() }
    }

    /// Whether it is near enough to matter at a landing.
    fn is_near(&self, landing: &Landing) -> bool {
        let away = |at: f64, (low, high): (f64, f64)| (low - at).max(at - high) - self.radius;
        away(landing.x, self.x) < 2.0 * REACH && away(landing.y, self.y) < 2.0 * REACH
    }

    fn row(&self) -> i64 {
        row(self.y.0)
    }
}

/// Rows as high as a window can reach hold obstacles by their lower edges; a cast beyond the whole numbers stays at their
/// end.
fn row(y: f64) -> i64 {
    (y / (2.0 * REACH)).floor() as i64
}

/// Obstacles of one slope, in rows up the slope and from left to right in each.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Obstacles {
    sorted: Vec<Obstacle>,
    /// How far from its left and its lower edge one can still matter: its greatest size and radius, metres.
    across: f64,
    up: f64,
}

impl Obstacles {
    /// Sorts them.
    pub fn new(mut all: Vec<Obstacle>) -> Obstacles {
        all.sort_by(|a, b| a.row().cmp(&b.row()).then(a.x.0.total_cmp(&b.x.0)).then(a.y.0.total_cmp(&b.y.0)));
        let most = |of: fn(&Obstacle) -> f64| all.iter().map(of).fold(0.0, f64::max) + 2.0 * REACH;
        let (across, up) = (most(|o| o.x.1 - o.x.0 + o.radius), most(|o| o.y.1 - o.y.0 + o.radius));
        Obstacles { sorted: all, across, up }
    }

    /// Whether there are none.
    pub fn is_empty(&self) -> bool {
        self.sorted.is_empty()
    }

    /// Those that are near enough to matter at a landing.
    pub fn near<'o>(&'o self, landing: &'o Landing) -> impl Iterator<Item = &'o Obstacle> {
        let (left, right) = (landing.x - self.across, landing.x + self.across);
        (row(landing.y - self.up)..=row(landing.y + self.up)).flat_map(move |row| {
            let from = self.sorted.partition_point(|o| o.row() < row || (o.row() == row && o.x.0 < left));
            let rest = self.sorted.get(from..).unwrap_or_default();
            rest.iter().take_while(move |o| o.row() == row && o.x.0 <= right).filter(|o| o.is_near(landing))
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::lattice::{On, Side};
    use proptest::prelude::*;

    proptest! {
        /// The rows find what looking at each obstacle finds.
        #[test]
        fn rows_find_what_a_look_at_all_finds(
            all in prop::collection::vec((-1.0..3.0_f64, -1.0..3.0_f64, 0.0..0.2_f64, 0.0..0.9_f64, 0.0..0.05_f64), 0..60),
            x in -1.0..3.0_f64,
            y in -1.0..3.0_f64,
        ) {
            let of = |(x, y, w, h, radius): (f64, f64, f64, f64, f64)| Obstacle { x: (x, x + w), y: (y, y + h), radius };
            let all: Vec<Obstacle> = all.into_iter().map(of).collect();
            let landing = Landing { x, y, piece: 0, on: On::Place, first: 0, count: 0, side: Side::Whole, number: 1 };
            let key = |o: &&Obstacle| (o.x.0.to_bits(), o.y.0.to_bits(), o.radius.to_bits());
            let mut seen: Vec<&Obstacle> = all.iter().filter(|o| o.is_near(&landing)).collect();
            let sorted = Obstacles::new(all.clone());
            let mut found: Vec<&Obstacle> = sorted.near(&landing).collect();
            seen.sort_by_key(key);
            found.sort_by_key(key);
            prop_assert_eq!(found, seen);
        }
    }
}
