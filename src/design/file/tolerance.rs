//! How well things are known, and where fasteners are aimed: `[tolerance]` and `[aim]`.

use schemars::JsonSchema;
use serde::Deserialize;

use super::super::model::{AimPlace, ToleranceMeaning};
use super::super::written::Written;
use crate::quantity::{Angle, Length};

/// How well things are known. Every size is a deviation to either side with the meaning that `meaning` gives it.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct ToleranceFile {
    /// What the sizes below mean: "1 sigma", "2 sigma" (19 times in 20 it is less) or "3 sigma".
    pub meaning: Option<Written<ToleranceMeaning>>,
    /// Where a member lies across its line: common to the whole member.
    pub rafter: Option<Written<Length>>,
    /// How far the middle of a member stands off the straight line between its ends.
    pub bow: Option<Written<Length>>,
    /// Where the sighted line lies: common to every landing on it.
    pub line: Option<Written<Length>>,
    /// How far from its mark a fastener is set.
    pub drive: Option<Written<Length>>,
    /// How far a fastener leans, in any direction. Sure windows hold up to this angle; where it is written, strength takes every
    /// fastener of the battens as leaning so.
    pub tilt: Option<Written<Angle>>,
    /// The chance of a miss, in one landing, from which on the landing is flagged: a text such as "1 %".
    pub miss: Option<Written<String>>,
}

/// Where fasteners are aimed.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct AimFile {
    /// "rule": where the pattern puts them; "window": moved into their sure windows where they are not yet driven.
    pub place: Option<Written<AimPlace>>,
    /// Least distance between two fasteners of a landing.
    pub spacing: Option<Written<Length>>,
}
