//! Binary glTF 2.0.
//!
//! Aim: a model that any free viewer opens, with the plan's names in its tree.
//! Reason: glTF is what viewers, modellers and web pages read alike. The tree is design, branch, layer, part; every
//! size has a mesh of its own under rigid transforms, because at least one common reader gets a scaled node wrong and
//! reports success. Parts say what they are in flat `extras`, because a common converter stops at nested ones.
//!
//! The few things of a document (materials, meshes, accessors, views) go through `gltf-json`. The many, its nodes,
//! are written as text here: that is more than twice as fast, and `gltf-json` holds places as `f32`, which for a
//! branch far from the origin is too coarse.
//!
//! Above [`MOST_NAMED`] parts the tree would choke viewers, so many parts become one mesh and fasteners are left out
//! (`merged.rs`); the list beside the model gives each name its mesh and its range of indices. Only who asks for it gets
//! instances (`EXT_mesh_gpu_instancing`), a node for every batch of one form: they keep every part in few bytes, but several
//! readers show one of each batch without an error. `_ID` is then a part's position in the walk, the `id` of the list. A
//! batch of one is an ordinary named node. A file never has instances and looks together: one common viewer then shows
//! nothing at all.
//!
//! Limits: glTF is y-up, so the root node turns the building. `_ID` is an `f32`, since core glTF allows no 32-bit
//! integers in vertex attributes; it is exact up to 16,777,216 parts, and more are refused. A GLB ends at 4 GiB. The
//! bytes are held in memory before they are written, because their lengths stand in front of them. Places of parts
//! are written to a micrometre, turns to 1e-10.

mod bin;
mod look;
mod merged;
#[cfg(test)]
mod tests;

use std::collections::{BTreeMap, BTreeSet};
use std::io::{self, Write};
use std::ops::Range;

use gltf_json::extensions::root::Root as RootExtensions;
use gltf_json::{Asset, Index, Root};
use serde_json::{Map, Value, json};

use self::bin::{Bin, Lane};
use self::merged::{Finish, Merging, Place, leaves_out, merged_layers};
use super::text::{cell, push_decimal, push_json, push_whole};
use super::{branch_pose, broken, is_finite};
use crate::check::Verdict;
use crate::scene::{Layer, Part, PartKind, Scene, Texts};
use crate::solid::Pose;

/// With more parts than this, not every part is a node of its own any more. Common viewers open 34,000 named nodes in a
/// second or two, and a million in a minute.
pub const MOST_NAMED: usize = 20_000;

/// How parts are written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Arrangement {
    /// Each as a named node.
    Named,
    /// Many of a layer as one mesh; fasteners are left out.
    Merged,
    /// As instances, without looks.
    Instanced,
}

impl Arrangement {
    /// The one for a scene; `instanced` where somebody asks for instances.
    pub fn of(scene: &Scene<'_>, instanced: bool) -> Arrangement {
        if instanced {
            Arrangement::Instanced
        } else if scene.source.part_count() > MOST_NAMED {
            Arrangement::Merged
        } else {
            Arrangement::Named
        }
    }
}

/// Most instances in one batch: a viewer shows or hides a batch as a whole.
const BATCH: usize = 4096;
/// Largest number up to which every whole number is an `f32`.
const LARGEST_ID: usize = 1 << 24;
/// The extension that carries the instances.
const INSTANCING: &str = "EXT_mesh_gpu_instancing";
/// Decimals of places (micrometres) and of turns.
const PLACE: u32 = 6;
const TURN: u32 = 10;
/// A batch stays within a cell of this size, metres, and counts from its middle: so its `f32` places are good to half
/// a micrometre, and a viewer can skip the batches that are out of sight. A power of two, so that the middle is exact.
const CELL: f64 = 16.0;

