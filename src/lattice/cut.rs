//! Tape and strips cut to the outline.
//!
//! Aim: no tape and no strip past the roof or in an opening, whatever edge its sides or ends meet. Reason: a line keeps its member, and a
//! member may lie half under a rake, bend, or stand beside its line's middle where an edge runs aslant.
//! Limits: hold-backs are mitred at corners. Cuts are found at the membrane's outer face; a cut that leans goes on through
//! the thickness as its edge says.

use super::{Path, strips::part, x_at};
use crate::design::Edge;
use crate::quantity::maths::apart;
use crate::solid::tolerance::SAME;
use crate::solid::{Plane, Point3, Vector3, clipped_ring};
use crate::structure::Outline;

/// A side of the border within which a layer stays.
struct Side {
    from: (f64, f64),
    to: (f64, f64),
    plane: Plane,
}

/// The outline drawn in by hold-backs.
pub(super) struct Border {
    sides: Vec<Side>,
}

/// What is left of a band.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Left {
    /// Its middle; the middle of what is left where an edge cuts it lengthwise.
    pub path: Path,
    /// Its width.
    pub width: f64,
    /// The planes that cut it besides.
    pub cuts: Vec<Plane>,
}

impl Left {
    /// A piece of it along a part of its path, with those of the planes that reach it.
    pub fn piece(&self, path: Path) -> Left {
        let reached = |plane: &Plane| {
            let corners = quads(&path, self.width / 2.0);
            corners.iter().flatten().any(|p| plane.distance(&Point3::new(p.0, p.1, 0.0)) > -REACH)
        };
        let cuts = self.cuts.iter().filter(|p| reached(p)).copied().collect();
        Left { path, width: self.width, cuts }
    }
}

/// From how far a plane is kept with a piece, metres: a cut that leans comes nearer above the membrane.
const REACH: f64 = 0.1;

/// A place on a slope, metres.
type At = (f64, f64);

/// A part of a band between two heights, with the sides that cut it.
struct Part {
    low: f64,
    high: f64,
    sides: Vec<usize>,
}

impl Border {
    /// The border that keeps from each edge what `keep` says, metres; it goes up to openings.
    pub fn of(outline: &Outline, keep: impl Fn(&Edge) -> f64) -> Border {
        let n = outline.corners.len();
        // Each edge moved inward: a point, its direction, its plane.
        let moved: Vec<(At, At, Plane)> = (0..n)
            .filter_map(|e| {
                let ((a, _), (nx, ny)) = (outline.ends(e)?, outline.outward(e)?);
                let back = keep(outline.edges.get(e)?);
                Some(((a.0 - nx * back, a.1 - ny * back), (-ny, nx), outline.held_back_plane(e, back)?))
            })
            .collect();
        let corner = |i: usize, j: usize| -> Option<(f64, f64)> {
            let ((p, d, _), (q, f, _)) = (moved.get(i)?, moved.get(j)?);
            let cross = d.0 * f.1 - d.1 * f.0;
            let t = ((q.0 - p.0) * f.1 - (q.1 - p.1) * f.0) / cross;
            (cross.abs() > 1e-9).then_some((p.0 + d.0 * t, p.1 + d.1 * t))
        };
        let m = moved.len();
        let mut sides: Vec<Side> = Vec::new();
        for i in 0..m {
            let (before, after) = ((i + m - 1) % m, (i + 1) % m);
            let (Some(from), Some((.., plane))) = (corner(before, i).or(moved.get(i).map(|e| e.0)), moved.get(i))
            else {
                continue;
            };
            // Two edges in one line meet in no corner: the first ends where the other one began.
            let end = || outline.ends(i).zip(outline.outward(i)).zip(outline.edges.get(i));
            let straight_on = || end().map(|(((_, b), n), edge)| (b.0 - n.0 * keep(edge), b.1 - n.1 * keep(edge)));
            let Some(to) = corner(i, after).or_else(straight_on) else { continue };
            sides.push(Side { from, to, plane: *plane });
            if let (None, Some((next, ..))) = (corner(i, after), moved.get(after))
                && apart(*next, to) > SAME
            {
                let outward = Vector3::new(next.1 - to.1, to.0 - next.0, 0.0);
                let plane = Plane::through(Point3::new(to.0, to.1, 0.0), outward);
                sides.push(Side { from: to, to: *next, plane });
            }
        }
        // Round an opening the roof lies on the same hand as inside the outline, so its sides run the other way.
        for (_, hole) in &outline.openings {
            let corners = [(hole.x0, hole.y0), (hole.x0, hole.y1), (hole.x1, hole.y1), (hole.x1, hole.y0)];
            for (from, to) in corners.into_iter().zip(corners.into_iter().cycle().skip(1)) {
                let into_hole = Vector3::new(to.1 - from.1, from.0 - to.0, 0.0);
                sides.push(Side { from, to, plane: Plane::through(Point3::new(from.0, from.1, 0.0), into_hole) });
            }
        }
        Border { sides }
    }

