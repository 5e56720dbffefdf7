//! Courses and their pieces.

use std::cell::OnceCell;

use super::boards::reach;
use super::choice::Given;
use super::division::{Candidate, Joint, Rule, divide};
use super::landings::target;
use super::names::{Span, carried};
use super::{Course, End, Line, Piece, Site, SlopeLattice, gaps, members_at, x_at};
use crate::design::{BoardsFrom, Design, JointKind, LaidKind, StartEdge, StripOverStrap};
use crate::quantity::list::number;
use crate::solid::Intervals;
use crate::solid::tolerance::SAME;
use crate::structure::{Outline, State, Strap, letters};

/// A course before its boards are chosen: its height in each state, and the part of the roof that it is kept to.
pub struct Plan {
    pub name: String,
    pub drawn: f64,
    found: f64,
    /// How far a partial course reaches.
    only: Option<Reach>,
}

impl Plan {
    /// Whether any of it is on the roof: then all of it stays where the drawing has it.
    pub fn is_laid(&self, site: &Site<'_>) -> bool {
        THERE.iter().any(|k| site.laid(*k, None, Some(&self.name)))
    }

    /// Whether a piece of it is on the roof: nails that are in hold a batten that is there.
    fn is_there(&self, site: &Site<'_>, piece: &Piece, lines: &[Line]) -> bool {
        let on = |(i, l): (usize, &Line)| {
            let at_end =
                [piece.ends.0, piece.ends.1].iter().any(|e| matches!(e, End::Joint { line } if *line as usize == i));
            let crosses = l.drawn_x(piece.y).is_some_and(|x| piece.x.0 <= x && x <= piece.x.1);
            (at_end || crosses) && THERE.iter().any(|k| site.laid(*k, Some(&l.name), Some(&self.name)))
        };
        THERE.iter().any(|k| site.laid_everywhere(*k, &self.name)) || lines.iter().enumerate().any(on)
    }
}

/// What tells that a batten is on the roof.
const THERE: [LaidKind; 2] = [LaidKind::Battens, LaidKind::Fasteners];

/// From which line to which line a partial course reaches; to the outline where there is none.
#[derive(Clone, Copy)]
struct Reach {
    /// The opening that it frames.
    opening: Option<usize>,
    left: Option<u32>,
    right: Option<u32>,
}

impl Reach {
    fn ends(&self) -> (u32, u32) {
        (self.left.unwrap_or(0), self.right.unwrap_or(u32::MAX))
    }

    fn meets(&self, other: &Reach) -> bool {
        let ((a, b), (c, d)) = (self.ends(), other.ends());
        a <= d && c <= b
    }

    /// Whether boards from line to line would lie in one another or nearly touch, where they are drawn.
    fn crowds(&self, other: &Reach, site: &Site<'_>, lines: &[Line], y: f64) -> bool {
        let at = |l: Option<u32>, open: f64| l.and_then(|l| lines.get(l as usize)?.drawn_x(y)).unwrap_or(open);
        let ends = |r: &Reach| (at(r.left, f64::NEG_INFINITY), at(r.right, f64::INFINITY));
        let ((a, b), (c, d)) = (ends(self), ends(other));
        let room = 2.0 * past_lines(site.design) + site.design.lattice.batten.width.metres();
        a < d + room && c < b + room
    }

    /// Both together, of which neither frames an opening.
    fn with(&self, other: &Reach) -> Reach {
        Reach {
            opening: None,
            left: self.left.zip(other.left).map(|(a, b)| a.min(b)),
            right: self.right.zip(other.right).map(|(a, b)| a.max(b)),
        }
    }
}

