//! Cells and passages, band by band up each slope.
//!
//! A band reaches from one height at which anything begins or ends to the next: edges of battens, ends of strips, vent
//! pieces, openings, corners. Within a band nothing changes up the slope, so there it is divided by the sides of strips
//! and the ends of battens into stretches: open over the whole height, only under a batten, or only over a strip. The first
//! two become cells. A band is swept once, over what lies in it, so the work grows with the number of cells.

use super::LEAST;
use super::edges::{self, Closed, Contact};
use crate::design::{Design, Flutes, SlopeId};
use crate::lattice::{Lattice, SlopeLattice, StripPiece, VentPiece, x_at};
use crate::quantity::list::number;
use crate::solid::Intervals;
use crate::structure::{SlopeFrame, Structure};

/// A cell: a rectangle of one slope in which the space has one height.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Cell {
    /// The slope.
    pub slope: SlopeId,
    /// Left and right.
    pub x: (f64, f64),
    /// Low and high.
    pub y: (f64, f64),
    /// Lower and upper bound of its space above the membrane.
    pub z: (f64, f64),
}

impl Cell {
    /// Width along the eave.
    pub fn width(&self) -> f64 {
        self.x.1 - self.x.0
    }

    /// Length up the slope.
    pub fn length(&self) -> f64 {
        self.y.1 - self.y.0
    }

    /// Height of its space.
    pub fn height(&self) -> f64 {
        self.z.1 - self.z.0
    }

    /// Its middle.
    pub fn middle(&self) -> (f64, f64) {
        ((self.x.0 + self.x.1) / 2.0, (self.y.0 + self.y.1) / 2.0)
    }

    /// Area on the slope.
    pub fn area(&self) -> f64 {
        self.width() * self.length()
    }

    /// Volume of its space.
    pub fn volume(&self) -> f64 {
        self.area() * self.height()
    }
}

/// How two cells meet.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Way {
    /// One above the other.
    Up,
    /// Side by side, touching.
    Beside,
    /// Side by side, over a strip this wide.
    OverStrip(f64),
    /// Side by side, through the flutes of a strip this wide.
    ThroughStrip(f64),
    /// Of two slopes, over the edge that they share.
    OverEdge,
}

/// A passage between two cells.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Passage {
    /// The lower or left cell.
    pub from: u32,
    /// The upper or right cell.
    pub to: u32,
    /// How they meet.
    pub way: Way,
    /// Width of what they share, along the eave or up the slope, metres.
    pub width: f64,
    /// Height of what they share, metres.
    pub height: f64,
}

/// Where an opening stands on its slope.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum End {
    /// At the low side: an eave.
    Low,
    /// At the high side: a ridge or a high edge.
    High,
}

/// A side of a slope.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Side {
    /// Where x is least.
    Left,
    /// Where x is greatest.
    Right,
}

/// An opening of a cell to the outside, through vent pieces or a screened piece along a rake.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Opening {
    /// The cell.
    pub cell: u32,
    /// Slope and edge.
    pub edge: (SlopeId, usize),
    /// Which side of the slope.
    pub end: End,
    /// Length along the edge, metres.
    pub length: f64,
    /// The side of the cell where it is of a rake that the design opens. The wind and the free area of a rake are those of an
    /// eave below its middle, of a top above: `end` says so.
    pub rake: Option<Side>,
}

/// Which layers of the lattice are there.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Layers {
    /// Strips up the slope and battens across them, as laid.
    Both,
    /// Battens alone, on the membrane.
    Battens,
    /// Strips alone, under the panels.
    Strips,
    /// Strips across the slope under the battens.
    StripsAcross,
}

/// The space over a roof.
#[derive(Clone, Debug, Default)]
pub struct Space {
    /// Cells, slope by slope from the eave up, from left to right.
    pub cells: Vec<Cell>,
    /// Passages.
    pub passages: Vec<Passage>,
    /// Openings.
    pub openings: Vec<Opening>,
    /// Edges along which vent pieces might let air through, and none does.
    pub closed: Vec<Closed>,
    /// For each cell, whether a way from an opening at an eave to one at a top passes through it.
    pub way: Vec<bool>,
}

/// What lies in one layer while a band is swept: sorted by where it begins up the slope.
struct Sweep<T> {
    waiting: std::iter::Peekable<std::vec::IntoIter<(f64, f64, T)>>,
    here: Vec<(f64, f64, T)>,
}

impl<T> Sweep<T> {
    fn new(mut items: Vec<(f64, f64, T)>) -> Sweep<T> {
        items.sort_by(|a, b| a.0.total_cmp(&b.0));
        Sweep { waiting: items.into_iter().peekable(), here: Vec::new() }
    }