/// Writes the model as any reader shows it.
///
/// # Errors
/// Those of `out`; a scene that contradicts itself; more than the format holds.
pub fn write(scene: &Scene<'_>, out: &mut dyn Write) -> io::Result<()> {
    write_as(scene, Arrangement::of(scene, false), out).map(drop)
}

/// Writes the model in a stated way, and the list of its parts as CSV,
/// `id,name,kind,verdict,mesh,first_index,indices`: `id` is the position in the walk, the `_ID` of instances; the others say
/// in which mesh of the model a part is, and where among its indices. They are empty where it is left out. A name that a
/// spreadsheet would take for a formula starts with an apostrophe. Gives what must be said of such a model.
///
/// # Errors
/// As for [`write()`], and those of `list`.
pub fn write_with_list(
    scene: &Scene<'_>,
    arrangement: Arrangement,
    out: &mut dyn Write,
    list: &mut dyn Write,
) -> io::Result<Option<String>> {
    let Outcome { places, said } = write_as(scene, arrangement, out)?;
    let mut rows = csv::WriterBuilder::new().buffer_capacity(1 << 16).from_writer(list);
    rows.write_record(["id", "name", "kind", "verdict", "mesh", "first_index", "indices"])?;
    let mut number = Vec::new();
    let mut all = places.iter().enumerate();
    scene.source.walk_parts(Texts::Unwanted, &mut |part| {
        let (id, place) = all.next().ok_or_else(|| broken("two walks differ"))?;
        let mut field = |value: usize, rows: &mut csv::Writer<_>| {
            number.clear();
            push_whole(&mut number, value as u64);
            rows.write_field(&number)
        };
        field(id, &mut rows)?;
        for text in [cell(part.name), part.kind.name().into(), part.verdict.name().into()] {
            rows.write_field(text.as_bytes())?;
        }
        match place.mesh {
            Some(mesh) => {
                for value in [mesh, place.first, place.count] {
                    field(value as usize, &mut rows)?;
                }
            }
            None => {
                for _ in 0..3 {
                    rows.write_field("")?;
                }
            }
        }
        Ok(rows.write_record(None::<&[u8]>)?)
    })?;
    rows.flush()?;
    Ok(said)
}

/// What came of writing.
#[derive(Debug)]
struct Outcome {
    /// Where each part of the walk is.
    places: Vec<Place>,
    /// What must be said of the model.
    said: Option<String>,
}

fn write_as(scene: &Scene<'_>, arrangement: Arrangement, out: &mut dyn Write) -> io::Result<Outcome> {
    if let Some(branch) = scene.branches.iter().find(|b| !is_finite(&b.pose)) {
        return Err(broken(format!("the place of {} is not finite", branch.name)));
    }
    let merged = match arrangement {
        Arrangement::Merged => merged_layers(scene)?,
        Arrangement::Named | Arrangement::Instanced => BTreeSet::new(),
    };
    let mut tree = Tree::new(scene, arrangement, merged);
    scene.source.walk_parts(Texts::Wanted, &mut |part| tree.take(part))?;
    let Tree { nodes, bin, places, said, .. } = tree.close()?;

    let looks = arrangement != Arrangement::Instanced;
    let mut used = Vec::new();
    if looks {
        used.push(look::VARIANTS.to_owned());
    }
    if nodes.instanced {
        used.push(INSTANCING.to_owned());
    }
    let mut root = Root {
        asset: Asset { generator: Some(scene.header.program.clone()), ..Asset::default() },
        scene: Some(Index::new(0)),
        scenes: vec![gltf_json::Scene {
            extensions: None,
            extras: None,
            name: None,
            nodes: vec![Index::new(nodes.count.saturating_sub(1))],
        }],
        extensions: looks.then(|| RootExtensions { others: look::variants(&scene.looks) }),
        extensions_used: used,
        extensions_required: if nodes.instanced { vec![INSTANCING.to_owned()] } else { Vec::new() },
        materials: look::materials(if looks { &scene.looks } else { &[] }),
        ..Root::default()
    };
    let pieces = bin.finish(&mut root);

    // The nodes, which are text already, become the document's last member.
    let mut head = serde_json::to_vec(&root)?;
    head.pop();
    head.extend(b",\"nodes\":[");
    write_container(&[&head, &nodes.text, b"]}"], &pieces, out)?;
    Ok(Outcome { places, said })
}