/// Lays courses and pieces of a slope, with the joints that are given and by the plain rule elsewhere.
pub fn lay(site: &Site<'_>, lattice: &mut SlopeLattice, given: &Given) {
    let (Some(drawn), Some(found)) = (site.outline(State::Drawn), site.outline(State::Found)) else { return };
    let plans = plans(site, drawn, found, &lattice.lines);
    let spec = &site.design.lattice.batten;
    let mut taken: Vec<Vec<u32>> = Vec::new();
    for plan in plans {
        let laid = plan.is_laid(site);
        let state = if laid { State::Drawn } else { State::Found };
        let y = if laid { plan.drawn } else { plan.found };
        let near: Vec<u32> = taken.iter().rev().take(spec.stagger.value).flatten().copied().collect();
        // Joints come from the drawing; where what was found leaves no room for them, from what was found.
        let as_drawn = stretches(site, State::Drawn, &plan, plan.drawn, &lattice.lines);
        let joints: Vec<Vec<Joint>> = match given.get(&plan.name) {
            Some(given) if given.len() == as_drawn.len() => given.clone(),
            _ => {
                let backed = Backed::of(site, State::Drawn, plan.drawn, &lattice.lines);
                as_drawn.iter().map(|s| joints(site, State::Drawn, s, &backed, &near)).collect()
            }
        };
        taken.push(joints.iter().flatten().filter_map(|j| j.line).collect());
        let drawn_spans: Vec<Span> = as_drawn
            .iter()
            .zip(&joints)
            .flat_map(|(s, j)| ends(site, s, j))
            .map(|along| Span { along, across: 0.0 })
            .collect();
        let here = if laid { as_drawn } else { stretches(site, state, &plan, y, &lattice.lines) };
        let course = number(lattice.courses.len());
        let mut pieces = Vec::new();
        let same = joints.len() == here.len();
        let backed = OnceCell::new();
        for (k, stretch) in here.iter().enumerate() {
            let drawn = joints.get(k).filter(|_| same);
            let placed = drawn.map(|js| replaced(site, state, js, y, &lattice.lines));
            let fits = placed.as_ref().is_some_and(|js| lengths_fit(site, state, stretch, js));
            let joints = match placed {
                Some(js) if fits => js,
                _ => {
                    let backed = backed.get_or_init(|| Backed::of(site, state, y, &lattice.lines));
                    self::joints(site, state, stretch, backed, &near)
                }
            };
            boards(site, stretch, &joints, course, y, &mut pieces);
        }
        let straps: Vec<&Strap> = site.found.straps.iter().filter(|s| s.slope == site.slope).collect();
        let spans = |pieces: &[Piece]| pieces.iter().map(|p| Span { along: p.x, across: 0.0 }).collect::<Vec<_>>();
        let as_now = spans(&pieces);
        let drawn_spans = if laid || site.as_drawn() { as_now.clone() } else { drawn_spans };
        let names = carried(&drawn_spans, &as_now, |n| format!("{}.{n}", plan.name));
        for (piece, name) in pieces.iter_mut().zip(names) {
            piece.name = name;
            piece.laid = laid && plan.is_there(site, piece, &lattice.lines);
            piece.lift = lift(site, piece, &straps, &lattice.lines);
        }
        lattice.pieces.append(&mut pieces);
        lattice.courses.push(Course { name: plan.name, y });
    }
}

/// The most that a course keeps from the outline's level edges at its highest or lowest level, metres; none without such an edge.
fn held_back(outline: &Outline, at_top: bool) -> Option<f64> {
    let bounds = outline.bounds();
    let level = if at_top { bounds.y1 } else { bounds.y0 };
    let here = outline.edges.iter().enumerate().filter(|(e, _)| {
        outline.ends(*e).is_some_and(|(a, b)| (a.1 - level).abs() < SAME && (b.1 - level).abs() < SAME)
    });
    here.map(|(_, e)| e.hold_back.metres()).max_by(f64::total_cmp)
}

/// Heights of the courses, from the eave up.
fn heights(site: &Site<'_>, outline: &Outline) -> Vec<f64> {
    let spec = &site.design.lattice.batten;
    let bounds = outline.bounds();
    let height = bounds.y1 - bounds.y0;
    let half = spec.width.metres() / 2.0;
    let from_top = spec.start.value == StartEdge::Top;
    // A course keeps an edge's hold-back, whatever its own distance says.
    let kept = |at_top: bool| held_back(outline, at_top).map_or(0.0, |back| back + half);
    let first = spec.first.metres().max(kept(from_top));
    let last = spec.last.metres().max(kept(!from_top));
    let step = spec.spacing.metres();
    let end = height - last;
    let mut all = Vec::new();
    let mut k = 0.0;
    // A regular course so near to the last one that their boards would nearly touch is left out.
    let room = 1.5 * spec.width.metres();
    while first + k * step <= end - room {
        all.push(first + k * step);
        k += 1.0;
    }
    if end > first - SAME {
        all.push(end);
    }
    if from_top {
        all = all.iter().rev().map(|y| height - y).collect();
    }
    all.iter().map(|y| bounds.y0 + y).collect()
}

