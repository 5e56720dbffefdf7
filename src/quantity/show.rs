//! Quantities as text: the one place where numbers are formatted.
//!
//! Aim: the same number looks the same on every sheet. Reason: two roundings of
//! one value are two marks on the roof. Limits: 1/16 in or 1 mm on sheets, 0.001 in
//! or 0.1 mm for fine parts; halves are rounded away from zero; a minus sign never
//! stands before zero. [`Length::to_text`] alone loses nothing.

use super::Units;
use super::density::{KG_PER_POUND, METRES_PER_FOOT};
use super::length::{Length, NM_PER_INCH, NM_PER_MILLIMETRE};

/// Shown for a value that is infinite or not a number.
const NO_NUMBER: &str = "no usable number";
/// A length so near to a mark of the tape is on it, metres: what the eye cannot tell.
const NO_FINER: Length = Length::from_metres(1e-5);

impl Length {
    /// For sheets: feet, inches and sixteenths (`12 ft 6 1/2 in`, `11 7/8 in`) or whole
    /// millimetres (`302 mm`), rounded once from the true value.
    #[must_use]
    pub fn show(self, units: Units) -> String {
        let Some(nm) = self.nanometres() else {
            return NO_NUMBER.to_owned();
        };
        match units {
            Units::Inches => {
                let sixteenths = divide_rounded(nm, NM_PER_INCH / 16);
                let (feet, rest) = (sixteenths.abs() / 192, sixteenths.abs() % 192);
                let inches = mixed(rest, 16);
                let sign = minus(sixteenths);
                if feet == 0 { format!("{sign}{inches} in") } else { format!("{sign}{feet} ft {inches} in") }
            }
            Units::Millimetres => format!("{} mm", divide_rounded(nm, NM_PER_MILLIMETRE)),
        }
    }

    /// The length that [`Length::show`] prints: this one to the nearest 1/16 in or whole millimetre.
    #[must_use]
    pub fn as_shown(self, units: Units) -> Length {
        let step = match units {
            Units::Inches => NM_PER_INCH / 16,
            Units::Millimetres => NM_PER_MILLIMETRE,
        };
        self.nanometres().map_or(self, |nm| Length::from_metres((divide_rounded(nm, step) * step) as f64 * 1e-9))
    }

    /// For thin parts: inches to three decimals (`1.813 in`) or millimetres to one
    /// (`9.5 mm`), without trailing zeros.
    #[must_use]
    pub fn show_fine(self, units: Units) -> String {
        let Some(nm) = self.nanometres() else {
            return NO_NUMBER.to_owned();
        };
        match units {
            Units::Inches => {
                let thousandths = divide_rounded(nm, NM_PER_INCH / 1000);
                format!("{} in", decimal(thousandths, 3))
            }
            Units::Millimetres => {
                let tenths = divide_rounded(nm, NM_PER_MILLIMETRE / 10);
                format!("{} mm", decimal(tenths, 1))
            }
        }
    }

    /// For what somebody measures off: as a tape shows it ([`Length::show`]); finer ([`Length::show_fine`]) only what no
    /// mark of a tape says.
    #[must_use]
    pub fn show_marked(self, units: Units) -> String {
        let marked = self.as_shown(units);
        if (self - marked).abs() < NO_FINER { marked.show(units) } else { self.show_fine(units) }
    }

    /// For design files: a text that reads back as the same length to the nanometre,
    /// and so as the same `f64` when this is a whole number of nanometres (as every
    /// length read from a text is) within the readable 100 km. A whole number of 64ths of
    /// an inch is written as a fraction (`11 7/8 in`), other inches with the fewest decimals that
    /// do (`0.3937 in`).
    #[must_use]
    pub fn to_text(self, units: Units) -> String {
        let Some(nm) = self.nanometres() else {
            return NO_NUMBER.to_owned();
        };
        let nm_per_64th = NM_PER_INCH / 64;
        match units {
            Units::Millimetres => format!("{} mm", decimal(nm, 6)),
            Units::Inches if nm % nm_per_64th == 0 => {
                format!("{}{} in", minus(nm), mixed(nm.abs() / nm_per_64th, 64))
            }
            Units::Inches => {
                // Eight decimals are a quarter of a nanometre.
                let tens = |n: usize| 10_i128.pow(u32::try_from(n).unwrap_or(0));
                let written = |n: usize| divide_rounded(nm * tens(n), NM_PER_INCH);
                let n = (1..8).find(|n| divide_rounded(written(*n) * NM_PER_INCH, tens(*n)) == nm).unwrap_or(8);
                format!("{} in", decimal(written(n), n))
            }
        }
    }
}

