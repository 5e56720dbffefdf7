//! Landings and their fasteners.

use std::cmp::Ordering;
use std::collections::BTreeMap;

use super::cut::Left;
use super::strips::Borders;
use super::{
    End, Fastener, Landing, Line, LineMember, On, Piece, Side, Site, SlopeLattice, StripPiece, Tape, VentPiece,
    members_at, nearest_to, x_at,
};
use super::{Levels, carries_own_landings};
use crate::design::{Design, JointKind, LaidKind, MemberKind, Pattern};
use crate::quantity::list;
use crate::solid::tolerance::SAME;
use crate::solid::{Intervals, Point3};
use crate::structure::{MemberId, Outline, State, Structure};

/// Where a line wants its fasteners at one height.
pub struct Target {
    /// Middle of the member that has most room.
    pub x: f64,
    /// Half that member's width.
    pub half: f64,
    /// Where a joint stands: the same, or the seam of a doubled member.
    pub joint_x: f64,
    /// Two members lie side by side here.
    pub doubled: bool,
    /// A member lies here at all.
    pub backed: bool,
    /// Middles and half widths of the left and right member of a doubled one.
    pub pair: Option<((f64, f64), (f64, f64))>,
    /// Middles and half widths of the other members that lie here.
    others: Vec<(f64, f64)>,
}

impl Target {
    /// Middle and half width of the member that takes a board's fasteners, by how far its board's end is from a middle: the
    /// first choice where that keeps the distance `want`, else the one furthest from the end.
    fn for_board(&self, from_end: impl Fn(f64) -> f64, want: f64) -> (f64, f64) {
        let first = (self.x, self.half);
        if from_end(first.0) >= want {
            return first;
        }
        let further = |best: (f64, f64), m: &(f64, f64)| if from_end(m.0) > from_end(best.0) { *m } else { best };
        self.others.iter().fold(first, further)
    }
}

/// The place on a line at a height; `None` for a line without members.
///
/// Where a member that the drawing has is not there, the place stays where the drawing has it, so that it shows.
pub fn target(members: &[LineMember], y: f64, outline: &Outline) -> Option<Target> {
    let here = members_at(members, y);
    let at = |m: &LineMember| (x_at(&m.path, y), m.width / 2.0);
    if here.is_empty() {
        let nearest = nearest_to(members, y)?;
        let (x, half) = at(nearest);
        return Some(Target { x, half, joint_x: x, doubled: false, backed: false, pair: None, others: Vec::new() });
    }
    let bounds = outline.bounds();
    let middle = (bounds.x0 + bounds.x1) / 2.0;
    // The widest; of equals no trimmer, since the rafters keep the spacing that runs are laid out for; of equals the longest; of
    // equals the one nearest to the slope's middle, so that a mirrored roof mirrors.
    let best = here.iter().copied().reduce(|a, b| {
        let order = |p: f64, q: f64| if (p - q).abs() <= SAME { Ordering::Equal } else { p.total_cmp(&q) };
        let nearness = |m: &LineMember| -(at(m).0 - middle).abs();
        let regular = |m: &LineMember| m.kind != MemberKind::Trimmer;
        let better = order(b.width, a.width)
            .then_with(|| regular(b).cmp(&regular(a)))
            .then_with(|| order(b.length(), a.length()))
            .then_with(|| order(nearness(b), nearness(a)));
        if better == Ordering::Greater { b } else { a }
    })?;
    let pair = side_by_side(&here, y);
    let (x, half) = at(best);
    let joint_x = pair.map_or(x, |(l, r)| (l.0 + l.1 + r.0 - r.1) / 2.0);
    let others = here.iter().filter(|m| m.member != best.member && !m.missing).map(|m| at(m)).collect();
    Some(Target { x, half, joint_x, doubled: pair.is_some(), backed: !best.missing, pair, others })
}

/// Middles and half widths of the left and right one of members at a height that carry a joint together.
fn side_by_side(here: &[&LineMember], y: f64) -> Option<((f64, f64), (f64, f64))> {
    let doubling: Vec<(f64, f64)> =
        here.iter().filter(|m| m.kind != MemberKind::Tail).map(|m| (x_at(&m.path, y), m.width / 2.0)).collect();
    let left = doubling.iter().copied().min_by(|a, b| a.0.total_cmp(&b.0));
    let right = doubling.iter().copied().max_by(|a, b| a.0.total_cmp(&b.0));
    left.zip(right).filter(|(l, r)| doubling.len() > 1 && r.0 - r.1 - (l.0 + l.1) < SIDE_BY_SIDE)
}