/// Courses of a slope in the order of their drawn heights: the regular ones, those of stepped edges, and those that frame
/// openings.
pub fn plans(site: &Site<'_>, drawn: &Outline, found: &Outline, lines: &[Line]) -> Vec<Plan> {
    let (as_drawn, as_found) = (heights(site, drawn), heights(site, found));
    let digits = as_drawn.len().to_string().len().max(2);
    let name = |n: usize| format!("{}-B{n:0digits$}", site.prefix());
    let mut plans: Vec<Plan> = as_found
        .iter()
        .enumerate()
        .map(|(i, y)| {
            let drawn = as_drawn.get(i).copied();
            // More courses than drawn are named below, after the drawn ones.
            let name = drawn.map_or_else(String::new, |_| name(i + 1));
            Plan { name, drawn: drawn.unwrap_or(*y), found: *y, only: None }
        })
        .collect();
    at_stepped_edges(site, drawn, found, lines, &mut plans);
    if site.design.lattice.opening.frame.value {
        around_openings(site, drawn, found, lines, &mut plans);
    }
    plans.sort_by(|a, b| a.drawn.total_cmp(&b.drawn));
    let mut base = name(0);
    let mut letter = 0;
    for p in &mut plans {
        if p.only.is_none() && !p.name.is_empty() {
            base.clone_from(&p.name);
            letter = 0;
        } else if p.only.is_some() {
            letter += 1;
            p.name = format!("{base}{}", letters(letter));
        }
    }
    // The further courses take the last drawn one's name with a letter that no partial course has.
    let last = name(as_drawn.len());
    for k in 0..plans.len() {
        if plans.get(k).is_some_and(|p| p.name.is_empty()) {
            let free = |n: &String| !plans.iter().any(|p| p.name == *n);
            let name = (1..).map(|l| format!("{last}{}", letters(l))).find(free).unwrap_or_default();
            if let Some(plan) = plans.get_mut(k) {
                plan.name = name;
            }
        }
    }
    plans
}

/// The nearest line whose drawn place at `y` is at `x` or beyond it, to the right or to the left.
fn line_beside(lines: &[Line], (x, y): (f64, f64), right: bool) -> Option<u32> {
    let fits = |l: &Line| {
        let at = l.drawn_x(y).unwrap_or(0.0);
        if right { at >= x - SAME } else { at <= x + SAME }
    };
    let position = if right { lines.iter().position(fits) } else { lines.iter().rposition(fits) };
    position.and_then(|p| u32::try_from(p).ok())
}

/// A step of the outline gets a course of its own, as far from it as the
/// first or last course is from the outline's, over the edge's length and on to the next lines; none where a regular
/// course lies nearer to the edge, or so near to that place that their boards would touch.
fn at_stepped_edges(site: &Site<'_>, drawn: &Outline, found: &Outline, lines: &[Line], plans: &mut Vec<Plan>) {
    let spec = &site.design.lattice.batten;
    let width = spec.width.metres();
    for e in (0..drawn.edges.len()).filter(|e| drawn.is_step(*e)) {
        let (Some((a, b)), Some(out)) = (drawn.ends(e), drawn.outward(e)) else { continue };
        let at_top = out.1 > 0.0;
        let asked = if at_top == (spec.start.value == StartEdge::Top) { &spec.first } else { &spec.last };
        // Where the edge lets a course be at all, and where one is asked for.
        let places = |outline: &Outline| {
            let (a, b) = outline.ends(e)?;
            let least = outline.edges.get(e)?.hold_back.metres() + width / 2.0;
            let most = asked.metres().max(least);
            Some(if at_top {
                let level = a.1.min(b.1);
                (level - least, level - most)
            } else {
                let level = a.1.max(b.1);
                (level + least, level + most)
            })
        };
        let Some((outer, y)) = places(drawn) else { continue };
        let touches = |p: &Plan| (p.drawn - y).abs() < width + SAME;
        let between = |p: &Plan| outer.min(y) - SAME < p.drawn && p.drawn < outer.max(y) + SAME;
        if plans.iter().any(|p| p.only.is_none() && (touches(p) || between(p))) {
            continue;
        }
        let mut reach = Reach {
            opening: None,
            left: line_beside(lines, (a.0.min(b.0), y), false),
            right: line_beside(lines, (a.0.max(b.0), y), true),
        };
        // Edges on either side of a part so narrow that their courses would meet share one.
        plans.retain(|p| match p.only {
            Some(other) if touches(p) && other.meets(&reach) => {
                reach = reach.with(&other);
                false
            }
            _ => true,
        });
        // As found it may come where a regular course is: then it lies beside that, on the side away from the edge.
        let inward = if at_top { -width } else { width };
        let found = places(found).map_or(y, |p| p.1);
        let taken = plans.iter().filter(|p| p.only.is_none()).find(|p| (p.found - found).abs() < width - SAME);
        let found = taken.map_or(found, |p| p.found + inward);
        plans.push(Plan { name: String::new(), drawn: y, found, only: Some(reach) });
    }
}

