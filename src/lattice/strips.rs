//! Tape, strips and vent pieces.

use super::cut::{Border, Left};
use super::names::{Span, carried};
use super::{
    Levels, Line, LineMember, LineWidth, Path, Site, SlopeLattice, StripPiece, Tape, Taped, VentPiece, lines,
    members_at, nearest_to, x_at,
};
use crate::design::{Edge, EdgeKind, LaidKind, StripOverStrap, TapeOrder};
use crate::solid::Intervals;
use crate::solid::tolerance::SAME;
use crate::structure::{Outline, State, Strap};

/// A lane: one strip wide, over a stretch without a jog.
#[derive(Clone, Debug)]
struct Lane {
    path: Path,
    width: f64,
}

/// How far strips, battens and vent pieces keep from an edge, metres.
fn keeps(edge: &Edge) -> f64 {
    edge.hold_back.metres()
}

/// How far tape keeps from an edge, metres: it seals up to every edge but a rake that the lattice keeps from; below zero where it
/// runs on to be turned down.
fn tape_keeps(edge: &Edge) -> f64 {
    let keeps = match edge.kind.value {
        EdgeKind::Rake => edge.hold_back.metres(),
        EdgeKind::Eave | EdgeKind::Top | EdgeKind::Hip | EdgeKind::Valley | EdgeKind::Wall => 0.0,
    };
    if edge.turn_down.metres() > 0.0 { -edge.turn_down.metres() } else { keeps }
}

/// The borders of strips and of tape in one state of the roof.
pub(super) struct Borders {
    /// Within which strips stay.
    pub strips: Border,
    /// Within which tape stays.
    pub tape: Border,
}

impl Borders {
    /// The borders of an outline.
    pub fn of(outline: &Outline) -> Borders {
        Borders { strips: Border::of(outline, keeps), tape: Border::of(outline, tape_keeps) }
    }
}

/// Lays tape, strips and vent pieces of a slope.
pub fn lay(site: &Site<'_>, lattice: &mut SlopeLattice) {
    let levels = Levels::of(site.design);
    let (Some(drawn), Some(found)) = (site.outline(State::Drawn), site.outline(State::Found)) else { return };
    let borders = [Borders::of(drawn), Borders::of(found)];
    let within = |state: State| match state {
        State::Drawn => &borders[0],
        State::Found => &borders[1],
    };
    let straps: Vec<&Strap> = site.found.straps.iter().filter(|s| s.slope == site.slope).collect();
    let count = lattice.lines.len();
    for i in 0..count {
        let at_rake = (i == 0 || i + 1 == count)
            && site.design.lattice.strip.doubled_at_rake.value
            && !drawn.edges_of(&[EdgeKind::Rake]).is_empty();
        let Some(line) = lattice.lines.get_mut(i) else { continue };
        let number = u32::try_from(i).ok();
        let (of_strips, of_tape) = (state(line.strips_laid), state(line.tape_laid));
        let strip_lanes = lanes(site, line, &line.stretches, of_strips, at_rake);
        line.widths = widths(&strip_lanes, &within(of_strips).strips);
        let tapes = tapes_of(site, line, &line.taped, of_tape, &strip_lanes, at_rake, &within(of_tape).tape);
        let strips = strips_of(site, &strip_lanes, &straps, levels, &within(of_strips).strips);
        let (name, line) = (line.name.clone(), &*line);

        // Names come from the drawing, also where what was found divides the line otherwise.
        let (drawn_tapes, drawn_strips) = if site.as_drawn() {
            (None, None)
        } else {
            let lanes = lanes(site, line, &lines::stretches(site, line, State::Drawn), State::Drawn, at_rake);
            let straps: Vec<&Strap> = site.drawn.straps.iter().filter(|s| s.slope == site.slope).collect();
            let over = lines::taped(site, line, State::Drawn);
            let drawn = within(State::Drawn);
            let tapes = tapes_of(site, line, &over, State::Drawn, &lanes, at_rake, &drawn.tape);
            (Some(tapes), Some(strips_of(site, &lanes, &straps, levels, &drawn.strips)))
        };
        let span = |path: &Path| Span {
            along: (path.first().map_or(0.0, |p| p.0), path.last().map_or(0.0, |p| p.0)),
            across: path.first().map_or(0.0, |p| p.1),
        };
        let tape_spans = |tapes: &[Lying]| tapes.iter().map(|t| span(&t.band.path)).collect::<Vec<_>>();
        let strip_spans = |strips: &[LyingStrip]| strips.iter().map(|s| span(&s.band.path)).collect::<Vec<_>>();
        let tape_names = carried(&tape_spans(drawn_tapes.as_deref().unwrap_or(&tapes)), &tape_spans(&tapes), |n| {
            format!("{name}.t{n}")
        });
        let drawn_strips = strip_spans(drawn_strips.as_deref().unwrap_or(&strips));
        let digits = drawn_strips.len().to_string().len().max(2);
        let strip_names = carried(&drawn_strips, &strip_spans(&strips), |n| format!("{name}.s{n:0digits$}"));

        lattice.tapes.extend(tapes.into_iter().zip(tape_names).map(|(t, name)| {
            let Left { path, width, cuts } = t.band;
            Tape { name, line: number, path, width, roll_width: t.of, cuts }
        }));
        lattice.strips.extend(strips.into_iter().zip(strip_names).map(|(s, name)| {
            let Left { path, width, cuts } = s.band;
            let (bottom, top) = s.faces;
            StripPiece { name, line: number, path, width, stock_width: s.of, cuts, bottom, top }
        }));
    }
    vents(site, lattice);
}

