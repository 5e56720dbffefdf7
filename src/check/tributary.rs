//! What part of the roofing each stretch of a batten carries.
//!
//! Aim: for every stretch along a piece, how far down and up the slope the roofing hangs on it, and how long the panel is.
//! Reason: panels run up the slope and rest on every course that they pass, so a course beside an opening or below a hip
//! carries more or less than its neighbours. Limits: a panel ends at edges and openings; between two courses it is shared
//! half and half, past the last one it hangs on that one alone. A piece that ends at an edge has what lies past its end up to that
//! edge; where no course comes under the roofing at all (the foot of a hip, the head of a valley), it hangs on the nearest
//! piece. So all of it hangs somewhere, and none twice.

use crate::lattice::{End, Piece, SlopeLattice};
use crate::quantity::maths::hypot;
use crate::structure::Outline;

/// From where to where something reaches up the slope, along a stretch: its ends are straight lines.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Band {
    /// Lower and upper end at the stretch's left end, y.
    pub left: (f64, f64),
    /// At its right end.
    pub right: (f64, f64),
}

impl Band {
    /// With level ends.
    pub const fn level(y: (f64, f64)) -> Band {
        Band { left: y, right: y }
    }

    /// Its heights left and right.
    pub fn heights(&self) -> (f64, f64) {
        (self.left.1 - self.left.0, self.right.1 - self.right.0)
    }

    /// Its lowest and its highest place.
    pub fn bounds(&self) -> (f64, f64) {
        (self.left.0.min(self.right.0), self.left.1.max(self.right.1))
    }

    /// Its ends at a part of the way from left to right.
    pub fn at(&self, part: f64) -> (f64, f64) {
        let of = |a: f64, b: f64| a + part * (b - a);
        (of(self.left.0, self.right.0), of(self.left.1, self.right.1))
    }
}

/// A stretch of a piece with the roofing that hangs on it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stretch {
    /// Left and right end, metres; past an end of the piece what hangs on that end.
    pub x: (f64, f64),
    /// The roofing hangs on this course from here to there, y.
    pub y: Band,
    /// Lower and upper end of the panel, y.
    pub panel: Band,
    /// No course carries this panel below.
    pub lowest: bool,
    /// No course carries this panel above.
    pub highest: bool,
    /// No course comes under this panel: it hangs on the nearest piece.
    pub beside: bool,
}

/// A stretch of x with the height of the last course that was met there.
#[derive(Clone, Copy)]
struct Met {
    x: (f64, f64),
    y: f64,
}

/// A stretch of x with the height of the course that was met last over it, if any was.
type Over = ((f64, f64), Option<f64>);

/// What was met last, from left to right, without overlap.
struct Front(Vec<Met>);

impl Front {
    /// What was met over a stretch; `None` where nothing was.
    fn over(&self, x: (f64, f64)) -> Vec<Over> {
        let from = self.0.partition_point(|m| m.x.1 <= x.0);
        let mut at = x.0;
        let mut found = Vec::new();
        for m in self.0.get(from..).unwrap_or_default() {
            if m.x.0 >= x.1 {
                break;
            }
            if m.x.0 > at {
                found.push(((at, m.x.0), None));
            }
            found.push(((m.x.0.max(at), m.x.1.min(x.1)), Some(m.y)));
            at = m.x.1;
        }
        if at < x.1 {
            found.push(((at, x.1), None));
        }
        found
    }

