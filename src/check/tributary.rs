//! What part of the roofing each stretch of a batten carries.
//!
//! Aim: for every stretch along a piece, how far down and up the slope the roofing hangs on it, and how long the panel is.
//! Reason: panels run up the slope and rest on every course that they pass, so a course beside an opening or below a hip
//! carries more or less than its neighbours. Limits: a panel ends at edges and openings; between two courses it is shared
//! half and half, past the last one it hangs on that one alone.

use crate::lattice::{End, SlopeLattice};
use crate::structure::Outline;

/// A stretch of a piece with the roofing that hangs on it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stretch {
    /// Left and right end, metres.
    pub x: (f64, f64),
    /// The roofing hangs on this course from here to there, y.
    pub y: (f64, f64),
    /// Lower and upper end of the panel, y.
    pub panel: (f64, f64),
    /// No course carries this panel below.
    pub lowest: bool,
    /// No course carries this panel above.
    pub highest: bool,
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

/// Stretches shorter than this carry nothing worth a line: the gap of a joint, a saw's width.
const SLIVER: f64 = 1e-4;

/// The stretches of every piece of a slope, in the order of the pieces.
pub fn stretches(lattice: &SlopeLattice, outline: &Outline) -> Vec<Vec<Stretch>> {
    let reach = shares(lattice);
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

    (0..lattice.pieces.len())
        .map(|i| {
            let (Some(below), Some(above)) = (below.get(i), above.get(i)) else { return Vec::new() };
            merge(y_of(&i), below, above, outline)
        })
        .collect()
}

/// Left and right end of what hangs on each piece: to the middle of a joint's gap or lap.
fn shares(lattice: &SlopeLattice) -> Vec<(f64, f64)> {
    let mut reach: Vec<(f64, f64)> = lattice.pieces.iter().map(|p| p.x).collect();
    for i in 1..lattice.pieces.len() {
        let (Some(a), Some(b)) = (lattice.pieces.get(i - 1), lattice.pieces.get(i)) else { continue };
        let joined = a.course == b.course && matches!(b.ends.0, End::Joint { .. } | End::JointOverNothing);
        if joined {
            let middle = (a.x.1 + b.x.0) / 2.0;
            reach[i - 1].1 = middle;
            reach[i].0 = middle;
        }
    }
    reach
}

fn merge(y: f64, below: &[Over], above: &[Over], outline: &Outline) -> Vec<Stretch> {
    let mut cuts: Vec<f64> = below.iter().chain(above).flat_map(|(x, _)| [x.0, x.1]).collect();
    cuts.sort_by(f64::total_cmp);
    cuts.dedup_by(|a, b| *a - *b < SLIVER);
    let at = |list: &[Over], x: f64| list.iter().find(|(s, _)| s.0 <= x && x <= s.1).and_then(|(_, y)| *y);
    cuts.windows(2)
        .map(|w| {
            let middle = (w[0] + w[1]) / 2.0;
            let panel = panel(outline, middle, y);
            let inside = |v: &f64| panel.0 <= *v && *v <= panel.1;
            let (low, high) = (at(below, middle).filter(inside), at(above, middle).filter(inside));
            Stretch {
                x: (w[0], w[1]),
                y: (low.map_or(panel.0, |v| (v + y) / 2.0), high.map_or(panel.1, |v| (v + y) / 2.0)),
                panel,
                lowest: low.is_none(),
                highest: high.is_none(),
            }
        })
        .collect()
}

/// The panel that passes a place: from edge or opening to edge or opening.
fn panel(outline: &Outline, x: f64, y: f64) -> (f64, f64) {
    let all = outline.along_y(x).into_iter().map(|(a, b)| (a.0, b.0));
    let Some((mut low, mut high)) = all.min_by(|a, b| off(*a, y).total_cmp(&off(*b, y))) else { return (y, y) };
    low = low.min(y);
    high = high.max(y);
    for (_, hole) in &outline.openings {
        if hole.x0 <= x && x <= hole.x1 {
            if hole.y1 <= y {
                low = low.max(hole.y1);
            }
            if hole.y0 >= y {
                high = high.min(hole.y0);
            }
        }
    }
    (low, high)
}

/// How far a height lies outside a stretch.
fn off(stretch: (f64, f64), y: f64) -> f64 {
    (stretch.0 - y).max(y - stretch.1).max(0.0)
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
