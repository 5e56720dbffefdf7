//! What the fuzz targets in `tests/` drive: designs, tables and arguments changed at random, and the ways from a text to bytes.
//!
//! Aim: whatever comes in, there is no panic, no memory without end, no folder half written. Reason: a design is written by
//! hand, a table by a spreadsheet, and a slip in a unit makes a length of a nanometre. How: this crate's allocator refuses
//! what goes past [`LIMIT`], so that a design which allocates until it dies ends the test. Limits: a run that never ends
//! without allocating is told by whoever waits for it; roofs past [`MOST_LANDINGS`] are only read.
//!
//! `cargo test --manifest-path fuzz/Cargo.toml` runs each target for a bounded number of random inputs. Longer, on one
//! target: `BOLERO_RANDOM_ITERATIONS=1000000 cargo test --manifest-path fuzz/Cargo.toml pipeline`. A panic is told with its
//! seed; where the process died, the input stands in the file `last-TARGET` of the target folder's `tmp`.

use std::alloc::System;
use std::fs;
use std::io;
use std::path::Path;
use std::sync::LazyLock;

use airlath::check;
use airlath::design::{Design, Faults, change, read_design};
use airlath::fix::{Opening, Openings};
use airlath::plan::{Plan, Texts};
use airlath::record::{self, marks, survey::survey};
use airlath::scene::{Building, Detail, RemedyRecord, Scene, air_tables, blank_rows, lists, setting_out};
use airlath::sheet::{self, Paper, Set, Subject};
use airlath::write::{driven, findings, glb, marks as windows, pdf, png, quantities, report, stl, svg, table};
use cap::Cap;

/// The most memory, bytes, that the targets of one process may hold together: several times what they do (70 MB).
pub const LIMIT: usize = 1 << 28;

/// Every allocation of this crate's programs, and of what they call, goes through it.
#[global_allocator]
pub static MEMORY: Cap<System> = Cap::new(System, LIMIT);

/// About how many landings a roof may have that is planned here: more take long, and no other way.
const MOST_LANDINGS: f64 = 5_000.0;

/// The files that mutations start from: what the program hands out, and designs of odd shapes and sizes.
pub static SEEDS: LazyLock<Vec<String>> = LazyLock::new(|| {
    let folders = ["src/cli/starters", "examples", "examples/shed-driven", "tests/roofs", "tests/corpus"];
    let mut paths: Vec<_> = folders.iter().flat_map(|f| fs::read_dir(at(f)).expect("a folder of seeds")).collect();
    paths.sort_by_key(|entry| entry.as_ref().map(|e| e.path()).ok());
    let paths = paths.into_iter().map(|entry| entry.expect("an entry of a folder").path());
    paths.filter(|p| p.extension().is_some_and(|e| e == "toml")).map(|p| text_of(&p)).collect()
});

/// A roof with a table of marks, a found file and a drive log: the seeds of tables.
pub static DRIVEN: LazyLock<Tables> = LazyLock::new(|| {
    let folder = at("examples/shed-driven");
    let [design, marks, log] = ["shed.toml", "marks.csv", "driven.csv"].map(|f| text_of(&folder.join(f)));
    let plan = Plan::from_text("shed.toml", &design).unwrap_or_else(|f| panic!("{}", f.render(false)));
    let (rows, _) = marks::read(&marks, plan.design.units).expect("the example's own marks");
    let surveyed = survey(&plan.design, &plan.drawn, &plan.lattice, &rows, 3e-3);
    let units = plan.design.units;
    let members = surveyed.members.iter().map(|m| change::found_member(&m.name, &m.offsets, units));
    let slopes = surveyed.slopes.iter().filter_map(|s| Some(change::found_slope("S", s.corners.as_ref()?, units)));
    Tables { found: members.chain(slopes).collect(), design, marks, log }
});

/// A design and what was measured and driven on its roof.
pub struct Tables {
    /// The design.
    pub design: String,
    /// Marks (CSV).
    pub marks: String,
    /// The found file that comes of them.
    pub found: String,
    /// The drive log (CSV).
    pub log: String,
}

fn at(path: &str) -> std::path::PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("..").join(path)
}

fn text_of(path: &Path) -> String {
    fs::read_to_string(path).unwrap_or_else(|e| panic!("{}: {e}", path.display()))
}

/// Texts that a mutation puts in the place of a value.
const VALUES: [&str; 24] = [
    "\"0 in\"",
    "\"-3 in\"",
    "\"1/64 in\"",
    "\"999 m\"",
    "\"1e9 mm\"",
    "\"6:12\"",
    "\"84 deg\"",
    "\"0.3 deg\"",
    "nan",
    "inf",
    "-1",
    "0",
    "3",
    "true",
    "\"\"",
    "\"\u{1F3E0}\"",
    "[]",
    "{}",
    "\"lap\"",
    "\"doubled\"",
    "\"top\"",
    "\"wall\"",
    "\"across\"",
    "\"S-R02\"",
];