/// Running measures: positions from one edge, each rounded from its own true value
/// and never from its neighbour's, so that rounding does not add up.
#[must_use]
pub fn running(values: &[Length], units: Units) -> Vec<String> {
    values.iter().map(|value| value.show(units)).collect()
}

/// A total for the shopping list, to one decimal: `123.4 ft` or `37.6 m`.
#[must_use]
pub fn show_total_length(total: Length, units: Units) -> String {
    match units {
        Units::Inches => format!("{} ft", trimmed(total.metres() / METRES_PER_FOOT, 1)),
        Units::Millimetres => format!("{} m", trimmed(total.metres(), 1)),
    }
}

/// A mass given in kilograms: `12.3 lb` or `5.6 kg`; two decimals below 10, one below
/// 100, none above.
#[must_use]
pub fn show_mass(kg: f64, units: Units) -> String {
    let (value, unit) = match units {
        Units::Inches => (kg / KG_PER_POUND, "lb"),
        Units::Millimetres => (kg, "kg"),
    };
    let decimals = match value.abs() {
        size if size < 10.0 => 2,
        size if size < 100.0 => 1,
        _ => 0,
    };
    format!("{} {unit}", trimmed(value, decimals))
}

/// An area given in square metres, to one decimal: `123.4 sq ft` or `11.5 m2`.
#[must_use]
pub fn show_area(m2: f64, units: Units) -> String {
    match units {
        Units::Inches => {
            let square_feet = m2 / (METRES_PER_FOOT * METRES_PER_FOOT);
            format!("{} sq ft", trimmed(square_feet, 1))
        }
        Units::Millimetres => format!("{} m2", trimmed(m2, 1)),
    }
}

/// A number with at most `decimals` decimals, no trailing zeros, no `-0`.
pub(super) fn trimmed(value: f64, decimals: usize) -> String {
    if !value.is_finite() {
        return NO_NUMBER.to_owned();
    }
    let full = format!("{value:.decimals$}");
    let short = if full.contains('.') { full.trim_end_matches('0').trim_end_matches('.') } else { full.as_str() };
    if short == "-0" { "0".to_owned() } else { short.to_owned() }
}

/// `value / step` to the nearest whole number, halves away from zero.
fn divide_rounded(value: i128, step: i128) -> i128 {
    let size = (value.abs() + step / 2) / step;
    if value < 0 { -size } else { size }
}

fn minus(value: i128) -> &'static str {
    if value < 0 { "-" } else { "" }
}

/// `parts / per_whole` as a whole number and a fraction in lowest terms; `per_whole` is a
/// power of two.
fn mixed(parts: i128, per_whole: i128) -> String {
    let (whole, mut top) = (parts / per_whole, parts % per_whole);
    let mut bottom = per_whole;
    while top != 0 && top % 2 == 0 {
        top /= 2;
        bottom /= 2;
    }
    match (whole, top) {
        (_, 0) => whole.to_string(),
        (0, _) => format!("{top}/{bottom}"),
        _ => format!("{whole} {top}/{bottom}"),
    }
}

/// `value / 10^decimals` in decimals, without trailing zeros.
fn decimal(value: i128, decimals: usize) -> String {
    let digits = format!("{:0>width$}", value.abs(), width = decimals + 1);
    let (whole, rest) = digits.split_at(digits.len() - decimals);
    let rest = rest.trim_end_matches('0');
    let point = if rest.is_empty() { "" } else { "." };
    format!("{}{whole}{point}{rest}", minus(value))
}