/// Courses above and below openings that no other course frames.
fn around_openings(site: &Site<'_>, drawn: &Outline, found: &Outline, lines: &[Line], plans: &mut Vec<Plan>) {
    let spec = &site.design.lattice;
    let half = spec.batten.width.metres() / 2.0;
    let away = spec.opening.way_round.metres() + half;
    for (i, ((_, d), (_, f))) in drawn.openings.iter().zip(&found.openings).enumerate() {
        let (left, right) = (line_beside(lines, (d.x0, d.y0), false), line_beside(lines, (d.x1, d.y0), true));
        if left.is_none() || right.is_none() {
            continue;
        }
        let reach = Reach { opening: Some(i), left, right };
        let bounds = drawn.bounds();
        let back = |at_top: bool| held_back(drawn, at_top).unwrap_or(0.0);
        let clear = spec.opening.clearance.metres();
        // A course that the opening cuts frames nothing; the framing course keeps clear of its ends.
        let others = |pick: fn(&Plan) -> f64| -> Vec<f64> {
            let near = |p: &&Plan| p.only.is_none_or(|o| o.opening.is_none() && o.meets(&reach));
            plans.iter().filter(near).map(pick).collect()
        };
        let place = |hole: &crate::structure::Rectangle, courses: &[f64], above: bool| {
            let cut = |y: &&f64| **y + half > hole.y0 - clear && **y - half < hole.y1 + clear;
            let cuts = courses.iter().filter(cut).copied();
            if above {
                cuts.fold(hole.y1 + away, |y, c| y.max(c + 2.0 * half))
            } else {
                cuts.fold(hole.y0 - away, |y, c| y.min(c - 2.0 * half))
            }
        };
        let (in_drawn, in_found) = (others(|p| p.drawn), others(|p| p.found));
        for above in [false, true] {
            let (yd, yf) = (place(d, &in_drawn, above), place(f, &in_found, above));
            let beside = |y: &f64| {
                let cut = *y + half > d.y0 - clear && *y - half < d.y1 + clear;
                !cut && (y - yd).abs() < 2.0 * half - SAME
            };
            if in_drawn.iter().any(beside)
                || yd - half <= bounds.y0 + back(false)
                || yd + half >= bounds.y1 - back(true)
            {
                continue;
            }
            // Openings so near to each other that their courses would lie in one another share one: the one further off.
            let mut course = Plan { name: String::new(), drawn: yd, found: yf, only: Some(reach) };
            plans.retain(|p| {
                let framed = p.only.and_then(|o| Some((o, drawn.openings.get(o.opening?)?)));
                let Some((other, hole)) = framed else { return true };
                let same_side = (p.drawn > hole.1.y0) == above;
                let near = (p.drawn - course.drawn).abs() < 2.0 * half - SAME;
                let Some(mine) = course.only.filter(|o| same_side && near && o.crowds(&other, site, lines, yd)) else {
                    return true;
                };
                let further = |a: f64, b: f64| if above { a.max(b) } else { a.min(b) };
                course.drawn = further(course.drawn, p.drawn);
                course.found = further(course.found, p.found);
                course.only = Some(Reach { opening: mine.opening, ..mine.with(&other) });
                false
            });
            plans.push(course);
        }
    }
}

/// How far a partial course reaches past its outermost lines, metres.
fn past_lines(design: &Design) -> f64 {
    design.lattice.strip.width.metres() / 2.0 + design.lattice.batten.width.metres()
}

/// A stretch of a course that is not interrupted.
pub struct Stretch {
    pub x: (f64, f64),
    pub ends: (End, End),
    /// A second board fits above, side by side.
    room_above: bool,
}

