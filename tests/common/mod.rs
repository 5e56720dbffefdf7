//! What several test files share: the bundled files, and a whole run of the library as owned facts.
#![allow(dead_code, reason = "each test file uses its own part of this module")]
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "tests fail loudly")]

pub mod cases;
pub mod examples;
pub mod moved;
pub mod plans;
pub mod reference;
pub mod said;
pub mod seeded;

use std::path::{Path, PathBuf};

use airlath::check::{self, Finding, Verdict};
use airlath::plan::Plan;
use airlath::scene::{Building, Detail, Form, LandingRecord, PartKind, PartSource, QuantityRecord, ReportHeader};
use airlath::solid::{Point3, Pose};

/// The bundled examples, by name.
pub const EXAMPLES: [&str; 5] = ["gable", "shed", "hip", "gable-mended", "cabin"];
/// Shapes and units of the starters.
pub const STARTERS: [(&str, &str); 6] = [
    ("shed", "inches"),
    ("shed", "millimetres"),
    ("gable", "inches"),
    ("gable", "millimetres"),
    ("hip", "inches"),
    ("hip", "millimetres"),
];

/// A shed: one board a course, five rafters, two nails a landing; without a finding.
pub const SHED: &str = r#"format = 1
name = "Plain shed (invented)"
about = "for this test"
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
batten = { nominal = "1x4", spacing = "16 in", stock = ["12 ft"] }
[fastening]
diameter = "0.148 in"
length = "3 in"
[limits]
end_distance = "1/2 in"
"#;

/// The path of a bundled example.
pub fn example_path(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("examples").join(format!("{name}.toml"))
}

/// The text of a bundled example.
pub fn example(name: &str) -> String {
    std::fs::read_to_string(example_path(name)).unwrap()
}

/// The text of a starter.
pub fn starter(shape: &str, units: &str) -> String {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("src/cli/starters").join(format!("{shape}-{units}.toml"));
    std::fs::read_to_string(path).unwrap()
}

/// The program, without anything of the surroundings that changes what it prints.
pub fn airlath() -> assert_cmd::Command {
    let mut command = assert_cmd::Command::new(env!("CARGO_BIN_EXE_airlath"));
    command.env_remove("COLUMNS").env_remove("CLICOLOR_FORCE").env("NO_COLOR", "1");
    command
}

/// One part of a walk.
#[derive(Clone, Debug)]
pub struct PartFacts {
    pub name: String,
    pub kind: PartKind,
    pub branch: usize,
    pub verdict: Verdict,
    /// Volume of its form, m3.
    pub volume: f64,
    /// Its corners in the branch's frame, micrometres, sorted.
    pub corners: Vec<[i64; 3]>,
}

/// A whole run: planned, checked, walked.
pub struct Run {
    pub findings: Vec<Finding>,
    pub header: ReportHeader,
    pub branches: Vec<String>,
    pub quantities: Vec<QuantityRecord>,
    pub parts: Vec<PartFacts>,
    /// What the source says a walk visits.
    pub part_count: usize,
    pub landings: Vec<LandingRecord>,
    /// Name, stock and left and right end of each piece.
    pub pieces: Vec<(String, f64, (f64, f64))>,
    /// Width and thickness of the battens.
    pub batten: (f64, f64),
}

/// Runs a design; its faults as text where it has any.
pub fn run(text: &str) -> Result<Run, String> {
    let plan = Plan::from_text("design.toml", &plans::placed(text)).map_err(|f| f.render(false))?;
    let ctx = plan.context();
    let results = check::run(&ctx);
    let building = Building::new(&ctx, &results, Detail::Plain);
    let scene = building.scene(&results);
    let mut parts = Vec::new();
    scene
        .source
        .walk_parts(airlath::scene::Texts::Wanted, &mut |p| {
            let (volume, corners) = solid(p.form, &p.pose);
            let (kind, branch, verdict) = (p.kind, p.branch, p.verdict);
            parts.push(PartFacts { name: p.name.to_owned(), kind, branch, verdict, volume, corners });
            Ok(())
        })
        .unwrap();
    let mut landings = Vec::new();
    scene
        .source
        .walk_landings(&mut |l| {
            landings.push(l.clone());
            Ok(())
        })
        .unwrap();
    let pieces = plan.lattice.slopes.iter().flat_map(|s| &s.pieces);
    let spec = &plan.design.lattice.batten;
    Ok(Run {
        findings: results.iter().flat_map(|r| r.findings.iter().cloned()).collect(),
        header: scene.header.clone(),
        branches: scene.branches.iter().map(|b| b.name.clone()).collect(),
        quantities: scene.quantities.clone(),
        parts,
        part_count: building.part_count(),
        landings,
        pieces: pieces.map(|p| (p.name.clone(), p.stock, p.x)).collect(),
        batten: (spec.width.metres(), spec.thickness.metres()),
    })
}

/// Runs a design that has no fault.
pub fn run_good(text: &str) -> Run {
    match run(text) {
        Ok(run) => run,
        Err(faults) => panic!("{faults}\n{text}"),
    }
}

fn solid(form: &Form, pose: &Pose) -> (f64, Vec<[i64; 3]>) {
    let (volume, corners): (f64, Vec<Point3>) = match form {
        Form::Box(size) => {
            let half = size / 2.0;
            let side = |i: usize, bit: usize, h: f64| if i >> bit & 1 == 1 { h } else { -h };
            let corner = |i: usize| Point3::new(side(i, 0, half.x), side(i, 1, half.y), side(i, 2, half.z));
            (size.x * size.y * size.z, (0..8).map(corner).collect())
        }
        Form::Mesh(mesh) => (mesh.volume(), mesh.positions.clone()),
    };
    let mut corners: Vec<[i64; 3]> = corners
        .iter()
        .map(|c| {
            let c = pose * c;
            [c.x, c.y, c.z].map(|v| (v * 1e6).round() as i64)
        })
        .collect();
    corners.sort_unstable();
    (volume, corners)
}

impl Run {
    /// The findings of a check.
    pub fn of<'a>(&'a self, check: &'a str) -> impl Iterator<Item = &'a Finding> {
        self.findings.iter().filter(move |f| f.check == check)
    }

    /// The part that each finding of a check names first.
    pub fn first_parts<'a>(&'a self, check: &'a str) -> Vec<&'a str> {
        self.of(check).map(|f| f.parts.first().map_or("", String::as_str)).collect()
    }
}

/// Replaces one text, which must be there exactly once.
pub fn edited(text: &str, from: &str, to: &str) -> String {
    assert_eq!(text.matches(from).count(), 1, "{from:?} must stand in the text once");
    text.replace(from, to)
}
