//! What fields, trims, lookouts and blocking put on a slope: where each member stands and how its ends are cut.

use crate::design::{Design, MemberKind, MemberLine, RafterField, Section, SlopeId, Table, Trim};
use crate::solid::tolerance::SAME;
use crate::solid::{Intervals, Plane};

use super::Outline;
use super::outline::Rectangle;

/// A member up the slope: its centre line, each end with the planes that cut it.
#[derive(Clone)]
pub struct Upright {
    pub kind: MemberKind,
    pub section: Section,
    pub x: f64,
    pub low: (f64, Vec<Plane>),
    pub high: (f64, Vec<Plane>),
    pub drop: f64,
    pub table: Table,
}

impl Upright {
    fn sides(&self) -> (f64, f64) {
        let half = self.section.width().metres() / 2.0;
        (self.x - half, self.x + half)
    }
}

/// A member along the eave: square ends.
pub struct Across {
    pub kind: MemberKind,
    pub section: Section,
    pub x: (f64, f64),
    pub y: f64,
    pub drop: f64,
    pub table: Table,
}

/// Everything that the fields put on one slope, on its drawn outline.
pub fn on_slope(design: &Design, slope: SlopeId, outline: &Outline) -> (Vec<Upright>, Vec<Across>) {
    let fields: Vec<&RafterField> = design.rafters.iter().filter(|f| f.slopes.contains(&slope)).collect();
    let mut uprights: Vec<Upright> = Vec::new();
    for field in &fields {
        let last = field.last.as_ref().map(|l| l.metres());
        for x in stations(field.first.metres(), field.spacing.metres(), last, field.close.value, outline.bounds().x1) {
            uprights.extend(field_member(field, field.kind, field.section.value, x, outline));
        }
    }
    let mut across: Vec<Across> = Vec::new();
    let host = fields.iter().find(|f| f.kind == MemberKind::Rafter).copied();
    for trim in design.trims.iter().filter(|t| t.opening.0 == slope) {
        if let Some((_, hole)) = outline.openings.get(trim.opening.1) {
            trimmed(trim, hole, host, outline, &mut uprights, &mut across);
        }
    }
    for field in design.lookouts.iter().filter(|f| f.slopes.contains(&slope)) {
        let last = field.last.as_ref().map(|l| l.metres());
        for y in stations(field.first.metres(), field.spacing.metres(), last, false, outline.bounds().y1) {
            across.push(Across {
                kind: MemberKind::Lookout,
                section: field.section.value,
                x: (field.from.metres(), field.to.metres()),
                y,
                drop: field.drop.metres(),
                table: field.table.clone(),
            });
        }
    }
    blocked(design, slope, &uprights, &mut across);
    (uprights, across)
}

/// Trimmers and headers round an opening: they cut the rafters between, and serve in the place of those they meet.
fn trimmed(
    trim: &Trim,
    hole: &Rectangle,
    host: Option<&RafterField>,
    outline: &Outline,
    uprights: &mut Vec<Upright>,
    across: &mut Vec<Across>,
) {
    let (w, gap) = (trim.section.width().metres(), trim.clearance.metres());
    let inner = (hole.x0 - gap, hole.x1 + gap);
    let thick = trim.trimmers.value as f64 * w;
    let (low, high) = (hole.y0 - gap, hole.y1 + gap);
    let head = trim.headers.value as f64 * w;
    let mut kept: Vec<Upright> = Vec::new();
    for u in uprights.drain(..) {
        let (left, right) = u.sides();
        let meets = |a: f64, b: f64| left < b - SAME && right > a + SAME;
        let spans = u.low.0 < high && u.high.0 > low;
        if !spans || u.kind != MemberKind::Rafter {
            kept.push(u);
        } else if meets(inner.0 - thick, inner.0) || meets(inner.1, inner.1 + thick) {
            // The trimmer serves in its place.
        } else if left >= inner.0 - SAME && right <= inner.1 + SAME {
            if low - head > u.low.0 + SAME {
                kept.push(Upright { high: (low - head, vec![]), ..u.clone() });
            }
            if high + head < u.high.0 - SAME {
                kept.push(Upright { low: (high + head, vec![]), ..u });
            }
        } else {
            kept.push(u);
        }
    }
    *uprights = kept;
    for k in 0..trim.trimmers.value {
        let away = w * (k as f64 + 0.5);
        for x in [inner.0 - away, inner.1 + away] {
            let whole = match host {
                Some(field) => field_member(field, MemberKind::Trimmer, trim.section.value, x, outline),
                None => full_length(MemberKind::Trimmer, trim.section.value, x, outline, &trim.table),
            };
            uprights.extend(whole.into_iter().map(|u| Upright { table: trim.table.clone(), ..u }));
        }
    }
    for k in 0..trim.headers.value {
        let away = w * (k as f64 + 0.5);
        for y in [low - away, high + away] {
            across.push(Across {
                kind: MemberKind::Header,
                section: trim.section.value,
                x: inner,
                y,
                drop: host.map_or(0.0, |f| f.drop.metres()),
                table: trim.table.clone(),
            });
        }
    }
}

