//! Properties of air near the ground.

use crate::quantity::maths::exp;

/// 0 C in kelvins.
pub const CELSIUS: f64 = 273.15;

/// Pressure of the standard atmosphere at sea level, pascals (ISO 2533, from memory).
const PRESSURE: f64 = 101_325.0;
/// Specific gas constant of dry air, J/(kg K).
const GAS: f64 = 287.05;

/// Density of dry air at sea level, kg/m3; temperature in kelvins. Perfect gas law.
pub fn density(kelvin: f64) -> f64 {
    PRESSURE / (GAS * kelvin)
}

/// Dynamic viscosity of air, Pa s; temperature in kelvins. Sutherland's law with the constants of the U.S. Standard
/// Atmosphere 1976.
pub fn viscosity(kelvin: f64) -> f64 {
    1.458e-6 * kelvin * kelvin.sqrt() / (kelvin + 110.4)
}

/// Saturation pressure of water vapour over water, and over ice below freezing, Pa; temperature in kelvins. Magnus
/// formula with the coefficients of Sonntag (1990), 611.2 Pa at 0 C.
pub fn saturation(kelvin: f64) -> f64 {
    let t = kelvin - CELSIUS;
    let (a, b) = if t >= 0.0 { (17.62, 243.12) } else { (22.46, 272.62) };
    611.2 * exp(a * t / (b + t))
}

/// Kilograms of water vapour a kilogram of dry air holds at a relative humidity (0 to 1).
pub fn vapour_content(kelvin: f64, humidity: f64) -> f64 {
    let p = humidity * saturation(kelvin);
    0.622 * p / (PRESSURE - p)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Values of the tables of the U.S. Standard Atmosphere 1976 and of Magnus' formula, as worked out beforehand.
    #[test]
    fn known_values() {
        assert!((density(CELSIUS) - 1.2923).abs() < 1e-4);
        assert!((viscosity(CELSIUS) - 1.7161e-5).abs() < 1e-9);
        assert!((density(CELSIUS + 20.0) - 1.2041).abs() < 1e-4);
        assert!((viscosity(CELSIUS + 20.0) - 1.8134e-5).abs() < 1e-9);
        for (t, e) in [(0.0, 611.2), (5.0, 871.7), (-10.0, 259.9)] {
            assert!((saturation(CELSIUS + t) - e).abs() < 0.1, "{t}");
        }
        assert!((vapour_content(CELSIUS, 0.85) - 0.003_206).abs() < 1e-6);
        assert!((vapour_content(CELSIUS + 5.0, 0.95) - 0.005_126).abs() < 1e-6);
    }
}
