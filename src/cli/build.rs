//! `build` and `check`.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use std::process::ExitCode;

use super::arguments::Level;
use super::checked::{Wanted, checked};
use super::files::{FileSet, Sources};
use super::{Failure, summary};
use crate::check::Context;
use crate::scene::{Detail, Layer, Scene, Texts, air_tables};
use crate::write::{findings, glb, quantities, stl, table};

/// `airlath check`.
pub fn check(sources: &Sources, log: Option<&Path>, level: Level) -> Result<ExitCode, Failure> {
    checked(sources, log, Wanted::plain("checking", level), |c| Ok(summary::text(c.scene, &[])))
}

/// `airlath build`.
pub fn build(
    sources: &Sources,
    log: Option<&Path>,
    out: Option<&Path>,
    layers: bool,
    detail: Detail,
    level: Level,
) -> Result<ExitCode, Failure> {
    let wanted = Wanted { doing: "planning, checking and writing", detail, looks: true, level };
    let folder = out.map_or_else(|| default_folder(&sources.design), Path::to_owned);
    checked(sources, log, wanted, |c| {
        // The STL is most of the bytes: it is written beside the others.
        let (stl, others) = std::thread::scope(|scope| {
            let stl = scope.spawn(|| stl_files(c.scene, &folder, layers));
            let others = other_files(c.ctx, c.scene, &folder);
            (stl.join(), others)
        });
        let stl = stl.map_err(|_| Failure::Text("error: the STL writer stopped; nothing was written".into()))??;
        let mut files = others?;
        files.join(stl);
        let written = files.finish(&own_files())?;
        Ok(summary::text(c.scene, &written))
    })
}

fn other_files(ctx: &Context<'_>, scene: &Scene<'_>, folder: &Path) -> Result<FileSet, Failure> {
    let mut files = FileSet::new(folder)?;
    files.write("model.glb", |w| glb::write(scene, w))?;
    if glb::is_instanced(scene) {
        files.write("model.glb.csv", |w| glb::index(scene, w))?;
    }
    files.write("findings.json", |w| findings::write(scene, w))?;
    files.write("quantities.csv", |w| quantities::write(scene, w))?;
    for list in air_tables(ctx) {
        let name = format!("{}.csv", list.name);
        files.write(&name, |w| table::write_walked(list, &scene.header, scene.units, w))?;
    }
    Ok(files)
}

fn stl_files(scene: &Scene<'_>, folder: &Path, layers: bool) -> Result<FileSet, Failure> {
    let mut files = FileSet::new(folder)?;
    files.write_two(["model.stl", "model.stl.csv"], |a, b| stl::write(scene, None, a, b))?;
    if layers {
        let mut there = BTreeSet::new();
        let all = scene.source.walk_parts(Texts::Unwanted, &mut |part| {
            there.insert(part.kind.layer());
            Ok(())
        });
        all.map_err(|e| Failure::Text(format!("error: {e}")))?;
        for layer in there {
            let [model, index] = layer_files(layer);
            files.write_two([&model, &index], |a, b| stl::write(scene, Some(layer), a, b))?;
        }
    }
    Ok(files)
}

fn layer_files(layer: Layer) -> [String; 2] {
    let name = layer.name().replace(' ', "-");
    [format!("layer-{name}.stl"), format!("layer-{name}.stl.csv")]
}

/// Every file that a build may write: those of an earlier plan must not stay beside a newer one.
fn own_files() -> Vec<String> {
    let plain = ["model.glb", "model.glb.csv", "model.stl", "model.stl.csv", "findings.json", "quantities.csv"];
    let of_air = ["air-cells.csv", "air-links.csv"];
    plain.iter().chain(&of_air).map(|n| (*n).to_owned()).chain(Layer::ALL.into_iter().flat_map(layer_files)).collect()
}

/// The folder for a design's files where none is named.
pub(super) fn default_folder(design: &Path) -> PathBuf {
    Path::new("out").join(design.file_stem().unwrap_or(design.as_os_str()))
}
