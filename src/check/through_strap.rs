//! Fasteners that would hit a strap or one of its nails.

use std::collections::BTreeMap;

use super::context::{Context, OnSlope, Report, room_in};
use super::finding::{Evidence, Help, Mend, Source};
use super::moves::moved;
use super::{Check, Run, Verdict, mends, strap_nail_astray};
use crate::design::{Laid, LaidKind};
use crate::lattice::Fastener;
use crate::quantity::maths::hypot;
use crate::solid::Entry;
use crate::solid::tolerance::SAME;
use crate::structure::{Strap, StrapNail};

/// The check.
pub const CHECK: Check = Check {
    name: "through-strap",
    title: "Do fasteners clear straps and their nails?",
    page: "\
What
  A fastener whose shank meets a strap's steel, or one of a strap's nails.
Why
  Steel turns a nail aside or stops it; the hole in the membrane is then where nobody planned it.
How computed
  Steel: the distance from the shank's axis to the strap's solid, less the radius. Nails: the distance between the two
  axes, less both radii.
Limits
  A strap is straight and lies along its slope; one that is not yet on the roof follows its member as found.
Source
  The definition is the program's own.
",
    run: Run::Always(run),
};

/// What a fastener hits.
#[derive(Clone, Debug, PartialEq)]
pub struct Hit {
    /// The strap.
    pub strap: u32,
    /// Its steel, or one of its nails (from 1).
    pub nail: Option<usize>,
    /// Depth of the overlap, metres.
    pub overlap: f64,
}

/// How far a fastener's axis is from the steel of a strap, across and up the slope, metres; 0 within it.
fn from_steel(strap: &Entry<u32>, f: &Fastener) -> (f64, f64) {
    let dx = (strap.low.x - f.x).max(f.x - strap.high.x).max(0.0);
    let dy = (strap.low.y - f.y).max(f.y - strap.high.y).max(0.0);
    (dx, dy)
}

/// Nails of a strap, from 1, with how deep a fastener overlaps each, metres; below 0 where it stays clear.
fn in_nails<'c>(
    ctx: &'c Context<'_>,
    strap: &Entry<u32>,
    f: &'c Fastener,
    radius: f64,
) -> impl Iterator<Item = (usize, f64)> + 'c {
    let nails = ctx.structure.straps.get(strap.tag as usize).map_or(&[][..], |s| s.nails.as_slice());
    nails.iter().enumerate().map(move |(k, n)| (k + 1, radius + n.radius - hypot(n.x - f.x, n.y - f.y)))
}

/// The straps that a fastener may hit, moved by no more than a reach (metres) either way.
pub fn within_reach<'o>(on: &'o OnSlope<'_>, fasteners: &[Fastener], reach: f64) -> Vec<&'o Entry<u32>> {
    let mut all: Vec<&Entry<u32>> = Vec::new();
    for f in fasteners {
        on.straps.near((f.x - reach, f.x + reach), (f.y - reach, f.y + reach), |entry| {
            if !all.iter().any(|e| std::ptr::eq(*e, entry)) {
                all.push(entry);
            }
        });
    }
    all
}

/// Whether a fastener hits a strap: where [`clearance`] would find it.
pub fn hits(ctx: &Context<'_>, strap: &Entry<u32>, f: &Fastener, radius: f64) -> bool {
    let (dx, dy) = from_steel(strap, f);
    let near = dx <= radius && dy <= radius;
    near && (radius - hypot(dx, dy) > SAME || in_nails(ctx, strap, f, radius).any(|(_, overlap)| overlap > SAME))
}

/// The first strap that a fastener hits, if any.
pub fn clearance(ctx: &Context<'_>, on: &OnSlope<'_>, f: &Fastener, radius: f64) -> Option<Hit> {
    if on.straps.entries.is_empty() {
        return None;
    }
    let mut hit: Option<Hit> = None;
    on.straps.near((f.x - radius, f.x + radius), (f.y - radius, f.y + radius), |entry| {
        let (dx, dy) = from_steel(entry, f);
        let away = hypot(dx, dy);
        let inside = if away == 0.0 { room_in(&on.straps, (f.x, f.y), radius).max(0.0) } else { 0.0 };
        let overlap = radius - away + inside;
        if overlap > SAME && hit.as_ref().is_none_or(|h| entry.tag < h.strap) {
            hit = Some(Hit { strap: entry.tag, nail: None, overlap });
        }
        for (k, overlap) in in_nails(ctx, entry, f, radius).filter(|n| n.1 > SAME) {
            hit = Some(Hit { strap: entry.tag, nail: Some(k), overlap });
        }
    });
    hit
}

