//! A fastener that is in a member, but near its side.

use super::context::{Context, OnSlope, Report};
use super::finding::{Change, Evidence, Mend, Source};
use super::probe::{Outcome, probe};
use super::{Check, Run, Verdict, mends};
use crate::design::LaidKind;
use crate::lattice::{Fastener, Landing};
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
            let helps = moved(ctx, on, landing, |room| room >= limit.metres()).into_iter().collect();
            report.add(Verdict::Warn, message, vec![name, member], place, evidence, helps, Source::of(limit));
        }
    }
}

/// A small move of a landing after which it is backed with enough room, keeps its tape and clears straps; tried on the
/// solids. Only for fasteners that are not yet driven and not yet moved.
pub fn moved(ctx: &Context<'_>, on: &OnSlope<'_>, landing: &Landing, enough: impl Fn(f64) -> bool) -> Option<Mend> {
    let name = ctx.landing_name(on, landing);
    let piece = on.piece(landing)?;
    let course = on.lattice.courses.get(piece.course as usize)?;
    let line = on.line(landing).map(|l| l.name.as_str());
    let driven = ctx.design.laid.iter().any(|l| {
        l.what.contains(&LaidKind::Fasteners)
            && l.slopes.contains(&on.id)
            && l.lines.as_ref().is_none_or(|ls| ls.iter().any(|(n, _)| Some(n.as_str()) == line))
            && l.courses.as_ref().is_none_or(|cs| cs.iter().any(|(n, _)| *n == course.name))
    });
    if driven || ctx.design.moves.iter().any(|m| m.landing == name) {
        return None;
    }
    let index = ctx.structure.under.get(on.id.0)?;
    let half = ctx.design.lattice.batten.width.metres() / 2.0;
    let radius = ctx.design.fastening.diameter.metres() / 2.0;
    let step = 0.0015875; // 1/16 in
    let mut tries: Vec<(i32, i32)> = (-32..=32).flat_map(|a| (-16..=16).map(move |u| (a, u * 2))).collect();
    tries.sort_by_key(|(a, u)| (a * a + u * u, *a, *u));
    let fits = |across: f64, up: f64| {
        on.lattice.fasteners_of(landing).iter().all(|f| {
            let at = Fastener { x: f.x + across, y: f.y + up };
            let b = probe(index, &ctx.shank(Some(piece), &at));
            b.outcome == Outcome::Backed
                && enough(b.room)
                && b.room >= ctx.design.limits.edge_distance.metres() - SAME
                && (at.y - piece.y).abs() <= half - ctx.design.limits.edge_distance.metres() + SAME
                && super::off_tape::beside(ctx, on, &at) >= ctx.design.limits.tape_margin.metres() - SAME
                && super::through_strap::clearance(ctx, on, &at, radius).is_none()
        })
    };
    let (across, up) =
        tries.into_iter().map(|(a, u)| (f64::from(a) * step, f64::from(u) * step)).find(|(a, u)| fits(*a, *u))?;
    let lines = format!(
        "\n[[move]]\nlanding = \"{name}\"\nacross = \"{}\"\nup = \"{}\"\n",
        mends::text(ctx, across),
        mends::text(ctx, up)
    );
    let said = |v: f64, plus: &str, minus: &str| {
        if v.abs() < SAME {
            String::new()
        } else {
            format!(" {} {}", ctx.show(v.abs()), if v > 0.0 { plus } else { minus })
        }
    };
    Some(Mend {
        text: format!(
            "drive {name}{}{}",
            said(across, "further right", "further left"),
            said(up, "further up", "further down")
        ),
        change: Change::Append(lines),
    })
}
