//! Parts of the lattice that reach past the edge of the roof.

use std::cell::RefCell;
use std::collections::BTreeMap;
use std::rc::Rc;

use super::context::{Context, OnSlope, Report};
use super::finding::{Evidence, Place, Source};
use super::{Check, Run, Verdict, mends};
use crate::lattice::batten_solid;
use crate::quantity::maths::{apart, hypot};
use crate::solid::tolerance::{DISTINCT, SAME};
use crate::solid::{Body, Point3, clipped_ring, convex_hull};
use crate::structure::Outline;

/// The check.
pub const CHECK: Check = Check {
    name: "past-outline",
    title: "Does every part of the lattice lie inside its slope's outline?",
    page: "\
What
  A tape, strip, vent piece, batten or fastener's head of which a part lies past an edge of the roof as found.
Why
  Past the edge nothing carries it; it stands in the way of trim, gutter or the neighbouring slope, and it was bought for
  nothing.
How computed
  The corners of each part's solid, level by level, against the edges of the outline: what crosses an edge, and how far it
  reaches past it at a right angle to the edge. Of a fastener the round head. Where an edge's cut leans outward above the
  membrane, a part may go as far as the cut.
Limits
  More than 10 micrometres. Tape that is to be turned down over an edge runs on past it flat, by what `lattice.turn_down`
  says: so far it is asked nothing, and a step of the order of work says to fold it. Clips are not asked.
Source
  The outline of the design, as found where it was measured.
",
    run: Run::Always(run),
};

/// The furthest that a part reaches past an edge.
#[derive(Clone, Copy)]
struct Past {
    edge: usize,
    by: f64,
    at: (f64, f64),
}

fn further(a: Option<Past>, b: Option<Past>) -> Option<Past> {
    [a, b].into_iter().flatten().max_by(|a, b| a.by.total_cmp(&b.by))
}

fn run(ctx: &Context<'_>, report: &mut Report<'_>) {
    use crate::parts::Kind;
    report.examined(&[Kind::Tape, Kind::Strip, Kind::VentPiece, Kind::Batten, Kind::Fasteners]);
    let levels = &ctx.lattice.levels;
    for on in &ctx.slopes {
        let border = Border::of(&on.frame.outline, false);
        let of_tape = Border::of(&on.frame.outline, true);
        let mut tell = |name: &str, what: &str, z: f64, past: Option<Past>, advice: &str| {
            let Some(past) = past else { return };
            let kind = border.outline.edges.get(past.edge).map_or("edge", |e| e.kind.value.word());
            let message = format!(
                "{what}{name} reaches {} past edge {}.{} ({kind})",
                ctx.show(past.by),
                on.frame.name,
                past.edge + 1
            );
            let place = Some(Place { slope: on.id, at: [past.at.0, past.at.1, z] });
            let evidence = vec![Evidence::none("past the edge", past.by)];
            let help = || vec![mends::advice(format!("{advice} {name}"))];
            let source = Source::words("the outline of the slope");
            report.add(Verdict::Fail, message, vec![name.to_owned()], place, evidence, help, source);
        };
        for (bodies, names, z, border) in [
            (&on.tapes, on.lattice.tapes.iter().map(|t| t.name.as_str()).collect::<Vec<_>>(), levels.tape, &of_tape),
            (&on.strips, on.lattice.strips.iter().map(|s| s.name.as_str()).collect(), levels.strip, &border),
        ] {
            let mut worst: Vec<Option<Past>> = vec![None; names.len()];
            for entry in &bodies.entries {
                if let Some(slot) = worst.get_mut(entry.tag as usize) {
                    *slot = further(*slot, border.body(&entry.body));
                }
            }
            for (name, past) in names.into_iter().zip(worst) {
                tell(name, "", z, past, "cut at the edge:");
            }
        }
        for v in &on.lattice.vents {
            tell(&v.name, "", levels.tape + v.height, border.body(&v.body(levels)), "cut at the edge:");
        }
        for p in &on.lattice.pieces {
            let past = batten_solid(ctx.design, border.outline, levels, p).ok().and_then(|b| border.body(&b));
            tell(&p.name, "", levels.batten + p.lift, past, "cut at the edge:");
        }
        heads(ctx, on, &border, &mut tell);
    }
}