    /// What covers a height; heights only grow.
    fn at(&mut self, y: f64) -> &[(f64, f64, T)] {
        self.here.retain(|(_, high, _)| *high > y);
        while let Some(next) = self.waiting.next_if(|(low, ..)| *low <= y) {
            if next.1 > y {
                self.here.push(next);
            }
        }
        &self.here
    }
}

/// A stretch of a band in which the space does not change.
#[derive(Clone, Copy)]
struct Stretch {
    x: (f64, f64),
    z: (f64, f64),
    cell: u32,
}

impl Space {
    /// The space over all slopes, as the roof was found.
    pub fn of(design: &Design, structure: &Structure, lattice: &Lattice) -> Space {
        Space::with_layers(design, structure, lattice, Layers::Both)
    }

    /// The same where only some layers are there, or strips lie the other way: for what-ifs.
    pub fn with_layers(design: &Design, structure: &Structure, lattice: &Lattice, layers: Layers) -> Space {
        let (strip, batten) = (lattice.levels.strip, lattice.levels.batten);
        let levels = match layers {
            Layers::Both | Layers::StripsAcross => (strip, batten),
            Layers::Battens => (0.0, batten - strip),
            Layers::Strips => (strip, strip),
        };
        let mut space = Space::default();
        let mut contacts = Vec::new();
        for (i, (frame, on)) in structure.slopes.iter().zip(&lattice.slopes).enumerate() {
            let site = Site { design, slope: SlopeId(i), frame, on, levels, layers };
            let open = edges::open_vents(&site, lattice, &mut space.closed);
            site.sweep(&open, &mut space, &mut contacts);
        }
        edges::join(structure, contacts, &mut space.passages);
        space.way = space.on_a_way();
        space
    }

    /// Cells that have an opening at one side, other than along a rake.
    fn cells_open_at(&self, end: End) -> Vec<u32> {
        self.openings.iter().filter(|o| o.end == end && o.rake.is_none()).map(|o| o.cell).collect()
    }

    /// How many cells have a way from eave to top.
    pub fn with_a_way(&self) -> usize {
        self.way.iter().filter(|w| **w).count()
    }

    /// An open rake is a place outside of its own, where air may come in or go out: from an eave it may leave there, from there
    /// it may go on to a top or to another rake.
    fn on_a_way(&self) -> Vec<bool> {
        let mut links: Vec<(u32, u32)> = self.passages.iter().map(|p| (p.from, p.to)).collect();
        let (mut sources, mut sinks) = (self.cells_open_at(End::Low), self.cells_open_at(End::High));
        let along = || self.openings.iter().filter(|o| o.rake.is_some());
        let mut rakes: Vec<_> = along().map(|o| o.edge).collect();
        rakes.sort_unstable();
        rakes.dedup();
        let cells = self.cells.len();
        let place = |k: usize| number(cells + k);
        links.extend(along().filter_map(|o| Some((place(rakes.binary_search(&o.edge).ok()?), o.cell))));
        sources.extend((0..rakes.len()).map(place));
        sinks.extend((0..rakes.len()).map(place));
        let mut way = crate::airflow::on_a_way(cells + rakes.len(), &links, &sources, &sinks);
        way.truncate(cells);
        way
    }
}

/// One slope while its space is divided.
pub(super) struct Site<'a> {
    pub design: &'a Design,
    pub slope: SlopeId,
    pub frame: &'a SlopeFrame,
    pub on: &'a SlopeLattice,
    /// Upper faces of strips and of battens.
    pub levels: (f64, f64),
    /// Which layers are there.
    pub layers: Layers,
}

