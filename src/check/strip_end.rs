//! Strips that stop short, or run past where they should end.

use super::context::{Context, Report};
use super::finding::{Evidence, Place, Source};
use super::{Check, Run, Verdict, mends};
use crate::lattice::StripPiece;
use crate::parts::PartId;
use crate::solid::tolerance::SAME;

/// The check.
pub const CHECK: Check = Check {
    name: "strip-end",
    title: "Do strips end where the vent pieces and hold-backs say?",
    page: "\
What
  A strip that is on the roof already and ends short of its hold-back, or runs past it.
Why
  Short of it the batten above has nothing to lie on; past it the vent piece does not fit, or the strip ends under what
  another trade still has to build.
How computed
  The ends of the strips of each line as laid, against the ends that the outline and openings as found ask for.
Limits
  Off by more than `limits.tolerance`. Strips not yet laid follow what was found and so end where they should.
Source
  Hold-backs of the design.
",
    run: Run::Always(run),
};

fn run(ctx: &Context<'_>, report: &mut Report<'_>) {
    let tolerance = &ctx.design.limits.tolerance;
    for on in &ctx.slopes {
        for (number, line) in (0_u32..).zip(&on.lattice.lines).filter(|(_, l)| l.strips_laid) {
            let strips = || {
                let all = (0_u32..).zip(&on.lattice.strips);
                all.filter(move |(_, s)| s.line == Some(number))
            };
            report.examined_only(strips().map(|(i, _)| PartId::Strip(on.id, i)));
            // The strips that some test holds for, then their line.
            let names = |test: &dyn Fn(&StripPiece) -> bool| {
                let these = strips().filter(|(_, s)| test(s)).map(|(_, s)| s.name.clone());
                these.chain([line.name.clone()]).collect::<Vec<String>>()
            };
            let wanted = &line.wanted;
            if wanted.len() != line.stretches.len() {
                let message = format!(
                    "the strips of {} run in {} stretches, the roof as found asks for {}",
                    line.name,
                    line.stretches.len(),
                    wanted.len()
                );
                let (y, x) = line.found.first().and_then(|m| m.path.first()).copied().unwrap_or_default();
                let place = Some(Place { slope: on.id, at: [x, y, ctx.lattice.levels.strip] });
                let evidence = vec![Evidence::count("stretches of strips", line.stretches.len(), wanted.len())];
                let help = mends::advice(format!("cut and add strips of {} to the roof as found", line.name));
                report.add(
                    Verdict::Fail,
                    message,
                    names(&|_| true),
                    place,
                    evidence,
                    || vec![help],
                    Source::of(tolerance),
                );
                continue;
            }
            for (laid, asked) in line.stretches.iter().zip(wanted) {
                // Positive: the strip reaches too far.
                for (end, y, over) in [("lower", laid.0, asked.0 - laid.0), ("upper", laid.1, laid.1 - asked.1)] {
                    if over.abs() <= tolerance.metres() + 1e-9 {
                        continue;
                    }
                    let how = if over > 0.0 { "runs past its place by" } else { "stops short of its place by" };
                    let message =
                        format!("the {end} end of the strips of {} {how} {}", line.name, ctx.show(over.abs()));
                    let x = line.found.first().map_or(0.0, |m| crate::lattice::x_at(&m.path, y));
                    let place = Some(Place { slope: on.id, at: [x, y, ctx.lattice.levels.strip] });
                    let evidence = vec![Evidence::length("off by", over.abs(), tolerance)];
                    let parts = names(&|s| {
                        let (low, high) = (s.path.first().map_or(0.0, |p| p.0), s.path.last().map_or(0.0, |p| p.0));
                        (low - y).abs() < SAME || (high - y).abs() < SAME
                    });
                    let what = if over > 0.0 { "cut back" } else { "lengthen" };
                    let help = mends::advice(format!("{what} the {end} end of the strips of {}", line.name));
                    report.add(Verdict::Fail, message, parts, place, evidence, || vec![help], Source::of(tolerance));
                }
            }
        }
    }
}
