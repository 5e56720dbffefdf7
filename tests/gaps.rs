//! Gaps left in courses: what ends there, what keeps its name, and what is told of a gap that cannot be.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "a test stops at the first surprise")]

use std::collections::BTreeSet;

use crate::common::{self, Run, run_good};
use airlath::check;
use airlath::lattice::End;
use airlath::plan::Plan;
use airlath::scene::{Building, Cell, Detail, lists};

/// Rafters 40 wide at 20, 620 ... 6020; courses of boards up to 3000, their joints on rafters. Invented.
const SHED: &str = r#"
format = 1
name = "Shed with a gap (invented)"
units = "millimetres"
[roof]
shape = "shed"
eave = "6040 mm"
slope_length = "1600 mm"
pitch = "20 deg"
[[rafters]]
section = { width = "40 mm", depth = "200 mm" }
spacing = "600 mm"
first = "20 mm"
[lattice]
strip = { width = "40 mm", height = "10 mm" }
batten = { width = "100 mm", thickness = "20 mm", spacing = "400 mm", stock = ["3000 mm"], least_piece = "600 mm" }
[fastening]
diameter = "3 mm"
length = "80 mm"
spread = "50 mm"
"#;

fn gap(course: &str, from: f64, to: f64) -> String {
    format!("[[gap]]\ncourse = \"{course}\"\nfrom = \"{from} mm\"\nto = \"{to} mm\"\n")
}

fn pieces<'r>(run: &'r Run, course: &str) -> Vec<(&'r str, (f64, f64))> {
    let of = |n: &&(String, f64, (f64, f64))| n.0.rsplit_once('.').is_some_and(|(c, _)| c == course);
    run.pieces.iter().filter(of).map(|(n, _, x)| (n.as_str(), *x)).collect()
}

fn landings(run: &Run) -> BTreeSet<&str> {
    run.landings.iter().map(|l| l.name.as_str()).collect()
}

/// Between the seventh and the ninth rafter, 3620 and 4820: the eighth, at 4220, is left out.
#[test]
fn a_gap_takes_its_landings_and_nothing_else() {
    let (plain, cut) = (run_good(SHED), run_good(&(SHED.to_owned() + &gap("S-B02", 3770.0, 4670.0))));
    // By hand: boards of 3000 from the left, joints on rafters at 2420 and 4820, 1/16 in between the ends; staggered
    // against the course below. Before the gap nothing is renamed or cut anew.
    let (before, after) = (pieces(&plain, "S-B02"), pieces(&cut, "S-B02"));
    assert_eq!(before.iter().map(|p| p.0).collect::<Vec<_>>(), ["S-B02.1", "S-B02.2", "S-B02.3"]);
    assert_eq!(after.iter().map(|p| p.0).collect::<Vec<_>>(), ["S-B02.1", "S-B02.2", "S-B02.3"]);
    assert_eq!(before[0], after[0]);
    assert_eq!(before[1].1.0, after[1].1.0);
    assert!((after[1].1.1 - 3.77).abs() < 1e-9 && (after[2].1.0 - 4.67).abs() < 1e-9, "{after:?}");
    assert_eq!(before[2].1.1, after[2].1.1);
    for course in ["S-B01", "S-B03", "S-B04"] {
        assert_eq!(pieces(&plain, course), pieces(&cut, course));
    }
    // The landing in the gap is gone, and so is the joint that stood behind it; the others keep their names.
    let (were, are) = (landings(&plain), landings(&cut));
    let gone: Vec<&&str> = were.difference(&are).collect();
    assert!(gone.contains(&&"S-B02.L08"), "{gone:?}");
    assert!(gone.iter().all(|n| ["S-B02.L08", "S-B02.L09.l", "S-B02.L09.r"].contains(n)), "{gone:?}");
    let new: Vec<&&str> = are.difference(&were).collect();
    assert!(new.iter().all(|n| **n == "S-B02.L09"), "{new:?}");
    assert_ne!(plain.header.fingerprint, cut.header.fingerprint);
    // Ends 150 past a rafter keep the limit of 6 in; in the middle of a bay, 300 past, they do not.
    assert_eq!(cut.first_parts("end-run-too-long"), plain.first_parts("end-run-too-long"));
    let far = run_good(&(SHED.to_owned() + &gap("S-B02", 3920.0, 4520.0)));
    let told = far.first_parts("end-run-too-long");
    assert!(told.contains(&"S-B02.2") && told.contains(&"S-B02.3"), "{told:?}");
}

