//! What happens at the edges of a slope: vent pieces that let air through, those that do not and why, and edges over which
//! two slopes share their space.

use super::LEAST;
use super::space::{End, Opening, Passage, Side, Site, Way};
use crate::design::{EdgeAir, EdgeKind, Flutes, SlopeId};
use crate::lattice::Lattice;
use crate::quantity::list::run;
use crate::quantity::maths::apart;
use crate::solid::tolerance::DISTINCT;
use crate::structure::{Outline, Structure, to_come};

/// Why no air passes at an edge.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Why {
    /// No vent piece lies along it.
    NoVentPiece,
    /// The flutes of its vent pieces run across.
    FlutesAcross,
    /// Its vent pieces lie in insulation still to come, so deep, metres.
    Buried(f64),
    /// The solid of the insulation still to come could not be built, so that nobody knows what it buries.
    InsulationUnbuilt,
}

/// An edge along which no air passes, though it runs level at the low or high side.
#[derive(Clone, Debug, PartialEq)]
pub struct Closed {
    /// Slope and edge.
    pub edge: (SlopeId, usize),
    /// Which side.
    pub end: End,
    /// All that closes it.
    pub why: Vec<Why>,
}

/// A vent piece that lets air through.
pub(super) struct OpenVent {
    pub edge: usize,
    pub end: End,
    /// Left and right.
    pub x: (f64, f64),
    /// Its inner side, up the slope.
    pub y: f64,
}

/// A stretch of an edge that two slopes share, and the cell that lies at it.
pub(super) struct Contact {
    edge: (SlopeId, usize),
    /// From the edge's first corner.
    along: (f64, f64),
    height: f64,
    cell: u32,
}

/// The side of the slope at which an edge runs level.
pub(super) fn end_of(outline: &Outline, edge: usize) -> Option<End> {
    match outline.outward(edge) {
        Some((_, ny)) if ny < -0.99 => Some(End::Low),
        Some((_, ny)) if ny > 0.99 => Some(End::High),
        _ => None,
    }
}

/// The vent pieces of a slope that let air through; level edges without any are noted with the reason.
pub(super) fn open_vents(site: &Site<'_>, lattice: &Lattice, closed: &mut Vec<Closed>) -> Vec<OpenVent> {
    let outline = &site.frame.outline;
    let across = site.design.lattice.vent.flutes.value == Flutes::Across;
    let mut open = Vec::new();
    for (e, edge) in outline.edges.iter().enumerate() {
        let Some(end) = end_of(outline, e) else { continue };
        let mut vents = site.on.vents.iter().filter(|v| v.edge == e).peekable();
        let mut why = Vec::new();
        // An edge shared with another slope is no end of the space, unless vent pieces say so.
        if vents.peek().is_none() {
            if edge.shared_with.is_none() {
                closed.push(Closed { edge: (site.slope, e), end, why: vec![Why::NoVentPiece] });
            }
            continue;
        }
        if across {
            why.push(Why::FlutesAcross);
        }
        let insulation = to_come::insulation(outline, e);
        if insulation.is_err() {
            why.push(Why::InsulationUnbuilt);
        }
        let mut deepest = 0.0_f64;
        let mut any = false;
        for v in vents.filter(|_| insulation.is_ok()) {
            let insulation = insulation.as_ref().ok().and_then(Option::as_ref);
            if let Some(depth) = insulation.and_then(|i| v.body(&lattice.levels).depth(i, DISTINCT)) {
                deepest = deepest.max(depth);
                continue;
            }
            if !across && v.height >= LEAST {
                any = true;
                let y = if end == End::Low { v.y.1 } else { v.y.0 };
                open.push(OpenVent { edge: e, end, x: v.x, y });
            }
        }
        if deepest > 0.0 {
            why.push(Why::Buried(deepest));
        }
        if !any {
            closed.push(Closed { edge: (site.slope, e), end, why });
        }
    }
    open
}

/// Whether the space goes on over an edge, into the slope that shares it: hips, valleys and ridges without vent pieces,
/// where they are open.
fn goes_on(site: &Site<'_>, e: usize) -> bool {
    let Some(edge) = site.frame.outline.edges.get(e) else { return false };
    let vented = site.on.vents.iter().any(|v| v.edge == e);
    let passable = matches!(edge.kind.value, EdgeKind::Hip | EdgeKind::Top | EdgeKind::Valley);
    edge.shared_with.is_some() && !vented && passable && edge.air.value == EdgeAir::Open
}

/// Whether the design says that a rake is open to the air.
pub(super) fn is_open_rake(edge: &crate::design::Edge) -> bool {
    edge.kind.value == EdgeKind::Rake && edge.shared_with.is_none() && edge.air.value == EdgeAir::Open
}

/// How far from an edge's middle in a band a cell may end that lies at it: a step of the band.
fn step(outline: &Outline, e: usize, y: (f64, f64)) -> f64 {
    outline.outward(e).map_or(0.0, |n| (n.1 / n.0.abs().max(0.05)).abs()) * (y.1 - y.0) + LEAST
}

