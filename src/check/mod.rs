//! Verdicts: each check is one file with its name, its page and its pure function.
//!
//! Aim: every place that does not hold, does not fit or cannot be built, with evidence that anyone can measure again.
//! Reason: silence must never look like approval; so every check reports an outcome, also when it found nothing and also
//! when it did not run.
//! Limits: a check reads the design, the structure and the lattice; it knows no file format and changes nothing.

use std::collections::BTreeMap;

mod context;
mod ends;
mod finding;
mod mends;
mod moves;
mod probe;
mod verdict;

mod air;
mod clash;
mod embedment_short;
mod end_distance_short;
mod end_run_too_long;
mod gap_under_batten;
mod joint_not_backed;
mod landing_not_backed;
mod near_member_side;
mod not_run;
mod off_tape;
mod run_too_long;
mod strip_end;
mod strip_off_tape;
mod through_strap;
mod tip_astray;
mod vent_buried;
mod vent_flutes_across;

pub use crate::design::Change;
pub use context::{Context, OnSlope, Report};
pub use finding::{Evidence, Finding, Measure, Mend, Place, Source};
pub use probe::{Backing, Outcome, Shank, Tip, probe, probe_all};
pub use verdict::Verdict;

/// One check.
pub struct Check {
    /// Name, as in findings and for `airlath explain`.
    pub name: &'static str,
    /// What it asks, in one line.
    pub title: &'static str,
    /// Its page, under fixed headings: What, Why, How computed, Limits, Source.
    pub page: &'static str,
    /// Runs it.
    pub run: Run,
}

/// How a check runs.
pub enum Run {
    /// Looks at everything and adds what it finds.
    Always(fn(&Context<'_>, &mut Report<'_>)),
    /// Looks at everything that the design gives it to judge by; says why where that is not enough. What it then has
    /// found stays a finding, but its silence is no pass.
    When(fn(&Context<'_>, &mut Report<'_>) -> Option<String>),
    /// Does not run yet, and why.
    NotChecked(&'static str),
}

/// All checks, in the order in which they are shown.
pub const CHECKS: [&Check; 20] = [
    &landing_not_backed::CHECK,
    &embedment_short::CHECK,
    &near_member_side::CHECK,
    &tip_astray::IN_WEB,
    &tip_astray::OUT_OF_MEMBER,
    &run_too_long::CHECK,
    &end_run_too_long::CHECK,
    &joint_not_backed::CHECK,
    &end_distance_short::CHECK,
    &off_tape::CHECK,
    &through_strap::CHECK,
    &gap_under_batten::CHECK,
    &vent_buried::CHECK,
    &vent_flutes_across::CHECK,
    &strip_end::CHECK,
    &strip_off_tape::CHECK,
    &clash::CHECK,
    &air::no_air_path::CHECK,
    &air::rules::CHECK,
    &not_run::STRENGTH,
];

/// A check with its outcome.
pub struct Result {
    /// The check.
    pub check: &'static Check,
    /// Its worst verdict.
    pub verdict: Verdict,
    /// Why it did not run, where it did not.
    pub reason: Option<String>,
    /// What it found.
    pub findings: Vec<Finding>,
    /// Parts of findings past the listed ones, with their worst verdicts.
    pub left_out: BTreeMap<String, Verdict>,
}

/// Runs every check.
pub fn run(ctx: &Context<'_>) -> Vec<Result> {
    CHECKS
        .iter()
        .map(|check| {
            let mut report = Report::new(check);
            let reason = match check.run {
                Run::Always(f) => {
                    f(ctx, &mut report);
                    None
                }
                Run::When(f) => f(ctx, &mut report),
                Run::NotChecked(reason) => Some(reason.to_owned()),
            };
            let (findings, left_out) = report.finish();
            let silent = if reason.is_some() { Verdict::NotChecked } else { Verdict::Pass };
            let verdict = findings.iter().map(|f| f.verdict).max().unwrap_or(silent);
            Result { check, verdict, reason, findings, left_out }
        })
        .collect()
}

/// The scope line: what was and was not checked.
pub fn scope_line(ctx: &Context<'_>) -> String {
    let space = ctx.space();
    format!(
        "backing: {} of {} landings; strength: not checked; air: {} of {} cells have a way from eave to top",
        ctx.backed_count(),
        ctx.lattice.landing_count(),
        space.with_a_way(),
        space.cells.len()
    )
}
