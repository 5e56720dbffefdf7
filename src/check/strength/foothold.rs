//! A person on a single batten.

use super::basis::{Basis, Combination};
use super::path::Analysis;
use super::{reasons, share};
use crate::capacity::beam::{Answer, Beam, Holds, Load, Solver, Support};
use crate::capacity::loads::{Amounts, Arrangement};
use crate::capacity::nds::board::PERSON;
use crate::capacity::{ec5, nds};
use crate::check::context::{Context, Report};
use crate::check::finding::{Place, Source};
use crate::check::{Check, Run, Verdict, mends};
use crate::quantity::{Force, show_ratio};

/// The check.
pub const CHECK: Check = Check {
    name: "foothold",
    title: "Does a single batten carry a person, where the design claims it?",
    page: "\
What
  How much of its bending strength a single batten needs for one person between two landings, or on its end.
Why
  People climb on battens. By the handbook a lone 1x4 does not carry a person even at 16 in.
How computed
  The force of `strength.foothold_force` (by default 300 lbf) at the middle of the longest stretch between two landings that hold,
  the board as a single span, or at the tip of the longest end; against the board's bending strength for
  a load that lasts as long as roof live load. The worst piece is named on every output. It fails only where the design claims
  `strength.foothold = true`.
Limits
  One batten, no help from neighbours, roofing or from running on over further landings. A number below 1 is no leave to climb: the membrane is
  slippery. It supports a licensed designer and never replaces one.
Source
  ASCE 7 Table 4.3-1 for the force (from memory), the rule set for the board.
",
    run: Run::When(run),
};

/// The worst place for a person.
pub struct Step {
    /// The piece.
    pub piece: String,
    /// Share of the board's bending strength.
    pub share: f64,
    /// The force, newtons.
    pub force: f64,
    /// The middle of the piece.
    pub place: Place,
}

/// The force of a person, newtons, and where it comes from.
pub fn person(basis: &Basis) -> (f64, String) {
    match &basis.spec.foothold_force {
        Some(given) => (given.value.newtons(), given.origin.words()),
        None => (PERSON.value, PERSON.source.to_string()),
    }
}

/// The worst place; `None` where boards have no design values or nothing holds.
pub fn worst(ctx: &Context<'_>, a: &Analysis) -> Option<Step> {
    let board = a.basis.board.as_ref()?;
    let (force, _) = person(&a.basis);
    let mut solver = Solver::new();
    let mut worst: Option<Step> = None;
    for (on, pieces) in ctx.slopes.iter().zip(&a.slopes) {
        for (piece, of) in on.lattice.pieces.iter().zip(pieces).filter(|(_, of)| of.holding >= 2) {
            let moment = moment(of.spans, force, &mut solver)?;
            let share = moment / board.moment(&one_person());
            if worst.as_ref().is_none_or(|w| share > w.share) {
                let at = [(piece.x.0 + piece.x.1) / 2.0, piece.y, ctx.lattice.levels.batten + piece.lift];
                worst = Some(Step { piece: piece.name.clone(), share, force, place: Place { slope: on.id, at } });
            }
        }
    }
    worst
}

/// A person counts as long as roof live load does.
fn one_person() -> Combination {
    Combination {
        name: "one person",
        factors: Amounts::default(),
        snow: Arrangement::Balanced,
        suction: false,
        service: None,
        nds: nds::Duration::SevenDays,
        ec5: ec5::Duration::Short,
        source: PERSON.source,
    }
}

/// The greatest moment of a force at the middle of a span or at the tip of an end, newton metres.
fn moment((span, end): (f64, f64), force: f64, solver: &mut Solver) -> Option<f64> {
    let held = |at| Support { at, holds: Holds::Both };
    let beam = Beam {
        length: span,
        supports: &[held(0.0), held(span)],
        loads: &[Load::Point { at: span / 2.0, force: -force }],
        stiffness: 1.0,
    };
    match solver.solve(&beam) {
        Ok(Answer::Held) => Some(solver.extremes().moment().max(force * end)),
        _ => None,
    }
}

/// The notice that stands on every output, with its number.
pub fn notice(ctx: &Context<'_>) -> Option<String> {
    let a = ctx.strength().ok()?;
    let w = worst(ctx, a)?;
    let force = Force::from_newtons(w.force).show(ctx.design.units);
    let share = show_ratio(w.share);
    Some(if w.share > 1.0 {
        format!(
            "A batten is not a foothold: one person ({force}) on {} takes {share} times what the board carries in bending. {}",
            w.piece,
            super::SUPPORTS
        )
    } else {
        format!(
            "One person ({force}) on {}, the worst place, takes {share} of what the board carries in bending; that alone does \
             not make a batten a foothold. {}",
            w.piece,
            super::SUPPORTS
        )
    })
}

fn run(ctx: &Context<'_>, report: &mut Report<'_>) -> Option<String> {
    let claimed = ctx.design.loads.strength.as_ref().and_then(|s| s.foothold.as_ref()).filter(|f| f.value);
    let a = match ctx.strength() {
        Ok(a) => a,
        Err(why) => return Some(reasons(why)),
    };
    let Some(w) = worst(ctx, a) else {
        return Some(a.basis.board_reason.clone().unwrap_or_else(|| "no piece is held".to_owned()));
    };
    if claimed.is_some() {
        report.examined(&[crate::parts::Kind::Batten]);
    }
    if let Some(claim) = claimed
        && w.share > 1.0
    {
        let force = Force::from_newtons(w.force).show(ctx.design.units);
        let message = format!(
            "the design claims a foothold, but one person ({force}) on {} takes {} times what the board carries in bending",
            w.piece,
            show_ratio(w.share)
        );
        let evidence = vec![share(w.share)];
        let why = "do not claim it, and lay planks or ladders";
        let helps = || vec![mends::set_word("strength.foothold", "false", why).into()];
        report.add(Verdict::Fail, message, vec![w.piece], Some(w.place), evidence, helps, Source::of(claim));
    }
    None
}
