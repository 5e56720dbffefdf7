//! Drawn, found, laid: what is laid stays and is checked against what was found; what is not yet laid follows.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "a test stops at the first surprise")]

use std::collections::BTreeSet;

use crate::common::{Run, SHED, edited, run_good};
use airlath::plan::Plan;
use airlath::scene::PartKind;

const LAID: &str = "[[laid]]\nwhat = [\"tape\", \"strips\", \"battens\", \"fasteners\"]\n";
const MOVED: &str = "[found]\n[[found.member]]\nname = \"S-R03\"\noffsets = [{ at = \"0 in\", off = \"1 in\" }]\n";

fn with(more: &[&str]) -> Run {
    run_good(&format!("{SHED}{}", more.concat()))
}

/// All names but those of flags.
fn names(run: &Run) -> BTreeSet<&str> {
    run.parts.iter().filter(|p| p.kind != PartKind::Pin).map(|p| p.name.as_str()).collect()
}

fn not_backed(run: &Run) -> Vec<&str> {
    let mut all = run.first_parts("landing-not-backed");
    all.extend(run.first_parts("joint-not-backed"));
    all
}

/// What the fingerprint stands for: names and coordinates of the lattice.
fn lattice(run: &Run) -> Vec<(&str, &[[i64; 3]])> {
    let of_lattice = |k: PartKind| {
        matches!(k, PartKind::Tape | PartKind::Strip | PartKind::VentPiece | PartKind::Batten | PartKind::Fasteners)
    };
    run.parts.iter().filter(|p| of_lattice(p.kind)).map(|p| (p.name.as_str(), p.corners.as_slice())).collect()
}

#[test]
fn the_plain_shed_has_no_finding_laid_or_not() {
    for more in [&[][..], &[LAID][..]] {
        let run = with(more);
        let said: Vec<_> = run.findings.iter().map(|f| &f.message).collect();
        assert!(said.is_empty(), "{said:?}");
        assert_eq!(run.header.landings, 5 * 5);
    }
}

#[test]
fn laying_by_the_drawing_changes_nothing_while_nothing_else_is_found() {
    let (before, after) = (with(&[]), with(&[LAID]));
    assert_eq!(lattice(&before), lattice(&after));
    assert_eq!(before.header.fingerprint, after.header.fingerprint);
}

#[test]
fn with_everything_laid_a_moved_rafter_is_told_on_its_own_line() {
    let run = with(&[LAID, MOVED]);
    let crossings: Vec<String> = (1..=5).map(|n| format!("S-B{n:02}.L03")).collect();
    assert_eq!(not_backed(&run), crossings);
    for f in &run.findings {
        let first = f.parts[0].as_str();
        match f.check {
            "landing-not-backed" => {
                assert!(f.parts.contains(&"S-R03".to_owned()), "{:?}", f.parts);
                // 1 in off: a quarter inch beyond the side of a 1 1/2 in rafter, seen from the shank's axis.
                let off = f.evidence.iter().find(|e| e.what == "from the shank's axis to the nearest member").unwrap();
                assert!((off.found.value() - 0.25 * 0.0254).abs() < 1e-6, "{:?}", f.evidence);
            }
            // Each board hangs from the line before to the line after.
            "run-too-long" => {
                let course = first.split('.').next().unwrap();
                assert_eq!(f.parts[1..], [format!("{course}.L02"), format!("{course}.L04")]);
            }
            other => panic!("{other}: {}", f.message),
        }
    }
    assert_eq!(run.of("run-too-long").count(), 5);
    // The lattice has not moved.
    assert_eq!(lattice(&run), lattice(&with(&[])));
}

#[test]
fn with_nothing_laid_the_lattice_follows_a_moved_rafter() {
    let (before, after) = (with(&[]), with(&[MOVED]));
    assert_eq!(not_backed(&after), Vec::<&str>::new());
    assert_eq!(after.header.backed, after.header.landings);
    for (b, a) in before.landings.iter().zip(&after.landings) {
        assert_eq!(b.name, a.name);
        let by = if a.on == "S-L03" { 0.0254 } else { 0.0 };
        assert!((a.place.on_slope[0] - b.place.on_slope[0] - by).abs() < 1e-9, "{}", a.name);
    }
    // The only thing to tell: the bay to the left of it has grown by an inch.
    assert_eq!(after.findings.len(), 5);
    for f in &after.findings {
        let course = f.parts[0].split('.').next().unwrap();
        assert_eq!(f.check, "run-too-long", "{}", f.message);
        assert_eq!(f.parts[1..], [format!("{course}.L02"), format!("{course}.L03")]);
        assert!((f.evidence[0].found.value() - 25.0 * 0.0254).abs() < 1e-9, "{:?}", f.evidence);
    }
}

