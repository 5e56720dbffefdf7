//! Speeds of the wind: held in metres per second.
//!
//! Aim: read `115 mph` or `50 m/s`. Reason: both are printed on wind maps. Limits: up to 200 m/s; the sign is kept, and
//! whoever reads the key judges it. The mile is 1609.344 m exactly (1959 agreement).

use std::str::FromStr;

use super::error::QuantityError;
use super::measured::Kind;

const MPH: f64 = 1609.344 / 3600.0;

const KIND: Kind = Kind {
    name: "a speed",
    units: &[("mph", MPH), ("m/s", 1.0), ("km/h", 1.0 / 3.6), ("kt", 1852.0 / 3600.0)],
    hint: "write it as 115 mph or 50 m/s",
    largest: 200.0,
};

/// A speed, in metres per second.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Speed(f64);

impl Speed {
    /// From metres per second.
    #[must_use]
    pub const fn from_metres_per_second(speed: f64) -> Self {
        Self(speed)
    }

    /// From miles per hour.
    #[must_use]
    pub const fn from_mph(mph: f64) -> Self {
        Self(mph * MPH)
    }

    /// In metres per second.
    #[must_use]
    pub const fn metres_per_second(self) -> f64 {
        self.0
    }

    /// In miles per hour.
    #[must_use]
    pub const fn mph(self) -> f64 {
        self.0 / MPH
    }
}

impl FromStr for Speed {
    type Err = QuantityError;

    /// Reads `115 mph`, `50 m/s`, `180 km/h`, `100 kt`.
    fn from_str(text: &str) -> Result<Self, QuantityError> {
        KIND.read(text).map(Self)
    }
}