/// Whether two members lie side by side on a line at a height, so that each piece of a joint there has its own.
pub fn doubled(members: &[LineMember], y: f64) -> bool {
    side_by_side(&members_at(members, y), y).is_some()
}

/// Members with a gap below this stand side by side and carry a joint together, metres: about 1/4 in.
const SIDE_BY_SIDE: f64 = 0.006;

/// Lays landings and fasteners of a slope, and the short tape and strip of each landing of its own.
pub fn lay(site: &Site<'_>, lattice: &mut SlopeLattice) {
    let (Some(drawn), Some(found)) = (site.outline(State::Drawn), site.outline(State::Found)) else { return };
    let reaches: Vec<(f64, f64)> = lattice.lines.iter().map(reach).collect();
    // How far right any line up to here reaches, and how far left any line from here on: a search keeps between them.
    let mut up_to: Vec<f64> = reaches.iter().map(|r| r.1).collect();
    let mut from_here: Vec<f64> = reaches.iter().map(|r| r.0).collect();
    for i in 1..up_to.len() {
        up_to[i] = up_to[i].max(up_to[i - 1]);
    }
    for i in (1..from_here.len()).rev() {
        from_here[i - 1] = from_here[i - 1].min(from_here[i]);
    }
    let fastening = &site.design.fastening;
    let any_laid = site.design.laid.iter().any(|l| l.what.contains(&LaidKind::Fasteners));
    let mut of_course: Vec<(Landing, Vec<Fastener>)> = Vec::new();
    for p in 0..lattice.pieces.len() {
        let Some(piece) = lattice.pieces.get(p).cloned() else { continue };
        let course = lattice.courses.get(piece.course as usize).map_or(String::new(), |c| c.name.clone());
        let mut here: Vec<(Landing, Vec<Fastener>)> = Vec::new();
        let first = up_to.partition_point(|right| *right < piece.x.0);
        let last = from_here.partition_point(|left| *left <= piece.x.1);
        for (i, line) in lattice.lines.iter().enumerate().take(last).skip(first) {
            if !line.runs_at(piece.y) {
                continue;
            }
            let laid = any_laid && site.laid(LaidKind::Fasteners, Some(&line.name), Some(&course));
            let (state, outline) = if laid { (State::Drawn, drawn) } else { (State::Found, found) };
            let Some(t) = target(line.members(state), piece.y, outline) else { continue };
            let number = list::number(i);
            if let Some((x, side)) = place(site, outline, &piece, number, &t) {
                here.push(fastened(site, p, On::Line(number), side, 0, (x, piece.y), fastening.pattern.value));
            }
        }
        let all_laid = any_laid && site.laid_everywhere(LaidKind::Fasteners, &course);
        own(site, if all_laid { site.drawn } else { site.found }, p, &piece, &mut here);
        singles(site, p, &piece, &course, &mut here);
        here.sort_by(|a, b| a.0.x.total_cmp(&b.0.x));
        of_course.append(&mut here);
        let ends_course = lattice.pieces.get(p + 1).is_none_or(|next| next.course != piece.course);
        if ends_course {
            tell_apart(&mut of_course);
            for (landing, fasteners) in of_course.drain(..) {
                keep(site, lattice, landing, fasteners);
            }
        }
    }
    own_tape_and_strip(site, lattice);
}

/// Gives landings of one course that are on the same thing names of their own: the two boards of a lap are its left and
/// its right one, several landings on one member are numbered from the left.
fn tell_apart(course: &mut [(Landing, Vec<Fastener>)]) {
    let mut alike: BTreeMap<(On, u16), Vec<usize>> = BTreeMap::new();
    for (k, (l, _)) in course.iter().enumerate() {
        alike.entry((l.on, if l.on == On::Place { l.number } else { 0 })).or_default().push(k);
    }
    for ((on, _), mut same) in alike {
        if same.len() < 2 {
            continue;
        }
        if let On::Member(_) = on {
            same.sort_by(|a, b| course[*a].0.x.total_cmp(&course[*b].0.x).then(a.cmp(b)));
            for (n, k) in same.into_iter().enumerate() {
                course[k].0.number = u16::try_from(n + 1).unwrap_or(u16::MAX);
            }
        } else if same.iter().all(|k| course[*k].0.side == Side::Whole) {
            for (n, k) in same.into_iter().enumerate() {
                course[k].0.side = if n == 0 { Side::Left } else { Side::Right };
            }
        }
    }
}

