//! A fixed corpus of odd designs that trying the program turned up: each is planned, checked and written into nothing, or
//! refused with faults; none may panic, and what is planned keeps the rules that no design may break.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "tests fail loudly")]

use std::collections::BTreeSet;
use std::fs;
use std::io;
use std::path::Path;

use airlath::check::{self, Verdict};
use airlath::plan::Plan;
use airlath::scene::{Building, Detail, Form, Texts};
use airlath::solid::Mesh;
use airlath::write::{findings, glb, quantities, stl};

fn corpus() -> Vec<(String, String)> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/corpus");
    let mut all: Vec<(String, String)> = fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .map(|path| (path.file_name().unwrap().to_string_lossy().into_owned(), fs::read_to_string(&path).unwrap()))
        .collect();
    all.sort();
    all
}

#[test]
fn every_odd_design_is_planned_whole_or_refused_with_faults() {
    let (mut planned, mut refused) = (0, 0);
    for (file, text) in corpus() {
        let plan = match Plan::from_text(&file, &text) {
            Ok(plan) => plan,
            Err(faults) => {
                assert!(!faults.faults.is_empty(), "{file}");
                assert!(faults.faults.iter().all(|f| !f.hint.is_empty()), "{file}: a fault without a hint");
                refused += 1;
                continue;
            }
        };
        planned += 1;
        let ctx = plan.context();
        let results = check::run(&ctx);
        let building = Building::new(&ctx, &results, Detail::Plain);
        let scene = building.scene(&results);
        for write in [glb::write, findings::write, quantities::write] {
            write(&scene, &mut io::sink()).unwrap_or_else(|e| panic!("{file}: {e}"));
        }
        stl::write(&scene, None, &mut io::sink(), &mut io::sink()).unwrap_or_else(|e| panic!("{file}: {e}"));
        let mut names = BTreeSet::new();
        let mut count = 0;
        scene
            .source
            .walk_parts(Texts::Unwanted, &mut |p| {
                count += 1;
                assert!(names.insert(p.name.to_owned()), "{file}: two parts are named {}", p.name);
                if let Form::Mesh(mesh) = p.form {
                    let mesh: &Mesh = mesh;
                    assert!(mesh.is_closed() && mesh.volume() > 0.0, "{file}: {} is open", p.name);
                }
                Ok(())
            })
            .unwrap();
        assert_eq!(count, scene.source.part_count(), "{file}");
        scene
            .source
            .walk_landings(&mut |l| {
                // What is not backed never looks like a pass.
                assert!(
                    l.backed || l.verdict == Verdict::Fail,
                    "{file}: {} is not backed and says {:?}",
                    l.name,
                    l.verdict
                );
                Ok(())
            })
            .unwrap();
        for on in &ctx.slopes {
            let longest = plan.design.lattice.batten.stock.value.last().unwrap().metres();
            for piece in &on.lattice.pieces {
                let length = piece.x.1 - piece.x.0;
                assert!(length > 0.0 && length <= longest + 1e-6, "{file}: {} is {length} m long", piece.name);
            }
        }
    }
    assert!(planned >= 15 && refused >= 8, "{planned} planned, {refused} refused");
}

/// More findings than are listed one by one: those past the list keep their verdicts.
#[test]
fn what_is_past_the_list_is_not_taken_for_a_pass() {
    let text = include_str!("../src/cli/starters/shed-inches.toml")
        .replace("eave = \"16 ft\" ", "eave = \"320 ft\"")
        .replace("slope_length = \"12 ft\"", "slope_length = \"90 ft\"")
        .replace("last = \"15 ft 11 1/4 in\"", "last = \"319 ft 11 1/4 in\"")
        .replace("spacing = \"24 in\" ", "spacing = \"12 in\" ")
        .replace("length = \"3 in\"", "length = \"2 in\"");
    let plan = Plan::from_text("many.toml", &text).unwrap_or_else(|f| panic!("{}", f.render(false)));
    assert!(plan.lattice.landing_count() > 6000, "{}", plan.lattice.landing_count());
    let ctx = plan.context();
    assert_eq!(ctx.backed_count(), 0);
    let results = check::run(&ctx);
    let building = Building::new(&ctx, &results, Detail::Plain);
    let scene = building.scene(&results);
    let mut wrong = 0;
    scene
        .source
        .walk_landings(&mut |l| {
            wrong += usize::from(l.verdict != Verdict::Fail);
            Ok(())
        })
        .unwrap();
    assert_eq!(wrong, 0);
}

/// Straps under the tape: the strips ride on tape that yields to them, and lie on it.
#[test]
fn strips_over_straps_under_tape_lie_on_their_tape() {
    let text = include_str!("corpus/two_slopes_with_straps_under_tape.toml");
    let plan = Plan::from_text("two.toml", text).unwrap_or_else(|f| panic!("{}", f.render(false)));
    let ctx = plan.context();
    let lifted = ctx.slopes.iter().flat_map(|on| &on.lattice.strips).filter(|s| s.bottom > plan.lattice.levels.tape);
    assert!(lifted.count() > 0, "strips ride over straps here");
    let results = check::run(&ctx);
    let of = results.iter().find(|r| r.check.name == "strip-off-tape").unwrap();
    assert_eq!(of.verdict, Verdict::Pass, "{:?}", of.findings.first().map(|f| &f.message));
}
