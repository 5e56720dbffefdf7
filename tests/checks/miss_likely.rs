//! `miss-likely`. One fastener in a rafter 40 wide: 20 - 1.5 = 18.5 to either side. With a deviation of 5 that is 3.7
//! deviations: P = 2 (1 - Phi(3.7)) = 2 (1 - 0.99989220) = 0.0002156 (Abramowitz and Stegun, table 26.1, from memory).

use airlath::check::Verdict::{NotChecked, Warn};

use crate::checks::small::*;

const NAME: &str = "miss-likely";

fn limit(percent: f64, more: &str) -> String {
    let table = format!(
        "[tolerance]\nmeaning = \"1 sigma\"\nrafter = \"5 mm\"\nbow = \"0 mm\"\nline = \"0 mm\"\ndrive = \"0 mm\"\ntilt = \"0 \
         deg\"\nmiss = \"{percent} %\"\n"
    );
    shed(&[("spread = \"50 mm\"", "spread = \"50 mm\"\nper_landing = 1")], &(table + more))
}

#[test]
fn the_chance_by_a_ten_thousandth_of_a_percent() {
    passes(&limit(0.0217, ""), NAME);
    passes(&limit(0.02157, ""), NAME);
    for percent in [0.02155, 0.001] {
        let seen = seen(&limit(percent, ""), NAME);
        assert_eq!((seen.verdict, seen.findings.len()), (Warn, 25));
        let f = &seen.findings[0];
        assert_eq!(f.parts, ["S-B01.L01"]);
        assert!((f.evidence[0].found.value() - 0.000_215_6).abs() < 5e-8, "{:?}", f.evidence);
        assert!((f.evidence[0].limit.unwrap().value() - percent / 100.0).abs() < 1e-12);
        assert!(f.message.contains("0.022 %"), "{}", f.message);
    }
}

#[test]
fn a_landing_nearer_to_a_side_is_likelier_to_miss() {
    // 10 off the middle: 8.5 to one side, 1.7 deviations: 1 - Phi(1.7) = 0.044565.
    let seen = seen(&limit(1.0, &moved("S-B02.L03", 10.0, 0.0)), NAME);
    assert_eq!(seen.findings.len(), 1);
    assert!((seen.findings[0].evidence[0].found.value() - 0.044_565).abs() < 1e-6);
}

#[test]
fn silent_without_tolerances_and_where_nothing_backs_the_landing_anyway() {
    let unasked = seen(&shed(&[], ""), NAME);
    assert!(unasked.verdict == NotChecked && unasked.findings.is_empty());
    silent(&limit(1.0, MISSING), NAME, "landing-not-backed");
}
