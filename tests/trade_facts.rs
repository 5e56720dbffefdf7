//! Facts from outside, each with its source or marked: `from memory`, `common practice, no source`.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "tests fail loudly")]

use crate::common::plans::plan;
use airlath::check::{self, Context, Verdict};
use airlath::design::{MemberKind, Section};
use airlath::lattice::batten_solid;
use airlath::plan::Plan;
use airlath::scene::{Building, Detail, LandingRecord, PartSource};
use airlath::solid::{Body, Shape};

const INCH: f64 = 0.0254;

/// A shed 12 ft by 8 ft with 1 1/2 in rafters at 24 in and 1x4 battens at 16 in; tape, membrane and strip as by default:
/// 1/32 + 1/32 + 3/8 = 7/16 in. No deck. INVENTED.
fn shed(diameter: f64, length: f64, more: &str) -> String {
    format!(
        r#"
format = 1
name = "Shed for trade facts (invented)"
units = "inches"
[roof]
shape = "shed"
eave = "12 ft 1 1/2 in"
slope_length = "8 ft"
pitch = "6:12"
[[rafters]]
section = {{ nominal = "2x8" }}
spacing = "24 in"
[lattice]
batten = {{ nominal = "1x4", spacing = "16 in" }}
[fastening]
diameter = "{diameter} in"
length = "{length} in"
{more}"#
    )
}

fn landings(plan: &Plan) -> Vec<LandingRecord> {
    let context = plan.context();
    let results = check::run(&context);
    let mut all = Vec::new();
    Building::new(&context, &results, Detail::Plain)
        .walk_landings(&mut |l| {
            all.push(l.clone());
            Ok(())
        })
        .unwrap();
    all
}

fn verdict(context: &Context<'_>, name: &str) -> (Verdict, usize) {
    let results = check::run(context);
    let r = results.iter().find(|r| r.check.name == name).unwrap_or_else(|| panic!("no check {name}"));
    (r.verdict, r.findings.len())
}

/// Full sizes of a box across, along and down, inches.
fn inches(body: &Body) -> [f64; 3] {
    match &body.shape {
        Shape::Box(half) => [half.x * 2.0 / INCH, half.y * 2.0 / INCH, half.z * 2.0 / INCH],
        Shape::Poly(_) => {
            let (low, high) = body.form().vertices().iter().fold(
                ([f64::INFINITY; 3], [f64::NEG_INFINITY; 3]),
                |(mut low, mut high), v| {
                    for k in 0..3 {
                        low[k] = f64::min(low[k], v[k]);
                        high[k] = f64::max(high[k], v[k]);
                    }
                    (low, high)
                },
            );
            [0, 1, 2].map(|k| (high[k] - low[k]) / INCH)
        }
    }
}

/// PS 20 (American Softwood Lumber Standard), dressed dry sizes, `from memory`: nominal size, thickness, width in inches.
const LUMBER: [(&str, f64, f64); 14] = [
    ("1x2", 0.75, 1.5),
    ("1x3", 0.75, 2.5),
    ("1x4", 0.75, 3.5),
    ("1x6", 0.75, 5.5),
    ("5/4x4", 1.0, 3.5),
    ("5/4x6", 1.0, 5.5),
    ("2x2", 1.5, 1.5),
    ("2x3", 1.5, 2.5),
    ("2x4", 1.5, 3.5),
    ("2x6", 1.5, 5.5),
    ("2x8", 1.5, 7.25),
    ("2x10", 1.5, 9.25),
    ("2x12", 1.5, 11.25),
    ("4x4", 3.5, 3.5),
];

#[test]
fn nominal_lumber_has_its_dressed_size_as_a_solid() {
    let members: String = LUMBER
        .iter()
        .enumerate()
        .map(|(i, (nominal, ..))| {
            let y = 5 + 6 * i;
            format!(
                "[[member]]\nkind = \"block\"\nslope = \"S\"\nsection = {{ nominal = \"{nominal}\" }}\nfrom = [\"1 1/2 \
                 in\", \"{y} in\"]\nto = [\"24 in\", \"{y} in\"]\n"
            )
        })
        .collect();
    let plan = plan(&shed(0.148, 3.0, &members));
    let blocks: Vec<_> = plan.found.members.iter().filter(|m| m.kind == MemberKind::Block).collect();
    assert_eq!(blocks.len(), LUMBER.len());
    for (m, (nominal, thick, wide)) in blocks.iter().zip(LUMBER) {
        assert_eq!(m.bodies.len(), 1);
        let [across, along, down] = inches(&m.bodies[0].1);
        let near = |a: f64, b: f64| (a - b).abs() < 1e-9;
        assert!(near(across, thick) && near(down, wide) && near(along, 22.5), "{nominal}: {across} {along} {down}");
    }
}

