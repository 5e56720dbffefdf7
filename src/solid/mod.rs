//! Solids and the questions asked of them.
//!
//! Aim: every part of a roof is a closed, outward-facing solid, and every verdict is the answer of a spatial query on
//! such a solid.
//! Reason: a rule of thumb about spacing cannot see a crooked rafter, a flange or an opening; a solid can.
//! Limits: the bodies that answer queries are convex polyhedra; anything else is a set of them. Lengths are metres,
//! `f64` throughout. Nothing here knows what a rafter is.

mod body;
mod depth;
mod hull;
mod index;
mod intervals;
mod mesh;
mod outside;
mod plate;
mod polyhedron;
mod pose;
mod sweep;
pub mod tolerance;

pub use body::{Body, Chord, Shape};
pub use depth::between_segments;
pub use hull::{clipped_ring, convex_hull};
pub use index::{BodyIndex, Entry};
pub use intervals::Intervals;
pub use mesh::{Mesh, unit_normal};
pub use outside::room_about;
pub use plate::Plate;
pub use polyhedron::{Plane, Polyhedron, Unbuilt};
pub use pose::{pose_of, turn};
pub use sweep::{Profile, Sweep};

/// A point in three dimensions, metres.
pub type Point3 = nalgebra::Point3<f64>;
/// A vector in three dimensions, metres (or a unit direction).
pub type Vector3 = nalgebra::Vector3<f64>;
/// A rigid transform.
pub type Pose = nalgebra::Isometry3<f64>;
/// A point in a plane, metres.
pub type Point2 = nalgebra::Point2<f64>;
