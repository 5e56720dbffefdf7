//! Roofing panels and their clips: on battens, off heads, and no tip in the membrane.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "a test stops at the first surprise")]

use crate::common::{self, Run, edited, run, run_good};
use airlath::check::{self, Verdict};
use airlath::plan::Plan;
use airlath::scene::PartKind;

/// Rafters at 24 in, courses at 16 in (middles 1 3/4 in to 65 3/4 in), seams at 12, 28, 44, 60, 76, 92 in: none over a rafter.
/// From the batten's upper face down: 3/4 in of wood, 3/8 in of strip, 1/16 in of tape; the membrane is 1 3/16 in below.
const SHED: &str = r#"format = 1
name = "Plain shed (invented)"
units = "inches"
[roof]
shape = "shed"
eave = "8 ft 1 1/2 in"
slope_length = "6 ft"
pitch = "4:12"
[[rafters]]
section = { nominal = "2x8" }
spacing = "24 in"
first = "3/4 in"
[lattice]
tape = { thickness = "1/16 in" }
strip = { height = "3/8 in" }
batten = { nominal = "1x4", spacing = "16 in", last = "6 1/4 in", stock = ["12 ft"] }
[fastening]
diameter = "0.148 in"
length = "3 in"
[limits]
end_distance = "1/2 in"
[panels]
width = "16 in"
first_seam = "12 in"
screw_diameter = "0.164 in"
screw_length = "3/4 in"
"#;

fn of<'r>(run: &'r Run, check: &'r str) -> Vec<(Verdict, &'r str)> {
    run.of(check).map(|f| (f.verdict, f.message.as_str())).collect()
}

fn with(from: &str, to: &str) -> Run {
    run_good(&edited(SHED, from, to))
}

#[test]
fn a_design_without_panels_says_that_clips_were_not_checked() {
    let bare = SHED.split("[panels]").next().unwrap();
    let plan = Plan::from_text("d.toml", bare).unwrap();
    for r in check::run(&plan.context())
        .iter()
        .filter(|r| r.check.name.starts_with("clip") || r.check.name.starts_with("panel"))
    {
        assert_eq!(r.verdict, Verdict::NotChecked, "{}", r.check.name);
        assert!(r.reason.as_ref().unwrap().contains("[panels]"));
    }
    assert!(!run_good(bare).parts.iter().any(|p| p.kind == PartKind::Clip));
}

#[test]
fn clips_stand_on_every_course_at_every_seam() {
    let run = run_good(SHED);
    assert!(run.findings.is_empty(), "{:?}", run.findings.first().map(|f| &f.message));
    let clips: Vec<_> = run.parts.iter().filter(|p| p.kind == PartKind::Clip).collect();
    assert_eq!(clips.len(), 6 * 5);
    assert_eq!(run.parts.len(), run.part_count);
    assert_eq!((clips[0].name.as_str(), clips[29].name.as_str()), ("S-C01.01", "S-C06.05"));
    let inch = |v: i64| v as f64 / 25_400.0;
    let low = |p: &common::PartFacts, k: usize| p.corners.iter().map(|c| c[k]).min().unwrap();
    // Seam at 12 in, base 1 in wide; first course's middle at 1 3/4 in, base 1 1/2 in long.
    assert!((inch(low(clips[0], 0)) - 11.5).abs() < 1e-4 && (inch(low(clips[0], 1)) - 1.0).abs() < 1e-4);
    // A screw of 3/4 in through 1/32 in of base: its tip 23/32 in below the batten's face, which is 1 3/16 in above the membrane.
    assert!((inch(low(clips[0], 2)) - (1.1875 - 23.0 / 32.0)).abs() < 1e-4);
    let count = |kind: &str| run.quantities.iter().find(|q| q.kind == kind).unwrap().count;
    assert_eq!((count("clip"), count("clip screw")), (30, 60));
}

