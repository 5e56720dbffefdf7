//! A slope to look at: its edges seen from outside, hidden parts hidden, flags standing out.
//!
//! Aim: a picture that shows at a glance where on the roof a flag is. Reason: lines print on any printer and stay sharp
//! at any size; and a line is hidden exactly where a face lies before it, not where a pixel says so. Limits: isometric
//! (the three directions of the building equally shortened), from below on the left; not to be measured. Fasteners are
//! not drawn. What lies within 20 um behind a face counts as lying on it.

use std::collections::BTreeMap;

use super::draw::{Anchor, Canvas, Point, Type};
use super::kinds::drawn;
use super::plan::{flag_text, flagged};
use super::{Owner, Parts, Set, Sheet, Subject, View, frame, on_paper};
use crate::quantity::maths::{hypot, sin_cos};
use crate::scene::{SettingOut, ranges};
use crate::solid::{Mesh, Point3, Vector3};

/// How far before a line a face must lie to hide it, metres.
const BEFORE: f64 = 2e-5;
/// Faces that turn by less are one face: cosine of 10 degrees.
const SMOOTH: f64 = 0.985;

/// A way of looking: unit vectors to the right, up and towards the eye.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Eye {
    /// To the right.
    pub right: Vector3,
    /// Up on the picture.
    pub up: Vector3,
    /// Towards the eye.
    pub towards: Vector3,
}

impl Eye {
    /// Isometric, in the coordinates of a slope, from below on the left of it.
    pub fn isometric(pitch: f64) -> Eye {
        let (sin, cos) = sin_cos(pitch);
        // In slope coordinates: the vertical, and the level direction down the slope.
        let vertical = Vector3::new(0.0, sin, cos);
        let down = Vector3::new(0.0, -cos, sin);
        let left = -Vector3::x();
        let level = (down + left).normalize();
        let rise = (1.0_f64 / 3.0).sqrt();
        let towards = level * (1.0 - rise * rise).sqrt() + vertical * rise;
        let right = vertical.cross(&towards).normalize();
        Eye { right, up: towards.cross(&right), towards }
    }

    fn see(&self, p: &Point3) -> Seen {
        Seen { x: p.coords.dot(&self.right), y: p.coords.dot(&self.up), depth: p.coords.dot(&self.towards) }
    }
}

/// A point as the eye sees it: across, up, and nearer with growing depth. Metres.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Seen {
    x: f64,
    y: f64,
    depth: f64,
}

/// A triangle that faces the eye.
struct Face {
    corners: [Seen; 3],
    /// depth = a x + b y + c.
    plane: (f64, f64, f64),
}

/// Faces by the cells of a grid over the picture.
struct Faces {
    all: Vec<Face>,
    cell: f64,
    cells: BTreeMap<(i64, i64), Vec<u32>>,
}

impl Faces {
    fn of<'m>(meshes: impl Iterator<Item = &'m Mesh>, eye: &Eye) -> Faces {
        let mut all = Vec::new();
        for mesh in meshes {
            for t in &mesh.triangles {
                let Some(c) = mesh.corners(*t) else { continue };
                let c = c.map(|p| eye.see(&p));
                let (u, v) = ((c[1].x - c[0].x, c[1].y - c[0].y), (c[2].x - c[0].x, c[2].y - c[0].y));
                let turn = u.0 * v.1 - u.1 * v.0;
                // Faces seen edge on hide nothing.
                if turn <= 1e-10 {
                    continue;
                }
                let (du, dv) = (c[1].depth - c[0].depth, c[2].depth - c[0].depth);
                let a = (du * v.1 - dv * u.1) / turn;
                let b = (dv * u.0 - du * v.0) / turn;
                let plane = (a, b, c[0].depth - a * c[0].x - b * c[0].y);
                all.push(Face { corners: c, plane });
            }
        }
        let (mut low, mut high) = (f64::INFINITY, f64::NEG_INFINITY);
        for c in all.iter().flat_map(|f| f.corners) {
            low = low.min(c.x);
            high = high.max(c.x);
        }
        let span = if high > low { high - low } else { 1.0 };
        let cell = (span / 80.0).clamp(0.05, 5.0);
        let mut cells: BTreeMap<(i64, i64), Vec<u32>> = BTreeMap::new();
        for (i, f) in all.iter().enumerate() {
            let (x, y) = (f.corners.map(|c| c.x), f.corners.map(|c| c.y));
            for key in keys(&x, &y, cell) {
                cells.entry(key).or_default().push(i as u32);
            }
        }
        Faces { all, cell, cells }
    }

    /// The stretches of a line that are seen, as parts from 0 to 1.
    fn seen(&self, a: &Seen, b: &Seen) -> Vec<(f64, f64)> {
        let long = hypot(b.x - a.x, b.y - a.y);
        let pieces = ((long / self.cell).ceil() as usize).max(1);
        let at = |t: f64| Seen {
            x: a.x + (b.x - a.x) * t,
            y: a.y + (b.y - a.y) * t,
            depth: a.depth + (b.depth - a.depth) * t,
        };
        let mut hidden: Vec<(f64, f64)> = Vec::new();
        for k in 0..pieces {
            let (t0, t1) = (k as f64 / pieces as f64, (k + 1) as f64 / pieces as f64);
            let (p, q) = (at(t0), at(t1));
            let mut near: Vec<u32> = keys(&[p.x, q.x], &[p.y, q.y], self.cell)
                .filter_map(|key| self.cells.get(&key))
                .flatten()
                .copied()
                .collect();
            near.sort_unstable();
            near.dedup();
            for i in near {
                let Some(face) = self.all.get(i as usize) else { continue };
                if let Some((u, v)) = face.hides(&p, &q) {
                    hidden.push((t0 + (t1 - t0) * u, t0 + (t1 - t0) * v));
                }
            }
        }
        hidden.sort_by(|p, q| p.0.total_cmp(&q.0));
        // What is left, but for slivers where two faces meet.
        let sliver = (1e-5 / long.max(1e-9)).min(0.5);
        let mut left = Vec::new();
        let mut from = 0.0;
        for (u, v) in hidden {
            if u > from + sliver {
                left.push((from, u));
            }
            from = from.max(v);
        }
        if 1.0 > from + sliver || from == 0.0 {
            left.push((from, 1.0));
        }
        left
    }
}

