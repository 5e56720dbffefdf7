//! `lists`.

use std::io::Write;
use std::path::Path;
use std::process::ExitCode;

use super::arguments::Level;
use super::build::default_folder;
use super::files::{FileSet, Sources};
use super::progress::Progress;
use super::{Failure, exit};
use crate::check;
use crate::scene::{Building, Detail, lists as tables};
use crate::write::table;

/// Every file that the verb may write.
const OWN: [&str; 4] = ["cut-list.csv", "buying-list.csv", "order-of-work.csv", "joints.toml"];

/// `airlath lists`.
pub fn lists(sources: &Sources, log: Option<&Path>, out: Option<&Path>, level: Level) -> Result<ExitCode, Failure> {
    let progress = Progress::begin("planning, checking and choosing boards");
    let plan = sources.plan_with(log)?;
    let ctx = plan.context();
    let results = check::run(&ctx);
    let building = Building::new(&ctx, &results, Detail::Plain);
    let scene = building.scene(&results);
    let lists = tables(&ctx, &scene.header);
    let folder = out.map_or_else(|| default_folder(&sources.design), Path::to_owned);
    let mut files = FileSet::new(&folder)?;
    for list in &lists {
        files.write(&format!("{}.csv", list.name), |w| table::write(list, &scene.header, scene.units, w))?;
    }
    let joints = plan.lattice.pinned_joints();
    if !joints.is_empty() {
        files.write("joints.toml", |w| {
            writeln!(
                w,
                "# The joints of plan {}. At the end of the design file they keep them.",
                scene.header.fingerprint
            )?;
            writeln!(w, "# {}", scene.header.scope)?;
            w.write_all(joints.as_bytes())
        })?;
    }
    let own: Vec<String> = OWN.iter().map(|n| (*n).to_owned()).collect();
    let written = files.finish(&own)?;
    drop(progress);
    let mut text = format!("{}\n\n", scene.header.scope);
    for list in &lists {
        text.push_str(&format!("{}: {} rows\n", list.title, list.rows.len()));
        for note in &list.notes {
            // What two lists say is said once.
            if !text.contains(note.as_str()) {
                text.push_str(&format!("  {note}\n"));
            }
        }
    }
    text.push_str(&format!("\nplan fingerprint {}\n", scene.header.fingerprint));
    for caution in &scene.header.cautions {
        text.push_str(&format!("{caution}\n"));
    }
    for file in written {
        text.push_str(&format!("wrote {}\n", file.display()));
    }
    let mut out = anstream::stdout().lock();
    out.write_all(text.as_bytes())?;
    out.flush()?;
    Ok(exit(scene.header.verdict, level))
}
