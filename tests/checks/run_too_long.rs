//! `run-too-long`. Limit 600, tolerance 5.

use airlath::check::Verdict::Fail;

use crate::checks::small::*;

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

/// One rafter, at 20. The first joint stands over it, boards of 2380 reach from 21 to 2401, where no line is, and the third
/// piece is 2440 - 2403 = 37 long: no block holds that twice. With 2250 the third piece is 167 long, and one does.
#[test]
fn a_board_too_short_for_two_fasteners_gets_words() {
    for (stock, helps) in [(2380.0, (0, 1)), (2250.0, (1, 0))] {
        let changes = [
            ("last = \"2420 mm\"\nclose = true", "last = \"20 mm\""),
            ("stock = [\"3000 mm\"]", &format!("stock = [\"{stock} mm\"]")),
            ("least_piece = \"600 mm\"", "least_piece = \"10 mm\""),
        ];
        let seen = seen(&shed(&changes, ""), NAME);
        let third: Vec<_> = seen.findings.iter().filter(|f| f.parts[0].ends_with(".3")).collect();
        assert_eq!(third.len(), 5);
        for f in third {
            assert_eq!((f.mends.len(), f.advice.len()), helps, "{}", f.message);
        }
    }
}

#[test]
fn silent_where_an_end_run_is_too_long() {
    silent(&shed(&[("end_run = \"150 mm\"", "end_run = \"10 mm\"")], ""), NAME, "end-run-too-long");
}

/// Without `limits.run` the rule of thumb, 24 in (609.6), may be passed by a hair of 1/32 in (0.79), and past that it warns; the
/// same length written fails past itself.
#[test]
fn a_rule_of_thumb_gives_way_by_a_hair_and_warns() {
    use airlath::check::Verdict::{Fail, Warn};
    let by = |mm: f64, run: &str| {
        let exact = ("hair = \"0 mm\"\ntolerance = \"5 mm\"", "tolerance = \"0 mm\"");
        shed(&[("run = \"600 mm\"\n", run), exact], &moved("S-B02.L02", mm, 0.0))
    };
    passes(&by(10.3, ""), "run-too-long");
    for (mm, run, verdict) in [(10.5, "", Warn), (10.3, "run = \"609.6 mm\"\n", Fail)] {
        let seen = seen(&by(mm, run), "run-too-long");
        assert_eq!((seen.verdict, seen.findings.len()), (verdict, 1), "{mm} {run}");
        assert!((seen.findings[0].evidence[0].found.value() - (600.0 + mm) * 1e-3).abs() < 1e-9);
    }
}
