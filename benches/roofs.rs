//! How fast, how large: generated roofs of about 600, 30,000 and 1,000,000 landings, and the gable example.
//!
//! Aim: every figure beside its aim, in one table. Reason: a time alone says little on a machine whose speed wanders;
//! so each is also set against a yardstick in the same run: a plain sorted array, the start of a program that does
//! nothing, a plain write of the same bytes, a smaller roof. Limits: one thread, medians of a few runs; the million
//! needs about 1.2 GB of disk in the folder for temporary files. Peak memory is read on Linux only.
//!
//! Use: `cargo bench --bench roofs`, on a machine that does nothing else. An argument keeps only the sections whose
//! name contains it: `queries`, `house`, `air`, `files`, `million`.

#![expect(clippy::print_stdout, reason = "the table is what this program is for")]

use std::error::Error;
use std::fs::{self, File};
use std::hint::black_box;
use std::io::{self, BufWriter, Write};
use std::path::Path;
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

use airlath::air::{Case, Space, Weather, flows, solved};
use airlath::check::{self, Context, Outcome, Report, Run, probe};
use airlath::plan::Plan;
use airlath::scene::{Building, Detail, Scene};
use airlath::structure::Component;
use airlath::write::{glb, stl};

type Answer<T> = Result<T, Box<dyn Error>>;

/// The program as built for this run.
const AIRLATH: &str = env!("CARGO_BIN_EXE_airlath");
const GABLE: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/examples/gable.toml");
/// Spacing of rafters and battens, inches.
const SPACING: f64 = 16.0;
const MEGABYTE: f64 = 1e6;

fn main() -> Answer<()> {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    // `cargo test --all-targets` starts benchmarks without this.
    if !arguments.iter().any(|a| a == "--bench") {
        return Ok(());
    }
    let wanted = |name: &str| {
        let mut filters = arguments.iter().filter(|a| !a.starts_with('-')).peekable();
        filters.peek().is_none() || filters.any(|f| name.contains(f.as_str()))
    };
    let mut table = Table::default();
    if wanted("house") {
        house(&mut table)?;
    }
    if wanted("queries") {
        queries(&mut table)?;
    }
    if wanted("air") {
        air(&mut table)?;
    }
    if wanted("files") {
        files(&mut table)?;
    }
    if wanted("million") {
        million(&mut table)?;
    }
    table.print();
    Ok(())
}

/// The text of a shed with about so many landings; `facing` in degrees.
fn shed(landings: f64, facing: f64) -> String {
    // A landing for every rafter and course, and one more for every joint.
    let side = (landings.sqrt() * SPACING).round();
    let half_a_rafter = 0.75;
    format!(
        r#"
format = 1
name = "Sea of rafters (invented)"
units = "inches"
[roof]
shape = "shed"
eave = "{side} in"
slope_length = "{side} in"
pitch = "2:12"
facing = "{facing} deg"
[[rafters]]
section = {{ nominal = "2x8" }}
spacing = "{SPACING} in"
last = "{} in"
close = true
[lattice]
batten = {{ nominal = "1x4", spacing = "{SPACING} in" }}
[fastening]
diameter = "0.148 in"
length = "3 in"
"#,
        side - half_a_rafter
    )
}

/// Loads for the generated roofs (invented), light enough that the nails carry them: what is timed is the computing.
const LOADS: &str = r#"
[strength]
rules = "NDS"
combinations = "ASCE 7-22"
members = "SPF"
battens = "SPF"
grade = "no. 2"
moisture = "dry"
roofing = "1.5 psf"
held = "every course"
strip = "30 psi"
[snow]
roof = "20 psf"
[wind]
level = "service"
[[wind.zone]]
name = "edge"
near = ["eave", "top", "rake"]
width = "10 ft"
suction = "20 psf"
pressure = "10 psf"
[[wind.zone]]
name = "field"
suction = "12 psf"
pressure = "10 psf"
"#;

/// In place of the pressures by zone: a site with an edition, whose coefficients follow the area (invented).
const SITE: &str = r#"
[wind]
edition = "ASCE 7-22"
speed = "90 mph"
exposure = "B"
height = "20 ft"
width = "400 ft"
topography = 1.0
enclosure = "enclosed"
elevation = "0 ft"
overhang = "0 in"
"#;

/// Roofing with a clip on every course (invented).
const PANELS: &str = r#"
[panels]
width = "24 in"
screw_diameter = "0.164 in"
screw_length = "3/4 in"
screw_thread = "3/4 in"
"#;

