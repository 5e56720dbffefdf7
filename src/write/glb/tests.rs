//! The model read back, by the `gltf` crate and by the text of its nodes.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use gltf_json::{Index, Root};
use nalgebra::{Quaternion, Translation3, UnitQuaternion};
use serde_json::Value;

use super::*;
use crate::scene::{Form, Look};
use crate::solid::{Mesh, Point3, Vector3, unit_normal};
use crate::write::fixture::{self, Kept, List};

fn list() -> List {
    List { parts: fixture::parts(), landings: Vec::new() }
}

fn bytes(source: &List, instanced: bool) -> Vec<u8> {
    bytes_as(source, if instanced { Arrangement::Instanced } else { Arrangement::Named })
}

fn bytes_as(source: &List, arrangement: Arrangement) -> Vec<u8> {
    let mut out = Vec::new();
    write_as(&fixture::scene(source), arrangement, &mut out).unwrap();
    out
}

/// The list beside a model: a row a part.
fn rows(scene: &Scene<'_>, arrangement: Arrangement) -> (Vec<u8>, Vec<csv::StringRecord>, Option<String>) {
    let (mut model, mut list) = (Vec::new(), Vec::new());
    let said = write_with_list(scene, arrangement, &mut model, &mut list).unwrap();
    let mut rows = csv::Reader::from_reader(list.as_slice());
    assert_eq!(rows.headers().unwrap(), vec!["id", "name", "kind", "verdict", "mesh", "first_index", "indices"]);
    (model, rows.records().map(|r| r.unwrap()).collect(), said)
}

/// A file read back.
struct Model {
    gltf: gltf::Gltf,
    root: Root,
    json: Value,
}

/// A part as it stands in the file: in the world, z up.
struct Seen {
    mesh: Mesh,
    material: usize,
}

impl Model {
    fn read(bytes: &[u8]) -> Model {
        let glb = gltf::Glb::from_slice(bytes).unwrap();
        assert_eq!(glb.header.length as usize, bytes.len());
        let json: Value = serde_json::from_slice(&glb.json).unwrap();
        let root: Root = serde_json::from_slice(&glb.json).unwrap();
        // The crate refuses to validate what asks for instancing; everything else it must find right.
        let gltf = if root.extensions_required.is_empty() {
            gltf::Gltf::from_slice(bytes).unwrap()
        } else {
            gltf::Gltf::from_slice_without_validation(bytes).unwrap()
        };
        Model { gltf, root, json }
    }

    fn nodes(&self) -> &[Value] {
        self.json["nodes"].as_array().unwrap()
    }

    fn node(&self, name: &str) -> &Value {
        self.nodes().iter().find(|n| n["name"] == name).unwrap_or_else(|| panic!("no node {name}"))
    }

    fn children(&self, node: &Value) -> Vec<&Value> {
        let children = node["children"].as_array().map(Vec::as_slice).unwrap_or_default();
        children.iter().map(|c| &self.nodes()[c.as_u64().unwrap() as usize]).collect()
    }

    fn names(&self, nodes: &[&Value]) -> Vec<String> {
        nodes.iter().map(|n| n["name"].as_str().unwrap().to_owned()).collect()
    }

    fn root_node(&self) -> &Value {
        let roots = self.json["scenes"][0]["nodes"].as_array().unwrap();
        assert_eq!(roots.len(), 1);
        &self.nodes()[roots[0].as_u64().unwrap() as usize]
    }

    /// The triangles of a mesh, after checking that its normals are those of its faces and its bounds are exact.
    fn mesh(&self, index: usize) -> (Mesh, usize) {
        let mesh = self.gltf.meshes().nth(index).unwrap();
        let primitive = mesh.primitives().next().unwrap();
        let reader = primitive.reader(|_| self.gltf.blob.as_deref());
        let positions: Vec<[f32; 3]> = reader.read_positions().unwrap().collect();
        let normals: Vec<[f32; 3]> = reader.read_normals().unwrap().collect();
        let indices: Vec<u32> = reader.read_indices().unwrap().into_u32().collect();
        let triangles: Vec<[u32; 3]> = indices.chunks_exact(3).map(|t| [t[0], t[1], t[2]]).collect();
        let point = |p: &[f32; 3]| Point3::from(p.map(f64::from));
        let mesh = Mesh { positions: positions.iter().map(point).collect(), triangles };
        for t in &mesh.triangles {
            let corners = mesh.corners(*t).unwrap();
            let face = unit_normal(corners);
            // Corners are rounded to `f32`: far from the mesh's origin a face read back is turned by what that comes to.
            let far = corners.iter().map(|c| c.coords.amax()).fold(0.0, f64::max);
            let shortest = (0..3).map(|k| (corners[k] - corners[(k + 1) % 3]).norm()).fold(f64::INFINITY, f64::min);
            let exact = 1e-5_f64.max(4.0 * far * f64::from(f32::EPSILON) / shortest);
            for i in t {
                let normal = point(&normals[*i as usize]).coords;
                assert!((normal - face).norm() < exact, "a normal is not that of its face");
            }
        }
        let bounds = primitive.bounding_box();
        let (low, high) = mesh.bounds().unwrap();
        assert_eq!((point(&bounds.min), point(&bounds.max)), (low, high));
        assert!(mesh.is_closed());
        (mesh, primitive.material().index().unwrap())
    }

