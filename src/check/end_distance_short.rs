//! Fasteners near the end of a board.

use super::context::{Context, OnSlope, Report};
use super::ends::{EndKind, Gathered};
use super::finding::{Evidence, Help, Measure, Source};
use super::moves::moved_from_end;
use super::{Check, Run, Verdict, mends};
use crate::design::Origin;
use crate::lattice::{Fastener, Piece};
use crate::solid::tolerance::SAME;

/// The check.
pub const CHECK: Check = Check {
    name: "end-distance-short",
    title: "Are fasteners far enough from the ends of boards?",
    page: "\
What
  Fasteners nearer to a board's end than the end distance. Where a small move would keep it, the landing is told with that
  move. Where none would, as often over a single member, it is said once for each kind of end, with the number of places
  and the worst of them.
Why
  Near its end a board splits.
How computed
  Along the grain, from each fastener's axis to the nearer end of its piece at the fastener's own height; at a slanted end
  to the shorter one of its two faces. A fastener that stands beside its board is told by `clash`.
Limits
  A batten's end beside an opening or at a rake counts like one at a joint. Moves are tried along the board, to two inches,
  for the first 5,000 landings.
Source
  `limits.end_distance`; by default 10 diameters, or 5 when pre-drilled: NDS commentary (from memory); of lag screws
  4 (NDS-2018 Table 12.5.1A) or 10 (EN 1995-1-1 Table 8.6), from memory.
",
    run: Run::Always(run),
};

/// Least distance along the grain from a fastener's axis to an end of its board, metres; below 0 beside it.
pub fn to_end(ctx: &Context<'_>, on: &OnSlope<'_>, piece: &Piece, fasteners: &[Fastener]) -> f64 {
    let one = |f: &Fastener| {
        let (left, right) = piece.wood_at(ctx.design, &on.frame.outline, f.y);
        (f.x - left).min(right - f.x)
    };
    fasteners.iter().map(one).fold(f64::INFINITY, f64::min)
}

/// What helps where no place for a nail would do.
fn what_helps(kind: EndKind) -> &'static str {
    match kind {
        EndKind::OneMember => "; what helps: holes drilled first, a doubled member under the joint, or a lap",
        EndKind::Doubled => "; what helps: holes drilled first, or a lap",
        EndKind::Lap => "; what helps: a longer lap, or holes drilled first",
        EndKind::Outer => "; what helps: holes drilled first, or a wider member there",
    }
}

/// How many landings are looked at one by one for a better place.
const MOST_TRIED: usize = 5_000;

fn run(ctx: &Context<'_>, report: &mut Report<'_>) {
    report.examined(&[crate::parts::Kind::Fasteners]);
    let limit = &ctx.design.limits.end_distance;
    let mut gathered = Gathered::default();
    let mut tried = 0;
    for on in &ctx.slopes {
        for (piece, landings) in on.by_piece() {
            for landing in landings {
                let distance = to_end(ctx, on, piece, on.lattice.fasteners_of(landing));
                // One beside its board is told by `clash`.
                if distance >= limit.metres() - SAME || distance < 0.0 {
                    continue;
                }
                tried += 1;
                let Some(mend) = (tried <= MOST_TRIED).then(|| moved_from_end(ctx, on, landing)).flatten() else {
                    gathered.add(ctx, on, piece, landing, distance);
                    report.also(Verdict::Warn, ctx.landing_name(on, landing));
                    continue;
                };
                let name = ctx.landing_name(on, landing);
                let message = format!(
                    "{name} is {} from an end of {}, {} is asked",
                    ctx.show(distance),
                    piece.name,
                    ctx.show(limit.metres())
                );
                let evidence = vec![Evidence::length("from the axis to the board's end", distance, limit)];
                let place = Some(ctx.landing_place(on, landing));
                let parts = vec![name, piece.name.clone()];
                report.add(Verdict::Warn, message, parts, place, evidence, || vec![mend.into()], Source::of(limit));
            }
        }
    }
    for (kind, worst) in gathered.0 {
        let message = format!(
            "{}: {} nearer to a board's end than {}, where no place for the fasteners would do; the worst, {}, is {} from it{}",
            kind.words(),
            worst.count(),
            ctx.show(limit.metres()),
            worst.name,
            ctx.show(worst.least),
            what_helps(kind)
        );
        let evidence = vec![
            Evidence::length("from the axis to the board's end", worst.least, limit),
            Evidence { what: "landings", found: Measure::Count(worst.places), limit: None },
        ];
        let helps = mend(ctx, kind, worst.least);
        report.add(Verdict::Warn, message, vec![worst.name], Some(worst.at), evidence, || helps, Source::of(limit));
    }
}

/// What helps a whole kind of joints, where it does.
fn mend(ctx: &Context<'_>, kind: EndKind, least: f64) -> Vec<Help> {
    let batten = &ctx.design.lattice.batten;
    let limit = ctx.design.limits.end_distance.metres();
    let mut helps: Vec<Help> = Vec::new();
    // Pre-drilled, the default distance is halved; a distance that the design states stays.
    let by_default = matches!(ctx.design.limits.end_distance.origin, Origin::Default(_));
    let predrilled = 5.0 * ctx.design.fastening.diameter.metres();
    if by_default && !ctx.design.fastening.predrilled.value && least >= predrilled - SAME {
        helps.push(mends::set_word("fastening.predrilled", "true", "drill the holes before driving").into());
    }
    if matches!(kind, EndKind::OneMember | EndKind::Doubled) && batten.lap.metres() / 2.0 >= limit {
        helps.push(mends::lapped(ctx));
    }
    if kind == EndKind::Lap {
        let lap = mends::rounded_up(ctx, 2.0 * limit);
        helps.push(mends::set_length(ctx, "lattice.batten.lap", lap, "lap them further").into());
    }
    if helps.is_empty() {
        helps.push(mends::advice("drill the holes before driving, where the wood still splits: use thinner fasteners"));
    }
    helps
}
