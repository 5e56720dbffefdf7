//! The binary part: every distinct form once, flat-shaded, and the instances.
//!
//! Aim: exact geometry in few bytes. Reason: a roof has thousands of parts and a few dozen forms; several readers get
//! quantised positions or a scaled node wrong without saying so, hence plain `f32` and one form for every size.
//! Limits: a form is told from another at half a nanometre (so that the half of a size in whole nanometres falls on a
//! step and not between two); `f32` is about the form's own middle, so its error is below 1e-7 of the form's size.

use std::collections::{BTreeMap, HashMap};
use std::io;

use gltf_json::accessor::{ComponentType, GenericComponentType, Type};
use gltf_json::buffer::{Buffer, Stride, Target, View};
use gltf_json::mesh::{Mode, Primitive, Semantic};
use gltf_json::validation::Checked::Valid;
use gltf_json::validation::USize64;
use gltf_json::{Accessor, Index, Root};

use super::look;
use crate::check::Verdict;
use crate::scene::{Form, Layer, Part};
use crate::solid::{Mesh, Vector3, unit_normal};
use crate::write::broken;
use crate::write::form::{ByMesh, box_mesh};

/// Steps of half a nanometre in a metre.
const STEPS: f64 = 2e9;
/// Bytes of a vertex: position and normal.
const VERTEX: usize = 24;

/// Which numbers a view of the buffer holds. The order is that of the bytes in the file.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Lane {
    /// Positions and normals, interleaved.
    Vertices,
    /// Instances' places.
    Translations,
    /// Instances' turns.
    Rotations,
    /// Instances' positions in the walk.
    Ids,
    /// Indices of forms with more than 65,535 vertices.
    LongIndices,
    /// All other indices.
    ShortIndices,
}

impl Lane {
    const ALL: [Lane; 6] =
        [Lane::Vertices, Lane::Translations, Lane::Rotations, Lane::Ids, Lane::LongIndices, Lane::ShortIndices];

    fn stride(self) -> Option<Stride> {
        match self {
            Lane::Vertices => Some(Stride(VERTEX)),
            Lane::Translations => Some(Stride(12)),
            Lane::Rotations => Some(Stride(16)),
            Lane::Ids => Some(Stride(4)),
            Lane::LongIndices | Lane::ShortIndices => None,
        }
    }

    fn target(self) -> Option<Target> {
        match self {
            Lane::Vertices => Some(Target::ArrayBuffer),
            Lane::LongIndices | Lane::ShortIndices => Some(Target::ElementArrayBuffer),
            Lane::Translations | Lane::Rotations | Lane::Ids => None,
        }
    }
}

/// What one accessor reads: where its view is, is known at the end only.
struct Reading {
    lane: Lane,
    offset: usize,
    count: usize,
    component: ComponentType,
    kind: Type,
    bounds: Option<[[f32; 3]; 2]>,
}

/// A layer, a verdict and bins that a form shows up with, and the mesh made for it.
type Shown = (Layer, Verdict, Vec<Option<u8>>, u32);

/// One form in the file.
struct Stored {
    /// First of its three accessors: positions, normals, indices.
    accessor: u32,
    /// The meshes made of it: one for every layer, verdict and set of bins that it shows up with.
    meshes: Vec<Shown>,
}

/// A form as a walk meets it.
#[derive(Clone, Copy)]
pub(super) struct Found {
    /// The form's number; `None` where it has no triangles.
    pub(super) form: Option<usize>,
    /// The form's middle in the part's frame: what the file has at its origin.
    pub(super) middle: Vector3,
}

/// The buffer and all that points into it.
pub(super) struct Bin {
    lanes: [Vec<u8>; 6],
    readings: Vec<Reading>,
    forms: Vec<Stored>,
    meshes: Vec<gltf_json::Mesh>,
    boxes: HashMap<[i64; 3], usize>,
    shapes: HashMap<[u8; 32], usize>,
    seen: ByMesh<Found>,
    /// Whether meshes have materials for every look.
    looks: bool,
}

impl Bin {
    /// An empty buffer; `looks` says whether meshes get materials for every look.
    pub(super) fn new(looks: bool) -> Self {
        Bin {
            looks,
            lanes: Default::default(),
            readings: Vec::new(),
            forms: Vec::new(),
            meshes: Vec::new(),
            boxes: HashMap::new(),
            shapes: HashMap::new(),
            seen: ByMesh::new(),
        }
    }

