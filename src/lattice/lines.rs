//! Strip lines: which members share one, what it is called, and over which stretches its strips run.

use super::{Line, LineMember, Path, Site, Taped, x_at};
use crate::design::LaidKind;
use crate::solid::tolerance::SAME;
use crate::solid::{Intervals, Point3, Pose};
use crate::structure::{Member, MemberId, Outline, State, Structure, letters};

/// How far a member may lean from straight up the slope and still make a line: one in six.
const LEAN: f64 = 1.0 / 6.0;

/// All lines of a slope, from left to right.
pub fn lines(site: &Site<'_>) -> Vec<Line> {
    let drawn = uprights(site, site.drawn, false);
    let mut groups = grouped(&drawn, site.design.lattice.strip.join_within.metres());
    let digits = groups.len().to_string().len().max(2);
    let mut names: Vec<String> = (1..=groups.len()).map(|n| format!("{}-L{n:0digits$}", site.prefix())).collect();
    let drawn_lines = groups.len();
    // What was found or added later joins a line of the drawing, or makes one with its lower neighbour's name.
    for later in uprights(site, site.found, true) {
        let near = groups
            .iter()
            .position(|g| g.iter().any(|m| touching(m, &later, site.design.lattice.strip.join_within.metres())));
        match near {
            Some(g) => groups[g].push(later),
            None => {
                let x = middle(&later);
                let lower = (0..drawn_lines).rfind(|g| groups[*g].first().is_some_and(|m| middle(m) <= x));
                let base = lower.map_or_else(|| format!("{}-L{:0digits$}", site.prefix(), 0), |g| names[g].clone());
                let name = (1..).map(|k| format!("{base}{}", letters(k))).find(|n| !names.contains(n)).unwrap_or(base);
                groups.push(vec![later]);
                names.push(name);
            }
        }
    }
    let mut lines: Vec<Line> = groups
        .into_iter()
        .zip(names)
        .map(|(members, name)| {
            let in_state = |structure: &Structure| -> Vec<LineMember> {
                members.iter().filter_map(|m| line_member(site, structure, m.member)).collect()
            };
            let (drawn, mut found) = (in_state(site.drawn), in_state(site.found));
            let gone = drawn.iter().filter(|d| !found.iter().any(|f| f.member == d.member));
            let gone: Vec<LineMember> = gone.map(|d| LineMember { missing: true, ..d.clone() }).collect();
            found.extend(gone);
            let tape_laid = site.laid(LaidKind::Tape, Some(&name), None);
            let strips_laid = site.laid(LaidKind::Strips, Some(&name), None);
            Line {
                name,
                drawn,
                found,
                stretches: Vec::new(),
                wanted: Vec::new(),
                taped: Vec::new(),
                tape_laid,
                strips_laid,
                widths: Vec::new(),
            }
        })
        .filter(|l| !l.found.is_empty())
        .collect();
    for line in &mut lines {
        line.wanted = stretches(site, line, State::Found);
        line.stretches = if line.strips_laid { stretches(site, line, State::Drawn) } else { line.wanted.clone() };
        line.taped = taped(site, line, if line.tape_laid { State::Drawn } else { State::Found });
    }
    lines.sort_by(|a, b| order(a).total_cmp(&order(b)).then_with(|| a.name.cmp(&b.name)));
    lines
}

/// Middle of a line's longest member; half way between the outermost of equals, so that a mirrored roof mirrors.
fn centre(members: &[LineMember]) -> f64 {
    let longest = members.iter().map(LineMember::length).fold(0.0, f64::max);
    let all = members.iter().filter(|m| longest - m.length() <= SAME).map(middle);
    let (a, b) = all.fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), x| (a.min(x), b.max(x)));
    if members.is_empty() { 0.0 } else { (a + b) / 2.0 }
}

fn order(line: &Line) -> f64 {
    line.drawn.first().or(line.found.first()).map_or(0.0, middle)
}

fn middle(m: &LineMember) -> f64 {
    let (Some(a), Some(b)) = (m.path.first(), m.path.last()) else { return 0.0 };
    x_at(&m.path, (a.0 + b.0) / 2.0)
}

/// Members that run up this slope: the drawn ones, or those beyond the drawing.
fn uprights(site: &Site<'_>, structure: &Structure, added: bool) -> Vec<LineMember> {
    let mut all: Vec<LineMember> = (0..structure.members.len())
        .filter(|i| structure.members[*i].added == added)
        .filter_map(|i| line_member(site, structure, MemberId(u32::try_from(i).ok()?)))
        .collect();
    all.sort_by(|a, b| middle(a).total_cmp(&middle(b)).then_with(|| a.member.cmp(&b.member)));
    all
}

/// A member as a line sees it; `None` where it is missing, lies elsewhere, or does not run up the slope.
fn line_member(site: &Site<'_>, structure: &Structure, id: MemberId) -> Option<LineMember> {
    let member = structure.member(id)?;
    if !member.kind.makes_lines() || member.missing {
        return None;
    }
    let path = path_on(site, structure, member)?;
    Some(LineMember { member: id, path, width: member.section.width().metres(), kind: member.kind, missing: false })
}

