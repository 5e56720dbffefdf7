//! A fastener that is in a member, but near its side.

use super::context::{Context, Report};
use super::finding::{Evidence, Source};
use super::moves::moved;
use super::probe::Outcome;
use super::{Check, Run, Verdict};
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
  The least distance from the shank's axis to the member's sides and ends over the asked embedment.
Limits
  The grain is taken to run straight along the member.
Source
  `limits.edge_distance`; by default 2.5 diameters, common practice, no source.
",
    run: Run::Always(run),
};

fn run(ctx: &Context<'_>, report: &mut Report<'_>) {
    let limit = &ctx.design.limits.edge_distance;
    for on in &ctx.slopes {
        for landing in &on.lattice.landings {
            let worst = on
                .backing_of(landing)
                .iter()
                .copied()
                .enumerate()
                .filter(|(_, b)| matches!(b.outcome, Outcome::Backed | Outcome::Shallow))
                .min_by(|a, b| a.1.room.total_cmp(&b.1.room));
            let Some((k, worst)) = worst else { continue };
            if worst.room >= limit.metres() - SAME {
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
            let evidence = vec![Evidence::length("from the shank's axis to the member's side", worst.room, limit)];
            let place = Some(ctx.landing_place(on, landing));
            let helps = || moved(ctx, on, landing).into_iter().collect();
            report.add(Verdict::Warn, message, vec![name, member], place, evidence, helps, Source::of(limit));
        }
    }
}
