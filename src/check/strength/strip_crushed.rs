//! Strips that are pressed harder than they stand.

use super::basis::Subject;
use super::path::Analysis;
use super::{Untold, combination, each_landing, from_left, memory, reasons, source, superseded, verdict};
use crate::check::context::{Context, OnSlope, Report};
use crate::check::finding::{Evidence, Measure};
use crate::check::{Check, Run, Verdict, mends};
use crate::lattice::Landing;
use crate::quantity::{Pressure, show_ratio};

/// The check.
pub const CHECK: Check = Check {
    name: "strip-crushed",
    title: "Does the strip under every landing stand the pressure?",
    page: "\
What
  A landing where the batten presses harder on its strip than the strip's stated strength, or the stated share of it.
Why
  A crushed strip loosens the batten and closes the air path; and the yield of fasteners through a gap counts on a gap
  that keeps its height.
How computed
  The greatest bearing reaction of the piece as a continuous beam, over the width of the strips side by side times the
  width of the batten, against `strength.strip`; by EN 1990 at the level of service (6.14), without partial factors.
Limits
  Creep and point pressure of single flutes are in the strength that the maker states, or they are not there at all.
  It supports a licensed designer and never replaces one.
Source
  `strength.strip`, by the maker.
",
    run: Run::When(run),
};

/// Why strips are not checked, and what that means for the rest.
pub const NOT_SAID: &str = "strength.strip does not say what pressure a strip stands; every lateral value counts on strips \
                            that keep their height, and carries that condition";

/// Width of the strips under a landing, metres.
pub fn strip_width(ctx: &Context<'_>, on: &OnSlope<'_>, landing: &Landing) -> f64 {
    let of_line = on.line(landing).and_then(|line| {
        let here = line.widths.iter().find(|w| w.y.0 <= landing.y && landing.y <= w.y.1);
        here.map(|w| f64::from(u32::try_from(w.strips).unwrap_or(1)) * w.width)
    });
    of_line.unwrap_or(ctx.design.lattice.strip.width.metres())
}

fn run(ctx: &Context<'_>, report: &mut Report<'_>) -> Option<String> {
    let a = match ctx.strength() {
        Ok(a) => a,
        Err(why) => return Some(reasons(why)),
    };
    let Some(stands) = &a.basis.spec.strip else { return Some(NOT_SAID.to_owned()) };
    let mut untold = Untold::default();
    report.examined(&[crate::parts::Kind::Fasteners]);
    for (on, pieces) in ctx.slopes.iter().zip(&a.slopes) {
        for ((_, landings), of) in on.by_piece().zip(pieces) {
            let order = from_left(on, landings).into_iter().filter_map(|k| landings.get(k));
            for (landing, bearing) in order.zip(&of.bearing) {
                let area = strip_width(ctx, on, landing) * ctx.design.lattice.batten.width.metres();
                let pressure = bearing.force / area;
                let share = pressure / stands.value.pascals();
                let verdict = verdict(share, &a.basis);
                match &of.lacking {
                    // Wind that is not known may press harder.
                    Some(why) if share <= 1.0 => {
                        report.unanswered(on.id_of(landing));
                        untold.add(why, || ctx.landing_name(on, landing));
                        continue;
                    }
                    _ if verdict == Verdict::Pass => continue,
                    _ => {}
                }
                add(ctx, a, (on, landing), (verdict, share, pressure, bearing.combination), report);
            }
        }
    }
    let computed = || each_landing(ctx, a).filter(|l| l.2.holding >= 2 && l.2.lacking.is_none());
    let first = computed().next().map(|(on, l, ..)| (ctx.landing_name(on, l), ctx.landing_place(on, l)));
    memory::note(a, Subject::Strip, ("strips under landings", computed().count()), first, report);
    untold.told("strips under landings")
}

fn add(
    ctx: &Context<'_>,
    a: &Analysis,
    (on, landing): (&OnSlope<'_>, &Landing),
    (verdict, share, pressure, number): (Verdict, f64, f64, usize),
    report: &mut Report<'_>,
) {
    let name = ctx.landing_name(on, landing);
    let mut message = format!(
        "the strip at {name} is pressed with {} of what it stands: {}, {}",
        show_ratio(share),
        Pressure::from_pascals(pressure).show_stress(ctx.design.units),
        combination(&a.basis, number)
    );
    message.push_str(&superseded(&a.basis));
    let evidence = vec![Evidence {
        what: "share of the strength",
        found: Measure::Share(share),
        limit: Some(Measure::Share(1.0)),
    }];
    let place = Some(ctx.landing_place(on, landing));
    let helps = || vec![mends::advice("strips that stand more, wider ones, or closer courses")];
    report.add(verdict, message, vec![name], place, evidence, helps, source(&a.basis, number));
}
