//! `clash`. Overlaps of more than ten micrometres.

use airlath::check::Finding;
use airlath::check::Verdict::Fail;

use crate::checks::small::*;

const NAME: &str = "clash";

/// A block at y = 1000 from `x` to the left side (1200) of the third rafter. The second one's right side is at 640.
fn block_from(mm: f64) -> String {
    let block = format!(
        "[[member]]\nkind = \"block\"\nslope = \"S\"\nsection = {{ width = \"40 mm\", depth = \"100 mm\" }}\nfrom = [\"{mm} \
         mm\", \"1000 mm\"]\nto = [\"1200 mm\", \"1000 mm\"]\n"
    );
    shed(&[], &block)
}

#[test]
fn a_block_that_touches_is_no_clash() {
    passes(&block_from(640.1), NAME);
    passes(&block_from(640.0), NAME);
    passes(&block_from(639.995), NAME);
    for overlap in [0.015, 0.1] {
        let seen = seen(&block_from(640.0 - overlap), NAME);
        assert_eq!((seen.verdict, seen.findings.len()), (Fail, 1), "{overlap}");
        // The middle of what both fill: block and rafter start 13 below the membrane, the block is 100 deep.
        let at = [640.0 - overlap / 2.0, 1000.0, -63.0];
        says(&seen.findings[0], Fail, &["S-R02", "S-BK01"], Some(at), &[("overlap", overlap, Some(0.01))]);
    }
}

/// Heads are 6 across, twice the shank.
#[test]
fn heads_of_two_fasteners_by_a_tenth() {
    let spread = |mm: f64| shed(&[("spread = \"50 mm\"", &format!("spread = \"{mm} mm\""))], "");
    passes(&spread(6.0), NAME);
    passes(&spread(6.1), NAME);
    let seen = seen(&spread(5.9), NAME);
    assert_eq!((seen.verdict, seen.findings.len()), (Fail, 25));
    let at = [20.0, 50.0, TOP];
    let evidence = [("between two axes", 5.9, Some(6.0))];
    says(&seen.findings[0], Fail, &["S-B01.L01", "S-B01.L01"], Some(at), &evidence);
}

/// The upper fastener stands 25 above the batten's middle, whose edge is 50 from it: up by 50 - 25 - 1.5 = 23.5 at most.
#[test]
fn a_fastener_out_of_its_batten_by_a_tenth() {
    passes(&shed(&[], &moved("S-B02.L03", 0.0, 23.4)), NAME);
    let seen = seen(&shed(&[], &moved("S-B02.L03", 0.0, 23.6)), NAME);
    assert_eq!((seen.verdict, seen.findings.len()), (Fail, 1));
    let at = [1220.0, 473.6, TOP];
    says(&seen.findings[0], Fail, &["S-B02.L03", "S-B02.1"], Some(at), &[("outside the batten", 0.1, Some(0.01))]);
}

/// A landing of its own on a block under the lowest course, 0 to 100 up the slope: the vent piece lies from 0 to 40, so its
/// short strip begins there. Its tape runs on under the vent piece.
#[test]
fn a_short_strip_gives_way_to_a_vent_piece() {
    let block = "[[member]]\nkind = \"block\"\nslope = \"S\"\nsection = { width = \"100 mm\", depth = \"100 mm\" }\nfrom = \
                 [\"640 mm\", \"50 mm\"]\nto = [\"1200 mm\", \"50 mm\"]\n[[landing]]\ncourse = \"S-B01\"\nx = \"900 mm\"\n";
    let text = shed(&[], block);
    passes(&text, NAME);
    passes(&text, "landing-not-backed");
    let plan = crate::common::plans::plan(&text);
    let slope = &plan.lattice.slopes[0];
    let strip: Vec<f64> =
        slope.strips.iter().filter(|s| s.line.is_none()).flat_map(|s| s.path.iter().map(|p| p.0)).collect();
    let tape: Vec<f64> =
        slope.tapes.iter().filter(|t| t.line.is_none()).flat_map(|t| t.path.iter().map(|p| p.0)).collect();
    for (found, hand) in [(&strip, [0.04, 0.1]), (&tape, [0.0, 0.1])] {
        assert_eq!(found.len(), 2);
        assert!(found.iter().zip(hand).all(|(f, h)| (f - h).abs() < 1e-9), "{found:?}, by hand {hand:?}");
    }
}

