//! `no-aim-window`. Near the left end the window of a rafter's landing lies between the board's end and the far side of
//! the rafter. With T = tan 3 deg = 0.052408 the shank may be off by 74 T = 3.878 where it must still be inside (31 + 13
//! above the rafter, 30 in it) and by 20 T = 1.048 at the batten's underside. So x is at most 40 - 7.5 - 3.878 = 28.622 and
//! at least the end distance and 1.048: no place is left from an end distance of 27.574 on.

use airlath::check::Verdict::{NotChecked, Warn};

use crate::checks::small::*;

const NAME: &str = "no-aim-window";
const AIM: &str = "[aim]\nplace = \"window\"\n";

fn end_distance(mm: f64) -> String {
    shed(&[("end_distance = \"15 mm\"", &format!("end_distance = \"{mm} mm\""))], AIM)
}

#[test]
fn the_window_closes_where_it_does_by_hand() {
    passes(&shed(&[], AIM), NAME);
    passes(&end_distance(27.5), NAME);
    let seen = seen(&end_distance(27.65), NAME);
    // Both end rafters of every course.
    assert_eq!((seen.verdict, seen.findings.len()), (Warn, 10));
    let f = &seen.findings[0];
    says(f, Warn, &["S-B01.L01"], Some([20.0, 50.0, TOP]), &[("fasteners without a sure window", 2.0, Some(0.0))]);
    assert!(f.message.contains("keep the edge distance in the member, keep the end distance"), "{}", f.message);
}

#[test]
fn silent_where_the_design_does_not_ask_and_where_windows_are_open() {
    let text = shed(&[("end_distance = \"15 mm\"", "end_distance = \"30 mm\"")], "");
    let unasked = seen(&text, NAME);
    assert!(unasked.verdict == NotChecked && unasked.findings.is_empty());
    // The fasteners of a moved landing miss their tape; its windows are open all the same.
    silent(&shed(&[], &(moved("S-B02.L03", -40.0, 0.0) + AIM)), NAME, "off-tape");
}
