//! Tips that end up where they should not.

use super::context::{Context, Report};
use super::embedment_short::holding_depth;
use super::finding::{Evidence, Help, Measure, Source};
use super::moves::moved;
use super::probe::Tip;
use super::{Check, Run, Verdict, mends};
use crate::design::Section;
use crate::solid::tolerance::SAME;

/// The check of webs.
pub const IN_WEB: Check = Check {
    name: "tip-in-web",
    title: "Do tips stay out of the webs of I-joists?",
    page: "\
What
  A fastener that passes through the top flange of an I-joist into the web.
Why
  The web is a thin sheet: a point driven into it may split the flange from it, and it adds nothing.
How computed
  The shank is longer than the way to the flange's underside, and the axis, or the shank's side, meets the web.
Limits
  The joist's own literature rules.
Source
  Framing texts warn of flange splitting; no figure is taken from them.
",
    run: Run::Always(|ctx, report| tips(ctx, report, Tip::Web)),
};

/// The check of sides and undersides.
pub const OUT_OF_MEMBER: Check = Check {
    name: "tip-out-of-member",
    title: "Do tips stay inside their members?",
    page: "\
What
  A fastener whose tip comes out of its member's side or underside, or out of a flange beside the web.
Why
  Out of the side it has split the wood or soon will; out of the underside it is a point in the room below, or in the
  airtight line's way.
How computed
  The face by which the axis leaves the member before the fastener ends.
Limits
  What lies below the member is not looked at.
Source
  Common practice, no source.
",
    run: Run::Always(|ctx, report| {
        tips(ctx, report, Tip::Side);
        tips(ctx, report, Tip::Underside);
    }),
};

fn tips(ctx: &Context<'_>, report: &mut Report<'_>, tip: Tip) {
    report.examined(&[crate::parts::Kind::Fasteners]);
    for on in &ctx.slopes {
        for landing in &on.lattice.landings {
            let Some((k, b)) = on.backing_of(landing).iter().enumerate().find(|(_, b)| b.tip == tip) else { continue };
            let Some(member) = b.member.and_then(|m| ctx.structure.member(m)) else { continue };
            let name = ctx.landing_name(on, landing);
            let lift = on.piece(landing).map_or(0.0, |p| p.lift);
            let above = ctx.lattice.levels.batten + lift - ctx.structure.framing_level;
            let past = ctx.design.fastening.length.metres() - above - b.embedment;
            let (verdict, what) = match (tip, member.section) {
                (Tip::Web, _) => (Verdict::Fail, "through the flange into the web"),
                (Tip::Side, _) => (Verdict::Fail, "out of a side or end"),
                (_, Section::IJoist { .. }) => (Verdict::Warn, "out of the flange beside the web"),
                (_, Section::Sawn { .. }) => (Verdict::Warn, "out of the underside"),
            };
            let message =
                format!("fastener {} of {name} comes {what} of {} after {}", k + 1, member.name, ctx.show(b.embedment))
                    .replace("out of the flange beside the web of", "out beside the web of");
            let depth = b.embedment + past;
            let holds = holding_depth(member);
            let helps = || {
                let mut helps: Vec<Help> = Vec::new();
                if tip == Tip::Side {
                    helps.extend(moved(ctx, on, landing).map(Help::from));
                } else {
                    let shorter = mends::rounded_down(ctx, ctx.design.fastening.length.metres() - past.max(0.0) - 1e-4);
                    if shorter > 0.0 {
                        let costs = !none_gets_too_short(ctx, shorter);
                        helps.push(mends::fastener_length(ctx, shorter, costs).into());
                    }
                    helps.extend(mends::deeper_member(ctx, member, depth + 1e-4).map(Help::from));
                }
                if helps.is_empty() {
                    helps.push(mends::advice(format!("fasten the batten to more wood than {} has there", member.name)));
                }
                helps
            };
            let evidence = vec![
                Evidence {
                    what: "depth of the tip below the member's upper face",
                    found: Measure::Length(depth),
                    limit: Some(Measure::Length(holds.min(b.embedment))),
                },
                Evidence::only("length past the wood that holds", past),
            ];
            let source = Source::of(&ctx.design.fastening.length);
            let parts = vec![name, member.name.clone()];
            report.add(verdict, message, parts, Some(ctx.landing_place(on, landing)), evidence, helps, source);
        }
    }
}

/// Whether a shorter fastener leaves every landing that is backed now as deep as the design asks.
fn none_gets_too_short(ctx: &Context<'_>, length: f64) -> bool {
    let asked = ctx.design.limits.embedment.metres();
    ctx.slopes.iter().all(|on| {
        on.lattice.landings.iter().filter(|l| on.is_backed(l)).all(|landing| {
            let lift = on.piece(landing).map_or(0.0, |p| p.lift);
            let in_framing = length - (ctx.lattice.levels.batten + lift - ctx.structure.framing_level);
            on.backing_of(landing).iter().all(|b| b.embedment.min(in_framing) >= asked - SAME)
        })
    })
}
