//! Why a value was not computed.
//!
//! Aim: bad or uncovered input gives a named answer. Reason: a silent zero looks like a verdict. Limits: it knows no line
//! of the design file; whoever reads the file adds that.

use std::fmt;

/// Why there is no value. Never turned into a number.
#[derive(Debug, Clone, PartialEq)]
pub enum NotComputed {
    /// The input is no usable number.
    NotANumber {
        /// Which input.
        what: &'static str,
    },
    /// The input must be above zero.
    NotPositive {
        /// Which input.
        what: &'static str,
        /// As handed in, SI.
        value: f64,
    },
    /// The input must not be below zero.
    Negative {
        /// Which input.
        what: &'static str,
        /// As handed in, SI.
        value: f64,
    },
    /// The input lies outside what the formula or table covers.
    OutOfRange {
        /// Which input.
        what: &'static str,
        /// As handed in, SI (angles in degrees).
        value: f64,
        /// Least covered value.
        low: f64,
        /// Greatest covered value.
        high: f64,
    },
    /// The standard gives no value below this measure: the part holds nothing by its rules.
    BelowMinimum {
        /// Which measure.
        what: &'static str,
        /// As handed in, SI.
        value: f64,
        /// Least measure for any value.
        least: f64,
        /// The clause.
        clause: &'static str,
    },
    /// A name that the tables lack.
    Unknown {
        /// What kind of name.
        what: &'static str,
        /// The name as handed in.
        name: String,
        /// The names that are known.
        known: Vec<&'static str>,
    },
    /// The chosen standard lacks the case, or a value that it needs was not given.
    NotCovered {
        /// Which value.
        what: &'static str,
        /// Why not.
        why: &'static str,
    },
}

impl fmt::Display for NotComputed {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NotANumber { what } => write!(f, "{what} is not a usable number"),
            Self::NotPositive { what, value } => write!(f, "{what} must be above zero, not {value}"),
            Self::Negative { what, value } => write!(f, "{what} must not be negative ({value})"),
            Self::OutOfRange { what, value, low, high } => {
                write!(f, "{what} is {value}, outside {low} to {high}")
            }
            Self::BelowMinimum { what, value, least, clause } => {
                write!(f, "{what} is {value:.4}, below the least that counts, {least:.4} ({clause})")
            }
            Self::Unknown { what, name, known } => {
                let name: String = name.chars().take(40).collect();
                write!(f, "{what} `{name}` is not known; known are: {}", known.join(", "))
            }
            Self::NotCovered { what, why } => write!(f, "{what}: {why}"),
        }
    }
}

impl std::error::Error for NotComputed {}

/// `value` if it is a finite number.
pub(super) fn finite(what: &'static str, value: f64) -> Result<f64, NotComputed> {
    if value.is_finite() { Ok(value) } else { Err(NotComputed::NotANumber { what }) }
}

/// `value` if it is finite and above zero.
pub(super) fn positive(what: &'static str, value: f64) -> Result<f64, NotComputed> {
    if finite(what, value)? > 0.0 { Ok(value) } else { Err(NotComputed::NotPositive { what, value }) }
}

/// `value` if it is finite and not below zero.
pub(super) fn not_negative(what: &'static str, value: f64) -> Result<f64, NotComputed> {
    if finite(what, value)? >= 0.0 { Ok(value) } else { Err(NotComputed::Negative { what, value }) }
}

/// `value` if it lies from `low` to `high`, both included.
pub(super) fn within(what: &'static str, value: f64, low: f64, high: f64) -> Result<f64, NotComputed> {
    let value = finite(what, value)?;
    if (low..=high).contains(&value) { Ok(value) } else { Err(NotComputed::OutOfRange { what, value, low, high }) }
}