fn run(ctx: &Context<'_>, report: &mut Report<'_>) {
    report.examined(&[crate::parts::Kind::Fasteners]);
    let radius = ctx.design.fastening.diameter.metres() / 2.0;
    let mut shifts: BTreeMap<usize, Option<Mend>> = BTreeMap::new();
    for on in &ctx.slopes {
        if on.straps.entries.is_empty() {
            continue;
        }
        for landing in &on.lattice.landings {
            let hits = on.lattice.fasteners_of(landing).iter().enumerate();
            let Some((k, hit)) = hits.filter_map(|(k, f)| Some((k, clearance(ctx, on, f, radius)?))).next() else {
                continue;
            };
            let Some(strap) = ctx.structure.straps.get(hit.strap as usize) else { continue };
            let name = ctx.landing_name(on, landing);
            let what = match hit.nail {
                Some(n) => format!("nail {n} of strap {}", strap.name),
                None => format!("the steel of strap {}", strap.name),
            };
            let message = format!("fastener {} of {name} meets {what}", k + 1);
            let evidence = vec![Evidence::none("depth of the overlap", hit.overlap)];
            let field = strap.field;
            let helps = || {
                let mend = moved(ctx, on, landing)
                    .or_else(|| shifts.entry(field).or_insert_with(|| shifted(ctx, field, radius)).clone());
                let words =
                    || mends::advice(format!("lay strap {} elsewhere, or drive {name} where no strap is", strap.name));
                vec![mend.map_or_else(words, Help::from)]
            };
            let place = Some(ctx.landing_place(on, landing));
            let source = Source::words("the strap and its nails, as the design places them");
            report.add(Verdict::Fail, message, vec![name.clone(), strap.name.clone()], place, evidence, helps, source);
        }
    }
}

/// The smallest shift of a field of straps, in marks of a tape measure, after which no fastener meets one of them.
/// Straps that are on the roof already stay.
fn shifted(ctx: &Context<'_>, field: usize, radius: f64) -> Option<Mend> {
    let spec = ctx.design.straps.get(field)?;
    let straps: Vec<&Strap> = ctx.structure.straps.iter().filter(|s| s.field == field).collect();
    let laid = |l: &Laid| l.what.contains(&LaidKind::Straps) && l.slopes.iter().any(|s| spec.slopes.contains(s));
    if ctx.design.laid.iter().any(laid) {
        return None;
    }
    // Each fastener near a strap, seen from the strap's place before the shift.
    let mut near: Vec<(&Strap, &Fastener)> = Vec::new();
    for strap in &straps {
        let on = ctx.slopes.get(strap.slope.0)?;
        let reach = (strap.sides.0 - FURTHEST - radius, strap.sides.1 + FURTHEST + radius);
        let beside = |f: &&Fastener| {
            f.x > reach.0 && f.x < reach.1 && f.y > strap.stretch.0 - radius && f.y < strap.stretch.1 + radius
        };
        near.extend(on.lattice.fasteners.iter().filter(beside).map(|f| (*strap, f)));
    }
    let clear = |by: f64| {
        near.iter().all(|(strap, f)| {
            let x = f.x - by;
            let (dx, dy) = (
                (strap.sides.0 - x).max(x - strap.sides.1).max(0.0),
                (strap.stretch.0 - f.y).max(f.y - strap.stretch.1).max(0.0),
            );
            hypot(dx, dy) >= radius - SAME
                && strap.nails.iter().all(|n| hypot(n.x - x, n.y - f.y) >= radius + n.radius - SAME)
        })
    };
    // No fewer nails may hold than now, and no fewer straps may tie one member to another.
    let held = |by: f64| {
        let mut sums = (0, 0);
        for (strap, on) in straps.iter().filter_map(|s| Some((s, ctx.slopes.get(s.slope.0)?))) {
            let moved = strap.nails.iter().map(|n| StrapNail { x: n.x + by, ..*n });
            let members: Vec<_> = moved.map(|n| strap_nail_astray::held_by(ctx, on, &n)).collect();
            sums.0 += members.iter().flatten().count();
            sums.1 += usize::from(strap_nail_astray::ties(&members));
        }
        sums
    };
    let now = held(0.0);
    let keeps = |by: f64| {
        let then = held(by);
        then.0 >= now.0 && then.1 >= now.1
    };
    let step = mends::step(ctx);
    let most = (FURTHEST / step).floor() as i32;
    let by =
        (1..=most).flat_map(|k| [f64::from(k) * step, -f64::from(k) * step]).find(|by| clear(*by) && keeps(*by))?;
    let why = "shift the straps";
    Some(mends::set_length(ctx, &format!("straps[{}].shift", field + 1), spec.shift.metres() + by, why))
}

/// Furthest shift of straps that is tried, metres: three inches.
const FURTHEST: f64 = 0.0762;