pub fn stretches(site: &Site<'_>, state: State, plan: &Plan, y: f64, lines: &[Line]) -> Vec<Stretch> {
    let Some(outline) = site.outline(state) else { return Vec::new() };
    let spec = &site.design.lattice;
    let half = spec.batten.width.metres() / 2.0;
    let row = |y: f64| outline.band(y - half, y + half, |e| e.hold_back.metres());
    let own_row = row(y);
    // Boards that lap lie in two rows: the second above the first, or below it where there is no room above. A course
    // is as long as both rows are.
    let lapped = spec.batten.joint.value == JointKind::Lap;
    let longest = |i: &Intervals| i.as_slice().iter().map(|(a, b)| b - a).fold(0.0, f64::max);
    let above = row(y + 2.0 * half);
    let below_top = held_back(outline, true).is_none_or(|back| y + 3.0 * half <= outline.bounds().y1 - back + SAME);
    let room_above = !lapped || (below_top && longest(&above) > longest(&own_row) - 4.0 * half);
    let (low, high, whole) = match (lapped, room_above) {
        (false, _) => (y - half, y + half, own_row),
        (true, true) => (y - half, y + 3.0 * half, own_row.intersection(&above)),
        (true, false) => (y - 3.0 * half, y + half, own_row.intersection(&row(y - 2.0 * half))),
    };
    let mut left = whole.clone();
    let steps = outline.near_steps(low, high, |e| e.hold_back.metres());
    for (a, b) in &steps {
        left = left.without(*a, *b);
    }
    let clear = spec.opening.clearance.metres();
    for (_, hole) in &outline.openings {
        if high > hole.y0 - clear && low < hole.y1 + clear {
            left = left.without(hole.x0 - clear, hole.x1 + clear);
        }
    }
    if let Some(only) = plan.only {
        let past = past_lines(site.design);
        let at = |l: Option<u32>, open: f64| match l {
            None => Some(open),
            Some(l) => lines.get(l as usize).and_then(|l| target(l.members(state), y, outline)).map(|t| t.x),
        };
        let (Some(a), Some(b)) = (at(only.left, f64::NEG_INFINITY), at(only.right, f64::INFINITY)) else {
            return Vec::new();
        };
        if only.opening.is_some_and(|o| outline.openings.get(o).is_none()) {
            return Vec::new();
        }
        left = left.intersection(&Intervals::one(a - past, b + past));
    }
    left = gaps::without(site.design, &plan.name, left);
    left.as_slice()
        .iter()
        // At the point of an outline a course can get so short that no board could be held twice: it is left out.
        .filter(|(a, b)| b - a > 4.0 * half)
        .map(|(a, b)| {
            let own =
                |x: f64, pick: fn(&(f64, f64)) -> f64| whole.as_slice().iter().any(|w| (pick(w) - x).abs() < SAME);
            let end = |x: f64, outer: bool, right: bool| {
                if outer && lapped {
                    let edge = edge_end(outline, y, half, x, right).1;
                    let square = |edge| (x, End::Edge { edge, slanted: false });
                    if let End::Edge { edge, .. } = edge { square(edge) } else { (x, End::Free) }
                } else if outer {
                    edge_end(outline, y, half, x, right)
                } else if let Some(gap) = gaps::end_at(site.design, &plan.name, x) {
                    (x, gap)
                } else if plan.only.is_some() || steps.iter().any(|(a, b)| (a - x).abs() < SAME || (b - x).abs() < SAME)
                {
                    (x, End::Free)
                } else {
                    (x, End::Opening)
                }
            };
            let (x0, first) = end(*a, own(*a, |w| w.0), false);
            let (x1, last) = end(*b, own(*b, |w| w.1), true);
            Stretch { x: (x0, x1), ends: (first, last), room_above }
        })
        .collect()
}