impl Face {
    /// The part of a line from `p` to `q` that this face hides.
    fn hides(&self, p: &Seen, q: &Seen) -> Option<(f64, f64)> {
        let (mut enter, mut leave) = (0.0_f64, 1.0_f64);
        // Inside where value >= 0; the value runs evenly along the line.
        let mut keep = |at_p: f64, at_q: f64| {
            if at_p < 0.0 && at_q < 0.0 {
                leave = -1.0;
            } else if at_p < 0.0 {
                enter = enter.max(at_p / (at_p - at_q));
            } else if at_q < 0.0 {
                leave = leave.min(at_p / (at_p - at_q));
            }
        };
        for (a, b) in [(0, 1), (1, 2), (2, 0)] {
            let (a, b) = (self.corners[a], self.corners[b]);
            let side = |s: &Seen| (b.x - a.x) * (s.y - a.y) - (b.y - a.y) * (s.x - a.x);
            keep(side(p), side(q));
        }
        let before = |s: &Seen| self.plane.0 * s.x + self.plane.1 * s.y + self.plane.2 - s.depth - BEFORE;
        keep(before(p), before(q));
        (leave > enter).then_some((enter, leave))
    }
}

/// Cells that a bounding rectangle touches.
fn keys(x: &[f64], y: &[f64], cell: f64) -> impl Iterator<Item = (i64, i64)> + use<> {
    let range = |v: &[f64]| {
        let (a, b) = v.iter().fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), c| (a.min(*c), b.max(*c)));
        ((a / cell).floor() as i64, (b / cell).floor() as i64)
    };
    let ((x0, x1), (y0, y1)) = (range(x), range(y));
    (x0..=x1).flat_map(move |i| (y0..=y1).map(move |j| (i, j)))
}

/// Edges of a mesh that show its form to an eye, each between two corners.
fn edges(mesh: &Mesh, eye: &Eye) -> Vec<(Point3, Point3)> {
    let mut sides: BTreeMap<(u32, u32), Vec<Vector3>> = BTreeMap::new();
    for t in &mesh.triangles {
        let Some(c) = mesh.corners(*t) else { continue };
        let normal = crate::solid::unit_normal(c);
        if normal.norm() < 0.5 {
            continue;
        }
        for (a, b) in [(t[0], t[1]), (t[1], t[2]), (t[2], t[0])] {
            sides.entry((a.min(b), a.max(b))).or_default().push(normal);
        }
    }
    sides
        .into_iter()
        .filter(|(_, n)| {
            // An edge of two faces turned away lies behind its own solid.
            let faces = n.iter().any(|n| n.dot(&eye.towards) > 1e-9);
            let sharp = n.len() != 2 || n.windows(2).any(|w| w[0].dot(&w[1]) < SMOOTH);
            faces && sharp
        })
        .filter_map(|((a, b), _)| Some((*mesh.positions.get(a as usize)?, *mesh.positions.get(b as usize)?)))
        .collect()
}

