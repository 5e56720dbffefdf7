//! Many parts as few meshes, for roofs with more parts than viewers bear.
//!
//! Aim: one file that every reader shows right. Reason: many readers choke on tens of thousands of nodes, and several show
//! one instance of each batch without an error; triangles they all draw. How: parts of one kind, one verdict and one set of
//! bins that lie in one cell become one mesh with one node; the list gives each name its mesh and its range of indices.
//! Limits: corners count from the middle of the cell, as `f32`: a long strip that reaches 60 m out of it is good to 4
//! micrometres.

use std::collections::{BTreeMap, BTreeSet};
use std::io;

use super::bin::{Bin, Vertex, flat};
use super::{CELL, Written};
use crate::check::Verdict;
use crate::scene::{Form, Layer, Part, PartKind, Scene, Texts};
use crate::solid::{Pose, Vector3};
use crate::write::form::box_mesh;
use crate::write::{broken, is_finite};

/// Layers with more parts than this are merged, whatever they hold.
pub(super) const MOST_NAMED_OF_A_LAYER: usize = 5_000;
/// Most corners of one mesh: all that short indices count.
const MOST_CORNERS: usize = 0xffff;

/// Where a part is in the file: a mesh, and a range of its indices.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) struct Place {
    /// Number of the mesh; `None` for a part that is left out or has no triangles.
    pub(super) mesh: Option<u32>,
    /// First of its indices.
    pub(super) first: u32,
    /// How many they are.
    pub(super) count: u32,
}

/// Whether a part is left out of a merged model.
pub(super) fn leaves_out(kind: PartKind) -> bool {
    kind == PartKind::Fasteners
}

/// The layers whose parts are merged.
///
/// # Errors
/// Those of the walk.
pub(super) fn merged_layers(scene: &Scene<'_>) -> io::Result<BTreeSet<Layer>> {
    let mut counts: BTreeMap<Layer, usize> = BTreeMap::new();
    scene.source.walk_parts(Texts::Unwanted, &mut |part| {
        *counts.entry(part.kind.layer()).or_default() += usize::from(!leaves_out(part.kind));
        Ok(())
    })?;
    let always = [Layer::Tape, Layer::Strips, Layer::Battens];
    let merged =
        |(layer, count): &(Layer, usize)| always.contains(layer) && *count > 0 || *count > MOST_NAMED_OF_A_LAYER;
    Ok(counts.into_iter().filter(merged).map(|(layer, _)| layer).collect())
}

/// What goes into one mesh.
#[derive(Clone, PartialEq, Eq, PartialOrd, Ord)]
struct Alike {
    kind: PartKind,
    verdict: Verdict,
    bins: Vec<Option<u8>>,
    cell: [i64; 3],
}

/// A mesh that is being gathered.
#[derive(Default)]
struct Heap {
    vertices: Vec<Vertex>,
    indices: Vec<u32>,
    /// Number of a part in the walk, with its range of indices.
    parts: Vec<(usize, u32, u32)>,
}

/// The meshes of one layer as they grow.
#[derive(Default)]
pub(super) struct Merging(BTreeMap<Alike, Heap>);

impl Merging {
    /// Puts a part into its mesh. Gives the mesh that is full for it; `false` where the part has no triangles.
    ///
    /// # Errors
    /// A form with a number that is none, or an index that points nowhere.
    pub(super) fn take(
        &mut self,
        part: &Part<'_>,
        number: usize,
        bins: &[Option<u8>],
        finish: &mut Finish<'_>,
    ) -> io::Result<bool> {
        let of = |e: io::Error| broken(format!("{e}, in the form of {}", part.name));
        if !is_finite(&part.pose) {
            return Err(broken(format!("the place of {} is not finite", part.name)));
        }
        let mesh = match part.form {
            Form::Box(size) => box_mesh(size).moved(&part.pose),
            Form::Mesh(mesh) => mesh.moved(&part.pose),
        };
        let Some((low, high)) = mesh.bounds().filter(|_| !mesh.triangles.is_empty()) else { return Ok(false) };
        let cell = nalgebra::center(&low, &high).coords / CELL;
        let cell = [cell.x, cell.y, cell.z].map(|v| v.floor() as i64);
        let (vertices, indices) = flat(&mesh, &middle(cell)).map_err(of)?;
        let alike = Alike { kind: part.kind, verdict: part.verdict, bins: bins.to_vec(), cell };
        let heap = self.0.entry(alike.clone()).or_default();
        if !heap.parts.is_empty() && heap.vertices.len() + vertices.len() > MOST_CORNERS {
            finish.heap(&alike, std::mem::take(heap));
        }
        let base = heap.vertices.len() as u32;
        heap.parts.push((number, heap.indices.len() as u32, indices.len() as u32));
        heap.indices.extend(indices.iter().map(|i| i + base));
        heap.vertices.extend(vertices);
        Ok(true)
    }

    /// Finishes what is left.
    pub(super) fn close(&mut self, finish: &mut Finish<'_>) {
        for (alike, heap) in std::mem::take(&mut self.0) {
            finish.heap(&alike, heap);
        }
    }
}

/// Where finished meshes go.
pub(super) struct Finish<'t> {
    pub(super) bin: &'t mut Bin,
    pub(super) written: &'t mut Vec<Written>,
    pub(super) places: &'t mut [Place],
}

impl Finish<'_> {
    fn heap(&mut self, alike: &Alike, heap: Heap) {
        let form = self.bin.store_flat(&heap.vertices, &heap.indices);
        let Some(mesh) = self.bin.mesh(form, alike.kind.layer(), alike.verdict, &alike.bins) else { return };
        for (number, first, count) in heap.parts {
            if let Some(place) = self.places.get_mut(number) {
                *place = Place { mesh: Some(mesh), first, count };
            }
        }
        let pose = Pose::from_parts(middle(alike.cell).into(), nalgebra::UnitQuaternion::identity());
        let attributes = serde_json::Map::new();
        self.written.push(Written { mesh, kind: alike.kind, verdict: alike.verdict, pose, attributes });
    }
}

/// The middle of a cell, metres.
fn middle(cell: [i64; 3]) -> Vector3 {
    Vector3::from(cell.map(|v| (v as f64 + 0.5) * CELL))
}
