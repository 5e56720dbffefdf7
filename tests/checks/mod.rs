//! Each check on small roofs: one that fails it, one that passes it, one just inside its limit, one just outside, and one
//! on which it stays silent though something else is wrong. Expected numbers are worked out by hand beside each test.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "tests fail loudly")]

mod small;

mod clash;
mod embedment_short;
mod end_distance_short;
mod end_run_too_long;
mod fastener_spacing_short;
mod gap_under_batten;
mod joint_not_backed;
mod joint_not_doubled;
mod landing_not_backed;
mod likely_slip;
mod meetings;
mod miss_likely;
mod near_member_side;
mod no_aim_window;
mod no_air_path;
mod off_tape;
mod past_outline;
mod proposals;
mod roofing_unheld;
mod rooms;
mod run_too_long;
mod strap_nail_astray;
mod strip_end;
mod strip_off_tape;
mod through_strap;
mod tip_in_web;
mod tip_out_of_member;
mod vent_buried;
mod vent_flutes_across;

use airlath::check::{self, Verdict};

/// Checks that need what this roof does not say: loads, a local official, tolerances, a drive log, panels.
const NOT_RUN: [&str; 19] = [
    "missed-not-replaced",
    "log-contradicts",
    "hole-unsealed",
    "left-to-drive",
    "clip-off-batten",
    "clip-on-head",
    "clip-screw-too-long",
    "panel-edge-off-batten",
    "no-aim-window",
    "miss-likely",
    "landing-overloaded",
    "batten-overloaded",
    "clip-overloaded",
    "batten-adrift",
    "strip-crushed",
    "foothold",
    "strength",
    "air-rules",
    "still-air",
];

/// The roof that all tests start from: every check passes on it, or says why it does not run. A further check wants a file
/// here.
#[test]
fn every_check_passes_on_the_small_roof() {
    let plan = crate::common::plans::plan(&small::shed(&[], ""));
    let context = plan.context();
    assert_eq!((plan.lattice.landing_count(), context.backed_count()), (25, 25));
    let results = check::run(&context);
    assert_eq!(results.len(), check::CHECKS.len());
    for r in &results {
        let said: Vec<&str> = r.findings.iter().map(|f| f.message.as_str()).collect();
        let expected = if NOT_RUN.contains(&r.check.name) { Verdict::NotChecked } else { Verdict::Pass };
        assert_eq!(r.verdict, expected, "{}: {said:?}", r.check.name);
        assert_eq!(r.reason.is_some(), expected == Verdict::NotChecked, "{}", r.check.name);
    }
    assert_eq!(
        check::scope_line(&context),
        "backing: 25 of 25 landings; strength: not checked; air: 36 of 36 cells have a way from eave to top"
    );
}
