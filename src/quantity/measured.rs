//! A number with one unit after it: forces, forces for each length, pressures, speeds.
//!
//! Aim: read a load per area (`40 psf`, `1.2 kPa`), a strength (`15 psi`, `24 MPa`), a person's load (`300 lbf`, `0.9 kN`), what
//! a thread holds for each inch of it (`180 lbf/in`, `31.5 N/mm`) and a wind (`115 mph`, `50 m/s`). Reason: so tables, wind maps
//! and data sheets give them. Limits: held in SI; the sign is kept, and whoever reads the key judges it. A bare `lb` is a
//! mass, and so a fault here.
//!
//! The pound-force is 0.453 592 37 kg times 9.806 65 m/s2 exactly (1959 agreement; standard gravity of 1901), the mile 1609.344 m
//! (1959 agreement).

use std::str::FromStr;

use super::error::{QuantityError, quoted};
use super::number::signed_number;

/// Newtons in a pound-force.
pub(super) const NEWTONS_PER_POUND: f64 = 0.453_592_37 * 9.806_65;
pub(super) const PSI: f64 = NEWTONS_PER_POUND / (0.0254 * 0.0254);
pub(super) const PSF: f64 = NEWTONS_PER_POUND / (0.3048 * 0.3048);
pub(super) const MPH: f64 = 1609.344 / 3600.0;

/// How one kind of quantity is written.
struct Kind {
    /// With its article, such as `a pressure`.
    name: &'static str,
    /// Spellings in lower case, each with what one unit is in SI.
    units: &'static [(&'static str, f64)],
    /// What to write instead.
    hint: &'static str,
    /// The largest value that makes sense, SI.
    largest: f64,
}

impl Kind {
    /// Reads `1.2 kPa` and the like; a negative value is no fault here.
    fn read(&self, text: &str) -> Result<f64, QuantityError> {
        let fault = |message: String| Err(QuantityError::new(message, self.hint));
        let text = text.trim();
        if text.is_empty() {
            return fault(format!("{} is missing between the quotes", self.name));
        }
        let Some(unit_at) = text.find(char::is_alphabetic) else {
            return fault(format!("{} has no unit: {} needs one", quoted(text), self.name));
        };
        let (number, unit) = text.split_at(unit_at);
        let plain = unit.trim().to_lowercase().replace('²', "2").replace('·', "");
        let Some((_, factor)) = self.units.iter().find(|(word, _)| *word == plain) else {
            return fault(format!("{} is no unit of {}", quoted(unit.trim()), self.name));
        };
        let value = factor * signed_number(number).map_err(|e| QuantityError::new(e.message, self.hint))?;
        if value.abs() > self.largest {
            return fault(format!("{} is beyond anything on a roof", quoted(text)));
        }
        Ok(value)
    }
}

macro_rules! measured {
    ($(#[$doc:meta])* $name:ident, $from:ident, $get:ident, $kind:expr) => {
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
        pub struct $name(f64);

        impl $name {
            /// From the unit in which it is held.
            #[must_use]
            pub const fn $from(value: f64) -> Self {
                Self(value)
            }

            /// In the unit in which it is held.
            #[must_use]
            pub const fn $get(self) -> f64 {
                self.0
            }
        }

        impl FromStr for $name {
            type Err = QuantityError;

            fn from_str(text: &str) -> Result<Self, QuantityError> {
                $kind.read(text).map(Self)
            }
        }
    };
}

measured!(
    /// A force, in newtons.
    Force, from_newtons, newtons,
    Kind {
        name: "a force",
        units: &[("lbf", NEWTONS_PER_POUND), ("kip", 1000.0 * NEWTONS_PER_POUND), ("n", 1.0), ("kn", 1e3)],
        hint: "write it as 300 lbf or 0.9 kN",
        largest: 1e6,
    }
);
measured!(
    /// A force for each length, in newtons a metre.
    ForcePerLength, from_newtons_per_metre, newtons_per_metre,
    Kind {
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
    }
);
measured!(
    /// A pressure or a stress, in pascals.
    Pressure, from_pascals, pascals,
    Kind {
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
    }
);
measured!(
    /// A speed of the wind, in metres per second.
    Speed, from_metres_per_second, metres_per_second,
    Kind {
        name: "a speed",
        units: &[("mph", MPH), ("m/s", 1.0), ("km/h", 1.0 / 3.6), ("kt", 1852.0 / 3600.0)],
        hint: "write it as 115 mph or 50 m/s",
        largest: 200.0,
    }
);