    /// Every part by name, or by `_ID` written as text.
    fn seen(&self) -> BTreeMap<String, Seen> {
        let mut seen = BTreeMap::new();
        let up = UnitQuaternion::from_axis_angle(&Vector3::x_axis(), std::f64::consts::FRAC_PI_2);
        self.visit(self.root_node(), Pose::from_parts(Translation3::identity(), up), &mut seen);
        seen
    }

    fn visit(&self, node: &Value, above: Pose, seen: &mut BTreeMap<String, Seen>) {
        assert!(node.get("scale").is_none() && node.get("matrix").is_none());
        let pose = above * pose_of(node);
        if let Some(mesh) = node.get("mesh") {
            let (mesh, material) = self.mesh(mesh.as_u64().unwrap() as usize);
            let mut add = |name: String, pose: Pose| {
                let seen_before = seen.insert(name.clone(), Seen { mesh: mesh.moved(&pose), material });
                assert!(seen_before.is_none(), "{name} twice");
            };
            match node.get("extensions") {
                None => add(node["name"].as_str().unwrap().to_owned(), pose),
                Some(extensions) => {
                    let attributes = extensions[INSTANCING]["attributes"].as_object().unwrap();
                    let read = |key: &str| attributes.get(key).map(|a| self.floats(a.as_u64().unwrap() as usize));
                    let places = read("TRANSLATION").unwrap();
                    let ids = read("_ID").unwrap();
                    let turns = read("ROTATION").unwrap_or_else(|| vec![vec![0.0, 0.0, 0.0, 1.0]; ids.len()]);
                    for ((t, q), id) in places.iter().zip(&turns).zip(&ids) {
                        let instance = Pose::from_parts(Translation3::new(t[0], t[1], t[2]), quaternion(q));
                        add(format!("{}", id[0]), pose * instance);
                    }
                }
            }
        }
        for child in self.children(node) {
            self.visit(child, pose, seen);
        }
    }

    /// The numbers of an accessor, read by its view.
    fn floats(&self, accessor: usize) -> Vec<Vec<f64>> {
        let accessor = &self.root.accessors[accessor];
        let view = &self.root.buffer_views[accessor.buffer_view.unwrap().value()];
        let width = accessor.type_.unwrap().multiplicity();
        let stride = view.byte_stride.unwrap().0;
        let start = (view.byte_offset.unwrap().0 + accessor.byte_offset.unwrap().0) as usize;
        let blob = self.gltf.blob.as_deref().unwrap();
        (0..accessor.count.0 as usize)
            .map(|i| {
                let at = start + i * stride;
                let number = |k: usize| f32::from_le_bytes(blob[at + 4 * k..at + 4 * k + 4].try_into().unwrap());
                (0..width).map(|k| f64::from(number(k))).collect()
            })
            .collect()
    }
}

fn quaternion(q: &[f64]) -> UnitQuaternion<f64> {
    let q = Quaternion::new(q[3], q[0], q[1], q[2]);
    assert!((q.norm() - 1.0).abs() < 1e-6);
    UnitQuaternion::from_quaternion(q)
}

fn numbers(value: &Value) -> Option<Vec<f64>> {
    value.as_array().map(|a| a.iter().map(|v| v.as_f64().unwrap()).collect())
}

fn pose_of(node: &Value) -> Pose {
    let t = numbers(&node["translation"]).unwrap_or_else(|| vec![0.0; 3]);
    let q = numbers(&node["rotation"]).unwrap_or_else(|| vec![0.0, 0.0, 0.0, 1.0]);
    Pose::from_parts(Translation3::new(t[0], t[1], t[2]), quaternion(&q))
}