    /// Puts a whole course into the front: its pieces from left to right.
    fn put(&mut self, course: &[Met]) {
        let mut next: Vec<Met> = Vec::with_capacity(self.0.len() + course.len());
        let mut add = |m: Met| {
            if m.x.1 - m.x.0 < SLIVER {
                return;
            }
            match next.last_mut() {
                Some(last) if last.y == m.y && last.x.1 == m.x.0 => last.x.1 = m.x.1,
                _ => next.push(m),
            }
        };
        let mut new = course.iter().copied().peekable();
        for old in self.0.drain(..) {
            let mut rest = old.x.0;
            while let Some(n) = new.peek().copied() {
                if n.x.0 >= old.x.1 {
                    break;
                }
                add(Met { x: (rest, n.x.0.max(rest)), y: old.y });
                rest = rest.max(n.x.1);
                if n.x.1 > old.x.1 {
                    // It reaches into what comes next.
                    break;
                }
                add(n);
                new.next();
            }
            add(Met { x: (rest, old.x.1.max(rest)), y: old.y });
        }
        for n in new {
            add(n);
        }
        next.sort_by(|a, b| a.x.0.total_cmp(&b.x.0));
        self.0 = next;
    }
}

/// Stretches shorter than this are none.
const SLIVER: f64 = 1e-7;

/// The stretches of every piece of a slope, in the order of the pieces.
pub fn stretches(lattice: &SlopeLattice, outline: &Outline) -> Vec<Vec<Stretch>> {
    let reach = shares(lattice, outline);
    // Courses in the order of height, each with its pieces.
    let mut order: Vec<usize> = (0..lattice.pieces.len()).collect();
    let y_of =
        |i: &usize| lattice.pieces.get(*i).and_then(|p| lattice.courses.get(p.course as usize)).map_or(0.0, |c| c.y);
    order.sort_by(|a, b| y_of(a).total_cmp(&y_of(b)).then(a.cmp(b)));
    let rows: Vec<&[usize]> = order.chunk_by(|a, b| y_of(a) == y_of(b)).collect();

    let mut below: Vec<Vec<Over>> = vec![Vec::new(); lattice.pieces.len()];
    let mut above = below.clone();
    let sweep = |rows: &mut dyn Iterator<Item = &&[usize]>, into: &mut Vec<Vec<Over>>| {
        let mut front = Front(Vec::new());
        for row in rows {
            let mut mets: Vec<Met> = Vec::with_capacity(row.len());
            for i in *row {
                let Some(x) = reach.get(*i) else { continue };
                if let Some(place) = into.get_mut(*i) {
                    *place = front.over(*x);
                }
                mets.push(Met { x: *x, y: y_of(i) });
            }
            mets.sort_by(|a, b| a.x.0.total_cmp(&b.x.0));
            front.put(&mets);
        }
    };
    sweep(&mut rows.iter(), &mut below);
    sweep(&mut rows.iter().rev(), &mut above);

    let mut all: Vec<Vec<Stretch>> = (0..lattice.pieces.len())
        .map(|i| {
            let (Some(below), Some(above)) = (below.get(i), above.get(i)) else { return Vec::new() };
            merge(y_of(&i), below, above, outline)
        })
        .collect();
    let under: Vec<Under> = rows.iter().map(|row| Under::of(row, &reach, y_of)).collect();
    for (x, panel) in bare(&under, outline) {
        let (low, high) = panel.at(0.5);
        let middle = (f64::midpoint(x.0, x.1), f64::midpoint(low, high));
        let off = |i: usize| {
            let (left, right) = reach.get(i).copied().unwrap_or((f64::MAX, f64::MAX));
            hypot((left - middle.0).max(middle.0 - right).max(0.0), y_of(&i) - middle.1)
        };
        let nearest = (0..all.len()).min_by(|a, b| off(*a).total_cmp(&off(*b)));
        if let Some(list) = nearest.and_then(|i| all.get_mut(i)) {
            list.push(Stretch { x, y: panel, panel, lowest: true, highest: true, beside: true });
        }
    }
    all
}

/// The pieces of one height: where they reach, from left to right.
struct Under {
    y: f64,
    reach: Vec<(f64, f64)>,
}

impl Under {
    fn of(row: &[usize], reach: &[(f64, f64)], y_of: impl Fn(&usize) -> f64) -> Under {
        let mut here: Vec<(f64, f64)> = row.iter().filter_map(|i| reach.get(*i).copied()).collect();
        here.sort_by(|a, b| a.0.total_cmp(&b.0));
        Under { y: row.first().map_or(0.0, y_of), reach: here }
    }

