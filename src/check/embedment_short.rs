//! A fastener that is in a member, but not deep enough.

use super::context::{Context, OnSlope, Report};
use super::finding::{Evidence, Help, Source};
use super::probe::{Outcome, Tip};
use super::{Check, Run, Verdict, mends};
use crate::design::Section;
use crate::lattice::Landing;
use crate::solid::tolerance::SAME;
use crate::structure::Member;

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
    report.examined(&[crate::parts::Kind::Fasteners]);
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
            let message = format!(
                "fastener {} of {name} is {} deep in {member}, {} is asked",
                k + 1,
                ctx.show(worst.embedment),
                ctx.show(limit.metres())
            );
            let helps = || mends(ctx, on, landing, met, worst.embedment);
            let evidence = vec![Evidence::length("embedment", worst.embedment, limit)];
            let place = Some(ctx.landing_place(on, landing));
            report.add(Verdict::Fail, message, vec![name, member], place, evidence, helps, Source::of(limit));
        }
    }
}

/// A longer fastener where the member has room for it, a deeper member where it has not; and the batten let down where a
/// strap raises it.
pub fn mends(ctx: &Context<'_>, on: &OnSlope<'_>, landing: &Landing, met: &Member, embedment: f64) -> Vec<Help> {
    let limit = ctx.design.limits.embedment.metres();
    let length = ctx.design.fastening.length.metres();
    let lift = on.piece(landing).map_or(0.0, |p| p.lift);
    let tip = length - (ctx.lattice.levels.batten + lift - ctx.structure.framing_level);
    let mut helps: Vec<Help> = Vec::new();
    if tip >= limit - SAME {
        // Long enough, but the wood ends before.
        helps.extend(mends::deeper_member(ctx, met, tip).map(Help::from));
    } else if holding_depth(met) >= limit - SAME {
        let longer = mends::rounded_up(ctx, length + limit - embedment);
        helps.push(mends::fastener_length(ctx, longer, !no_tip_comes_out(ctx, longer - length)).into());
    }
    if lift > 0.0 && (tip + lift).min(holding_depth(met)) >= limit - SAME {
        helps.extend(mends::notched(ctx, on).map(Help::from));
    }
    if helps.is_empty() {
        helps.extend(mends::longer_fastener(ctx, on, landing).map(Help::from));
    }
    if helps.is_empty() {
        helps.push(mends::advice(format!("fasten the batten to more wood than {} has there", met.name)));
    }
    helps
}

/// How deep the wood is that may hold a fastener: of an I-joist its flange.
pub fn holding_depth(member: &Member) -> f64 {
    match member.section {
        Section::Sawn { depth, .. } => depth.metres(),
        Section::IJoist { flange, .. } => flange.metres(),
    }
}

/// Whether fasteners longer by so much still end inside every member in which they end now.
pub fn no_tip_comes_out(ctx: &Context<'_>, more: f64) -> bool {
    ctx.slopes
        .iter()
        .flat_map(|on| &on.backing)
        .filter(|b| b.tip == Tip::Inside)
        .all(|b| b.member.and_then(|m| ctx.structure.member(m)).is_none_or(|m| b.embedment + more <= holding_depth(m)))
}
