//! Lengths: held in metres, read exactly.
//!
//! Aim: one type for every distance, and a reader for what builders write.
//! Reason: a bare `f64` does not say its unit, and a text that is nearly right
//! must be refused, not guessed. Limits: texts up to 100 km, to the nearest
//! nanometre; arithmetic is plain `f64` and can leave whole nanometres.
//!
//! The inch is 25.4 mm and the foot 304.8 mm, exactly (international yard and
//! pound agreement, 1959).

use std::cmp::Ordering;
use std::ops::{Add, Div, Mul, Neg, Sub};
use std::str::FromStr;

use super::error::{QuantityError, quoted};
use super::number::{Piece, Ratio, Reader, too_large};

/// Nanometres in an inch (1959 agreement).
pub(super) const NM_PER_INCH: i128 = 25_400_000;
/// Nanometres in a foot (1959 agreement).
pub(super) const NM_PER_FOOT: i128 = 304_800_000;
/// Nanometres in a millimetre.
pub(super) const NM_PER_MILLIMETRE: i128 = 1_000_000;
const NM_PER_METRE: f64 = 1e9;
/// Longest readable length: 100 km, in nanometres.
const LONGEST_NM: i128 = 100_000_000_000_000;

/// A length or a position along an axis, in metres.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Default)]
pub struct Length(f64);

impl Length {
    /// No length.
    pub const ZERO: Self = Self(0.0);

    /// From metres.
    #[must_use]
    pub const fn from_metres(metres: f64) -> Self {
        Self(metres)
    }

    /// From whole nanometres; below 9 000 km the result is the nearest `f64`.
    #[must_use]
    #[allow(clippy::cast_precision_loss, reason = "exact below 2^53 nm, which is 9 007 km")]
    pub const fn from_nanometres(nanometres: i64) -> Self {
        Self(nanometres as f64 / NM_PER_METRE)
    }

    /// From inches. Whatever is a whole number of nanometres but for binary
    /// rounding is taken as that, so `from_inches(0.148)` equals the text `0.148 in`.
    #[must_use]
    pub const fn from_inches(inches: f64) -> Self {
        Self::from_near_nanometres(inches * 25_400_000.0)
    }

    /// From millimetres, with the same care as [`Length::from_inches`].
    #[must_use]
    pub const fn from_millimetres(millimetres: f64) -> Self {
        Self::from_near_nanometres(millimetres * 1e6)
    }

    const fn from_near_nanometres(nanometres: f64) -> Self {
        let whole = nanometres.round();
        let noise = 4.0 * f64::EPSILON * nanometres.abs();
        if (nanometres - whole).abs() <= noise { Self(whole / NM_PER_METRE) } else { Self(nanometres / NM_PER_METRE) }
    }

    /// In metres.
    #[must_use]
    pub const fn metres(self) -> f64 {
        self.0
    }

    /// The nearest whole nanometre; `None` when there is no usable number.
    #[allow(clippy::cast_possible_truncation, reason = "the range is checked just before the cast")]
    pub(super) fn nanometres(self) -> Option<i128> {
        let nm = (self.0 * NM_PER_METRE).round();
        (nm.abs() < 1e30).then_some(nm as i128)
    }

    /// The same length without its sign.
    #[must_use]
    pub const fn abs(self) -> Self {
        Self(self.0.abs())
    }

    /// The smaller of two lengths.
    #[must_use]
    pub const fn min(self, other: Self) -> Self {
        Self(self.0.min(other.0))
    }

    /// The larger of two lengths.
    #[must_use]
    pub const fn max(self, other: Self) -> Self {
        Self(self.0.max(other.0))
    }

    /// An order over all lengths, for sorting; see [`f64::total_cmp`].
    #[must_use]
    pub fn total_cmp(&self, other: &Self) -> Ordering {
        self.0.total_cmp(&other.0)
    }
}

impl Add for Length {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self(self.0 + other.0)
    }
}

impl Sub for Length {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Self(self.0 - other.0)
    }
}

impl Neg for Length {
    type Output = Self;
    fn neg(self) -> Self {
        Self(-self.0)
    }
}

impl Mul<f64> for Length {
    type Output = Self;
    fn mul(self, factor: f64) -> Self {
        Self(self.0 * factor)
    }
}

impl Div<f64> for Length {
    type Output = Self;
    fn div(self, divisor: f64) -> Self {
        Self(self.0 / divisor)
    }
}

impl Div for Length {
    type Output = f64;
    fn div(self, other: Self) -> f64 {
        self.0 / other.0
    }
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum Unit {
    Foot,
    Inch,
    Millimetre,
    Centimetre,
    Metre,
}

impl Unit {
    fn nanometres(self) -> i128 {
        match self {
            Self::Foot => NM_PER_FOOT,
            Self::Inch => NM_PER_INCH,
            Self::Millimetre => NM_PER_MILLIMETRE,
            Self::Centimetre => 10 * NM_PER_MILLIMETRE,
            Self::Metre => 1000 * NM_PER_MILLIMETRE,
        }
    }

    fn is_metric(self) -> bool {
        !matches!(self, Self::Foot | Self::Inch)
    }
}

impl FromStr for Length {
    type Err = QuantityError;

