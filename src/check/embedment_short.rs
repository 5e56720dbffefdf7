//! A fastener that is in a member, but not deep enough.

use super::context::{Context, Report};
use super::finding::{Evidence, Source};
use super::probe::{Outcome, Tip};
use super::{Check, Run, Verdict, mends};
use crate::design::Section;

/// The check.
pub const CHECK: Check = Check {
    name: "embedment-short",
    title: "Is every fastener deep enough in its member?",
    page: "\
What
  A landing that meets a member all round, but whose fastener is less deep in it than the design asks.
Why
  Holding power grows with the length inside the member; below a least length none is counted.
How computed
  The length of the shank between the member's upper face and its tip, or the face by which it leaves. Of an I-joist:
  inside the top flange.
Limits
  Length under the head is taken as written; a head driven below the face is not seen.
Source
  `limits.embedment`; by default 10 diameters: with less, NDS 12.1 reduces lateral values (from memory).
",
    run: Run::Always(run),
};

fn run(ctx: &Context<'_>, report: &mut Report<'_>) {
    let limit = &ctx.design.limits.embedment;
    for on in &ctx.slopes {
        for landing in &on.lattice.landings {
            let Some((k, worst)) = on.worst(landing) else { continue };
            if worst.outcome != Outcome::Shallow {
                continue;
            }
            let name = ctx.landing_name(on, landing);
            let Some(met) = worst.member.and_then(|m| ctx.structure.member(m)) else { continue };
            let member = met.name.clone();
            let holds = match met.section {
                Section::Sawn { depth, .. } => depth,
                Section::IJoist { flange, .. } => flange,
            };
            let message = format!(
                "fastener {} of {name} is {} deep in {member}, {} is asked",
                k + 1,
                ctx.show(worst.embedment),
                ctx.show(limit.metres())
            );
            // A longer fastener helps where the member has room for it.
            let mut helps = Vec::new();
            if worst.tip == Tip::Inside && holds >= limit.value {
                let longer = ctx.design.fastening.length.metres() + limit.metres() - worst.embedment;
                let longer = mends::rounded_up(ctx, longer);
                if no_tip_comes_out(ctx, longer - ctx.design.fastening.length.metres()) {
                    helps.push(mends::set_length(ctx, "fastening.length", longer, "use a longer fastener"));
                }
            }
            let evidence = vec![Evidence::length("embedment", worst.embedment, limit)];
            let place = Some(ctx.landing_place(on, landing));
            report.add(Verdict::Fail, message, vec![name, member], place, evidence, || helps, Source::of(limit));
        }
    }
}

/// Whether fasteners longer by so much still end inside every member in which they end now.
fn no_tip_comes_out(ctx: &Context<'_>, more: f64) -> bool {
    ctx.slopes.iter().flat_map(|on| &on.backing).filter(|b| b.tip == Tip::Inside).all(|b| {
        b.member.and_then(|m| ctx.structure.member(m)).is_none_or(|m| {
            let room = match m.section {
                Section::Sawn { depth, .. } => depth,
                Section::IJoist { flange, .. } => flange,
            };
            b.embedment + more <= room.metres()
        })
    })
}
