//! `end-run-too-long`. Limit 150, tolerance 5.

use airlath::check::Verdict::Fail;

use crate::checks::small::*;

const NAME: &str = "end-run-too-long";

fn first_rafter_at(mm: f64) -> String {
    shed(&[("first = \"20 mm\"", &format!("first = \"{mm} mm\""))], "")
}

/// Boards start at x = 0, so the first rafter's middle is the end run.
#[test]
fn a_tenth_past_limit_and_tolerance() {
    passes(&first_rafter_at(154.9), NAME);
    passes(&first_rafter_at(155.0), NAME);
    let seen = seen(&first_rafter_at(155.1), NAME);
    assert_eq!((seen.verdict, seen.findings.len()), (Fail, 5));
    for (i, f) in seen.findings.iter().enumerate() {
        let (piece, landing) = (format!("S-B{:02}.1", i + 1), landing(i + 1, 1));
        let at = [155.1 / 2.0, COURSES[i], TOP];
        says(f, Fail, &[&piece, &landing], Some(at), &[("end run", 155.1, Some(150.0))]);
        assert!(f.message.starts_with("the left end of"), "{}", f.message);
    }
}

/// At the right end likewise: 2440 - 2284.9 = 155.1.
#[test]
fn at_the_right_end_too() {
    let last = |mm: f64| shed(&[("last = \"2420 mm\"", &format!("last = \"{mm} mm\""))], "");
    passes(&last(2285.1), NAME);
    let seen = seen(&last(2284.9), NAME);
    assert_eq!((seen.verdict, seen.findings.len()), (Fail, 5));
    let at = [(2284.9 + 2440.0) / 2.0, 50.0, TOP];
    says(&seen.findings[0], Fail, &["S-B01.1", "S-B01.L05"], Some(at), &[("end run", 155.1, Some(150.0))]);
    assert!(seen.findings[0].message.starts_with("the right end of"), "{}", seen.findings[0].message);
}

#[test]
fn silent_where_a_run_is_too_long() {
    silent(&shed(&[], MISSING), NAME, "run-too-long");
}
