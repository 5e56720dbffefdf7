//! The drive log: what was really driven, judged by the solids, and never dropped without a word.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "a test stops at the first surprise")]

use std::fmt::Write as _;

use crate::common::cases::cases;
use crate::common::{EXAMPLES, SHED, edited, example};
use airlath::check::{self, Finding, Verdict};
use airlath::design::Faults;
use airlath::plan::Plan;
use airlath::record::{Remapped, Said, State};
use airlath::scene::{Building, Detail, PartKind, PartSource, blank_rows};
use airlath::write;
use proptest::prelude::*;

fn plan(text: &str) -> Plan {
    Plan::from_text("design.toml", text).unwrap_or_else(|f| panic!("{}", f.render(false)))
}

/// Every fastener of a plan with one outcome.
fn all(plan: &Plan, outcome: &str) -> String {
    let mut text = String::from("plan,landing,fastener,attempt,outcome\n");
    for row in blank_rows(&plan.found, &plan.lattice, &plan.fingerprints()) {
        writeln!(text, "{},{},{},1,{outcome}", row.plan, row.landing, row.fastener).unwrap();
    }
    text
}

/// A log of the shed from rows without their plan: `landing,fastener,attempt,outcome,across,up,seal,confirmed,note`.
fn log_of(plan: &Plan, rows: &[&str]) -> String {
    let mut text = String::from("plan,landing,fastener,attempt,outcome,across,up,seal,confirmed,note\n");
    for row in rows {
        writeln!(text, "{},{row}", plan.fingerprints().cell()).unwrap();
    }
    text
}

fn with(design: &str, rows: &[&str]) -> Plan {
    let plan = plan(design);
    let log = log_of(&plan, rows);
    plan.with_log("driven.csv", &log).unwrap_or_else(|f| panic!("{}", f.render(false)))
}

fn faults(design: &str, text: &str) -> Faults {
    plan(design).with_log("driven.csv", text).err().expect("this log has faults")
}

fn findings(plan: &Plan) -> Vec<Finding> {
    check::run(&plan.context()).into_iter().flat_map(|r| r.findings).collect()
}

fn of<'f>(findings: &'f [Finding], check: &str) -> Vec<&'f Finding> {
    findings.iter().filter(|f| f.check == check).collect()
}

#[test]
fn a_plan_without_a_log_says_that_these_checks_did_not_run() {
    let plan = plan(SHED);
    let results = check::run(&plan.context());
    for name in ["missed-not-replaced", "log-contradicts", "hole-unsealed", "left-to-drive"] {
        let r = results.iter().find(|r| r.check.name == name).unwrap();
        assert_eq!((r.verdict, r.findings.len()), (Verdict::NotChecked, 0));
        assert!(r.reason.as_ref().unwrap().contains("no drive log"));
    }
}

#[test]
fn all_held_adds_nothing_to_a_plan_without_findings() {
    let plan = plan(SHED);
    assert_eq!(findings(&plan), []);
    let log = all(&plan, "held");
    let plan = plan.with_log("driven.csv", &log).unwrap();
    assert_eq!(findings(&plan), []);
    let ctx = plan.context();
    assert_eq!(ctx.holding_count(), plan.lattice.landing_count());
}

#[test]
fn all_held_leaves_every_unbacked_landing_unbacked_or_contradicted() {
    for name in EXAMPLES {
        let plan = plan(&example(name));
        let log = all(&plan, "held");
        let before: Vec<Finding> = findings(&plan);
        let plan = plan.with_log("driven.csv", &log).unwrap();
        let after = findings(&plan);
        let ctx = plan.context();
        let mut bad = 0;
        for on in &ctx.slopes {
            for landing in on.lattice.landings.iter().filter(|l| !on.is_backed(l)) {
                bad += 1;
                let name = ctx.landing_name(on, landing);
                assert!(!on.holds(landing), "{name}");
                let told = |f: &&Finding| f.parts.first() == Some(&name) && f.verdict == Verdict::Fail;
                assert!(after.iter().any(|f| told(&f)), "{name}");
            }
        }
        assert_eq!(bad > 0, name.starts_with("gable") && name != "gable-mended", "{name}: {bad}");
        // What was told before is told after, and only contradictions are added. What is driven can no longer be moved, so
        // end distances are told in other words, together.
        let same = |f: &&Finding| f.check != "end-distance-short";
        let all_in = |some: &[Finding], others: &[Finding]| {
            let missing = |f: &&Finding| !others.iter().any(|o| o.message == f.message);
            some.iter().filter(same).filter(missing).map(|f| f.check).collect::<Vec<_>>()
        };
        assert!(
            all_in(&after, &before).iter().all(|c| *c == "log-contradicts"),
            "{name}: {:?}",
            all_in(&after, &before)
        );
        assert_eq!(all_in(&before, &after), Vec::<&str>::new(), "{name}");
    }
}

#[test]
fn all_missed_leaves_no_landing_holding() {
    for name in EXAMPLES {
        let plan = plan(&example(name));
        let log = all(&plan, "missed");
        let plan = plan.with_log("driven.csv", &log).unwrap();
        let ctx = plan.context();
        assert_eq!(ctx.holding_count(), 0, "{name}");
        let found = findings(&plan);
        let fasteners: usize = plan.lattice.slopes.iter().map(|s| s.fasteners.len()).sum();
        assert_eq!(of(&found, "missed-not-replaced").len(), fasteners.min(5_001), "{name}");
        // Every board hangs free.
        let pieces: usize = plan.lattice.slopes.iter().map(|s| s.pieces.len()).sum();
        assert_eq!(of(&found, "run-too-long").len(), pieces, "{name}");
        // Nobody wrote down where they are: no seal is taken for granted.
        let unknown = of(&found, "hole-unsealed");
        assert_eq!(unknown.len(), fasteners.min(5_001), "{name}");
        assert!(unknown.iter().all(|f| f.verdict == Verdict::Warn));
    }
}

