//! `landing-not-backed`.

use airlath::check::Verdict::Fail;

use crate::checks::small::*;
use crate::common::plans::plan;

const NAME: &str = "landing-not-backed";
const SIDE: &str = "from the shank's axis to the member's side";
const NOTHING: (&str, f64, Option<f64>) = ("length inside a member", 0.0, Some(30.0));
const NEAREST: &str = "from the shank's axis to the nearest member";
const INSIDE: &str = "length inside the member";

/// Above the missing rafter (middle 1220) the nearest sides are those of its neighbours: 1220 - 640 = 580 to the left, as
/// much to the right; of equals the first member is named.
#[test]
fn a_missing_rafter_fails_at_every_course() {
    let seen = seen(&shed(&[], MISSING), NAME);
    assert_eq!((seen.verdict, seen.findings.len()), (Fail, 5));
    for (i, f) in seen.findings.iter().enumerate() {
        let (landing, piece) = (landing(i + 1, 3), format!("S-B{:02}.1", i + 1));
        says(f, Fail, &[&landing, &piece], Some([1220.0, COURSES[i], TOP]), &[NOTHING, (NEAREST, 580.0, None)]);
    }
}

/// The rafter's side is 20 from its middle, the shank's radius 1.5: 18.5 off the middle is the most.
#[test]
fn a_shank_may_come_as_near_to_the_side_as_its_radius() {
    for inside in [18.4, 18.5, -18.4] {
        passes(&shed(&[], &moved("S-B02.L03", inside, 0.0)), NAME);
    }
    for outside in [18.6, -18.6] {
        let seen = seen(&shed(&[], &moved("S-B02.L03", outside, 0.0)), NAME);
        assert_eq!((seen.verdict, seen.findings.len()), (Fail, 1));
        // 20 - 18.6 = 1.4 is left beside the axis, the radius of 1.5 is asked; the shank is 36 deep all the same.
        let evidence = [(SIDE, 1.4, Some(1.5)), (INSIDE, 36.0, None)];
        let parts = ["S-B02.L03", "S-B02.1", "S-R03"];
        says(&seen.findings[0], Fail, &parts, Some([1220.0 + outside, 450.0, TOP]), &evidence);
    }
}

/// Between rafters there is deck alone. The fasteners of such a landing stand side by side, 25 to each side of x = 900:
/// the left one, at 875, is 875 - 640 = 235 from the rafter.
#[test]
fn a_deck_backs_nothing() {
    let seen = seen(&shed(&[], "[[landing]]\ncourse = \"S-B02\"\nx = \"900 mm\"\n"), NAME);
    assert_eq!((seen.verdict, seen.findings.len()), (Fail, 1));
    let parts = ["S-B02.P01", "S-B02.1"];
    says(&seen.findings[0], Fail, &parts, Some([900.0, 450.0, TOP]), &[NOTHING, (NEAREST, 235.0, None)]);
}

/// A block under that landing: its end must lie 1.5 past the right axis at 925.
#[test]
fn a_block_that_ends_under_the_shank_backs_it_not() {
    let with_block_to = |x: f64| {
        let block = "[[landing]]\ncourse = \"S-B02\"\nx = \"900 mm\"\n[[member]]\nkind = \"block\"\nslope = \"S\"\n\
                     section = { width = \"40 mm\", depth = \"100 mm\" }\nfrom = [\"640 mm\", \"450 mm\"]\n";
        shed(&[], &format!("{block}to = [\"{x} mm\", \"450 mm\"]\n"))
    };
    passes(&with_block_to(926.6), NAME);
    let seen = seen(&with_block_to(926.4), NAME);
    assert_eq!(seen.findings.len(), 1);
    let evidence = [(SIDE, 1.4, Some(1.5)), (INSIDE, 36.0, None)];
    let parts = ["S-B02.P01", "S-B02.1", "S-BK01"];
    says(&seen.findings[0], Fail, &parts, Some([900.0, 450.0, TOP]), &evidence);
}

/// A block whose upper face lies below the tip: 36 deep is the tip, the block starts 36.1 below the framing's plane. The
/// member named is the one that the fastener ends above, not one far to the side.
#[test]
fn a_fastener_that_ends_above_a_block_is_told_so() {
    let block = |drop: f64| {
        format!(
            "[[landing]]\ncourse = \"S-B02\"\nx = \"900 mm\"\n[[member]]\nkind = \"block\"\nslope = \"S\"\ndrop = \"{drop} \
             mm\"\nsection = {{ width = \"40 mm\", depth = \"100 mm\" }}\nfrom = [\"640 mm\", \"450 mm\"]\nto = [\"1200 \
             mm\", \"450 mm\"]\n"
        )
    };
    passes(&shed(&[], &block(35.9)), NAME);
    let seen = seen(&shed(&[], &block(36.1)), NAME);
    assert_eq!((seen.verdict, seen.findings.len()), (Fail, 1));
    assert_eq!(seen.findings[0].parts, ["S-B02.P01", "S-B02.1", "S-BK01"], "{}", seen.findings[0].message);
}

