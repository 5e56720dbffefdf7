//! Fasteners that miss the tape.

use super::context::{Context, OnSlope, Report, room_in};
use super::finding::{Evidence, Help, Source};
use super::moves::is_driven;
use super::{Check, Run, Verdict, mends};
use crate::lattice::Fastener;
use crate::solid::tolerance::SAME;

/// The check.
pub const CHECK: Check = Check {
    name: "off-tape",
    title: "Does every fastener pass through tape, with tape all round it?",
    page: "\
What
  A fastener outside the tape, or with less tape beside its shank than the margin.
Why
  The tape seals the hole that the fastener makes in the membrane.
How computed
  The least distance from the shank's axis to the sides and ends of the tape's solid, less the shank's radius.
Limits
  Wrinkles, dirt and cold are not seen. Where two tapes meet end to end each is taken alone.
Source
  `limits.tape_margin`; by default 1/4 in, common practice, no source.
",
    run: Run::Always(run),
};

/// Tape beside a shank, metres: negative where it is cut or missed.
pub fn beside(ctx: &Context<'_>, on: &OnSlope<'_>, f: &Fastener) -> f64 {
    let radius = ctx.design.fastening.diameter.metres() / 2.0;
    let room = room_in(&on.tapes, (f.x, f.y), radius);
    if room.is_finite() { room - radius } else { f64::NEG_INFINITY }
}

fn run(ctx: &Context<'_>, report: &mut Report<'_>) {
    report.examined(&[crate::parts::Kind::Fasteners]);
    let limit = &ctx.design.limits.tape_margin;
    for on in &ctx.slopes {
        for landing in &on.lattice.landings {
            let worst = on
                .lattice
                .fasteners_of(landing)
                .iter()
                .map(|f| beside(ctx, on, f))
                .enumerate()
                .min_by(|a, b| a.1.total_cmp(&b.1));
            let Some((k, beside)) = worst else { continue };
            if beside >= limit.metres() - SAME {
                continue;
            }
            let name = ctx.landing_name(on, landing);
            let radius = ctx.design.fastening.diameter.metres() / 2.0;
            let (verdict, message) = if beside < -radius {
                (Verdict::Fail, format!("fastener {} of {name} misses the tape", k + 1))
            } else {
                (
                    if beside < 0.0 { Verdict::Fail } else { Verdict::Warn },
                    format!(
                        "fastener {} of {name} has {} of tape beside it, {} is asked",
                        k + 1,
                        ctx.show(beside.max(0.0)),
                        ctx.show(limit.metres())
                    ),
                )
            };
            let evidence = if beside.is_finite() {
                vec![Evidence::length("tape beside the shank", beside, limit)]
            } else {
                vec![Evidence::count("tapes below the fastener", 0, 1)]
            };
            let mut parts = vec![name];
            parts.extend(on.line(landing).map(|l| l.name.clone()));
            let place = Some(ctx.landing_place(on, landing));
            report.add(verdict, message, parts, place, evidence, || mend(ctx, on, landing, beside), Source::of(limit));
        }
    }
}

/// Tape wide enough, where the tape is not yet on the roof.
fn mend(ctx: &Context<'_>, on: &OnSlope<'_>, landing: &crate::lattice::Landing, beside: f64) -> Vec<Help> {
    let laid = on.line(landing).is_some_and(|l| l.tape_laid);
    let patch = |name: String| {
        vec![mends::advice(if is_driven(ctx, on, landing) {
            format!("seal {name} where it goes through the membrane: no tape closes on it")
        } else {
            format!("stick a piece of tape under {name} before it is driven")
        })]
    };
    if !beside.is_finite()
        && let Some(mend) = mends::missing_put_in(ctx, on, landing)
    {
        return vec![mend.into()];
    }
    if laid || !beside.is_finite() {
        return patch(ctx.landing_name(on, landing));
    }
    // Wider tape helps only where its sides are what is near, not its ends.
    let far_enough = ctx.design.limits.tape_margin.metres() + ctx.design.fastening.diameter.metres() / 2.0;
    let near_an_end = on.lattice.tapes.iter().filter(|t| t.path.first().is_some_and(|a| a.0 <= landing.y)).any(|t| {
        let Some((a, b)) = t.path.first().zip(t.path.last()) else { return false };
        let x = crate::lattice::x_at(&t.path, landing.y);
        b.0 >= landing.y
            && (x - landing.x).abs() < t.width
            && (!t.cuts.is_empty()
                || on.lattice.fasteners_of(landing).iter().any(|f| (f.y - a.0).min(b.0 - f.y) < far_enough))
    });
    if near_an_end {
        return patch(ctx.landing_name(on, landing));
    }
    let lacking = ctx.design.limits.tape_margin.metres() - beside;
    let wide = mends::rounded_up(ctx, ctx.design.lattice.tape.width.metres() + 2.0 * lacking);
    vec![mends::set_length(ctx, "lattice.tape.width", wide, "use wider tape").into()]
}
