//! A landing without a place to drive.

use super::context::{Context, Report};
use super::finding::{Evidence, Source};
use super::{Check, Run, Verdict, mends};
use crate::design::AimPlace;

/// The check.
pub const CHECK: Check = Check {
    name: "no-aim-window",
    title: "Has every fastener a place from which it is sure to hold?",
    page: "\
What
  A landing for which no place on the batten's face meets all conditions at every tilt of the hand: backed, in tape with
  its margin, edge and end distances kept, clear of straps and of the landing's other fasteners.
Why
  There the fastener stays where the pattern puts it, and something is not kept: better known before than after.
How computed
  The sure window of each fastener (`airlath marks` prints them) is cut from the solids. The conditions named are a
  smallest set that cannot be met together.
Limits
  Asked only where `aim.place = \"window\"`: otherwise the other checks say what is wrong with a fastener's place.
Source
  The limits are those of `limits` and `aim`; the tilt is `tolerance.tilt`.
",
    run: Run::When(run),
};

fn run(ctx: &Context<'_>, report: &mut Report<'_>) -> Option<String> {
    if ctx.design.aim.place.value != AimPlace::Window {
        return Some("fasteners stand where the pattern puts them; `airlath marks` prints the windows".into());
    }
    report.examined(&[crate::parts::Kind::Fasteners]);
    for on in &ctx.slopes {
        let Some(site) = ctx.site(on) else { continue };
        for (number, landing) in on.lattice.landings.iter().enumerate() {
            let Some((k, conflict)) =
                (0..usize::from(landing.count)).find_map(|k| Some((k, site.conflict(number, k)?)))
            else {
                continue;
            };
            let name = ctx.landing_name(on, landing);
            let words: Vec<&str> = conflict.list().iter().map(|c| c.words()).collect();
            let shut = (0..usize::from(landing.count)).filter(|k| site.sure(number, *k).is_empty()).count();
            let evidence = vec![Evidence::count("fasteners without a sure window", shut, 0)];
            let helps = || vec![mends::advice("see what `airlath marks` shows to open its window")];
            let message = format!("no place for fastener {} of {name} can at once {}", k + 1, words.join(", "));
            let place = Some(ctx.landing_place(on, landing));
            let source = Source::of(&ctx.design.aim.place);
            report.add(Verdict::Warn, message, vec![name], place, evidence, helps, source);
        }
    }
    None
}
