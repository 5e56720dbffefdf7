//! What a plan is known by.
//!
//! Two short hashes. The *plan* hash sees every part: its name and the numbers of its solid. The *driving* hash sees what a row
//! of a drive log depends on: landings with their fasteners, and the framing that these are driven into. A log written for a
//! plan stays good as long as the second stays, whatever else changes; that the first changed is then told.

use super::{Fineness, Kind, PartId, Parts, Solid};
use crate::record::Fingerprints;
use crate::solid::{Body, Mesh, Point3, Pose, Shape, Vector3};

/// Numbers and names on their way into a hash.
struct Sink {
    hash: blake3::Hasher,
    bytes: Vec<u8>,
}

impl Sink {
    fn new() -> Sink {
        Sink { hash: blake3::Hasher::new(), bytes: Vec::new() }
    }

    fn text(&mut self, text: &str) {
        self.bytes.extend_from_slice(text.as_bytes());
        self.bytes.push(0);
        // In gulps: hashing a few bytes at a time is slow, keeping them all is large.
        if self.bytes.len() > 1 << 14 {
            self.hash.update(&self.bytes);
            self.bytes.clear();
        }
    }

    /// Lengths in metres, or other numbers of that order.
    fn number(&mut self, v: f64) {
        // Rounded to ten micrometres, so that a last digit is no other plan. The shift keeps millimetres and
        // sixty-fourths of an inch, on which plans stand, away from where rounding turns.
        self.bytes.extend_from_slice(&rounded(v).to_le_bytes());
    }

    /// Corners, in an order of their own: the one in which a solid was cut is no other plan.
    fn corners(&mut self, all: impl Iterator<Item = Point3>) {
        let mut places: Vec<[i64; 3]> = all.map(|p| [p.x, p.y, p.z].map(rounded)).collect();
        places.sort_unstable();
        places.dedup();
        for v in places.iter().flatten() {
            self.bytes.extend_from_slice(&v.to_le_bytes());
        }
    }

    fn point(&mut self, p: Point3) {
        for v in [p.x, p.y, p.z] {
            self.number(v);
        }
    }

    fn mesh(&mut self, mesh: &Mesh, pose: &Pose) {
        self.corners(mesh.positions.iter().map(|p| pose * p));
    }

    fn body(&mut self, body: &Body, pose: &Pose) {
        // A box and a polyhedron of the same corners are the same solid.
        let here = pose * body.pose;
        match &body.shape {
            Shape::Box(half) => {
                let signs = (0..8).map(|k| [k & 1, k >> 1 & 1, k >> 2].map(|bit| f64::from(2 * bit - 1)));
                let corners = signs.map(|s| Point3::from(half.component_mul(&Vector3::from(s))));
                self.corners(corners.map(|c| here * c));
            }
            Shape::Poly(poly) => self.corners(poly.form.vertices().iter().map(|p| here * p)),
        }
    }

    fn short(mut self) -> String {
        self.hash.update(&self.bytes);
        self.hash.finalize().to_hex().chars().take(8).collect()
    }
}

fn rounded(v: f64) -> i64 {
    (v * 1e5 + 0.23).round() as i64
}

impl Parts<'_> {
    /// The fingerprints of a plan: these parts must be as planned, whatever was driven.
    pub fn fingerprints(&self) -> Fingerprints {
        let (mut plan, mut driving) = (Sink::new(), Sink::new());
        let f = &self.design.fastening;
        for sink in [&mut plan, &mut driving] {
            sink.text(f.kind.value.word());
            for v in [f.diameter.metres(), f.length.metres(), f.head.metres()] {
                sink.number(v);
            }
        }
        if let Some(form) = self.clip_form() {
            plan.mesh(&form, &Pose::identity());
        }
        // Where slopes stand to each other, seen from the first: a shift of the building or a turn of it is no other plan.
        let first = self.structure.slopes.first().map_or_else(Pose::identity, |s| s.pose);
        let from_first = first.inverse();
        for slope in &self.structure.slopes {
            plan.text(&slope.name);
            plan.number(slope.pitch);
            let at = from_first * slope.pose;
            // The frame's origin and its axes.
            for corner in [Point3::origin(), Point3::new(1.0, 0.0, 0.0), Point3::new(0.0, 1.0, 0.0)] {
                plan.point(at * corner);
            }
        }
        for home in self.homes() {
            let frame = if home.is_some() { Pose::identity() } else { from_first };
            // Fasteners and holes of a log are no part of a plan.
            for kind in Kind::ALL.into_iter().filter(|k| !matches!(k, Kind::LeftIn | Kind::ToDrive)) {
                // What rows of a log depend on.
                let driven = matches!(kind, Kind::Member | Kind::Fasteners);
                for id in self.ids(kind, home) {
                    self.put(id, &frame, &mut plan);
                    if driven {
                        self.put(id, &frame, &mut driving);
                    }
                }
            }
        }
        Fingerprints { plan: plan.short(), driving: driving.short() }
    }

    /// A part's name and the numbers of its solid.
    fn put(&self, id: PartId, frame: &Pose, sink: &mut Sink) {
        sink.text(&self.name(id).unwrap_or_default());
        // Fasteners and clips by their places: all have one form.
        if let Some(pose) = self.group_pose(id) {
            for (x, y) in self.offsets(id) {
                sink.point(pose * Point3::new(x as f64 * 1e-9, y as f64 * 1e-9, 0.0));
            }
        } else if let PartId::Clip(s, i) = id {
            if let Some(pose) = self.clip_pose(s, i) {
                sink.point(pose * Point3::origin());
            }
        } else if let PartId::Strap(_) | PartId::Deck(_) | PartId::Membrane(_) = id {
            // A strap with its nails, plates with their openings.
            match self.solid(id, Fineness::Round) {
                Some(Solid::Mesh(mesh, pose)) => sink.mesh(&mesh, &(frame * pose)),
                Some(Solid::Body(body)) => sink.body(&body, frame),
                None => {}
            }
        } else {
            for body in self.bodies(id).unwrap_or_default() {
                sink.body(&body, frame);
            }
        }
    }
}