#[test]
fn a_missed_fastener_stays_as_a_solid_and_as_a_penetration() {
    // Missed 1 1/4 in to the right, off a 1 1/2 in rafter and out of the 2 in tape; then held where it was planned.
    let plan = with(SHED, &["S-B02.L03,1,1,missed,1 1/4,0,,,sounded hollow", "S-B02.L03,1,2,held,,,,,"]);
    let ctx = plan.context();
    let results = check::run(&ctx);
    let building = Building::new(&ctx, &results, Detail::Plain);
    let scene = building.scene(&results);
    let mut parts = Vec::new();
    let walk = scene.source.walk_parts(airlath::scene::Texts::Wanted, &mut |p| {
        parts.push((p.name.to_owned(), p.kind, p.pose.translation.vector, p.size.to_owned()));
        Ok(())
    });
    walk.unwrap();
    assert_eq!(parts.len(), building.part_count());
    let left: Vec<_> = parts.iter().filter(|p| p.1 == PartKind::LeftIn).collect();
    assert_eq!(left.len(), 1);
    assert_eq!(left[0].0, "S-B02.L03-1.M1");
    assert_eq!(left[0].3, "missed fastener, unsealed");
    let planned = plan.lattice.slopes[0].fasteners[(5 + 2) * 2];
    assert!((left[0].2.x - planned.x - 1.25 * 0.0254).abs() < 1e-9 && (left[0].2.y - planned.y).abs() < 1e-9);
    let record = &scene.header.penetrations[0];
    assert_eq!((record.name.as_str(), record.seal.as_str(), record.row), ("S-B02.L03-1.M1", "unsealed", Some(2)));
    assert_eq!(record.note, "sounded hollow");
    let found = findings(&plan);
    let told = of(&found, "hole-unsealed");
    assert_eq!((told.len(), told[0].verdict), (1, Verdict::Fail));
    assert_eq!(told[0].parts, ["S-B02.L03-1.M1", "S-B02.L03"]);
    // One is in, the other still to drive: two parts of one landing.
    let of_landing: Vec<_> = parts.iter().filter(|p| p.0.starts_with("S-B02.L03")).map(|p| p.1).collect();
    assert_eq!(of_landing.iter().filter(|k| **k == PartKind::Fasteners).count(), 1);
    assert_eq!(of_landing.iter().filter(|k| **k == PartKind::ToDrive).count(), 1);
    assert!(scene.quantities.iter().any(|q| q.kind == "missed fastener" && q.count == 1));
}

#[test]
fn a_seal_is_what_the_tape_and_the_row_say() {
    // Tape 2 in wide about the rafter's middle, shank 0.148 in, margin 1/4 in: sealed up to 0.676 in off, cut from 0.926 in.
    for (across, seal, verdict) in [
        ("0.67,0,", "sealed", None),
        ("0.69,0,", "scantly sealed", Some(Verdict::Warn)),
        ("0.92,0,", "scantly sealed", Some(Verdict::Warn)),
        ("0.94,0,", "unsealed", Some(Verdict::Fail)),
        ("3,0,", "unsealed", Some(Verdict::Fail)),
        ("3,0,patched", "sealed", None),
        ("0,0,open", "unsealed", Some(Verdict::Fail)),
        (",,", "seal unknown", Some(Verdict::Warn)),
        (",,patched", "sealed", None),
    ] {
        let plan = with(SHED, &[&format!("S-B02.L03,1,1,missed,{across},yes,"), "S-B02.L03,1,2,held,,,,,"]);
        let found = findings(&plan);
        let told = of(&found, "hole-unsealed");
        assert_eq!(told.first().map(|f| f.verdict), verdict, "{across}");
        assert_eq!(told.len(), usize::from(verdict.is_some()));
        let ctx = plan.context();
        let results = check::run(&ctx);
        let building = Building::new(&ctx, &results, Detail::Plain);
        assert_eq!(building.scene(&results).header.penetrations[0].seal, seal, "{across}");
    }
}

#[test]
fn holes_are_rows_too() {
    let holes =
        ["S,1,,hole,40,20,patched,,old antenna", "S,2,,hole,50,20,,,", "S,3,,hole,,,open,,somewhere near the top"];
    let plan = with(SHED, &holes);
    let found = findings(&plan);
    let told: Vec<_> = of(&found, "hole-unsealed").iter().map(|f| (f.verdict, f.parts[0].clone())).collect();
    assert_eq!(told, [(Verdict::Warn, "S-H02".into()), (Verdict::Fail, "S-MB".into())]);
    let ctx = plan.context();
    let results = check::run(&ctx);
    let building = Building::new(&ctx, &results, Detail::Plain);
    let scene = building.scene(&results);
    let names: Vec<_> = scene.header.penetrations.iter().map(|p| p.name.as_str()).collect();
    assert_eq!(names, ["S-H01", "S-H02", "S-H03"]);
    let mut shown = Vec::new();
    let walk = scene.source.walk_parts(airlath::scene::Texts::Unwanted, &mut |p| {
        if p.kind == PartKind::Hole {
            shown.push(p.name.to_owned());
        }
        Ok(())
    });
    walk.unwrap();
    assert_eq!(shown, ["S-H01", "S-H02"]);
}

#[test]
fn runs_are_judged_by_what_holds() {
    let plan = with(SHED, &["S-B02.L03,1,1,missed,0,0,,yes,", "S-B02.L03,2,1,held,,,,,"]);
    let found = findings(&plan);
    let runs = of(&found, "run-too-long");
    assert_eq!(runs.len(), 1);
    assert_eq!(runs[0].parts, ["S-B02.1", "S-B02.L02", "S-B02.L04"]);
    let missed = of(&found, "missed-not-replaced");
    assert_eq!(missed.len(), 1);
    assert!(missed[0].advice[0].contains("again"), "{}", missed[0].advice[0]);
    // Driven again where the tool said: it holds, and its head clears the one that was left in.
    let again =
        with(SHED, &["S-B02.L03,1,1,missed,0,0,,yes,", "S-B02.L03,1,2,held,5/16,0,,,", "S-B02.L03,2,1,held,,,,,"]);
    let found = findings(&again);
    assert!(of(&found, "run-too-long").is_empty() && of(&found, "missed-not-replaced").is_empty());
}

