//! Loads as text, in the design's units.

use super::Units;
use super::measured::{MPH, NEWTONS_PER_POUND, PSF, PSI};
use super::show::trimmed;
use super::{Force, ForcePerLength, Pressure, Speed, Temperature};

impl Pressure {
    /// As a load: `33.6 psf` or `1.609 kPa`.
    #[must_use]
    pub fn show(self, units: Units) -> String {
        match units {
            Units::Inches => format!("{} psf", trimmed(self.pascals() / PSF, 2)),
            Units::Millimetres => format!("{} kPa", trimmed(self.pascals() / 1e3, 3)),
        }
    }

    /// As a stress or a strength: `1443.8 psi` or `9.95 MPa`.
    #[must_use]
    pub fn show_stress(self, units: Units) -> String {
        match units {
            Units::Inches => format!("{} psi", trimmed(self.pascals() / PSI, 1)),
            Units::Millimetres => format!("{} MPa", trimmed(self.pascals() / 1e6, 3)),
        }
    }
}

impl Force {
    /// `82.4 lbf` or `366.5 N`.
    #[must_use]
    pub fn show(self, units: Units) -> String {
        match units {
            Units::Inches => format!("{} lbf", trimmed(self.newtons() / NEWTONS_PER_POUND, 1)),
            Units::Millimetres => format!("{} N", trimmed(self.newtons(), 1)),
        }
    }
}

impl ForcePerLength {
    /// `180 lbf/in` or `31.5 N/mm`.
    #[must_use]
    pub fn show(self, units: Units) -> String {
        match units {
            Units::Inches => format!("{} lbf/in", trimmed(self.newtons_per_metre() * 0.0254 / NEWTONS_PER_POUND, 2)),
            Units::Millimetres => format!("{} N/mm", trimmed(self.newtons_per_metre() / 1e3, 3)),
        }
    }
}

impl Temperature {
    /// `120 F` or `48.9 C`.
    #[must_use]
    pub fn show(self, units: Units) -> String {
        let celsius = self.kelvin() - 273.15;
        match units {
            Units::Inches => format!("{} F", trimmed(celsius * 1.8 + 32.0, 1)),
            Units::Millimetres => format!("{} C", trimmed(celsius, 1)),
        }
    }
}

impl Speed {
    /// `115 mph` or `51.4 m/s`.
    #[must_use]
    pub fn show(self, units: Units) -> String {
        match units {
            Units::Inches => format!("{} mph", trimmed(self.metres_per_second() / MPH, 1)),
            Units::Millimetres => format!("{} m/s", trimmed(self.metres_per_second(), 1)),
        }
    }
}

/// A load per length given in newtons per metre: `3.16 lbf/in` or `554 N/m`.
#[must_use]
pub fn show_line_load(newtons_per_metre: f64, units: Units) -> String {
    match units {
        Units::Inches => format!("{} lbf/in", trimmed(newtons_per_metre * 0.0254 / NEWTONS_PER_POUND, 3)),
        Units::Millimetres => format!("{} N/m", trimmed(newtons_per_metre, 1)),
    }
}

/// A moment given in newton metres: `227.8 lbf in` or `25.7 N m`.
#[must_use]
pub fn show_moment(newton_metres: f64, units: Units) -> String {
    match units {
        Units::Inches => format!("{} lbf in", trimmed(newton_metres / 0.0254 / NEWTONS_PER_POUND, 1)),
        Units::Millimetres => format!("{} N m", trimmed(newton_metres, 2)),
    }
}

/// A share of a capacity: `0.83`.
#[must_use]
pub fn show_ratio(ratio: f64) -> String {
    if ratio.is_finite() { format!("{ratio:.2}") } else { "beyond measure".to_owned() }
}
