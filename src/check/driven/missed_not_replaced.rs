//! Fasteners that missed and were not driven again.

use super::super::context::{Context, Report};
use super::super::finding::Evidence;
use super::super::mends::advice;
use super::super::{Check, Run, Verdict};
use super::remaining::remaining;
use super::{no_log, row};
use crate::quantity::list::number;
use crate::record::State;

/// The check.
pub const CHECK: Check = Check {
    name: "missed-not-replaced",
    title: "Was every fastener that missed driven again?",
    page: "\
What
  A fastener that missed by the drive log and of which no later attempt held.
Why
  The landing lacks a fastener and does not hold.
How computed
  From the rows of the log. Where to drive instead is the nearest place in the sure window that is left for it (as `airlath
  marks` cuts windows): backed with its distances, through tape with its margin, clear of straps and their nails, of clips,
  of heads that were left in, and no nearer than `aim.spacing` to the landing's other fasteners where they really are. The
  place is whole sixteenths of an inch (or millimetres) from the planned one where such a place lies within eight of them.
  Where no sure place is left, one that works without any tilt is told, and said to be one.
Limits
  No nearer to the board's end than is asked, or, where the window that is asked for has no place, than it was planned.
  A head whose place nobody wrote down is kept away from where it was planned. Two that lack on one landing are told places
  that go together, the first one first.
Source
  The definition is the program's own.
",
    run: Run::When(run),
};

fn run(ctx: &Context<'_>, report: &mut Report<'_>) -> Option<String> {
    let Some(driven) = ctx.driven else { return no_log() };
    report.examined(&[crate::parts::Kind::Fasteners]);
    let mut last_row = std::collections::BTreeMap::new();
    for e in &driven.log.entries {
        last_row.insert((e.slope, e.landing, e.fastener), e.row);
    }
    for on in &ctx.slopes {
        for (i, landing) in on.lattice.landings.iter().enumerate() {
            for k in (0..usize::from(landing.count)).filter(|k| on.state(landing, *k) == State::Lacking) {
                let name = ctx.landing_name(on, landing);
                let message = format!("fastener {} of {name} missed and none holds in its stead", k + 1);
                let help = || {
                    let text = match remaining(ctx, on, i, k) {
                        Some(to) => format!("drive fastener {} of {name} again {}", k + 1, to.words(ctx)),
                        None => format!(
                            "no place is left for it on {name}: bring in a block beside, with a landing of its own"
                        ),
                    };
                    vec![advice(text)]
                };
                let held = (0..usize::from(landing.count)).filter(|k| on.state(landing, *k) != State::Lacking).count();
                let evidence = vec![Evidence::count("fasteners of the landing", held, usize::from(landing.count))];
                let key = (on.id, number(i), u8::try_from(k).unwrap_or(u8::MAX));
                let source = row(last_row.get(&key).copied().unwrap_or_default());
                let place = Some(ctx.landing_place(on, landing));
                report.add(Verdict::Fail, message, vec![name.clone()], place, evidence, help, source);
            }
        }
    }
    None
}
