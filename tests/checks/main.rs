//! Each check on small roofs: one that fails it, one that passes it, one just inside its limit, one just outside, and one
//! on which it stays silent though something else is wrong. Expected numbers are worked out by hand beside each test.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "tests fail loudly")]

mod plans;
mod small;

mod clash;
mod embedment_short;
mod end_distance_short;
mod end_run_too_long;
mod gap_under_batten;
mod joint_not_backed;
mod landing_not_backed;
mod near_member_side;
mod no_air_path;
mod off_tape;
mod run_too_long;
mod strip_end;
mod strip_off_tape;
mod through_strap;
mod tip_in_web;
mod tip_out_of_member;
mod vent_buried;
mod vent_flutes_across;

use airlath::check::{self, Verdict};

/// The roof that all tests start from: 18 checks pass on it, two say that they do not run. A further check wants a file here.
#[test]
fn every_check_passes_on_the_small_roof() {
    let plan = plans::plan(&small::shed(&[], ""));
    let context = plan.context();
    assert_eq!((plan.lattice.landing_count(), context.backed_count()), (25, 25));
    let results = check::run(&context);
    assert_eq!(results.len(), 20);
    for r in &results {
        let said: Vec<&str> = r.findings.iter().map(|f| f.message.as_str()).collect();
        let expected =
            if matches!(r.check.name, "strength" | "air-rules") { Verdict::NotChecked } else { Verdict::Pass };
        assert_eq!(r.verdict, expected, "{}: {said:?}", r.check.name);
        assert_eq!(r.reason.is_some(), expected == Verdict::NotChecked, "{}", r.check.name);
    }
    assert_eq!(
        check::scope_line(&context),
        "backing: 25 of 25 landings; strength: not checked; air: 36 of 36 cells have a way from eave to top"
    );
}