/// Rows of blocks: one in each bay between neighbouring members that run up the slope, single members included.
fn blocked(design: &Design, slope: SlopeId, uprights: &[Upright], across: &mut Vec<Across>) {
    for row in design.blocking.iter().filter(|f| f.slopes.contains(&slope)) {
        for y in row.at.iter().map(|y| y.metres()) {
            let mut solid: Vec<(f64, f64)> =
                uprights.iter().filter(|u| u.low.0 <= y && u.high.0 >= y).map(Upright::sides).collect();
            for m in &design.members {
                if let MemberLine::OnSlope { slope: s, from, to, .. } = &m.place
                    && *s == slope
                    && (from.0 - to.0).metres().abs() < SAME
                    && from.1.min(to.1).metres() <= y
                    && from.1.max(to.1).metres() >= y
                {
                    let half = m.section.width().metres() / 2.0;
                    solid.push((from.0.metres() - half, from.0.metres() + half));
                }
            }
            let from = row.from.as_ref().map_or(f64::NEG_INFINITY, |v| v.metres());
            let to = row.to.as_ref().map_or(f64::INFINITY, |v| v.metres());
            for pair in Intervals::union(solid).as_slice().windows(2) {
                let (a, b) = (pair[0].1, pair[1].0);
                if a >= from - SAME && b <= to + SAME && b - a > 0.01 {
                    across.push(Across {
                        kind: MemberKind::Block,
                        section: row.section.value,
                        x: (a, b),
                        y,
                        drop: row.drop.metres(),
                        table: row.table.clone(),
                    });
                }
            }
        }
    }
}

/// Centre lines of a field: each from its own multiple, so that rounding never adds up.
fn stations(first: f64, spacing: f64, last: Option<f64>, close: bool, far: f64) -> Vec<f64> {
    let limit = last.unwrap_or(far);
    let mut all = Vec::new();
    let mut k = 0.0;
    while first + k * spacing <= limit + SAME {
        all.push(first + k * spacing);
        k += 1.0;
    }
    if let (true, Some(last)) = (close, last)
        && all.last().is_none_or(|l| last - l > 0.01)
    {
        all.push(last);
    }
    all
}

/// The stretches of a field's member at x.
fn field_member(field: &RafterField, kind: MemberKind, section: Section, x: f64, outline: &Outline) -> Vec<Upright> {
    let low = field.low.as_ref().map(|l| l.metres() - field.cantilever.metres());
    let high = field.high.as_ref().map(|h| h.metres());
    full_length(kind, section, x, outline, &field.table)
        .into_iter()
        .filter_map(|mut u| {
            u.drop = field.drop.metres();
            if let Some(low) = low.filter(|l| *l > u.low.0) {
                u.low = (low, vec![]);
            } else if field.low.is_none() && field.cantilever.metres() > 0.0 {
                u.low = (u.low.0 - field.cantilever.metres(), vec![]);
            }
            if let Some(high) = high.filter(|h| *h < u.high.0) {
                u.high = (high, vec![]);
            }
            (u.high.0 - u.low.0 > 0.05).then_some(u)
        })
        .collect()
}

/// The whole stretches of the outline at x, ends cut as their edges say.
pub fn full_length(kind: MemberKind, section: Section, x: f64, outline: &Outline, table: &Table) -> Vec<Upright> {
    // A member flush with the outline's side stands on it as far as the outline is concerned.
    let inside = outline.inside_x(x);
    if (inside - x).abs() > section.width().metres() / 2.0 {
        return Vec::new();
    }
    let half = section.width().metres() / 2.0;
    outline
        .along_y(inside)
        .into_iter()
        .map(|((low, low_edge), (high, high_edge))| Upright {
            kind,
            section,
            x,
            low: (low, end_planes(outline, low_edge, x - half, x + half)),
            high: (high, end_planes(outline, high_edge, x - half, x + half)),
            drop: 0.0,
            table: table.clone(),
        })
        .collect()
}

/// Planes that cut an end: the edge that it meets, and the edges beside it. Of a convex outline every edge may cut; of
/// another only those that the member's width meets, one after the other round the outline as far as its corners stand out:
/// past a corner that stands in, the roof goes on where the next edge's plane would cut. Rakes cut nothing: a member may
/// stand proud of them.
fn end_planes(outline: &Outline, edge: usize, left: f64, right: f64) -> Vec<Plane> {
    let up = |e: usize| outline.outward(e).map_or(0.0, |n| n.1);
    let side = up(edge).signum();
    let n = outline.edges.len();
    let beside = |e: usize, next: usize| {
        let ((a, b), (p, q)) = (outline.ends(next)?, outline.outward(e).zip(outline.outward(next))?);
        let met = a.0.min(b.0) < right - SAME && a.0.max(b.0) > left + SAME;
        // Counter-clockwise round the outline a corner stands out where the outward normals turn to the left.
        let turn = p.0 * q.1 - p.1 * q.0;
        let out = if next == (e + 1) % n { turn } else { -turn };
        (met && out > 0.0).then_some(next)
    };
    let mut all: Vec<usize> = if outline.convex { (0..n).collect() } else { vec![edge] };
    if !outline.convex {
        for step in [1, n - 1] {
            all.extend(std::iter::successors(beside(edge, (edge + step) % n), |e| beside(*e, (e + step) % n)).take(n));
        }
    }
    all.into_iter()
        .filter(|e| up(*e) * side > 0.02)
        .filter_map(|e| outline.cut_plane(e, outline.edges.get(e).map_or(0.0, |x| x.framing_setback.metres())))
        .collect()
}
