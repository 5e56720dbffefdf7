//! `lists`.

use std::path::Path;
use std::process::ExitCode;

use super::Failure;
use super::arguments::Level;
use super::build::default_folder;
use super::checked::{Wanted, checked};
use super::files::Sources;
use super::output::Output;
use crate::scene::lists as tables;
use crate::write::table;

/// Every file that the verb may write.
pub const OWN: [&str; 4] = ["cut-list.csv", "buying-list.csv", "order-of-work.csv", "joints.toml"];

/// `airlath lists`.
pub fn lists(sources: &Sources, log: Option<&Path>, out: Option<&Path>, level: Level) -> Result<ExitCode, Failure> {
    let folder = out.map_or_else(|| default_folder(&sources.design), Path::to_owned);
    checked(sources, log, Wanted::plain("planning, checking and choosing boards", level), |c| {
        let scene = c.scene;
        let lists = tables(c.ctx, &scene.header);
        let output = Output::open(&folder)?;
        let mut files = output.set();
        for list in &lists {
            files.write(&format!("{}.csv", list.name), |w| table::write(list, &scene.header, scene.units, w))?;
        }
        let joints = c.plan.lattice.pinned_joints();
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
        let written = output.finish(files, &own, c.stamp())?;
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
        for file in written.files {
            text.push_str(&format!("wrote {}\n", file.display()));
        }
        text.push_str(&written.said);
        Ok(text)
    })
}
