//! Binary STL, with an index that says which triangles are which part.
//!
//! Aim: a file that any measuring, slicing or meshing program reads, whole or one layer at a time.
//! Reason: STL knows triangles only, so the names stand in an index beside it. `stl_io` takes the whole list of
//! triangles in memory and is several times slower than records written as they come; the records here are ours, and
//! `stl_io` reads them back in the tests.
//! Limits: millimetres as `f32`, world axes with z up; the origin is moved to the middle of the building so that the
//! numbers stay small enough for `f32` (below 0.004 mm within 65 m). Each corner of a part is converted once, so a
//! closed part stays closed bit for bit; a triangle that collapses in `f32` is kept for the same reason. Colours and
//! attribute bytes are not used.

use std::io::{self, Write};
use std::sync::Arc;

use nalgebra::Matrix3;

use super::form::{BOX_TRIANGLES, ByMesh, box_corners};
use super::text::{cell, push_whole};
use super::{branch_pose, broken, is_finite};
use crate::scene::{Form, Layer, Part, Scene, Texts};
use crate::solid::{Point3, Vector3, unit_normal};

/// Bytes collected before each write.
const BLOCK: usize = 1 << 16;
/// Bytes of one triangle: normal, three corners, two attribute bytes.
const RECORD: usize = 50;
/// Millimetres in a metre.
const MILLIMETRES: f64 = 1000.0;
/// Most triangles laid down between two looks at the block.
const GULP: usize = 512;
/// Length of the header.
const HEADER: usize = 80;
/// From so many parts on, parts that have a coarser form are written in it: STL repeats every triangle of every part.
pub const COARSE_FROM: usize = 20_000;

/// Writes all parts, or those of one layer, and the index of them.
///
/// The index is a CSV: `part,kind,layer,first_triangle,triangles,detail`, triangles counted from 0. `detail` is `full`
/// where the form that the model has was written, `coarse` where, from [`COARSE_FROM`] parts on, a coarser one was. A name that a spreadsheet would take for a formula starts
/// with an apostrophe.
///
/// # Errors
/// Those of `out` and `index`; a scene that contradicts itself; more than `u32::MAX` triangles, which STL cannot count.
pub fn write(scene: &Scene<'_>, layer: Option<Layer>, out: &mut dyn Write, index: &mut dyn Write) -> io::Result<()> {
    let survey = survey(scene, layer)?;
    let total = u32::try_from(survey.triangles).map_err(|_| broken("more triangles than an STL file can count"))?;
    let mut block = Vec::with_capacity(BLOCK + GULP * RECORD);
    block.extend(format!("airlath {} millimetres", scene.header.fingerprint).bytes().take(HEADER));
    block.resize(HEADER, b' ');
    block.extend(total.to_le_bytes());

    let mut rows = csv::WriterBuilder::new().buffer_capacity(BLOCK).from_writer(index);
    rows.write_record(["part", "kind", "layer", "first_triangle", "triangles", "detail"])?;
    let mut number = Vec::new();
    let mut first = 0;
    let mut turned = Turned::default();
    let mut corners = Vec::new();
    scene.source.walk_parts(Texts::Unwanted, &mut |part| {
        let of = part.kind.layer();
        if layer.is_some_and(|only| only != of) {
            return Ok(());
        }
        let placed = Placed::new(scene, part)?;
        let form = written(part, survey.coarse);
        turned.prepare(form, &placed.turn);
        let shift = (Point3::from(placed.shift) - survey.origin) * MILLIMETRES;
        corners.clear();
        corners.extend(turned.corners.iter().map(|p| bytes(&(p.coords + shift))));
        let triangles = triangles(form);
        if !write_triangles(&mut block, out, &corners, triangles, &turned.normals)? {
            return Err(broken(format!("a triangle of {} has no corner", part.name)));
        }
        rows.write_field(cell(part.name).as_bytes())?;
        rows.write_field(part.kind.name())?;
        rows.write_field(of.name())?;
        for count in [first, triangles.len()] {
            number.clear();
            push_whole(&mut number, count as u64);
            rows.write_field(&number)?;
        }
        rows.write_field(if survey.coarse && part.coarse.is_some() { "coarse" } else { "full" })?;
        rows.write_record(None::<&[u8]>)?;
        first += triangles.len();
        Ok(())
    })?;
    if first != survey.triangles {
        return Err(broken("two walks over the parts gave different triangles"));
    }
    out.write_all(&block)?;
    rows.flush()
}