    /// The form of a part, stored on first sight.
    ///
    /// # Errors
    /// A form with a number that is none, or an index that points nowhere.
    pub(super) fn find(&mut self, part: &Part<'_>) -> io::Result<Found> {
        let of = |e: io::Error| broken(format!("{e}, in the form of {}", part.name));
        match part.form {
            Form::Box(size) => {
                let key = [size.x, size.y, size.z].map(step);
                let form = match self.boxes.get(&key) {
                    Some(form) => *form,
                    None => {
                        let form = self.store(&box_mesh(size), &Vector3::zeros()).map_err(of)?;
                        self.boxes.insert(key, form);
                        form
                    }
                };
                Ok(Found { form: Some(form), middle: Vector3::zeros() })
            }
            Form::Mesh(mesh) => {
                let mut seen = std::mem::replace(&mut self.seen, ByMesh::new());
                let found = seen.get(mesh, || self.find_shape(mesh)).map_err(of);
                self.seen = seen;
                found
            }
        }
    }

    fn find_shape(&mut self, mesh: &Mesh) -> io::Result<Found> {
        let Some((low, high)) = mesh.bounds().filter(|_| !mesh.triangles.is_empty()) else {
            return Ok(Found { form: None, middle: Vector3::zeros() });
        };
        let middle = nalgebra::center(&low, &high).coords;
        let mut hash = blake3::Hasher::new();
        hash.update(&(mesh.positions.len() as u64).to_le_bytes());
        for p in &mesh.positions {
            for v in (p.coords - middle).iter() {
                hash.update(&step(*v).to_le_bytes());
            }
        }
        for i in mesh.triangles.iter().flatten() {
            hash.update(&i.to_le_bytes());
        }
        let key = *hash.finalize().as_bytes();
        let form = match self.shapes.get(&key) {
            Some(form) => *form,
            None => {
                let form = self.store(mesh, &middle)?;
                self.shapes.insert(key, form);
                form
            }
        };
        Ok(Found { form: Some(form), middle })
    }

    fn store(&mut self, mesh: &Mesh, middle: &Vector3) -> io::Result<usize> {
        let (vertices, indices) = flat(mesh, middle)?;
        Ok(self.store_flat(&vertices, &indices))
    }

    /// Stores a form of corners with their normals, and gives its number.
    pub(super) fn store_flat(&mut self, vertices: &[Vertex], indices: &[u32]) -> usize {
        let mut bounds = [[f32::INFINITY; 3], [f32::NEG_INFINITY; 3]];
        let [low, high] = &mut bounds;
        for (position, _) in vertices {
            for ((low, high), v) in low.iter_mut().zip(high.iter_mut()).zip(position) {
                *low = low.min(*v);
                *high = high.max(*v);
            }
        }
        let accessor = self.readings.len() as u32;
        let lane = &mut self.lanes[Lane::Vertices as usize];
        let offset = lane.len();
        for (position, normal) in vertices {
            lane.extend(position.iter().chain(normal).flat_map(|v| v.to_le_bytes()));
        }
        let vector = |offset, bounds| Reading {
            lane: Lane::Vertices,
            offset,
            count: vertices.len(),
            component: ComponentType::F32,
            kind: Type::Vec3,
            bounds,
        };
        self.readings.push(vector(offset, Some(bounds)));
        self.readings.push(vector(offset + 12, None));

        let (lane, component) = match vertices.len() {
            0..=0xffff => (Lane::ShortIndices, ComponentType::U16),
            _ => (Lane::LongIndices, ComponentType::U32),
        };
        let bytes = &mut self.lanes[lane as usize];
        let offset = bytes.len();
        match component {
            ComponentType::U16 => bytes.extend(indices.iter().flat_map(|i| (*i as u16).to_le_bytes())),
            _ => bytes.extend(indices.iter().flat_map(|i| i.to_le_bytes())),
        }
        self.readings.push(Reading { lane, offset, count: indices.len(), component, kind: Type::Scalar, bounds: None });
        self.forms.push(Stored { accessor, meshes: Vec::new() });
        self.forms.len() - 1
    }

    /// How many indices a form has.
    pub(super) fn indices(&self, form: usize) -> u32 {
        let reading = self.forms.get(form).and_then(|f| self.readings.get(f.accessor as usize + 2));
        reading.map_or(0, |r| r.count as u32)
    }

    /// The mesh of a form in the looks of a layer, a verdict and a bin for every further look; made on first sight.
    pub(super) fn mesh(&mut self, form: usize, layer: Layer, verdict: Verdict, bins: &[Option<u8>]) -> Option<u32> {
        let stored = self.forms.get_mut(form)?;
        let same = |(l, v, b, _): &&Shown| (*l, *v, b.as_slice()) == (layer, verdict, bins);
        if let Some((.., mesh)) = stored.meshes.iter().find(same) {
            return Some(*mesh);
        }
        let mesh = self.meshes.len() as u32;
        stored.meshes.push((layer, verdict, bins.to_vec(), mesh));
        let at = stored.accessor;
        let attributes = [(Valid(Semantic::Positions), Index::new(at)), (Valid(Semantic::Normals), Index::new(at + 1))];
        let mut flag = match verdict {
            Verdict::Pass => String::new(),
            other => format!(" {}", other.name()),
        };
        for bin in bins {
            flag.push_str(&bin.map_or_else(|| " -".to_owned(), |b| format!(" {}", b + 1)));
        }
        self.meshes.push(gltf_json::Mesh {
            name: Some(format!("{} form {form}{flag}", layer.name())),
            primitives: vec![Primitive {
                attributes: BTreeMap::from(attributes),
                extensions: self.looks.then(|| look::mappings(layer, verdict, bins)),
                extras: None,
                indices: Some(Index::new(at + 2)),
                material: Some(Index::new(look::plain(layer, verdict))),
                mode: Valid(Mode::Triangles),
                targets: None,
            }],
            weights: None,
            extensions: None,
            extras: None,
        });
        Some(mesh)
    }