fn assert_same(part: &Kept, scene: &Scene<'_>, seen: &Seen) {
    let (low, high) = part.in_world(scene).bounds().unwrap();
    let (seen_low, seen_high) = seen.mesh.bounds().unwrap();
    let off = (low - seen_low).amax().max((high - seen_high).amax());
    assert!(off < 1e-6, "{} is {off} m off", part.name);
    let (volume, expected) = (seen.mesh.volume(), part.volume());
    assert!((volume / expected - 1.0).abs() < 1e-6, "{}: volume {volume}, not {expected}", part.name);
}

#[test]
fn the_tree_is_design_branch_layer_part() {
    let source = list();
    let model = Model::read(&bytes(&source, false));
    let root = model.root_node();
    assert_eq!(root["name"], "Woodshed \"east\"");
    assert_eq!(root["extras"]["scope"], "Backing was checked; wind and snow were not.");
    assert_eq!(root["extras"]["fingerprint"], "k3f9-22ab");
    assert_eq!(root["extras"]["caution"], "Measure before driving. =A mark is not a proof.");
    assert_eq!(root["extras"]["verdict"], "fail");
    let branches = model.children(root);
    assert_eq!(model.names(&branches), ["N", "S", "building"]);
    for (branch, expected) in branches.iter().zip(fixture::branches()) {
        assert_eq!(numbers(&branch["translation"]).unwrap(), expected.pose.translation.vector.as_slice());
        assert_eq!(numbers(&branch["rotation"]).unwrap(), expected.pose.rotation.coords.as_slice());
    }
    let layers = model.children(branches[1]);
    assert_eq!(model.names(&layers), ["S deck", "S membrane", "S strips", "S battens", "S fasteners", "S flags"]);
    assert_eq!(model.names(&model.children(layers[3])), ["S-B1.1", "S-B2.1", "S-B3.1"]);
    assert_eq!(model.names(&model.children(branches[2])), ["building framing"]);

    let all: BTreeSet<&str> = model.nodes().iter().map(|n| n["name"].as_str().unwrap()).collect();
    assert_eq!(all.len(), model.nodes().len());
    assert!(source.parts.iter().all(|p| all.contains(p.name.as_str())));
}

