//! What a face of a member's body is to the member.

use crate::solid::{Body, Plane};

/// A side or an end of a member: the body's own axes are x to the side, y along, z out of the upper face.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Face {
    /// A side.
    Side,
    /// An end at a right angle to the line: a square cut, or where the next stretch of a bent member begins.
    Square,
    /// An end cut in any other way.
    Cut,
}

impl Face {
    /// `None` for the upper face and the underside.
    pub fn of(body: &Body, plane: &Plane) -> Option<Face> {
        let n = body.turned_back(&plane.normal);
        let level = 1.0 - 1e-9;
        if n.z.abs() > level {
            None
        } else if n.y.abs() > level {
            Some(Face::Square)
        } else if n.z.abs() < 1e-9 && n.x.abs() > 0.7 {
            Some(Face::Side)
        } else {
            Some(Face::Cut)
        }
    }
}
