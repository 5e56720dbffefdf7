//! How far apart two fasteners of one landing have to stand.
//!
//! Aim: one face for the rule sets. Reason: both ask for a distance along the load or one beside it. Limits: load down the
//! slope; grain up the slope or across it.

use super::source::Known;

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
