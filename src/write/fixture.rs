//! A small scene made by hand, for the writers' tests.
//!
//! Aim: every layer, every verdict, both kinds of form, and names that need escaping. Reason: a writer must be shown
//! right without the rest of the program. Limits: our own invented roof; its findings mean nothing.

use std::io;
use std::sync::Arc;

use nalgebra::{Translation3, UnitQuaternion};

use super::form::box_mesh;
use crate::check::{Basis, Verdict};
use crate::quantity::Units;
use crate::scene::{
    Branch, CheckRecord, DefaultRecord, EvidenceRecord, ExaminedRecord, FastenerRecord, FindingRecord, Form,
    LandingRecord, Layer, MendRecord, Part, PartKind, PartSource, PlaceRecord, QuantityRecord, ReportHeader, Scene,
    SourceRecord, Texts,
};
use crate::solid::{Mesh, Point3, Pose, Vector3};

/// One part, kept.
pub(super) struct Kept {
    pub(super) name: String,
    pub(super) kind: PartKind,
    pub(super) branch: usize,
    pub(super) form: Form,
    pub(super) coarse: Option<Form>,
    pub(super) pose: Pose,
    pub(super) verdict: Verdict,
    pub(super) size: String,
    pub(super) stock: String,
}

impl Kept {
    /// The part's mesh in the world.
    pub(super) fn in_world(&self, scene: &Scene<'_>) -> Mesh {
        let pose = scene.branches[self.branch].pose * self.pose;
        match &self.form {
            Form::Box(size) => box_mesh(size).moved(&pose),
            Form::Mesh(mesh) => mesh.moved(&pose),
        }
    }

    /// Enclosed volume, cubic metres.
    pub(super) fn volume(&self) -> f64 {
        match &self.form {
            Form::Box(size) => size.product(),
            Form::Mesh(mesh) => mesh.volume(),
        }
    }
}

/// A list of parts and landings.
#[derive(Default)]
pub(super) struct List {
    pub(super) parts: Vec<Kept>,
    pub(super) landings: Vec<LandingRecord>,
}

impl PartSource for List {
    fn part_count(&self) -> usize {
        self.parts.len()
    }

