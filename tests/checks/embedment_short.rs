//! `embedment-short`. Asked: 10 diameters, 30.

use airlath::check::Verdict::Fail;

use crate::checks::small::*;

const NAME: &str = "embedment-short";

fn with_length(mm: f64) -> String {
    shed(&[("length = \"80 mm\"", &format!("length = \"{mm} mm\""))], "")
}

/// p = L - batten - strip - tape - membrane - deck = L - 20 - 10 - 1 - 1 - 12 = L - 44; 74 is just enough.
#[test]
fn the_chain_from_head_to_tip() {
    passes(&with_length(74.0), NAME);
    passes(&with_length(74.1), NAME);
    let seen = seen(&with_length(73.9), NAME);
    assert_eq!((seen.verdict, seen.findings.len()), (Fail, 25));
    for (i, f) in seen.findings.iter().enumerate() {
        let (course, line) = (i / 5, i % 5);
        let (landing, rafter) = (landing(course + 1, line + 1), format!("S-R{:02}", line + 1));
        let at = [RAFTERS[line], COURSES[course], TOP];
        says(f, Fail, &[&landing, &rafter], Some(at), &[("embedment", 29.9, Some(30.0))]);
    }
    // 73.9 + 30 - 29.9 = 74, rounded up to whole 5 mm: 75.
    assert_eq!(seen.findings[0].mends[0].change.text(), "fastening.length = \"75 mm\"");
}

/// Of an I-joist the length inside the top flange counts, however long the fastener.
#[test]
fn of_an_i_joist_the_flange_counts() {
    let flange = |mm: f64| {
        let joist = format!("{{ width = \"60 mm\", depth = \"200 mm\", flange = \"{mm} mm\", web = \"10 mm\" }}");
        shed(&[("{ width = \"40 mm\", depth = \"200 mm\" }", &joist)], "")
    };
    passes(&flange(30.1), NAME);
    let seen = seen(&flange(29.9), NAME);
    assert_eq!((seen.verdict, seen.findings.len()), (Fail, 25));
    let first = [RAFTERS[0], COURSES[0], TOP];
    says(&seen.findings[0], Fail, &["S-B01.L01", "S-R01"], Some(first), &[("embedment", 29.9, Some(30.0))]);
    // A longer fastener does not help; a flange as deep as the tip (80 - 44 = 36, bought in fives) does.
    let mends: Vec<String> = seen.findings[0].mends.iter().map(|m| m.change.text()).collect();
    let flange = "rafters[1].section = { width = \"60 mm\", depth = \"200 mm\", flange = \"40 mm\", web = \"10 mm\" }";
    assert_eq!(mends, [flange]);
}

/// A limit that the design states holds instead of 10 diameters.
#[test]
fn a_stated_limit_holds() {
    let limits = |mm: f64| shed(&[("run = \"600 mm\"", &format!("run = \"600 mm\"\nembedment = \"{mm} mm\""))], "");
    passes(&limits(36.0), NAME);
    let seen = seen(&limits(36.1), NAME);
    assert_eq!(seen.findings.len(), 25);
    let first = [RAFTERS[0], COURSES[0], TOP];
    says(&seen.findings[0], Fail, &["S-B01.L01", "S-R01"], Some(first), &[("embedment", 36.0, Some(36.1))]);
}

#[test]
fn silent_where_a_shank_breaks_out_or_meets_nothing() {
    silent(&shed(&[], &moved("S-B02.L03", 18.6, 0.0)), NAME, "landing-not-backed");
    silent(&shed(&[], MISSING), NAME, "landing-not-backed");
}
