//! Lengths, angles and densities: how they are read, held and shown.
//!
//! Aim: one place where a builder's text such as `12'-6 1/2"` becomes a number,
//! and where a number becomes text again.
//!
//! Reason: a length that is misread by one character is a hole in the wrong
//! place. Texts are therefore summed in whole nanometres with checked integer
//! arithmetic (1/64 in is exactly 396 875 nm), so that `24 in` and `609.6 mm`
//! are the same `f64` bit for bit. Each shown value is rounded from its own true
//! value, so that rounding never adds up along a tape measure.
//!
//! Limits: lengths up to 100 km, angles up to one full turn. A bare
//! number, a decimal comma, a power of ten (`1e3`) and a top-heavy fraction
//! (`117/8`) are faults with a hint, never guesses. This module knows no geometry.

mod angle;
mod density;
mod error;
mod length;
pub mod list;
pub mod maths;
mod measured;
mod money;
mod number;
mod share;
mod show;
mod show_load;
#[cfg(test)]
mod tests;
mod visible;
mod weather;

pub use angle::Angle;
pub use density::Density;
pub use error::QuantityError;
pub use length::{Length, PENNIES, is_in_pennies};
pub use measured::{Force, ForcePerLength, Pressure, Speed};
pub use money::{Money, Percentage};
pub use share::show_share;
pub use show::{running, show_area, show_mass, show_total_length};
pub use show_load::{show_line_load, show_moment, show_ratio};
pub use visible::visible;
pub use weather::{AirSpeed, FreeArea, Irradiance, Share, Temperature, VapourRate};

/// The units in which a design asks to be shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Units {
    /// Feet, inches and sixteenths; pounds and square feet.
    Inches,
    /// Millimetres; kilograms and square metres.
    Millimetres,
}