    fn walk_parts(&self, _: Texts, visit: &mut dyn FnMut(&Part<'_>) -> io::Result<()>) -> io::Result<()> {
        self.parts.iter().try_for_each(|p| {
            visit(&Part {
                name: &p.name,
                kind: p.kind,
                branch: p.branch,
                form: &p.form,
                coarse: p.coarse.as_ref(),
                pose: p.pose,
                verdict: p.verdict,
                size: &p.size,
                stock: &p.stock,
            })
        })
    }

    fn walk_landings(&self, visit: &mut dyn FnMut(&LandingRecord) -> io::Result<()>) -> io::Result<()> {
        self.landings.iter().try_for_each(visit)
    }
}

/// A right prism over a regular polygon about the z axis, from `low` to `high`. Metres.
pub(super) fn rod(corners: u32, radius: f64, middle: [f64; 2], low: f64, high: f64) -> Mesh {
    let mut mesh = Mesh::default();
    for z in [low, high] {
        mesh.positions.extend((0..corners).map(|k| {
            let (sin, cos) = (f64::from(k) / f64::from(corners) * std::f64::consts::TAU).sin_cos();
            Point3::new(middle[0] + radius * cos, middle[1] + radius * sin, z)
        }));
    }
    for k in 0..corners {
        let next = (k + 1) % corners;
        mesh.triangles.push([k, next, corners + next]);
        mesh.triangles.push([k, corners + next, corners + k]);
    }
    for k in 1..corners - 1 {
        mesh.triangles.push([0, k + 1, k]);
        mesh.triangles.push([corners, corners + k, corners + k + 1]);
    }
    mesh
}

/// A wedge whose corners are far from its frame's origin.
pub(super) fn wedge() -> Mesh {
    let corners =
        [[0.0, 0.0, 0.0], [3.0, 0.0, 0.0], [0.0, 2.0, 0.0], [0.0, 0.0, 0.5], [3.0, 0.0, 0.5], [0.0, 2.0, 0.5]];
    Mesh {
        positions: corners.map(|[x, y, z]| Point3::new(x + 41.7, y - 12.3, z + 5.1)).to_vec(),
        triangles: vec![[0, 2, 1], [3, 4, 5], [0, 1, 4], [0, 4, 3], [1, 2, 5], [1, 5, 4], [2, 0, 3], [2, 3, 5]],
    }
}

/// A pose from a place and a turn about an axis.
pub(super) fn pose(at: [f64; 3], axis: [f64; 3], angle: f64) -> Pose {
    let turn = UnitQuaternion::from_scaled_axis(Vector3::from(axis) * angle);
    Pose::from_parts(Translation3::from(Vector3::from(at)), turn)
}

/// Two slopes and the building.
pub(super) fn branches() -> Vec<Branch> {
    let branch = |name: &str, pose| Branch { name: name.to_owned(), pose };
    vec![
        branch("N", pose([12.25, 8.5, 3.0], [0.0, 0.0, 1.0], 3.0)),
        branch("S", pose([1.0, -0.5, 2.75], [1.0, 0.0, 0.0], 0.463_647_609)),
        branch("building", Pose::identity()),
    ]
}

/// A roof of some thirty parts over both slopes.
pub(super) fn parts() -> Vec<Kept> {
    let nails = {
        let mut mesh = rod(8, 0.002, [-0.02, 0.01], -0.06, 0.01);
        mesh.append(&rod(8, 0.002, [0.02, -0.01], -0.06, 0.01));
        Arc::new(mesh)
    };
    let mut parts = Vec::new();
    let mut add = |branch: usize, name: &str, kind, form: Form, pose, verdict, size: &str, stock: &str| {
        let texts = [name, size, stock].map(str::to_owned);
        let [name, size, stock] = texts;
        parts.push(Kept { name, kind, branch, form, coarse: None, pose, verdict, size, stock });
    };
    let cuboid = |x, y, z| Form::Box(Vector3::new(x, y, z));
    let at = |x, y, z| Pose::translation(x, y, z);
    for (branch, slope) in ["N", "S"].iter().enumerate() {
        let name = |rest: &str| format!("{slope}-{rest}");
        let sheet = cuboid(6.0, 4.0, 0.012);
        add(branch, &name("D"), PartKind::Deck, sheet, at(3.0, 2.0, -0.007), Verdict::Pass, "", "");
        let sheet = cuboid(6.0, 4.0, 0.001);
        add(branch, &name("M"), PartKind::Membrane, sheet, at(3.0, 2.0, -0.0005), Verdict::Pass, "", "");
        for k in 0..3 {
            let (x, name) = (1.0 + 2.0 * f64::from(k), name(&format!("L{}", k + 1)));
            let strip = cuboid(0.05, 3.9, 0.01);
            add(branch, &name, PartKind::Strip, strip, at(x, 2.0, 0.006), Verdict::Pass, "", "");
        }
        for k in 0..3 {
            // The last board is set out crooked, and is an inch number so that no size is a round binary one.
            let turn = if k == 2 { 0.01 } else { 0.0 };
            let place = pose([3.0, 0.3048 + 0.6096 * f64::from(k), 0.023], [0.0, 0.0, 1.0], turn);
            let verdict = [Verdict::Pass, Verdict::Warn, Verdict::NotChecked][k as usize];
            let board = cuboid(5.9, 0.0889, 0.01905);
            let name = name(&format!("B{}.1", k + 1));
            add(branch, &name, PartKind::Batten, board, place, verdict, "1 in x 4 in", "20 ft");
        }
        for k in 0..3 {
            for (l, verdict) in [Verdict::Pass, Verdict::Fail, Verdict::Pass].into_iter().enumerate() {
                let place = at(1.0 + 2.0 * l as f64, 0.3048 + 0.6096 * f64::from(k), 0.0325);
                let name = name(&format!("B{}-L{}", k + 1, l + 1));
                add(
                    branch,
                    &name,
                    PartKind::Fasteners,
                    Form::Mesh(nails.clone()),
                    place,
                    verdict,
                    "0.148 in x 3 in",
                    "",
                );
            }
        }
        let pin = Form::Mesh(Arc::new(rod(12, 0.05, [0.0, 0.0], 0.0, 0.4)));
        add(branch, &name("F1"), PartKind::Pin, pin, at(3.0, 0.3, 9.0), Verdict::Fail, "", "");
    }
    let rafter = PartKind::Member("rafter");
    let tail = pose([2.0, 3.0, 1.0], [0.3, -0.2, 0.9], 1.1);
    add(2, "rafter \"a\" \\ b", rafter, cuboid(0.038, 3.0, 0.235), tail, Verdict::NotChecked, "2 in x 10 in", "");
    let block = Form::Mesh(Arc::new(wedge()));
    add(2, "=ridge, east", PartKind::Member("ridge board"), block, tail, Verdict::Pass, "", "=cut");
    // The same wedge as a mesh of its own, moved: a form is what it looks like.
    let mut moved = wedge();
    moved.positions.iter_mut().for_each(|p| p.coords += Vector3::new(-40.0, 12.0, 0.125));
    let other = Form::Mesh(Arc::new(moved));
    add(2, "ridge, west", PartKind::Member("ridge board"), other, at(0.5, 0.25, 0.0), Verdict::Pass, "", "");
    parts
}

/// Two landings, one of them with a fastener that meets nothing.
pub(super) fn landings() -> Vec<LandingRecord> {
    let place = |x: f64| PlaceRecord { slope: "S".into(), on_slope: [x, 0.3048, 0.0325], in_world: [x, 0.1, 2.9] };
    let fastener = |name: &str, member: Option<&str>| FastenerRecord {
        name: name.into(),
        head: [0.1, 0.2, 0.3],
        tip: [0.1, 0.2, 1.0 / 3.0],
        diameter: 0.003_75,
        backed: member.is_some(),
        state: None,
        member: member.map(str::to_owned),
        embedment: 0.0325,
        room: member.map(|_| 0.019),
    };
    let landing = |name: &str, x, backed, fasteners| LandingRecord {
        name: name.into(),
        slope: "S".into(),
        piece: "S-B1.1".into(),
        on: "S-L1".into(),
        backed,
        holds: None,
        verdict: if backed { Verdict::Pass } else { Verdict::Fail },
        basis: Basis::Confirmed,
        passed: 0,
        place: place(x),
        fasteners,
        strength: None,
    };
    vec![
        landing("S-B1-L1", 1.0, true, vec![fastener("S-B1-L1.1", Some("rafter \"a\" \\ b"))]),
        landing("S-B1-L2", 3.0, false, vec![fastener("S-B1-L2.1", None), fastener("S-B1-L2.2", Some("x"))]),
    ]
}

/// Everything else around a source.
pub(super) fn scene(source: &dyn PartSource) -> Scene<'_> {
    let finding = FindingRecord {
        number: 1,
        check: "backing".into(),
        verdict: Verdict::Fail,
        message: "S-B1-L2 meets nothing below the membrane".into(),
        parts: vec!["S-B1-L2".into()],
        stands_for: 1,
        place: Some(PlaceRecord { slope: "S".into(), on_slope: [3.0, 0.3048, 0.0325], in_world: [3.0, 0.1, 2.9] }),
        evidence: vec![EvidenceRecord {
            what: "embedment".into(),
            found: 0.0,
            limit: Some(0.0325),
            unit: "m".into(),
            ratio: Some(0.0),
        }],
        mends: vec![MendRecord { text: "add a block".into(), design_change: "[[found.added]]".into() }],
        advice: vec!["mark the member from below".into()],
        source: SourceRecord { line: Some(12), text: "common practice, no source".into() },
    };
    let check = CheckRecord {
        name: "backing".into(),
        title: "Is every fastener backed?".into(),
        verdict: Verdict::Fail,
        findings: 1,
        reason: None,
        examined: vec![ExaminedRecord {
            kind: "landings".into(),
            slope: Some("S".into()),
            count: 2,
            except: vec!["S-B2-L1".into()],
            unanswered: Vec::new(),
            basis: Basis::Confirmed,
        }],
    };
    let default = DefaultRecord { key: "batten.spacing".into(), value: "24 in".into(), why: "common".into() };
    let quantity = |kind: &str, size: &str, count, [length, area, mass]: [Option<f64>; 3]| QuantityRecord {
        kind: kind.into(),
        size: size.into(),
        count,
        length,
        area,
        mass,
    };
    Scene {
        header: ReportHeader {
            format: 1,
            program: "airlath 0.1.0".into(),
            design: "Woodshed \"east\"".into(),
            about: String::new(),
            scope: "Backing was checked; wind and snow were not.".into(),
            fingerprint: "k3f9-22ab".into(),
            driving: "91c0aa27".into(),
            cautions: vec!["Measure before driving.".into(), "=A mark is not a proof.".into()],
            verdict: Verdict::Fail,
            landings: 2,
            backed: 1,
            defaults: vec![default],
            members: Vec::new(),
            lines: Vec::new(),
            penetrations: Vec::new(),
            passed_sets: vec![vec!["backing".into()]],
            checks: vec![check],
            air: None,
            chances: None,
            findings: vec![finding],
            strength: None,
        },
        units: Units::Inches,
        branches: branches(),
        layer_notes: vec![
            (Layer::Battens, "1 in x 4 in".into(), "20 ft".into()),
            (Layer::Fasteners, "0.148 in x 3 in".into(), String::new()),
        ],
        quantities: vec![
            quantity("batten", "1 in x 4 in", 6, [Some(35.4), None, Some(27.123_456_789)]),
            quantity("=cmd", "@x", 1, [None, Some(48.0), None]),
            quantity("tape", "2 in", 0, [None, None, None]),
        ],
        looks: Vec::new(),
        source,
    }
}