impl Site<'_> {
    /// Heights at which anything begins or ends.
    fn heights(&self) -> Vec<f64> {
        let half = self.design.lattice.batten.width.metres() / 2.0;
        let mut all: Vec<f64> = Vec::new();
        let mut put = |y: f64| {
            if y.is_finite() {
                all.push(y);
            }
        };
        for p in &self.on.pieces {
            put(p.y - half);
            put(p.y + half);
        }
        for s in &self.on.strips {
            for end in [s.path.first(), s.path.last()].into_iter().flatten() {
                put(end.0);
            }
        }
        for v in &self.on.vents {
            put(v.y.0);
            put(v.y.1);
        }
        for (_, hole) in &self.frame.outline.openings {
            put(hole.y0);
            put(hole.y1);
        }
        self.frame.outline.corners.iter().for_each(|c| put(c.1));
        all.sort_by(f64::total_cmp);
        // Heights nearer than a saw's width make no band of their own, but the outline's own ends stay.
        let bounds = self.frame.outline.bounds();
        let mut kept: Vec<f64> = vec![bounds.y0];
        for y in all {
            if y > kept.last().copied().unwrap_or(y) + 1e-3 && y < bounds.y1 - 1e-3 {
                kept.push(y);
            }
        }
        kept.push(bounds.y1);
        kept
    }

    fn sweep(&self, open: &[edges::OpenVent], space: &mut Space, contacts: &mut Vec<Contact>) {
        let outline = &self.frame.outline;
        let half = self.design.lattice.batten.width.metres() / 2.0;
        let ends = |s: &StripPiece| s.path.first().zip(s.path.last()).map(|(a, b)| (a.0, b.0));
        let up = matches!(self.layers, Layers::Both | Layers::Strips);
        let strips = self.on.strips.iter().filter(|_| up).filter_map(|s| ends(s).map(|(a, b)| (a, b, s))).collect();
        let battens = self.layers != Layers::Strips;
        let pieces = self.on.pieces.iter().filter(|_| battens).map(|p| (p.y - half, p.y + half, p.x)).collect();
        let mut strips = Sweep::new(strips);
        let mut pieces = Sweep::new(pieces);
        let heights = self.heights();
        let mut last: Vec<Stretch> = Vec::new();
        for pair in heights.windows(2) {
            let (Some(low), Some(high)) = (pair.first().copied(), pair.last().copied()) else { continue };
            let y = (low + high) / 2.0;
            let mut inside = Intervals::union(outline.along_x(y).iter().map(|(l, r)| (l.0, r.0)).collect());
            for (_, hole) in outline.openings.iter().filter(|(_, h)| h.y0 < y && y < h.y1) {
                inside = inside.without(hole.x0, hole.x1);
            }
            inside = self.beside_vents(inside, y);
            let on_strips: Vec<(f64, f64)> = strips
                .at(y)
                .iter()
                .map(|(_, _, s)| {
                    let x = x_at(&s.path, y);
                    (x - s.width / 2.0, x + s.width / 2.0)
                })
                .collect();
            let on_battens: Vec<(f64, f64)> = pieces.at(y).iter().map(|(_, _, x)| *x).collect();
            // Where strips lie across under the battens, nothing is open under a batten.
            let below = if self.layers == Layers::StripsAcross { on_battens.clone() } else { on_strips };
            let under = free(&inside, below);
            let over = free(&inside, on_battens);
            let here = self.stretches(&under, &over, (low, high), space);
            self.passages_across(&here, (low, high), space);
            passages_up(&last, &here, space);
            let touching: Vec<edges::Touching> = here.iter().map(|s| (s.x, s.z, s.cell)).collect();
            edges::touch(self, &touching, (low, high), contacts);
            edges::rakes(self, &touching, (low, high), &mut space.openings);
            self.openings(open, &here, (low, high), space);
            last = here;
        }
    }

    /// A vent piece, and what lies between it and its edge, is no part of the space.
    fn beside_vents(&self, inside: Intervals, y: f64) -> Intervals {
        let outline = &self.frame.outline;
        let past = |v: &&VentPiece| {
            // The hold-back of a stepped outline's edge reaches no further than the vent piece's own width and it.
            let near = outline.edges.get(v.edge).map_or(0.0, |e| e.hold_back.metres()) + (v.y.1 - v.y.0);
            (y - (v.y.0 + v.y.1) / 2.0).abs() <= near
                && match edges::end_of(outline, v.edge) {
                    Some(End::Low) => y < v.y.1,
                    Some(End::High) => y > v.y.0,
                    None => false,
                }
        };
        let solids: Vec<(f64, f64)> = self.on.vents.iter().filter(past).map(|v| v.x).collect();
        if solids.is_empty() { inside } else { free(&inside, solids) }
    }

    /// Openings of a band's cells through the vent pieces that lie against it.
    fn openings(&self, open: &[edges::OpenVent], here: &[Stretch], y: (f64, f64), space: &mut Space) {
        let meets = |o: &&edges::OpenVent| match o.end {
            End::Low => (y.0 - o.y).abs() <= 1e-3,
            End::High => (y.1 - o.y).abs() <= 1e-3,
        };
        for o in open.iter().filter(meets) {
            let first = here.partition_point(|s| s.x.1 <= o.x.0);
            for s in here.iter().skip(first).take_while(|s| s.x.0 < o.x.1) {
                let length = s.x.1.min(o.x.1) - s.x.0.max(o.x.0);
                if length >= LEAST {
                    let edge = (self.slope, o.edge);
                    space.openings.push(Opening { cell: s.cell, edge, end: o.end, length, rake: None });
                }
            }
        }
    }

    /// The stretches of a band that are cells: open over the whole height, or below a batten. What is open only over a
    /// strip is a passage, unless it is so wide that it is a place of its own.
    fn stretches(&self, under: &Intervals, over: &Intervals, y: (f64, f64), space: &mut Space) -> Vec<Stretch> {
        let (strip, batten) = self.levels;
        let mut here = Vec::new();
        let mut put = |x: (f64, f64), z: (f64, f64)| {
            let cell = number(space.cells.len());
            space.cells.push(Cell { slope: self.slope, x, y, z });
            here.push(Stretch { x, z, cell });
        };
        let mut o = over.as_slice().iter().copied().peekable();
        for (a, b) in under.as_slice().iter().copied() {
            let mut x = a;
            while let Some((c, d)) = o.next_if(|(_, d)| *d <= a).or_else(|| o.peek().copied()) {
                if d <= a {
                    continue;
                }
                if c >= b {
                    break;
                }
                let (c, d) = (c.max(a), d.min(b));
                if c - x >= LEAST && strip >= LEAST {
                    put((x, c), (0.0, strip));
                }
                if c - x >= LEAST {
                    x = c;
                }
                if d - c >= LEAST {
                    put((x.min(c), d), (0.0, batten));
                    x = d;
                }
                if d >= b {
                    break;
                }
                o.next();
            }
            if b - x >= LEAST && strip >= LEAST {
                put((x, b), (0.0, strip));
            }
        }
        here
    }

    /// Passages between neighbours in a band: where they touch, over a strip where no batten lies on it, and through its
    /// flutes where these run across.
    fn passages_across(&self, here: &[Stretch], y: (f64, f64), space: &mut Space) {
        let (strip, batten) = self.levels;
        let width = y.1 - y.0;
        if width < LEAST {
            return;
        }
        let across = self.design.lattice.strip.flutes.value == Flutes::Across && self.layers != Layers::Battens;
        for (a, b) in here.iter().zip(here.iter().skip(1)) {
            let gap = b.x.0 - a.x.1;
            let (from, to) = (a.cell, b.cell);
            let mut put = |way: Way, height: f64| {
                if height >= LEAST {
                    space.passages.push(Passage { from, to, way, width, height });
                }
            };
            if gap < LEAST {
                put(Way::Beside, a.z.1.min(b.z.1));
                continue;
            }
            if !self.is_strip(gap) {
                continue;
            }
            if a.z.1 >= batten && b.z.1 >= batten {
                put(Way::OverStrip(gap), batten - strip);
            }
            if across {
                put(Way::ThroughStrip(gap), self.design.lattice.strip.height.metres());
            }
        }
    }

    /// Whether what stands between two neighbours is strips, and not an opening: a few strips' widths at the most.
    pub(super) fn is_strip(&self, gap: f64) -> bool {
        let spec = &self.design.lattice.strip;
        let widest = spec.wide.as_ref().map_or(spec.width.metres(), |w| w.metres()).max(spec.width.metres());
        gap <= 4.0 * widest + LEAST
    }
}

