//! `sheets`.

use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::ExitCode;

use super::arguments::Level;
use super::files::{FileSet, plan};
use super::progress::Progress;
use super::{Failure, exit};
use crate::check;
use crate::quantity::Units;
use crate::scene::{Building, Detail, setting_out};
use crate::sheet::{self, Paper, Set, Subject};
use crate::write::{pdf, png, svg};

/// The folder of a design's paper: its own, because a build clears the names it knows from its own folder.
const FOLDER: &str = "sheets";

/// `airlath sheets`.
pub fn sheets(design: &Path, paper: Option<Paper>, out: Option<&Path>, level: Level) -> Result<ExitCode, Failure> {
    let progress = Progress::begin("planning, checking and drawing");
    let plan = plan(design)?;
    let ctx = plan.context();
    let results = check::run(&ctx);
    let building = Building::new(&ctx, &results, Detail::Plain);
    let scene = building.scene(&results);
    let slopes = setting_out(&ctx);
    let paper = paper.unwrap_or(match scene.units {
        Units::Inches => Paper::Letter,
        Units::Millimetres => Paper::A4,
    });
    let set = Set { scene: &scene, slopes: &slopes, paper };
    let drawn = sheet::sheets(&set)?;
    let folder = out.map_or_else(|| default_folder(design), Path::to_owned);
    let mut files = FileSet::new(&folder)?;
    for s in &drawn {
        files.write(&format!("{}.svg", s.name), |w| svg::write(s, w))?;
        if s.subject == Subject::Isometric {
            files.write(&format!("{}.png", s.name), |w| png::write(s, w))?;
        }
    }
    files.write("sheets.pdf", |w| pdf::write(&scene, &drawn, w))?;
    let written = files.finish(&[])?;
    drop(progress);
    let mut text = String::new();
    text.push_str(&format!("{}\n{}, plan {}\n\n", scene.header.scope, scene.header.design, scene.header.fingerprint));
    text.push_str(&format!("{} sheets on {} paper\n", drawn.len(), paper.name()));
    for path in &written {
        text.push_str(&format!("  {}\n", path.display()));
    }
    text.push_str("\nCautions\n");
    for c in &scene.header.cautions {
        text.push_str(&format!("  {c}\n"));
    }
    let mut out = anstream::stdout().lock();
    out.write_all(text.as_bytes())?;
    out.flush()?;
    Ok(exit(scene.header.verdict, level))
}

fn default_folder(design: &Path) -> PathBuf {
    Path::new("out").join(design.file_stem().unwrap_or(design.as_os_str())).join(FOLDER)
}