/// Adds a landing with its fasteners, moved or left out where the design says so.
fn keep(site: &Site<'_>, lattice: &mut SlopeLattice, mut landing: Landing, mut fasteners: Vec<Fastener>) {
    landing.first = list::number(lattice.fasteners.len());
    let design = site.design;
    let moved = || design.move_of(&lattice.landing_name(&landing, site.found));
    if let Some(m) = if design.moves.is_empty() { None } else { moved() } {
        if m.skip {
            lattice.skipped.push((m.landing.clone(), (landing.x, landing.y)));
            return;
        }
        landing.x += m.across.metres();
        landing.y += m.up.metres();
        for f in &mut fasteners {
            f.x += m.across.metres();
            f.y += m.up.metres();
        }
    }
    lattice.fasteners.append(&mut fasteners);
    lattice.landings.push(landing);
}

/// Leftmost and rightmost place of a line's members, drawn and found.
fn reach(line: &Line) -> (f64, f64) {
    let places = line.drawn.iter().chain(&line.found).flat_map(|m| m.path.iter().map(move |p| (p.1, m.width)));
    places.fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), (x, w)| (a.min(x - w), b.max(x + w)))
}

/// Where on a line a piece is fastened, or `None` where it does not reach it.
fn place(site: &Site<'_>, outline: &Outline, piece: &Piece, line: u32, t: &Target) -> Option<(f64, Side)> {
    let design = site.design;
    let joint = |end: End| end == End::Joint { line };
    let (left_joint, right_joint) = (joint(piece.ends.0), joint(piece.ends.1));
    let want = design.limits.end_distance.metres();
    if !left_joint && !right_joint {
        let reach = design.fastening.diameter.metres();
        let from_end = |x: f64| (x - piece.x.0).min(piece.x.1 - x);
        // Beside an opening or a rake another member of the line may offer a place further from the board's end.
        let (best, half) = t.for_board(from_end, want);
        let best = (from_end(best) > reach).then_some(best)?;
        let slanted = [piece.ends.0, piece.ends.1].iter().any(|e| matches!(e, End::Edge { slanted: true, .. }));
        let x = if slanted { inside_slants(design, outline, piece, best, half)? } else { best };
        return Some((x, Side::Whole));
    }
    // The piece to the left of a joint has the joint at its right end.
    let side = if right_joint { Side::Left } else { Side::Right };
    if design.lattice.batten.joint.value == JointKind::Lap {
        return Some((t.x, side));
    }
    let (centre, half) = match (t.pair, side) {
        (Some((left, _)), Side::Left) => left,
        (Some((_, right)), _) => right,
        (None, _) => (t.x, t.half),
    };
    // As far from the piece's end as member, strip and tape let it, but not past the member's middle needlessly.
    let radius = design.fastening.diameter.metres() / 2.0;
    // A board that is laid already may end where the member no longer is: the nail still holds the board.
    let edge = design.limits.edge_distance.metres();
    let mut reach = half - edge;
    if design.lattice.strip.wide.is_none() {
        reach = reach.min(design.lattice.strip.width.metres() / 2.0 - radius);
        reach = reach.min(design.lattice.tape.width.metres() / 2.0 - design.limits.tape_margin.metres() - radius);
    }
    let reach = reach.max(0.0);
    let x = match side {
        Side::Left => (piece.x.1 - want).min(centre).max(centre - reach).min(piece.x.1 - edge),
        Side::Right | Side::Whole => (piece.x.0 + want).max(centre).min(centre + reach).max(piece.x.0 + edge),
    };
    Some((x, side))
}

/// The nearest place to `x` where all fasteners of a landing stand in a board with slanted ends, a diameter from its end
/// along the grain; none where that is past the edge distance to the member's side, half a width `half` from its middle.
fn inside_slants(design: &Design, outline: &Outline, piece: &Piece, x: f64, half: f64) -> Option<f64> {
    let keep = design.fastening.diameter.metres();
    let (mut low, mut high) = (f64::NEG_INFINITY, f64::INFINITY);
    for (dx, dy) in in_pattern(design, design.fastening.pattern.value) {
        let wood = piece.wood_at(design, outline, piece.y + dy);
        (low, high) = (low.max(wood.0 + keep - dx), high.min(wood.1 - keep - dx));
    }
    let at = x.max(low).min(high);
    let aside = (half - design.limits.edge_distance.metres()).max(0.0);
    (low <= high && (at - x).abs() <= aside + SAME).then_some(at)
}

