//! Forces: held in newtons.
//!
//! Aim: read `300 lbf` or `0.9 kN`. Reason: a person's load, or a clip's strength, is given so. Limits: up to a
//! thousand kilonewtons; the sign is kept. A bare `lb` is a mass, and so a fault here.

use std::str::FromStr;

use super::error::QuantityError;
use super::measured::Kind;
use super::pressure::NEWTONS_PER_POUND;

const KIND: Kind = Kind {
    name: "a force",
    units: &[("lbf", NEWTONS_PER_POUND), ("kip", 1000.0 * NEWTONS_PER_POUND), ("n", 1.0), ("kn", 1e3)],
    hint: "write it as 300 lbf or 0.9 kN",
    largest: 1e6,
};

/// A force, in newtons.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Force(f64);

impl Force {
    /// From newtons.
    #[must_use]
    pub const fn from_newtons(newtons: f64) -> Self {
        Self(newtons)
    }

    /// From pounds-force.
    #[must_use]
    pub const fn from_pounds(pounds: f64) -> Self {
        Self(pounds * NEWTONS_PER_POUND)
    }

    /// In newtons.
    #[must_use]
    pub const fn newtons(self) -> f64 {
        self.0
    }

    /// In pounds-force.
    #[must_use]
    pub const fn pounds(self) -> f64 {
        self.0 / NEWTONS_PER_POUND
    }
}

impl FromStr for Force {
    type Err = QuantityError;

    /// Reads `300 lbf` or `0.9 kN`.
    fn from_str(text: &str) -> Result<Self, QuantityError> {
        KIND.read(text).map(Self)
    }
}