/// The GLB container: a header and two chunks, each padded to four bytes.
fn write_container(document: &[&[u8]], binary: &[Vec<u8>], out: &mut dyn Write) -> io::Result<()> {
    let json: usize = document.iter().map(|piece| piece.len()).sum();
    let bin: usize = binary.iter().map(Vec::len).sum();
    let json_padding = json.next_multiple_of(4) - json;
    let bin_padding = bin.next_multiple_of(4) - bin;
    let bin_chunk = if bin == 0 { 0 } else { 8 + bin + bin_padding };
    let total = 12 + 8 + json + json_padding + bin_chunk;
    let number = |n: usize| u32::try_from(n).map(u32::to_le_bytes).map_err(|_| broken("a GLB file ends at 4 GiB"));
    out.write_all(b"glTF")?;
    out.write_all(&2u32.to_le_bytes())?;
    out.write_all(&number(total)?)?;
    out.write_all(&number(json + json_padding)?)?;
    out.write_all(b"JSON")?;
    for piece in document {
        out.write_all(piece)?;
    }
    out.write_all(b"   ".get(..json_padding).unwrap_or_default())?;
    if bin == 0 {
        return Ok(());
    }
    out.write_all(&number(bin + bin_padding)?)?;
    out.write_all(b"BIN\0")?;
    for piece in binary {
        out.write_all(piece)?;
    }
    out.write_all([0; 3].get(..bin_padding).unwrap_or_default())
}

/// The text of the nodes written so far.
struct Nodes {
    text: Vec<u8>,
    count: u32,
    /// Whether any of them has instances.
    instanced: bool,
}

impl Nodes {
    /// Starts a node; its members follow as `"key":value,` and [`Nodes::end`] closes it. Gives its index.
    fn begin(&mut self, name: &str) -> io::Result<u32> {
        if self.count > 0 {
            self.text.push(b',');
        }
        self.text.extend(b"{\"name\":");
        push_json(&mut self.text, name)?;
        self.count += 1;
        Ok(self.count - 1)
    }

    fn end(&mut self) {
        self.text.push(b'}');
    }

    fn mesh(&mut self, mesh: Option<u32>) {
        if let Some(mesh) = mesh {
            self.text.extend(b",\"mesh\":");
            push_whole(&mut self.text, mesh.into());
        }
    }

    /// A part's place and turn, each left out where it says nothing.
    fn pose(&mut self, pose: &Pose) -> io::Result<()> {
        let t = pose.translation.vector;
        if t.iter().any(|v| v.abs() >= 0.5e-6) {
            self.text.extend(b",\"translation\":");
            self.list(&[t.x, t.y, t.z], PLACE)?;
        }
        if !is_unturned(pose) {
            let q = pose.rotation.coords;
            self.text.extend(b",\"rotation\":");
            self.list(&[q.x, q.y, q.z, q.w], TURN)?;
        }
        Ok(())
    }

    fn list(&mut self, values: &[f64], decimals: u32) -> io::Result<()> {
        let mut before = b'[';
        for value in values {
            self.text.push(before);
            push_decimal(&mut self.text, *value, decimals)?;
            before = b',';
        }
        self.text.push(b']');
        Ok(())
    }

    /// A branch's place and turn to the last digit.
    fn exact_pose(&mut self, pose: &Pose) -> io::Result<()> {
        self.text.extend(b",\"translation\":");
        serde_json::to_writer(&mut self.text, pose.translation.vector.as_slice())?;
        self.text.extend(b",\"rotation\":");
        Ok(serde_json::to_writer(&mut self.text, pose.rotation.coords.as_slice())?)
    }