/// What is left of a band beside solids; slivers are not counted.
fn free(inside: &Intervals, solids: Vec<(f64, f64)>) -> Intervals {
    let solids = Intervals::union(solids);
    let mut parts = Vec::new();
    let mut s = solids.as_slice().iter().copied().peekable();
    for (a, b) in inside.as_slice().iter().copied() {
        let mut x = a;
        while let Some((c, d)) = s.peek().copied() {
            if d <= x {
                s.next();
                continue;
            }
            if c >= b {
                break;
            }
            if c > x {
                parts.push((x, c));
            }
            x = x.max(d);
            if d >= b {
                break;
            }
            s.next();
        }
        if b > x {
            parts.push((x, b));
        }
    }
    parts.retain(|(a, b)| b - a >= LEAST);
    Intervals::union(parts)
}

/// Passages from the cells of one band to those of the next.
fn passages_up(below: &[Stretch], here: &[Stretch], space: &mut Space) {
    let mut first = 0;
    for b in here {
        while below.get(first).is_some_and(|a| a.x.1 <= b.x.0) {
            first += 1;
        }
        for a in below.iter().skip(first).take_while(|a| a.x.0 < b.x.1) {
            let width = a.x.1.min(b.x.1) - a.x.0.max(b.x.0);
            let height = a.z.1.min(b.z.1) - a.z.0.max(b.z.0);
            if width >= LEAST && height >= LEAST {
                space.passages.push(Passage { from: a.cell, to: b.cell, way: Way::Up, width, height });
            }
        }
    }
}
