//! Tape, strips and vent pieces.

use super::names::{Span, carried};
use super::{
    Levels, Line, LineMember, LineWidth, Path, Site, SlopeLattice, StripPiece, Tape, Taped, VentPiece, lines,
    members_at, nearest_to, x_at,
};
use crate::design::{EdgeKind, LaidKind, StripOverStrap, TapeOrder};
use crate::solid::Intervals;
use crate::solid::tolerance::SAME;
use crate::structure::{Outline, State, Strap};

/// A lane: one strip wide, over a stretch without a jog.
#[derive(Clone, Debug)]
struct Lane {
    path: Path,
    width: f64,
}

/// Lays tape, strips and vent pieces of a slope.
pub fn lay(site: &Site<'_>, lattice: &mut SlopeLattice) {
    let levels = Levels::of(site.design);
    let straps: Vec<&Strap> = site.found.straps.iter().filter(|s| s.slope == site.slope).collect();
    let count = lattice.lines.len();
    for i in 0..count {
        let at_rake = (i == 0 || i + 1 == count)
            && site.design.lattice.strip.doubled_at_rake.value
            && site.outline(State::Drawn).is_some_and(|o| !o.edges_of(&[EdgeKind::Rake]).is_empty());
        let Some(line) = lattice.lines.get_mut(i) else { continue };
        let number = u32::try_from(i).ok();
        let strip_lanes = lanes(site, line, &line.stretches, state(line.strips_laid), at_rake);
        line.widths = widths(&strip_lanes);
        let tapes = tapes_of(site, line, &line.taped, state(line.tape_laid), &strip_lanes, at_rake);
        let strips = strips_of(site, &strip_lanes, &straps, levels);
        let (name, line) = (line.name.clone(), &*line);

        // Names come from the drawing, also where what was found divides the line otherwise.
        let (drawn_tapes, drawn_strips) = if site.as_drawn() {
            (None, None)
        } else {
            let lanes = lanes(site, line, &lines::stretches(site, line, State::Drawn), State::Drawn, at_rake);
            let straps: Vec<&Strap> = site.drawn.straps.iter().filter(|s| s.slope == site.slope).collect();
            let over = lines::taped(site, line, State::Drawn);
            let tapes = tapes_of(site, line, &over, State::Drawn, &lanes, at_rake);
            (Some(tapes), Some(strips_of(site, &lanes, &straps, levels)))
        };
        let span = |path: &Path| Span {
            along: (path.first().map_or(0.0, |p| p.0), path.last().map_or(0.0, |p| p.0)),
            across: path.first().map_or(0.0, |p| p.1),
        };
        let tape_spans = |tapes: &[(Path, f64)]| tapes.iter().map(|t| span(&t.0)).collect::<Vec<_>>();
        let strip_spans = |strips: &[Lying]| strips.iter().map(|s| span(&s.0)).collect::<Vec<_>>();
        let tape_names = carried(&tape_spans(drawn_tapes.as_deref().unwrap_or(&tapes)), &tape_spans(&tapes), |n| {
            format!("{name}.t{n}")
        });
        let drawn_strips = strip_spans(drawn_strips.as_deref().unwrap_or(&strips));
        let digits = drawn_strips.len().to_string().len().max(2);
        let strip_names = carried(&drawn_strips, &strip_spans(&strips), |n| format!("{name}.s{n:0digits$}"));

        for ((path, width), name) in tapes.into_iter().zip(tape_names) {
            let (low, high) = span(&path).along;
            let mut cuts = Vec::new();
            for t in &line.taped {
                cuts.extend(t.cuts.0.filter(|_| (t.y.0 - low).abs() < SAME));
                cuts.extend(t.cuts.1.filter(|_| (t.y.1 - high).abs() < SAME));
            }
            lattice.tapes.push(Tape { name, line: number, path, width, cuts });
        }
        for ((path, width, bottom, top), name) in strips.into_iter().zip(strip_names) {
            lattice.strips.push(StripPiece { name, line: number, path, width, bottom, top });
        }
    }
    vents(site, lattice);
}

/// A strip as it lies: its path, its width, its lower and upper face.
type Lying = (Path, f64, f64, f64);