#[test]
fn only_what_is_laid_stays() {
    // Tape and strips are on the roof, battens and fasteners are not: the nails follow the rafter, off the tape's middle.
    let run = with(&["[[laid]]\nwhat = [\"tape\", \"strips\"]\nlines = [\"S-L03\"]\n", MOVED]);
    assert_eq!(not_backed(&run), Vec::<&str>::new());
    let off = run.first_parts("off-tape");
    assert_eq!(off, (1..=5).map(|n| format!("S-B{n:02}.L03")).collect::<Vec<_>>());
}

/// Courses of two boards, the joint over the sixth rafter. Nails on the second line hold the left board of each course, and
/// say nothing of the right one, nor of a slope whose lines are not named.
#[test]
fn nails_on_a_line_hold_the_boards_that_cross_it() {
    let gable = SHED
        .replace("shape = \"shed\"", "shape = \"gable\"")
        .replace("slope_length = \"6 ft\"", "width = \"11 ft\"")
        .replace("eave = \"8 ft 1 1/2 in\"", "eave = \"16 ft 1 1/2 in\"");
    let laid = "[[laid]]\nwhat = [\"tape\", \"strips\", \"fasteners\"]\nlines = [\"S-L02\"]\n";
    let plan = Plan::from_text("roof.toml", &(gable + laid)).map_err(|f| f.render(false)).unwrap();
    for slope in &plan.lattice.slopes {
        let south = slope.lines[0].name.starts_with("S-");
        assert!(slope.pieces.len() == 2 * slope.courses.len(), "two boards a course");
        for piece in &slope.pieces {
            // 24 3/4 in: the second rafter.
            let crosses = piece.x.0 < 24.75 * 0.0254 && 24.75 * 0.0254 < piece.x.1;
            assert_eq!(piece.laid, south && crosses, "{}", piece.name);
        }
    }
}

#[test]
fn names_stay_whatever_is_found_or_laid() {
    let drawn = with(&[]);
    for more in [&[LAID][..], &[MOVED], &[LAID, MOVED]] {
        assert_eq!(names(&with(more)), names(&drawn), "{more:?}");
    }
    // A missing rafter leaves the model, and nothing else does.
    let gone = with(&["[found]\n[[found.member]]\nname = \"S-R03\"\nmissing = true\n"]);
    let left: Vec<&str> = names(&drawn).difference(&names(&gone)).copied().collect();
    assert_eq!(left, ["S-R03"]);
    assert!(names(&gone).is_subset(&names(&drawn)));
    assert_eq!(not_backed(&gone), (1..=5).map(|n| format!("S-B{n:02}.L03")).collect::<Vec<_>>());
}

fn added(x: &str) -> String {
    format!(
        "[[found.added]]\nkind = \"rafter\"\nslope = \"S\"\nsection = {{ nominal = \"2x8\" }}\nfrom = [\"{x}\", \"0 in\"]\nto = [\"{x}\", \"72 in\"]\n"
    )
}

#[test]
fn an_added_rafter_takes_its_lower_neighbours_name_with_a_letter() {
    let drawn = with(&[]);
    let run = with(&[&added("36 in"), &added("40 in"), &added("90 in")]);
    let new: BTreeSet<&str> = names(&run).difference(&names(&drawn)).copied().collect();
    assert!(names(&drawn).is_subset(&names(&run)), "drawn names stay");
    // 36 and 40 in stand between S-R02 (24 3/4) and S-R03 (48 3/4); 90 in after S-R04 (72 3/4).
    for name in ["S-R02a", "S-R02b", "S-R04a"] {
        assert!(new.contains(name), "{name} among {new:?}");
    }
    // Each makes a line of its own, and each course a crossing on it.
    for line in ["L02a", "L02b", "L04a"] {
        for course in 1..=5 {
            let crossing = format!("S-B{course:02}.{line}");
            assert!(run.landings.iter().any(|l| l.name == crossing && l.backed), "{crossing}");
        }
    }
    let before_the_first = edited(SHED, "first = \"3/4 in\"", "first = \"24 3/4 in\"");
    let run = run_good(&format!("{before_the_first}{}", added("3/4 in")));
    assert!(names(&run).contains("S-R00a"), "{:?}", names(&run));
}