#[test]
fn the_place_that_is_told_for_a_missed_one_works() {
    // In holes drilled first: without them no place that is sure keeps 15 diameters from the second nail, which the check says.
    let shed = edited(SHED, "length = \"3 in\"", "length = \"3 in\"\npredrilled = true");
    let plan = with(&shed, &["S-B02.L03,1,1,missed,0,0,,yes,", "S-B02.L03,2,1,held,,,,,"]);
    let ctx = plan.context();
    let on = &ctx.slopes[0];
    let landing = on.lattice.landings.iter().position(|l| ctx.landing_name(on, l) == "S-B02.L03").unwrap();
    let to = check::driven::remaining::remaining(&ctx, on, landing, 0).unwrap();
    // No nearer to the one that was left in than a head is wide.
    assert!(to.across.hypot(to.up) >= 2.0 * 0.148 * 0.0254 - 1e-5);
    let rows = [
        "S-B02.L03,1,1,missed,0,0,,yes,".to_owned(),
        format!("S-B02.L03,1,2,held,{} mm,{} mm,,,", to.across * 1e3, to.up * 1e3),
        "S-B02.L03,2,1,held,,,,,".to_owned(),
    ];
    let rows: Vec<&str> = rows.iter().map(String::as_str).collect();
    let found = findings(&with(&shed, &rows));
    assert!(found.iter().all(|f| f.check == "left-to-drive"), "{:?}", found.first());
}

/// The places told for the fasteners of a landing that lack, metres from where they were planned.
fn told(plan: &Plan, name: &str) -> Vec<Option<check::driven::remaining::Beside>> {
    let ctx = plan.context();
    let on = &ctx.slopes[0];
    let landing = on.lattice.landings.iter().position(|l| ctx.landing_name(on, l) == name).unwrap();
    (0..2).map(|k| check::driven::remaining::remaining(&ctx, on, landing, k)).collect()
}

#[test]
fn the_second_fastener_gets_the_remaining_window() {
    // A head is 0.296 in wide; at 3 deg the hand's tilt moves the shank by 0.0393 in within the batten: 0.3353 in off the one
    // that was left in, in a window 0.24 in to either side. In sixteenths: 2 across and 5 up or down come to 0.3366 in, the
    // least above it (1 and 5 to 0.319 in, none and 6 to 0.375 in).
    let one = with(SHED, &["S-B02.L03,1,1,missed,0,0,,yes,", "S-B02.L03,2,1,held,,,,,"]);
    let to = told(&one, "S-B02.L03")[0].unwrap();
    let steps = [to.across, to.up].map(|v| v / 0.001_587_5);
    assert!(steps.iter().all(|s| (s - s.round()).abs() < 1e-6) && !to.square, "{to:?}");
    assert!((to.across.hypot(to.up) / 0.0254 - (0.3125_f64).hypot(0.125)).abs() < 1e-6, "{to:?}");
    let found = findings(&one);
    let words = &of(&found, "missed-not-replaced")[0].advice[0];
    assert!(words.contains("again 1/8 in further ") && words.contains(" and 5/16 in further "), "{words}");
    // Two that lack on one landing are told places that go together.
    // The same for each alone would be 3/4 in from one another, and the hand's tilt asks for 5 diameters and 0.039 in.
    let near = edited(SHED, "length = \"3 in\"", "length = \"3 in\"\nspread = \"3/4 in\"");
    let two = with(&near, &["S-B02.L03,1,1,missed,0,0,,yes,", "S-B02.L03,2,1,missed,0,0,,yes,"]);
    let all = told(&two, "S-B02.L03");
    let (a, b) = (all[0].unwrap(), all[1].unwrap());
    let apart = (a.across - b.across).hypot(a.up - b.up - 0.75 * 0.0254);
    assert!(apart >= (0.74 + 0.039) * 0.0254, "{a:?} {b:?}");
    // A hand so unsure that no place is left for it: one without tilt is told, and said to be one.
    let unsure = format!("{SHED}[tolerance]\ntilt = \"14 deg\"\n");
    let unsure = with(&unsure, &["S-B02.L03,1,1,missed,0,0,,yes,", "S-B02.L03,2,1,held,,,,,"]);
    assert!(told(&unsure, "S-B02.L03")[0].unwrap().square);
    let found = findings(&unsure);
    assert!(of(&found, "missed-not-replaced")[0].advice[0].contains("without any tilt"));
}

/// The shed with its nails 7/8 in above and below a batten's middle, in holes drilled first.
fn close() -> String {
    edited(SHED, "length = \"3 in\"", "length = \"3 in\"\nspread = \"1 3/4 in\"\npredrilled = true")
}

#[test]
fn a_place_told_for_a_missed_one_keeps_off_clips() {
    // A seam over the second rafter: its clips, 1 by 1 1/2 in, stand between the nails.
    let shed = close();
    let panels = "[panels]\nwidth = \"16 in\"\nfirst_seam = \"8 3/4 in\"\nscrew_diameter = \"0.164 in\"\nscrew_length = \"3/4 in\"\n";
    let rows = ["S-B02.L02,1,1,missed,0,-0.5,,yes,", "S-B02.L02,2,1,held,,,,,"];
    let place = |text: &str| {
        let plan = with(text, &rows);
        let (ctx, to) = (plan.context(), told(&plan, "S-B02.L02")[0].unwrap());
        let on = &ctx.slopes[0];
        let landing = on.lattice.landings.iter().find(|l| ctx.landing_name(on, l) == "S-B02.L02").unwrap();
        let own = on.lattice.fasteners_of(landing)[0];
        (own.x + to.across - landing.x, own.y + to.up - on.piece(landing).unwrap().y)
    };
    let (x, y) = place(&format!("{shed}{panels}"));
    let off = (x.abs() - 0.5 * 0.0254).max(0.0).hypot((y.abs() - 0.75 * 0.0254).max(0.0));
    assert!(off >= 0.148 * 0.0254, "{x} {y}");
    assert_ne!((x, y), place(&shed));
}

