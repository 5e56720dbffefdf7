//! Vent pieces whose flutes stop the air.

use super::context::{Context, Report};
use super::finding::{Evidence, Place, Source};
use super::{Check, Run, Verdict, mends};
use crate::design::Flutes;

/// The check.
pub const CHECK: Check = Check {
    name: "vent-flutes-across",
    title: "Do the flutes of vent pieces let the air through?",
    page: "\
What
  Vent pieces along an eave or top whose flutes run across the slope.
Why
  Air must pass through a vent piece up the slope; across it the flutes' walls stop it.
How computed
  `lattice.vent.flutes` against the direction of the flow, which is up the slope.
Limits
  The size of the flutes is not looked at.
Source
  The definition is the program's own.
",
    run: Run::Always(run),
};

fn run(ctx: &Context<'_>, report: &mut Report<'_>) {
    report.examined(&[crate::parts::Kind::VentPiece]);
    let flutes = &ctx.design.lattice.vent.flutes;
    if flutes.value != Flutes::Across {
        return;
    }
    for on in &ctx.slopes {
        let Some(first) = on.lattice.vents.first() else { continue };
        let n = on.lattice.vents.len();
        let message = format!(
            "{n} vent piece{} on slope {} with flutes across the flow",
            if n == 1 { "" } else { "s" },
            on.frame.name
        );
        let at = [(first.x.0 + first.x.1) / 2.0, (first.y.0 + first.y.1) / 2.0, first.height];
        let help = mends::set_word("lattice.vent.flutes", "\"up\"", "turn the flutes up the slope");
        let parts = on.lattice.vents.iter().map(|v| v.name.clone()).collect();
        report.add(
            Verdict::Fail,
            message,
            parts,
            Some(Place { slope: on.id, at }),
            vec![Evidence::count("vent pieces with flutes across", n, 0)],
            || vec![help.into()],
            Source::of(flutes),
        );
    }
}