    /// Where a level line runs inside: left and right end, each with its side.
    fn along(&self, y: f64) -> Vec<((f64, usize), (f64, usize))> {
        let mut hits: Vec<(f64, usize)> = Vec::new();
        for (i, s) in self.sides.iter().enumerate() {
            if (s.from.1 > y) != (s.to.1 > y) {
                hits.push((s.from.0 + (y - s.from.1) / (s.to.1 - s.from.1) * (s.to.0 - s.from.0), i));
            }
        }
        hits.sort_by(|a, b| a.0.total_cmp(&b.0));
        hits.chunks_exact(2).map(|p| (p[0], p[1])).filter(|(a, b)| b.0 > a.0).collect()
    }

    /// How much of a stretch of a level line lies inside, metres.
    pub fn across(&self, y: f64, (left, right): (f64, f64)) -> f64 {
        self.along(y).iter().map(|(a, b)| (b.0.min(right) - a.0.max(left)).max(0.0)).sum()
    }

    /// What lies inside of a band along a path: from low to high, and where an edge parts it, side by side.
    pub fn cut(&self, path: &Path, width: f64) -> Vec<Left> {
        let half = width / 2.0;
        let (Some(first), Some(last)) = (path.first(), path.last()) else { return Vec::new() };
        let mut levels = vec![first.0, last.0];
        for pair in path.windows(2) {
            let ((y0, x0), (y1, x1)) = (pair[0], pair[1]);
            let aside = |p: (f64, f64)| p.0 - (x0 + (x1 - x0) * (p.1 - y0) / (y1 - y0));
            let mut put = |y: f64| {
                if y > y0 && y <= y1 && y > first.0 + SAME && y < last.0 - SAME {
                    levels.push(y);
                }
            };
            for s in &self.sides {
                let (a, b) = (aside(s.from), aside(s.to));
                for (p, off) in [(s.from, a), (s.to, b)] {
                    if off.abs() < half {
                        put(p.1);
                    }
                }
                for edge in [-half, half] {
                    if (a > edge) != (b > edge) {
                        put(s.from.1 + (s.to.1 - s.from.1) * (edge - a) / (b - a));
                    }
                }
            }
        }
        levels.sort_by(f64::total_cmp);
        levels.dedup_by(|a, b| (*a - *b).abs() < SAME);
        let mut parts: Vec<Part> = Vec::new();
        for pair in levels.windows(2) {
            let (low, high) = (pair[0], pair[1]);
            let middle = (low + high) / 2.0;
            let x = x_at(path, middle);
            for ((a, left), (b, right)) in self.along(middle) {
                if b.min(x + half) - a.max(x - half) <= SAME {
                    continue;
                }
                let sides = [left, right].into_iter().filter(|s| self.past(*s, path, half, (low, high)) > SAME);
                let here = Part { low, high, sides: sides.collect() };
                let area = self.area(path, half, &here);
                let joined = parts.iter_mut().rev().filter(|p| (p.high - low).abs() < SAME).find_map(|p| {
                    let mut sides = p.sides.clone();
                    sides.extend(here.sides.iter().filter(|s| !p.sides.contains(s)));
                    let both = Part { low: p.low, high, sides };
                    let apart = self.area(path, half, p) + area;
                    ((self.area(path, half, &both) - apart).abs() <= 1e-9).then_some((p, both))
                });
                match joined {
                    Some((slot, both)) => *slot = both,
                    None => parts.push(here),
                }
            }
        }
        parts.into_iter().filter_map(|p| self.left(path, width, &p)).collect()
    }