/// The median time of several runs of a job.
fn median<T>(runs: usize, mut job: impl FnMut() -> Answer<T>) -> Answer<Duration> {
    let mut times = Vec::with_capacity(runs);
    for _ in 0..runs {
        let start = Instant::now();
        black_box(job()?);
        times.push(start.elapsed());
    }
    times.sort_unstable();
    times.get(runs / 2).copied().ok_or_else(|| "no run".into())
}

fn nanoseconds(time: Duration) -> f64 {
    time.as_secs_f64() * 1e9
}

fn milliseconds(time: Duration) -> f64 {
    time.as_secs_f64() * 1e3
}

/// What was measured on one roof.
struct Measured {
    landings: f64,
    backing: Duration,
    /// Backing included.
    checks: Duration,
}

/// Backing and all checks, per landing, and how they grow.
fn queries(table: &mut Table) -> Answer<()> {
    for facing in [180.0, 37.0] {
        let mut measured = Vec::new();
        for (landings, runs) in [(600.0, 41), (30_000.0, 15), (1_000_000.0, 3)] {
            measured.push(query(table, landings, facing, runs)?);
        }
        if let [_, middle, large] = measured.as_slice() {
            let exponent = |time: fn(&Measured) -> Duration| {
                (time(large).as_secs_f64() / time(middle).as_secs_f64()).ln() / (large.landings / middle.landings).ln()
            };
            let of = format!("30,000 to 1,000,000 landings, facing {facing}");
            table.row(&format!("growth of backing, {of}"), exponent(|m| m.backing), "", 1.05);
            table.row(&format!("growth of all checks, {of}"), exponent(|m| m.checks), "", 1.05);
        }
    }
    Ok(())
}

fn query(table: &mut Table, landings: f64, facing: f64, runs: usize) -> Answer<Measured> {
    let text = shed(landings, facing);
    let start = Instant::now();
    let plan = Plan::from_text("shed.toml", &text).map_err(|f| f.render(false))?;
    let laid = start.elapsed();
    let count = plan.lattice.landing_count() as f64;
    let of = format!("{count} landings, facing {facing}");
    table.note(&format!("reading and laying out, {of}"), nanoseconds(laid) / count, "ns a landing");

    let ctx = plan.context();
    let yardstick = SortedArray::of(&plan);
    let backed = ask_solids(&ctx);
    if backed != yardstick.backed(&ctx) || backed == 0 {
        return Err(format!("{of}: the solids have {backed} backed, the array {}", yardstick.backed(&ctx)).into());
    }
    let backing = median(runs, || Ok(ask_solids(&ctx)))?;
    let plain = median(runs, || Ok(yardstick.backed(&ctx)))?;
    table.row(&format!("backing, {of}"), nanoseconds(backing) / count, "ns a landing", 200.0);
    table.note("  the same by a sorted array", nanoseconds(plain) / count, "ns a landing");
    table.note("  ratio", backing.as_secs_f64() / plain.as_secs_f64(), "");

    let checks = median(runs, || Ok(check::run(&plan.context()).len()))?;
    table.row(&format!("all checks, {of}"), nanoseconds(checks) / count, "ns a landing", 1000.0);
    if landings > 1e5 {
        let site = format!("{}{SITE}", LOADS.split("[wind]").next().unwrap_or_default());
        for (what, roofing, loads) in [
            ("  with strength", "", LOADS),
            ("  with strength by an edition", "", site.as_str()),
            ("  with strength and clips", PANELS, site.as_str()),
        ] {
            let time = |text: &str| -> Answer<Duration> {
                let loaded = Plan::from_text("loaded.toml", text).map_err(|f| f.render(false))?;
                median(runs, || Ok(check::run(&loaded.context()).len()))
            };
            let without = if roofing.is_empty() { checks } else { time(&format!("{text}{roofing}"))? };
            let all = time(&format!("{text}{roofing}{loads}"))?;
            let of = format!("{what}, ratio to all checks without");
            table.row(&of, all.as_secs_f64() / without.as_secs_f64(), "", 2.0);
        }
        let shared = median(runs, || Ok(plan.context().slopes.len()))?;
        table.note("  queries that checks share", nanoseconds(shared) / count, "ns a landing");
        for one in check::CHECKS {
            if let Run::Always(run) = one.run {
                let time = median(runs, || {
                    let mut report = Report::new(one, true);
                    run(&ctx, &mut report);
                    Ok(report.finish().0.len())
                })?;
                table.note(&format!("  {}", one.name), nanoseconds(time) / count, "ns a landing");
            }
        }
    }
    Ok(Measured { landings: count, backing, checks })
}

