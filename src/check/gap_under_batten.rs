//! Battens that do not lie on their strips.

use super::context::{Context, Report};
use super::finding::{Evidence, Help, Source};
use super::{Check, Run, Verdict, mends};
use crate::solid::tolerance::SAME;
use crate::solid::{Body, Point3, Vector3};

/// The check.
pub const CHECK: Check = Check {
    name: "gap-under-batten",
    title: "Does every batten lie on its strip at every landing?",
    page: "\
What
  A landing where there is more air between batten and strip than the limit, because a strap raises the batten elsewhere
  or because no strip is there.
Why
  Driven home, the fastener bends the board down; a soft landing works loose.
How computed
  Lines from the batten's underside straight into the slope, at the landing's middle, at each of its fasteners, and a quarter
  of an inch to each side of these: the shortest way before one meets the solid of a strip or a vent piece. The place with
  most air counts. The board is taken as straight.
Limits
  The least and the greatest bend of a board are not computed.
Source
  `limits.gap`; by default 1/16 in, common practice, no source.
",
    run: Run::Always(run),
};

/// How far round a landing's middle and its fasteners it is asked, metres: a quarter of an inch.
const PATCH: f64 = 0.006_35;

fn run(ctx: &Context<'_>, report: &mut Report<'_>) {
    report.examined(&[crate::parts::Kind::Fasteners, crate::parts::Kind::Batten]);
    let limit = &ctx.design.limits.gap;
    let down = Vector3::new(0.0, 0.0, -1.0);
    for on in &ctx.slopes {
        for (piece, landings) in on.by_piece() {
            let underside = ctx.lattice.levels.strip + piece.lift;
            for landing in landings {
                // From above the batten: a line that starts on a face may miss it.
                let start = underside + 0.1;
                let below = |(x, y): (f64, f64)| {
                    let mut gap = f64::INFINITY;
                    // Over a small patch: a seam between two vent pieces right below is no want of support.
                    let places = [(0.0, 0.0), (-PATCH, 0.0), (PATCH, 0.0), (0.0, -PATCH), (0.0, PATCH)];
                    let around = ((x - PATCH, x + PATCH), (y - PATCH, y + PATCH));
                    let mut meet = |body: &Body| {
                        for (dx, dy) in places {
                            if let Some(c) = body.chord(&Point3::new(x + dx, y + dy, start), &down) {
                                gap = gap.min(c.enter - 0.1);
                            }
                        }
                    };
                    on.strips.near(around.0, around.1, |e| meet(&e.body));
                    on.vents.near(around.0, around.1, |e| meet(&e.body));
                    gap
                };
                // The middle first, so that it is named where the whole landing hangs.
                let middle = (None, below((landing.x, landing.y)));
                let each = (1..).zip(on.lattice.fasteners_of(landing)).map(|(k, f)| (Some(k), below((f.x, f.y))));
                let (fastener, gap): (Option<usize>, f64) =
                    each.fold(middle, |worst, here| if here.1 > worst.1 { here } else { worst });
                if gap <= limit.metres() + SAME {
                    continue;
                }
                let name = ctx.landing_name(on, landing);
                let at = fastener.map_or_else(|| name.clone(), |k| format!("fastener {k} of {name}"));
                let (message, evidence) = if gap.is_finite() {
                    (
                        format!("{} is {} above what it lies on at {at}", piece.name, ctx.show(gap)),
                        vec![Evidence::length("gap", gap, limit)],
                    )
                } else {
                    (
                        format!("neither strip nor vent piece lies under {} at {at}", piece.name),
                        vec![Evidence::count("strips and vent pieces below", 0, 1)],
                    )
                };
                let lifted = piece.lift > 0.0;
                let helps = || {
                    let notched = mends::notched(ctx, on).filter(|_| lifted);
                    let put_in = || mends::missing_put_in(ctx, on, landing).filter(|_| gap.is_infinite());
                    let words = || {
                        let what =
                            if lifted { "notch the strips over the straps, or pack" } else { "lay a strip piece" };
                        mends::advice(format!("{what} under {} at {at}", piece.name))
                    };
                    vec![notched.or_else(put_in).map_or_else(words, Help::from)]
                };
                let place = Some(ctx.landing_place(on, landing));
                report.add(
                    Verdict::Warn,
                    message,
                    vec![name.clone(), piece.name.clone()],
                    place,
                    evidence,
                    helps,
                    Source::of(limit),
                );
            }
        }
    }
}
