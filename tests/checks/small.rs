//! A small roof on which every check passes, and what one check says of it once something is changed.
//!
//! Sizes are chosen for sums by hand, in millimetres. Heights above the membrane's outer face: tape 1, strip 11, batten
//! 31. The framing's upper face lies 1 + 12 = 13 below it. A fastener 80 long is 80 - 31 - 13 = 36 deep in a rafter.
//! Rafters are 40 wide, their middles at 20, 620, 1220, 1820, 2420. Courses (100 wide) at 50, 450, 850, 1250, 1500, each
//! of one piece from 0 to 2440; the two fasteners of a landing stand 25 above and below the course's middle.

use airlath::check::{self, Finding, Verdict};

use crate::common::plans::plan;

/// The roof. INVENTED.
const SHED: &str = r#"
format = 1
name = "Small shed (invented)"
units = "millimetres"
[roof]
shape = "shed"
eave = "2440 mm"
slope_length = "1600 mm"
pitch = "20 deg"
[[rafters]]
section = { width = "40 mm", depth = "200 mm" }
spacing = "600 mm"
first = "20 mm"
last = "2420 mm"
close = true
[deck]
thickness = "12 mm"
[membrane]
thickness = "1 mm"
[lattice]
tape = { width = "60 mm", thickness = "1 mm" }
strip = { width = "40 mm", height = "10 mm", stock = "2000 mm", gap = "0 mm" }
vent = { width = "40 mm", stock = "2440 mm", flutes = "up" }
batten = { width = "100 mm", thickness = "20 mm", spacing = "400 mm", first = "50 mm", last = "100 mm", stock = ["3000 mm"], least_piece = "600 mm", stagger = 0, joint = "butt", lap = "38 mm", joint_gap = "2 mm" }
hold_back = { top = "20 mm" }
[fastening]
diameter = "3 mm"
length = "80 mm"
spread = "50 mm"
[limits]
end_distance = "15 mm"
tape_margin = "6 mm"
run = "600 mm"
end_run = "150 mm"
hair = "0 mm"
tolerance = "5 mm"
gap = "1.5 mm"
"#;

/// Middles of the courses.
pub const COURSES: [f64; 5] = [50.0, 450.0, 850.0, 1250.0, 1500.0];
/// Middles of the rafters.
pub const RAFTERS: [f64; 5] = [20.0, 620.0, 1220.0, 1820.0, 2420.0];
/// z of the battens' upper face.
pub const TOP: f64 = 31.0;
/// The middle rafter is not there.
pub const MISSING: &str = "[[found.member]]\nname = \"S-R03\"\nmissing = true\n";

/// The small roof with texts exchanged, each of which it holds once, and tables added.
pub fn shed(changes: &[(&str, &str)], more: &str) -> String {
    let mut text = SHED.to_owned();
    for (old, new) in changes {
        assert_eq!(text.matches(old).count(), 1, "{old}");
        text = text.replace(old, new);
    }
    text + more
}

/// A change of place of one landing, millimetres.
pub fn moved(landing: &str, across: f64, up: f64) -> String {
    format!("[[move]]\nlanding = \"{landing}\"\nacross = \"{across} mm\"\nup = \"{up} mm\"\n")
}

/// What one check said.
pub struct Seen {
    pub verdict: Verdict,
    pub findings: Vec<Finding>,
}

/// Runs all checks and keeps one.
pub fn seen(text: &str, name: &str) -> Seen {
    let plan = plan(text);
    let results = check::run(&plan.context());
    let result = results.into_iter().find(|r| r.check.name == name).unwrap_or_else(|| panic!("no check {name}"));
    for f in &result.findings {
        assert_eq!(f.check, name);
        assert!(!f.message.is_empty() && !f.source.text.is_empty());
    }
    Seen { verdict: result.verdict, findings: result.findings }
}

/// The check passes and says nothing.
pub fn passes(text: &str, name: &str) {
    let seen = seen(text, name);
    let said: Vec<&str> = seen.findings.iter().map(|f| f.message.as_str()).collect();
    assert!(seen.verdict == Verdict::Pass && said.is_empty(), "{name} says {said:?}");
}

/// The check passes, although another one does not.
pub fn silent(text: &str, name: &str, though: &str) {
    passes(text, name);
    assert!(seen(text, though).verdict > Verdict::NotChecked, "{though} finds nothing here");
}

/// A finding has this verdict, these parts, this place (x, y, z in millimetres) and this evidence: what, found, limit,
/// in millimetres or as a count. Numbers agree to a nanometre.
pub fn says(
    f: &Finding,
    verdict: Verdict,
    parts: &[&str],
    at: Option<[f64; 3]>,
    evidence: &[(&str, f64, Option<f64>)],
) {
    assert_eq!(f.verdict, verdict, "{}", f.message);
    assert_eq!(f.parts, parts, "{}", f.message);
    match (f.place, at) {
        (Some(place), Some(at)) => {
            for (found, hand) in place.at.iter().zip(at) {
                assert!((found - hand * 1e-3).abs() < 1e-9, "{}: at {:?}, by hand {at:?} mm", f.message, place.at);
            }
        }
        (found, hand) => assert!(found.is_none() && hand.is_none(), "{}: {found:?}, by hand {hand:?}", f.message),
    }
    assert_eq!(f.evidence.len(), evidence.len(), "{}: {:?}", f.message, f.evidence);
    for (e, (what, found, limit)) in f.evidence.iter().zip(evidence) {
        let unit = if e.found.unit() == "m" { 1e-3 } else { 1.0 };
        assert_eq!(e.what, *what);
        let said = format!("{}: {e:?}, by hand {found} and {limit:?} mm", f.message);
        assert!((e.found.value() - found * unit).abs() < 1e-9, "{said}");
        match (e.limit, limit) {
            (Some(a), Some(b)) => assert!(a.unit() == e.found.unit() && (a.value() - b * unit).abs() < 1e-9, "{said}"),
            (a, b) => assert!(a.is_none() && b.is_none(), "{said}"),
        }
    }
}

/// Names of a landing, a piece and a rafter of the small roof by their numbers from 1.
pub fn landing(course: usize, line: usize) -> String {
    format!("S-B{course:02}.L{line:02}")
}