#[test]
fn a_clip_stands_on_a_head_that_was_left_in() {
    // Clips 1 by 1 1/4 in between nails 7/8 in above and below the middle: heads of 0.296 in are clear by 0.102 in.
    let panels = "[panels]\nwidth = \"16 in\"\nfirst_seam = \"8 3/4 in\"\nclip_length = \"1 1/4 in\"\nscrew_diameter = \"0.164 in\"\n\
                  screw_length = \"3/4 in\"\n";
    let clipped = format!("{}{panels}", close());
    let told = |up: &str| {
        let rows = [format!("S-B02.L02,1,1,missed,0,{up},,yes,"), "S-B02.L02,1,2,held,,,,,".to_owned()];
        let found = findings(&with(&clipped, &[&rows[0], &rows[1]]));
        of(&found, "clip-on-head").iter().map(|f| f.parts[1].clone()).collect::<Vec<_>>()
    };
    assert_eq!(told("0.11"), ["S-B02.L02-1.M1"]);
    assert_eq!(told("0.09"), Vec::<String>::new());
}

#[test]
fn heads_that_were_left_in_clash_with_heads_and_with_the_nails_of_straps() {
    // Heads are 0.296 in wide.
    let clashes = |text: &str, rows: &[&str]| {
        let found = findings(&with(text, rows));
        let told = of(&found, "clash");
        told.iter().map(|f| (f.verdict, f.message.clone(), f.parts.clone())).collect::<Vec<_>>()
    };
    let again =
        |across: &str| clashes(SHED, &["S-B02.L03,1,1,missed,0,0,,yes,", &format!("S-B02.L03,1,2,held,{across},0,,,")]);
    assert!(again("0.3").is_empty());
    let told = again("0.29");
    assert_eq!(told.len(), 1);
    assert_eq!((told[0].0, &told[0].2), (Verdict::Fail, &vec!["S-B02.L03-1.M1".to_owned(), "S-B02.L03".to_owned()]));
    assert!(told[0].1.starts_with("heads of missed fastener S-B02.L03-1.M1 and fastener 1 of S-B02.L03 overlap"));
    // Without its place nothing is asked; what lacks is not there; two that were left in are told once.
    assert!(clashes(SHED, &["S-B02.L03,1,1,missed,,,,yes,", "S-B02.L03,1,2,held,,,,,"]).is_empty());
    assert!(clashes(SHED, &["S-B02.L03,1,1,missed,0,0,,yes,"]).is_empty());
    let twice = clashes(SHED, &["S-B02.L03,1,1,missed,0,0,,yes,", "S-B02.L03,1,2,missed,0.2,0,,yes,"]);
    assert_eq!(twice.len(), 1);
    assert_eq!(twice[0].2, ["S-B02.L03-1.M1", "S-B02.L03-1.M2"]);
    // A landing's other fastener, driven where one lacks, is no clash with what is not there.
    assert!(clashes(SHED, &["S-B02.L03,1,1,missed,0,-0.3,,yes,", "S-B02.L03,2,1,held,0,-1.75,,,"]).is_empty());
    // A strap beside the third rafter's middle, a row of nails along it: those of the second course begin at 16 3/4 in.
    let strap = "[[straps]]\nalong = \"rafter\"\nshift = \"2 in\"\nwidth = \"1 1/4 in\"\nthickness = \"1/16 in\"\nlow = \"16 in\"\n\
                 high = \"20 in\"\nseam = \"18 in\"\ngap = \"1/2 in\"\nnails = { diameter = \"0.148 in\", length = \"1 1/2 in\", \
                 spacing = \"1 in\", end = \"1/2 in\" }\n";
    let strapped = format!("{SHED}{strap}");
    let plan = plan(&strapped);
    let nail = plan.found.straps.iter().find(|s| s.name == "S-ST03").unwrap().nails[1];
    let here = plan.lattice.slopes[0].fasteners[(5 + 2) * 2];
    let at = |more: f64| {
        let (x, y) = ((nail.x - here.x) / 0.0254 + more, (nail.y - here.y) / 0.0254);
        clashes(&strapped, &[&format!("S-B02.L03,1,1,missed,{x:.6},{y:.6},,yes,"), "S-B02.L03,1,2,held,,,,,"])
    };
    let hit = at(0.147);
    assert_eq!(hit.len(), 1, "{hit:?}");
    assert!(hit[0].1.starts_with("missed fastener S-B02.L03-1.M1 meets nail 2 of strap S-ST03"), "{}", hit[0].1);
    assert!(at(0.149).is_empty());
}

#[test]
fn what_was_left_in_under_the_ridge_meets_the_other_slope() {
    let steep = "format = 1\nname = \"Steep (invented)\"\nunits = \"millimetres\"\n[roof]\nshape = \"gable\"\neave = \"2440 mm\"\n\
                 width = \"2400 mm\"\npitch = \"45 deg\"\n[[rafters]]\nsection = { width = \"40 mm\", depth = \"200 mm\" }\n\
                 spacing = \"600 mm\"\nfirst = \"20 mm\"\nlast = \"2420 mm\"\nclose = true\n[deck]\nthickness = \"12 mm\"\n\
                 [lattice]\nvent = { width = \"20 mm\" }\nbatten = { width = \"40 mm\", thickness = \"20 mm\", spacing = \"400 mm\", \
                 last = \"60 mm\", stock = [\"3000 mm\"] }\n[fastening]\ndiameter = \"3 mm\"\nlength = \"120 mm\"\n\
                 per_landing = 1\n[limits]\nembedment = \"10 mm\"\n";
    // By symmetry those of both slopes meet under the ridge; one that missed 20 mm beside meets nothing, where it was planned
    // it meets the other one still.
    let met = |offset: &str| {
        let name = {
            let plan = plan(steep);
            let on = &plan.lattice.slopes[0];
            on.landing_name(on.landings.last().unwrap(), &plan.found)
        };
        let rows = [format!("{name},1,1,missed,{offset},,yes,"), format!("{name},1,2,not yet,,,,,")];
        let rows: Vec<&str> = rows.iter().map(String::as_str).collect();
        let found = findings(&with(steep, &rows));
        of(&found, "clash").iter().filter(|f| f.message.contains("missed fastener")).count()
    };
    assert_eq!((met("0,0"), met("20,0")), (1, 0));
}

