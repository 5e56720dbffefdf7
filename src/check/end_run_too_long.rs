//! A batten that runs on too far past its last backed landing.

use super::context::{Context, Report};
use super::finding::{Evidence, Source};
use super::run_too_long::{Hanging, backed, held_more, place};
use super::{Check, Run};

/// The check.
pub const CHECK: Check = Check {
    name: "end-run-too-long",
    title: "Does no batten run on too far past its last backed landing?",
    page: "\
What
  An end run, the length of a piece past its last backed landing, that is longer than the limit.
Why
  Past its last landing a batten is a cantilever, and at rakes the wind pulls most there.
How computed
  Along x, from the mid-point of the last backed landing's fasteners to the end of the piece, at both ends; at a slanted
  end to where its middle line ends on the membrane: one corner reaches further.
Limits
  Longer than `limits.end_run` plus `limits.tolerance`. A limit that the design does not write is a rule of thumb: past it by no
  more than `limits.hair` nothing is told either, and past that it warns; a written limit fails. No bending is computed here.
Source
  `limits.end_run`; by default 6 in, common practice, no source.
",
    run: Run::Always(run),
};

fn run(ctx: &Context<'_>, report: &mut Report<'_>) {
    report.examined(&[crate::parts::Kind::Batten]);
    let limit = &ctx.design.limits.end_run;
    let (hair, verdict) = ctx.leeway(limit);
    let most = limit.metres() + ctx.design.limits.tolerance.metres().max(hair);
    for on in &ctx.slopes {
        for (piece, landings) in on.by_piece() {
            let backed = backed(on, landings);
            let (Some(first), Some(last)) = (backed.first(), backed.last()) else { continue };
            let (x0, x1) = piece.x;
            for (landing, at, end) in [(first.0, first.1, x0), (last.0, last.1, x1)] {
                let run = (end - at).abs();
                if run <= most + 1e-9 {
                    continue;
                }
                let name = ctx.landing_name(on, landing);
                let side = if end < at { "left" } else { "right" };
                let message = format!(
                    "the {side} end of {} runs {} past {name}, {} is the limit",
                    piece.name,
                    ctx.show(run),
                    ctx.show(limit.metres())
                );
                // New landings: the outermost as far in as the limit lets it be, the others no further apart than a run.
                let outward = (end - at).signum();
                let reach = run - limit.metres().min(run) * 0.75;
                let longest = ctx.design.limits.run.metres();
                let n = (reach / longest).ceil().max(1.0);
                let places: Vec<f64> = (1..=n as usize).map(|k| at + outward * reach * k as f64 / n).collect();
                let between = longest + ctx.design.limits.tolerance.metres();
                let helps = || {
                    let hanging = Hanging { x: (at, end), first: between, between, past: most };
                    held_more(ctx, on, piece, landings, &places, &hanging)
                };
                let place = place(ctx, on, piece, (at + end) / 2.0);
                let evidence = vec![Evidence::length("end run", run, limit)];
                report.add(verdict, message, vec![piece.name.clone(), name], place, evidence, helps, Source::of(limit));
            }
        }
    }
}
