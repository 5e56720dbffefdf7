//! Nails of straps that meet no wood.

use super::context::{Context, OnSlope, Report};
use super::finding::{Evidence, Place, Source};
use super::probe::{Outcome, Shank, probe};
use super::{Check, Run, Verdict, mends};
use crate::solid::Point3;
use crate::structure::{Strap, StrapNail};

/// The check.
pub const CHECK: Check = Check {
    name: "strap-nail-astray",
    title: "Do the nails of straps meet a member?",
    page: "\
What
  Nails of straps that meet no member, are less than a diameter deep in it, or break out of its side. Said once for each
  field of straps on a slope.
Why
  Every nail of a strap is a hole in the membrane; one without wood holds nothing. A strap of which no nail holds on one
  side of its seam ties nothing.
How computed
  Each nail's shank is cut with the solids below the slope, as the battens' fasteners are: of an I-joist the top flange
  counts, a deck does not. A failing finding where a strap has nails on one side of its seam and none of them holds; else
  a warning.
Limits
  How much a strap carries is not computed: its maker or a licensed designer says how many nails it wants.
Source
  The definition is the program's own.
",
    run: Run::Always(run),
};

fn run(ctx: &Context<'_>, report: &mut Report<'_>) {
    for (n, field) in ctx.design.straps.iter().enumerate() {
        for on in &ctx.slopes {
            let straps: Vec<&Strap> =
                ctx.structure.straps.iter().filter(|s| s.field == n && s.slope == on.id).collect();
            let nails: usize = straps.iter().map(|s| s.nails.len()).sum();
            let seam = field.seam.metres();
            let mut idle: Vec<(&Strap, &StrapNail)> = Vec::new();
            let mut loose = false;
            for strap in &straps {
                let (mut held, mut there) = ([0, 0], [0, 0]);
                for nail in &strap.nails {
                    let side = usize::from(nail.y > seam);
                    there[side] += 1;
                    if holds(ctx, on, nail) {
                        held[side] += 1;
                    } else {
                        idle.push((strap, nail));
                    }
                }
                loose |= (0..2).any(|side| there[side] > 0 && held[side] == 0);
            }
            let Some((_, first)) = idle.first() else { continue };
            let what = if loose { "so that a strap holds on one side of its seam alone" } else { "which hold nothing" };
            let message = format!(
                "straps[{}] on slope {}: {} of {nails} nails are in no member, {what}",
                n + 1,
                on.frame.name,
                idle.len()
            );
            let mut parts: Vec<String> = idle.iter().map(|(s, _)| s.name.clone()).collect();
            parts.dedup();
            let place = Some(Place { slope: on.id, at: [first.x, first.y, first.z] });
            let evidence = vec![Evidence::count("nails in no member", idle.len(), 0)];
            let help = mends::advice(
                "leave out the nails that meet no wood, or shift the straps or their nails over the members",
            );
            let verdict = if loose { Verdict::Fail } else { Verdict::Warn };
            report.add(verdict, message, parts, place, evidence, || vec![help], Source::of(&field.shift));
        }
    }
}

/// Whether a strap's nail is in a member.
pub(super) fn holds(ctx: &Context<'_>, on: &OnSlope<'_>, nail: &StrapNail) -> bool {
    let Some(index) = ctx.structure.under.get(on.id.0) else { return false };
    let head = Point3::new(nail.x, nail.y, nail.z);
    let shank = Shank { head, length: nail.length, radius: nail.radius, embedment: 2.0 * nail.radius };
    probe(index, &shank).outcome == Outcome::Backed
}