#[test]
fn a_contradiction_does_not_hold_until_it_is_settled() {
    // Two inches off the middle of a 1 1/2 in rafter nothing is there.
    // The group's middle goes with its fasteners, an inch here.
    let shed = edited(SHED, "end_distance = \"1/2 in\"", "end_distance = \"1/2 in\"\nrun = \"26 in\"");
    let held =
        |confirmed: &str| with(&shed, &[&format!("S-B02.L03,1,1,held,2,0,,{confirmed},"), "S-B02.L03,2,1,held,,,,,"]);
    let told = findings(&held(""));
    let contradiction = of(&told, "log-contradicts");
    assert_eq!(contradiction.len(), 1);
    assert_eq!((contradiction[0].verdict, contradiction[0].source.text.as_str()), (Verdict::Fail, "drive log, row 2"));
    assert_eq!(of(&told, "run-too-long").len(), 1);
    assert_eq!(of(&told, "landing-not-backed").len(), 1);
    let settled = findings(&held("yes"));
    assert!(of(&settled, "log-contradicts").is_empty());
    assert!(of(&settled, "run-too-long").is_empty() && of(&settled, "landing-not-backed").is_empty());
    // A survey that finds the rafter there settles it too.
    let moved = "[found]\n[[found.member]]\nname = \"S-R03\"\noffsets = [{ at = \"0 in\", off = \"2 in\" }]\n\
                 [[laid]]\nwhat = [\"tape\", \"strips\", \"battens\", \"fasteners\"]\n";
    let surveyed = with(&format!("{SHED}{moved}"), &["S-B02.L03,1,1,held,2,0,,,", "S-B02.L03,2,1,held,2,0,,,"]);
    let told = findings(&surveyed);
    assert!(of(&told, "log-contradicts").is_empty());
    let ctx = surveyed.context();
    let on = &ctx.slopes[0];
    let landing = on.lattice.landings.iter().find(|l| ctx.landing_name(on, l) == "S-B02.L03").unwrap();
    assert!(on.holds(landing));
    // Missed where the solids show wood all round.
    let missed =
        |c: &str| findings(&with(SHED, &[&format!("S-B02.L03,1,1,missed,0,0,,{c},"), "S-B02.L03,1,2,held,3/8,0,,,"]));
    assert_eq!(of(&missed(""), "log-contradicts").len(), 1);
    assert_eq!(of(&missed(""), "log-contradicts")[0].verdict, Verdict::Warn);
    assert_eq!(of(&missed("yes"), "log-contradicts").len(), 0);
}

#[test]
fn a_drilled_hole_is_used_up_by_the_next_attempt_at_its_place() {
    let left = |rows: &[&str]| {
        let plan = with(SHED, rows);
        plan.driven.as_ref().unwrap().left_in[0].iter().map(|l| l.name.clone()).collect::<Vec<_>>()
    };
    assert!(left(&["S-B02.L03,1,1,pre-drilled,,,,,"]).is_empty());
    assert!(left(&["S-B02.L03,1,1,pre-drilled,,,,,", "S-B02.L03,1,2,held,,,,,"]).is_empty());
    assert_eq!(left(&["S-B02.L03,1,1,pre-drilled,,,,,", "S-B02.L03,1,2,held,1/2,0,,,"]), ["S-B02.L03-1.D1"]);
    assert_eq!(
        left(&["S-B02.L03,1,1,held,,,,,", "S-B02.L03,1,2,missed,1,0,,,", "S-B02.L03,1,3,held,1/2,0,,,"]),
        ["S-B02.L03-1.X1", "S-B02.L03-1.M2"]
    );
}

#[test]
fn the_order_of_rows_leaves_no_trace() {
    let rows = [
        "S-B02.L03,1,1,missed,1,0,,,",
        "S-B02.L03,1,2,held,1/4,0,,,",
        "S-B01.L01,2,1,held,,,,,",
        "S,1,,hole,40,20,patched,,",
        "S-B04.L05,1,1,pre-drilled,,,,,",
        "S,2,,hole,41,20,,,",
    ];
    let first = with(SHED, &rows).driven.unwrap();
    let strip = |d: &airlath::record::Driven| {
        let mut log = d.log.clone();
        log.entries.iter_mut().for_each(|e| e.row = 0);
        log.holes.iter_mut().for_each(|h| h.row = 0);
        (log, d.states.clone(), d.left_in[0].iter().map(|l| l.name.clone()).collect::<Vec<_>>())
    };
    for turn in 1..rows.len() {
        let mut turned = rows.to_vec();
        turned.rotate_left(turn);
        let other = with(SHED, &turned).driven.unwrap();
        assert_eq!(strip(&other), strip(&first));
        turned.reverse();
        assert_eq!(strip(&with(SHED, &turned).driven.unwrap()), strip(&first));
    }
    // A row said twice is one row, and it is counted.
    let twice = with(SHED, &[rows[2], rows[2]]).driven.unwrap();
    assert_eq!((twice.log.entries.len(), twice.log.repeated), (1, 1));
}

#[test]
fn faults_come_all_at_once_with_row_column_and_hint() {
    let plan = plan(SHED);
    let p = plan.fingerprints().cell();
    let text = format!(
        "plan,landing,fastener,x [in],y [in],attempt,outcome,across,up,seal,confirmed,note\n\
         {p},S-B02.L03,1,,,1,hold,,,,,\n\
         {p},S-B02.L33,1,,,1,held,,,,,\n\
         {p},S-B02.L03,3,,,1,held,,,,,\n\
         {p},S-B02.L04,1,,,2,held,,,,,\n\
         {p},S-B02.L04,2,,,1,held,wide,,,,\n\
         {p},S-B03.L04,2,,,1,held,,,glued,maybe,\n\
         plan-00000000,S-B03.L05,2,,,1,held,,,,,\n\
         {p},S-B01.L01,1,,,1,held,,,,,\n\
         {p},S-B01.L01,1,,,1,missed,,,,,\n\
         {p},S-B01.L02,1,0,,1,held,,,,,\n\
         {p},S-B01.L03,1,,,1,not yet,1/2,,,,\n\
         {p},Q,1,,,,hole,1,,,,\n"
    );
    let faults = faults(SHED, &text);
    let told: Vec<(&str, &str)> = faults.faults.iter().map(|f| (f.key.as_str(), f.message.as_str())).collect();
    assert_eq!(
        told,
        [
            ("row 2, outcome", "`hold` is no outcome"),
            ("row 3, landing", "no landing is named S-B02.L33"),
            ("row 4, fastener", "S-B02.L03 has no fastener 3"),
            ("row 5, attempt", "attempt 2 without attempt 1"),
            ("row 6, across", "a number is missing in `wide`"),
            ("row 7, seal", "`glued` says nothing about a seal"),
            ("row 7, confirmed", "`maybe` is neither yes nor no"),
            (
                "row 8, plan",
                &*format!(
                    "1 row is of plan 00000000 (row 8); this is plan {}, whose landings, fasteners or framing are others",
                    plan.fingerprint()
                )
            ),
            ("row 10, outcome", "row 9 says something else of the same attempt"),
            ("row 11, x", "this fastener is planned at 24.75 in"),
            ("row 12, across", "not yet driven, and yet this is said of it"),
            ("row 13, landing", "no slope is named Q"),
            ("row 13, across", "half a place"),
        ]
    );
    assert!(faults.faults.iter().all(|f| !f.hint.is_empty()));
    let shown = faults.render(false);
    assert!(shown.contains("at driven.csv line 2, column") && shown.contains("key row 2, outcome"), "{shown}");
    assert!(shown.ends_with("13 faults in driven.csv; nothing was written\n"));
}