/// Asks the solids about every fastener; how many are backed.
fn ask_solids(ctx: &Context<'_>) -> usize {
    let mut backed = 0;
    for (on, index) in ctx.slopes.iter().zip(&ctx.structure.under) {
        for landing in &on.lattice.landings {
            let piece = on.piece(landing);
            for fastener in on.lattice.fasteners_of(landing) {
                backed += usize::from(probe(index, &ctx.shank(piece, fastener)).outcome == Outcome::Backed);
            }
        }
    }
    backed
}

/// The yardstick: per slope, the rafters as sorted intervals of x. Right for the generated roofs only.
struct SortedArray {
    slopes: Vec<Vec<(f64, f64)>>,
}

impl SortedArray {
    fn of(plan: &Plan) -> SortedArray {
        let slopes = plan.found.under.iter().map(|index| {
            let whole = index.entries.iter().filter(|e| matches!(e.tag.1, Component::Whole));
            let mut rafters: Vec<(f64, f64)> = whole.map(|e| (e.low.x, e.high.x)).collect();
            rafters.sort_by(|a, b| a.0.total_cmp(&b.0));
            rafters
        });
        SortedArray { slopes: slopes.collect() }
    }

    fn backed(&self, ctx: &Context<'_>) -> usize {
        let mut backed = 0;
        for (on, rafters) in ctx.slopes.iter().zip(&self.slopes) {
            for landing in &on.lattice.landings {
                let piece = on.piece(landing);
                for fastener in on.lattice.fasteners_of(landing) {
                    let shank = ctx.shank(piece, fastener);
                    let (left, right) = (shank.head.x - shank.radius, shank.head.x + shank.radius);
                    let after = rafters.partition_point(|r| r.0 <= left);
                    backed +=
                        usize::from(after.checked_sub(1).and_then(|k| rafters.get(k)).is_some_and(|r| r.1 >= right));
                }
            }
        }
        backed
    }
}

/// From the start of the program to its last byte, and the size of the model, for houses.
fn house(table: &mut Table) -> Answer<()> {
    let folder = tempfile::tempdir()?;
    let generated = folder.path().join("shed.toml");
    fs::write(&generated, shed(600.0, 180.0))?;
    let nothing = median(21, || ended(Command::new("true").output()?.status))?;
    table.note("start of a program that does nothing", milliseconds(nothing), "ms");
    let version = median(21, || ended(Command::new(AIRLATH).arg("--version").output()?.status))?;
    table.note("airlath --version", milliseconds(version), "ms");
    for (name, design) in [("gable example", Path::new(GABLE)), ("generated shed", &generated)] {
        let text = fs::read_to_string(design)?;
        let landings = Plan::from_text(name, &text).map_err(|f| f.render(false))?.lattice.landing_count();
        let out = folder.path().join("out");
        for verb in ["check", "build"] {
            let time = median(21, || {
                let mut command = Command::new(AIRLATH);
                command.arg(verb).arg(design);
                if verb == "build" {
                    command.arg("--instanced").arg("--out").arg(&out);
                }
                ended(command.output()?.status)
            })?;
            let what = format!("airlath {verb}, {name}, {landings} landings");
            table.row(&what, milliseconds(time), "ms", 10.0);
            table.note("  ratio to a program that does nothing", time.as_secs_f64() / nothing.as_secs_f64(), "");
        }
        let glb = fs::metadata(out.join("model.glb"))?.len() as f64;
        table.row(&format!("GLB, {name}"), glb / landings as f64, "bytes a landing", 150.0);
    }
    Ok(())
}

/// A run that ended with a verdict, whichever.
fn ended(status: std::process::ExitStatus) -> Answer<()> {
    match status.code() {
        Some(0 | 1) => Ok(()),
        _ => Err(format!("ended with {status}").into()),
    }
}

/// Weather for the generated roofs (invented).
const WEATHER: &str = r#"
[air]
outside = "0 C"
lattice = "5 C"
free_area = { eave = "9525 mm2/m", top = "9525 mm2/m" }
"#;

