//! How far apart two fasteners of one landing have to stand.
//!
//! Aim: one face for the rule sets. Reason: both ask for a distance along the load or one beside it. Limits: load down the
//! slope; grain up the slope or across it.

use super::source::Known;
use super::{ec5, nds};

/// Least distances between two fasteners, m: they are far enough apart where one of both is kept.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Apart {
    /// Up the slope, the way of the load.
    pub up: Known,
    /// Across the slope.
    pub across: Known,
}

/// Distances of exactly what is asked must not fail on rounding, m.
const GRACE: f64 = 1e-6;

impl Apart {
    /// The larger share of what is asked that is there; below 1 they stand too close.
    #[must_use]
    pub fn share(&self, up: f64, across: f64) -> f64 {
        ((up + GRACE) / self.up.value).max((across + GRACE) / self.across.value)
    }
}

/// What has a say in how far apart fasteners stand.
#[derive(Debug, Clone, Copy)]
pub struct Asked {
    /// By Eurocode 5, else by the NDS.
    pub eurocode: bool,
    /// Of the shank, m.
    pub diameter: f64,
    /// Of the batten, m.
    pub thickness: f64,
    /// Holes are drilled first.
    pub predrilled: bool,
    /// Screws, not nails.
    pub screws: bool,
}

impl Asked {
    /// Least distances in wood whose grain runs up the slope, or across it.
    #[must_use]
    pub fn apart(&self, grain_up: bool) -> Apart {
        if self.eurocode {
            ec5::spacing::apart(self.diameter, grain_up, self.predrilled, self.screws)
        } else {
            nds::spacing::apart(self.diameter, grain_up, self.predrilled, self.thickness)
        }
    }

    /// Whether the distances are a rule, not the advice of a commentary.
    #[must_use]
    pub fn is_rule(&self) -> bool {
        self.eurocode || nds::spacing::is_thick(self.diameter)
    }
}