/// Everything that another plan makes of its rows has that one cause, which is told once; what is wrong with a row whatever its
/// plan is told beside it.
#[test]
fn rows_of_another_plan_are_one_fault_and_other_faults_stay() {
    let old = plan(SHED);
    let rows = blank_rows(&old.found, &old.lattice, &old.fingerprints());
    let mut form = Vec::new();
    write::driven::write(&rows, &[], old.design.units, &mut form).unwrap();
    let form = String::from_utf8(form).unwrap();
    let last = form.lines().position(|l| l.contains(",S-B04.L05,2,")).unwrap();
    let line = form.lines().nth(last).unwrap();
    let text = edited(&form, line, &line.replacen(",1,,,,,,", ",1,hold,,,,,", 1));
    // One rafter was found an inch off, and so the last landings are planned elsewhere; then the roof lacks its last rafter.
    let moved = "[found]\n[[found.member]]\nname = \"S-R03\"\noffsets = [{ at = \"0 in\", off = \"1 in\" }]\n";
    for new in
        [format!("{SHED}{moved}"), edited(SHED, "first = \"3/4 in\"", "first = \"3/4 in\"\nlast = \"72 3/4 in\"")]
    {
        let faults = faults(&new, &text).faults;
        let keys: Vec<&str> = faults.iter().map(|f| f.key.as_str()).collect();
        assert_eq!(keys, ["row 2, plan", &format!("row {}, outcome", last + 1)], "{faults:?}");
        let told = &faults[0];
        assert!(
            told.message.starts_with(&format!("50 rows are of plan {} (rows 2, 3, 4 and 47 more)", old.fingerprint())),
            "{}",
            told.message
        );
        assert!(told.hint.contains("--remap") && told.hint.contains("--found"), "{}", told.hint);
    }
}

#[test]
fn a_form_reads_back_as_the_plan_with_nothing_driven() {
    for name in EXAMPLES {
        let plan = plan(&example(name));
        let rows = blank_rows(&plan.found, &plan.lattice, &plan.fingerprints());
        let mut form = Vec::new();
        write::driven::write(&rows, &["Measure, twice.".to_owned()], plan.design.units, &mut form).unwrap();
        let form = String::from_utf8(form).unwrap();
        // As some spreadsheets give it back: semicolons, decimal commas, a byte-order mark, other ends of lines.
        let back = form.replace(',', ";").replace('.', ",").replace('\n', "\r\n");
        let back = back
            .replace(",L", ".L")
            .replace(",LK", ".LK")
            .replace(",P", ".P")
            .replace(",l;", ".l;")
            .replace(",r;", ".r;");
        for text in [form, back] {
            let read = Plan::from_text("d.toml", &example(name)).unwrap().with_log("f.csv", &text);
            let read = read.unwrap_or_else(|f| panic!("{}", f.render(false)));
            let driven = read.driven.unwrap();
            assert_eq!(driven.log.entries.len(), rows.len());
            assert!(driven.states.iter().flatten().all(|s| *s == State::Planned));
        }
    }
}

#[test]
fn a_log_of_another_plan_is_carried_over_place_by_place() {
    let old = plan(SHED);
    let rows = blank_rows(&old.found, &old.lattice, &old.fingerprints());
    let mut form = Vec::new();
    write::driven::write(&rows, &[], old.design.units, &mut form).unwrap();
    let mut text = String::from_utf8(form).unwrap();
    let filled = |text: &mut String, landing: &str, n: u32, outcome: &str, across: &str| {
        let line = text.lines().find(|l| l.contains(&format!(",{landing},{n},"))).unwrap().to_owned();
        let new = line.replacen(",1,,,,,,", &format!(",1,{outcome},{across},,,,"), 1);
        *text = edited(text, &line, &new);
    };
    filled(&mut text, "S-B02.L03", 1, "held", "1/4");
    filled(&mut text, "S-B02.L03", 2, "missed", "");
    filled(&mut text, "S-B02.L04", 1, "held", "");
    // The rafters stand half an inch further left now.
    let new = edited(SHED, "first = \"3/4 in\"", "first = \"1/4 in\"");
    let new_plan = plan(&new);
    assert!(faults(&new, &text).faults[0].message.starts_with("50 rows are of plan"));
    let Remapped { log, moved, gone } =
        airlath::record::remap(&text, &new_plan.design, &new_plan.found, &new_plan.lattice, &new_plan.fingerprints())
            .unwrap();
    assert_eq!((moved.len(), log.entries.len(), gone.len()), (50, 50, 0));
    let inch = 0.0254;
    for m in &moved {
        assert!((m.new.0 - m.old.0 + inch / 2.0).abs() < 1e-5 && (m.new.1 - m.old.1).abs() < 1e-5);
    }
    let offset = |landing: u32, fastener: u8| {
        log.entries.iter().find(|e| (e.landing, e.fastener) == (landing, fastener)).unwrap().offset
    };
    // What is driven stays where it is; what was not written down stays unknown.
    assert!((offset(7, 0).unwrap().0 - (0.25 + 0.5) * inch).abs() < 1e-5);
    assert_eq!(offset(7, 1), None);
    assert!((offset(8, 0).unwrap().0 - inch / 2.0).abs() < 1e-5);
    // Carried over and written, it is a log of the new plan.
    let rows =
        airlath::scene::remapped_rows(&new_plan.found, &new_plan.lattice, &new_plan.fingerprints(), &moved, &log.holes);
    let mut out = Vec::new();
    write::driven::write(&rows, &[], new_plan.design.units, &mut out).unwrap();
    let out = String::from_utf8(out).unwrap();
    let read = new_plan.with_log("r.csv", &out).unwrap_or_else(|f| panic!("{}", f.render(false)));
    let at = read.driven.as_ref().unwrap().lattice.slopes[0].fasteners[14];
    assert!((at.x - old.lattice.slopes[0].fasteners[14].x - 0.25 * inch).abs() < 1e-5);
}

