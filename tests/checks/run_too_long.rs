//! `run-too-long`. Limit 600, tolerance 5.

use airlath::check::Verdict::Fail;

use crate::small::*;

const NAME: &str = "run-too-long";

fn third_rafter_off(mm: f64) -> String {
    shed(&[], &format!("[[found.member]]\nname = \"S-R03\"\noffsets = [{{ at = \"0 mm\", off = \"{mm} mm\" }}]\n"))
}

/// A rafter found 5.1 to the right makes a run of 1225.1 - 620 = 605.1 to its left.
#[test]
fn a_tenth_past_limit_and_tolerance() {
    passes(&third_rafter_off(4.9), NAME);
    passes(&third_rafter_off(5.0), NAME);
    let seen = seen(&third_rafter_off(5.1), NAME);
    assert_eq!((seen.verdict, seen.findings.len()), (Fail, 5));
    for (i, f) in seen.findings.iter().enumerate() {
        let (piece, a, b) = (format!("S-B{:02}.1", i + 1), landing(i + 1, 2), landing(i + 1, 3));
        let at = [(620.0 + 1225.1) / 2.0, COURSES[i], TOP];
        says(f, Fail, &[&piece, &a, &b], Some(at), &[("run", 605.1, Some(600.0))]);
    }
}

/// Landings that are not backed do not count: without the third rafter 1820 - 620 = 1200 is the run.
#[test]
fn a_landing_that_is_not_backed_does_not_count() {
    let seen = seen(&shed(&[], MISSING), NAME);
    assert_eq!(seen.findings.len(), 5);
    let at = [1220.0, 50.0, TOP];
    says(&seen.findings[0], Fail, &["S-B01.1", "S-B01.L02", "S-B01.L04"], Some(at), &[("run", 1200.0, Some(600.0))]);
}

/// With two backed landings a piece is held, with one it is not, however long a run may be.
#[test]
fn a_piece_is_held_twice() {
    let without = |numbers: &[usize]| {
        let gone = |n: &usize| format!("[[found.member]]\nname = \"S-R{n:02}\"\nmissing = true\n");
        shed(&[("run = \"600 mm\"", "run = \"2400 mm\"")], &numbers.iter().map(gone).collect::<String>())
    };
    passes(&without(&[2, 3, 4]), NAME);
    for (gone, left) in [(&[1, 2, 4, 5][..], 1.0), (&[1, 2, 3, 4, 5][..], 0.0)] {
        let seen = seen(&without(gone), NAME);
        assert_eq!((seen.verdict, seen.findings.len()), (Fail, 5));
        let at = [1220.0, 50.0, TOP];
        says(&seen.findings[0], Fail, &["S-B01.1"], Some(at), &[("backed landings", left, Some(2.0))]);
    }
}

/// Boards of 2430 reach to the fifth rafter at 2420, where they meet a piece of 2440 - 2421 = 19: no block holds that twice.
#[test]
fn a_board_too_short_for_two_fasteners_gets_words() {
    let short =
        [("stock = [\"3000 mm\"]", "stock = [\"2430 mm\"]"), ("least_piece = \"600 mm\"", "least_piece = \"10 mm\"")];
    let seen = seen(&shed(&short, ""), NAME);
    let second = |f: &&airlath::check::Finding| f.parts[0].ends_with(".2");
    assert_eq!(seen.findings.iter().filter(second).count(), 5);
    for f in seen.findings.iter().filter(second) {
        assert_eq!((f.mends.len(), f.advice.len()), (0, 1), "{}", f.message);
    }
}

#[test]
fn silent_where_an_end_run_is_too_long() {
    silent(&shed(&[("end_run = \"150 mm\"", "end_run = \"10 mm\"")], ""), NAME, "end-run-too-long");
}