    fn holds(&self, x: f64) -> bool {
        let next = self.reach.partition_point(|r| r.0 <= x);
        next.checked_sub(1).and_then(|k| self.reach.get(k)).is_some_and(|r| x <= r.1)
    }
}

/// Panels under which no course comes: the stretch of x, and where they lie.
fn bare(courses: &[Under], outline: &Outline) -> Vec<((f64, f64), Band)> {
    let bounds = outline.bounds();
    let mut cuts = turns(outline, (bounds.x0, bounds.x1));
    cuts.extend(courses.iter().flat_map(|c| &c.reach).flat_map(|r| [r.0, r.1]));
    cuts.retain(|x| bounds.x0 <= *x && *x <= bounds.x1);
    cuts.sort_by(f64::total_cmp);
    cuts.dedup_by(|b, a| *b - *a < SLIVER);
    let mut found = Vec::new();
    for x in cuts.windows(2).filter_map(|w| Some((*w.first()?, *w.last()?))) {
        let middle = f64::midpoint(x.0, x.1);
        for panel in panels(outline, x) {
            let (low, high) = panel.at(0.5);
            let from = courses.partition_point(|c| c.y < low);
            if !courses.iter().skip(from).take_while(|c| c.y <= high).any(|c| c.holds(middle)) {
                found.push((x, panel));
            }
        }
    }
    found
}

/// Left and right end of what hangs on each piece: to the middle of a joint's gap or lap, and to the edge that it ends at; where
/// an inner corner parts two pieces and the roofing goes on behind it, to the middle between them.
pub fn shares(lattice: &SlopeLattice, outline: &Outline) -> Vec<(f64, f64)> {
    let mut reach: Vec<(f64, f64)> = lattice.pieces.iter().map(|p| to_edges(p, outline)).collect();
    for i in 1..lattice.pieces.len() {
        let (Some(a), Some(b)) = (lattice.pieces.get(i - 1), lattice.pieces.get(i)) else { continue };
        let joined = matches!(b.ends.0, End::Joint { .. } | End::JointOverNothing);
        if a.course == b.course && (joined || reach[i - 1].1 > reach[i].0) {
            let middle = (a.x.1 + b.x.0) / 2.0;
            reach[i - 1].1 = middle;
            reach[i].0 = middle;
        }
    }
    reach
}

/// The ends of a piece, carried on to the edges that it ends at.
fn to_edges(piece: &Piece, outline: &Outline) -> (f64, f64) {
    let here = outline.along_x(piece.y).into_iter().find(|(a, b)| a.0 <= piece.x.1 && b.0 >= piece.x.0);
    let Some((left, right)) = here else { return piece.x };
    let edge = |end: &End| matches!(end, End::Edge { .. });
    (
        if edge(&piece.ends.0) { left.0.min(piece.x.0) } else { piece.x.0 },
        if edge(&piece.ends.1) { right.0.max(piece.x.1) } else { piece.x.1 },
    )
}

/// Places between two at which the ends of panels turn or jump: corners of the outline, sides of openings.
fn turns(outline: &Outline, (from, to): (f64, f64)) -> Vec<f64> {
    let corners = outline.corners.iter().map(|c| c.0);
    let sides = outline.openings.iter().flat_map(|(_, o)| [o.x0, o.x1]);
    corners.chain(sides).chain([from, to]).filter(|x| from <= *x && *x <= to).collect()
}