    fn children(&mut self, children: impl Iterator<Item = u32>) {
        let mut before: &[u8] = b",\"children\":[";
        for child in children {
            self.text.extend(before);
            push_whole(&mut self.text, child.into());
            before = b",";
        }
        if before == b"," {
            self.text.push(b']');
        }
    }

    /// Flat facts; empty ones are left out.
    fn extras(&mut self, facts: &[(&str, &str)]) -> io::Result<()> {
        let mut before: &[u8] = b",\"extras\":{\"";
        for (key, value) in facts.iter().filter(|(_, value)| !value.is_empty()) {
            self.text.extend(before);
            self.text.extend(key.as_bytes());
            self.text.extend(b"\":");
            push_json(&mut self.text, value)?;
            before = b",\"";
        }
        if before == b",\"" {
            self.text.push(b'}');
        }
        Ok(())
    }

    /// A part, with its form's middle at the node's origin.
    fn part(&mut self, name: &str, mesh: Option<u32>, pose: &Pose, facts: &[(&str, &str)]) -> io::Result<()> {
        self.begin(name)?;
        self.mesh(mesh);
        self.pose(pose)?;
        self.extras(facts)?;
        self.end();
        Ok(())
    }
}

/// Whether a turn is none in the decimals that are written.
fn is_unturned(pose: &Pose) -> bool {
    let q = pose.rotation.coords;
    [q.x, q.y, q.z].iter().all(|v| v.abs() < 0.5e-10)
}

/// The layer of a branch, with the nodes below it: parts written at once, batches at the end.
struct Group {
    branch: usize,
    layer: Layer,
    parts: Range<u32>,
    batches: Range<usize>,
}

/// Which parts go into one batch.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
struct Alike {
    mesh: u32,
    kind: PartKind,
    cell: [i64; 3],
}

/// Instances that are being gathered.
struct Batch {
    verdict: Verdict,
    /// Middle of the cell, with the turn of the first part: parts that are all turned alike need no turns of their own.
    pose: Pose,
    places: Vec<[f32; 3]>,
    /// Empty as long as all are turned like the first.
    turns: Vec<[f32; 4]>,
    ids: Vec<[f32; 1]>,
    /// Name, size, stock and pose of the first, for a batch that stays alone.
    first: ([String; 3], Pose),
}

impl Batch {
    fn add(&mut self, pose: &Pose, id: u32) {
        let inside = self.pose.inv_mul(pose);
        let turn = <[f64; 4]>::from(inside.rotation.coords).map(|v| v as f32);
        if !self.turns.is_empty() || !is_unturned(&inside) {
            self.turns.resize(self.places.len(), [0.0, 0.0, 0.0, 1.0]);
            self.turns.push(turn);
        }
        self.places.push(<[f64; 3]>::from(inside.translation.vector).map(|v| v as f32));
        self.ids.push([id as f32]);
    }
}

/// A finished batch, of instances or of merged parts: its numbers are in the buffer.
struct Written {
    mesh: u32,
    kind: PartKind,
    verdict: Verdict,
    pose: Pose,
    attributes: Map<String, Value>,
}

/// The tree as it grows: parts first, then batches, layers, branches and the root, so that every child is known before
/// the node that lists it.
struct Tree<'a> {
    scene: &'a Scene<'a>,
    arrangement: Arrangement,
    /// Layers whose parts are merged.
    merged: BTreeSet<Layer>,
    merging: Merging,
    /// How many parts are left out.
    left_out: usize,
    /// Where each part of the walk is.
    places: Vec<Place>,
    /// What must be said of the model.
    said: Option<String>,
    nodes: Nodes,
    bin: Bin,
    groups: Vec<Group>,
    open: BTreeMap<Alike, Batch>,
    written: Vec<Written>,
    /// Names that nodes above the parts would like, and which of them a part has.
    wanted: BTreeSet<String>,
    taken: BTreeSet<String>,
}

