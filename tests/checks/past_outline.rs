//! `past-outline`, and tape and strips cut to the outline. The slope is 2440 by 1600; heads are 6 across.

use airlath::check::{self, Verdict::Fail};
use airlath::scene::{Building, Detail};
use airlath::solid::Point3;

use crate::checks::small::*;
use crate::common::plans::plan;

const NAME: &str = "past-outline";

/// Found 100 shorter than drawn: what is laid already ends where the drawing had it, the strips at 1540.
#[test]
fn what_is_laid_past_an_edge_that_was_found_lower() {
    let found = |laid: &str| {
        let corners = r#"[["0 mm", "0 mm"], ["2440 mm", "0 mm"], ["2440 mm", "1500 mm"], ["0 mm", "1500 mm"]]"#;
        shed(&[], &format!("[[found.slope]]\nname = \"S\"\noutline = {corners}\n[[laid]]\nwhat = [{laid}]\n"))
    };
    // The plumb cut at the top leans outward: at the strip's underside, 1 above the membrane, by tan 20 deg.
    for (laid, by) in [("\"tape\"", 100.0), ("\"strips\"", 40.0 - 20f64.to_radians().tan())] {
        let seen = seen(&found(laid), NAME);
        assert_eq!((seen.verdict, seen.findings.len()), (Fail, 5));
        for f in &seen.findings {
            assert_eq!(f.evidence.len(), 1);
            assert!((f.evidence[0].found.value() - by * 1e-3).abs() < 1e-9, "{}", f.message);
            assert!(f.message.contains("past edge S.3 (top)"), "{}", f.message);
        }
    }
}

/// Three from the edge a head six across touches it; one further it reaches past.
#[test]
fn a_head_by_a_millimetre() {
    passes(&shed(&[], &moved("S-B02.L01", -17.0, 0.0)), NAME);
    let seen = seen(&shed(&[], &moved("S-B02.L01", -18.0, 0.0)), NAME);
    assert_eq!((seen.verdict, seen.findings.len()), (Fail, 1));
    says(&seen.findings[0], Fail, &["S-B02.L01"], Some([-1.0, 475.0, TOP]), &[("past the edge", 1.0, Some(0.0))]);
}

/// Left and right end of what lies of a kind, millimetres, and its volume over its length and height.
fn ends(text: &str, tape: bool) -> Vec<(f64, f64)> {
    let plan = plan(text);
    let ctx = plan.context();
    let on = &ctx.slopes[0];
    let bodies = if tape { &on.tapes } else { &on.strips };
    let mut all: Vec<(f64, f64)> = bodies.entries.iter().map(|e| (e.low.x * 1e3, e.high.x * 1e3)).collect();
    all.sort_by(|a, b| a.0.total_cmp(&b.0));
    all
}

fn near(found: (f64, f64), hand: (f64, f64)) {
    assert!((found.0 - hand.0).abs() < 1e-6 && (found.1 - hand.1).abs() < 1e-6, "{found:?}, by hand {hand:?}");
}

/// Strips 40 wide to either side of a rafter's middle at 20 and at 2420: the outer one keeps 20 of its 40.
#[test]
fn doubled_strips_at_a_rake_are_cut_to_it() {
    let text = shed(&[("stock = \"2000 mm\", gap", "doubled_at_rake = true, stock = \"2000 mm\", gap")], "");
    passes(&text, NAME);
    let strips = ends(&text, false);
    near(strips[0], (0.0, 20.0));
    near(strips[1], (20.0, 60.0));
    near(strips[strips.len() - 1], (2420.0, 2440.0));
    // One tape under both, 60 + 40 wide about the rafter's middle: 30 of it would hang over.
    let tape = ends(&text, true);
    near(tape[0], (0.0, 70.0));
    near(tape[tape.len() - 1], (2370.0, 2440.0));
    let plan = plan(&text);
    let line = &plan.lattice.slopes[0].lines[0];
    assert_eq!(line.widths.len(), 1);
    assert!((line.widths[0].width - 0.030).abs() < 1e-9 && line.widths[0].strips == 2, "20 and 40 bear as 60");
    let strip = &plan.lattice.slopes[0].strips[0];
    assert!((strip.stock_width - 0.040).abs() < 1e-12, "it comes from a whole strip");
}

