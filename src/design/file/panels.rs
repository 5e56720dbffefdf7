//! The roofing panels and their clips, as written.

use schemars::JsonSchema;
use serde::Deserialize;

use super::super::written::Written;
use super::{Located, MakerFile};
use crate::quantity::Length;

/// Roofing panels that run up the slope, and the clips that hold them at their seams. Leave the table out where the roofing
/// is not known yet.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct PanelsFile {
    /// Slopes; all where left out.
    pub slopes: Option<Vec<Written<String>>>,
    /// Width from seam to seam.
    #[schemars(required)]
    pub width: Option<Written<Length>>,
    /// x of the first seam.
    pub first_seam: Option<Written<Length>>,
    /// Distance between clips along a seam; a clip on every course where left out.
    pub clip_pitch: Option<Written<Length>>,
    /// y of the first clip, with `clip_pitch`.
    pub first_clip: Option<Written<Length>>,
    /// Width of a clip's base across the slope, half of it to each side of the seam.
    pub clip_width: Option<Written<Length>>,
    /// Length of a clip's base up the slope.
    pub clip_length: Option<Written<Length>>,
    /// Thickness of a clip's base.
    pub clip_thickness: Option<Written<Length>>,
    /// Screws in a clip, one above the other.
    pub screws: Option<Written<i64>>,
    /// Distance between the first and the last screw of a clip.
    pub screw_spread: Option<Written<Length>>,
    /// Shank diameter of a clip's screw.
    #[schemars(required)]
    pub screw_diameter: Option<Written<Length>>,
    /// Length of a clip's screw under its head.
    #[schemars(required)]
    pub screw_length: Option<Written<Length>>,
    /// Length of a screw's thread from its point; without it what the screws hold is not checked.
    pub screw_thread: Option<Written<Length>>,
    /// Diameter of a clip's screw under its thread, where no table has it.
    pub screw_root: Option<Written<Length>>,
    /// What the maker of the clips' screws states of them.
    pub maker: Option<Located<MakerFile>>,
    /// Largest distance between a panel's edge or end and the nearest batten.
    pub edge_reach: Option<Written<Length>>,
}