#[test]
fn a_clip_at_a_pitch_of_its_own_must_find_its_batten() {
    let pitch = |p: &str| with("screw_diameter", &format!("clip_pitch = \"{p}\"\nscrew_diameter"));
    assert!(of(&pitch("16 in"), "clip-off-batten").is_empty());
    let wrong = pitch("12 in");
    // 1 3/4, 13 3/4, 25 3/4, 37 3/4, 49 3/4, 61 3/4 in against 1 3/4, 17 3/4, 33 3/4, 49 3/4, 65 3/4 +- 1 3/4 in.
    let told = of(&wrong, "clip-off-batten");
    assert_eq!(told.len(), 6 * 4);
    assert!(told.iter().all(|t| t.0 == Verdict::Fail && t.1.contains("no batten under it")));
    // Just inside and just outside: a base 1 1/2 in long on a batten 3 1/2 in wide has 1 in to either side.
    let first =
        |y: &str| with("screw_diameter", &format!("clip_pitch = \"16 in\"\nfirst_clip = \"{y}\"\nscrew_diameter"));
    assert!(of(&first("2 3/4 in"), "clip-off-batten").is_empty());
    let over = first("2 49/64 in");
    assert_eq!(over.of("clip-off-batten").count(), 30);
    assert!(over.of("clip-off-batten").all(|f| f.message.contains("past the edge of its batten")));
}

/// A gap from 30 to 66 lies under the seams at 44 and 60: their clips on that course have nothing to hold on to, and the
/// roofing there runs over two courses' spacing. Other seams keep theirs.
#[test]
fn clips_over_a_gap_are_told() {
    let gap = "[[gap]]\ncourse = \"S-B02\"\nfrom = \"30 in\"\nto = \"66 in\"\n";
    let run = run_good(&(SHED.to_owned() + gap));
    let told = of(&run, "clip-off-batten");
    assert_eq!(told.len(), 2, "{told:?}");
    for (verdict, message) in &told {
        assert!(*verdict == Verdict::Fail && message.contains("has no batten under it"), "{message}");
        assert!(message.contains("S-C03.02") || message.contains("S-C04.02"), "{message}");
    }
    let unheld = of(&run, "roofing-unheld");
    assert!(unheld.len() == 1 && unheld[0].1.contains("32 in to the next batten"), "{unheld:?}");
    assert!(of(&run_good(SHED), "clip-off-batten").is_empty());
}

#[test]
fn a_clip_over_a_fastener_is_told() {
    // A seam over the rafter at 24 3/4 in; its nails stand 7/8 in above and below the middle, heads 0.296 in.
    let near = edited(SHED, "length = \"3 in\"", "length = \"3 in\"\nspread = \"1 3/4 in\"");
    let at = |x: &str| {
        run_good(&edited(&near, "first_seam = \"12 in\"", &format!("first_seam = \"{x}\"\nclip_length = \"2 in\"")))
    };
    let clash = at("8 3/4 in");
    let told: Vec<_> = clash.first_parts("clip-on-head");
    assert!(
        told.contains(&"S-C02.01") && told.iter().all(|n| n.starts_with("S-C02") || n.starts_with("S-C05")),
        "{told:?}"
    );
    // The base is 1 in wide and the head's radius is 0.148 in: clear from 0.648 in off the rafter's middle.
    assert_eq!(at("9.39 in").of("clip-on-head").count(), 2 * 5);
    assert_eq!(at("9.4 in").of("clip-on-head").count(), 0);
}