#[test]
fn extras_are_flat_and_say_what_a_part_is() {
    let model = Model::read(&bytes(&list(), false));
    for facts in model.nodes().iter().filter_map(|n| n["extras"].as_object()) {
        assert!(!facts.is_empty());
        assert!(facts.values().all(|v| v.as_str().is_some_and(|t| !t.is_empty())));
    }
    let extras = |name: &str| model.node(name)["extras"].to_string();
    assert_eq!(extras("S battens"), r#"{"kind":"battens","size":"1 in x 4 in","stock":"20 ft"}"#);
    assert_eq!(extras("S fasteners"), r#"{"kind":"fasteners","size":"0.148 in x 3 in"}"#);
    assert_eq!(extras("S deck"), r#"{"kind":"deck"}"#);
    let batten = r#"{"kind":"batten","size":"1 in x 4 in","stock":"20 ft","verdict":"warn"}"#;
    assert_eq!(extras("S-B2.1"), batten);
    let fasteners = r#"{"kind":"fasteners","size":"0.148 in x 3 in","verdict":"fail"}"#;
    assert_eq!(extras("S-B1-L2"), fasteners);
    assert_eq!(extras("ridge, west"), r#"{"kind":"ridge board","verdict":"pass"}"#);
}

#[test]
fn every_named_part_stands_where_the_model_has_it() {
    let source = list();
    let scene = fixture::scene(&source);
    let seen = Model::read(&bytes(&source, false)).seen();
    assert_eq!(seen.len(), source.parts.len());
    for part in &source.parts {
        assert_same(part, &scene, &seen[&part.name]);
    }
}

#[test]
fn every_instance_stands_where_the_model_has_it() {
    let source = list();
    let scene = fixture::scene(&source);
    let model = Model::read(&bytes(&source, true));
    assert_eq!(model.root.extensions_required, [INSTANCING]);
    // Never both extensions: a common web viewer then shows nothing at all.
    assert_eq!(model.root.extensions_used, [INSTANCING]);
    assert!(!model.json.to_string().contains(look::VARIANTS));
    let seen = model.seen();
    assert_eq!(seen.len(), source.parts.len());

    let mut listed = 0;
    for ((row, part), id) in rows(&scene, Arrangement::Instanced).1.into_iter().zip(&source.parts).zip(0..) {
        assert_eq!(row[0], format!("{id}"));
        assert_eq!(row[1], cell(&part.name));
        assert_eq!(&row[2], part.kind.name());
        assert_eq!(&row[3], part.verdict.name());
        let found = seen.get(&row[0]).or_else(|| seen.get(&part.name)).unwrap();
        assert_same(part, &scene, found);
        listed += 1;
    }
    assert_eq!(listed, source.parts.len());
    // A batch of one keeps its name, the others are instances.
    assert!(seen.contains_key("S-D") && !seen.contains_key("S-L1"));
    let batches = model.children(model.node("S strips"));
    assert_eq!(model.names(&batches), ["S strips batch 1"]);
}

#[test]
fn turns_of_instances_are_kept() {
    let mut source = List::default();
    for k in 0..40 {
        let along = f64::from(k);
        let turn = if k < 20 { 0.3 } else { 0.01 * along };
        source.parts.push(Kept {
            name: format!("T{k:02}"),
            kind: if k < 20 { PartKind::Strap } else { PartKind::Strip },
            branch: 0,
            form: Form::Box(Vector3::new(0.4, 0.03, 0.001)),
            coarse: None,
            pose: fixture::pose([33.0 + along, 17.3, 0.2], [0.6, 0.0, 0.8], turn),
            verdict: Verdict::Pass,
            size: String::new(),
            stock: String::new(),
        });
    }
    let scene = fixture::scene(&source);
    let model = Model::read(&bytes(&source, true));
    let seen = model.seen();
    for (part, id) in source.parts.iter().zip(0..) {
        assert_same(part, &scene, &seen[&format!("{id}")]);
    }
    // One turn for all needs no numbers of its own.
    let attributes = |name: &str| &model.node(name)["extensions"][INSTANCING]["attributes"];
    assert!(attributes("N straps batch 1").get("ROTATION").is_none());
    assert!(attributes("N strips batch 1").get("ROTATION").is_some());
    // Nor does the place of a batch grow with the distance from the origin.
    let accessor = attributes("N straps batch 2")["TRANSLATION"].as_u64().unwrap() as usize;
    assert!(model.floats(accessor).iter().flatten().all(|v| v.abs() < CELL));
}

#[test]
fn colours_follow_layer_and_verdict() {
    let model = Model::read(&bytes(&list(), false));
    let materials: Vec<String> = model.root.materials.iter().map(|m| m.name.clone().unwrap()).collect();
    let looks = |name: &str| -> [String; 3] {
        let mesh = model.node(name)["mesh"].as_u64().unwrap();
        let primitive = &model.json["meshes"][mesh as usize]["primitives"][0];
        let mappings = &primitive["extensions"][look::VARIANTS]["mappings"];
        assert_eq!(mappings[0]["variants"], serde_json::json!([0]));
        assert_eq!(mappings[1]["variants"], serde_json::json!([1]));
        [&primitive["material"], &mappings[0]["material"], &mappings[1]["material"]]
            .map(|m| materials[m.as_u64().unwrap() as usize].clone())
    };
    assert_eq!(looks("S-B1.1"), ["battens", "battens", "pass"]);
    assert_eq!(looks("S-B2.1"), ["flag warn", "battens", "flag warn"]);
    // What did not pass never looks as if it had.
    assert_eq!(looks("S-B3.1"), ["not checked", "battens", "not checked"]);
    assert_eq!(looks("S-B1-L2"), ["flag fail", "fasteners", "flag fail"]);
    assert_eq!(looks("S-D"), ["deck", "deck", "neutral"]);
    assert_eq!(looks("S-M"), ["membrane", "membrane", "neutral"]);
    assert_eq!(looks("ridge, west"), ["framing", "framing", "neutral"]);
    let variants = &model.json["extensions"][look::VARIANTS]["variants"];
    assert_eq!(variants.to_string(), r#"[{"name":"by layer"},{"name":"by verdict"}]"#);
    for material in model.gltf.materials() {
        assert_eq!(material.alpha_mode(), gltf::material::AlphaMode::Opaque);
        assert!(!material.double_sided());
        assert_eq!(material.pbr_metallic_roughness().metallic_factor(), 0.0);
    }
}

#[test]
fn further_looks_bin_parts_and_tell_their_legend() {
    let source = list();
    let mut scene = fixture::scene(&source);
    let bins = vec!["up to half".to_owned(), "over half".to_owned()];
    let of = [("S-B1.1".to_owned(), 0), ("S-B2.1".to_owned(), 1)].into();
    scene.looks = vec![Look { name: "by load".into(), bins, of }];
    let mut out = Vec::new();
    write_as(&scene, Arrangement::Named, &mut out).unwrap();
    let model = Model::read(&out);
    let materials: Vec<String> = model.root.materials.iter().map(|m| m.name.clone().unwrap()).collect();
    assert_eq!(materials.len(), 19, "no material for a bin that no look has");
    let third = |name: &str| {
        let mesh = model.node(name)["mesh"].as_u64().unwrap();
        let mapping =
            &model.json["meshes"][mesh as usize]["primitives"][0]["extensions"][look::VARIANTS]["mappings"][2];
        assert_eq!(mapping["variants"], serde_json::json!([2]));
        materials[mapping["material"].as_u64().unwrap() as usize].clone()
    };
    assert_eq!([third("S-B1.1"), third("S-B2.1"), third("S-B3.1")], ["bin 1", "bin 2", "neutral"]);
    let variants = &model.json["extensions"][look::VARIANTS]["variants"];
    assert_eq!(variants[2]["name"], "by load");
    let root = &model.node(&scene.header.design)["extras"];
    assert_eq!(root["by load"], "bin 1: up to half; bin 2: over half");
    assert_eq!(root["defaults in force"], "batten.spacing = 24 in (common)");
}

#[test]
fn equal_forms_are_stored_once() {
    let model = Model::read(&bytes(&list(), false));
    let accessors = |name: &str| {
        let mesh = model.node(name)["mesh"].as_u64().unwrap() as usize;
        let primitive = &model.root.meshes[mesh].primitives[0];
        let mut all: Vec<usize> = primitive.attributes.values().map(Index::value).collect();
        all.push(primitive.indices.unwrap().value());
        all
    };
    let mesh = |name: &str| &model.node(name)["mesh"];
    assert_eq!(mesh("=ridge, east"), mesh("ridge, west"));
    assert_eq!(mesh("N-L1"), mesh("S-L3"));
    assert_eq!(mesh("N-B1-L1"), mesh("S-B3-L3"));
    assert_ne!(mesh("S-B1-L1"), mesh("S-B1-L2"));
    assert_eq!(accessors("S-B1-L1"), accessors("S-B1-L2"));
    assert_ne!(accessors("S-D"), accessors("S-M"));
    let counts: Vec<u64> = accessors("S-D").iter().map(|a| model.root.accessors[*a].count.0).collect();
    assert_eq!(counts, [24, 24, 36]);
    // Eight sides of four corners and two ends of eight, twice.
    let counts: Vec<u64> = accessors("S-B1-L1").iter().map(|a| model.root.accessors[*a].count.0).collect();
    assert_eq!(counts, [96, 96, 168]);
}

#[test]
fn sizes_half_a_micrometre_apart_are_two_forms() {
    let mut source = list();
    source.parts.truncate(0);
    for (k, grown) in [0.0, 1e-12, 5e-7].into_iter().enumerate() {
        let mut part = fixture::parts().remove(0);
        part.name = format!("D{k}");
        part.form = Form::Box(Vector3::new(1.0 + grown, 1.0, 0.1));
        source.parts.push(part);
    }
    let model = Model::read(&bytes(&source, false));
    assert_eq!(model.node("D0")["mesh"], model.node("D1")["mesh"]);
    assert_ne!(model.node("D0")["mesh"], model.node("D2")["mesh"]);
}

#[test]
fn the_same_scene_gives_the_same_bytes() {
    for instanced in [false, true] {
        assert_eq!(bytes(&list(), instanced), bytes(&list(), instanced));
    }
}

#[test]
fn the_container_is_padded_as_the_format_asks() {
    for name in ["a", "ab", "abc", "abcd"] {
        let mut source = list();
        source.parts[0].name = name.to_owned();
        let file = bytes(&source, false);
        let number = |at: usize| u32::from_le_bytes(file[at..at + 4].try_into().unwrap()) as usize;
        assert_eq!((&file[..4], number(4), number(8)), (b"glTF".as_slice(), 2, file.len()));
        let json = number(12);
        assert_eq!((json % 4, &file[16..20]), (0, b"JSON".as_slice()));
        let text = std::str::from_utf8(&file[20..20 + json]).unwrap();
        assert!(text.trim_end_matches(' ').ends_with("]}") && text.len() - text.trim_end().len() < 4);
        let bin = number(20 + json);
        assert_eq!((bin % 4, &file[24 + json..28 + json]), (0, b"BIN\0".as_slice()));
        assert_eq!(28 + json + bin, file.len());
        let model = Model::read(&file);
        let length = model.root.buffers[0].byte_length.0 as usize;
        assert!(bin - length < 4 && file[28 + json + length..].iter().all(|b| *b == 0));
    }
}

#[test]
fn names_above_the_parts_give_way() {
    let mut source = list();
    let taken = ["Woodshed \"east\"", "S", "S battens", "S battens (2)", "N strips batch 1"];
    for (part, name) in source.parts.iter_mut().zip(taken) {
        part.name = name.to_owned();
    }
    for instanced in [false, true] {
        let model = Model::read(&bytes(&source, instanced));
        let all: BTreeSet<&str> = model.nodes().iter().map(|n| n["name"].as_str().unwrap()).collect();
        assert_eq!(all.len(), model.nodes().len());
        assert_eq!(model.root_node()["name"], "Woodshed \"east\" (2)");
        assert_eq!(model.node("S")["extras"]["kind"], "membrane");
        assert_eq!(model.names(&model.children(model.root_node())), ["N", "S (2)", "building"]);
    }
}

/// Landings of one course after the other, all with the same fasteners.
fn many(count: usize) -> List {
    let nails = Form::Mesh(Arc::new(fixture::rod(8, 0.002, [0.0, 0.0], -0.06, 0.01)));
    let landing = |k: usize| Kept {
        name: format!("S-B{}-L{}", k / 60 + 1, k % 60 + 1),
        kind: PartKind::Fasteners,
        branch: 1,
        form: nails.clone(),
        coarse: None,
        pose: Pose::translation((k % 60) as f64 * 0.4064, (k / 60) as f64 * 0.3048, 0.023_812_5),
        verdict: if k.is_multiple_of(97) { Verdict::Fail } else { Verdict::Pass },
        size: "0.148 in x 3 in".to_owned(),
        stock: String::new(),
    };
    List { parts: (0..count).map(landing).collect(), landings: Vec::new() }
}

#[test]
fn files_are_lean() {
    let empty = bytes(&many(2), false).len();
    let named = (bytes(&many(12_000), false).len() - empty) as f64 / 12_000.0;
    assert!(named < 150.0, "{named} bytes a landing");
    let instanced = (bytes(&many(100_000), true).len() - empty) as f64 / 100_000.0;
    assert!(instanced < 20.0, "{instanced} bytes a landing");
}

/// What any reader shows: no extension that it must know, no node without a mesh of its own, and every part of the list in
/// its range of indices, where the model has it.
#[test]
fn merged_parts_stand_where_the_model_has_them() {
    let mut source = list();
    let pins = source.parts.iter().filter(|p| p.kind == PartKind::Pin).count();
    // Further than one cell, of several verdicts, and more than one mesh holds.
    for k in 0..3000 {
        source.parts.push(Kept {
            name: format!("Z{k:04}"),
            kind: PartKind::Batten,
            branch: 1,
            form: Form::Box(Vector3::new(0.4, 0.038, 0.019)),
            coarse: None,
            pose: fixture::pose([f64::from(k % 60) * 0.5, f64::from(k / 60) * 0.01, 0.2], [0.6, 0.0, 0.8], 0.3),
            verdict: if k % 7 == 0 { Verdict::Warn } else { Verdict::Pass },
            size: String::new(),
            stock: String::new(),
        });
    }
    source.parts.sort_by_key(|p| (p.branch, p.kind.layer()));
    let scene = fixture::scene(&source);
    let (bytes, rows, said) = rows(&scene, Arrangement::Merged);
    let model = Model::read(&bytes);
    assert!(model.root.extensions_required.is_empty());
    assert_eq!(model.root.extensions_used, [look::VARIANTS]);
    let mut at: BTreeMap<usize, Vec<(Seen, Pose)>> = BTreeMap::new();
    let up = UnitQuaternion::from_axis_angle(&Vector3::x_axis(), std::f64::consts::FRAC_PI_2);
    let mut open = vec![(model.root_node(), Pose::from_parts(Translation3::identity(), up))];
    while let Some((node, above)) = open.pop() {
        let pose = above * pose_of(node);
        if let Some(number) = node.get("mesh").and_then(Value::as_u64) {
            let (mesh, material) = model.mesh(number as usize);
            at.entry(number as usize).or_default().push((Seen { mesh: mesh.moved(&pose), material }, pose));
        }
        open.extend(model.children(node).into_iter().map(|child| (child, pose)));
    }
    let (mut ranges, mut left_out) = (0, 0);
    assert_eq!(rows.len(), source.parts.len());
    for (row, part) in rows.iter().zip(&source.parts) {
        assert_eq!(row[1], cell(&part.name));
        if part.kind == PartKind::Fasteners {
            assert_eq!((&row[4], &row[5], &row[6]), ("", "", ""));
            left_out += 1;
            continue;
        }
        let number = |k: usize| row[k].parse::<usize>().unwrap();
        let (first, count) = (number(5) / 3, number(6) / 3);
        let cut = |seen: &Seen| {
            let triangles = seen.mesh.triangles[first..first + count].to_vec();
            let mut used: Vec<u32> = triangles.iter().flatten().copied().collect();
            used.sort_unstable();
            used.dedup();
            let new = |i: &u32| used.binary_search(i).unwrap() as u32;
            let positions = used.iter().map(|i| seen.mesh.positions[*i as usize]).collect();
            let mesh = Mesh { positions, triangles: triangles.iter().map(|t| [0, 1, 2].map(|k| new(&t[k]))).collect() };
            Seen { mesh, material: seen.material }
        };
        let shown: Vec<Seen> = at[&number(4)].iter().map(|(seen, _)| cut(seen)).collect();
        let same = |seen: &&Seen| {
            let (low, high) = seen.mesh.bounds().unwrap();
            let (from, to) = part.in_world(&scene).bounds().unwrap();
            (low - from).amax() < 1e-6 && (high - to).amax() < 1e-6
        };
        let seen = shown.iter().find(same).unwrap_or_else(|| panic!("{} is not in its range", part.name));
        // Corners up to 16 m from the middle of a cell are rounded to this; a face that is so far off adds its area's worth.
        let rounded = 8.0 * f64::from(f32::EPSILON) / 2.0;
        let off = (seen.mesh.volume() - part.volume()).abs();
        assert!(off < rounded * seen.mesh.area(), "{}: volume off by {off}", part.name);
        assert_eq!(seen.material, look::plain(part.kind.layer(), part.verdict) as usize, "{}", part.name);
        ranges += usize::from(first > 0);
    }
    assert!(ranges > 2900 && left_out > 0, "{ranges} {left_out}");
    let said = said.unwrap();
    assert!(
        said.contains(&format!("The fasteners of {left_out} landings are left out.")) && said.contains("--instanced")
    );
    assert_eq!(model.root_node()["extras"]["note"], said.as_str());
    // Few nodes are left, and what is flagged keeps its pins.
    assert!(model.nodes().len() < 100, "{} nodes", model.nodes().len());
    let kept =
        |kind: &str| model.nodes().iter().filter(|n| n["extras"]["kind"] == kind && n.get("mesh").is_some()).count();
    assert_eq!(kept("pin"), pins);
    assert!(model.nodes().iter().all(|n| n["name"].as_str().is_some_and(|n| !n.starts_with('Z'))));
    assert_eq!(bytes_as(&source, Arrangement::Merged), bytes);
}

#[test]
fn large_roofs_are_merged_unless_somebody_asks_for_instances() {
    let arrangement = |count: usize, instanced: bool| Arrangement::of(&fixture::scene(&many(count)), instanced);
    assert_eq!(arrangement(MOST_NAMED, false), Arrangement::Named);
    assert_eq!(arrangement(MOST_NAMED + 1, false), Arrangement::Merged);
    assert_eq!(arrangement(3, true), Arrangement::Instanced);

    let source = many(MOST_NAMED + 1);
    let mut out = Vec::new();
    let scene = fixture::scene(&source);
    write(&scene, &mut out).unwrap();
    assert!(Model::read(&out).root.extensions_required.is_empty());

    let model = Model::read(&bytes(&source, true));
    let batches = model.children(model.node("S fasteners"));
    let size = |batch: &Value| {
        let id = batch["extensions"][INSTANCING]["attributes"]["_ID"].as_u64().unwrap();
        model.root.accessors[id as usize].count.0 as usize
    };
    // Two cells across and seven up, passed and failed.
    assert_eq!(batches.len(), 28);
    assert!(batches.iter().all(|b| size(b) <= BATCH));
    let seen = model.seen();
    assert_eq!(seen.len(), source.parts.len());
    for (part, id) in source.parts.iter().zip(0..) {
        let part_seen = &seen[&format!("{id}")];
        assert_same(part, &scene, part_seen);
        let flagged = part.verdict == Verdict::Fail;
        assert_eq!(part_seen.material, look::plain(Layer::Fasteners, part.verdict) as usize);
        assert_eq!(flagged, part_seen.material == look::plain(Layer::Deck, Verdict::Fail) as usize);
    }
}

#[test]
fn a_batch_ends_at_its_largest_size() {
    let mut source = many(2 * BATCH + 1);
    for part in &mut source.parts {
        part.verdict = Verdict::Pass;
        part.pose.translation.vector /= 16.0;
    }
    let model = Model::read(&bytes(&source, true));
    let last = source.parts.last().map(|p| p.name.clone()).unwrap();
    let expected = [last.as_str(), "S fasteners batch 1", "S fasteners batch 2"];
    assert_eq!(model.names(&model.children(model.node("S fasteners"))), expected);
    assert_eq!(model.seen().len(), source.parts.len());
}

#[test]
fn a_form_of_many_corners_gets_long_indices() {
    let mut source = List { parts: fixture::parts(), landings: Vec::new() };
    source.parts.truncate(1);
    let mut boxes = Mesh::default();
    for k in 0..2731 {
        let place = Pose::translation(f64::from(k % 50) * 0.1, f64::from(k / 50) * 0.1, 0.0);
        boxes.append(&crate::write::form::box_mesh(&Vector3::new(0.05, 0.025, 0.5)).moved(&place));
    }
    source.parts[0].form = Form::Mesh(Arc::new(boxes));
    let scene = fixture::scene(&source);
    let model = Model::read(&bytes(&source, false));
    assert_eq!(model.root.accessors[2].component_type.unwrap().0, gltf_json::accessor::ComponentType::U32);
    assert_same(&source.parts[0], &scene, &model.seen()["N-D"]);
}

#[test]
fn a_triangle_without_area_keeps_its_mesh_closed() {
    let mut mesh = fixture::wedge();
    // A corner in the middle of an edge, used by one of its two faces only through a triangle in line.
    mesh.positions.push(nalgebra::center(&mesh.positions[0], &mesh.positions[1]));
    mesh.triangles.retain(|t| *t != [0, 2, 1]);
    mesh.triangles.extend([[0, 2, 6], [6, 2, 1], [0, 6, 1]]);
    assert!(mesh.is_closed());
    let (vertices, indices) = bin::flat(&mesh, &Vector3::zeros()).unwrap();
    assert_eq!(indices.len(), 30);
    assert!(vertices.iter().all(|(_, n)| (n.iter().map(|v| v * v).sum::<f32>() - 1.0).abs() < 1e-5));
}

#[test]
fn a_part_without_triangles_is_a_node_without_mesh() {
    let mut source = list();
    source.parts[0].form = Form::Mesh(Arc::new(Mesh::default()));
    for instanced in [false, true] {
        let model = Model::read(&bytes(&source, instanced));
        assert!(model.node("N-D").get("mesh").is_none());
        assert_eq!(model.names(&model.children(model.node("N deck"))), ["N-D"]);
    }
}

#[test]
fn a_scene_without_parts_is_still_a_model() {
    let source = List::default();
    let model = Model::read(&bytes(&source, false));
    assert_eq!(model.nodes().len(), 4);
    assert!(model.gltf.blob.is_none() && model.root.buffers.is_empty());
    let mut scene = fixture::scene(&source);
    scene.branches.clear();
    let mut out = Vec::new();
    write(&scene, &mut out).unwrap();
    assert!(Model::read(&out).root_node().get("children").is_none());
}

#[test]
fn a_scene_that_contradicts_itself_is_refused() {
    let refuse = |change: &dyn Fn(&mut Vec<Kept>), says: &str| {
        for arrangement in [Arrangement::Named, Arrangement::Merged, Arrangement::Instanced] {
            let mut source = list();
            change(&mut source.parts);
            let error = write_as(&fixture::scene(&source), arrangement, &mut Vec::new()).unwrap_err();
            assert_eq!(error.kind(), io::ErrorKind::InvalidData);
            assert!(error.to_string().contains(says), "{error}");
        }
    };
    refuse(&|parts| parts[3].branch = 7, "N-L2 is in no branch");
    refuse(&|parts| parts.swap(0, 5), "came back");
    refuse(&|parts| parts[4].pose.translation.x = f64::NAN, "the place of N-L3 is not finite");
    refuse(
        &|parts| parts[4].form = Form::Box(Vector3::new(f64::INFINITY, 1.0, 1.0)),
        "not finite, in the form of N-L3",
    );
    let lost = Mesh { positions: fixture::wedge().positions, triangles: vec![[0, 1, 99]] };
    refuse(&|parts| parts[4].form = Form::Mesh(Arc::new(lost.clone())), "no corner, in the form of N-L3");

    let source = list();
    let mut scene = fixture::scene(&source);
    scene.branches[0].pose.translation.y = f64::NAN;
    let error = write(&scene, &mut Vec::new()).unwrap_err();
    assert!(error.to_string().contains("the place of N is not finite"));
}