/// Where the fasteners of a landing stand from its middle, across and up the slope, metres. One above the other they keep
/// the edge distance to the batten's sides.
pub fn in_pattern(design: &Design, pattern: Pattern) -> impl Iterator<Item = (f64, f64)> {
    let f = &design.fastening;
    let n = f.per_landing.value;
    let across = f.spread.metres();
    let keep = 2.0 * design.limits.batten_edge.metres();
    let up = across.min((design.lattice.batten.width.metres() - keep).max(0.0));
    (0..n).map(move |k| {
        let t = if n > 1 { k as f64 / (n - 1) as f64 - 0.5 } else { 0.0 };
        match pattern {
            Pattern::Up => (0.0, t * up),
            Pattern::Across => (t * across, 0.0),
            Pattern::Diagonal => (t * up / 2.0, t * up),
        }
    })
}

/// A landing with its fasteners.
fn fastened(
    site: &Site<'_>,
    piece: usize,
    on: On,
    side: Side,
    number: u16,
    at: (f64, f64),
    pattern: Pattern,
) -> (Landing, Vec<Fastener>) {
    let n = site.design.fastening.per_landing.value;
    let fasteners = in_pattern(site.design, pattern).map(|(dx, dy)| Fastener { x: at.0 + dx, y: at.1 + dy }).collect();
    let piece = list::number(piece);
    let count = u8::try_from(n).unwrap_or(u8::MAX);
    (Landing { piece, on, side, number, count, first: 0, x: at.0, y: at.1 }, fasteners)
}

/// Landings by rule over members that run along the eave.
fn own(site: &Site<'_>, structure: &Structure, p: usize, piece: &Piece, here: &mut Vec<(Landing, Vec<Fastener>)>) {
    let spec = &site.design.lattice.batten;
    let half = spec.width.metres() / 2.0;
    let Some(frame) = structure.slopes.get(site.slope.0) else { return };
    for rule in site.design.landing_rules.iter().filter(|r| r.slopes.contains(&site.slope)) {
        for (i, member) in structure.members.iter().enumerate() {
            if member.missing || !carries_own_landings(member.kind) || !rule.over.contains(&member.kind) {
                continue;
            }
            let pose = match member.home {
                Some(home) if home == site.slope => member.pose,
                Some(_) => continue,
                None => frame.pose.inverse() * member.pose,
            };
            let end = |s: f64| pose * Point3::new(x_at(&member.sweep.stations, s), s, 0.0);
            let (a, b) = (end(0.0), end(member.length));
            let (a, b) = if a.x <= b.x { (a, b) } else { (b, a) };
            if b.x - a.x < (b.y - a.y).abs() {
                continue;
            }
            // Over the member's middle, or as near to it as the batten lets it.
            let room = (half - site.design.limits.batten_edge.metres()).max(0.0);
            let beside = room + member.section.width().metres() / 2.0 + SAME;
            if a.y.min(b.y) - piece.y > beside || piece.y - a.y.max(b.y) > beside {
                continue;
            }
            let inset = rule.inset.metres().min((b.x - a.x) / 2.0);
            let (from, to) = ((a.x + inset).max(piece.x.0 + inset), (b.x - inset).min(piece.x.1 - inset));
            if to < from - 1e-9 {
                continue;
            }
            let places = match &rule.spacing {
                Some(step) if to - from > 1e-9 => {
                    let gaps = ((to - from) / step.metres() - 1e-9).ceil().max(1.0);
                    (0..=gaps as usize).map(|k| from + (to - from) * k as f64 / gaps).collect()
                }
                _ => vec![(from + to) / 2.0],
            };
            for x in places {
                let over = a.y + (b.y - a.y) * (x - a.x) / (b.x - a.x);
                let y = over.clamp(piece.y - room, piece.y + room);
                if (y - over).abs() >= member.section.width().metres() / 2.0 {
                    continue;
                }
                // A crossing nearer than half a batten's width, or than fasteners side by side leave room for, already holds the
                // piece here. No spread that is not written asks for more than the half.
                let near =
                    half.max(site.design.fastening.spread.metres() / 2.0 + site.design.limits.edge_distance.metres());
                let crossing = here.iter().any(|(l, _)| matches!(l.on, On::Line(_)) && (l.x - x).abs() < near);
                if crossing {
                    continue;
                }

                let on = On::Member(MemberId(list::number(i)));
                here.push(fastened(site, p, on, Side::Whole, 0, (x, y), Pattern::Across));
            }
        }
    }
}