/// The point of the world that is the origin of the STL files: the middle of the building's bounds, pins left out, so
/// that a flag moves nothing. Metres. The same for a layer as for the whole.
///
/// # Errors
/// A scene that contradicts itself.
pub fn origin(scene: &Scene<'_>) -> io::Result<Point3> {
    Ok(survey(scene, None)?.origin)
}

/// What must be known before the first record.
struct Survey {
    origin: Point3,
    triangles: usize,
    /// Coarser forms are written where there are any.
    coarse: bool,
}

/// The form of a part that is written.
fn written<'a>(part: &Part<'a>, coarse: bool) -> &'a Form {
    part.coarse.filter(|_| coarse).unwrap_or(part.form)
}

fn survey(scene: &Scene<'_>, layer: Option<Layer>) -> io::Result<Survey> {
    let mut bounds = Bounds { low: Point3::from([f64::INFINITY; 3]), high: Point3::from([f64::NEG_INFINITY; 3]) };
    let mut meshes = ByMesh::new();
    let mut count = 0;
    let coarse = scene.source.part_count() >= COARSE_FROM;
    scene.source.walk_parts(Texts::Unwanted, &mut |part| {
        let placed = Placed::new(scene, part)?;
        let (middle, half) = match part.form {
            Form::Box(size) => (Point3::origin(), size / 2.0),
            Form::Mesh(mesh) => meshes.get(mesh, || {
                let flat = |(low, high): (Point3, Point3)| (nalgebra::center(&low, &high), (high - low) / 2.0);
                // `inf` and `sup` skip what is not a number, so look at each.
                let finite = mesh.positions.iter().all(|p| p.iter().all(|v| v.is_finite()));
                finite
                    .then(|| mesh.bounds().map_or_else(|| (Point3::origin(), Vector3::zeros()), flat))
                    .ok_or_else(|| broken(format!("a corner of {} is not finite", part.name)))
            })?,
        };
        if !half.iter().all(|v| v.is_finite()) {
            return Err(broken(format!("the size of {} is not finite", part.name)));
        }
        if layer.is_none_or(|only| only == part.kind.layer()) {
            count += triangles(written(part, coarse)).len();
        }
        if part.kind.layer() == Layer::Flags {
            return Ok(());
        }
        // A box around the part in the world; only where it sticks out can the part itself stick out.
        let reach = placed.turn.abs() * half;
        let middle = placed.point(&middle);
        if bounds.holds(&(middle - reach)) && bounds.holds(&(middle + reach)) {
            return Ok(());
        }
        match part.form {
            Form::Box(size) => box_corners(size).iter().for_each(|p| bounds.take(&placed.point(p))),
            Form::Mesh(mesh) => mesh.positions.iter().for_each(|p| bounds.take(&placed.point(p))),
        }
        Ok(())
    })?;
    let empty = bounds.low.x > bounds.high.x;
    let origin = if empty { Point3::origin() } else { nalgebra::center(&bounds.low, &bounds.high) };
    Ok(Survey { origin, triangles: count, coarse })
}

struct Bounds {
    low: Point3,
    high: Point3,
}

impl Bounds {
    fn holds(&self, p: &Point3) -> bool {
        (0..3).all(|k| self.low[k] <= p[k] && p[k] <= self.high[k])
    }

    fn take(&mut self, p: &Point3) {
        self.low = self.low.inf(p);
        self.high = self.high.sup(p);
    }
}

/// A part's frame in the world, as a matrix: a mesh's every corner goes through it.
struct Placed {
    turn: Matrix3<f64>,
    shift: Vector3,
}

impl Placed {
    fn new(scene: &Scene<'_>, part: &Part<'_>) -> io::Result<Placed> {
        let pose = branch_pose(scene, part)? * part.pose;
        if !is_finite(&pose) {
            return Err(broken(format!("the place of {} is not finite", part.name)));
        }
        Ok(Placed { turn: pose.rotation.to_rotation_matrix().into_inner(), shift: pose.translation.vector })
    }

    fn point(&self, p: &Point3) -> Point3 {
        Point3::from(self.turn * p.coords + self.shift)
    }
}

/// The triangles of a form.
fn triangles(form: &Form) -> &[[u32; 3]] {
    match form {
        Form::Box(_) => &BOX_TRIANGLES,
        Form::Mesh(mesh) => &mesh.triangles,
    }
}