#[test]
fn the_fingerprint_changes_with_coordinates_and_names_only() {
    let drawn = with(&[]);
    let edits: [(&str, String); 18] = [
        ("a comment", format!("# measured on a dry day\n{SHED}")),
        ("the text about it", edited(SHED, "for this test", "for another test")),
        ("the roof's own name", edited(SHED, "Plain shed", "Another shed")),
        ("a limit", edited(SHED, "end_distance = \"1/2 in\"", "end_distance = \"1/2 in\"\nrun = \"12 in\"")),
        ("units of show", edited(SHED, "units = \"inches\"", "units = \"millimetres\"")),
        ("spelling of a length", edited(SHED, "slope_length = \"6 ft\"", "slope_length = \"72 in\"")),
        ("facing, the name kept", edited(SHED, "pitch = \"4:12\"", "pitch = \"4:12\"\nfacing = \"185 deg\"")),
        ("facing, the name changed", edited(SHED, "pitch = \"4:12\"", "pitch = \"4:12\"\nfacing = \"90 deg\"")),
        ("eave length", edited(SHED, "8 ft 1 1/2 in", "8 ft 2 in")),
        ("slope length", edited(SHED, "slope_length = \"6 ft\"", "slope_length = \"6 ft 1 in\"")),
        ("rafter spacing", edited(SHED, "spacing = \"24 in\"", "spacing = \"23 7/8 in\"")),
        ("course spacing", edited(SHED, "spacing = \"16 in\"", "spacing = \"15 7/8 in\"")),
        ("shorter vent pieces", edited(SHED, "[lattice]\n", "[lattice]\nvent = { stock = \"24 in\" }\n")),
        ("wider tape", edited(SHED, "[lattice]\n", "[lattice]\ntape = { width = \"3 in\" }\n")),
        ("a moved landing", format!("{SHED}[[move]]\nlanding = \"S-B02.L02\"\nacross = \"1/8 in\"\n")),
        ("a moved rafter", format!("{SHED}{MOVED}")),
        ("an added rafter", format!("{SHED}{}", added("36 in"))),
        (
            "nails laid, the rest follows the rafter",
            format!("{SHED}[[laid]]\nwhat = [\"fasteners\", \"battens\"]\n{MOVED}"),
        ),
    ];
    let mut wrong = Vec::new();
    let (mut changed, mut kept) = (0, 0);
    for (what, text) in edits {
        let run = run_good(&text);
        let other_plan = lattice(&run) != lattice(&drawn);
        if other_plan {
            changed += 1
        } else {
            kept += 1
        }
        if (run.header.fingerprint != drawn.header.fingerprint) != other_plan {
            wrong.push(format!("{what}: plan changed: {other_plan}, fingerprint {}", run.header.fingerprint));
        }
    }
    assert_eq!((changed, kept), (11, 7), "the edits are no longer what they were");
    assert!(wrong.is_empty(), "drawn {}\n{}", drawn.header.fingerprint, wrong.join("\n"));
}

/// A strap along each rafter, an inch to the right of it.
const STRAPS: &str = r#"[[straps]]
along = "rafter"
shift = "3 in"
width = "1 in"
thickness = "1/16 in"
low = "20 in"
high = "30 in"
seam = "25 in"
gap = "2 in"
nails = { diameter = "0.131 in", length = "1 1/2 in", spacing = "2 in", end = "1 in" }
"#;

#[test]
fn straps_follow_what_was_found_until_they_are_laid() {
    let straps = |more: &[&str]| -> Vec<(String, Vec<[i64; 3]>)> {
        let run = with(&[&[STRAPS][..], more].concat());
        let straps = run.parts.iter().filter(|p| p.kind == PartKind::Strap);
        straps.map(|p| (p.name.clone(), p.corners.clone())).collect()
    };
    let drawn = straps(&[]);
    assert_eq!(drawn.len(), 5);
    let found = straps(&[MOVED]);
    for (before, after) in drawn.iter().zip(&found) {
        assert_eq!(before.0, after.0);
        let right = if before.0 == "S-ST03" { 25_400 } else { 0 };
        let expected: Vec<[i64; 3]> = before.1.iter().map(|c| [c[0] + right, c[1], c[2]]).collect();
        assert_eq!(expected, after.1, "{}", before.0);
    }
    let laid = "[[laid]]\nwhat = [\"straps\"]\n";
    assert_eq!(straps(&[MOVED, laid]), drawn);
    // Where a rafter is not there, neither is its strap; the others keep their names.
    let missing = "[[found.member]]\nname = \"S-R03\"\nmissing = true\n";
    let without: Vec<String> = straps(&[missing]).into_iter().map(|s| s.0).collect();
    assert_eq!(without, ["S-ST01", "S-ST02", "S-ST04", "S-ST05"]);
    assert_eq!(straps(&[missing, laid]), drawn);
}

