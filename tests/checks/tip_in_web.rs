//! `tip-in-web`. Joists 60 wide with flanges 30 thick and a web of 10.

use airlath::check::Verdict::{Fail, Warn};

use crate::checks::small::*;

const NAME: &str = "tip-in-web";

fn joists(length: f64, more: &str) -> String {
    let joist = "{ width = \"60 mm\", depth = \"200 mm\", flange = \"30 mm\", web = \"10 mm\" }";
    let length = format!("length = \"{length} mm\"");
    shed(&[("{ width = \"40 mm\", depth = \"200 mm\" }", joist), ("length = \"80 mm\"", &length)], more)
}

/// 44 of the shank lie above the joist: 74 ends at the flange's underside.
#[test]
fn a_tenth_past_the_flange() {
    passes(&joists(74.0, ""), NAME);
    let seen = seen(&joists(74.1, ""), NAME);
    assert_eq!((seen.verdict, seen.findings.len()), (Fail, 25));
    for (i, f) in seen.findings.iter().enumerate() {
        let (course, line) = (i / 5, i % 5);
        let (landing, rafter) = (landing(course + 1, line + 1), format!("S-R{:02}", line + 1));
        let evidence = [
            ("depth of the tip below the member's upper face", 30.1, Some(30.0)),
            ("length past the wood that holds", 0.1, None),
        ];
        says(f, Fail, &[&landing, &rafter], Some([RAFTERS[line], COURSES[course], TOP]), &evidence);
    }
}

/// The web's side is 5 from the middle, the radius 1.5: from 6.5 off the middle on a shank comes out beside the web.
#[test]
fn beside_the_web_it_is_another_finding() {
    let in_web = seen(&joists(80.0, &moved("S-B03.L02", 6.4, 0.0)), NAME);
    assert_eq!(in_web.findings.len(), 25);
    let beside = joists(80.0, &moved("S-B03.L02", 6.6, 0.0));
    let others = seen(&beside, NAME);
    assert_eq!(others.findings.len(), 24);
    assert!(others.findings.iter().all(|f| f.parts[0] != "S-B03.L02"));
    let out = seen(&beside, "tip-out-of-member");
    assert_eq!((out.verdict, out.findings.len()), (Warn, 1));
    // 80 - 44 = 36 would be the length inside; the flange ends after 30.
    let evidence = [
        ("depth of the tip below the member's upper face", 36.0, Some(30.0)),
        ("length past the wood that holds", 6.0, None),
    ];
    says(&out.findings[0], Warn, &["S-B03.L02", "S-R02"], Some([626.6, 850.0, TOP]), &evidence);
}

#[test]
fn silent_where_a_tip_comes_out_of_solid_lumber() {
    silent(&shed(&[("depth = \"200 mm\"", "depth = \"35.9 mm\"")], ""), NAME, "tip-out-of-member");
}
