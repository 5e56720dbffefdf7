//! A joint without backing for each of its two pieces.

use super::context::{Context, Report};
use super::finding::{Evidence, Source};
use super::landing_not_backed::tell;
use super::probe::Outcome;
use super::run_too_long::place;
use super::{Check, Run, Verdict, mends};
use crate::lattice::{End, Side};

/// The check.
pub const CHECK: Check = Check {
    name: "joint-not-backed",
    title: "Is each piece of every joint backed by its own fasteners?",
    page: "\
What
  A joint where one of the two pieces has a fastener that is not inside a member, or that stands over no line at all.
Why
  A board's end that holds nothing lifts first.
How computed
  The landings of a joint, one for each piece, are judged like every other landing.
Limits
  As for `landing-not-backed`.
Source
  The definition is the program's own.
",
    run: Run::Always(run),
};

fn run(ctx: &Context<'_>, report: &mut Report<'_>) {
    for on in &ctx.slopes {
        report.examined_only(on.landing_ids(|l| l.side != Side::Whole));
        for landing in on.lattice.landings.iter().filter(|l| l.side != Side::Whole) {
            if let Some((k, worst)) = on.worst(landing)
                && matches!(worst.outcome, Outcome::Nothing | Outcome::BreaksOut)
            {
                tell(ctx, on, landing, k, &worst, report);
            }
        }
        for piece in &on.lattice.pieces {
            // Said once for the joint, at its left piece.
            if piece.ends.1 == End::JointOverNothing {
                let message = format!("the joint at the right end of {} stands over no line", piece.name);
                let source = Source::of(&ctx.design.lattice.batten.stock);
                let at = place(ctx, on, piece, piece.x.1);
                let evidence = vec![Evidence::count("lines below the joint", 0, 1)];
                let helps = || {
                    let text = "cut the course from boards of another stock length, so that the joint falls on a line";
                    vec![mends::advice(text)]
                };
                report.add(Verdict::Fail, message, vec![piece.name.clone()], at, evidence, helps, source);
            }
        }
    }
}
