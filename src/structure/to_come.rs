//! What other trades will still add.

use crate::solid::{Body, Plane, Point3, Pose, Vector3};

use super::Outline;

/// How high insulation on a wall is modelled above the membrane, metres: more than any lattice.
const HEIGHT: f64 = 0.15;

/// The insulation that will still come on the wall above an edge, in slope coordinates; `None` where there is none.
pub fn insulation(outline: &Outline, edge: usize) -> Option<Body> {
    let thickness = outline.edges.get(edge)?.insulation_to_come.metres();
    if thickness <= 0.0 {
        return None;
    }
    let (a, b) = outline.ends(edge)?;
    let length = (b.0 - a.0).hypot(b.1 - a.1);
    // A long box along the edge, cut by the wall and by the insulation's face, both plumb.
    let along = Vector3::new((b.0 - a.0) / length, (b.1 - a.1) / length, 0.0);
    let turn = nalgebra::UnitQuaternion::from_axis_angle(&Vector3::z_axis(), along.y.atan2(along.x));
    let deep = 4.0 * thickness + 4.0 * HEIGHT;
    let centre = Point3::new((a.0 + b.0) / 2.0, (a.1 + b.1) / 2.0, HEIGHT / 2.0);
    let pose = Pose::from_parts(centre.coords.into(), turn);
    let block = Body::cuboid(pose, Vector3::new(length / 2.0, deep, HEIGHT / 2.0));
    let wall = outline.plumb_plane(edge, 0.0)?;
    let face = outline.plumb_plane(edge, thickness)?;
    block.clipped(&[wall, Plane { normal: -face.normal, offset: -face.offset }])
}