impl<'a> Tree<'a> {
    fn new(scene: &'a Scene<'a>, arrangement: Arrangement, merged: BTreeSet<Layer>) -> Self {
        let layers = scene.branches.iter().flat_map(|b| Layer::ALL.map(|layer| layer_name(&b.name, layer)));
        let mut wanted: BTreeSet<String> = layers.collect();
        wanted.insert(scene.header.design.clone());
        wanted.extend(scene.branches.iter().map(|b| b.name.clone()));
        Tree {
            scene,
            arrangement,
            merged,
            merging: Merging::default(),
            left_out: 0,
            places: Vec::new(),
            said: None,
            nodes: Nodes { text: Vec::new(), count: 0, instanced: false },
            bin: Bin::new(arrangement != Arrangement::Instanced),
            groups: Vec::new(),
            open: BTreeMap::new(),
            written: Vec::new(),
            wanted,
            taken: BTreeSet::new(),
        }
    }

    fn take(&mut self, part: &Part<'_>) -> io::Result<()> {
        let layer = part.kind.layer();
        let id = self.places.len();
        self.places.push(Place::default());
        if self.arrangement == Arrangement::Merged && leaves_out(part.kind) {
            self.left_out += 1;
            return Ok(());
        }
        let last = self.groups.last().map(|g| (g.branch, g.layer));
        if last != Some((part.branch, layer)) {
            branch_pose(self.scene, part)?;
            if last > Some((part.branch, layer)) {
                return Err(broken(format!("the walk came back to the layer of {}", part.name)));
            }
            self.close_group()?;
            let (node, batch) = (self.nodes.count, self.written.len());
            self.groups.push(Group { branch: part.branch, layer, parts: node..node, batches: batch..batch });
        }
        let bins: Vec<Option<u8>> = match self.arrangement {
            Arrangement::Instanced => Vec::new(),
            Arrangement::Named | Arrangement::Merged => {
                self.scene.looks.iter().map(|l| l.of.get(part.name).copied()).collect()
            }
        };
        if self.merged.contains(&layer) {
            let Tree { merging, bin, written, places, .. } = self;
            if merging.take(part, id, &bins, &mut Finish { bin, written, places })? {
                return Ok(());
            }
        }
        let found = self.bin.find(part)?;
        let mesh = found.form.and_then(|form| self.bin.mesh(form, layer, part.verdict, &bins));
        let mut pose = part.pose;
        pose.translation.vector += pose.rotation * found.middle;
        if !is_finite(&pose) {
            return Err(broken(format!("the place of {} is not finite", part.name)));
        }
        if let (Some(form), Some(place)) = (found.form, self.places.get_mut(id)) {
            *place = Place { mesh, first: 0, count: self.bin.indices(form) };
        }
        match mesh {
            Some(mesh) if self.arrangement == Arrangement::Instanced => self.gather(part, mesh, pose, id),
            _ => self.name(part.name, part.kind, part.verdict, [part.size, part.stock], mesh, &pose),
        }
    }

    /// Writes a part as a node of its own.
    fn name(
        &mut self,
        name: &str,
        kind: PartKind,
        verdict: Verdict,
        [size, stock]: [&str; 2],
        mesh: Option<u32>,
        pose: &Pose,
    ) -> io::Result<()> {
        // Only these can be what a node above the parts is called in the end.
        if self.wanted.contains(name) || name.contains(" batch ") || name.ends_with(')') {
            self.taken.insert(name.to_owned());
        }
        // A pin has no size; it says which check set it, and why.
        let keys = if kind == PartKind::Pin { ["check", "message"] } else { ["size", "stock"] };
        let facts = [("kind", kind.name()), ("verdict", verdict.name()), (keys[0], size), (keys[1], stock)];
        self.nodes.part(name, mesh, pose, &facts)
    }

