//! Battens that bend or shear more than they can.

use super::basis::Subject;
use super::path::Mode;
use super::{Untold, combination, memory, reasons, share, source, superseded, verdict};
use crate::check::context::{Context, Report};
use crate::check::finding::Place;
use crate::check::{Check, Run, Verdict, mends};
use crate::parts::{Kind, PartId};
use crate::quantity::{Force, Length, show_moment, show_ratio};

/// The check.
pub const CHECK: Check = Check {
    name: "batten-overloaded",
    title: "Does every batten carry its load in bending and shear, and bend no more than is asked?",
    page: "\
What
  A piece whose bending, shear or (where `strength.deflection` says a limit) deflection is above what the board carries, or
  above the stated share of it.
Why
  A cracked batten holds no clip.
How computed
  Each piece as a continuous beam, see `landing-overloaded`; the board flatwise, its greatest moment and shear against the
  reference values of its grade with their factors. The deflection of each span between supports is set against its length, that
  of each end that is longer than a quarter of the span that bends most against twice its length; by EN 1990 at the level of service (6.14), at once, without creep. Wind has the coefficient of the effective wind area of the
  piece: of its spans between landings that hold, the one with the least area.
Limits
  Where the wind on a part of a piece is not known, it is not checked. Bending down the slope, about the board's stiff axis, is not computed; no help from the roofing. Boards of 1 in nominal have design values only where they are stress-rated.
  It supports a licensed designer and never replaces one.
Source
  The rule set of `strength.rules` with the grade of `strength.grade`; see `airlath explain PIECE DESIGN`.
",
    run: Run::When(run),
};

fn run(ctx: &Context<'_>, report: &mut Report<'_>) -> Option<String> {
    let a = match ctx.strength() {
        Ok(a) => a,
        Err(why) => return Some(reasons(why)),
    };
    if a.basis.board.is_none() {
        return a.basis.board_reason.clone();
    }
    let (mut computed, mut first) = (0, None);
    let mut untold = Untold::default();
    report.examined(&[Kind::Batten]);
    for (on, pieces) in ctx.slopes.iter().zip(&a.slopes) {
        let without = (0..).zip(pieces).filter(|(_, of)| of.board.is_none());
        report.unanswered(without.map(|(i, _)| PartId::Batten(on.id, i)));
        for (piece, of) in on.lattice.pieces.iter().zip(pieces) {
            let Some(used) = &of.board else {
                if let Some(why) = &of.lacking {
                    untold.add(why, || piece.name.clone());
                }
                continue;
            };
            let at = [(piece.x.0 + piece.x.1) / 2.0, piece.y, ctx.lattice.levels.batten + piece.lift];
            computed += 1;
            first.get_or_insert((piece.name.clone(), Place { slope: on.id, at }));
            let verdict = verdict(used.ratio, &a.basis);
            if verdict == Verdict::Pass {
                continue;
            }
            let units = ctx.design.units;
            let asks = match used.mode {
                Mode::Bending => show_moment(used.out, units),
                Mode::Shear => Force::from_newtons(used.out).show(units),
                _ => Length::from_metres(used.out).show_fine(units),
            };
            let mut message = format!(
                "{} has to carry {} of what the board carries: {}, {asks}, {}",
                piece.name,
                show_ratio(used.ratio),
                used.mode.words(),
                combination(&a.basis, used.combination)
            );
            message.push_str(&superseded(&a.basis));
            let evidence = vec![share(used.ratio)];
            let place = Some(Place { slope: on.id, at });
            let parts = vec![piece.name.clone()];
            let helps = || vec![mends::advice("closer courses, members or blocks nearer together, or thicker boards")];
            report.add(verdict, message, parts, place, evidence, helps, source(&a.basis, used.combination));
        }
    }
    memory::note(a, Subject::Board, ("battens", computed), first, report);
    untold.told("battens")
}