/// The end of a course at the outline: which edge, and where along the course's middle.
fn edge_end(outline: &Outline, y: f64, half: f64, x: f64, right: bool) -> (f64, End) {
    let at = |y: f64| {
        outline
            .along_x(y)
            .into_iter()
            .map(|(l, r)| if right { r } else { l })
            .min_by(|a, b| (a.0 - x).abs().total_cmp(&(b.0 - x).abs()))
    };
    let nudge = 1e-9;
    let (Some(low), Some(high), Some(middle)) = (at(y - half + nudge), at(y + half - nudge), at(y)) else {
        return (x, End::Free);
    };
    let one = low.1 == high.1;
    let slanted = one && (low.0 - high.0).abs() > SAME;
    if !slanted {
        // An inner corner that reaches into the course ends it before the edge that its middle would meet.
        let off = |e: &(f64, usize)| (e.0 - x).abs();
        let nearest = [low, high].into_iter().fold(middle, |a, b| if off(&b) < off(&a) - SAME { b } else { a });
        return (x, End::Edge { edge: nearest.1, slanted: false });
    }
    // Cut along the edge: the middle ends where the edge, drawn in by its hold-back, crosses it.
    let nx = outline.outward(low.1).map_or(1.0, |n| n.0.abs().max(0.05));
    let back = outline.edges.get(low.1).map_or(0.0, |e| e.hold_back.metres()) / nx;
    let x = if right { middle.0 - back } else { middle.0 + back };
    (x, End::Edge { edge: low.1, slanted: true })
}

/// What a division keeps to.
pub fn rule(design: &Design) -> Rule {
    let spec = &design.lattice.batten;
    let overlap = match spec.joint.value {
        JointKind::Lap => spec.lap.metres() / 2.0,
        JointKind::Butt | JointKind::Doubled => -spec.joint_gap.metres() / 2.0,
    };
    Rule {
        longest: spec.stock.value.last().map_or(0.0, |l| l.metres()),
        least: spec.least_piece.metres(),
        overlap,
        from_right: spec.boards_from.value == BoardsFrom::Right,
    }
}

/// Where joints of a course may stand at all, from left to right, and whether on a doubled member.
pub struct Backed(Vec<(Candidate, bool)>);

impl Backed {
    /// The places of a course at height `y`.
    pub fn of(site: &Site<'_>, state: State, y: f64, lines: &[Line]) -> Backed {
        let Some(outline) = site.outline(state) else { return Backed(Vec::new()) };
        let mut all: Vec<(Candidate, bool)> = lines
            .iter()
            .enumerate()
            .filter(|(_, l)| l.runs_at(y))
            .filter_map(|(i, l)| {
                let t = target(l.members(state), y, outline)?;
                t.backed.then_some((Candidate { line: u32::try_from(i).ok()?, x: t.joint_x }, t.doubled))
            })
            .collect();
        all.sort_by(|a, b| a.0.x.total_cmp(&b.0.x));
        Backed(all)
    }

    /// Those between two places.
    fn within(&self, from: f64, to: f64) -> &[(Candidate, bool)] {
        let first = self.0.partition_point(|(c, _)| c.x <= from);
        let past = self.0.partition_point(|(c, _)| c.x < to);
        self.0.get(first..past).unwrap_or_default()
    }
}

/// Where joints of a stretch may stand, from left to right: on doubled members only where the design asks for that and
/// the plain rule finds joints there.
pub fn candidates(site: &Site<'_>, stretch: &Stretch, backed: &Backed, by_rule: &[Joint]) -> Vec<Candidate> {
    let all = backed.within(stretch.x.0, stretch.x.1);
    let on_doubled = |j: &Joint| backed.0.iter().any(|(c, d)| *d && Some(c.line) == j.line);
    let doubled = site.design.lattice.batten.joint.value == JointKind::Doubled && by_rule.iter().all(on_doubled);
    all.iter().filter(|(_, d)| *d || !doubled).map(|(c, _)| *c).collect()
}

/// Joints of a stretch by the plain rule, chosen in one state.
pub fn joints(site: &Site<'_>, state: State, stretch: &Stretch, backed: &Backed, taken: &[u32]) -> Vec<Joint> {
    let rule = rule(site.design);
    let past = past_ends(site, state, stretch);
    let (from, to) = (stretch.x.0 - past.0, stretch.x.1 + past.1);
    let all = backed.within(from, to);
    if site.design.lattice.batten.joint.value == JointKind::Doubled {
        let on_doubled: Vec<Candidate> = all.iter().filter(|(_, d)| *d).map(|(c, _)| *c).collect();
        let joints = divide(from, to, &on_doubled, taken, &rule);
        if joints.iter().all(|j| j.line.is_some()) {
            return joints;
        }
    }
    let any: Vec<Candidate> = all.iter().map(|(c, _)| *c).collect();
    divide(from, to, &any, taken, &rule)
}

