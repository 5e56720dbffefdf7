//! Units of the standards against SI.
//!
//! Aim: formulas with built-in units (1380 G^2.5 D gives lbf/in) are evaluated in those units and handed out in SI.
//! Reason: the hand calculation must show the standard's own numbers. Limits: f64.

use crate::quantity::maths::log10;

/// Metres in an inch (1959 agreement, exact).
pub const INCH: f64 = 0.0254;
/// Metres in a foot (exact).
pub const FOOT: f64 = 0.3048;
/// Newtons in a pound-force (exact).
pub const LBF: f64 = 4.448_221_615_260_5;
/// Newtons per metre in a pound-force per inch.
pub const LBF_PER_INCH: f64 = LBF / INCH;
/// Pascals in a pound-force per square inch.
pub const PSI: f64 = LBF / (INCH * INCH);
/// Pascals in a pound-force per square foot.
pub const PSF: f64 = LBF / (FOOT * FOOT);
/// Metres per second in a mile per hour (exact).
pub const MPH: f64 = 0.44704;
/// Metres in a millimetre.
pub const MM: f64 = 0.001;
/// Pascals in a newton per square millimetre.
pub const N_PER_MM2: f64 = 1e6;
/// Newton metres in a pound-force inch.
pub const LBF_INCH: f64 = LBF * INCH;

/// A number for a hand calculation: seven significant digits, no trailing zeros.
pub(crate) fn num(x: f64) -> String {
    if x == 0.0 || !x.is_finite() {
        return if x == 0.0 { "0".into() } else { format!("{x}") };
    }
    #[allow(clippy::cast_possible_truncation, reason = "a logarithm of a finite f64 is within +-324")]
    let size = log10(x.abs()).floor() as i32;
    let digits = usize::try_from((6 - size).clamp(0, 17)).unwrap_or(0);
    let text = format!("{x:.digits$}");
    if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.').to_string() } else { text }
}