    /// Adds one attribute of a batch of instances, and gives its accessor.
    pub(super) fn instances<const N: usize>(&mut self, lane: Lane, values: &[[f32; N]]) -> u32 {
        let bytes = &mut self.lanes[lane as usize];
        let offset = bytes.len();
        bytes.extend(values.iter().flatten().flat_map(|v| v.to_le_bytes()));
        let count = values.len();
        let kind = match N {
            1 => Type::Scalar,
            3 => Type::Vec3,
            _ => Type::Vec4,
        };
        self.readings.push(Reading { lane, offset, count, component: ComponentType::F32, kind, bounds: None });
        self.readings.len() as u32 - 1
    }

    /// Puts everything into the document, and hands back the pieces of the buffer in their order.
    pub(super) fn finish(self, root: &mut Root) -> Vec<Vec<u8>> {
        let mut views = [None; 6];
        let mut length = 0;
        for (lane, bytes) in Lane::ALL.into_iter().zip(&self.lanes).filter(|(_, bytes)| !bytes.is_empty()) {
            views[lane as usize] = Some(Index::new(root.buffer_views.len() as u32));
            root.buffer_views.push(View {
                buffer: Index::new(0),
                byte_length: USize64::from(bytes.len()),
                byte_offset: Some(USize64::from(length)),
                byte_stride: lane.stride(),
                name: None,
                target: lane.target().map(Valid),
                extensions: None,
                extras: None,
            });
            length += bytes.len();
        }
        if length > 0 {
            root.buffers.push(Buffer {
                byte_length: USize64::from(length),
                name: None,
                uri: None,
                extensions: None,
                extras: None,
            });
        }
        root.accessors = self.readings.iter().map(|r| accessor(r, views[r.lane as usize])).collect();
        root.meshes = self.meshes;
        self.lanes.into_iter().collect()
    }
}

fn accessor(reading: &Reading, view: Option<Index<View>>) -> Accessor {
    let [min, max] = match reading.bounds {
        Some(bounds) => bounds.map(|b| Some(serde_json::Value::from(b.to_vec()))),
        None => [None, None],
    };
    Accessor {
        buffer_view: view,
        byte_offset: Some(USize64::from(reading.offset)),
        count: USize64::from(reading.count),
        component_type: Valid(GenericComponentType(reading.component)),
        extensions: None,
        extras: None,
        type_: Valid(reading.kind),
        min,
        max,
        name: None,
        normalized: false,
        sparse: None,
    }
}

/// A length in half nanometres.
fn step(metres: f64) -> i64 {
    (metres * STEPS).round() as i64
}

/// Position and normal.
pub(super) type Vertex = ([f32; 3], [f32; 3]);

/// Vertices with the normals of their faces, and indices: corners are shared within a flat face, never round an edge.
pub(super) fn flat(mesh: &Mesh, middle: &Vector3) -> io::Result<(Vec<Vertex>, Vec<u32>)> {
    let mut vertices: Vec<Vertex> = Vec::new();
    let mut indices = Vec::with_capacity(mesh.triangles.len() * 3);
    let mut known: HashMap<([u32; 3], [i32; 3]), u32> = HashMap::new();
    for t in &mesh.triangles {
        let corners = mesh.corners(*t).ok_or_else(|| broken("a triangle has no corner"))?;
        let normal = match unit_normal(corners) {
            // A triangle without area closes the mesh but has no direction; a normal must have one.
            n if n == Vector3::zeros() => Vector3::z(),
            n => n,
        };
        for p in corners {
            let position = single(&(p.coords - middle));
            if !position.iter().all(|v| v.is_finite()) || !normal.iter().all(|v| v.is_finite()) {
                return Err(broken("a corner is not finite"));
            }
            let key = (position.map(f32::to_bits), [normal.x, normal.y, normal.z].map(|v| (v * 1e6).round() as i32));
            let index = *known.entry(key).or_insert_with(|| {
                vertices.push((position, single(&normal)));
                vertices.len() as u32 - 1
            });
            indices.push(index);
        }
    }
    Ok((vertices, indices))
}

/// A vector as `f32`, without a negative zero.
fn single(v: &Vector3) -> [f32; 3] {
    [v.x, v.y, v.z].map(|c| c as f32 + 0.0)
}