/// Landings that the design places one by one.
fn singles(site: &Site<'_>, p: usize, piece: &Piece, course: &str, here: &mut Vec<(Landing, Vec<Fastener>)>) {
    let here_by_hand = site.design.landings.iter().filter(|l| l.course == course);
    let mut all: Vec<(f64, Pattern)> = here_by_hand.map(|l| (l.x.metres(), l.pattern)).collect();
    all.sort_by(|a, b| a.0.total_cmp(&b.0));
    for (k, (x, pattern)) in all.into_iter().enumerate() {
        if x > piece.x.0 && x < piece.x.1 {
            let number = u16::try_from(k + 1).unwrap_or(u16::MAX);
            here.push(fastened(site, p, On::Place, Side::Whole, number, (x, piece.y), pattern));
        }
    }
}

/// The short tape and strip piece of each landing that no line runs under.
fn own_tape_and_strip(site: &Site<'_>, lattice: &mut SlopeLattice) {
    let spec = &site.design.lattice;
    let levels = Levels::of(site.design);
    let Some(borders) = site.outline(State::Found).map(Borders::of) else { return };
    let own: Vec<Landing> = lattice.landings.iter().filter(|l| !matches!(l.on, On::Line(_))).copied().collect();
    for landing in own {
        let Some(piece) = lattice.pieces.get(landing.piece as usize) else { continue };
        let (half, y) = (spec.batten.width.metres() / 2.0, piece.y);
        let name = lattice.landing_name(&landing, site.found);
        // As long as the batten is wide, and wide enough for fasteners that stand side by side.
        let group: Vec<f64> = lattice.fasteners_of(&landing).iter().map(|f| f.x).collect();
        let span = group.iter().fold(0.0_f64, |m, x| m.max((x - landing.x).abs())) * 2.0;
        let beside = 2.0 * (site.design.limits.tape_margin.metres() + site.design.fastening.diameter.metres());
        let path = vec![(y - half, landing.x), (y + half, landing.x)];
        let tape = spec.tape.width.metres().max(span + beside);
        let strip = spec.strip.width.metres().max(span + 2.0 * site.design.fastening.diameter.metres());
        lattice.tapes.extend(borders.tape.cut(&path, tape).into_iter().zip(1..).map(|(left, k)| {
            let Left { path, width, cuts } = left;
            Tape { name: format!("{name}.t{k}"), line: None, path, width, roll_width: tape, cuts }
        }));
        let sides = (landing.x - strip / 2.0, landing.x + strip / 2.0);
        let Some((low, high)) = beside_vents(&lattice.vents, sides, (y - half, y + half)) else { continue };
        let path = vec![(low, landing.x), (high, landing.x)];
        lattice.strips.extend(borders.strips.cut(&path, strip).into_iter().zip(1..).map(|(left, k)| {
            let Left { path, width, cuts } = left;
            let name = format!("{name}.s{k}");
            let (bottom, top) = (levels.tape, levels.strip);
            StripPiece { name, line: None, path, width, stock_width: strip, cuts, bottom, top }
        }));
    }
}

/// What vent pieces leave of a short strip between two heights: the longest stretch. The batten lies on them elsewhere.
fn beside_vents(vents: &[VentPiece], x: (f64, f64), y: (f64, f64)) -> Option<(f64, f64)> {
    let across = vents.iter().filter(|v| v.x.0 < x.1 - SAME && v.x.1 > x.0 + SAME);
    let free = across.fold(Intervals::one(y.0, y.1), |free, v| free.without(v.y.0, v.y.1));
    let longest = free.as_slice().iter().copied().max_by(|a, b| (a.1 - a.0).total_cmp(&(b.1 - b.0)));
    longest.filter(|s| s.1 - s.0 > SAME)
}