/// How much further than its middle a stretch's outermost boards reach at either end, where that is cut on a slant, metres.
fn past_ends(site: &Site<'_>, state: State, stretch: &Stretch) -> (f64, f64) {
    let past = |end| site.outline(state).map_or(0.0, |o| reach(site.design, o, 0.0, end).farthest.max(0.0));
    (past(stretch.ends.0), past(stretch.ends.1))
}

/// The same joints where their lines are in another state.
fn replaced(site: &Site<'_>, state: State, joints: &[Joint], y: f64, lines: &[Line]) -> Vec<Joint> {
    let Some(outline) = site.outline(state) else { return joints.to_vec() };
    joints
        .iter()
        .map(|j| {
            let moved = j
                .line
                .and_then(|l| lines.get(l as usize))
                .and_then(|l| target(l.members(state), y, outline))
                .map_or(j.x, |t| t.joint_x);
            Joint { x: moved, ..*j }
        })
        .collect()
}

fn lengths_fit(site: &Site<'_>, state: State, stretch: &Stretch, joints: &[Joint]) -> bool {
    let longest = rule(site.design).longest;
    let past = past_ends(site, state, stretch);
    ends(site, stretch, joints).iter().enumerate().all(|(k, (a, b))| {
        let more = if k == 0 { past.0 } else { 0.0 } + if k == joints.len() { past.1 } else { 0.0 };
        *b > *a && b - a + more <= longest + SAME
    })
}

/// Left and right end of each board.
fn ends(site: &Site<'_>, stretch: &Stretch, joints: &[Joint]) -> Vec<(f64, f64)> {
    let overlap = rule(site.design).overlap;
    let mut all = Vec::new();
    let mut from = stretch.x.0;
    for j in joints {
        all.push((from, j.x + overlap));
        from = j.x - overlap;
    }
    all.push((from, stretch.x.1));
    all
}

fn boards(site: &Site<'_>, stretch: &Stretch, joints: &[Joint], course: u32, y: f64, out: &mut Vec<Piece>) {
    let spec = &site.design.lattice.batten;
    let joint_end = |j: &Joint| j.line.map_or(End::JointOverNothing, |line| End::Joint { line });
    let from_right = rule(site.design).from_right;
    for (k, x) in ends(site, stretch, joints).into_iter().enumerate() {
        let left = k.checked_sub(1).and_then(|i| joints.get(i)).map_or(stretch.ends.0, joint_end);
        let right = joints.get(k).map_or(stretch.ends.1, joint_end);
        let past = |end| site.outline(State::Found).map_or(0.0, |o| reach(site.design, o, 0.0, end).farthest);
        let length = x.1 - x.0 + past(left) + past(right);
        let stock = spec.stock.value.iter().map(|s| s.metres()).find(|s| *s >= length - SAME).unwrap_or(length);
        // Lapping boards lie beside each other, every other one, counted from the side that boards are laid from, a board's
        // width up the slope, or down below a top edge.
        let number = if from_right { joints.len() - k } else { k };
        let beside = spec.joint.value == JointKind::Lap && number % 2 == 1;
        let y = match (beside, stretch.room_above) {
            (false, _) => y,
            (true, true) => y + spec.width.metres(),
            (true, false) => y - spec.width.metres(),
        };
        out.push(Piece { name: String::new(), course, x, y, ends: (left, right), stock, lift: 0.0, laid: false });
    }
}

/// How much a piece is raised: by the thickest strap under a strip that does not make room for it.
fn lift(site: &Site<'_>, piece: &Piece, straps: &[&Strap], lines: &[Line]) -> f64 {
    let half = site.design.lattice.batten.width.metres() / 2.0;
    let strip = site.design.lattice.strip.width.metres() / 2.0;
    straps
        .iter()
        .filter(|s| s.strip == StripOverStrap::Raised)
        .filter(|s| s.stretch.0 < piece.y + half && s.stretch.1 > piece.y - half)
        .filter(|s| s.sides.0 < piece.x.1 && s.sides.1 > piece.x.0)
        .filter(|s| {
            lines.iter().filter(|l| l.runs_at(piece.y)).any(|l| {
                let state = if l.strips_laid { State::Drawn } else { State::Found };
                members_at(l.members(state), piece.y).iter().any(|m| {
                    let x = x_at(&m.path, piece.y);
                    x + strip > s.sides.0 && x - strip < s.sides.1
                })
            })
        })
        .map(|s| s.thickness())
        .fold(0.0, f64::max)
}
