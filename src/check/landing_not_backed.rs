//! A landing whose fasteners are not inside any member.

use super::context::{Context, OnSlope, Report};
use super::finding::{Evidence, Help, Measure, Mend, Source};
use super::moves::{is_driven, moved};
use super::probe::{Backing, Outcome, nearest};
use super::{Check, Run, Verdict, mends};
use crate::lattice::{Landing, Side};
use crate::solid::tolerance::SAME;

/// The check.
pub const CHECK: Check = Check {
    name: "landing-not-backed",
    title: "Is there a member behind every landing?",
    page: "\
What
  A landing where at least one fastener is not inside a member: it meets nothing that counts, or its shank breaks out of
  a member's side or end.
Why
  There the batten holds nothing down, and the hole in the membrane stays.
How computed
  Each fastener's axis is cut with the solids below the slope. Backed means that the whole shank, its radius included,
  lies inside one member over the required embedment, measured from that member's upper face. Of an I-joist only the top
  flange counts; deck, strip, tape and membrane never count. The member with most room counts. A landing is backed when
  every one of its fasteners is.
Limits
  Members are as straight as they are drawn or measured. Knots, splits and rot are not seen.
Source
  The definition is the program's own. Required embedment: `limits.embedment`.
",
    run: Run::Always(run),
};

/// How near a member must be to be one that the fastener missed, metres: two inches.
const CONCERNED: f64 = 0.0508;
/// How far round a fastener the nearest member is looked for, metres.
const SEARCH: f64 = 0.6;

fn run(ctx: &Context<'_>, report: &mut Report<'_>) {
    report.examined(&[crate::parts::Kind::Fasteners]);
    for on in &ctx.slopes {
        // The landings of a joint are judged by a check of their own.
        report.elsewhere(on.landing_ids(|l| l.side != Side::Whole));
        for landing in &on.lattice.landings {
            if landing.side != Side::Whole {
                continue;
            }
            if let Some((k, worst)) = on.worst(landing)
                && matches!(worst.outcome, Outcome::Nothing | Outcome::BreaksOut)
            {
                tell(ctx, on, landing, k, &worst, report);
            }
        }
    }
}

/// Adds the finding for a landing that is not backed; shared with the check of joints.
pub fn tell(
    ctx: &Context<'_>,
    on: &OnSlope<'_>,
    landing: &Landing,
    k: usize,
    worst: &Backing,
    report: &mut Report<'_>,
) {
    let name = ctx.landing_name(on, landing);
    let Some(fastener) = on.lattice.fasteners_of(landing).get(k) else { return };
    let shank = ctx.shank(on.piece(landing), fastener);
    let mut evidence = Vec::new();
    let mut parts = vec![name.clone()];
    if let Some(piece) = on.piece(landing) {
        parts.push(piece.name.clone());
    }
    let message = match worst.outcome {
        Outcome::BreaksOut => {
            let member = worst.member.map_or("", |m| ctx.member_name(m));
            parts.push(member.to_owned());
            evidence.push(Evidence {
                what: "from the shank's axis to the member's side",
                found: Measure::Length(worst.room),
                limit: Some(Measure::Length(shank.radius)),
            });
            evidence.push(Evidence::only("length inside the member", worst.embedment));
            format!(
                "fastener {} of {name} breaks out of {member}: its axis is {} from the side, its radius is {}",
                k + 1,
                ctx.show(worst.room),
                ctx.show(shank.radius)
            )
        }
        _ => {
            let near = ctx.structure.under.get(on.id.0).and_then(|index| nearest(index, &shank, SEARCH));
            let inside_nothing = Evidence::length("length inside a member", 0.0, &ctx.design.limits.embedment);
            match near {
                Some((member, off)) => {
                    let member = ctx.member_name(member);
                    evidence.push(inside_nothing);
                    evidence.push(Evidence::only("from the shank's axis to the nearest member", off));
                    // A member further off has no part in it.
                    if off <= CONCERNED {
                        parts.push(member.to_owned());
                    }
                    if off <= SAME {
                        format!("fastener {} of {name} ends above {member}", k + 1)
                    } else {
                        format!(
                            "fastener {} of {name} meets nothing; the nearest member, {member}, is {} away",
                            k + 1,
                            ctx.show(off)
                        )
                    }
                }
                None => {
                    evidence.push(inside_nothing);
                    format!("fastener {} of {name} meets nothing; no member within {}", k + 1, ctx.show(SEARCH))
                }
            }
        }
    };
    let source = Source::of(&ctx.design.limits.embedment);
    report.add(
        Verdict::Fail,
        message,
        parts,
        Some(ctx.landing_place(on, landing)),
        evidence,
        || mend(ctx, on, landing),
        source,
    );
}

/// A drawn member that is missing is put in, fasteners side by side go one above the other where that holds, a fastener too
/// short gets longer; elsewhere a block goes under the landing, or the fasteners go elsewhere.
pub fn mend(ctx: &Context<'_>, on: &OnSlope<'_>, landing: &Landing) -> Vec<Help> {
    if let Some(mend) = mends::missing_put_in(ctx, on, landing) {
        return vec![mend.into()];
    }
    let other = mends::one_above_the_other(ctx, on, landing).or_else(|| mends::longer_fastener(ctx, on, landing));
    if let Some(mend) = other {
        return vec![mend.into()];
    }
    let fasteners = on.lattice.fasteners_of(landing);
    let spread = fasteners.iter().map(|f| (f.y - landing.y).abs()).fold(0.0, f64::max) * 2.0;
    let name = ctx.landing_name(on, landing);
    // Long enough for the edge distance at both its ends.
    let edge = ctx.design.limits.edge_distance.metres() - SAME;
    let reaches = |x: (f64, f64)| fasteners.iter().all(|f| x.0 <= f.x - edge && f.x + edge <= x.1);
    let block = on.piece(landing).and_then(|p| mends::block_under(ctx, on, p, (landing.x, landing.y), spread));
    if let Some((lines, _)) = block.filter(|b| reaches(b.1)) {
        let block = Mend { text: format!("put a block under {name}"), change: super::Change::Append(lines) };
        return vec![block.into()];
    }
    let elsewhere = || {
        mends::advice(if is_driven(ctx, on, landing) {
            format!("leave the fastener of {name} in, sealed, and drive another beside it where a member is found")
        } else {
            format!("bring a member under {name}, or fasten the batten where one is found")
        })
    };
    vec![moved(ctx, on, landing).map_or_else(elsewhere, Help::from)]
}
