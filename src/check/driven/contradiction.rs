//! The log and the solids say different things of one place.

use super::super::context::{Context, Report};
use super::super::finding::{Evidence, Place};
use super::super::mends::advice;
use super::super::probe::{self, probe};
use super::super::{Check, Run, Verdict};
use super::{no_log, row};
use crate::lattice::Fastener;
use crate::record::{LeftInKind, Outcome, State};

/// The check.
pub const CHECK: Check = Check {
    name: "log-contradicts",
    title: "Do the drive log and the solids agree?",
    page: "\
What
  A fastener that held where the solids show no wood, or one that missed where they show wood all round it, deep enough.
Why
  One of the two is wrong: the rafter is not where the plan has it, or the hammer was deceived. Until somebody knows, the
  place cannot count as holding.
How computed
  The fastener's axis at its stated place (the planned one where the row states none) is cut with the solids as found, as for
  `landing-not-backed`. Held with nothing below it fails, and the landing does not hold. Missed inside a member warns: a
  missed fastener counts as not holding in any case. A row marked confirmed, or a survey after which the solids agree,
  settles it; a confirmed row that held counts as holding.
Limits
  A fastener that only breaks out of a member's side, or is too shallow, is no contradiction.
Source
  The definition is the program's own.
",
    run: Run::When(run),
};

/// What settles a contradiction.
const SETTLE: &str = "look again: mark the row confirmed, or measure where the member is and survey it";

fn run(ctx: &Context<'_>, report: &mut Report<'_>) -> Option<String> {
    let Some(driven) = ctx.driven else { return no_log() };
    report.examined(&[crate::parts::Kind::Fasteners]);
    for on in &ctx.slopes {
        for (i, landing) in on.lattice.landings.iter().enumerate() {
            for (k, backing) in on.backing_of(landing).iter().enumerate() {
                if on.state(landing, k) != (State::Held { confirmed: false })
                    || backing.outcome != probe::Outcome::Nothing
                {
                    continue;
                }
                let name = ctx.landing_name(on, landing);
                let message =
                    format!("fastener {} of {name} held by the log, but the solids show no wood there", k + 1);
                let entry = driven.log.entries.iter().rfind(|e| {
                    e.slope == on.id
                        && e.landing as usize == i
                        && usize::from(e.fastener) == k
                        && e.outcome == Outcome::Held
                });
                let place = Some(ctx.landing_place(on, landing));
                let source = row(entry.map_or(0, |e| e.row));
                let evidence = vec![Evidence::only("length inside a member", backing.embedment)];
                report.add(Verdict::Fail, message, vec![name], place, evidence, || vec![advice(SETTLE)], source);
            }
        }
        let Some(index) = ctx.structure.under.get(on.id.0) else { continue };
        for left in on.left_in.iter().filter(|l| l.kind == LeftInKind::Missed && !l.confirmed) {
            let Some((x, y)) = left.shown_at else { continue };
            let landing = left.meant_for.and_then(|(l, _)| on.lattice.landings.get(l as usize));
            let Some(landing) = landing else { continue };
            let backing = probe(index, &ctx.shank(on.piece(landing), &Fastener { x, y }));
            let Some(member) = backing.member.filter(|_| backing.outcome == probe::Outcome::Backed) else { continue };
            let member = ctx.member_name(member).to_owned();
            let unknown = if left.at.is_some() { "" } else { " at its planned place (the log states none)" };
            let message = format!("{} missed by the log, but the solids have it inside {member}{unknown}", left.name);
            let evidence = vec![Evidence::only("length inside the member", backing.embedment)];
            let place = Some(Place { slope: on.id, at: [x, y, ctx.lattice.levels.batten] });
            report.add(
                Verdict::Warn,
                message,
                vec![left.name.clone(), ctx.landing_name(on, landing), member],
                place,
                evidence,
                || vec![advice(SETTLE)],
                row(left.row),
            );
        }
    }
    None
}
