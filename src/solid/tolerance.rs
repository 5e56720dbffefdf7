//! The two distances by which everything is told apart.
//!
//! Everything in a lattice touches something. Touching is neither a clash nor a backing, so a verdict never rests on a
//! boolean intersection but on a signed distance or a depth against these two numbers.

/// Two places nearer than this are the same place: one micrometre.
///
/// Far above the error of `f64` at the size of a building (about 1e-14 m at 100 m), far below anything that a saw or a
/// tape can show.
pub const SAME: f64 = 1e-6;

/// Two solids that overlap by more than this clash: ten micrometres.
///
/// Ten times [`SAME`], so that a pair which touches after two roundings is never taken for a clash.
pub const DISTINCT: f64 = 1e-5;
