//! Fasteners of landings, what was left in, and clips.

use super::{PartId, Parts, Solid};
use crate::design::{Given, SlopeId};
use crate::lattice::{Clip, Landing, clip_mesh, fastener_mesh, hole_mesh};
use crate::quantity::Length;
use crate::record::{LeftIn, State};
use crate::solid::{Mesh, Pose};

/// How closely round parts are modelled.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Fineness {
    /// Hexagons, with heads.
    Round,
    /// Three-sided prisms without heads, for formats that repeat every triangle of a very large roof.
    Coarse,
}

impl Fineness {
    fn sides(self) -> usize {
        match self {
            Fineness::Round => 6,
            Fineness::Coarse => 3,
        }
    }
}

/// Which fasteners of a landing.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Which {
    /// Those that are in; without a drive log all.
    In,
    /// Those that are still to be driven.
    ToDrive,
}

impl<'a> Parts<'a> {
    /// What stays in the membrane of a slope beside the plan.
    pub(super) fn left_in(&self, s: SlopeId) -> &'a [LeftIn] {
        self.driven.and_then(|d| d.left_in.get(s.0)).map_or(&[], Vec::as_slice)
    }

    /// One of these.
    pub fn left(&self, s: SlopeId, i: u32) -> Option<&'a LeftIn> {
        self.left_in(s).get(i as usize)
    }

    /// The landing of a part that is made of its fasteners, and which of them.
    fn group(&self, id: PartId) -> Option<(SlopeId, &'a Landing, Which)> {
        if let PartId::Fasteners(s, i) = id {
            Some((s, self.landing(s, i)?, Which::In))
        } else if let PartId::ToDrive(s, i) = id {
            Some((s, self.landing(s, i)?, Which::ToDrive))
        } else {
            None
        }
    }

    /// Whether the fastener with this number on its slope is one of these.
    fn is_one(&self, s: SlopeId, number: usize, which: Which) -> bool {
        let Some(driven) = self.driven else { return which == Which::In };
        let state = driven.states.get(s.0).and_then(|all| all.get(number)).copied().unwrap_or_default();
        match state {
            State::Held { .. } => which == Which::In,
            State::Planned | State::Predrilled | State::Lacking => which == Which::ToDrive,
        }
    }

    /// Whether any fastener of its landing is one of these.
    pub(super) fn has_any(&self, id: PartId) -> bool {
        self.count(id) > 0
    }

    /// How many fasteners a part of a landing is made of.
    pub(super) fn count(&self, id: PartId) -> usize {
        self.group(id).map_or(0, |(s, landing, which)| {
            let first = landing.first as usize;
            (first..first + usize::from(landing.count)).filter(|k| self.is_one(s, *k, which)).count()
        })
    }

    /// Where the fasteners of a part of a landing stand beside the landing's middle: x and y in nanometres. Parts with the same
    /// offsets have the same form.
    pub fn offsets(&self, id: PartId) -> Vec<(i64, i64)> {
        let nano = |v: f64| (v * 1e9).round() as i64;
        let Some((s, landing, which)) = self.group(id) else { return Vec::new() };
        let all = self.slope(s).map_or(&[][..], |on| on.fasteners_of(landing)).iter().enumerate();
        let these = all.filter(|(k, _)| self.is_one(s, landing.first as usize + k, which));
        these.map(|(_, f)| (nano(f.x - landing.x), nano(f.y - landing.y))).collect()
    }

    /// Fasteners at offsets in nanometres as one mesh.
    pub fn group_mesh(&self, offsets: &[(i64, i64)], fineness: Fineness) -> Mesh {
        let at: Vec<(f64, f64)> = offsets.iter().map(|(x, y)| (*x as f64 * 1e-9, *y as f64 * 1e-9)).collect();
        fastener_mesh(&self.design.fastening, &at, fineness.sides())
    }

    /// A landing's middle on the upper face of its batten.
    fn on_batten(&self, s: SlopeId, landing: &Landing, at: (f64, f64)) -> Pose {
        let lift = self.piece(s, landing.piece).map_or(0.0, |p| p.lift);
        Pose::translation(at.0, at.1, self.lattice.levels.batten + lift)
    }

    /// Where the form of a landing's fasteners stands.
    pub fn group_pose(&self, id: PartId) -> Option<Pose> {
        let (s, landing, _) = self.group(id)?;
        Some(self.on_batten(s, landing, (landing.x, landing.y)))
    }

    pub(super) fn group_solid(&self, id: PartId, fineness: Fineness) -> Option<Solid<'a>> {
        let offsets = Some(self.offsets(id)).filter(|o| !o.is_empty())?;
        Some(Solid::Mesh(self.group_mesh(&offsets, fineness), self.group_pose(id)?))
    }

    /// Something left in, where it has a place to be shown at: a fastener, or a plug where there is none.
    pub(super) fn left_in_solid(&self, s: SlopeId, i: u32, fineness: Fineness) -> Option<Solid<'a>> {
        let left = self.left(s, i)?;
        let at = left.shown_at?;
        if left.kind.is_fastener() {
            let landing = left.meant_for.and_then(|(l, _)| self.landing(s, l));
            let flat = Pose::translation(at.0, at.1, self.lattice.levels.batten);
            let pose = landing.map_or(flat, |l| self.on_batten(s, l, at));
            return Some(Solid::Mesh(self.group_mesh(&[(0, 0)], fineness), pose));
        }
        let radius = self.design.fastening.diameter.metres() / 2.0;
        let (depth, height) = (self.design.lattice.membrane.metres(), self.lattice.levels.tape);
        Some(Solid::Mesh(hole_mesh(radius, depth, height, fineness.sides()), Pose::translation(at.0, at.1, 0.0)))
    }

    /// The form of every clip, about its middle on its batten's upper face; `None` where the design has no panels.
    pub fn clip_form(&self) -> Option<Mesh> {
        self.design.panels.as_ref().map(clip_mesh)
    }

    pub(super) fn clip(&self, s: SlopeId, i: u32) -> Option<&'a Clip> {
        self.slope(s)?.clips.get(i as usize)
    }

    /// Where a clip stands.
    pub fn clip_pose(&self, s: SlopeId, i: u32) -> Option<Pose> {
        let clip = self.clip(s, i)?;
        let lift = clip.piece.and_then(|p| self.piece(s, p)).map_or(0.0, |p| p.lift);
        Some(Pose::translation(clip.x, clip.y, self.lattice.levels.batten + lift))
    }

    pub(super) fn clip_solid(&self, s: SlopeId, i: u32) -> Option<Solid<'a>> {
        Some(Solid::Mesh(self.clip_form()?, self.clip_pose(s, i)?))
    }

    /// Size of a fastener in words.
    pub fn fastener_size(&self) -> String {
        let (f, units) = (&self.design.fastening, self.design.units);
        format!("{} x {}", f.diameter.value.show_fine(units), f.length.value.show_fine(units))
    }

    pub(super) fn clip_size(&self) -> String {
        let Some(panels) = &self.design.panels else { return String::new() };
        let show = |l: &Given<Length>| l.value.show_fine(self.design.units);
        format!(
            "{} x {}, {} screws {} x {}",
            show(&panels.clip_width),
            show(&panels.clip_length),
            panels.screws.value,
            show(&panels.screw_diameter),
            show(&panels.screw_length)
        )
    }
}
