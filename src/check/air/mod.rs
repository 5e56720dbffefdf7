//! Checks of the air's way: one file each.

pub mod no_air_path;
pub mod rules;
pub mod still_air;
