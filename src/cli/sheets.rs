//! `sheets` and `report`: what goes up the ladder, and what is handed over.

use std::path::Path;
use std::process::ExitCode;

use super::Failure;
use super::arguments::Level;
use super::build::default_folder;
use super::checked::{Wanted, checked};
use super::files::Sources;
use super::output::{Output, Written};
use super::plan_file::{SHEETS, Stamp};
use crate::quantity::Units;
use crate::scene::{Scene, lists as tables, setting_out};
use crate::sheet::{self, Paper, Set, Subject};
use crate::write::{pdf, png, report as page, svg};

/// All sheets in one file.
const ALL_SHEETS: &str = "sheets.pdf";
/// The file of `report`.
pub const REPORT: &str = "report.html";

/// `airlath sheets`.
pub fn sheets(
    sources: &Sources,
    log: Option<&Path>,
    paper: Option<Paper>,
    out: Option<&Path>,
    level: Level,
) -> Result<ExitCode, Failure> {
    // A folder of their own: many files, and what an earlier plan left in it must go.
    let folder = out.map_or_else(|| default_folder(&sources.design).join(SHEETS), Path::to_owned);
    with_set((sources, log), paper, "planning, checking and drawing", level, |set, stamp| {
        let drawn = sheet::sheets(set)?;
        let output = Output::open(&folder)?;
        let mut files = output.set();
        for s in &drawn {
            files.write(&format!("{}.svg", s.name), |w| svg::write(s, w))?;
            if s.subject == Subject::Isometric {
                files.write(&format!("{}.png", s.name), |w| png::write(s, w))?;
            }
        }
        files.write(ALL_SHEETS, |w| pdf::write(set.scene, &drawn, w))?;
        let older = older_sheets(&folder);
        let written = output.finish(files, &older, stamp)?;
        Ok((format!("{} sheets on {} paper", drawn.len(), set.paper.name()), written))
    })
}

/// `airlath report`.
pub fn report(
    sources: &Sources,
    log: Option<&Path>,
    paper: Option<Paper>,
    out: Option<&Path>,
    level: Level,
) -> Result<ExitCode, Failure> {
    let folder = out.map_or_else(|| default_folder(&sources.design), Path::to_owned);
    with_set((sources, log), paper, "planning, checking and writing", level, |set, stamp| {
        let drawn = sheet::sheets(set)?;
        let pictures = sheet::pictures(set)?;
        let lists = sheet::table::lists(set.scene, set.lists);
        let output = Output::open(&folder)?;
        let mut files = output.set();
        files.write(REPORT, |w| page::write(set.scene, &drawn, &pictures, &lists, w))?;
        Ok(("One file, which needs no network".to_owned(), output.finish(files, &[], stamp)?))
    })
}

/// Plans and checks a design, hands its sheets' set on, and says what came of it.
fn with_set(
    (sources, log): (&Sources, Option<&Path>),
    paper: Option<Paper>,
    doing: &'static str,
    level: Level,
    make: impl FnOnce(&Set<'_>, Stamp) -> Result<(String, Written), Failure>,
) -> Result<ExitCode, Failure> {
    checked(sources, log, Wanted::plain(doing, level), |c| {
        let slopes = setting_out(c.ctx);
        let paper = paper.unwrap_or(match c.scene.units {
            Units::Inches => Paper::Letter,
            Units::Millimetres => Paper::A4,
        });
        let lists = tables(c.ctx, &c.scene.header);
        let (what, written) = make(&Set { scene: c.scene, slopes: &slopes, lists: &lists, paper }, c.stamp())?;
        Ok(said(c.scene, &what, &written))
    })
}

fn said(scene: &Scene<'_>, what: &str, written: &Written) -> String {
    let h = &scene.header;
    let mut text = format!("{}\n{}, plan {}\n\n{what}\n", h.scope, h.design, h.fingerprint);
    for path in &written.files {
        text.push_str(&format!("  {}\n", path.display()));
    }
    text.push_str("\nCautions\n");
    for c in &h.cautions {
        text.push_str(&format!("  {c}\n"));
    }
    text.push_str(&written.said);
    text
}

/// Whether a file bears the name of a sheet.
pub fn is_sheet(name: &str) -> bool {
    let kinds = ["-plan", "-measures", "-details", "-isometric"];
    let stem = name.strip_suffix(".svg").or_else(|| name.strip_suffix(".png"));
    name == ALL_SHEETS
        || stem.is_some_and(|s| {
            let base = s.trim_end_matches(|c: char| c.is_ascii_digit()).trim_end_matches('-');
            kinds.iter().any(|k| base.ends_with(k)) || matches!(base, "findings" | "lists")
        })
}

/// Sheets in a folder: an earlier plan's, where this one does not write them again.
fn older_sheets(folder: &Path) -> Vec<String> {
    let Ok(entries) = std::fs::read_dir(folder) else { return Vec::new() };
    let mut names: Vec<String> =
        entries.filter_map(|e| e.ok()?.file_name().into_string().ok()).filter(|n| is_sheet(n)).collect();
    names.sort();
    names
}