#[test]
fn tape_and_strips_keep_the_hold_back_of_a_rake() {
    let text = shed(&[("hold_back = { top", "hold_back = { rake = \"8 mm\", top")], "");
    passes(&text, NAME);
    near(ends(&text, false)[0], (8.0, 40.0));
    near(ends(&text, true)[0], (8.0, 50.0));
    near(ends(&text, true)[4], (2390.0, 2432.0));
}

/// Over the third rafter the strip ends at 1240 and its tape at 1250: an opening from 1245 on takes 5 of the tape, over its own
/// height alone.
#[test]
fn tape_beside_an_opening_goes_up_to_it() {
    let hole = "[[opening]]\nname = \"hole\"\nat = [\"1245 mm\", \"600 mm\"]\nsize = [\"300 mm\", \"300 mm\"]\n";
    let plan = plan(&shed(&[], hole));
    let ctx = plan.context();
    let third = ctx.slopes[0].tapes.entries.iter().filter(|e| e.low.x > 1.1 && e.high.x < 1.3);
    let mut third: Vec<_> = third.map(|e| ((e.low.y, e.high.y), (e.low.x, e.high.x))).collect();
    third.sort_by(|a, b| a.0.0.total_cmp(&b.0.0));
    let millimetres = |v: (f64, f64)| (v.0 * 1e3, v.1 * 1e3);
    assert_eq!(third.len(), 3, "{third:?}");
    near(millimetres(third[1].0), (600.0, 900.0));
    for (stretch, right) in third.iter().zip([1250.0, 1245.0, 1250.0]) {
        near(millimetres(stretch.1), (1190.0, right));
    }
    let strips = ends(&shed(&[], hole), false);
    assert!(strips.iter().any(|s| (s.1 - 1240.0).abs() < 1e-6), "the strip clears the opening: {strips:?}");
}

/// Boards that lap, the last course's middle at 1600 - 190 = 1410: a second row above it reaches to 1560, as far as a hold-back of
/// 40 lets it; with 41 it lies below.
#[test]
fn the_second_row_of_boards_that_lap_keeps_the_hold_back_of_the_top() {
    for (back, row) in [("40 mm", 1510.0), ("41 mm", 1310.0)] {
        let lap = [
            ("joint = \"butt\"", "joint = \"lap\""),
            ("\"3000 mm\"", "\"1600 mm\""),
            ("last = \"100 mm\"", "last = \"190 mm\""),
        ];
        let plan = plan(&shed(&lap, &format!("[[edge]]\nedge = \"S.3\"\nhold_back = \"{back}\"\n")));
        let highest = plan.lattice.slopes[0].pieces.iter().filter(|p| p.course == 4);
        let mut rows: Vec<f64> = highest.map(|p| p.y * 1e3).collect();
        rows.sort_by(f64::total_cmp);
        rows.dedup();
        let mut hand = [1410.0, row];
        hand.sort_by(f64::total_cmp);
        assert!(rows.len() == 2 && rows.iter().zip(hand).all(|(a, b)| (a - b).abs() < 1e-6), "{back}: {rows:?}");
    }
}

/// A framing course above an opening would lie from 1476.2 to 1576.2 (76.2 away): past a hold-back of 30 it is left out.
#[test]
fn a_course_that_frames_an_opening_keeps_the_hold_back_of_the_top() {
    let hole = "[[opening]]\nname = \"hole\"\nat = [\"700 mm\", \"1000 mm\"]\nsize = [\"300 mm\", \"400 mm\"]\n";
    for (back, framed) in [("20 mm", true), ("30 mm", false)] {
        let text = shed(
            &[("last = \"100 mm\"", "last = \"500 mm\"")],
            &format!("{hole}[[edge]]\nedge = \"S.3\"\nhold_back = \"{back}\"\n"),
        );
        let plan = plan(&text);
        let above = plan.lattice.slopes[0].courses.iter().any(|c| (c.y - 1.5262).abs() < 1e-9);
        assert_eq!(above, framed, "{back}: {:?}", plan.lattice.slopes[0].courses);
    }
}

