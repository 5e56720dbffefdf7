//! Poses and turns, the same to the last digit on every system.

use super::{Point3, Pose, Vector3};
use crate::quantity::maths::sin_cos;

/// A turn in space.
pub type Turn = nalgebra::UnitQuaternion<f64>;

/// A turn about an axis by an angle, radians.
pub fn turn(axis: nalgebra::UnitVector3<f64>, angle: f64) -> Turn {
    let (sin, cos) = sin_cos(angle / 2.0);
    Turn::new_unchecked(nalgebra::Quaternion::from_parts(cos, axis.into_inner() * sin))
}

/// The pose that lays the origin at a point and the axes along three directions, square to each other.
pub fn pose_of(at: &Point3, axes: [Vector3; 3]) -> Pose {
    let rotation = nalgebra::Rotation3::from_matrix_unchecked(nalgebra::Matrix3::from_columns(&axes));
    Pose::from_parts(at.coords.into(), Turn::from_rotation_matrix(&rotation))
}
