//! A landing whose fasteners may well miss.

use super::context::{Context, Report};
use super::finding::{Evidence, Measure, Source};
use super::{Check, Run, Verdict, mends};

/// The check.
pub const CHECK: Check = Check {
    name: "miss-likely",
    title: "Is a miss unlikely at every landing?",
    page: "\
What
  A landing at which the chance that one of its fasteners misses is larger than the design takes.
Why
  Rafters are out of sight: a plan that is right in the drawing may still be one that a hand cannot carry out. A miss
  stays in the roof.
How computed
  Errors lie across the member: its place and its bow, common to all its landings; the sighted line; drive and tilt of
  each fastener. Each is normal about the plan and independent of the others. One fastener: P(miss) = 1 - (Phi(b/s) -
  Phi(a/s)), from a to b the stretch over which it is backed, s^2 the sum of the squares. Several fasteners: one integral
  over the error that they share. Where more than one member can back a fastener: seeded sampling, the same in every run.
Limits
  Only what `[tolerance]` states. Lean acts where the asked embedment ends; errors along a member are not counted. A
  landing that the plan itself does not back has the chance one and is told by its own check.
Source
  `tolerance.miss`; normal distribution.
",
    run: Run::When(run),
};

fn run(ctx: &Context<'_>, report: &mut Report<'_>) -> Option<String> {
    let (Some(tolerance), Some(misses)) = (&ctx.design.tolerance, ctx.misses()) else {
        return Some("the design states no [tolerance]".into());
    };
    let limit = tolerance.miss.value;
    report.examined(&[crate::parts::Kind::Fasteners]);
    for (on, landings) in ctx.slopes.iter().zip(misses) {
        for (landing, chance) in on.lattice.landings.iter().zip(landings) {
            if chance.miss <= limit || !on.is_backed(landing) {
                continue;
            }
            let name = ctx.landing_name(on, landing);
            let message = format!(
                "a fastener of {name} misses with a chance of {}, {} is taken",
                crate::quantity::show_share(chance.miss),
                crate::quantity::show_share(limit)
            );
            let evidence = vec![Evidence {
                what: "chance of a miss",
                found: Measure::Share(chance.miss),
                limit: Some(Measure::Share(limit)),
            }];
            let place = Some(ctx.landing_place(on, landing));
            let helps = || {
                vec![mends::advice(format!(
                    "find the sides of the member under {name} by knocking before driving, and sight the line anew"
                ))]
            };
            let parts = vec![name.clone()];
            report.add(Verdict::Warn, message, parts, place, evidence, helps, Source::of(&tolerance.miss));
        }
    }
    None
}