/// Edges of which their neighbours leave nothing at the heads' level, and edges that hardly turn: a head moved past the top is told
/// by how far it is past it, and nothing breaks.
#[test]
fn short_and_hardly_turning_edges_are_asked_too() {
    let roof = |outline: &str, edges: &str, landing: &str| {
        format!(
            r#"format = 1
name = "Odd top (invented)"
units = "inches"
[[slope]]
name = "S"
facing = "180 deg"
pitch = "12:12"
eave_point = ["0 ft", "0 ft", "9 ft"]
outline = {outline}
[[rafters]]
section = {{ nominal = "2x8" }}
spacing = "16 in"
first = "8 in"
[lattice]
batten = {{ nominal = "1x4", spacing = "16 in" }}
[fastening]
diameter = "0.148 in"
length = "3 in"
{edges}{landing}"#
        )
    };
    let square =
        |edge: u32, kind: &str| format!("[[edge]]\nedge = \"S.{edge}\"\nkind = \"{kind}\"\ncut = \"square\"\n");
    let top = |edge: u32| format!("[[edge]]\nedge = \"S.{edge}\"\nkind = \"top\"\n");
    let pointed = roof(
        r#"[["0 in", "0 in"], ["144 in", "0 in"], ["72.5 in", "120 in"], ["72 in", "120 in"]]"#,
        &(square(2, "rake") + &square(4, "rake") + &top(3)),
        "[[move]]\nlanding = \"S-B07.L05\"\nup = \"24 in\"\nat = [\"72 in\", \"97 3/4 in\"]\n",
    );
    let bent = roof(
        r#"[["0 in", "0 in"], ["144 in", "0 in"], ["144 in", "100 in"], ["72 in", "100.5 in"], ["0 in", "100 in"]]"#,
        &(square(3, "wall") + &top(4)),
        "[[move]]\nlanding = \"S-B06.L02\"\nup = \"30 in\"\nat = [\"24 in\", \"81 3/4 in\"]\n",
    );
    for (text, name) in [(pointed, "S-B07.L05"), (bent, "S-B06.L02")] {
        let told = seen(&text, NAME);
        assert!(told.findings.iter().any(|f| f.parts == [name]), "{name}: {:?}", told.findings);
    }
}

/// Tape on a line that runs into the corner between two valleys is cut to a point by one of them, and touches the other there.
#[test]
fn tape_cut_to_the_corner_between_two_valleys_passes() {
    let corners = r#"[["0 mm", "0 mm"], ["600 mm", "0 mm"], ["1220 mm", "700 mm"], ["1840 mm", "0 mm"], ["2440 mm", "0 mm"], ["2440 mm", "1600 mm"], ["0 mm", "1600 mm"]]"#;
    let slope = format!("[[slope]]\nname = \"S\"\npitch = \"20 deg\"\noutline = {corners}\n[[rafters]]");
    let text = shed(&[("[[rafters]]", &slope)], "");
    let start = text.find("[roof]").unwrap();
    let end = text.find("[[slope]]").unwrap();
    let text = format!("{}{}", &text[..start], &text[end..]);
    let pointed = ends(&text, true).iter().any(|t| (t.1 - 1220.0).abs() < 1e-6);
    assert!(pointed, "a tape ends at the corner: {:?}", ends(&text, true));
    passes(&text, NAME);
}