/// The strips of a line's lanes, cut to stock and to the straps that they pass over.
fn strips_of(site: &Site<'_>, lanes: &[Lane], straps: &[&Strap], levels: Levels) -> Vec<Lying> {
    let mut strips = Vec::new();
    for lane in lanes {
        for path in cut_to_stock(&lane.path, site.design.lattice.strip.stock.metres()) {
            over_straps(&path, lane.width, straps, levels, &mut strips);
        }
    }
    strips
}

/// The tapes of a line: from edge to edge on the membrane; or, stuck to the strips first, in pieces as long as they are.
fn tapes_of(
    site: &Site<'_>,
    line: &Line,
    over: &[Taped],
    state: State,
    strips: &[Lane],
    at_rake: bool,
) -> Vec<(Path, f64)> {
    let over: Vec<(f64, f64)> = over.iter().map(|t| t.y).collect();
    let whole = taped(site, &lanes(site, line, &over, state, at_rake));
    if site.design.lattice.tape.order.value == TapeOrder::MembraneFirst {
        return whole;
    }
    let stock = site.design.lattice.strip.stock.metres();
    let mut ends: Vec<f64> = Vec::new();
    for lane in strips {
        for path in cut_to_stock(&lane.path, stock) {
            ends.extend(path.first().into_iter().chain(path.last()).map(|p| p.0));
        }
    }
    ends.sort_by(f64::total_cmp);
    ends.dedup_by(|a, b| (*a - *b).abs() < SAME);
    whole
        .into_iter()
        .flat_map(|(path, width)| {
            let (low, high) = (path.first().map_or(0.0, |p| p.0), path.last().map_or(0.0, |p| p.0));
            let mut cuts = vec![low];
            cuts.extend(ends.iter().copied().filter(|y| *y > low + SAME && *y < high - SAME));
            cuts.push(high);
            cuts.windows(2).map(|w| (part(&path, w[0], w[1]), width)).collect::<Vec<_>>()
        })
        .collect()
}

fn state(laid: bool) -> State {
    if laid { State::Drawn } else { State::Found }
}

/// The lanes of a line, from low to high.
fn lanes(site: &Site<'_>, line: &Line, stretches: &[(f64, f64)], state: State, doubled: bool) -> Vec<Lane> {
    let spec = &site.design.lattice.strip;
    let (width, wide) = (spec.width.metres(), spec.wide.as_ref().map(|w| w.metres()));
    let members = line.members(state);
    let mut all: Vec<Lane> = Vec::new();
    for (low, high) in stretches {
        let mut breaks = vec![*low, *high];
        for m in members {
            breaks.extend(m.path.iter().map(|p| p.0).filter(|y| *y > *low + SAME && *y < *high - SAME));
        }
        breaks.sort_by(f64::total_cmp);
        breaks.dedup_by(|a, b| (*a - *b).abs() < SAME);
        let mut open: Vec<Lane> = Vec::new();
        for pair in breaks.windows(2) {
            let (a, b) = (pair[0], pair[1]);
            let here = active(members, (a + b) / 2.0);
            let centres = centres(&here, width, wide, doubled);
            let now: Vec<Lane> = centres
                .into_iter()
                .map(|(member, shift, width)| Lane {
                    path: vec![(a, x_at(&member.path, a) + shift), (b, x_at(&member.path, b) + shift)],
                    width,
                })
                .collect();
            let continues = open.len() == now.len()
                && open.iter().zip(&now).all(|(o, n)| {
                    o.width == n.width
                        && o.path.last().zip(n.path.first()).is_some_and(|(p, q)| (p.1 - q.1).abs() < SAME)
                });
            if continues {
                for (o, n) in open.iter_mut().zip(now) {
                    o.path.extend(n.path.into_iter().skip(1));
                }
            } else {
                all.append(&mut open);
                open = now;
            }
        }
        all.append(&mut open);
    }
    for lane in &mut all {
        straighten(&mut lane.path);
    }
    all
}

/// Members at a height; where there is none, the nearest one below or above.
fn active(members: &[LineMember], y: f64) -> Vec<&LineMember> {
    let here = members_at(members, y);
    if !here.is_empty() {
        return here;
    }
    nearest_to(members, y).into_iter().collect()
}

