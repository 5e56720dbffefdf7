//! Fasteners moved into their sure windows, in a pattern that does not split the board.
//!
//! Windows here are those of the plan before anything moved: landings of one board end half way to where the rule has
//! their neighbours.

use super::condition::{Condition, Conditions};
use super::obstacle::{Obstacle, Obstacles};
use super::region::Region;
use super::window::Site;
use crate::design::{AimPlace, Design, SlopeId};
use crate::lattice::{Fastener, Lattice, tape_bodies};
use crate::quantity::maths::hypot;
use crate::structure::Structure;

/// Moves fasteners into their sure windows where the design asks for it: those that are not yet driven, and that no
/// `[[move]]` places. A landing without a window keeps its places.
pub fn placed(design: &Design, found: &Structure, mut lattice: Lattice) -> Lattice {
    if design.aim.place.value != AimPlace::Window {
        return lattice;
    }
    let mut moved: Vec<Vec<(usize, Vec<Fastener>)>> = Vec::new();
    for (s, (frame, on)) in found.slopes.iter().zip(&lattice.slopes).enumerate() {
        let slope = SlopeId(s);
        let Some(under) = found.under.get(s) else { continue };
        let clips = Obstacles::new(Obstacle::clips(design, on));
        let (tapes, straps) = (tape_bodies(on, &lattice.levels), found.strap_bodies(slope));
        let site = Site {
            design,
            structure: found,
            lattice: &lattice,
            frame,
            on,
            under,
            tapes: &tapes,
            straps: &straps,
            keep_away: &clips,
        };
        let free = |number: &usize| {
            let Some(landing) = on.landings.get(*number) else { return false };
            let moved = || design.move_of(&on.landing_name(landing, found)).is_some();
            !on.is_driven(design, slope, landing) && (design.moves.is_empty() || !moved())
        };
        let numbers = (0..on.landings.len()).filter(free);
        moved.push(numbers.filter_map(|n| Some((n, place(&site, n)?))).collect());
    }
    for (on, moved) in lattice.slopes.iter_mut().zip(moved) {
        for (number, places) in moved {
            let Some(landing) = on.landings.get_mut(number) else { continue };
            let n = places.len().max(1) as f64;
            landing.x = places.iter().map(|f| f.x).sum::<f64>() / n;
            landing.y = places.iter().map(|f| f.y).sum::<f64>() / n;
            let first = landing.first as usize;
            if let Some(into) = on.fasteners.get_mut(first..first + places.len()) {
                into.copy_from_slice(&places);
            }
        }
    }
    lattice
}

/// Places for a landing's fasteners, each in its sure window and none nearer to another than is asked: the stated pattern
/// if it does not split the board, else one above the other, slightly in zigzag. The whole pattern is moved as little as
/// possible. `None` where no such place is found.
fn place(site: &Site<'_>, number: usize) -> Option<Vec<Fastener>> {
    let landing = site.on.landings.get(number)?;
    let now: Vec<[f64; 2]> = site.on.fasteners_of(landing).iter().map(|f| [f.x, f.y]).collect();
    let middle = [landing.x, landing.y];
    let d = site.design.fastening.diameter.metres();
    let stated: Vec<[f64; 2]> = now.iter().map(|p| [p[0] - middle[0], p[1] - middle[1]]).collect();
    let last = now.len().saturating_sub(1).max(1) as f64;
    let least = site.design.aim.spacing.metres();
    let half = site.design.lattice.batten.width.metres() / 2.0 - site.design.limits.batten_edge.metres();
    let above = |dx: f64| -> Vec<[f64; 2]> {
        let spread = site.design.fastening.spread.metres().min(2.0 * half).max(0.0);
        (0..now.len()).map(|k| [if k % 2 == 0 { -dx } else { dx }, (k as f64 / last - 0.5) * spread]).collect()
    };
    // Everything but the others: the pattern keeps those apart itself.
    let region = site.window(number, 0, Conditions::ALL.without(Condition::Others), site.hand());
    [stated, above(d * ZIGZAG), above(0.0)].into_iter().filter(|p| keeps_whole(p, d, least)).find_map(|pattern| {
        // Where the pattern's middle may be: each fastener's window, moved back by its place in the pattern.
        let mut room: Option<Region> = None;
        for p in &pattern {
            let own = region.moved([-p[0], -p[1]]);
            room = Some(room.map_or_else(|| own.clone(), |r| r.shared(&own)));
        }
        let room = room.filter(|r| !r.is_empty())?;
        let at = inside(&room, middle)?;
        Some(pattern.iter().map(|p| Fastener { x: at[0] + p[0], y: at[1] + p[1] }).collect())
    })
}

/// How far the fasteners of a zigzag stand off its line, in diameters: rows 2.5 diameters apart are staggered rows in the
/// NDS commentary (from memory).
const ZIGZAG: f64 = 1.25;

/// In one grain line of the board fasteners stand 15 diameters apart, else at least `least` across the grain: NDS
/// commentary, without holes drilled first (from memory).
fn keeps_whole(pattern: &[[f64; 2]], diameter: f64, least: f64) -> bool {
    pattern.iter().enumerate().all(|(i, p)| {
        pattern.iter().skip(i + 1).all(|q| {
            let (along, across) = ((p[0] - q[0]).abs(), (p[1] - q[1]).abs());
            across >= least - 1e-9 || (along >= 15.0 * diameter - 1e-9 && hypot(along, across) >= least - 1e-9)
        })
    })
}

/// A place in a region, as near to a wish as may be and a hair inside the border where the region is wide enough.
fn inside(region: &Region, wish: [f64; 2]) -> Option<[f64; 2]> {
    if region.contains(wish) && region.to_border(wish) >= HAIR {
        return Some(wish);
    }
    let at = region.nearest(wish)?;
    let (low, high) = region.bounds()?;
    // Of the places round the nearest one and the region's middle line, the first that is inside.
    let middle = [(low[0] + high[0]) / 2.0, (low[1] + high[1]) / 2.0];
    let (dx, dy) = (middle[0] - at[0], middle[1] - at[1]);
    let length = hypot(dx, dy).max(HAIR);
    let steps = [HAIR, HAIR / 4.0, HAIR / 16.0];
    let towards = |t: f64| [at[0] + dx / length * t, at[1] + dy / length * t];
    let square = |t: f64| [at[0] + dx.signum() * t.min(dx.abs()), at[1] + dy.signum() * t.min(dy.abs())];
    steps.into_iter().flat_map(|t| [square(t), towards(t)]).find(|p| region.contains(*p))
}

/// A quarter of a millimetre.
const HAIR: f64 = 2.5e-4;

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_pattern_in_one_grain_line_splits_and_one_across_it_does_not() {
        let d = 0.00376;
        assert!(!keeps_whole(&[[0.0, 0.0], [0.044, 0.0]], d, 5.0 * d), "11.8 diameters in one grain line");
        assert!(keeps_whole(&[[0.0, 0.0], [0.057, 0.0]], d, 5.0 * d), "15 diameters");
        assert!(keeps_whole(&[[0.0, 0.0], [0.0, 0.044]], d, 5.0 * d));
        assert!(!keeps_whole(&[[0.0, 0.0], [0.0, 0.018]], d, 5.0 * d));
    }
}
