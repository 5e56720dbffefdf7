//! Densities: held in kilograms per cubic metre.
//!
//! Aim: read what wood tables and data sheets give. Reason: both systems are in
//! use. Limits: above zero, and no denser than the densest metal.
//!
//! The pound is 0.453 592 37 kg exactly (international yard and pound agreement,
//! 1959).

use std::str::FromStr;

use super::Units;
use super::error::{QuantityError, quoted};
use super::number::signed_number;

const HINT: &str = "write it as 450 kg/m3 or 28.5 lb/ft3";

/// Kilograms in a pound (1959 agreement).
pub(super) const KG_PER_POUND: f64 = 0.453_592_37;
/// Metres in a foot (1959 agreement).
pub(super) const METRES_PER_FOOT: f64 = 0.3048;
/// Osmium, the densest metal, has about 22 600 kg/m3 (from memory).
const DENSEST: f64 = 23_000.0;

/// A density, in kilograms per cubic metre.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Density(f64);

impl Density {
    /// From kilograms per cubic metre.
    #[must_use]
    pub const fn from_kg_per_m3(kg_per_m3: f64) -> Self {
        Self(kg_per_m3)
    }

    /// In kilograms per cubic metre.
    #[must_use]
    pub const fn kg_per_m3(self) -> f64 {
        self.0
    }

    /// As it is read: lb/ft3 to a tenth, or whole kg/m3.
    #[must_use]
    pub fn show(self, units: Units) -> String {
        match units {
            Units::Inches => {
                let per_foot = KG_PER_POUND / (METRES_PER_FOOT * METRES_PER_FOOT * METRES_PER_FOOT);
                format!("{:.1} lb/ft3", self.0 / per_foot)
            }
            Units::Millimetres => format!("{:.0} kg/m3", self.0),
        }
    }
}

impl FromStr for Density {
    type Err = QuantityError;

    /// Reads `450 kg/m3`, `450 kg/m³` or `28.5 lb/ft3`.
    fn from_str(text: &str) -> Result<Self, QuantityError> {
        let text = text.trim();
        if text.is_empty() {
            return Err(QuantityError::new("the density is empty", HINT));
        }
        let Some(unit_at) = text.find(char::is_alphabetic) else {
            return Err(QuantityError::new(format!("{} has no unit of density", quoted(text)), HINT));
        };
        let (number, unit) = text.split_at(unit_at);
        let factor = match unit.to_lowercase().replace('³', "3").as_str() {
            "kg/m3" => 1.0,
            "lb/ft3" => KG_PER_POUND / (METRES_PER_FOOT * METRES_PER_FOOT * METRES_PER_FOOT),
            _ => {
                return Err(QuantityError::new(format!("{} is not a known unit of density", quoted(unit)), HINT));
            }
        };
        let value = factor * signed_number(number).map_err(|e| QuantityError::new(e.message, HINT))?;
        if value <= 0.0 {
            return Err(QuantityError::new(format!("the density {} is not above zero", quoted(text)), HINT));
        }
        if value > DENSEST {
            return Err(QuantityError::new(format!("the density {} is above that of any metal", quoted(text)), HINT));
        }
        Ok(Self(value))
    }
}