/// Openings of a band's cells along rakes that are open: of a cell that reaches the rake, and over a strip at the rake where no
/// batten lies on it.
pub(super) fn rakes(site: &Site<'_>, here: &[Touching], y: (f64, f64), openings: &mut Vec<Opening>) {
    let outline = &site.frame.outline;
    let middle = (y.0 + y.1) / 2.0;
    for ((left, l), (right, r)) in outline.along_x(middle) {
        for (e, x, first) in [(l, left, true), (r, right, false)] {
            if !outline.edges.get(e).is_some_and(is_open_rake) {
                continue;
            }
            let step = step(outline, e, y);
            let away = |s: &Touching| if first { s.0.0 - x } else { x - s.0.1 };
            let beyond = |s: &&Touching| away(s) >= -step;
            let found = if first { here.iter().find(beyond) } else { here.iter().rev().find(beyond) };
            let (Some(found), Some((a, b))) = (found, outline.ends(e)) else { continue };
            let over_strip = found.1.1 >= site.levels.1 && site.is_strip(away(found));
            if away(found) > step && !over_strip {
                continue;
            }
            let share = (y.1 - y.0) / (b.1 - a.1).abs().max(LEAST);
            let end = if middle < (a.1 + b.1) / 2.0 { End::Low } else { End::High };
            let length = share * apart(b, a);
            let rake = Some(if first { Side::Left } else { Side::Right });
            if length >= LEAST {
                openings.push(Opening { cell: found.2, edge: (site.slope, e), end, length, rake });
            }
        }
    }
}

/// A stretch of a band: x, z and its cell.
pub(super) type Touching = ((f64, f64), (f64, f64), u32);

/// Notes the cells of a band that lie at a shared edge. Stretches come from left to right: x, z and cell.
pub(super) fn touch(site: &Site<'_>, here: &[Touching], y: (f64, f64), contacts: &mut Vec<Contact>) {
    let outline = &site.frame.outline;
    let middle = (y.0 + y.1) / 2.0;
    for ((left, l), (right, r)) in outline.along_x(middle) {
        for (e, x, first) in [(l, left, true), (r, right, false)] {
            if !goes_on(site, e) {
                continue;
            }
            let step = step(outline, e, y);
            let near = |s: &&((f64, f64), (f64, f64), u32)| {
                if first { (s.0.0 - x).abs() <= step } else { (s.0.1 - x).abs() <= step }
            };
            let found = if first { here.iter().find(near) } else { here.iter().rev().find(near) };
            let (Some((_, z, cell)), Some((a, b))) = (found, outline.ends(e)) else { continue };
            // From the edge's first corner: an edge on the right side rises from its first corner.
            let rise = (b.1 - a.1).abs();
            let length = apart(b, a);
            if rise <= 0.0 {
                continue;
            }
            let at = |y: f64| (y - a.1).abs() / rise * length;
            let along = (at(y.0).min(at(y.1)), at(y.0).max(at(y.1)));
            contacts.push(Contact { edge: (site.slope, e), along, height: z.1 - z.0, cell: *cell });
        }
    }
    // A ridge without vent pieces.
    for e in 0..outline.edges.len() {
        let (Some((a, b)), Some(End::High)) = (outline.ends(e), end_of(outline, e)) else { continue };
        if !goes_on(site, e) || (a.1 - y.1).abs() > 1e-3 {
            continue;
        }
        for (x, z, cell) in here {
            let (x0, x1) = (x.0.max(a.0.min(b.0)), x.1.min(a.0.max(b.0)));
            if x1 - x0 >= LEAST {
                let at = |x: f64| (x - a.0).abs();
                let along = (at(x0).min(at(x1)), at(x0).max(at(x1)));
                contacts.push(Contact { edge: (site.slope, e), along, height: z.1 - z.0, cell: *cell });
            }
        }
    }
}

/// Joins the cells of two slopes that lie at the same stretch of a shared edge.
pub(super) fn join(structure: &Structure, mut contacts: Vec<Contact>, passages: &mut Vec<Passage>) {
    contacts.sort_by(|a, b| a.edge.cmp(&b.edge).then(a.along.0.total_cmp(&b.along.0)));
    let of = |edge: (SlopeId, usize)| run(&contacts, |c| c.edge.cmp(&edge));
    for (i, frame) in structure.slopes.iter().enumerate() {
        for (e, edge) in frame.outline.edges.iter().enumerate() {
            let here = (SlopeId(i), e);
            let Some(other) = edge.shared_with.filter(|o| here < *o) else { continue };
            let length = frame.outline.ends(e).map_or(0.0, |(a, b)| apart(b, a));
            let mine = of(here);
            // The other slope's edge runs the other way round.
            let theirs: Vec<&Contact> = of(other).iter().rev().collect();
            let turned = |c: &Contact| (length - c.along.1, length - c.along.0);
            let mut first = 0;
            for m in mine {
                while theirs.get(first).is_some_and(|t| turned(t).1 <= m.along.0) {
                    first += 1;
                }
                for t in theirs.iter().skip(first).take_while(|t| turned(t).0 < m.along.1) {
                    let (a, b) = turned(t);
                    let width = b.min(m.along.1) - a.max(m.along.0);
                    let height = t.height.min(m.height);
                    if width >= LEAST && height >= LEAST {
                        passages.push(Passage { from: m.cell, to: t.cell, way: Way::OverEdge, width, height });
                    }
                }
            }
        }
    }
}
