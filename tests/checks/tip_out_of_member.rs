//! `tip-out-of-member`.

use airlath::check::Verdict::{Fail, Warn};

use crate::checks::small::*;

const NAME: &str = "tip-out-of-member";

/// The tip is 36 deep.
#[test]
fn out_of_the_underside_by_a_tenth() {
    let deep = |mm: f64| shed(&[("depth = \"200 mm\"", &format!("depth = \"{mm} mm\""))], "");
    passes(&deep(36.0), NAME);
    passes(&deep(36.1), NAME);
    let seen = seen(&deep(35.9), NAME);
    assert_eq!((seen.verdict, seen.findings.len()), (Warn, 25));
    for (i, f) in seen.findings.iter().enumerate() {
        let (course, line) = (i / 5, i % 5);
        let (landing, rafter) = (landing(course + 1, line + 1), format!("S-R{:02}", line + 1));
        let evidence = [
            ("depth of the tip below the member's upper face", 36.0, Some(35.9)),
            ("length past the wood that holds", 0.1, None),
        ];
        says(f, Warn, &[&landing, &rafter], Some([RAFTERS[line], COURSES[course], TOP]), &evidence);
    }
}

/// At a pitch of 45 deg a plumb cut through the top edge (1600) lies at 1600 - d in a depth d below the membrane. The tip is
/// 13 + 36 = 49 deep, so a fastener at 1551 just stays inside; at 1551.1 it leaves 48.9 deep, 35.9 inside the rafter.
#[test]
fn out_of_a_plumb_end_by_a_tenth() {
    let last = |mm: f64| {
        let (pitch, last) = (("pitch = \"20 deg\"", "pitch = \"45 deg\""), format!("last = \"{mm} mm\""));
        shed(&[pitch, ("last = \"100 mm\"", &last)], "")
    };
    // The upper fastener stands 25 above the course's middle: 1600 - 74.1 + 25 = 1550.9.
    passes(&last(74.1), NAME);
    let seen = seen(&last(73.9), NAME);
    assert_eq!((seen.verdict, seen.findings.len()), (Fail, 5));
    for (i, f) in seen.findings.iter().enumerate() {
        let (landing, rafter) = (landing(5, i + 1), format!("S-R{:02}", i + 1));
        let evidence = [
            ("depth of the tip below the member's upper face", 36.0, Some(35.9)),
            ("length past the wood that holds", 0.1, None),
        ];
        says(f, Fail, &[&landing, &rafter], Some([RAFTERS[i], 1526.1, TOP]), &evidence);
        assert!(f.message.starts_with("fastener 2 of"), "{}", f.message);
    }
}

/// A steep plumb end is an end like another. At 70 deg the cut is 60 / tan 70 = 21.84 deep at 1540 and 40.04 at 1490, where the
/// fasteners of the last course stand: both leave the rafter by it before the asked 30 (43 below the membrane) are reached.
#[test]
fn a_steep_plumb_end_is_no_underside() {
    let last = ("last = \"100 mm\"", "last = \"85 mm\"");
    let text = shed(&[("pitch = \"20 deg\"", "pitch = \"70 deg\""), last], "");
    let not_backed = seen(&text, "landing-not-backed");
    assert_eq!((not_backed.verdict, not_backed.findings.len()), (Fail, 5));
    for f in &not_backed.findings {
        assert!(f.message.contains("of S-B05.L") && f.message.contains("breaks out"), "{}", f.message);
    }
}

#[test]
fn silent_where_the_member_is_missing() {
    silent(&shed(&[], MISSING), NAME, "landing-not-backed");
}
