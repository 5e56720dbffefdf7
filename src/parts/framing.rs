//! Members and straps.

use std::borrow::Cow;

use super::{PartId, Parts, Solid};
use crate::design::SlopeId;
use crate::lattice::strap_mesh;
use crate::quantity::Length;
use crate::quantity::list::number;
use crate::solid::{Body, Shape};
use crate::structure::{MemberId, Strap};

impl<'a> Parts<'a> {
    /// Members at home on a slope, or in the building, of which something is there.
    pub(super) fn members(&self, home: Option<SlopeId>) -> Box<dyn Iterator<Item = PartId> + 'a> {
        let all = self.structure.members.iter().enumerate();
        let here = all.filter(move |(_, m)| m.home == home && !m.missing && !m.bodies.is_empty());
        Box::new(here.map(|(i, _)| PartId::Member(MemberId(number(i)))))
    }

    pub(super) fn straps(&self, slope: SlopeId) -> Box<dyn Iterator<Item = PartId> + 'a> {
        let here = self.structure.straps.iter().enumerate().filter(move |(_, s)| s.slope == slope);
        Box::new(here.map(|(k, _)| PartId::Strap(number(k))))
    }

    pub(super) fn strap(&self, k: u32) -> Option<&'a Strap> {
        self.structure.straps.get(k as usize)
    }

    pub(super) fn member_bodies(&self, id: MemberId) -> Vec<Cow<'a, Body>> {
        self.structure.member(id).into_iter().flat_map(|m| m.bodies.iter().map(|(_, b)| Cow::Borrowed(b))).collect()
    }

    pub(super) fn member_solid(&self, id: MemberId) -> Option<Solid<'a>> {
        let m = self.structure.member(id)?;
        match m.bodies.as_slice() {
            [] => None,
            [(_, body @ Body { shape: Shape::Box(_), .. })] => Some(Solid::Body(Cow::Borrowed(body))),
            [..] => {
                let (mesh, pose) = m.mesh();
                Some(Solid::Mesh(mesh, pose))
            }
        }
    }

    pub(super) fn strap_solid(&self, k: u32) -> Option<Solid<'a>> {
        let (mesh, pose) = strap_mesh(self.strap(k)?);
        Some(Solid::Mesh(mesh, pose))
    }

    pub(super) fn member_size(&self, id: MemberId) -> String {
        let units = self.design.units;
        self.structure.member(id).map_or(String::new(), |m| {
            format!("{}, {} over all", m.section.show(units), Length::from_metres(m.overall()).show(units))
        })
    }

    pub(super) fn strap_size(&self, k: u32) -> String {
        self.strap(k).map_or(String::new(), |s| {
            format!(
                "{} x {} x {}, {} nails",
                self.show(s.sides.1 - s.sides.0),
                self.show(s.thickness()),
                self.show(s.stretch.1 - s.stretch.0),
                s.nails.len()
            )
        })
    }
}