#[test]
fn what_a_new_plan_has_no_landing_for_becomes_a_hole_of_it() {
    let old = plan(SHED);
    let at = |landing: &str, n: usize| {
        let on = &old.lattice.slopes[0];
        let landing = on.landings.iter().find(|l| on.landing_name(l, &old.found) == landing).unwrap();
        let f = on.fasteners_of(landing)[n - 1];
        (f.x, f.y)
    };
    let show = |v: f64| format!("{:.3} mm", v * 1e3);
    let row = |landing: &str, n: usize, rest: &str| {
        let (x, y) = at(landing, n);
        format!("plan-{},{landing},{n},{},{},{rest}", old.fingerprint(), show(x), show(y))
    };
    let text = [
        "plan,landing,fastener,x,y,attempt,outcome,across,up,seal,confirmed,note".to_owned(),
        row("S-B02.L01", 1, "1,held,,,,,"),
        row("S-B02.L05", 1, "1,missed,1/2,1/4,patched,,knot"),
        row("S-B02.L05", 1, "2,held,1,0,,yes,"),
        row("S-B02.L05", 2, "1,missed,,,,,"),
        row("S-B02.L05", 2, "1,missed,,,,,"),
        row("S-B03.L05", 1, "1,pre-drilled,0,0,,,"),
        row("S-B03.L05", 2, "1,not yet,,,,,"),
        // Driven into its drilled hole: one hole.
        row("S-B04.L05", 1, "1,pre-drilled,0,0,,,"),
        row("S-B04.L05", 1, "2,held,0,0,,,"),
        format!("plan-{},S,4,,,,hole,10,20,open,,ladder", old.fingerprint()),
    ]
    .join("\n");
    let driven = 7;
    // The roof is built without its last rafter.
    let new = edited(SHED, "first = \"3/4 in\"", "first = \"3/4 in\"\nlast = \"72 3/4 in\"");
    let new_plan = plan(&new);
    let carry = |text: &str| {
        airlath::record::remap(text, &new_plan.design, &new_plan.found, &new_plan.lattice, &new_plan.fingerprints())
    };
    let Remapped { log, moved, gone } = carry(&text).unwrap();
    assert_eq!((moved.len(), gone.len(), log.repeated), (1, 7, 1));
    assert_eq!(log.entries.len() + log.holes.len(), driven, "nothing that went through the membrane is lost");
    let holes: Vec<_> = log.holes.iter().map(|h| (h.number, h.seal, h.note.as_str())).collect();
    assert_eq!(
        holes,
        [
            (4, Said::Open, "ladder"),
            (5, Said::Patched, "knot; missed: S-B02.L05-1, attempt 1, of an earlier plan"),
            (6, Said::Nothing, "held (confirmed): S-B02.L05-1, attempt 2, of an earlier plan"),
            (7, Said::Nothing, "missed: S-B02.L05-2, attempt 1, of an earlier plan"),
            (8, Said::Nothing, "pre-drilled: S-B03.L05-1, attempt 1, of an earlier plan"),
            (9, Said::Nothing, "held: S-B04.L05-1, attempt 2, of an earlier plan"),
        ]
    );
    // They lie where they were made; where nobody wrote it down, nobody knows.
    let inch = 0.0254;
    let (x, y) = at("S-B02.L05", 1);
    let near = |h: usize, x: f64, y: f64| {
        let found = log.holes[h].at.unwrap();
        assert!((found.0 - x).abs() < 1e-6 && (found.1 - y).abs() < 1e-6, "{found:?} {x} {y}");
    };
    near(1, x + inch / 2.0, y + inch / 4.0);
    near(2, x + inch, y);
    assert_eq!(log.holes[3].at, None);
    assert_eq!(
        gone.iter().map(|g| g.hole).collect::<Vec<_>>(),
        [Some(5), Some(6), Some(7), Some(8), None, None, Some(9)]
    );
    // Written, it is a log of the new plan with as many penetrations.
    let rows =
        airlath::scene::remapped_rows(&new_plan.found, &new_plan.lattice, &new_plan.fingerprints(), &moved, &log.holes);
    let mut out = Vec::new();
    write::driven::write(&rows, &[], new_plan.design.units, &mut out).unwrap();
    let out = String::from_utf8(out).unwrap();
    // Of two rows of one fastener that is gone, the second may not say something else.
    let differ = text.replacen("1,missed,,,,,", "1,held,,,,,", 1);
    assert_eq!(carry(&differ).unwrap_err()[0].message, "row 5 says something else of the same attempt");
    // A landing that no plan of this roof can have had is a fault.
    let strange = text.replacen("S-B03.L05", "Q-B03.L05", 1);
    assert_eq!(carry(&strange).unwrap_err()[0].message, "no landing is named Q-B03.L05");
    let read = new_plan.with_log("r.csv", &out).unwrap_or_else(|f| panic!("{}", f.render(false)));
    assert_eq!(read.driven.unwrap().left_in[0].len(), driven - 1);
}