/// Pieces of text that a mutation puts anywhere into a table.
const BITS: [&str; 36] = [
    "",
    ",",
    ";",
    "\t",
    "\"",
    "\n",
    "\r\n",
    "''",
    "#",
    "=1+1",
    "0,5",
    "1/0",
    "-1",
    "9999999999",
    "1e-9",
    "NaN",
    "\0",
    "\u{feff}",
    "é",
    "\u{202e}",
    "held",
    "missed",
    "hole",
    "not yet",
    "S",
    "S-B02.L03",
    "S-R03",
    "S.4",
    "S.1-3",
    "centre",
    "no wood",
    "diagonal",
    "plan",
    "sep=;",
    "[[found.member]]\n",
    "0.000001",
];

/// One change: what is done, at which place, with what.
pub type Change = (u8, u16, u8);

/// A length from a nanometre to nine millimetres, as a design writes it.
fn microscopic(n: u8) -> String {
    format!("\"{}e-{} mm\"", 1 + n % 9, n % 7)
}

/// A value of the list, or a microscopic length: as many of the one as of the other.
fn value(n: u8) -> String {
    let k = usize::from(n) % (2 * VALUES.len());
    VALUES.get(k).map_or_else(|| microscopic(n), |v| (*v).to_owned())
}

/// A seed with some of its lines changed as the numbers say: dropped, doubled, swapped, their value replaced.
pub fn mutated(seed: usize, changes: &[Change]) -> String {
    changed(&SEEDS[seed % SEEDS.len()], changes)
}

/// A design with some of its lines changed.
pub fn changed(text: &str, changes: &[Change]) -> String {
    let mut lines: Vec<String> = text.lines().map(str::to_owned).collect();
    for (what, line, value) in changes {
        if lines.is_empty() {
            break;
        }
        let i = usize::from(*line) % lines.len();
        match what % 9 {
            0 => drop(lines.remove(i)),
            1 => lines.insert(i, lines[i].clone()),
            2 => {
                let j = (i + usize::from(*value)) % lines.len();
                lines.swap(i, j);
            }
            3 => {
                if let Some((key, _)) = lines[i].split_once('=') {
                    lines[i] = format!("{key}= {}", self::value(*value));
                }
            }
            4 => {
                // One digit becomes another.
                let digit = char::from(b'0' + value % 10);
                if let Some(at) = lines[i].find(|c: char| c.is_ascii_digit()) {
                    lines[i].replace_range(at..=at, digit.encode_utf8(&mut [0; 4]));
                }
            }
            5 => {
                let at = usize::from(*value) % (lines[i].len() + 1);
                if lines[i].is_char_boundary(at) {
                    lines[i].truncate(at);
                }
            }
            // Most lengths stand in tables of one line.
            _ => {
                let quotes: Vec<usize> = lines[i].match_indices('"').map(|(at, _)| at).collect();
                let pairs: Vec<&[usize]> = quotes.chunks_exact(2).collect();
                if let Some([from, to]) = pairs.get(usize::from(*line / 7) % pairs.len().max(1)) {
                    lines[i].replace_range(from..=to, &self::value(*value));
                }
            }
        }
    }
    lines.join("\n")
}

/// A table with some characters replaced: how many, from which one on, by which piece of text.
pub fn cut_up(table: &str, changes: &[Change]) -> String {
    let mut text = table.to_owned();
    for (cut, at, bit) in changes {
        let places: Vec<usize> = text.char_indices().map(|(i, _)| i).chain([text.len()]).collect();
        let from = usize::from(*at) % places.len();
        let to = (from + usize::from(cut % 8)).min(places.len() - 1);
        text.replace_range(places[from]..places[to], BITS[usize::from(*bit) % BITS.len()]);
    }
    text
}

/// Refused texts say why, and where.
fn told(faults: &[Faults]) {
    assert!(!faults.is_empty(), "a refused text says why");
    for file in faults {
        assert!(
            !file.faults.is_empty() && file.faults.iter().all(|f| !f.message.is_empty()),
            "a refused text says why"
        );
        assert!(file.render(false).contains(&file.file));
    }
}

/// Whether a roof has more landings than are planned here.
fn is_large(design: &Design) -> bool {
    let landings = design.slopes.iter().map(|s| {
        let corners = || s.found_outline.iter().flatten().chain(&s.outline);
        let width = corners().map(|c| c.0.metres()).fold(0.0, f64::max);
        let height = corners().map(|c| c.1.metres()).fold(0.0, f64::max);
        let lines: f64 = design.rafters.iter().map(|f| width / f.spacing.metres() + 2.0).sum();
        (height / design.lattice.batten.spacing.metres() + 2.0) * lines.max(1.0)
    });
    landings.sum::<f64>() > MOST_LANDINGS
}

/// Reads a text; where it is a design of bearable size, plans, checks and writes it into nothing: models, lists, sheets and
/// report, marks or a form, as the number says.
pub fn pipeline(text: &str, output: u8) {
    match read_design("fuzz.toml", text) {
        Ok(design) if is_large(&design) => return,
        Ok(_) => {}
        Err(faults) => told(&[faults]),
    }
    match Plan::from_text("fuzz.toml", text) {
        Ok(plan) => written(&plan, text, output).unwrap_or_else(|e| panic!("a writer refused a planned design: {e}")),
        Err(faults) => told(&[faults]),
    }
}