/// PS 20 again: battens lie flat, 3 1/2 in up the slope and 3/4 in thick for 1x4 (`from memory`).
#[test]
fn nominal_battens_lie_flat_with_their_dressed_size() {
    for (nominal, thick, wide) in LUMBER {
        let text =
            shed(0.131, 3.5, "").replace("nominal = \"1x4\", spacing", &format!("nominal = \"{nominal}\", spacing"));
        let plan = plan(&text);
        let outline = &plan.found.slopes[0].outline;
        for piece in &plan.lattice.slopes[0].pieces {
            let body = batten_solid(&plan.design, outline, &plan.lattice.levels, piece).expect("a board");
            let [_, up, out] = inches(&body);
            assert!((up - wide).abs() < 1e-9 && (out - thick).abs() < 1e-9, "{nominal}: {up} by {out}");
        }
    }
}

/// ASTM F1667 common nails, `from memory`: penny size, shank, length, head, inches. The head that the design leaves out is
/// two shanks, and that is never more than the published one, so that heads are not drawn to overlap which do not.
#[test]
fn the_default_head_is_no_wider_than_a_common_nails() {
    for (penny, shank, length, head) in
        [("8d", 0.131, 2.5, 0.281), ("10d", 0.148, 3.0, 0.312), ("16d", 0.162, 3.5, 0.344)]
    {
        let plan = plan(&shed(shank, length, ""));
        let default = plan.design.fastening.head.metres() / INCH;
        assert!((default - 2.0 * shank).abs() < 1e-9, "{penny}: {default}");
        assert!(default <= head, "{penny}: {default} is more than {head}");
        assert!(default >= 0.85 * head, "{penny}: {default} is far less than {head}");
    }
}

/// A tape of 2 in centred over a member of 1 1/2 in leaves 1/4 in to each side: common practice, no source.
#[test]
fn a_two_inch_tape_leaves_a_quarter_inch_to_each_side() {
    let plan = plan(&shed(0.148, 3.0, ""));
    let slope = &plan.lattice.slopes[0];
    assert_eq!(slope.tapes.len(), 7);
    // At the rakes the outline cuts it off.
    for tape in &slope.tapes[1..6] {
        let line = &slope.lines[tape.line.expect("a line") as usize];
        let rafter = plan.found.member(line.found[0].member).expect("a rafter");
        let (sweep, pose) = tape.sweep(&plan.lattice.levels);
        let (low, high) = sweep.bodies(&pose, &tape.cuts).expect("built")[0].1.bounds();
        let (left, right) = rafter.bodies[0].1.bounds();
        assert!((left.x - low.x - 0.25 * INCH).abs() < 1e-9 && (high.x - right.x - 0.25 * INCH).abs() < 1e-9);
    }
}

/// A 3 in nail through a batten of 3/4 in and a strip of 3/8 in keeps nearly 1 7/8 in for the rafter: common practice, no
/// source. Tape and membrane, 1/32 in each, take the rest: 3 - 3/4 - 3/8 - 1/16 = 1 13/16.
#[test]
fn a_three_inch_nail_keeps_nearly_an_inch_and_seven_eighths() {
    let all = landings(&plan(&shed(0.148, 3.0, "")));
    assert_eq!(all.len(), 7 * 7);
    for f in all.iter().flat_map(|l| &l.fasteners) {
        let deep = f.embedment / INCH;
        assert!((deep - 1.8125).abs() < 1e-9, "{}: {deep}", f.name);
        assert!(deep < 1.875 && 1.875 - deep < 0.07, "{}: {deep}", f.name);
    }
}

