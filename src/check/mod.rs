//! Verdicts: each check is one file with its name, its page and its pure function.
//!
//! Aim: every place that does not hold, does not fit or cannot be built, with evidence that anyone can measure again.
//! Reason: silence must never look like approval; so every check reports an outcome, also when it found nothing and also
//! when it did not run.
//! Limits: a check reads the design, the structure and the lattice; it knows no file format and changes nothing.

use std::collections::BTreeMap;

mod context;
mod ends;
mod examined;
mod finding;
mod mends;
mod moves;
mod probe;
mod remedies;
mod verdict;
mod verdicts;

mod air;
mod clash;
pub mod driven;
mod embedment_short;
mod end_distance_short;
mod end_run_too_long;
mod fastener_spacing_short;
mod gap_under_batten;
mod joint_not_backed;
mod joint_not_doubled;
mod landing_not_backed;
mod likely_slip;
mod miss_likely;
mod near_member_side;
mod no_aim_window;
mod off_tape;
pub mod panels;
mod past_outline;
mod roofing_unheld;
mod run_too_long;
mod strap_nail_astray;
pub mod strength;
mod strip_end;
mod strip_off_tape;
mod through_strap;
mod tip_astray;
mod tributary;
mod vent_buried;
mod vent_flutes_across;

pub use crate::design::Change;
pub use context::{Context, OnSlope, Report};
pub use examined::{Asked, Examined};
pub use finding::{Evidence, Finding, Help, Measure, Mend, Place, Source};
pub use moves::moved;
pub use probe::{Backing, Outcome, Shank, Tip, probe, probe_all};
pub use remedies::remedies;
pub use verdict::{Basis, Verdict};
pub use verdicts::{Judged, Verdicts};

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
}

/// All checks, in the order in which they are shown.
pub const CHECKS: &[&Check] = &[
    &likely_slip::CHECK,
    &landing_not_backed::CHECK,
    &embedment_short::CHECK,
    &near_member_side::CHECK,
    &tip_astray::IN_WEB,
    &tip_astray::OUT_OF_MEMBER,
    &run_too_long::CHECK,
    &end_run_too_long::CHECK,
    &joint_not_backed::CHECK,
    &joint_not_doubled::CHECK,
    &end_distance_short::CHECK,
    &fastener_spacing_short::CHECK,
    &off_tape::CHECK,
    &through_strap::CHECK,
    &strap_nail_astray::CHECK,
    &gap_under_batten::CHECK,
    &roofing_unheld::CHECK,
    &vent_buried::CHECK,
    &vent_flutes_across::CHECK,
    &strip_end::CHECK,
    &strip_off_tape::CHECK,
    &past_outline::CHECK,
    &clash::CHECK,
    &driven::missed_not_replaced::CHECK,
    &driven::contradiction::CHECK,
    &driven::hole_unsealed::CHECK,
    &driven::left_to_drive::CHECK,
    &panels::clip_off_batten::CHECK,
    &panels::clip_on_head::CHECK,
    &panels::clip_screw_too_long::CHECK,
    &panels::panel_edge_off_batten::CHECK,
    &no_aim_window::CHECK,
    &miss_likely::CHECK,
    &strength::landing_overloaded::CHECK,
    &strength::batten_overloaded::CHECK,
    &strength::clip_overloaded::CHECK,
    &strength::batten_adrift::CHECK,
    &strength::strip_crushed::CHECK,
    &strength::foothold::CHECK,
    &strength::left_out::CHECK,
    &air::no_air_path::CHECK,
    &air::rules::CHECK,
    &air::still_air::CHECK,
];

/// A check with its outcome.
pub struct Result {
    /// The check.
    pub check: &'static Check,
    /// Its worst verdict.
    pub verdict: Verdict,
    /// Why it did not run, where it did not.
    pub reason: Option<String>,
    /// Which parts it examined.
    pub examined: Examined,
    /// What it found.
    pub findings: Vec<Finding>,
    /// Parts that no listed finding names and that are meant too, with their worst verdicts: those past the listed findings, and
    /// those for which the worst of them is named.
    pub left_out: BTreeMap<String, Verdict>,
}

/// Runs every check.
pub fn run(ctx: &Context<'_>) -> Vec<Result> {
    every(ctx, true)
}

/// Runs every check for its findings alone: without what would help, which is dear to work out.
pub fn run_for_findings(ctx: &Context<'_>) -> Vec<Result> {
    every(ctx, false)
}

fn every(ctx: &Context<'_>, helps: bool) -> Vec<Result> {
    CHECKS
        .iter()
        .map(|check| {
            let mut report = Report::new(check, helps);
            let reason = match check.run {
                Run::Always(f) => {
                    f(ctx, &mut report);
                    None
                }
                Run::When(f) => f(ctx, &mut report),
            };
            let (findings, left_out, examined) = report.finish();
            let silent = if reason.is_some() { Verdict::NotChecked } else { Verdict::Pass };
            let verdict = findings.iter().map(|f| f.verdict).fold(silent, Verdict::max);
            Result { check, verdict, reason, examined, findings, left_out }
        })
        .collect()
}

/// The scope line: what was and was not checked.
pub fn scope_line(ctx: &Context<'_>) -> String {
    let log = ctx.driven.map_or(String::new(), |d| {
        let others: usize = d.log.other_plans.iter().map(|(_, rows)| rows).sum();
        let plans: Vec<&str> = d.log.other_plans.iter().map(|(plan, _)| plan.as_str()).collect();
        let elsewhere = match others {
            0 => String::new(),
            1 => format!("; 1 row of it is of plan {}, which differs, but drives alike", plans.join(", ")),
            n => format!("; {n} rows of it are of plan {}, which differs, but drives alike", plans.join(", ")),
        };
        format!(
            "; by the drive log {} of {} fasteners are driven, {} of {} landings hold, what is not driven taken as planned{elsewhere}",
            d.count(|s| matches!(s, crate::record::State::Held { .. })),
            d.count(|_| true),
            ctx.holding_count(),
            ctx.lattice.landing_count()
        )
    });
    let space = ctx.space();
    format!(
        "backing: {} of {} landings{log}; strength: {}; air: {} of {} cells have a way from eave to top",
        ctx.backed_count(),
        ctx.lattice.landing_count(),
        strength::scope(ctx),
        space.with_a_way(),
        space.cells.len()
    )
}