/// Tape 60 wide runs 50 past the eave, and at the rakes, 20 beside the middles of the outer rafters, 8 of the 10 that it could.
#[test]
fn tape_that_is_turned_down_runs_past_the_edge_by_so_much() {
    let keep = "hold_back = { top = \"20 mm\" }";
    let text = shed(&[(keep, &format!("{keep}\nturn_down = {{ eave = \"50 mm\", rake = \"8 mm\" }}"))], "");
    passes(&text, NAME);
    passes(&text, "clash");
    let lows = |text: &str| -> Vec<f64> {
        let plan = plan(text);
        let ctx = plan.context();
        ctx.slopes[0].tapes.entries.iter().map(|e| (e.low.y * 1e9).round() / 1e6).collect()
    };
    assert_eq!((lows(&text), lows(&shed(&[], ""))), (vec![-50.0; 5], vec![0.0; 5]));
    near(ends(&text, true)[0], (-8.0, 50.0));
    near(ends(&text, true)[1], (590.0, 650.0));
    near(ends(&text, true)[4], (2390.0, 2448.0));
    near(ends(&text, false)[0], (0.0, 40.0));
    // Bought: five times 50 more. Weighed: besides, twice 8 at the rakes over all of it; the plumb cut at the top is the same.
    let tape = |text: &str| {
        let plan = plan(text);
        let ctx = plan.context();
        let results = check::run(&ctx);
        let building = Building::new(&ctx, &results, Detail::Plain);
        let scene = building.scene(&results);
        let row = scene.quantities.iter().find(|q| q.kind == "tape").unwrap();
        (row.length.unwrap(), row.area.unwrap())
    };
    let (plain, turned) = (tape(&shed(&[], "")), tape(&text));
    assert!((turned.0 - plain.0 - 5.0 * 0.05).abs() < 1e-9, "{turned:?} {plain:?}");
    let by_hand = 0.05 * (3.0 * 0.06 + 2.0 * 0.05) + 2.0 * 0.008 * (1.6 + 0.05);
    assert!((turned.1 - plain.1 - by_hand).abs() < 1e-5, "{} by hand {by_hand}", turned.1 - plain.1);
    // Found 4 narrower, what is laid reaches 12 past it, 8 of them to be turned down.
    let corners = r#"[["0 mm", "0 mm"], ["2436 mm", "0 mm"], ["2436 mm", "1600 mm"], ["0 mm", "1600 mm"]]"#;
    let found = format!("{text}[[found.slope]]\nname = \"S\"\noutline = {corners}\n[[laid]]\nwhat = [\"tape\"]\n");
    let seen = seen(&found, NAME);
    assert_eq!((seen.verdict, seen.findings.len()), (Fail, 1), "{:?}", seen.findings);
    assert_eq!(seen.findings[0].parts, ["S-L05.t1"]);
    assert!((seen.findings[0].evidence[0].found.value() - 0.004).abs() < 1e-9, "{}", seen.findings[0].message);
}

/// Rafters with eave tails beside them, so that a line jogs, below an edge aslant. INVENTED.
const SLANTED: &str = r#"
format = 1
name = "Tails below an edge aslant (invented)"
units = "inches"
[[slope]]
name = "A"
pitch = "PITCH"
facing = "FACING"
eave_point = [EAST, "0 in", "100 in"]
outline = OUTLINE
[[rafters]]
section = { nominal = "2x8" }
spacing = "16 in"
low = "12 in"
[[tails]]
section = { nominal = "2x6" }
spacing = "16 in"
first = "2 1/4 in"
high = "24 in"
[[edge]]
edge = "A.2"
kind = "rake"
[[edge]]
edge = "A.4"
kind = "rake"
[lattice]
tape = { width = "2 in" }
strip = { width = "1 1/2 in", height = "3/8 in" }
batten = { nominal = "1x4", spacing = "16 in" }
[fastening]
diameter = "0.131 in"
length = "3 in"
"#;

/// Every corner of every tape and strip against the outline as a polygon, by cross products; edges aslant are rakes, whose
/// cut is square.
#[test]
fn nothing_runs_past_an_edge_aslant_however_the_slope_lies() {
    let right = [(0.0, 0.0), (160.0, 0.0), (107.0, 96.0), (0.0, 96.0)];
    let left = [(0.0, 0.0), (160.0, 0.0), (160.0, 96.0), (53.0, 96.0)];
    let steep = [(0.0, 0.0), (200.0, 0.0), (190.0, 96.0), (7.0, 96.0)];
    for (outline, pitch, facing, east) in [
        (right, "4:12", "180 deg", "\"0 in\""),
        (left, "4:12", "180 deg", "\"0 in\""),
        (right, "11:12", "37 deg", "\"0 in\""),
        (left, "4:12", "37 deg", "\"1000 m\""),
        (steep, "8:12", "180 deg", "\"0 in\""),
    ] {
        let corners: Vec<String> = outline.iter().map(|(x, y)| format!("[\"{x} in\", \"{y} in\"]")).collect();
        let text = SLANTED
            .replace("OUTLINE", &format!("[{}]", corners.join(", ")))
            .replace("PITCH", pitch)
            .replace("FACING", facing)
            .replace("EAST", east);
        passes(&text, NAME);
        passes(&text, "strip-off-tape");
        let plan = plan(&text);
        let ctx = plan.context();
        let on = &ctx.slopes[0];
        let mut cut = 0;
        for body in on.tapes.entries.iter().chain(&on.strips.entries).map(|e| &e.body) {
            let form = body.form();
            cut += usize::from(form.vertices().len() != 8 || form.planes().iter().any(|p| p.normal.amax() < 0.999));
            for corner in form.vertices() {
                let p: Point3 = body.pose * corner;
                for i in 0..4 {
                    let (a, b) = (outline[i], outline[(i + 1) % 4]);
                    let (a, b) = ((a.0 * 0.0254, a.1 * 0.0254), (b.0 * 0.0254, b.1 * 0.0254));
                    let side = (b.0 - a.0) * (p.y - a.1) - (b.1 - a.1) * (p.x - a.0);
                    assert!(side / (b.0 - a.0).hypot(b.1 - a.1) > -1e-6, "{p} lies past edge {}", i + 1);
                }
            }
        }
        assert!(cut > 0, "an edge aslant cuts something");
    }
}