/// The air of the gable example and of generated roofs of up to about 100,000 cells: the division of the space, the flow in
/// the likely case, and all three cases.
fn air(table: &mut Table) -> Answer<()> {
    let gable = fs::read_to_string(GABLE)?;
    let mut roofs = vec![(format!("{gable}{WEATHER}"), 21)];
    roofs.extend(
        [(600.0, 21), (5_000.0, 5), (50_000.0, 3)].map(|(n, runs)| (format!("{}{WEATHER}", shed(n, 180.0)), runs)),
    );
    let mut measured: Vec<[f64; 4]> = Vec::new();
    for (k, (text, runs)) in roofs.into_iter().enumerate() {
        let plan = Plan::from_text("air.toml", &text).map_err(|f| f.render(false))?;
        let weather = Weather::of(&plan.design)?;
        let divide = || Space::of(&plan.design, &plan.found, &plan.lattice);
        let space = divide();
        let cells = space.cells.len() as f64;
        let of = format!("{cells} cells{}", if k == 0 { ", gable example" } else { "" });
        let divided = median(runs, || Ok(divide()))?;
        table.row(&format!("dividing the space, {of}"), nanoseconds(divided) / cells, "ns a cell", 2000.0);
        let one = median(runs, || {
            flows(&space, &plan.design, &plan.found, &weather, Case::LIKELY).map_err(|t| format!("{t:?}").into())
        })?;
        // The same where the air warms on its way: all beginnings, three cases.
        let warm = Plan::from_text("air.toml", &text.replace("lattice = \"5 C\"", "roofing = \"30 C\""))
            .map_err(|f| f.render(false))?;
        let warmed = median(runs.min(5), || Ok(solved(&space, &warm.design, &warm.found, &warm.lattice)?.len()))?;
        let all = median(runs, || Ok(solved(&space, &plan.design, &plan.found, &plan.lattice)?))?;
        if cells < 5_000.0 {
            table.row(&format!("flow of air, {of}"), milliseconds(one), "ms", 20.0);
            table.note("  three cases and their answers", milliseconds(all), "ms");
            let checks = median(runs, || Ok(check::run(&plan.context()).len()))?;
            table.note("  all checks of the same roof", milliseconds(checks), "ms");
            table.row(&format!("air that warms on its way, three cases, {of}"), milliseconds(warmed), "ms", 50.0);
        } else {
            table.row(&format!("flow of air, {of}"), one.as_secs_f64(), "s", 10.0);
            table.note("  three cases and their answers", all.as_secs_f64(), "s");
            table.row(&format!("air that warms on its way, three cases, {of}"), warmed.as_secs_f64(), "s", 10.0);
            measured.push([cells, divided.as_secs_f64(), one.as_secs_f64(), warmed.as_secs_f64()]);
        }
    }
    if let [[a, divided_a, one_a, warmed_a], [b, divided_b, one_b, warmed_b]] = measured.as_slice() {
        let growth = |s: f64, t: f64| (t / s).ln() / (b / a).ln();
        table.row(&format!("growth of the division, {a} to {b} cells"), growth(*divided_a, *divided_b), "", 1.1);
        table.row(&format!("growth of the flow, {a} to {b} cells"), growth(*one_a, *one_b), "", 1.3);
        table.row(&format!("growth where air warms, {a} to {b} cells"), growth(*warmed_a, *warmed_b), "", 1.3);
    }
    Ok(())
}

/// Writers against a plain write of the same bytes.
fn files(table: &mut Table) -> Answer<()> {
    let text = shed(30_000.0, 180.0);
    let plan = Plan::from_text("shed.toml", &text).map_err(|f| f.render(false))?;
    let ctx = plan.context();
    let results = check::run(&ctx);
    let building = Building::new(&ctx, &results, Detail::Plain);
    let scene = building.scene(&results);
    let folder = tempfile::tempdir()?;
    let to = |name: &str| -> io::Result<BufWriter<File>> {
        Ok(BufWriter::with_capacity(1 << 16, File::create(folder.path().join(name))?))
    };
    let write = |scene: &Scene<'_>| -> Answer<()> {
        let (mut model, mut index) = (to("model.stl")?, to("model.stl.csv")?);
        stl::write(scene, None, &mut model, &mut index)?;
        model.flush()?;
        Ok(index.flush()?)
    };
    write(&scene)?;
    let (model, index) = (fs::read(folder.path().join("model.stl"))?, fs::read(folder.path().join("model.stl.csv"))?);
    let written = median(9, || write(&scene))?;
    let plain = median(9, || {
        for (name, bytes) in [("raw.stl", &model), ("raw.csv", &index)] {
            let mut out = to(name)?;
            for block in bytes.chunks(1 << 16) {
                out.write_all(block)?;
            }
            out.flush()?;
        }
        Ok(())
    })?;
    let of = format!("{} landings, {:.0} MB", ctx.lattice.landing_count(), model.len() as f64 / MEGABYTE);
    table.row(&format!("STL against a plain write, {of}"), written.as_secs_f64() / plain.as_secs_f64(), "times", 2.0);
    table.note("  STL", (model.len() + index.len()) as f64 / MEGABYTE / written.as_secs_f64(), "MB/s");
    table.note("  plain write", (model.len() + index.len()) as f64 / MEGABYTE / plain.as_secs_f64(), "MB/s");
    let held = median(9, || Ok(stl::write(&scene, None, &mut io::sink(), &mut io::sink())?))?;
    table.note("  STL without a disk", (model.len() + index.len()) as f64 / MEGABYTE / held.as_secs_f64(), "MB/s");
    let mut bytes = Vec::new();
    glb::write(&scene, &mut bytes)?;
    let of = format!("{} landings, {:.1} MB", ctx.lattice.landing_count(), bytes.len() as f64 / MEGABYTE);
    let time = median(9, || Ok(glb::write(&scene, &mut io::sink())?))?;
    table.note(&format!("GLB without a disk, {of}"), milliseconds(time), "ms");
    Ok(())
}