/// Two skylights 5 in from each other: one framing course below and one above reach past both. Without that rule two would
/// lie in one another, and their nails on the rafter in between as well.
#[test]
fn neighbouring_openings_share_their_courses() {
    let text = include_str!("../roofs/two-skylights.toml");
    passes(text, NAME);
    let plan = crate::common::plans::plan(text);
    let slope = &plan.lattice.slopes[0];
    let partial: Vec<&str> =
        slope.courses.iter().map(|c| c.name.as_str()).filter(|n| n.ends_with(char::is_alphabetic)).collect();
    assert_eq!(partial.len(), 2, "{partial:?}");
    // From the skylights' outer sides, 72 and 137 in, a board reaches to the rafters beyond them.
    for (k, course) in slope.courses.iter().enumerate().filter(|(_, c)| partial.contains(&c.name.as_str())) {
        let x: Vec<(f64, f64)> = slope.pieces_of(k).iter().map(|p| p.x).collect();
        assert!(x[0].0 < 72.0 * 0.0254 && x[x.len() - 1].1 > 137.0 * 0.0254, "{}: {x:?}", course.name);
    }
}

/// Courses 104 apart, of boards 100 wide: the upper nail of one stands 2 x 25 below the lower one of the next, 54 apart;
/// with 98 between the two of a landing it is 104 - 98 = 6 apart, a head's width.
#[test]
fn heads_of_neighbouring_courses() {
    let near = |spread: f64| {
        let changes = [
            ("spacing = \"400 mm\"", "spacing = \"104 mm\""),
            ("spread = \"50 mm\"", &*format!("spread = \"{spread} mm\"")),
            ("tape_margin = \"6 mm\"", "tape_margin = \"6 mm\"\nedge_distance = \"0.5 mm\""),
        ];
        let heads = |f: &&airlath::check::Finding| f.message.starts_with("heads of fasteners");
        seen(&shed(&changes, ""), NAME).findings.iter().filter(heads).count()
    };
    assert_eq!(near(97.9), 0);
    assert!(near(98.1) > 0);
}

#[test]
fn silent_where_nothing_is_in_one_place_but_much_is_missing() {
    silent(&shed(&[], MISSING), NAME, "landing-not-backed");
    silent(&shed(&[], &moved("S-B02.L03", 40.0, 0.0)), NAME, "off-tape");
}

/// A gable at 45 degrees. By symmetry a fastener `d` below the ridge crosses the plane of the ridge where the one of the
/// other slope does, if both are long enough: at a depth of `d` below the membrane.
fn gable(length: &str, deck: &str) -> String {
    format!(
        "format = 1\nname = \"Steep (invented)\"\nunits = \"millimetres\"\n[roof]\nshape = \"gable\"\neave = \"2440 mm\"\nwidth = \
         \"2400 mm\"\npitch = \"45 deg\"\n[[rafters]]\nsection = {{ width = \"40 mm\", depth = \"200 mm\" }}\nspacing = \"600 \
         mm\"\nfirst = \"20 mm\"\nlast = \"2420 mm\"\nclose = true\n[deck]\nthickness = \"{deck}\"\n[lattice]\nvent = {{ width = \
         \"20 mm\" }}\nbatten = {{ width = \"40 mm\", thickness = \"20 mm\", spacing = \"400 mm\", last = \"60 mm\", stock = [\"3000 \
         mm\"] }}\n[fastening]\ndiameter = \"3 mm\"\nlength = \"{length}\"\nper_landing = 1\n[limits]\nembedment = \"10 mm\"\n"
    )
}

fn across(text: &str) -> Vec<String> {
    let seen = seen(text, NAME);
    seen.findings.iter().map(|f| f.message.clone()).filter(|m| m.contains("of another slope")).collect()
}