    fn gather(&mut self, part: &Part<'_>, mesh: u32, pose: Pose, id: usize) -> io::Result<()> {
        if id > LARGEST_ID {
            return Err(broken("more parts than instances can be numbered"));
        }
        let cell = pose.translation.vector / CELL;
        let alike = Alike { mesh, kind: part.kind, cell: [cell.x, cell.y, cell.z].map(|v| v.floor() as i64) };
        let batch = self.open.entry(alike).or_insert_with(|| {
            let middle = cell.map(|v| (v.floor() + 0.5) * CELL);
            Batch {
                verdict: part.verdict,
                pose: Pose::from_parts(middle.into(), pose.rotation),
                places: Vec::new(),
                turns: Vec::new(),
                ids: Vec::new(),
                first: ([part.name, part.size, part.stock].map(str::to_owned), pose),
            }
        });
        batch.add(&pose, id as u32);
        if batch.ids.len() < BATCH {
            return Ok(());
        }
        match self.open.remove(&alike) {
            Some(full) => self.close_batch(alike, full),
            None => Ok(()),
        }
    }

    fn close_batch(&mut self, Alike { mesh, kind, .. }: Alike, batch: Batch) -> io::Result<()> {
        let Batch { verdict, pose, places, turns, ids, first } = batch;
        if let [_] = ids.as_slice() {
            let ([name, size, stock], pose) = first;
            return self.name(&name, kind, verdict, [&size, &stock], Some(mesh), &pose);
        }
        let mut attributes = Map::new();
        let mut put = |name: &str, accessor: u32| attributes.insert(name.to_owned(), accessor.into());
        put("TRANSLATION", self.bin.instances(Lane::Translations, &places));
        if !turns.is_empty() {
            put("ROTATION", self.bin.instances(Lane::Rotations, &turns));
        }
        put("_ID", self.bin.instances(Lane::Ids, &ids));
        self.written.push(Written { mesh, kind, verdict, pose, attributes });
        Ok(())
    }

    fn close_group(&mut self) -> io::Result<()> {
        for (alike, batch) in std::mem::take(&mut self.open) {
            self.close_batch(alike, batch)?;
        }
        let Tree { merging, bin, written, places, .. } = self;
        merging.close(&mut Finish { bin, written, places });
        let (node, batch) = (self.nodes.count, self.written.len());
        if let Some(group) = self.groups.last_mut() {
            group.parts.end = node;
            group.batches.end = batch;
        }
        Ok(())
    }