/// The whole program on a roof of a million landings: time, peak memory, size of the model.
fn million(table: &mut Table) -> Answer<()> {
    let folder = tempfile::tempdir()?;
    let (design, out) = (folder.path().join("shed.toml"), folder.path().join("out"));
    let text = shed(1_000_000.0, 180.0);
    fs::write(&design, &text)?;
    let landings = Plan::from_text("shed.toml", &text).map_err(|f| f.render(false))?.lattice.landing_count() as f64;
    for verb in ["check", "build"] {
        let mut command = Command::new(AIRLATH);
        command.arg(verb).arg(&design).stdout(Stdio::null()).stderr(Stdio::null());
        if verb == "build" {
            command.arg("--instanced").arg("--out").arg(&out);
        }
        let start = Instant::now();
        let mut child = command.spawn()?;
        let mut peak = None;
        let status = loop {
            peak = peak_memory(child.id()).or(peak);
            if let Some(status) = child.try_wait()? {
                break status;
            }
            std::thread::sleep(Duration::from_millis(2));
        };
        ended(status)?;
        let of = format!("airlath {verb}, {landings} landings");
        table.note(&of, start.elapsed().as_secs_f64(), "s");
        if let Some(peak) = peak {
            table.note("  peak memory", peak / MEGABYTE, "MB");
            let above = (peak - 50.0 * MEGABYTE) / landings;
            table.row("  peak memory above 50 MB", above, "bytes a landing", 200.0);
        }
    }
    for (file, aim) in [("model.glb", 20.0), ("model.stl", f64::INFINITY)] {
        let size = fs::metadata(out.join(file))?.len() as f64;
        if aim.is_finite() {
            table.row(&format!("{file}, instanced"), size / landings, "bytes a landing", aim);
        } else {
            table.note(file, size / landings, "bytes a landing");
        }
    }
    Ok(())
}

/// Peak memory of a running process, bytes; nothing where the system does not tell or the process has ended.
fn peak_memory(process: u32) -> Option<f64> {
    let status = fs::read_to_string(format!("/proc/{process}/status")).ok()?;
    let line = status.lines().find_map(|l| l.strip_prefix("VmHWM:"))?;
    Some(line.trim().strip_suffix("kB")?.trim().parse::<f64>().ok()? * 1024.0)
}

/// The figures, in the order in which they were taken.
#[derive(Default)]
struct Table {
    rows: Vec<(String, f64, String, Option<f64>)>,
}

impl Table {
    /// A figure that should be at most its aim.
    fn row(&mut self, what: &str, value: f64, unit: &str, aim: f64) {
        self.rows.push((what.to_owned(), value, unit.to_owned(), Some(aim)));
    }

    /// A figure without an aim.
    fn note(&mut self, what: &str, value: f64, unit: &str) {
        self.rows.push((what.to_owned(), value, unit.to_owned(), None));
    }

    fn print(&self) {
        let width = self.rows.iter().map(|r| r.0.chars().count()).max().unwrap_or(0);
        for (what, value, unit, aim) in &self.rows {
            let aim = aim.map_or(String::new(), |aim| {
                let word = if *value <= aim { "met" } else { "MISSED" };
                format!("  at most {aim}: {word}")
            });
            println!("{}", format!("{what:width$}  {value:>11.3} {unit:16}{aim}").trim_end());
        }
    }
}
