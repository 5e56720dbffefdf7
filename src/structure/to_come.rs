//! What other trades will still add.

use crate::quantity::maths::{apart, atan2};
use crate::solid::{Body, Plane, Point3, Pose, Unbuilt, Vector3, turn};

use super::Outline;

/// How high insulation on a wall is modelled above the membrane, metres: more than any lattice.
const HEIGHT: f64 = 0.15;

/// The name of the insulation on the wall above an edge of a slope.
pub fn insulation_name(slope: &str, edge: usize) -> String {
    format!("{slope}-IN{}", edge + 1)
}

/// The insulation that will still come on the wall above an edge, in slope coordinates; `None` where there is none.
///
/// # Errors
/// [`Unbuilt`] when there is some whose solid could not be built.
pub fn insulation(outline: &Outline, edge: usize) -> Result<Option<Body>, Unbuilt> {
    let thickness = outline.edges.get(edge).map_or(0.0, |e| e.insulation_to_come.metres());
    if thickness <= 0.0 {
        return Ok(None);
    }
    let (a, b) = outline.ends(edge).ok_or(Unbuilt)?;
    let length = apart(b, a);
    // A long box along the edge, cut by the wall and by the insulation's face, both plumb.
    let along = Vector3::new((b.0 - a.0) / length, (b.1 - a.1) / length, 0.0);
    let turn = turn(Vector3::z_axis(), atan2(along.y, along.x));
    let deep = 4.0 * thickness + 4.0 * HEIGHT;
    let centre = Point3::new((a.0 + b.0) / 2.0, (a.1 + b.1) / 2.0, HEIGHT / 2.0);
    let pose = Pose::from_parts(centre.coords.into(), turn);
    let block = Body::cuboid(pose, Vector3::new(length / 2.0, deep, HEIGHT / 2.0));
    let wall = outline.plumb_plane(edge, 0.0).ok_or(Unbuilt)?;
    let face = outline.plumb_plane(edge, thickness).ok_or(Unbuilt)?;
    block.clipped(&[wall, Plane { normal: -face.normal, offset: -face.offset }])
}