fn heads(
    ctx: &Context<'_>,
    on: &OnSlope<'_>,
    border: &Border<'_>,
    tell: &mut impl FnMut(&str, &str, f64, Option<Past>, &str),
) {
    let radius = ctx.design.fastening.head.metres() / 2.0;
    for landing in &on.lattice.landings {
        let z = ctx.lattice.levels.batten + on.piece(landing).map_or(0.0, |p| p.lift);
        let group = on.lattice.fasteners_of(landing).iter();
        let past = group.map(|f| border.disc((f.x, f.y), radius, z)).fold(None, further);
        if past.is_some() {
            tell(&ctx.landing_name(on, landing), "a head of ", z, past, "keep inside the edge with the fasteners of");
        }
    }
}

/// The sine of a corner's turn below which its edges count as one.
const STRAIGHT: f64 = 0.05;

/// A place on a slope, metres.
type At = (f64, f64);

/// An edge at a level, as far outward as its cut leans there: its begin, its direction, its length.
type EdgeAt = (At, At, f64);

/// An outline to ask what crosses it.
struct Border<'o> {
    outline: &'o Outline,
    /// What runs past an edge to be turned down over it may do so.
    turned_down: bool,
    /// The edges at the few levels at which parts lie, by the level's bits.
    levels: RefCell<BTreeMap<u64, Rc<[Option<EdgeAt>]>>>,
}

