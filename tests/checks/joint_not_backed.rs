//! `joint-not-backed`.
//!
//! Boards of 1800 reach as far as 1800 + 1 (half the gap of 2): the joint stands over the rafter at 1220, the pieces end at
//! 1219 and start at 1221. With an end distance of 10 the fasteners stand at 1209 and 1231.

use airlath::check::Verdict::Fail;

use crate::checks::small::*;

const NAME: &str = "joint-not-backed";
const STOCK: (&str, &str) = ("stock = [\"3000 mm\"]", "stock = [\"1800 mm\"]");
const END: (&str, &str) = ("end_distance = \"15 mm\"", "end_distance = \"10 mm\"");

#[test]
fn a_joint_over_a_rafter_passes() {
    passes(&shed(&[STOCK, END], ""), NAME);
}

/// The rafter's left side is at 1200; the left piece's fastener at 1209 may move left by 9 - 1.5 = 7.5.
#[test]
fn each_piece_needs_its_own() {
    for (landing, piece, sign) in [("S-B02.L03.l", "S-B02.1", -1.0), ("S-B02.L03.r", "S-B02.2", 1.0)] {
        passes(&shed(&[STOCK, END], &moved(landing, sign * 7.4, 0.0)), NAME);
        let text = shed(&[STOCK, END], &moved(landing, sign * 7.6, 0.0));
        let seen = seen(&text, NAME);
        assert_eq!((seen.verdict, seen.findings.len()), (Fail, 1));
        let side = "from the shank's axis to the member's side";
        let evidence = [(side, 1.4, Some(1.5)), ("length inside the member", 36.0, None)];
        let at = [1220.0 + sign * 18.6, 450.0, TOP];
        says(&seen.findings[0], Fail, &[landing, piece, "S-R03"], Some(at), &evidence);
        passes(&text, "landing-not-backed");
    }
}

/// Without the rafter both pieces of five joints hang: 1209 is 1209 - 640 = 569 from the nearest side, and so is 1231.
#[test]
fn over_a_missing_rafter_both_pieces_hang() {
    let seen = seen(&shed(&[STOCK, END], MISSING), NAME);
    assert_eq!((seen.verdict, seen.findings.len()), (Fail, 10));
    let evidence =
        [("length inside a member", 0.0, Some(30.0)), ("from the shank's axis to the nearest member", 569.0, None)];
    let (left, right) = (["S-B01.L03.l", "S-B01.1"], ["S-B01.L03.r", "S-B01.2"]);
    says(&seen.findings[0], Fail, &left, Some([1209.0, 50.0, TOP]), &evidence);
    says(&seen.findings[1], Fail, &right, Some([1231.0, 50.0, TOP]), &evidence);
}

/// Two rafters, at 20 and 2420. No joint with pieces of 600 is to be had; the first one stands over the rafter at 20. From
/// 21 on a board of 1800 reaches 1821, where there is no line.
#[test]
fn a_joint_over_no_line() {
    let seen = seen(&shed(&[STOCK, END, ("spacing = \"600 mm\"", "spacing = \"2400 mm\"")], ""), NAME);
    assert_eq!((seen.verdict, seen.findings.len()), (Fail, 5));
    says(
        &seen.findings[0],
        Fail,
        &["S-B01.1"],
        Some([1800.0, 50.0, TOP]),
        &[("lines below the joint", 0.0, Some(1.0))],
    );
}

#[test]
fn silent_where_a_landing_apart_from_joints_is_not_backed() {
    silent(&shed(&[], MISSING), NAME, "landing-not-backed");
}
