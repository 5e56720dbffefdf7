//! Wind on roofing, its battens and their fasteners.
//!
//! Aim: pressures by zone from a site and a named edition. Reason: no edition is a default, because a newer one can double the
//! suction. Limits: low-rise buildings (mean roof height up to 60 ft for ASCE 7), outer pressures of closed roofs; no relief
//! for pressure equalisation: roofing, battens and fasteners take the full net pressure.

pub mod area;
pub mod asce;
pub mod en;