    /// Reads a length with its unit: `11 7/8 in`, `11-7/8"`, `.5 in`, `12'-6 1/2"`,
    /// `12 ft 6 in`, `302 mm`, `30.2 cm`, `1.2 m`. What stands behind feet and a dash is
    /// inches, also without their mark: `34'-0`. A leading minus counts for the whole.
    /// More decimals than a nanometre are rounded to the nearest one.
    fn from_str(text: &str) -> Result<Self, QuantityError> {
        let text = text.trim();
        if text.is_empty() {
            return Err(QuantityError::new(
                "the length is empty",
                "write a number and its unit, such as 3/8 in or 10 mm",
            ));
        }
        let mut reader = Reader::new(text)?;
        let negative = reader.take_sign();
        let first = reader.number()?;
        let unit = read_unit(&mut reader, text)?;
        let mut size = to_nanometres(first, unit, text)?;
        if reader.peek().is_some() {
            let joined = unit == Unit::Foot && reader.take_joining_hyphen();
            let second = reader.number()?;
            let bare = joined && reader.peek().is_none();
            let second_unit = if bare { Unit::Inch } else { read_unit(&mut reader, text)? };
            check_pair(first, unit, second, second_unit, text)?;
            if reader.peek().is_some() {
                return Err(QuantityError::new(
                    format!("{} has something left over after the inches", quoted(text)),
                    "write feet and inches once, as in 12 ft 6 1/2 in",
                ));
            }
            // Feet are whole here, so only the inches are ever rounded.
            size += to_nanometres(second, second_unit, text)?;
        }
        if size > LONGEST_NM {
            return Err(too_large(text));
        }
        let size = i64::try_from(size).map_err(|_| too_large(text))?;
        Ok(Self::from_nanometres(if negative { -size } else { size }))
    }
}

/// Nearest whole nanometre of `value` units, halves upwards.
fn to_nanometres(value: Ratio, unit: Unit, text: &str) -> Result<i128, QuantityError> {
    let double = value
        .num
        .checked_mul(2 * unit.nanometres())
        .and_then(|n| n.checked_add(value.den))
        .ok_or_else(|| too_large(text))?;
    Ok(double / (2 * value.den))
}

fn read_unit(reader: &mut Reader<'_>, text: &str) -> Result<Unit, QuantityError> {
    let word = match reader.take() {
        Some(Piece::Prime) => return Ok(Unit::Foot),
        Some(Piece::DoublePrime) => return Ok(Unit::Inch),
        Some(Piece::Word(word)) => word,
        None => {
            return Err(QuantityError::new(
                format!("{} has no unit at its end", quoted(text)),
                "say the unit, such as 3/8 in or 10 mm",
            ));
        }
        Some(_) => {
            return Err(QuantityError::new(
                format!("the pieces of {} do not fit together", quoted(text)),
                "write it like 11 7/8 in, 12'-6 1/2\", 12 ft 6 in or 302 mm",
            ));
        }
    };
    match word.as_str() {
        "in" | "inch" | "inches" => Ok(Unit::Inch),
        "ft" | "foot" | "feet" => Ok(Unit::Foot),
        "mm" => Ok(Unit::Millimetre),
        "cm" => Ok(Unit::Centimetre),
        "m" => Ok(Unit::Metre),
        "d" | "penny" => Err(QuantityError::new(format!("{} is not a known unit of length", quoted(&word)), PENNIES)),
        "e" => Err(QuantityError::new(
            format!("{} is written with a power of ten", quoted(text)),
            "write the number out, such as 1500 mm",
        )),
        _ => Err(QuantityError::new(
            format!("{} is not a known unit of length", quoted(&word)),
            "use in, ft, mm, cm or m, such as 3/8 in or 10 mm",
        )),
    }
}

/// What to write instead of a nail's size in pennies: common, box and sinker nails of one size differ in their
/// diameters; common practice, no source.
pub const PENNIES: &str =
    "pennies state no diameter: write diameter and length, such as diameter = \"0.148 in\" and length = \"3 in\"";

/// Whether a text begins with a size in pennies, such as `16d common`.
pub fn is_in_pennies(text: &str) -> bool {
    let rest = text.trim_start().trim_start_matches(|c: char| c.is_ascii_digit());
    rest.len() < text.len() && matches!(rest.split_whitespace().next(), Some("d" | "penny"))
}

fn check_pair(first: Ratio, unit: Unit, second: Ratio, second_unit: Unit, text: &str) -> Result<(), QuantityError> {
    if unit.is_metric() != second_unit.is_metric() {
        return Err(QuantityError::new(
            format!("{} mixes metric with feet or inches", quoted(text)),
            "write the whole length in one system, such as 12 ft 6 in or 3810 mm",
        ));
    }
    if unit.is_metric() {
        return Err(QuantityError::new(
            format!("{} has two metric pieces", quoted(text)),
            "write one number and one unit, such as 1.2 m or 1200 mm",
        ));
    }
    if unit != Unit::Foot || second_unit != Unit::Inch {
        return Err(QuantityError::new(
            format!("{} is not feet and then inches", quoted(text)),
            "feet come first and inches second, as in 12 ft 6 1/2 in",
        ));
    }
    if !first.is_whole() {
        return Err(QuantityError::new(
            format!("{} has part of a foot and inches as well", quoted(text)),
            "with inches behind them, feet are a whole number, as in 12 ft 6 in",
        ));
    }
    if second.num >= 12 * second.den {
        return Err(QuantityError::new(
            format!("{} has twelve inches or more behind the feet", quoted(text)),
            "inches behind feet stay below 12; is a unit or a blank wrong?",
        ));
    }
    Ok(())
}