/// Checks a plan and writes something of it into nothing. The writers refuse only scenes that contradict themselves, and none
/// that a design makes may.
fn written(plan: &Plan, text: &str, output: u8) -> io::Result<()> {
    let mut out = io::sink();
    let ctx = plan.context();
    let results = check::run(&ctx);
    let building = Building::new(&ctx, &results, if output < 128 { Detail::Plain } else { Detail::Fluted });
    let scene = building.scene(&results);
    match output % 5 {
        0 => {
            for write in [glb::write, findings::write, quantities::write] {
                write(&scene, &mut out)?;
            }
            stl::write(&scene, None, &mut out, &mut io::sink())
        }
        1 => {
            for list in lists(&ctx, &scene.header) {
                table::write(&list, &scene.header, scene.units, &mut out)?;
            }
            air_tables(&ctx).into_iter().try_for_each(|t| table::write_walked(t, &scene.header, scene.units, &mut out))
        }
        2 => drawn(&ctx, &scene),
        3 => {
            let texts = Texts { file: "fuzz.toml".into(), source: text.to_owned(), found: None };
            // So many landings that only the fewest changes are planned again.
            let mut remedies = Openings::new(&texts, usize::MAX);
            let record = |Opening { text, change, area }| RemedyRecord { text, change, area };
            let mut all = Vec::new();
            for on in &ctx.slopes {
                let mut of = |n, k, why| remedies.of(&ctx, on, (n, k), why).into_iter().map(record).collect();
                all.extend(airlath::scene::marks(&ctx, on, &mut of));
            }
            windows::write(&scene.header, scene.units, &all, remedies.cut_short, &mut out)?;
            let (tilt, spacing) = (plan.design.tilt.value.radians(), plan.design.aim.spacing.metres());
            windows::json(&scene.header, tilt, spacing, &all, remedies.cut_short, &mut out)
        }
        _ => {
            // The form that the program writes is a log that it reads.
            let mut form = Vec::new();
            let rows = blank_rows(&plan.found, &plan.lattice, &plan.fingerprints());
            driven::write(&rows, &[], scene.units, &mut form)?;
            let form = String::from_utf8(form).map_err(io::Error::other)?;
            let again = Plan::from_text("fuzz.toml", text).and_then(|plan| plan.with_log("form.csv", &form));
            let again = again.unwrap_or_else(|f| panic!("{}", f.render(false)));
            assert_eq!(again.driven.map(|d| d.log.entries.len()), Some(rows.len()));
            Ok(())
        }
    }
}

/// Sheets and report.
fn drawn(ctx: &check::Context<'_>, scene: &Scene<'_>) -> io::Result<()> {
    let (slopes, lists) = (setting_out(ctx), lists(ctx, &scene.header));
    let set = Set { scene, slopes: &slopes, lists: &lists, paper: Paper::A4 };
    let sheets = sheet::sheets(&set)?;
    for sheet in &sheets {
        svg::write(sheet, &mut io::sink())?;
    }
    if let Some(picture) = sheets.iter().find(|s| s.subject == Subject::Isometric) {
        png::write(picture, &mut io::sink())?;
    }
    pdf::write(scene, &sheets, &mut io::sink())?;
    report::write(scene, &sheets, &sheet::pictures(&set)?, &sheet::table::lists(scene, &lists), &mut io::sink())
}

/// Reads a table of marks and fits it to the roof of [`DRIVEN`].
pub fn survey_marks(table: &str) {
    static PLAN: LazyLock<Plan> = LazyLock::new(|| {
        Plan::from_text("shed.toml", &DRIVEN.design).unwrap_or_else(|f| panic!("{}", f.render(false)))
    });
    match marks::read(table, PLAN.design.units) {
        Ok((marks, _)) => {
            let found = survey(&PLAN.design, &PLAN.drawn, &PLAN.lattice, &marks, 3e-3);
            assert!(found.refused.iter().all(|r| !r.why.is_empty()));
        }
        Err(faults) => told(&[Faults { file: "marks.csv".into(), source: table.to_owned(), faults }]),
    }
}

/// Plans a design with a found file and a drive log, and checks what comes of it; a log of another plan is carried over.
pub fn plan_with(design: &str, found: &str, log: &str) {
    let plan = match Plan::with_found("shed.toml", design, "found.toml", found) {
        Ok(plan) => plan,
        Err(faults) => return told(&faults),
    };
    let carried = record::remap(log, &plan.design, &plan.found, &plan.lattice, &plan.fingerprints());
    if let Err(faults) = carried {
        told(&[Faults { file: "driven.csv".into(), source: log.to_owned(), faults }]);
    }
    match plan.with_log("driven.csv", log) {
        Ok(plan) => {
            let ctx = plan.context();
            let results = check::run(&ctx);
            let building = Building::new(&ctx, &results, Detail::Plain);
            let scene = building.scene(&results);
            findings::write(&scene, &mut io::sink())
                .unwrap_or_else(|e| panic!("a writer refused a planned design: {e}"));
        }
        Err(faults) => told(&[faults]),
    }
}
