//! Places that no air passes.

use super::space::{End, Space};
use crate::design::{Design, SlopeId};
use crate::quantity::list::number;

/// A slope, and a rectangle on it: x, then y, metres.
pub type OnSlope = (SlopeId, (f64, f64), (f64, f64));

/// Cells that hang together and through which no way leads from an eave to a top.
#[derive(Clone, Debug, PartialEq)]
pub struct Pocket {
    /// The slopes that it lies on, in order, each with the corners of the rectangle that holds it: x, then y.
    pub on: Vec<OnSlope>,
    /// Its cells.
    pub cells: Vec<u32>,
    /// Area on the slopes, m2.
    pub area: f64,
    /// Whether it has an opening of its own at a low, a high side.
    pub opens: (bool, bool),
    /// Its largest cell.
    pub largest: u32,
    /// Whether a passage joins it with cells that air passes.
    pub hangs_on: bool,
}

impl Pocket {
    /// Whether the pocket is no more than a corner: within the height and the width of one cell between neighbouring
    /// courses and lines.
    pub fn is_corner(&self, height: f64, width: f64) -> bool {
        self.on.iter().all(|(_, x, y)| x.1 - x.0 <= width + 1e-6 && y.1 - y.0 <= height + 1e-6)
    }
}

impl Space {
    /// All pockets, in the order of their first cells.
    pub fn pockets(&self) -> Vec<Pocket> {
        self.zones(|c| self.way.get(c as usize) == Some(&false))
    }

    /// The pockets that are more than a corner.
    pub fn larger_pockets(&self, design: &Design) -> Vec<Pocket> {
        let height = design.lattice.batten.spacing.metres();
        // As wide as the widest cell: the clear width between neighbouring lines.
        let width = self.cells.iter().map(super::Cell::width).fold(0.0, f64::max);
        self.pockets().into_iter().filter(|p| !p.is_corner(height, width)).collect()
    }

    /// Cells of one sort that hang together, in the order of their first cells.
    pub fn zones(&self, dead: impl Fn(u32) -> bool) -> Vec<Pocket> {
        let mut neighbours: std::collections::BTreeMap<u32, Vec<u32>> = std::collections::BTreeMap::new();
        for p in &self.passages {
            for (a, b) in [(p.from, p.to), (p.to, p.from)] {
                if dead(a) {
                    neighbours.entry(a).or_default().push(b);
                }
            }
        }
        let mut seen = vec![false; self.cells.len()];
        let mut pockets = Vec::new();
        for first in (0..number(self.cells.len())).filter(|c| dead(*c)) {
            if seen.get(first as usize) != Some(&false) {
                continue;
            }
            let mut todo = vec![first];
            let mut cells = Vec::new();
            let mut hangs_on = false;
            while let Some(c) = todo.pop() {
                match seen.get_mut(c as usize) {
                    Some(s) if !*s => *s = true,
                    _ => continue,
                }
                cells.push(c);
                for n in neighbours.get(&c).into_iter().flatten() {
                    if dead(*n) {
                        todo.push(*n);
                    } else {
                        hangs_on = true;
                    }
                }
            }
            cells.sort_unstable();
            pockets.push(self.pocket(cells, hangs_on));
        }
        pockets
    }

    fn pocket(&self, cells: Vec<u32>, hangs_on: bool) -> Pocket {
        let mut on: Vec<OnSlope> = Vec::new();
        let (mut area, mut largest) = (0.0, (0, 0.0));
        for c in &cells {
            let Some(cell) = self.cells.get(*c as usize) else { continue };
            area += cell.area();
            if cell.area() > largest.1 {
                largest = (*c, cell.area());
            }
            match on.iter_mut().find(|o| o.0 == cell.slope) {
                Some((_, x, y)) => {
                    *x = (x.0.min(cell.x.0), x.1.max(cell.x.1));
                    *y = (y.0.min(cell.y.0), y.1.max(cell.y.1));
                }
                None => on.push((cell.slope, cell.x, cell.y)),
            }
        }
        on.sort_by_key(|o| o.0);
        let opens = |end| {
            let there = |o: &super::Opening| o.end == end || o.rake.is_some();
            self.openings.iter().any(|o| there(o) && cells.binary_search(&o.cell).is_ok())
        };
        Pocket { on, area, opens: (opens(End::Low), opens(End::High)), largest: largest.0, cells, hangs_on }
    }
}