    /// Writes everything above the parts.
    fn close(mut self) -> io::Result<Self> {
        self.close_group()?;
        let scene = self.scene;
        let mut names = Names { taken: std::mem::take(&mut self.taken) };
        let nodes = &mut self.nodes;
        nodes.instanced = self.written.iter().any(|w| !w.attributes.is_empty());

        // Names are given from the root down, nodes from the leaves up.
        let root_name = names.give(&scene.header.design);
        let branch_names: Vec<String> = scene.branches.iter().map(|b| names.give(&b.name)).collect();
        let layer_names: Vec<String> = self
            .groups
            .iter()
            .map(|g| layer_name(scene.branches.get(g.branch).map_or("", |b| &b.name), g.layer))
            .map(|name| names.give(&name))
            .collect();

        let first_batch = nodes.count;
        for (group, layer_name) in self.groups.iter().zip(&layer_names) {
            for (number, batch) in self.written.get(group.batches.clone()).unwrap_or_default().iter().enumerate() {
                nodes.begin(&names.give(&format!("{layer_name} batch {}", number + 1)))?;
                nodes.mesh(Some(batch.mesh));
                nodes.pose(&batch.pose)?;
                if !batch.attributes.is_empty() {
                    nodes.text.extend(b",\"extensions\":");
                    let extension = json!({ INSTANCING: { "attributes": batch.attributes } });
                    serde_json::to_writer(&mut nodes.text, &extension)?;
                }
                nodes.extras(&[("kind", batch.kind.name()), ("verdict", batch.verdict.name())])?;
                nodes.end();
            }
        }
        let mut layers: Vec<(usize, u32)> = Vec::new();
        for (group, name) in self.groups.iter().zip(&layer_names) {
            layers.push((group.branch, nodes.begin(name)?));
            let batches = group.batches.clone().map(|b| first_batch + b as u32);
            nodes.children(group.parts.clone().chain(batches));
            let notes = scene.layer_notes.iter().find(|(layer, _, _)| *layer == group.layer);
            let (size, stock) = notes.map_or(("", ""), |(_, size, stock)| (size, stock));
            nodes.extras(&[("kind", group.layer.name()), ("size", size), ("stock", stock)])?;
            nodes.end();
        }
        let mut branches = Vec::new();
        for (i, (branch, name)) in scene.branches.iter().zip(&branch_names).enumerate() {
            branches.push(nodes.begin(name)?);
            nodes.exact_pose(&branch.pose)?;
            nodes.children(layers.iter().filter(|(of, _)| *of == i).map(|(_, node)| *node));
            nodes.end();
        }
        nodes.begin(&root_name)?;
        // A quarter turn about x takes the world's z to glTF's y.
        let quarter = std::f64::consts::FRAC_1_SQRT_2;
        nodes.text.extend(b",\"rotation\":");
        serde_json::to_writer(&mut nodes.text, &[-quarter, 0.0, 0.0, quarter])?;
        nodes.children(branches.into_iter());
        let cautions = scene.header.cautions.join(" ");
        let defaults = scene.header.defaults_text();
        let legends: Vec<(&str, String)> = scene.looks.iter().map(|l| (l.name.as_str(), look::legend(l))).collect();
        self.said = said(self.arrangement, self.left_out, &self.merged);
        let mut facts = vec![
            ("note", self.said.as_deref().unwrap_or_default()),
            ("scope", scene.header.scope.as_str()),
            ("fingerprint", &scene.header.fingerprint),
            ("caution", &cautions),
            ("defaults in force", &defaults),
            ("verdict", scene.header.verdict.name()),
        ];
        facts.extend(legends.iter().map(|(name, text)| (*name, text.as_str())));
        nodes.extras(&facts)?;
        nodes.end();
        Ok(self)
    }
}

/// What must be said of a model in which not every part is a node of its own.
fn said(arrangement: Arrangement, left_out: usize, merged: &BTreeSet<Layer>) -> Option<String> {
    let parts = match arrangement {
        Arrangement::Named => return None,
        Arrangement::Instanced => {
            return Some(
                "Instances: several readers show one part of each batch without an error. Looks are left out, as one viewer \
                 shows nothing where both are."
                    .to_owned(),
            );
        }
        Arrangement::Merged => merged.iter().map(|l| l.name()).collect::<Vec<_>>().join(", "),
    };
    let left_out = match left_out {
        0 => String::new(),
        n => format!(" The fasteners of {n} landings are left out."),
    };
    Some(format!(
        "More parts than {MOST_NAMED}: {parts} are merged; model.glb.csv gives each name its mesh and its range of \
         indices.{left_out} `airlath build --instanced` keeps every part, for the few readers of instances."
    ))
}

fn layer_name(branch: &str, layer: Layer) -> String {
    format!("{branch} {}", layer.name())
}

/// Gives every node above the parts a name of its own: parts keep theirs, the others give way.
struct Names {
    taken: BTreeSet<String>,
}

impl Names {
    fn give(&mut self, wish: &str) -> String {
        let mut name = wish.to_owned();
        let mut number = 2;
        while !self.taken.insert(name.clone()) {
            name = format!("{wish} ({number})");
            number += 1;
        }
        name
    }
}