/// Strips over the members of one stretch: the member that each follows, the shift from its middle, the width.
fn centres<'m>(
    here: &[&'m LineMember],
    width: f64,
    wide: Option<f64>,
    doubled: bool,
) -> Vec<(&'m LineMember, f64, f64)> {
    let y = here.iter().filter_map(|m| m.path.first()).map(|p| p.0).fold(f64::NEG_INFINITY, f64::max);
    let side = |m: &LineMember| x_at(&m.path, y);
    let mut sorted = here.to_vec();
    sorted.sort_by(|a, b| side(a).total_cmp(&side(b)));
    let (Some(left), Some(right)) = (sorted.first().copied(), sorted.last().copied()) else { return Vec::new() };
    if sorted.len() == 1 {
        return match (doubled, wide) {
            (false, _) => vec![(left, 0.0, width)],
            (true, Some(w)) => vec![(left, 0.0, w)],
            (true, None) => vec![(left, -width / 2.0, width), (left, width / 2.0, width)],
        };
    }
    // From the left member's middle to the middle of all of them.
    let (low, high) = (side(left) - left.width / 2.0, side(right) + right.width / 2.0);
    let middle = (low + high) / 2.0 - side(left);
    if let Some(w) = wide {
        return vec![(left, middle, w)];
    }
    if sorted.windows(2).all(|w| side(w[1]) - side(w[0]) >= width - SAME) {
        return sorted.into_iter().map(|m| (m, 0.0, width)).collect();
    }
    // Too near for a strip over each: side by side over all of them, as many as they are wide.
    let n = ((high - low) / width - SAME).ceil().max(1.0);
    (0..n as usize).map(|k| (left, middle + (k as f64 - (n - 1.0) / 2.0) * width, width)).collect()
}

/// Leaves out places on a path where it does not bend.
fn straighten(path: &mut Path) {
    let mut i = 1;
    while i + 1 < path.len() {
        let ((y0, x0), (y1, x1), (y2, x2)) = (path[i - 1], path[i], path[i + 1]);
        let straight = (x0 + (x2 - x0) * (y1 - y0) / (y2 - y0) - x1).abs() < 1e-9;
        if straight {
            path.remove(i);
        } else {
            i += 1;
        }
    }
}

/// Lanes of one stretch counted together. Lanes come stretch by stretch, from low to high.
fn widths(lanes: &[Lane]) -> Vec<LineWidth> {
    let mut all: Vec<LineWidth> = Vec::new();
    for lane in lanes {
        let (Some(low), Some(high)) = (lane.path.first(), lane.path.last()) else { continue };
        match all.last_mut() {
            Some(last) if (last.y.0 - low.0).abs() < SAME => last.strips += 1,
            _ => all.push(LineWidth { y: (low.0, high.0), strips: 1, width: lane.width }),
        }
    }
    all
}

/// One tape for each lane; lanes so near that their tapes would lap share a wider one.
fn taped(site: &Site<'_>, lanes: &[Lane]) -> Vec<(Path, f64)> {
    let spec = &site.design.lattice;
    let base = spec.tape.width.metres();
    let mut tapes = Vec::new();
    let mut i = 0;
    while let Some(lane) = lanes.get(i) {
        let width = base + (lane.width - spec.strip.width.metres()).max(0.0);
        let start = |l: &Lane| l.path.first().copied().unwrap_or_default();
        let beside = |a: &Lane, b: &Lane| {
            a.path.len() == b.path.len() && start(a).0 == start(b).0 && start(b).1 - start(a).1 < width
        };
        let more = lanes[i..].windows(2).take_while(|w| beside(&w[0], &w[1])).count();
        let last = lanes.get(i + more).unwrap_or(lane);
        let apart = start(last).1 - start(lane).1;
        let path = lane.path.iter().zip(&last.path).map(|(a, b)| (a.0, (a.1 + b.1) / 2.0)).collect();
        tapes.push((path, width + apart));
        i += more + 1;
    }
    tapes
}

/// The part of a path between two heights.
pub fn part(path: &[(f64, f64)], low: f64, high: f64) -> Path {
    let mut out = vec![(low, x_at(path, low))];
    out.extend(path.iter().copied().filter(|p| p.0 > low + SAME && p.0 < high - SAME));
    out.push((high, x_at(path, high)));
    out
}