impl<'o> Border<'o> {
    fn of(outline: &'o Outline, turned_down: bool) -> Border<'o> {
        Border { outline, turned_down, levels: RefCell::default() }
    }

    /// The edges at a level.
    fn edges(&self, z: f64) -> Rc<[Option<EdgeAt>]> {
        let all = || (0..self.outline.edges.len()).map(|e| self.edge(e, z)).collect();
        self.levels.borrow_mut().entry(z.to_bits()).or_insert_with(all).clone()
    }

    fn edge(&self, e: usize, z: f64) -> Option<EdgeAt> {
        let (a, b) = (self.corner(e, z)?, self.corner((e + 1) % self.outline.corners.len(), z)?);
        let (nx, ny) = self.outline.outward(e)?;
        let length = (b.0 - a.0) * -ny + (b.1 - a.1) * nx;
        if length > SAME {
            return Some((a, (-ny, nx), length));
        }
        // Its neighbours leave nothing of a short one there: it counts from end to end, as far out as it leans itself.
        let ((a, b), lean) = (self.outline.ends(e)?, self.lean(e, z));
        Some(((a.0 + nx * lean, a.1 + ny * lean), (-ny, nx), apart(a, b)))
    }

    /// How far outward an edge's cut leans at a level, and tape may run on to be turned down, metres.
    fn lean(&self, e: usize, z: f64) -> f64 {
        let turned = self.outline.edges.get(e).filter(|_| self.turned_down).map_or(0.0, |e| e.turn_down.metres());
        self.outline.cut_shift(e, z).max(0.0) + turned
    }

    /// A corner at a level: on both of its edges there.
    fn corner(&self, i: usize, z: f64) -> Option<At> {
        let n = self.outline.corners.len();
        let here = self.outline.corners.get(i)?;
        let (before, after) = ((i + n - 1) % n, i);
        let (p, q) = (self.outline.outward(before)?, self.outline.outward(after)?);
        let (s, t) = (self.lean(before, z), self.lean(after, z));
        let det = p.0 * q.1 - p.1 * q.0;
        // Edges that hardly turn would meet far away.
        if det.abs() < STRAIGHT {
            return Some((here.0 + q.0 * t, here.1 + q.1 * t));
        }
        Some((here.0 + (s * q.1 - t * p.1) / det, here.1 + (p.0 * t - q.0 * s) / det))
    }

    /// How far a body reaches past an edge.
    fn body(&self, body: &Body) -> Option<Past> {
        let form = body.form();
        let corners: Vec<Point3> = form.vertices().iter().map(|p| body.pose * p).collect();
        let mut levels: Vec<f64> = corners.iter().map(|p| p.z).collect();
        levels.sort_by(f64::total_cmp);
        levels.dedup_by(|a, b| (*a - *b).abs() < SAME);
        let level = |z: &f64| {
            let here = corners.iter().filter(|p| (p.z - z).abs() < SAME).map(|p| (p.x, p.y)).collect::<Vec<_>>();
            self.places(&here, *z)
        };
        levels.iter().map(level).fold(None, further)
    }

    /// How far the hull of some places at a level reaches past an edge.
    fn places(&self, places: &[(f64, f64)], z: f64) -> Option<Past> {
        let mut ring: Option<Vec<(f64, f64)>> = None;
        let mut worst = None;
        let mut near = false;
        for (e, edge) in self.edges(z).iter().enumerate() {
            let Some((a, d, length)) = *edge else { continue };
            let along = |p: &(f64, f64)| (p.0 - a.0) * d.0 + (p.1 - a.1) * d.1;
            let out = |p: &(f64, f64)| (p.0 - a.0) * d.1 - (p.1 - a.1) * d.0;
            if places.iter().all(|p| out(p) <= DISTINCT)
                || places.iter().all(|p| along(p) <= DISTINCT)
                || places.iter().all(|p| along(p) >= length - DISTINCT)
            {
                continue;
            }
            near = true;
            let ring = ring.get_or_insert_with(|| hull(places));
            // What lies beside the edge, from end to end; it counts where it comes up to the edge itself.
            let beside = clipped_ring(&clipped_ring(ring, |p| -along(p)), |p| along(p) - length);
            // A part that touches the edge's end alone, as round a corner that stands in, comes up to the edge before or after it.
            let up_to = clipped_ring(&beside, |p| out(p) - SAME);
            let (from, to) =
                up_to.iter().map(&along).fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), s| (a.min(s), b.max(s)));
            let furthest = beside.iter().map(|p| (out(p), *p)).max_by(|a, b| a.0.total_cmp(&b.0));
            if let Some((by, at)) = furthest.filter(|(by, _)| *by > DISTINCT && to - from > DISTINCT) {
                worst = further(worst, Some(Past { edge: e, by, at }));
            }
        }
        // What crosses no edge lies wholly inside or wholly outside.
        if worst.is_none() && (near || !self.outline.convex || places.iter().any(|p| !self.around(*p))) {
            let n = places.len().max(1) as f64;
            let middle = places.iter().fold((0.0, 0.0), |s, p| (s.0 + p.0 / n, s.1 + p.1 / n));
            return self.outside(middle, z);
        }
        worst
    }

    /// Whether a place lies inside the outline's bounds.
    fn around(&self, p: (f64, f64)) -> bool {
        let b = self.outline.bounds();
        (b.x0 - DISTINCT..=b.x1 + DISTINCT).contains(&p.0) && (b.y0 - DISTINCT..=b.y1 + DISTINCT).contains(&p.1)
    }

    /// How far a round head reaches past an edge.
    fn disc(&self, at: (f64, f64), radius: f64, z: f64) -> Option<Past> {
        let mut worst = None;
        for (e, edge) in self.edges(z).iter().enumerate() {
            let Some((a, d, length)) = *edge else { continue };
            let along = (at.0 - a.0) * d.0 + (at.1 - a.1) * d.1;
            let out = (at.0 - a.0) * d.1 - (at.1 - a.1) * d.0;
            if out + radius > DISTINCT && out < radius && (0.0..=length).contains(&along) {
                let outermost = (at.0 + d.1 * radius, at.1 - d.0 * radius);
                worst = further(worst, Some(Past { edge: e, by: out + radius, at: outermost }));
            }
        }
        worst.or_else(|| self.outside(at, z))
    }

    /// Where a place lies outside: the nearest edge.
    fn outside(&self, at: (f64, f64), z: f64) -> Option<Past> {
        if self.outline.along_x(at.1).iter().any(|(l, r)| l.0 <= at.0 && at.0 <= r.0) {
            return None;
        }
        let to = |(e, edge): (usize, &Option<EdgeAt>)| {
            let (a, d, length) = (*edge)?;
            let along = ((at.0 - a.0) * d.0 + (at.1 - a.1) * d.1).clamp(0.0, length);
            let by = hypot(at.0 - a.0 - d.0 * along, at.1 - a.1 - d.1 * along);
            Some(Past { edge: e, by, at })
        };
        let nearest = self.edges(z).iter().enumerate().filter_map(to).min_by(|a, b| a.by.total_cmp(&b.by));
        nearest.filter(|p| p.by > DISTINCT)
    }
}

/// The hull of places; of fewer than three, themselves.
fn hull(places: &[(f64, f64)]) -> Vec<(f64, f64)> {
    let ring = convex_hull(places.iter().map(|p| [p.0, p.1]).collect(), 0.0);
    if ring.len() < 3 { places.to_vec() } else { ring.into_iter().map(|[x, y]| (x, y)).collect() }
}
