//! The roofing panels and their clips, resolved.

use super::{Given, MakerSpec, SlopeId};
use crate::quantity::Length;

/// Where clips stand along a seam.
#[derive(Clone, Debug, PartialEq)]
pub enum ClipPlaces {
    /// On every course.
    EveryCourse,
    /// At a pitch, from the first one up.
    Pitch {
        /// y of the first.
        first: Given<Length>,
        /// Distance from one to the next.
        pitch: Given<Length>,
    },
}

/// Roofing panels that run up the slope.
#[derive(Clone, Debug)]
pub struct Panels {
    /// Slopes.
    pub slopes: Vec<SlopeId>,
    /// Width from seam to seam.
    pub width: Given<Length>,
    /// x of the first seam.
    pub first_seam: Given<Length>,
    /// Where clips stand.
    pub places: ClipPlaces,
    /// Width of a clip's base across the slope.
    pub clip_width: Given<Length>,
    /// Its length up the slope.
    pub clip_length: Given<Length>,
    /// Its thickness.
    pub clip_thickness: Given<Length>,
    /// Screws in a clip.
    pub screws: Given<usize>,
    /// First to last.
    pub screw_spread: Given<Length>,
    /// Shank diameter of a screw.
    pub screw_diameter: Given<Length>,
    /// Length of a screw under its head.
    pub screw_length: Given<Length>,
    /// Length of a screw's thread from its point, if it is said.
    pub screw_thread: Option<Given<Length>>,
    /// Diameter of a screw under its thread, if it is said.
    pub screw_root: Option<Given<Length>>,
    /// What the maker of the screws states of them.
    pub maker: Option<MakerSpec>,
    /// Largest distance between a panel's edge or end and the nearest batten.
    pub edge_reach: Given<Length>,
}
