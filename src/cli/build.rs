//! `build` and `check`.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use std::process::ExitCode;

use super::arguments::Level;
use super::checked::{Wanted, checked};
use super::files::Sources;
use super::output::{FileSet, Output};
use super::{Failure, summary};
use crate::check::Context;
use crate::scene::{Detail, Layer, Scene, Texts, air_tables};
use crate::write::{findings, glb, quantities, stl, table};

/// `airlath check`.
pub fn check(sources: &Sources, log: Option<&Path>, level: Level) -> Result<ExitCode, Failure> {
    checked(sources, log, Wanted::plain("checking", level), |c| Ok(summary::text(c.scene, None)))
}

/// What a build writes beside the usual.
#[derive(Clone, Copy)]
pub struct Options {
    /// One STL file for each layer, too.
    pub layers: bool,
    /// The model as instances.
    pub instanced: bool,
    /// How finely parts are shown.
    pub detail: Detail,
}

/// `airlath build`.
pub fn build(
    sources: &Sources,
    log: Option<&Path>,
    out: Option<&Path>,
    options: Options,
    level: Level,
) -> Result<ExitCode, Failure> {
    let wanted = Wanted { doing: "planning, checking and writing", detail: options.detail, looks: true, level };
    let folder = out.map_or_else(|| default_folder(&sources.design), Path::to_owned);
    checked(sources, log, wanted, |c| {
        let output = Output::open(&folder)?;
        // The STL is most of the bytes: it is written beside the others.
        let (stl, others) = std::thread::scope(|scope| {
            let stl = scope.spawn(|| stl_files(c.scene, output.set(), options.layers));
            let others = other_files(c.ctx, c.scene, options.instanced, output.set());
            (stl.join(), others)
        });
        let stl = stl.map_err(|_| Failure::Text("error: the STL writer stopped; nothing was written".into()))??;
        let (mut files, of_model) = others?;
        files.join(stl);
        let mut written = output.finish(files, &own_files(), c.stamp())?;
        if let Some(said) = of_model {
            written.said.insert_str(0, &format!("\nmodel.glb\n  {said}\n"));
        }
        Ok(summary::text(c.scene, Some(&written)))
    })
}

/// All files but the STL, with what must be said of the model.
fn other_files(
    ctx: &Context<'_>,
    scene: &Scene<'_>,
    instanced: bool,
    mut files: FileSet,
) -> Result<(FileSet, Option<String>), Failure> {
    let mut said = None;
    match glb::Arrangement::of(scene, instanced) {
        glb::Arrangement::Named => files.write("model.glb", |w| glb::write(scene, w))?,
        other => files.write_two(["model.glb", "model.glb.csv"], |w, list| {
            said = glb::write_with_list(scene, other, w, list)?;
            Ok(())
        })?,
    }
    files.write("findings.json", |w| findings::write(scene, w))?;
    files.write("quantities.csv", |w| quantities::write(scene, w))?;
    for list in air_tables(ctx) {
        let name = format!("{}.csv", list.name);
        files.write(&name, |w| table::write_walked(list, &scene.header, scene.units, w))?;
    }
    Ok((files, said))
}

fn stl_files(scene: &Scene<'_>, mut files: FileSet, layers: bool) -> Result<FileSet, Failure> {
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
pub(super) fn own_files() -> Vec<String> {
    let plain = ["model.glb", "model.glb.csv", "model.stl", "model.stl.csv", "findings.json", "quantities.csv"];
    let of_air = ["air-cells.csv", "air-links.csv"];
    plain.iter().chain(&of_air).map(|n| (*n).to_owned()).chain(Layer::ALL.into_iter().flat_map(layer_files)).collect()
}

/// The folder for a design's files where none is named.
pub(super) fn default_folder(design: &Path) -> PathBuf {
    Path::new("out").join(design.file_stem().unwrap_or(design.as_os_str()))
}