#[test]
fn a_row_without_its_planned_place_cannot_be_carried_over() {
    let p = plan(SHED);
    let text = log_of(&p, &["S-B02.L03,1,1,held,,,,,", "S-B09.L03,1,1,held,,,,,"]);
    let faults = airlath::record::remap(&text, &p.design, &p.found, &p.lattice, &p.fingerprints()).unwrap_err();
    let told: Vec<&str> = faults.iter().map(|f| f.message.as_str()).collect();
    assert_eq!(told, ["where was this fastener planned?", "no landing is named S-B09.L03"]);
}

#[test]
fn what_is_driven_makes_no_other_plan() {
    let before = plan(SHED);
    let after = with(SHED, &["S-B02.L03,1,1,held,1/4,0,,,"]);
    assert_eq!(before.fingerprint(), after.fingerprint());
    let ctx = after.context();
    let results = check::run(&ctx);
    let building = Building::new(&ctx, &results, Detail::Plain);
    assert_eq!(building.scene(&results).header.fingerprint, before.fingerprint());
}

/// A good table, cut up: cells, separators, quotes, and what never belongs there.
fn mutated() -> impl Strategy<Value = String> {
    let bits = prop::sample::select(vec![
        ",",
        ";",
        "\t",
        "\"",
        "\n",
        "\r\n",
        "''",
        "#",
        "held",
        "missed",
        "hole",
        "S",
        "S-B02.L03",
        "-1",
        "9999999999",
        "1/0",
        "\u{feff}",
        "é",
        "=1+1",
        "0,5",
        "1.2.3",
        "yes",
        "patched",
        "\0",
        "plan",
        "attempt",
        "sep=;",
        "NaN",
    ]);
    (prop::collection::vec((any::<prop::sample::Index>(), 0..4_usize, bits), 1..6)).prop_map(|edits| {
        let plan = plan(SHED);
        let mut text = log_of(
            &plan,
            &["S-B02.L03,1,1,missed,1,0,,,\"a, b\"", "S-B02.L03,1,2,held,1/4,0,,yes,", "S,1,,hole,40,20,patched,,x"],
        );
        for (at, cut, bit) in edits {
            let places: Vec<usize> = text.char_indices().map(|(i, _)| i).collect();
            let from = places[at.index(places.len())];
            let to = text[from..].char_indices().nth(cut).map_or(text.len(), |(i, _)| from + i);
            text.replace_range(from..to, bit);
        }
        text
    })
}

/// Rows below the heading that say something, remarks left out.
fn rows_of(text: &str, delimiter: u8) -> usize {
    let mut reader = csv::ReaderBuilder::new();
    let reader = reader.has_headers(false).flexible(true).delimiter(delimiter).from_reader(text.as_bytes());
    let says = |r: &csv::StringRecord| {
        let cell = |c: &str| {
            c.trim_matches(|c: char| c.is_whitespace() || c == '\u{feff}').trim_start_matches('\'').to_owned()
        };
        let first = r.get(0).map_or(String::new(), cell);
        !first.starts_with('#') && !first.to_lowercase().starts_with("sep=") && r.iter().any(|c| !cell(c).is_empty())
    };
    reader.into_records().map(Result::unwrap).filter(says).count().saturating_sub(1)
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..cases(3000) })]

    /// Thousands of damaged tables: a log, or named faults with a hint, and never a panic.
    #[test]
    fn damaged_tables_give_named_faults(text in mutated()) {
        match plan(SHED).with_log("driven.csv", &text) {
            Ok(plan) => {
                // Nothing is dropped: every row that says something is in the log.
                let log = &plan.driven.as_ref().unwrap().log;
                let in_log = log.entries.len() + log.holes.len() + log.repeated;
                prop_assert!(b",;\t".iter().any(|d| rows_of(&text, *d) == in_log), "{in_log} rows in the log");
                let _ = findings(&plan);
            }
            Err(faults) => {
                prop_assert!(!faults.faults.is_empty());
                prop_assert!(faults.faults.iter().all(|f| !f.message.is_empty() && !f.hint.is_empty()));
                prop_assert!(faults.render(false).contains("nothing was written"));
            }
        }
    }
}

/// Panels whose clips are another matter than what is driven.
const PANELS: &str = r#"
[panels]
width = "12 in"
first_seam = "6 in"
screw_diameter = "0.164 in"
screw_length = "3/4 in"
first_clip = "4 in"
clip_pitch = "24 in"
"#;

/// A log is refused where what its rows depend on changed, and only there; that the rest of the plan changed is told first.
#[test]
fn a_log_outlives_what_it_does_not_depend_on() {
    let text = format!("{SHED}{PANELS}");
    let old = plan(&text);
    let log = log_of(&old, &["S-B02.L03,1,1,held,1/4,0,,,", "S-B02.L03,2,1,held,,,,,"]);
    let same = plan(&text).with_log("l.csv", &log).unwrap_or_else(|f| panic!("{}", f.render(false)));
    assert!(!check::scope_line(&same.context()).contains("drives alike"));
    for (from, to) in
        [("clip_pitch = \"24 in\"", "clip_pitch = \"20 in\""), ("first_seam = \"6 in\"", "first_seam = \"7 in\"")]
    {
        let other = plan(&edited(&text, from, to));
        assert_ne!(other.fingerprint(), old.fingerprint(), "{to}");
        assert_eq!(other.fingerprints().driving, old.fingerprints().driving, "{to}");
        let read = other.with_log("l.csv", &log).unwrap_or_else(|f| panic!("{}", f.render(false)));
        assert_eq!(read.driven.as_ref().unwrap().log.other_plans, [(old.fingerprint(), 2)]);
        let scope = check::scope_line(&read.context());
        let told = format!("2 rows of it are of plan {}, which differs, but drives alike", old.fingerprint());
        assert!(scope.contains(&told), "{scope}");
    }
    for (from, to) in [
        ("first = \"3/4 in\"", "first = \"1/4 in\""),
        ("end_distance = \"1/2 in\"", "end_distance = \"1/2 in\"\n[[landing]]\ncourse = \"S-B03\"\nx = \"40 in\"\n"),
    ] {
        let changed = edited(&text, from, to);
        let told = faults(&changed, &log);
        assert!(told.faults[0].message.starts_with("2 rows are of plan"), "{to}: {:?}", told.faults);
    }
}