/// Edges of parts with what of them is seen: part, and stretches in the parts' coordinates.
pub fn visible<'p>(parts: &'p Parts, eye: &Eye) -> Vec<(&'p super::Solid, Vec<[Point3; 2]>)> {
    let shown = |s: &&super::Solid| s.owner == Owner::Slope && drawn(s.kind).seen.is_some();
    let faces = Faces::of(parts.list.iter().filter(shown).map(|s| &s.mesh), eye);
    parts
        .list
        .iter()
        .filter(shown)
        .map(|s| {
            let mut lines = Vec::new();
            for (a, b) in edges(&s.mesh, eye) {
                for (u, v) in faces.seen(&eye.see(&a), &eye.see(&b)) {
                    lines.push([a + (b - a) * u, a + (b - a) * v]);
                }
            }
            (s, lines)
        })
        .collect()
}

/// The sheet with the picture of a slope.
pub fn sheet(set: &Set<'_>, slope: &SettingOut, parts: &Parts) -> Sheet {
    let area = frame::area(set);
    let eye = Eye::isometric(slope.pitch);
    let lines = visible(parts, &eye);
    let (mut low, mut high) = ((f64::INFINITY, f64::INFINITY), (f64::NEG_INFINITY, f64::NEG_INFINITY));
    for p in lines.iter().flat_map(|(_, l)| l).flatten() {
        let s = eye.see(p);
        low = (low.0.min(s.x), low.1.min(s.y));
        high = (high.0.max(s.x), high.1.max(s.y));
    }
    if low.0 > high.0 {
        (low, high) = ((0.0, 0.0), (1.0, 1.0));
    }
    // Room above and beside for flags.
    let room = area.inset(11.0);
    let f = (room.width() / (high.0 - low.0).max(1e-6)).min(room.height() / (high.1 - low.1).max(1e-6));
    let middle = Point::new((room.x0 + room.x1) / 2.0, (room.y0 + room.y1) / 2.0);
    let row = |v: &Vector3, sign: f64, at: f64, mid: f64| {
        [sign * f * v.x, sign * f * v.y, sign * f * v.z, at - sign * f * mid]
    };
    let rows =
        [row(&eye.right, 1.0, middle.x, (low.0 + high.0) / 2.0), row(&eye.up, -1.0, middle.y, (low.1 + high.1) / 2.0)];
    let mut canvas = Canvas::new();
    for (solid, segments) in &lines {
        let Some((pen, class)) = drawn(solid.kind).seen else { continue };
        let on = |p: &Point3| on_paper(&rows, [p.x, p.y, p.z]);
        let segments: Vec<Vec<Point>> = segments.iter().map(|[a, b]| vec![on(a), on(b)]).collect();
        canvas.lines(segments, pen, class, Some(&solid.name));
    }
    let within = area.inset(0.5);
    let title = Type::bold(2.6);
    let x = area.x0 + 1.0;
    canvas.text(
        Point::new(x, area.y0 + 3.4),
        &format!("Slope {} seen from below on the left; hidden parts hidden; not to be measured", slope.slope),
        title,
        Anchor::Start,
    );
    let flags = flagged(&set.header().findings, &slope.slope);
    let mut unplaced = Vec::new();
    for (place, numbers, fails) in &flags {
        if !canvas.flag(on_paper(&rows, *place), &flag_text(numbers), *fails, &within) {
            unplaced.extend(numbers.iter().copied());
        }
    }
    let mut words = match flags.len() {
        0 => "No flags on this slope.".to_owned(),
        _ => "Flags carry the numbers of the list of findings; filled: fails, open: warns.".to_owned(),
    };
    if !unplaced.is_empty() {
        words.push_str(&format!(" No room here for {}.", ranges(unplaced, usize::MAX)));
    }
    canvas.paragraph(Point::new(x, area.y0 + 4.4), &words, Type::regular(2.2), area.width() * 0.6);
    // For a reader of the file the view is told in world coordinates.
    let back = parts.pose.inverse();
    let world = |r: &[f64; 4]| {
        let turned = parts.pose.rotation * Vector3::new(r[0], r[1], r[2]);
        let shift = Vector3::new(r[0], r[1], r[2]).dot(&back.translation.vector) + r[3];
        [turned.x, turned.y, turned.z, shift]
    };
    Sheet {
        name: format!("{}-isometric", slope.slope),
        title: format!("Slope {}: isometric picture", slope.slope),
        subject: Subject::Isometric,
        slope: Some(slope.slope.clone()),
        size: set.paper.size(),
        views: vec![View {
            name: format!("picture of slope {}", slope.slope),
            scale: None,
            rows: [world(&rows[0]), world(&rows[1])],
        }],
        items: canvas.items,
    }
}