/// The centre line of a member's upper face in the coordinates of the slope.
fn path_on(site: &Site<'_>, structure: &Structure, member: &Member) -> Option<Path> {
    let frame = structure.slopes.get(site.slope.0)?;
    let relative = match member.home {
        Some(home) if home == site.slope => Pose::identity(),
        Some(_) => return None,
        None => frame.pose.inverse(),
    };
    let pose = relative * member.pose;
    let stations = &member.sweep.stations;
    let ends = (stations.first()?.0.max(0.0), stations.last()?.0.min(member.length));
    let at = |s: f64| {
        let side = x_at(stations, s);
        let p = pose * Point3::new(side, s, 0.0);
        (p.y, p.x, p.z)
    };
    let mut places: Vec<f64> = vec![ends.0];
    places.extend(stations.iter().map(|s| s.0).filter(|s| *s > ends.0 + SAME && *s < ends.1 - SAME));
    places.push(ends.1);
    let mut path: Vec<(f64, f64, f64)> = places.into_iter().map(at).collect();
    let (first, last) = (*path.first()?, *path.last()?);
    let (dy, dx) = (last.0 - first.0, last.1 - first.1);
    if dy.abs() < SAME || (dx / dy).abs() > LEAN {
        return None;
    }
    if dy < 0.0 {
        path.reverse();
    }
    if member.home.is_none() {
        // A member of the building that only passes far below, or beside the outline, makes no line here.
        let bounds = frame.outline.bounds();
        let off =
            path.iter().all(|p| p.1 < bounds.x0 || p.1 > bounds.x1) || path.iter().any(|p| p.2 > 0.0 || p.2 < -0.3);
        if off || first.0.max(last.0) < bounds.y0 || first.0.min(last.0) > bounds.y1 {
            return None;
        }
    }
    Some(path.into_iter().map(|(y, x, _)| (y, x)).collect())
}

/// Whether two members lie within a distance of each other, measured across, whatever their stretch.
fn touching(a: &LineMember, b: &LineMember, within: f64) -> bool {
    (middle(a) - middle(b)).abs() - (a.width + b.width) / 2.0 <= within + SAME
}

fn grouped(members: &[LineMember], within: f64) -> Vec<Vec<LineMember>> {
    let mut groups: Vec<Vec<LineMember>> = Vec::new();
    for m in members {
        match groups.last_mut() {
            Some(group) if group.iter().any(|g| touching(g, m, within)) => group.push(m.clone()),
            _ => groups.push(vec![m.clone()]),
        }
    }
    groups
}

/// Where strips run over the whole outline: from vent piece to vent piece, openings left out.
pub(super) fn stretches(site: &Site<'_>, line: &Line, state: State) -> Vec<(f64, f64)> {
    let Some(outline) = site.outline(state) else { return Vec::new() };
    let spec = &site.design.lattice;
    let members = line.members(state);
    let half = spec.strip.width.metres() / 2.0;
    let x = outline.inside_x(centre(members));
    let mut parts = Vec::new();
    for ((low, low_edge), (high, high_edge)) in outline.along_y(x) {
        // At a right angle to the edge; up the slope it is longer where the edge runs aslant.
        let away = |edge: usize| {
            let Some(e) = outline.edges.get(edge) else { return 0.0 };
            let vent = if e.vent.value { spec.vent.width.metres() + spec.strip.gap.metres() } else { 0.0 };
            let (nx, ny) = outline.outward(edge).unwrap_or((0.0, 1.0));
            let ny = ny.abs().max(0.05);
            (e.hold_back.metres() + vent + half * nx.abs()) / ny
        };
        parts.push((low + away(low_edge), high - away(high_edge)));
    }
    let left = without_openings(site, outline, members, Intervals::union(parts));
    left.as_slice().iter().copied().filter(|(a, b)| b - a > 0.02).collect()
}

/// Where tape runs: over the whole outline from edge to edge, openings left out.
pub(super) fn taped(site: &Site<'_>, line: &Line, state: State) -> Vec<Taped> {
    let Some(outline) = site.outline(state) else { return Vec::new() };
    let members = line.members(state);
    let half = site.design.lattice.tape.width.metres() / 2.0;
    let x = outline.inside_x(centre(members));
    let aside = members.iter().flat_map(|m| &m.path).map(|p| (p.1 - x).abs()).fold(0.0, f64::max);
    let mut all = Vec::new();
    for ((low, low_edge), (high, high_edge)) in outline.along_y(x) {
        // How far past the middle's end the tape must reach so that a cut aslant takes the whole end.
        let past = |edge: usize| {
            let (nx, ny) = outline.outward(edge).unwrap_or((0.0, 1.0));
            if nx.abs() > 0.02 { 2.0 * half * nx.abs() / ny.abs().max(0.05) } else { 0.0 }
        };
        let whole = (low - past(low_edge), high + past(high_edge));
        let left = without_openings(site, outline, members, Intervals::one(whole.0, whole.1));
        let widest = 1.0 + aside / (2.0 * half);
        all.extend(left.as_slice().iter().filter(|(a, b)| b - a > 0.02).map(|y| {
            let turned = |edge: usize| outline.edges.get(edge).map_or(0.0, |e| e.turn_down.metres());
            let further = |edge: usize, meets: bool| if meets { past(edge) * widest + turned(edge) } else { 0.0 };
            Taped { y: *y, further: (further(low_edge, y.0 == whole.0), further(high_edge, y.1 == whole.1)) }
        }));
    }
    all
}

fn without_openings(site: &Site<'_>, outline: &Outline, members: &[LineMember], mut left: Intervals) -> Intervals {
    let half = site.design.lattice.strip.width.metres() / 2.0;
    let clear = site.design.lattice.opening.clearance.metres();
    for (_, hole) in &outline.openings {
        let (a, b) = members.iter().fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), m| {
            let at = x_at(&m.path, (hole.y0 + hole.y1) / 2.0);
            (a.min(at), b.max(at))
        });
        if a + half > hole.x0 + SAME && b - half < hole.x1 - SAME {
            left = left.without(hole.y0 - clear, hole.y1 + clear);
        }
    }
    left
}