#[test]
fn strips_tapes_and_pieces_keep_their_names_when_the_roof_is_found_larger() {
    let short = edited(SHED, "stock = [\"12 ft\"]", "stock = [\"50 in\"], least_piece = \"1 ft\"");
    let short = edited(&short, "[lattice]\n", "[lattice]\nstrip = { stock = \"2 ft\" }\n");
    let found = "[found]\n[[found.slope]]\nname = \"S\"\noutline = [[\"0 in\", \"0 in\"], [\"12 ft\", \"0 in\"], [\"12 ft\", \
                 \"8 ft\"], [\"0 in\", \"8 ft\"]]\n";
    let (before, after) = (run_good(&short), run_good(&format!("{short}{found}")));
    // Landings over a joint are two, and joints move where a course is longer; their lines and courses keep their names.
    let landing = |n: &&str| n.contains(".L");
    let (mut drawn, mut now) = (names(&before), names(&after));
    drawn.retain(|n| !landing(n));
    now.retain(|n| !landing(n));
    let gone: Vec<_> = drawn.difference(&now).collect();
    assert!(gone.is_empty(), "{gone:?}");
    // What there is more of is named after its lower neighbour.
    for more in ["S-L01.s03a", "S-B01.2a", "S-B05a"] {
        assert!(now.contains(more) || now.iter().any(|n| n.starts_with(&format!("{more}."))), "{more} in {now:?}");
    }
    let new: Vec<_> = now.difference(&drawn).filter(|n| !n.contains(|c: char| c.is_ascii_lowercase())).collect();
    assert!(new.is_empty(), "{new:?}");
}

#[test]
fn a_further_course_and_a_framing_course_have_names_of_their_own() {
    let text = edited(SHED, "spacing = \"16 in\"", "spacing = \"16 in\", last = \"20 in\"");
    let opening =
        "[[opening]]\nslope = \"S\"\nname = \"hatch\"\nat = [\"30 in\", \"46 in\"]\nsize = [\"14 in\", \"10 in\"]\n";
    let found = "[found]\n[[found.slope]]\nname = \"S\"\noutline = [[\"0 in\", \"0 in\"], [\"8 ft 1 1/2 in\", \"0 in\"], [\"8 ft 1 \
                 1/2 in\", \"9 ft\"], [\"0 in\", \"9 ft\"]]\n";
    let run = run_good(&format!("{text}{opening}{found}"));
    let all: Vec<&str> = run.parts.iter().map(|p| p.name.as_str()).collect();
    let once: BTreeSet<&str> = all.iter().copied().collect();
    assert_eq!(all.len(), once.len());
    // The framing course was drawn, and keeps its letter; the further course takes the next.
    let drawn = run_good(&format!("{text}{opening}"));
    let framing =
        |r: &Run| r.pieces.iter().map(|p| p.0.clone()).filter(|n| n.starts_with("S-B04a.")).collect::<Vec<_>>();
    assert!(!framing(&drawn).is_empty(), "{:?}", drawn.pieces);
    assert_eq!(framing(&run), framing(&drawn));
    assert!(run.pieces.iter().any(|p| p.0.starts_with("S-B04b.")), "{:?}", run.pieces);
}

#[test]
fn tape_stuck_to_the_strips_first_comes_in_their_lengths() {
    let text = edited(SHED, "[lattice]\n", "[lattice]\nstrip = { stock = \"2 ft\" }\n");
    let first = edited(&text, "strip = {", "tape = { order = \"strip first\" }\nstrip = {");
    let tapes = |text: &str| -> Vec<(String, Vec<[i64; 3]>)> {
        let run = run_good(text);
        let tapes = run.parts.iter().filter(|p| p.name.starts_with("S-L02.t"));
        tapes.map(|p| (p.name.clone(), p.corners.clone())).collect()
    };
    let (whole, cut) = (tapes(&text), tapes(&first));
    assert_eq!(whole.len(), 1);
    // Three strips, and short ends of tape under the vent pieces.
    assert_eq!(cut.len(), 5, "{cut:?}");
    let reach = |t: &[[i64; 3]]| (t.iter().map(|c| c[1]).min().unwrap(), t.iter().map(|c| c[1]).max().unwrap());
    assert_eq!(reach(&whole[0].1), (reach(&cut[0].1).0, reach(&cut[4].1).1));
    assert!(cut.windows(2).all(|w| reach(&w[0].1).1 == reach(&w[1].1).0));
}