/// Roofing fixed every 16 in wants courses 16 in apart: common practice, no source. The last one stands by the top's rule.
#[test]
fn courses_stand_at_the_roofings_fixing_pitch() {
    let plan = plan(&shed(0.148, 3.0, ""));
    let slope = &plan.lattice.slopes[0];
    let outline = &plan.found.slopes[0].outline;
    let middles: Vec<f64> = slope
        .pieces
        .iter()
        .map(|p| {
            let (low, high) = batten_solid(&plan.design, outline, &plan.lattice.levels, p).expect("a board").bounds();
            (low.y + high.y) / 2.0 / INCH
        })
        .collect();
    // 8 ft: 1 3/4, 17 3/4, ... 81 3/4, and 96 - 3 3/4 = 92 1/4.
    assert_eq!(middles.len(), 7);
    for pair in middles[..6].windows(2) {
        assert!((pair[1] - pair[0] - 16.0).abs() < 1e-9, "{middles:?}");
    }
    assert!((middles[0] - 1.75).abs() < 1e-9 && (middles[6] - 92.25).abs() < 1e-9, "{middles:?}");
}

/// NDS 12.2, penetration of common sizes behind a 1x4 batten and a gap of 7/16 in: p = L - 3/4 - 7/16, computed from the
/// definition. Sizes of the nails: ASTM F1667, `from memory`.
#[test]
fn penetration_behind_a_batten_and_a_gap() {
    for (penny, shank, length, penetration) in [
        ("6d", 0.113, 2.0, 0.8125),
        ("8d", 0.131, 2.5, 1.3125),
        ("10d", 0.148, 3.0, 1.8125),
        ("12d", 0.148, 3.25, 2.0625),
        ("16d", 0.162, 3.5, 2.3125),
    ] {
        let plan = plan(&shed(shank, length, ""));
        let gap = plan.lattice.levels.strip - plan.found.framing_level;
        assert!((gap / INCH - 0.4375).abs() < 1e-9, "{gap}");
        let all = landings(&plan);
        for f in all.iter().flat_map(|l| &l.fasteners) {
            assert!((f.embedment / INCH - penetration).abs() < 1e-9, "{penny}: {}", f.embedment / INCH);
        }
        // NDS 12.1.6 and 12.3.5.3, `from memory`: below 10 diameters lateral values are reduced, so that is what is asked.
        let (found, n) = verdict(&plan.context(), "embedment-short");
        let short = penetration < 10.0 * shank;
        assert_eq!(short, penny == "6d");
        assert_eq!((found, n), if short { (Verdict::Fail, all.len()) } else { (Verdict::Pass, 0) }, "{penny}");
    }
}

/// Edge distance of 2.5 diameters (NDS commentary, `from memory`): a 0.131 in nail needs 0.3275 in, so in a rafter of
/// 1 1/2 in it may stand 0.75 - 0.3275 = 0.4225 in off the middle.
#[test]
fn a_nail_may_stand_0_4225_in_off_the_middle_of_a_rafter() {
    let moved = |across: f64| {
        let plan = plan(&shed(
            0.131,
            3.0,
            &format!("[limits]\nhair = \"0 mm\"\n[[move]]\nlanding = \"S-B03.L03\"\nacross = \"{across} in\"\n"),
        ));
        let (near, n) = verdict(&plan.context(), "near-member-side");
        let landing = landings(&plan).into_iter().find(|l| l.name == "S-B03.L03").expect("the landing");
        (near, n, landing.backed, landing.fasteners[0].room.expect("a room") / INCH)
    };
    for inside in [0.4185, 0.4225, -0.4225] {
        let (near, n, backed, room) = moved(inside);
        assert_eq!((near, n, backed), (Verdict::Pass, 0, true), "{inside}");
        assert!((room - (0.75 - inside.abs())).abs() < 1e-9, "{room}");
    }
    for outside in [0.4265, -0.4265] {
        let (near, n, backed, room) = moved(outside);
        assert_eq!((near, n, backed), (Verdict::Warn, 1, true), "{outside}");
        assert!((room - 0.3235).abs() < 1e-9, "{room}");
    }
}

