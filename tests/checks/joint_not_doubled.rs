//! `joint-not-doubled`.
//!
//! Boards of 1800 reach to 1801. With a second rafter at 1260 the joint of each of five courses stands at 1240, over both;
//! without it at 1220, over one.

use airlath::check::Verdict::Warn;

use crate::checks::small::*;

const NAME: &str = "joint-not-doubled";
const ASKED: [(&str, &str); 2] =
    [("stock = [\"3000 mm\"]", "stock = [\"1800 mm\"]"), ("joint = \"butt\"", "joint = \"doubled\"")];

/// A second rafter, 40 wide, with its middle at this x.
fn second(x: f64) -> String {
    format!(
        "[[member]]\nkind = \"rafter\"\nslope = \"S\"\nsection = {{ width = \"40 mm\", depth = \"200 mm\" }}\n\
         from = [\"{x} mm\", \"0 mm\"]\nto = [\"{x} mm\", \"1600 mm\"]\n"
    )
}

/// Side by side is less than 6 apart, as found: the middles 1220 and 1265.9 leave 5.9 between two of 40, 1266.1 leave 6.1.
#[test]
fn over_two_members_it_passes() {
    passes(&shed(&ASKED, &second(1260.0)), NAME);
    passes(&shed(&ASKED, &second(1265.9)), NAME);
    assert_eq!(seen(&shed(&ASKED, &second(1266.1)), NAME).findings.len(), 1);
}

#[test]
fn over_one_it_is_told_once() {
    let seen = seen(&shed(&ASKED, ""), NAME);
    assert_eq!((seen.verdict, seen.findings.len()), (Warn, 1));
    let at = [1220.0, 50.0, TOP];
    let evidence = [("joints over one member", 5.0, Some(0.0))];
    says(&seen.findings[0], Warn, &["S-B01.1", "S-B01.2", "S-L03"], Some(at), &evidence);
}

/// A doubled rafter within reach of one stretch alone: 600 long, it lies under the courses at 50 and 450 only.
#[test]
fn only_the_joints_over_one_count() {
    let short = second(1260.0).replace("1600 mm", "600 mm");
    let seen = seen(&shed(&ASKED, &short), NAME);
    says(
        &seen.findings[0],
        Warn,
        &["S-B03.1", "S-B03.2", "S-L03"],
        Some([1220.0, 850.0, TOP]),
        &[("joints over one member", 3.0, Some(0.0))],
    );
}

/// What is proposed is asked for in the design, and the finding goes.
#[test]
fn what_is_proposed_settles_it() {
    let text = shed(&ASKED, "");
    let mends = seen(&text, NAME).findings[0].mends.clone();
    assert_eq!(mends.len(), 1);
    passes(&mends[0].change.applied(&text).expect("it applies"), NAME);
}

#[test]
fn silent_where_nobody_asks_for_it() {
    let end = ("end_distance = \"15 mm\"", "end_distance = \"60 mm\"");
    silent(&shed(&[ASKED[0], end], ""), NAME, "end-distance-short");
}
