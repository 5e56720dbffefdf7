//! A fastener that is in a member, but near its side.

use super::context::{Context, Report};
use super::ends::{EndKind, Gathered};
use super::finding::{Evidence, Help, Measure, Source};
use super::moves::moved;
use super::probe::Outcome;
use super::{Check, Run, Verdict, mends};
use crate::lattice::Side;
use crate::solid::tolerance::SAME;

/// The check.
pub const CHECK: Check = Check {
    name: "near-member-side",
    title: "Is every fastener far enough from its member's sides?",
    page: "\
What
  A fastener that is inside a member over the asked embedment, but nearer to its side or end than the edge distance.
Why
  Near a side the wood splits, and a small error of the hand misses the member.
How computed
  The least distance, square to the shank, from its axis to the member's sides and ends over the asked embedment: so thick
  a rod with flat ends would stay inside. A face that is shared by two stretches of a bent member is no end. At joints where
  no place for the fasteners would do, it is said once for each kind of joint.
Limits
  The grain is taken to run straight along the member. A distance that the design does not write may be missed by
  `limits.hair`.
Source
  `limits.edge_distance`; by default 2.5 diameters, common practice, no source; of lag screws 1.5 (NDS-2018 Table
  12.5.1C) or 4 (EN 1995-1-1 Table 8.6), from memory.
",
    run: Run::Always(run),
};

fn run(ctx: &Context<'_>, report: &mut Report<'_>) {
    report.examined(&[crate::parts::Kind::Fasteners]);
    let limit = &ctx.design.limits.edge_distance;
    let (hair, _) = ctx.leeway(limit);
    let mut gathered = Gathered::default();
    let mut tried = 0;
    for on in &ctx.slopes {
        for landing in &on.lattice.landings {
            let worst = on
                .backing_of(landing)
                .iter()
                .copied()
                .enumerate()
                .filter(|(_, b)| matches!(b.outcome, Outcome::Backed | Outcome::Shallow))
                .min_by(|a, b| a.1.room.total_cmp(&b.1.room));
            let (Some((k, worst)), Some(piece)) = (worst, on.piece(landing)) else { continue };
            if worst.room >= limit.metres() - hair - SAME {
                continue;
            }
            tried += 1;
            let stacked = || {
                let whole = landing.side == Side::Whole;
                whole.then(|| mends::one_above_the_other(ctx, on, landing)).flatten()
            };
            let mend = (tried <= MOST_TRIED).then(|| moved(ctx, on, landing).or_else(stacked)).flatten();
            if mend.is_none() && landing.side != Side::Whole {
                gathered.add(ctx, on, piece, landing, worst.room);
                report.also(Verdict::Warn, ctx.landing_name(on, landing));
                continue;
            }
            let name = ctx.landing_name(on, landing);
            let member = worst.member.map_or("", |m| ctx.member_name(m)).to_owned();
            let message = format!(
                "fastener {} of {name} is {} from a side or end of {member}, {} is asked",
                k + 1,
                ctx.show(worst.room),
                ctx.show(limit.metres())
            );
            let evidence = vec![Evidence::length(TO_SIDE, worst.room, limit)];
            let place = Some(ctx.landing_place(on, landing));
            let words = || mends::advice(format!("no place near {name} would do: put wood beside {member} there"));
            let help = mend.map_or_else(words, Help::from);
            report.add(Verdict::Warn, message, vec![name, member], place, evidence, || vec![help], Source::of(limit));
        }
    }
    for (kind, worst) in gathered.0 {
        let message = format!(
            "{}: {} nearer to a member's side than {}, where no place for the fasteners would do; the worst, {}, is {} from it; what helps: a doubled member under the joint, or a lap",
            kind.words(),
            worst.count(),
            ctx.show(limit.metres()),
            worst.name,
            ctx.show(worst.least)
        );
        let evidence = vec![
            Evidence::length(TO_SIDE, worst.least, limit),
            Evidence { what: "landings", found: Measure::Count(worst.places), limit: None },
        ];
        let help = || match kind {
            EndKind::OneMember | EndKind::Doubled => vec![mends::lapped(ctx)],
            EndKind::Lap | EndKind::Outer => vec![mends::advice("put wood beside the member there")],
        };
        report.add(Verdict::Warn, message, vec![worst.name], Some(worst.at), evidence, help, Source::of(limit));
    }
}

const TO_SIDE: &str = "from the shank's axis to the member's side";

/// How many landings are looked at one by one for a better place.
const MOST_TRIED: usize = 5_000;
