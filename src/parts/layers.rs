//! Tape, strips, vent pieces, battens: the layers of the lattice.

use super::{Parts, Solid};
use crate::design::SlopeId;
use crate::lattice::{Piece, StripPiece, Tape, VentPiece, batten_solid};
use crate::quantity::Length;
use crate::solid::{Body, Plane, Pose, Sweep, Unbuilt};

impl<'a> Parts<'a> {
    pub(super) fn tape(&self, s: SlopeId, i: u32) -> Option<&'a Tape> {
        self.slope(s)?.tapes.get(i as usize)
    }

    pub(super) fn strip(&self, s: SlopeId, i: u32) -> Option<&'a StripPiece> {
        self.slope(s)?.strips.get(i as usize)
    }

    pub(super) fn vent(&self, s: SlopeId, i: u32) -> Option<&'a VentPiece> {
        self.slope(s)?.vents.get(i as usize)
    }

    pub(super) fn piece(&self, s: SlopeId, i: u32) -> Option<&'a Piece> {
        self.slope(s)?.pieces.get(i as usize)
    }

    fn swept_tape(&self, s: SlopeId, i: u32) -> Option<(Sweep, Pose, Vec<Plane>)> {
        let tape = self.tape(s, i)?;
        let (sweep, pose) = tape.sweep(&self.lattice.levels);
        Some((sweep, pose, tape.cuts.clone()))
    }

    fn swept_strip(&self, s: SlopeId, i: u32) -> Option<(Sweep, Pose, Vec<Plane>)> {
        let strip = self.strip(s, i)?;
        let (sweep, pose) = strip.sweep();
        Some((sweep, pose, strip.cuts.clone()))
    }

    pub(super) fn tape_bodies(&self, s: SlopeId, i: u32) -> Result<Vec<Body>, Unbuilt> {
        let swept = self.swept_tape(s, i);
        swept.map_or_else(|| Ok(Vec::new()), |(sweep, pose, planes)| bodies(&sweep, &pose, &planes))
    }

    pub(super) fn strip_bodies(&self, s: SlopeId, i: u32) -> Result<Vec<Body>, Unbuilt> {
        let swept = self.swept_strip(s, i);
        swept.map_or_else(|| Ok(Vec::new()), |(sweep, pose, planes)| bodies(&sweep, &pose, &planes))
    }

    pub(super) fn tape_solid(&self, s: SlopeId, i: u32) -> Option<Solid<'a>> {
        let (sweep, pose, planes) = self.swept_tape(s, i)?;
        Some(solid(&sweep, pose, &planes))
    }

    pub(super) fn strip_solid(&self, s: SlopeId, i: u32) -> Option<Solid<'a>> {
        let (sweep, pose, planes) = self.swept_strip(s, i)?;
        Some(solid(&sweep, pose, &planes))
    }

    pub(super) fn vent_body(&self, s: SlopeId, i: u32) -> Option<Body> {
        Some(self.vent(s, i)?.body(&self.lattice.levels))
    }

    pub(super) fn batten_body(&self, s: SlopeId, i: u32) -> Result<Option<Body>, Unbuilt> {
        let Some((frame, piece)) = self.frame(s).zip(self.piece(s, i)) else { return Ok(None) };
        batten_solid(self.design, &frame.outline, &self.lattice.levels, piece).map(Some)
    }

    pub(super) fn tape_size(&self, s: SlopeId, i: u32) -> String {
        self.tape(s, i).map_or(String::new(), |t| {
            format!("{} wide, {} long", self.show(t.width), along(&t.path).show(self.design.units))
        })
    }

    pub(super) fn strip_size(&self, s: SlopeId, i: u32) -> String {
        self.strip(s, i).map_or(String::new(), |p| {
            let length = along(&p.path).show(self.design.units);
            format!("{} x {} x {length}", self.show(p.width), self.show(p.top - p.bottom))
        })
    }

    pub(super) fn vent_size(&self, s: SlopeId, i: u32) -> String {
        self.vent(s, i).map_or(String::new(), |v| {
            let length = Length::from_metres(v.x.1 - v.x.0).show(self.design.units);
            format!("{} x {} x {length}", self.show(v.y.1 - v.y.0), self.show(v.height))
        })
    }

    pub(super) fn batten_size(&self, s: SlopeId, i: u32) -> String {
        let Some((piece, frame)) = self.piece(s, i).zip(self.frame(s)) else { return String::new() };
        let batten = &self.design.lattice.batten;
        let length = Length::from_metres(piece.saw_lengths(self.design, &frame.outline).middle);
        let (thick, wide) = (self.show(batten.thickness.metres()), self.show(batten.width.metres()));
        format!("{thick} x {wide} x {}", length.show(self.design.units))
    }
}

fn bodies(sweep: &Sweep, pose: &Pose, planes: &[Plane]) -> Result<Vec<Body>, Unbuilt> {
    Ok(sweep.bodies(pose, planes)?.into_iter().map(|(_, b)| b).collect())
}

/// A sweep as a solid: of one body that body, of several one mesh.
fn solid<'a>(sweep: &Sweep, pose: Pose, planes: &[Plane]) -> Solid<'a> {
    // The shell stands for what could not be built of bodies, which the clash check tells.
    let mut all = bodies(sweep, &pose, planes).unwrap_or_default();
    match (all.pop(), all.is_empty()) {
        (Some(one), true) => Solid::owned(one),
        (Some(_), false) | (None, _) => {
            let local: Vec<Plane> = planes.iter().map(|p| p.seen_from(&pose)).collect();
            Solid::Mesh(sweep.mesh(&local), pose)
        }
    }
}

/// Length up the slope.
fn along(path: &[(f64, f64)]) -> Length {
    Length::from_metres(path.first().zip(path.last()).map_or(0.0, |(a, b)| b.0 - a.0))
}