#[test]
fn a_screw_that_reaches_tape_or_membrane_fails() {
    let screw = |l: &str| with("screw_length = \"3/4 in\"", &format!("screw_length = \"{l}\""));
    // Off the tape: the membrane is 1 3/16 in below the batten's face, the base adds 1/32 in.
    let short = screw("1 13/64 in");
    // Those of the first course end in the vent piece at the eave, those of the others in the air gap.
    let told = of(&short, "clip-screw-too-long");
    assert_eq!(told.len(), 6);
    assert!(told.iter().all(|t| t.0 == Verdict::Warn && t.1.ends_with(".01 ends in a vent piece")), "{told:?}");
    let touching = screw("1 7/32 in");
    assert_eq!(touching.of("clip-screw-too-long").count(), 30);
    assert!(
        touching
            .of("clip-screw-too-long")
            .all(|f| f.verdict == Verdict::Fail && f.message.contains("into the membrane"))
    );
    // Over the tape of the rafter at 24 3/4 in, a seam 0.9 in beside its middle, a clip narrow enough to clear the heads.
    let over_tape = |l: &str| {
        let design = edited(SHED, "first_seam = \"12 in\"", "first_seam = \"9.65 in\"\nclip_width = \"1/2 in\"");
        run_good(&edited(&design, "screw_length = \"3/4 in\"", &format!("screw_length = \"{l}\"")))
    };
    let told = over_tape("1 11/64 in");
    let tape: Vec<_> = told.of("clip-screw-too-long").filter(|f| f.message.contains("into the tape")).collect();
    assert!(!tape.is_empty() && tape.iter().all(|f| f.verdict == Verdict::Fail));
    assert!(over_tape("1 9/64 in").of("clip-screw-too-long").all(|f| !f.message.contains("the tape")));
    // Shorter screws mend it.
    let mend = &touching.of("clip-screw-too-long").next().unwrap().mends[0];
    assert!(mend.text.contains("panels.screw_length"), "{}", mend.text);
    assert!(of(&screw("3/4 in"), "clip-screw-too-long").is_empty());
}

#[test]
fn a_screw_that_ends_in_a_strip_warns() {
    let design = edited(SHED, "first_seam = \"12 in\"", "first_seam = \"9.35 in\"\nclip_width = \"1/4 in\"");
    let over = run_good(&edited(&design, "screw_length = \"3/4 in\"", "screw_length = \"1 in\""));
    let told = of(&over, "clip-screw-too-long");
    // Over the rafters at 24 3/4 and 72 3/4 in.
    let strips = told.iter().filter(|t| t.0 == Verdict::Warn && t.1.contains("in a strip"));
    assert_eq!(strips.count(), 2 * 5, "{told:?}");
    assert!(of(&run_good(&design), "clip-screw-too-long").is_empty());
}

#[test]
fn openings_rakes_and_tops_are_told() {
    // The last course ends 2 in and a half below the top by default; held back a foot from the top, panels hang free there.
    let top = with("[lattice]\n", "[lattice]\nhold_back = { top = \"12 in\", rake = \"8 in\" }\n");
    let told = of(&top, "panel-edge-off-batten");
    assert!(told.iter().any(|t| t.1.contains("upper end")), "{told:?}");
    assert!(told.iter().any(|t| t.1.contains("left edge")) && told.iter().any(|t| t.1.contains("right edge")));
    assert!(of(&run_good(SHED), "panel-edge-off-batten").is_empty());
    // Across an opening no panel lies, and no clip stands.
    let hole = format!(
        "{}[[opening]]\nname = \"hatch\"\nat = [\"30 in\", \"20 in\"]\nsize = [\"16 in\", \"20 in\"]\n",
        edited(SHED, "[lattice]\n", "[lattice]\nopening = { frame = false }\n")
    );
    let run = run_good(&hole);
    let clips: Vec<_> = run.parts.iter().filter(|p| p.kind == PartKind::Clip).map(|p| p.name.as_str()).collect();
    // Of the seam at 44 in the course at 33 3/4 in is inside the opening.
    assert_eq!(clips.len(), 29);
    assert_eq!(clips.iter().filter(|n| n.starts_with("S-C03")).count(), 4);
}

#[test]
fn faults_of_the_table_are_told() {
    let faults = |from: &str, to: &str| run(&edited(SHED, from, to)).err().unwrap();
    assert!(faults("screw_length = \"3/4 in\"\n", "").contains("a screw's size is never assumed"));
    assert!(faults("width = \"16 in\"\n", "width = \"1 in\"\n").contains("narrower than any roofing"));
    assert!(faults("screw_diameter", "first_clip = \"1 in\"\nscrew_diameter").contains("a first clip without a pitch"));
    assert!(
        faults("screw_diameter", "screw_spread = \"2 in\"\nscrew_diameter").contains("further apart than the clip")
    );
    assert!(faults("screw_diameter", "clip_pich = \"2 in\"\nscrew_diameter").contains("did you mean `clip_pitch`"));
}
