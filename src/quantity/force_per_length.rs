//! Forces for each length: held in newtons a metre.
//!
//! Aim: read `180 lbf/in` or `31.5 N/mm`. Reason: a maker gives what a thread holds for each inch of it. Limits: up to a
//! thousand kilonewtons a metre; the sign is kept.

use std::str::FromStr;

use super::error::QuantityError;
use super::measured::Kind;
use super::pressure::NEWTONS_PER_POUND;

const KIND: Kind = Kind {
    name: "a force for each length",
    units: &[
        ("lbf/in", NEWTONS_PER_POUND / 0.0254),
        ("lbf/ft", NEWTONS_PER_POUND / 0.3048),
        ("n/mm", 1e3),
        ("n/m", 1.0),
        ("kn/m", 1e3),
    ],
    hint: "write it as 180 lbf/in or 31.5 N/mm",
    largest: 1e6,
};

/// A force for each length, in newtons a metre.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct ForcePerLength(f64);

impl ForcePerLength {
    /// In newtons a metre.
    #[must_use]
    pub const fn newtons_per_metre(self) -> f64 {
        self.0
    }
}

impl FromStr for ForcePerLength {
    type Err = QuantityError;

    /// Reads `180 lbf/in` or `31.5 N/mm`.
    fn from_str(text: &str) -> Result<Self, QuantityError> {
        KIND.read(text).map(Self)
    }
}
