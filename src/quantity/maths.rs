//! Sines, powers and their kin, the same to the last digit on every system.
//!
//! Aim: the same design gives the same bytes everywhere. Reason: what a platform's mathematics library says may differ in the
//! last digit from one system to the next, and a compiler may ask another one while it folds constants. How: pure Rust code
//! (`libm`) in place of the standard methods, which clippy refuses (`disallowed-methods` in `clippy.toml`). Roots
//! (`sqrt`) and whole powers (`powi`) stay: the first is exact by IEEE 754, the second a row of multiplications. Limits: for
//! `f64`; within one unit of the last place, not correctly rounded.

pub use libm::{atan, atan2, cbrt, cos, erfc, exp, hypot, log as ln, log10, pow, sin, sincos as sin_cos, tan};

/// The distance of two points of a plane.
pub fn apart(a: (f64, f64), b: (f64, f64)) -> f64 {
    hypot(a.0 - b.0, a.1 - b.1)
}