#[test]
fn ends_say_that_they_stand_at_a_gap() {
    let plan = Plan::from_text("x.toml", &(SHED.to_owned() + &gap("S-B02", 3770.0, 4670.0))).unwrap();
    let on = &plan.lattice.slopes[0];
    let ends: Vec<(End, End)> = on.pieces_of(1).iter().map(|p| p.ends).collect();
    assert_eq!((ends[1].1, ends[2].0), (End::Gap, End::Gap));
    assert_eq!(on.pieces.iter().flat_map(|p| [p.ends.0, p.ends.1]).filter(|e| *e == End::Gap).count(), 2);
    let ctx = plan.context();
    let results = check::run(&ctx);
    let building = Building::new(&ctx, &results, Detail::Plain);
    let all = lists(&ctx, &building.scene(&results).header);
    let is_gap = |c: &&Cell| **c == Cell::Text("square at the gap".into());
    assert_eq!(all[0].rows.iter().flatten().filter(is_gap).count(), 2);
}

/// A gap over an edge leaves that end of the course out; two gaps leave a board between them.
#[test]
fn gaps_at_an_edge_and_two_in_a_course() {
    let run = run_good(&(SHED.to_owned() + &gap("S-B02", -50.0, 470.0) + &gap("S-B02", 1970.0, 2870.0)));
    let ends: Vec<(f64, f64)> = pieces(&run, "S-B02").into_iter().map(|p| p.1).collect();
    assert!((ends[0].0 - 0.47).abs() < 1e-9 && (ends[0].1 - 1.97).abs() < 1e-9, "{ends:?}");
    assert!((ends[1].0 - 2.87).abs() < 1e-9, "{ends:?}");
    // A gap that ends where the course begins cuts nothing and leaves its end as it is.
    let run = run_good(&(SHED.to_owned() + &gap("S-B02", -50.0, 1.0)));
    assert!((pieces(&run, "S-B02")[0].1.0 - 0.001).abs() < 1e-9);
}

/// Both rows of boards that lap end at a gap.
#[test]
fn laps_end_at_a_gap() {
    let lapped = SHED.replace("least_piece", "joint = \"lap\", least_piece");
    let run = run_good(&(lapped + &gap("S-B02", 1370.0, 2270.0)));
    let inside = |x: (f64, f64)| x.0 < 2.27 - 1e-9 && 1.37 + 1e-9 < x.1;
    assert!(pieces(&run, "S-B02").len() >= 2 && !pieces(&run, "S-B02").iter().any(|p| inside(p.1)));
}

#[test]
fn what_is_wrong_with_a_gap_is_told() {
    let told = |more: &str| Plan::from_text("x.toml", &(SHED.to_owned() + more)).map(|_| ()).unwrap_err().render(false);
    let unknown = told(&gap("S-B20", 100.0, 200.0));
    assert!(unknown.contains("no course is named \"S-B20\"") && unknown.contains("gap[1].course"), "{unknown}");
    let turned = told(&gap("S-B02", 200.0, 100.0));
    assert!(turned.contains("ends before it begins") && turned.contains("gap[1].to"), "{turned}");
    let off = told(&gap("S-B02", 7000.0, 7100.0));
    assert!(off.contains("S-B02 has no board from 7000 mm to 7100 mm"), "{off}");
    // All at once.
    let bare = told("[[gap]]\nto = \"7 mm\"\n");
    assert!(bare.contains("gap[1].course") && bare.contains("gap[1].from"), "{bare}");
    let far = told(&gap("S-B02", 0.0, 2e6));
    assert!(far.contains("beyond any roof"), "{far}");
}