/// A form turned into the world but not yet moved, with its normals. Kept from part to part: the fasteners of a slope,
/// which are most of a file, are the same form in the same turn.
#[derive(Default)]
struct Turned {
    of: Option<(Form, Matrix3<f64>)>,
    /// Millimetres.
    corners: Vec<Point3>,
    normals: Vec<[u8; 12]>,
}

impl Turned {
    fn prepare(&mut self, form: &Form, turn: &Matrix3<f64>) {
        let same = |other: &Form| match (form, other) {
            (Form::Box(a), Form::Box(b)) => a == b,
            (Form::Mesh(a), Form::Mesh(b)) => Arc::ptr_eq(a, b),
            _ => false,
        };
        if self.of.as_ref().is_some_and(|(other, turned)| turned == turn && same(other)) {
            return;
        }
        self.of = Some((form.clone(), *turn));
        let place = |p: &Point3| turn * (p * MILLIMETRES);
        self.corners.clear();
        match form {
            Form::Box(size) => self.corners.extend(box_corners(size).iter().map(place)),
            Form::Mesh(mesh) => self.corners.extend(mesh.positions.iter().map(place)),
        }
        // A triangle that has no corner is found when it is written.
        let corner = |i: u32| self.corners.get(i as usize).copied().unwrap_or_default();
        self.normals.clear();
        self.normals.extend(triangles(form).iter().map(|t| bytes(&unit_normal(t.map(corner)))));
    }
}

/// Three `f32`, little end first.
#[inline]
fn bytes(v: &Vector3) -> [u8; 12] {
    let (x, y, z) = ((v.x as f32).to_le_bytes(), (v.y as f32).to_le_bytes(), (v.z as f32).to_le_bytes());
    [x[0], x[1], x[2], x[3], y[0], y[1], y[2], y[3], z[0], z[1], z[2], z[3]]
}

