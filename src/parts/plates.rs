//! Deck, membrane, and the insulation still to come.

use super::{PartId, Parts, Solid};
use crate::design::SlopeId;
use crate::quantity::Length;
use crate::quantity::list::number;
use crate::solid::{Body, Plate, Pose, Unbuilt};
use crate::structure::to_come;

/// A plate as a solid.
pub(super) fn solid<'a>(plate: &Plate) -> Option<Solid<'a>> {
    Some(Solid::Mesh(plate.mesh(), Pose::identity()))
}

impl<'a> Parts<'a> {
    pub(super) fn plate_size(&self, plate: Option<Plate>) -> String {
        plate.map_or(String::new(), |p| format!("{} thick", self.show(p.z_top - p.z_bottom)))
    }

    pub(super) fn insulations(&self, slope: SlopeId) -> Box<dyn Iterator<Item = PartId> + 'a> {
        let edges = self.frame(slope).into_iter().flat_map(|f| f.outline.edges.iter().enumerate());
        let insulated = edges.filter(|(_, e)| e.insulation_to_come.value > Length::ZERO);
        Box::new(insulated.map(move |(e, _)| PartId::Insulation(slope, number(e))))
    }

    pub(super) fn insulation_body(&self, slope: SlopeId, edge: u32) -> Result<Option<Body>, Unbuilt> {
        self.frame(slope).map_or(Ok(None), |f| to_come::insulation(&f.outline, edge as usize))
    }
}