/// A path cut into stock lengths from its lower end.
fn cut_to_stock(path: &Path, stock: f64) -> Vec<Path> {
    let (Some(first), Some(last)) = (path.first(), path.last()) else { return Vec::new() };
    let mut pieces = Vec::new();
    let mut k = 0.0;
    while first.0 + k * stock < last.0 - SAME {
        let (a, b) = (first.0 + k * stock, (first.0 + (k + 1.0) * stock).min(last.0));
        pieces.push(part(path, a, b));
        k += 1.0;
    }
    pieces
}

/// A strip, divided where it passes over a strap: there it is notched or raised.
fn over_straps(path: &Path, width: f64, straps: &[&Strap], levels: Levels, out: &mut Vec<(Path, f64, f64, f64)>) {
    let (Some(first), Some(last)) = (path.first().copied(), path.last().copied()) else { return };
    let mut cuts = vec![first.0, last.0];
    let meets = |s: &Strap, y: f64| {
        let x = x_at(path, y);
        x + width / 2.0 > s.sides.0 + SAME && x - width / 2.0 < s.sides.1 - SAME
    };
    for s in straps {
        if meets(s, s.stretch.0.max(first.0)) && s.stretch.1 > first.0 && s.stretch.0 < last.0 {
            cuts.extend([s.stretch.0, s.stretch.1].into_iter().filter(|y| *y > first.0 + SAME && *y < last.0 - SAME));
        }
    }
    cuts.sort_by(f64::total_cmp);
    cuts.dedup_by(|a, b| (*a - *b).abs() < SAME);
    for pair in cuts.windows(2) {
        let (a, b) = (pair[0], pair[1]);
        let middle = (a + b) / 2.0;
        let below = straps.iter().filter(|s| meets(s, middle) && s.stretch.0 < middle && s.stretch.1 > middle);
        let (mut bottom, mut top) = (levels.tape, levels.strip);
        for s in below {
            let thick = s.thickness();
            bottom = bottom.max(levels.tape + thick);
            if s.strip == StripOverStrap::Raised {
                top = top.max(levels.strip + thick);
            }
        }
        // A strap as thick as the strip leaves nothing of it.
        if top - bottom > SAME {
            out.push((part(path, a, b), width, bottom, top));
        }
    }
}

/// Vent pieces along level edges, cut to stock length from the left, and numbered edge by edge, so that what is found at
/// one edge renames nothing at another.
fn vents(site: &Site<'_>, lattice: &mut SlopeLattice) {
    let laid = site.laid(LaidKind::VentPieces, None, None);
    let Some(outline) = site.outline(state(laid)) else { return };
    for e in 0..outline.edges.len() {
        let name = |k: usize| format!("{}-V{}.{k:02}", site.prefix(), e + 1);
        let places = vents_along(site, outline, e);
        lattice.vents.extend(places.into_iter().enumerate().map(|(k, (x, y))| {
            let height = site.design.lattice.vent.height.metres();
            VentPiece { name: name(k + 1), x, y, height, edge: e }
        }));
    }
}

/// Stretches of x and y of the vent pieces along one edge.
fn vents_along(site: &Site<'_>, outline: &Outline, e: usize) -> Vec<((f64, f64), (f64, f64))> {
    let spec = &site.design.lattice.vent;
    let (width, stock) = (spec.width.metres(), spec.stock.metres());
    let (Some(edge), Some((_, ny)), Some((a, b))) = (outline.edges.get(e), outline.outward(e), outline.ends(e)) else {
        return Vec::new();
    };
    if !edge.vent.value || ny.abs() < 0.99 {
        return Vec::new();
    }
    let back = edge.hold_back.metres();
    let level = if ny < 0.0 { a.1.max(b.1) } else { a.1.min(b.1) };
    let (y0, y1) = if ny < 0.0 { (level + back, level + back + width) } else { (level - back - width, level - back) };
    let along = Intervals::one(a.0.min(b.0), a.0.max(b.0));
    let mut places = Vec::new();
    for (x0, x1) in outline.band(y0, y1, |e| e.hold_back.metres()).intersection(&along).as_slice() {
        let mut k = 0.0;
        while x0 + k * stock < x1 - SAME {
            places.push(((x0 + k * stock, (x0 + (k + 1.0) * stock).min(*x1)), (y0, y1)));
            k += 1.0;
        }
    }
    places
}