/// A rafter cut plumb at both ends is a parallelogram: at every depth d below the membrane it runs from -d tan(pitch) to
/// length - d tan(pitch), and its volume is width x depth x length (plane geometry).
#[test]
fn plumb_cuts_make_a_parallelogram() {
    let plan = plan(&shed(0.148, 3.0, ""));
    let (tan, length, thin) = (0.5, 96.0 * INCH, INCH / 32.0);
    let rafters: Vec<_> = plan.found.members.iter().filter(|m| m.kind == MemberKind::Rafter).collect();
    assert_eq!(rafters.len(), 7);
    for m in rafters {
        let (mesh, pose) = m.mesh();
        assert!(mesh.is_closed());
        let volume = 1.5 * INCH * 7.25 * INCH * length;
        assert!((mesh.volume() / volume - 1.0).abs() < 1e-9, "{}: {} {volume}", m.name, mesh.volume());
        let corners: Vec<_> = mesh.positions.iter().map(|p| pose * p).collect();
        for depth in [thin, thin + 7.25 * INCH] {
            for y in [-depth * tan, length - depth * tan] {
                let here = corners.iter().filter(|c| (c.z + depth).abs() < 1e-9 && (c.y - y).abs() < 1e-9).count();
                assert_eq!(here, 2, "{}: at y {y}, {depth} deep: {corners:?}", m.name);
            }
        }
    }
}

/// A hip roof of 24 ft by 20 ft: the run is 10 ft.
fn hip(pitch: &str) -> Plan {
    plan(&format!(
        r#"
format = 1
name = "Hip for trade facts (invented)"
units = "inches"
[roof]
shape = "hip"
eave = "24 ft"
width = "20 ft"
pitch = "{pitch}"
facing = "180 deg"
ridge_board = {{ nominal = "2x10" }}
hip_rafter = {{ nominal = "2x10" }}
[[rafters]]
section = {{ nominal = "2x8" }}
spacing = "24 in"
first = "12 in"
[lattice]
batten = {{ nominal = "1x4", spacing = "16 in", least_piece = "24 in" }}
[fastening]
diameter = "0.148 in"
length = "3 in"
"#
    ))
}

/// Framing squares carry, for each pitch, the length of hip rafter and of common rafter for a foot of common run, inches:
/// 18.00 and 13.42 for 6 in 12, 18.36 and 13.89 for 7, 18.76 and 14.42 for 8 (`from memory`; recomputed here). In plan the
/// hip between slopes of one pitch runs at 45 deg.
#[test]
fn hips_and_rafters_have_the_lengths_of_the_framing_square() {
    for (rise, hip_unit, common_unit) in [(6.0, 18.00, 13.42), (7.0, 18.36, 13.89), (8.0, 18.76, 14.42)] {
        let plan = hip(&format!("{rise}:12"));
        let run_feet = 10.0;
        let hips: Vec<_> = plan.found.members.iter().filter(|m| m.kind == MemberKind::HipRafter).collect();
        assert_eq!(hips.len(), 4);
        for m in hips {
            // From low to high along the member's own y.
            let along = m.pose.rotation * airlath::solid::Vector3::y() * m.length;
            let (run, up) = (run_feet * 12.0 * INCH, run_feet * rise * INCH);
            assert!((m.length - (2.0 * run * run + up * up).sqrt()).abs() < 1e-9, "{}: {}", m.name, m.length);
            assert!((along.x.abs() - run).abs() < 1e-9 && (along.y.abs() - run).abs() < 1e-9, "{}: {along}", m.name);
            assert!((along.z - up).abs() < 1e-9, "{}: {along}", m.name);
            let unit = m.length / INCH / run_feet;
            assert!((unit - hip_unit).abs() < 0.005, "{}: {unit}", m.name);
        }
        // The slope's height is the line length of a common rafter.
        for slope in &plan.found.slopes {
            let unit = slope.outline.bounds().y1 / INCH / run_feet;
            assert!((unit - common_unit).abs() < 0.005, "{}: {unit}", slope.name);
        }
    }
}

/// Jack rafters on one hip grow by the same length each: spacing x unit length / 12 (framing squares, `from memory`): at
/// 24 in and 6 in 12 by 26.83 in (published as 26.83 or 26 13/16).
#[test]
fn jack_rafters_differ_by_the_framing_squares_length() {
    let plan = hip("6:12");
    let end = plan.found.slopes.iter().position(|s| s.outline.corners.len() == 3).expect("a hip end");
    let jacks: Vec<f64> = plan
        .found
        .members
        .iter()
        .filter(|m| m.kind == MemberKind::Rafter && m.home.map(|s| s.0) == Some(end))
        .map(|m| {
            assert!(matches!(m.section, Section::Sawn { .. }));
            m.length / INCH
        })
        .collect();
    // Feet 1, 3, 5, 7, 9 from the corner, and back.
    assert_eq!(jacks.len(), 10);
    for pair in jacks[..5].windows(2) {
        assert!((pair[1] - pair[0] - 26.83).abs() < 0.005, "{jacks:?}");
    }
}
