//! What is not yet driven.

use super::super::context::{Context, Report};
use super::super::finding::{Evidence, Place};
use super::super::mends::advice;
use super::super::{Check, Run, Source, Verdict};
use super::no_log;
use crate::record::State;

/// The check.
pub const CHECK: Check = Check {
    name: "left-to-drive",
    title: "Is every fastener of the plan driven?",
    page: "\
What
  A course of which the drive log does not say that all fasteners are driven.
Why
  The log is the record of what is really there. What is not in it is not there yet.
How computed
  Counted from the log: fasteners without a row, or with `not yet` or `pre-drilled`. They are judged where they are planned,
  so that runs and ends tell what the finished course would be.
Limits
  Fasteners that missed have a check of their own, `missed-not-replaced`.
Source
  The definition is the program's own.
",
    run: Run::When(run),
};

fn run(ctx: &Context<'_>, report: &mut Report<'_>) -> Option<String> {
    if ctx.driven.is_none() {
        return no_log();
    }
    for on in &ctx.slopes {
        let mut open = vec![(0_usize, 0_usize); on.lattice.courses.len()];
        for landing in &on.lattice.landings {
            let course = on.piece(landing).and_then(|p| open.get_mut(p.course as usize));
            let Some((left, all)) = course else { continue };
            for k in 0..usize::from(landing.count) {
                *all += 1;
                *left += usize::from(matches!(on.state(landing, k), State::Planned | State::Predrilled));
            }
        }
        for (course, (left, all)) in on.lattice.courses.iter().zip(open) {
            if left == 0 {
                continue;
            }
            let message = format!(
                "{left} of the {all} fasteners of {} are not yet driven; they are judged as planned",
                course.name
            );
            let pieces = on.lattice.pieces.iter();
            let of =
                pieces.filter(|p| on.lattice.courses.get(p.course as usize).is_some_and(|c| c.name == course.name));
            let parts = of.map(|p| p.name.clone()).collect();
            let evidence = vec![Evidence::count("driven", all - left, all)];
            let place = Some(Place { slope: on.id, at: [0.0, course.y, ctx.lattice.levels.batten] });
            let help = || vec![advice(format!("drive them, and write them into the log: {}", course.name))];
            let source = Source::words("the drive log");
            report.add(Verdict::Warn, message, parts, place, evidence, help, source);
        }
    }
    None
}
