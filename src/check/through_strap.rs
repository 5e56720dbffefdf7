//! Fasteners that would hit a strap or one of its nails.

use super::context::{Context, OnSlope, Report, room_in};
use super::finding::{Evidence, Source};
use super::moves::moved;
use super::{Check, Run, Verdict};
use crate::lattice::Fastener;
use crate::solid::tolerance::SAME;

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
  Straps lie where the drawing puts them.
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

/// The first strap that a fastener hits, if any.
pub fn clearance(ctx: &Context<'_>, on: &OnSlope<'_>, f: &Fastener, radius: f64) -> Option<Hit> {
    if on.straps.entries.is_empty() {
        return None;
    }
    let mut hit: Option<Hit> = None;
    on.straps.near((f.x - radius, f.x + radius), (f.y - radius, f.y + radius), |entry| {
        let (dx, dy) = (
            (entry.low.x - f.x).max(f.x - entry.high.x).max(0.0),
            (entry.low.y - f.y).max(f.y - entry.high.y).max(0.0),
        );
        let away = dx.hypot(dy);
        let inside = if away == 0.0 { room_in(&on.straps, (f.x, f.y), radius).max(0.0) } else { 0.0 };
        let overlap = radius - away + inside;
        if overlap > SAME && hit.as_ref().is_none_or(|h| entry.tag < h.strap) {
            hit = Some(Hit { strap: entry.tag, nail: None, overlap });
        }
        if let Some(strap) = ctx.structure.straps.get(entry.tag as usize) {
            for (k, nail) in strap.nails.iter().enumerate() {
                let overlap = radius + nail.radius - (nail.x - f.x).hypot(nail.y - f.y);
                if overlap > SAME {
                    hit = Some(Hit { strap: entry.tag, nail: Some(k + 1), overlap });
                }
            }
        }
    });
    hit
}

fn run(ctx: &Context<'_>, report: &mut Report<'_>) {
    let radius = ctx.design.fastening.diameter.metres() / 2.0;
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
            let evidence = vec![Evidence::only("depth of the overlap", hit.overlap)];
            let helps = || moved(ctx, on, landing).into_iter().collect();
            let place = Some(ctx.landing_place(on, landing));
            let source = Source::words("the strap and its nails, as the design places them");
            report.add(Verdict::Fail, message, vec![name, strap.name.clone()], place, evidence, helps, source);
        }
    }
}
