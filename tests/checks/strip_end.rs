//! `strip-end`. Tolerance 5. As drawn strips run from 0 + 40 to 1600 - 20 - 40 = 1540.

use airlath::check::Verdict::Fail;

use crate::checks::small::*;

const NAME: &str = "strip-end";
const LAID: &str = "[[laid]]\nwhat = [\"strips\"]\n";

fn found(low: f64, high: f64, more: &str) -> String {
    let corners = [(0.0, low), (2440.0, low), (2440.0, high), (0.0, high)];
    let corners: Vec<String> = corners.iter().map(|(x, y)| format!("[\"{x} mm\", \"{y} mm\"]")).collect();
    shed(&[], &format!("[[found.slope]]\nname = \"S\"\noutline = [{}]\n{more}", corners.join(", ")))
}

#[test]
fn the_upper_end_by_a_tenth() {
    passes(&found(0.0, 1605.0, LAID), NAME);
    passes(&found(0.0, 1595.1, LAID), NAME);
    // Strips end at 1540 whatever was found: too short where the slope is longer, too long where it is shorter.
    for (high, how) in [(1605.1, "stops short of"), (1594.9, "runs past")] {
        let seen = seen(&found(0.0, high, LAID), NAME);
        assert_eq!((seen.verdict, seen.findings.len()), (Fail, 5));
        for (i, f) in seen.findings.iter().enumerate() {
            let line = format!("S-L{:02}", i + 1);
            // The strips that end there, then their line.
            assert_eq!(f.parts.last(), Some(&line));
            let strips: Vec<&str> = f.parts.iter().map(String::as_str).filter(|p| *p != line).collect();
            assert!(!strips.is_empty() && strips.iter().all(|s| s.starts_with(&format!("{line}."))), "{:?}", f.parts);
            says(
                f,
                Fail,
                &[&strips[..], &[&line]].concat(),
                Some([RAFTERS[i], 1540.0, 11.0]),
                &[("off by", 5.1, Some(5.0))],
            );
            assert!(f.message.contains("upper end") && f.message.contains(how), "{}", f.message);
        }
    }
}

#[test]
fn the_lower_end_by_a_tenth() {
    passes(&found(4.9, 1600.0, LAID), NAME);
    let seen = seen(&found(5.1, 1600.0, LAID), NAME);
    assert_eq!((seen.verdict, seen.findings.len()), (Fail, 5));
    says(&seen.findings[0], Fail, &["S-L01.s01", "S-L01"], Some([20.0, 40.0, 11.0]), &[("off by", 5.1, Some(5.0))]);
    assert!(seen.findings[0].message.contains("lower end") && seen.findings[0].message.contains("runs past"));
}

/// An opening drawn over the third line and found over none: that line's strips were laid in two stretches.
#[test]
fn stretches_that_nobody_asked_for() {
    let opening =
        |x: f64| format!("name = \"hatch\"\nat = [\"{x} mm\", \"600 mm\"]\nsize = [\"300 mm\", \"200 mm\"]\n");
    let drawn = format!("[[opening]]\n{}", opening(1100.0));
    passes(&shed(&[], &format!("{drawn}{LAID}")), NAME);
    let seen = seen(&shed(&[], &format!("{drawn}[[found.opening]]\n{}{LAID}", opening(700.0))), NAME);
    assert_eq!((seen.verdict, seen.findings.len()), (Fail, 1));
    says(
        &seen.findings[0],
        Fail,
        &["S-L03.s01", "S-L03.s02", "S-L03"],
        Some([1220.0, 0.0, 11.0]),
        &[("stretches of strips", 2.0, Some(1.0))],
    );
}

/// Strips that are not yet laid follow what was found, whatever else is wrong.
#[test]
fn silent_where_strips_are_not_laid() {
    silent(&found(0.0, 1650.0, MISSING), NAME, "landing-not-backed");
}