/// Tape as it lies, and the width of the roll that it comes from.
struct Lying {
    band: Left,
    of: f64,
}

/// A strip as it lies, the width that it comes from, its lower and upper face.
struct LyingStrip {
    band: Left,
    of: f64,
    faces: (f64, f64),
}

/// The strips of a line's lanes, cut to the outline, to stock and to the straps that they pass over.
fn strips_of(site: &Site<'_>, lanes: &[Lane], straps: &[&Strap], levels: Levels, border: &Border) -> Vec<LyingStrip> {
    let mut strips = Vec::new();
    for lane in lanes {
        for left in border.cut(&lane.path, lane.width) {
            for path in cut_to_stock(&left.path, site.design.lattice.strip.stock.metres()) {
                for (path, faces) in over_straps(&path, left.width, straps, levels) {
                    strips.push(LyingStrip { band: left.piece(path), of: lane.width, faces });
                }
            }
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
    border: &Border,
) -> Vec<Lying> {
    let over: Vec<(f64, f64)> = over.iter().map(|t| (t.y.0 - t.further.0, t.y.1 + t.further.1)).collect();
    let bands = taped(site, &lanes(site, line, &over, state, at_rake));
    let whole =
        bands.into_iter().flat_map(|(path, of)| border.cut(&path, of).into_iter().map(move |band| Lying { band, of }));
    if site.design.lattice.tape.order.value == TapeOrder::MembraneFirst {
        return whole.collect();
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
        .flat_map(|Lying { band, of }| {
            let path = &band.path;
            let (low, high) = (path.first().map_or(0.0, |p| p.0), path.last().map_or(0.0, |p| p.0));
            let mut cuts = vec![low];
            cuts.extend(ends.iter().copied().filter(|y| *y > low + SAME && *y < high - SAME));
            cuts.push(high);
            let piece = |w: &[f64]| Lying { band: band.piece(part(path, w[0], w[1])), of };
            cuts.windows(2).map(piece).collect::<Vec<_>>()
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
            let centres = centres(&here, (a, b), width, wide, doubled);
            let now: Vec<Lane> =
                centres.into_iter().map(|(x, width)| Lane { path: vec![(a, x.0), (b, x.1)], width }).collect();
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

/// Strips over the members of one stretch without a bend: where their middles lie at its low and its high end, and how
/// wide they are.
fn centres(
    here: &[&LineMember],
    (low, high): (f64, f64),
    width: f64,
    wide: Option<f64>,
    doubled: bool,
) -> Vec<((f64, f64), f64)> {
    let side = |m: &LineMember| (x_at(&m.path, low), x_at(&m.path, high));
    let mut sorted: Vec<(&LineMember, (f64, f64))> = here.iter().map(|m| (*m, side(m))).collect();
    sorted.sort_by(|(_, a), (_, b)| (a.0 + a.1).total_cmp(&(b.0 + b.1)));
    if let [(_, x)] = sorted.as_slice() {
        let beside = |by: f64| ((x.0 + by, x.1 + by), width);
        return match (doubled, wide) {
            (false, _) => vec![beside(0.0)],
            (true, Some(w)) => vec![(*x, w)],
            (true, None) => vec![beside(-width / 2.0), beside(width / 2.0)],
        };
    }
    // From the outermost side on the left to the outermost on the right.
    let outer = |at: fn((f64, f64)) -> f64| {
        let ends = sorted.iter().map(|(m, x)| (at(*x) - m.width / 2.0, at(*x) + m.width / 2.0));
        ends.fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), (l, r)| (a.min(l), b.max(r)))
    };
    let (below, above) = (outer(|x| x.0), outer(|x| x.1));
    let middle = ((below.0 + below.1) / 2.0, (above.0 + above.1) / 2.0);
    if sorted.is_empty() {
        return Vec::new();
    }
    if let Some(w) = wide {
        return vec![(middle, w)];
    }
    // Members that bend or lean may be far enough apart at one end only.
    let apart = |w: &[(&LineMember, (f64, f64))]| (w[1].1.0 - w[0].1.0).min(w[1].1.1 - w[0].1.1) >= width - SAME;
    if sorted.windows(2).all(apart) {
        return sorted.into_iter().map(|(_, x)| (x, width)).collect();
    }
    // Too near for a strip over each: side by side over all of them, as many as they are wide.
    let n = ((below.1 - below.0).max(above.1 - above.0) / width - SAME).ceil().max(1.0);
    let beside = |k: usize| (k as f64 - (n - 1.0) / 2.0) * width;
    (0..n as usize).map(|k| ((middle.0 + beside(k), middle.1 + beside(k)), width)).collect()
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

/// Lanes of one stretch counted together, each as wide as the border leaves it half way up. Lanes come stretch by stretch,
/// from low to high.
fn widths(lanes: &[Lane], border: &Border) -> Vec<LineWidth> {
    let mut all: Vec<LineWidth> = Vec::new();
    for lane in lanes {
        let (Some(low), Some(high)) = (lane.path.first(), lane.path.last()) else { continue };
        let y = (low.0 + high.0) / 2.0;
        let (x, half) = (x_at(&lane.path, y), lane.width / 2.0);
        let inside = border.across(y, (x - half, x + half));
        let width = if lane.width - inside < SAME { lane.width } else { inside };
        if width < SAME {
            continue;
        }
        match all.last_mut() {
            Some(last) if (last.y.0 - low.0).abs() < SAME => {
                let n = last.strips as f64;
                if last.width != width {
                    last.width = (last.width * n + width) / (n + 1.0);
                }
                last.strips += 1;
            }
            _ => all.push(LineWidth { y: (low.0, high.0), strips: 1, width }),
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
            a.path.len() == b.path.len() && start(a).0 == start(b).0 && start(b).1 - start(a).1 < width - SAME
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

/// A strip, divided where it passes over a strap: there it is notched or raised. Each part with its lower and upper face.
fn over_straps(path: &Path, width: f64, straps: &[&Strap], levels: Levels) -> Vec<(Path, (f64, f64))> {
    let mut out = Vec::new();
    let (Some(first), Some(last)) = (path.first().copied(), path.last().copied()) else { return out };
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
            out.push((part(path, a, b), (bottom, top)));
        }
    }
    out
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