/// A strip of an L-shaped slope whose member stands in the line of the inner corner's rake: below the step it is whole,
/// above it half of it is left.
#[test]
fn a_strip_along_an_inner_corner() {
    let text = SLANTED
        .replace(
            "OUTLINE",
            r#"[["0 in", "0 in"], ["160 in", "0 in"], ["160 in", "48 in"], ["65 in", "48 in"], ["65 in", "96 in"], ["0 in", "96 in"]]"#,
        )
        .replace("PITCH", "4:12")
        .replace("FACING", "180 deg")
        .replace("EAST", "\"0 in\"")
        .replace("[[edge]]\nedge = \"A.4\"\nkind = \"rake\"\n", "");
    passes(&text, NAME);
    let plan = plan(&text);
    let on = &plan.lattice.slopes[0];
    let inches = |m: f64| m / 0.0254;
    let there = |y: f64, at: f64| {
        let over = |s: &&airlath::lattice::StripPiece| {
            let (low, high) = (s.path[0].0, s.path[s.path.len() - 1].0);
            let x = airlath::lattice::x_at(&s.path, y * 0.0254);
            inches(low) < y && y < inches(high) && (inches(x) - at).abs() < s.width / 0.0254 / 2.0
        };
        on.strips.iter().any(|s| over(&s))
    };
    assert!(there(40.0, 64.5) && there(40.0, 65.3), "whole below the step");
    assert!(there(60.0, 64.5) && !there(60.0, 65.3), "cut at the rake above it");
}

/// Two members that stand close at one end of a stretch and far apart at the other, for one of them was found crooked: their
/// strips do not lie in one another.
#[test]
fn strips_of_one_line_do_not_lie_in_one_another() {
    for far in [60.0, -60.0] {
        let found = format!(
            "[[found.member]]\nname = \"S-R02\"\noffsets = [{{ at = \"100 mm\", off = \"0 mm\" }}, {{ at = \"1500 mm\", off = \"{far} mm\" }}]\n\
             [[found.added]]\nkind = \"rafter\"\nslope = \"S\"\nsection = {{ width = \"40 mm\", depth = \"200 mm\" }}\n\
             from = [\"{} mm\", \"0 mm\"]\nto = [\"{0} mm\", \"1600 mm\"]\n",
            if far > 0.0 { 665 } else { 575 }
        );
        let text = shed(&[("gap = \"0 mm\"", "gap = \"0 mm\", join_within = \"10 mm\"")], &found);
        let plan = plan(&text);
        let ctx = plan.context();
        let bodies: Vec<_> = ctx.slopes[0].strips.entries.iter().collect();
        let mut near = 0;
        for (i, a) in bodies.iter().enumerate() {
            for b in &bodies[i + 1..] {
                if a.low.x < b.high.x && b.low.x < a.high.x {
                    near += 1;
                    let depth = a.body.depth(&b.body, 1e-5);
                    assert_eq!(depth, None, "strips {} and {} overlap", a.tag, b.tag);
                }
            }
        }
        assert!(near > 0, "two strips lie side by side on one line");
    }
}
