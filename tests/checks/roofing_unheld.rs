//! `roofing-unheld`. Spacing 400, tolerance 5; the first course at 50 from the eave, the last at 100 from the top at 1600.

use airlath::check::Verdict::Fail;

use crate::checks::small::*;

const NAME: &str = "roofing-unheld";
const WHAT: &str = "roofing without a batten";

#[test]
fn from_the_eave_to_the_first_course() {
    let first = |mm: f64| shed(&[("first = \"50 mm\"", &format!("first = \"{mm} mm\""))], "");
    passes(&first(404.9), NAME);
    let seen = seen(&first(405.1), NAME);
    assert_eq!(seen.findings.len(), 1);
    says(&seen.findings[0], Fail, &["S-B01.1"], Some([1220.0, 405.1 / 2.0, TOP]), &[(WHAT, 405.1, Some(400.0))]);
}

#[test]
fn from_the_last_course_to_the_top() {
    let last = |mm: f64| shed(&[("last = \"100 mm\"", &format!("last = \"{mm} mm\""))], "");
    passes(&last(404.9), NAME);
    // Eleven feet for eleven inches is the same slip.
    let seen = seen(&last(1100.0), NAME);
    assert_eq!(seen.findings.len(), 1);
    says(&seen.findings[0], Fail, &["S-B02.1"], Some([1220.0, 1050.0, TOP]), &[(WHAT, 1100.0, Some(400.0))]);
    assert!(seen.findings[0].message.contains("where the panel ends"), "{}", seen.findings[0].message);
    assert!(seen.findings[0].mends.is_empty() && seen.findings[0].advice.len() == 1);
}

/// A regular course that would touch the last one is left out: at 1450 of a last one at 1500, so 1050 is the one before.
#[test]
fn between_two_courses_the_plan_leaves_out_no_more_than_a_board_and_a_half() {
    let shifted = |first: f64| shed(&[("first = \"50 mm\"", &format!("first = \"{first} mm\""))], "");
    // Courses at 250, 650, 1050, 1500: 450 apart is within 400 + 150 + 5.
    passes(&shifted(250.0), NAME);
}

/// A gap in the course at 450 leaves 800 from the course at 50 to the one at 850: more than 400 and 150 and 5.
#[test]
fn over_a_gap_in_a_course() {
    let gap = "[[gap]]\ncourse = \"S-B02\"\nfrom = \"640 mm\"\nto = \"1800 mm\"\n";
    let seen = seen(&shed(&[], gap), NAME);
    assert_eq!(seen.findings.len(), 1);
    says(&seen.findings[0], Fail, &["S-B01.1"], Some([1220.0, 450.0, TOP]), &[(WHAT, 800.0, Some(400.0))]);
    assert!(seen.findings[0].message.contains("to the next batten"), "{}", seen.findings[0].message);
}

/// Below the point of a hip no board is long enough: the last one is left out, and only a level edge is held to the pitch.
#[test]
fn in_the_point_of_a_hip_a_board_may_be_left_out() {
    let hip = |spacing: &str| {
        format!(
            "format = 1\nname = \"Point (invented)\"\nunits = \"millimetres\"\n[[slope]]\nname = \"S\"\npitch = \"20 \
             deg\"\noutline = [[\"0 mm\", \"0 mm\"], [\"4000 mm\", \"0 mm\"], [\"2000 mm\", \"2000 mm\"]]\n[[rafters]]\nsection \
             = {{ width = \"40 mm\", depth = \"200 mm\" }}\nspacing = \"400 mm\"\n[lattice]\nbatten = {{ width = \"100 \
             mm\", thickness = \"20 mm\", spacing = \"{spacing}\", first = \"50 mm\", last = \"100 mm\", least_piece = \
             \"200 mm\" }}\n[fastening]\ndiameter = \"3 mm\"\nlength = \"80 mm\"\n"
        )
    };
    // Courses at 50, 450, 850, 1250, 1650: at 1900 a board would be 100 long at its upper edge. 350 are left to the point.
    passes(&hip("400 mm"), NAME);
    // At 50, 350, 650 ... 1550: 450 are left, past 300 and 5, within 300 and 150 and 5.
    passes(&hip("300 mm"), NAME);
}

#[test]
fn a_slope_without_a_batten() {
    let seen = seen(&shed(&[("first = \"50 mm\"", "first = \"1900 mm\"")], ""), NAME);
    assert_eq!(seen.findings.len(), 1);
    says(&seen.findings[0], Fail, &["S"], Some([1220.0, 800.0, TOP]), &[("battens", 0.0, Some(1.0))]);
}
