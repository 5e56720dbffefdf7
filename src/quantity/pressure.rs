//! Pressures and stresses: held in pascals.
//!
//! Aim: read a load per area (`40 psf`, `1.2 kPa`) and a strength (`15 psi`, `24 MPa`). Reason: both are what tables and
//! data sheets give. Limits: up to 10 GPa; the sign is kept, and whoever reads the key judges it.
//!
//! The pound-force is 0.453 592 37 kg times 9.806 65 m/s2 exactly (1959 agreement; standard gravity of 1901).

use std::str::FromStr;

use super::error::QuantityError;
use super::measured::Kind;

/// Newtons in a pound-force.
pub(super) const NEWTONS_PER_POUND: f64 = 0.453_592_37 * 9.806_65;
const SQUARE_INCH: f64 = 0.0254 * 0.0254;
const SQUARE_FOOT: f64 = 0.3048 * 0.3048;
const PSI: f64 = NEWTONS_PER_POUND / SQUARE_INCH;
const PSF: f64 = NEWTONS_PER_POUND / SQUARE_FOOT;

const KIND: Kind = Kind {
    name: "a pressure",
    units: &[
        ("psf", PSF),
        ("lb/ft2", PSF),
        ("lbf/ft2", PSF),
        ("psi", PSI),
        ("lbf/in2", PSI),
        ("ksi", 1000.0 * PSI),
        ("pa", 1.0),
        ("n/m2", 1.0),
        ("kpa", 1e3),
        ("kn/m2", 1e3),
        ("mpa", 1e6),
        ("n/mm2", 1e6),
        ("gpa", 1e9),
    ],
    hint: "write it as 40 psf, 1.2 kPa, 15 psi or 24 MPa",
    largest: 1e12,
};

/// A pressure or a stress, in pascals.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Default)]
pub struct Pressure(f64);

impl Pressure {
    /// From pascals.
    #[must_use]
    pub const fn from_pascals(pascals: f64) -> Self {
        Self(pascals)
    }

    /// From pounds per square foot.
    #[must_use]
    pub const fn from_psf(psf: f64) -> Self {
        Self(psf * PSF)
    }

    /// From pounds per square inch.
    #[must_use]
    pub const fn from_psi(psi: f64) -> Self {
        Self(psi * PSI)
    }

    /// In pascals.
    #[must_use]
    pub const fn pascals(self) -> f64 {
        self.0
    }

    /// In pounds per square foot.
    #[must_use]
    pub const fn psf(self) -> f64 {
        self.0 / PSF
    }

    /// In pounds per square inch.
    #[must_use]
    pub const fn psi(self) -> f64 {
        self.0 / PSI
    }
}

impl FromStr for Pressure {
    type Err = QuantityError;

    /// Reads `40 psf`, `1.2 kPa`, `15 psi`, `24 MPa`, `90 ksi`.
    fn from_str(text: &str) -> Result<Self, QuantityError> {
        KIND.read(text).map(Self)
    }
}
