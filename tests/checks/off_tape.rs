//! `off-tape`. Tape 60 wide, margin 6, radius 1.5.

use airlath::check::Verdict::{Fail, Warn};

use crate::checks::small::*;

const NAME: &str = "off-tape";
const BESIDE: &str = "tape beside the shank";

/// Tape 15 wide leaves 7.5 - 1.5 = 6 beside a shank in its middle.
#[test]
fn a_tenth_less_than_the_margin() {
    let wide = |mm: f64| shed(&[("tape = { width = \"60 mm\"", &format!("tape = {{ width = \"{mm} mm\""))], "");
    passes(&wide(15.0), NAME);
    passes(&wide(15.2), NAME);
    let seen = seen(&wide(14.8), NAME);
    assert_eq!((seen.verdict, seen.findings.len()), (Warn, 25));
    for (i, f) in seen.findings.iter().enumerate() {
        let (course, line) = (i / 5, i % 5);
        let (landing, on) = (landing(course + 1, line + 1), format!("S-L{:02}", line + 1));
        says(f, Warn, &[&landing, &on], Some([RAFTERS[line], COURSES[course], TOP]), &[(BESIDE, 5.9, Some(6.0))]);
    }
    // 14.8 + 2 x 0.1 = 15.0 would do: a whole 5 mm.
    assert_eq!(seen.findings[0].mends[0].change.text(), "lattice.tape.width = \"15 mm\"");
}

/// The tape's side is 30 from the line. Off the line by 22.5 leaves 6; by 28.5 nothing; beyond 30 the axis misses it.
#[test]
fn near_cut_and_missed() {
    let off = |mm: f64| seen(&shed(&[], &moved("S-B04.L04", mm, 0.0)), NAME);
    assert!(off(22.4).findings.is_empty() && off(-22.5).findings.is_empty());
    for (mm, verdict, beside) in [(22.6, Warn, 5.9), (28.4, Warn, 0.1), (28.6, Fail, -0.1), (31.4, Fail, -2.9)] {
        let seen = off(mm);
        assert_eq!((seen.verdict, seen.findings.len()), (verdict, 1), "{mm}");
        let at = [1820.0 + mm, 1250.0, TOP];
        says(&seen.findings[0], verdict, &["S-B04.L04", "S-L04"], Some(at), &[(BESIDE, beside, Some(6.0))]);
        assert_eq!(seen.findings[0].message.ends_with("misses the tape"), mm > 30.0, "{}", seen.findings[0].message);
    }
    // Further away there is no tape to measure to.
    let far = off(40.0);
    says(
        &far.findings[0],
        Fail,
        &["S-B04.L04", "S-L04"],
        Some([1860.0, 1250.0, TOP]),
        &[("tapes below the fastener", 0.0, Some(1.0))],
    );
}

/// Tape starts at the eave. With a spread of 85 the lower fastener of the first course stands at 50 - 42.5 = 7.5.
#[test]
fn a_tapes_end_counts_like_its_side() {
    let down = |mm: f64| shed(&[("spread = \"50 mm\"", "spread = \"85 mm\"")], &moved("S-B01.L02", 0.0, -mm));
    passes(&down(0.0), NAME);
    let seen = seen(&down(0.1), NAME);
    assert_eq!((seen.verdict, seen.findings.len()), (Warn, 1));
    let at = [620.0, 49.9, TOP];
    says(&seen.findings[0], Warn, &["S-B01.L02", "S-L02"], Some(at), &[(BESIDE, 5.9, Some(6.0))]);
}

/// Along a hip tape is cut plumb. The hip from (2440, 0) to (1240, 1600) faces (0.8, 0.6), 1952 from the origin. Up by 340
/// the upper fastener of the fourth line's second course stands at (1820, 815): 1952 - 1456 - 489 = 7 from the tape's end in
/// the plane of the slope, where the shank takes 1.5. The cut stands plumb, so square to its face there is less; but it is in
/// the plane of the slope that tape closes on the shank. Up by 360 the fastener is past the tape. So it is at any pitch.
#[test]
fn a_tapes_end_at_a_hip_counts_at_any_pitch() {
    let roof = |pitch: f64, up: f64| {
        let size = "shape = \"shed\"\neave = \"2440 mm\"\nslope_length = \"1600 mm\"\npitch = \"20 deg\"";
        let corners =
            "[[\"0 mm\", \"0 mm\"], [\"2440 mm\", \"0 mm\"], [\"1240 mm\", \"1600 mm\"], [\"0 mm\", \"1600 mm\"]]";
        let slope = format!("name = \"S\"\npitch = \"{pitch} deg\"\noutline = {corners}");
        seen(&shed(&[("[roof]", "[[slope]]"), (size, &slope)], &moved("S-B02.L04", 0.0, up)), NAME)
    };
    for pitch in [20.0, 30.0, 45.0, 60.0, 75.0] {
        let near = roof(pitch, 340.0);
        assert_eq!(near.findings.len(), 1, "{pitch} deg");
        let evidence = [(BESIDE, 7.0 - 1.5, Some(6.0))];
        says(&near.findings[0], Warn, &["S-B02.L04", "S-L04"], Some([1820.0, 790.0, TOP]), &evidence);
        let past = roof(pitch, 360.0);
        assert_eq!((past.verdict, past.findings.len()), (Fail, 1), "{pitch} deg");
    }
}

#[test]
fn silent_where_the_member_is_missed_but_not_the_tape() {
    silent(&shed(&[], &moved("S-B04.L04", 21.0, 0.0)), NAME, "landing-not-backed");
}