/// A rafter and, nailed to its right side over 30 in, a tail.
const TAILED: &str = r#"format = 1
name = "Shed with tails (invented)"
units = "inches"
[roof]
shape = "shed"
eave = "8 ft 1 1/2 in"
slope_length = "10 ft"
pitch = "4:12"
[[rafters]]
section = { nominal = "2x8" }
spacing = "24 in"
first = "3/4 in"
low = "20 in"
[[tails]]
section = { nominal = "2x6" }
spacing = "24 in"
first = "2 1/4 in"
high = "50 in"
[lattice]
batten = { nominal = "1x4", spacing = "16 in", stock = ["12 ft"] }
[fastening]
diameter = "0.148 in"
length = "3 in"
"#;

/// x of a member's middle at its lower and at its upper end, inches, and its name's state.
fn ends_of(plan: &Plan, name: &str) -> (f64, f64) {
    let m = plan.found.members.iter().find(|m| m.name == name).unwrap_or_else(|| panic!("no {name}"));
    let x = |along: f64| (m.pose.translation.x + m.side_at(along)) / 0.0254;
    (x(0.0), x(m.length))
}

/// A tail goes where its rafter is found: moved as much, turned as much, clear of a bow; and no other tail moves.
#[test]
fn a_tail_follows_the_rafter_that_it_is_nailed_to() {
    let drawn = Plan::from_text("d", TAILED).unwrap();
    assert!((ends_of(&drawn, "S-TL03").0 - 50.25).abs() < 1e-9);
    let found = |offsets: &str| {
        let text = format!("{TAILED}[found]\n[[found.member]]\nname = \"S-R03\"\n{offsets}\n");
        let run = run_good(&text);
        let clashes: Vec<&str> =
            run.findings.iter().filter(|f| f.check == "clash").map(|f| f.message.as_str()).collect();
        assert!(clashes.is_empty(), "{offsets}: {clashes:?}");
        let plan = Plan::from_text("d", &text).unwrap();
        for other in ["S-TL01", "S-TL02", "S-TL04"] {
            assert_eq!(ends_of(&plan, other), ends_of(&drawn, other), "{offsets}: {other}");
        }
        ends_of(&plan, "S-TL03")
    };
    let near =
        |(a, b): (f64, f64), (c, d): (f64, f64)| assert!((a - c).abs() < 1e-6 && (b - d).abs() < 1e-6, "{a} {b}");
    near(found("offsets = [{ at = \"0 in\", off = \"1 in\" }]"), (51.25, 51.25));
    near(found("offsets = [{ at = \"0 in\", off = \"-1 in\" }]"), (49.25, 49.25));
    // One inch in 100 in of rafter, which begins 20 in up: at the eave a fifth of an inch the other way, at 50 in 0.3 in.
    near(
        found("offsets = [{ at = \"0 in\", off = \"0 in\" }, { at = \"100 in\", off = \"1 in\" }]"),
        (50.25 - 0.2, 50.25 + 0.3),
    );
    // A bow of half an inch towards the tail in the middle of the lap: the straight tail clears it whole.
    let bow = "offsets = [{ at = \"0 in\", off = \"0 in\" }, { at = \"15 in\", off = \"1/2 in\" }, { at = \"30 in\", off = \"0 in\" }]";
    near(found(bow), (50.75, 50.75));
    // Away from it, it stands against the ends of the lap.
    near(found(&bow.replace("\"1/2 in\"", "\"-1/2 in\"")), (50.25, 50.25));
    // One that was measured itself, and one whose rafter is missing, follow nothing.
    let own = format!(
        "{TAILED}[found]\n[[found.member]]\nname = \"S-R03\"\noffsets = [{{ at = \"0 in\", off = \"-1 in\" }}]\n\
         [[found.member]]\nname = \"S-TL03\"\noffsets = [{{ at = \"0 in\", off = \"1/4 in\" }}]\n"
    );
    near(ends_of(&Plan::from_text("d", &own).unwrap(), "S-TL03"), (50.5, 50.5));
    let gone = format!("{TAILED}[found]\n[[found.member]]\nname = \"S-R03\"\nmissing = true\n");
    near(ends_of(&Plan::from_text("d", &gone).unwrap(), "S-TL03"), (50.25, 50.25));
}
