//! Angles: held in radians, read as a pitch, in degrees or in radians.
//!
//! Aim: read `6:12` and `26.6 deg` alike. Reason: builders know the pitch,
//! drawings give degrees. Limits: up to one full turn either way; a pitch has a
//! run above zero.

use std::str::FromStr;

use super::error::{QuantityError, quoted};
use super::number::signed_number;
use super::show::trimmed;
use crate::quantity::maths::{atan, tan};

const HINT: &str = "write a pitch as 6:12, or degrees as 26.6 deg";

/// The steepest pitch shown as rise and run; steeper ones are shown in degrees.
const STEEPEST_SHOWN_RISE: f64 = 24.0;

/// An angle, in radians.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Default)]
pub struct Angle(f64);

impl Angle {
    /// From radians.
    #[must_use]
    pub const fn from_radians(radians: f64) -> Self {
        Self(radians)
    }

    /// From degrees.
    #[must_use]
    pub const fn from_degrees(degrees: f64) -> Self {
        Self(degrees.to_radians())
    }

    /// In radians.
    #[must_use]
    pub const fn radians(self) -> f64 {
        self.0
    }

    /// In degrees.
    #[must_use]
    pub const fn degrees(self) -> f64 {
        self.0.to_degrees()
    }

    /// Degrees to one decimal, such as `26.6 deg`.
    #[must_use]
    pub fn show(self) -> String {
        format!("{} deg", trimmed(self.degrees(), 1))
    }

    /// Rise in 12, such as `6:12` or `6.5:12`, when it is within 0.01 of a whole or
    /// half rise and no steeper than 24 in 12; else degrees.
    #[must_use]
    pub fn show_pitch(self) -> String {
        let rise = 12.0 * tan(self.0);
        let nearest = (rise * 2.0).round() / 2.0;
        let upright = self.0.abs() < std::f64::consts::FRAC_PI_2;
        if upright && nearest.abs() <= STEEPEST_SHOWN_RISE && (rise - nearest).abs() <= 0.01 {
            format!("{}:12", trimmed(nearest, 1))
        } else {
            self.show()
        }
    }
}

impl FromStr for Angle {
    type Err = QuantityError;

    /// Reads `6:12` (rise to run), `26.6 deg`, `26.6°` or `0.3 rad`.
    fn from_str(text: &str) -> Result<Self, QuantityError> {
        let text = text.trim();
        if text.is_empty() {
            return Err(QuantityError::new("the angle is empty", HINT));
        }
        if let Some((rise, run)) = text.split_once(':') {
            return pitch(rise, run, text);
        }
        let Some(unit_at) = text.find(|c: char| c.is_alphabetic() || c == '°') else {
            return Err(QuantityError::new(format!("{} does not say what kind of angle it is", quoted(text)), HINT));
        };
        let (number, unit) = text.split_at(unit_at);
        let to_angle: fn(f64) -> Self = match unit.to_lowercase().as_str() {
            "deg" | "degree" | "degrees" | "°" => Self::from_degrees,
            "rad" | "radian" | "radians" => Self::from_radians,
            _ => {
                return Err(QuantityError::new(format!("{} is not a known unit of angle", quoted(unit)), HINT));
            }
        };
        let angle = to_angle(plain(number)?);
        if angle.0.abs() > std::f64::consts::TAU {
            return Err(QuantityError::new(format!("{} is more than a full turn", quoted(text)), HINT));
        }
        Ok(angle)
    }
}

fn plain(number: &str) -> Result<f64, QuantityError> {
    signed_number(number).map_err(|e| QuantityError::new(e.message, HINT))
}

fn pitch(rise: &str, run: &str, text: &str) -> Result<Angle, QuantityError> {
    let rise = plain(rise)?;
    let run = plain(run)?;
    if run <= 0.0 {
        return Err(QuantityError::new(
            format!("the run of the pitch {} is not above zero", quoted(text)),
            "write rise and then run, such as 6:12",
        ));
    }
    Ok(Angle(atan(rise / run)))
}