/// A crossing without nails: its landing is gone, every other one and every board stays, and the run over it is checked.
#[test]
fn a_skipped_crossing_holds_nothing() {
    let skip = "[[skip]]\nlanding = \"S-B02.L03\"\nat = [\"1220 mm\", \"450 mm\"]\n";
    let (plain, cut) = (run_good(SHED), run_good(&(SHED.to_owned() + skip)));
    let (were, are) = (landings(&plain), landings(&cut));
    assert_eq!(were.difference(&are).collect::<Vec<_>>(), [&"S-B02.L03"]);
    assert!(are.is_subset(&were));
    for course in ["S-B01", "S-B02", "S-B03", "S-B04"] {
        assert_eq!(pieces(&plain, course), pieces(&cut, course));
    }
    // From the second rafter to the joint over the fourth, 1200, where 24 in is the limit.
    let long = |run: &Run| run.first_parts("run-too-long").into_iter().filter(|p| *p == "S-B02.1").count();
    assert_eq!((long(&plain), long(&cut)), (0, 1));
    assert_ne!(plain.header.fingerprint, cut.header.fingerprint);
    // Two fasteners fewer.
    let fasteners = |run: &Run| run.landings.iter().map(|l| l.fasteners.len()).sum::<usize>();
    assert_eq!(fasteners(&plain) - fasteners(&cut), 2);
}

/// Nor does strength count on it: of the piece's supports it is the one that is gone.
#[test]
fn a_skipped_crossing_supports_nothing() {
    let supports = |text: &str| {
        let plan = Plan::from_text("cabin.toml", text).unwrap_or_else(|f| panic!("{}", f.render(false)));
        let page = check::strength::explain::explain(&plan.context(), "S-B03.1").unwrap();
        let supports = page.split("\nSupports").nth(1).unwrap().split("\n\n").next().unwrap().to_owned();
        let names = supports.split_whitespace().filter(|w| w.starts_with("S-B03.L"));
        names.map(|w| w.trim_end_matches([',', ':']).to_owned()).collect::<BTreeSet<String>>()
    };
    let cabin = common::example("cabin");
    let plan = Plan::from_text("cabin.toml", &cabin).unwrap();
    let on = &plan.lattice.slopes[0];
    let skipped = "S-B03.L03";
    let place = on.landings.iter().find(|l| on.landing_name(l, &plan.found) == skipped).unwrap();
    let mm = |v: f64| (v * 1e3).round();
    let at = format!("at = [\"{} mm\", \"{} mm\"]", mm(place.x), mm(place.y));
    let (before, after) = (supports(&cabin), supports(&format!("{cabin}\n[[skip]]\nlanding = \"{skipped}\"\n{at}\n")));
    assert!(after.len() > 2 && after.is_subset(&before));
    assert_eq!(before.difference(&after).collect::<Vec<_>>(), [skipped]);
}

/// A landing by hand is nailed across unless its pattern says otherwise.
#[test]
fn a_landing_by_hand_takes_a_pattern() {
    let of = |pattern: &str| {
        let text = format!("{SHED}[[landing]]\ncourse = \"S-B02\"\nx = \"900 mm\"\n{pattern}");
        let plan = Plan::from_text("design.toml", &text).unwrap_or_else(|f| panic!("{}", f.render(false)));
        let on = &plan.lattice.slopes[0];
        let landing = on.landings.iter().find(|l| on.landing_name(l, &plan.found).starts_with("S-B02.P")).unwrap();
        let mm = |v: f64| (v * 1e6).round() / 1e3;
        on.fasteners_of(landing).iter().map(|f| (mm(f.x), mm(f.y - landing.y))).collect::<Vec<_>>()
    };
    // The spread is 50.
    assert_eq!(of(""), [(875.0, 0.0), (925.0, 0.0)]);
    assert_eq!(of("pattern = \"across\"\n"), of(""));
    assert_eq!(of("pattern = \"up\"\n"), [(900.0, -25.0), (900.0, 25.0)]);
    assert_eq!(of("pattern = \"diagonal\"\n"), [(887.5, -25.0), (912.5, 25.0)]);
}
