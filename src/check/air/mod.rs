//! Checks of the air's way: one file each.

mod gaps;
pub mod no_air_path;
pub mod rules;
pub mod still_air;