fn merge(y: f64, below: &[Over], above: &[Over], outline: &Outline) -> Vec<Stretch> {
    let mut cuts: Vec<f64> = below.iter().chain(above).flat_map(|(x, _)| [x.0, x.1]).collect();
    let (from, to) = cuts.iter().fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), x| (a.min(*x), b.max(*x)));
    cuts.extend(turns(outline, (from, to)));
    cuts.sort_by(f64::total_cmp);
    cuts.dedup_by(|b, a| *b - *a < SLIVER);
    let at = |list: &[Over], x: f64| list.iter().find(|(s, _)| s.0 <= x && x <= s.1).and_then(|(_, y)| *y);
    cuts.windows(2)
        .filter_map(|w| {
            let x = (*w.first()?, *w.last()?);
            let middle = f64::midpoint(x.0, x.1);
            let holds = |p: &Band| {
                let (low, high) = p.at(0.5);
                low <= y && y <= high
            };
            // A board that reaches out of the outline has no roofing there.
            let panel = panels(outline, x).into_iter().find(holds).unwrap_or(Band::level((y, y)));
            let inside = |v: &f64| {
                let (low, high) = panel.at(0.5);
                low <= *v && *v <= high
            };
            let (low, high) = (at(below, middle).filter(inside), at(above, middle).filter(inside));
            let half = |v: Option<f64>, ends: f64| v.map_or(ends, |v| f64::midpoint(v, y));
            let of = |ends: (f64, f64)| (half(low, ends.0), half(high, ends.1));
            let band = Band { left: of(panel.left), right: of(panel.right) };
            Some(Stretch { x, y: band, panel, lowest: low.is_none(), highest: high.is_none(), beside: false })
        })
        .collect()
}

/// The panels over a stretch within which the outline does not turn and no opening begins or ends: from edge or opening to
/// edge or opening, from low to high.
pub fn panels(outline: &Outline, x: (f64, f64)) -> Vec<Band> {
    let middle = f64::midpoint(x.0, x.1);
    let on = |(y, edge): (f64, usize), at: f64| match outline.ends(edge) {
        Some((a, b)) if a.0 != b.0 => a.1 + (at - a.0) / (b.0 - a.0) * (b.1 - a.1),
        Some(_) | None => y,
    };
    let mut holes: Vec<(f64, f64)> =
        outline.openings.iter().filter(|(_, o)| o.x0 <= middle && middle <= o.x1).map(|(_, o)| (o.y0, o.y1)).collect();
    holes.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut all = Vec::new();
    for (low, high) in outline.along_y(middle) {
        let mut from = (on(low, x.0), on(low, x.1));
        for hole in holes.iter().filter(|h| h.1 > low.0 && h.0 < high.0) {
            all.push(Band { left: (from.0, hole.0.max(from.0)), right: (from.1, hole.0.max(from.1)) });
            from = (from.0.max(hole.1), from.1.max(hole.1));
        }
        let top = (on(high, x.0), on(high, x.1));
        all.push(Band { left: (from.0, top.0.max(from.0)), right: (from.1, top.1.max(from.1)) });
    }
    all.retain(|p| p.bounds().1 - p.bounds().0 > SLIVER);
    all
}

#[cfg(test)]
mod tests {
    use super::*;

    fn met(a: f64, b: f64, y: f64) -> Met {
        Met { x: (a, b), y }
    }

    #[test]
    fn a_front_keeps_what_was_met_last() {
        let mut front = Front(Vec::new());
        front.put(&[met(0.0, 10.0, 1.0)]);
        front.put(&[met(0.0, 4.0, 2.0), met(6.0, 10.0, 2.0)]);
        assert_eq!(
            front.over((0.0, 10.0)),
            vec![((0.0, 4.0), Some(2.0)), ((4.0, 6.0), Some(1.0)), ((6.0, 10.0), Some(2.0))]
        );
        front.put(&[met(-1.0, 11.0, 3.0)]);
        assert_eq!(
            front.over((-2.0, 12.0)),
            vec![((-2.0, -1.0), None), ((-1.0, 11.0), Some(3.0)), ((11.0, 12.0), None)]
        );
        front.put(&[met(3.0, 5.0, 4.0)]);
        assert_eq!(
            front.over((2.0, 6.0)),
            vec![((2.0, 3.0), Some(3.0)), ((3.0, 5.0), Some(4.0)), ((5.0, 6.0), Some(3.0))]
        );
    }
}
