//! `near-member-side`. Asked: 2.5 diameters, 7.5.

use airlath::check::Verdict::Warn;

use crate::checks::small::*;

const NAME: &str = "near-member-side";
const SIDE: &str = "from the shank's axis to the member's side";

/// 20 - 7.5 = 12.5 off the middle is the most.
#[test]
fn off_the_middle_by_a_tenth_too_much() {
    for inside in [12.4, 12.5, -12.4] {
        passes(&shed(&[], &moved("S-B03.L02", inside, 0.0)), NAME);
    }
    for outside in [12.6, -12.6] {
        let seen = seen(&shed(&[], &moved("S-B03.L02", outside, 0.0)), NAME);
        assert_eq!((seen.verdict, seen.findings.len()), (Warn, 1));
        let at = [620.0 + outside, 850.0, TOP];
        says(&seen.findings[0], Warn, &["S-B03.L02", "S-R02"], Some(at), &[(SIDE, 7.4, Some(7.5))]);
    }
}

/// The upper fasteners of the last course stand at 1525; rafters that end square at 1532.4 leave 7.4.
#[test]
fn a_members_end_counts_like_its_side() {
    let ending_at = |mm: f64| shed(&[("close = true", &format!("close = true\nhigh = \"{mm} mm\""))], "");
    passes(&ending_at(1532.5), NAME);
    passes(&ending_at(1532.6), NAME);
    let seen = seen(&ending_at(1532.4), NAME);
    assert_eq!((seen.verdict, seen.findings.len()), (Warn, 5));
    for (i, f) in seen.findings.iter().enumerate() {
        let (landing, rafter) = (landing(5, i + 1), format!("S-R{:02}", i + 1));
        says(f, Warn, &[&landing, &rafter], Some([RAFTERS[i], 1500.0, TOP]), &[(SIDE, 7.4, Some(7.5))]);
        assert!(f.message.starts_with("fastener 2 of"), "{}", f.message);
    }
}

#[test]
fn silent_where_the_shank_breaks_out() {
    silent(&shed(&[], &moved("S-B03.L02", 18.6, 0.0)), NAME, "landing-not-backed");
    // 20 from the board's end is near for the board, not for the rafter.
    silent(&shed(&[("end_distance = \"15 mm\"", "end_distance = \"25 mm\"")], ""), NAME, "end-distance-short");
}

/// The rule of thumb, 2.5 times 3 = 7.5, gives way by a hair of 1/32 in (0.79); written, it does not. Wood that is not there
/// is no rule of thumb: a hair changes nothing about `landing-not-backed`.
#[test]
fn a_rule_of_thumb_gives_way_by_a_hair() {
    let by = |mm: f64, limits: &str| shed(&[("hair = \"0 mm\"\n", limits)], &moved("S-B02.L02", mm, 0.0));
    passes(&by(13.2, ""), "near-member-side");
    assert_eq!(seen(&by(13.4, ""), "near-member-side").findings.len(), 1);
    assert_eq!(seen(&by(13.2, "edge_distance = \"7.5 mm\"\n"), "near-member-side").findings.len(), 1);
    assert_eq!(seen(&by(13.2, "hair = \"0 mm\"\n"), "near-member-side").findings.len(), 1);
    assert_eq!(seen(&by(18.7, "hair = \"10 mm\"\n"), "landing-not-backed").findings.len(), 1, "it breaks out");
}