    /// A part as it is laid; `None` where it is narrower than a saw cuts.
    fn left(&self, path: &Path, width: f64, part_of: &Part) -> Option<Left> {
        let whole = path.first().zip(path.last()).is_some_and(|(a, b)| a.0 == part_of.low && b.0 == part_of.high);
        let mut path = if whole { path.clone() } else { part(path, part_of.low, part_of.high) };
        let half = width / 2.0;
        if self.area(&path, half, part_of) < SLIVER * (part_of.high - part_of.low) {
            return None;
        }
        let planes = part_of.sides.iter().filter_map(|s| self.sides.get(*s)).map(|s| s.plane);
        let straight = path.iter().all(|p| path.first().is_some_and(|f| f.1 == p.1));
        let lengthwise = |p: &Plane| straight && p.normal.y.abs() < 1e-12 && p.normal.z.abs() < 1e-12;
        // Cut lengthwise it is the same band, only narrower.
        let x = path.first()?.1;
        let (mut left, mut right) = (x - half, x + half);
        let mut cuts = Vec::new();
        let mut narrower = false;
        for plane in planes {
            if !lengthwise(&plane) {
                cuts.push(plane);
                continue;
            }
            narrower = true;
            let at = plane.offset * plane.normal.x;
            if plane.normal.x > 0.0 { right = right.min(at) } else { left = left.max(at) }
        }
        if !narrower {
            return Some(Left { path, width, cuts });
        }
        path.iter_mut().for_each(|p| p.1 = (left + right) / 2.0);
        Some(Left { path, width: right - left, cuts })
    }

    /// How far a part of a band reaches past a side's line, metres.
    fn past(&self, side: usize, path: &Path, half: f64, (low, high): (f64, f64)) -> f64 {
        let Some(s) = self.sides.get(side) else { return 0.0 };
        quads(&part(path, low, high), half)
            .iter()
            .flatten()
            .map(|p| s.plane.distance(&Point3::new(p.0, p.1, 0.0)))
            .fold(f64::NEG_INFINITY, f64::max)
    }

    /// Area of a part of a band inside its sides, square metres.
    fn area(&self, path: &Path, half: f64, of: &Part) -> f64 {
        let inside = |quad: &[(f64, f64); 4]| {
            let mut ring = quad.to_vec();
            for s in of.sides.iter().filter_map(|s| self.sides.get(*s)) {
                ring = clipped_ring(&ring, |p| s.plane.distance(&Point3::new(p.0, p.1, 0.0)));
            }
            area(&ring)
        };
        quads(&part(path, of.low, of.high), half).iter().map(inside).sum()
    }
}

/// Nothing narrower than this is laid, metres: one millimetre.
const SLIVER: f64 = 1e-3;

/// The corners of a band, stretch by stretch.
fn quads(path: &[(f64, f64)], half: f64) -> Vec<[(f64, f64); 4]> {
    let of = |w: &[(f64, f64)]| {
        let ((y0, x0), (y1, x1)) = (w[0], w[1]);
        [(x0 - half, y0), (x0 + half, y0), (x1 + half, y1), (x1 - half, y1)]
    };
    path.windows(2).map(of).collect()
}

/// Area of a ring, square metres.
fn area(ring: &[(f64, f64)]) -> f64 {
    let next = ring.iter().cycle().skip(1);
    ring.iter().zip(next).map(|(p, q)| p.0 * q.1 - p.1 * q.0).sum::<f64>() / 2.0
}