/// Writes the triangles of one part; false where one of them has no corner.
fn write_triangles(
    block: &mut Vec<u8>,
    out: &mut dyn Write,
    corners: &[[u8; 12]],
    triangles: &[[u32; 3]],
    normals: &[[u8; 12]],
) -> io::Result<bool> {
    let corner = |i: u32| corners.get(i as usize);
    for (triangles, normals) in triangles.chunks(GULP).zip(normals.chunks(GULP)) {
        let start = block.len();
        block.resize(start + triangles.len() * RECORD, 0);
        let (records, _) = block.get_mut(start..).unwrap_or_default().as_chunks_mut::<RECORD>();
        for ((record, [a, b, c]), normal) in records.iter_mut().zip(triangles).zip(normals) {
            let (Some(a), Some(b), Some(c)) = (corner(*a), corner(*b), corner(*c)) else {
                return Ok(false);
            };
            if let ([to_normal, to_a, to_b, to_c], _) = record.as_chunks_mut::<12>() {
                (*to_normal, *to_a, *to_b, *to_c) = (*normal, *a, *b, *c);
            }
        }
        // Whole blocks only: a write that ends inside a page of the disk costs twice.
        let whole = block.len() / BLOCK * BLOCK;
        if let Some(ready) = block.get(..whole).filter(|ready| !ready.is_empty()) {
            out.write_all(ready)?;
            block.drain(..whole);
        }
    }
    Ok(true)
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeMap;
    use std::io::Cursor;

    use super::*;
    use crate::scene::PartKind;
    use crate::solid::{Mesh, Pose};
    use crate::write::fixture::{self, Kept, List};

    fn list() -> List {
        List { parts: fixture::parts(), landings: Vec::new() }
    }

    fn files(source: &List, layer: Option<Layer>) -> (Vec<u8>, String) {
        let (mut stl, mut index) = (Vec::new(), Vec::new());
        write(&fixture::scene(source), layer, &mut stl, &mut index).unwrap();
        (stl, String::from_utf8(index).unwrap())
    }

    /// Rows of the index: part, kind, layer, first triangle, triangles, detail.
    fn rows(index: &str) -> Vec<(String, String, String, usize, usize, String)> {
        let mut reader = csv::Reader::from_reader(index.as_bytes());
        let header = ["part", "kind", "layer", "first_triangle", "triangles", "detail"];
        assert_eq!(reader.headers().unwrap(), header.as_slice());
        reader.deserialize().map(Result::unwrap).collect()
    }

    /// The mesh of one part from the records, in metres about the file's origin.
    fn mesh(triangles: &[stl_io::Triangle]) -> Mesh {
        let mut mesh = Mesh::default();
        for t in triangles {
            let at = mesh.positions.len() as u32;
            mesh.positions.extend(t.vertices.iter().map(|v| Point3::from(v.0.map(|c| f64::from(c) / 1000.0))));
            mesh.triangles.push([at, at + 1, at + 2]);
        }
        mesh
    }

    fn read(stl: &[u8]) -> Vec<stl_io::Triangle> {
        stl_io::create_stl_reader(&mut Cursor::new(stl)).unwrap().map(Result::unwrap).collect()
    }

    #[test]
    fn every_part_reads_back_closed_and_in_its_place() {
        let source = list();
        let scene = fixture::scene(&source);
        let (stl, index) = files(&source, None);
        let triangles = read(&stl);
        assert_eq!(stl.len(), 84 + 50 * triangles.len());
        let origin = origin(&scene).unwrap();
        let mut next = 0;
        let rows = rows(&index);
        assert_eq!(rows.len(), source.parts.len());
        for (part, (name, kind, layer, first, count, detail)) in source.parts.iter().zip(&rows) {
            assert_eq!((name.as_str(), *first), (cell(&part.name).as_ref(), next));
            assert_eq!([kind, layer], [part.kind.name(), part.kind.layer().name()]);
            assert_eq!(detail, "full");
            next += count;
            let records = &triangles[*first..next];
            let mesh = mesh(records);
            assert!(mesh.is_closed(), "{name}");
            let expected = part.in_world(&scene);
            let (low, high) = expected.bounds().unwrap();
            let (seen_low, seen_high) = mesh.bounds().unwrap();
            let off = (low - origin - seen_low.coords).amax().max((high - origin - seen_high.coords).amax());
            // An f32 of 10 m in millimetres is good to half a micrometre.
            assert!(off < 1e-6, "{name} is {off} m off");
            assert!((mesh.volume() / part.volume() - 1.0).abs() < 5e-4, "{name}: {}", mesh.volume());
            for (t, record) in mesh.triangles.iter().zip(records) {
                let face = unit_normal(mesh.corners(*t).unwrap());
                let normal = Vector3::from(record.normal.0.map(f64::from));
                assert!((normal.norm() - 1.0).abs() < 1e-6 && normal.dot(&face) > 0.999, "{name}");
            }
        }
        assert_eq!(next, triangles.len());
    }

    #[test]
    fn the_header_names_plan_and_unit() {
        let (stl, _) = files(&list(), None);
        assert_eq!(stl[..80], *format!("{:80}", "airlath k3f9-22ab millimetres").as_bytes());
        let source = list();
        let mut scene = fixture::scene(&source);
        scene.header.fingerprint = "x".repeat(200);
        let mut long = Vec::new();
        write(&scene, None, &mut long, &mut Vec::new()).unwrap();
        assert_eq!(long.len(), stl.len());
    }

    #[test]
    fn the_origin_is_the_middle_of_the_building_and_pins_do_not_count() {
        let source = list();
        let scene = fixture::scene(&source);
        let all = source.parts.iter().filter(|p| p.kind != PartKind::Pin);
        let corners: Vec<Point3> = all.flat_map(|p| p.in_world(&scene).positions).collect();
        let (low, high) = Mesh { positions: corners, triangles: Vec::new() }.bounds().unwrap();
        let middle = origin(&scene).unwrap();
        assert!((middle - nalgebra::center(&low, &high)).amax() < 1e-12);
        assert_eq!(origin(&fixture::scene(&List::default())).unwrap(), Point3::origin());
    }

    #[test]
    fn a_layer_has_the_records_it_has_in_the_whole() {
        let source = list();
        let (whole, whole_index) = files(&source, None);
        let mut of_layers: BTreeMap<String, Vec<u8>> = BTreeMap::new();
        for (_, _, layer, first, count, _) in rows(&whole_index) {
            of_layers.entry(layer).or_default().extend(&whole[84 + 50 * first..84 + 50 * (first + count)]);
        }
        for layer in Layer::ALL {
            let (stl, index) = files(&source, Some(layer));
            let expected = of_layers.remove(layer.name()).unwrap_or_default();
            assert_eq!(stl[80..84], (expected.len() as u32 / 50).to_le_bytes());
            assert_eq!(stl[84..], expected);
            let mut next = 0;
            for (_, _, of, first, count, _) in rows(&index) {
                assert_eq!((of.as_str(), first), (layer.name(), next));
                next += count;
            }
        }
        assert!(of_layers.is_empty());
    }

    /// Counts the calls that a writer makes.
    #[derive(Default)]
    struct Counted {
        bytes: Vec<u8>,
        calls: usize,
    }

    impl Write for Counted {
        fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
            self.calls += 1;
            self.bytes.extend_from_slice(bytes);
            Ok(bytes.len())
        }

        fn flush(&mut self) -> io::Result<()> {
            Ok(())
        }
    }

    #[test]
    fn records_go_out_in_blocks() {
        let mut source = list();
        source.parts.truncate(1);
        source.parts[0].form = Form::Mesh(Arc::new(fixture::rod(6000, 0.5, [0.0, 0.0], 0.0, 1.0)));
        let mut out = Counted::default();
        write(&fixture::scene(&source), None, &mut out, &mut Vec::new()).unwrap();
        assert_eq!(out.bytes.len(), 84 + 50 * (12_000 + 11_996));
        assert!(out.calls <= out.bytes.len() / BLOCK + 1);
        assert!(mesh(&read(&out.bytes)).is_closed());
    }

    #[test]
    fn a_triangle_that_collapses_is_kept() {
        let mut source = list();
        source.parts.truncate(1);
        let form = fixture::rod(3, 1e-9, [0.0, 0.0], 0.0, 1.0);
        let count = form.triangles.len();
        source.parts[0].form = Form::Mesh(Arc::new(form));
        source.parts[0].pose = Pose::translation(0.0, 50.0, 0.0);
        let far = Kept { pose: Pose::identity(), name: "far".into(), ..fixture::parts().remove(0) };
        source.parts.push(far);
        assert_eq!(rows(&files(&source, None).1)[0].4, count);
    }

    #[test]
    fn a_scene_that_contradicts_itself_is_refused() {
        let refuse = |change: &dyn Fn(&mut Vec<Kept>), says: &str| {
            let mut source = list();
            change(&mut source.parts);
            let error = write(&fixture::scene(&source), None, &mut Vec::new(), &mut Vec::new()).unwrap_err();
            assert_eq!(error.kind(), io::ErrorKind::InvalidData);
            assert!(error.to_string().contains(says), "{error}");
        };
        refuse(&|parts| parts[3].branch = 7, "N-L2 is in no branch");
        refuse(&|parts| parts[4].pose.translation.x = f64::NAN, "the place of N-L3");
        refuse(&|parts| parts[4].form = Form::Box(Vector3::new(f64::INFINITY, 1.0, 1.0)), "the size of N-L3");
        let mut bad = fixture::wedge();
        bad.positions[3].y = f64::NAN;
        refuse(&|parts| parts[4].form = Form::Mesh(Arc::new(bad.clone())), "a corner of N-L3");
        let lost = Mesh { positions: fixture::wedge().positions, triangles: vec![[0, 1, 99]] };
        refuse(&|parts| parts[4].form = Form::Mesh(Arc::new(lost.clone())), "a triangle of N-L3");
    }

    #[test]
    fn a_very_large_roof_is_written_in_its_coarser_forms_and_the_index_says_so() {
        let coarse = Form::Mesh(Arc::new(fixture::rod(3, 0.002, [0.0, 0.0], -0.06, 0.0)));
        let fine = Form::Mesh(Arc::new(fixture::rod(8, 0.002, [0.0, 0.0], -0.06, 0.0)));
        let mut source = List { parts: Vec::new(), landings: Vec::new() };
        for k in 0..COARSE_FROM {
            let pose = Pose::translation((k % 200) as f64 * 0.1, (k / 200) as f64 * 0.1, 0.0);
            source.parts.push(fixture::Kept {
                name: format!("S-B{k:05}"),
                kind: crate::scene::PartKind::Fasteners,
                branch: 0,
                form: fine.clone(),
                coarse: Some(coarse.clone()),
                pose,
                verdict: crate::check::Verdict::Pass,
                size: String::new(),
                stock: String::new(),
            });
        }
        let sides = |source: &List| {
            let (mut out, mut index) = (Vec::new(), Vec::new());
            write(&fixture::scene(source), None, &mut out, &mut index).unwrap();
            let index = String::from_utf8(index).unwrap();
            let row = index.lines().nth(1).unwrap().to_owned();
            (row, (out.len() - 84) / 50 / source.parts.len())
        };
        // A prism of n sides has 2 n triangles round it and n - 2 at either end.
        assert_eq!(sides(&source), ("S-B00000,fasteners,fasteners,0,8,coarse".to_owned(), 8));
        source.parts.pop();
        assert_eq!(sides(&source), ("S-B00000,fasteners,fasteners,0,28,full".to_owned(), 28));
    }
}