#[test]
fn fasteners_of_two_slopes_that_meet_under_the_ridge() {
    // Fasteners 60 below the ridge are 60 deep where they cross it; less than 35 of each stand above the membrane.
    assert_eq!(across(&gable("60 mm", "12 mm")), Vec::<String>::new());
    let met = across(&gable("120 mm", "12 mm"));
    assert_eq!(met.len(), 5, "{met:?}");
    for line in &met {
        assert!(line.contains("meets fastener 1 of N-"), "{line}");
    }
}

#[test]
fn a_fastener_in_the_deck_of_the_other_slope() {
    let met = across(&gable("120 mm", "80 mm"));
    assert!(met.iter().filter(|m| m.contains("meets N-DK") || m.contains("meets S-DK")).count() == 10, "{met:?}");
}

/// Straps 30 wide along each rafter; a second field of straps beside them, its nails in the first ones' steel.
#[test]
fn a_straps_nail_in_another_strap() {
    let strap = |shift: f64, stagger: f64| {
        format!(
            "[[straps]]\nalong = \"rafter\"\nshift = \"{shift} mm\"\nwidth = \"30 mm\"\nthickness = \"1 mm\"\nlow = \"600 \
             mm\"\nhigh = \"750 mm\"\nseam = \"690 mm\"\ngap = \"10 mm\"\nnails = {{ diameter = \"3 mm\", length = \"30 mm\", \
             spacing = \"40 mm\", end = \"10 mm\", stagger = \"{stagger} mm\" }}\n"
        )
    };
    // The second field's steel begins where the first's ends. Nails 13.6 to the left of its middle stand 1.4 inside: a
    // tenth of their radius of 1.5 is in the first one's steel.
    passes(&shed(&[], &(strap(60.0, 0.0) + &strap(90.0, 13.4))), NAME);
    let seen = seen(&shed(&[], &(strap(60.0, 0.0) + &strap(90.0, 13.6))), NAME);
    assert_eq!(seen.findings.len(), 5, "{:?}", seen.findings.iter().map(|f| &f.message).collect::<Vec<_>>());
    assert!(seen.findings.iter().all(|f| f.message.contains("of strap") && f.message.contains("meets strap")));
    assert!((seen.findings[0].evidence[0].found.value() - 0.1e-3).abs() < 1e-9);
}

/// Boards that lap, courses at 1110 and 1410: the second row of the lower one lies above it at 1210, that of the upper one below it
/// at 1310, as a hold-back of 41 asks. Nails 95 apart stand at 1257.5 and 1262.5, 5 from one another where heads of 6 meet; 94 apart they are 6 from one another and touch.
#[test]
fn heads_of_the_second_rows_of_two_courses_are_compared() {
    let roof = |spread: &str| {
        let changes = [
            ("joint = \"butt\"", "joint = \"lap\""),
            ("\"3000 mm\"", "\"1600 mm\""),
            ("spacing = \"400 mm\", first = \"50 mm\"", "spacing = \"300 mm\", first = \"210 mm\""),
            ("last = \"100 mm\"", "last = \"190 mm\""),
            ("spread = \"50 mm\"", spread),
            ("tape_margin = \"6 mm\"", "tape_margin = \"6 mm\"\nbatten_edge = \"2.5 mm\""),
        ];
        shed(&changes, "[[edge]]\nedge = \"S.3\"\nhold_back = \"41 mm\"\n")
    };
    let meets = |spread: &str| {
        let told = seen(&roof(spread), NAME).findings;
        let of = |f: &Finding, course: &str| f.parts.iter().any(|p| p.starts_with(course));
        told.into_iter().filter(|f| of(f, "S-B04.") && of(f, "S-B05.")).collect::<Vec<_>>()
    };
    let told = meets("spread = \"95 mm\"");
    assert!(!told.is_empty());
    for f in &told {
        assert!((f.evidence[0].found.value() - 0.005).abs() < 1e-9, "{f:?}");
    }
    assert!(meets("spread = \"94 mm\"").is_empty());
}
