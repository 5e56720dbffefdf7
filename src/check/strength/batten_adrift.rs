//! Pieces that too few landings hold.

use super::reasons;
use crate::check::context::{Context, Report};
use crate::check::finding::{Evidence, Measure, Place, Source};
use crate::check::{Check, Run, Verdict, mends};

/// The check.
pub const CHECK: Check = Check {
    name: "batten-adrift",
    title: "Do at least two landings hold every piece against being lifted?",
    page: "\
What
  A piece that fewer than two of its landings hold.
Why
  A board on one support turns about it, on none it flies: a mechanism. No force can be computed for it.
How computed
  Landings that hold are counted: those whose fasteners are all backed. The piece is not solved.
Limits
  That the roofing ties a piece to its neighbours is not counted.
Source
  Statics.
",
    run: Run::When(run),
};

fn run(ctx: &Context<'_>, report: &mut Report<'_>) -> Option<String> {
    let a = match ctx.strength() {
        Ok(a) => a,
        Err(why) => return Some(reasons(why)),
    };
    report.examined(&[crate::parts::Kind::Batten]);
    for (on, pieces) in ctx.slopes.iter().zip(&a.slopes) {
        for (piece, of) in on.lattice.pieces.iter().zip(pieces).filter(|(_, of)| of.holding < 2) {
            let message = format!(
                "{} is a mechanism: {} holds it, so nothing about its strength was computed",
                piece.name,
                if of.holding == 0 { "no landing" } else { "one landing alone" }
            );
            let holding = Evidence {
                what: "landings that hold",
                found: Measure::Count(of.holding),
                limit: Some(Measure::Count(2)),
            };
            let at = [(piece.x.0 + piece.x.1) / 2.0, piece.y, ctx.lattice.levels.batten + piece.lift];
            let place = Some(Place { slope: on.id, at });
            let parts = vec![piece.name.clone()];
            let source = Source::words("statics: a board on fewer than two supports is a mechanism");
            let helps = || vec![mends::advice("make its landings good: see landing-not-backed and embedment-short")];
            report.add(Verdict::Fail, message, parts, place, vec![holding], helps, source);
        }
    }
    None
}