#[test]
fn silent_where_a_fastener_is_only_not_deep_enough() {
    silent(&shed(&[("length = \"80 mm\"", "length = \"70 mm\"")], ""), NAME, "embedment-short");
}

/// Side by side, 50 apart, both stand 25 from the middle of a rafter that is 40 wide. One above the other they hold, and at
/// the left end none stands beside its batten any more.
#[test]
fn fasteners_side_by_side_go_one_above_the_other() {
    let across = ("spread = \"50 mm\"", "spread = \"50 mm\"\npattern = \"across\"");
    let text = shed(&[across], "");
    for (check, count) in [(NAME, 25), ("clash", 10)] {
        let seen = seen(&text, check);
        assert_eq!((seen.verdict, seen.findings.len()), (Fail, count), "{check}");
        for f in &seen.findings {
            let said: Vec<String> = f.mends.iter().map(|m| m.change.text()).collect();
            assert_eq!(said, ["fastening.pattern = \"up\""], "{}", f.message);
            passes(&f.mends[0].change.applied(&text).expect("it applies"), check);
        }
    }
    // 14 apart they stand 13 from the sides, where 13.5 are asked; 20 - 7 = 13.
    let near = [
        ("spread = \"50 mm\"", "spread = \"14 mm\"\npattern = \"across\""),
        ("tape_margin = \"6 mm\"", "tape_margin = \"6 mm\"\nedge_distance = \"13.5 mm\""),
    ];
    let text = shed(&near, "");
    let seen = seen(&text, "near-member-side");
    assert_eq!(seen.findings.len(), 25);
    for f in &seen.findings {
        passes(&f.mends[0].change.applied(&text).expect("it applies"), "near-member-side");
    }
}

/// A landing between two rafters, with nails too short for a block: what is not yet driven is not left in.
#[test]
fn only_what_is_driven_is_left_in() {
    let short = ("length = \"80 mm\"", "length = \"35 mm\"");
    let said = |more: &str| -> Vec<String> {
        let between = "[[landing]]\ncourse = \"S-B02\"\nx = \"900 mm\"\n";
        let findings = seen(&shed(&[short], &format!("{between}{more}")), NAME).findings;
        findings.into_iter().filter(|f| f.mends.is_empty()).flat_map(|f| f.advice).collect()
    };
    let (planned, driven) = (said(""), said("[[laid]]\nwhat = [\"fasteners\"]\n"));
    assert!(!planned.is_empty() && planned.iter().all(|a| !a.contains("leave the fastener")), "{planned:?}");
    assert!(!driven.is_empty() && driven.iter().all(|a| a.contains("leave the fastener")), "{driven:?}");
}

/// An opening from 690 to 1130, trimmed, and battens that end 25 before it, at 665: the trimmer to its left shares its line
/// with the rafter at 620. Of equal width the rafter takes every course; a wider trimmer, whose middle lies at 667.5, takes those
/// that pass it, and the rafter the one that ends before it.
#[test]
fn a_board_is_fastened_to_a_member_that_it_reaches() {
    for (width, passing) in [("40 mm", 620.0), ("45 mm", 667.5)] {
        let changes = [("hold_back = {", "opening = { clearance = \"25 mm\" }\nhold_back = {")];
        let trimmed = format!(
            "[[opening]]\nname = \"hatch\"\nat = [\"690 mm\", \"650 mm\"]\nsize = [\"440 mm\", \"350 mm\"]\n\
             [[trim]]\nopening = \"hatch\"\nsection = {{ width = \"{width}\", depth = \"200 mm\" }}\n"
        );
        let text = shed(&changes, &trimmed);
        passes(&text, NAME);
        let plan = plan(&text);
        let context = plan.context();
        let on = &context.slopes[0];
        let of = |name: &str| on.lattice.landings.iter().find(|l| context.landing_name(on, l) == name).unwrap();
        for (course, x) in [("S-B02", passing), ("S-B03", 620.0), ("S-B04", passing)] {
            assert!((of(&format!("{course}.L02")).x - x * 1e-3).abs() < 1e-9, "{width} {course}");
        }
    }
}
