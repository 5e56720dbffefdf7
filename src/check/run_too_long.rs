//! A batten that spans too far between backed landings.

use super::context::{Context, OnSlope, Report};
use super::finding::{Evidence, Place, Source};
use super::{Check, Run, Verdict, mends};
use crate::lattice::{Landing, Piece};

/// The check.
pub const CHECK: Check = Check {
    name: "run-too-long",
    title: "Is every batten held often enough along its length?",
    page: "\
What
  A run, the distance between two neighbouring backed landings of one piece, that is longer than the limit; or a piece
  with fewer than two backed landings.
Why
  Roofing is fixed to the batten anywhere along it; a long run bends and pulls on its two ends.
How computed
  Along x, between the mid-points of the fastener groups of neighbouring backed landings of one piece. Landings that are
  not backed do not count.
Limits
  Longer than `limits.run` plus `limits.tolerance`. No bending is computed here.
Source
  `limits.run`; by default 24 in, common practice, no source. Tolerance: see `limits.tolerance`.
",
    run: Run::Always(run),
};

fn run(ctx: &Context<'_>, report: &mut Report<'_>) {
    let limit = &ctx.design.limits.run;
    let most = limit.metres() + ctx.design.limits.tolerance.metres();
    for on in &ctx.slopes {
        for (piece, landings) in on.by_piece() {
            let backed = backed(on, landings);
            if backed.len() < 2 {
                few(ctx, on, piece, &backed, report);
            }
            for pair in backed.windows(2) {
                let ((a, from), (b, to)) = (pair[0], pair[1]);
                let run = to - from;
                if run <= most + 1e-9 {
                    continue;
                }
                let (first, last) = (ctx.landing_name(on, a), ctx.landing_name(on, b));
                let message = format!(
                    "{} hangs between {first} and {last} over {}, {} is the limit",
                    piece.name,
                    ctx.show(run),
                    ctx.show(limit.metres())
                );
                let n = (run / most).ceil() as usize;
                let places: Vec<f64> = (1..n).map(|k| from + run * k as f64 / n as f64).collect();
                let helps = || mends::blocks_with_landings(ctx, on, piece, &places).into_iter().collect();
                let place = place(ctx, on, piece, (from + to) / 2.0);
                let evidence = vec![Evidence::length("run", run, limit)];
                report.add(
                    Verdict::Fail,
                    message,
                    vec![piece.name.clone(), first, last],
                    place,
                    evidence,
                    helps,
                    Source::of(limit),
                );
            }
        }
    }
}

/// Backed landings of a piece with the mid-points of their groups, from left to right.
pub fn backed<'l>(on: &OnSlope<'_>, landings: &'l [Landing]) -> Vec<(&'l Landing, f64)> {
    let mut all: Vec<(&Landing, f64)> = landings
        .iter()
        .filter(|l| on.is_backed(l))
        .map(|l| {
            let group = on.lattice.fasteners_of(l);
            (l, group.iter().map(|f| f.x).sum::<f64>() / group.len().max(1) as f64)
        })
        .collect();
    all.sort_by(|a, b| a.1.total_cmp(&b.1));
    all
}

/// The place of a finding about a piece.
pub fn place(ctx: &Context<'_>, on: &OnSlope<'_>, piece: &Piece, x: f64) -> Option<Place> {
    Some(Place { slope: on.id, at: [x, piece.y, ctx.lattice.levels.batten + piece.lift] })
}

fn few(ctx: &Context<'_>, on: &OnSlope<'_>, piece: &Piece, backed: &[(&Landing, f64)], report: &mut Report<'_>) {
    let length = piece.x.1 - piece.x.0;
    let held = match backed {
        [] => "has no backed landing".to_owned(),
        [(l, _), ..] => format!("is held by {} alone", ctx.landing_name(on, l)),
    };
    let message = format!("{}, {} long, {held}", piece.name, ctx.show(length));
    let evidence = vec![super::Evidence {
        what: "backed landings",
        found: super::Measure::Count(backed.len()),
        limit: Some(super::Measure::Count(2)),
    }];
    let place = place(ctx, on, piece, (piece.x.0 + piece.x.1) / 2.0);
    let source = Source::words("a board on fewer than two supports is a mechanism (statics)");
    report.add(Verdict::Fail, message, vec![piece.name.clone()], place, evidence, Vec::new, source);
}
