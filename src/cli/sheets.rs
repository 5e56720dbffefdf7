//! `sheets` and `report`: what goes up the ladder, and what is handed over.

use std::path::{Path, PathBuf};
use std::process::ExitCode;

use super::Failure;
use super::arguments::Level;
use super::build::default_folder;
use super::checked::{Wanted, checked};
use super::files::{FileSet, Sources};
use crate::quantity::Units;
use crate::scene::{Scene, lists as tables, setting_out};
use crate::sheet::{self, Paper, Set, Subject};
use crate::write::{pdf, png, report as page, svg};

/// `airlath sheets`.
pub fn sheets(
    sources: &Sources,
    log: Option<&Path>,
    paper: Option<Paper>,
    out: Option<&Path>,
    level: Level,
) -> Result<ExitCode, Failure> {
    // A folder of their own: many files, and what an earlier plan left in it must go.
    let folder = out.map_or_else(|| default_folder(&sources.design).join("sheets"), Path::to_owned);
    with_set((sources, log), paper, "planning, checking and drawing", level, |set| {
        let drawn = sheet::sheets(set)?;
        let mut files = FileSet::new(&folder)?;
        for s in &drawn {
            files.write(&format!("{}.svg", s.name), |w| svg::write(s, w))?;
            if s.subject == Subject::Isometric {
                files.write(&format!("{}.png", s.name), |w| png::write(s, w))?;
            }
        }
        files.write("sheets.pdf", |w| pdf::write(set.scene, &drawn, w))?;
        let older = older_sheets(&folder);
        let written = files.finish(&older)?;
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
    with_set((sources, log), paper, "planning, checking and writing", level, |set| {
        let drawn = sheet::sheets(set)?;
        let pictures = sheet::pictures(set)?;
        let lists = sheet::table::lists(set.scene, set.lists);
        let mut files = FileSet::new(&folder)?;
        files.write("report.html", |w| page::write(set.scene, &drawn, &pictures, &lists, w))?;
        Ok(("One file, which needs no network".to_owned(), files.finish(&[])?))
    })
}

/// Plans and checks a design, hands its sheets' set on, and says what came of it.
fn with_set(
    (sources, log): (&Sources, Option<&Path>),
    paper: Option<Paper>,
    doing: &'static str,
    level: Level,
    make: impl FnOnce(&Set<'_>) -> Result<(String, Vec<PathBuf>), Failure>,
) -> Result<ExitCode, Failure> {
    checked(sources, log, Wanted::plain(doing, level), |c| {
        let slopes = setting_out(c.ctx);
        let paper = paper.unwrap_or(match c.scene.units {
            Units::Inches => Paper::Letter,
            Units::Millimetres => Paper::A4,
        });
        let lists = tables(c.ctx, &c.scene.header);
        let (what, written) = make(&Set { scene: c.scene, slopes: &slopes, lists: &lists, paper })?;
        Ok(said(c.scene, &what, &written))
    })
}

fn said(scene: &Scene<'_>, what: &str, written: &[PathBuf]) -> String {
    let h = &scene.header;
    let mut text = format!("{}\n{}, plan {}\n\n{what}\n", h.scope, h.design, h.fingerprint);
    for path in written {
        text.push_str(&format!("  {}\n", path.display()));
    }
    text.push_str("\nCautions\n");
    for c in &h.cautions {
        text.push_str(&format!("  {c}\n"));
    }
    text
}

/// Files in a folder that bear a sheet's kind of name: an earlier plan's, where this one does not write them again.
fn older_sheets(folder: &Path) -> Vec<String> {
    let kinds = ["-plan", "-measures", "-details", "-isometric"];
    let ours = |name: &str| {
        let stem = name.strip_suffix(".svg").or_else(|| name.strip_suffix(".png"));
        stem.is_some_and(|s| {
            let base = s.trim_end_matches(|c: char| c.is_ascii_digit()).trim_end_matches('-');
            kinds.iter().any(|k| base.ends_with(k)) || matches!(base, "findings" | "lists")
        })
    };
    let Ok(entries) = std::fs::read_dir(folder) else { return Vec::new() };
    let mut names: Vec<String> =
        entries.filter_map(|e| e.ok()?.file_name().into_string().ok()).filter(|n| ours(n)).collect();
    names.sort();
    names
}
